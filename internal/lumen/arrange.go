package lumen

import (
	"math"

	"backroad/internal/unit"
)

// Placed is a circle of an arrangement: its centre from the tube's centre, and its
// diameter, in millimetres.
type Placed struct {
	X, Y, Diameter unit.Length
}

// Arrange places circles of the given diameters as Enclosing packs them: the largest
// first, without overlap, all inside the diameter that it returns. Circles of diameter 0
// are left out. It gives nothing where Enclosing has no answer.
func Arrange(d ...unit.Length) ([]Placed, unit.Length) {
	if math.IsNaN(float64(Enclosing(d...))) {
		return nil, 0
	}
	sizes := ordered(d)
	if len(sizes) == 0 {
		return nil, 0
	}
	p := pack(sizes)
	list := make([]Placed, len(p.circles))
	for i, c := range p.circles {
		list[i] = Placed{unit.Length(c.x), unit.Length(c.y), unit.Length(2 * c.r)}
	}
	return list, unit.Length(2 * p.bore)
}
