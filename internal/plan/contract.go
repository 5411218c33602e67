package plan

import (
	"io"

	"backroad/internal/anatomy"
	"backroad/internal/fault"
	"backroad/internal/gear"
	"backroad/internal/house"
)

// Files is the contract of whoever reads and writes the files of a plan. A Read
// returns either a value or every fault of the file, never both; name is the file's
// name as it was given and stands in the faults. Nothing is opened: the bytes are
// handed in, at most MaxFile and one more of them.
type Files interface {
	// ReadCase reads a case; with a shelf it also looks up the ids that the case pins.
	ReadCase(name string, data []byte, shelf *gear.Shelf) (*anatomy.Case, fault.List)
	ReadShelf(name string, data []byte) (*gear.Shelf, fault.List)
	ReadHouse(name string, data []byte) (*house.Rules, fault.List)
	// SchemaOf says what kind of file it is, "" where that can't be told.
	SchemaOf(data []byte) string
	// WriteCase writes a case so that ReadCase gives it back.
	WriteCase(c *anatomy.Case) []byte
	// WriteHouse writes what rules have that a house file can say.
	WriteHouse(r *house.Rules) []byte
}

// MaxFile is the largest file that is read, in bytes.
const MaxFile = 4 << 20

// Printer is the contract of whoever shows a result.
type Printer interface {
	// Text writes a page for reading; bold only where the reader's terminal shows it.
	Text(w io.Writer, r *Result, bold bool) error
	// JSON writes the contract plan/1.
	JSON(w io.Writer, r *Result) error
	// Card makes the brief card of the best plan, as "pdf" or "html".
	Card(format string, in Inputs, r *Result) ([]byte, error)
}
