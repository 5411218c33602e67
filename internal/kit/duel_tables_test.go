package kit

import (
	"fmt"
	"slices"
	"strings"
)

// tables writes a model for MiniZinc: r<role> is who plays a role, s<row>_<dep> the size
// that a row sees in him, g<row> the row's answer, tied to the sizes by a table. Gecode
// branches on the roles, the one in most trouble first.
func (o *opinion) tables(unary [][]figures, goal []weighted, floor int64, settled map[int]int64) string {
	var b strings.Builder
	b.WriteString("include \"table.mzn\";\n")
	var level [oLevels][]string
	var names []string
	for i := range o.roles {
		r := fmt.Sprintf("r%d", i)
		names = append(names, r)
		fmt.Fprintf(&b, "var 1..%d: %s;\n", len(o.offer[i]), r)
		for _, l := range []int{oLoop, oAccess, oPreference} {
			list := make([]int64, len(o.offer[i]))
			for c := range list {
				list[c] = unary[i][c][l]
			}
			if slices.Max(list) > 0 {
				level[l] = append(level[l], element(list, r))
			}
		}
	}
	grave := []string{fmt.Sprint(floor)}
	if lacks := o.lacking(); len(lacks) > 0 {
		fmt.Fprintf(&b, "var 0..1: lacks; constraint lacks = bool2int(%s);\n", strings.Join(lacks, " \\/ "))
		level[oComplete], grave = []string{"lacks"}, append(grave, "3*lacks")
	}
	o.stockTables(&b, level[:])
	for t := range o.rows {
		row := &o.rows[t]
		if slices.Max(row.worst) == 0 {
			continue
		}
		g := fmt.Sprintf("g%d", t)
		o.rowTable(&b, t, g)
		if row.bail {
			level[oBailouts] = append(level[oBailouts], g)
			continue
		}
		grave = append(grave, g)
		if slices.Max(row.worst) == 3 {
			level[oFailures] = append(level[oFailures], fmt.Sprintf("bool2int(%s = 3)", g))
		}
	}
	fmt.Fprintf(&b, "var 0..3: grave; constraint grave = max([%s]);\n", strings.Join(grave, ", "))
	level[oVerdict] = []string{"grave"}
	for l, value := range settled {
		if len(level[l]) > 0 {
			fmt.Fprintf(&b, "constraint %s <= %d;\n", strings.Join(level[l], " + "), value)
		}
	}
	whole := []string{"0"}
	for _, g := range goal {
		for _, x := range level[g.level] {
			whole = append(whole, fmt.Sprintf("%d*%s", g.k, x))
		}
	}
	all := strings.Join(names, ", ")
	fmt.Fprintf(&b, "solve :: int_search([%s], dom_w_deg, indomain_min) minimize %s;\n", all, strings.Join(whole, " + "))
	fmt.Fprintf(&b, "output [\"pick=\"] ++ [show(x) ++ \" \" | x in [%s]] ++ [\"\\n\"];\n", all)
	return b.String()
}

func element[T int | int64](list []T, index string) string {
	return fmt.Sprintf("%s[%s]", strings.ReplaceAll(fmt.Sprint(list), " ", ","), index)
}

// lacking are the conditions under which a role that the finish needs is empty.
func (o *opinion) lacking() (list []string) {
	for i := range o.roles {
		if none := slices.Index(o.offer[i], nil); none >= 0 && o.need[i] {
			list = append(list, fmt.Sprintf("r%d = %d", i, none+1))
		}
	}
	return list
}

func (o *opinion) stockTables(b *strings.Builder, level [][]string) {
	for _, h := range o.stock() {
		var uses []string
		for _, at := range h.at {
			uses = append(uses, fmt.Sprintf("bool2int(r%d = %d)", at[0], at[1]+1))
		}
		left := max(0, h.it.OnHand-h.stuck)
		all := strings.Join(uses, " + ")
		if len(uses) > left {
			fmt.Fprintf(b, "constraint %s <= %d;\n", all, left)
		}
		for _, at := range h.at {
			if none := slices.Index(o.offer[at[0]], nil); none >= 0 && left > 0 {
				fmt.Fprintf(b, "constraint r%d = %d -> %s >= %d;\n", at[0], none+1, all, left)
			}
		}
		if left > 0 && len(uses) >= left {
			level[oLast] = append(level[oLast], fmt.Sprintf("bool2int(%s >= %d)", all, left))
		}
	}
}

// rowTable ties a row's answer to the items of its roles.
func (o *opinion) rowTable(b *strings.Builder, t int, g string) {
	row := &o.rows[t]
	fmt.Fprintf(b, "var 0..3: %s;\n", g)
	if len(row.deps) == 0 {
		fmt.Fprintf(b, "constraint %s = %d;\n", g, row.worst[0])
		return
	}
	var vars, cells []string
	for d, dep := range row.deps {
		s := fmt.Sprintf("s%d_%d", t, d)
		vars = append(vars, s)
		fmt.Fprintf(b, "var 0..%d: %s; constraint %s = %s;\n", row.count[d]-1, s, s, element(row.size[d], fmt.Sprintf("r%d", dep)))
	}
	n := 0
	combos(row.count, func(at []int) {
		for _, s := range at {
			cells = append(cells, fmt.Sprint(s))
		}
		cells = append(cells, fmt.Sprint(row.worst[n]))
		n++
	})
	fmt.Fprintf(b, "constraint table([%s, %s], array2d(1..%d, 1..%d, [%s]));\n", strings.Join(vars, ", "), g, n, len(vars)+1, strings.Join(cells, ","))
}
