package dose

import (
	"math"

	"backroad/internal/source"
	"backroad/internal/unit"
)

var skinPaper = source.Paper("[skin effects by dose, table 1; exact title not seen]", "J Appl Clin Med Phys", 2022, "10.1002/acm2.13526",
	"the same table as Med Phys 2011, DOI 10.1118/1.3633935 (table 2); one site, skin of the trunk or arms")

// Effect is one row of the skin-effect table: what may be seen after a dose to one
// site. Edges are not rigid; patients differ.
type Effect struct {
	Band     string
	From, To PeakSkinDose // From belongs to the band, To to the next
	Grade    string       // "" where the table gives none
	Prompt   string       // within 2 weeks
	Early    string       // 2 to 8 weeks
	Mid      string       // 6 to 52 weeks
	Late     string       // after 40 weeks
}

// SkinEffects is the table with its source. Another table in use splits the middle
// column at 8 to 40 weeks: rows of the two are not to be mixed.
var SkinEffects = source.Of([]Effect{
	{"A1", 0, 2, "", "none", "none", "none", "none"},
	{"A2", 2, 5, "1", "transient redness", "hair loss", "hair grows again", "none"},
	{"B", 5, 10, "1-2", "transient redness", "redness, hair loss",
		"recovery; at higher doses prolonged redness, some hair loss for good", "recovery; at higher doses thin or hardened skin"},
	{"C", 10, 15, "2-3", "transient redness", "redness, hair loss, perhaps peeling that heals",
		"prolonged redness, hair loss for good", "dilated small vessels, thin or hardened skin, weak skin"},
	{"D", 15, PeakSkinDose(math.Inf(1)), "3-4", "redness; at very high doses swelling, acute ulcer", "redness, hair loss, moist peeling",
		"thin skin, an ulcer where it did not heal, surgery likely; dead tissue", "late breakdown, deep wound, surgery likely"},
}, skinPaper)

// SkinEffect finds the row of a peak skin dose; on an edge the higher one. It is false
// where the dose is unknown or negative.
func SkinEffect(d unit.Measured[PeakSkinDose]) (Effect, bool) {
	if !d.Known() {
		return Effect{}, false
	}
	for _, e := range SkinEffects.Value() {
		if e.From <= d.Value && d.Value < e.To {
			return e, true
		}
	}
	return Effect{}, false
}
