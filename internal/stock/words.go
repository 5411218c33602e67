package stock

import (
	"fmt"
	"strings"

	"backroad/internal/gear"
	"backroad/internal/unit"
)

// Describe says what an item is, by its dimensions, in the order of its class and in the
// units that the trade writes: "7 Fr, bore 2.06 mm, 90 cm, side holes".
func Describe(it *gear.Item) string {
	w := &words{}
	w.add("", string(it.Use))
	w.size("", it.French, unit.French)
	w.loop(it)
	switch it.Class {
	case gear.Balloon, gear.Stent, gear.CoveredStent:
		w.balloon(it)
	case gear.Coil, gear.Connector:
		w.size("", it.Diameter, unit.Diameter)
		w.size("length", it.Length, unit.LegLength)
	default:
		w.size("", it.Diameter, unit.WireDiameter)
		w.size("", it.Length, unit.DeviceLength)
	}
	w.size("tube", it.Tube, unit.DeviceLength)
	w.size("for a guide of", it.ForGuide, unit.French)
	w.size("bore", it.Bore, unit.Diameter)
	w.size("outer", it.Outer, unit.Diameter)
	w.ends(it)
	w.size("takes", it.TakesWire, unit.WireDiameter)
	w.size("needs a bore of", it.NeedsBore, unit.WireDiameter)
	w.size("soft", it.Soft, unit.DeviceLength)
	w.rx(it)
	w.add("", it.Curve)
	if it.SideHoles != nil && *it.SideHoles {
		w.add("", "side holes")
	}
	return strings.Join(w.parts, ", ")
}

// words collects the parts of a description.
type words struct{ parts []string }

func (w *words) add(what, text string) {
	if text != "" {
		w.parts = append(w.parts, strings.TrimSpace(what+" "+text))
	}
}

func (w *words) size(what string, m gear.Length, k *unit.Kind) {
	switch {
	case m.Known():
		w.add(what, unit.Print(m, k))
	case m.Given() && what != "":
		w.add(what, "unknown")
	}
}

// balloon says diameter by length, as the label does: "2.5 x 15 mm".
func (w *words) balloon(it *gear.Item) {
	d := it.Diameter
	if it.Class == gear.Balloon {
		d = it.Inflated
	}
	if d.Known() && it.Length.Known() {
		w.add("", strings.TrimSuffix(unit.Print(plain(d), millimetres), " mm")+" x "+unit.Print(plain(it.Length), millimetres))
	}
	w.size("profile", it.Profile, unit.Diameter)
	w.size("shaft", it.Shaft, unit.DeviceLength)
}

// millimetres is the kind whose first unit is the millimetre.
var millimetres = unit.LegLength

// plain is a value without its deviation.
func plain(m gear.Length) gear.Length { return unit.Exactly(m.Value) }

func (w *words) ends(it *gear.Item) {
	if it.OuterTip.Known() && it.OuterShaft.Known() {
		w.add("", fmt.Sprintf("tip %s, shaft %s", unit.Print(it.OuterTip, unit.Diameter), unit.Print(it.OuterShaft, unit.Diameter)))
	}
}

func (w *words) loop(it *gear.Item) {
	if it.Class != gear.Snare {
		return
	}
	text := "loop"
	if it.Loops > 1 {
		text = fmt.Sprintf("%d loops", it.Loops)
	}
	switch {
	case it.LoopMost == 0:
		w.add(text, "unknown")
	case it.LoopLeast == it.LoopMost:
		w.add(text, unit.Print(unit.Exactly(it.LoopMost), unit.LegLength))
	default:
		w.add(text, unit.PrintRange(it.LoopLeast, it.LoopMost, unit.LegLength))
	}
}

func (w *words) rx(it *gear.Item) {
	if it.OverWire {
		w.add("", "over the wire")
	}
}
