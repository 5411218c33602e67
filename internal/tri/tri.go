// Package tri holds the answer to a yes-or-no question about a patient or an
// angiogram: yes, no, unknown, or not said. None of the last two is ever taken for
// the other, and neither for a yes or a no.
package tri

// Answer is yes, no, unknown, or (zero) not said.
type Answer uint8

// The answers.
const (
	NotSaid Answer = iota
	No
	Yes
	Unknown
)

// String gives the word that files use, "" for NotSaid.
func (a Answer) String() string {
	return [...]string{"", "false", "true", "unknown"}[a]
}

// Parse reads `true`, `false` or `unknown`.
func Parse(s string) (Answer, bool) {
	switch s {
	case "true":
		return Yes, true
	case "false":
		return No, true
	case "unknown":
		return Unknown, true
	}
	return NotSaid, false
}
