package kit

import (
	"slices"

	"backroad/internal/verdict"
)

// Level is one level of the order of preference between kits. Kits are compared level
// by level; the first at which they differ decides.
type Level string

// The levels, in the order that holds where the house sets no other.
const (
	LevelComplete    Level = "complete"    // 1 where a role that the finish needs is empty: before all others, always
	LevelVerdict     Level = "verdict"     // works, tight, unknown, fails: of two kits for one plan, what may work is better than what does not
	LevelProbability Level = "probability" // that all margins hold, in thousandths
	LevelFailures    Level = "failures"    // margins that fail: 0 for a kit that does not fail
	LevelLoop        Level = "loop"        // the snare with more loops, up to three, then the larger one
	LevelFallback    Level = "fallback"    // another finish is possible with the same guides
	LevelBailouts    Level = "bailouts"    // kinds of bail-out that fit, see Bailouts
	LevelAccess      Level = "access"      // the sizes of the guides, summed
	LevelLast        Level = "last"        // items of which the kit takes the last
	LevelPreference  Level = "preference"  // the shelf's own preferences, summed; among equals items that expire soon
	LevelReach       Level = "reach"       // the smallest margin of length: decides between equals only
	LevelSpare       Level = "spare"       // the smallest spare of bore: likewise
)

// DefaultOrder is the order of preference where the house sets no other.
var DefaultOrder = [...]Level{LevelVerdict, LevelProbability, LevelFailures, LevelLoop, LevelFallback, LevelBailouts,
	LevelAccess, LevelLast, LevelPreference}

// levels is how many figures a score has: whether it is complete,
// those of the order, then reach and spare.
const levels = 1 + len(DefaultOrder) + 2

// score is what a kit is worth, one figure for each level, the smaller the better, in
// the order in which they are compared.
type score [levels]int64

// graveness is the order of verdicts between kits.
var graveness = [...]verdict.Verdict{verdict.Works, verdict.Tight, verdict.Unknown, verdict.Fails}

func graveOf(v verdict.Verdict) int64 { return int64(slices.Index(graveness[:], v)) }

func verdictOf(grave int64) verdict.Verdict { return graveness[grave] }

// verdict is what a score has at its level.
func (s *score) verdict(at places) verdict.Verdict { return verdictOf(s[at[LevelVerdict]]) }

// compare gives -1 where a is better.
func (a *score) compare(b *score) int {
	for i := range a {
		if a[i] != b[i] {
			if a[i] < b[i] {
				return -1
			}
			return 1
		}
	}
	return 0
}

// loses is the place of the first figure in which b is worse than a, levels where none
// is.
func loses(a, b *score) int {
	for i := range a {
		if a[i] != b[i] {
			return i
		}
	}
	return levels
}

// places says at which place of a score each level stands.
type places map[Level]int

// LevelsOf are levels by their names, as a house file has them.
func LevelsOf(names []string) []Level {
	list := make([]Level, len(names))
	for i, n := range names {
		list[i] = Level(n)
	}
	return list
}

// orderOf puts the levels that a house names first, behind whether the kit is complete, in its order, the others behind
// them in the built-in order, and the two tie-breaks last.
func orderOf(first []Level) []Level {
	order := append([]Level{LevelComplete}, first...)
	for _, l := range DefaultOrder {
		if !slices.Contains(order, l) {
			order = append(order, l)
		}
	}
	return append(order, LevelReach, LevelSpare)
}

func placesOf(order []Level) places {
	at := places{}
	for i, l := range order {
		at[l] = i
	}
	return at
}

// spots are the places of the levels, resolved once for the search.
type spots struct {
	complete, verdict, probability, failures, loop, fallback, bailouts, access, last, preference, reach, spare int
}

func spotsOf(at places) spots {
	return spots{at[LevelComplete], at[LevelVerdict], at[LevelProbability], at[LevelFailures], at[LevelLoop], at[LevelFallback],
		at[LevelBailouts], at[LevelAccess], at[LevelLast], at[LevelPreference], at[LevelReach], at[LevelSpare]}
}
