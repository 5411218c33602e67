package rescue

import (
	"fmt"
	"slices"
	"strings"

	"backroad/internal/gear"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

// Brief condenses a table for a card: at most eight lines, one for each way in and need,
// and one for what needs no tube. In a line, steps about which the same is said stand
// together, with the least room that any of them has.
func Brief(moments []Moment) []string {
	var lines []*line
	for i := range moments {
		for j := range moments[i].Answers {
			if a := &moments[i].Answers[j]; a.Tube != "" {
				lines = note(lines, side(a.Tube)+", "+words(a.Need), a, moments[i].Steps)
			}
		}
	}
	var texts []string
	for _, l := range lines {
		texts = append(texts, l.String())
	}
	if len(moments) > 0 {
		texts = append(texts, anywhereLine(moments[0].Answers))
	}
	return texts
}

// line is what is said of one way in and need.
type line struct {
	head string
	says []saying
}

// saying is a statement with the steps that it holds for.
type saying struct {
	text  string
	steps []int
	spare unit.Length
	fits  bool
}

func note(lines []*line, head string, a *Answer, steps []int) []*line {
	at := slices.IndexFunc(lines, func(l *line) bool { return l.head == head })
	if at < 0 {
		at, lines = len(lines), append(lines, &line{head: head})
	}
	l, text := lines[at], statement(a)
	for i := range l.says {
		if s := &l.says[i]; s.text == text {
			s.steps, s.spare = append(s.steps, steps...), min(s.spare, a.Spare)
			return lines
		}
	}
	l.says = append(l.says, saying{text, slices.Clone(steps), a.Spare, len(a.Fits) > 0})
	return lines
}

// side is a way in for people.
func side(tube gear.Role) string {
	switch tube {
	case gear.DonorGuide:
		return "donor guide"
	case gear.RetroMicrocatheter:
		return "through the MC itself"
	}
	return "antegrade side"
}

func words(n Need) string { return strings.ReplaceAll(string(n), "-", " ") }

// statement is an answer without its figure, in the card's short words.
func statement(a *Answer) string {
	own := a.Tube == gear.RetroMicrocatheter
	switch {
	case len(a.Fits) > 0:
	case a.Verdict == verdict.Unknown && len(a.Missing) > 0:
		return "NOT KNOWN (" + strings.Join(a.Missing[:min(2, len(a.Missing))], ", ") + ")"
	case own && strings.HasSuffix(a.Why, lastAcross):
		return "NO: its wire is all that spans the occlusion"
	default:
		return "NO: " + a.Why
	}
	text := a.Fits[0]
	if id := a.Through[text]; !own && id != "" {
		text += " through " + id
	}
	if a.Over != "" {
		text += " over " + short(a.Over)
	}
	deflate := slices.DeleteFunc(slices.Clone(a.Deflate), func(r gear.Role) bool { return slices.Contains(a.ComeOut, r) })
	if len(deflate) > 0 {
		text += ", DEFLATE " + shorts(deflate)
	}
	switch {
	case len(a.ComeOut) == 0:
	case own:
		text += ", its wire OUT first"
	default:
		text += ", " + shorts(a.ComeOut) + " OUT first"
	}
	return text
}

// short is a role in the card's short words.
func short(r gear.Role) string {
	if isOwn(r) {
		return "MC"
	}
	return strings.ReplaceAll(string(r), "_", " ")
}

func shorts(roles []gear.Role) string {
	list := make([]string, len(roles))
	for i, r := range roles {
		list[i] = short(r)
	}
	return strings.Join(list, " + ")
}

func (l *line) String() string {
	parts := make([]string, len(l.says))
	for i, s := range l.says {
		parts[i] = ranges(s.steps) + " " + s.text
		if s.fits {
			parts[i] += fmt.Sprintf(" (%.2f mm)", float64(s.spare))
		}
	}
	return l.head + ": " + strings.Join(parts, "; ")
}

// ranges writes steps as 1-3, 5.
func ranges(steps []int) string {
	var parts []string
	for i := 0; i < len(steps); {
		j := i
		for j+1 < len(steps) && steps[j+1] == steps[j]+1 {
			j++
		}
		if i == j {
			parts = append(parts, fmt.Sprint(steps[i]))
		} else {
			parts = append(parts, fmt.Sprintf("%d-%d", steps[i], steps[j]))
		}
		i = j + 1
	}
	return strings.Join(parts, ", ")
}

// anywhereLine says what needs no tube.
func anywhereLine(answers []Answer) string {
	var parts []string
	for i := range answers {
		a := &answers[i]
		switch {
		case a.Tube != "":
		case len(a.Fits) > 0:
			parts = append(parts, words(a.Need)+": "+a.Fits[0]+", "+a.Mind)
		default:
			parts = append(parts, words(a.Need)+": "+a.Why)
		}
	}
	return strings.Join(parts, "; ")
}
