package casefile

import (
	"backroad/internal/interop/strict"
	"backroad/internal/patient"
	"backroad/internal/tri"
	"backroad/internal/unit"
)

// The plausible bounds of a patient's figures, in the base units of package unit.
var (
	ageBounds         = strict.Bounds{Least: 18, Most: 110, Text: "18 to 110 y"}
	weightBounds      = strict.Bounds{Least: 25, Most: 300, Text: "25 to 300 kg"}
	heightBounds      = strict.Bounds{Least: 1000, Most: 2300, Text: "100 to 230 cm"}
	creatinineBounds  = strict.Bounds{Least: 20, Most: 2000, Text: "20 to 2000 umol/L"}
	haemoglobinBounds = strict.Bounds{Least: 3, Most: 25, Text: "3 to 25 g/dL"}
	haematocritBounds = strict.Bounds{Least: 0.10, Most: 0.75, Text: "10 to 75 %"}
	lvefBounds        = strict.Bounds{Least: 0.05, Most: 0.90, Text: "5 to 90 %"}
)

var patientKeys = &strict.Group[patient.Patient]{Keys: []strict.Key[patient.Patient]{
	strict.QuantityKey("age", unit.AgeKind, ageBounds, func(p *patient.Patient) *unit.Measured[unit.Age] { return &p.Age }),
	strict.WordKey("sex", []patient.Sex{patient.Male, patient.Female, patient.SexUnknown}, func(p *patient.Patient) *patient.Sex { return &p.Sex }),
	strict.QuantityKey("weight", unit.MassKind, weightBounds, func(p *patient.Patient) *unit.Measured[unit.Mass] { return &p.Weight }),
	strict.QuantityKey("height", unit.HeightKind, heightBounds, func(p *patient.Patient) *unit.Measured[unit.Length] { return &p.Height }),
	strict.QuantityKey("creatinine", unit.CreatKind, creatinineBounds, func(p *patient.Patient) *unit.Measured[unit.Creatinine] { return &p.Creatinine }),
	strict.QuantityKey("haemoglobin", unit.HbKind, haemoglobinBounds, func(p *patient.Patient) *unit.Measured[unit.Haemoglobin] { return &p.Haemoglobin }),
	strict.QuantityKey("haematocrit", unit.PercentKind, haematocritBounds, func(p *patient.Patient) *unit.Measured[unit.Fraction] { return &p.Haematocrit }),
	strict.QuantityKey("lvef", unit.PercentKind, lvefBounds, func(p *patient.Patient) *unit.Measured[unit.Fraction] { return &p.LVEF }),
	strict.AnswerKey("diabetes", func(p *patient.Patient) *tri.Answer { return &p.Diabetes }),
	strict.AnswerKey("prior_bypass", func(p *patient.Patient) *tri.Answer { return &p.PriorBypass }),
	strict.AnswerKey("heart_failure", func(p *patient.Patient) *tri.Answer { return &p.HeartFailure }),
	strict.AnswerKey("heart_failure_2_weeks", func(p *patient.Patient) *tri.Answer { return &p.HeartFailure2Weeks }),
	strict.AnswerKey("prior_cardiac_arrest", func(p *patient.Patient) *tri.Answer { return &p.PriorCardiacArrest }),
	strict.AnswerKey("hypotension", func(p *patient.Patient) *tri.Answer { return &p.Hypotension }),
	strict.AnswerKey("balloon_pump", func(p *patient.Patient) *tri.Answer { return &p.BalloonPump }),
	strict.WordKey("presentation", []patient.Presentation{patient.Stable, patient.Unstable, patient.STEMI, patient.PresentationUnknown},
		func(p *patient.Patient) *patient.Presentation { return &p.Presentation }),
}}
