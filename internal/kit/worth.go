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

// joint is the joint probability of a whole pick.
func (p *problem) joint(pick []int) float64 {
	j := p.jointly(pick)
	v, ok := p.joints[j.key]
	if !ok {
		_, prob, unknown := p.axis.Judge(p.marginsOf(pick))
		if v = float64(prob); unknown {
			v = 0
		}
		p.joints[j.key] = v
	}
	return v
}

// jointly is what two margins at a time say of a pick's joint probability.
type jointly struct {
	most float64 // it is no more than this
	key  string  // kits that agree in it agree in the joint probability
}

// pairSlack is what a joint probability by quasi-random points may come out too high:
// five of the largest standard errors that package gauss states.
const pairSlack = 0.005

// jointly looks at the margins of length two by two, once for all kits of the same sizes.
//
// Law K10. All margins hold at most as often as any two of them do.
//
// Law K11. Kits whose margins have the same means, deviations and probabilities of each
// two have the same joint probability: with the means and deviations, what two margins
// come to together tells their correlation, and nothing else goes into the joint
// probability of Gaussians. Where it tells the correlation badly, the joint probability
// depends on it as little: it changes with a correlation no more than the pair does.
func (p *problem) jointly(pick []int) jointly {
	sizes := p.lengthKey(pick)
	if j, ok := p.pairs[sizes]; ok {
		return j
	}
	margins := p.marginsOf(pick)
	j, key := jointly{most: 1}, []byte{}
	note := func(v float64) { key = binary.LittleEndian.AppendUint64(key, math.Float64bits(v)) }
	for i := range margins {
		a := &margins[i]
		switch {
		case !a.Known():
			note(math.NaN())
			continue
		case a.P == 1: // it holds for certain
			continue
		}
		note(float64(a.Mean))
		note(float64(a.SD))
		for k := range i {
			if b := &margins[k]; b.Known() && b.P < 1 {
				_, both, _ := p.axis.Judge([]rail.Margin{*a, *b})
				note(float64(both))
				j.most = min(j.most, float64(both)+pairSlack)
			}
		}
	}
	j.key = string(key)
	p.pairs[sizes] = j
	return j
}

// lengthKey tells apart the kits whose margins of length are of different sizes.
func (p *problem) lengthKey(pick []int) string {
	var key []byte
	for i := range p.rows {
		if r := &p.rows[i]; !r.fit && r.bail == nil {
			key = binary.LittleEndian.AppendUint64(key, uint64(p.placeOf(i, pick)))
		}
	}
	return string(key)
}

// marginsOf are the margins of length of a pick.
func (p *problem) marginsOf(pick []int) (margins []rail.Margin) {
	for i := range p.roles {
		p.fill(i, p.item(pick, i))
	}
	p.settle()
	for i := range p.rows {
		if r := &p.rows[i]; !r.fit && r.bail == nil {
			if m, counts := p.axis.Ask(r.id); counts {
				margins = append(margins, m)
			}
		}
	}
	return margins
}

// sharper is a whole pick's bound with what pairs of margins say.
func (p *problem) sharper(pick []int, s score) score {
	if v := s.verdict(p.at); p.skip == nil && !p.lacks(pick) && v != verdict.Unknown && s[p.spots.probability] < 1000 {
		s[p.spots.probability] = max(s[p.spots.probability], 1000-int64(math.Round(p.jointly(pick).most*1000)))
	}
	return s
}
