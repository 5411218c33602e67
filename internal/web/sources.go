package web

import (
	"context"
	"encoding/json"
	"fmt"

	"backroad/internal/anatomy"
	"backroad/internal/archive"
	"backroad/internal/fault"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/stock"
)

// source is a document as a request gives it: stored, by its id, or as a tree or text.
type source struct {
	ID      string          `json:"id"`
	Version int             `json:"version"` // 0: the newest
	Tree    json.RawMessage `json:"tree"`
	Text    *string         `json:"text"`
}

// text is a document's text, from where it came, and what places its faults.
type text struct {
	data    []byte
	ref     archive.Ref // the zero one where it came with the request
	place   Place
	faulty  []Fault // it is no document at all
	textual bool    // lines and columns mean something to whoever sent it
}

// textOf finds the text that a request means.
func (s *Server) textOf(ctx context.Context, kind archive.Kind, src *source) (*text, error) {
	given := 0
	for _, is := range []bool{src.ID != "", len(src.Tree) > 0, src.Text != nil} {
		if is {
			given++
		}
	}
	switch {
	case given != 1:
		return nil, badRequest("%s: give one of id, tree and text", kind)
	case src.Text != nil:
		data := []byte(*src.Text)
		return &text{data: data, place: s.Forms.Locate(data), textual: true}, nil
	case len(src.Tree) > 0:
		return s.fromTree(kind, src.Tree), nil
	}
	d, err := s.version(ctx, archive.Ref{Kind: kind, ID: src.ID, Version: src.Version})
	if err != nil {
		return nil, err
	}
	return &text{data: d.Text, ref: d.Ref, place: s.Forms.Locate(d.Text), textual: true}, nil
}

func (s *Server) fromTree(kind archive.Kind, tree json.RawMessage) *text {
	data, place, faults := s.Forms.Write(kind, tree)
	t := &text{data: data, place: place}
	for _, f := range faults {
		t.faulty = append(t.faulty, faultJSON(string(kind), f))
	}
	return t
}

// stored is a version of a document; version 0 is the newest.
func (s *Server) version(ctx context.Context, ref archive.Ref) (archive.Document, error) {
	if ref.Version == 0 {
		return s.Archive.Head(ctx, ref.Kind, ref.ID)
	}
	return s.Archive.At(ctx, ref)
}

// placed turns a reader's faults into those of an answer.
func (t *text) placed(in string, list fault.List) []Fault {
	faults := t.faulty
	if len(list) == 0 {
		return faults
	}
	for _, p := range t.place(list) {
		f := faultJSON(in, p)
		if !t.textual {
			f.Line, f.Col = 0, 0
		}
		faults = append(faults, f)
	}
	return faults
}

// outcome is what reading a text came to.
type outcome[T any] struct {
	value  *T
	faults fault.List
}

// shelf reads a shelf.
func (s *Server) shelf(t *text) (*gear.Shelf, []Fault) {
	if len(t.faulty) > 0 {
		return nil, t.faulty
	}
	o := remember(s.memory, "shelf", t.data, func() outcome[gear.Shelf] {
		v, faults := s.Files.ReadShelf("shelf", t.data)
		return outcome[gear.Shelf]{v, faults}
	})
	return o.value, t.placed("shelf", o.faults)
}

// house reads a house file.
func (s *Server) house(t *text) (*house.Rules, []Fault) {
	if len(t.faulty) > 0 {
		return nil, t.faulty
	}
	o := remember(s.memory, "house", t.data, func() outcome[house.Rules] {
		v, faults := s.Files.ReadHouse("house", t.data)
		return outcome[house.Rules]{v, faults}
	})
	return o.value, t.placed("house", o.faults)
}

// caseOf reads a case; with a shelf it looks up what the case pins.
func (s *Server) caseOf(t *text, shelf *gear.Shelf) (*anatomy.Case, []Fault) {
	if len(t.faulty) > 0 {
		return nil, t.faulty
	}
	c, faults := s.Files.ReadCase("case", t.data, shelf)
	return c, t.placed("case", faults)
}

// readable reads a document of any kind and gives its title ("" where the file has none)
// and its faults.
func (s *Server) readable(kind archive.Kind, t *text) (title string, faults []Fault) {
	switch kind {
	case archive.Case:
		c, faults := s.caseOf(t, nil)
		if c == nil {
			return "", faults
		}
		return c.Code, nil
	case archive.Practice:
		return s.savedTitle(t)
	case archive.Shelf:
		_, faults = s.shelf(t)
	default:
		_, faults = s.house(t)
	}
	return "", faults
}

// usable is what of a shelf a case can use today.
func (s *Server) usable(t *text, shelf *gear.Shelf, code string) *gear.Shelf {
	day := s.Today()
	return remember(s.memory, fmt.Sprintf("usable %s %s", day, code), t.data, func() *gear.Shelf { return stock.Usable(shelf, day, code) })
}
