package rail

import (
	"math"

	"backroad/internal/gauss"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/unit"
)

// Quantile95 is the 95th percentile of the standard normal distribution (any table of
// the normal distribution: 1.6449).
const Quantile95 = 1.645

// rulerSlack is how much of the best chance is given up to come nearer to the wished
// gap. Definition of the program.
const rulerSlack = 0.01

// settleWithin is how finely the set-point is sought, in millimetres: a fiftieth of
// what a ruler can set.
const settleWithin = 0.1

// Park is the parking window: where the retrograde microcatheter's tip may lie while
// gear runs over the rail, and what shows on its shaft then. All figures are means
// unless named otherwise; Known is false where an input is missing.
type Park struct {
	Known                  bool
	Missing                []string
	Lo, Hi                 unit.Length      // positions on the axis; Hi < Lo: there is no window
	ShowsMin, ShowsMax     unit.Length      // on the shaft: L - Hi, L - Lo
	Set, SetShows          unit.Length      // where to park, and what shows then
	Ruler                  unit.Probability // the best chance that a ruler alone finds the window
	LimitsCross            bool             // a ruler alone is not sharp enough: take a sighting first
	GuardedMin, GuardedMax unit.Length      // printed limits on the shaft, guarded and rounded inward
	Sharpen                []Sharper        // sightings that would help, best first; empty where none is needed
}

// Sharper is a sighting that would sharpen the parking mark.
type Sharper struct {
	Station Station
	Ruler   unit.Probability // what Ruler becomes when it reads as expected
}

// ParkWindow works out the parking window.
func (a *Axis) ParkWindow() Park {
	lo, hi, shaft := a.at.lo, a.at.hi, a.retro()
	both := hi.Minus(lo).Plus(shaft)
	if !a.knows(&lo) || !a.knows(&hi) || !a.knows(&shaft) {
		all := lo.Plus(hi).Plus(both)
		return Park{Missing: a.missing(&all)}
	}
	b := &a.belief
	p := Park{Known: true, Lo: unit.Length(b.Mean(&lo)), Hi: unit.Length(b.Mean(&hi))}
	showsHi, showsLo := shaft.Minus(hi), shaft.Minus(lo)
	p.ShowsMin, p.ShowsMax = unit.Length(b.Mean(&showsHi)), unit.Length(b.Mean(&showsLo))
	set, best := a.bestMark(b)
	p.Set, p.Ruler = unit.Length(set), unit.Probability(best)
	p.SetShows = unit.Length(b.Mean(&shaft)) - p.Set
	a.guard(&p, &showsHi, &showsLo)
	if best < a.setup.Rules.Float(house.Wish) {
		p.Sharpen = a.sharpeners(best)
	}
	return p
}

// guard works out the printed limits: the deviation of each end with the error of the
// mark in it, held off by its 95 % quantile, rounded inward.
func (a *Axis) guard(p *Park, showsHi, showsLo *gauss.Form) {
	mark, step := a.mm(house.MarkError), a.mm(house.MarkStep)
	low := a.belief.Mean(showsHi) + Quantile95*math.Hypot(a.belief.SD(showsHi), mark)
	high := a.belief.Mean(showsLo) - Quantile95*math.Hypot(a.belief.SD(showsLo), mark)
	p.GuardedMin = unit.Length(roundUp(low, step))
	p.GuardedMax = unit.Length(-roundUp(-high, step))
	p.LimitsCross = p.GuardedMin > p.GuardedMax
}

// roundUp rounds up to a multiple of step; a figure that is one already, but for a
// millionth of the step, stays.
func roundUp(v, step float64) float64 {
	if step <= 0 {
		return v
	}
	return math.Ceil(v/step-1e-6) * step
}

// parkChance gives P(lo <= set + e <= hi) as a function of set, e the error of a mark.
func (a *Axis) parkChance(b *gauss.Belief) (chance func(set float64) float64, lo, hi float64) {
	fLo, fHi := a.at.lo, a.at.hi
	mark2 := a.mm(house.MarkError) * a.mm(house.MarkError)
	lo, hi = b.Mean(&fLo), b.Mean(&fHi)
	c := b.Cov(&fLo, &fHi)
	cov := [][]float64{
		{b.Cov(&fLo, &fLo) + mark2, -c - mark2},
		{-c - mark2, b.Cov(&fHi, &fHi) + mark2},
	}
	mean := []float64{0, 0}
	return func(set float64) float64 {
		mean[0], mean[1] = set-lo, hi-set
		return gauss.Joint(mean, cov).P
	}, lo, hi
}

// bestMark finds the set-point: the highest chance, and among places within
// rulerSlack of it the one nearest to the wished gap. The chance is log-concave in the
// set-point, so one peak is all there is.
func (a *Axis) bestMark(b *gauss.Belief) (set, ruler float64) {
	chance, lo, hi := a.parkChance(b)
	wide := 3*a.mm(house.MarkError) + settleWithin
	peak, ruler := climb(chance, min(lo, hi)-wide, max(lo, hi)+wide)
	wish := hi + a.mm(house.Gap) - a.mm(house.GapWish)
	if lo <= hi { // the wish for a wider gap never bares the channel
		wish = max(wish, lo)
	}
	if chance(wish) >= ruler-rulerSlack {
		return wish, ruler
	}
	near, far := peak, wish // near is good enough, far is not
	for math.Abs(far-near) > settleWithin/2 {
		if mid := (near + far) / 2; chance(mid) >= ruler-rulerSlack {
			near = mid
		} else {
			far = mid
		}
	}
	return near, ruler
}

// climb finds the top of a function with one peak by golden sections.
func climb(f func(float64) float64, a, b float64) (x, top float64) {
	const golden = 0.6180339887498949
	c, d := b-golden*(b-a), a+golden*(b-a)
	fc, fd := f(c), f(d)
	for b-a > settleWithin {
		if fc >= fd {
			b, d, fd = d, c, fc
			c = b - golden*(b-a)
			fc = f(c)
		} else {
			a, c, fc = c, d, fd
			d = a + golden*(b-a)
			fd = f(d)
		}
	}
	if fc >= fd {
		return c, fc
	}
	return d, fd
}

// sharpeners tries the sightings that a team can take, and keeps those that help.
func (a *Axis) sharpeners(now float64) []Sharper {
	var found []Sharper
	for _, s := range []Station{ChannelExit, DistalCap, AntegradeTip} {
		f, why := a.reading(Event{Kind: Sighting, Role: gear.RetroMicrocatheter, Station: s})
		if why != "" {
			continue
		}
		f, own := a.withErrors(f, Event{}, false)
		after := a.belief
		after.Update(f, after.Mean(&f), own)
		if _, ruler := a.bestMark(&after); ruler > now {
			found = append(found, Sharper{s, unit.Probability(ruler)})
		}
	}
	for i := range found { // few: a plain insertion keeps the order of equals
		for j := i; j > 0 && found[j].Ruler > found[j-1].Ruler; j-- {
			found[j], found[j-1] = found[j-1], found[j]
		}
	}
	return found
}
