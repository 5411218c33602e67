package rail

import (
	"fmt"

	"backroad/internal/anatomy"
	"backroad/internal/gear"
	"backroad/internal/house"
)

// list says which margins a finish has, treated over the rail or over an antegrade
// wire, in the order in which they are first met.
type list struct {
	margins []string
	fits    []string
	roles   []gear.Role
	rows    []*MarginRow // of margins
	fitRows []*FitRow    // of fits
}

var (
	toolRoles = []gear.Role{gear.DonorGuide, gear.AntegradeGuide, gear.RetroMicrocatheter, gear.CrossingWire, gear.TrapBalloon, gear.TreatDevice}
	swapFits  = []string{"fit.donor_guide.swap", "fit.donor_guide.hold", "fit.donor_guide.second_wire", "fit.retro_microcatheter.crossing_wire"}
	trapFits  = []string{"fit.antegrade_guide.trap", "fit.antegrade_guide.hold"}
	wishFits  = []string{"fit.antegrade_guide.imaging", "fit.antegrade_guide.covered_stent", "fit.retro_microcatheter.coil"}
	railFits  = []string{"fit.antegrade_guide.rx", "fit.treat_device.wire"}
	layFits   = []string{"fit.antegrade_guide.dual_lumen", "fit.dual_lumen.long_wire", "fit.antegrade_guide.back"}
)

// lists is what 2-by-4 combinations of finish and treat-over ask for; tip-in is always
// over an antegrade wire.
var lists = func() map[anatomy.Finish]map[anatomy.TreatOver]list {
	wiring := []string{"reach.channel", "reach.berth", "reach.crossing", "reach.trap", "reach.exit"}
	extension := []string{"reach.extension", "reach.protrusion"}
	capture := []string{"reach.channel", "reach.capture", "reach.snare", "reach.exit"}
	tipIn := []string{"reach.channel", "reach.tipin_microcatheter", "reach.tipin_wire", "reach.antegrade_microcatheter", "window.tipin", "reach.treat"}
	over := map[anatomy.TreatOver][]string{
		anatomy.Rail:          {"window.park", "reach.work", "reach.treat"},
		anatomy.AntegradeWire: {"reach.convert", "window.convert", "reach.antegrade_microcatheter", "reach.treat"},
	}
	guideFits := join(swapFits, []string{"fit.retro_microcatheter.long_wire"}, trapFits, []string{"fit.antegrade_guide.berth"})
	extFits := join(swapFits, []string{"fit.retro_microcatheter.long_wire", "fit.antegrade_guide.extension", "fit.extension.trap", "fit.extension.hold"},
		trapFits, []string{"fit.extension.berth", "fit.extension.rx"})
	snareFits := join(swapFits, []string{"fit.retro_microcatheter.long_wire", "fit.antegrade_guide.capture"})
	long := append(append([]gear.Role{}, toolRoles...), gear.LongWire)

	all := map[anatomy.Finish]map[anatomy.TreatOver]list{}
	for treat, last := range over {
		lay, dual := []string(nil), []gear.Role(nil)
		if treat == anatomy.AntegradeWire {
			lay, dual = layFits, []gear.Role{gear.DualLumenRole}
		}
		add := func(f anatomy.Finish, l list) {
			if all[f] == nil {
				all[f] = map[anatomy.TreatOver]list{}
			}
			l.fits = join(l.fits, lay, railFits, wishFits)
			if f == anatomy.ExtensionWiring && treat == anatomy.AntegradeWire {
				l.fits = join(l.fits, []string{"fit.extension.dual_lumen", "fit.extension.back"})
			}
			l.roles = append(l.roles, dual...)
			all[f][treat] = l
		}
		add(anatomy.GuideWiring, list{margins: join(wiring, last), fits: guideFits, roles: append([]gear.Role{}, long...)})
		add(anatomy.ExtensionWiring, list{margins: join(wiring, extension, last), fits: extFits, roles: append(append([]gear.Role{}, long...), gear.ExtensionRole)})
		add(anatomy.SnareCapture, list{margins: join(capture, last), fits: snareFits, roles: append(append([]gear.Role{}, long...), gear.SnareRole)})
	}
	all[anatomy.TipIn] = map[anatomy.TreatOver]list{anatomy.AntegradeWire: {margins: tipIn,
		fits:  join(swapFits, []string{"fit.antegrade_guide.antegrade_microcatheter", "fit.antegrade_microcatheter.crossing_wire"}, railFits, wishFits),
		roles: append(append([]gear.Role{}, toolRoles...), gear.AntegradeMicrocatheter)}}
	return withRows(all)
}()

// withRows looks the rows of every list up once.
func withRows(all map[anatomy.Finish]map[anatomy.TreatOver]list) map[anatomy.Finish]map[anatomy.TreatOver]list {
	for _, overs := range all {
		for over, l := range overs {
			for _, id := range l.margins {
				l.rows = append(l.rows, rowOf[id])
			}
			for _, id := range l.fits {
				l.fitRows = append(l.fitRows, fitRowOf[id])
			}
			overs[over] = l
		}
	}
	return all
}

func join(parts ...[]string) []string {
	var all []string
	for _, p := range parts {
		all = append(all, p...)
	}
	return all
}

// Roles returns the roles that a finish needs filled. Beyond them a plan may name a
// donor_wire, and what a case pins: imaging, covered_stent, coil.
func Roles(f anatomy.Finish, t anatomy.TreatOver) []gear.Role { return lists[f][t].roles }

// Offered reports whether a finish is offered on a route that is reached in the given
// way; why says why not, "" where it is.
func Offered(f anatomy.Finish, access anatomy.Access, legs Legs, rules *house.Rules) (why string) {
	side := access.Antegrade
	standOff := side.StandOff
	limit := rules.Length(house.StandOffLimit)
	switch f {
	case anatomy.GuideWiring, anatomy.TipIn:
		if standOff.Known() && standOff.Value > limit {
			return fmt.Sprintf("the antegrade guide stands off the ostium by %s, more than %s: it is not at the ostium", mmText(float64(standOff.Value)), mmText(float64(limit)))
		}
	case anatomy.ExtensionWiring:
		reach, known := protrusionMean(access, legs, rules)
		if standOff.Known() && known && reach <= float64(standOff.Value) {
			return fmt.Sprintf("the extension protrudes %s and the guide stands off by %s: it does not reach the ostium", mmText(reach), mmText(float64(standOff.Value)))
		}
	case anatomy.SnareCapture:
		if side.Shared {
			return "one guide serves both sides: it can't stand off the ostium for a capture while it feeds the microcatheter"
		}
	}
	return ""
}

// protrusionMean is how far an extension protrudes on the means.
func protrusionMean(access anatomy.Access, legs Legs, rules *house.Rules) (float64, bool) {
	a := NewAxis(&Setup{Rules: rules, Legs: legs, Access: access, Finish: anatomy.ExtensionWiring})
	f := a.at.protrusion
	return a.belief.Mean(&f), a.knows(&f)
}

// form of a plain number of millimetres for people.
func mmText(v float64) string { return fmt.Sprintf("%.0f mm", v) }
