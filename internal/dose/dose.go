// Package dose holds the X-ray dose of a procedure: its quantities, what follows when
// a line is crossed, what skin may do at a dose, and what others used.
//
// Quantities, each its own type, so that none is taken for another:
//
//	AirKerma      reference air kerma in Gy: what the machine shows, at a point in the air
//	KermaArea     kerma-area product in Gy·cm²: 1 Gy·cm² = 100 µGy·m² = 1000 mGy·cm²
//	PeakSkinDose  the highest dose of any one patch of skin in Gy: a physicist computes it
//	Fluoroscopy   fluoroscopy time in minutes: says little about dose
//
// Air kerma is not skin dose: it knows neither the table, the back scatter nor that the
// beam moved. The 5 and 10 Gy steps of the follow-up rules are air kerma, the 15 Gy
// step is peak skin dose; the compiler refuses to compare the two.
//
// Not here: a notification ladder during the procedure, and reference levels for
// occlusions in particular. Neither was seen in a source that could be read.
//
// Laws, tested on random input:
//
//	D1  A higher air kerma or skin dose never takes an action away.
//	D2  No air kerma whatever brings the 15 Gy step, and no skin dose the 5 or 10 Gy step.
//	D3  Every dose from 0 lies in exactly one skin band; an edge belongs to the higher.
//	D4  Kerma-area units round-trip.
package dose

import "backroad/internal/unit"

// AirKerma is a reference air kerma in gray, 0 or more.
type AirKerma float64

// KermaArea is a kerma-area product in Gy·cm², 0 or more.
type KermaArea float64

// PeakSkinDose is the highest skin dose of one patch, in gray, 0 or more.
type PeakSkinDose float64

// Fluoroscopy is a fluoroscopy time in minutes, 0 or more.
type Fluoroscopy float64

// Conversions, by definition: 1 m² = 10⁴ cm².
const (
	microGyM2PerGyCm2 = 100
	milliGyCm2PerGy   = 1000
	gyCm2PerMilliGyM2 = 10
)

// MicroGyM2 makes a kerma-area product from µGy·m², as many machines report it.
func MicroGyM2(v float64) KermaArea { return KermaArea(v / microGyM2PerGyCm2) }

// MilliGyCm2 makes a kerma-area product from mGy·cm².
func MilliGyCm2(v float64) KermaArea { return KermaArea(v / milliGyCm2PerGy) }

// MilliGyM2 makes a kerma-area product from mGy·m².
func MilliGyM2(v float64) KermaArea { return KermaArea(v * gyCm2PerMilliGyM2) }

// MicroGyM2 returns the product in µGy·m².
func (k KermaArea) MicroGyM2() float64 { return float64(k) * microGyM2PerGyCm2 }

// MilliGyCm2 returns the product in mGy·cm².
func (k KermaArea) MilliGyCm2() float64 { return float64(k) * milliGyCm2PerGy }

// Minutes makes a fluoroscopy time from a duration.
func Minutes(d unit.Duration) Fluoroscopy { return Fluoroscopy(d) }
