package kit

import (
	"context"

	"backroad/internal/rail"
)

// Exact finds the best kit there is: branch and bound over the roles, with the best
// answer that each row can still come to as its bound.
type Exact struct {
	plain bool // neither dominance nor bounds: for tests
}

// NewExact returns the exact chooser.
func NewExact() Exact { return Exact{} }

var _ Chooser = Exact{}

// Choose implements Chooser.
func (e Exact) Choose(ctx context.Context, r *Request) (Choice, error) {
	p := newProblem(r, nil, !e.plain)
	if len(r.Fallbacks) > 0 {
		p.falls = newFallbacks(p)
	}
	s := &search{problem: p, ctx: ctx, plain: e.plain}
	if err := s.run(); err != nil {
		return Choice{}, err
	}
	return s.choice(), nil
}

// choice is what the search has found.
func (s *search) choice() Choice {
	c := Choice{Kit: s.kit(s.best)}
	for _, role := range rail.Roles(s.request.Setup.Finish, s.request.Setup.TreatOver) {
		if c.Kit[role] == nil {
			c.Missing = append(c.Missing, role)
		}
	}
	c.score, c.order = s.score, orderOf(s.request.Order)
	return c
}
