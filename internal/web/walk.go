package web

import (
	"context"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"

	"backroad/internal/plan"
	"backroad/internal/practice"
)

// walkMade is the answer to a request to walk through a plan.
type walkMade struct {
	Faults []Fault         `json:"faults"`
	Inputs inputs          `json:"inputs"`
	Walk   json.RawMessage `json:"walk"`
}

// walk answers with the way through a plan; nothing is stored.
func (s *Server) walk(w http.ResponseWriter, r *http.Request) error {
	var ask asking
	if err := body(r, &ask); err != nil {
		return err
	}
	rd, p, err := s.onePlan(r.Context(), &ask)
	if err != nil {
		return err
	}
	out := walkMade{Faults: append([]Fault{}, rd.faults...), Inputs: rd.refs}
	if p != nil {
		walk := practice.Through(p.Walk)
		if out.Walk, err = written(func(w io.Writer) error { return s.Practising.Walk(w, p, walk) }); err != nil {
			return err
		}
	}
	writeJSON(w, http.StatusOK, out)
	return nil
}

// onePlan makes the plan that a request names; it is nil with faults, and where nothing
// can be planned.
func (s *Server) onePlan(ctx context.Context, ask *asking) (*read, *plan.Plan, error) {
	rd, err := s.inputsOf(ctx, ask)
	if err != nil || len(rd.faults) > 0 {
		return rd, nil, err
	}
	made := s.makeOnce(ctx, rd, ask.Events)
	var refused *plan.Refused
	if errors.As(made.err, &refused) {
		rd.faults = append(rd.faults, refusal(refused, rd.in.Events))
		return rd, nil, nil
	}
	if made.err != nil {
		return nil, nil, made.err
	}
	p := shown(made.result, ask.Show)
	if ask.Show != nil && p == nil {
		return nil, nil, &Error{Kind: NoPlan, Says: "the case has no such plan", Hint: "choose one of the ranking"}
	}
	return rd, p, nil
}

// makeOutcome is what making a plan came to. It is shared and must not be changed.
type makeOutcome struct {
	result *plan.Result
	err    error
}

// makeOnce makes the plan of inputs, or remembers it: a practice asks for the same one
// with every line. Who goes away meanwhile does not spoil it for the next.
func (s *Server) makeOnce(ctx context.Context, rd *read, events []string) makeOutcome {
	house := []byte(nil)
	if rd.texts.house != nil {
		house = rd.texts.house.data
	}
	key := keyOf(append([]string{string(rd.texts.of.data), string(rd.texts.shelf.data), string(house), fmt.Sprint(s.Today())}, events...))
	return remember(s.memory, "plan", key, func() makeOutcome {
		result, err := s.planner.Make(context.WithoutCancel(ctx), rd.in)
		return makeOutcome{result, err}
	})
}

// keyOf joins texts so that no two lists give the same bytes.
func keyOf(texts []string) []byte {
	var key []byte
	for _, t := range texts {
		key = binary.AppendUvarint(key, uint64(len(t)))
		key = append(key, t...)
	}
	return key
}
