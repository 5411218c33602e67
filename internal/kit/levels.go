package kit

import (
	"slices"
)

// Level is one level of the order of preference between kits. Kits are compared level
// by level; the first at which they differ decides.
type Level string

// The levels, in the order that holds where the house sets no other.
const (
	LevelVerdict     Level = "verdict"     // works, tight, fails, unknown
	LevelProbability Level = "probability" // that all margins hold, in thousandths
	LevelFailures    Level = "failures"    // margins that fail: 0 for a kit that does not fail
	LevelLoop        Level = "loop"        // the snare with more loops, up to three, then the larger one
	LevelFallback    Level = "fallback"    // another finish is possible with the same guides
	LevelBailouts    Level = "bailouts"    // kinds of bail-out that fit, see Bailouts
	LevelAccess      Level = "access"      // the sizes of the guides, summed
	LevelLast        Level = "last"        // items of which the kit takes the last
	LevelPreference  Level = "preference"  // the shelf's own preferences, summed
	LevelReach       Level = "reach"       // the smallest margin of length: decides between equals only
	LevelSpare       Level = "spare"       // the smallest spare of bore: likewise
)

// DefaultOrder is the order of preference where the house sets no other.
var DefaultOrder = [...]Level{LevelVerdict, LevelProbability, LevelFailures, LevelLoop, LevelFallback, LevelBailouts,
	LevelAccess, LevelLast, LevelPreference}

// levels is how many figures a score has: those of the order, then reach and spare.
const levels = len(DefaultOrder) + 2

// score is what a kit is worth, one figure for each level, the smaller the better, in
// the order in which they are compared.
type score [levels]int64

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

// orderOf puts the levels that a house names first, in its order, the others behind
// them in the built-in order, and the two tie-breaks last.
func orderOf(first []Level) []Level {
	order := slices.Clone(first)
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
