package web

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"

	"backroad/internal/anatomy"
	"backroad/internal/archive"
	"backroad/internal/fault"
	"backroad/internal/practice"
)

// practising is the body of a request to practise.
type practising struct {
	asking
	Scenario string   `json:"scenario"` // id of one that comes with the program
	Text     string   `json:"text"`     // or a file of a practice
	Mode     string   `json:"mode"`
	Log      []string `json:"log"`
	Reveal   bool     `json:"reveal"`
	Compare  bool     `json:"compare"`
}

// mostLog is how many lines a practice may have: many times a whole procedure.
const mostLog = 2000

// The modes of a practice.
const (
	openMode = "open"
	labMode  = "lab"
)

// practiceMade is the answer to a request to practise.
type practiceMade struct {
	Faults   []Fault         `json:"faults"`
	Inputs   inputs          `json:"inputs"`
	Practice json.RawMessage `json:"practice"`
}

// practise answers with what a log comes to; nothing is stored.
func (s *Server) practise(w http.ResponseWriter, r *http.Request) error {
	var ask practising
	if err := body(r, &ask); err != nil {
		return err
	}
	if err := ask.check(); err != nil {
		return err
	}
	out := practiceMade{Faults: []Fault{}}
	sc, faults, err := s.scenarioOf(r.Context(), &ask)
	if err != nil {
		return err
	}
	if out.Faults = append(out.Faults, faults...); len(out.Faults) > 0 {
		writeJSON(w, http.StatusOK, out)
		return nil
	}
	if err := s.practice(r.Context(), &ask, sc, &out); err != nil {
		return err
	}
	writeJSON(w, http.StatusOK, out)
	return nil
}

// check says what is wrong with a request as such.
func (p *practising) check() error {
	from := 0
	for _, is := range []bool{p.Scenario != "", p.Text != "", p.Case != nil} {
		if is {
			from++
		}
	}
	switch {
	case from != 1:
		return badRequest("give one of scenario, text and case")
	case p.Mode != openMode && p.Mode != labMode:
		return badRequest("mode is %s or %s", openMode, labMode)
	case len(p.Log) > mostLog:
		return badRequest("the log has %d lines; at most %d", len(p.Log), mostLog)
	}
	return nil
}

// scenarioOf finds or reads the scenario of a request and lets the request ask for its
// case; nil where the request is about a case.
func (s *Server) scenarioOf(ctx context.Context, ask *practising) (*practice.Scenario, []Fault, error) {
	if ask.Case != nil {
		return nil, nil, nil
	}
	if ask.Shelf == nil {
		demo := string(s.Practices.DemoShelf())
		ask.Shelf = &source{Text: &demo}
	}
	sc, faults, err := s.oneScenario(ctx, ask)
	if sc == nil {
		return nil, faults, err
	}
	ask.Case = s.caseSource(sc.Case)
	return sc, nil, nil
}

// oneScenario is the scenario of a request.
func (s *Server) oneScenario(ctx context.Context, ask *practising) (*practice.Scenario, []Fault, error) {
	if ask.Scenario != "" {
		b, err := s.builtIn(ask.Scenario)
		if err != nil {
			return nil, nil, err
		}
		return b.Scenario, nil, nil
	}
	t, err := s.textOf(ctx, archive.Shelf, ask.Shelf)
	if err != nil {
		return nil, nil, err
	}
	shelf, faults := s.shelf(t)
	if shelf == nil {
		return nil, faults, nil
	}
	sc, list := s.Practices.ReadPractice("text", []byte(ask.Text), shelf)
	for _, f := range list {
		faults = append(faults, faultJSON("text", Placed{Fault: f}))
	}
	return sc, faults, nil
}

func (s *Server) builtIn(id string) (*Scenario, error) {
	list := s.Practices.Scenarios()
	for i := range list {
		if list[i].ID == id {
			return &list[i], nil
		}
	}
	return nil, notFound("there is no such scenario")
}

func (s *Server) caseSource(c *anatomy.Case) *source {
	text := string(s.Files.WriteCase(c))
	return &source{Text: &text}
}

// practice goes through a log and fills in the answer.
func (s *Server) practice(ctx context.Context, ask *practising, sc *practice.Scenario, out *practiceMade) error {
	rd, p, err := s.onePlan(ctx, &ask.asking)
	if err != nil {
		return err
	}
	out.Faults, out.Inputs = append(out.Faults, rd.faults...), rd.refs
	lines, list := practice.ParseLog(ask.Log)
	for _, f := range list {
		out.Faults = append(out.Faults, faultJSON(fmt.Sprintf("log/%d", f.Line-1), Placed{Fault: f}))
	}
	switch {
	case len(out.Faults) > 0:
		return nil
	case p == nil:
		return &Error{Kind: NoPlan, Says: "nothing can be planned, so there is nothing to practise", Hint: "the plan says of each way why it is not offered"}
	}
	lab := ask.Mode == labMode
	session, f := practice.Start(practice.Setting{Planned: p.Walk, Shelf: rd.in.Shelf, Scenario: sc, Lab: lab})
	if f != nil {
		out.Faults = append(out.Faults, faultJSON("scenario", Placed{Fault: *f}))
		return nil
	}
	for _, l := range lines {
		if err := ctx.Err(); err != nil {
			return err
		}
		session.Do(l)
	}
	page := &PracticePage{Plan: p, Session: session, Scenario: sc, Lab: lab, Reveal: ask.Reveal, Compare: ask.Compare}
	out.Practice, err = written(func(w io.Writer) error { return s.Practising.Practice(w, page) })
	return err
}

// scenarioLine is a scenario in a list: nothing of it gives away what happens.
type scenarioLine struct {
	ID     string         `json:"id"`
	Title  string         `json:"title"`
	Tells  string         `json:"tells"`
	Route  string         `json:"route"`
	Finish anatomy.Finish `json:"finish"`
}

// scenarioWhole is a scenario for whoever teaches.
type scenarioWhole struct {
	scenarioLine
	Teaches string        `json:"teaches"`
	Text    string        `json:"text"`
	Case    caseOfLesson  `json:"case"`
	Endings lessonEndings `json:"endings"`
}

type caseOfLesson struct {
	Tree json.RawMessage `json:"tree"`
	Text string          `json:"text"`
}

type lessonEndings struct {
	Good   []string `json:"good"`
	Wrong  []string `json:"wrong"`
	Caught string   `json:"caught"`
}

func lineOf(b *Scenario) scenarioLine {
	c := b.Scenario.Case
	l := scenarioLine{ID: b.ID, Title: b.Scenario.Title, Tells: b.Scenario.Tells, Route: c.Choose.Route, Finish: c.Choose.Finish}
	if l.Route == "" && len(c.Routes) == 1 {
		l.Route = c.Routes[0].Name
	}
	return l
}

// scenarios lists the scenarios that come with the program.
func (s *Server) scenarios(w http.ResponseWriter, _ *http.Request) error {
	list := s.Practices.Scenarios()
	items := make([]scenarioLine, len(list))
	for i := range list {
		items[i] = lineOf(&list[i])
	}
	writeJSON(w, http.StatusOK, struct {
		Items []scenarioLine `json:"items"`
	}{items})
	return nil
}

// scenario answers with one, whole.
func (s *Server) scenario(w http.ResponseWriter, r *http.Request) error {
	b, err := s.builtIn(r.PathValue("id"))
	if err != nil {
		return err
	}
	out := scenarioWhole{scenarioLine: lineOf(b), Teaches: b.Scenario.Teaches, Text: string(b.Text)}
	src := s.caseSource(b.Scenario.Case)
	out.Case.Text = *src.Text
	out.Case.Tree, _ = s.Forms.Read([]byte(out.Case.Text))
	var list fault.List
	if out.Endings, list, err = s.endingsOf(r.Context(), b.Scenario, src); err != nil {
		return err
	}
	if list != nil {
		return fmt.Errorf("internal error: the endings of %s: %w", b.ID, list)
	}
	writeJSON(w, http.StatusOK, out)
	return nil
}

// endingsOf writes the endings of a scenario out as logs.
func (s *Server) endingsOf(ctx context.Context, sc *practice.Scenario, src *source) (lessonEndings, fault.List, error) {
	e := lessonEndings{Good: []string{}, Wrong: []string{}, Caught: sc.Caught}
	demo := string(s.Practices.DemoShelf())
	_, p, err := s.onePlan(ctx, &asking{Case: src, Shelf: &source{Text: &demo}})
	if err != nil || p == nil {
		return e, nil, err
	}
	good, list := practice.Written(p.Walk.Protocol, sc.Good)
	wrong, more := practice.Written(p.Walk.Protocol, sc.Wrong)
	e.Good, e.Wrong = append(e.Good, good...), append(e.Wrong, wrong...)
	return e, append(list, more...), nil
}

// savedTitle reads a saved practice and gives its title and its faults.
func (s *Server) savedTitle(t *text) (string, []Fault) {
	if len(t.faulty) > 0 {
		return "", t.faulty
	}
	saved, list := s.Practices.ReadSaved("practice", t.data)
	if saved == nil {
		return "", t.placed("practice", list)
	}
	return saved.Title, nil
}
