package rehearsal

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"backroad/internal/anatomy"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/rail"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

// blocking lists what blocks, as "step rule".
func blocking(r *Result) []string {
	var all []string
	for _, f := range r.Findings {
		if f.Severity == verdict.Blocks {
			all = append(all, f.Step+" "+f.Rule)
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// graver lists everything that is not a watch, outside optional steps.
func graver(r *Result) []string {
	var all []string
	for _, f := range r.Findings {
		if f.Severity != verdict.Watch && !sideStep(f.Step) {
			all = append(all, f.Step+" "+f.Rule+" "+string(f.Severity))
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// sideStep reports whether a step is one that is only taken if it is needed.
func sideStep(id string) bool { return id == "swap" || id == "early-trap" }

// TestSideSteps: swapping the microcatheter and pull support from an early trap ask for
// a confirmation, since the channel is bare meanwhile.
func TestSideSteps(t *testing.T) {
	asked := map[string]bool{}
	for _, f := range run(t, caseOf(gw, onR, sept)).Findings {
		if f.Rule == "cover" && f.Severity == verdict.Confirm && strings.HasPrefix(f.Says, "only if this step is needed") {
			asked[f.Step] = true
		}
	}
	if !asked["swap"] || !asked["early-trap"] {
		t.Errorf("asked at %v", asked)
	}
}

// TestBuiltInProtocols: on a case with room everywhere no built-in protocol breaks a
// rule or asks for a confirmation, in a septal or an epicardial channel.
func TestBuiltInProtocols(t *testing.T) {
	for _, way := range everyWay {
		for _, ch := range anatomy.ChannelKinds {
			r := run(t, caseOf(way.f, way.over, ch))
			if !r.Ran {
				t.Errorf("%v %s: not rehearsed", way, ch)
			}
			if bad := graver(r); len(bad) > 0 {
				t.Errorf("%v %s: %v", way, ch, bad)
			}
			for _, s := range r.Steps {
				if s.Title == "" || len(s.Does) == 0 || s.Watch == "" || s.Who == "" || s.IfFails == "" {
					t.Errorf("%v: step %s lacks words", way, s.ID)
				}
			}
		}
	}
}

// TestLawS2: a rehearsal changes nothing of its case and gives the same answer again.
func TestLawS2(t *testing.T) {
	c := caseOf(anatomy.SnareCapture, anatomy.Rail, anatomy.Septal)
	before := len(c.Protocol.Steps)
	kit := c.Kit[gear.LongWire].Length
	a, b := run(t, c), run(t, c)
	if d := cmp.Diff(a, b); d != "" {
		t.Error(d)
	}
	if len(c.Protocol.Steps) != before || c.Kit[gear.LongWire].Length != kit {
		t.Error("the case was changed")
	}
}

// TestLawS3: parsing and printing of an action are inverse, for every built-in action.
func TestLawS3(t *testing.T) {
	n := 0
	for _, way := range everyWay {
		for _, s := range Default(Course{Finish: way.f, Over: way.over, Channel: anatomy.Epicardial, Sight: true}).Steps {
			for _, a := range s.Do {
				again, f := ParseAction(a.String())
				if f != nil || again != a {
					t.Errorf("%q parses to %+v (%v), was %+v", a, again, f, a)
				}
				n++
			}
		}
	}
	if n < 100 {
		t.Errorf("only %d actions", n)
	}
	for _, bad := range []string{"", "push", "push retro_microcatheter", "push retro_microcatheter to nowhere", "push spoon to lo", "fly retro_microcatheter to lo",
		"inflate trap_balloon on spoon", "inject sideways", "push retro_microcatheter to lo + 3", "check moon"} {
		if a, f := ParseAction(bad); f == nil || f.Expected == "" {
			t.Errorf("%q is taken as %+v", bad, a)
		}
	}
}

// TestLawS4: the rules do not forbid the procedure itself: on random cases whose
// margins all hold, at least 95 % of the built-in protocols break no rule.
func TestLawS4(t *testing.T) {
	const seed = 404
	r := rand.New(rand.NewPCG(seed, 0))
	feasible, clean := 0, 0
	var first string
	for feasible < 150 {
		c := randomCase(r)
		if v := rail.Assess(c.Setup, c.Kit).Verdict; v == verdict.Fails || v == verdict.Unknown {
			continue
		}
		feasible++
		if bad := blocking(run(t, c)); len(bad) == 0 {
			clean++
		} else if first == "" {
			first = string(c.Setup.Finish) + " " + string(c.Channel) + ": " + strings.Join(bad, ", ")
		}
	}
	if clean < feasible*95/100 {
		t.Errorf("seed %d: %d of %d feasible cases pass; the first that does not: %s", seed, clean, feasible, first)
	}
}

// oddCase draws a case with gear of all sizes, one guide for both sides, and stand-offs.
func oddCase(r *rand.Rand) *Case {
	c := randomCase(r)
	pick := func(v ...float64) gear.Length { return size(v[r.IntN(len(v))]) }
	for _, role := range []gear.Role{gear.DonorGuide, gear.AntegradeGuide} {
		fr := 6 + r.IntN(3)
		c.Kit[role].French, c.Kit[role].Bore = size(float64(fr)/3), size([]float64{1.8, 2.06, 2.29}[fr-6])
	}
	c.Kit[gear.RetroMicrocatheter].OuterShaft = pick(0.8, 0.87, 0.93, 0.97)
	c.Kit[gear.TrapBalloon].Profile, c.Kit[gear.TrapBalloon].Length = pick(0.5, 0.66, 0.7, 0.85), pick(10, 15, 20)
	c.Kit[gear.TreatDevice].Profile, c.Kit[gear.TreatDevice].OverWire = pick(0.5, 0.8, 1.05, 1.2), r.IntN(6) == 0
	c.Kit[gear.DualLumenRole].OuterShaft, c.Kit[gear.ExtensionRole].Bore = pick(0.9, 1.06), pick(1.2, 1.42, 1.57)
	c.Kit[gear.LongWire].Diameter = pick(0.254, 0.33, 0.3556)
	if r.IntN(4) == 0 {
		c.Kit[gear.LongWire].Soft = gear.Length{}
	}
	side := &c.Setup.Access.Antegrade
	switch finish := c.Setup.Finish; {
	case r.IntN(5) == 0 && finish != sn:
		side.Shared = true
		delete(c.Kit, gear.AntegradeGuide)
	case r.IntN(4) == 0 && (finish == sn || finish == ext):
		side.StandOff = unit.Exactly(unit.Length(r.IntN(35)))
	}
	return c
}

// TestLawS4OddGear is the same law on odd gear.
func TestLawS4OddGear(t *testing.T) {
	const seed = 406
	wanted := 150
	if os.Getenv("BACKROAD_LONG") != "" {
		wanted = 3000
	}
	r := rand.New(rand.NewPCG(seed, 0))
	feasible, clean, bad := 0, 0, map[string]int{}
	for feasible < wanted {
		c := oddCase(r)
		a := rail.Assess(c.Setup, c.Kit)
		if a.Verdict == verdict.Fails || a.Verdict == verdict.Unknown {
			continue
		}
		feasible++
		c.Protocol = Default(Course{Finish: c.Setup.Finish, Over: c.Setup.TreatOver, Channel: c.Channel, Trapless: a.Trap == rail.NoTrap, Sight: feasible%2 == 0})
		res := run(t, c)
		if !res.Ran {
			t.Fatalf("seed %d: not rehearsed", seed)
		}
		if b := blocking(res); len(b) > 0 {
			bad[string(c.Setup.Finish)+": "+strings.Join(b, ", ")]++
		} else {
			clean++
		}
	}
	t.Logf("seed %d: %d of %d pass; not: %v", seed, clean, feasible, bad)
	if clean < feasible*95/100 {
		t.Errorf("seed %d: only %d of %d feasible cases pass: %v", seed, clean, feasible, bad)
	}
}

// edit changes one built-in protocol.
type edit func(p *Protocol)

func stepOf(p *Protocol, id string) *ProtocolStep {
	for i := range p.Steps {
		if p.Steps[i].ID == id {
			return &p.Steps[i]
		}
	}
	panic("no step " + id)
}

// replace puts other actions for the ones of a step.
func replace(id string, texts ...string) edit {
	return func(p *Protocol) { stepOf(p, id).Do = do(texts...) }
}

// drop takes an action out of a step.
func drop(id, text string) edit {
	return func(p *Protocol) {
		s := stepOf(p, id)
		n := len(s.Do)
		s.Do = slices.DeleteFunc(slices.Clone(s.Do), func(a Action) bool { return a.String() == text })
		if len(s.Do) == n {
			panic("no action " + text + " in " + id)
		}
	}
}

// after puts an action behind another.
func after(id, text, add string) edit {
	return func(p *Protocol) {
		s := stepOf(p, id)
		i := slices.IndexFunc(s.Do, func(a Action) bool { return a.String() == text })
		if i < 0 {
			panic("no action " + text + " in " + id)
		}
		s.Do = slices.Insert(slices.Clone(s.Do), i+1, do(add)...)
	}
}

// swapFor puts one action for another.
func swapFor(id, text, other string) edit {
	return func(p *Protocol) {
		after(id, text, other)(p)
		drop(id, text)(p)
	}
}

// without drops whole steps.
func without(ids ...string) edit {
	return func(p *Protocol) {
		p.Steps = slices.DeleteFunc(p.Steps, func(s ProtocolStep) bool { return slices.Contains(ids, s.ID) })
	}
}

// unhold takes a hold point out of every step.
func unhold(rule string) edit {
	return func(p *Protocol) {
		for i := range p.Steps {
			p.Steps[i].Holds = slices.DeleteFunc(slices.Clone(p.Steps[i].Holds), func(h string) bool { return h == rule })
		}
	}
}

// mutant is a protocol with one mistake, and what a proctor would name.
type mutant struct {
	name    string
	finish  anatomy.Finish
	over    anatomy.TreatOver
	channel anatomy.ChannelKind
	edit    edit
	step    string // where it is caught
	rule    string // by which rule; "" where the mutant is harmless
	also    string // rules that the same mistake breaks in its wake, for those that are not the first
}

const (
	gw    = anatomy.GuideWiring
	sn    = anatomy.SnareCapture
	ti    = anatomy.TipIn
	ext   = anatomy.ExtensionWiring
	onR   = anatomy.Rail
	onA   = anatomy.AntegradeWire
	sept  = anatomy.Septal
	epi   = anatomy.Epicardial
	takes = "take-out crossing_wire"
)

// mutants are protocols with one mistake each.
var mutants = []mutant{
	{"the microcatheter is pulled out of the channel while the long wire lies in it", gw, onR, sept, swapFor("park", "pull retro_microcatheter to set", "pull retro_microcatheter to channel_entry"), "park", "cover", ""},
	{"parked 5 mm short of covering the channel", gw, onR, sept, swapFor("park", "pull retro_microcatheter to set", "pull retro_microcatheter to lo - 5 mm"), "park", "cover", ""},
	{"parked exactly at the limit: harmless", gw, onR, sept, swapFor("park", "pull retro_microcatheter to set", "pull retro_microcatheter to lo"), "", "", ""},
	{"not parked at all: the stent meets the microcatheter", gw, onR, sept, drop("park", "pull retro_microcatheter to set"), "treat", "no-contact", "rail-device"},
	{"parked too far forward", gw, onR, sept, swapFor("park", "pull retro_microcatheter to set", "pull retro_microcatheter to distal_cap"), "treat", "no-contact", "rail-device"},
	{"the stent is pushed too far", gw, onR, sept, swapFor("treat", "push treat_device to treat", "push treat_device to channel_exit"), "treat", "no-contact", "rail-device"},
	{"the stent stops early: harmless", gw, onR, sept, swapFor("treat", "push treat_device to treat", "push treat_device to landing + 5 mm"), "", "", ""},
	{"the microcatheter enters the guide over a free wire", gw, onR, sept, without("trap"), "berth", "pinned", "role"},
	{"the trap is let go before the berth", gw, onR, sept, after("trap", "inflate trap_balloon on crossing_wire", "deflate trap_balloon"), "berth", "trap-state", "pinned"},
	{"the microcatheter runs into the trapping balloon", gw, onR, sept, swapFor("berth", "push retro_microcatheter to berth", "push retro_microcatheter to trap + 10 mm"), "berth", "trap-state", ""},
	{"berthed deeper, still short of the balloon: harmless", gw, onR, sept, swapFor("berth", "push retro_microcatheter to berth", "push retro_microcatheter to berth + 30 mm"), "", "", ""},
	{"the trapped wire is pulled out", gw, onR, sept, drop("exchange", "deflate trap_balloon"), "exchange", "trap-state", ""},
	{"nobody confirms the pressure after the trap", gw, onR, sept, drop("exchange", "check pressure"), "exchange", "trap-state", ""},
	{"the balloon is inflated where the wire is not", gw, onR, sept, swapFor("wire-guide", "push crossing_wire to trap_end", "push crossing_wire to berth"), "trap", "trap-state", "pinned"},
	{"contrast on the trapped side", gw, onR, sept, after("trap", "inflate trap_balloon on crossing_wire", "inject antegrade"), "trap", "trap-state", ""},
	{"contrast into a dissected lumen", gw, onR, sept, func(p *Protocol) {
		after("cross-occlusion", "push crossing_wire to recipient_ostium", "dissect occlusion")(p)
		after("cross-occlusion", "dissect occlusion", "inject antegrade")(p)
	}, "cross-occlusion", "no-injection", ""},
	{"contrast before any dissection: harmless", gw, onR, sept, after("cross-occlusion", "push crossing_wire to recipient_ostium", "inject antegrade"), "", "", ""},
	{"the tail is not clipped", gw, onR, sept, drop("park", "clip long_wire"), "treat", "clipped", ""},
	{"the clip comes off too early", gw, onR, sept, after("park", "clip long_wire", "unclip long_wire"), "treat", "clipped", ""},
	{"the long wire leaves at the antegrade hub", gw, onR, sept, swapFor("remove-wire", "take-out long_wire", "draw-out long_wire"), "remove-wire", "remove-covered", ""},
	{"the long wire leaves with the microcatheter still parked short of the cap", gw, onR, sept, without("re-advance"), "remove-wire", "remove-covered", ""},
	{"the long wire leaves from the distal cap: a named person says yes", gw, onR, sept, swapFor("re-advance", "push retro_microcatheter to back", "push retro_microcatheter to distal_cap + 10 mm"), "remove-wire", "remove-covered", ""},
	{"the microcatheter goes back over a wire that nobody holds", gw, onR, sept, drop("re-advance", "hold long_wire"), "re-advance", "pinned", ""},
	{"the microcatheter goes back through a stent that is not expanded", gw, onR, sept, drop("treat", "expand treat_device"), "re-advance", "struts", ""},
	{"the crossing wire leaves through a bare channel", gw, onR, sept, func(p *Protocol) {
		s := stepOf(p, "wire-channel")
		s.Do = append(slices.Clone(s.Do), do(takes)...)
	}, "wire-channel", "remove-covered", "role trap-state pinned hub-out connection cover remove-covered"},
	{"the connection is given up in the tip-in", ti, onA, sept, func(p *Protocol) {
		s := stepOf(p, "tip-in")
		s.Do = do("push crossing_wire to tip_depth", "pull crossing_wire to distal_cap")
	}, "tip-in", "connection", "role"},
	{"the retrograde wire leaves before the antegrade microcatheter has taken over", ti, onA, sept, func(p *Protocol) {
		drop("take-over", "push antegrade_microcatheter to landing")(p)
	}, "lay", "connection", ""},
	{"tips meet in the tip-in: a watch, not more", ti, onA, sept, swapFor("take-over", "push antegrade_microcatheter to landing", "push antegrade_microcatheter to clear"), "", "", ""},
	{"tips pass each other in the tip-in", ti, onA, sept, swapFor("take-over", "push antegrade_microcatheter to landing", "push antegrade_microcatheter to clear - 10 mm"), "take-over", "no-contact", ""},
	{"the microcatheter is not drawn back for the tip-in", ti, onA, sept, drop("take-over", "pull retro_microcatheter to clear"), "take-over", "no-contact", ""},
	{"the hub runs against its valve", gw, onR, sept, after("berth", "push retro_microcatheter to berth", "push retro_microcatheter to antegrade_tip + 160 mm"), "berth", "hub-out", "trap-state"},
	{"the wire's tail disappears into the hub", gw, onR, sept, swapFor("externalise", "push long_wire to out", "push long_wire to antegrade_valve + 800 mm"), "externalise", "hub-out", "role"},
	{"the long wire's end slips back into the guide", gw, onR, sept, after("park", "clip long_wire", "pull long_wire to antegrade_tip"), "park", "hub-out", "clipped trap-state"},
	{"the snare takes the stiff part", sn, onR, sept, swapFor("exchange", "push long_wire to loop + 30 mm", "push long_wire to loop + 150 mm"), "snare", "soft-capture", ""},
	{"the snare closes beyond the end", sn, onR, sept, swapFor("exchange", "push long_wire to loop + 30 mm", "push long_wire to loop - 10 mm"), "snare", "soft-capture", ""},
	{"the snare takes the working wire", sn, onR, sept, func(p *Protocol) {
		replace("exchange", "push crossing_wire to loop + 30 mm")(p)
		swapFor("snare", "capture long_wire with snare", "capture crossing_wire with snare")(p)
		without("externalise", "park", "treat", "re-advance", "remove-wire", "last-look")(p)
	}, "snare", "soft-capture", ""},
	{"fed more than it is drawn: a loop", sn, onR, sept, swapFor("externalise", "feed long_wire to out + 50 mm with snare", "feed long_wire to out + 50 mm with snare drawn to out - 150 mm"), "externalise", "feed-draw", ""},
	{"fed and drawn within 2 cm: harmless", sn, onR, sept, swapFor("externalise", "feed long_wire to out + 50 mm with snare", "feed long_wire to out + 50 mm with snare drawn to out + 35 mm"), "", "", ""},
	{"the captured end is not cut off before the rail is used", sn, onR, sept, drop("externalise", "cut long_wire"), "treat", "soft-capture", ""},
	{"an epicardial channel is dilated", gw, onR, epi, after("cross-channel", "push retro_microcatheter to lo", "dilate channel"), "cross-channel", "no-dilate", ""},
	{"a septal channel is dilated: harmless", gw, onR, sept, after("cross-channel", "push retro_microcatheter to lo", "dilate channel"), "", "", ""},
	{"the last look before the guides are eased", ti, onA, epi, drop("last-look", "ease guides"), "last-look", "epicardial-bare", ""},
	{"the last look from further back than the channel's mouth", gw, onR, epi, swapFor("last-look", "pull retro_microcatheter to channel_entry", "pull retro_microcatheter to channel_entry - 30 mm"), "last-look", "epicardial-bare", ""},
	{"contrast while the microcatheter still fills the channel", gw, onR, epi, swapFor("last-look", "pull retro_microcatheter to channel_entry", "pull retro_microcatheter to channel_entry + 40 mm"), "last-look", "epicardial-bare", ""},
	{"contrast twice without a wait between", gw, onR, epi, drop("last-look", "wait channel"), "last-look", "epicardial-bare", ""},
	{"no contrast at all before an epicardial channel is left", gw, onR, epi, drop("last-look", "inject donor"), "last-look", "epicardial-bare", ""},
	{"a septal channel is looked at without a wait: harmless", gw, onR, sept, drop("last-look", "inject donor"), "", "", ""},
	{"the tip is to be seen where it is not", gw, onR, sept, after("park", "pull retro_microcatheter to set", "sight retro_microcatheter at distal_cap"), "park", "role", ""},
	{"a stiff wire is changed in while the channel is bare", gw, onR, sept, func(p *Protocol) {
		s := stepOf(p, "wire-channel")
		s.Do = do("take-out crossing_wire", "insert occlusion_wire through retro_microcatheter", "push occlusion_wire to lead", "take-out occlusion_wire", "insert crossing_wire through retro_microcatheter", "push crossing_wire to lead")
	}, "wire-channel", "cover", "remove-covered"},
	{"the last look's wire leaves through a bare channel", gw, onR, sept, drop("last-look", "push retro_microcatheter to clear"), "last-look", "remove-covered", ""},
	{"two wires into one microcatheter", gw, onR, sept, drop("exchange", takes), "exchange", "lumen", "pinned cover remove-covered hub-out role clipped connection"},
	{"nobody watches the other guide at a pull", gw, onR, sept, func(p *Protocol) { stepOf(p, "park").Who = "" }, "park", "both-guides", ""},
	{"the stent comes too near to the microcatheter, without touching", gw, onR, sept, swapFor("treat", "push treat_device to treat", "push treat_device to set + 5 mm"), "treat", "no-contact", ""},
	{"nobody says what comes after too many tries", gw, onR, sept, func(p *Protocol) { stepOf(p, "wire-guide").IfFails = "" }, "wire-guide", "persist", ""},
	{"no bail-out gear before the channel", gw, onR, sept, unhold("bailout-ready"), "", "bailout-ready", ""},
	{"no clotting time", gw, onR, sept, unhold("anticoagulated"), "", "anticoagulated", ""},
	{"no look at the donor artery", gw, onR, sept, unhold("donor-look"), "", "donor-look", ""},
	{"clotting time only once gear is in", gw, onR, sept, func(p *Protocol) {
		unhold("anticoagulated")(p)
		stepOf(p, "treat").Holds = append(stepOf(p, "treat").Holds, "anticoagulated")
	}, "", "anticoagulated", ""},
	{"the extension is forgotten", ext, onR, sept, without("extension"), "remove-wire", "remove-covered", "role"}, // the berth was reckoned from its tip
	{"the dual-lumen runs past the landing zone into the microcatheter", gw, onA, sept, swapFor("lay", "push dual_lumen to landing", "push dual_lumen to lo - 5 mm"), "lay", "no-contact", "rail-device"},
	{"the antegrade wire is not extended: its tail disappears", gw, onA, sept, drop("lay", "extend antegrade_wire"), "lay", "hub-out", ""},
}

// TestMutants: every mistake is caught by the rule that a proctor would name, at its
// step, and what is harmless is not caught.
func TestMutants(t *testing.T) {
	if len(mutants) < 40 {
		t.Fatalf("only %d mutants", len(mutants))
	}
	for _, m := range mutants {
		t.Run(m.name, func(t *testing.T) {
			c := caseOf(m.finish, m.over, m.channel)
			m.edit(&c.Protocol)
			r := run(t, c)
			var caught []string
			named := false
			for _, f := range r.Findings {
				if sideStep(f.Step) || (m.rule != "both-guides" && m.rule != "persist" && f.Severity == verdict.Watch) {
					continue
				}
				caught = append(caught, f.Step+" "+f.Rule+" "+string(f.Severity)+": "+f.Says)
				named = named || (f.Step == m.step && f.Rule == m.rule)
			}
			switch {
			case m.rule == "" && len(caught) > 0:
				t.Errorf("harmless, but caught:\n%s", strings.Join(caught, "\n"))
			case m.rule != "" && !named:
				t.Errorf("not caught by %s at %q; caught:\n%s", m.rule, m.step, strings.Join(caught, "\n"))
			}
			for _, f := range r.Findings {
				if m.rule != "" && f.Severity == verdict.Blocks && f.Rule != m.rule && !strings.Contains(m.also, f.Rule) {
					t.Errorf("breaks %s at %s besides: %s", f.Rule, f.Step, f.Says)
				}
			}
		})
	}
}

// TestLawS5: for each rule that blocks there is a mutant that breaks only that one.
func TestLawS5(t *testing.T) {
	alone := map[string]bool{}
	for _, m := range mutants {
		if m.rule == "" {
			continue
		}
		c := caseOf(m.finish, m.over, m.channel)
		m.edit(&c.Protocol)
		rules := map[string]bool{}
		for _, f := range run(t, c).Findings {
			if !sideStep(f.Step) && (f.Severity == verdict.Blocks || f.Rule == m.rule) {
				rules[f.Rule] = true
			}
		}
		if len(rules) == 1 && rules[m.rule] {
			alone[m.rule] = true
		}
	}
	for _, rule := range rail.Rules {
		switch rule.ID {
		case "rail-device": // on one wire a device meets the tip before its port spans it: no-contact speaks first
			continue
		case "lumen": // a matter of the kit, not of a protocol: TestOverfilled
			continue
		}
		if !alone[rule.ID] {
			t.Errorf("no protocol breaks only %s", rule.ID)
		}
	}
}

// TestOverfilled: gear that does not fit is found where it meets, and nowhere else.
func TestOverfilled(t *testing.T) {
	c := caseOf(gw, onR, sept)
	c.Kit[gear.TrapBalloon].Profile = size(1.75) // beside a 0.014 in wire in 2.06 mm
	bad := blocking(run(t, c))
	if !slices.Contains(bad, "trap lumen") {
		t.Errorf("found %v", bad)
	}
	for _, b := range bad {
		if !strings.HasSuffix(b, "lumen") {
			t.Errorf("found %s besides", b)
		}
	}
}

// TestSharedGuide: one guide for both sides holds the microcatheter on its way out and
// again in its berth: 0.87 beside 0.87 in 1.70 is overfilled, in 2.06 it is not.
func TestSharedGuide(t *testing.T) {
	for bore, want := range map[float64]bool{1.70: true, 2.06: false} {
		c := caseOf(gw, onR, sept)
		c.Setup.Access.Antegrade.Shared = true
		c.Kit[gear.TrapBalloon].Profile = size(0.45)
		c.Kit[gear.DonorGuide].Bore = size(bore)
		delete(c.Kit, gear.AntegradeGuide)
		r := run(t, c)
		if got := slices.Contains(blocking(r), "berth lumen"); !r.Ran || got != want {
			t.Errorf("bore %.2f: ran %v, overfilled at the berth %v: %v", bore, r.Ran, got, blocking(r))
		}
	}
}

// TestMarks: the marks of a step are L - s of its places. Septal route with 100 cm
// guides: channel_entry 1130, distal_cap 1265, berth 1355, lo 1215 (worked by hand).
func TestMarks(t *testing.T) {
	r := run(t, caseOf(gw, onR, sept))
	want := map[string]float64{"to-channel": 370, "cross-channel": 235, "berth": 145}
	for _, s := range r.Steps {
		w, ok := want[s.ID]
		if !ok {
			continue
		}
		last := s.Marks[len(s.Marks)-1]
		if math.Abs(float64(last.Shows)-w) > 0.05 || last.Item != "MC" {
			t.Errorf("%s: %+v, want %g", s.ID, last, w)
		}
	}
}

// TestNotRehearsed: without a length nothing is walked, and the steps stay as words.
func TestNotRehearsed(t *testing.T) {
	c := caseOf(gw, onR, sept)
	c.Setup.Legs[anatomy.Channel] = rail.Leg{Length: unit.Measured[unit.Length]{State: unit.Unknown}}
	r := run(t, c)
	if r.Ran || len(r.Findings) != 0 || len(r.Steps) < 10 || len(r.Steps[0].Does) == 0 {
		t.Errorf("ran %v, %d findings, %d steps", r.Ran, len(r.Findings), len(r.Steps))
	}
	c = caseOf(gw, onR, sept)
	delete(c.Kit, gear.LongWire)
	if r := run(t, c); r.Ran {
		t.Error("rehearsed without a long wire")
	}
}

// TestHouseSeverity: the house may change how grave a rule is.
func TestHouseSeverity(t *testing.T) {
	c := caseOf(gw, onR, sept)
	drop("park", "clip long_wire")(&c.Protocol)
	c.Setup.Rules = house.Defaults()
	c.Setup.Rules.Severities = map[string]verdict.Severity{"clipped": verdict.Confirm}
	for _, f := range run(t, c).Findings {
		if f.Rule == "clipped" && (f.Severity != verdict.Confirm || !strings.Contains(f.Source, "set by the house")) {
			t.Errorf("%+v", f)
		}
	}
}

// TestRunStops: a rehearsal that is told to stop stops.
func TestRunStops(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Run(ctx, caseOf(gw, onR, sept)); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
}

// FuzzAction: no text makes the parser panic, and what it takes prints and parses back.
func FuzzAction(f *testing.F) {
	for _, way := range everyWay {
		for _, s := range Default(Course{Finish: way.f, Over: way.over, Channel: anatomy.Epicardial, Sight: true}).Steps {
			for _, a := range s.Do {
				f.Add(a.String())
			}
		}
	}
	f.Fuzz(func(t *testing.T, text string) {
		a, bad := ParseAction(text)
		if bad != nil {
			return
		}
		again, bad := ParseAction(a.String())
		if bad != nil || again != a {
			t.Fatalf("%q is %+v, prints as %q, which is %+v (%v)", text, a, a, again, bad)
		}
	})
}

// BenchmarkRun rehearses one whole procedure.
func BenchmarkRun(b *testing.B) {
	c := caseOf(gw, onR, sept)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Run(context.Background(), c); err != nil {
			b.Fatal(err)
		}
	}
}
