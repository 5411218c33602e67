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
	Elapsed       string `placeholder:"75min" help:"Time since the procedure began: for the forecast."`
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

// totals reads the totals; one that is not given is not known.
func (c *limitsCommand) totals() (*risk.Totals, fault.List) {
	var list fault.List
	t := &risk.Totals{Strength: total[renal.Strength](&list, "--strength", c.Strength, unit.StrengthKind),
		Elapsed: total[unit.Duration](&list, "--elapsed", c.Elapsed, unit.MinutesKind)}
	t.Contrast = total[renal.Volume](&list, "--contrast", c.Contrast, unit.VolumeKind)
	t.AirKerma = total[dose.AirKerma](&list, "--kerma", c.Kerma, unit.KermaKind)
	t.KermaArea = total[dose.KermaArea](&list, "--kerma-area", c.KermaArea, unit.KermaArea)
	t.Fluoroscopy = total[dose.Fluoroscopy](&list, "--fluoroscopy", c.Fluoroscopy, unit.MinutesKind)
	t.SinceClotting = total[unit.Duration](&list, "--since-clotting", c.SinceClotting, unit.MinutesKind)
	t.InDonor = total[unit.Duration](&list, "--in-donor", c.InDonor, unit.MinutesKind)
	return t, list
}

func total[Q ~float64](list *fault.List, flag, text string, k *unit.Kind) unit.Measured[Q] {
	if text == "" {
		return unit.Measured[Q]{}
	}
	m, f := unit.Parse[Q](text, k)
	*list = append(*list, atFlag(flag, f)...)
	return m
}
