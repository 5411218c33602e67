package barcode

import "strings"

// The facts of this file are those of the GS1 General Specifications, sections 3.2 (the
// identifiers, their lengths and characters) and 7.8 (lengths of the identifiers by
// their first two digits, predefined lengths), read in the syntax dictionary that GS1
// publishes (ref.gs1.org, release of 2023-12-11) and in table K of its Tag Data
// Translation standard 2.0.

// A format is what may stand after an application identifier.
type format struct {
	least, most int    // characters
	of          string // the characters allowed
	predefined  bool   // ended by its length, not by a separator
	checked     bool   // the last digit is a check digit
	date        layout // what of it is a date
	named       bool   // the table of formats has it
}

// A layout says how a date of six digits stands in an element.
type layout int

const (
	noDate   layout = iota
	monthToo        // YYMMDD, where day 00 stands for the last of the month
	withTime        // YYMMDD, then hours, minutes, seconds
)

// charset82 is the character set of most elements (ISO/IEC 646, 82 characters; figure
// 7.11-1), anySign the same with the one sign more of character set 39.
const (
	charset82 = `!"%&'()*+,-./` + digits + `:;<=>?` + capital + `_abcdefghijklmnopqrstuvwxyz`
	anySign   = charset82 + "#"
)

// longestUnknown is the most characters of an element that is not in the table: no
// element of the standard has more.
const longestUnknown = 90

// formats are the elements that a label of a device may have, by identifier.
var formats = map[string]format{
	"00": check(18), "01": check(14), "02": check(14),
	"11": dated(), "12": dated(), "13": dated(), "15": dated(), "16": dated(), "17": dated(),
	"410": check(13), "411": check(13), "412": check(13), "413": check(13),
	"414": check(13), "415": check(13), "416": check(13), "417": check(13),

	"10": signs(20), "21": signs(20), "22": signs(20), "235": signs(28), "240": signs(30), "241": signs(30),
	"242": numeric(1, 6), "243": signs(20), "250": signs(30), "251": signs(30), "254": signs(20),
	"30": numeric(1, 8), "37": numeric(1, 8),
	"400": signs(30), "401": signs(30), "403": signs(30), "420": signs(20),
	"422": numeric(3, 3), "423": numeric(3, 15), "424": numeric(3, 3), "425": numeric(3, 15), "426": numeric(3, 3), "427": signs(3),
	"710": signs(20), "711": signs(20), "712": signs(20), "713": signs(20), "714": signs(20), "715": signs(20), "716": signs(20),
	"7003": timed(10, 10), "8008": timed(8, 12),
	"8004": signs(30), "8012": signs(20), "8013": signs(25), "8020": signs(25), "8200": signs(70),
	"90": signs(30), "91": signs(90), "92": signs(90), "93": signs(90), "94": signs(90),
	"95": signs(90), "96": signs(90), "97": signs(90), "98": signs(90), "99": signs(90),
}

func check(n int) format {
	return format{least: n, most: n, of: digits, predefined: true, checked: true, named: true}
}

func dated() format {
	return format{least: 6, most: 6, of: digits, predefined: true, date: monthToo, named: true}
}

func timed(least, most int) format {
	return format{least: least, most: most, of: digits, date: withTime, named: true}
}

func numeric(least, most int) format {
	return format{least: least, most: most, of: digits, named: true}
}

func signs(most int) format { return format{least: 1, most: most, of: charset82, named: true} }

// predefined gives, by the first two digits of an identifier, how many characters follow
// the identifier. The list is closed for ever, which is why an element that nobody knew
// when this was written can still be stepped over.
var predefined = map[string]int{
	"00": 18, "01": 14, "02": 14, "03": 14, "04": 16,
	"11": 6, "12": 6, "13": 6, "14": 6, "15": 6, "16": 6, "17": 6, "18": 6, "19": 6,
	"20": 2,
	"31": 6, "32": 6, "33": 6, "34": 6, "35": 6, "36": 6,
	"41": 13,
}

// keyLength is how many digits an identifier has, by its first two; 0 for those that the
// standard has not given out. The predefined ones count as given out.
func keyLength(two string) int {
	switch {
	case strings.Contains(" 31 32 33 34 35 36 39 43 70 72 80 81 82 ", " "+two+" "):
		return 4
	case strings.Contains(" 23 24 25 40 41 42 71 ", " "+two+" "):
		return 3
	case predefined[two] != 0, two[0] == '9', strings.Contains(" 10 21 22 30 37 ", " "+two+" "):
		return 2
	}
	return 0
}

// formatOf gives the format of an identifier of the right length.
func formatOf(id string) format {
	if f, ok := formats[id]; ok {
		return f
	}
	if n := predefined[id[:2]]; n != 0 {
		return format{least: n, most: n, of: digits, predefined: true}
	}
	return format{least: 1, most: longestUnknown, of: anySign}
}
