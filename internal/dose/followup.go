package dose

import (
	"backroad/internal/source"
	"backroad/internal/unit"
)

var followUpPaper = source.Paper("Radiation Dose Management in PCI", "Interventional Cardiology", 2014, "10.15420/icr.2014.9.3.201", "table 2")

// SubstantialAirKerma, PhysicistAirKerma and SentinelSkinDose are the steps of the
// follow-up rules; each is passed by more than its value.
var (
	SubstantialAirKerma = source.Of(AirKerma(5), followUpPaper)
	PhysicistAirKerma   = source.Of(AirKerma(10), followUpPaper)
	SentinelSkinDose    = source.Of(PeakSkinDose(15), followUpPaper)
)

// Action is one thing to do, and why.
type Action struct {
	Do     string
	Why    string
	Source source.Source
}

// Each step's actions, made once.
var (
	substantial = []Action{
		{"note the dose in the chart", "reference air kerma above 5 Gy", followUpPaper},
		{"inform the patient", "reference air kerma above 5 Gy", followUpPaper},
		{"arrange follow-up of the skin", "reference air kerma above 5 Gy", followUpPaper},
	}
	physicist = Action{"a qualified physicist calculates the skin dose", "reference air kerma above 10 Gy", followUpPaper}
	sentinel  = Action{"report to risk management: sentinel event review", "peak skin dose above 15 Gy", followUpPaper}
)

// Always are the habits that hold at any dose.
var Always = []Action{
	{"record fluoroscopy time, reference air kerma and kerma-area product", "", followUpPaper},
	{"look at the skin of the back before a repeat procedure", "", followUpPaper},
	{"prefer 7.5 frames per second", "", followUpPaper},
}

// Plan is what follows from the doses of a procedure: what is to be done as far as is
// known, and which dose is missing for the rest.
type Plan struct {
	Actions []Action
	Missing []string
}

// FollowUp applies the follow-up rules. A missing air kerma or skin dose is named; it
// is never taken from the other. A negative dose, or none that is a number, is missing.
func FollowUp(k unit.Measured[AirKerma], skin unit.Measured[PeakSkinDose]) Plan {
	var p Plan
	if !sound(k) {
		p.Missing = append(p.Missing, "reference air kerma")
	}
	if sound(k) && k.Value > SubstantialAirKerma.Value() {
		p.Actions = append(p.Actions, substantial...)
	}
	if sound(k) && k.Value > PhysicistAirKerma.Value() {
		p.Actions = append(p.Actions, physicist)
	}
	if !sound(skin) {
		p.Missing = append(p.Missing, "peak skin dose (air kerma is not skin dose)")
	}
	if sound(skin) && skin.Value > SentinelSkinDose.Value() {
		p.Actions = append(p.Actions, sentinel)
	}
	return p
}

// sound reports a known dose of 0 or more: anything else is no dose.
func sound[Q ~float64](m unit.Measured[Q]) bool { return m.Known() && m.Value >= 0 }
