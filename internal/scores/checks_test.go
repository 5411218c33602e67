package scores

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"backroad/internal/anatomy"
	"backroad/internal/patient"
	"backroad/internal/source"
	"backroad/internal/tri"
	"backroad/internal/unit"
)

func of(in Inputs, own *Own, key Key) Result {
	for _, r := range All(in, own) {
		if r.Key == key {
			return r
		}
	}
	panic("no score " + key)
}

func warns(r *Result, words string) bool {
	return slices.ContainsFunc(r.Cautions, func(c string) bool { return strings.Contains(c, words) })
}

func with(change func(*Inputs)) Inputs {
	in := nothingWrong()
	change(&in)
	return in
}

// Worked cases, each by hand from the points and rates of the paper named in its row.
func TestWorkedCases(t *testing.T) {
	for _, c := range []struct {
		key     Key
		says    string
		in      Inputs
		points  string
		classes string
		rate    string
	}{
		// points and rates: JACC Cardiovasc Interv 2011;4:213
		{JCTO, "blunt, calcified", with(func(in *Inputs) { in.Stump, in.Calcium = Blunt, CalciumPresent }), "2", "difficult", "42 %"},
		{JCTO, "none", nothingWrong(), "0", "easy", "88 %"},
		{JCTO, "all", with(everything), "5", "very difficult", "10 %"},
		{JCTO, "length unknown, bend", with(func(in *Inputs) { in.Length, in.Bend45 = unit.Measured[unit.Length]{}, tri.Yes }), "1 to 2", "intermediate, difficult", "42 % to 67 %"},
		{JCTO, "19.9 mm", with(long(19.9)), "0", "easy", "88 %"},
		{JCTO, "20 mm", with(long(20)), "0 to 1", "easy, intermediate", "67 % to 88 %"},
		{JCTO, "20.1 mm", with(long(20.1)), "1", "intermediate", "67 %"},
		{JCTO, "invisible stump", with(func(in *Inputs) { in.Stump = Invisible }), "0 to 1", "easy, intermediate", "67 % to 88 %"},
		// JACC Cardiovasc Interv 2019;12:335, abstract
		{CASTLE, "70 y, bypass, blunt", with(func(in *Inputs) {
			in.Age, in.PriorBypass, in.Stump = unit.Exactly[unit.Age](70), tri.Yes, Blunt
		}), "3", "", NotAvailable},
		{CASTLE, "69 y, none", with(func(in *Inputs) { in.Age = unit.Exactly[unit.Age](69) }), "0", "", "8 %"},
		{CASTLE, "all six", with(everything), "6", "", "35 %"},
		{CASTLE, "unseen tortuosity is a point", with(func(in *Inputs) { in.Tortuosity = TortuosityUnseen }), "1", "", "8 %"},
		{CASTLE, "calcium of no stated degree", with(func(in *Inputs) { in.Calcium = CalciumPresent }), "0 to 1", "", "8 %"},
		{CASTLE, "one point, another unknown", with(func(in *Inputs) { in.PriorBypass, in.Stump = tri.Yes, "" }), "1 to 2", "", NotAvailable},
		// AsiaIntervention 2018;4:18, abstract
		{WCTO, "blunt", with(func(in *Inputs) { in.Stump = Blunt }), "2", "low difficulty", "98 %"},
		{WCTO, "blunt, calcified", with(func(in *Inputs) { in.Stump, in.Calcium = Blunt, CalciumPresent }), "3", "intermediate difficulty", "74.2 %"},
		{WCTO, "blunt, long, calcified", with(func(in *Inputs) { long(25)(in); in.Stump, in.Calcium = Blunt, CalciumMild }), "4.5", "high difficulty", "42.5 %"},
		{WCTO, "all", with(everything), "6.5", "high difficulty", "42.5 %"},
		// Cardiology 2017, the Busan CTO score
		{Busan, "woman of 76, right coronary, tapered, 25 mm, straight", with(func(in *Inputs) {
			long(25)(in)
			in.Age, in.Sex, in.RightCoronary = unit.Exactly[unit.Age](76), patient.Female, tri.Yes
		}), "7", "very difficult", "65.2 %"},
		{Busan, "all", with(everything), "11", "very difficult", "65.2 %"},
		// JACC Cardiovasc Interv 2016, the ORA score: rates not seen; 0 and 2 are reached, 1 is not
		{ORA, "filling unknown", with(func(in *Inputs) { in.CollateralFilling = "unknown" }), "0 to 2", "easy, difficult", NotAvailable},
		{ORA, "all", with(everything), "4", "very difficult", NotAvailable},
		// PMID 38703149
		{JRCTO, "septal, grade 2, no calcium, straight", nothingWrong(), "0", "", NotAvailable},
		{JRCTO, "epicardial, grade 1, calcified, tortuous", with(func(in *Inputs) {
			in.Channel, in.CollateralConnected, in.Calcium, in.Tortuosity = anatomy.Epicardial, "1", CalciumModerate, TortuositySevere
		}), "4", "", NotAvailable},
		{JRCTO, "mild calcium", with(func(in *Inputs) { in.Calcium = CalciumMild }), "0", "", NotAvailable},
		{JRCTO, "graft", with(func(in *Inputs) { in.Channel = anatomy.Graft }), "0 to 1", "", NotAvailable},
		// Catheter Cardiovasc Interv 2021; rates Am J Cardiol 2023, abstract
		{OpenClean, "72 y, bypass, 65 mm, 40 %, heavy calcium", with(func(in *Inputs) {
			long(65)(in)
			in.Age, in.PriorBypass, in.LVEF, in.Calcium = unit.Exactly[unit.Age](72), tri.Yes, unit.Exactly[unit.Fraction](0.4), CalciumSevere
		}), "7", "", "19.8 %"},
		{OpenClean, "49 y, 15 mm, 60 %", with(func(in *Inputs) { long(15)(in); in.Age = unit.Exactly[unit.Age](49) }), "0", "", "3.5 %"},
		{OpenClean, "60 y, 25 mm", with(func(in *Inputs) { long(25)(in); in.Age = unit.Exactly[unit.Age](60) }), "2", "", "3.1 %"},
		{OpenClean, "1 to 3 points: the lowest rate is in the middle", with(func(in *Inputs) {
			in.Age, in.Length = unit.Exactly[unit.Age](60), unit.Measured[unit.Length]{State: unit.Unknown}
		}), "1 to 3", "", "3.1 % to 5.3 %"},
		// J Am Coll Cardiol 2004;44:1393
		{AKI2004, "76 y, diabetes, 250 mL, rate 50, man of 42 %", with(func(in *Inputs) {
			in.Age, in.Diabetes, in.Contrast = unit.Exactly[unit.Age](76), tri.Yes, unit.Exactly[Volume](250)
			in.Filtration, in.Haematocrit = unit.Exactly[FiltrationRate](50), unit.Exactly[unit.Fraction](0.42)
		}), "11", "high", "26.1 %"},
		{AKI2004, "60 y, 180 mL, rate 90", with(func(in *Inputs) {
			in.Age, in.Contrast, in.Filtration = unit.Exactly[unit.Age](60), unit.Exactly[Volume](180), unit.Exactly[FiltrationRate](90)
		}), "1", "low", "7.5 %"},
		{AKI2004, "80 y, heart failure, anaemia, diabetes, rate 18, 300 mL", with(func(in *Inputs) {
			in.Age, in.HeartFailure, in.Diabetes = unit.Exactly[unit.Age](80), tri.Yes, tri.Yes
			in.Haematocrit, in.Filtration, in.Contrast = unit.Exactly[unit.Fraction](0.30), unit.Exactly[FiltrationRate](18), unit.Exactly[Volume](300)
		}), "24", "very high", "57.3 %"},
		{AKI2004, "16 is very high", with(func(in *Inputs) { in.Contrast = unit.Exactly[Volume](1600) }), "16", "very high", "57.3 %"},
		{AKI2004, "volume unknown", with(func(in *Inputs) { in.Diabetes, in.Contrast = tri.Yes, unit.Measured[Volume]{} }), "3 or more", "low, moderate, high, very high", "7.5 % to 57.3 %"},
		{AKI2004, "sex unknown, 37 %", with(func(in *Inputs) { in.Sex, in.Haematocrit = "", unit.Exactly[unit.Fraction](0.37) }), "0 to 3", "low", "7.5 %"},
		{AKI2004, "sex unknown, 35 %", with(func(in *Inputs) { in.Sex, in.Haematocrit = "", unit.Exactly[unit.Fraction](0.35) }), "3", "low", "7.5 %"},
		// J Am Heart Assoc 2014, e001380
		{AKIDialysis, "rate 42, diabetes", with(func(in *Inputs) {
			in.Filtration, in.Diabetes = unit.Exactly[FiltrationRate](42), tri.Yes
		}), "4", "", "0.27 %"},
		{AKIDialysis, "all", with(everything), "13", "", "31 %"},
	} {
		r := of(c.in, nil, c.key)
		rate := r.Outcomes[0].String()
		if r.Points.String() != c.points || strings.Join(r.Classes, ", ") != c.classes || rate != c.rate {
			t.Errorf("%s, %s: %v points, %q, %s; want %s, %q, %s", c.key, c.says, r.Points, r.Classes, rate, c.points, c.classes, c.rate)
		}
	}
}

func long(mm unit.Length) func(*Inputs) {
	return func(in *Inputs) { in.Length = unit.Exactly(mm) }
}

// everything gives every point of every score, but for contrast.
func everything(in *Inputs) {
	*in = Inputs{Age: unit.Exactly[unit.Age](80), Sex: patient.Female, LVEF: unit.Exactly[unit.Fraction](0.3), Diabetes: tri.Yes, PriorBypass: tri.Yes,
		Haematocrit: unit.Exactly[unit.Fraction](0.3), Creatinine: unit.Exactly[unit.Creatinine](300), Filtration: unit.Exactly[FiltrationRate](10),
		HeartFailure: tri.Yes, HeartFailureRecent: tri.Yes, Hypotension: tri.Yes, BalloonPump: tri.Yes, Presentation: STEMI, PriorCardiacArrest: tri.Yes,
		Contrast: unit.Exactly[Volume](0), RightCoronary: tri.Yes, Ostial: tri.Yes, Length: unit.Exactly[unit.Length](70), Stump: Blunt, Calcium: CalciumSevere,
		Bend45: tri.Yes, FailedBefore: tri.Yes, Tortuosity: TortuositySevere, CollateralFilling: "0", CollateralConnected: "0", Channel: anatomy.Epicardial}
}

// The rates in patients with occlusions stand beside those of 2004: EuroIntervention 2014, abstract
// (0.5, 3.4, 15.9, 37.5 %; 1 of 207, 7 of 205, 14 of 88, 6 of 16; together 28 of 516).
func TestKidneyInOcclusions(t *testing.T) {
	events, n := 0, 0
	for mL, want := range map[Volume]string{500: "0.5 %", 600: "3.4 %", 1100: "15.9 %", 1600: "37.5 %"} {
		r := of(with(func(in *Inputs) { in.Contrast = unit.Exactly(mL) }), nil, AKI2004)
		o := r.Outcomes[2]
		if o.String() != want || len(o.Strata) != 1 {
			t.Fatalf("%v points: %v, want %s", r.Points, o, want)
		}
		s := o.Strata[0]
		events, n = events+s.Events, n+s.N
		// the printed rates are rounded to 0.1 %
		if share := 100 * float64(s.Events) / float64(s.N); math.Round(share*10) != math.Round(float64(s.Rate)*1000) {
			t.Errorf("%d of %d are %g %%, printed %v", s.Events, s.N, share, s.Rate)
		}
	}
	if events != 28 || n != 516 {
		t.Errorf("%d of %d", events, n)
	}
}

// The second outcomes: W-CTO's validation set (AsiaIntervention 2018;4:18, abstract: 100,
// 82.4, 48.4 %) and new dialysis (J Am Coll Cardiol 2004;44:1393: 0.04, 0.12, 1.09, 12.6 %).
func TestSecondOutcomes(t *testing.T) {
	var got []string
	for _, in := range []Inputs{nothingWrong(), with(func(in *Inputs) { in.Stump, in.Calcium = Blunt, CalciumSevere }), with(everything)} {
		got = append(got, of(in, nil, WCTO).Outcomes[1].String())
	}
	for _, mL := range []Volume{0, 1000, 1500, 1600} {
		got = append(got, of(with(func(in *Inputs) { in.Contrast = unit.Exactly(mL) }), nil, AKI2004).Outcomes[1].String())
	}
	want := "100 %|82.4 %|48.4 %|0.04 %|0.12 %|1.09 %|12.6 %"
	if strings.Join(got, "|") != want {
		t.Errorf("%q, want %s", got, want)
	}
}

// The Busan groups make up the printed whole: 81.1 % of 438.
func TestBusanCounts(t *testing.T) {
	events, n := 0, 0
	for _, s := range busanRates {
		events, n = events+s.Events, n+s.N
		if math.Round(1000*float64(s.Events)/float64(s.N)) != math.Round(1000*float64(s.Rate)) {
			t.Errorf("%+v", s)
		}
	}
	if n != 438 || events != 355 {
		t.Errorf("%d of %d", events, n)
	}
}

func TestGrades(t *testing.T) {
	for g, want := range map[Grade]string{"0": "0", "1": "1", "2": "2", "3": "3", "": "0 to 3", "4": "0 to 3", "unknown": "0 to 3"} {
		r := of(Inputs{CollateralFilling: g}, nil, FillingGrade)
		if r.Points.String() != want || len(r.Outcomes) != 0 || len(r.Classes) != int(r.Points.High-r.Points.Low)+1 {
			t.Errorf("filling %q: %v %q", g, r.Points, r.Classes)
		}
	}
	for g, want := range map[Grade]string{"0": "0", "2": "2", "3": "0 to 2", "unknown": "0 to 2"} {
		if r := of(Inputs{CollateralConnected: g}, nil, Connection); r.Points.String() != want {
			t.Errorf("connection %q: %v", g, r.Points)
		}
	}
}

// The channel's checklist claims no class, and shows the rates of its kind of channel only.
// Rates: DOI 10.4244/EIJ-D-18-00993, abstract.
func TestChannelPredictors(t *testing.T) {
	for kind, want := range map[anatomy.ChannelKind]string{
		anatomy.Septal:     "small vessel|reverse bend|continuous bends, where the channel is septal; 92.9 57.4 16.7",
		anatomy.Epicardial: "small vessel|reverse bend|corkscrew, where the channel is not septal; 91.7 54.3 19.0",
		anatomy.Graft:      "small vessel|reverse bend",
		"":                 "small vessel|reverse bend|continuous bends, where the channel is septal|corkscrew, where the channel is not septal; 92.9 57.4 16.7; 91.7 54.3 19.0",
	} {
		r := of(Inputs{Channel: kind, SmallVessel: tri.Yes}, nil, JChannel)
		var says []string
		for _, i := range r.Items {
			says = append(says, i.Says)
		}
		got := strings.Join(says, "|")
		for _, o := range r.Outcomes {
			got += ";"
			for _, s := range o.Strata {
				got += fmt.Sprintf(" %.1f", float64(s.Rate)*100)
			}
			if o.String() != NotAvailable {
				t.Errorf("%s: claims %v", kind, o)
			}
		}
		if got != want || r.Summed || len(r.Classes) != 0 || r.Items[0].Present != "true" || r.Items[0].Open || !r.Items[1].Open {
			t.Errorf("%s: %s\nwant %s", kind, got, want)
		}
	}
}

// Every result says in whom, by what paper, and carries a caution; the traps that must be
// said are said.
func TestEveryResultSaysWhatItIs(t *testing.T) {
	all := All(Inputs{}, nil)
	if len(all) != 13 {
		t.Fatalf("%d results", len(all))
	}
	for _, r := range all {
		if r.Name == "" || r.Derived == "" || r.Source.Class() != source.Published || len(r.Cautions) == 0 {
			t.Errorf("%s: %+v", r.Key, r)
		}
		for _, o := range r.Outcomes {
			if o.What == "" || o.In == "" || o.Source.Class() != source.Published || o.Own {
				t.Errorf("%s: %+v", r.Key, o)
			}
		}
		for _, e := range r.Elsewhere {
			if e.Says == "" || e.Source.Class() == "" {
				t.Errorf("%s: %+v", r.Key, e)
			}
		}
	}
	for key, words := range map[Key]string{JCTO: "is not success", CASTLE: "2356 of 14 882", WCTO: "antegrade wiring only", AKI2004: "two bands", OpenClean: "inferred", JRCTO: "failure"} {
		if r := of(Inputs{}, nil, key); !warns(&r, words) {
			t.Errorf("%s does not warn of %q", key, words)
		}
	}
}

func TestCautionsOfValues(t *testing.T) {
	near := of(with(func(in *Inputs) { in.Length = unit.WithSD[unit.Length](18, 1) }), nil, CASTLE)
	far := of(with(func(in *Inputs) { in.Length = unit.WithSD[unit.Length](17.9, 1) }), nil, CASTLE)
	if !warns(&near, "two of its deviations") || warns(&far, "two of its deviations") {
		t.Errorf("%q\n%q", near.Cautions, far.Cautions)
	}
	exact := of(with(long(20)), nil, JCTO)
	if !warns(&exact, "exactly 20 mm") {
		t.Errorf("%q", exact.Cautions)
	}
	for _, key := range []Key{AKI2004, AKIDialysis} {
		r := of(with(func(in *Inputs) { in.Filtration, in.FiltrationComputed = unit.Exactly[FiltrationRate](60), true }), nil, key)
		if !warns(&r, "computed by a formula") || !warns(&r, "exactly on a threshold") {
			t.Errorf("%s: %q", key, r.Cautions)
		}
	}
}

// Two calls share nothing that a caller can write to.
func TestResultsAreTheCallersOwn(t *testing.T) {
	first := All(nothingWrong(), nil)
	for i := range first {
		for j := range first[i].Outcomes {
			for k := range first[i].Outcomes[j].Strata {
				first[i].Outcomes[j].Strata[k].Rate = 0.5
			}
		}
		for j := range first[i].Cautions {
			first[i].Cautions[j] = "written over"
		}
		for j := range first[i].Elsewhere {
			first[i].Elsewhere[j].Says = "written over"
		}
	}
	if r := of(nothingWrong(), nil, JCTO); r.Outcomes[0].String() != "88 %" || warns(&r, "written over") || r.Elsewhere[0].Says == "written over" {
		t.Errorf("%+v", r)
	}
	if r := of(Inputs{}, nil, JChannel); r.Outcomes[0].Strata[0].Rate != 0.929 {
		t.Errorf("%+v", r.Outcomes)
	}
}
