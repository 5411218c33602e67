package casefile

import (
	"fmt"
	"strings"
	"testing"

	"backroad/internal/fault"
)

// TestMixUps: a patient's figures in a mistaken unit are refused at their place, with a
// question or what is expected. The mistakes are common practice, no source; what is
// plausible in each figure alone and not together is asked by package risk.
func TestMixUps(t *testing.T) {
	for _, c := range []struct {
		what, patient string
		want          fault.Kind
	}{
		{"mg/dL written as umol/L", "creatinine: 1.2 umol/L", fault.OutOfBounds},
		{"a normal mg/dL as umol/L", "creatinine: 0.9 umol/L", fault.OutOfBounds},
		{"a high mg/dL as umol/L", "creatinine: 6.4 umol/L", fault.OutOfBounds},
		{"umol/L written as mg/dL", "creatinine: 88 mg/dL", fault.OutOfBounds},
		{"a high umol/L as mg/dL", "creatinine: 240 mg/dL", fault.OutOfBounds},
		{"mmol/L", "creatinine: 0.088 mmol/L", fault.WrongUnit},
		{"no unit", "creatinine: 88", fault.BareNumber},
		{"pounds of a large person as kg", "weight: 330 kg", fault.OutOfBounds},
		{"pounds by name", "weight: 185 lb", fault.WrongUnit},
		{"grams", "weight: 84000 g", fault.WrongUnit},
		{"stones", "weight: 13 kg", fault.OutOfBounds},
		{"inches as cm", "height: 68 cm", fault.OutOfBounds},
		{"metres as cm", "height: 1.76 cm", fault.OutOfBounds},
		{"millimetres as cm", "height: 1760 cm", fault.OutOfBounds},
		{"feet", "height: 5.9 ft", fault.WrongUnit},
		{"metres by name", "height: 1.76 m", fault.WrongUnit},
		{"g/L as g/dL", "haemoglobin: 132 g/dL", fault.OutOfBounds},
		{"mmol/L as g/dL by name", "haemoglobin: 8.2 mmol/L", fault.WrongUnit},
		{"g/dL as g/L", "haemoglobin: 13.2 g/L", fault.OutOfBounds},
		{"a share as per cent", "lvef: 0.52 %", fault.OutOfBounds},
		{"a share without a unit", "lvef: 0.52", fault.BareNumber},
		{"too much of a heart", "lvef: 520 %", fault.OutOfBounds},
		{"months as years", "age: 804 y", fault.OutOfBounds},
		{"a year of birth", "age: 1959 y", fault.OutOfBounds},
		{"days", "age: 24455 d", fault.WrongUnit},
	} {
		file := "schema: case/1\ncase: M-1\npatient: {" + c.patient + "}\naccess: {donor_guide: {}, antegrade_guide: {}}\nroutes:\n" +
			"  - {name: way, channel: {kind: septal}, legs: {donor_run: 55 mm, channel: 75 mm, recipient_run: 60 mm, occlusion: 30 mm, proximal_run: 45 mm}}\n"
		got, list := Decode("case.yaml", []byte(file), nil)
		if got != nil || len(list) != 1 || list[0].Kind != c.want || list[0].Line != 3 || list[0].Hint == "" {
			t.Errorf("%s: %v, want %v in line 3", c.what, list, c.want)
		}
		if c.want == fault.OutOfBounds && len(list) == 1 && !strings.HasSuffix(list[0].Hint, "?") {
			t.Errorf("%s: no question: %q", c.what, list[0].Hint)
		}
	}
}

// TestMixUpPlaces: further mix-ups, each refused at its line and column. By hand from
// 1 mg/dL = 88.4 umol/L, 1 kg = 2.2 lb, 1 in = 2.54 cm, 1 ft = 30.48 cm, 1 g/dL = 10 g/L.
func TestMixUpPlaces(t *testing.T) {
	const out, wrong, bare = fault.OutOfBounds, fault.WrongUnit, fault.BareNumber
	for _, c := range []struct {
		key, text string
		want      fault.Kind
	}{
		{"creatinine", "12.5 umol/L", out},  // mg/dL as umol/L, before dialysis
		{"creatinine", "19.9 umol/L", out},  // the same, the highest that is caught
		{"creatinine", "45 mg/dL", out},     // umol/L as mg/dL, a low one
		{"creatinine", "22.7 mg/dL", out},   // the same, the lowest that is caught
		{"creatinine", "0.088 umol/L", out}, // mmol/L as umol/L
		{"creatinine", "8800 umol/L", out},  // a lost point in 88.00
		{"creatinine", "1.0", bare},
		{"weight", "310 kg", out},   // 141 kg in pounds
		{"weight", "7.1 kg", out},   // a point too many
		{"weight", "71000 kg", out}, // grams
		{"weight", "163 cm", wrong}, // the height
		{"weight", "71", bare},
		{"height", "78 cm", out},  // inches, a tall man
		{"height", "5.4 cm", out}, // feet as cm
		{"height", "5.4 in", out}, // feet as inches
		{"height", "163 mm", out}, // cm as mm
		{"height", "163 in", out}, // cm as inches
		{"height", "71 kg", wrong},
		{"height", "1.63", bare}, // metres
		{"age", "6.4 y", out},    // a point too many
		{"age", "64 min", wrong},
		{"age", "64", bare},
		{"haemoglobin", "78 g/dL", out}, // g/L as g/dL in anaemia
		{"haemoglobin", "7.8 g/L", out}, // g/dL or mmol/L as g/L
		{"haemoglobin", "12.7 mg/dL", wrong},
		{"haemoglobin", "12.7", bare},
		{"lvef", "0.05 %", out}, // a share as a percentage
		{"lvef", "52", bare},
		{"lvef", "64 y", wrong},
	} {
		t.Run(c.key+" "+c.text, func(t *testing.T) { mixedUp(t, c.key, c.text, c.want) })
	}
}

// mixedUp reads a case whose line 4 has the figure, and wants one fault at it.
func mixedUp(t *testing.T, key, text string, want fault.Kind) {
	t.Helper()
	value, list := Decode("case.yaml", oneFigure(key, text), nil)
	if value != nil || len(list) != 1 {
		t.Fatalf("taken: %v", list)
	}
	f := list[0]
	if f.Kind != want || f.File != "case.yaml" || f.Line != 4 || f.Col != len("  "+key+": ")+1 {
		t.Errorf("%s: %s, want %s", f.Kind, f.Error(), want)
	}
	if f.Expected == "" || f.Hint == "" || want == fault.OutOfBounds && !strings.HasPrefix(f.Hint, "is the unit right") {
		t.Errorf("without what is expected or a question: %s", f.Error())
	}
}

func oneFigure(key, text string) []byte {
	return fmt.Appendf(nil, "schema: case/1\ncase: M-1\npatient:\n  %s: %s\naccess: {donor_guide: {}, antegrade_guide: {}}\nroutes:\n  - {name: a, channel: {kind: septal}, legs: {donor_run: 55 mm, channel: 75 mm, recipient_run: 60 mm, occlusion: 30 mm, proximal_run: 45 mm}}\n", key, text)
}

// TestNoMixUp: the same file with the figure in its right unit is taken, so that what is
// refused above is the figure.
func TestNoMixUp(t *testing.T) {
	for key, texts := range map[string][]string{
		"creatinine": {"88 umol/L", "1.0 mg/dL", "12.5 mg/dL", "unknown"}, "weight": {"71 kg", "160 kg"}, "height": {"163 cm", "64 in", "1630 mm"},
		"age": {"64 y"}, "haemoglobin": {"12.7 g/dL", "127 g/L", "78 g/L"}, "lvef": {"52 %"},
	} {
		for _, text := range texts {
			if value, list := Decode("case.yaml", oneFigure(key, text), nil); value == nil || len(list) != 0 {
				t.Errorf("%s %s: %v", key, text, list)
			}
		}
	}
}
