package rescue

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/unit"
)

// BenchmarkTable is the whole table of one plan on a shelf of 400 items, for each course.
// Sizes come in steps of 0.05 mm, as on a real shelf many items share theirs; with a size
// of its own for every item (exact) there is the most to pack.
func BenchmarkTable(b *testing.B) {
	for i, c := range courses {
		kit := fullKit(1.9, 1.8)
		steps := rehearse(b, c, kit)
		for _, exact := range []bool{false, true} {
			shelf := shelfOf(kit, randomItems(rand.New(rand.NewPCG(uint64(i), 1)), 400-len(kit))...)
			for j := range shelf.Items {
				if it := &shelf.Items[j]; !exact && it.ID[0] == 'X' {
					stepped(&it.Profile, &it.ShaftOuter, &it.OuterTip, &it.OuterShaft, &it.Bore, &it.Diameter, &it.NeedsBore)
				}
			}
			b.Run(fmt.Sprintf("%s-%s/exact=%v", c.f, c.over, exact), func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					Table(steps, kit, shelf, house.Defaults())
				}
			})
		}
	}
}

func stepped(sizes ...*gear.Length) {
	for _, s := range sizes {
		if s.Known() {
			s.Value = unit.Length(math.Round(float64(s.Value)*20) / 20)
		}
	}
}
