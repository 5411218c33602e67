package scores

import (
	"math"
	"slices"

	"backroad/internal/tri"
	"backroad/internal/unit"
)

// item makes a line from what it can give, in any order.
func item(says string, options ...Points) Item {
	slices.Sort(options)
	options = slices.Compact(options)
	return Item{Says: says, Options: options, Most: options[len(options)-1], Open: len(options) > 1}
}

// settle narrows a line to what is known.
func (i Item) settle(options ...Points) Item {
	most := i.Most
	i = item(i.Says, options...)
	i.Most = most
	return i
}

// answer is a line that a yes gives points for.
func answer(says string, points Points, a tri.Answer) Item {
	i := item(says, 0, points)
	switch a {
	case tri.Yes:
		return i.settle(points)
	case tri.No:
		return i.settle(0)
	}
	return i
}

// step is a threshold on a quantity: from it on (or above it, where above is set) the
// line gives these points.
type step[Q ~float64] struct {
	at     Q
	points Points
	above  bool
}

func (s step[Q]) passed(v Q) bool { return v > s.at || v == s.at && !s.above }

// known reports whether a quantity can be compared at all.
func known[Q ~float64](m unit.Measured[Q]) bool {
	v := float64(m.Value)
	return m.Known() && v >= 0 && !math.IsInf(v, 1)
}

// measured is a line that depends on a quantity: base below the first step, then what
// the last step that is passed gives. Steps ascend.
func measured[Q ~float64](says string, m unit.Measured[Q], base Points, steps ...step[Q]) Item {
	options := []Points{base}
	for _, s := range steps {
		options = append(options, s.points)
	}
	i := item(says, options...)
	if !known(m) {
		return i
	}
	points := base
	for _, s := range steps {
		if s.passed(m.Value) {
			points = s.points
		}
	}
	i = i.settle(points)
	i.caution = edge(m, steps)
	return i
}

// fewDeviations is how many standard deviations round a value hold nearly all (95 %) of
// what it may be: a threshold within them is worth a word.
const fewDeviations = 2

// edge warns of a threshold that the value can't be told from.
func edge[Q ~float64](m unit.Measured[Q], steps []step[Q]) string {
	for _, s := range steps {
		switch {
		case m.Value == s.at:
			return "the value lies exactly on a threshold of the score"
		case m.SDGiven && math.Abs(float64(m.Value-s.at)) <= fewDeviations*float64(m.SD):
			return "the value lies within two of its deviations of a threshold: the points could fall either way"
		}
	}
	return ""
}
