package gauss

// Update takes in one reading: f was observed, with an independent Gaussian error of
// deviation sd, which may be 0. A reading of what is already known exactly teaches
// nothing and changes nothing, whether it agrees or not: ask Deviations first.
//
// The method is that of "A new approach to linear filtering and prediction problems",
// J Basic Eng 1960, DOI 10.1115/1.3662552, with the covariance in the form of "Filtering
// for stochastic processes with applications to guidance" (book, 1968; from memory):
//
//	P' = (I - g K') P (I - g K')' + g sd² g',   g = P K / (K'PK + sd²)
//
// which is a sum of two positive semidefinite matrices and so stays one under rounding,
// as the shorter (I - g K') P does not.
func (b *Belief) Update(f Form, observed, sd float64) {
	v := b.spread(&f)
	if v == 0 {
		return
	}
	h := b.with(&f)
	off, total := observed-b.Mean(&f), v+sd*sd
	var gain Vec
	for i := range h {
		gain[i] = h[i] / total
		b.mean[i] += gain[i] * off
	}
	if i, alone := b.only(&f); alone && b.full == nil {
		b.variance[i] *= sd * sd / total
		return
	}
	b.absorb(&f, &h, &gain, sd*sd)
}

// with gives the covariance of each basis variable with f: P K.
func (b *Belief) with(f *Form) (h Vec) {
	if b.full == nil {
		for i, v := range b.variance {
			h[i] = v * f.K[i]
		}
		return h
	}
	for i := range h {
		h[i] = dot(&b.full[i], &f.K)
	}
	return h
}

func dot(a, b *Vec) (sum float64) {
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}

// only finds the one uncertain variable that f depends on, if it is one.
func (b *Belief) only(f *Form) (which int, alone bool) {
	for i, k := range f.K {
		if k == 0 || b.variance[i] == 0 {
			continue
		}
		if alone {
			return 0, false
		}
		which, alone = i, true
	}
	return which, alone
}

// absorb replaces the covariance by that after a reading; h = P K.
func (b *Belief) absorb(f *Form, h, gain *Vec, noise float64) {
	p := b.covariance()
	for i := range p {
		if gain[i] == 0 {
			continue // not correlated with f
		}
		for j := range p[i] {
			p[i][j] -= gain[i] * h[j]
		}
		rest := dot(&p[i], &f.K) - noise*gain[i]
		for j := range p[i] {
			p[i][j] -= rest * gain[j]
		}
	}
	p.tidy(&b.variance)
	for i := range p {
		b.variance[i] = p[i][i]
	}
	b.full = &p
}

// covariance is a copy of the covariance, written out.
func (b *Belief) covariance() (p matrix) {
	if b.full != nil {
		return *b.full
	}
	for i, v := range b.variance {
		p[i][i] = v
	}
	return p
}

// tidy makes p symmetric to the bit, and exactly 0 for each variable of whose variance
// before the update nothing but rounding is left.
func (p *matrix) tidy(before *Vec) {
	for i := range p {
		for j := range i {
			mid := (p[i][j] + p[j][i]) / 2
			p[i][j], p[j][i] = mid, mid
		}
	}
	for i := range p {
		if p[i][i] > rounding*before[i] {
			continue
		}
		for j := range p {
			p[i][j], p[j][i] = 0, 0
		}
	}
}
