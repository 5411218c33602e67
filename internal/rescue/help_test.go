package rescue

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"

	"backroad/internal/anatomy"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/rail"
	"backroad/internal/rehearsal"
	"backroad/internal/unit"
)

func size(v float64) gear.Length { return unit.Exactly(unit.Length(v)) }

// fullKit has an item for every role.
func fullKit(donorBore, antegradeBore float64) gear.Kit {
	guide := func(id string, bore float64) *gear.Item {
		return &gear.Item{ID: id, Class: gear.Guide, OnHand: 1, Length: size(1000), French: size(7.0 / 3), Bore: size(bore)}
	}
	mc := func(id string) *gear.Item {
		return &gear.Item{ID: id, Class: gear.Microcatheter, OnHand: 1, Length: size(1500), OuterTip: size(0.43), OuterShaft: size(0.87), Bore: size(0.40), TakesWire: size(0.3556)}
	}
	return gear.Kit{
		gear.DonorGuide: guide("GD", donorBore), gear.AntegradeGuide: guide("GA", antegradeBore),
		gear.RetroMicrocatheter: mc("MC"), gear.AntegradeMicrocatheter: mc("MA"),
		gear.CrossingWire:  {ID: "CW", Class: gear.Wire, OnHand: 1, Use: gear.Crossing, Length: size(1900), Diameter: size(0.3556), Soft: size(150)},
		gear.LongWire:      {ID: "LW", Class: gear.Wire, OnHand: 1, Use: gear.Externalisation, Length: size(3300), Diameter: size(0.254), Soft: size(80)},
		gear.DonorWire:     {ID: "WW", Class: gear.Wire, OnHand: 1, Use: gear.Workhorse, Length: size(1900), Diameter: size(0.3556), Soft: size(30)},
		gear.TrapBalloon:   {ID: "TB", Class: gear.Balloon, OnHand: 1, Length: size(20), Inflated: size(2.5), Profile: size(0.7), Shaft: size(1400), RX: size(250)},
		gear.TreatDevice:   {ID: "TD", Class: gear.Stent, OnHand: 1, Length: size(30), Diameter: size(3), Profile: size(1.05), Shaft: size(1400), RX: size(250)},
		gear.ExtensionRole: {ID: "EX", Class: gear.Extension, OnHand: 1, French: size(7.0 / 3), Outer: size(1.92), Bore: size(1.57), Tube: size(250)},
		gear.SnareRole:     {ID: "SN", Class: gear.Snare, OnHand: 1, Length: size(1200), Outer: size(1.0), LoopLeast: 18, LoopMost: 30, Loops: 3},
		gear.DualLumenRole: {ID: "DL", Class: gear.DualLumen, OnHand: 1, Length: size(1400), OuterTip: size(0.5), OuterShaft: size(1.0), RX: size(200)},
	}
}

// shelfOf is a kit's items and more.
func shelfOf(kit gear.Kit, more ...gear.Item) *gear.Shelf {
	s := &gear.Shelf{}
	for _, role := range gear.Roles {
		if it := kit[role]; it != nil {
			s.Items = append(s.Items, *it)
		}
	}
	s.Items = append(s.Items, more...)
	return s
}

func stent(id string, profile, shaft float64) gear.Item {
	return gear.Item{ID: id, Class: gear.CoveredStent, OnHand: 1, Profile: size(profile), ShaftOuter: size(shaft), RX: size(250)}
}

func balloon(id string, profile, shaft float64) gear.Item {
	return gear.Item{ID: id, Class: gear.Balloon, OnHand: 1, Profile: size(profile), ShaftOuter: size(shaft), RX: size(250)}
}

func catheter(id string, outer, bore float64) gear.Item {
	return gear.Item{ID: id, Class: gear.Microcatheter, OnHand: 1, OuterTip: size(outer), OuterShaft: size(outer), Bore: size(bore)}
}

func coilOf(id string, diameter, needs float64) gear.Item {
	return gear.Item{ID: id, Class: gear.Coil, OnHand: 1, Diameter: size(diameter), NeedsBore: size(needs)}
}

type course struct {
	f      anatomy.Finish
	over   anatomy.TreatOver
	shared bool
}

var courses = []course{
	{anatomy.GuideWiring, anatomy.Rail, false}, {anatomy.GuideWiring, anatomy.AntegradeWire, false},
	{anatomy.ExtensionWiring, anatomy.Rail, false}, {anatomy.ExtensionWiring, anatomy.AntegradeWire, false},
	{anatomy.SnareCapture, anatomy.Rail, false}, {anatomy.SnareCapture, anatomy.AntegradeWire, false},
	{anatomy.TipIn, anatomy.AntegradeWire, false}, {anatomy.GuideWiring, anatomy.Rail, true},
}

func rehearse(t testing.TB, c course, kit gear.Kit) []rehearsal.Step {
	t.Helper()
	setup := &rail.Setup{Rules: house.Defaults(), Finish: c.f, TreatOver: c.over}
	setup.Access.Antegrade.Shared = c.shared
	for i, mean := range []float64{55, 75, 60, 30, 45} {
		setup.Legs[i] = rail.Leg{Length: unit.WithSD(unit.Length(mean), 3), Basis: anatomy.Measured}
	}
	if c.shared {
		delete(kit, gear.AntegradeGuide)
	}
	r, err := rehearsal.Run(context.Background(), &rehearsal.Case{Setup: setup, Kit: kit, Channel: anatomy.Septal,
		Protocol: rehearsal.Default(rehearsal.Course{Finish: c.f, Over: c.over, Channel: anatomy.Septal})})
	if err != nil || !r.Ran {
		t.Fatalf("%v: not rehearsed: %v", c, err)
	}
	return r.Steps
}

// scene is a random case, with its seed in what it says.
type scene struct {
	seed  uint64
	c     course
	kit   gear.Kit
	shelf *gear.Shelf
	steps []rehearsal.Step

	packed map[string]unit.Length // the reference's memory
}

func (s *scene) String() string { return fmt.Sprintf("seed %d, %v", s.seed, s.c) }

func (s *scene) table() []Moment { return Table(s.steps, s.kit, s.shelf, house.Defaults()) }

// randomScene makes a case from a seed: kit, bores, wires and shelf.
func randomScene(t testing.TB, seed uint64) *scene {
	r := rand.New(rand.NewPCG(seed, 11))
	within := func(lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }
	kit := fullKit(within(1.4, 2.3), within(1.4, 2.3))
	kit[gear.RetroMicrocatheter].OuterShaft, kit[gear.RetroMicrocatheter].Bore = size(within(0.6, 1)), size(within(0.36, 0.6))
	kit[gear.TrapBalloon].Profile, kit[gear.ExtensionRole].Bore = size(within(0.5, 0.9)), size(within(1.3, 1.8))
	if r.IntN(3) == 0 {
		delete(kit, gear.DonorWire)
	}
	s := &scene{seed: seed, c: courses[r.IntN(len(courses))], kit: kit, packed: map[string]unit.Length{}}
	s.steps = rehearse(t, s.c, kit)
	s.shelf = shelfOf(kit, randomItems(r, 24)...)
	for i := range s.shelf.Items {
		if r.IntN(3) == 0 {
			s.shelf.Items[i].OnHand += r.IntN(2)
		}
	}
	return s
}

// randomItems are bail-out items, some of them not on hand, some without a dimension.
func randomItems(r *rand.Rand, n int) []gear.Item {
	within := func(lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }
	var items []gear.Item
	for i := range n {
		id := fmt.Sprintf("X%03d", i)
		var it gear.Item
		switch r.IntN(6) {
		case 0:
			it = stent(id, within(0.9, 1.6), within(0.6, 1))
		case 1:
			it = balloon(id, within(0.4, 1), within(0.6, 1))
			it.OverWire = r.IntN(4) == 0
		case 2:
			it = catheter(id, within(0.6, 1.1), within(0.36, 0.7))
		case 3:
			it = coilOf(id, within(0.25, 0.5), within(0.35, 0.6))
		case 4:
			it = gear.Item{ID: id, Class: gear.Wire, Use: gear.Workhorse, Diameter: size(0.3556)}
		default:
			it = gear.Item{ID: id, Class: gear.Guide, Bore: size(1.8)}
		}
		it.OnHand = r.IntN(3)
		if r.IntN(12) == 0 {
			it.Profile, it.NeedsBore = gear.Length{State: unit.Unknown}, gear.Length{}
		}
		if r.IntN(12) == 0 {
			it.ShaftOuter = gear.Length{}
		}
		items = append(items, it)
	}
	return items
}
