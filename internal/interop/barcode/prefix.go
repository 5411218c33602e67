package barcode

import (
	"strings"

	"backroad/internal/fault"
)

// gs1Symbols are the symbology identifiers of symbols that hold element strings: GS1-128,
// DataBar and its composites, DataMatrix, QR, DotCode (GS1 General Specifications 5.1,
// figure of symbology identifiers).
var gs1Symbols = map[string]bool{"]C1": true, "]e0": true, "]e1": true, "]e2": true, "]d2": true, "]Q3": true, "]J1": true}

// bareLength gives the symbols that hold a trade item number alone, and its digits:
// EAN-13 with UPC, EAN-8, ITF-14 (the same figure).
var bareLength = map[string]int{"]E0": 13, "]E4": 8, "]I1": 14}

// otherSymbols are the first letters of the symbologies that an HIBC label may use, and
// GS1 labels now and then do without the mark of GS1: Code 39, Code 128, PDF417,
// Codablock F, QR, DataMatrix, Aztec (ISO/IEC 15424, from memory).
const otherSymbols = "ACLOQdz"

// takePrefix splits a symbology identifier off, "" where there is none.
func takePrefix(p piece) (string, piece, *fault.Fault) {
	if !strings.HasPrefix(p.text, "]") {
		return "", p, nil
	}
	if len(p.text) < 3 {
		return "", p, wrong(p.end(), fault.Syntax, "the end of the text", "two characters after “]” and a label", scanAgain)
	}
	mark, rest := p.cut(3)
	known := gs1Symbols[mark.text] || bareLength[mark.text] != 0 ||
		strings.Contains(otherSymbols, mark.text[1:2]) && strings.Contains(digits+capital, mark.text[2:])
	switch {
	case !known:
		return "", p, wrong(p.at, fault.NotInList, fault.Quote(mark.text)+" for the kind of symbol", "one that holds a device label, such as ]C1 or ]d2", "scan the other symbol of the label")
	case rest.text == "":
		return "", p, wrong(rest.at, fault.Syntax, "the end of the text", "a label after "+fault.Quote(mark.text), scanAgain)
	}
	return mark.text, rest, nil
}

// caption takes the asterisks off that stand around an HIBC text for people.
func caption(p piece) piece {
	if len(p.text) < 3 || p.text[:2] != "*"+hibcFlag || !strings.HasSuffix(p.text, "*") {
		return p
	}
	return piece{p.at + 1, strings.ReplaceAll(p.text[1:len(p.text)-1], "_", " ")}
}
