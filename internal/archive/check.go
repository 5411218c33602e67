package archive

import (
	"fmt"
	"slices"
	"unicode"
	"unicode/utf8"
)

// MostNote is how many characters a note has at most.
const MostNote = 80

// LatestTime is the last microsecond of the year 9999: a later one can't be written as
// RFC 3339 does.
const LatestTime Time = 253402300799_999_999

// Check says what of a draft lies beyond the limits of an archive: a *Trouble of the kind
// NotValid, or nil.
func (d Draft) Check() error {
	switch {
	case !slices.Contains(Kinds, d.Kind):
		return notValid("there is no kind of document "+quote(string(d.Kind)), "name it case, shelf, house or practice")
	case !ValidID(d.ID):
		return badID(d.ID)
	case !line(d.Title, MostTitle):
		return notValid("the title can't be kept", fmt.Sprintf("write it on one line of at most %d characters", MostTitle))
	case !line(string(d.Note), MostNote):
		return notValid("the note can't be kept", fmt.Sprintf("write it on one line of at most %d characters", MostNote))
	case d.Base < 0 || d.Of < 0:
		return notValid("a version below 0 is named", "name one that is there, or 0")
	case len(d.Text) > MostText:
		return tooLong("the text", len(d.Text))
	}
	return nil
}

// Check says what of a plan lies beyond the limits of an archive: a *Trouble of the kind
// NotValid, or nil.
func (p Plan) Check() error {
	for _, ref := range []struct {
		Ref
		kind Kind
	}{{p.Case, Case}, {p.Shelf, Shelf}, {p.House, House}} {
		if builtIn := ref.kind == House && ref.Version == 0; builtIn {
			continue
		}
		if ref.Kind != ref.kind || ref.Version < 1 || !ValidID(ref.ID) {
			return notValid(fmt.Sprintf("the plan does not say which version of a %s it was made from", ref.kind), "save the "+string(ref.kind)+" first")
		}
	}
	if !ValidID(p.ID) {
		return badID(p.ID)
	}
	if p.Made < 0 || p.Made > LatestTime {
		return notValid(fmt.Sprintf("the plan was made %d µs after 1970", p.Made), "give a time up to the year 9999, or none")
	}
	if !p.NoP && !(p.P >= 0 && p.P <= 1) {
		return notValid(fmt.Sprintf("the plan's probability is %v", p.P), "give one from 0 to 1, or none")
	}
	return p.checkTexts()
}

func (p Plan) checkTexts() error {
	all := 0
	for _, s := range append([]string{p.Program, p.Day, p.Route, p.Finish, p.TreatOver, p.Verdict}, p.Events...) {
		if !clean(s) {
			return notValid("a text of the plan can't be kept: "+quote(s), "write it without control characters, in UTF-8")
		}
		all += len(s)
	}
	for _, part := range []int{all, len(p.JSON), len(p.PDF), len(p.HTML)} {
		if part > MostText {
			return tooLong("a part of the plan", part)
		}
	}
	return nil
}

// Tidy is the plan as every archive keeps it: without a probability where it has none,
// the built-in house rules named in one way, no events as nil.
func (p Plan) Tidy() Plan {
	if p.NoP {
		p.P = 0
	}
	p.P += 0 // of the two zeros the positive one
	if p.House.Version == 0 {
		p.House = Ref{Kind: House}
	}
	if len(p.Events) == 0 {
		p.Events = nil
	}
	return p
}

// ValidID reports whether a text can be an id: 1 to 64 letters (of any script, with
// their marks), digits, - and _.
func ValidID(id string) bool {
	if id == "" || !utf8.ValidString(id) || utf8.RuneCountInString(id) > MostID {
		return false
	}
	for _, r := range id {
		if !unicode.IsLetter(r) && !unicode.IsMark(r) && !unicode.IsDigit(r) && r != '-' && r != '_' {
			return false
		}
	}
	return true
}

// line reports whether a text is one line of at most so many characters.
func line(s string, most int) bool {
	return clean(s) && utf8.RuneCountInString(s) <= most
}

// clean reports whether a text is UTF-8 without control characters.
func clean(s string) bool {
	if !utf8.ValidString(s) {
		return false
	}
	for _, r := range s {
		if unicode.IsControl(r) {
			return false
		}
	}
	return true
}

func notValid(says, hint string) *Trouble { return &Trouble{Kind: NotValid, Says: says, Hint: hint} }

func badID(id string) *Trouble {
	return notValid("the id "+quote(id)+" can't be used", fmt.Sprintf("use 1 to %d letters, digits, - and _", MostID))
}

func tooLong(what string, n int) *Trouble {
	return notValid(fmt.Sprintf("%s has %d bytes", what, n), fmt.Sprintf("keep it to %d bytes", MostText))
}

// Closed is the trouble of whoever uses an archive after Close.
func Closed() error {
	return &Trouble{Kind: NotUsable, Says: "the program is ending", Hint: "start it again; what was saved is there"}
}
