package rehearsal

import (
	"backroad/internal/fault"
	"backroad/internal/house"
)

// For returns the protocol of a course: the house's own where it has one for that finish,
// else the built-in one.
func For(rules *house.Rules, c Course) Protocol {
	steps, ok := rules.Protocols[house.ProtocolKey(string(c.Finish), string(c.Over))]
	if !ok {
		return Default(c)
	}
	var p Protocol
	for _, s := range steps {
		step := ProtocolStep{ID: s.ID, Title: s.Title, As: s.As, Holds: s.Holds, Watch: s.Watch, Who: s.Who, IfFails: s.IfFails, Optional: s.Optional}
		for _, text := range s.Do {
			a, f := ParseAction(text)
			if f != nil {
				panic("internal error: an action that the reader of house files let pass: " + text)
			}
			step.Do = append(step.Do, a)
		}
		p.Steps = append(p.Steps, step)
	}
	return p
}

// Written gives a protocol as it is written down in a house file.
func Written(p Protocol) []house.ProtocolStep {
	steps := make([]house.ProtocolStep, 0, len(p.Steps))
	for _, s := range p.Steps {
		w := house.ProtocolStep{ID: s.ID, Title: s.Title, As: s.As, Holds: s.Holds, Watch: s.Watch, Who: s.Who, IfFails: s.IfFails, Optional: s.Optional}
		for _, a := range s.Do {
			w.Do = append(w.Do, a.String())
		}
		steps = append(steps, w)
	}
	return steps
}

// CheckAction says what is wrong with an action of a house file, nil where nothing is.
func CheckAction(text string) *fault.Fault {
	_, f := ParseAction(text)
	return f
}

// Exceptions lists the named exceptions that a step may claim.
func Exceptions() []string { return exceptions }
