// Package source says where a number comes from.
//
// Every constant that a rule or a default rests on is a Constant, and a Constant
// can only be made together with its Source: published (title, journal, year,
// DOI), common practice, memory (unverified), the programme's own house rule, or
// computed from others. What is shown to a user carries the class in words, and a
// value from memory is never shown as published.
package source

import "fmt"

// Class says what kind of ground a number stands on.
type Class string

// The classes, weakest claim last.
const (
	Published Class = "published"       // in a paper, handbook or standard that is named
	Computed  Class = "computed"        // follows from other numbers by a stated formula
	House     Class = "house"           // set by the programme's own house file
	Practice  Class = "common practice" // known in the trade, no source
	Memory    Class = "unverified"      // remembered, nowhere seen: to be checked by the user
)

// Source is where a number comes from. The zero Source is not valid: make one with
// Paper, CommonPractice, FromMemory, FromHouse or ComputedFrom.
type Source struct {
	class   Class
	title   string
	journal string
	year    int
	doi     string
	note    string
}

// Paper is a published source; doi may be empty where the work has none.
func Paper(title, journal string, year int, doi, note string) Source {
	return Source{class: Published, title: title, journal: journal, year: year, doi: doi, note: note}
}

// CommonPractice is what the trade does, without a source.
func CommonPractice(note string) Source { return Source{class: Practice, note: note} }

// FromMemory is a remembered figure: editable, and shown as unverified.
func FromMemory(note string) Source { return Source{class: Memory, note: note} }

// FromHouse is a programme's own rule.
func FromHouse(note string) Source { return Source{class: House, note: note} }

// ComputedFrom is a figure that follows from others.
func ComputedFrom(note string) Source { return Source{class: Computed, note: note} }

// Class returns the class, empty for the invalid zero Source.
func (s Source) Class() Class { return s.class }

// Note returns the remark beside the source.
func (s Source) Note() string { return s.note }

// String cites the source in one line.
func (s Source) String() string {
	switch s.class {
	case Published:
		text := s.title
		if s.journal != "" {
			text += ". " + s.journal
		}
		if s.year != 0 {
			text += fmt.Sprintf(" %d", s.year)
		}
		if s.doi != "" {
			text += ", DOI " + s.doi
		}
		return join("published: "+text, s.note)
	case Practice:
		return join("common practice, no source", s.note)
	case Memory:
		return join("unverified (from memory, no source seen)", s.note)
	case House:
		return join("house rule", s.note)
	case Computed:
		return join("computed", s.note)
	}
	return "no source"
}

func join(head, note string) string {
	if note == "" {
		return head
	}
	return head + ": " + note
}

// A Constant is a value together with its source. Its fields are hidden, so none
// exists without one.
type Constant[T any] struct {
	value T
	src   Source
}

// Of makes a constant. A source without a class is an error of ours.
func Of[T any](value T, src Source) Constant[T] {
	if src.class == "" {
		panic("internal error: a constant without a source")
	}
	return Constant[T]{value, src}
}

// Value returns the number.
func (c Constant[T]) Value() T { return c.value }

// Source returns where it comes from.
func (c Constant[T]) Source() Source { return c.src }
