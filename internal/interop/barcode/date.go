package barcode

import (
	"fmt"
	"strings"
	"time"

	"backroad/internal/fault"
)

// century gives the year of two digits by the sliding rule: of the years that end so,
// the one from 49 before to 50 after the present (GS1 General Specifications 7.12).
func century(yy, present int) int {
	year := present - present%100 + yy
	switch d := yy - present%100; {
	case d >= 51:
		return year - 100
	case d <= -50:
		return year + 100
	}
	return year
}

func day(year, month, d int) string { return fmt.Sprintf("%04d-%02d-%02d", year, month, d) }

// lastDay is the number of days of a month.
func lastDay(year, month int) int {
	return time.Date(year, time.Month(month)+1, 0, 0, 0, 0, 0, time.UTC).Day()
}

// A calendar is a date whose parts stand at places of the text.
type calendar struct {
	year       int
	month, day piece
	zeroDay    bool // day 00 is the last of the month
}

// date gives the day, or a fault at the part that can't be.
func (c calendar) date() (string, *fault.Fault) {
	m := number(c.month.text)
	if m < 1 || m > 12 {
		return "", wrong(c.month.at, fault.OutOfBounds, "month "+fault.Quote(c.month.text), "01 to 12", "scan again; if it stays so, read the date on the label")
	}
	d, last := number(c.day.text), lastDay(c.year, m)
	switch {
	case d == 0 && c.zeroDay:
		d = last
	case d < 1 || d > last:
		return "", wrong(c.day.at, fault.OutOfBounds, "day "+fault.Quote(c.day.text), fmt.Sprintf("a day of %04d-%02d, which has %d", c.year, m, last), "scan again; if it stays so, read the date on the label")
	}
	return day(c.year, m, d), nil
}

// readDate reads a date by its layout of the letters Y (2 or 4), M (2), D (2), J (3) and
// H (2), each group once; p has as many characters. Without D and J it is the last day of the month.
func readDate(p piece, layout string, present int, zeroDay bool) (string, *fault.Fault) {
	if f := needDigits(p, "a date "+layout); f != nil {
		return "", f
	}
	part := func(letter string) piece {
		first, n := strings.Index(layout, letter), strings.Count(layout, letter)
		if n == 0 {
			return piece{at: p.end()}
		}
		return piece{p.at + first, p.text[first : first+n]}
	}
	year := number(part("Y").text)
	if len(part("Y").text) == 2 {
		year = century(year, present)
	}
	if f := needClock(part("H")); f != nil {
		return "", f
	}
	if j := part("J"); j.text != "" {
		return dayOfYear(year, j)
	}
	c := calendar{year: year, month: part("M"), day: part("D"), zeroDay: zeroDay}
	if c.day.text == "" {
		c.day, c.zeroDay = piece{c.month.at, "00"}, true
	}
	return c.date()
}

func dayOfYear(year int, j piece) (string, *fault.Fault) {
	n, last := number(j.text), 337+lastDay(year, 2)
	if n < 1 || n > last {
		return "", wrong(j.at, fault.OutOfBounds, "day of the year "+fault.Quote(j.text), fmt.Sprintf("001 to %d in %d", last, year), "scan again; if it stays so, read the date on the label")
	}
	return time.Date(year, time.January, n, 0, 0, 0, 0, time.UTC).Format(time.DateOnly), nil
}

// needClock checks hours, then minutes and seconds where they stand, two digits each.
func needClock(p piece) *fault.Fault {
	most := 23
	for p.text != "" {
		var two piece
		two, p = p.cut(min(2, len(p.text)))
		if len(two.text) < 2 || number(two.text) > most {
			return wrong(two.at, fault.OutOfBounds, "time of day "+fault.Quote(two.text), fmt.Sprintf("00 to %d", most), "scan again; if it stays so, read the date on the label")
		}
		most = 59
	}
	return nil
}
