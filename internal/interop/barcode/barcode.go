// Package barcode reads the text that a hand scanner types for the label of a medical
// device: GS1 element strings and HIBC supplier labels.
//
// # What is read
//
// In front may stand a symbology identifier (ISO/IEC 15424: "]" and two characters);
// it never changes what the text says, with one exception: after ]E0, ]E4 and ]I1
// stands a trade item number alone, of 13, 8 and 14 digits. Behind may stand carriage
// returns and line feeds. Blanks are not cut: a blank can be a check character.
//
// A text that begins with "+" is HIBC (ANSI/HIBC 2.6, Supplier Labeling Standard): a
// primary data structure, a secondary one, or both joined by "/", with supplements. It
// may stand between asterisks, as the caption under the symbol does; then "_" is a
// blank. Every other text is GS1 (GS1 General Specifications, sections 3 and 7.8):
// element strings one after another, each of variable length ended by FNC1 (ASCII 29,
// GS) or by the end, or the form for people, "(01)…(17)…(10)…".
//
// A year of two digits lies from 49 years before to 50 years after the year that the
// caller gives (GS1 General Specifications 7.12; a rule of HIBC's own was not found, the
// same is used). Day 00 of a GS1 date is the last day of the month; so is the expiry of
// an HIBC label that gives month and year alone (from memory). Hours are checked and
// left out.
//
// An element whose identifier is not known here is kept as read: its length follows
// from its first two digits where the standard predefines it, else it runs to FNC1.
//
// # Scanners that drop FNC1
//
// Such a text can't be read with certainty. Refused is one whose last element is
// longer than it may be, or in which a whole dated or check-digited element and
// nothing broken follows a possible cut. A lot that may hold a serial number, or the
// other way round, is read as the standard says and Doubt says so: to refuse it would
// refuse every lot number that contains 21. The form with brackets is never in doubt,
// and neither is a text with a separator anywhere: the scanner sends them.
//
// # Laws (tested on random input)
//
//	B1  what is printed with separators reads back the same
//	B2  brackets and separators say the same
//	B3  one wrong digit in a trade item number is always refused
//	B4  one wrong character of an HIBC text, after the flag, is always refused
//	B5  no symbology identifier changes the result
//	B6  on a fault the label is the zero Label; on none it has a system and says
//	    something; the place of a fault lies in the text or just behind it
//	B7  a trade item number matches in each of its lengths, and no other number does
//	B8  a primary and a secondary structure joined say what one symbol of both says
//
// # Out of scope
//
// The rules on which GS1 elements belong together on one item; the GS1 Digital Link;
// HIBC provider labels ("+/"); the labels of blood and tissue banks. Whether a company
// or product exists is not known here.
package barcode

import (
	"strings"

	"backroad/internal/fault"
)

// System is the standard that a label follows.
type System string

// The systems.
const (
	GS1  System = "gs1"
	HIBC System = "hibc"
)

// An Element is one part of a label as it was read. ID is the GS1 application
// identifier; of HIBC it is "+" for the primary structure, "$", "$+", "$$", "$$+" or
// "" (a date YYJJJ) for the secondary, else the data identifier of a supplement.
type Element struct{ ID, Text string }

// A Label is what a symbol says. What it does not say is empty or 0.
type Label struct {
	System System
	// Device is, of GS1, the 14 digits of the trade item number: of the item itself
	// (01), else of the items that the package contains (02). Of HIBC it is labeler,
	// product or catalogue number and unit of measure, without flag and check character.
	Device      string
	Lot, Serial string
	// Expires and Made are days as YYYY-MM-DD. A best-before date is no expiry date.
	Expires, Made string
	// Quantity is the count that the label names, at least 1.
	Quantity int
	// Link is, of HIBC, the check character of the primary structure: its own, or the
	// one that a secondary structure in a symbol of its own points to.
	Link string
	// Doubt says in words how else the text could be read, see the package comment.
	Doubt string
	// Elements are all parts in the order in which they were read.
	Elements []Element
}

// Parse reads what a scanner typed. The year is the present one, 1900 to 9900: it
// decides the century of a date. A fault stands in line 1 of a file without a name,
// its column counts the characters of the text from 1; the label is then the zero one.
func Parse(text string, year int) (Label, *fault.Fault) {
	if year < 1900 || year > 9900 {
		return Label{}, wrong(0, fault.BadRequest, "no such year as the present one", "1900 to 9900", "give the year of the scan")
	}
	p, f := clean(text)
	if f != nil {
		return Label{}, f
	}
	symbol, p, f := takePrefix(p)
	if f != nil {
		return Label{}, f
	}
	l, f := read(symbol, p, year)
	if f == nil && l.silent() {
		f = wrong(p.at, fault.MissingKey, "a text that names no device, lot, serial number, date or quantity", "a label such as (01)09506000134352(10)A1", "scan the symbol with the device identifier; in front of a trade item number alone type (01)")
	}
	if f != nil {
		return Label{}, f
	}
	return l, nil
}

func read(symbol string, p piece, year int) (Label, *fault.Fault) {
	p = caption(p)
	switch {
	case bareLength[symbol] != 0:
		return readBare(p, bareLength[symbol])
	case !strings.HasPrefix(p.text, hibcFlag):
		return readGS1(p, year)
	case gs1Symbols[symbol]:
		return Label{}, wrong(p.at, fault.Contradiction, "an HIBC text after the mark "+fault.Quote(symbol)+" of GS1", "an application identifier", "scan again; if it stays so, the label is wrongly made")
	}
	return readHIBC(p, year)
}

// silent reports whether a label says nothing that the program can use.
func (l Label) silent() bool {
	return l.Device == "" && l.Lot == "" && l.Serial == "" && l.Expires == "" && l.Made == "" && l.Quantity == 0
}

// Matches reports whether the label is of the trade item number, written with 8, 12, 13
// or 14 digits. An item and a package of several have different numbers and don't match.
func (l Label) Matches(gtin string) bool {
	full, ok := fourteen(gtin)
	return ok && l.Device == full // that of HIBC begins with a letter
}

// fourteen fills a trade item number up with zeros in front (GS1 General
// Specifications 3.3.2), false for a text that is none.
func fourteen(gtin string) (string, bool) {
	switch len(gtin) {
	case 8, 12, 13, 14:
		return strings.Repeat("0", 14-len(gtin)) + gtin, digitsOnly(gtin)
	}
	return "", false
}

// String gives the text that a scanner would type for a label that Parse gave; Parse
// reads it as the same label. A GS1 element of variable length is ended by a separator, the last one
// too: that keeps it out of doubt. Only a label that is in doubt has none.
func (l Label) String() string {
	switch l.System {
	case GS1:
		return l.gs1Text()
	case HIBC:
		return l.hibcText()
	}
	return ""
}
