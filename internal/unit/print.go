package unit

import (
	"math"
	"strconv"
	"strings"
)

// Print writes a quantity so that Parse with the same kind gives it back to the bit:
// in the first unit of the kind that shows both the value and the deviation exactly
// and without a tail of digits, else in any that is exact. A value that no text of the
// kind converts to (none that was parsed) is printed to 17 digits in the first unit.
func Print[Q ~float64](m Measured[Q], k *Kind) string {
	if m.State != Known {
		return "unknown"
	}
	best := ""
	for _, s := range k.scales {
		value, ok := exact(float64(m.Value), s)
		if !ok {
			continue
		}
		text := value + " " + s.name
		if m.SDGiven {
			sd, ok := exact(float64(m.SD), s)
			if !ok {
				continue
			}
			text += " ± " + sd
		}
		if best == "" || tidiness(text) < tidiness(best) {
			best = text
		}
	}
	if best == "" {
		s := k.scales[0]
		best = nearest(float64(m.Value), s) + " " + s.name
		if m.SDGiven {
			best += " ± " + nearest(float64(m.SD), s)
		}
	}
	return best
}

// nearest is a value to 17 digits.
func nearest(v float64, s scale) string { return strconv.FormatFloat(v*s.div/s.mul, 'g', 17, 64) }

// PrintRange writes what ParseRange reads.
func PrintRange(least, most Length, k *Kind) string {
	for _, s := range k.scales {
		a, okA := exact(float64(least), s)
		b, okB := exact(float64(most), s)
		if okA && okB {
			return a + "-" + b + " " + s.name
		}
	}
	return nearest(float64(least), k.scales[0]) + "-" + nearest(float64(most), k.scales[0]) + " " + k.scales[0].name
}

// tidiness counts the characters of a number beyond what a person would write; among
// equally tidy texts the earlier unit of the kind stands.
func tidiness(text string) int {
	number, _, _ := strings.Cut(text, " ")
	return max(0, len(number)-6)
}

// exact finds the shortest decimal number that converts to v. Every unit with mul =
// div = 1 has one; for the others some values have none.
func exact(v float64, s scale) (string, bool) {
	guess := v * s.div / s.mul
	for digits := 1; digits <= 17; digits++ {
		text := strconv.FormatFloat(guess, 'g', digits, 64)
		n, err := strconv.ParseFloat(text, 64)
		if err == nil && s.in(n) == v {
			return plain(n), true
		}
	}
	for _, n := range []float64{math.Nextafter(guess, 0), math.Nextafter(guess, math.Inf(1))} {
		if s.in(n) == v {
			return plain(n), true
		}
	}
	return "", false
}

// plain writes a number without an exponent as long as that stays short.
func plain(n float64) string {
	text := strconv.FormatFloat(n, 'f', -1, 64)
	if len(text) > 24 {
		return strconv.FormatFloat(n, 'g', -1, 64)
	}
	return text
}
