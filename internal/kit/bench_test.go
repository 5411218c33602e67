package kit

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"

	"backroad/internal/anatomy"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/rail"
	"backroad/internal/unit"
)

// catalogue draws a shelf of n items with the sizes that such gear comes in.
func catalogue(seed uint64, n int) *gear.Shelf {
	r := rand.New(rand.NewPCG(seed, 0))
	s := &gear.Shelf{}
	bores := map[float64][]float64{5: {1.42, 1.47}, 6: {1.68, 1.73, 1.8}, 7: {1.93, 1.98, 2.06}, 8: {2.18, 2.24, 2.31}}
	for i := range n {
		it := gear.Item{ID: fmt.Sprintf("I%04d", i), OnHand: 1 + r.IntN(5)}
		switch i % 12 {
		case 0, 1, 2:
			fr := pick(r, 5, 6, 6, 7, 7, 8)
			it.Class, it.French, it.Bore, it.Length = gear.Guide, known(fr/3), known(pick(r, bores[fr]...)), known(pick(r, 800, 850, 900, 1000, 1100))
		case 3:
			it.Class, it.Length, it.OuterTip, it.OuterShaft = gear.Microcatheter, known(pick(r, 1300, 1350, 1500, 1550)), known(pick(r, 0.43, 0.48)), known(pick(r, 0.65, 0.8, 0.87, 0.93, 0.97))
			it.Bore, it.TakesWire = known(pick(r, 0.38, 0.40, 0.42, 0.46)), known(0.3556)
		case 4:
			it.Class, it.Use, it.Length, it.Diameter = gear.Wire, gear.Crossing, known(pick(r, 1800, 1900)), known(pick(r, 0.3048, 0.3556))
		case 5:
			it.Class, it.Use, it.Length, it.Diameter, it.Soft = gear.Wire, gear.Externalisation, known(pick(r, 3000, 3300, 3500)), known(pick(r, 0.254, 0.33, 0.3556)), known(pick(r, 50, 80, 150))
		case 6:
			it.Class, it.Use, it.Length, it.Diameter = gear.Wire, gear.Workhorse, known(pick(r, 1800, 1900)), known(0.3556)
		case 7, 8:
			it.Class, it.Length, it.Inflated, it.Profile, it.Shaft, it.RX = gear.Balloon, known(pick(r, 10, 15, 20, 30)), known(pick(r, 1, 1.5, 2, 2.5, 3, 3.5)), known(pick(r, 0.45, 0.6, 0.7, 0.8, 0.9)), known(pick(r, 1350, 1400, 1440, 1450)), known(pick(r, 200, 250, 300))
		case 9:
			it.Class, it.Diameter, it.Length, it.Profile, it.Shaft, it.RX = []gear.Class{gear.Stent, gear.CoveredStent}[r.IntN(2)], known(pick(r, 2.5, 3, 3.5)), known(pick(r, 15, 28, 38)), known(pick(r, 0.95, 1.05, 1.15, 1.3)), known(pick(r, 1400, 1420, 1440)), known(pick(r, 200, 250))
		case 10:
			fr := pick(r, 6, 7, 8)
			it.Class, it.French, it.ForGuide, it.Tube = gear.Extension, known(fr/3), known(fr/3), known(pick(r, 200, 250, 400))
			it.Outer, it.Bore = known(map[float64]float64{6: 1.7, 7: 1.92, 8: 2.17}[fr]), known(map[float64]float64{6: 1.42, 7: 1.57, 8: 1.8}[fr])
		default:
			switch r.IntN(3) {
			case 0:
				it.Class, it.Length, it.Outer, it.LoopLeast, it.LoopMost, it.Loops = gear.Snare, known(1200), known(pick(r, 0.8, 1.0, 1.07)), 18, unit.Length(pick(r, 20, 30, 45)), 1+r.IntN(3)
			case 1:
				it.Class, it.Length, it.OuterTip, it.OuterShaft, it.RX = gear.DualLumen, known(pick(r, 1350, 1400, 1450)), known(0.5), known(pick(r, 0.95, 1.06)), known(pick(r, 200, 250))
			default:
				it.Class, it.Diameter, it.NeedsBore, it.Length = gear.Coil, known(pick(r, 0.25, 0.36)), known(pick(r, 0.36, 0.43, 0.53)), known(40)
			}
		}
		s.Items = append(s.Items, it)
	}
	return s
}

// threeByFour are the requests of three routes with four finishes each.
func threeByFour(shelf *gear.Shelf) []*Request {
	var list []*Request
	for _, legs := range [][]float64{{62, 68, 61, 26, 38}, {118, 174, 72, 26, 38}, {140, 40, 50, 30, 60}} {
		var setups []*rail.Setup
		for _, f := range anatomy.Finishes {
			s := &rail.Setup{Rules: house.Defaults(), Finish: f, TreatOver: anatomy.Rail}
			if f == anatomy.TipIn {
				s.TreatOver = anatomy.AntegradeWire
			}
			for i, mm := range legs {
				s.Legs[i] = rail.Leg{Length: unit.WithSD(unit.Length(mm), unit.Length(max(3, mm/12))), Basis: anatomy.Measured}
			}
			setups = append(setups, s)
		}
		for i, s := range setups {
			r := &Request{Setup: s, Shelf: shelf}
			for j, other := range setups {
				if i != j {
					r.Fallbacks = append(r.Fallbacks, other)
				}
			}
			list = append(list, r)
		}
	}
	return list
}

// BenchmarkExact chooses the kits of three routes with four finishes, by the size of the
// shelf.
func BenchmarkExact(b *testing.B) {
	for _, n := range []int{50, 100, 200, 400, 1000, 2500, 5000} {
		requests := threeByFour(catalogue(1, n))
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				for _, r := range requests {
					if _, err := NewExact().Choose(context.Background(), r); err != nil {
						b.Fatal(err)
					}
				}
			}
		})
	}
}
