package strict

import (
	"math"

	"backroad/internal/fault"
	"backroad/internal/unit"
)

// Bounds is what a quantity can plausibly be, in the base unit of its kind.
type Bounds struct {
	Least, Most float64
	Text        string // the same in words
}

// Unbounded lets every finite value through.
var Unbounded = Bounds{0, math.Inf(1), "any size"}

// The plausible bounds that several file kinds share.
var (
	Part     = Bounds{0, 4000, "0 to 4000 mm"}     // a part of a device, or a balloon, stent or coil
	Device   = Bounds{100, 4000, "100 to 4000 mm"} // the effective length of a device
	Diameter = Bounds{0.1, 20, "0.1 to 20 mm"}
)

// Quantity reads a quantity, or `unknown`.
func Quantity[Q ~float64](r *Reader, n Node, k *unit.Kind, b Bounds) (unit.Measured[Q], bool) {
	none := unit.Measured[Q]{}
	if !n.isText() {
		r.Fault(n, fault.WrongKind, n.Words(), k.Name()+" such as "+fault.Quote(k.Example()), "write a number and a unit, or `unknown`")
		return none, false
	}
	m, f := unit.Parse[Q](n.Scalar(), k)
	if f != nil {
		r.badQuantity(n, k, f)
		return none, false
	}
	if m.Known() && !r.within(n, float64(m.Value), k, b) {
		return none, false
	}
	return m, true
}

// badQuantity places the fault of a quantity's text. What YAML takes for a number is
// a bare one, in whatever way it is written.
func (r *Reader) badQuantity(n Node, k *unit.Kind, f *fault.Fault) {
	odd := f.Kind == fault.BadQuantity || f.Kind == fault.WrongUnit
	if n.number() && odd {
		f = fault.New(fault.BareNumber, n.Words(), k.Name()+" such as "+fault.Quote(k.Example()), "write the number with its unit")
	}
	r.Fault(n, f.Kind, f.Found, f.Expected, f.Hint)
}

// Rounding is how far, as a share of itself, a value can lie outside of a bound, or of
// another value, that it equals as it is written: conversion to the base unit rounds
// at most twice, by 2^-53 each, on either side. 0.3 Fr is 0.09999999999999999 mm.
const Rounding = 4 * 0x1p-53

func (r *Reader) within(n Node, value float64, k *unit.Kind, b Bounds) bool {
	if value >= b.Least*(1-Rounding) && value <= b.Most*(1+Rounding) {
		return true
	}
	r.Fault(n, fault.OutOfBounds, n.Words(), k.Name()+" of "+b.Text, "is the unit right, and every digit?")
	return false
}

// Range reads a smallest and largest size, or one that is both; `unknown` is 0 and 0.
func (r *Reader) Range(n Node, k *unit.Kind, b Bounds) (least, most unit.Length, ok bool) {
	switch {
	case !n.isText():
		r.Fault(n, fault.WrongKind, n.Words(), "a size such as “18-30 mm”", "write one or two numbers and a unit, or `unknown`")
		return 0, 0, false
	case n.Scalar() == "unknown":
		return 0, 0, true
	}
	least, most, f := unit.ParseRange(n.Scalar(), k)
	if f != nil {
		r.badQuantity(n, k, f)
		return 0, 0, false
	}
	if !r.within(n, least.MM(), k, b) || !r.within(n, most.MM(), k, b) {
		return 0, 0, false
	}
	return least, most, true
}

// Measure writes a quantity; nothing where nothing was said.
func Measure[Q ~float64](m unit.Measured[Q], k *unit.Kind) Doc {
	if !m.Given() {
		return Doc{}
	}
	return Plain(unit.Print(m, k))
}

// Span writes what Range reads.
func Span(least, most unit.Length, k *unit.Kind) Doc {
	if least == 0 && most == 0 {
		return Plain("unknown")
	}
	if least == most {
		return Measure(unit.Exactly(most), k)
	}
	return Plain(unit.PrintRange(least, most, k))
}
