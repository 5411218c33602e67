package practice

import (
	"os"
	"slices"
	"strings"
	"testing"

	"backroad/internal/anatomy"
	"backroad/internal/rail"
	"backroad/internal/rehearsal"
)

// mistake is one row of testdata/rules.txt.
type mistake struct {
	rule    string
	finish  anatomy.Finish
	over    anatomy.TreatOver
	channel anatomy.ChannelKind
	before  string // a step
	lines   []string
}

func mistakes(t *testing.T) []mistake {
	t.Helper()
	data, err := os.ReadFile("testdata/rules.txt")
	if err != nil {
		t.Fatal(err)
	}
	var all []mistake
	for line := range strings.Lines(string(data)) {
		line = strings.TrimSpace(line)
		if line == "" || line[0] == '#' {
			continue
		}
		rule, rest, _ := strings.Cut(line, ": ")
		parts := strings.Split(rest, "; ")
		way := strings.Fields(parts[0])
		all = append(all, mistake{rule, anatomy.Finish(way[0]), anatomy.TreatOver(way[1]), anatomy.ChannelKind(way[2]), parts[1], parts[2:]})
	}
	return all
}

// upTo is the planned order up to before a step, as lines.
func upTo(t *testing.T, c *rehearsal.Case, step string) []string {
	t.Helper()
	i := slices.IndexFunc(c.Protocol.Steps, func(p rehearsal.ProtocolStep) bool { return p.ID == step })
	if i < 0 {
		t.Fatalf("no step %s among %v", step, c.Protocol.Steps)
	}
	part := *c
	part.Protocol.Steps = c.Protocol.Steps[:i]
	return append(texts(script(&part)), "call nothing")
}

// TestMistakes: every rule of the rail can be broken in a practice, is named when it is,
// with what it would do and the way out, and was not broken before.
func TestMistakes(t *testing.T) {
	seen := map[string]bool{}
	for _, m := range mistakes(t) {
		seen[m.rule] = true
		c := planned(m.finish, m.over, m.channel)
		set := Setting{Planned: c}
		before := upTo(t, c, m.before)
		if m.rule == "bailout-ready" {
			before = slices.DeleteFunc(before, func(s string) bool { return strings.HasPrefix(s, "tick") })
		}
		if m.rule == "persist" {
			past := rail.Place{Name: string(rail.AntegradeTip)}
			set.Scenario = &Scenario{Twists: []Twist{{On: Trigger{rehearsal.PushTo, "crossing_wire", past}, Then: Effect{Stops: true, Back: 10}}}}
		}
		s, list := Replay(set, before)
		if list != nil {
			t.Fatalf("%s: %v", m.rule, list)
		}
		if o, found := broken(s, m.rule); found {
			t.Errorf("%s is broken before the mistake, by %s", m.rule, o.Line)
		}
		for _, text := range m.lines {
			l, f := ParseLine(text)
			if f != nil {
				t.Fatalf("%s: %s: %s", m.rule, text, f.Says())
			}
			if o := s.Do(l); o.Refused {
				t.Errorf("%s: %s is refused: %v", m.rule, text, o.Findings)
			}
		}
		o, found := broken(s, m.rule)
		if !found {
			t.Errorf("%s is not broken by %v", m.rule, m.lines)
			continue
		}
		if o.Line != m.lines[len(m.lines)-1] && m.rule != "donor-look" && m.rule != "lumen" {
			t.Errorf("%s is broken by %q already, not by %q", m.rule, o.Line, m.lines[len(m.lines)-1])
		}
		for _, f := range o.Findings {
			if harm, out := Harm(f); f.Rule == m.rule && (harm == "" || out == "" || f.Source == "") {
				t.Errorf("%s does not say what it would do and the way out: %+v", m.rule, f)
			}
		}
	}
	for _, id := range rail.RuleIDs() {
		r, _ := rail.RuleNamed(id)
		if !seen[id] && !notOfTheTable[id] {
			t.Errorf("no practice breaks the rule %s: %s", id, r.Says)
		}
	}
}

// notOfTheTable are rules of a plan, not of what hands do.
var notOfTheTable = map[string]bool{"role": true, "stock": true, "occlusion-length": true, "sighting": true, "ruler": true, "no-trap": true,
	"berth-wish": true, "wire-use": true}

func broken(s *Session, rule string) (Outcome, bool) {
	for _, o := range s.Outcomes() {
		for _, f := range o.Findings {
			if f.Rule == rule {
				return o, true
			}
		}
	}
	return Outcome{}, false
}
