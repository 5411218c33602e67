package cli

import (
	"strings"
	"testing"

	"backroad/internal/fault"
	"backroad/internal/unit"
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

// set puts a text on one flag of `backroad limits`.
func set(c *limitsCommand, flag, text string) {
	*map[string]*string{"--contrast": &c.Contrast, "--strength": &c.Strength, "--kerma": &c.Kerma, "--kerma-area": &c.KermaArea,
		"--fluoroscopy": &c.Fluoroscopy, "--since-clotting": &c.SinceClotting, "--in-donor": &c.InDonor, "--elapsed": &c.Elapsed}[flag] = text
}

// TestTotalsAsked: a question stands at its flag and says what was found, what is
// plausible, and which units to look at. The bounds are from memory; the mix-ups by hand
// from 1 Gycm2 = 100 uGym2 = 1000 mGycm2, 1 Gy = 1000 mGy, 1 min = 60 s.
func TestTotalsAsked(t *testing.T) {
	for _, c := range []struct{ flag, text, expected, asks string }{
		{"--kerma-area", "9500Gycm2", "0 to 2000 Gycm2", "uGym2 or mGycm2"},
		{"--kerma-area", "2000.1Gycm2", "0 to 2000 Gycm2", "uGym2 or mGycm2"},
		{"--kerma-area", "200100 uGym2", "0 to 2000 Gycm2", "uGym2 or mGycm2"},
		{"--kerma", "21 Gy", "0 to 20 Gy", "Gy or mGy"}, // a lost point
		{"--kerma", "20001mGy", "0 to 20 Gy", "Gy or mGy"},
		{"--contrast", "38400mL", "0 to 1500 mL", "iodine"}, // 120 mL at 320 mg/mL in mg
		{"--contrast", "1501mL", "0 to 1500 mL", "iodine"},
		{"--strength", "99mg/mL", "100 to 400 mg/mL", "g per 100 mL"},
		{"--strength", "755mg/mL", "100 to 400 mg/mL", "whole compound"},
		{"--strength", "0mg/mL", "100 to 400 mg/mL", "mg of iodine"},
		{"--fluoroscopy", "401min", "0 to 400 min", "not seconds"},
		{"--since-clotting", "301min", "0 to 300 min", "time of day"},
		{"--in-donor", "2100min", "0 to 600 min", "not seconds"},
		{"--in-donor", "601min", "0 to 600 min", "not seconds"},
		{"--elapsed", "4500min", "0 to 900 min", "not seconds"},
		{"--elapsed", "901min", "0 to 900 min", "time of day"},
	} {
		var in limitsCommand
		set(&in, c.flag, c.text)
		_, list := in.totals()
		if len(list) != 1 || list[0].Kind != fault.OutOfBounds || list[0].File != c.flag || list[0].Line != 1 || list[0].Col != 1 {
			t.Errorf("%s %s: %v", c.flag, c.text, list)
			continue
		}
		f := list[0]
		if f.Found != fault.Quote(c.text) || !strings.HasSuffix(f.Expected, c.expected) || !strings.HasPrefix(f.Hint, "is the unit right") || !strings.Contains(f.Hint, c.asks) || !strings.HasSuffix(f.Hint, "?") {
			t.Errorf("%s %s: %s", c.flag, c.text, f.Error())
		}
	}
}

// TestTotalsPlausible: the ends of the bounds pass; `unknown` and nothing stay without a
// figure; no total stands beside its fault; every fault is told at once.
func TestTotalsPlausible(t *testing.T) {
	for _, c := range []struct{ flag, text string }{
		{"--kerma-area", "95Gycm2"}, {"--kerma-area", "95000mGycm2"}, {"--kerma-area", "2000000 mGycm2"}, {"--kerma-area", "0 Gycm2"},
		{"--kerma", "2.1Gy"}, {"--kerma", "20000 mGy"}, {"--contrast", "0mL"}, {"--contrast", "1500mL"}, {"--strength", "100mg/mL"}, {"--strength", "400mg/mL"},
		{"--fluoroscopy", "400min"}, {"--since-clotting", "300min"}, {"--in-donor", "600min"}, {"--elapsed", "900min"},
	} {
		var in limitsCommand
		set(&in, c.flag, c.text)
		if _, list := in.totals(); len(list) != 0 {
			t.Errorf("%s %s: %v", c.flag, c.text, list)
		}
	}
	totals, list := (&limitsCommand{Contrast: "unknown", Strength: "unknown"}).totals()
	if len(list) != 0 || totals.Contrast.State != unit.Unknown || totals.Strength.Known() || totals.AirKerma.Given() {
		t.Errorf("%v, %+v", list, totals)
	}
	totals, list = (&limitsCommand{Contrast: "9000mL", Kerma: "2100Gy", KermaArea: "95Gy", Fluoroscopy: "-41min", Elapsed: "1e999min"}).totals()
	if len(list) != 5 || totals.Contrast.Given() || totals.AirKerma.Given() || totals.KermaArea.Given() || totals.Fluoroscopy.Given() || totals.Elapsed.Given() {
		t.Errorf("%v, %+v", list, totals)
	}
}
