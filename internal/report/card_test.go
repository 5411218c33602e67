package report

import (
	"context"
	"math"
	"regexp"
	"strings"
	"testing"

	"backroad/internal/anatomy"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/kit"
	"backroad/internal/plan"
	"backroad/internal/tri"
	"backroad/internal/unit"
)

func size(v float64) gear.Length { return unit.Exactly(unit.Length(v)) }

// inputs is a small case on a small shelf.
func inputs(channel anatomy.ChannelKind, finish anatomy.Finish) plan.Inputs {
	leg := func(mean, sd float64) anatomy.Leg {
		return anatomy.Leg{Length: unit.WithSD(unit.Length(mean), unit.Length(sd))}
	}
	yes := true
	guide := func(id string) gear.Item {
		return gear.Item{ID: id, Class: gear.Guide, OnHand: 2, French: size(7.0 / 3), Bore: size(2.06), Length: size(1000), Curve: "right", SideHoles: &yes}
	}
	r := anatomy.Route{Name: "first", Channel: anatomy.ChannelFacts{Kind: channel}}
	r.Legs = [anatomy.LegCount]anatomy.Leg{leg(55, 3), leg(75, 5), leg(60, 4), leg(30, 3), leg(45, 3)}
	other := r
	other.Name = "second"
	other.Legs[0] = leg(90, 9)
	return plan.Inputs{Rules: house.Defaults(),
		Case: &anatomy.Case{Code: "C-1", Routes: []anatomy.Route{r, other}, Finishes: []anatomy.Finish{finish},
			Access: anatomy.Access{Donor: anatomy.Side{Given: true, Via: "radial"}, Antegrade: anatomy.Side{Given: true, SideHoles: tri.No}}},
		Shelf: &gear.Shelf{Items: []gear.Item{guide("GA"), guide("GB"),
			{ID: "MC", Class: gear.Microcatheter, OnHand: 2, Length: size(1500), OuterTip: size(0.43), OuterShaft: size(0.87), Bore: size(0.4), TakesWire: size(0.3556)},
			{ID: "WC", Class: gear.Wire, Use: gear.Crossing, OnHand: 2, Length: size(1900), Diameter: size(0.3556)},
			{ID: "WE", Class: gear.Wire, Use: gear.Externalisation, OnHand: 2, Length: size(3300), Diameter: size(0.254), Soft: size(80)},
			{ID: "BT", Class: gear.Balloon, OnHand: 2, Length: size(15), Inflated: size(2.5), Profile: size(0.7), Shaft: size(1400), RX: size(250)},
			{ID: "ST", Class: gear.Stent, OnHand: 2, Length: size(28), Diameter: size(3), Profile: size(1.05), Shaft: size(1420), RX: size(250)},
			{ID: "EX", Class: gear.Extension, OnHand: 2, French: size(7.0 / 3), ForGuide: size(7.0 / 3), Outer: size(1.92), Bore: size(1.57), Tube: size(250)},
		}}}
}

func cardOf(t *testing.T, in plan.Inputs) (*Card, *plan.Result) {
	t.Helper()
	r, err := plan.Make(context.Background(), in, kit.NewExact())
	if err != nil {
		t.Fatal(err)
	}
	return NewCard(in.Case, r.Best, r.Alternatives, in.Rules), r
}

// everything is all the card's words.
func everything(c *Card) string {
	var b strings.Builder
	add := func(words ...string) { b.WriteString(strings.Join(words, " ") + "\n") }
	add(c.Case, c.Title, c.Chance, c.Notice)
	add(c.Failing...)
	for _, k := range c.Kit {
		add(k.Role, k.Item, k.Size)
	}
	for _, m := range c.Marks {
		add(m.Item, m.Place, m.Shows)
	}
	for _, s := range c.Steps {
		add(s.Title, strings.Join(s.Does, "; "), s.Holds, s.Watch, s.IfFails)
	}
	add(c.Tails...)
	for _, list := range [][]Blank{c.Holds, c.Access, c.Bailout} {
		for _, x := range list {
			add(x.Label, x.Known, strings.Join(x.Fields, " "))
		}
	}
	add(c.Channels...)
	for _, w := range c.WhatIf {
		add(w.If, w.Then)
	}
	add(c.Cautions...)
	return b.String()
}

// TestCardHoldsWhatTheRoomNeeds goes down what a brief card must say.
func TestCardHoldsWhatTheRoomNeeds(t *testing.T) {
	c, _ := cardOf(t, inputs(anatomy.Septal, anatomy.GuideWiring))
	words := everything(c)
	for _, want := range []string{
		"DONOR side only", "CLIPPED", "second operator", "donor guide 1 cm deeper: show 1 cm more", "Antegrade syringe",
		"Clotting time", "analyser", "unverified", "Donor look", "BLEED BACK", "Contrast limit", "Dose limit", "ST change", "tamponade", "called out by", "Tip seen at the distal cap", "Pericardial set", "Surgeon", "Coil with ITS microcatheter",
		"Covered stents per guide", "radial", "curve right", "side holes", "second (septal)", "MC does not reach", "Septal channel bleeds", "Gear meets gear",
		"A guide dives", "Pressure falls", "licensed practitioners", "PUSH", "PULL", "in the antegrade guide",
	} {
		if !strings.Contains(words, want) {
			t.Errorf("the card lacks %q", want)
		}
	}
	if regexp.MustCompile(`(?i)\bsafe`).MatchString(words) {
		t.Error("the card says safe")
	}
	if len(c.Steps) < 15 || len(c.Kit) < 7 || len(c.Marks) < 5 {
		t.Errorf("%d steps, %d items, %d marks", len(c.Steps), len(c.Kit), len(c.Marks))
	}
}

// TestCardByChannel: the script for a bleeding channel is that of its kind.
func TestCardByChannel(t *testing.T) {
	c, _ := cardOf(t, inputs(anatomy.Epicardial, anatomy.ExtensionWiring))
	words := everything(c)
	for _, want := range []string{"Epicardial channel bleeds", "BOTH sides", "never dilated", "extension"} {
		if !strings.Contains(words, want) {
			t.Errorf("the card lacks %q", want)
		}
	}
	if strings.Contains(words, "Septal channel bleeds") {
		t.Error("a septal script on an epicardial card")
	}
	if c.Rail == nil || c.Rail.Extension == nil {
		t.Error("no extension on the picture")
	}
}

// TestCardTipIn: a tip-in has no long wire, so nothing about its tails.
func TestCardTipIn(t *testing.T) {
	c, _ := cardOf(t, inputs(anatomy.Septal, anatomy.TipIn))
	words := everything(c)
	if strings.Contains(words, "CLIPPED") || !strings.Contains(words, "only connection") || c.Rail.Window != nil {
		t.Errorf("tails %v", c.Tails)
	}
}

// TestMarksAreTheSteps: a mark on the card is L - s of its place: 150 cm and the distal
// cap at 1265 mm leave 23.5 cm (worked by hand).
func TestMarksAreTheSteps(t *testing.T) {
	c, r := cardOf(t, inputs(anatomy.Septal, anatomy.GuideWiring))
	found := false
	for _, m := range c.Marks {
		if m.Place == "the distal cap" {
			found = true
			if !strings.HasPrefix(m.Shows, "23.5 cm ± ") {
				t.Errorf("%+v", m)
			}
		}
	}
	if !found {
		t.Errorf("marks %+v", c.Marks)
	}
	if math.Abs(float64(*c.Rail.Set-r.Best.Axis.Park.Set)) > 1e-9 || len(c.Rail.Stations) != 7 || len(c.Rail.Devices) != 2 {
		t.Errorf("picture %+v", c.Rail)
	}
}

// TestFailingCard: a plan that fails says that nobody starts, what is short, what would
// mend it, and the one step that can't be done; no other step, no mark, no tail.
func TestFailingCard(t *testing.T) {
	in := inputs(anatomy.Septal, anatomy.GuideWiring)
	in.Case.Routes = in.Case.Routes[:1]
	in.Case.Routes[0].Legs[0].Length = unit.WithSD[unit.Length](260, 5) // 80 mm short of the berth
	c, _ := cardOf(t, in)
	words := everything(c)
	if c.Verdict != "DO NOT START: DOES NOT FIT" || len(c.Steps) != 1 || len(c.Marks) > 0 || len(c.Tails) > 0 {
		t.Errorf("%s, %d steps, %d marks, tails %v", c.Verdict, len(c.Steps), len(c.Marks), c.Tails)
	}
	for _, want := range []string{"Nobody starts", "fails: -80 ± ", "would mend it: ", "or would mend it: ", "CAN'T BE DONE: "} {
		if !strings.Contains(words, want) {
			t.Errorf("the card lacks %q: %v", want, c.Failing)
		}
	}
	if regexp.MustCompile(`reach\.|fit\.`).MatchString(strings.Join(c.Failing, " ")) {
		t.Errorf("ids of margins on a card: %v", c.Failing)
	}
}

// TestUnknownCard: what is unknown gives no picture, no mark, and says what is missing.
func TestUnknownCard(t *testing.T) {
	in := inputs(anatomy.Septal, anatomy.GuideWiring)
	in.Case.Routes = in.Case.Routes[:1]
	in.Case.Routes[0].Legs[0].Length = unit.Measured[unit.Length]{State: unit.Unknown}
	c, _ := cardOf(t, in)
	if c.Verdict != "NOT KNOWN WHETHER IT FITS" || c.Rail != nil || len(c.Marks) != 0 || !strings.Contains(strings.Join(c.Failing, "\n"), "donor_run") || !strings.Contains(c.Chance, "probability unknown") {
		t.Errorf("%s, %v, %v, %v", c.Verdict, c.Rail, c.Marks, c.Failing)
	}
}

// TestTypicalCard: typical lengths are named as such, twice.
func TestTypicalCard(t *testing.T) {
	in := inputs(anatomy.Septal, anatomy.GuideWiring)
	in.Case.Routes = in.Case.Routes[:1]
	in.Case.Routes[0].Like, in.Case.Routes[0].Legs = "lad-septal-rca", [anatomy.LegCount]anatomy.Leg{}
	c, _ := cardOf(t, in)
	if !strings.Contains(c.Chance, "TYPICAL") || !strings.Contains(strings.Join(c.Cautions, " "), "TYPICAL") {
		t.Errorf("%s %v", c.Chance, c.Cautions)
	}
}

// TestHouseTarget: a target that the house has set is not called unverified.
func TestHouseTarget(t *testing.T) {
	in := inputs(anatomy.Septal, anatomy.GuideWiring)
	in.Rules = in.Rules.With(house.ClottingRetrograde, unit.Exactly(330.0), "protocol")
	c, _ := cardOf(t, in)
	if !strings.Contains(c.Holds[0].Known, "330 s") || strings.Contains(c.Holds[0].Known, "unverified") {
		t.Errorf("%+v", c.Holds[0])
	}
}
