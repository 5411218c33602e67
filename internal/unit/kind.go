package unit

import "math"

const radiansPerDegree = math.Pi / 180

// scale is one unit: value inside = number * mul / div. One of mul and div is 1
// wherever that keeps the conversion to a single rounding.
type scale struct {
	name     string // as printed
	aliases  []string
	mul, div float64
}

func (s scale) in(number float64) float64 { return number * s.mul / s.div }

// Kind is a physical quantity together with the units that a text may use for it.
// The first unit that shows a value exactly is the one that is printed.
type Kind struct {
	name    string
	example string
	scales  []scale
}

// Name says in words what the kind is: "a length".
func (k *Kind) Name() string { return k.name }

// Example is a text that the kind accepts.
func (k *Kind) Example() string { return k.example }

var (
	mm = scale{"mm", nil, 1, 1}
	cm = scale{"cm", nil, 10, 1}
	in = scale{"in", nil, 25.4, 1}
	fr = scale{"Fr", []string{"F"}, 1, 3}
)

// The kinds. They differ in the units that make sense: a leg of a route is never
// written in French, a guide's size never in anything else.
var (
	LegLength    = &Kind{"a length", "55 mm", []scale{mm, cm, in}}
	DeviceLength = &Kind{"a length", "150 cm", []scale{cm, mm, in}}
	Diameter     = &Kind{"a diameter", "0.87 mm", []scale{mm, in, fr, cm}}
	WireDiameter = &Kind{"a diameter", "0.014 in", []scale{in, mm, fr, cm}}
	French       = &Kind{"a French size", "7 Fr", []scale{fr}}
	AngleKind    = &Kind{"an angle", "40 deg", []scale{{"deg", []string{"°"}, radiansPerDegree, 1}, {"rad", nil, 1, 1}}}
	MassKind     = &Kind{"a mass", "84 kg", []scale{{"kg", nil, 1, 1}}}
	HeightKind   = &Kind{"a height", "176 cm", []scale{cm, mm, in}}
	AgeKind      = &Kind{"an age", "67 y", []scale{{"y", nil, 1, 1}}}
	PercentKind  = &Kind{"a percentage", "48 %", []scale{{"%", nil, 1, 100}}}
	CreatKind    = &Kind{"a creatinine", "104 umol/L", []scale{{"umol/L", []string{"µmol/L", "μmol/L"}, 1, 1}, {"mg/dL", nil, 88.4, 1}}}
	ClottingKind = &Kind{"a clotting time", "300 s", []scale{{"s", nil, 1, 1}}}
	MinutesKind  = &Kind{"a duration", "30 min", []scale{{"min", nil, 1, 1}}}
	VolumeKind   = &Kind{"a volume", "120 mL", []scale{{"mL", []string{"ml"}, 1, 1}}}
	StrengthKind = &Kind{"a strength of contrast", "320 mg/mL", []scale{{"mg/mL", []string{"mg/ml"}, 1, 1}}}
	KermaKind    = &Kind{"an air kerma", "2.1 Gy", []scale{{"Gy", nil, 1, 1}, {"mGy", nil, 1, 1000}}}
	KermaArea    = &Kind{"a kerma-area product", "95 Gycm2", []scale{{"Gycm2", []string{"Gy·cm²", "Gy.cm2"}, 1, 1}, {"mGycm2", []string{"mGy·cm²"}, 1, 1000}, {"uGym2", []string{"µGy·m²", "uGy.m2"}, 1, 100}}}
	HbKind       = &Kind{"a haemoglobin", "13.2 g/dL", []scale{{"g/dL", nil, 1, 1}, {"g/L", nil, 1, 10}}}
)

// every unit that exists anywhere, so that a unit of another quantity is told from a
// word that is no unit.
var everyUnit = func() map[string]bool {
	known := map[string]bool{}
	for _, k := range []*Kind{LegLength, Diameter, AngleKind, MassKind, HeightKind, AgeKind, PercentKind, CreatKind, ClottingKind, MinutesKind, HbKind, VolumeKind, StrengthKind, KermaKind, KermaArea} {
		for _, s := range k.scales {
			known[s.name] = true
			for _, a := range s.aliases {
				known[a] = true
			}
		}
	}
	return known
}()

func (k *Kind) scale(word string) (scale, bool) {
	for _, s := range k.scales {
		if s.name == word {
			return s, true
		}
		for _, a := range s.aliases {
			if a == word {
				return s, true
			}
		}
	}
	return scale{}, false
}

// units lists the accepted units for a message: "mm, cm or in".
func (k *Kind) units() string {
	text := ""
	for i, s := range k.scales {
		switch {
		case i == 0:
		case i == len(k.scales)-1:
			text += " or "
		default:
			text += ", "
		}
		text += s.name
	}
	return text
}
