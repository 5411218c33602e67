package rehearsal

import (
	"context"
	"math"
	"slices"

	"backroad/internal/anatomy"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/rail"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

// Case is what is rehearsed: a route that is set up with its gear, and how.
type Case struct {
	Setup    *rail.Setup
	Kit      gear.Kit
	Channel  anatomy.ChannelKind
	Protocol Protocol
}

// Result is the rehearsed procedure. Ran is false where an input is missing: nothing
// was rehearsed then, and Steps hold words without figures.
type Result struct {
	Ran      bool
	Steps    []Step
	Findings []verdict.Finding // of all steps, each with its step
}

// Run rehearses a protocol, action by action, each movement swept. It fails only when
// ctx is done.
func Run(ctx context.Context, c *Case) (*Result, error) {
	r := &runner{state: newState(c.Setup, c.Kit, c.Channel), rules: c.Setup.Rules}
	ran := r.ready()
	out := &Result{Ran: ran}
	for _, p := range c.Protocol.Steps {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		step := r.step(p, ran)
		out.Steps = append(out.Steps, step)
		out.Findings = append(out.Findings, step.Findings...)
	}
	if ran {
		out.Findings = append(out.Findings, r.atTheEnd(c.Protocol)...)
		out.Findings = append(out.Findings, r.givingUp(c.Protocol)...)
	}
	return out, nil
}

// runner goes through the steps.
type runner struct {
	*state
	rules *house.Rules
	out   *Step
	src   *ProtocolStep
	seen  map[string]bool // what a step has already said
}

// ready reports whether every station has a figure and the tools are there.
func (r *runner) ready() bool {
	for _, st := range rail.Stations {
		if math.IsNaN(r.station(st)) {
			return false
		}
	}
	for _, role := range rail.Roles(r.setup.Finish, r.setup.TreatOver) {
		it := r.kit[role]
		if it == nil && !(role == gear.AntegradeGuide && r.setup.Access.Antegrade.Shared) {
			return false
		}
		if it != nil && role != gear.ExtensionRole && !rail.EffectiveLength(it).Known() {
			return false
		}
	}
	return !math.IsNaN(r.name(rail.PlaceTreat))
}

// step rehearses one step.
func (r *runner) step(p ProtocolStep, ran bool) Step {
	s := Step{ID: p.ID, Title: p.Title, Watch: p.Watch, Who: p.Who, IfFails: p.IfFails}
	for _, id := range p.Holds {
		if rule, ok := rail.RuleNamed(id); ok {
			s.Holds = append(s.Holds, Hold{id, rule.Says})
		}
	}
	before := r.state
	if p.Optional {
		r.state = before.clone()
	}
	r.out, r.src, r.seen = &s, &p, map[string]bool{}
	for _, a := range p.Do {
		s.Does = append(s.Does, r.words(a))
		if a.as = p.As; ran {
			r.do(a)
		}
	}
	if p.Optional {
		r.state = before
		for i := range s.Findings {
			f := &s.Findings[i]
			f.Says = "only if this step is needed: " + f.Says
			if f.Severity == verdict.Blocks {
				f.Severity = verdict.Watch
			}
		}
	}
	return s
}

// do carries out one action.
func (r *runner) do(a Action) {
	b := r.body(a)
	if b == nil && bodies[gear.Role(a.What)] != (kindOf{}) {
		r.say(one("role", verdict.Blocks, "there is no %s for this", a.What))
		return
	}
	switch a.Verb {
	case Insert:
		r.insert(a, b)
	case PushTo:
		r.move(a, b, r.pos(a.To), Push)
	case PullTo:
		r.move(a, b, r.pos(a.To), Pull)
	case TakeOut, DrawOut:
		r.takeOut(a, b)
	case Feed:
		r.feed(a, b)
	default:
		r.act(a, b)
	}
}

// body finds or makes what an action is done to, nil for plain words.
func (r *runner) body(a Action) *body {
	name := gear.Role(a.What)
	if _, ok := bodies[name]; !ok {
		return nil
	}
	if r.by[name] == nil || (a.Verb == Insert && !r.by[name].in) {
		if b := r.make(name); b != nil {
			r.by[name] = b
		}
	}
	return r.by[name]
}

// insert brings a device or wire to its valve.
func (r *runner) insert(a Action, b *body) {
	b.in, b.tip = true, 0
	if !b.kind.donor {
		b.tip = r.antegradeValve()
	}
	if b.name == gear.LongWire {
		r.longUsed = true
	}
	switch {
	case b.kind.wire && a.With != "":
		through := r.by[a.With]
		if through == nil || !through.in {
			r.say(one("role", verdict.Blocks, "%s is not in, so that %s can't go through it", a.With, b.name))
			return
		}
		if through.name == gear.DualLumenRole {
			through.inner = b.name
		} else if through.rides != "" && through.rides != b.name && r.by[through.rides].in {
			r.say(one("lumen", verdict.Blocks, "%s already holds %s", through.name, through.rides))
		} else {
			through.rides = b.name
		}
	case a.With != "":
		b.rides = a.With
	}
	r.judge(a, nil, "")
}

// takeOut pulls something out at its own valve, or at the other side's hub.
func (r *runner) takeOut(a Action, b *body) {
	if !b.in {
		r.say(one("role", verdict.Blocks, "%s is not in", b.name))
		return
	}
	if b.name == gear.LongWire && b.external {
		r.removing = true
	}
	a.To = rail.Place{}
	to := 0.0
	if !b.kind.donor {
		to = r.antegradeValve()
	}
	already := (b.kind.donor && b.tip <= to) || (!b.kind.donor && b.tip >= to)
	switch {
	case a.Verb == DrawOut:
		r.judge(a, b, Pull)
	case !already:
		r.move(a, b, to, Pull)
	}
	b.in = false
	for _, o := range r.by {
		if o.rides == b.name {
			o.rides = ""
		}
		if o.inner == b.name {
			o.inner = ""
		}
	}
	b.trapped, b.snared, b.clipped, b.held, b.external = false, false, false, false, false
	r.afterwards()
	r.judge(a, nil, "")
}

// feed pushes a wire in on one side while it is drawn on the other.
func (r *runner) feed(a Action, b *body) {
	from, to := b.tip, r.pos(a.To)
	if a.Drawn.Name != "" {
		fed, drawn := to-from, r.pos(a.Drawn)-from
		if math.Abs(fed-drawn) > feedSlack {
			r.say(one("feed-draw", verdict.Confirm, "%.0f mm are fed and %.0f mm drawn: there is a loop", fed, drawn))
		}
	}
	r.move(a, b, to, Push)
}

// act carries out what does not move a tip.
func (r *runner) act(a Action, b *body) {
	switch a.Verb {
	case Inflate:
		b.inflated = true
		if w := r.by[a.With]; a.With != "" && w != nil {
			r.trap(b, w)
		}
		if a.What == string(gear.TreatDevice) {
			r.treated, r.stented = true, b.item.Class == gear.Stent
		}
	case Deflate:
		b.inflated = false
		for _, w := range r.by {
			if w.trapped {
				w.trapped, r.mustCheck = false, true
			}
		}
	case Clip:
		b.clipped = true
	case Unclip:
		b.clipped = false
	case HoldBoth:
		b.held = true
	case Release:
		b.held = false
	case Capture:
		r.capture(b, r.by[a.With])
	case CutEnd:
		r.cutEnd(b)
	case Seat:
		r.standsOff = false
	case StandOff:
		r.standsOff = true
	case Ease:
		r.eased = true
	case Inject:
		r.inject(a.What)
	case Dissect:
		r.dissected = true
	case Expand:
		r.expanded = true
	case Extend:
		b.length += clipOn
	case Dilate:
		if r.kind == anatomy.Epicardial || r.kind == anatomy.Atrial {
			r.say(one("no-dilate", verdict.Blocks, "an %s channel is dilated", r.kind))
		}
	case Check:
		if a.What == "pressure" {
			r.mustCheck = false
		}
	}
	r.judge(a, nil, "")
}

// clipOn is the length of a clip-on wire extension in mm. Most short wires take one
// (Interventional Cardiology: Principles and Practice, 3rd ed., 2022, guidewire
// section); the length is from memory and nothing shown rests on it.
const clipOn = 1500

// trap holds a wire with a balloon.
func (r *runner) trap(b, w *body) {
	near, far := b.tip, b.tip+float64(b.item.Length.Value)
	if b.kind.donor {
		near, far = b.tip-float64(b.item.Length.Value), b.tip
	}
	reached := w.in && w.tip >= far-rounding && w.hub() <= near
	if !reached {
		r.say(one("trap-state", verdict.Blocks, "the trapping balloon is inflated where %s does not lie", w.name))
		return
	}
	w.trapped, w.trapAt = true, near
}

// capture takes a wire with a snare, on its soft end.
func (r *runner) capture(w, snare *body) {
	if snare == nil || !snare.in {
		r.say(one("role", verdict.Blocks, "there is no snare in to capture with"))
		return
	}
	at := snare.tip
	switch {
	case w.name != gear.LongWire:
		r.say(one("soft-capture", verdict.Blocks, "the snare takes %s, not the long wire: a damaged tip costs the connection", w.name))
	case at > w.tip+rounding:
		r.say(one("soft-capture", verdict.Blocks, "the snare closes %.0f mm beyond the end of %s", at-w.tip, w.name))
	case math.IsNaN(w.softEnd):
		r.say(one("soft-capture", verdict.Confirm, "how long the soft end of %s is, nobody has said: capture it on the last centimetres", w.name))
	case at < w.tip-w.softEnd-rounding:
		r.say(one("soft-capture", verdict.Blocks, "the snare takes %s %.0f mm behind its end, on the stiff part: the soft end is %.0f mm", w.name, w.tip-at, w.softEnd))
	}
	w.snared, w.captured, w.foldAt = true, true, at
}

// cutEnd cuts the captured end off.
func (r *runner) cutEnd(w *body) {
	cut := r.mm(house.Cut)
	w.cut, w.snared = true, false
	w.length -= cut
	w.tip -= cut
}

// inject judges an injection on one side.
func (r *runner) inject(side string) {
	if side == "donor" {
		r.injections++
		return
	}
	if r.dissected && !r.treated {
		r.say(one("no-injection", verdict.Blocks, "contrast is injected into a dissected lumen"))
	}
	for _, name := range Bodies {
		if w := r.by[name]; w != nil && w.trapped {
			r.say(one("trap-state", verdict.Blocks, "contrast is injected on the side where a wire is trapped"))
		}
	}
}

// move sweeps a tip from where it is to a position. What an action names with it goes
// along; everything else stays where it is.
func (r *runner) move(a Action, b *body, to float64, way Way) {
	if math.IsNaN(to) {
		r.say(one("role", verdict.Blocks, "this plan has no place called %s", a.To))
		return
	}
	if !b.in {
		r.say(one("role", verdict.Blocks, "%s is not in", b.name))
		return
	}
	from := b.tip
	if wrongWay(b, from, to, way) {
		r.say(one("role", verdict.Blocks, "to reach %s, %s would have to be moved the other way (%s)", a.To, b.name, opposite(way)))
	}
	r.both(a, b, way)
	place := a.To.Words()
	if a.Verb == TakeOut {
		place = "out"
	}
	r.out.Moves = append(r.out.Moves, Move{Role: b.name, Item: b.item.ID, Way: way, From: unit.Length(from), To: unit.Length(to), Place: place})
	along := r.by[a.With]
	for _, x := range append(r.breakpoints(b, along, from, to), to) {
		r.shift(b, along, x)
		r.judge(a, b, way)
		r.afterwards()
	}
	r.mark(a, b)
}

// shift moves a tip to a position, and what goes along by as much.
func (r *runner) shift(b, along *body, to float64) {
	by := to - b.tip
	b.tip = to
	if b.captured && !b.cut {
		b.foldAt += by
	}
	if along != nil && along != b {
		along.tip += by
	}
}

func wrongWay(b *body, from, to float64, way Way) bool {
	deeper := to > from
	if !b.kind.donor {
		deeper = to < from
	}
	return math.Abs(to-from) > rounding && deeper != (way == Push)
}

func opposite(w Way) string {
	if w == Push {
		return "pull"
	}
	return "push"
}

// breakpoints are the positions at which some rule can change its mind while a tip
// goes from one place to another: every position at which the tip, the hub or tail of
// what moves comes level with a station, a place, a limit, or another body's tip or
// hub, and the middle between two of those. The rules are piecewise linear, so between
// them nothing changes.
func (r *runner) breakpoints(b, along *body, from, to float64) []float64 {
	low, high := min(from, to), max(from, to)
	cuts := []float64{low, high}
	offsets := []float64{0, b.tip - b.hub()}
	if along != nil && along != b {
		offsets = append(offsets, b.tip-along.tip, b.tip-along.hub())
	}
	add := func(level float64) {
		for _, off := range offsets {
			if x := level + off; x > low && x < high {
				cuts = append(cuts, x)
			}
		}
	}
	for _, level := range r.levels(b) {
		add(level)
	}
	slices.Sort(cuts)
	cuts = slices.Compact(cuts)
	points := make([]float64, 0, 2*len(cuts))
	for i, x := range cuts {
		if i > 0 {
			points = append(points, (cuts[i-1]+x)/2)
		}
		points = append(points, x)
	}
	if from > to {
		slices.Reverse(points)
	}
	return points
}

// levels are the positions that matter to a moving body.
func (r *runner) levels(b *body) []float64 {
	gap, clear := r.mm(house.Gap), r.mm(house.HubClear)
	list := []float64{0, -clear, r.antegradeTip(), r.antegradeHub(), r.antegradeValve(), r.antegradeValve() + clear,
		r.name(rail.PlaceLo), r.name(rail.PlaceLanding), r.station(rail.ChannelEntry), r.station(rail.ChannelExit),
		r.station(rail.DistalCap), r.station(rail.ProximalCap), r.station(rail.DonorTip)}
	mirror := r.antegradeValve()
	for _, t := range r.tubes() {
		list = append(list, t.from, t.to)
		if t.both {
			list = append(list, mirror-t.from, mirror-t.to)
		}
	}
	r.each(func(o *body) {
		if o == b {
			return
		}
		list = append(list, o.tip, o.hub(), o.tip-gap, o.tip+gap)
		for _, x := range []*body{o, b} { // where a wire segment begins to span a tip or an end
			list = append(list, o.tip-x.rx, o.tip+x.rx)
		}
		if r.setup.Access.Antegrade.Shared {
			list = append(list, mirror-o.tip, mirror-o.hub())
		}
		if o.trapped {
			list = append(list, o.trapAt)
		}
		if o.item.Length.Known() {
			list = append(list, o.tip+float64(o.item.Length.Value), o.tip-float64(o.item.Length.Value))
		}
	})
	return slices.DeleteFunc(list, func(x float64) bool { return math.IsNaN(x) || math.IsInf(x, 0) })
}

// afterwards lets the scene take note of what a position means.
func (r *runner) afterwards() {
	if mc := r.donorMC(); mc != nil && mc.tip >= r.name(rail.PlaceLo)-rounding {
		r.passed = true
	}
	if r.spans() {
		r.crossed = true
	}
	long := r.by[gear.LongWire]
	usesLong := slices.Contains(rail.Roles(r.setup.Finish, r.setup.TreatOver), gear.LongWire)
	cross := r.by[gear.CrossingWire]
	switch {
	case usesLong:
		r.released = r.longUsed && long != nil && !long.in
	case r.laid && cross != nil && !cross.in:
		r.released = true
	}
	if w := r.by[AntegradeWire]; w != nil && w.in && w.tip <= r.station(rail.DistalCap)+rounding {
		r.laid = true
	}
	if long != nil && long.in && !long.external && long.tip >= r.antegradeHub()-rounding {
		long.external = true
	}
	for _, name := range []gear.Role{gear.AntegradeMicrocatheter} { // a wire that comes into a waiting tip goes on inside it
		if mc := r.by[name]; mc != nil && mc.in && mc.rides == "" && cross != nil && cross.in && cross.tip > mc.tip {
			mc.rides = cross.name
		}
	}
}

// judge asks every positional rule at the present position.
func (r *runner) judge(a Action, b *body, way Way) {
	m := &moment{state: r.state, act: a, moved: b, way: way}
	for _, t := range r.tubes() {
		if l, ok := r.cross(t); ok {
			m.sections = append(m.sections, l)
			if len(l.In) > 1 {
				r.keepTightest(l)
			}
		}
	}
	for _, rule := range positional {
		r.say(rule(m))
	}
}

// keepTightest keeps of each tube the tightest cross-section of the step.
func (r *runner) keepTightest(l Lumen) {
	for i, old := range r.out.Lumens {
		if old.Tube == l.Tube {
			if l.Spare < old.Spare {
				r.out.Lumens[i] = l
			}
			return
		}
	}
	r.out.Lumens = append(r.out.Lumens, l)
}

// both: at every pull, and at every push over a wire that is trapped, clipped or held,
// a named person watches the other guide and both pressures.
func (r *runner) both(a Action, b *body, way Way) {
	w := r.by[b.rides]
	tense := w != nil && (w.trapped || w.clipped || w.held)
	if way == Push && !tense {
		return
	}
	if r.src.Who == "" || r.src.Watch == "" {
		r.say(one("both-guides", verdict.Watch, "%s: nobody is named who watches the other guide and both pressures", a))
	}
}

// say records findings, each once in a step: the first position at which it is true.
func (r *runner) say(found []finding) {
	for _, f := range found {
		key := f.rule + string(f.severity) + firstWords(f.says)
		if r.seen[key] {
			continue
		}
		r.seen[key] = true
		r.out.Findings = append(r.out.Findings, r.finding(f))
	}
}

// firstWords is a finding's text without its figures, so that it is said once.
func firstWords(says string) string {
	out := make([]rune, 0, len(says))
	for _, c := range says {
		if (c < '0' || c > '9') && c != '-' && c != '.' {
			out = append(out, c)
		}
	}
	return string(out)
}

func (r *runner) finding(f finding) verdict.Finding {
	rule, ok := rail.RuleNamed(f.rule)
	if !ok {
		panic("internal error: no rule " + f.rule)
	}
	out := verdict.Finding{Rule: f.rule, Severity: f.severity, Step: r.out.ID, Says: f.says, Source: rule.Source.String()}
	if h, ok := harms[f.rule]; ok {
		out.Remedy = []string{"it would: " + h.harm, "way out: " + h.out}
	}
	if s, ok := r.rules.Severities[f.rule]; ok && f.severity == rule.Severity {
		out.Severity, out.Source = s, out.Source+"; severity set by the house"
	}
	return out
}

// mark gives what shows on a shaft once it is where it should be.
func (r *runner) mark(a Action, b *body) {
	if b.kind.wire || a.To.Name == "" || b.name == gear.ExtensionRole {
		return
	}
	mm, sd, ok := r.axis.Shows(b.kind.role, b.kind.donor, a.To)
	if !ok {
		return
	}
	if !b.kind.donor && r.standsOff {
		mm += unit.Length(r.station(rail.AntegradeValve) - r.antegradeValve())
	}
	r.out.Marks = append(r.out.Marks, Mark{Role: b.name, Item: b.item.ID, Place: a.To.Words(), Shows: mm, SD: sd})
}

// words says an action as a person would.
func (r *runner) words(a Action) string { return sentence(a, r.kit) }

// required are the hold points that a procedure must hold somewhere.
var required = []string{"bailout-ready", "anticoagulated", "donor-look"}

// atTheEnd says what the whole lacks: a hold point that stands nowhere, or too late.
func (r *runner) atTheEnd(p Protocol) []verdict.Finding {
	var all []verdict.Finding
	for _, id := range required {
		i := slices.IndexFunc(p.Steps, func(s ProtocolStep) bool { return slices.Contains(s.Holds, id) })
		says := ""
		switch {
		case i < 0:
			says = "it stands before no step"
		case id == "bailout-ready" && i > first(p, gear.CrossingWire, rail.PlaceLead):
			says = "it stands only after the channel was wired"
		case id == "anticoagulated" && i > firstIn(p):
			says = "it stands only after gear was in the donor artery"
		default:
			continue
		}
		r.out = &Step{}
		f := r.finding(finding{id, verdict.HoldPoint, "hold point missing: " + says})
		all = append(all, f)
	}
	return all
}

// wirings are the places at which a crossing wire has entered what receives it.
var wirings = []string{rail.PlaceTrapEnd, rail.PlaceBerth, rail.PlaceTipDepth}

// givingUp asks the rule persist: a step that tries to wire a guide, an extension or an
// antegrade microcatheter says what comes next after too many tries.
func (r *runner) givingUp(p Protocol) []verdict.Finding {
	var all []verdict.Finding
	for _, s := range p.Steps {
		tries := slices.ContainsFunc(s.Do, func(a Action) bool {
			return a.Verb == PushTo && a.What == string(gear.CrossingWire) && slices.Contains(wirings, a.To.Name)
		})
		if tries && s.IfFails == "" {
			r.out = &Step{ID: s.ID}
			all = append(all, r.finding(finding{"persist", verdict.Watch, "nothing says which technique comes next after the agreed number of tries"}))
		}
	}
	return all
}

// first is the step in which a body is first moved to a place, or a large number.
func first(p Protocol, role gear.Role, place string) int {
	for i, s := range p.Steps {
		for _, a := range s.Do {
			if a.What == string(role) && a.Verb == PushTo && a.To.Name == place {
				return i
			}
		}
	}
	return math.MaxInt
}

// firstIn is the step in which anything is first pushed on the donor side.
func firstIn(p Protocol) int {
	for i, s := range p.Steps {
		for _, a := range s.Do {
			if a.Verb == PushTo && bodies[gear.Role(a.What)].donor {
				return i
			}
		}
	}
	return math.MaxInt
}
