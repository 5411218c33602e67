package lumen

import (
	"strconv"
	"testing"

	"backroad/internal/unit"
)

// benchSets are sets of devices whose answer needs the whole search: sizes near one
// another leave no gap for the last circle.
var benchSets = [][]unit.Length{
	{0.87, 0.90},
	{0.87, 0.90, 0.3556},
	{0.87, 0.90, 0.97, 0.75},
	{0.87, 0.90, 0.97, 0.75, 0.65},
	{0.87, 0.90, 0.97, 0.75, 0.65, 0.70, 0.93},
}

// sink keeps the compiler from dropping the call.
var sink unit.Length

func BenchmarkEnclosing(b *testing.B) {
	for _, d := range benchSets {
		b.Run(strconv.Itoa(len(d)), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				sink = Enclosing(d...)
			}
		})
	}
}
