package draw

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"backroad/internal/unit"
	"backroad/internal/verdict"
)

// eachSection runs a law on the invented sections and on random ones.
func eachSection(t *testing.T, law func(what string, s *Section, size, perMM float64, rec *recorder)) {
	t.Helper()
	run := func(what string, s *Section, size, perMM float64) {
		rec := &recorder{}
		DrawSection(rec, 5, 9, size, s, perMM)
		law(what, s, size, perMM, rec)
	}
	for _, s := range sections() {
		run(s.Title, s, 42, SectionScale(42, sections()...))
	}
	seed := rand.Uint64()
	for n := range 200 {
		rng := rand.New(rand.NewPCG(seed, uint64(n)))
		s := &Section{Title: randomName(rng, n), Bore: unit.Length(0.5 + 2*rng.Float64()), Spare: unit.Length(rng.NormFloat64()), Verdict: verdict.Verdict(rng.IntN(4))}
		for range rng.IntN(5) {
			s.Circles = append(s.Circles, SectionCircle{randomName(rng, 0), unit.Length(0.2 + rng.Float64())})
		}
		size := 15 + 40*rng.Float64()
		perMM := SectionScale(size, s) * (0.3 + 0.7*rng.Float64())
		if rng.IntN(10) == 0 {
			perMM *= 4 // too large
		}
		run(fmt.Sprintf("seed %d, section %d", seed, n), s, size, perMM)
	}
}

// circles reads a section's devices and bore back from the paper: centre and true size
// in mm of the device. A device ends at the outer edge of its line, the bore begins at
// the inner edge of its ring, which is the heaviest line.
func circles(rec *recorder, perMM float64) (devices []disc, bore disc) {
	for _, o := range rec.ops {
		if o.kind != "circle" {
			continue
		}
		x, y := o.points[0].X/perMM, o.points[0].Y/perMM
		switch {
		case o.filled:
			devices = append(devices, disc{x, y, (o.r + o.stroke/2) / perMM})
		case o.stroke == 0.7:
			bore = disc{x, y, (o.r - o.stroke/2) / perMM}
		}
	}
	return devices, bore
}

// TestD7ToScale: every circle has the size that was asked, none overlaps another, and
// what fits lies in the bore. That it fits is known from elsewhere: the sum of the two
// diameters for two, the sum of all of them as a bound for more.
func TestD7ToScale(t *testing.T) {
	const rounding = 1e-6 // mm of the device: what package lumen promises for its packing
	drawn := 0
	eachSection(t, func(what string, s *Section, size, perMM float64, rec *recorder) {
		devices, bore := circles(rec, perMM)
		if len(devices) == 0 && bore.r == 0 {
			return // too large, which TestTooLarge looks at
		}
		drawn++
		if math.Abs(2*bore.r-float64(s.Bore)) > rounding {
			t.Errorf("%s: bore %g drawn as %g", what, float64(s.Bore), 2*bore.r)
		}
		if len(devices) != len(s.Circles) {
			t.Fatalf("%s: %d devices drawn of %d", what, len(devices), len(s.Circles))
		}
		sum := 0.0
		for i, d := range devices {
			sum += 2 * d.r
			if math.Abs(2*d.r-float64(s.Circles[i].Diameter)) > rounding {
				t.Errorf("%s: device %d of %g drawn as %g", what, i+1, float64(s.Circles[i].Diameter), 2*d.r)
			}
			for _, e := range devices[:i] {
				if math.Hypot(d.x-e.x, d.y-e.y) < d.r+e.r-rounding {
					t.Errorf("%s: devices overlap: %v %v", what, d, e)
				}
			}
		}
		for _, d := range devices {
			if sum <= float64(s.Bore) && math.Hypot(d.x-bore.x, d.y-bore.y)+d.r > bore.r+rounding {
				t.Errorf("%s: %v leaves the bore %v, though all side by side would go in", what, d, bore)
			}
			if len(devices) == 2 && sum > float64(s.Bore)+rounding && math.Hypot(d.x-bore.x, d.y-bore.y)+d.r <= bore.r {
				t.Errorf("%s: %v does not stick out, though the two are wider than the bore", what, d)
			}
		}
	})
	if drawn < 150 {
		t.Errorf("only %d sections drawn", drawn)
	}
}

// TestSectionScale: the largest section fills its cell; the scale bar agrees.
func TestSectionScale(t *testing.T) {
	s := &Section{"t", 2, []SectionCircle{{"a", 1.5}, {"b", 1.5}}, -1, verdict.Fails, 0} // 3 mm across
	perMM := SectionScale(32, s)
	if want := (32 - 2*sectionRim) / 3; math.Abs(perMM-want) > 1e-9 {
		t.Errorf("scale %g, want %g", perMM, want)
	}
	if SectionScale(32) != 0 || SectionScale(32, &Section{}) != 0 {
		t.Error("a scale for nothing")
	}
	rec := &recorder{}
	DrawSection(rec, 0, 0, 32, s, perMM)
	for i, o := range rec.ops {
		if o.kind == "line" && o.stroke == 0.6 {
			long, err := strconv.ParseFloat(strings.TrimSuffix(rec.ops[i+3].text, " mm"), 64)
			if err != nil {
				t.Fatal(err)
			}
			if got := o.points[1].X - o.points[0].X; math.Abs(got-long*perMM) > 1e-9 {
				t.Errorf("the bar of %g mm is %g long", long, got)
			}
			return
		}
	}
	t.Error("no scale bar")
}

// TestTooLarge: a section that does not go into its cell at the scale says so.
func TestTooLarge(t *testing.T) {
	for _, perMM := range []float64{100, math.NaN(), math.Inf(1), 0, -1, 1e300} {
		rec := &recorder{}
		DrawSection(rec, 0, 0, 42, sections()[0], perMM)
		said := false
		for _, o := range rec.ops {
			said = said || o.text == "too large for this scale"
			if o.kind == "circle" {
				t.Errorf("scale %g: a circle is drawn", perMM)
			}
		}
		if !said {
			t.Errorf("scale %g: not said", perMM)
		}
	}
}

// TestAnswers: the words under a section.
func TestAnswers(t *testing.T) {
	for _, c := range []struct {
		s    Section
		want string
	}{
		{Section{Spare: 0.43, Verdict: verdict.Works}, "works: 0.43 mm to spare"},
		{Section{Spare: 0.1, Verdict: verdict.Tight}, "TIGHT: 0.10 mm to spare"},
		{Section{Spare: -0.17, Verdict: verdict.Fails}, "FAILS: short by 0.17 mm"},
		{Section{Spare: 0, Verdict: verdict.Unknown}, "UNKNOWN"},
	} {
		if got := c.s.answer(); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
