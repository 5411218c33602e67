package limits

import (
	"math"

	"backroad/internal/interval"
	"backroad/internal/unit"
)

// Forecast says in how many minutes from now a line is reached if the pace stays what
// it was.
//
// Mean divides what is left by the average pace so far. Low and High depend on Method:
//
//	Portions  The total came in n portions, taken as equal and as falling at random at one
//	          pace. What is left is m such portions; the time to the m-th is compared with
//	          the time that the first n took. In such a stream the chance that a range is
//	          given and misses is at most 1 - ForecastLevel.
//	Stretches The slowest and the fastest pace between the totals that were noted on the
//	          way. It says what the pace has been; it has no probability.
//	Clock     Time runs by itself: no range.
//
// No range knows that the next hour is unlike the last: a change of strategy, a switch
// to stenting or fewer runs make it wrong, and uneven portions make it too narrow.
type Forecast struct {
	Known     bool // there is a mean
	Mean      unit.Duration
	HasRange  bool
	Low, High unit.Duration // High may be infinite: at the slowest pace never
	Method    Method
	Missing   []string
}

// Method is how the range of a forecast came about.
type Method string

// The methods.
const (
	Portions  Method = "equal portions at random, one pace"
	Stretches Method = "slowest and fastest pace so far"
	Clock     Method = "clock"
)

// ForecastLevel is the level of the range by portions. It is a choice of how to show
// things, no finding: nine in ten, so that a range stays short enough to be of use.
const ForecastLevel interval.Level = 0.90

// Mark is a total that was noted on the way.
type Mark struct {
	At    unit.Duration
	Total float64
}

// Pace is how a total came together: since when, in how many portions (injections,
// runs), and what was noted on the way. Portions and Marks may be missing.
type Pace struct {
	Elapsed  unit.Measured[unit.Duration]
	Portions int    // 0: not counted
	Marks    []Mark // in order of time, before now
}

// Ahead forecasts when the next line of a standing is reached.
func Ahead(s Standing, p Pace) Forecast {
	switch {
	case !s.Known:
		return Forecast{Missing: []string{s.Measure.String()}}
	case !s.HasNext:
		return Forecast{Missing: []string{"a further line"}}
	case s.Measure == SinceClotting || s.Measure == InDonor:
		away := unit.Duration(s.Away)
		return Forecast{Known: true, Mean: away, HasRange: true, Low: away, High: away, Method: Clock}
	case !p.Elapsed.Known() || !(p.Elapsed.Value > 0):
		return Forecast{Missing: []string{"the minutes elapsed"}}
	case s.Total == 0:
		return Forecast{Missing: []string{"a first amount: there is no pace yet"}}
	}
	f := Forecast{Known: true, Mean: unit.Duration(s.Away/s.Total) * p.Elapsed.Value}
	switch {
	case p.Portions > 0:
		f.byPortions(s, p)
	case len(p.Marks) > 0:
		f.byStretches(s, p)
	default:
		f.Missing = []string{"the number of portions (injections, runs), or totals noted on the way, for a range"}
	}
	return f
}

// byPortions is the prediction interval for the m-th further event of a Poisson stream
// of which n fell in the time so far. The share of the whole time that lies ahead is a
// beta variable: of (m, n) if the time so far is taken to end with the n-th portion, of
// (m, n+1) if it ends just before the next. Taking each for the end where it is wider
// makes the interval cautious; the two quantiles are ends of exact intervals for a
// proportion.
func (f *Forecast) byPortions(s Standing, p Pace) {
	n, m := p.Portions, further(s, p.Portions)
	low, _ := interval.Exact(m, m+n, ForecastLevel)
	high, _ := interval.Exact(m-1, m+n-1, ForecastLevel)
	f.HasRange, f.Method = true, Portions
	f.Low = min(p.Elapsed.Value*unit.Duration(low.Low/(1-low.Low)), f.Mean)
	f.High = max(p.Elapsed.Value*unit.Duration(high.High/(1-high.High)), f.Mean)
}

// mostPortions bounds the further portions reckoned with: beyond, the range hardly
// differs from the mean.
const mostPortions = 100_000

// further is how many portions of the size so far pass the next line.
func further(s Standing, n int) int {
	m := s.Away / (s.Total / float64(n))
	if !s.On {
		m = math.Floor(m) + 1
	}
	return int(min(max(math.Ceil(m), 1), mostPortions))
}

// byStretches takes the slowest and the fastest pace between marks.
func (f *Forecast) byStretches(s Standing, p Pace) {
	slow, fast := math.Inf(1), 0.0
	last := Mark{}
	for i := range len(p.Marks) + 1 {
		next := Mark{p.Elapsed.Value, s.Total}
		if i < len(p.Marks) {
			next = p.Marks[i]
		}
		if next.Total < last.Total || !(next.At >= last.At) {
			f.Missing = []string{"noted totals in order, none above a later one"}
			return
		}
		if next.At == last.At {
			continue
		}
		pace := (next.Total - last.Total) / float64(next.At-last.At)
		slow, fast = min(slow, pace), max(fast, pace)
		last = next
	}
	f.HasRange, f.Method = true, Stretches
	f.Low, f.High = min(unit.Duration(s.Away/fast), f.Mean), max(unit.Duration(s.Away/slow), f.Mean)
}
