package practice

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"backroad/internal/gear"
	"backroad/internal/rail"
	"backroad/internal/rehearsal"
	"backroad/internal/verdict"
)

func capital(text string) string {
	r, n := utf8.DecodeRuneInString(text)
	if n == 0 {
		return ""
	}
	return string(unicode.ToUpper(r)) + text[n:]
}

// says is a hold point in the rule's own words.
func says(rule string) string {
	r, _ := rail.RuleNamed(rule)
	return r.Says
}

// Harm takes apart what a finding says it would do to the patient, and the way out; ""
// where it says nothing.
func Harm(f verdict.Finding) (harm, out string) {
	remedy := f.Remedy
	if len(remedy) == 0 {
		remedy = wayOut[f.Rule]
	}
	for _, text := range remedy {
		if rest, ok := strings.CutPrefix(text, "it would: "); ok {
			harm = rest
		}
		if rest, ok := strings.CutPrefix(text, "way out: "); ok {
			out = rest
		}
	}
	return harm, out
}

// name is a guide as people call it.
func name(guide gear.Role) string {
	if guide == gear.DonorGuide {
		return "the donor guide"
	}
	return "the antegrade guide"
}

// sentenceOf is an action that was tried, in words.
func sentenceOf(a rehearsal.Action) string {
	return capital(string(a.Verb)) + " the " + strings.ReplaceAll(a.What, "_", " ") + "."
}

// hand is a movement by the hand, in words.
func (l Line) hand() string {
	text := strings.ToUpper(string(l.Way)) + " the " + strings.ReplaceAll(string(l.What), "_", " ")
	if l.Kind == Until {
		return text + " until " + number(l.Length) + " mm shows."
	}
	text += " by " + number(l.Length) + " mm"
	if l.With != "" {
		text += " with the " + strings.ReplaceAll(string(l.With), "_", " ")
	}
	return text + "."
}
