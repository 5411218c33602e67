package casefile

import (
	"strconv"

	"backroad/internal/anatomy"
	"backroad/internal/interop/strict"
	"backroad/internal/tri"
	"backroad/internal/unit"
)

// unknown is the word for what nobody knows; it is part of every list of words whose
// key may be left out.
const unknown = "unknown"

// mostSegment is the highest number of a coronary segment (SCCT model, 18 segments).
const mostSegment = 18

// legBounds holds for a leg, and for what is measured along one.
var legBounds = strict.Bounds{Least: 0, Most: 600, Text: "0 to 600 mm"}

var targetKeys = &strict.Group[anatomy.Target]{Keys: []strict.Key[anatomy.Target]{
	{Name: "segment", Read: readSegment, Write: writeSegment},
	strict.AnswerKey("in_right_coronary", func(t *anatomy.Target) *tri.Answer { return &t.InRightCoronary }),
	strict.AnswerKey("ostial", func(t *anatomy.Target) *tri.Answer { return &t.Ostial }),
	strict.QuantityKey("length", unit.LegLength, legBounds, func(t *anatomy.Target) *unit.Measured[unit.Length] { return &t.Length }),
	strict.WordKey("stump", []string{"tapered", "blunt", "invisible", unknown}, func(t *anatomy.Target) *string { return &t.Stump }),
	strict.WordKey("cap", []string{"clear", "ambiguous", unknown}, func(t *anatomy.Target) *string { return &t.Cap }),
	strict.AnswerKey("calcification", func(t *anatomy.Target) *tri.Answer { return &t.Calcification }),
	strict.WordKey("calcification_degree", []string{"none", "mild", "moderate", "severe", unknown}, func(t *anatomy.Target) *string { return &t.CalcificationDegree }),
	strict.AnswerKey("bend_over_45", func(t *anatomy.Target) *tri.Answer { return &t.BendOver45 }),
	strict.WordKey("tortuosity", []string{"none", "mild", "severe", "unseen", unknown}, func(t *anatomy.Target) *string { return &t.Tortuosity }),
	strict.WordKey("collateral_filling", []string{"0", "1", "2", "3", unknown}, func(t *anatomy.Target) *string { return &t.CollateralFilling }),
	strict.AnswerKey("failed_before", func(t *anatomy.Target) *tri.Answer { return &t.FailedBefore }),
	strict.WordKey("distal_vessel", []string{"good", "poor", unknown}, func(t *anatomy.Target) *string { return &t.DistalVessel }),
	strict.AnswerKey("side_branch_at_cap", func(t *anatomy.Target) *tri.Answer { return &t.SideBranchAtCap }),
	strict.AnswerKey("in_stent", func(t *anatomy.Target) *tri.Answer { return &t.InStent }),
	strict.QuantityKey("landing", unit.LegLength, legBounds, func(t *anatomy.Target) *unit.Measured[unit.Length] { return &t.Landing }),
	strict.AnswerKey("proximal_prepared", func(t *anatomy.Target) *tri.Answer { return &t.ProximalPrepared }),
}}

func readSegment(r *strict.Reader, n strict.Node, t *anatomy.Target) {
	if n.Is(unknown) {
		t.SegmentUnknown = true
		return
	}
	t.Segment, _ = r.Whole(n, 1, mostSegment)
}

func writeSegment(t *anatomy.Target) strict.Doc {
	switch {
	case t.SegmentUnknown:
		return strict.Plain(unknown)
	case t.Segment == 0:
		return strict.Doc{}
	}
	return strict.Plain(strconv.Itoa(t.Segment))
}
