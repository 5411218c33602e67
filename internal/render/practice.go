package render

import (
	"io"
	"strings"

	"backroad/internal/practice"
	"backroad/internal/report"
)

// PracticeText writes a practice for reading: what was done, which rules broke where,
// what it does to the patient, the way out, and the planned order beside it.
func PracticeText(w io.Writer, in *Practice, style Style) error {
	p := &page{style: style}
	if in.Scenario != nil {
		p.line("%s", p.bold("Practice: "+in.Scenario.Title))
		p.long("", in.Scenario.Tells)
	}
	p.head("What was done: %s, %s, %s", in.Plan.Route, report.FinishWords(in.Plan.Finish), report.OverWords(in.Plan.TreatOver))
	for i, o := range in.Session.Outcomes() {
		p.outcome(i, &o)
	}
	p.ended(in.Session.Ending())
	p.head("What differs from the planned order")
	p.beside(practice.Compare(in.Plan.Walk.Protocol, in.Session.Lines()))
	if in.Scenario != nil {
		p.head("What it is about")
		p.long("  ", in.Scenario.Teaches)
		p.long("  ", "How far guides dive, when a curve damps and how long an action takes are invented.")
	}
	_, err := io.WriteString(w, p.String())
	return err
}

// long writes a text over several lines.
func (p *page) long(lead, text string) {
	for _, l := range wrap(text, 96-len(lead)) {
		p.line("%s%s", lead, l)
	}
}

// outcome writes what a line came to, with what broke beneath it.
func (p *page) outcome(i int, o *practice.Outcome) {
	p.line("  %3d  %s", i+1, o.Line)
	if o.Refused {
		p.line("       not done")
	}
	for _, n := range o.Notices {
		p.line("       the room notices: %s", n)
	}
	for _, f := range o.Findings {
		harm, out := practice.Harm(f)
		p.line("       %s", p.bold(strings.ToUpper(string(f.Severity))+" "+f.Rule+": "+f.Says))
		if harm != "" {
			p.long("         ", "it would "+harm)
		}
		if out != "" {
			p.long("         ", "way out: "+out)
		}
	}
}

// ended says how the practice stands.
func (p *page) ended(e practice.Ending) {
	p.head("At the end")
	if len(e.Broken) == 0 {
		p.line("  no rule was broken")
	}
	for _, b := range e.Broken {
		p.line("  %-11s %-16s %d times, first at line %d", b.Severity, b.Rule, b.Times, b.First+1)
	}
	for _, i := range e.Refused {
		p.line("  line %d could not be done", i+1)
	}
	for _, r := range e.In {
		p.line("  still in the patient: %s", roleWords(r))
	}
	for _, g := range e.Damped {
		p.line("  damped pressure curve: %s", roleWords(g))
	}
}

// beside writes where the log and the planned order differ.
func (p *page) beside(rows []practice.Row) {
	same := true
	for _, r := range rows {
		switch {
		case r.Done == "":
			p.line("  left out of %s: %s", r.Step, r.Planned)
		case r.Planned == "":
			p.line("  put in at line %d: %s", r.At+1, r.Done)
		default:
			continue
		}
		same = false
	}
	if same {
		p.line("  nothing")
	}
}
