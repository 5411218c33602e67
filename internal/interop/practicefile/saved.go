package practicefile

import (
	"strings"

	"backroad/internal/anatomy"
	"backroad/internal/fault"
	"backroad/internal/interop/strict"
	"backroad/internal/practice"
)

// SavedSchema is what the first line of a saved practice says:
//
//	schema: practised/1
//	practised: the title
//	mode: lab                                      # or open
//	scenario: 04-guide-dives                       # of the program, or
//	case: {id: c-1, version: 3}                    # of the archive, with
//	shelf: {id: s-1, version: 2}
//	house: {id: h-1, version: 1}                   # left out: the built-in rules
//	show: {route: second septal, finish: guide-wiring, treat_over: rail}
//	events: ["retro_microcatheter at donor_tip shows 420 mm", "moved donor_guide in 4 mm"]
//	log: ["insert retro_microcatheter", "…"]
//
// The laws R1 to R5 of package strict hold for it too.
const SavedSchema = "practised/1"

// DecodeSaved reads a saved practice, nil when there is any fault. Whether the scenario
// and the documents are there is not known here.
func DecodeSaved(file string, data []byte) (*practice.Saved, fault.List) {
	w, list := strict.Decode(file, data, SavedSchema, savedKeys)
	if w == nil {
		return nil, list
	}
	return &w.Saved, nil
}

// EncodeSaved writes a saved practice that DecodeSaved could have returned.
func EncodeSaved(s *practice.Saved) []byte {
	return strict.Encode(SavedSchema, savedKeys, &savedFile{Saved: *s, hasCase: s.Case.ID != "", hasShelf: s.Shelf.ID != "", hasHouse: s.House.ID != "", hasShow: s.Show != practice.Way{}})
}

type savedFile struct {
	practice.Saved
	hasCase, hasShelf, hasHouse, hasShow bool
}

const mostVersion = 1_000_000_000

var keptKeys = &strict.Group[practice.Kept]{Keys: []strict.Key[practice.Kept]{
	strict.TextKey("id", func(k *practice.Kept) *string { return &k.ID }).Needed("the document's id"),
	{Name: "version", Read: func(r *strict.Reader, n strict.Node, k *practice.Kept) { k.Version, _ = r.Whole(n, 1, mostVersion) }, Write: func(k *practice.Kept) strict.Doc {
		if k.Version == 0 {
			return strict.Doc{}
		}
		return strict.Count(k.Version)
	}},
}}

var wayKeys = &strict.Group[practice.Way]{Keys: []strict.Key[practice.Way]{
	strict.TextKey("route", func(w *practice.Way) *string { return &w.Route }),
	strict.WordKey("finish", wordsOf(anatomy.Finishes[:]), func(w *practice.Way) *string { return &w.Finish }),
	strict.WordKey("treat_over", []string{string(anatomy.Rail), string(anatomy.AntegradeWire)}, func(w *practice.Way) *string { return &w.TreatOver }),
}}

func wordsOf[S ~string](list []S) []string {
	words := make([]string, len(list))
	for i, w := range list {
		words[i] = string(w)
	}
	return words
}

var savedKeys = &strict.Group[savedFile]{Keys: []strict.Key[savedFile]{
	strict.TextKey("practised", func(s *savedFile) *string { return &s.Title }).Needed("a title"),
	strict.WordKey("mode", []string{"open", "lab"}, func(s *savedFile) *string { return &s.Mode }).Needed("open"),
	strict.TextKey("scenario", func(s *savedFile) *string { return &s.Scenario }),
	strict.GroupKey("case", keptKeys, false, func(s *savedFile) *practice.Kept { return &s.Case }, func(s *savedFile) *bool { return &s.hasCase }),
	strict.GroupKey("shelf", keptKeys, false, func(s *savedFile) *practice.Kept { return &s.Shelf }, func(s *savedFile) *bool { return &s.hasShelf }),
	strict.GroupKey("house", keptKeys, false, func(s *savedFile) *practice.Kept { return &s.House }, func(s *savedFile) *bool { return &s.hasHouse }),
	strict.GroupKey("show", wayKeys, false, func(s *savedFile) *practice.Way { return &s.Show }, func(s *savedFile) *bool { return &s.hasShow }),
	{Name: "events", Read: readLines(func(s *savedFile) *[]string { return &s.Events }, func(text string) *fault.Fault { _, f := practice.ParseEvent(text); return f }), Write: func(s *savedFile) strict.Doc { return writeEnding(s.Events) }},
	{Name: "log", Read: readLines(func(s *savedFile) *[]string { return &s.Log }, func(text string) *fault.Fault { _, f := practice.ParseLine(text); return f }), Write: func(s *savedFile) strict.Doc { return writeEnding(s.Log) }},
}, Check: checkSaved}

// readLines reads a list of texts that a parser takes.
func readLines[T any](at func(*T) *[]string, parse func(string) *fault.Fault) func(*strict.Reader, strict.Node, *T) {
	return func(r *strict.Reader, n strict.Node, v *T) {
		r.ListOf(n, "lines", func(entry strict.Node) {
			text, ok := r.Text(entry)
			if !ok {
				return
			}
			if f := parse(text); f != nil {
				r.Fault(entry, f.Kind, f.Found, f.Expected, f.Hint)
				return
			}
			*at(v) = append(*at(v), strings.Join(strings.Fields(text), " "))
		})
	}
}

// checkSaved asks for one thing that the practice started from.
func checkSaved(r *strict.Reader, n strict.Node, s *savedFile) {
	switch {
	case s.Scenario == "" && !s.hasCase:
		r.Missing(n, "scenario", "scenario: the id of one of the program, or case: {id: …}", "say what the practice started from")
	case s.Scenario != "" && s.hasCase:
		r.Fault(n, fault.Contradiction, "a scenario and a case", "one of them", "take one away")
	case s.hasCase && !s.hasShelf:
		r.Missing(n, "shelf", "shelf: {id: …}", "say which shelf its gear was on")
	}
}
