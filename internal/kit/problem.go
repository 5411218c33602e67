package kit

import (
	"cmp"
	"slices"

	"backroad/internal/gear"
	"backroad/internal/rail"
	"backroad/internal/unit"
)

// problem is one request made ready for the search: the roles in the order in which
// they are filled, the candidates for each, and the rows.
type problem struct {
	request          *Request
	axis             *rail.Axis
	roles            []gear.Role
	place            map[gear.Role]int
	offer            [][]*gear.Item // by role; [nil] where the shelf has nothing
	pinned           []bool
	bests            []bestUnary // by role: the best that its candidates have, level by level
	scarce           []bool      // roles whose items other roles could use up
	missing          int         // roles that the finish needs and nothing is there for
	shared           bool
	rows             []row
	touching, others [][]int // by role: the rows that ask for it, and those that do not
	at               places
	loaded           []*gear.Item // what lies on the axis now
	settled          []bool
	stale            bool // the stations are older than what lies on the axis
	joints           map[string]float64
	falls            *fallbacks
	needed           []gear.Role // the finish needs them
	skip             []bool      // rows that are left out, nil: none
}

// branching is the order in which roles are filled: what most rows ask for comes first.
var branching = [...]gear.Role{gear.AntegradeGuide, gear.DonorGuide, gear.RetroMicrocatheter, gear.ExtensionRole,
	gear.TrapBalloon, gear.CrossingWire, gear.LongWire, gear.SnareRole, gear.AntegradeMicrocatheter, gear.DualLumenRole,
	gear.TreatDevice, gear.DonorWire, gear.ImagingRole, gear.CoveredStentRole, gear.CoilRole}

// newProblem compiles a request. only restricts roles to some of their items; pruning
// leaves out what is dominated.
func newProblem(r *Request, only gearLists, pruning bool) *problem {
	p := &problem{request: r, axis: rail.NewAxis(r.Setup), place: map[gear.Role]int{}, shared: r.Setup.Access.Antegrade.Shared,
		at: placesOf(orderOf(r.Order)), joints: map[string]float64{}}
	wanted := rolesOf(r)
	for _, role := range branching {
		if slices.Contains(wanted, role) && !(p.shared && role == gear.AntegradeGuide) {
			p.roles = append(p.roles, role)
		}
	}
	lists := gearLists{}
	for _, role := range p.roles {
		lists[role] = candidatesOf(r, role, only)
	}
	p.order(lists)
	p.needed = rail.Roles(r.Setup.Finish, r.Setup.TreatOver)
	for i, role := range p.roles {
		p.place[role] = i
		_, pinned := r.Pins[role]
		items := lists[role]
		if _, restricted := only[role]; pruning && !pinned && !restricted && len(items) > 1 {
			items = prune(role, r.Setup.Finish, p.shared, p.sharing(role), r.Pins, items)
		}
		if items[0] == nil && p.needs(role) {
			p.missing++
		}
		p.offer, p.pinned, p.scarce = append(p.offer, items), append(p.pinned, pinned), append(p.scarce, p.isScarce(role, pinned, items))
	}
	for i := range p.roles {
		p.bests = append(p.bests, bestOf(p.offer[i], p.scarce[i]))
	}
	p.loaded, p.settled = make([]*gear.Item, len(p.roles)), make([]bool, len(p.roles))
	p.compile()
	return p
}

// order puts pins first: a pin is taken as it is, and only what comes behind it is held
// against the stock. Then come roles with one candidate, so that stock is counted right
// from the start.
func (p *problem) order(lists gearLists) {
	choices := func(role gear.Role) int {
		if _, pinned := p.request.Pins[role]; pinned {
			return 0
		}
		return min(len(lists[role]), 2)
	}
	slices.SortStableFunc(p.roles, func(a, b gear.Role) int { return cmp.Compare(choices(a), choices(b)) })
}

// gearLists are items by role.
type gearLists map[gear.Role][]*gear.Item

// rolesOf are the roles of a request: those of the finish, a workhorse wire, and what
// is pinned beside them.
func rolesOf(r *Request) []gear.Role {
	roles := slices.Clone(rail.Roles(r.Setup.Finish, r.Setup.TreatOver))
	for _, role := range []gear.Role{gear.DonorWire, gear.ImagingRole, gear.CoveredStentRole, gear.CoilRole} {
		if _, pinned := r.Pins[role]; pinned || role == gear.DonorWire {
			roles = append(roles, role)
		}
	}
	return roles
}

// candidatesOf lists the items for a role by id: the pinned one alone, else all that
// the shelf offers, else a single nil.
func candidatesOf(r *Request, role gear.Role, only gearLists) []*gear.Item {
	if list, ok := only[role]; ok {
		return list
	}
	if id, ok := r.Pins[role]; ok {
		return []*gear.Item{r.Shelf.ByID(id)}
	}
	needs, _ := gear.NeedsOf(role)
	var found []*gear.Item
	for i := range r.Shelf.Items {
		if it := &r.Shelf.Items[i]; needs.Offers(it) {
			found = append(found, it)
		}
	}
	if len(found) == 0 {
		return []*gear.Item{nil}
	}
	slices.SortFunc(found, func(a, b *gear.Item) int { return cmp.Compare(a.ID, b.ID) })
	return found
}

// sharing is how many roles of the problem could take an item that a role is offered.
func (p *problem) sharing(role gear.Role) int {
	mine, _ := gear.NeedsOf(role)
	n := 0
	for _, other := range p.roles {
		theirs, _ := gear.NeedsOf(other)
		overlap := slices.ContainsFunc(mine.Classes, func(c gear.Class) bool { return slices.Contains(theirs.Classes, c) })
		if overlap && (mine.Use == "" || theirs.Use == "" || mine.Use == theirs.Use) {
			n++
		}
	}
	return n
}

// isScarce reports whether there are fewer items for a role than roles that could take
// them.
func (p *problem) isScarce(role gear.Role, pinned bool, items []*gear.Item) bool {
	sum := 0
	for _, it := range items {
		if it != nil {
			sum += it.OnHand
		}
	}
	for _, id := range p.request.Pins { // what is pinned elsewhere may be used up
		if slices.ContainsFunc(items, func(it *gear.Item) bool { return it != nil && it.ID == id }) {
			sum--
		}
	}
	return !pinned && items[0] != nil && sum < p.sharing(role)
}

// item is what a pick has in a role.
func (p *problem) item(pick []int, role int) *gear.Item {
	if pick[role] < 0 {
		return nil
	}
	return p.offer[role][pick[role]]
}

// kit is a pick as a kit.
func (p *problem) kit(pick []int) gear.Kit {
	k := gear.Kit{}
	for i, role := range p.roles {
		if it := p.item(pick, i); it != nil {
			k[role] = it
		}
	}
	if p.shared {
		if it := k[gear.DonorGuide]; it != nil {
			k[gear.AntegradeGuide] = it
		}
	}
	return k
}

// uses counts in how many roles a pick has an item.
func (p *problem) uses(pick []int, it *gear.Item) (all, free int) {
	for i := range p.roles {
		if p.item(pick, i) == it {
			all++
			if !p.pinned[i] {
				free++
			}
		}
	}
	return all, free
}

// inStock reports whether a pick takes no more of an item than is on hand; a pin is
// taken as it is.
func (p *problem) inStock(pick []int, role int) bool {
	it := p.item(pick, role)
	if it == nil || p.pinned[role] {
		return true
	}
	all, _ := p.uses(pick, it)
	return all <= it.OnHand
}

// unary gives the levels that look at items alone: what is picked, and for what is open
// the best there is.
func (p *problem) unary(s *score, pick []int) {
	var french, prefer, last, loop int64
	for i, role := range p.roles {
		guide := role == gear.DonorGuide || role == gear.AntegradeGuide
		if it := p.item(pick, i); pick[i] != open {
			if it == nil {
				continue
			}
			if guide {
				french += frenchOf(it)
			}
			prefer += preferOf(it)
			if role == gear.SnareRole {
				loop = loopOf(it)
			}
			if all, _ := p.uses(pick, it); all >= it.OnHand && p.firstUse(pick, i, it) {
				last++
			}
			continue
		}
		best := &p.bests[i]
		prefer += best.prefer
		if guide {
			french += best.french
		}
		if role == gear.SnareRole {
			loop = best.loop
		}
	}
	s[p.at[LevelAccess]], s[p.at[LevelPreference]], s[p.at[LevelLast]], s[p.at[LevelLoop]] = french, -prefer, last, -loop
}

// firstUse reports whether a role is the first that has an item.
func (p *problem) firstUse(pick []int, role int, it *gear.Item) bool {
	for i := range role {
		if p.item(pick, i) == it {
			return false
		}
	}
	return true
}

type bestUnary struct{ french, prefer, loop int64 }

// bestOf is the best that a role's candidates have, level by level; a role that may stay
// empty adds nothing to access.
func bestOf(items []*gear.Item, scarce bool) bestUnary {
	b := bestUnary{french: 1 << 40}
	for i, it := range items {
		if it == nil {
			return bestUnary{}
		}
		b.french = min(b.french, frenchOf(it))
		b.loop = max(b.loop, loopOf(it))
		if i == 0 || preferOf(it) > b.prefer {
			b.prefer = preferOf(it)
		}
	}
	if scarce {
		b.french, b.prefer = 0, max(b.prefer, 0)
	}
	return b
}

// frenchOf is a guide's size in micrometres, 0 where it is not known.
func frenchOf(it *gear.Item) int64 {
	if !it.French.Known() {
		return 0
	}
	return micrometres(it.French.Value)
}

func micrometres(l unit.Length) int64 { return int64(l*1000 + 0.5) }

// soonest is by how much one point of preference outweighs items that expire soon: more
// than a kit has items.
const soonest = 100

// preferOf is what an item adds to a kit's preference: its own points, and a little
// where it would else expire.
func preferOf(it *gear.Item) int64 {
	points := int64(it.Prefer) * soonest
	if it.Soon {
		points++
	}
	return points
}

// loopOf ranks snares: more loops, up to three, then the larger one.
func loopOf(it *gear.Item) int64 {
	return int64(min(it.Loops, 3))*1_000_000 + micrometres(it.LoopMost)
}
