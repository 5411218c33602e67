// Package pseudonym takes a second look at texts that may say who a patient is: a
// person's name, a birth date, a hospital number. Cases go by the programme's own codes,
// and a text that looks like one of the three is stored only after somebody has looked
// again.
//
// It is a net for slips, no proof: it knows no list of names, so it goes by form alone.
// It is built to be quiet where people write about vessels and gear, since a warning that
// always comes is no longer read. What it does not catch is said below.
//
// # What looks like a birth date
//
// A whole date of the years 1900 to 2010 in any usual form (1957-03-17, 17.3.1957,
// 3/17/57, 17 March 1957, 19570317; a year of two digits not behind a hyphen, where sizes
// are written so), and any date or year behind a word such as born or DOB. Later dates are those of boxes and measurements.
//
// # What looks like a hospital number
//
// Six digits in a row; seven or more in groups with nothing but spaces, points, slashes
// and hyphens between and at most two letters before them; and digits behind a word such
// as MRN or patient no. The digits of a day of this century, and of
// a year before a running number, do not count.
//
// # What looks like a name
//
// A form of address with a capitalised word behind it; an initial with a point before
// one; two capitalised words with a comma between; a text of nothing but two to four
// capitalised words (and the small words that stand in names) of which none is a word of
// the trade. Of a case's code also: letters alone, three or more, or two where a script
// has no capitals.
//
// # Not caught
//
// A name in small letters, a first name in a longer sentence, initials, an address, a rare
// combination of facts. No rule of form would catch those without crying wolf.
package pseudonym

import (
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"

	"backroad/internal/fault"
)

// Kind is what a text looks like.
type Kind string

// The kinds.
const (
	Nothing        Kind = ""
	Name           Kind = "name"
	BirthDate      Kind = "birth date"
	HospitalNumber Kind = "hospital number"
)

// mostLooked is how many bytes of a text are looked at; no text of a file is longer.
const mostLooked = 4096

// Look says what a text looks like, and that in a sentence.
func Look(text string) (Kind, string) {
	if len(text) > mostLooked {
		text = text[:mostLooked]
	}
	return told(text, kindOf(strings.Join(strings.Fields(text), " ")))
}

// LookCode looks at the code of a case, which has less reason to be a word.
func LookCode(text string) (Kind, string) {
	kind, says := Look(text)
	if kind == Nothing && isWord(strings.TrimSpace(text)) {
		return told(text, Name)
	}
	return kind, says
}

func told(text string, kind Kind) (Kind, string) {
	if kind == Nothing {
		return Nothing, ""
	}
	return kind, fault.Quote(text) + " looks like a " + string(kind) + ": nothing here may say who the patient is"
}

func kindOf(text string) Kind {
	switch {
	case isBirthDate(text):
		return BirthDate
	case isNumber(text):
		return HospitalNumber
	case isName(text):
		return Name
	}
	return Nothing
}

// The years in which a patient may have been born: a case takes ages of 18 to 110, and
// who was born after 2010 is no adult before 2028.
const (
	firstBirth = 1900
	lastBirth  = 2010
)

const monthWords = `jan(?:uary|uar)?|feb(?:ruary|ruar)?|mar(?:ch)?|märz|apr(?:il)?|may|mai|june?|juni?|july?|juli?|aug(?:ust)?|sept?(?:ember)?|oct(?:ober)?|okt(?:ober)?|nov(?:ember)?|dec(?:ember)?|dez(?:ember)?`

var (
	yearFirst = regexp.MustCompile(`(?:^|\D)(\d{4})[-./](\d{1,2})[-./](\d{1,2})(?:\D|$)`)
	yearLast  = regexp.MustCompile(`(?:^|\D)(\d{1,2})([-./])(\d{1,2})([-./])(\d{4}|\d{2})(?:\D|$)`)
	compact   = regexp.MustCompile(`(?:^|\D)(\d{4})(\d{2})(\d{2})(?:\D|$)`)
	inWords   = regexp.MustCompile(`(?i)(?:^|[^\p{L}\d])(?:\d{1,2}(?:st|nd|rd|th)?\.? (?:` + monthWords + `)\.?,? (\d{4})|(?:` + monthWords + `)\.? \d{1,2}(?:st|nd|rd|th)?,? (\d{4}))(?:\D|$)`)
	born      = regexp.MustCompile(`(?i)(?:^|[^\p{L}])(?:born|d\.? ?o\.? ?b\.?|birth ?date|date of birth|geb(?:oren)?\.?|né[e]? le|nato il|nata il)(?:[^\p{L}]|$).*\d{2}`)
)

func isBirthDate(text string) bool {
	if born.MatchString(text) {
		return true
	}
	if m := yearFirst.FindStringSubmatch(text); m != nil && birthYear(m[1]) && dayAndMonth(m[2], m[3]) {
		return true
	}
	if m := compact.FindStringSubmatch(text); m != nil && birthYear(m[1]) && dayAndMonth(m[2], m[3]) {
		return true
	}
	if m := yearLast.FindStringSubmatch(text); m != nil && m[2] == m[4] && (len(m[5]) == 2 && m[2] != "-" || len(m[5]) == 4 && birthYear(m[5])) && (dayAndMonth(m[1], m[3]) || dayAndMonth(m[3], m[1])) {
		return true
	}
	m := inWords.FindStringSubmatch(text)
	return m != nil && birthYear(m[1]+m[2])
}

func birthYear(text string) bool {
	y := number(text)
	return firstBirth <= y && y <= lastBirth
}

func dayAndMonth(month, day string) bool {
	m, d := number(month), number(day)
	return 1 <= m && m <= 12 && 1 <= d && d <= 31
}

// number reads a few digits.
func number(digits string) (n int) {
	for _, c := range digits {
		n = n*10 + int(c-'0')
	}
	return n
}

var (
	sixDigits = regexp.MustCompile(`\d{6}`)
	grouped   = regexp.MustCompile(`^\p{L}{0,2}[-./ ]?\d[\d \-./]*\d$`)
	numbered  = regexp.MustCompile(`(?i)(?:^|[^\p{L}])(?:mrn|nhs|ssn|hospital (?:no|number)|patient(?:en)?[ -]?(?:id|no|nr|number)|pat\.? ?(?:id|no|nr)|fallnummer|case ?number)[^\p{L}]*\d{3}`)
)

// mostGrouped is from how many digits on groups of them look like a number.
const mostGrouped = 7

// anyDay is a day of this century as people write it: of a box, a measurement, a
// procedure.
var anyDay = regexp.MustCompile(`(?:^|\b)(?:20\d\d[-./]?[01]\d[-./]?[0-3]\d|[0-3]?\d[-./][0-3]?\d[-./]20\d\d)(?:\b|$)`)

// yearOf is the year before a running number: 2026-031.
var yearOf = regexp.MustCompile(`\b20\d\d[-/_]`)

func isNumber(text string) bool {
	text = yearOf.ReplaceAllString(anyDay.ReplaceAllString(text, ""), "")
	digits := 0
	for _, c := range text {
		if unicode.IsDigit(c) {
			digits++
		}
	}
	return numbered.MatchString(text) || sixDigits.MatchString(text) || digits >= mostGrouped && grouped.MatchString(text)
}

var (
	address = regexp.MustCompile(`(?:^|[^\p{L}])(?i:mr|mrs|ms|miss|mister|dr|prof|herr|frau|monsieur|madame|mme|señora?|sra|signora?)\.? \p{Lu}\p{L}+`)
	initial = regexp.MustCompile(`(?:^|[^\p{L}])\p{Lu}\. ?(\p{Lu}[\p{L}'’-]+)`)
	comma   = regexp.MustCompile(`^(\p{Lu}[\p{L}'’-]+), ?(\p{Lu}[\p{L}'’-]+)$`)
)

// particles are the small words that stand in names.
var particles = map[string]bool{"van": true, "von": true, "der": true, "den": true, "de": true, "del": true, "della": true, "di": true, "da": true, "dos": true,
	"la": true, "le": true, "zu": true, "bin": true, "ibn": true, "al": true, "el": true, "ter": true, "ten": true, "af": true, "y": true}

func isName(text string) bool {
	if address.MatchString(text) {
		return true
	}
	if m := initial.FindStringSubmatch(text); m != nil && !known(m[1]) {
		return true
	}
	if m := comma.FindStringSubmatch(text); m != nil {
		return !known(m[1]) && !known(m[2])
	}
	return allCapitalised(strings.Fields(text))
}

// allCapitalised reports whether a text is nothing but two to four capitalised words, and
// particles among them, none of the trade.
func allCapitalised(words []string) bool {
	capitals := 0
	for i, w := range words {
		switch {
		case i > 0 && particles[w]:
		case capitalised(w) && !known(w):
			capitals++
		default:
			return false
		}
	}
	return 2 <= capitals && capitals <= 4 && len(words) <= 7
}

// capitalised reports whether a word is written as names are: a capital and small
// letters, or four capitals or more; fewer are an abbreviation. Hyphens and apostrophes
// may stand in it.
func capitalised(word string) bool {
	letters, small := 0, 0
	for i, c := range word {
		switch {
		case i == 0 && !unicode.IsUpper(c):
			return false
		case unicode.IsLetter(c) || unicode.IsMark(c):
			letters++
			if unicode.IsLower(c) {
				small++
			}
		case c != '-' && c != '\'' && c != '’':
			return false
		}
	}
	return letters >= 2 && (small > 0 || letters >= 4)
}

// isWord reports whether the code of a case is a word: letters and nothing else but
// hyphens, apostrophes and spaces, and none of the trade.
func isWord(text string) bool {
	letters, cased := 0, false
	for _, c := range text {
		switch {
		case unicode.IsLetter(c) || unicode.IsMark(c):
			letters++
			cased = cased || unicode.IsUpper(c) || unicode.IsLower(c)
		case c != '-' && c != '\'' && c != '’' && c != ' ' && c != '_':
			return false
		}
	}
	for _, w := range strings.FieldsFunc(text, func(c rune) bool { return c == ' ' || c == '-' || c == '_' }) {
		if known(w) {
			return false
		}
	}
	return letters >= 3 || letters == 2 && !cased
}

// known reports whether a word, or each part of one with hyphens, is of the trade.
func known(word string) bool {
	for _, part := range strings.FieldsFunc(strings.ToLower(word), func(c rune) bool { return c == '-' || c == '\'' || c == '’' }) {
		if !trade[part] && !trade[strings.TrimSuffix(part, "s")] {
			return false
		}
	}
	return utf8.RuneCountInString(word) > 0
}
