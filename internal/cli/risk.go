package cli

import (
	"io"

	"backroad/internal/dose"
	"backroad/internal/fault"
	"backroad/internal/renal"
	"backroad/internal/risk"
	"backroad/internal/unit"
)

// RiskPrinter is the contract of whoever shows risks and limits.
type RiskPrinter interface {
	Risk(w io.Writer, r *risk.Report, bold, asJSON bool) error
	Now(w io.Writer, n *risk.Now, bold, asJSON bool) error
}

type riskCommand struct {
	Case  string `arg:"" help:"The case file."`
	House string `placeholder:"FILE" help:"The house file: the programme's own thresholds."`
	JSON  bool   `help:"Print JSON (schema risk/1) instead of the page."`
}

// Run implements the command.
func (c *riskCommand) Run(r *run) error {
	in, list := r.caseAndHouse(c.Case, c.House)
	if len(list) > 0 {
		return list
	}
	return buffered(r.Out, func(w io.Writer) error { return r.Risks.Risk(w, risk.Of(in.Case, in.Rules), r.Bold, c.JSON) })
}

type limitsCommand struct {
	Case          string `arg:"" help:"The case file."`
	House         string `placeholder:"FILE" help:"The house file: the programme's own thresholds."`
	Contrast      string `placeholder:"120mL" help:"Contrast given so far."`
	Strength      string `placeholder:"320mg/mL" help:"Iodine in the contrast medium."`
	Kerma         string `placeholder:"2.1Gy" help:"Reference air kerma so far, as the machine shows it."`
	KermaArea     string `placeholder:"95Gycm2" help:"Kerma-area product so far."`
	Fluoroscopy   string `placeholder:"41min" help:"Fluoroscopy time so far."`
	SinceClotting string `placeholder:"20min" help:"Time since the last clotting time."`
	InDonor       string `placeholder:"35min" help:"Time since gear entered the donor artery."`
	Elapsed       string `placeholder:"75min" help:"Time since the first of it was given: for the forecast."`
	JSON          bool   `help:"Print JSON (schema limits/1) instead of the page."`
}

// Run implements the command.
func (c *limitsCommand) Run(r *run) error {
	in, list := r.caseAndHouse(c.Case, c.House)
	t, faults := c.totals()
	if list = append(list, faults...); len(list) > 0 {
		return list
	}
	return buffered(r.Out, func(w io.Writer) error { return r.Risks.Now(w, risk.Stand(in.Case, in.Rules, t), r.Bold, c.JSON) })
}

// gauge is one total as a flag gives it: what is plausible, in the base unit of its
// kind, and the mix-up to ask about beyond that.
type gauge struct {
	flag        string
	kind        *unit.Kind
	least, most float64
	text        string // least and most in words
	ask         string
}

// The gauges. Their bounds are from memory, unverified: they are wide, no limits of any
// procedure, and only catch mix-ups of units, lost points and doubled digits. What is too
// small can't be told from a procedure that has just begun, except for a strength.
var (
	contrastGauge      = gauge{"--contrast", unit.VolumeKind, 0, 1500, "0 to 1500 mL", "is it mL, and not grams or milligrams of iodine"}
	strengthGauge      = gauge{"--strength", unit.StrengthKind, 100, 400, "100 to 400 mg/mL", "is it mg of iodine per mL, and not g per 100 mL or of the whole compound"}
	kermaGauge         = gauge{"--kerma", unit.KermaKind, 0, 20, "0 to 20 Gy", "is it Gy or mGy"}
	kermaAreaGauge     = gauge{"--kerma-area", unit.KermaArea, 0, 2000, "0 to 2000 Gycm2", "is it uGym2 or mGycm2"}
	fluoroscopyGauge   = gauge{"--fluoroscopy", unit.MinutesKind, 0, 400, "0 to 400 min", "is it minutes, and not seconds"}
	sinceClottingGauge = gauge{"--since-clotting", unit.MinutesKind, 0, 300, "0 to 300 min", "is it minutes ago, and not seconds or the time of day"}
	inDonorGauge       = gauge{"--in-donor", unit.MinutesKind, 0, 600, "0 to 600 min", "is it minutes, and not seconds or the time of day"}
	elapsedGauge       = gauge{"--elapsed", unit.MinutesKind, 0, 900, "0 to 900 min", "is it minutes, and not seconds or the time of day"}
)

// totals reads the totals; one that is not given is not known.
func (c *limitsCommand) totals() (*risk.Totals, fault.List) {
	var list fault.List
	t := &risk.Totals{Strength: total[renal.Strength](&list, c.Strength, &strengthGauge),
		Elapsed: total[unit.Duration](&list, c.Elapsed, &elapsedGauge)}
	t.Contrast = total[renal.Volume](&list, c.Contrast, &contrastGauge)
	t.AirKerma = total[dose.AirKerma](&list, c.Kerma, &kermaGauge)
	t.KermaArea = total[dose.KermaArea](&list, c.KermaArea, &kermaAreaGauge)
	t.Fluoroscopy = total[dose.Fluoroscopy](&list, c.Fluoroscopy, &fluoroscopyGauge)
	t.SinceClotting = total[unit.Duration](&list, c.SinceClotting, &sinceClottingGauge)
	t.InDonor = total[unit.Duration](&list, c.InDonor, &inDonorGauge)
	return t, list
}

// total reads one total: nothing, a quantity or `unknown`.
func total[Q ~float64](list *fault.List, text string, g *gauge) unit.Measured[Q] {
	if text == "" {
		return unit.Measured[Q]{}
	}
	m, f := unit.Parse[Q](text, g.kind)
	if f == nil && m.Known() {
		f = g.check(float64(m.Value), text)
	}
	*list = append(*list, atFlag(g.flag, f)...)
	if f != nil {
		return unit.Measured[Q]{}
	}
	return m
}

// check questions a value that is not plausible; nil: it is.
func (g *gauge) check(v float64, text string) *fault.Fault {
	if v >= g.least && v <= g.most {
		return nil
	}
	return fault.New(fault.OutOfBounds, fault.Quote(text), g.kind.Name()+" of "+g.text, "is the unit right, and every digit: "+g.ask+"?")
}
