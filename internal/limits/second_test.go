package limits

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"backroad/internal/dose"
	"backroad/internal/house"
	"backroad/internal/patient"
	"backroad/internal/renal"
	"backroad/internal/unit"
)

// mark is a line as the second implementation draws it.
type mark struct {
	at float64
	on bool
}

// secondContrast draws the lines for contrast from the papers' formulas and cuts (those
// named in TestContrastLines and in package renal's TestThresholds), with nothing of
// package renal: kg, years, mg/dL, mg of iodine per mL.
func secondContrast(woman bool, age, kg, mgdl, strength float64) []mark {
	knot, slope, factor, share := 0.9, -0.302, 1.0, 1.0
	if woman {
		knot, slope, factor, share = 0.7, -0.241, 1.012, 0.85
	}
	if mgdl > knot {
		slope = -1.2
	}
	gfr := 142 * math.Exp(slope*math.Log(mgdl/knot)) * math.Exp(age*math.Log(0.9938)) * factor
	crcl := share * kg * (140 - age) / mgdl / 72
	lines := []mark{{2 * crcl, false}, {3 * crcl, false}, {4 * crcl, true}, {6.15 * crcl, true}, {1.78 * gfr, true}, {2.39 * gfr, true}, {1000 * gfr / strength, true}}
	if gfr < 30 {
		lines = append(lines, mark{gfr, true})
	}
	numerator, result := math.Min(5*kg, 300)/mgdl, math.Min(5*kg/mgdl, 300)
	lines = append(lines, mark{math.Min(numerator, result), false})
	if math.Abs(numerator-result) > 1e-9*result {
		lines = append(lines, mark{math.Max(numerator, result), false})
	}
	slices.SortFunc(lines, func(a, b mark) int {
		if a.at < b.at {
			return -1
		}
		return 1
	})
	return lines
}

// TestSecond: on random patients the lines for contrast are those of secondContrast, and
// a total stands where a walk along them says.
func TestSecond(t *testing.T) {
	rng := draw(t)
	for range 1500 {
		woman, age, kg, mgdl, strength := rng.IntN(2) == 0, 18+75*rng.Float64(), 40+100*rng.Float64(), 0.4+5*rng.Float64(), 200+200*rng.Float64()
		p := patient.Patient{Sex: patient.Male, Age: unit.Exactly(unit.Age(age)), Weight: unit.Exactly(unit.Mass(kg)), Creatinine: unit.Exactly(unit.Creatinine(88.4 * mgdl))}
		if woman {
			p.Sex = patient.Female
		}
		b := For(p, unit.Exactly(renal.Strength(strength)), renal.Actual, house.Defaults())
		want, got := secondContrast(woman, age, kg, mgdl, strength), b.Ladder(Contrast).Lines
		if len(got) != len(want) {
			t.Fatalf("%+v: %d lines, second %d", p, len(got), len(want))
		}
		for i, w := range want {
			if math.Abs(got[i].At-w.at) > 1e-9*w.at {
				t.Fatalf("%+v line %d: %v, second %v", p, i, got[i].At, w.at)
			}
		}
		secondStanding(t, b, want, rng)
	}
}

// secondStanding draws a total that lies on no line, so that roundings don't matter.
func secondStanding(t *testing.T, b *Book, lines []mark, rng *rand.Rand) {
	t.Helper()
	total, passed, next := 700*rng.Float64(), 0, math.Inf(1)
	for _, l := range lines {
		if math.Abs(l.at-total) < 1e-6 {
			return
		}
		if l.at < total {
			passed++
		} else {
			next = math.Min(next, l.at)
		}
	}
	s := b.Stand(&Totals{Contrast: unit.Exactly(renal.Volume(total))})[Contrast]
	if !s.Known || s.Passed != passed || s.HasNext == math.IsInf(next, 1) {
		t.Fatalf("%v mL: %+v, second %d passed, next %v", total, s, passed, next)
	}
	if s.HasNext && math.Abs(s.Away-(next-total)) > 1e-9*next {
		t.Fatalf("%v mL: %v away, second %v", total, s.Away, next-total)
	}
}

// TestSecondSteps: the steps of the follow-up rules (Interventional Cardiology 2014, DOI
// 10.15420/icr.2014.9.3.201: more than 5 and 10 Gy), and of a clock that comes again by
// counting it up; the pace of a total by minutes for each unit.
func TestSecondSteps(t *testing.T) {
	rng := draw(t)
	b := book(man())
	every := b.Ladder(InDonor).Every
	for range 2000 {
		gray, minutes, since := 15*rng.Float64(), 400*rng.Float64(), 1+200*rng.Float64()
		board := b.Stand(&Totals{AirKerma: unit.Exactly(dose.AirKerma(gray)), InDonor: unit.Exactly(unit.Duration(minutes))})
		passed := 0
		for _, step := range []float64{5, 10} {
			if gray > step {
				passed++
			}
		}
		if board[AirKerma].Passed != passed || board[AirKerma].HasNext != (passed < 2) {
			t.Fatalf("%v Gy: %+v", gray, board[AirKerma])
		}
		rounds, due := 0, every
		for due <= minutes {
			rounds, due = rounds+1, due+every
		}
		if s := board[InDonor]; s.Passed != rounds || math.Abs(s.Away-(due-minutes)) > 1e-9*due {
			t.Fatalf("%v min: %+v, second %d rounds, due at %v", minutes, s, rounds, due)
		}
		if f := Ahead(board[AirKerma], Pace{Elapsed: elapsed(since)}); passed < 2 {
			want := (5*float64(passed+1) - gray) * (since / gray)
			if math.Abs(float64(f.Mean)-want) > 1e-9*want+1e-12 {
				t.Fatalf("%v Gy in %v min: %+v, second %v", gray, since, f, want)
			}
		}
	}
}
