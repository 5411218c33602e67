// Package verdict holds the answers that a question about a patient's procedure can
// have: works, tight, fails, unknown. There is no yes-or-no here on purpose: "cannot
// tell" is an answer, and it is never rounded up to "works".
//
// A verdict says what the arithmetic says. It does not see the patient.
package verdict

// Verdict is the answer to "does it work?". The order of the constants is the order
// in which plans are ranked.
type Verdict uint8

// The verdicts, in the order of ranking.
const (
	Works   Verdict = iota // holds, with room
	Tight                  // holds on the mean, but not with the wished certainty or room
	Fails                  // does not hold
	Unknown                // an input is missing
)

// String gives the word that files and output use.
func (v Verdict) String() string {
	switch v {
	case Works:
		return "works"
	case Tight:
		return "tight"
	case Fails:
		return "fails"
	}
	return "unknown"
}

// MarshalText writes the verdict as its word.
func (v Verdict) MarshalText() ([]byte, error) { return []byte(v.String()), nil }

// gravity orders verdicts by how much they say against a plan: one that fails stays
// failed whatever else is unknown.
func (v Verdict) gravity() int {
	switch v {
	case Works:
		return 0
	case Tight:
		return 1
	case Unknown:
		return 2
	}
	return 3
}

// Worst returns the verdict of a whole whose parts have the given verdicts: fails,
// else unknown, else tight, else works. Without parts it is Works.
func Worst(parts ...Verdict) Verdict {
	worst := Works
	for _, v := range parts {
		if v.gravity() > worst.gravity() {
			worst = v
		}
	}
	return worst
}

// Severity says what a finding asks of the team.
type Severity string

// The severities.
const (
	Blocks    Severity = "blocks"     // the plan fails
	Confirm   Severity = "confirm"    // a named person says yes
	Watch     Severity = "watch"      // somebody watches
	HoldPoint Severity = "hold point" // can't be judged on paper: a condition before the step
)

// Severities lists them, gravest first.
var Severities = [...]Severity{Blocks, Confirm, Watch, HoldPoint}

// A Finding is something that a reader of the plan must know: which rule speaks, how
// gravely, at which step ("" where it belongs to no step), in words with the
// numbers, what would mend it, and what the rule rests on.
type Finding struct {
	Rule     string
	Severity Severity
	Step     string
	Says     string
	Remedy   []string
	Source   string
}
