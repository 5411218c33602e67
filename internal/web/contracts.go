package web

import (
	"context"
	"encoding/json"
	"io"

	"backroad/internal/archive"
	"backroad/internal/fault"
	"backroad/internal/plan"
	"backroad/internal/risk"
)

// Placed is a fault with the path of the tree that it is about; of a missing key, Path
// is the group that lacks it.
type Placed struct {
	fault.Fault
	Path    string
	Missing string
}

// Place says what faults of a text are about.
type Place func(fault.List) []Placed

// Leaf is one value of a tree: its path and its text. An empty group or list is one too,
// with the text {} or [].
type Leaf struct{ Path, Text string }

// Forms is the contract of whoever turns trees into the texts of files and back.
type Forms interface {
	// Write gives the text of a tree in JSON, and what places faults of that text in the
	// tree; of what is no tree every fault instead.
	Write(kind archive.Kind, tree json.RawMessage) (text []byte, place Place, faults []Placed)
	// Read gives the tree of a text that was read without a fault; ok is false where it is
	// no file.
	Read(text []byte) (tree json.RawMessage, ok bool)
	// Locate gives what places faults of a text that somebody wrote.
	Locate(text []byte) Place
	// Leaves lists the values of a text that was read without a fault, in order.
	Leaves(text []byte) []Leaf
	// Schemas are the names of the forms of files that are read and written.
	Schemas() map[archive.Kind]string
	// Words says what the keys of the files are: for lists and explanations of pages.
	Words() FileWords
}

// FileWords is what pages know of the keys of files, worked out by the readers themselves.
type FileWords struct {
	CaseKeys map[string]KeyWords `json:"case_keys"`
	Classes  []ClassWords        `json:"classes"`
}

// KeyWords is what a key holds.
type KeyWords struct {
	Kind     string   `json:"kind"`            // quantity, answer, word, whole, text, group, list
	Words    []string `json:"words,omitempty"` // of a word
	Says     string   `json:"says"`
	Required bool     `json:"required"`
	Example  string   `json:"example,omitempty"`
}

// ClassWords is what a class of item has.
type ClassWords struct {
	Class string     `json:"class"`
	Keys  []ClassKey `json:"keys"`
}

// ClassKey is one key of an item.
type ClassKey struct {
	Name string `json:"name"`
	KeyWords
}

// Page is what the answer to a plan shows: one plan whole, the others in a line.
type Page struct {
	Result          *plan.Result
	Shown           *plan.Plan
	Remedies, Fixes []json.RawMessage // what one click on each changes
	Risk            *risk.Report
}

// Printer is the contract of whoever shows results.
type Printer interface {
	// Page writes the plan of an answer as JSON in one line.
	Page(w io.Writer, p *Page) error
	// Card makes the brief card of the best plan of a result: pdf, html or svg.
	Card(format string, in plan.Inputs, r *plan.Result) ([]byte, error)
	// Risk and Limits write as JSON in one line.
	Risk(w io.Writer, r *risk.Report) error
	Limits(w io.Writer, n *risk.Now) error
}

// Totals reads the totals of a procedure as people write them, by name; the faults name
// them in File.
type Totals func(given map[string]string) (*risk.Totals, fault.List)

// Moving is the contract of whoever moves what is in an archive as plain files.
type Moving interface {
	// Export writes every open document and the kept plans as a zip.
	Export(ctx context.Context, w io.Writer, a archive.Archive) error
	// Import takes in such a zip, or, with a fault.List, nothing.
	Import(ctx context.Context, name string, zip []byte, a archive.Archive) (added []archive.Version, same []archive.Ref, err error)
}
