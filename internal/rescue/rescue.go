package rescue

import (
	"maps"
	"slices"

	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/rehearsal"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

// Need is what a bail-out asks for.
type Need string

// The needs.
const (
	CoveredStent Need = "covered-stent"
	Coil         Need = "coil"
	Balloon      Need = "balloon"
	SecondGuide  Need = "second-guide"
	Pericardial  Need = "pericardial"
)

// most is how many ids an answer names.
const most = 6

// Answer is what the shelf has for one need through one tube.
type Answer struct {
	Tube    gear.Role       // the way in; "" where there is no tube to ask
	Need    Need            //
	Verdict verdict.Verdict // as the tube stands: works, tight, fails; unknown where something is missing

	Fits    []string          // ids that fit, after ComeOut where that is not empty; the smallest first, at most six
	More    int               // how many more fit
	Spare   unit.Length       // bore left beside the first of them; of a coil, beside its microcatheter
	Through map[string]string // coil: the microcatheter that takes it
	Over    gear.Role         // the wire in the tube that it runs on, "" where it brings its own
	Wire    string            // id of the wire that it brings, "" where it brings none or any will do

	ComeOut []gear.Role // what must come out first
	Deflate []gear.Role // balloons to be deflated before anything else

	Missing []string // dimensions that are not known: of these, nothing can be said
	Mind    string   // what else must be so
	Why     string   // why nothing fits, or nothing can be said
}

// Contents is what lies in a tube at its tightest place.
type Contents struct {
	Tube gear.Role
	In   []rehearsal.Inside // the widest first; diameter 0 where it is not known
}

// Moment is a step, or consecutive steps with the same contents and answers.
type Moment struct {
	Steps   []int // counted from 1
	Title   string
	Tubes   []Contents
	Answers []Answer
}

// Table answers for every step of a rehearsed procedure. A step that was not rehearsed
// has no tubes, and only the answers that need none.
func Table(steps []rehearsal.Step, kit gear.Kit, shelf *gear.Shelf, rules *house.Rules) []Moment {
	t := newTable(kit, shelf, rules)
	var all []Moment
	for i := range steps {
		m := Moment{Steps: []int{i + 1}, Title: steps[i].Title, Tubes: t.contents(&steps[i]), Answers: t.answers(&steps[i])}
		if n := len(all); n > 0 && all[n-1].same(&m) {
			all[n-1].Steps = append(all[n-1].Steps, i+1)
			continue
		}
		all = append(all, m)
	}
	return all
}

// table is what is worked out once for all steps.
type table struct {
	kit   gear.Kit
	stock stock
	tight unit.Length
	packs packs
	rooms map[corner]room
}

func newTable(kit gear.Kit, shelf *gear.Shelf, rules *house.Rules) *table {
	return &table{kit: kit, stock: newStock(kit, shelf, rules), tight: rules.Length(house.LumenTight), packs: packs{}, rooms: map[corner]room{}}
}

// answers answers for one step.
func (t *table) answers(step *rehearsal.Step) []Answer {
	var list []Answer
	for _, w := range t.ways(step) {
		list = append(list, t.deviceAnswer(w, CoveredStent, &t.stock.stents), t.coilAnswer(w), t.deviceAnswer(w, Balloon, &t.stock.balloons))
	}
	if a, ok := t.throughAnswer(step); ok {
		list = append(list, a)
	}
	return append(list, t.guideAnswer(), Answer{Need: Pericardial, Verdict: verdict.Unknown, Why: "not on the shelf list: at hand?"})
}

// guideAnswer says whether there is a guide beyond those of the kit.
func (t *table) guideAnswer() Answer {
	a := Answer{Need: SecondGuide, Verdict: verdict.Fails, Why: "no guide is left on the shelf beside those of the plan"}
	if len(t.stock.guides) > 0 {
		a = Answer{Need: SecondGuide, Verdict: verdict.Works, Mind: "it needs an access of its own"}
		a.name(t.stock.guides)
	}
	return a
}

// name keeps the first ids and counts the others.
func (a *Answer) name(ids []string) {
	n := min(most, len(ids))
	a.Fits, a.More = slices.Clone(ids[:n]), len(ids)-n
}

func (m *Moment) same(o *Moment) bool {
	return slices.EqualFunc(m.Answers, o.Answers, sameAnswer) &&
		slices.EqualFunc(m.Tubes, o.Tubes, func(a, b Contents) bool { return a.Tube == b.Tube && slices.Equal(a.In, b.In) })
}

func sameAnswer(a, b Answer) bool {
	return a.Tube == b.Tube && a.Need == b.Need && a.Verdict == b.Verdict && a.More == b.More && a.Spare == b.Spare &&
		a.Over == b.Over && a.Wire == b.Wire && a.Mind == b.Mind && a.Why == b.Why &&
		slices.Equal(a.Fits, b.Fits) && maps.Equal(a.Through, b.Through) && slices.Equal(a.ComeOut, b.ComeOut) &&
		slices.Equal(a.Deflate, b.Deflate) && slices.Equal(a.Missing, b.Missing)
}
