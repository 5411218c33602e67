package web

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"slices"

	"backroad/internal/archive"
	"backroad/internal/fault"
)

// Kind is the class of a failed request.
type Kind string

// The kinds.
const (
	BadRequest Kind = "request"
	Origin     Kind = "origin"
	NotFound   Kind = "not-found"
	NotAllowed Kind = "not-allowed"
	InConflict Kind = "conflict"
	Taken      Kind = "taken"
	Nothing    Kind = "nothing"
	TooLarge   Kind = "too-large"
	MediaType  Kind = "media-type"
	Faulty     Kind = "faults"
	SecondLook Kind = "second-look"
	NoPlan     Kind = "no-plan"
	StoreFails Kind = "store"
	Internal   Kind = "internal"
)

// statuses is the one table of kinds and statuses.
var statuses = map[Kind]int{BadRequest: 400, Origin: 403, NotFound: 404, NotAllowed: 405, InConflict: 409, Taken: 409, Nothing: 409, TooLarge: 413,
	MediaType: 415, Faulty: 422, SecondLook: 422, NoPlan: 422, StoreFails: 503, Internal: 500}

// Error is a failed request in words for people.
type Error struct {
	Kind     Kind      `json:"kind"`
	Says     string    `json:"says"`
	Hint     string    `json:"hint,omitempty"`
	Faults   []Fault   `json:"faults,omitempty"`
	Warnings []Warning `json:"warnings,omitempty"`
	Conflict *Conflict `json:"conflict,omitempty"`
}

// Error implements error.
func (e *Error) Error() string { return e.Says }

// Fault is one fault of a document or request with its place.
type Fault struct {
	In       string `json:"in"`
	Path     string `json:"path"`
	Missing  string `json:"missing,omitempty"`
	Kind     string `json:"kind"`
	Found    string `json:"found"`
	Expected string `json:"expected"`
	Hint     string `json:"hint"`
	Says     string `json:"says"`
	Line     int    `json:"line"`
	Col      int    `json:"col"`
}

// Warning is a text that may say who the patient is.
type Warning struct {
	Path      string `json:"path"`
	Text      string `json:"text"`
	LooksLike string `json:"looks_like"`
	Says      string `json:"says"`
}

// Conflict is what two people did to one document.
type Conflict struct {
	Base    int       `json:"base"`
	Head    version   `json:"head"`
	Changes []changed `json:"changes"`
}

type changed struct {
	Path   string  `json:"path"`
	Base   *string `json:"base"`
	Theirs *string `json:"theirs"`
	Yours  *string `json:"yours"`
}

func faultJSON(in string, p Placed) Fault {
	f := p.Fault
	return Fault{In: in, Path: p.Path, Missing: p.Missing, Kind: string(f.Kind), Found: fault.OneLine(f.Found), Expected: fault.OneLine(f.Expected),
		Hint: fault.OneLine(f.Hint), Says: f.Says(), Line: f.Line, Col: f.Col}
}

func faulty(list []Fault) error {
	return &Error{Kind: Faulty, Says: "the document has faults, so nothing was saved", Hint: "mend what is listed", Faults: list}
}

func badRequest(format string, args ...any) error {
	return &Error{Kind: BadRequest, Says: fault.OneLine(fmt.Sprintf(format, args...))}
}

func notFound(says string) error { return &Error{Kind: NotFound, Says: says} }

// errorOf turns any error into one that can be shown. What is not known to be fit for
// people is a defect: its text is not shown.
func errorOf(err error) *Error {
	var known *Error
	var trouble *archive.Trouble
	var conflict *archive.Conflict
	switch {
	case errors.As(err, &known):
		return known
	case errors.As(err, &trouble) && trouble.Kind == archive.NotValid:
		return &Error{Kind: BadRequest, Says: trouble.Says, Hint: trouble.Hint}
	case errors.As(err, &trouble):
		return &Error{Kind: StoreFails, Says: trouble.Says, Hint: trouble.Hint}
	case errors.As(err, &conflict):
		return &Error{Kind: InConflict, Says: conflict.Error(), Hint: "look at what has changed, then save again", Conflict: &Conflict{Base: conflict.Base, Head: versionOf(conflict.Head), Changes: []changed{}}}
	case errors.Is(err, archive.ErrNotFound):
		return &Error{Kind: NotFound, Says: "there is no such document, version or plan"}
	case errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded):
		return &Error{Kind: BadRequest, Says: "the request was given up"}
	}
	return &Error{Kind: Internal, Says: "the program has a defect here", Hint: "please report what you did; nothing was saved"}
}

// answered makes a handler of a function that may fail.
func (s *Server) answered(answer func(http.ResponseWriter, *http.Request) error) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		if err := answer(w, r); err != nil {
			writeError(w, errorOf(err))
		}
	}
}

func writeError(w http.ResponseWriter, e *Error) {
	e.Faults = slices.Clip(e.Faults)
	writeJSON(w, statuses[e.Kind], map[string]*Error{"error": e})
}

// oneLine is a value of ours as JSON.
func oneLine(v any) []byte {
	data, err := json.Marshal(v)
	if err != nil {
		panic("internal error: a value that is no JSON: " + err.Error())
	}
	return data
}

// writeJSON answers with a value. What fails while it is sent can't be told any more.
func writeJSON(w http.ResponseWriter, status int, v any) {
	data, err := json.Marshal(v)
	if err != nil {
		status, data = 500, []byte(`{"error":{"kind":"internal","says":"the program has a defect here"}}`)
	}
	writeRaw(w, status, "application/json; charset=utf-8", data)
}

func writeRaw(w http.ResponseWriter, status int, media string, data []byte) {
	h := w.Header()
	h.Set("Content-Type", media)
	if h.Get("Cache-Control") == "" {
		h.Set("Cache-Control", "no-store")
	}
	w.WriteHeader(status)
	_, _ = w.Write(data) // whoever went away needs no answer
}
