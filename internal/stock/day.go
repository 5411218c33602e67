package stock

import (
	"fmt"

	"backroad/internal/fault"
)

// Day is a day of the calendar, counted from 1 January 1970, which is 0. Days are
// compared as numbers. The calendar is the Gregorian one of ISO 8601, years 0 to 9999.
type Day int

// ParseDay reads YYYY-MM-DD. A day that does not exist is a fault.
func ParseDay(text string) (Day, *fault.Fault) {
	if len(text) == len("2027-05-31") && text[4] == '-' && text[7] == '-' {
		y, okY := digits(text[:4])
		m, okM := digits(text[5:7])
		d, okD := digits(text[8:])
		if okY && okM && okD && m >= 1 && m <= 12 && d >= 1 && d <= daysOf(y, m) {
			return Date(y, m, d), nil
		}
	}
	return 0, fault.New(fault.BadRequest, fault.Quote(text), "a day that exists, written YYYY-MM-DD", "write it as 2027-05-31")
}

// digits reads a text of the digits 0 to 9 only.
func digits(text string) (n int, ok bool) {
	for _, c := range []byte(text) {
		if c < '0' || c > '9' {
			return 0, false
		}
		n = n*10 + int(c-'0')
	}
	return n, true
}

func leap(y int) bool { return y%4 == 0 && (y%100 != 0 || y%400 == 0) }

func daysOf(y, m int) int {
	switch m {
	case 2:
		if leap(y) {
			return 29
		}
		return 28
	case 4, 6, 9, 11:
		return 30
	}
	return 31
}

// before1970 is the number of days from 1 March of the year 0 to 1 January 1970:
// 1970 years have 719,528 days, less January and February of a leap year.
const before1970 = 719_528 - 60

// Date makes a day of a year (0 or later), month and day that exist. Years are counted
// from March, so that the day that leap years add is the last of its year.
func Date(y, m, d int) Day {
	m -= 3
	if m < 0 {
		m, y = m+12, y-1
	}
	y += 400 // so that January and February of the year 0 divide like the others
	inYear := (153*m + 2) / 5
	return Day(y*365 + y/4 - y/100 + y/400 + inYear + d - 1 - days400 - before1970)
}

// days400 is the number of days in 400 years.
const days400 = 146_097

// Civil returns year, month and day.
func (d Day) Civil() (year, month, day int) {
	n := int(d) + before1970 + days400
	era, rest := n/days400, n%days400
	// of the 400 years, the first three centuries lack one leap day each
	y := (rest - rest/1460 + rest/36524 - rest/146096) / 365
	inYear := rest - (365*y + y/4 - y/100)
	m := (5*inYear + 2) / 153
	day = inYear - (153*m+2)/5 + 1
	year, month = era*400+y-400, m+3
	if month > 12 {
		month, year = month-12, year+1
	}
	return year, month, day
}

// String writes YYYY-MM-DD.
func (d Day) String() string {
	y, m, day := d.Civil()
	return fmt.Sprintf("%04d-%02d-%02d", y, m, day)
}
