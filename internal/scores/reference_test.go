package scores

import (
	"math"

	"backroad/internal/anatomy"
	"backroad/internal/patient"
	"backroad/internal/tri"
	"backroad/internal/unit"
)

// reference scores a patient of whom everything is known, as one would on paper: a chain
// of ifs that shares no code with the package. base is the sum, open what the score's
// own words leave open (each may come on top or not). The points are those of the
// papers named in the files of the scores.
func reference(key Key, in Inputs) (base float64, open []float64) {
	add := func(points float64, yes bool) {
		if yes {
			base += points
		}
	}
	length, age := float64(in.Length.Value), float64(in.Age.Value)
	woman := in.Sex == patient.Female
	blunt := func(points float64) {
		add(points, in.Stump == Blunt)
		if in.Stump == Invisible {
			open = append(open, points)
		}
	}
	wavy := func() {
		add(1, in.Tortuosity == TortuosityMild || in.Tortuosity == TortuositySevere)
		if in.Tortuosity == TortuosityUnseen {
			open = append(open, 1)
		}
	}
	poor := in.CollateralFilling == "0" || in.CollateralFilling == "1"
	switch key {
	case JCTO:
		blunt(1)
		add(1, in.Calcium != CalciumNone)
		add(1, in.Bend45 == tri.Yes)
		add(1, length > 20)
		add(1, in.FailedBefore == tri.Yes)
		if length == 20 {
			open = append(open, 1)
		}
	case CASTLE:
		add(1, in.PriorBypass == tri.Yes)
		add(1, age >= 70)
		add(1, in.Stump != Tapered)
		add(1, in.Tortuosity == TortuositySevere || in.Tortuosity == TortuosityUnseen)
		add(1, length >= 20)
		add(1, in.Calcium == CalciumSevere)
	case WCTO:
		blunt(2)
		add(1.5, length > 20)
		add(1, in.Calcium != CalciumNone)
		wavy()
		add(1, poor)
	case Busan:
		add(1, age >= 60 && age < 75)
		add(2, age >= 75)
		add(2, woman)
		add(2, in.RightCoronary == tri.Yes)
		blunt(2)
		add(2, in.Bend45 == tri.Yes)
		add(1, length >= 20)
	case ORA:
		add(1, age >= 75)
		add(1, in.Ostial == tri.Yes)
		add(2, poor)
	case JRCTO:
		add(1, in.Calcium == CalciumModerate || in.Calcium == CalciumSevere)
		wavy()
		add(1, in.CollateralConnected != "2")
		add(1, in.Channel == anatomy.Epicardial || in.Channel == anatomy.Atrial)
		if in.Channel == anatomy.Graft {
			open = append(open, 1)
		}
	case FillingGrade:
		base = float64(in.CollateralFilling[0]) - '0'
	case Connection:
		base = float64(in.CollateralConnected[0]) - '0'
	case OpenClean:
		add(1, in.PriorBypass == tri.Yes)
		add(1, length >= 20)
		add(1, length >= 60)
		add(1, in.LVEF.Value < 0.5)
		add(1, age >= 50)
		add(1, age >= 70)
		add(1, in.Calcium == CalciumSevere)
	case AKI2004, AKI2004Creat:
		add(5, in.Hypotension == tri.Yes)
		add(5, in.BalloonPump == tri.Yes)
		add(5, in.HeartFailure == tri.Yes)
		add(4, age > 75)
		add(3, woman && in.Haematocrit.Value < 0.36 || !woman && in.Haematocrit.Value < 0.39)
		add(3, in.Diabetes == tri.Yes)
		base += float64(int(in.Contrast.Value) / 100)
		rate := in.Filtration.Value
		if key == AKI2004Creat {
			add(4, in.Creatinine.Value > highCreatinine)
		} else {
			add(2, rate >= 40 && rate < 60)
			add(4, rate >= 20 && rate < 40)
			add(6, rate < 20)
		}
	case AKIDialysis:
		rate := in.Filtration.Value
		add(2, in.HeartFailureRecent == tri.Yes)
		add(1, rate >= 45 && rate < 60)
		add(3, rate >= 30 && rate < 45)
		add(5, rate < 30)
		add(1, in.Diabetes == tri.Yes)
		add(1, in.Presentation == UnstableOrNSTEMI)
		add(2, in.Presentation == STEMI)
		add(3, in.PriorCardiacArrest == tri.Yes)
	}
	return base, open
}

// scoresOf lists every value that a completion can have.
func scoresOf(key Key, in Inputs) []float64 {
	base, open := reference(key, in)
	all := []float64{base}
	for _, more := range open {
		for _, have := range all {
			all = append(all, have+more)
		}
	}
	return all
}

// referenceRate is the first outcome's rate in per cent, NaN where it was not seen.
func referenceRate(key Key, points float64) float64 {
	pick := func(cuts []float64, rates ...float64) float64 { // cuts: where each band but the first begins
		at := 0
		for at < len(cuts) && points >= cuts[at] {
			at++
		}
		return rates[at]
	}
	none := math.NaN()
	switch key {
	case JCTO:
		return pick([]float64{1, 2, 3}, 88, 67, 42, 10)
	case CASTLE:
		return pick([]float64{2, 4}, 8, none, 35)
	case WCTO:
		return pick([]float64{2.5, 4.5}, 98, 74.2, 42.5)
	case Busan:
		return pick([]float64{2, 4, 6}, 95.3, 86.5, 79.1, 65.2)
	case OpenClean:
		return pick([]float64{2, 3, 4, 5, 6}, 3.5, 3.1, 5.3, 7.1, 11.5, 19.8)
	case AKI2004, AKI2004Creat:
		return pick([]float64{6, 11, 16}, 7.5, 14, 26.1, 57.3)
	case AKIDialysis:
		return pick([]float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13}, 0.03, 0.05, 0.09, 0.15, 0.27, 0.48, 0.84, 1.5, 2.6, 4.4, 7.6, 12.6, 20.3, 31)
	}
	return none
}

// field is one input: every value that a known one may have in the tests, and how to
// make it unknown or not said.
type field struct {
	name   string
	known  []func(*Inputs)
	unsaid []func(*Inputs)
}

func quantity[Q ~float64](name string, at func(*Inputs) *unit.Measured[Q], values ...Q) field {
	f := field{name: name, unsaid: []func(*Inputs){
		func(in *Inputs) { *at(in) = unit.Measured[Q]{} },
		func(in *Inputs) { *at(in) = unit.Measured[Q]{State: unit.Unknown} },
		func(in *Inputs) { *at(in) = unit.Exactly(Q(math.NaN())) },
		func(in *Inputs) { *at(in) = unit.Exactly(Q(-1)) },
	}}
	for _, v := range values {
		f.known = append(f.known, func(in *Inputs) { *at(in) = unit.Exactly(v) })
	}
	return f
}

func choice[T any](name string, at func(*Inputs) *T, unsaid []T, values ...T) field {
	f := field{name: name}
	for _, v := range values {
		f.known = append(f.known, func(in *Inputs) { *at(in) = v })
	}
	for _, v := range unsaid {
		f.unsaid = append(f.unsaid, func(in *Inputs) { *at(in) = v })
	}
	return f
}

func question(name string, at func(*Inputs) *tri.Answer) field {
	return choice(name, at, []tri.Answer{tri.NotSaid, tri.Unknown}, tri.Yes, tri.No)
}

// fields lists all inputs that have points, with values on every side of every threshold.
var fields = []field{
	quantity("age", func(in *Inputs) *unit.Measured[unit.Age] { return &in.Age }, 49, 50, 59, 60, 69, 70, 74, 75, 76),
	choice("sex", func(in *Inputs) *patient.Sex { return &in.Sex }, []patient.Sex{"", patient.SexUnknown}, patient.Male, patient.Female),
	quantity("lvef", func(in *Inputs) *unit.Measured[unit.Fraction] { return &in.LVEF }, 0.3, 0.5, 0.6),
	question("diabetes", func(in *Inputs) *tri.Answer { return &in.Diabetes }),
	question("bypass", func(in *Inputs) *tri.Answer { return &in.PriorBypass }),
	quantity("haematocrit", func(in *Inputs) *unit.Measured[unit.Fraction] { return &in.Haematocrit }, 0.3, 0.36, 0.37, 0.39, 0.42),
	quantity("creatinine", func(in *Inputs) *unit.Measured[unit.Creatinine] { return &in.Creatinine }, 90, highCreatinine, 200),
	quantity("filtration", func(in *Inputs) *unit.Measured[FiltrationRate] { return &in.Filtration }, 10, 20, 25, 30, 35, 40, 42, 45, 50, 60, 90),
	question("heart failure", func(in *Inputs) *tri.Answer { return &in.HeartFailure }),
	question("recent heart failure", func(in *Inputs) *tri.Answer { return &in.HeartFailureRecent }),
	question("hypotension", func(in *Inputs) *tri.Answer { return &in.Hypotension }),
	question("balloon pump", func(in *Inputs) *tri.Answer { return &in.BalloonPump }),
	choice("presentation", func(in *Inputs) *Presentation { return &in.Presentation }, []Presentation{"", PresentationUnknown}, Stable, UnstableOrNSTEMI, STEMI),
	question("arrest", func(in *Inputs) *tri.Answer { return &in.PriorCardiacArrest }),
	quantity("contrast", func(in *Inputs) *unit.Measured[Volume] { return &in.Contrast },
		0, 99, 100, 250, 300, 400, 500, 600, 700, 800, 900, 1000, 1100, 1200, 1300, 1400, 1500, 1600),
	question("right coronary", func(in *Inputs) *tri.Answer { return &in.RightCoronary }),
	question("ostial", func(in *Inputs) *tri.Answer { return &in.Ostial }),
	quantity("length", func(in *Inputs) *unit.Measured[unit.Length] { return &in.Length }, 10, 20, 21, 60, 70),
	choice("stump", func(in *Inputs) *Stump { return &in.Stump }, []Stump{"", StumpUnknown}, Tapered, Blunt, Invisible),
	choice("calcium", func(in *Inputs) *Calcium { return &in.Calcium }, []Calcium{"", CalciumUnknown}, CalciumNone, CalciumMild, CalciumModerate, CalciumSevere),
	question("bend", func(in *Inputs) *tri.Answer { return &in.Bend45 }),
	question("failed", func(in *Inputs) *tri.Answer { return &in.FailedBefore }),
	choice("tortuosity", func(in *Inputs) *Tortuosity { return &in.Tortuosity }, []Tortuosity{"", TortuosityUnknown}, TortuosityNone, TortuosityMild, TortuositySevere, TortuosityUnseen),
	choice("filling", func(in *Inputs) *Grade { return &in.CollateralFilling }, []Grade{"", "unknown"}, "0", "1", "2", "3"),
	choice("connection", func(in *Inputs) *Grade { return &in.CollateralConnected }, []Grade{"", "unknown"}, "0", "1", "2"),
	choice("channel", func(in *Inputs) *anatomy.ChannelKind { return &in.Channel }, []anatomy.ChannelKind{""}, anatomy.Septal, anatomy.Epicardial, anatomy.Atrial, anatomy.Graft),
}

// completions calls visit with every way to know the fields that are named.
func completions(in Inputs, unknown []int, visit func(Inputs)) {
	if len(unknown) == 0 {
		visit(in)
		return
	}
	for _, set := range fields[unknown[0]].known {
		next := in
		set(&next)
		completions(next, unknown[1:], visit)
	}
}
