package rehearsal

import (
	"context"
	"testing"

	"backroad/internal/anatomy"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/rail"
	"backroad/internal/unit"
)

func size(v float64) gear.Length { return unit.Exactly(unit.Length(v)) }

func legsOf(means ...float64) rail.Legs {
	var legs rail.Legs
	for i := range legs {
		legs[i] = rail.Leg{Length: unit.WithSD(unit.Length(means[i]), 3), Basis: anatomy.Measured}
	}
	return legs
}

// fullKit has an item for every role.
func fullKit() gear.Kit {
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

var everyWay = []struct {
	f    anatomy.Finish
	over anatomy.TreatOver
}{
	{anatomy.GuideWiring, anatomy.Rail}, {anatomy.GuideWiring, anatomy.AntegradeWire},
	{anatomy.ExtensionWiring, anatomy.Rail}, {anatomy.ExtensionWiring, anatomy.AntegradeWire},
	{anatomy.SnareCapture, anatomy.Rail}, {anatomy.SnareCapture, anatomy.AntegradeWire},
	{anatomy.TipIn, anatomy.AntegradeWire},
}

func caseOf(f anatomy.Finish, over anatomy.TreatOver, channel anatomy.ChannelKind) *Case {
	s := &rail.Setup{Rules: house.Defaults(), Legs: legsOf(55, 75, 60, 30, 45), Finish: f, TreatOver: over}
	return &Case{Setup: s, Kit: fullKit(), Channel: channel, Protocol: Default(Course{Finish: f, Over: over, Channel: channel})}
}

func run(t *testing.T, c *Case) *Result {
	t.Helper()
	r, err := Run(context.Background(), c)
	if err != nil {
		t.Fatal(err)
	}
	return r
}
