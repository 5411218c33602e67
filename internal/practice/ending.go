package practice

import (
	"slices"
	"strings"

	"backroad/internal/fault"
	"backroad/internal/gear"
	"backroad/internal/rehearsal"
	"backroad/internal/verdict"
)

// Planned is a step of the plan as the lines of a log: its hold points ticked, who
// watches, what it is called, what is done.
func Planned(p rehearsal.ProtocolStep) []string {
	var lines []string
	for _, rule := range p.Holds {
		if slices.Contains(holdPoints, rule) {
			lines = append(lines, "tick "+rule)
		}
	}
	who := strings.Join(strings.Fields(p.Who), " ")
	if who == "" {
		who = "nobody"
	}
	as := p.As
	if as == "" {
		as = "nothing"
	}
	lines = append(lines, "watch "+shortened(who), "call "+as)
	for _, a := range p.Do {
		lines = append(lines, a.String())
	}
	return lines
}

// shortened is a name that a line can hold.
func shortened(who string) string {
	if r := []rune(who); len(r) > mostName {
		return strings.TrimSpace(string(r[:mostName]))
	}
	return who
}

// Written reads an ending as a teacher writes it. Besides the lines of a log it may have
//
//	plan                          the planned order, without the optional steps
//	plan until treat              up to before that step
//	plan from treat               from that step on
//	plan from trap until treat    from the one up to before the other
//	plan only swap-by-trapping    one step, which may be an optional one
//
// A line that can't be read is a fault whose Line counts from 1.
func Written(p rehearsal.Protocol, lines []string) ([]string, fault.List) {
	var log []string
	var list fault.List
	for i, text := range lines {
		part, f := writtenLine(p, text)
		if f != nil {
			list = append(list, f.At("log", i+1, max(f.Col, 1)))
		}
		log = append(log, part...)
	}
	if len(list) > 0 {
		return nil, list
	}
	return log, nil
}

// CheckWritten says what is wrong with a line of an ending as far as that can be said
// without the plan: whether a step is there can't.
func CheckWritten(text string) *fault.Fault {
	words := strings.Fields(text)
	if len(words) == 0 || words[0] != "plan" {
		_, f := ParseLine(text)
		return f
	}
	var p rehearsal.Protocol
	for i := 2; i < len(words); i += 2 {
		p.Steps = append(p.Steps, rehearsal.ProtocolStep{ID: words[i]})
	}
	_, _, _, f := planPart(p, words[1:], text)
	return f
}

func writtenLine(p rehearsal.Protocol, text string) ([]string, *fault.Fault) {
	words := strings.Fields(text)
	if len(words) == 0 || words[0] != "plan" {
		l, f := ParseLine(text)
		if f != nil {
			return nil, f
		}
		return []string{l.String()}, nil
	}
	from, to, only, f := planPart(p, words[1:], text)
	if f != nil {
		return nil, f
	}
	var log []string
	for _, s := range p.Steps[from:max(from, to)] {
		if only || !s.Optional {
			log = append(log, Planned(s)...)
		}
	}
	return log, nil
}

// planPart reads what stands behind `plan`.
func planPart(p rehearsal.Protocol, words []string, text string) (from, to int, only bool, f *fault.Fault) {
	to = len(p.Steps)
	for len(words) > 0 {
		if len(words) == 1 || !slices.Contains([]string{"from", "until", "only"}, words[0]) {
			return 0, 0, false, fault.New(fault.BadRequest, fault.Quote(text), "`plan`, `plan until STEP`, `plan from STEP`, `plan from STEP until STEP` or `plan only STEP`", "write it so")
		}
		i := slices.IndexFunc(p.Steps, func(s rehearsal.ProtocolStep) bool { return s.ID == words[1] })
		if i < 0 {
			return 0, 0, false, fault.New(fault.UnknownRef, fault.Quote(words[1]), "a step of the plan: "+strings.Join(stepNames(p), ", "), "take one of them")
		}
		switch words[0] {
		case "from":
			from = i
		case "until":
			to = i
		default:
			from, to, only = i, i+1, true
		}
		words = words[2:]
	}
	return from, to, only, nil
}

func stepNames(p rehearsal.Protocol) []string {
	var names []string
	for _, s := range p.Steps {
		names = append(names, s.ID)
	}
	return names
}

// Ending is how a practice stands at its end. Nothing is scored: it says what the rules
// say.
type Ending struct {
	Broken  []Broken
	Refused []int       // lines that could not be done
	In      []gear.Role // what is still in the patient
	Damped  []gear.Role // guides whose pressure curve is damped
	Treated bool
}

// Ending is how the practice stands now.
func (s *Session) Ending() Ending {
	scene := s.hand.Scene()
	e := Ending{Broken: s.AllBroken(), Treated: scene.Treated}
	for i, o := range s.out {
		if o.Refused {
			e.Refused = append(e.Refused, i)
		}
	}
	for _, t := range scene.Things {
		e.In = append(e.In, t.Role)
	}
	for _, g := range []gear.Role{gear.DonorGuide, gear.AntegradeGuide} {
		if s.damps(g) {
			e.Damped = append(e.Damped, g)
		}
	}
	return e
}

// Passes reports whether an ending is a good one: every line was done, no rule that
// blocks was broken and no hold point passed over, both curves are good, and nothing is
// left in the patient.
func (e *Ending) Passes() bool {
	bad := func(b Broken) bool { return b.Severity == verdict.Blocks || b.Severity == verdict.HoldPoint }
	return len(e.Refused) == 0 && len(e.In) == 0 && len(e.Damped) == 0 && !slices.ContainsFunc(e.Broken, bad)
}

// Catches reports whether a rule was broken.
func (e *Ending) Catches(rule string) bool {
	return slices.ContainsFunc(e.Broken, func(b Broken) bool { return b.Rule == rule })
}
