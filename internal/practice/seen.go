package practice

import (
	"slices"
	"strings"

	"backroad/internal/rail"
	"backroad/internal/verdict"
)

// Seen is what of the outcomes may be shown now. In a laboratory it holds no position,
// no mark and no figure that is not in the log: what a rule says is its own words.
func (s *Session) Seen() []Outcome {
	if !s.set.Lab {
		return s.out
	}
	list := slices.Clone(s.out)
	for i := range list {
		o := &list[i]
		o.Moves, o.Marks, o.Nearest = nil, nil, nil
		if s.log[i].Kind == Act {
			o.Says = s.log[i].plainly(strings.HasSuffix(o.Says, stands))
		}
		o.Findings = slices.Clone(o.Findings)
		for j := range o.Findings {
			o.Findings[j].Says = withoutFigures(o.Findings[j])
		}
	}
	return list
}

// plainly says an action in the line's own words: the engine's have figures of the axis.
func (l Line) plainly(still bool) string {
	text := capital(strings.ReplaceAll(l.String(), "_", " ")) + "."
	if still {
		text += stands
	}
	return text
}

// withoutFigures is what a finding says to somebody who does not see the rail.
func withoutFigures(f verdict.Finding) string {
	if f.Rule == "role" {
		if strings.ContainsAny(f.Says, "0123456789") {
			return "it can't be done so"
		}
		return f.Says
	}
	r, _ := rail.RuleNamed(f.Rule)
	return r.Says
}

// Broken is a rule that was broken.
type Broken struct {
	Rule     string
	Severity verdict.Severity // the gravest time
	Times    int
	First    int // place in the log, from 0
}

// gravity orders severities, the gravest first.
var gravity = []verdict.Severity{verdict.Blocks, verdict.Confirm, verdict.HoldPoint, verdict.Watch}

// AllBroken lists the rules that were broken, in the order in which they first were. What
// could not be done broke nothing.
func (s *Session) AllBroken() []Broken {
	var list []Broken
	for i, o := range s.out {
		for _, f := range o.Findings {
			if o.Refused {
				continue
			}
			k := slices.IndexFunc(list, func(b Broken) bool { return b.Rule == f.Rule })
			if k < 0 {
				list, k = append(list, Broken{Rule: f.Rule, Severity: f.Severity, First: i}), len(list)
			}
			list[k].Times++
			if slices.Index(gravity, f.Severity) < slices.Index(gravity, list[k].Severity) {
				list[k].Severity = f.Severity
			}
		}
	}
	return list
}

// Holder is what holds something, as everybody at the table knows it: a guide what came
// in on its side, a device its wire.
type Holder struct {
	Tube  string
	Roles []string
}

// Holders lists what holds what, from the shafts alone.
func Holders(shafts []Shaft) []Holder {
	donor, antegrade := Holder{Tube: inDonorGuide}, Holder{Tube: inAntegradeGuide}
	var devices []Holder
	for _, s := range shafts {
		side := &antegrade
		if s.Donor {
			side = &donor
		}
		side.Roles = append(side.Roles, string(s.Role))
		if s.OutFront && s.Donor {
			antegrade.Roles = append(antegrade.Roles, string(s.Role))
		}
		if s.In != "" {
			devices = append(devices, Holder{string(s.Role), []string{string(s.In)}})
		}
	}
	var list []Holder
	for _, h := range append([]Holder{donor, antegrade}, devices...) {
		if len(h.Roles) > 0 {
			list = append(list, h)
		}
	}
	return list
}
