package stock

import (
	"math"
	"strings"

	"backroad/internal/gear"
	"backroad/internal/unit"
)

// Search returns the items that fit every word of a query, in the order of the shelf. A
// word is a dimension (7F, 7 Fr, 90cm, 0.014 in) that the item has, or a piece of its
// id, class, name, note, curve, use, lot or trade item number, in any case of letters.
// A number and the unit behind it are one word.
func Search(s *gear.Shelf, query []string) []*gear.Item {
	terms := termsOf(query)
	var found []*gear.Item
	for i := range s.Items {
		if it := &s.Items[i]; fitsAll(it, terms) {
			found = append(found, it)
		}
	}
	return found
}

// term is one word of a query.
type term struct {
	text   string
	length gear.Length // known where the word is a length or diameter
	french bool        // it was written in French
}

func termsOf(query []string) []term {
	fields := strings.Fields(strings.ToLower(strings.Join(query, " ")))
	var terms []term
	for i := 0; i < len(fields); i++ {
		t := termOf(fields[i])
		if i+1 < len(fields) && !t.length.Known() {
			if both := termOf(fields[i] + " " + fields[i+1]); both.length.Known() {
				t = both
				i++
			}
		}
		terms = append(terms, t)
	}
	return terms
}

func termOf(text string) term {
	t := term{text: text}
	size := text
	for _, f := range []string{"fr", "f"} {
		if number, ok := strings.CutSuffix(text, f); ok {
			size, t.french = number+"Fr", true
			break
		}
	}
	kind := unit.Diameter
	if t.french {
		kind = unit.French
	}
	if m, f := unit.ParseLength(size, kind); f == nil && m.Known() {
		t.length = m
	}
	return t
}

func fitsAll(it *gear.Item, terms []term) bool {
	for _, t := range terms {
		if !t.fits(it) {
			return false
		}
	}
	return true
}

func (t term) fits(it *gear.Item) bool {
	if t.length.Known() {
		return t.measures(it)
	}
	texts := []string{it.ID, string(it.Class), strings.ReplaceAll(string(it.Class), "_", " "), it.Name, it.Note, it.Curve, string(it.Use), it.GTIN}
	for i := range it.Lots {
		texts = append(texts, it.Lots[i].Lot)
	}
	for _, text := range texts {
		if strings.Contains(strings.ToLower(text), t.text) {
			return true
		}
	}
	return false
}

// measures reports whether the item has the dimension. What is written in French is
// looked for only among what is French by its name, so that a sheath's 7 Fr is not a
// balloon of 2.33 mm.
func (t term) measures(it *gear.Item) bool {
	sizes := []gear.Length{it.French, it.ForGuide}
	if !t.french {
		sizes = []gear.Length{it.Length, it.Shaft, it.Bore, it.Outer, it.OuterTip, it.OuterShaft, it.ShaftOuter,
			it.TakesWire, it.Diameter, it.Inflated, it.Profile, it.RX, it.Tube, it.Soft, it.Tip, it.NeedsBore}
		if v := t.length.Value; it.LoopMost > 0 && v >= it.LoopLeast && v <= it.LoopMost {
			return true
		}
	}
	for _, m := range sizes {
		if m.Known() && same(m.Value, t.length.Value) {
			return true
		}
	}
	return false
}

// sameMM is how far two sizes that are the same can lie apart, in millimetres, by the
// rounding of their conversion: decision 0004.
const sameMM = 1e-9

func same(a, b unit.Length) bool { return math.Abs(a.MM()-b.MM()) < sameMM }

// ByGTIN returns the items of a trade item number. Numbers of 8, 12, 13 and 14 digits
// are the same when they are so with zeros in front (GS1 General Specifications: a
// shorter number fills the 14 places from the right).
func ByGTIN(s *gear.Shelf, gtin string) []*gear.Item {
	var found []*gear.Item
	for i := range s.Items {
		if it := &s.Items[i]; it.GTIN != "" && fourteen(it.GTIN) == fourteen(gtin) {
			found = append(found, it)
		}
	}
	return found
}

func fourteen(gtin string) string { return strings.Repeat("0", max(0, 14-len(gtin))) + gtin }
