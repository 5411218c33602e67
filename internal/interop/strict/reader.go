package strict

import (
	"fmt"

	"backroad/internal/fault"
)

// Reader collects the faults of one file.
type Reader struct {
	file   string
	faults fault.List
	more   int // faults beyond those listed

	endLine, endCol int // behind the last character, once the file was looked at
}

// Clean reports whether there is no fault so far. A table that fills a list asks
// before it keeps an entry: beside a fault no value is returned anyway.
func (r *Reader) Clean() bool { return len(r.faults) == 0 }

// Fault records a fault at a value or key. A value that was refused already gets none.
func (r *Reader) Fault(n Node, kind fault.Kind, found, expected, hint string) {
	if n.Given() && !n.refused() {
		r.at(n.y.Line, n.y.Column, kind, found, expected, hint)
	}
}

// refuse records a fault and sees to it that nobody reports the value again.
func (r *Reader) refuse(n Node, kind fault.Kind, found, expected, hint string) {
	r.Fault(n, kind, found, expected, hint)
	n.y.Kind = refusedKind
}

// at records a fault at a place. The parser puts a line break behind a file that ends
// without one, and can stop there: such a place becomes the end of the file.
func (r *Reader) at(line, col int, kind fault.Kind, found, expected, hint string) {
	if len(r.faults) == MostFaults {
		r.more++
		return
	}
	if r.endLine > 0 && line > r.endLine {
		line, col = r.endLine, r.endCol
	}
	r.faults = append(r.faults, fault.New(kind, found, expected, hint).At(r.file, max(line, 1), max(col, 1)))
}

// OrUnknown is the hint for a quantity that is missing.
const OrUnknown = "add it; write `unknown` where nobody knows it"

// Missing records that a group lacks a key; need shows how it is written.
func (r *Reader) Missing(group Node, key, need, hint string) {
	r.Fault(group, fault.MissingKey, "no key "+fault.Quote(key)+" here", need, hint)
}

// list returns the faults, sorted; the last says how many more there are.
func (r *Reader) list() fault.List {
	list := r.faults.Sort()
	if r.more > 0 {
		last := &list[len(list)-1]
		last.Hint = fmt.Sprintf("%d more errors are not listed: mend these first, then check again", r.more)
	}
	return list
}
