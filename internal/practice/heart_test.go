package practice

import (
	"math"
	"testing"

	"backroad/internal/anatomy"
	"backroad/internal/unit"
)

// casteljau is a cubic curve by repeated halving of its control lines (de Casteljau, any
// textbook of geometric design): another way to the same point.
func casteljau(k []Point, t float64) Point {
	if len(k) == 1 {
		return k[0]
	}
	next := make([]Point, len(k)-1)
	for i := range next {
		next[i] = Point{k[i].X + (k[i+1].X-k[i].X)*t, k[i].Y + (k[i+1].Y-k[i].Y)*t}
	}
	return casteljau(next, t)
}

// TestHeart: the stretches hang together, lie in the box, and a share lies where another
// method puts it.
func TestHeart(t *testing.T) {
	for i := range Curves {
		c := &Curves[i]
		if i > 0 && Curves[i-1].Control[3] != c.Control[0] {
			t.Errorf("%s does not begin where %s ends", c.Stretch, Curves[i-1].Stretch)
		}
		for n := range 101 {
			share := float64(n) / 100
			p, want := OnHeart(c.Stretch, share), casteljau(c.Control[:], share)
			if math.Hypot(p.X-want.X, p.Y-want.Y) > 1e-9 {
				t.Errorf("%s at %g: %v, not %v", c.Stretch, share, p, want)
			}
			if p.X < 0 || p.Y < 0 || p.X > BoxSide || p.Y > BoxSide {
				t.Errorf("%s at %g is outside the box: %v", c.Stretch, share, p)
			}
		}
		if d := c.Drawn(); d[0] != c.Control[0] || d[len(d)-1] != c.Control[3] {
			t.Errorf("%s is not drawn from end to end", c.Stretch)
		}
	}
	if OnHeart(shortOf, 0) != Curves[0].Control[0] || OnHeart(beyond, 1) != Curves[len(Curves)-1].Control[3] {
		t.Error("what lies outside is not at the ends")
	}
}

// TestPlace: a station lies where one stretch ends and the next begins, and half-way along
// a leg is half of its stretch.
func TestPlace(t *testing.T) {
	s := start(t, Setting{Planned: planned(anatomy.GuideWiring, anatomy.Rail, anatomy.Septal)})
	var at [2]unit.Length
	for _, st := range s.Reveal().Stations {
		switch st.Station {
		case "channel_entry":
			at[0] = st.At
		case "channel_exit":
			at[1] = st.At
		}
	}
	for _, c := range []struct {
		at      unit.Length
		stretch string
		share   float64
	}{{at[0], "channel", 0}, {(at[0] + at[1]) / 2, "channel", 0.5}, {at[1], "recipient_run", 0}, {-1, "before", 0}, {9000, "outside", 1}} {
		stretch, share := s.Place(c.at)
		if stretch != c.stretch || math.Abs(share-c.share) > 1e-9 {
			t.Errorf("%.1f mm lies on %s at %g, not %s at %g", float64(c.at), stretch, share, c.stretch, c.share)
		}
	}
}
