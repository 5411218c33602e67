package kit

import (
	"cmp"
	"context"
	"slices"
	"sync"

	"backroad/internal/anatomy"
	"backroad/internal/gear"
	"backroad/internal/rail"
	"backroad/internal/verdict"
)

// fallbacks says for guides whether another finish is possible with them.
type fallbacks struct {
	problems []func() *problem
	answers  map[[2]*gear.Item]int64 // 0: possible, 1: not
}

// newFallbacks lists the other finishes; each is compiled when it is first asked for.
func newFallbacks(p *problem) *fallbacks {
	f := &fallbacks{answers: map[[2]*gear.Item]int64{}}
	setups := slices.Clone(p.request.Fallbacks) // the extension last: it takes longest to search
	slices.SortStableFunc(setups, func(a, b *rail.Setup) int { return cmp.Compare(weightOf(a), weightOf(b)) })
	for _, setup := range setups {
		f.problems = append(f.problems, sync.OnceValue(func() *problem { return p.other(setup) }))
	}
	return f
}

// other compiles another finish for the guides that a problem may choose.
func (p *problem) other(setup *rail.Setup) *problem {
	only := gearLists{}
	for i, role := range p.roles {
		if role == gear.DonorGuide || role == gear.AntegradeGuide {
			only[role] = p.offer[i]
		}
	}
	r := *p.request
	r.Setup, r.Fallbacks = setup, nil
	return newProblem(&r, only, true)
}

func weightOf(s *rail.Setup) int {
	if s.Finish == anatomy.ExtensionWiring {
		return 1
	}
	return 0
}

// guides are the guides of a pick; ok is false while one is open.
func (p *problem) guides(pick []int) (pair [2]*gear.Item, ok bool) {
	for n, role := range []gear.Role{gear.DonorGuide, gear.AntegradeGuide} {
		i, there := p.place[role]
		if !there {
			continue
		}
		if pick[i] == open {
			return pair, false
		}
		pair[n] = p.item(pick, i)
	}
	return pair, true
}

// known is the answer for a pick where it has been asked for, else the best there is.
func (f *fallbacks) known(p *problem, pick []int) int64 {
	pair, ok := p.guides(pick)
	if !ok {
		return 0
	}
	return f.answers[pair]
}

// ask works out whether another finish is possible with a pick's guides. A finish that
// is possible with a guide is possible with a shorter one of the same bore and size: so
// some answers follow from others.
func (f *fallbacks) ask(p *problem, pick []int) int64 {
	pair, ok := p.guides(pick)
	if !ok {
		return 1
	}
	if v, asked := f.answers[pair]; asked {
		return v
	}
	v, known := f.follows(pair)
	if !known {
		v = 1
		for _, other := range f.problems {
			if other().possible(pair) {
				v = 0
				break
			}
		}
	}
	f.answers[pair] = v
	return v
}

// follows looks for an answer that implies this one.
func (f *fallbacks) follows(pair [2]*gear.Item) (v int64, known bool) {
	for asked, v := range f.answers {
		if v == 0 && noLonger(pair, asked) || v == 1 && noLonger(asked, pair) {
			return v, true
		}
	}
	return 0, false
}

// noLonger reports whether guides differ from others in length only, and no guide is
// longer.
func noLonger(a, b [2]*gear.Item) bool {
	for i := range a {
		x, y := a[i], b[i]
		if x == y {
			continue
		}
		if x == nil || y == nil || x.Bore != y.Bore || x.French != y.French || !x.Length.Known() || !y.Length.Known() ||
			x.Length.SD != y.Length.SD || x.Length.Value > y.Length.Value {
			return false
		}
	}
	return true
}

// possible reports whether some kit with given guides does not fail.
func (p *problem) possible(pair [2]*gear.Item) bool {
	s := &search{problem: p, ctx: context.Background()}
	s.enough = func(v *score) bool { return v.verdict(p.at) <= verdict.Tight }
	s.forced = map[int]*gear.Item{}
	for n, role := range []gear.Role{gear.DonorGuide, gear.AntegradeGuide} {
		if i, there := p.place[role]; there {
			s.forced[i] = pair[n]
		}
	}
	if s.run() != nil || s.best == nil {
		return false
	}
	return s.score.verdict(p.at) <= verdict.Tight
}
