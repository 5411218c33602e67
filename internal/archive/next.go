package archive

import (
	"bytes"
	"fmt"

	"backroad/internal/fault"
)

// Next is the rule of saving, which is the same in every store: what a draft makes of a
// document whose newest version is head (the zero Document: there is none), where of is
// the version that Draft.Of names (zero where it names none).
//
// It answers add = false with the newest version where that says the same already: the
// same text and title, put away or not alike. Otherwise next is what to add, but for its
// Seq and time. The error is a *Conflict, ErrNotFound where there is no such document or
// version to start from, or a *Trouble.
func (d Draft) Next(head, of Document) (next Version, add bool, err error) {
	newest := head.Version
	switch {
	case newest.Version > 0 && d.says(head):
		return newest, false, nil
	case newest.Version == 0 && d.Base > 0:
		return next, false, fmt.Errorf("%s %s: %w", d.Kind, d.ID, ErrNotFound)
	case d.Base != newest.Version:
		return next, false, &Conflict{Base: d.Base, Head: newest}
	}
	next = Version{Ref: Ref{d.Kind, d.ID, d.Base + 1}, Title: d.Title, Note: d.note(), Of: d.Base + 1, Before: newest.Of, Gone: d.Gone, Bytes: len(d.Text)}
	if d.Of == 0 {
		return next, true, nil
	}
	switch {
	case of.Version.Version != d.Of:
		return Version{}, false, fmt.Errorf("%s %s version %d: %w", d.Kind, d.ID, d.Of, ErrNotFound)
	case !bytes.Equal(of.Text, d.Text):
		return Version{}, false, notValid(fmt.Sprintf("the text is not that of version %d", d.Of), "take that version up again")
	}
	next.Of, next.Before = of.Of, of.Before
	return next, true, nil
}

// says reports whether a version says already what the draft says.
func (d Draft) says(v Document) bool {
	return d.Gone == v.Gone && d.Title == v.Title && bytes.Equal(d.Text, v.Text)
}

// note is the draft's note, or the one that goes without saying.
func (d Draft) note() Note {
	switch {
	case d.Note != "":
		return d.Note
	case d.Base == 0:
		return Made
	}
	return Edited
}

// Refs lists the versions that a plan was made from and that are kept: the built-in
// house rules are none.
func (p Plan) Refs() []Ref {
	refs := []Ref{p.Case, p.Shelf}
	if p.House.Version > 0 {
		refs = append(refs, p.House)
	}
	return refs
}

// quote shows a text in a message.
func quote(s string) string { return fault.Quote(s) }
