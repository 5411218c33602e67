package casefile

import (
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
