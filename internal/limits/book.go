package limits

import (
	"fmt"
	"slices"

	"backroad/internal/dose"
	"backroad/internal/house"
	"backroad/internal/patient"
	"backroad/internal/renal"
	"backroad/internal/source"
	"backroad/internal/unit"
)

// For draws the lines for a patient, the contrast in use, the weight that goes into the
// creatinine clearance, and a house.
func For(p patient.Patient, s unit.Measured[renal.Strength], w renal.Weight, r *house.Rules) *Book {
	b := &Book{}
	b.ladders[Contrast] = contrast(p, s, w)
	b.ladders[AirKerma] = Ladder{Lines: []Line{
		kerma(dose.SubstantialAirKerma, "5 Gy of reference air kerma"), kerma(dose.PhysicistAirKerma, "10 Gy of reference air kerma")}}
	b.ladders[PeakSkin] = Ladder{Lines: sorted(append(bands(), skin()))}
	b.ladders[KermaArea] = Ladder{Lines: elsewhere(dose.KermaAreas)}
	b.ladders[Fluoroscopy] = Ladder{Lines: elsewhere(dose.Fluoroscopies)}
	b.ladders[SinceClotting] = clock(r.Get(house.ClottingRecheck), "measure the clotting time again", false)
	b.ladders[InDonor] = clock(r.Get(house.DonorLook), "look at the donor artery", true)
	return b
}

// contrast draws every line for contrast that the inputs allow.
func contrast(p patient.Patient, s unit.Measured[renal.Strength], w renal.Weight) Ladder {
	var l Ladder
	c, g := renal.CreatinineClearance(p, w), renal.Filtration(p)
	denominator := fmt.Sprintf("creatinine clearance %.0f mL/min (%s)", float64(c.Value), w)
	ratios(&l, renal.VolumeByClearance, c.Figure, "mL per mL/min of "+denominator, func(v renal.Volume) renal.Volume { return v })
	indexed := fmt.Sprintf("filtration %.0f mL/min/1.73 m² (2021 equation; the paper's is older)", float64(g.Value))
	ratios(&l, renal.VolumeByFiltration, g, "mL per unit of "+indexed, func(v renal.Volume) renal.Volume { return v })
	if s.Known() && s.Value > 0 {
		ratios(&l, renal.IodineByFiltration, g, "g of iodine per unit of "+indexed, func(i renal.Iodine) renal.Volume { return renal.VolumeOf(i, s.Value) })
	} else {
		l.lacks("strength of the contrast (mg of iodine per mL)")
	}
	limit1989(&l, p)
	l.Lines = sorted(l.Lines)
	return l
}

// ratios draws the lines of one kind of ratio as volumes.
func ratios[N, D ~float64](l *Ladder, lines []renal.Threshold[N, D], by renal.Figure[D], per string, volume func(N) renal.Volume) {
	l.lacks(by.Missing...)
	if !by.Known || by.Value <= 0 {
		return
	}
	for _, t := range lines {
		if !t.Applies(by.Value) {
			continue
		}
		l.Lines = append(l.Lines, Line{At: float64(volume(t.Amount(by.Value))), On: t.At, Kind: Threshold,
			Says: fmt.Sprintf("%g %s", t.Line, per), Effect: t.Effect + ", in " + t.In, Source: t.Source})
	}
}

// lacks notes missing inputs, each once.
func (l *Ladder) lacks(names ...string) {
	for _, n := range names {
		if !slices.Contains(l.Missing, n) {
			l.Missing = append(l.Missing, n)
		}
	}
}

// limit1989 draws both readings of the 1989 limit, or one line where they agree.
func limit1989(l *Ladder, p patient.Patient) {
	limit := renal.Limit1989(p)
	low := limit.Lower()
	l.lacks(low.Missing...)
	if !low.Known {
		return
	}
	line := Line{At: float64(low.Value), Kind: Threshold, Says: "1989 limit, 5 mL x kg / creatinine, lower reading", Effect: tested[limit.Tested.String()], Source: low.Source}
	l.Lines = append(l.Lines, line)
	if high := max(limit.Numerator.Value, limit.Result.Value); high > low.Value {
		line.At, line.Says = float64(high), "1989 limit, 5 mL x kg / creatinine, higher reading"
		l.Lines = append(l.Lines, line)
	}
}

// tested says in whom the 1989 limit was tried, by the answer for this patient.
var tested = map[string]string{
	"true":  "nephropathy in 2 % within, 21 % above",
	"false": "not tested at so low a creatinine: the paper's patients had 1.8 mg/dL (159 umol/L) or more",
}

func kerma(step source.Constant[dose.AirKerma], says string) Line {
	return Line{At: float64(step.Value()), Kind: Threshold, Says: says, Follows: follows(step.Value(), 0), Source: step.Source()}
}

func skin() Line {
	step := dose.SentinelSkinDose
	return Line{At: float64(step.Value()), Kind: Threshold, Says: "15 Gy of peak skin dose", Follows: follows(0, step.Value()), Source: step.Source()}
}

// bands are the edges of the skin-effect table; an edge belongs to the higher band.
func bands() []Line {
	var lines []Line
	for _, e := range dose.SkinEffects.Value() {
		if e.From == 0 {
			continue
		}
		lines = append(lines, Line{At: float64(e.From), On: true, Kind: Threshold,
			Says:   fmt.Sprintf("skin band %s, from %g Gy of peak skin dose; edges are not rigid", e.Band, float64(e.From)),
			Effect: fmt.Sprintf("within 2 weeks %s; 2 to 8 weeks %s; 6 to 52 weeks %s; after 40 weeks %s", e.Prompt, e.Early, e.Mid, e.Late),
			Source: dose.SkinEffects.Source()})
	}
	return lines
}

// justAbove lifts a dose over a line that counts only what is above it.
const justAbove = 1 + 1e-9

// follows is what the follow-up rules ask for just above the given doses.
func follows(k dose.AirKerma, s dose.PeakSkinDose) []string {
	plan := dose.FollowUp(unit.Exactly(k*justAbove), unit.Exactly(s*justAbove))
	var do []string
	for _, a := range plan.Actions {
		do = append(do, a.Do)
	}
	return do
}

func elsewhere[Q ~float64](refs []dose.Reference[Q]) []Line {
	var lines []Line
	for _, r := range refs {
		lines = append(lines, Line{At: float64(r.Value), Kind: Elsewhere, Says: r.Says, Source: r.Source})
	}
	return lines
}

// clock draws the one line of a measure that runs by itself.
func clock(s house.Setting, do string, again bool) Ladder {
	if !s.Value.Known() || !(s.Value.Value > 0) {
		return Ladder{Missing: []string{"the house's " + s.Name}}
	}
	src := s.Source
	if src.Class() == source.Memory { // a default that nobody published
		src = source.CommonPractice("no usable source; the house sets its own")
	}
	l := Ladder{Lines: []Line{{At: s.Value.Value, On: true, Kind: HouseRule, Says: s.Says, Follows: []string{do}, Source: src}}}
	if again {
		l.Every = s.Value.Value
	}
	return l
}
