package practice

import (
	"encoding/json"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"backroad/internal/anatomy"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/rail"
	"backroad/internal/rehearsal"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

func size(v float64) gear.Length { return unit.Exactly(unit.Length(v)) }

// kit is gear for every role; the figures are those of the rail's worked example (a 150
// cm microcatheter, 100 cm guides, a 330 cm wire).
func kit() gear.Kit {
	guide := func(id string) *gear.Item {
		return &gear.Item{ID: id, Class: gear.Guide, OnHand: 5, Length: size(1000), French: size(7.0 / 3), Bore: size(2.06)}
	}
	return gear.Kit{
		gear.DonorGuide: guide("GD"), gear.AntegradeGuide: guide("GA"),
		gear.RetroMicrocatheter:     {ID: "MC", Class: gear.Microcatheter, Length: size(1500), OuterTip: size(0.43), OuterShaft: size(0.87), Bore: size(0.40), TakesWire: size(0.3556)},
		gear.CrossingWire:           {ID: "CW", Class: gear.Wire, Use: gear.Crossing, Length: size(1900), Diameter: size(0.3556), Soft: size(150)},
		gear.LongWire:               {ID: "LW", Class: gear.Wire, Use: gear.Externalisation, Length: size(3300), Diameter: size(0.254), Soft: size(80)},
		gear.DonorWire:              {ID: "WW", Class: gear.Wire, Use: gear.Workhorse, Length: size(1900), Diameter: size(0.3556), Soft: size(30)},
		gear.TrapBalloon:            {ID: "TB", Class: gear.Balloon, Length: size(20), Inflated: size(2.5), Profile: size(0.7), Shaft: size(1400), RX: size(250)},
		gear.TreatDevice:            {ID: "TD", Class: gear.Stent, Length: size(30), Diameter: size(3), Profile: size(1.05), Shaft: size(1400), RX: size(250)},
		gear.ExtensionRole:          {ID: "EX", Class: gear.Extension, French: size(7.0 / 3), Outer: size(1.92), Bore: size(1.57), Tube: size(250)},
		gear.SnareRole:              {ID: "SN", Class: gear.Snare, Length: size(1200), Outer: size(1.0), LoopLeast: 18, LoopMost: 30, Loops: 3},
		gear.AntegradeMicrocatheter: {ID: "MA", Class: gear.Microcatheter, Length: size(1500), OuterTip: size(0.43), OuterShaft: size(0.87), Bore: size(0.40), TakesWire: size(0.3556)},
		gear.DualLumenRole:          {ID: "DL", Class: gear.DualLumen, Length: size(1400), OuterTip: size(0.5), OuterShaft: size(1.0), RX: size(200)},
	}
}

// planned is the septal route of the rail's worked example, with a finish.
func planned(f anatomy.Finish, over anatomy.TreatOver, ch anatomy.ChannelKind) *rehearsal.Case {
	var legs rail.Legs
	for i, mean := range []float64{55, 75, 60, 30, 45} {
		legs[i] = rail.Leg{Length: unit.WithSD(unit.Length(mean), 3), Basis: anatomy.Measured, Bends: []unit.Angle{0.5}}
	}
	s := &rail.Setup{Rules: house.Defaults(), Legs: legs, Finish: f, TreatOver: over}
	return &rehearsal.Case{Setup: s, Kit: kit(), Channel: ch, Protocol: rehearsal.Default(rehearsal.Course{Finish: f, Over: over, Channel: ch})}
}

var ways = []struct {
	f    anatomy.Finish
	over anatomy.TreatOver
}{{anatomy.GuideWiring, anatomy.Rail}, {anatomy.ExtensionWiring, anatomy.Rail}, {anatomy.SnareCapture, anatomy.Rail}, {anatomy.TipIn, anatomy.AntegradeWire}}

// script is the planned order as lines, with what a person says beside it.
func script(c *rehearsal.Case) []Line {
	var lines []Line
	must := func(text string) {
		l, f := ParseLine(text)
		if f != nil {
			panic(text + ": " + f.Says())
		}
		lines = append(lines, l)
	}
	must("tick bailout-ready")
	for _, p := range c.Protocol.Steps {
		if p.Optional {
			continue
		}
		must("watch " + strings.Fields(p.Who)[0])
		if p.As != "" {
			must("call " + p.As)
		} else {
			must("call nothing")
		}
		for _, a := range p.Do {
			must(a.String())
		}
	}
	return lines
}

func start(t *testing.T, set Setting) *Session {
	t.Helper()
	s, f := Start(set)
	if f != nil {
		t.Fatal(f.Says())
	}
	return s
}

func texts(lines []Line) []string {
	out := make([]string, len(lines))
	for i, l := range lines {
		out[i] = l.String()
	}
	return out
}

// random is a practice with sense and nonsense in it.
func random(r *rand.Rand, s *Session, c *rehearsal.Case, n int) {
	plan := script(c)
	words := []string{"call nothing", "call last-look", "watch nobody", "watch technician", "tick donor-look", "minutes 7", "pedal 4", "guide donor_guide in 5 mm", "guide antegrade_guide out 8 mm", "check heparin", "inject antegrade", "check donor"}
	for range n {
		var text string
		switch k := r.IntN(10); {
		case k < 5 && len(plan) > 0:
			text, plan = plan[0].String(), plan[1:]
		case k < 8:
			what := rehearsal.Bodies[r.IntN(len(rehearsal.Bodies))]
			text = string([]rehearsal.Way{rehearsal.Push, rehearsal.Pull}[r.IntN(2)]) + " " + string(what) + " by " + number(unit.Length(r.IntN(300))) + " mm"
			if r.IntN(3) == 0 {
				text = "insert " + string(what)
			}
		default:
			text = words[r.IntN(len(words))]
		}
		l, f := ParseLine(text)
		if f != nil {
			panic(text + ": " + f.Says())
		}
		s.Do(l)
	}
}

// hidden is a scenario with everything in it.
func hidden() *Scenario {
	past, _ := rail.ParsePlace("channel_exit - 20 mm")
	return &Scenario{Real: map[anatomy.LegName]unit.Length{anatomy.Channel: 92}, Clotting: 20, Invented: Usual, Twists: []Twist{
		{On: Trigger{Verb: rehearsal.PushTo, What: "retro_microcatheter", Past: past}, Times: 2, Then: Effect{Stops: true}, Says: "The microcatheter does not follow."},
		{On: Trigger{Verb: rehearsal.PushTo, What: "crossing_wire", Past: rail.Place{Name: string(rail.AntegradeTip)}}, Times: 1, Then: Effect{Stops: true, Back: 15}, Says: "The wire goes past the guide."},
		{On: Trigger{Verb: rehearsal.Inflate, What: "trap_balloon"}, Then: Effect{Dives: gear.AntegradeGuide, Deeper: 14}},
	}}
}

// TestLawsQ1Q2: a replay gives the same views, and undoing everything the start.
func TestLawsQ1Q2(t *testing.T) {
	const seed = 11
	for i := range 40 {
		w := ways[i%len(ways)]
		c := planned(w.f, w.over, anatomy.ChannelKinds[i%len(anatomy.ChannelKinds)])
		set := Setting{Planned: c, Lab: i%2 == 0}
		if i%3 > 0 {
			set.Scenario = hidden()
		}
		s := start(t, set)
		first := s.Reveal()
		random(rand.New(rand.NewPCG(seed, uint64(i))), s, c, 70)
		again, list := Replay(set, s.Log())
		if list != nil {
			t.Fatalf("seed %d, practice %d: %v", seed, i, list)
		}
		if d := cmp.Diff(s.Reveal(), again.Reveal()) + cmp.Diff(s.View(), again.View()) + cmp.Diff(s.Outcomes(), again.Outcomes()) + cmp.Diff(s.Log(), again.Log()); d != "" {
			t.Fatalf("seed %d, practice %d, Q1: %s", seed, i, d)
		}
		for s.Undo() {
		}
		if d := cmp.Diff(first, s.Reveal()); d != "" {
			t.Fatalf("seed %d, practice %d, Q2: %s", seed, i, d)
		}
		if len(s.Log()) != 0 || len(s.Outcomes()) != 0 {
			t.Error("something is left of the log")
		}
	}
}

// TestLawQ3: without a scenario a practice gives the scenes and findings of the
// rehearsal's own session.
func TestLawQ3(t *testing.T) {
	for _, w := range ways {
		c := planned(w.f, w.over, anatomy.Septal)
		s := start(t, Setting{Planned: c})
		hand, _ := rehearsal.NewSession(c)
		var under rehearsal.Under
		for _, l := range script(c) {
			o := s.Do(l)
			switch l.Kind {
			case Watch:
				under.Who = l.Word
			case Call:
				under.As = strings.TrimPrefix(l.Word, "nothing")
			case Act:
				want := hand.Do(l.Action, under)
				got := slices.DeleteFunc(slices.Clone(o.Findings), func(f verdict.Finding) bool { return f.Severity == verdict.HoldPoint })
				if len(got)+len(want.Findings) > 0 && cmp.Diff(want.Findings, got) != "" {
					t.Errorf("%v, %s: %s", w, l, cmp.Diff(want.Findings, got))
				}
				if d := cmp.Diff(hand.Scene(), s.View().Scene); d != "" {
					t.Fatalf("%v, %s: %s", w, l, d)
				}
			}
		}
	}
}

// TestLawQ4: in a laboratory no view holds a position on the axis: two practices on legs
// that differ, with the same readings, look the same.
func TestLawQ4(t *testing.T) {
	c := planned(anatomy.GuideWiring, anatomy.Rail, anatomy.Septal)
	views := func(channel unit.Length) []byte {
		s := start(t, Setting{Planned: c, Lab: true, Scenario: &Scenario{Real: map[anatomy.LegName]unit.Length{anatomy.Channel: channel}, Invented: Usual}})
		var all []*View
		for _, text := range []string{"insert retro_microcatheter", "insert donor_wire through retro_microcatheter", "push retro_microcatheter by 1130 mm with donor_wire", "pull retro_microcatheter until 400 mm shows", "minutes 3"} {
			l, f := ParseLine(text)
			if f != nil {
				t.Fatal(f.Says())
			}
			s.Do(l)
			all = append(all, s.View())
		}
		data, err := json.Marshal(all)
		if err != nil {
			t.Fatal(err)
		}
		if s.Reveal().Scene == nil || len(s.Reveal().Stations) != len(rail.Stations) {
			t.Error("afterwards the rail is not shown")
		}
		return data
	}
	if a, b := views(75), views(110); string(a) != string(b) {
		t.Errorf("the views tell the channel's length:\n%s\n%s", a, b)
	}
}

// TestLawQ5: the planned order compared with itself has no difference; a line left out
// or put in is the only one.
func TestLawQ5(t *testing.T) {
	for _, w := range ways {
		c := planned(w.f, w.over, anatomy.Septal)
		lines := script(c)
		differences := func(lines []Line) (missing, extra int) {
			for _, r := range Compare(c.Protocol, lines) {
				if r.Done == "" {
					missing++
				}
				if r.Planned == "" {
					extra++
				}
			}
			return missing, extra
		}
		if m, e := differences(lines); m+e != 0 {
			t.Fatalf("%v: %d missing, %d extra in the planned order", w, m, e)
		}
		for i, l := range lines {
			if l.Kind != Act {
				continue
			}
			if m, e := differences(slices.Delete(slices.Clone(lines), i, i+1)); m != 1 || e != 0 {
				t.Errorf("%v without %s: %d missing, %d extra", w, l, m, e)
			}
			if m, e := differences(slices.Insert(slices.Clone(lines), i, l)); m != 0 || e != 1 {
				t.Errorf("%v with %s twice: %d missing, %d extra", w, l, m, e)
			}
		}
	}
}

// TestLines: reading and printing a line are inverse, and what is no line is refused with
// what would be one.
func TestLines(t *testing.T) {
	for _, text := range []string{"push retro_microcatheter by 120 mm with donor_wire", "pull retro_microcatheter until 272 mm shows", "pull trap_balloon by 0.5 mm",
		"guide antegrade_guide out 10 mm", "call last-look", "call nothing", "watch second operator", "watch nobody", "tick bailout-ready", "minutes 5", "pedal 3",
		"push retro_microcatheter to distal_cap + 5 mm", "clip long_wire", "wait channel", "insert donor_wire through retro_microcatheter"} {
		l, f := ParseLine(text)
		if f != nil || l.String() != text {
			t.Errorf("%q: %v, printed as %q", text, f, l)
		}
	}
	for _, text := range []string{"", "push", "push spoon by 3 mm", "push retro_microcatheter by 3", "push retro_microcatheter by -3 mm", "push retro_microcatheter by unknown",
		"push retro_microcatheter by 9 m", "push retro_microcatheter by 5000 mm", "pull retro_microcatheter until 3 mm", "push retro_microcatheter by 3 mm ± 1", "call home", "tick cover", "minutes 0", "minutes 05", "pedal x", "watch", "watch a\x1b[1mb", "watch \u202ebob", "watch \xff", "watch " + strings.Repeat("n", 41),
		"guide donor_guide suspected", "guide spoon in 3 mm", "push retro_microcatheter by 3 mm with spoon"} {
		if l, f := ParseLine(text); f == nil || f.Expected == "" {
			t.Errorf("%q is taken as %+v", text, l)
		}
	}
}

func FuzzParseLine(f *testing.F) {
	for _, l := range script(planned(anatomy.SnareCapture, anatomy.Rail, anatomy.Epicardial)) {
		f.Add(l.String())
	}
	f.Add("pull retro_microcatheter until 272.25 mm shows")
	f.Fuzz(func(t *testing.T, text string) {
		l, fault := ParseLine(text)
		if fault != nil {
			return
		}
		again, fault := ParseLine(l.String())
		if fault != nil || again.String() != l.String() {
			t.Errorf("%q prints as %q, which reads as %q (%v)", text, l, again, fault)
		}
	})
}

// FuzzReplay: whatever stands in a log, it is a fault or it is done, and then its lines
// give the same views again.
func FuzzReplay(f *testing.F) {
	c := planned(anatomy.GuideWiring, anatomy.Rail, anatomy.Septal)
	set := Setting{Planned: c, Scenario: hidden(), Lab: true}
	f.Add(strings.Join(texts(script(c))[:40], "\n"))
	f.Add("insert retro_microcatheter\npush retro_microcatheter by 1300 mm\nguide donor_guide out 300 mm\npull retro_microcatheter until 0 mm shows\npedal 3")
	f.Add("insert extension\npull extension by 4000 mm\ninflate trap_balloon on long_wire\ncut long_wire\nfeed crossing_wire to out drawn to out + 4000 mm")
	f.Fuzz(func(t *testing.T, text string) {
		log := strings.Split(text, "\n")
		if len(log) > 60 {
			log = log[:60]
		}
		s, list := Replay(set, log)
		if (s == nil) == (list == nil) {
			t.Fatal("a session and faults, or neither")
		}
		if s == nil {
			return
		}
		s.Can()
		again, list := Replay(set, s.Log())
		if list != nil || cmp.Diff(s.Reveal(), again.Reveal()) != "" || cmp.Diff(s.Seen(), again.Seen()) != "" {
			t.Fatalf("not the same again: %v", list)
		}
	})
}
