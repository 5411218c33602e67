package strict

import (
	"strings"

	"backroad/internal/fault"
)

// nearEnough is the most edits between a word and the one that was meant: two, so
// that two letters in the wrong order are found too.
const nearEnough = 2

// Near finds the word of a list that was probably meant, "" where none is near.
func Near(word string, list []string) string {
	best, edits := "", nearEnough+1
	for _, candidate := range list {
		if d := distance(word, candidate); d < edits && d < len(candidate) {
			best, edits = candidate, d
		}
	}
	return best
}

// distance is the least number of letters to insert, delete or replace between two
// words (Levenshtein), or more than nearEnough where their lengths tell already.
func distance(a, b string) int {
	s, t := []rune(a), []rune(b)
	if len(s)-len(t) > nearEnough || len(t)-len(s) > nearEnough {
		return nearEnough + 1
	}
	row := make([]int, len(t)+1)
	for j := range row {
		row[j] = j
	}
	for i := range s {
		diagonal := row[0]
		row[0] = i + 1
		for j := range t {
			replace := diagonal
			if s[i] != t[j] {
				replace++
			}
			diagonal = row[j+1]
			row[j+1] = min(replace, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(t)]
}

// meant is the hint for a word that is not in its list.
func meant(word string, list []string, otherwise string) string {
	if near := Near(word, list); near != "" {
		return "did you mean " + fault.Quote(near) + "?"
	}
	return otherwise
}

// Among lists words for a message.
func Among(list []string) string {
	if len(list) == 0 {
		return "nothing: there is none"
	}
	return "one of " + strings.Join(list, ", ")
}
