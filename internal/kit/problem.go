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
	request  *Request
	axis     *rail.Axis
	roles    []gear.Role
	place    map[gear.Role]int
	offer    [][]*gear.Item // by role; [nil] where the shelf has nothing
	whole    [][]*gear.Item // the same before anything is left out
	pinned   []bool
	stocks   []holding
	worths   [][]worths // by role, by candidate
	scarce   []bool     // roles whose items other roles could use up
	missing  int        // roles that the finish needs and nothing is there for
	shared   bool
	rows     []row
	touching [][]touch // by role: the rows that ask for it
	at       places
	spots    spots
	loaded   []*gear.Item // what lies on the axis now
	settled  []bool
	stale    bool               // the stations are older than what lies on the axis
	joints   map[string]float64 // by the key of pairs
	pairs    map[string]jointly // by sizes
	falls    *fallbacks
	needed   []gear.Role // the finish needs them
	needs    []bool      // the same, by role
	skip     []bool      // rows that are left out, nil: none
}

// holding is an item with the pins that take of it.
type holding struct {
	it   *gear.Item
	pins int
}

// worths are what one candidate is worth by itself. stock is its place in the stocks, -1 for none.
type worths struct {
	french, prefer, loop int64
	stock                int
}

// branching is the order in which roles are filled: what most rows ask for comes first.
var branching = [...]gear.Role{gear.AntegradeGuide, gear.DonorGuide, gear.RetroMicrocatheter, gear.ExtensionRole,
	gear.TrapBalloon, gear.CrossingWire, gear.LongWire, gear.SnareRole, gear.AntegradeMicrocatheter, gear.DualLumenRole,
	gear.TreatDevice, gear.DonorWire, gear.ImagingRole, gear.CoveredStentRole, gear.CoilRole}

// newProblem compiles a request. only restricts roles to some of their items; pruning
// leaves out what is dominated.
func newProblem(r *Request, only gearLists, pruning bool) *problem {
	p := &problem{request: r, axis: rail.NewAxis(r.Setup), place: map[gear.Role]int{}, shared: r.Setup.Access.Antegrade.Shared,
		at: placesOf(orderOf(r.Order)), joints: map[string]float64{}, pairs: map[string]jointly{}, needed: rail.Roles(r.Setup.Finish, r.Setup.TreatOver)}
	p.spots = spotsOf(p.at)
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
	for i, role := range p.roles {
		p.enrol(i, role, lists[role])
	}
	for i, role := range p.roles {
		if _, restricted := only[role]; pruning && !p.pinned[i] && !restricted && len(p.offer[i]) > 1 {
			p.offer[i] = p.prune(i)
		}
	}
	p.weighItems()
	p.loaded, p.settled = make([]*gear.Item, len(p.roles)), make([]bool, len(p.roles))
	p.compile()
	return p
}

// enrol takes up a role with its candidates.
func (p *problem) enrol(i int, role gear.Role, items []*gear.Item) {
	_, pinned := p.request.Pins[role]
	p.place[role] = i
	p.offer, p.whole, p.pinned = append(p.offer, items), append(p.whole, items), append(p.pinned, pinned)
	p.needs, p.scarce = append(p.needs, slices.Contains(p.needed, role)), append(p.scarce, p.isScarce(role, pinned, items))
	if items[0] == nil && p.needs[i] {
		p.missing++
	}
}

// weighItems works out once what each candidate is worth, and lists what there is of it.
func (p *problem) weighItems() {
	at := map[*gear.Item]int{nil: -1}
	for i, role := range p.roles {
		list := make([]worths, len(p.offer[i]))
		for n, it := range p.offer[i] {
			if _, seen := at[it]; !seen {
				at[it] = len(p.stocks)
				p.stocks = append(p.stocks, holding{it, p.pinsOf(it)})
			}
			list[n].stock = at[it]
			if it == nil {
				continue
			}
			list[n].prefer = preferOf(it)
			switch role {
			case gear.DonorGuide, gear.AntegradeGuide:
				list[n].french = frenchOf(it)
			case gear.SnareRole:
				list[n].loop = loopOf(it)
			}
		}
		p.worths = append(p.worths, list)
	}
}

// pinsOf counts the roles that an item is pinned in.
func (p *problem) pinsOf(it *gear.Item) (n int) {
	for i := range p.roles {
		if p.pinned[i] && p.whole[i][0] == it {
			n++
		}
	}
	return n
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

// compete reports whether some item could play both of two roles.
func compete(a, b gear.Role) bool {
	mine, _ := gear.NeedsOf(a)
	theirs, _ := gear.NeedsOf(b)
	overlap := slices.ContainsFunc(mine.Classes, func(c gear.Class) bool { return slices.Contains(theirs.Classes, c) })
	return overlap && (mine.Use == "" || theirs.Use == "" || mine.Use == theirs.Use)
}

// sharing is how many roles of the problem could take an item that a role is offered.
func (p *problem) sharing(role gear.Role) (n int) {
	for _, other := range p.roles {
		if compete(role, other) {
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
func (p *problem) uses(pick []int, it *gear.Item) (n int) {
	for i := range p.roles {
		if p.item(pick, i) == it {
			n++
		}
	}
	return n
}

// inStock reports whether a pick takes no more of an item than is on hand; a pin is
// taken as it is.
func (p *problem) inStock(pick []int, role int) bool {
	it := p.item(pick, role)
	if it == nil || p.pinned[role] {
		return true
	}
	return p.uses(pick, it) <= it.OnHand
}

// sums are what the picked items are worth together, and what open roles can still add
// at best.
type sums struct{ french, prefer, loop, last int64 }

// sumsOf adds up a whole pick.
func (p *problem) sumsOf(pick []int) (s sums) {
	for i, n := range pick {
		if n < 0 {
			continue
		}
		w := &p.worths[i][n]
		s.french, s.prefer, s.loop = s.french+w.french, s.prefer+w.prefer, s.loop+w.loop
		if it := p.item(pick, i); it != nil && p.firstUse(pick, i, it) && p.uses(pick, it) >= it.OnHand {
			s.last++
		}
	}
	return s
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
