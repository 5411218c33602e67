package gauss

import "testing"

// cases are what a plan looks like: a chain of two guides' valves and seats and five
// legs, with margins that are sums along it. Deviations in millimetres.
var cases = []struct {
	name  string
	exact bool
	p     problem
}{
	{"easy", true, chain(9, 9, 9, 9, 9, 9, 9, 9, 9)},
	{"one", true, chain(1.6, 9, 9, 9, 9)},
	{"rank1", true, repeats()},
	{"rank2", true, chain(1.6, 2, 9, 9)},
	{"rank4", false, chain(1.5, 2, 1, 2.5)},
	{"rank7", false, chain(2.5, 2, 3, 2, 2.5, 3, 2)},
}

// chain has a margin for each level: how many deviations its mean lies above 0. Margin i
// is the sum of the links from i on, every other one the negative of it.
func chain(levels ...float64) (p problem) {
	links := []float64{3, 3, 12, 18, 7, 4, 4, 3, 3}
	for i, level := range levels {
		c := make([]float64, len(links))
		for k := i % 7; k < len(links)-i%3; k++ {
			c[k] = links[k] * float64(1-2*(i%2))
		}
		p.coeff = append(p.coeff, c)
		p.mean = append(p.mean, level*p.sd(i))
	}
	return p
}

// repeats is three margins on one sum: with different room, and one from the other side.
func repeats() problem {
	p := chain(1.6, 2)
	p.coeff[1] = p.coeff[0]
	p.mean[1] = p.mean[0] + 1
	c := make([]float64, len(p.coeff[0]))
	for k, v := range p.coeff[0] {
		c[k] = -2 * v
	}
	return problem{append(p.mean, 90), append(p.coeff, c)}
}

func BenchmarkJoint(b *testing.B) {
	for _, c := range cases {
		b.Run(c.name, func(b *testing.B) {
			cov := c.p.cov()
			b.ReportAllocs()
			for b.Loop() {
				Joint(c.p.mean, cov)
			}
		})
	}
}

func BenchmarkUpdate(b *testing.B) {
	var mean, sd Vec
	for i := range 12 {
		mean[i], sd[i] = 50, 5
	}
	prior := Independent(mean, sd)
	f := Variable(0).Plus(Variable(3)).Minus(Variable(7))
	b.ReportAllocs()
	for b.Loop() {
		c := prior
		c.Update(f, 60, 5)
	}
}

func BenchmarkSD(b *testing.B) {
	var mean, sd Vec
	for i := range 12 {
		mean[i], sd[i] = 50, 5
	}
	f := Variable(0).Plus(Variable(3)).Minus(Variable(7))
	independent := Independent(mean, sd)
	correlated := independent
	correlated.Update(f, 60, 5)
	for name, belief := range map[string]*Belief{"independent": &independent, "correlated": &correlated} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				belief.SD(&f)
			}
		})
	}
}
