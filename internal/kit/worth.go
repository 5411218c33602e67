package kit

import (
	"encoding/binary"
	"math"

	"backroad/internal/house"
	"backroad/internal/rail"
	"backroad/internal/verdict"
)

// bound is the score of a whole pick but for the joint probability and the fall-back.
func (p *problem) bound(pick []int) score {
	t := nothing
	for n := range p.rows {
		if p.skip == nil || !p.skip[n] {
			t.count(&p.rows[n], p.lookUp(&p.rows[n], p.placeOf(n, pick)))
		}
	}
	all := p.sumsOf(pick)
	s := p.scoreOf(&t, &all, p.lacks(pick))
	if p.falls != nil {
		s[p.spots.fallback] = p.falls.known(p, pick)
	}
	return s
}

// scoreOf makes a score of the rows' tally and of what the items themselves are worth.
func (p *problem) scoreOf(t *tally, all *sums, lacks bool) (s score) {
	at := &p.spots
	s[at.verdict], s[at.probability] = t.grave, t.lost
	if lacks {
		s[at.complete], s[at.verdict], s[at.probability] = 1, graveOf(verdict.Fails), 1000
	}
	s[at.failures], s[at.bailouts], s[at.reach], s[at.spare] = t.fails, -t.bails, t.reach, t.spare
	s[at.access], s[at.preference], s[at.last], s[at.loop] = all.french, -all.prefer, all.last, -all.loop
	return s
}

// farOut is the hundredths of what is without bounds.
const farOut = 1e14

// hundredths rounds to hundredths; what is without bounds stays far out.
func hundredths(v float64) int64 { return int64(math.Round(max(-1e12, min(1e12, v)) * 100)) }

// exact works out what a whole pick's bound leaves open: the joint probability and the
// fall-back.
func (p *problem) exact(pick []int, s score) score {
	v := s.verdict(p.at)
	if p.skip == nil && !p.lacks(pick) && v != verdict.Unknown && s[p.at[LevelProbability]] < 1000 {
		prob := p.joint(pick)
		s[p.at[LevelProbability]] = 1000 - int64(math.Round(prob*1000))
		if v == verdict.Works && prob < p.request.Setup.Rules.Float(house.Wish) {
			s[p.at[LevelVerdict]] = graveOf(verdict.Tight)
		}
	}
	if p.falls != nil {
		s[p.at[LevelFallback]] = p.falls.ask(p, pick)
	}
	return s
}

// joint is the joint probability of a whole pick, worked out once for all kits of the
// same lengths.
func (p *problem) joint(pick []int) float64 {
	var key []byte
	for i := range p.rows {
		r := &p.rows[i]
		if r.fit || r.bail != nil {
			continue
		}
		key = binary.LittleEndian.AppendUint64(key, uint64(p.placeOf(i, pick)))
	}
	if v, ok := p.joints[string(key)]; ok {
		return v
	}
	for i := range p.roles {
		p.fill(i, p.item(pick, i))
	}
	p.settle()
	var margins []rail.Margin
	for i := range p.rows {
		if r := &p.rows[i]; !r.fit {
			if m, counts := p.axis.Ask(r.id); counts {
				margins = append(margins, m)
			}
		}
	}
	_, prob, unknown := p.axis.Judge(margins)
	v := float64(prob)
	if unknown {
		v = 0
	}
	p.joints[string(key)] = v
	return v
}
