// Package archive is the contract of whoever keeps what the workbench works on: cases,
// shelves and house files as the plain text of their files, and plans.
//
// # Documents
//
// A document is a case, a shelf, a house file or a practice. It has an id that never changes and a
// row of versions, numbered from 1 without a gap. A version is never changed and never
// taken away: saving makes the next one, undoing makes a next one with an older text,
// putting a document away makes a next one that is marked Gone. Every version and every
// plan has a Seq: its place in the one order of the whole archive, which grows and is
// never used twice. Whoever asks for everything after n misses nothing that was
// acknowledged before.
//
// # Two people
//
// A save names the version that it started from (Base). Where that is no longer the
// newest, nothing is saved and the answer is a *Conflict that names the newest; nothing
// is overwritten. A save that says what the newest version says already (the same text
// and title, put away or not alike) is answered with that version, whatever its Base: a
// repeated click or a retry after a lost answer makes no second version and no conflict.
//
// # Plans
//
// A plan is kept with the versions of all that it was made from and the program's
// version, and is never changed.
//
// # Laws, held by every archive (package store/suite)
//
//	A1  What Save or KeepPlan has acknowledged is there after the process is killed.
//	A2  Versions of a document are 1, 2, 3, … ; exactly one of several savers with one
//	    Base wins.
//	A3  Texts come back to the byte, ids and titles to the character, in any script.
//	A4  Seq grows in the order of acknowledgement; Since(n) lists all that is after n,
//	    in order.
//	A5  An archive that can't be written says why (full disk, read only, a newer
//	    program's schema) and what to do, and stays readable where it can be read.
//	A6  A failed call leaves nothing behind.
package archive

import (
	"context"
	"errors"
)

// Kind is what a document is.
type Kind string

// The kinds of document.
const (
	Case  Kind = "case"
	Shelf Kind = "shelf"
	House Kind = "house"
	// Practice is what was done in a practice: where it started, and its log.
	Practice Kind = "practice"
)

// Kinds lists the kinds of document.
var Kinds = []Kind{Case, Shelf, House, Practice}

// The limits of an archive. They are the same for every store.
const (
	MostID    = 64      // characters of an id: letters of any script, digits, - and _
	MostTitle = 400     // characters of a title, on one line
	MostText  = 4 << 20 // bytes of a document's text, and of each part of a plan
)

// Time is an instant: microseconds since 1970-01-01 00:00 UTC. It is for people to read;
// nothing is ordered by it.
type Time int64

// Ref names one version of one document. Version 0 of a house file stands for the
// built-in defaults.
type Ref struct {
	Kind    Kind
	ID      string
	Version int
}

// Version is what is known of one version of a document besides its text.
type Version struct {
	Ref
	Seq    int64
	Title  string // what people call it: of a case its code
	Saved  Time
	Note   Note
	Of     int  // the version that this one stands for: itself, unless it is an undo or redo
	Before int  // the Of of the version that the text of Of was made from; 0: it was new
	Gone   bool // put away: kept, and not among the open documents
	Bytes  int  // of the text
}

// Note is how a version came about.
type Note string

// The notes.
const (
	Made     Note = "new"
	Edited   Note = "edited"
	Undone   Note = "undo"
	Redone   Note = "redo"
	TakenUp  Note = "an earlier version taken up again"
	Imported Note = "imported"
	PutAway  Note = "put away"
	Brought  Note = "brought back"
)

// Document is a version with its text.
type Document struct {
	Version
	Text []byte
}

// Draft is what is to be saved as the next version of a document. Base is the version it
// was made from, 0 for a new document. Of is 0, or the older version that it stands for,
// whose text it has. Without a Note it is Made or Edited.
type Draft struct {
	Kind  Kind
	ID    string
	Title string
	Base  int
	Note  Note
	Of    int
	Gone  bool
	Text  []byte
}

// Plan is a kept plan. JSON is what the interface shows, PDF and HTML are the brief card
// as it was printed. In lists, those three are nil. A Made of 0 is filled in by the archive.
type Plan struct {
	ID        string
	Seq       int64
	Made      Time
	Case      Ref
	Shelf     Ref
	House     Ref
	Program   string   // the version of the program
	Day       string   // YYYY-MM-DD: the day for which stock was counted
	Events    []string // sightings and movements, in order
	Route     string
	Finish    string
	TreatOver string
	Verdict   string
	P         float64 // joint probability; NoP: it has none
	NoP       bool
	JSON      []byte
	PDF       []byte
	HTML      []byte
}

// Change is one entry of the archive's one order: a new version of a document, or a plan.
type Change struct {
	Seq     int64
	Kind    Kind   // "" for a plan
	ID      string // of the document, or of the plan's case
	Version int
	Plan    string // id of the plan, "" for a document
}

// Archive keeps documents and plans. All methods may be called at the same time.
type Archive interface {
	// Head is the newest version of a document; ErrNotFound where there is none.
	Head(ctx context.Context, kind Kind, id string) (Document, error)
	// At is one version; ErrNotFound where there is none.
	At(ctx context.Context, ref Ref) (Document, error)
	// List gives the newest version of every document of a kind, the ones saved last first;
	// those that are put away too.
	List(ctx context.Context, kind Kind) ([]Version, error)
	// History lists the versions of a document, oldest first; ErrNotFound where there is none.
	History(ctx context.Context, kind Kind, id string) ([]Version, error)
	// Save makes the next version. It answers *Conflict where Base is not the newest, and
	// ErrNotFound where Base names a version of a document that is not there at all.
	Save(ctx context.Context, d Draft) (Version, error)
	// KeepPlan keeps a plan under a new ID, which must be set; one that is kept already
	// under that id is answered with as it is. ErrNotFound where a version that it was made
	// from is not there.
	KeepPlan(ctx context.Context, p Plan) (Plan, error)
	// Plan is a kept plan; ErrNotFound where there is none.
	Plan(ctx context.Context, id string) (Plan, error)
	// Plans lists the kept plans of a case, newest first, without JSON, PDF and HTML; none
	// where there is no such case.
	Plans(ctx context.Context, caseID string) ([]Plan, error)
	// Since lists at most limit changes after a place in the order, in order.
	Since(ctx context.Context, seq int64, limit int) ([]Change, error)
	// Backup writes all of it, as it is at one moment, into a new file that Open opens as an
	// archive of its own; nobody has to wait meanwhile. It fails where the file exists.
	Backup(ctx context.Context, file string) error
	// Close ends the use of the archive.
	Close() error
}

// ErrNotFound: there is no such document, version or plan.
var ErrNotFound = errors.New("not found")

// Conflict says that somebody else has saved since. Nothing was overwritten.
type Conflict struct {
	Base int     // what the save started from
	Head Version // what is the newest now
}

func (c *Conflict) Error() string { return "somebody else has saved a newer version" }

// Trouble is why an archive can't do what it should, in words for people.
type Trouble struct {
	Kind TroubleKind
	Says string // what is wrong
	Hint string // what to do
	Err  error  // the cause, for a log; never shown
}

// TroubleKind is the class of trouble.
type TroubleKind string

// The kinds of trouble.
const (
	Full      TroubleKind = "full"       // no space left
	ReadOnly  TroubleKind = "read only"  // it may not be written
	Newer     TroubleKind = "newer"      // a newer program has changed its form
	Busy      TroubleKind = "busy"       // somebody else holds it for too long
	Away      TroubleKind = "away"       // a server that can't be reached
	Broken    TroubleKind = "broken"     // what is there can't be read
	NotValid  TroubleKind = "not valid"  // an id, title or text beyond the limits
	NotUsable TroubleKind = "not usable" // anything else
)

func (t *Trouble) Error() string { return t.Says + "; " + t.Hint }

func (t *Trouble) Unwrap() error { return t.Err }
