package rail

import (
	"backroad/internal/anatomy"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/lumen"
	"backroad/internal/unit"
)

// FitRow is one lumen check: a tube, a moment, and what is then in it. Its id is
// fit.<tube>.<moment>, the tube named by its role.
type FitRow struct {
	ID      string
	Says    string
	Formula string
	Roles   []gear.Role
	check   func(a *Axis) fit
}

// fit is the answer of one check. It is left out where it does not apply.
type fit struct {
	applies bool
	missing []dimension // those that are not known: no figure then
	answer  lumen.Answer
}

const (
	packs   = "bore - smallest circle round what lies side by side"
	byLabel = "by the label: diameter <= takes_wire <= bore"
	holds   = "nominal inflated diameter - bore"
)

var fitRows = []FitRow{
	{"fit.donor_guide.swap", "microcatheter beside a trapping balloon in the donor guide, to swap the microcatheter", packs,
		[]gear.Role{gear.DonorGuide, gear.RetroMicrocatheter, gear.TrapBalloon}, func(a *Axis) fit {
			return a.pack(gear.DonorGuide, a.widest(gear.RetroMicrocatheter), a.profile(gear.TrapBalloon))
		}},
	{"fit.donor_guide.hold", "the trapping balloon holds a wire in the donor guide", holds,
		[]gear.Role{gear.DonorGuide, gear.TrapBalloon}, func(a *Axis) fit { return a.hold(gear.DonorGuide) }},
	{"fit.donor_guide.second_wire", "microcatheter beside a second wire in the donor guide", packs,
		[]gear.Role{gear.DonorGuide, gear.RetroMicrocatheter, gear.DonorWire}, func(a *Axis) fit {
			return a.pack(gear.DonorGuide, a.widest(gear.RetroMicrocatheter), a.secondWire())
		}},
	{"fit.antegrade_guide.trap", "crossing wire beside the trapping balloon in the antegrade guide", packs,
		[]gear.Role{gear.AntegradeGuide, gear.TrapBalloon, gear.CrossingWire}, func(a *Axis) fit {
			return a.packShared(gear.AntegradeGuide, a.profile(gear.TrapBalloon), a.wire(gear.CrossingWire)).only(a.trap == trapInGuide || a.trap == trapBeyondCollar)
		}},
	{"fit.antegrade_guide.hold", "the trapping balloon holds the wire in the antegrade guide", holds,
		[]gear.Role{gear.AntegradeGuide, gear.TrapBalloon}, func(a *Axis) fit {
			return a.hold(gear.AntegradeGuide).only(a.trap == trapInGuide || a.trap == trapBeyondCollar)
		}},
	{"fit.extension.trap", "crossing wire beside the trapping balloon in the extension", packs,
		[]gear.Role{gear.ExtensionRole, gear.TrapBalloon, gear.CrossingWire}, func(a *Axis) fit {
			return a.packShared(gear.ExtensionRole, a.profile(gear.TrapBalloon), a.wire(gear.CrossingWire)).only(a.trap == trapInExtension)
		}},
	{"fit.extension.hold", "the trapping balloon holds the wire in the extension", holds,
		[]gear.Role{gear.ExtensionRole, gear.TrapBalloon}, func(a *Axis) fit {
			return a.hold(gear.ExtensionRole).only(a.trap == trapInExtension)
		}},
	{"fit.antegrade_guide.extension", "the extension goes into the antegrade guide", "by the label where it names a guide size, else bore - outer - extension_clear",
		[]gear.Role{gear.AntegradeGuide, gear.ExtensionRole}, (*Axis).fitExtension},
	{"fit.antegrade_guide.berth", "the microcatheter in its berth in the antegrade guide", packs,
		[]gear.Role{gear.AntegradeGuide, gear.RetroMicrocatheter}, func(a *Axis) fit {
			return a.packShared(gear.AntegradeGuide, a.widest(gear.RetroMicrocatheter))
		}},
	{"fit.extension.berth", "the microcatheter in its berth in the extension", packs,
		[]gear.Role{gear.ExtensionRole, gear.RetroMicrocatheter}, func(a *Axis) fit {
			return a.pack(gear.ExtensionRole, a.widest(gear.RetroMicrocatheter))
		}},
	{"fit.antegrade_guide.capture", "the folded long wire, counted twice, beside the snare in the antegrade guide", packs,
		[]gear.Role{gear.AntegradeGuide, gear.SnareRole, gear.LongWire}, func(a *Axis) fit {
			w := a.wire(gear.LongWire)
			return a.packShared(gear.AntegradeGuide, w, w, a.widest(gear.SnareRole))
		}},
	{"fit.antegrade_guide.rx", "balloon or stent with its wire in the antegrade guide: its profile, then its shaft beside the wire", packs,
		[]gear.Role{gear.AntegradeGuide, gear.TreatDevice, gear.LongWire}, func(a *Axis) fit {
			return a.passes(gear.AntegradeGuide, gear.TreatDevice)
		}},
	{"fit.extension.rx", "balloon or stent with its wire in the extension", packs,
		[]gear.Role{gear.ExtensionRole, gear.TreatDevice, gear.LongWire}, func(a *Axis) fit {
			return a.passes(gear.ExtensionRole, gear.TreatDevice)
		}},
	{"fit.antegrade_guide.dual_lumen", "dual-lumen microcatheter beside the long wire in the antegrade guide", packs,
		[]gear.Role{gear.AntegradeGuide, gear.DualLumenRole, gear.LongWire}, func(a *Axis) fit {
			return a.packShared(gear.AntegradeGuide, a.widest(gear.DualLumenRole), a.wire(gear.LongWire))
		}},
	{"fit.extension.dual_lumen", "dual-lumen microcatheter beside the long wire in the extension", packs,
		[]gear.Role{gear.ExtensionRole, gear.DualLumenRole, gear.LongWire}, func(a *Axis) fit {
			return a.packShared(gear.ExtensionRole, a.widest(gear.DualLumenRole), a.wire(gear.LongWire))
		}},
	{"fit.antegrade_guide.back", "the microcatheter comes back beside the antegrade wire in the guide", packs,
		[]gear.Role{gear.AntegradeGuide, gear.RetroMicrocatheter, gear.DonorWire}, func(a *Axis) fit {
			return a.packShared(gear.AntegradeGuide, a.widest(gear.RetroMicrocatheter), a.wire(a.treatWire()))
		}},
	{"fit.extension.back", "the microcatheter comes back beside the antegrade wire in the extension", packs,
		[]gear.Role{gear.ExtensionRole, gear.RetroMicrocatheter, gear.DonorWire}, func(a *Axis) fit {
			return a.packShared(gear.ExtensionRole, a.widest(gear.RetroMicrocatheter), a.wire(a.treatWire()))
		}},
	{"fit.antegrade_guide.antegrade_microcatheter", "antegrade microcatheter in the antegrade guide", packs,
		[]gear.Role{gear.AntegradeGuide, gear.AntegradeMicrocatheter}, func(a *Axis) fit {
			return a.packShared(gear.AntegradeGuide, a.widest(gear.AntegradeMicrocatheter))
		}},
	{"fit.retro_microcatheter.crossing_wire", "crossing wire in the retrograde microcatheter", byLabel,
		[]gear.Role{gear.RetroMicrocatheter, gear.CrossingWire}, func(a *Axis) fit { return a.inDevice(gear.RetroMicrocatheter, gear.CrossingWire) }},
	{"fit.retro_microcatheter.long_wire", "long wire in the retrograde microcatheter", byLabel,
		[]gear.Role{gear.RetroMicrocatheter, gear.LongWire}, func(a *Axis) fit { return a.inDevice(gear.RetroMicrocatheter, gear.LongWire) }},
	{"fit.antegrade_microcatheter.crossing_wire", "the retrograde wire's tip in the antegrade microcatheter", byLabel,
		[]gear.Role{gear.AntegradeMicrocatheter, gear.CrossingWire}, func(a *Axis) fit {
			return a.inDevice(gear.AntegradeMicrocatheter, gear.CrossingWire)
		}},
	{"fit.dual_lumen.long_wire", "long wire in the dual-lumen microcatheter's rapid-exchange lumen", "by the label: diameter <= takes_wire",
		[]gear.Role{gear.DualLumenRole, gear.LongWire}, func(a *Axis) fit { return a.onRail(gear.DualLumenRole, gear.LongWire) }},
	{"fit.treat_device.wire", "the wire in the balloon or stent", "by the label: diameter <= takes_wire",
		[]gear.Role{gear.TreatDevice, gear.LongWire}, func(a *Axis) fit { return a.onRail(gear.TreatDevice, a.treatWire()) }},
	{"fit.antegrade_guide.imaging", "imaging catheter beside its wire in the antegrade guide", packs,
		[]gear.Role{gear.AntegradeGuide, gear.ImagingRole}, func(a *Axis) fit {
			return a.packShared(gear.AntegradeGuide, a.widest(gear.ImagingRole), a.wire(a.treatWire())).only(a.kit[gear.ImagingRole] != nil)
		}},
	{"fit.antegrade_guide.covered_stent", "covered stent with its wire in the antegrade guide", packs,
		[]gear.Role{gear.AntegradeGuide, gear.CoveredStentRole}, func(a *Axis) fit {
			return a.passes(gear.AntegradeGuide, gear.CoveredStentRole).only(a.kit[gear.CoveredStentRole] != nil)
		}},
	{"fit.retro_microcatheter.coil", "coil through the retrograde microcatheter", "bore - needs_bore, and diameter <= bore",
		[]gear.Role{gear.RetroMicrocatheter, gear.CoilRole}, (*Axis).fitCoil},
}

var fitRowOf = func() map[string]*FitRow {
	rows := map[string]*FitRow{}
	for i := range fitRows {
		rows[fitRows[i].ID] = &fitRows[i]
	}
	return rows
}()

// only keeps a fit where a condition holds.
func (f fit) only(holds bool) fit {
	f.applies = f.applies && holds
	return f
}

// dimension is a diameter that a check needs; what and of say which, for a reader who
// must supply it.
type dimension struct {
	is   unit.Measured[unit.Length]
	what string
	of   string
}

// String names the dimension.
func (d dimension) String() string {
	if d.of == "" {
		return d.what
	}
	return d.what + " of " + d.of
}

// dim takes a dimension of a role's item.
func (a *Axis) dim(role gear.Role, what string, of func(*gear.Item) gear.Length) dimension {
	it := a.guideOf(role)
	if it == nil {
		return dimension{what: what, of: "the " + string(role) + ", which is missing"}
	}
	return dimension{of(it), what, it.ID}
}

func (a *Axis) bore(role gear.Role) dimension {
	return a.dim(role, "bore", func(it *gear.Item) gear.Length { return it.Bore })
}
func (a *Axis) widest(role gear.Role) dimension {
	return a.dim(role, "outer diameter", (*gear.Item).Widest)
}
func (a *Axis) profile(role gear.Role) dimension {
	return a.dim(role, "profile", func(it *gear.Item) gear.Length { return it.Profile })
}
func (a *Axis) wire(role gear.Role) dimension {
	return a.dim(role, "diameter", func(it *gear.Item) gear.Length { return it.Diameter })
}

// secondWire is the wire beside the microcatheter in the donor artery: the workhorse
// wire where there is one, else one as thick as the crossing wire.
func (a *Axis) secondWire() dimension {
	if a.kit[gear.DonorWire] != nil {
		return a.wire(gear.DonorWire)
	}
	return a.wire(gear.CrossingWire)
}

// treatWire is the wire that balloons and stents run on: the long wire on the rail,
// else a wire of the working kind.
func (a *Axis) treatWire() gear.Role {
	switch {
	case a.setup.TreatOver == anatomy.Rail:
		return gear.LongWire
	case a.kit[gear.DonorWire] != nil:
		return gear.DonorWire
	}
	return gear.CrossingWire
}

// gather collects dimensions, and what is missing among them.
func gather(dims ...dimension) (values []unit.Length, missing []dimension) {
	values = make([]unit.Length, 0, 6)
	for _, d := range dims {
		if !d.is.Known() {
			missing = append(missing, d)
		}
		values = append(values, d.is.Value)
	}
	return values, missing
}

// pack checks what lies side by side in a tube.
func (a *Axis) pack(tube gear.Role, in ...dimension) fit {
	values, missing := gather(append(in, a.bore(tube))...)
	if len(missing) > 0 {
		return fit{applies: true, missing: missing}
	}
	last := len(values) - 1
	return fit{applies: true, answer: lumen.SideBySide(values[last], a.setup.Rules.Length(house.LumenTight), values[:last]...)}
}

// packShared is pack; where one guide serves both sides, the retrograde microcatheter
// lies in it too, except after it has been taken out for an antegrade wire.
func (a *Axis) packShared(tube gear.Role, in ...dimension) fit {
	if a.shared() && tube == gear.AntegradeGuide {
		in = append(in, a.widest(gear.RetroMicrocatheter))
	}
	return a.pack(tube, in...)
}

// hold checks that the trapping balloon fills a tube.
func (a *Axis) hold(tube gear.Role) fit {
	inflated := a.dim(gear.TrapBalloon, "inflated diameter", func(it *gear.Item) gear.Length { return it.Inflated })
	values, missing := gather(inflated, a.bore(tube))
	if len(missing) > 0 {
		return fit{applies: true, missing: missing}
	}
	return fit{applies: true, answer: lumen.Holds(values[0], values[1])}
}

// inDevice checks a wire in a microcatheter by its label.
func (a *Axis) inDevice(device, wire gear.Role) fit {
	takes := a.dim(device, "takes_wire", func(it *gear.Item) gear.Length { return it.TakesWire })
	values, missing := gather(a.wire(wire), takes, a.bore(device))
	if len(missing) > 0 {
		return fit{applies: true, missing: missing}
	}
	return fit{applies: true, answer: lumen.InDevice(values[0], values[1], values[2])}
}

// onRail checks a wire in a device whose label may say what it takes and whose bore
// nobody gives; where the label says nothing there is nothing to check.
func (a *Axis) onRail(device, wire gear.Role) fit {
	it := a.kit[device]
	if it == nil || !it.TakesWire.Given() {
		return fit{}
	}
	values, missing := gather(a.wire(wire), dimension{it.TakesWire, "takes_wire", it.ID})
	if len(missing) > 0 {
		return fit{applies: true, missing: missing}
	}
	return fit{applies: true, answer: lumen.InDevice(values[0], values[1], values[1])}
}

// passes checks a balloon or stent in a tube: at its profile, with the wire inside,
// and behind its wire port, where the shaft lies beside the wire. The worse counts.
func (a *Axis) passes(tube, device gear.Role) fit {
	treating := a.pack
	if a.setup.TreatOver == anatomy.Rail {
		treating = a.packShared
	}
	at := treating(tube, a.profile(device))
	it := a.kit[device]
	if it == nil || it.OverWire {
		return at
	}
	behind := treating(tube, a.shaftOuter(it), a.wire(a.treatWire()))
	if len(at.missing)+len(behind.missing) > 0 {
		at.missing = append(at.missing, behind.missing...)
		return at
	}
	if behind.answer.Spare < at.answer.Spare {
		return behind
	}
	return at
}

// shaftOuter is a device's shaft behind its wire port: as the item says, else the
// house's figure.
func (a *Axis) shaftOuter(it *gear.Item) dimension {
	if it.ShaftOuter.Given() {
		return dimension{it.ShaftOuter, "shaft_outer", it.ID}
	}
	return dimension{unit.Exactly(a.setup.Rules.Length(house.RXShaft)), "rx_shaft", ""}
}

// fitExtension checks an extension in its guide.
func (a *Axis) fitExtension() fit {
	guide, ext := a.guideOf(gear.AntegradeGuide), a.kit[gear.ExtensionRole]
	if guide == nil || ext == nil {
		_, missing := gather(a.bore(gear.AntegradeGuide), a.bore(gear.ExtensionRole))
		return fit{applies: true, missing: missing}
	}
	if ext.ForGuide.Given() {
		values, missing := gather(dimension{guide.French, "french", guide.ID}, dimension{ext.ForGuide, "for_guide", ext.ID})
		if len(missing) > 0 {
			return fit{applies: true, missing: missing}
		}
		return fit{applies: true, answer: lumen.ExtensionByLabel(values[0], values[1])}
	}
	values, missing := gather(a.bore(gear.AntegradeGuide), dimension{ext.Outer, "outer", ext.ID})
	if len(missing) > 0 {
		return fit{applies: true, missing: missing}
	}
	return fit{applies: true, answer: lumen.ExtensionByBore(values[0], values[1], a.setup.Rules.Length(house.ExtensionClear))}
}

// fitCoil checks a coil in the retrograde microcatheter.
func (a *Axis) fitCoil() fit {
	coil := a.kit[gear.CoilRole]
	if coil == nil {
		return fit{}
	}
	values, missing := gather(dimension{coil.Diameter, "diameter", coil.ID},
		dimension{coil.NeedsBore, "needs_bore", coil.ID}, a.bore(gear.RetroMicrocatheter))
	if len(missing) > 0 {
		return fit{applies: true, missing: missing}
	}
	return fit{applies: true, answer: lumen.InDevice(max(values[0], values[1]), values[2], values[2])}
}
