package cli

import (
	"testing"

	"backroad/internal/fault"
)

// TestTotalsMixUps: totals in a mistaken unit, or of the wrong quantity, are questioned
// and never taken. The mistakes are common practice, no source.
func TestTotalsMixUps(t *testing.T) {
	for _, c := range []struct {
		what string
		give limitsCommand
		want fault.Kind
	}{
		{"µGy·m² shown by the machine, written as Gy·cm²", limitsCommand{KermaArea: "9500 Gycm2"}, fault.OutOfBounds},
		{"mGy·cm² written as Gy·cm²", limitsCommand{KermaArea: "95000 Gycm2"}, fault.OutOfBounds},
		{"a kerma-area product given as air kerma", limitsCommand{Kerma: "95 Gy"}, fault.OutOfBounds},
		{"mGy written as Gy", limitsCommand{Kerma: "2100 Gy"}, fault.OutOfBounds},
		{"air kerma with the unit of the product", limitsCommand{Kerma: "2.1 Gycm2"}, fault.WrongUnit},
		{"the product with the unit of air kerma", limitsCommand{KermaArea: "95 Gy"}, fault.WrongUnit},
		{"litres", limitsCommand{Contrast: "0.14 L"}, fault.WrongUnit},
		{"microlitres as mL", limitsCommand{Contrast: "140000 mL"}, fault.OutOfBounds},
		{"no unit", limitsCommand{Contrast: "140"}, fault.BareNumber},
		{"grams of iodine per litre as mg/mL, a factor of ten too low", limitsCommand{Strength: "32 mg/mL"}, fault.OutOfBounds},
		{"g/L times ten", limitsCommand{Strength: "3200 mg/mL"}, fault.OutOfBounds},
		{"seconds of fluoroscopy as minutes", limitsCommand{Fluoroscopy: "2460 min"}, fault.OutOfBounds},
		{"seconds named as such", limitsCommand{Fluoroscopy: "2460 s"}, fault.WrongUnit},
		{"seconds since the clotting time", limitsCommand{SinceClotting: "1200 min"}, fault.OutOfBounds},
		{"a clotting time where the time since it belongs", limitsCommand{SinceClotting: "310 min"}, fault.OutOfBounds},
		{"a time of day", limitsCommand{Elapsed: "1430 min"}, fault.OutOfBounds},
		{"hours", limitsCommand{InDonor: "0.6 h"}, fault.WrongUnit},
	} {
		_, list := c.give.totals()
		if len(list) != 1 || list[0].Kind != c.want || list[0].Hint == "" {
			t.Errorf("%s: %v, want %v", c.what, list, c.want)
		}
	}
	if totals, list := (&limitsCommand{Contrast: "140 mL", KermaArea: "9500 uGym2", Kerma: "2100 mGy"}).totals(); len(list) > 0 ||
		float64(totals.KermaArea.Value) != 95 || float64(totals.AirKerma.Value) != 2.1 || totals.Fluoroscopy.Given() {
		t.Errorf("%+v %v", totals, list)
	}
}
