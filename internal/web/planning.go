package web

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"net/http"
	"slices"
	"strings"

	"backroad/internal/anatomy"
	"backroad/internal/archive"
	"backroad/internal/fault"
	"backroad/internal/house"
	"backroad/internal/plan"
	"backroad/internal/rail"
	"backroad/internal/risk"
)

// asking is the body of what plans.
type asking struct {
	Case   *source  `json:"case"`
	Shelf  *source  `json:"shelf"`
	House  *source  `json:"house"`
	Events []string `json:"events"`
	Show   *naming  `json:"show"`
	Want   []string `json:"want"` // null: all of it
}

// why is what a request can do without: why the kit was chosen, what clashes, what would
// mend it.
const why = "why"

// naming names one plan of a case.
type naming struct {
	Route     string            `json:"route"`
	Finish    anatomy.Finish    `json:"finish"`
	TreatOver anatomy.TreatOver `json:"treat_over"`
}

// mostEvents is how many sightings and movements a procedure has at most.
const mostEvents = 200

// used is which version of a document an answer was made from; 0: none of them.
type used struct {
	ID      string `json:"id"`
	Version int    `json:"version"`
}

type inputs struct {
	Case  used  `json:"case"`
	Shelf used  `json:"shelf"`
	House *used `json:"house"` // null: the built-in defaults
}

// read is what a request to plan came to: the inputs, or every fault.
type read struct {
	in     plan.Inputs
	refs   inputs
	texts  struct{ of, shelf, house *text } // house nil: the built-in defaults
	faults []Fault
}

// inputsOf reads all that a plan is made from.
func (s *Server) inputsOf(ctx context.Context, ask *asking) (*read, error) {
	if ask.Case == nil || ask.Shelf == nil {
		return nil, badRequest("a plan needs a case and a shelf")
	}
	for _, w := range ask.Want {
		if w != why {
			return nil, badRequest("there is no %q to want: there is %q", w, why)
		}
	}
	rd := &read{faults: []Fault{}}
	if err := s.textsOf(ctx, ask, rd); err != nil {
		return nil, err
	}
	shelf, faults := s.shelf(rd.texts.shelf)
	rd.faults = append(rd.faults, faults...)
	rd.in.Rules = s.defaults
	if rd.texts.house != nil {
		rd.in.Rules, faults = s.house(rd.texts.house)
		rd.faults = append(rd.faults, faults...)
	}
	rd.in.Case, faults = s.caseOf(rd.texts.of, shelf)
	rd.faults = append(append([]Fault{}, faults...), rd.faults...)
	rd.events(ask.Events)
	if len(rd.faults) == 0 {
		rd.in.Shelf = s.usable(rd.texts.shelf, shelf, rd.in.Case.Code)
	}
	return rd, nil
}

func (s *Server) textsOf(ctx context.Context, ask *asking, rd *read) (err error) {
	if rd.texts.of, err = s.textOf(ctx, archive.Case, ask.Case); err != nil {
		return err
	}
	if rd.texts.shelf, err = s.textOf(ctx, archive.Shelf, ask.Shelf); err != nil {
		return err
	}
	rd.refs.Case, rd.refs.Shelf = rd.texts.of.used(), rd.texts.shelf.used()
	if ask.House == nil {
		return nil
	}
	if rd.texts.house, err = s.textOf(ctx, archive.House, ask.House); err != nil {
		return err
	}
	u := rd.texts.house.used()
	rd.refs.House = &u
	return nil
}

func (t *text) used() used { return used{t.ref.ID, t.ref.Version} }

// events reads sightings and movements.
func (rd *read) events(list []string) {
	if len(list) > mostEvents {
		f := fault.New(fault.TooLarge, fmt.Sprintf("%d sightings and movements", len(list)), fmt.Sprintf("at most %d", mostEvents), "take the oldest away")
		rd.faults = append(rd.faults, faultJSON("events", Placed{Fault: *f}))
		return
	}
	for i, text := range list {
		e, f := eventOf(text)
		if f != nil {
			rd.faults = append(rd.faults, faultJSON(fmt.Sprintf("events/%d", i), Placed{Fault: *f}))
			continue
		}
		rd.in.Events = append(rd.in.Events, e)
	}
}

// eventOf reads one event: `moved donor_guide in 10 mm`, or a sighting.
func eventOf(text string) (rail.Event, *fault.Fault) {
	if rest, ok := strings.CutPrefix(text, "moved "); ok {
		e, f := rail.ParseMove(rest)
		if f != nil {
			f.Col += len("moved ")
		}
		return e, f
	}
	return rail.ParseSighting(text)
}

// made is the answer to a request to plan.
type made struct {
	Faults []Fault         `json:"faults"`
	Inputs inputs          `json:"inputs"`
	Plan   json.RawMessage `json:"plan"`
}

// plan answers with the plan of a case; nothing is stored.
func (s *Server) plan(w http.ResponseWriter, r *http.Request) error {
	var ask asking
	if err := body(r, &ask); err != nil {
		return err
	}
	rd, page, err := s.planned(r.Context(), &ask)
	if err != nil {
		return err
	}
	out := made{Faults: append([]Fault{}, rd.faults...), Inputs: rd.refs}
	if page != nil {
		if out.Plan, err = s.pageJSON(page); err != nil {
			return err
		}
	}
	writeJSON(w, http.StatusOK, out)
	return nil
}

// planned makes the plan of a request; with faults the page is nil.
func (s *Server) planned(ctx context.Context, ask *asking) (*read, *Page, error) {
	rd, err := s.inputsOf(ctx, ask)
	if err != nil || len(rd.faults) > 0 {
		return rd, nil, err
	}
	work := s.planner.Make
	if ask.Want != nil && !slices.Contains(ask.Want, why) {
		work = s.planner.Quick
	}
	result, err := work(ctx, rd.in)
	var refused *plan.Refused
	if errors.As(err, &refused) {
		rd.faults = append(rd.faults, refusal(refused, rd.in.Events))
		return rd, nil, nil
	}
	if err != nil {
		return nil, nil, err
	}
	page := &Page{Result: result, Shown: shown(result, ask.Show), Risk: risk.Of(rd.in.Case, rd.in.Rules)}
	if ask.Show != nil && page.Shown == nil {
		return nil, nil, &Error{Kind: NoPlan, Says: "the case has no such plan any more", Hint: "choose one of the ranking"}
	}
	if page.Shown == nil {
		return rd, page, nil
	}
	if page.Shown, err = s.withReasons(ctx, rd.in, result, page.Shown, work); err != nil {
		return nil, nil, err
	}
	s.clicks(rd, page)
	return rd, page, nil
}

// withReasons is a plan that is not the best with what the best one has: why its kit was
// chosen, what clashes, what would mend it, and its bail-outs. They are those of the case
// with its route and finish pinned, where that comes to the same plan; with sightings, the
// gear that is open is that of the best plan, and they are left out.
func (s *Server) withReasons(ctx context.Context, in plan.Inputs, r *plan.Result, p *plan.Plan, work func(context.Context, plan.Inputs) (*plan.Result, error)) (*plan.Plan, error) {
	if p == r.Best || len(in.Events) > 0 {
		return p, nil
	}
	c := *in.Case
	c.Choose.Given, c.Choose.Route, c.Choose.Finish = true, p.Route, p.Finish
	in.Case = &c
	alone, err := work(ctx, in)
	if err != nil {
		return nil, err
	}
	if b := alone.Best; b != nil && isSame(b, p) && maps.Equal(b.Kit, p.Kit) && b.Verdict == p.Verdict {
		q := *p
		q.Why, q.Clash, q.Fixes, q.Rescue = b.Why, b.Clash, b.Fixes, b.Rescue
		return &q, nil
	}
	return p, nil
}

// isSame reports whether two are the same way of one case.
func isSame(a, b *plan.Plan) bool {
	return a.Route == b.Route && a.Finish == b.Finish && a.TreatOver == b.TreatOver
}

// refusal is the fault of a sighting that was not absorbed.
func refusal(r *plan.Refused, events []rail.Event) Fault {
	f := fault.New(fault.BadRequest, events[r.Event].String(), "a reading that agrees with the plan; "+r.Text,
		"it was not absorbed: wrong device, a loop, misread, or has a guide moved? Enter the movement before it")
	return faultJSON(fmt.Sprintf("events/%d", r.Event), Placed{Fault: *f})
}

// shown is the plan that a request names, the best where it names none.
func shown(r *plan.Result, n *naming) *plan.Plan {
	if n == nil || r.Best == nil {
		return r.Best
	}
	for _, p := range append([]*plan.Plan{r.Best}, r.Alternatives...) {
		if p.Route == n.Route && p.Finish == n.Finish && (n.TreatOver == "" || p.TreatOver == n.TreatOver) {
			return p
		}
	}
	return nil
}

func (s *Server) pageJSON(p *Page) (json.RawMessage, error) {
	return written(func(w io.Writer) error { return s.Printer.Page(w, p) })
}

// written is what a printer writes.
func written(write func(io.Writer) error) (json.RawMessage, error) {
	var b bytes.Buffer
	if err := write(&b); err != nil {
		return nil, err
	}
	return bytes.TrimSpace(b.Bytes()), nil
}

// brief answers with the card of the plan shown, as an SVG page.
func (s *Server) brief(w http.ResponseWriter, r *http.Request) error {
	var ask asking
	if err := body(r, &ask); err != nil {
		return err
	}
	rd, page, err := s.planned(r.Context(), &ask)
	if err != nil {
		return err
	}
	data, err := s.card("svg", rd, page)
	if err != nil {
		return err
	}
	writeRaw(w, http.StatusOK, "image/svg+xml; charset=utf-8", data)
	return nil
}

// card makes the brief card of a page.
func (s *Server) card(format string, rd *read, page *Page) ([]byte, error) {
	switch {
	case len(rd.faults) > 0:
		return nil, &Error{Kind: Faulty, Says: "there is no card of inputs with faults", Hint: "mend what is listed", Faults: rd.faults}
	case page.Shown == nil:
		return nil, &Error{Kind: NoPlan, Says: "nothing could be planned, so there is no card", Hint: "the plan says of each way why it is not offered"}
	}
	data, err := s.Printer.Card(format, rd.in, first(page))
	if err != nil {
		return nil, &Error{Kind: NoPlan, Says: fault.OneLine(err.Error())}
	}
	return data, nil
}

// first is the result with the plan shown in the first place: a card is of that one.
func first(p *Page) *plan.Result {
	r := *p.Result
	r.Alternatives = nil
	r.Best = p.Shown
	for _, o := range append([]*plan.Plan{p.Result.Best}, p.Result.Alternatives...) {
		if !isSame(o, p.Shown) {
			r.Alternatives = append(r.Alternatives, o)
		}
	}
	return &r
}

// risking is the body of a request for risks or limits.
type risking struct {
	Case   *source           `json:"case"`
	House  *source           `json:"house"`
	Totals map[string]string `json:"totals"`
}

// caseAndRules reads a case without a shelf.
func (s *Server) caseAndRules(ctx context.Context, in *risking) (*anatomy.Case, *house.Rules, []Fault, error) {
	if in.Case == nil {
		return nil, nil, nil, badRequest("give a case")
	}
	t, err := s.textOf(ctx, archive.Case, in.Case)
	if err != nil {
		return nil, nil, nil, err
	}
	rules, all := s.defaults, []Fault{}
	if in.House != nil {
		h, err := s.textOf(ctx, archive.House, in.House)
		if err != nil {
			return nil, nil, nil, err
		}
		rules, all = s.house(h)
	}
	c, faults := s.caseOf(t, nil)
	return c, rules, append(append([]Fault{}, faults...), all...), nil
}

// risk answers with the scores and risks of a case.
func (s *Server) risk(w http.ResponseWriter, r *http.Request) error {
	var in risking
	if err := body(r, &in); err != nil {
		return err
	}
	c, rules, faults, err := s.caseAndRules(r.Context(), &in)
	if err != nil {
		return err
	}
	out := struct {
		Faults []Fault         `json:"faults"`
		Risk   json.RawMessage `json:"risk"`
	}{Faults: faults}
	if len(faults) == 0 {
		if out.Risk, err = written(func(w io.Writer) error { return s.Printer.Risk(w, risk.Of(c, rules)) }); err != nil {
			return err
		}
	}
	writeJSON(w, http.StatusOK, out)
	return nil
}

// limits answers with where the totals of a procedure stand.
func (s *Server) limits(w http.ResponseWriter, r *http.Request) error {
	var in risking
	if err := body(r, &in); err != nil {
		return err
	}
	c, rules, faults, err := s.caseAndRules(r.Context(), &in)
	if err != nil {
		return err
	}
	totals, list := s.Totals(in.Totals)
	for _, f := range list {
		faults = append(faults, faultJSON("totals", Placed{Fault: f, Path: "/" + f.File}))
	}
	out := struct {
		Faults []Fault         `json:"faults"`
		Limits json.RawMessage `json:"limits"`
	}{Faults: faults}
	if len(faults) == 0 {
		if out.Limits, err = written(func(w io.Writer) error { return s.Printer.Limits(w, risk.Stand(c, rules, totals)) }); err != nil {
			return err
		}
	}
	writeJSON(w, http.StatusOK, out)
	return nil
}
