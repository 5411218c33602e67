package web

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strings"

	"backroad/internal/anatomy"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/plan"
	"backroad/internal/rail"
	"backroad/internal/rehearsal"
	"backroad/internal/report"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

// about answers with what the program is and where it keeps things.
func (s *Server) about(w http.ResponseWriter, r *http.Request) error {
	schemas := map[string]string{}
	for kind, name := range s.Forms.Schemas() {
		schemas[string(kind)] = name
	}
	writeJSON(w, http.StatusOK, struct {
		Notice  string            `json:"notice"`
		Version string            `json:"version"`
		Store   string            `json:"store"`
		Schemas map[string]string `json:"schemas"`
		Today   string            `json:"today"`
		Demo    bool              `json:"demo"`
	}{plan.Notice, s.Version, s.Store, schemas, s.Today().String(), s.Demo})
	return nil
}

// getWords answers with what the pages explain and offer.
func (s *Server) getWords(w http.ResponseWriter, r *http.Request) error {
	data, err := s.words()
	if err != nil {
		return err
	}
	writeRaw(w, http.StatusOK, "application/json; charset=utf-8", data)
	return nil
}

func (s *Server) makeWords() ([]byte, error) { return json.Marshal(s.allWords()) }

// words is what the pages explain and offer; nothing of it depends on a case.
type words struct {
	Rules     []ruleWords         `json:"rules"`
	Margins   []marginWords       `json:"margins"`
	Settings  []settingWords      `json:"settings"`
	Roles     []roleWords         `json:"roles"`
	Classes   []ClassWords        `json:"classes"`
	Finishes  []named             `json:"finishes"`
	Typical   []typicalWords      `json:"typical"`
	CaseKeys  map[string]KeyWords `json:"case_keys"`
	Protocols []protocolWords     `json:"protocols"`
}

type ruleWords struct {
	ID       string           `json:"id"`
	Severity verdict.Severity `json:"severity"`
	Says     string           `json:"says"`
	Source   string           `json:"source"`
}

type marginWords struct {
	ID      string `json:"id"`
	Says    string `json:"says"`
	Formula string `json:"formula"`
}

// settingWords is a setting as the program has it.
type settingWords struct {
	Name   string `json:"name"`
	Says   string `json:"says"`
	Value  string `json:"value"` // as a file would write it, "" where it is not set
	Kind   string `json:"kind"`  // of quantity, "" for a number
	Form   string `json:"form"`  // quantity, number, whole
	Source string `json:"source"`
	Own    bool   `json:"own"` // a house sets it itself: the program has no value
}

type roleWords struct {
	ID      gear.Role    `json:"id"`
	Name    string       `json:"name"`
	Classes []gear.Class `json:"classes"`
}

type named struct {
	ID   string `json:"id"`
	Name string `json:"name"`
}

type typicalWords struct {
	ID     string             `json:"id"`
	Closed string             `json:"closed"`
	Says   string             `json:"says"`
	Kind   string             `json:"channel"`
	Legs   map[string]float64 `json:"legs"` // mm
	Source string             `json:"source"`
}

type protocolWords struct {
	Key       string      `json:"key"` // in a house file
	Finish    string      `json:"finish"`
	TreatOver string      `json:"treat_over"`
	Steps     []stepWords `json:"steps"`
}

type stepWords struct {
	ID       string   `json:"id"`
	Title    string   `json:"title"`
	Do       []string `json:"do"`
	As       string   `json:"as"` // a named exception, "" for none
	Holds    []string `json:"holds"`
	Watch    string   `json:"watch"`
	Who      string   `json:"who"`
	IfFails  string   `json:"if_it_fails"`
	Optional bool     `json:"optional"`
}

func (s *Server) allWords() words {
	of := s.Forms.Words()
	w := words{Classes: of.Classes, CaseKeys: of.CaseKeys, Settings: settings(), Roles: roles(), Typical: typicals(), Protocols: protocols()}
	for _, r := range rail.AllRules() {
		w.Rules = append(w.Rules, ruleWords{r.ID, r.Severity, r.Says, r.Source.String()})
	}
	for _, m := range rail.MarginsInWords() {
		w.Margins = append(w.Margins, marginWords{m.ID, m.Says, m.Formula})
	}
	for _, f := range anatomy.Finishes {
		w.Finishes = append(w.Finishes, named{string(f), report.FinishWords(f)})
	}
	return w
}

func settings() []settingWords {
	var list []settingWords
	rules := house.Defaults()
	for id := range house.ID(house.Count) {
		s := rules.Get(id)
		w := settingWords{Name: s.Name, Says: s.Says, Form: formNames[s.Form], Source: s.Source.String(), Own: !s.Value.Known()}
		switch {
		case s.Form != house.Quantity && s.Value.Known():
			w.Value = fmt.Sprint(s.Value.Value)
		case s.Value.Known():
			w.Value = unit.Print(s.Value, s.Kind)
		}
		if s.Form == house.Quantity {
			w.Kind = s.Kind.Name()
		}
		list = append(list, w)
	}
	return list
}

var formNames = map[house.Form]string{house.Quantity: "quantity", house.Number: "number", house.Whole: "whole"}

func roles() []roleWords {
	var list []roleWords
	for _, r := range gear.Roles {
		needs, _ := gear.NeedsOf(r)
		list = append(list, roleWords{r, strings.ReplaceAll(string(r), "_", " "), needs.Classes})
	}
	return list
}

func typicals() []typicalWords {
	var list []typicalWords
	for _, t := range anatomy.TypicalRoutes {
		list = append(list, typicalWords{ID: t.Name, Closed: t.Closed, Says: t.Says, Kind: string(t.Channel), Source: anatomy.TypicalSource.String(),
			Legs: map[string]float64{"donor_run": float64(t.DonorRun), "channel": float64(t.ChannelRun), "recipient_run": float64(t.RecipientRun), "cap_to_ostium": float64(t.CapToOstium)}})
	}
	return list
}

// protocols are the built-in orders of steps, as they are on a septal channel where the
// tip is sighted on its way back.
func protocols() []protocolWords {
	var list []protocolWords
	for _, f := range anatomy.Finishes {
		for _, over := range []anatomy.TreatOver{anatomy.Rail, anatomy.AntegradeWire} {
			if f == anatomy.TipIn && over == anatomy.Rail {
				continue
			}
			p := rehearsal.Default(rehearsal.Course{Finish: f, Over: over, Channel: anatomy.Septal, Sight: true})
			w := protocolWords{Key: house.ProtocolKey(string(f), string(over)), Finish: string(f), TreatOver: string(over)}
			for _, st := range rehearsal.Written(p) {
				w.Steps = append(w.Steps, stepWords{st.ID, st.Title, append([]string{}, st.Do...), st.As, append([]string{}, st.Holds...), st.Watch, st.Who, st.IfFails, st.Optional})
			}
			list = append(list, w)
		}
	}
	return list
}
