package kit

import (
	"fmt"
	"slices"
	"strings"
)

// linear is a model as a 0/1 linear program in the LP format.
type linear struct {
	*opinion
	unary [][]figures
	lines strings.Builder
	names []string // of variables
	level [oLevels][]term
	n     int
}

// term is one variable of a linear sum.
type term struct {
	k int64
	x string
}

func (p *linear) row(terms []term, than string, right int) {
	p.n++
	fmt.Fprintf(&p.lines, " c%d:%s %s %d\n", p.n, sum(terms), than, right)
}

func (p *linear) name(format string, args ...any) string {
	x := fmt.Sprintf(format, args...)
	p.names = append(p.names, x)
	return x
}

// linear writes the model. x<role>_<candidate> says who plays a role; v1, v2, v3 that the
// verdict is no better than tight, unknown, fails; f<row> that a row fails, b<row> that a
// bail-out does not fit; l<item> that the last of an item is taken.
func (o *opinion) linear(unary [][]figures, goal []weighted, floor int64, settled map[int]int64) string {
	p := &linear{opinion: o, unary: unary}
	v := [4]string{1: p.name("v1"), 2: p.name("v2"), 3: p.name("v3")}
	p.row([]term{{1, "v1"}, {-1, "v2"}}, ">=", 0)
	p.row([]term{{1, "v2"}, {-1, "v3"}}, ">=", 0)
	for n := range floor {
		p.row([]term{{1, v[n+1]}}, "=", 1)
	}
	p.level[oVerdict] = []term{{1, "v1"}, {1, "v2"}, {1, "v3"}}
	p.picks()
	p.stocks()
	for t := range o.rows {
		p.answers(t, v)
	}
	for l, value := range settled {
		if len(p.level[l]) > 0 {
			p.row(p.level[l], "<=", int(value))
		}
	}
	whole := []term{{0, "v1"}}
	for _, g := range goal {
		for _, t := range p.level[g.level] {
			whole = append(whole, term{g.k * t.k, t.x})
		}
	}
	return fmt.Sprintf("Minimize\n obj:%s\nSubject To\n%sBinary\n %s\nEnd\n", sum(whole), p.lines.String(), strings.Join(p.names, "\n "))
}

// answers: what a row says.
func (p *linear) answers(t int, v [4]string) {
	row := &p.opinion.rows[t]
	worst := slices.Max(row.worst)
	switch {
	case row.bail && worst == 1:
		b := p.name("b%d", t)
		p.level[oBailouts] = append(p.level[oBailouts], term{1, b})
		p.forbid(row, 1, b)
		return
	case row.bail:
		return
	case worst == 3:
		f := p.name("f%d", t)
		p.level[oFailures] = append(p.level[oFailures], term{1, f})
		p.forbid(row, 3, f)
		p.row([]term{{1, v[3]}, {-1, f}}, ">=", 0)
	}
	for grave := 1; grave <= 2; grave++ {
		if slices.Contains(row.worst, grave) {
			p.forbid(row, grave, v[grave])
		}
	}
}

// picks: one candidate for each role.
func (p *linear) picks() {
	lacks := ""
	for i := range p.roles {
		var one []term
		for c, it := range p.offer[i] {
			x := p.name("x%d_%d", i, c)
			one = append(one, term{1, x})
			for _, l := range []int{oLoop, oAccess, oPreference} {
				if k := p.unary[i][c][l]; k != 0 {
					p.level[l] = append(p.level[l], term{k, x})
				}
			}
			if it != nil || !p.need[i] {
				continue
			}
			if lacks == "" {
				lacks = p.name("lacks")
				p.level[oComplete] = []term{{1, lacks}}
				p.row([]term{{1, "v3"}, {-1, lacks}}, ">=", 0)
			}
			p.row([]term{{1, lacks}, {-1, x}}, ">=", 0)
		}
		p.row(one, "=", 1)
	}
}

// stocks: no more than is on hand, none empty while something is left, and whether the
// last is taken.
func (p *linear) stocks() {
	for n, h := range p.stock() {
		var uses []term
		for _, at := range h.at {
			uses = append(uses, term{1, fmt.Sprintf("x%d_%d", at[0], at[1])})
		}
		left := max(0, h.it.OnHand-h.stuck)
		if len(uses) > left {
			p.row(uses, "<=", left)
		}
		for _, at := range h.at {
			if none := slices.Index(p.offer[at[0]], nil); none >= 0 && left > 0 {
				p.row(append(slices.Clone(uses), term{int64(-left), fmt.Sprintf("x%d_%d", at[0], none)}), ">=", 0)
			}
		}
		if left > 0 && len(uses) >= left { // the last is taken where left of them are
			l := p.name("l%d", n)
			p.level[oLast] = append(p.level[oLast], term{1, l})
			p.row(append(uses, term{int64(-len(uses)), l}), "<=", left-1)
		}
	}
}

// forbid says that a combination at least so grave needs a flag. All sizes of the dep
// that has the most of them which are bad with one combination of the others stand in
// one row: a solver's bounds are better for it.
func (p *linear) forbid(row *opinionRow, grave int, flag string) {
	if len(row.deps) == 0 {
		p.row([]term{{1, flag}}, "=", 1)
		return
	}
	wide := slices.Index(row.count, slices.Max(row.count))
	bad := map[string][]bool{} // by the sizes of the others
	var order [][]int
	n := 0
	combos(row.count, func(at []int) {
		others := slices.Clone(at)
		others[wide] = 0
		key := fmt.Sprint(others)
		if bad[key] == nil {
			bad[key] = make([]bool, row.count[wide])
			order = append(order, others)
		}
		bad[key][at[wide]] = row.worst[n] >= grave
		n++
	})
	for _, others := range order {
		list := bad[fmt.Sprint(others)]
		if !slices.Contains(list, true) {
			continue
		}
		var terms []term
		for d, dep := range row.deps {
			for c := range p.offer[dep] {
				if s := row.size[d][c]; d == wide && list[s] || d != wide && s == others[d] {
					terms = append(terms, term{1, fmt.Sprintf("x%d_%d", dep, c)})
				}
			}
		}
		p.row(append(terms, term{-1, flag}), "<=", len(row.deps)-1)
	}
}

// sum writes a linear sum, each variable once, in lines that an LP reader bears.
func sum(terms []term) string {
	var once []term
	place := map[string]int{}
	for _, t := range terms {
		n, ok := place[t.x]
		if !ok {
			n = len(once)
			place[t.x], once = n, append(once, term{0, t.x})
		}
		once[n].k += t.k
	}
	var b strings.Builder
	for i, t := range once {
		if t.k < 0 {
			fmt.Fprintf(&b, " - %d %s", -t.k, t.x)
		} else {
			fmt.Fprintf(&b, " + %d %s", t.k, t.x)
		}
		if i%8 == 7 {
			b.WriteString("\n ")
		}
	}
	return b.String()
}
