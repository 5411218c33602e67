package practice

import (
	"slices"

	"backroad/internal/anatomy"
	"backroad/internal/gear"
	"backroad/internal/rail"
	"backroad/internal/rehearsal"
	"backroad/internal/unit"
)

// View is what can be seen now. Scene and Stations are nil in a laboratory until Reveal.
type View struct {
	Clock    unit.Duration // minutes since the start; invented
	Pedal    int           // seconds of fluoroscopy so far
	Called   string        // what comes is meant as this
	Watcher  string        // who watches both guides, "" for nobody
	Ticked   []string      // hold points that hold
	Shafts   []Shaft       // what can be read at the valves
	Damped   []gear.Role   // guides with a damped pressure curve
	Seen     bool          // fluoroscopy is on: the last line is a pedal; always where the rail is seen
	Tips     []Tip         // seen with fluoroscopy
	Scene    *rehearsal.Scene
	Stations []Station
	Deeper   map[gear.Role]unit.Length // how much deeper the guides are than planned; nil with Scene
}

// Shaft is what a hand finds at a valve.
type Shaft struct {
	Role     gear.Role
	Item     string
	Donor    bool
	Wire     bool
	Shows    unit.Length // outside its valve, in whole millimetres
	Endless  bool        // an extension's rod shows nothing
	In       gear.Role   // the wire that a device rides on
	Inflated bool
	Clipped  bool
	Held     bool
	Cut      bool
	OutFront bool // its other end is out at the antegrade hub
}

// Station is a station as it really is.
type Station struct {
	Station rail.Station
	At      unit.Length
}

// Tip is a tip as fluoroscopy shows it: on which stretch, and how far along it. There
// are no millimetres on a screen.
type Tip struct {
	Role    gear.Role
	Wire    bool
	Stretch string  // a leg of the route, or donor_guide, antegrade_guide, before, outside
	Share   float64 // 0 at the stretch's donor end, 1 at its other end
}

// View is what can be seen now.
func (s *Session) View() *View { return s.view(!s.set.Lab) }

// Reveal is the view with the rail as it really is, for afterwards.
func (s *Session) Reveal() *View { return s.view(true) }

func (s *Session) view(open bool) *View {
	scene := s.hand.Scene()
	v := &View{Clock: s.now.clock, Pedal: s.now.pedal, Called: s.now.called, Watcher: s.now.watcher, Ticked: s.now.duty.held()}
	for _, t := range scene.Things {
		v.Shafts = append(v.Shafts, Shaft{Role: t.Role, Item: t.Item, Donor: t.Donor, Wire: t.Wire, Shows: whole(t.Outside), Endless: t.Endless,
			In: t.In, Inflated: t.Inflated, Clipped: t.Clipped, Held: t.Held, Cut: t.Cut, OutFront: t.External})
	}
	for _, g := range []gear.Role{gear.DonorGuide, gear.AntegradeGuide} {
		if s.damps(g) {
			v.Damped = append(v.Damped, g)
		}
	}
	stretches := s.stretches(scene)
	n := len(s.log)
	v.Seen = open || n > 0 && s.log[n-1].Kind == Pedal
	if v.Seen {
		for _, t := range scene.Things {
			v.Tips = append(v.Tips, tipOf(t, stretches))
		}
	}
	if open {
		v.Scene, v.Deeper = scene, s.now.clone().deeper
		for _, st := range rail.Stations {
			if at, ok := s.hand.At(rail.Place{Name: string(st)}); ok {
				v.Stations = append(v.Stations, Station{st, at})
			}
		}
	}
	return v
}

func whole(l unit.Length) unit.Length { return unit.Length(int(l + 0.5)) }

// held lists the hold points that were asked for.
func (d *duty) held() []string {
	var all []string
	if d.ready {
		all = append(all, "bailout-ready")
	}
	if d.asked {
		all = append(all, "anticoagulated")
	}
	return all
}

// stretch is a part of the way that a screen can show.
type stretch struct {
	name     string
	from, to unit.Length
}

// stretches are the parts of the way, from the donor side on.
func (s *Session) stretches(scene *rehearsal.Scene) []stretch {
	at := func(st rail.Station) unit.Length { l, _ := s.hand.At(rail.Place{Name: string(st)}); return l }
	list := []stretch{{inDonorGuide, 0, at(rail.DonorTip)}}
	from := at(rail.DonorTip)
	ends := []rail.Station{rail.ChannelEntry, rail.ChannelExit, rail.DistalCap, rail.ProximalCap, rail.RecipientOstium}
	for i, leg := range anatomy.Legs {
		to := at(ends[i])
		list = append(list, stretch{leg.String(), from, max(from, to)})
		from = max(from, to)
	}
	if scene.AntegradeTip > from {
		list = append(list, stretch{inAorta, from, scene.AntegradeTip})
		from = scene.AntegradeTip
	}
	return append(list, stretch{inAntegradeGuide, from, max(from, scene.AntegradeValve)})
}

func tipOf(t rehearsal.Thing, list []stretch) Tip {
	tip := Tip{Role: t.Role, Wire: t.Wire}
	tip.Stretch, tip.Share = placeOn(t.Tip, list)
	return tip
}

func placeOn(at unit.Length, list []stretch) (name string, share float64) {
	i := slices.IndexFunc(list, func(p stretch) bool { return at >= p.from && at < p.to })
	switch {
	case i >= 0:
		return list[i].name, float64((at - list[i].from) / (list[i].to - list[i].from))
	case at >= list[len(list)-1].to:
		return beyond, 1
	}
	return shortOf, 0
}
