package limits

import "math"

// Standing is where one total stands among its lines.
type Standing struct {
	Measure Measure
	Known   bool    // the total is known
	Total   float64 // in the measure's unit
	Passed  int     // lines passed, or how often a recurring line came
	HasNext bool
	Next    float64 // where the next line lies
	Away    float64 // how far that is
	On      bool    // the next line itself counts as passed
}

// Board is the standing of every measure.
type Board [Measures]Standing

// Stand reads the totals. It allocates nothing.
func (b *Book) Stand(t *Totals) Board {
	var board Board
	for m := range Measure(Measures) {
		board[m] = b.standing(m, t)
	}
	return board
}

func (b *Book) standing(m Measure, t *Totals) Standing {
	s := Standing{Measure: m}
	if s.Total, s.Known = t.of(m); !s.Known {
		return Standing{Measure: m}
	}
	l := &b.ladders[m]
	if l.Every > 0 {
		return s.recurring(l.Every)
	}
	for i := range l.Lines {
		if l.Lines[i].passed(s.Total) {
			s.Passed++
			continue
		}
		s.HasNext, s.Next, s.On = true, l.Lines[i].At, l.Lines[i].On
		break
	}
	s.Away = s.Next - s.Total
	if !s.HasNext {
		s.Away = 0
	}
	return s
}

// recurring counts a line that comes again after each so much.
func (s Standing) recurring(every float64) Standing {
	n := math.Floor(s.Total / every)
	s.Passed, s.HasNext, s.On = int(n), true, true
	s.Next = (n + 1) * every
	s.Away = s.Next - s.Total
	return s
}

// Band is the last line passed and the next one to come; either may be absent. There
// may be other lines at the same place: see Ladder.
func (b *Book) Band(s Standing) (last, next *Line) {
	lines := b.ladders[s.Measure].Lines
	if b.ladders[s.Measure].Every > 0 {
		if s.Passed > 0 {
			last = &lines[0]
		}
		return last, &lines[0]
	}
	if s.Known && s.Passed > 0 {
		last = &lines[s.Passed-1]
	}
	if s.HasNext {
		next = &lines[s.Passed]
	}
	return last, next
}
