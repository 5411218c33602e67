package practicefile

import (
	"backroad/internal/fault"
	"backroad/internal/interop/strict"
	"backroad/internal/practice"
	"backroad/internal/rail"
)

// mostLines is how many lines an ending may have.
const mostLines = 1000

// readEnding reads the lines of an ending. Whether a step is in the plan is not known
// here: the plan is not made yet.
func readEnding(at func(*written) *[]string) func(*strict.Reader, strict.Node, *written) {
	lines := readLines(at, practice.CheckWritten)
	return func(r *strict.Reader, n strict.Node, w *written) {
		lines(r, n, w)
		if len(*at(w)) > mostLines {
			r.Fault(n, fault.TooLarge, "too many lines", "at most 1000 lines", "use `plan until STEP`")
		}
	}
}

func writeEnding(lines []string) strict.Doc {
	if len(lines) == 0 {
		return strict.Doc{}
	}
	docs := make([]strict.Doc, len(lines))
	for i, l := range lines {
		docs[i] = strict.Quoted(l)
	}
	return strict.Lines(docs)
}

func readCaught(r *strict.Reader, n strict.Node, w *written) {
	if rule, ok := r.OneOf(n, rail.RuleIDs()); ok {
		w.Caught = rule
	}
}

// checkEndings asks that a wrong ending names the rule that it breaks.
func checkEndings(r *strict.Reader, n strict.Node, w *written) {
	switch {
	case len(w.Wrong) > 0 && w.Caught == "":
		r.Missing(n, "caught", "caught: the rule that `wrong` breaks", "name the rule; `backroad explain` lists them")
	case len(w.Wrong) == 0 && w.Caught != "":
		r.Missing(n, "wrong", "wrong: the lines that break the rule in `caught`", "write them, or take `caught` away")
	}
}
