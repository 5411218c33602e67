package draw

import (
	"math"

	"backroad/internal/unit"
)

// span is the part of the axis that is drawn to scale.
type span struct{ lo, hi float64 }

// What the span is made of, in axis mm.
const (
	nearTip   = 60.0 // stations and tips no farther than this beyond the rest are drawn too: the deepest berth wished for is 50
	leastSpan = 20.0 // a shorter route is drawn as if it were this long
	leastRim  = 8.0  // beyond what is drawn, so that a tip is seen to end
	rimShare  = 0.03 // and at least this part of the span
)

// spanOf finds the part to draw: between the tips of the guides, with the channel, the
// occlusion, an extension and the parking place wherever they are, and with stations
// and tips of gear that lie near.
func spanOf(r *Rail) span {
	s := span{math.Inf(1), math.Inf(-1)}
	s.take(r.DonorGuide[1], r.AntegradeGuide[1], r.Channel[0], r.Channel[1], r.Occlusion[0], r.Occlusion[1])
	if r.Extension != nil {
		s.take(r.Extension[1])
	}
	if r.Window != nil {
		s.take(r.Window[0], r.Window[1])
	}
	if r.Set != nil {
		s.take(*r.Set)
	}
	if s.lo > s.hi {
		s = span{0, 0}
	}
	near := s
	for _, d := range r.Devices {
		s.takeNear(near, d.Tip)
	}
	for _, st := range r.Stations {
		s.takeNear(near, st.At)
	}
	return s.rimmed()
}

// take widens the span to hold positions; what is no number is passed over.
func (s *span) take(at ...unit.Length) {
	for _, a := range at {
		if isPlace(a) {
			s.lo, s.hi = min(s.lo, float64(a)), max(s.hi, float64(a))
		}
	}
}

func (s *span) takeNear(near span, at unit.Length) {
	if float64(at) >= near.lo-nearTip && float64(at) <= near.hi+nearTip {
		s.take(at)
	}
}

func (s span) rimmed() span {
	if short := leastSpan - (s.hi - s.lo); short > 0 {
		s.lo, s.hi = s.lo-short/2, s.hi+short/2
	}
	rim := max(leastRim, rimShare*(s.hi-s.lo))
	return span{s.lo - rim, s.hi + rim}
}

// holds reports whether a position lies in the span.
func (s span) holds(at unit.Length) bool { return float64(at) >= s.lo && float64(at) <= s.hi }
