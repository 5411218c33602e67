package barcode

import (
	"slices"
	"strings"

	"backroad/internal/fault"
)

// Join puts the labels of two symbols of one item together, in either order. A fault,
// which has no place, says that they are not of one item: systems, values or the link
// of HIBC differ, or no HIBC label or both have a primary structure.
func Join(a, b Label) (Label, *fault.Fault) {
	const hint = "scan both symbols of one label"
	if a.System != b.System {
		return Label{}, fault.New(fault.Contradiction, "a label of "+string(a.System)+" and one of "+string(b.System), "two of one system", hint)
	}
	if a.Device == "" {
		a, b = b, a
	}
	if a.System == HIBC {
		switch {
		case a.Device == "" || b.Device != "":
			return Label{}, fault.New(fault.Contradiction, "two structures of one kind", "a primary and a secondary structure", hint)
		case a.Link != b.Link:
			return Label{}, fault.New(fault.Contradiction, "link "+fault.Quote(b.Link)+" of the secondary structure", fault.Quote(a.Link)+", the check character of the primary", hint)
		}
	}
	return a.with(b)
}

// with adds to a label what another says.
func (l Label) with(b Label) (Label, *fault.Fault) {
	for _, x := range []struct {
		field *string
		value string
		what  string
	}{
		{&l.Device, b.Device, "trade item number"}, {&l.Lot, b.Lot, "lot"}, {&l.Serial, b.Serial, "serial number"},
		{&l.Expires, b.Expires, "expiry date"}, {&l.Made, b.Made, "date of manufacture"},
	} {
		if x.value == "" {
			continue
		}
		if f := say(x.field, x.value, 0, x.what); f != nil {
			return Label{}, fault.New(f.Kind, f.Found, f.Expected, f.Hint)
		}
	}
	if l.Quantity != 0 && b.Quantity != 0 && l.Quantity != b.Quantity {
		return Label{}, fault.New(fault.Contradiction, "two quantities", "one quantity", "scan both symbols of one label")
	}
	l.Quantity = max(l.Quantity, b.Quantity)
	l.Doubt = strings.Join(slices.DeleteFunc([]string{l.Doubt, b.Doubt}, func(s string) bool { return s == "" }), "; ")
	l.Elements = slices.Concat(l.Elements, b.Elements)
	return l, nil
}
