package renal

import "backroad/internal/source"

// Ratio is a contrast-to-function ratio. Its type names what is divided by what.
type Ratio[N, D ~float64] struct {
	Numerator   N
	Denominator D
}

// Value is the number.
func (r Ratio[N, D]) Value() float64 { return float64(r.Numerator) / float64(r.Denominator) }

// Over makes a ratio; it is false where the function is unknown or 0.
func Over[N, D ~float64](n N, d Figure[D]) (Ratio[N, D], bool) {
	if !d.Known || d.Value <= 0 {
		return Ratio[N, D]{}, false
	}
	return Ratio[N, D]{n, d.Value}, true
}

// Threshold is a published line of one kind of ratio.
type Threshold[N, D ~float64] struct {
	Line   float64
	At     bool // the line itself counts: >= rather than >
	Effect string
	In     string // in whom
	Below  D      // applies only to a function below this; 0: to all
	Source source.Source
}

// Applies reports whether the paper had patients with such a function.
func (t Threshold[N, D]) Applies(d D) bool { return t.Below == 0 || d < t.Below }

// Crossed reports whether a ratio is past the line.
func (t Threshold[N, D]) Crossed(r Ratio[N, D]) bool {
	v := r.Value()
	if t.At {
		return reaches(v, t.Line)
	}
	return v > t.Line
}

// Amount is the numerator at which the line lies for a function.
func (t Threshold[N, D]) Amount(d D) N { return N(t.Line * float64(d)) }

// GramsOf is the iodine in a volume of contrast.
func GramsOf(v Volume, s Strength) Iodine {
	return Iodine(float64(v) * float64(s) / milligramsPerGram)
}

// VolumeOf is the volume that holds so much iodine.
func VolumeOf(g Iodine, s Strength) Volume {
	return Volume(float64(g) * milligramsPerGram / float64(s))
}

const milligramsPerGram = 1000
