package limits

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"backroad/internal/dose"
	"backroad/internal/house"
	"backroad/internal/interval"
	"backroad/internal/patient"
	"backroad/internal/renal"
	"backroad/internal/source"
	"backroad/internal/unit"
)

func man() patient.Patient {
	return patient.Patient{Sex: patient.Male, Age: unit.Exactly(unit.Age(72)), Weight: unit.Exactly(unit.Mass(80)),
		Height: unit.Exactly(unit.Length(1780)), Creatinine: unit.Exactly(renal.FromMgDL(2.5))}
}

func book(p patient.Patient) *Book {
	return For(p, unit.Exactly(renal.Strength(320)), renal.Actual, house.Defaults())
}

// TestContrastLines: a man of 72, 80 kg, 2.5 mg/dL. Clearance (140-72)·80/(72·2.5) =
// 30.22 mL/min; filtration 26.630 (N Engl J Med 2021;385:1737, computed); 1989 limit 120
// and 160 mL (Am J Med 1989, both readings); 1 g of iodine per unit of filtration at
// 320 mg/mL: 26.630/0.320 = 83.2 mL.
func TestContrastLines(t *testing.T) {
	l := book(man()).Ladder(Contrast)
	want := []struct {
		at   float64
		says string
	}{
		{26.630, "1 mL per unit of filtration 27"}, {47.401, "1.78 mL per unit"}, {60.444, "2 mL per mL/min of creatinine clearance 30 mL/min (actual weight)"},
		{63.646, "2.39 mL per unit"}, {83.219, "1 g of iodine per unit"}, {90.667, "3 mL per mL/min"}, {120, "1989 limit, 5 mL x kg / creatinine, lower reading"},
		{120.889, "4 mL per mL/min"}, {160, "higher reading"}, {185.867, "6.15 mL per mL/min"},
	}
	if len(l.Lines) != len(want) || len(l.Missing) != 0 {
		t.Fatalf("%d lines, missing %v: %+v", len(l.Lines), l.Missing, l.Lines)
	}
	for i, w := range want {
		if math.Abs(l.Lines[i].At-w.at) > 0.002 || !strings.Contains(l.Lines[i].Says, w.says) || l.Lines[i].Kind != Threshold {
			t.Errorf("line %d: %+v, want %v %q", i, l.Lines[i], w.at, w.says)
		}
	}
}

func TestHealthyContrast(t *testing.T) {
	p := man()
	p.Creatinine = unit.Exactly(renal.FromMgDL(1.0))
	for _, l := range book(p).Ladder(Contrast).Lines {
		if strings.HasPrefix(l.Says, "1 mL per unit") {
			t.Errorf("a line for filtration below 30 at one of 80: %+v", l)
		}
		if strings.Contains(l.Says, "1989") && (l.At != 300 || !strings.Contains(l.Effect, "not tested")) {
			t.Errorf("%+v", l)
		}
	}
}

// TestBoard: the steps of the follow-up rules; others' kerma-area products; the house's
// clocks. Nothing known: nothing said.
func TestBoard(t *testing.T) {
	b := book(man())
	totals := Totals{
		Contrast: unit.Exactly(renal.Volume(100)), AirKerma: unit.Exactly(dose.AirKerma(5)), PeakSkin: unit.Exactly(dose.PeakSkinDose(15.01)),
		KermaArea: unit.Exactly(dose.KermaArea(100)), Fluoroscopy: unit.Exactly(dose.Fluoroscopy(25)),
		SinceClotting: unit.Exactly(unit.Duration(22)), InDonor: unit.Exactly(unit.Duration(65)),
	}
	board := b.Stand(&totals)
	for _, c := range []struct {
		m      Measure
		passed int
		next   float64
		away   float64
	}{
		{Contrast, 6, 120, 20}, {AirKerma, 0, 5, 0}, {PeakSkin, 5, 0, 0}, {KermaArea, 2, 110, 10}, {Fluoroscopy, 2, 0, 0},
		{SinceClotting, 0, 30, 8}, {InDonor, 2, 90, 25},
	} {
		s := board[c.m]
		if !s.Known || s.Passed != c.passed || s.Next != c.next || math.Abs(s.Away-c.away) > 1e-9 || s.HasNext != (c.next > 0) {
			t.Errorf("%s: %+v, want %+v", c.m, s, c)
		}
	}
	last, next := b.Band(board[Contrast])
	if !strings.HasPrefix(last.Says, "3 mL per mL/min") || !strings.Contains(next.Says, "lower reading") {
		t.Errorf("%+v, %+v", last, next)
	}
	if last, next := b.Band(board[InDonor]); last == nil || next.Follows[0] != "look at the donor artery" {
		t.Errorf("%v, %v", last, next)
	}
	if last, next := b.Band(board[PeakSkin]); next != nil || !strings.Contains(last.Follows[0], "sentinel") || len(last.Follows) != 1 {
		t.Errorf("%+v, %+v", last, next)
	}
	if _, next := b.Band(board[AirKerma]); len(next.Follows) != 3 || strings.Contains(strings.Join(next.Follows, ""), "physicist") {
		t.Errorf("%+v", next)
	}
	// J Appl Clin Med Phys 2022, DOI 10.1002/acm2.13526, table 1: 4.9 Gy lies in band A2
	edge := b.Stand(&Totals{PeakSkin: unit.Exactly(dose.PeakSkinDose(4.9))})[PeakSkin]
	if last, next := b.Band(edge); !strings.HasPrefix(last.Says, "skin band A2") || !strings.Contains(last.Effect, "2 to 8 weeks hair loss;") || next.At != 5 || !next.On {
		t.Errorf("%+v, %+v", last, next)
	}
	for _, s := range b.Stand(&Totals{}) {
		if s.Known || s.HasNext || s.Passed != 0 {
			t.Errorf("%+v", s)
		}
		if last, _ := b.Band(s); last != nil {
			t.Errorf("a band of an unknown %s", s.Measure)
		}
	}
	bad := Totals{Contrast: unit.Exactly(renal.Volume(-1)), AirKerma: unit.Exactly(dose.AirKerma(math.NaN())), KermaArea: unit.Exactly(dose.KermaArea(math.Inf(1)))}
	for _, s := range b.Stand(&bad) {
		if s.Known {
			t.Errorf("%+v", s)
		}
	}
}

// TestEdges: what is absent, unknown or 0 draws no line, whatever value lies beside it.
func TestEdges(t *testing.T) {
	for _, s := range []unit.Measured[renal.Strength]{{Value: 320, State: unit.Unknown}, {Value: 320}, unit.Exactly(renal.Strength(0)), {}} {
		l := For(man(), s, renal.Actual, house.Defaults()).Ladder(Contrast)
		if len(l.Lines) != 9 || len(l.Missing) != 1 || !strings.Contains(l.Missing[0], "strength") {
			t.Errorf("%v: %+v", s, l)
		}
	}
	p := man()
	p.Weight, p.Creatinine = unit.Exactly(unit.Mass(50)), unit.Exactly(renal.FromMgDL(1.2)) // both readings 208.3 mL
	l := book(p).Ladder(Contrast).Lines
	if n := len(slices.DeleteFunc(slices.Clone(l), func(l Line) bool { return !strings.Contains(l.Says, "1989") })); n != 1 {
		t.Errorf("%d lines for two readings that agree", n)
	}
	for _, v := range []unit.Measured[float64]{unit.Exactly(0.0), {Value: 30, State: unit.Unknown}} {
		rules := house.Defaults().With(house.ClottingRecheck, v, "none").With(house.DonorLook, v, "none")
		b := For(man(), unit.Exactly(renal.Strength(320)), renal.Actual, rules)
		for _, m := range []Measure{SinceClotting, InDonor} {
			if l := b.Ladder(m); len(l.Lines) != 0 || l.Every != 0 || len(l.Missing) != 1 {
				t.Errorf("%s, setting %v: %+v", m, v, l)
			}
		}
	}
	b := book(man())
	s := b.Stand(&Totals{Contrast: unit.Exactly(renal.Volume(0.5)), AirKerma: unit.Exactly(dose.AirKerma(0)), Fluoroscopy: unit.Measured[dose.Fluoroscopy]{Value: 5, State: unit.Unknown}})
	if !s[Contrast].Known || s[Contrast].Total != 0.5 || !s[AirKerma].Known || s[AirKerma].Away != 5 || s[Fluoroscopy].Known {
		t.Errorf("%+v", s)
	}
	own := Line{At: 0.5, Source: source.FromHouse("agreed")}
	if _, ok := b.With(AirKerma, own); !ok {
		t.Error("a house line of 0.5 Gy was refused")
	}
	if f := Ahead(s[Contrast], Pace{Elapsed: unit.Measured[unit.Duration]{Value: 50, State: unit.Unknown}}); f.Known {
		t.Errorf("a pace of an unknown time: %+v", f)
	}
	if f := Ahead(s[Contrast], Pace{Elapsed: elapsed(0)}); f.Known {
		t.Errorf("a pace of no time: %+v", f)
	}
}

func TestNoAllocation(t *testing.T) {
	b, totals := book(man()), Totals{Contrast: unit.Exactly(renal.Volume(100)), InDonor: unit.Exactly(unit.Duration(65))}
	var board Board
	if n := testing.AllocsPerRun(100, func() { board = b.Stand(&totals) }); n != 0 {
		t.Errorf("%v allocations", n)
	}
	if !board[Contrast].Known {
		t.Error("nothing was read")
	}
}

func TestHouseLine(t *testing.T) {
	b := book(man())
	own := Line{At: 80, On: true, Says: "our stop", Source: source.FromHouse("agreed")}
	c, ok := b.With(Contrast, own)
	s := c.Stand(&Totals{Contrast: unit.Exactly(renal.Volume(80))})[Contrast]
	if !ok || s.Passed != 5 || len(b.Ladder(Contrast).Lines) != 10 {
		t.Errorf("%v, %+v", ok, s)
	}
	if last, _ := c.Band(s); last.Kind != HouseRule || last.Says != "our stop" {
		t.Errorf("%+v", last)
	}
	for _, l := range []Line{{At: 80, Source: source.CommonPractice("")}, {At: 0, Source: own.Source}, {At: math.NaN(), Source: own.Source}} {
		if _, ok := b.With(Contrast, l); ok {
			t.Errorf("%+v was taken", l)
		}
	}
	if _, ok := b.With(InDonor, own); ok {
		t.Error("a line beside one that recurs")
	}
}

// TestSources: every line has a source, none from memory; the house's clocks read as
// common practice until the house sets them.
func TestSources(t *testing.T) {
	b := book(man())
	for m := range Measure(Measures) {
		for _, l := range b.Ladder(m).Lines {
			class := l.Source.Class()
			if class != source.Published && class != source.Practice || (l.Kind == HouseRule) != (class == source.Practice) {
				t.Errorf("%s: %s: %s", m, l.Says, l.Source)
			}
		}
		if m.String() == "" || m.Unit() == "" {
			t.Errorf("measure %d has no words", m)
		}
	}
	for _, s := range BaseRates {
		if s.Source.Class() != source.Published || s.Event == "" {
			t.Errorf("%+v", s)
		}
	}
	unset := house.Defaults().With(house.DonorLook, unit.Measured[float64]{State: unit.Unknown}, "none")
	if l := For(man(), unit.Exactly(renal.Strength(320)), renal.Actual, unset).Ladder(InDonor); len(l.Lines) != 0 || len(l.Missing) != 1 {
		t.Errorf("%+v", l)
	}
}

func draw(t *testing.T) *rand.Rand {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	return rand.New(rand.NewPCG(seed, 5))
}

func TestLaws(t *testing.T) {
	rng := draw(t)
	for range 2000 {
		p := man()
		p.Creatinine.Value = unit.Creatinine(40 + 400*rng.Float64())
		b := book(p)
		v := renal.Volume(500 * rng.Float64())
		s := b.Stand(&Totals{Contrast: unit.Exactly(v)})[Contrast]
		more := b.Stand(&Totals{Contrast: unit.Exactly(v * renal.Volume(1+rng.Float64()))})[Contrast]
		if more.Passed < s.Passed { // L1
			t.Fatalf("L1: %+v, %+v", s, more)
		}
		for _, l := range b.Ladder(Contrast).Lines { // L2
			if s.HasNext && l.At > s.Total && l.At < s.Next {
				t.Fatalf("L2: %+v lies before %+v", l, s)
			}
		}
		if s.HasNext && math.Abs(s.Total+s.Away-s.Next) > 1e-9 {
			t.Fatalf("L2: %+v", s)
		}
		q := p // L3
		switch rng.IntN(4) {
		case 0:
			q.Age.State = unit.Unknown
		case 1:
			q.Sex = patient.SexUnknown
		case 2:
			q.Weight.State = unit.Unknown
		case 3:
			q.Creatinine.State = unit.Unknown
		}
		fewer := book(q).Ladder(Contrast)
		if len(fewer.Lines) >= len(b.Ladder(Contrast).Lines) || len(fewer.Missing) == 0 {
			t.Fatalf("L3: %+v", fewer)
		}
		for _, l := range fewer.Lines {
			if !slices.ContainsFunc(b.Ladder(Contrast).Lines, func(k Line) bool { return k.At == l.At && k.Says == l.Says }) {
				t.Fatalf("L3: %+v is new", l)
			}
		}
	}
}

func elapsed(min float64) unit.Measured[unit.Duration] { return unit.Exactly(unit.Duration(min)) }

func TestForecast(t *testing.T) {
	b := book(man())
	s := b.Stand(&Totals{Contrast: unit.Exactly(renal.Volume(100)), SinceClotting: unit.Exactly(unit.Duration(22))})
	// 100 mL in 50 min, 20 mL to go: 10 min, by hand
	f := Ahead(s[Contrast], Pace{Elapsed: elapsed(50)})
	if !f.Known || math.Abs(float64(f.Mean)-10) > 1e-9 || f.HasRange || len(f.Missing) != 1 {
		t.Errorf("%+v", f)
	}
	// ten injections of 10 mL: the line of 120 mL counts only what is above it, so the
	// third further injection passes it. Quantiles of beta(3, 11) and beta(3, 10) at 5
	// and 95 % from gonum.
	f = Ahead(s[Contrast], Pace{Elapsed: elapsed(50), Portions: 10})
	lo, hi := distuv.Beta{Alpha: 3, Beta: 11}.Quantile(0.05), distuv.Beta{Alpha: 3, Beta: 10}.Quantile(0.95)
	if f.Method != Portions || math.Abs(float64(f.Low)-50*lo/(1-lo)) > 1e-6 || math.Abs(float64(f.High)-50*hi/(1-hi)) > 1e-6 {
		t.Errorf("%+v, want %v-%v", f, 50*lo/(1-lo), 50*hi/(1-hi))
	}
	// 20 mL in the first 20 min, 80 mL in the next 30: 1 and 2.67 mL/min, by hand
	f = Ahead(s[Contrast], Pace{Elapsed: elapsed(50), Marks: []Mark{{20, 20}}})
	if f.Method != Stretches || math.Abs(float64(f.Low)-7.5) > 1e-9 || math.Abs(float64(f.High)-20) > 1e-9 {
		t.Errorf("%+v", f)
	}
	f = Ahead(s[Contrast], Pace{Elapsed: elapsed(50), Marks: []Mark{{20, 100}}})
	if !math.IsInf(float64(f.High), 1) || f.Low != 4 {
		t.Errorf("a pause: %+v", f)
	}
	if f := Ahead(s[Contrast], Pace{Elapsed: elapsed(50), Marks: []Mark{{20, 120}}}); f.HasRange || len(f.Missing) != 1 {
		t.Errorf("%+v", f)
	}
	if f := Ahead(s[SinceClotting], Pace{}); f.Mean != 8 || f.Low != 8 || f.High != 8 || f.Method != Clock {
		t.Errorf("%+v", f)
	}
	zero := b.Stand(&Totals{AirKerma: unit.Exactly(dose.AirKerma(0)), PeakSkin: unit.Exactly(dose.PeakSkinDose(20))})
	for _, f := range []Forecast{Ahead(s[AirKerma], Pace{Elapsed: elapsed(50)}), Ahead(s[Contrast], Pace{}), Ahead(zero[AirKerma], Pace{Elapsed: elapsed(50)}), Ahead(zero[PeakSkin], Pace{Elapsed: elapsed(50)})} {
		if f.Known || f.HasRange || len(f.Missing) != 1 {
			t.Errorf("%+v", f)
		}
	}
}

func TestForecastLaws(t *testing.T) { // L4
	rng := draw(t)
	for range 3000 {
		s := Standing{Measure: AirKerma, Known: true, Total: 5 * rng.Float64(), HasNext: true, On: rng.IntN(2) == 0}
		s.Away = 5 * rng.Float64()
		s.Next = s.Total + s.Away
		p := Pace{Elapsed: elapsed(1 + 200*rng.Float64()), Portions: 1 + rng.IntN(60)}
		if rng.IntN(2) == 0 {
			p.Portions, p.Marks = 0, []Mark{{p.Elapsed.Value * unit.Duration(rng.Float64()), s.Total * rng.Float64()}}
		}
		f := Ahead(s, p)
		if !f.Known || !f.HasRange || f.Low > f.Mean || f.Mean > f.High || f.Low < 0 {
			t.Fatalf("L4: %+v, %+v: %+v", s, p, f)
		}
		far := s
		far.Away *= 1 + rng.Float64()
		far.Next = far.Total + far.Away
		if g := Ahead(far, p); g.Low < f.Low || g.Mean < f.Mean || g.High < f.High {
			t.Fatalf("L4: farther %+v: %+v, %+v", far, f, g)
		}
		slow := p
		slow.Elapsed.Value *= 2
		slow.Marks = slices.Clone(p.Marks)
		for i := range slow.Marks {
			slow.Marks[i].At *= 2
		}
		if g := Ahead(s, slow); g.Low < f.Low || g.Mean < f.Mean || g.High < f.High {
			t.Fatalf("L4: slower %+v: %+v, %+v", slow, f, g)
		}
	}
}

// TestCoverage is law L5. For a stream of unit portions at a given pace (expect is the
// number expected in the time so far) and a line at so many portions it sums, over every
// number n that may have fallen, the probability that the range misses the true time to
// the line: a gamma variable, by gonum. Streams without a first portion, or already past
// the line, get no forecast and so none that misses.
func TestCoverage(t *testing.T) {
	for _, expect := range []float64{0.5, 1, 2, 4, 8, 15, 30, 60} {
		for _, line := range []float64{2, 3, 5, 10, 20, 35, 50, 80, 120} {
			missed := 0.0
			for n := 1; n < int(line); n++ {
				s := Standing{Measure: Contrast, Known: true, Total: float64(n), HasNext: true, On: true, Next: line, Away: line - float64(n)}
				f := Ahead(s, Pace{Elapsed: elapsed(1), Portions: n})
				wait := distuv.Gamma{Alpha: line - float64(n), Beta: expect}
				p := distuv.Poisson{Lambda: expect}.Prob(float64(n))
				missed += p * (wait.CDF(float64(f.Low)) + 1 - wait.CDF(float64(f.High)))
			}
			if missed > 1-float64(ForecastLevel) {
				t.Errorf("expected %v, line at %v: misses %.4f", expect, line, missed)
			}
		}
	}
}

func TestBaseRates(t *testing.T) {
	// printed percentages and their exact intervals (percent), as computed from the
	// rounded counts for each paper named in the series
	for _, c := range []struct {
		event     string
		route     Route
		of        int
		pc        float64
		low, high float64
		rounded   bool
	}{
		{"collateral injury, major", Retrograde, 378, 1.3, 0.43, 3.06, true}, {"collateral injury, minor", Retrograde, 378, 10.3, 7.44, 13.83, true},
		{"perforation", Retrograde, 378, 2.9, 1.46, 5.15, true}, {"stroke", Retrograde, 378, 0.3, 0.01, 1.47, true},
		{"channel dissection", Retrograde, 281, 2.1, 0.79, 4.59, true}, {"channel perforation", Retrograde, 281, 1.7, 0.58, 4.10, false},
		{"perforation of the occlusion", Retrograde, 281, 1.7, 0.58, 4.10, false}, {"donor artery occlusion", Retrograde, 281, 1.1, 0.22, 3.09, true},
		{"MACE in hospital", Retrograde, 500, 10.2, 7.69, 13.19, true}, {"death in hospital", Retrograde, 500, 0.8, 0.22, 2.04, true},
		// printed in the paper: 5.8-12.2
		{"heart muscle injury (CK-MB 3 times normal or more)", AnyRoute, 325, 8.6, 5.80, 12.21, false},
		{"perforation on the angiogram", AnyRoute, 1000, 8.9, 7.21, 10.84, true},
	} {
		i := slices.IndexFunc(BaseRates, func(s Series) bool { return s.Event == c.event && s.Route == c.route && s.Of == c.of })
		if i < 0 {
			t.Errorf("no %q", c.event)
			continue
		}
		r := BaseRates[i].Published()
		if !r.Known || math.Abs(r.Range.Low-10*c.low) > 0.0501 || math.Abs(r.Range.High-10*c.high) > 0.0501 {
			t.Errorf("%s: %+v", c.event, r)
		}
		// 5 of 281 are 1.78 %, printed as 1.7: cut off, not rounded
		if off := r.Per1000/10 - c.pc; math.Abs(off) > 0.0501 && (c.rounded || off < 0 || off > 0.1) {
			t.Errorf("%s: %v of 1,000, printed %v %%", c.event, r.Per1000, c.pc)
		}
	}
}

// TestPrinted: every series shipped gives back the percentage that its paper prints (the
// DOI or PMID stands in the series); 5 of 281, 488 of 533 and the like are cut off there,
// not rounded.
func TestPrinted(t *testing.T) {
	type key struct {
		event string
		route Route
		of    int
	}
	printed := map[key]float64{
		{"collateral injury, major", Retrograde, 378}: 1.3, {"collateral injury, minor", Retrograde, 378}: 10.3,
		{"perforation", Retrograde, 378}: 2.9, {"stroke", Retrograde, 378}: 0.3,
		{"success by the retrograde route", Retrograde, 378}: 70.4, {"success", Retrograde, 378}: 83.6,
		{"channel dissection", Retrograde, 281}: 2.1, {"channel perforation", Retrograde, 281}: 1.7,
		{"perforation of the occlusion", Retrograde, 281}: 1.7, {"donor artery occlusion", Retrograde, 281}: 1.1,
		{"procedural success", Retrograde, 281}: 79.7,
		{"MACE in hospital", Retrograde, 500}:   10.2, {"MACE in hospital", Antegrade, 533}: 4.7,
		{"death in hospital", Retrograde, 500}: 0.8, {"death in hospital", Antegrade, 533}: 0,
		{"technical success", Retrograde, 500}: 81.2, {"technical success", Antegrade, 533}: 91.5,
		{"technical success", AnyRoute, 1000}: 86, {"death in hospital", AnyRoute, 1000}: 0.9,
		{"perforation that needs treatment", AnyRoute, 1000}: 4.8, {"perforation on the angiogram", AnyRoute, 1000}: 8.9,
		{"MACCE in hospital", AnyRoute, 3229}: 0.53, {"procedural success", Retrograde, 1395}: 75.3,
		{"heart muscle injury (CK-MB 3 times normal or more)", AnyRoute, 325}:              8.6,
		{"contrast nephropathy (creatinine up 25 % or more at 48 to 72 h)", AnyRoute, 516}: 5.4,
		{"heart muscle injury (CK-MB 3 times normal or more)", Retrograde, 87}:             13.8, {"heart muscle injury (CK-MB 3 times normal or more)", Antegrade, 238}: 6.7,
		{"acute kidney injury (creatinine up 0.3 mg/dL or 50 % within 48 h)", AnyRoute, 2707}: 11.5, {"success", AnyRoute, 3229}: 88.4,
		{"success", AnyRoute, 70916}: 61.4, {"MACE", AnyRoute, 70916}: 4.2, {"death", AnyRoute, 70916}: 0.6, {"tamponade", AnyRoute, 70916}: 0.3,
		{"major bleeding", AnyRoute, 70916}: 4.0, {"myocardial infarction", AnyRoute, 70916}: 2.0, {"renal failure", AnyRoute, 70916}: 0.2,
	}
	for _, s := range BaseRates {
		want, ok := printed[key{s.Event, s.Route, s.Of}]
		got := 100 * float64(s.Events) / float64(s.Of)
		nearest := int(math.Round(want * float64(s.Of) / 100))
		if !ok || s.Events != nearest || math.Abs(got-want) > 0.0501 && (got < want || got > want+0.1) {
			t.Errorf("%s, %s, %d/%d is %v %%, printed %v", s.Event, s.Route, s.Events, s.Of, got, want)
		}
	}
	if len(printed) != len(BaseRates) {
		t.Errorf("%d series, %d printed percentages", len(BaseRates), len(printed))
	}
}

func TestTell(t *testing.T) {
	s := BaseRates[2]
	few, many := Tell(s, Own{2, 99}, LeastOwn.Value()), Tell(s, Own{2, 100}, LeastOwn.Value())
	if few.Own || !slices.Contains(few.Cautions, CautionSmallOwn) || !slices.Contains(few.Cautions, CautionExperts) || few.Source.Class() != source.Published {
		t.Errorf("%+v", few)
	}
	if !many.Own || many.Per1000 != 20 || many.Source.Class() != source.House || len(many.Cautions) != 0 {
		t.Errorf("%+v", many)
	}
	if none := Tell(s, Own{}, 0); none.Own || slices.Contains(none.Cautions, CautionSmallOwn) {
		t.Errorf("nothing counted became a rate: %+v", none)
	}
	if bad := Tell(s, Own{200, 100}, 50); bad.Own || !slices.Contains(bad.Cautions, CautionBadOwn) || slices.Contains(bad.Cautions, CautionSmallOwn) {
		t.Errorf("more events than procedures: %+v", bad)
	}
	if r, _ := interval.Exact(0, LeastOwn.Value(), interval.L95); math.Abs(r.High-0.036) > 0.0005 {
		t.Errorf("the ground of LeastOwn: %v", r)
	}
	if r := (Series{Events: 5, Of: 3}).Published(); r.Known {
		t.Errorf("%+v", r)
	}
	if r := (Series{By: Beginners, Route: AnyRoute, Events: 1, Of: 3}).Published(); len(r.Cautions) != 0 {
		t.Errorf("%+v", r)
	}
}

// TestOddsRatios: Curr Probl Cardiol 2024, DOI 10.1016/j.cpcardiol.2024.102832, prints
// antegrade against retrograde; turned round, two decimals.
func TestOddsRatios(t *testing.T) {
	want := [][3]float64{{2.94, 1.96, 4.35}, {2.86, 1.56, 5.26}, {2.78, 1.89, 4.00}, {3.70, 2.17, 6.25}, {2.17, 1.54, 3.03}, {1.92, 1.20, 3.03}, {2.22, 1.56, 3.13}}
	for i, o := range OddsRatios {
		or, low, high := o.Rounded()
		if [3]float64{or, low, high} != want[i] || o.Caution == "" || o.Source.Class() != source.Published {
			t.Errorf("%+v, want %v", o, want[i])
		}
	}
}
