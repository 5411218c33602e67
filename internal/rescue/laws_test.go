package rescue

import (
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/lumen"
	"backroad/internal/rehearsal"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

// base spreads the seeds of the random cases; each failure names its own.
const base = 20261125

func eachScene(t *testing.T, n int, f func(*scene)) {
	t.Helper()
	for i := range n {
		if s := randomScene(t, base+uint64(i)); s != nil {
			f(s)
		}
		if t.Failed() {
			return
		}
	}
}

// eachAnswer calls f for the answers of a way in; step is one of its moment's.
func (s *scene) eachAnswer(f func(a *Answer, step *rehearsal.Step)) {
	table := s.table()
	for i := range table {
		for j := range table[i].Answers {
			if a := &table[i].Answers[j]; a.Tube != "" && a.Tube != gear.RetroMicrocatheter {
				for _, n := range table[i].Steps {
					f(a, &s.steps[n-1])
				}
			}
		}
	}
}

// R1 and R2, against the slow reference: what fits, how many, and what comes out.
func TestAgainstReference(t *testing.T) {
	seen := map[string]int{}
	eachScene(t, 24, func(s *scene) {
		s.eachAnswer(func(a *Answer, step *rehearsal.Step) {
			if t.Failed() {
				return
			}
			w := s.refWay(step, a.Tube)
			least, found := s.cheapest(w, a.Need)
			what := fmt.Sprintf("%v, step %s, %s %s", s, step.ID, a.Tube, a.Need)
			if found != (len(a.Fits) > 0) {
				t.Fatalf("%s: the reference finds room: %v, the answer is %+v", what, found, *a)
			}
			if !found {
				seen["none"]++
				if a.Why == "" || a.Verdict != verdict.Fails && a.Verdict != verdict.Unknown {
					t.Fatalf("%s: nothing fits and no reason is given: %+v", what, *a)
				}
				return
			}
			if got := w.cost(a.ComeOut); got != least || !w.allowed(a.ComeOut) {
				t.Fatalf("%s: comes out %v at %v, the reference needs %v", what, a.ComeOut, got, least)
			}
			seen[fmt.Sprint("out ", len(a.ComeOut))]++
			s.sameFits(t, what, w, a)
			s.sameSpare(t, what, w, a)
			s.eachNeeded(t, what, w, a)
		})
	})
	t.Log(seen)
	for _, k := range []string{"none", "out 0", "out 1", "out 2"} {
		if seen[k] == 0 {
			t.Errorf("no case of %q: the test sees too little", k)
		}
	}
}

// sameFits compares what is said to fit with what the reference lets through: all named
// ids are among them, and all are counted.
func (s *scene) sameFits(t *testing.T, what string, w *refWay, a *Answer) {
	t.Helper()
	n := 0
	for i := range s.shelf.Items {
		it := &s.shelf.Items[i]
		goes := s.goes(w, a.Need, it, a.ComeOut)
		if goes {
			n++
		}
		if slices.Contains(a.Fits, it.ID) && !goes {
			t.Fatalf("%s: %s does not pass, the answer is %+v", what, it.ID, *a)
		}
	}
	if got := len(a.Fits) + a.More; got != n {
		t.Fatalf("%s: %d fit, the reference counts %d: %+v", what, got, n, *a)
	}
}

// sameSpare is the room that is named: what the first leaves at the tightest place, to the
// accuracy of a packing; the verdict follows from it where nothing comes out.
func (s *scene) sameSpare(t *testing.T, what string, w *refWay, a *Answer) {
	t.Helper()
	want := s.spare(w, a)
	if math.Abs(float64(a.Spare-want)) > 1e-6 {
		t.Fatalf("%s: %.7f mm is said to be left, the reference finds %.7f: %+v", what, float64(a.Spare), float64(want), *a)
	}
	verdicts := []verdict.Verdict{verdict.Fails, verdict.Unknown}
	if tight := house.Defaults().Length(house.LumenTight); len(a.ComeOut) == 0 {
		verdicts = []verdict.Verdict{verdict.Works}
		if want < tight {
			verdicts[0] = verdict.Tight
		}
	}
	if !slices.Contains(verdicts, a.Verdict) {
		t.Fatalf("%s: the reference finds %.4f mm, the verdict is %v: %+v", what, float64(want), a.Verdict, *a)
	}
}

// eachNeeded is the second half of R2 on its own: without any one member of ComeOut,
// nothing fits or the rest may not come out.
func (s *scene) eachNeeded(t *testing.T, what string, w *refWay, a *Answer) {
	t.Helper()
	for i, r := range a.ComeOut {
		out := slices.Delete(slices.Clone(a.ComeOut), i, i+1)
		for k := range s.shelf.Items {
			if w.allowed(out) && s.goes(w, a.Need, &s.shelf.Items[k], out) {
				t.Fatalf("%s: %v need not come out of %v", what, r, a.ComeOut)
			}
		}
	}
}

// widened is the steps with one tube's bore larger.
func widened(steps []rehearsal.Step, tube gear.Role, by unit.Length) []rehearsal.Step {
	out := slices.Clone(steps)
	for i := range out {
		out[i].Held = slices.Clone(out[i].Held)
		for j := range out[i].Held {
			if h := &out[i].Held[j]; h.Tube == tube {
				h.Bore = unit.Exactly(h.Bore.Value + by)
			}
		}
	}
	return out
}

// byStep lists a table's answers by step, tube and need.
func byStep(table []Moment) map[string]*Answer {
	m := map[string]*Answer{}
	for i := range table {
		for _, n := range table[i].Steps {
			for j := range table[i].Answers {
				a := &table[i].Answers[j]
				m[fmt.Sprint(n, a.Tube, a.Need)] = a
			}
		}
	}
	return m
}

// R3: a larger bore never loses an answer, nor needs more to come out. From four circles
// on a packing is a search, but the same circles give the same answer.
func TestLargerBore(t *testing.T) {
	eachScene(t, 40, func(s *scene) {
		before := byStep(s.table())
		for _, tube := range []gear.Role{gear.DonorGuide, gear.AntegradeGuide, gear.ExtensionRole} {
			after := byStep(Table(widened(s.steps, tube, 0.17), s.kit, s.shelf, house.Defaults()))
			for k, a := range before {
				b := after[k]
				w := &refWay{front: a.Tube == gear.AntegradeGuide || a.Tube == gear.ExtensionRole}
				was, is := w.cost(a.ComeOut), w.cost(b.ComeOut)
				if len(a.Fits) > 0 && (len(b.Fits) == 0 || slices.Compare(is[:], was[:]) > 0) {
					t.Fatalf("%v, %s: a wider %s loses it: %+v, then %+v", s, k, tube, *a, *b)
				}
			}
		}
	})
}

// R4: nothing that is not on hand beyond the kit's own pieces appears.
func TestStock(t *testing.T) {
	eachScene(t, 60, func(s *scene) {
		for k, a := range byStep(s.table()) {
			ids := append(slices.Clone(a.Fits), a.Wire)
			for coil, mc := range a.Through {
				ids = append(ids, coil)
				if a.Tube != gear.RetroMicrocatheter {
					ids = append(ids, mc)
				}
			}
			for _, id := range ids {
				it := s.shelf.ByID(id)
				own := s.kit[gear.DonorWire]
				if id == "" || id == a.Wire && own != nil && own.ID == id {
					continue
				}
				if it == nil || s.left(it) <= 0 {
					t.Fatalf("%v, %s: %s is not there: %+v", s, k, id, *a)
				}
			}
		}
	})
}

// R5: the order of the shelf does not matter, and the same question has the same answer.
func TestOrder(t *testing.T) {
	eachScene(t, 40, func(s *scene) {
		want := s.table()
		r := rand.New(rand.NewPCG(s.seed, 5))
		r.Shuffle(len(s.shelf.Items), func(i, j int) {
			s.shelf.Items[i], s.shelf.Items[j] = s.shelf.Items[j], s.shelf.Items[i]
		})
		if got := s.table(); !reflect.DeepEqual(got, want) {
			t.Fatalf("%v: the order of the shelf matters:\n%+v\n%+v", s, got, want)
		}
	})
}

// R6: with less in the tubes nothing that brings its own wire is lost.
func TestLessInside(t *testing.T) {
	eachScene(t, 40, func(s *scene) {
		before := byStep(s.table())
		role := gear.Roles[rand.New(rand.NewPCG(s.seed, 6)).IntN(len(gear.Roles))]
		less := slices.Clone(s.steps)
		for i := range less {
			less[i].Held = slices.Clone(less[i].Held)
			for j := range less[i].Held {
				h := &less[i].Held[j]
				h.In = slices.DeleteFunc(slices.Clone(h.In), func(c rehearsal.Circle) bool { return c.Role == role })
				h.Within = slices.DeleteFunc(slices.Clone(h.Within), func(c rehearsal.Circle) bool { return c.By == role || c.Role == role })
			}
		}
		after := byStep(Table(less, s.kit, s.shelf, house.Defaults()))
		for k, a := range before {
			if b := after[k]; a.Over == "" && len(a.Fits) > 0 && len(a.ComeOut) == 0 && a.Tube != gear.RetroMicrocatheter && (b == nil || len(b.Fits) == 0 || len(b.ComeOut) > 0) {
				t.Fatalf("%v, %s: without the %s it is lost: %+v, then %+v", s, k, role, *a, b)
			}
		}
	})
}

// What is remembered of a corner says no more than what a packing says: random circles of
// sizes near one another, asked for in random order.
func TestRooms(t *testing.T) {
	r := rand.New(rand.NewPCG(base, 8))
	table := &table{tight: 0.15, packs: packs{}, rooms: map[corner]room{}}
	for range 12 {
		s := section{bore: unit.Length(1.9 + 0.4*r.Float64())}
		for i := range 3 {
			s.in = append(s.in, rehearsal.Inside{Role: gear.Roles[i], Diameter: unit.Length(0.5 + 0.4*r.Float64())})
		}
		for range 25 {
			d := unit.Length(0.3 + 0.7*r.Float64())
			want := lumen.SideBySide(s.bore, 0, d, s.in[0].Diameter, s.in[1].Diameter, s.in[2].Diameter)
			if got := table.fits(&s, nil, d); got != (want.Verdict != verdict.Fails) && (want.Spare > 1e-6 || want.Spare < -1e-6) {
				t.Fatalf("seed %d: %v beside %v in %v: fits %v, packed %v", base, d, s.in, s.bore, got, want)
			}
		}
	}
}

// What is said to go without a packing being searched goes: no search finds that it needs
// more bore. The gaps beside two circles of 1/2 in a circle of 1 take circles of 1/3, no
// wider: the Apollonian gasket of curvatures -1, 2, 2, 3, a classical value, from memory.
func TestBundled(t *testing.T) {
	third := unit.Length(1.0 / 3)
	if !flanked([]unit.Length{third, third * (1 - 1e-9), 0.5, 0.5}, 1) || flanked([]unit.Length{third, third * (1 + 1e-9), 0.5, 0.5}, 1) {
		t.Error("the gaps beside two halves do not take thirds, or more than thirds")
	}
	r := rand.New(rand.NewPCG(base, 9))
	goes := 0
	for range 300 {
		d := make([]unit.Length, 4+r.IntN(2))
		for i := range d {
			d[i] = unit.Length(0.2 + 0.8*r.Float64()*r.Float64())
		}
		bore := unit.Length(1.2 + r.Float64())
		if !bundled(slices.Clone(d), bore) {
			continue
		}
		goes++
		if need := lumen.Enclosing(d...); need > bore+1e-6 {
			t.Fatalf("seed %d: %v do not go into %v, they need %v", base, d, bore, need)
		}
	}
	if goes < 30 {
		t.Errorf("only %d of 300 go: the test sees too little", goes)
	}
}

// A microcatheter is drawn back out of an antegrade tube only where it then still spans
// the occlusion: where the tube's tip lies short of the proximal cap, it is the last thing
// across and stays.
func TestDrawnBack(t *testing.T) {
	for _, spans := range []bool{true, false} {
		steps := scenery(gear.AntegradeGuide, 1.8, circle(gear.RetroMicrocatheter, 0.9))
		for i := range steps[0].Held {
			steps[0].Held[i].Spans = spans
		}
		steps[0].Across = [][]gear.Role{{gear.RetroMicrocatheter}}
		a := ask(t, steps, simpleKit, gear.AntegradeGuide, CoveredStent, stent("S", 1.1, 0.8))
		if a.Verdict != verdict.Fails || (len(a.ComeOut) == 1) != spans || (a.Why == "") != spans {
			t.Errorf("tip beyond the cap %v: %+v", spans, a)
		}
	}
}

// Over-the-wire gear keeps the wire that lies there inside all the way; rapid-exchange
// gear of the same sizes has it beside the shaft: 1.2 + 0.3556 > 1.5.
func TestOverTheWire(t *testing.T) {
	for _, over := range []bool{true, false} {
		b := balloon("B", 0.9, 1.2)
		b.OverWire = over
		steps := scenery(gear.AntegradeGuide, 1.5, circle(rehearsal.AntegradeWire, 0.3556))
		if a := ask(t, steps, simpleKit, gear.AntegradeGuide, Balloon, b); (a.Verdict == verdict.Works) != over {
			t.Errorf("over the wire %v: %+v", over, a)
		}
	}
}
