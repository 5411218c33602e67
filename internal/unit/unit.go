// Package unit holds the physical quantities that the program reckons with, one
// named type each, and turns text into them and back.
//
// A quantity in a text is a number, a unit and optionally a standard deviation in
// the same unit:
//
//	55 mm    150 cm    0.014 in    6 Fr    62 mm ± 4    62 mm +- 4    unknown
//
// A bare number is an error: guessing a unit can hurt someone. The word "unknown" is
// a quantity too; what rests on it has no figure.
//
// Inside, every quantity is in one unit: lengths in millimetres, angles in radians,
// masses in kilograms, ages in years, fractions as 0 to 1, creatinine in micromoles
// per litre, haemoglobin in grams per decilitre. Conversions multiply or divide once
// in float64, so that `150 cm` is 1500 mm exactly and `0.014 in` is the float64
// nearest to 0.3556 mm but for one rounding.
//
// Laws, tested on random input:
//
//	U1  parse(print(x)) = x, to the bit, for every quantity, with and without deviation.
//	U2  A text is either a quantity or a fault, never both; no text makes the parser panic.
//	U3  Printing writes a unit that the kind accepts.
//
// The types do not catch a diameter used as a length, nor an inner diameter used as
// an outer one: both are lengths.
package unit

// Length is a distance or a diameter in millimetres.
// 1 Fr = 1/3 mm, 1 in = 25.4 mm (exact, by definition of the inch).
type Length float64

// Angle is a plane angle in radians.
type Angle float64

// Mass is a body mass in kilograms.
type Mass float64

// Age is a person's age in years.
type Age float64

// Fraction is a share of one: 48 % is 0.48.
type Fraction float64

// Creatinine is a serum creatinine in micromoles per litre.
// 1 mg/dL = 88.4 µmol/L (molar mass 113.12 g/mol, rounded as laboratories do).
type Creatinine float64

// Haemoglobin is a haemoglobin concentration in grams per decilitre.
type Haemoglobin float64

// Ratio is a number without a unit, such as a friction coefficient.
type Ratio float64

// Probability is a chance from 0 to 1.
type Probability float64

// MM returns the length in millimetres.
func (l Length) MM() float64 { return float64(l) }

// Degrees returns the angle in degrees.
func (a Angle) Degrees() float64 { return float64(a) / radiansPerDegree }

// Degrees makes an angle from degrees.
func Degrees(deg float64) Angle { return Angle(deg * radiansPerDegree) }

// A State says how a quantity is known.
type State uint8

// The states of a quantity.
const (
	Absent  State = iota // nothing was said
	Unknown              // the text says `unknown`
	Known                // there is a value
)

// Measured is a quantity as somebody gave it. Value and SD mean something only when
// State is Known; SD is 0 unless SDGiven.
type Measured[Q ~float64] struct {
	Value   Q
	SD      Q
	SDGiven bool
	State   State
}

// Exactly is a known quantity without a deviation of its own.
func Exactly[Q ~float64](v Q) Measured[Q] { return Measured[Q]{Value: v, State: Known} }

// WithSD is a known quantity with a standard deviation.
func WithSD[Q ~float64](v, sd Q) Measured[Q] {
	return Measured[Q]{Value: v, SD: sd, SDGiven: true, State: Known}
}

// Known reports whether there is a value.
func (m Measured[Q]) Known() bool { return m.State == Known }

// Given reports whether anything was said, be it `unknown`.
func (m Measured[Q]) Given() bool { return m.State != Absent }

// ClottingTime is an activated clotting time in seconds. Values of different
// analysers are not comparable.
type ClottingTime float64

// Duration is a span of time in minutes.
type Duration float64
