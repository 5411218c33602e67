package gauss

import (
	"math/rand/v2"
	"testing"
)

// at is the value of a form at a point.
func at(f Form, x Vec) float64 {
	sum := f.Const
	for i := range x {
		sum += f.K[i] * x[i]
	}
	return sum
}

// whole is a random form of small whole numbers, on which arithmetic is exact.
func whole(r *rand.Rand) Form {
	f := Constant(float64(r.IntN(41) - 20))
	for i := range f.K {
		f.K[i] = float64(r.IntN(7) - 3)
	}
	return f
}

// The operations on forms are those on their values at any point.
func TestForms(t *testing.T) {
	onSeeds(t, 20, func(t *testing.T, r *rand.Rand) {
		f, g, x := whole(r), whole(r), whole(r).K
		i, c := r.IntN(Dim), float64(r.IntN(9)-4)
		for _, row := range []struct {
			name      string
			got, want float64
		}{
			{"constant", at(Constant(c), x), c},
			{"variable", at(Variable(i), x), x[i]},
			{"plus", at(f.Plus(g), x), at(f, x) + at(g, x)},
			{"minus", at(f.Minus(g), x), at(f, x) - at(g, x)},
			{"shift", at(f.Shift(c), x), at(f, x) + c},
			{"times", at(f.Times(c), x), at(f, x) * c},
		} {
			if row.got != row.want {
				t.Errorf("%s: got %v, want %v", row.name, row.got, row.want)
			}
		}
	})
}

func TestFormsDoNotAllocate(t *testing.T) {
	b := Independent(Vec{1, 2, 3}, Vec{3, 2, 1})
	var sum float64
	count := testing.AllocsPerRun(100, func() {
		f := Variable(0).Plus(Variable(1)).Minus(Variable(2)).Times(2).Shift(1)
		sum += b.SD(&f) + b.Mean(&f) + b.Cov(&f, &f)
	})
	if count != 0 {
		t.Errorf("%v allocations", count)
	}
}
