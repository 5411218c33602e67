package renal

import (
	"math"
	"testing"

	"backroad/internal/patient"
	"backroad/internal/tri"
	"backroad/internal/unit"
)

// agreement is how closely two arrangements of one formula must agree, relative: a few
// dozen roundings of 2^-53 stay far below.
const agreement = 1e-9

func agree(t *testing.T, what string, got, want float64) {
	t.Helper()
	if !(math.Abs(got-want) <= agreement*math.Abs(want)) {
		t.Errorf("%s: %v, second %v", what, got, want)
	}
}

// TestSecond sets every formula beside a second transcription in other units and
// arrangements, on random people. Filtration, and clearance with the actual weight, have
// theirs in TestLaws.
func TestSecond(t *testing.T) {
	rng := draw(t)
	for range 2000 {
		p := anyone(rng)
		secondWeights(t, p)
		secondSurface(t, p)
		secondLimit(t, p)
		secondRatios(t, p, 20+600*rng.Float64(), 200+200*rng.Float64())
		if t.Failed() {
			t.Fatalf("%+v", p)
		}
	}
}

// mgdl is a creatinine by 1 mg/dL = 88.4 umol/L.
func mgdl(p patient.Patient) float64 { return float64(p.Creatinine.Value) / 88.4 }

// secondWeights: Nephron 1976;16:31-41; ideal weight 50 kg (men) or 45.5 kg (women) and
// 2.3 kg for each inch above 60, adjusted 60 % of it and 40 % of the actual one (common
// practice, no source), with the height in cm: an inch is 2.54 cm.
func secondWeights(t *testing.T, p patient.Patient) {
	t.Helper()
	cm, actual := float64(p.Height.Value)/10, float64(p.Weight.Value)
	ideal, factor := 2.3*(cm-152.4)/2.54, 1/72.0
	if p.Sex == patient.Female {
		ideal, factor = ideal+45.5, 0.85/72
	} else {
		ideal += 50
	}
	for w, kg := range map[Weight]float64{Actual: actual, Ideal: ideal, Adjusted: 0.6*ideal + 0.4*actual} {
		f := CreatinineClearance(p, w)
		agree(t, string(w), float64(f.Mass), kg)
		agree(t, "clearance by "+string(w), float64(f.Value), factor*(140*kg-float64(p.Age.Value)*kg)/mgdl(p))
	}
}

// secondSurface: Arch Intern Med 1916;17:863, by logarithms; N Engl J Med 1987;317:1098,
// with the height in metres: √(m kg / 36). Indexed filtration is per 1.73 m².
func secondSurface(t *testing.T, p patient.Patient) {
	t.Helper()
	cm, kg := float64(p.Height.Value)/10, float64(p.Weight.Value)
	by1916 := math.Exp(math.Log(71.84) - 4*math.Log(10) + 0.425*math.Log(kg) + 0.725*math.Log(cm))
	agree(t, "surface 1916", float64(BodySurface(p, Surface1916).Value), by1916)
	agree(t, "surface by root", float64(BodySurface(p, SurfaceRoot).Value), math.Sqrt(cm/100*kg/36))
	own := Deindex(Filtration(p), BodySurface(p, Surface1916))
	agree(t, "filtration of the person", 1.73*float64(own.Value), float64(Filtration(p).Value)*by1916)
}

// secondLimit: Am J Med 1989, 5 mL for each kg, divided by the creatinine, maximum 300 mL
// of what is divided or of the result; tested from 1.8 mg/dL.
func secondLimit(t *testing.T, p patient.Patient) {
	t.Helper()
	dividend, c := 5*float64(p.Weight.Value), mgdl(p)
	result := dividend / c
	if result > 300 {
		result = 300
	}
	if dividend > 300 {
		dividend = 300
	}
	lower, l := result, Limit1989(p)
	if dividend/c < lower {
		lower = dividend / c
	}
	agree(t, "limit, numerator", float64(l.Numerator.Value), dividend/c)
	agree(t, "limit, result", float64(l.Result.Value), result)
	agree(t, "limit, lower", float64(l.Lower().Value), lower)
	if away := c - 1.8; math.Abs(away) > agreement && (l.Tested == tri.Yes) != (away > 0) {
		t.Errorf("tested at %v mg/dL: %v", c, l.Tested)
	}
}

// secondRatios: mL over mL/min and grams over mL/min; a volume of V mL with S mg/mL holds
// V S mg, a thousand of which are a gram. The lines as in TestThresholds.
func secondRatios(t *testing.T, p patient.Patient, ml, strength float64) {
	t.Helper()
	v, g := Volume(ml), GramsOf(Volume(ml), Strength(strength))
	agree(t, "grams", 1000*float64(g), ml*strength)
	agree(t, "volume of grams", float64(VolumeOf(g, Strength(strength))), ml)
	c, f := CreatinineClearance(p, Actual).Figure, Filtration(p)
	own := Deindex(f, BodySurface(p, SurfaceRoot))
	byC, _ := Over(v, c)
	byF, _ := Over(v, f)
	byOwn, _ := Over(v, own)
	byG, _ := Over(g, f)
	agree(t, "mL by clearance", byC.Value(), ml/float64(c.Value))
	agree(t, "mL by filtration", byF.Value(), ml/float64(f.Value))
	agree(t, "mL by the person's filtration", byOwn.Value(), ml/float64(own.Value))
	agree(t, "grams by filtration", byG.Value(), ml*strength/1000/float64(f.Value))
	for i, line := range []float64{2, 3, 4, 6.15} {
		secondLine(t, VolumeByClearance[i], byC, ml/float64(c.Value), line)
	}
	for i, line := range []float64{1, 1.78, 2.39} {
		secondLine(t, VolumeByFiltration[i], byF, ml/float64(f.Value), line)
	}
	secondLine(t, IodineByFiltration[0], byG, ml*strength/1000/float64(f.Value), 1)
}

func secondLine[N, D ~float64](t *testing.T, l Threshold[N, D], r Ratio[N, D], ratio, line float64) {
	t.Helper()
	agree(t, "amount at the line", float64(l.Amount(r.Denominator)), line*float64(r.Denominator))
	if math.Abs(ratio-line) > agreement*line && l.Crossed(r) != (ratio > line) {
		t.Errorf("%v crosses %v: %v", ratio, line, l.Crossed(r))
	}
}

// TestSecondShort: below 60 inches there is no ideal weight, by its definition; above, it
// needs no more than sex and height.
func TestSecondShort(t *testing.T) {
	rng := draw(t)
	for range 500 {
		p := anyone(rng)
		p.Height = unit.Exactly(unit.Length(1000 + 1100*rng.Float64()))
		p.Weight.State = unit.Unknown
		if tall := p.Height.Value >= 1524; Body(p, Ideal).Known != tall || Body(p, Adjusted).Known || Body(p, Actual).Known {
			t.Fatalf("%+v: %+v", p, Body(p, Ideal))
		}
	}
}
