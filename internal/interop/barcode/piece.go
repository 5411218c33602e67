package barcode

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"backroad/internal/fault"
)

// A piece is a part of the typed text with the place of its first character, from 0.
// After clean every character is one byte, so that places and offsets are the same.
type piece struct {
	at   int
	text string
}

// cut splits a piece after n characters.
func (p piece) cut(n int) (piece, piece) {
	return piece{p.at, p.text[:n]}, piece{p.at + n, p.text[n:]}
}

// end is the place just behind the piece.
func (p piece) end() int { return p.at + len(p.text) }

// wrong makes a fault that stands at a place of the text.
func wrong(at int, kind fault.Kind, found, expected, hint string) *fault.Fault {
	f := fault.New(kind, found, expected, hint).At("", 1, at+1)
	return &f
}

// longest is the most characters that a symbol can hold: 7089 digits in the largest QR
// code (ISO/IEC 18004, from memory).
const longest = 7089

// separator stands for FNC1 in what a scanner sends (GS1 General Specifications 7.8).
const separator = "\x1d"

const scanAgain = "scan the symbol again"

// clean takes line ends off and refuses what no symbol of a label holds.
func clean(text string) (piece, *fault.Fault) {
	text = strings.TrimRight(text, "\r\n")
	if text == "" {
		return piece{}, wrong(0, fault.Syntax, "nothing", "the text of a label", scanAgain)
	}
	for i, r := range text {
		switch {
		case r == utf8.RuneError && !strings.HasPrefix(text[i:], "\uFFFD"):
			return piece{}, wrong(i, fault.NotUTF8, fault.Quote(text[i:i+1]), "letters, digits and signs", scanAgain)
		case (r < ' ' || r > '~') && text[i:i+1] != separator:
			return piece{}, wrong(i, fault.NotInList, fault.Quote(string(r)), "letters A to Z, digits and signs, and the separator GS", "scan one symbol at a time; set the scanner to the layout of the keyboard")
		}
	}
	if len(text) > longest {
		return piece{}, wrong(longest, fault.OutOfBounds, fmt.Sprintf("%d characters", len(text)), fmt.Sprintf("at most %d, what a symbol can hold", longest), "scan one symbol at a time")
	}
	return piece{0, text}, nil
}

// digitsOnly reports whether a text is of digits.
func digitsOnly(s string) bool { return firstNot(s, digits) < 0 }

// firstNot is where the first character stands that is not in a set, -1 for none.
func firstNot(s, set string) int {
	return strings.IndexFunc(s, func(r rune) bool { return !strings.ContainsRune(set, r) })
}

const (
	digits  = "0123456789"
	capital = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
)

// needDigits refuses a piece that is not of digits, at the first other character.
func needDigits(p piece, what string) *fault.Fault {
	i := firstNot(p.text, digits)
	if i < 0 {
		return nil
	}
	return wrong(p.at+i, fault.WrongKind, fault.Quote(p.text[i:i+1])+" in "+what, "a digit", scanAgain)
}

// number is the value of at most eight digits.
func number(s string) int {
	n := 0
	for _, r := range s {
		n = 10*n + int(r-'0')
	}
	return n
}
