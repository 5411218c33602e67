package rail

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"backroad/internal/anatomy"
	"backroad/internal/fault"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/unit"
)

// same reports whether two figures agree to the rounding of a dozen sums.
func same(a, b unit.Length) bool { return math.Abs(float64(a-b)) < 1e-6 }

// byID maps margins by their ids.
func byID(r *Assessment) map[string]Margin {
	m := map[string]Margin{}
	for _, x := range r.Margins {
		m[x.ID] = x
	}
	return m
}

// TestLawR1: lengthening a wire never worsens a margin, and moves only the margins
// whose formula holds that wire.
func TestLawR1(t *testing.T) {
	const seed = 101
	r := rand.New(rand.NewPCG(seed, 0))
	holding := map[gear.Role][]string{
		gear.CrossingWire: {"reach.channel", "reach.crossing", "reach.tipin_wire"},
		gear.LongWire:     {"reach.exit", "reach.work", "reach.convert"},
	}
	for i := range 700 {
		way := everyWay[i%len(everyWay)]
		s, kit, _ := randomCase(r, way.f, way.over)
		before := byID(Assess(s, kit))
		for role, ids := range holding {
			longer := *kit[role]
			longer.Length = known(float64(longer.Length.Value) + 1 + 100*r.Float64())
			was := kit[role]
			kit[role] = &longer
			for id, m := range byID(Assess(s, kit)) {
				moves := slices.Contains(ids, id)
				if m.Mean < before[id].Mean-1e-6 {
					t.Fatalf("seed %d, case %d, %v: a longer %s worsens %s", seed, i, way, role, id)
				}
				if !moves && !same(m.Mean, before[id].Mean) {
					t.Fatalf("seed %d, case %d, %v: a longer %s moves %s", seed, i, way, role, id)
				}
				if moves && same(m.Mean, before[id].Mean) {
					t.Fatalf("seed %d, case %d, %v: a longer %s does not move %s", seed, i, way, role, id)
				}
			}
			kit[role] = was
		}
	}
}

// TestLawR2: scaling all lengths and all house lengths scales every margin.
func TestLawR2(t *testing.T) {
	const seed = 102
	r := rand.New(rand.NewPCG(seed, 0))
	for i := range 350 {
		way := everyWay[i%len(everyWay)]
		s, kit, _ := randomCase(r, way.f, way.over)
		k := 0.5 + 2*r.Float64()
		before := byID(Assess(s, kit))
		after := byID(Assess(scaledSetup(s, k), scaledKit(kit, k)))
		if len(after) != len(before) {
			t.Fatalf("seed %d, case %d, %v: %d margins after scaling, %d before", seed, i, way, len(after), len(before))
		}
		for id, m := range after {
			if !same(m.Mean, before[id].Mean*unit.Length(k)) || !same(m.SD, before[id].SD*unit.Length(k)) {
				t.Fatalf("seed %d, case %d, %v, scale %g: %s %v ± %v, before %v ± %v", seed, i, way, k, id, m.Mean, m.SD, before[id].Mean, before[id].SD)
			}
		}
	}
}

func scaled(m unit.Measured[unit.Length], k float64) unit.Measured[unit.Length] {
	m.Value *= unit.Length(k)
	m.SD *= unit.Length(k)
	return m
}

func scaledSetup(s *Setup, k float64) *Setup {
	c := *s
	c.Rules = s.Rules.Scaled(k)
	for i := range c.Legs {
		c.Legs[i].Length = scaled(c.Legs[i].Length, k)
	}
	for _, side := range []*anatomy.Side{&c.Access.Donor, &c.Access.Antegrade} {
		side.Seat, side.StandOff = scaled(side.Seat, k), scaled(side.StandOff, k)
	}
	c.Landing = scaled(c.Landing, k)
	return &c
}

func scaledKit(kit gear.Kit, k float64) gear.Kit {
	c := gear.Kit{}
	for role, it := range kit {
		n := *it
		for _, m := range []*gear.Length{&n.Length, &n.Shaft, &n.French, &n.ForGuide, &n.Bore, &n.Outer, &n.OuterTip, &n.OuterShaft,
			&n.TakesWire, &n.Diameter, &n.Inflated, &n.Profile, &n.RX, &n.Tube} {
			*m = scaled(*m, k)
		}
		c[role] = &n
	}
	return c
}

// randomEvents draws sightings near to what is expected, and movements.
func randomEvents(r *rand.Rand, s *Setup, kit gear.Kit, n int) []Event {
	stations := []Station{ChannelEntry, ChannelExit, DistalCap, ProximalCap, RecipientOstium, AntegradeTip}
	var events []Event
	a := NewAxis(s)
	a.FillAll(kit)
	for range n {
		e := Event{Kind: Sighting, Role: gear.RetroMicrocatheter, Station: stations[r.IntN(len(stations))],
			After: []Direction{"", Push, Pull}[r.IntN(3)]}
		f, why := a.reading(e)
		if why != "" {
			panic(why)
		}
		at := a.belief.Mean(&f) + a.belief.SD(&f)*r.NormFloat64()
		e.Amount = unit.Exactly(unit.Length(math.Round(at)))
		if e.Amount.Value >= 0 {
			events = append(events, e)
		}
	}
	return events
}

// TestLawR3: a sighting never widens a station, nor a margin of the same formula: one
// that takes the lesser of two places may take the other one when it knows better.
func TestLawR3(t *testing.T) {
	const seed = 103
	r := rand.New(rand.NewPCG(seed, 0))
	narrower := 0
	for i := range 350 {
		way := everyWay[i%len(everyWay)]
		s, kit, _ := randomCase(r, way.f, way.over)
		before := Assess(s, kit)
		s.Events = randomEvents(r, s, kit, 1+r.IntN(3))
		after := Assess(s, kit)
		for j, st := range after.Stations {
			if st.SD > before.Stations[j].SD+1e-9 {
				t.Fatalf("seed %d, case %d: after %v %s has ± %v, before ± %v", seed, i, s.Events, st.Station, st.SD, before.Stations[j].SD)
			}
			if st.SD < before.Stations[j].SD-0.1 {
				narrower++
			}
		}
		was := byID(before)
		for _, m := range after.Margins {
			if m.form == was[m.ID].form && m.SD > was[m.ID].SD+1e-9 {
				t.Fatalf("seed %d, case %d: after %v %s has ± %v, before ± %v", seed, i, s.Events, m.ID, m.SD, was[m.ID].SD)
			}
		}
	}
	if narrower < 350 {
		t.Errorf("only %d stations became sharper: sightings do nothing", narrower)
	}
}

// TestLawR4: moving a guide and moving it back restores every station and margin,
// with sightings before, between and after.
func TestLawR4(t *testing.T) {
	const seed = 104
	r := rand.New(rand.NewPCG(seed, 0))
	for i := range 350 {
		way := everyWay[i%len(everyWay)]
		s, kit, _ := randomCase(r, way.f, way.over)
		first := randomEvents(r, s, kit, r.IntN(3))
		s.Events = first
		want := Assess(s, kit)
		role := []gear.Role{gear.DonorGuide, gear.AntegradeGuide}[r.IntN(2)]
		by := unit.Exactly(unit.Length(math.Round(40*r.Float64()) - 20))
		back := by
		back.Value = -back.Value
		s.Events = append(append([]Event{}, first...), Event{Kind: Moved, Role: role, Amount: by}, Event{Kind: Moved, Role: role, Amount: back})
		got := Assess(s, kit)
		for j, st := range got.Stations {
			if !same(st.At, want.Stations[j].At) || !same(st.SD, want.Stations[j].SD) {
				t.Fatalf("seed %d, case %d: moved %s %v and back, %s is %v, was %v", seed, i, role, by.Value, st.Station, st.At, want.Stations[j].At)
			}
		}
		was := byID(want)
		for _, m := range got.Margins {
			if !same(m.Mean, was[m.ID].Mean) || !same(m.SD, was[m.ID].SD) {
				t.Fatalf("seed %d, case %d: moved and back, %s is %v, was %v", seed, i, m.ID, m.Mean, was[m.ID].Mean)
			}
		}
	}
}

// TestLawR5: donor guide deeper by d, every mark on a donor-side shaft shows d more;
// antegrade guide deeper by d moves only its own tip, hub and valve, by -d.
func TestLawR5(t *testing.T) {
	const seed = 105
	r := rand.New(rand.NewPCG(seed, 0))
	for i := range 100 {
		s, kit, _ := randomCase(r, anatomy.GuideWiring, anatomy.Rail)
		before := Assess(s, kit)
		d := unit.Length(1 + r.IntN(20))
		s.Events = []Event{{Kind: Moved, Role: gear.DonorGuide, Amount: unit.Exactly(d)}}
		after := Assess(s, kit)
		for _, m := range []struct{ got, was unit.Length }{{after.Park.ShowsMin, before.Park.ShowsMin}, {after.Park.ShowsMax, before.Park.ShowsMax}} {
			if !same(m.got, m.was+d) {
				t.Fatalf("seed %d, case %d: donor guide %v deeper, the mark shows %v, was %v", seed, i, d, m.got, m.was)
			}
		}
		s.Events = []Event{{Kind: Moved, Role: gear.AntegradeGuide, Amount: unit.Exactly(d)}}
		moved := Assess(s, kit)
		for j, st := range moved.Stations {
			want := before.Stations[j].At
			if st.Station == AntegradeTip || st.Station == AntegradeHub || st.Station == AntegradeValve {
				want -= d
			}
			if !same(st.At, want) {
				t.Fatalf("seed %d, case %d: antegrade guide %v deeper, %s is %v, want %v", seed, i, d, st.Station, st.At, want)
			}
		}
	}
}

// TestLawR6: parsing and printing of an event are inverse.
func TestLawR6(t *testing.T) {
	for _, text := range []string{
		"retro_microcatheter at antegrade_tip shows 143 mm",
		"retro_microcatheter at channel_exit shows 20 mm ± 3",
		"snare at antegrade_tip shows 12 mm after push",
		"retro_microcatheter at distal_cap shows 0.5 mm ± 0.25 after pull",
	} {
		e, f := ParseSighting(text)
		if f != nil {
			t.Fatalf("%s: %s", text, f.Says())
		}
		if e.String() != text {
			t.Errorf("%q prints as %q", text, e)
		}
	}
	for _, text := range []string{"donor_guide in 10 mm", "antegrade_guide out 5 mm ± 2", "donor_guide suspected"} {
		e, f := ParseMove(text)
		if f != nil {
			t.Fatalf("%s: %s", text, f.Says())
		}
		if e.String() != text {
			t.Errorf("%q prints as %q", text, e)
		}
	}
	if e, f := ParseSighting("  retro_microcatheter  at antegrade_tip shows 14.3cm"); f != nil || e.Amount.Value != 143 {
		t.Errorf("spaces and centimetres: %v %v", e, f)
	}
}

// TestEventFaults: what is wrong with a report, and at which character.
func TestEventFaults(t *testing.T) {
	for _, c := range []struct {
		text string
		move bool
		col  int
	}{
		{"", false, 1},
		{"microcatheter at antegrade_tip shows 143 mm", false, 1},
		{"crossing_wire at antegrade_tip shows 143 mm", false, 1},
		{"retro_microcatheter near antegrade_tip shows 143 mm", false, 21},
		{"retro_microcatheter at the_tip shows 143 mm", false, 24},
		{"retro_microcatheter at antegrade_tip reads 143 mm", false, 38},
		{"retro_microcatheter at antegrade_tip shows 143", false, 44},
		{"retro_microcatheter at antegrade_tip shows -3 mm", false, 44},
		{"retro_microcatheter at antegrade_tip shows unknown", false, 44},
		{"retro_microcatheter at antegrade_tip shows 3 mm after lunch", false, 38},
		{"retro_microcatheter at antegrade_tip", false, 37},
		{"guide in 10 mm", true, 1},
		{"donor_guide up 10 mm", true, 13},
		{"donor_guide in 10", true, 16},
		{"donor_guide in 10 kg", true, 19},
		{"donor_guide suspected 3 mm", true, 13},
		{"donor_guide", true, 12},
	} {
		parse := ParseSighting
		if c.move {
			parse = ParseMove
		}
		e, f := parse(c.text)
		if f == nil {
			t.Errorf("%q is taken as %v", c.text, e)
			continue
		}
		if e != (Event{}) {
			t.Errorf("%q gives an event beside the fault", c.text)
		}
		if f.Col != c.col || f.Expected == "" || f.Hint == "" {
			t.Errorf("%q: column %d, want %d: %s", c.text, f.Col, c.col, f.Says())
		}
	}
}

// FuzzEvent: no text makes the parsers panic, and what they take prints and parses
// back to itself.
func FuzzEvent(f *testing.F) {
	for _, s := range []string{"retro_microcatheter at antegrade_tip shows 143 mm ± 4 after push", "donor_guide in 10 mm", "donor_guide suspected", "x", ""} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		for _, parse := range []func(string) (Event, *fault.Fault){ParseSighting, ParseMove} {
			e, bad := parse(text)
			if bad != nil {
				continue
			}
			again, bad := parse(e.String())
			if bad != nil || again != e {
				t.Fatalf("%q is %v, which parses to %v (%v)", text, e, again, bad)
			}
		}
	})
}

// TestLawR7: an unknown leg makes exactly those margins unknown that its length
// touches: the ones that move when the leg is made longer.
func TestLawR7(t *testing.T) {
	const seed = 107
	r := rand.New(rand.NewPCG(seed, 0))
	for i := range 140 {
		way := everyWay[i%len(everyWay)]
		s, kit, _ := randomCase(r, way.f, way.over)
		leg := anatomy.Legs[r.IntN(anatomy.LegCount)]
		before := byID(Assess(s, kit))
		longer := *s
		longer.Legs[leg].Length.Value += 0.25
		moved := byID(Assess(&longer, kit))
		s.Legs[leg] = Leg{Length: unit.Measured[unit.Length]{State: unit.Unknown}, Basis: anatomy.Missing}
		for id, m := range byID(Assess(s, kit)) {
			touches := !same(moved[id].Mean, before[id].Mean)
			if touches && m.Known() {
				t.Fatalf("seed %d, case %d, %v: %s has a figure without %s", seed, i, way, id, leg)
			}
			if !touches && !m.Known() && !eitherOr(id, leg) {
				t.Fatalf("seed %d, case %d, %v: %s has no figure without %s, which it does not hold", seed, i, way, id, leg)
			}
		}
	}
}

// eitherOr lists the margins whose formula takes the lesser of two places: the leg
// that was not taken counts too, since it decides.
func eitherOr(id string, leg anatomy.LegName) bool {
	switch id {
	case "reach.channel":
		return leg == anatomy.RecipientRun || leg == anatomy.Channel
	case "reach.exit": // of a snare capture: every leg up to the ostium
		return true
	case "reach.berth", "reach.crossing", "reach.trap", "reach.extension", "reach.protrusion":
		return leg == anatomy.ProximalRun || leg == anatomy.Occlusion
	}
	return false
}

// TestKalmanByHand works one sighting by hand. Septal route, 100 cm guides; the
// microcatheter's tip is seen at the antegrade tip while 143 mm shows, so that the tip
// lies at 1357 where 1335 was expected. Variance of antegrade_tip: 3 legs, valve, seats
// 9+25+16+9+9 + 9 + 9 + 9 = 95; of the reading 25. Gain 95/120; the tip moves by
// 22 * 95/120, its deviation becomes sqrt(95 * 25/120). channel_exit shares
// 9 + 25 + 9 + 9 = 52 with the tip: it moves by 22 * 52/120, variance 52 - 52^2/120.
func TestKalmanByHand(t *testing.T) {
	s := setupOf(legsOf(septalMeans, septalSDs), anatomy.GuideWiring, anatomy.Rail)
	e, f := ParseSighting("retro_microcatheter at antegrade_tip shows 143 mm")
	if f != nil {
		t.Fatal(f.Says())
	}
	s.Events = []Event{e}
	r := Assess(s, benchKit(1000, 1000, 3300))
	for _, st := range r.Stations {
		var at, sd float64
		switch st.Station {
		case AntegradeTip:
			at, sd = 1335+22*95.0/120, math.Sqrt(95*25.0/120)
		case ChannelExit:
			at, sd = 1205+22*52.0/120, math.Sqrt(52-52*52.0/120)
		default:
			continue
		}
		if !same(st.At, unit.Length(at)) || !same(st.SD, unit.Length(sd)) {
			t.Errorf("%s is %v ± %v, by hand %.4f ± %.4f", st.Station, st.At, st.SD, at, sd)
		}
	}
	if len(r.Troubles) != 0 {
		t.Errorf("2.0 standard deviations are questioned: %v", r.Troubles)
	}
	for shows, want := range map[string]string{"136": "questioned", "100": "refused", "165": "fine"} {
		e, _ := ParseSighting("retro_microcatheter at antegrade_tip shows " + shows + " mm")
		s.Events = []Event{e}
		got := "fine"
		if tr := Assess(s, benchKit(1000, 1000, 3300)).Troubles; len(tr) > 0 {
			got = map[bool]string{true: "refused", false: "questioned"}[tr[0].Refused]
		}
		// 29, 65 and 0 mm off, of sqrt(120) = 10.95: 2.65, 5.9, 0
		if got != want {
			t.Errorf("%s mm shows: %s, want %s", shows, got, want)
		}
	}
}

// TestRepeatedReadings: ten readings of one place are not a certainty. They share 4 of
// their 5 mm, so the place can't become sharper than the shared part and the prior
// leave it: variance 1/(1/95 + 1/(16 + 9/n)).
func TestRepeatedReadings(t *testing.T) {
	s := setupOf(legsOf(septalMeans, septalSDs), anatomy.GuideWiring, anatomy.Rail)
	e, _ := ParseSighting("retro_microcatheter at antegrade_tip shows 165 mm")
	for n := 1; n <= 10; n++ {
		s.Events = append(s.Events, e)
		want := math.Sqrt(1 / (1/95.0 + 1/(16+9/float64(n))))
		for _, st := range Assess(s, benchKit(1000, 1000, 3300)).Stations {
			if st.Station == AntegradeTip && !same(st.SD, unit.Length(want)) {
				t.Errorf("%d readings: ± %v, by hand ± %.4f", n, st.SD, want)
			}
		}
	}
}

// TestLostMotionAndSuspicion: a pull after a push is less sharp; a suspected movement
// voids what was read before it and widens its side by 10 mm.
func TestLostMotionAndSuspicion(t *testing.T) {
	s := setupOf(legsOf(septalMeans, septalSDs), anatomy.GuideWiring, anatomy.Rail)
	kit := benchKit(1000, 1000, 3300)
	sd := func(texts ...string) unit.Length {
		s.Events = nil
		for _, text := range texts {
			parse := ParseSighting
			if len(text) < 30 {
				parse = ParseMove
			}
			e, f := parse(text)
			if f != nil {
				t.Fatal(f.Says())
			}
			s.Events = append(s.Events, e)
		}
		for _, st := range Assess(s, kit).Stations {
			if st.Station == ChannelExit {
				return st.SD
			}
		}
		return 0
	}
	push, pull := "retro_microcatheter at channel_exit shows 295 mm after push", "retro_microcatheter at channel_exit shows 295 mm after pull"
	if a, b := sd(push, push), sd(push, pull); a >= b {
		t.Errorf("after push and push ± %v, after push and pull ± %v: lost motion is not counted", a, b)
	}
	if a, b := sd(push, "donor_guide suspected"), unit.Length(math.Sqrt(52+100)); !same(a, b) {
		t.Errorf("after a suspected movement ± %v, by hand ± %v", a, b)
	}
	if a, b := sd(push, "donor_guide suspected", push), sd(push); a <= b {
		t.Errorf("a new reading after a suspected movement gives ± %v, without the movement ± %v", a, b)
	}
}

// TestVerdicts: the three verdicts of a margin on the probability's own edges.
func TestVerdicts(t *testing.T) {
	a := NewAxis(setupOf(legsOf(septalMeans, septalSDs), anatomy.GuideWiring, anatomy.Rail))
	for _, c := range []struct {
		mean, p float64
		want    string
	}{{-0.1, 0.49, "fails"}, {0, 0.5, "tight"}, {3, 0.9499, "tight"}, {3, 0.95, "works"}, {-1e-12, 1, "works"}} {
		if got := a.judge(c.mean, c.p).String(); got != c.want {
			t.Errorf("mean %g, P %g: %s, want %s", c.mean, c.p, got, c.want)
		}
	}
}

// TestOffered: what is not offered, with a reason.
func TestOffered(t *testing.T) {
	legs, rules := legsOf(septalMeans, septalSDs), house.Defaults()
	off := func(v float64) anatomy.Access {
		return anatomy.Access{Antegrade: anatomy.Side{StandOff: unit.Exactly(unit.Length(v))}}
	}
	shared := anatomy.Access{Antegrade: anatomy.Side{Shared: true}}
	for _, c := range []struct {
		f       anatomy.Finish
		access  anatomy.Access
		offered bool
	}{
		{anatomy.GuideWiring, off(10), true}, {anatomy.GuideWiring, off(11), false},
		{anatomy.TipIn, off(10), true}, {anatomy.TipIn, off(11), false},
		{anatomy.SnareCapture, off(60), true}, {anatomy.SnareCapture, shared, false},
		{anatomy.ExtensionWiring, off(39), true}, {anatomy.ExtensionWiring, off(40), false},
		{anatomy.GuideWiring, shared, true},
	} {
		why := Offered(c.f, c.access, legs, rules)
		if (why == "") != c.offered {
			t.Errorf("%s with %+v: %q, want offered %v", c.f, c.access.Antegrade, why, c.offered)
		}
	}
}
