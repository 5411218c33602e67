package lumen

import (
	"math"

	"backroad/internal/unit"
	"backroad/internal/verdict"
)

// rounding is the difference below which two sizes count as equal. A size written in
// inch, French or millimetres is rounded to float64 once or twice and a few of them
// are added: errors near 1e-15 mm. Labels are printed to 0.001 in = 0.0254 mm. The
// value lies far from both, so it hides no difference that a label can show. One
// nanometre of steel is four atoms.
const rounding = 1e-9 // mm

// Answer is what a lumen check says.
type Answer struct {
	// Spare is what is left of the bore, or of the allowance that the check is about;
	// below 0 it is what is missing. 0 mm where the verdict is unknown: it then means
	// nothing.
	Spare   unit.Length
	Verdict verdict.Verdict
}

// SideBySide answers for devices at the same place of a guide, extension or sheath:
// the spare is the bore less Enclosing; it fails below 0, is tight below tight, else
// works. Without devices the whole bore is spare.
func SideBySide(bore, tight unit.Length, d ...unit.Length) Answer {
	need := Enclosing(d...)
	if !isSize(bore) || !isSize(tight) || !isSize(need) {
		return unknown
	}
	a := ofSpare(bore - need)
	if a.Verdict == verdict.Works && settle(a.Spare-tight) < 0 {
		a.Verdict = verdict.Tight
	}
	return a
}

// InDevice answers for a wire or coil in its own device, by the label: works when
// diameter <= takes <= bore, else fails. The spare is takes - diameter, or
// bore - takes where that is below 0: the label then promises more than there is.
func InDevice(diameter, takes, bore unit.Length) Answer {
	if !isSize(diameter) || !isSize(takes) || !isSize(bore) {
		return unknown
	}
	if label := ofSpare(bore - takes); label.Verdict == verdict.Fails {
		return label
	}
	return ofSpare(takes - diameter)
}

// ExtensionByLabel answers for an extension in its guide where the item names the
// guide size it is made for: works when the guide is no smaller, else fails. Both are
// French sizes as lengths (1 Fr = 1/3 mm); the spare is their difference.
func ExtensionByLabel(guideFrench, forGuide unit.Length) Answer {
	if !isSize(guideFrench) || !isSize(forGuide) {
		return unknown
	}
	return ofSpare(guideFrench - forGuide)
}

// ExtensionByBore answers for an extension of the given outer diameter in its guide
// where no guide size is named: works when bore - outer >= clear, else fails. The
// spare is what is left beyond clear.
func ExtensionByBore(bore, outer, clear unit.Length) Answer {
	if !isSize(bore) || !isSize(outer) || !isSize(clear) {
		return unknown
	}
	return ofSpare(bore - outer - clear)
}

// Holds answers whether a trapping balloon holds what it pins in a tube: works when
// its nominal inflated diameter is no smaller than the bore, else fails; the pinned
// gear is not subtracted. The spare is inflated - bore. Whether the balloon gets
// there is a question for SideBySide.
func Holds(inflated, bore unit.Length) Answer {
	if !isSize(inflated) || !isSize(bore) {
		return unknown
	}
	return ofSpare(inflated - bore)
}

// unknown is the answer to a question with an input that is no size.
var unknown = Answer{Verdict: verdict.Unknown}

// ofSpare works from 0 on and fails below.
func ofSpare(spare unit.Length) Answer {
	spare = settle(spare)
	if spare < 0 {
		return Answer{spare, verdict.Fails}
	}
	return Answer{spare, verdict.Works}
}

// settle makes a difference that is only rounding 0.
func settle(spare unit.Length) unit.Length {
	if math.Abs(float64(spare)) <= rounding {
		return 0
	}
	return spare
}
