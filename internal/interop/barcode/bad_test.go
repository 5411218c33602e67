package barcode

import (
	"strings"
	"testing"
	"unicode/utf8"

	"backroad/internal/fault"

	"github.com/google/go-cmp/cmp"
)

// mark stands in the texts below, set by hand, in front of the character at which the
// fault must be found.
const mark = "¦"

// right puts the right check character behind a marked HIBC text, so that what is wrong
// with it is something else.
func right(marked string) string {
	bare := strings.Replace(marked, mark, "", 1)
	return marked + strings.TrimPrefix(checked(bare), bare)
}

const item = "0109506000134352"

// bad are texts that are no label, each with the class of its fault. What is wrong with
// them follows from the clauses of the standards named in the package; none is of a
// real product.
var bad = []struct {
	kind fault.Kind
	text string
}{
	// not a text of a symbol at all
	{fault.Syntax, "¦"},
	{fault.Syntax, "¦\r\n"},
	{fault.NotUTF8, "0109506¦\xff000134352"},
	{fault.NotInList, "01095060001343¦５2"},
	{fault.NotInList, item + "¦\t10A1"},
	{fault.NotInList, item + "10A1¦\r\n" + item},
	{fault.NotInList, item + "¦\uFFFD"},
	{fault.OutOfBounds, strings.Repeat("0", 7089) + "¦0"},
	{fault.Syntax, "¦hello"},
	{fault.Syntax, "1¦A"},
	{fault.Syntax, "1¦"},

	// symbology identifier (GS1 General Specifications 5.1; ISO/IEC 15424)
	{fault.Syntax, "]¦"},
	{fault.Syntax, "]C¦"},
	{fault.Syntax, "]C1¦"},
	{fault.NotInList, "¦]X0" + item},
	{fault.NotInList, "¦]E3" + item},
	{fault.NotInList, "¦]C-" + item},
	{fault.Contradiction, "]C1¦+A123BJC5D6E71G"},
	{fault.Contradiction, "]d2¦+A123BJC5D6E71G"},
	{fault.Syntax, "]E0629104150021¦"},
	{fault.Syntax, "]E06291041500213¦5"},
	{fault.WrongKind, "]E0629104150021¦X"},
	{fault.Contradiction, "]E0629104150021¦4"},

	// trade item numbers and their check digit (3.3, 7.9)
	{fault.Contradiction, "010950600013435¦3"},
	{fault.Contradiction, "(01)0950600013435¦3"},
	{fault.Contradiction, "0009506000134352345¦0" + item},
	{fault.WrongKind, "0109506¦O00134352"},
	{fault.Syntax, "010950600013435¦"},
	{fault.Syntax, "010950600013¦^17281231"},
	{fault.Syntax, "(01)¦"},
	{fault.Contradiction, item + "¦0109521234543213"},
	{fault.Contradiction, item + "¦0209521234543213"},

	// identifiers (3.2, 7.8)
	{fault.UnknownKey, item + "¦0599"},
	{fault.UnknownKey, item + "¦6012"},
	{fault.UnknownKey, "(01)09506000134352(¦45)x"},
	{fault.UnknownKey, "¦4912345000013"},
	{fault.Syntax, item + "1¦X"},
	{fault.Syntax, item + "310¦"},
	{fault.Syntax, item + "31¦A0001234"},
	{fault.Syntax, item + "^¦^10A1"},
	{fault.Syntax, item + "10¦^17281231"},
	{fault.Syntax, item + "20¦"},

	// the form with brackets
	{fault.Syntax, "¦(1)09506000134352"},
	{fault.Syntax, "¦(010)9506000134352"},
	{fault.Syntax, "¦()09506000134352"},
	{fault.Syntax, "(01¦"},
	{fault.Syntax, "(01)09506000134352(10)A¦)"},
	{fault.Syntax, "(01)09506000134352(10)A¦(B)"},
	{fault.WrongKind, "(01)¦ 09506000134352"},
	{fault.NotInList, "(01)09506000134352(10)A1¦^(17)281231"},
	{fault.Syntax, "(01)09506000134352(17)28123¦(10)A1"},
	{fault.OutOfBounds, "(01)09506000134352(17)281231¦1(10)A1"},

	// values: lengths and characters (3.2, figure 7.11-1)
	{fault.NotInList, item + "10A¦ 1"},
	{fault.NotInList, item + "10A¦#1"},
	{fault.NotInList, item + "10A¦$1"},
	{fault.WrongKind, item + "30¦A"},
	{fault.OutOfBounds, item + "30¦0"},
	{fault.OutOfBounds, item + "3012345678¦9"},
	{fault.Contradiction, item + "302^37¦3"},
	{fault.WrongKind, item + "422¦DEU"},
	{fault.Syntax, item + "42227¦"},
	{fault.OutOfBounds, item + "242123456¦7"},
	{fault.Contradiction, item + "10A1^¦10A2"},
	{fault.Contradiction, item + "17281231¦7003281230" + "1200"},
	{fault.Contradiction, item + "21A1^¦21A2"},

	// dates (3.4, 7.12)
	{fault.OutOfBounds, item + "1728¦1331"},
	{fault.OutOfBounds, item + "1728¦0031"},
	{fault.OutOfBounds, item + "172811¦31"},
	{fault.OutOfBounds, item + "172702¦29"},
	{fault.OutOfBounds, item + "112802¦30"},
	{fault.OutOfBounds, item + "1528¦1301"},
	{fault.WrongKind, item + "172812¦X1"},
	{fault.Syntax, item + "1728123¦"},
	{fault.OutOfBounds, item + "70032812¦001200"},
	{fault.OutOfBounds, item + "7003281231¦2400"},
	{fault.OutOfBounds, item + "700328123123¦60"},
	{fault.OutOfBounds, item + "800828123123¦5"},

	// a separator left out
	{fault.OutOfBounds, item + "10ABCDEFGHIJ1234567890¦2112345"},
	{fault.Syntax, item + "10ABC¦17281231"},
	{fault.Syntax, item + "10ABC¦1728123121S77"},
	{fault.Syntax, "10ABC¦" + item},
	{fault.Syntax, item + "17281231" + "21S77¦11260101" + "10L1"},

	// a text that says nothing of a device
	{fault.MissingKey, "¦4012345678901"},
	{fault.MissingKey, "¦(240)REF"},
	{fault.MissingKey, "¦00376104250021234569"},
	{fault.MissingKey, "]d1¦91x"},

	// HIBC: flag, characters, check character
	{fault.Syntax, "+¦"},
	{fault.Syntax, "+A¦"},
	{fault.NotInList, "+¦a123BJC5D6E71G"},
	{fault.NotInList, "+A123BJC5D6E71¦*"},
	{fault.NotInList, "+A123BJC5D6E71G¦^"},
	{fault.Contradiction, "+A123BJC5D6E71¦H"},
	{fault.Contradiction, "+A123BJC5D6E7¦G"},
	{fault.Contradiction, "*+A123BJC5D6E71¦H*"},
	{fault.Syntax, "¦*+"},
	{fault.WrongKind, right("+¦/AAS12345")},
	{fault.NotInList, right("+¦%A123")},
	{fault.NotInList, right("+¦ A123")},
	{fault.Syntax, "+$" + "¦"},

	// HIBC: primary structure
	{fault.Syntax, right("+A1230¦")},
	{fault.OutOfBounds, right("+A1231234567890123456780¦1")},
	{fault.WrongKind, right("+A123BJC¦X")},
	{fault.NotInList, right("+A123B¦-C1")},
	{fault.NotInList, right("+A1¦.3BJC1")},

	// HIBC: secondary structure
	{fault.Syntax, right("+$¦L")},
	{fault.Syntax, right("+$+¦L")},
	{fault.Syntax, right("+$$¦L")},
	{fault.NotInList, right("+A123XY0/$$¦ABC")},
	{fault.NotInList, right("+A123XY0/$$824¦A")},
	{fault.NotInList, right("+A123XY0/$$824¦8")},
	{fault.Syntax, right("+A123XY0/$$82¦")},
	{fault.WrongKind, right("+A123XY0/$$9001¦A005")},
	{fault.OutOfBounds, right("+A123XY0/$$8¦00")},
	{fault.OutOfBounds, right("+A123XY0/$$¦1328L1")},
	{fault.OutOfBounds, right("+A123XY0/$$¦0028L1")},
	{fault.OutOfBounds, right("+A123XY0/$$202¦3028L1")},
	{fault.OutOfBounds, right("+A123XY0/$$32802¦30L1")},
	{fault.OutOfBounds, right("+A123XY0/$$32802¦00L1")},
	{fault.OutOfBounds, right("+A123XY0/$$4280215¦24L1")},
	{fault.OutOfBounds, right("+A123XY0/$$527¦366L1")},
	{fault.OutOfBounds, right("+A123XY0/$$527¦000L1")},
	{fault.OutOfBounds, right("+A123XY0/$$628366¦24L1")},
	{fault.Syntax, right("+A123XY0/$$52836¦")},
	{fault.WrongKind, right("+A123XY0/$$528¦L36")},
	{fault.WrongKind, right("+2836¦XL1")},
	{fault.OutOfBounds, right("+A123XY0/$1234567890ABCDEFGH¦I")},
	{fault.OutOfBounds, right("+A123XY0/283661234567890ABC¦D")},
	{fault.NotInList, right("+A123XY0/$L¦-1")},
	{fault.NotInList, right("+A123XY0/$$7L¦$1")},

	// HIBC: supplements
	{fault.Syntax, right("+A123XY0/¦")},
	{fault.Syntax, right("+A123XY0/$L1/¦")},
	{fault.Syntax, right("+A123XY0/$L1/¦$L1")},
	{fault.Syntax, right("+A123XY0/$L1/S¦")},
	{fault.Syntax, right("+A123XY0/$L1/16¦")},
	{fault.Syntax, right("+A123XY0/$L1/16D2026010¦")},
	{fault.Syntax, right("+A123XY0/$L1/16D20260101¦X")},
	{fault.OutOfBounds, right("+A123XY0/$L1/16D2026¦1301")},
	{fault.OutOfBounds, right("+A123XY0/$L1/14D202602¦29")},
	{fault.WrongKind, right("+A123XY0/$L1/14D2026¦FEB1")},
	{fault.WrongKind, right("+A123XY0/$L1/Q1¦X")},
	{fault.OutOfBounds, right("+A123XY0/$L1/Q12345¦6")},
	{fault.OutOfBounds, right("+A123XY0/$L1/Q¦0")},
	{fault.Contradiction, right("+A123XY0/$$824/Q¦25")},
	{fault.Contradiction, right("+A123XY0/$$3280215L1/14D¦20280216")},
	{fault.Contradiction, right("+A123XY0/$$0228L1/14D¦20280301")},
	{fault.Contradiction, right("+A123XY0/$+S1/S¦S2")},
	{fault.OutOfBounds, right("+A123XY0/S1234567890ABCDEFGH¦I")},
}

func TestBad(t *testing.T) {
	for _, x := range bad {
		before, after, ok := strings.Cut(gs(x.text), mark)
		if !ok || strings.Contains(after, mark) {
			t.Errorf("%q has not one mark", x.text)
			continue
		}
		l, f := Parse(before+after, present)
		if f == nil {
			t.Errorf("%q is read as %s", x.text, facts(l))
			continue
		}
		if col := utf8.RuneCountInString(before) + 1; f.Kind != x.kind || f.Line != 1 || f.Col != col {
			t.Errorf("%q: %s at %d:%d, want %s at 1:%d: %s", x.text, f.Kind, f.Line, f.Col, x.kind, col, f.Says())
		}
		if f.Found == "" || f.Expected == "" || f.Hint == "" {
			t.Errorf("%q: %q does not say all", x.text, f.Says())
		}
		if diff := cmp.Diff(Label{}, l); diff != "" {
			t.Errorf("%q: a label beside the fault\n%s", x.text, diff)
		}
	}
	t.Logf("%d bad texts", len(bad))
}

func TestBadYear(t *testing.T) {
	for _, year := range []int{-1, 0, 26, 1899, 9901} {
		if _, f := Parse(item, year); f == nil || f.Kind != fault.BadRequest {
			t.Errorf("year %d: %v", year, f)
		}
	}
	for _, year := range []int{1900, 9900} {
		if _, f := Parse(item, year); f != nil {
			t.Errorf("year %d: %v", year, f)
		}
	}
}
