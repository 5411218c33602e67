package rehearsal

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"

	"backroad/internal/anatomy"
	"backroad/internal/gear"
	"backroad/internal/rail"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

// This file walks a protocol a second time, a quarter of a millimetre at a time, with
// its own scene and its own words for the rules. It shares no code with the sweep but
// the parsed actions and the means of the places.

// piece is a thing in the walk.
type piece struct {
	donor, wire, mc, soft bool
	long, tip, port       float64
	in                    bool
	on                    string // the wire it is on
	second                string // dual-lumen: the wire in the other lumen
	trapFrom              float64
	trapped, held, clip   bool
	out, snared, cut      bool
	bent                  bool
	bentAt, softEnd       float64
}

func (p *piece) end() float64 {
	if p.donor {
		return p.tip - p.long
	}
	return p.tip + p.long
}

type walk struct {
	at                                      func(string) float64
	c                                       *Case
	p                                       map[string]*piece
	off, eased, passed, crossed, laid, done bool
	longWas, released, dissected            bool
	removing                                bool
	shown                                   int  // contrast into the channel at the end, behind a wait
	rested                                  bool // somebody has waited since
	check                                   bool
	found                                   map[string]bool
	step                                    ProtocolStep
	usesLong                                bool
}

// names of the pieces.
var pieceKinds = map[string]struct {
	donor, wire, mc bool
	role            gear.Role
}{
	"retro_microcatheter": {true, false, true, gear.RetroMicrocatheter}, "swap_microcatheter": {true, false, true, gear.RetroMicrocatheter},
	"antegrade_microcatheter": {false, false, true, gear.AntegradeMicrocatheter}, "dual_lumen": {false, false, true, gear.DualLumenRole},
	"trap_balloon": {false, false, false, gear.TrapBalloon}, "donor_trap": {true, false, false, gear.TrapBalloon},
	"treat_device": {false, false, false, gear.TreatDevice}, "snare": {false, false, false, gear.SnareRole}, "extension": {false, false, false, gear.ExtensionRole},
	"crossing_wire": {true, true, false, gear.CrossingWire}, "long_wire": {true, true, false, gear.LongWire}, "donor_wire": {true, true, false, gear.DonorWire},
	"look_wire": {true, true, false, gear.DonorWire}, "antegrade_wire": {false, true, false, gear.DonorWire}, "occlusion_wire": {true, true, false, gear.CrossingWire},
}

func walkAll(c *Case) map[string]bool {
	axis := rail.NewAxisWith(c.Setup, c.Kit)
	memo := map[string]float64{}
	w := &walk{c: c, p: map[string]*piece{}, found: map[string]bool{}, usesLong: c.Setup.Finish != anatomy.TipIn,
		at: func(name string) float64 {
			if v, ok := memo[name]; ok {
				return v
			}
			p, f := rail.ParsePlace(name)
			if f != nil {
				panic(f.Says())
			}
			v, _, ok := axis.Locate(p)
			if !ok {
				v = unit.Length(math.NaN())
			}
			memo[name] = float64(v)
			return float64(v)
		}}
	for _, s := range c.Protocol.Steps {
		if s.Optional {
			continue
		}
		w.step = s
		for _, a := range s.Do {
			w.do(a)
		}
	}
	return w.found
}

func (w *walk) hit(rule string) { w.found[w.step.ID+" "+rule] = true }

func (w *walk) tipA() float64 {
	switch {
	case w.off:
		return w.at("capture_tip")
	case w.c.Setup.Finish == anatomy.ExtensionWiring && (w.p["extension"] == nil || !w.p["extension"].in):
		return w.at("antegrade_hub") - float64(w.c.Kit[gear.AntegradeGuide].Length.Value)
	}
	return w.at("antegrade_tip")
}

func (w *walk) valveA() float64 {
	if w.off {
		return w.at("capture_valve")
	}
	return w.at("antegrade_valve")
}

func (w *walk) hubA() float64 {
	if w.off {
		return w.at("capture_hub")
	}
	return w.at("antegrade_hub")
}

func (w *walk) mc() *piece {
	var best *piece
	for _, n := range []string{"retro_microcatheter", "swap_microcatheter"} {
		if q := w.p[n]; q != nil && q.in && (best == nil || q.tip > best.tip) {
			best = q
		}
	}
	return best
}

func (w *walk) do(a Action) {
	k, isPiece := pieceKinds[a.What]
	q := w.p[a.What]
	if isPiece && (q == nil || (a.Verb == Insert && !q.in)) {
		it := w.c.Kit[k.role]
		q = &piece{donor: k.donor, wire: k.wire, mc: k.mc, long: float64(it.Length.Value), soft: k.wire && it.Use != gear.Externalisation && a.What != "occlusion_wire", softEnd: float64(it.Soft.Value)}
		if it.Shaft.Known() {
			q.long = float64(it.Shaft.Value)
		}
		if a.What == "extension" {
			q.long = 1e9
		}
		q.port = float64(it.RX.Value)
		w.p[a.What] = q
	}
	switch a.Verb {
	case Insert:
		q.in, q.tip = true, 0
		if !q.donor {
			q.tip = w.valveA()
		}
		if a.What == "long_wire" {
			w.longWas = true
		}
		if with := w.p[string(a.With)]; a.With != "" {
			switch {
			case !q.wire:
				q.on = string(a.With)
			case a.With == "dual_lumen":
				with.second = a.What
			case with != nil && (with.on == "" || !w.p[with.on].in): // else it is full
				with.on = a.What
			}
		}
		w.ask(a, nil, false)
	case PushTo, PullTo, Feed:
		if q == nil || !q.in {
			return
		}
		w.go_(a, q, w.at(a.To.String()), a.Verb != PullTo)
	case TakeOut, DrawOut:
		if q == nil || !q.in {
			return
		}
		if a.What == "long_wire" && q.out {
			w.removing = true
		}
		w.goodbye(a.What, q)
		home := 0.0
		if !q.donor {
			home = w.valveA()
		}
		if a.Verb == DrawOut {
			w.ask(a, q, false)
		} else if (q.donor && q.tip > 0) || (!q.donor && q.tip < home) {
			w.go_(a, q, home, false)
		}
		q.in = false
		q.trapped, q.snared, q.clip, q.held, q.out = false, false, false, false, false
		for _, o := range w.p {
			if o.on == a.What {
				o.on = ""
			}
			if o.second == a.What {
				o.second = ""
			}
		}
		w.note()
		w.ask(a, nil, false)
	case Inflate:
		if a.With != "" {
			t := w.p[string(a.With)]
			l := float64(w.c.Kit[gear.TrapBalloon].Length.Value)
			near, far := q.tip, q.tip+l
			if q.donor {
				near, far = q.tip-l, q.tip
			}
			if t == nil || !t.in || t.tip < far-1e-6 || t.end() > near {
				w.hit("trap-state")
			} else {
				t.trapped, t.trapFrom = true, near
			}
		}
		if a.What == "treat_device" {
			w.done = true
		}
		w.ask(a, nil, false)
	case Deflate:
		for _, t := range w.p {
			if t.trapped {
				t.trapped, w.check = false, true
			}
		}
		w.ask(a, nil, false)
	case Clip:
		q.clip = true
		w.ask(a, nil, false)
	case Unclip:
		q.clip = false
		w.ask(a, nil, false)
	case HoldBoth:
		q.held = true
		w.ask(a, nil, false)
	case Release:
		q.held = false
		w.ask(a, nil, false)
	case Capture:
		s := w.p[string(a.With)]
		if s == nil || !s.in {
			w.ask(a, nil, false)
			return
		}
		if a.What != "long_wire" || s.tip > q.tip+1e-6 || s.tip < q.tip-q.softEnd-1e-6 {
			w.hit("soft-capture")
		}
		q.snared, q.bent, q.bentAt = true, true, s.tip
		w.ask(a, nil, false)
	case CutEnd:
		q.cut, q.snared = true, false
		q.long -= 50
		q.tip -= 50
		w.ask(a, nil, false)
	case Seat, StandOff:
		w.off = a.Verb == StandOff
		w.ask(a, nil, false)
	case Ease:
		w.eased = true
		w.ask(a, nil, false)
	case Extend:
		q.long += 1500
		w.ask(a, nil, false)
	case Check:
		if a.What == "pressure" {
			w.check = false
		}
		w.ask(a, nil, false)
	case Dilate:
		if w.c.Channel == anatomy.Epicardial || w.c.Channel == anatomy.Atrial {
			w.hit("no-dilate")
		}
		w.ask(a, nil, false)
	case Inject:
		if a.What == "antegrade" {
			if w.dissected && !w.done {
				w.hit("no-injection")
			}
			for _, t := range w.p {
				if t.trapped {
					w.hit("trap-state")
				}
			}
		} else {
			w.lastLook()
		}
		w.ask(a, nil, false)
	case Wait:
		w.rested = true
		w.ask(a, nil, false)
	case Sight:
		w.ask(a, nil, false)
	case Dissect, OpenUp:
		w.dissected = true
	}
}

// frail reports whether the channel is one of those that need a last look in two parts.
func (w *walk) frail() bool {
	return w.c.Channel == anatomy.Epicardial || w.c.Channel == anatomy.Atrial
}

// lastLook: contrast goes into a frail channel at the end, with a wire in it.
func (w *walk) lastLook() {
	wires := 0
	for n, q := range w.p {
		if w.bare(n, q) > 1e-6 {
			wires++
		}
	}
	if !w.frail() || !w.released || wires == 0 {
		return
	}
	if m := w.mc(); m != nil && m.tip-w.at("channel_entry") > 5+1e-6 { // 5 mm: what a mark may be off
		w.hit("epicardial-bare")
		return
	}
	if w.rested || w.shown == 0 {
		w.shown++
	}
	w.rested = false
}

// goodbye: something leaves at the donor side at the end.
func (w *walk) goodbye(name string, q *piece) {
	if !w.frail() || !w.released || w.shown > 1 || !q.donor {
		return
	}
	if (q.wire && q.tip > w.at("channel_entry")+1e-6) || strings.HasSuffix(name, "_microcatheter") {
		w.hit("epicardial-bare")
	}
}

// go_ walks a tip to a place, a quarter of a millimetre at a time.
func (w *walk) go_(a Action, q *piece, to float64, push bool) {
	along := w.p[string(a.With)]
	from := q.tip
	n := int(math.Ceil(math.Abs(to-from) / 0.25))
	for i := 0; i <= n; i++ {
		x := from + (to-from)*float64(i)/float64(max(n, 1))
		by := x - q.tip
		q.tip = x
		if q.bent && !q.cut {
			q.bentAt += by
		}
		if along != nil && along != q {
			along.tip += by
		}
		w.ask(a, q, push)
		w.note()
	}
}

func (w *walk) note() {
	if m := w.mc(); m != nil && m.tip >= w.at("lo")-1e-6 {
		w.passed = true
	}
	if w.across() {
		w.crossed = true
	}
	l, x := w.p["long_wire"], w.p["crossing_wire"]
	if w.usesLong {
		w.released = w.longWas && !l.in
	} else if w.laid && x != nil && !x.in {
		w.released = true
	}
	if g := w.p["antegrade_wire"]; g != nil && g.in && g.tip <= w.at("distal_cap")+1e-6 {
		w.laid = true
	}
	if l != nil && l.in && l.tip >= w.hubA()-1e-6 {
		l.out = true
	}
	if m := w.p["antegrade_microcatheter"]; m != nil && m.in && m.on == "" && x != nil && x.in && x.tip > m.tip {
		m.on = "crossing_wire"
	}
}

func (w *walk) across() bool {
	for _, q := range w.p {
		if q.in && (q.wire || q.mc) && ((q.donor && q.tip >= w.at("proximal_cap")-1e-6) || (!q.donor && q.tip <= w.at("distal_cap")+1e-6)) {
			return true
		}
	}
	return false
}

// bare is how much of the channel holds a bare donor-side wire.
func (w *walk) bare(name string, q *piece) float64 {
	if !q.in || !q.wire || !q.donor {
		return 0
	}
	covered := math.Inf(-1)
	if m := w.mc(); m != nil && m.on == name {
		covered = m.tip
	}
	a := max(w.at("channel_entry"), covered)
	b := min(w.at("channel_exit"), q.tip)
	return max(0, b-a)
}

// ask asks the rules that block, in the walk's own words.
func (w *walk) ask(a Action, q *piece, push bool) {
	const tiny = 1e-6
	m := w.mc()
	lo := w.at("lo")
	excused := w.step.As == AsSwap || w.step.As == AsEarlyTrap
	frail := w.frail()
	away := m == nil || m.tip < w.at("channel_entry")-5-tiny
	// the channel
	if w.passed && !w.released {
		if (m == nil || m.tip < lo-tiny) && !excused {
			w.hit("cover")
		}
	}
	for name, t := range w.p {
		if w.bare(name, t) <= tiny {
			continue
		}
		tense := t.trapped || t.held || t.clip
		if !(w.passed && !w.released) && !excused {
			if !t.soft || tense {
				if !(w.step.As == AsLastLook && w.released) {
					w.hit("cover")
				}
			} else if w.released && w.step.As != AsLastLook {
				w.hit("cover")
			}
		}
		if frail && (!t.soft || tense || t.out || (w.released && (away || !w.eased))) {
			w.hit("epicardial-bare")
		}
	}
	// tips and hubs
	for name, o := range w.p {
		if !o.in {
			continue
		}
		if m != nil && m.on != "" && !o.donor && !o.wire && o.on == m.on {
			need := 10.0
			if o.mc {
				need = 0
			}
			if o.tip-m.tip < need-tiny {
				w.hit("no-contact")
			}
			if o.tip < m.tip && m.tip < o.tip+o.port {
				w.hit("rail-device")
			}
		}
		switch {
		case o.wire:
			if o.out && !w.removing && o.tip < w.hubA()-tiny {
				w.hit("hub-out")
			}
			for _, d := range w.p {
				if !d.in || d.wire || (d.on != name && d.second != name) {
					continue
				}
				if d.donor && o.donor && o.end() > d.end()+tiny && !(w.step.As == AsSwap && o.trapped) {
					w.hit("hub-out")
				}
				if !d.donor && o.donor && o.out && !w.removing && d.port > 0 && o.tip < d.tip+d.port-tiny {
					w.hit("hub-out")
				}
				if !d.donor && !o.donor && d.second == name && o.end() < d.end()-tiny {
					w.hit("hub-out")
				}
			}
			if o.trapped {
				if q == o {
					w.hit("trap-state")
				}
				if m != nil && m.on == name && m.tip > o.trapFrom+tiny {
					w.hit("trap-state")
				}
			}
			if o.bent && !o.cut && m != nil && m.on == name && m.tip > o.bentAt+tiny {
				w.hit("soft-capture")
			}
		case o.donor && o.long-o.tip < 20-tiny, !o.donor && o.long-(w.valveA()-o.tip) < 20-tiny:
			w.hit("hub-out")
		}
	}
	if q == nil {
		return
	}
	if w.check {
		w.hit("trap-state")
	}
	if q.mc && q.donor && push && q.tip > w.tipA()+tiny {
		t := w.p[q.on]
		if t == nil || !(t.trapped || t.snared || (t.out && t.held)) {
			w.hit("pinned")
		}
	}
	if !q.donor && !q.wire {
		if t := w.p[q.on]; t != nil && t.in && t.bent && !t.cut {
			w.hit("soft-capture")
		}
		if t := w.p[q.on]; t != nil && t.in && t.out && !t.clip {
			w.hit("clipped")
		}
	}
	if q.wire && q.donor && !push && a.Verb == DrawOut {
		w.hit("remove-covered")
	}
	if q.wire && q.donor && a.Verb == TakeOut && q.tip > w.at("channel_entry")+tiny {
		reach := math.Inf(-1)
		if m != nil && m.on == a.What {
			reach = m.tip
		}
		if reach >= q.tip {
			return
		}
		if (a.What == "long_wire" && reach < w.at("distal_cap")-tiny) || (a.What != "long_wire" && reach < lo-tiny) {
			w.hit("remove-covered")
		}
	}
}

// walkedRules are the blocking rules that the walk knows.
var walkedRules = []string{"cover", "no-contact", "pinned", "trap-state", "clipped", "remove-covered", "hub-out", "epicardial-bare", "rail-device", "soft-capture", "no-dilate", "no-injection"}

// swept is what the sweep finds of those, outside optional steps.
func swept(t *testing.T, c *Case) map[string]bool {
	t.Helper()
	r, err := Run(context.Background(), c)
	if err != nil {
		t.Fatal(err)
	}
	found := map[string]bool{}
	for _, f := range r.Findings {
		if f.Severity == verdict.Blocks && slices.Contains(walkedRules, f.Rule) {
			found[f.Step+" "+f.Rule] = true
		}
	}
	return found
}

// randomCase draws a case of whole millimetres.
func randomCase(r *rand.Rand) *Case {
	way := everyWay[r.IntN(len(everyWay))]
	kinds := []anatomy.ChannelKind{anatomy.Septal, anatomy.Epicardial, anatomy.Graft}
	c := caseOf(way.f, way.over, kinds[r.IntN(len(kinds))])
	whole := func(lo, hi int) float64 { return float64(lo + r.IntN(hi-lo)) }
	c.Setup.Legs = legsOf(whole(30, 200), whole(20, 180), whole(30, 100), whole(5, 50), whole(10, 80))
	for _, role := range []gear.Role{gear.DonorGuide, gear.AntegradeGuide} {
		c.Kit[role].Length = size([]float64{900, 1000}[r.IntN(2)])
	}
	c.Kit[gear.RetroMicrocatheter].Length = size([]float64{1350, 1500, 1550}[r.IntN(3)])
	c.Kit[gear.LongWire].Length = size([]float64{3000, 3300, 3500}[r.IntN(3)])
	c.Kit[gear.CrossingWire].Length = size([]float64{1800, 1900}[r.IntN(2)])
	c.Protocol = Default(Course{Finish: way.f, Over: way.over, Channel: c.Channel, Sight: r.IntN(2) == 0})
	return c
}

// mutate changes a protocol: an action is dropped, doubled, swapped with the next,
// moved to another step, or its place shifted; or a step is dropped or swapped.
func mutate(r *rand.Rand, p Protocol) (Protocol, string) {
	steps := slices.Clone(p.Steps)
	for i := range steps {
		steps[i].Do = slices.Clone(steps[i].Do)
	}
	i := r.IntN(len(steps))
	for len(steps[i].Do) == 0 || steps[i].Optional {
		i = r.IntN(len(steps))
	}
	s := &steps[i]
	j := r.IntN(len(s.Do))
	what := fmt.Sprintf("%s: %s: ", s.ID, s.Do[j])
	switch r.IntN(6) {
	case 0:
		what += "dropped"
		s.Do = slices.Delete(s.Do, j, j+1)
	case 1:
		what += "doubled"
		s.Do = slices.Insert(s.Do, j, s.Do[j])
	case 2:
		k := (j + 1) % len(s.Do)
		what += "swapped with the next"
		s.Do[j], s.Do[k] = s.Do[k], s.Do[j]
	case 3:
		what += "place shifted"
		s.Do[j].To.Off += unit.Length(r.IntN(161) - 80)
	case 4:
		what = s.ID + ": step dropped"
		steps = slices.Delete(steps, i, i+1)
	case 5:
		if i+1 < len(steps) {
			what = s.ID + ": step swapped with the next"
			steps[i], steps[i+1] = steps[i+1], steps[i]
		}
	}
	return Protocol{Steps: steps}, what
}

// TestLawS1: the sweep and the dense walk find the same blocking violations, on random
// cases with the built-in protocols and with mutated ones.
func TestLawS1(t *testing.T) {
	const seed = 401
	cases := 90
	if os.Getenv("BACKROAD_LONG") != "" {
		cases = 3000
	}
	r := rand.New(rand.NewPCG(seed, 0))
	broken := 0
	for i := range cases {
		c := randomCase(r)
		what := "as built in"
		if i%3 != 0 {
			c.Protocol, what = mutate(r, c.Protocol)
		}
		got, want := swept(t, c), walkAll(c)
		if len(want) > 0 {
			broken++
		}
		if d := difference(got, want); d != "" {
			t.Fatalf("seed %d, case %d, %s over %s, %s channel, %s:\n%s", seed, i, c.Setup.Finish, c.Setup.TreatOver, c.Channel, what, d)
		}
	}
	if broken < cases/6 {
		t.Errorf("only %d of %d cases break a rule: the test says little", broken, cases)
	}
}

func difference(got, want map[string]bool) string {
	var lines []string
	for k := range got {
		if !want[k] {
			lines = append(lines, "only the sweep finds "+k)
		}
	}
	for k := range want {
		if !got[k] {
			lines = append(lines, "only the dense walk finds "+k)
		}
	}
	slices.Sort(lines)
	return strings.Join(lines, "\n")
}
