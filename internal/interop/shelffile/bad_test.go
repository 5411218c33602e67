package shelffile

import (
	"testing"

	"backroad/internal/fault"
	"backroad/internal/interop/corpus"
)

// badFiles reads the labelled corpus. It fails on an empty one.
func badFiles(t testing.TB) []corpus.File {
	t.Helper()
	files, err := corpus.Read("shelf")
	if err != nil {
		t.Fatal(err)
	}
	return files
}

// Every bad file gives exactly the faults of its label, no value, and lines that begin
// with the place. The places in the labels were counted from marks set by hand in the
// texts, not taken from the reader.
func TestBadFiles(t *testing.T) {
	for _, f := range badFiles(t) {
		t.Run(string(f.Class)+"/"+f.Name, func(t *testing.T) {
			value, faults := Decode(corpus.GivenAs, f.Data)
			for _, problem := range f.Problems(value != nil, faults) {
				t.Error(problem)
			}
		})
	}
}

// Every kind of fault that the contract names for this kind of file has a bad file.
// TooLarge is tested with files made for it, at the boundary: TestSize in package
// strict. Unreadable and BadRequest are no faults of a file's content.
func TestBadFilesCoverTheKinds(t *testing.T) {
	for _, k := range corpus.Lacking(badFiles(t), fault.NotUTF8, fault.Syntax, fault.SecondDoc, fault.TooDeep, fault.Schema, fault.UnknownKey, fault.MissingKey, fault.DuplicateKey, fault.DuplicateID, fault.WrongKind, fault.NotInList, fault.BareNumber, fault.WrongUnit, fault.NotFinite, fault.Negative, fault.OutOfBounds, fault.Contradiction, fault.BadQuantity) {
		t.Errorf("no bad file of the class %s", k)
	}
}
