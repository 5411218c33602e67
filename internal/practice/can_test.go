package practice

import (
	"encoding/json"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"backroad/internal/anatomy"
	"backroad/internal/unit"
)

// filled is a line that an entry makes, with something that it allows.
func (c Can) filled(r *rand.Rand) string {
	line := c.Line
	switch a := c.Asks; {
	case a == nil:
	case a.Unit == "word":
		line = strings.Replace(line, "{}", a.Words[r.IntN(len(a.Words))], 1)
	default:
		n := int(a.Least) + r.IntN(int(a.Most-a.Least)+1)
		line = strings.Replace(line, "{}", strconv.Itoa(n), 1)
	}
	if len(c.With) > 0 && r.IntN(2) == 0 && strings.Contains(line, " by ") {
		line += " with " + string(c.With[0])
	}
	return line
}

// TestLawC1: every line that an entry makes can be read and is not refused. The engine
// decides that; the list shares no code with what it refuses by.
func TestLawC1(t *testing.T) {
	const seed = 23
	acts := map[string]int{}
	for i := range 16 {
		r := rand.New(rand.NewPCG(seed, uint64(i)))
		w := ways[i%len(ways)]
		c := planned(w.f, w.over, anatomy.ChannelKinds[i%len(anatomy.ChannelKinds)])
		s := start(t, Setting{Planned: c})
		random(r, s, c, r.IntN(60))
		for range 30 {
			list := s.Can()
			can := list[r.IntN(len(list))]
			text := can.filled(r)
			l, f := ParseLine(text)
			if f != nil {
				t.Fatalf("seed %d, practice %d: %q can't be read: %s", seed, i, text, f.Says())
			}
			if l.String() != text {
				t.Errorf("seed %d, practice %d: %q is not canonical: %q", seed, i, text, l)
			}
			acts[can.Act]++
			if o := s.Do(l); o.Refused {
				t.Fatalf("seed %d, practice %d: %q is refused: %v\n%s", seed, i, text, o.Findings, strings.Join(s.Log(), "\n"))
			}
		}
	}
	for _, act := range []string{"push", "pull", "push-until", "pull-until", "push-to", "pull-to", "insert", "take-out", "inflate", "deflate", "clip", "hold", "extend",
		"guide-in", "guide-out", "ease", "inject", "check", "call", "watch", "tick", "minutes", "pedal"} {
		if acts[act] == 0 {
			t.Errorf("%s was never tried", act)
		}
	}
}

// TestLawsC2Q6: in a laboratory neither what can be done nor what the outcomes say differs
// between two practices whose hidden lengths differ, as long as the same rules break.
func TestLawsC2Q6(t *testing.T) {
	c := planned(anatomy.GuideWiring, anatomy.Rail, anatomy.Septal)
	lines := []string{"watch technician", "insert retro_microcatheter", "insert donor_wire through retro_microcatheter", "push retro_microcatheter by 1130 mm with donor_wire",
		"pull retro_microcatheter until 400 mm shows", "insert trap_balloon", "push trap_balloon by 20 mm", "push retro_microcatheter until 200 mm shows", "pull snare by 3 mm", "minutes 3", "pedal 2", "check pressure"}
	seen := func(channel unit.Length) []byte {
		s := start(t, Setting{Planned: c, Lab: true, Scenario: &Scenario{Real: map[anatomy.LegName]unit.Length{anatomy.Channel: channel}, Invented: Usual}})
		var all []any
		for _, text := range lines {
			l, f := ParseLine(text)
			if f != nil {
				t.Fatal(f.Says())
			}
			s.Do(l)
			all = append(all, s.Can())
		}
		for i, o := range s.Seen() {
			for _, says := range append([]string{o.Says}, findingsOf(o)...) {
				for _, figure := range strings.FieldsFunc(says, func(c rune) bool { return !strings.ContainsRune("0123456789.", c) }) {
					if figure = strings.Trim(figure, "."); figure != "" && !strings.Contains(o.Line, figure) && !ruleWords(says) {
						t.Errorf("line %d, %q, says %q: the figure %s is not in the line", i, o.Line, says, figure)
					}
				}
			}
		}
		data, err := json.Marshal(append(all, s.Seen()))
		if err != nil {
			t.Fatal(err)
		}
		return data
	}
	if a, b := seen(75), seen(88); string(a) != string(b) {
		t.Errorf("a laboratory tells the channel's length: %s", cmp.Diff(string(a), string(b)))
	}
}

func findingsOf(o Outcome) []string {
	var all []string
	for _, f := range o.Findings {
		all = append(all, f.Says)
	}
	return all
}

// ruleWords reports whether a text is a rule's own words, the same for every case.
func ruleWords(text string) bool {
	for _, id := range []string{"donor-look", "cover", "connection", "hub-out", "feed-draw", "anticoagulated"} {
		if says(id) == text {
			return true
		}
	}
	return false
}
