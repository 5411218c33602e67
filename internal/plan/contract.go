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

// Shelves is the contract of whoever keeps the shelf: its file, its table for
// spreadsheets, and the labels on the boxes. Nothing is opened: bytes are handed in.
type Shelves interface {
	// WriteShelf writes a shelf so that Files.ReadShelf gives it back.
	WriteShelf(s *gear.Shelf) []byte
	// EditShelf changes the text of a shelf file so that it says what want says, and
	// keeps its remarks and layout; rewritten lists the ids of items for which that was
	// not possible. Items that want adds stand behind the others. On a fault, out is nil.
	EditShelf(name string, data []byte, want *gear.Shelf) (out []byte, rewritten []string, faults fault.List)
	// ReadTable reads a table of comma-separated values: a shelf or every fault.
	ReadTable(name string, data []byte) (*gear.Shelf, fault.List)
	// WriteTable writes a table so that ReadTable gives the shelf back.
	WriteTable(s *gear.Shelf) []byte
	// ReadLabel reads what a scanner typed for a label; year is the present one. On a
	// fault, whose column counts the characters of the text, the label is the zero one.
	ReadLabel(text string, year int) (Label, *fault.Fault)
}

// Label is what the label on a box says; what it does not say is empty or 0.
type Label struct {
	Device   string // who made what
	IsGTIN   bool   // Device is a trade item number of 14 digits
	Lot      string
	Serial   string
	Expires  string // YYYY-MM-DD, the last day of use
	Quantity int    // pieces in the package
	Doubt    string // in words, how else the text could be read
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
