package stock

import (
	"testing"
	"time"
)

// Every day of 10,000 years, against the calendar of the standard library.
func TestDays(t *testing.T) {
	at := time.Date(0, 1, 1, 0, 0, 0, 0, time.UTC)
	for at.Year() < 10_000 {
		y, m, day := at.Date()
		d := Date(y, int(m), day)
		if want := int(at.Unix() / 86_400); int(d) != want { // every day is 86,400 s there
			t.Fatalf("%v is day %d, want %d", at, d, want)
		}
		if gy, gm, gd := d.Civil(); gy != y || gm != int(m) || gd != day {
			t.Fatalf("day %d is %d-%d-%d, want %v", d, gy, gm, gd, at)
		}
		at = at.AddDate(0, 0, 1)
	}
}

// ParseDay accepts what the standard library accepts, and nothing else.
func TestParseDay(t *testing.T) {
	months := []string{"00", "01", "02", "04", "06", "09", "11", "12", "13", "1", "+1"}
	days := []string{"00", "01", "28", "29", "30", "31", "32", "1", " 1"}
	for _, y := range []string{"0000", "0004", "1900", "2000", "2026", "2028", "2100", "9999", "26", "20260", "-001"} {
		for _, m := range months {
			for _, d := range days {
				text := y + "-" + m + "-" + d
				want, err := time.Parse(time.DateOnly, text)
				got, f := ParseDay(text)
				if (err == nil) != (f == nil) {
					t.Errorf("%s: fault %v, standard library %v", text, f, err)
				}
				if f == nil && (got.String() != text || int(got) != int(want.Unix()/86_400)) {
					t.Errorf("%s reads as %s", text, got)
				}
			}
		}
	}
	for _, text := range []string{"", "2026/01/01", "2026-01-01 ", "01-01-2026", "2026-01-0١"} {
		if _, f := ParseDay(text); f == nil {
			t.Errorf("%q is taken for a day", text)
		}
	}
}
