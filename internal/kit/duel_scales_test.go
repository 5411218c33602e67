package kit

import "slices"

// scale says how large a level's figures can be, counted from 0 in whole steps.
type scale struct{ step, most int64 }

// scales are those of a model's levels, and the figure of each candidate on them. Loops
// become ranks, for only their order counts.
func (o *opinion) scales() (scales [oLevels]scale, unary [][]figures) {
	var loops []int64
	for i := range o.roles {
		unary = append(unary, nil)
		for c := range o.offer[i] {
			u := o.unaryOf(i, c)
			unary[i], loops = append(unary[i], u), append(loops, u[oLoop])
		}
	}
	slices.Sort(loops)
	loops = slices.Compact(loops)
	for i := range unary {
		for c := range unary[i] {
			unary[i][c][oLoop] = int64(slices.Index(loops, unary[i][c][oLoop]))
		}
	}
	for l := range scales {
		scales[l] = shrink(unary, l)
	}
	scales[oComplete].most = min(1, scales[oComplete].most)
	scales[oVerdict].most, scales[oLast].most = 3, int64(len(o.roles))
	for t := range o.rows {
		if o.rows[t].bail {
			scales[oBailouts].most++
		} else {
			scales[oFailures].most++
		}
	}
	return scales, unary
}

// shrink counts a level's figures from each role's least, in their greatest common step.
func shrink(unary [][]figures, l int) (s scale) {
	for i := range unary {
		low, high := unary[i][0][l], unary[i][0][l]
		for c := range unary[i] {
			low, high = min(low, unary[i][c][l]), max(high, unary[i][c][l])
		}
		if l == oComplete { // 0 and 1 are what they are
			low = 0
		}
		for c := range unary[i] {
			unary[i][c][l] -= low
			s.step = gcd(s.step, unary[i][c][l])
		}
		s.most += high - low
	}
	s.step = max(1, s.step)
	s.most /= s.step
	for i := range unary {
		for c := range unary[i] {
			unary[i][c][l] /= s.step
		}
	}
	return s
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// groups packs levels that follow each other into weighted sums no larger than a limit.
func groups(scales [oLevels]scale, limit int64) [][]int {
	var all [][]int
	size := limit + 1
	for l := range scales {
		if size*(scales[l].most+1) > limit {
			all, size = append(all, nil), 1
		}
		size *= scales[l].most + 1
		all[len(all)-1] = append(all[len(all)-1], l)
	}
	return all
}

// answer is a row's for a pick.
func (row *opinionRow) answer(pick []int) int64 {
	n := 0
	for d, dep := range row.deps {
		n = n*row.count[d] + row.size[d][pick[dep]]
	}
	return int64(row.worst[n])
}

// count adds a row's answer to figures.
func (f *figures) count(row *opinionRow, pick []int) {
	w := row.answer(pick)
	if row.bail {
		f[oBailouts] += w
		return
	}
	f[oVerdict] = max(f[oVerdict], w)
	f[oFailures] += w / 3
}

// tabled gives a pick's figures on the scales, by the tables: what a solver sees.
func (o *opinion) tabled(pick []int, unary [][]figures) (f figures) {
	for i, c := range pick {
		for l, v := range unary[i][c] {
			f[l] += v
		}
	}
	f[oComplete] = min(1, f[oComplete])
	f[oVerdict] = 3 * f[oComplete]
	for t := range o.rows {
		f.count(&o.rows[t], pick)
	}
	for _, h := range o.stock() {
		if h.stuck < h.it.OnHand && h.taken(pick)+h.stuck >= h.it.OnHand { // what the pins alone use up is the same for all
			f[oLast]++
		}
	}
	return f
}
