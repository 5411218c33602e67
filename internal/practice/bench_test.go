package practice

import (
	"testing"

	"backroad/internal/anatomy"
)

// BenchmarkReplay: a whole planned order, each line with its view: what a page's move
// costs at the end of a long practice.
func BenchmarkReplay(b *testing.B) {
	c := planned(anatomy.GuideWiring, anatomy.Rail, anatomy.Septal)
	log := texts(script(c))
	b.ReportMetric(float64(len(log)), "lines")
	for b.Loop() {
		s, list := Replay(Setting{Planned: c, Scenario: hidden()}, log)
		if list != nil {
			b.Fatal(list)
		}
		s.View()
		s.Can()
	}
}

// BenchmarkWalk: a whole procedure in its planned order.
func BenchmarkWalk(b *testing.B) {
	c := planned(anatomy.SnareCapture, anatomy.Rail, anatomy.Septal)
	for b.Loop() {
		Through(c)
	}
}
