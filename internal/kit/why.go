package kit

import (
	"context"
	"fmt"
	"slices"

	"backroad/internal/gear"
)

// Why says why a kit was chosen: what it is worth level by level, which items would
// have done as well, and which kits come next and lose where.
type Why struct {
	Levels  []Worth
	Equal   []Equal
	Runners []Runner
}

// Worth is one level of a kit's worth in words.
type Worth struct {
	Level Level
	Says  string
}

// Equal lists the items of the shelf that would do as well in a role: the choice among
// them is arbitrary, and the user's.
type Equal struct {
	Role  gear.Role
	Items []string // ids, the chosen one among them
}

// Runner is the best kit that has an item of another size in one role.
type Runner struct {
	Role  gear.Role
	Item  string // the other item
	Kit   gear.Kit
	Loses Level // the first level at which it is worse; "" where it is equal in all
	Here  string
	There string
}

// mostRunners is how many runners-up are shown.
const mostRunners = 5

// runnerRoles are the roles in which another size is more than trivia.
var runnerRoles = []gear.Role{gear.DonorGuide, gear.AntegradeGuide, gear.RetroMicrocatheter, gear.LongWire, gear.ExtensionRole,
	gear.SnareRole, gear.AntegradeMicrocatheter, gear.CrossingWire, gear.TrapBalloon}

// Explain works out why the exact chooser takes a kit. It fails only when ctx is done.
func Explain(ctx context.Context, r *Request, c Choice) (*Why, error) {
	w := &Why{}
	order := orderOf(r.Order)
	for i, l := range order[:levels-2] {
		if says := words(l, c.score[i]); says != "" && !(l == LevelFailures && c.score[i] == 0) {
			w.Levels = append(w.Levels, Worth{l, says})
		}
	}
	if len(c.Missing) > 0 {
		return w, nil
	}
	w.Equal = equals(r, c)
	runners, err := runners(ctx, r, c)
	w.Runners = runners
	return w, err
}

// words says a level's figure.
func words(l Level, v int64) string {
	switch l {
	case LevelComplete:
		return ""
	case LevelVerdict:
		return verdictOf(v).String()
	case LevelProbability:
		return fmt.Sprintf("%.3f", float64(1000-v)/1000)
	case LevelFailures:
		return fmt.Sprintf("%d margins fail", v)
	case LevelLoop:
		if v == 0 {
			return ""
		}
		return fmt.Sprintf("%d loops, up to %.0f mm", -v/1_000_000, float64(-v%1_000_000)/1000)
	case LevelFallback:
		return map[bool]string{true: "another finish is possible with the same guides", false: "no other finish is possible with the same guides"}[v == 0]
	case LevelBailouts:
		return fmt.Sprintf("%d of %d kinds of bail-out fit", -v, len(bailKinds))
	case LevelAccess:
		return fmt.Sprintf("guides of %.0f Fr together", float64(v)*3/1000)
	case LevelLast:
		switch v {
		case 0:
			return "takes the last piece of nothing"
		case 1:
			return "takes the last piece of one item"
		}
		return fmt.Sprintf("takes the last pieces of %d items", v)
	}
	text := fmt.Sprintf("%d points of preference", -v/soonest)
	if n := -v % soonest; n > 0 {
		text += fmt.Sprintf(", %d items that expire soon", n)
	}
	return text
}

// fixedTo restricts every role of a kit to its item but one.
func fixedTo(k gear.Kit, but gear.Role) gearLists {
	only := gearLists{}
	for role, it := range k {
		if role != but {
			only[role] = []*gear.Item{it}
		}
	}
	return only
}

// equals finds for each role the items that would do as well.
func equals(r *Request, c Choice) []Equal {
	var list []Equal
	for _, role := range gear.Roles {
		it := c.Kit[role]
		if _, pinned := r.Pins[role]; pinned || it == nil {
			continue
		}
		p := newProblem(r, fixedTo(c.Kit, role), false)
		i, ok := p.place[role]
		if !ok || len(p.offer[i]) < 2 {
			continue
		}
		if len(r.Fallbacks) > 0 {
			p.falls = newFallbacks(p)
		}
		if ids := p.asGood(i, &c.score); len(ids) > 1 {
			list = append(list, Equal{role, ids})
		}
	}
	return list
}

// asGood lists the candidates of a role that are worth a score, the tie-breaks apart;
// every other role has one candidate.
func (p *problem) asGood(role int, want *score) []string {
	pick := make([]int, len(p.roles))
	var ids []string
	for n, it := range p.offer[role] {
		if pick[role] = n; !p.inStock(pick, role) {
			continue
		}
		b := p.bound(pick)
		if loses(&b, want) < levels-2 && b.compare(want) > 0 {
			continue
		}
		if v := p.exact(pick, b); loses(&v, want) >= levels-2 {
			ids = append(ids, it.ID)
		}
	}
	return ids
}

// runners finds for each size of each main role that was not chosen the best kit with
// it, and keeps the best of those.
func runners(ctx context.Context, r *Request, c Choice) ([]Runner, error) {
	type found struct {
		Runner
		score score
	}
	var all []found
	for _, role := range runnerRoles {
		it := c.Kit[role]
		if _, pinned := r.Pins[role]; pinned || it == nil {
			continue
		}
		p := newProblem(r, gearLists{role: sizesBut(candidatesOf(r, role, nil), it)}, true)
		i, ok := p.place[role]
		if !ok || p.offer[i][0] == nil {
			continue
		}
		if len(r.Fallbacks) > 0 {
			p.falls = newFallbacks(p)
		}
		for _, other := range slices.Clone(p.offer[i]) {
			s := &search{problem: p, ctx: ctx, forced: map[int]*gear.Item{i: other}}
			if len(all) == mostRunners {
				s.limit = &all[mostRunners-1].score
			}
			if err := s.run(); err != nil {
				return nil, err
			}
			if s.best == nil || s.lacks(s.best) {
				continue
			}
			all = append(all, found{Runner{Role: role, Item: other.ID, Kit: s.kit(s.best)}, s.score})
			slices.SortStableFunc(all, func(a, b found) int { return a.score.compare(&b.score) })
			all = all[:min(len(all), mostRunners)]
		}
	}
	var list []Runner
	order := orderOf(r.Order)
	for _, f := range all {
		if at := loses(&c.score, &f.score); at < levels-2 {
			f.Loses, f.Here, f.There = order[at], words(order[at], c.score[at]), words(order[at], f.score[at])
		}
		list = append(list, f.Runner)
	}
	return list, nil
}

// sizesBut keeps one item of each size that is not the chosen one's: the one that is
// preferred, has more on hand, or comes first by id. [nil] where there is no other size.
func sizesBut(items []*gear.Item, chosen *gear.Item) []*gear.Item {
	type size struct{ a, b any }
	sizeOf := func(it *gear.Item) size { return size{lengthsOf(it), boresOf(it)} }
	at := map[size]int{}
	var kept []*gear.Item
	for _, it := range items {
		if it == nil || sizeOf(it) == sizeOf(chosen) {
			continue
		}
		i, seen := at[sizeOf(it)]
		switch {
		case !seen:
			at[sizeOf(it)] = len(kept)
			kept = append(kept, it)
		case preferOf(it) > preferOf(kept[i]) || preferOf(it) == preferOf(kept[i]) && it.OnHand > kept[i].OnHand:
			kept[i] = it
		}
	}
	if len(kept) == 0 {
		return []*gear.Item{nil}
	}
	return kept
}
