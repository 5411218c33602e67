package barcode

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// An example is a text ("^" is FNC1) and what it says.
type example struct{ text, says string }

func TestExamples(t *testing.T) {
	all := 0
	for name, group := range map[string][]example{
		"agencies": agencies, "check digits": checkDigits, "element strings": elementStrings, "own gs1": ownGS1,
		"dictionary": dictionary, "hibc printed": hibcPrinted, "hibc table": hibcTable(), "hibc own": hibcOwn(),
	} {
		all += len(group)
		for _, x := range group {
			l, f := Parse(gs(x.text), present)
			if f != nil {
				t.Errorf("%s: %s: %v", name, x.text, f)
				continue
			}
			if got := facts(l); got != x.says {
				t.Errorf("%s: %s\n\tsays %s\n\twant %s", name, x.text, got, x.says)
			}
			if l.Doubt != "" {
				t.Errorf("%s: %s is in doubt: %s", name, x.text, l.Doubt)
			}
		}
	}
	t.Logf("%d examples", all)
}

// "UDI formats by FDA-Accredited Issuing Agency", version 1.3, 27 January 2017: the GS1
// example. The HIBC ones are of the same shape with the neutral labeler X999; they and
// their check characters are printed in the public grammar documentation of a text
// search (2025).
var agencies = []example{
	{"(01)51022222233336(11)141231(17)150707(10)A213B1(21)1234", "gs1 device=51022222233336 lot=A213B1 serial=1234 expires=2015-07-07 made=2014-12-31"},
	{"+X999123ABC0/$$05191234AB/S5678EDFG/16D20151001A", "hibc device=X999123ABC0 lot=1234AB serial=5678EDFG expires=2019-05-31 made=2015-10-01 link=" + link("X999123ABC0")},
	{"+X999123ABC0/$$20515191234AB/S5678EDFG/16D20151001I", "hibc device=X999123ABC0 lot=1234AB serial=5678EDFG expires=2019-05-15 made=2015-10-01 link=" + link("X999123ABC0")},
	{"+X999123ABC0/$$31905151234AB/S5678EDFG/16D20151001J", "hibc device=X999123ABC0 lot=1234AB serial=5678EDFG expires=2019-05-15 made=2015-10-01 link=" + link("X999123ABC0")},
	{"+X999123ABC0/$$4190515211234AB/S5678EDFG/16D20151001N", "hibc device=X999123ABC0 lot=1234AB serial=5678EDFG expires=2019-05-15 made=2015-10-01 link=" + link("X999123ABC0")},
	{"+X999123ABC0/$$5191351234AB/S5678EDFG/16D20151001J", "hibc device=X999123ABC0 lot=1234AB serial=5678EDFG expires=2019-05-15 made=2015-10-01 link=" + link("X999123ABC0")},
	{"+X999123ABC0/$$619135211234AB/S5678EDFG/16D20151001N", "hibc device=X999123ABC0 lot=1234AB serial=5678EDFG expires=2019-05-15 made=2015-10-01 link=" + link("X999123ABC0")},
	{"+X999123ABC0/$1234AB/S5678EDFG/16D20151001/14D20190515.", "hibc device=X999123ABC0 lot=1234AB serial=5678EDFG expires=2019-05-15 made=2015-10-01 link=" + link("X999123ABC0")},
}

// Worked check digits of GS1, from memory (the sums are those of tenDigit, see
// TestOracle): the GTIN-13 of the page "How to calculate a check digit", the SSCC of
// GS1 General Specifications 7.9, the SSCC and GTINs of the EPC Tag Data Standard.
var checkDigits = []example{
	{"]E06291041500213", "gs1 device=06291041500213"},
	{"(00)376104250021234569(01)06291041500213", "gs1 device=06291041500213"},
	{"00106141411234567897" + "0180614141123458", "gs1 device=80614141123458"},
	{"(01)10614141543219", "gs1 device=10614141543219"},
	{"]E412345670", "gs1 device=00000012345670"},
	{"]I115400141288763", "gs1 device=15400141288763"},
}

// Element strings of GS1's own documents, from memory: the DataMatrix guideline, the
// DataBar and GS1-128 figures of the General Specifications, the Digital Link standard.
var elementStrings = []example{
	{"(01)03453120000011(17)191125(10)ABCD1234(21)10", "gs1 device=03453120000011 lot=ABCD1234 serial=10 expires=2019-11-25"},
	{"]d201034531200000111719112510ABCD1234^2110", "gs1 device=03453120000011 lot=ABCD1234 serial=10 expires=2019-11-25"},
	{"(01)03453120000011(17)120508(10)ABCD1234(410)9501101020917", "gs1 device=03453120000011 lot=ABCD1234 expires=2012-05-08"},
	{"]C101034531200000111712050810ABCD1234^4109501101020917", "gs1 device=03453120000011 lot=ABCD1234 expires=2012-05-08"},
	{"(01)98898765432106(3202)012345(15)991231", "gs1 device=98898765432106"},
	{"]e00198898765432106320201234515991231", "gs1 device=98898765432106"},
	{"(01)04912345123459(15)970331(30)128(10)ABC123", "gs1 device=04912345123459 lot=ABC123 quantity=128"},
	{"(01)90614141000015(3202)000150", "gs1 device=90614141000015"},
	{"(01)95012345678903(3103)000123", "gs1 device=95012345678903"},
	{"(01)09506000134352(10)ABC1(21)12345(17)210512", "gs1 device=09506000134352 lot=ABC1 serial=12345 expires=2021-05-12"},
	{"(01)09521234543213(10)ABC1(21)12345", "gs1 device=09521234543213 lot=ABC1 serial=12345"},
	{"(01)09501101530003(17)140704(10)AB-123", "gs1 device=09501101530003 lot=AB-123 expires=2014-07-04"},
	{"]Q3" + "0109501101530003" + "17140704" + "10AB-123", "gs1 device=09501101530003 lot=AB-123 expires=2014-07-04"},
}

// Constructed from the text of the GS1 General Specifications: 3.4 (day 00, February of
// a leap year and of another), 7.8 (separators that are not needed, in front and after a
// predefined length), 7.12 (century), 3.2 (predefined lengths of identifiers that the
// standard has not used). The identifiers 09506000134352 and 0952… are of the prefixes
// that GS1 keeps for demonstration.
var ownGS1 = []example{
	{"010950600013435217280200", "gs1 device=09506000134352 expires=2028-02-29"},
	{"010950600013435217270200", "gs1 device=09506000134352 expires=2027-02-28"},
	{"010950600013435217261100", "gs1 device=09506000134352 expires=2026-11-30"},
	{"010950600013435217760101", "gs1 device=09506000134352 expires=2076-01-01"},
	{"010950600013435217770101", "gs1 device=09506000134352 expires=1977-01-01"},
	{"^0109506000134352^17281231^10A1^", "gs1 device=09506000134352 lot=A1 expires=2028-12-31"},
	{"]d2^010950600013435210A1^17281231", "gs1 device=09506000134352 lot=A1 expires=2028-12-31"},
	{"010950600013435210A1\r\n", "gs1 device=09506000134352 lot=A1"},
	{"0109506000134352" + "18123456" + "14000000" + "04" + "1234567890123456" + "10A1", "gs1 device=09506000134352 lot=A1"},
	{"0109506000134352" + "3699123456" + "419" + "1234567890123" + "2042" + "10A1", "gs1 device=09506000134352 lot=A1"},
	{"0109506000134352" + "8299#what^" + "10A1", "gs1 device=09506000134352 lot=A1"},
	{"(01)09506000134352(30)12(240)REF-7(241)c/8(250)S2(422)276(710)123(715)9(8020)z(91)in(99)out", "gs1 device=09506000134352 quantity=12"},
	{"0209506000134352" + "3724^" + "10A1", "gs1 device=09506000134352 lot=A1 quantity=24"},
	{"(01)09506000134352(21)a!\"%&'*+,-./:;<=>?_z", "gs1 device=09506000134352 serial=a!\"%&'*+,-./:;<=>?_z"},
	{"0109506000134352" + "10A(1)B^", "gs1 device=09506000134352 lot=A(1)B"},
	{"(17)281231(10)A1", "gs1 lot=A1 expires=2028-12-31"},
	{"(01)09506000134352(10)12345678901234567890", "gs1 device=09506000134352 lot=12345678901234567890"},
	{"(01)09506000134352(01)09506000134352(10)A1", "gs1 device=09506000134352 lot=A1"},
}

// Built from the rows 7003 (expiry with hour and minute) and 8008 (production with
// hour, then minute and second if wanted) of the syntax dictionary that GS1 publishes.
var dictionary = []example{
	{"(01)09506000134352(7003)2812312359", "gs1 device=09506000134352 expires=2028-12-31"},
	{"(01)09506000134352(8008)26010100", "gs1 device=09506000134352 made=2026-01-01"},
	{"(01)09506000134352(8008)260101235959(10)A1", "gs1 device=09506000134352 lot=A1 made=2026-01-01"},
}

// Examples of the HIBC Supplier Labeling Standard, ANSI/HIBC 2.6: figures 1 and 2, 5 and
// 6 and section 4.1, as a public barcode generator cites them in its tests; their check
// characters beyond the first from checked. The open descriptions of the standard print
// the joined text with supplements and with check character "-".
var hibcPrinted = []example{
	{"+A123BJC5D6E71G", "hibc device=A123BJC5D6E71 link=G"},
	{"]A0+A123BJC5D6E71G", "hibc device=A123BJC5D6E71 link=G"},
	{"*+A123BJC5D6E71G*", "hibc device=A123BJC5D6E71 link=G"},
	{checked("+$$52001510X3G"), "hibc lot=10X3 expires=2020-01-15 link=G"},
	{checked("+83278F8G9H0J2G"), "hibc lot=F8G9H0J2 expires=1983-10-05 link=G"},
	{checked("+A123BJC5D6E71/$$52001510X3"), "hibc device=A123BJC5D6E71 lot=10X3 expires=2020-01-15 link=G"},
	{"+A99912345/$$52001510X3/16D20111212/S77DE1G45-", "hibc device=A99912345 lot=10X3 serial=77DE1G45 expires=2020-01-15 made=2011-12-12 link=" + link("A99912345")},
	{"+A123ABCDEFGHI1234567891E", "hibc device=A123ABCDEFGHI1234567891 link=E"},
	{checked("+A999123457"), "hibc device=A999123457 link=" + link("A999123457")},
	{checked("+Z999009993020351/$$+70001"), "hibc device=Z999009993020351 serial=0001 link=" + link("Z999009993020351")},
}

// hibcTable is the table of secondary structures of the standard (appendix E1 of
// ANSI/HIBC 2.6, read in open descriptions of it). The table prints the link as "L" and
// the check character as "C", a place to be filled: here checked fills it.
func hibcTable() []example {
	const sep28, lot = "2005-09-28", "hibc lot=3C001 expires="
	rows := []example{
		{"+05271L", "hibc expires=2005-09-28"},
		{"+052713C001L", lot + sep28},
		{"+$3C001L", "hibc lot=3C001"},
		{"+$$09053C001L", lot + "2005-09-30"},
		{"+$$20928053C001L", lot + sep28},
		{"+$$30509283C001L", lot + sep28},
		{"+$$4050928223C001L", lot + sep28},
		{"+$$5052713C001L", lot + sep28},
		{"+$$605271223C001L", lot + sep28},
		{"+$$73C001L", "hibc lot=3C001"},
		{"+$$82409053C001L", lot + "2005-09-30 quantity=24"},
		{"+$$82420928053C001L", lot + sep28 + " quantity=24"},
		{"+$$82430509283C001L", lot + sep28 + " quantity=24"},
		{"+$$8244050928223C001L", lot + sep28 + " quantity=24"},
		{"+$$8245052713C001L", lot + sep28 + " quantity=24"},
		{"+$$824605271223C001L", lot + sep28 + " quantity=24"},
		{"+$$82473C001L", "hibc lot=3C001 quantity=24"},
		{"+$$824L", "hibc quantity=24"},
		{"+$$90010009053C001L", lot + "2005-09-30 quantity=100"},
		{"+$$90010020928053C001L", lot + sep28 + " quantity=100"},
		{"+$$90010073C001L", "hibc lot=3C001 quantity=100"},
		{"+$$900100L", "hibc quantity=100"},
		{"+$+0001L", "hibc serial=0001"},
		{"+$$+09050001L", "hibc serial=0001 expires=2005-09-30"},
		{"+$$+20928050001L", "hibc serial=0001 expires=2005-09-28"},
	}
	for i := range rows {
		rows[i] = example{checked(rows[i].text), rows[i].says + " link=L"}
	}
	return rows
}

// Constructed: month 10 to 12 without a flag, day 366 of a leap year, a day that names
// the month of the secondary structure more closely, supplements Q and unknown ones, a
// label whose check character is "/" or a blank, a caption with "_" for the blank.
func hibcOwn() []example {
	return []example{
		{checked("+A123XY0/$$1228L1"), "hibc device=A123XY0 lot=L1 expires=2028-12-31 link=" + link("A123XY0")},
		{checked("+A123XY0/$$528366"), "hibc device=A123XY0 expires=2028-12-31 link=" + link("A123XY0")},
		{checked("+A123XY0/$$0228L1/14D20280215"), "hibc device=A123XY0 lot=L1 expires=2028-02-15 link=" + link("A123XY0")},
		{checked("+A123XY0/$L1/Q500/25SAB-1/9N7"), "hibc device=A123XY0 lot=L1 quantity=500 link=" + link("A123XY0")},
		{checked("+A123XY0/14D20280215"), "hibc device=A123XY0 expires=2028-02-15 link=" + link("A123XY0")},
		{checked("+A123XY0/$$824/Q24"), "hibc device=A123XY0 quantity=24 link=" + link("A123XY0")},
		{checked("+A123XY0/$$+3280215S1/16D20260101"), "hibc device=A123XY0 serial=S1 expires=2028-02-15 made=2026-01-01 link=" + link("A123XY0")},
		{checked("+$L1/S2 "), "hibc lot=L1 serial=2 link= "},
		{checked("+$L1/"), "hibc lot=L1 link=/"},
		{"+A123XZ1/", "hibc device=A123XZ1 link=/"},
		{"+A123XX1 ", "hibc device=A123XX1 link= "},
		{"*+A123XX1_*", "hibc device=A123XX1 link= "},
		{checked("+A1231234567890123456780"), "hibc device=A1231234567890123456780 link=" + link("A1231234567890123456780")},
	}
}

// The calculators of the tests give the characters that the documents above print.
func TestOracle(t *testing.T) {
	for _, s := range []string{"51022222233336", "6291041500213", "376104250021234569", "106141411234567897", "80614141123458", "9501101020917", "98898765432106"} {
		if got := tenDigit(s[:len(s)-1]); got != s[len(s)-1:] {
			t.Errorf("%s: check digit %s", s, got)
		}
	}
	for _, s := range []string{"+A123BJC5D6E71G", "+A99912345/$$52001510X3/16D20111212/S77DE1G45-", "+X999123ABC0/$1234AB/S5678EDFG/16D20151001/14D20190515.", "+A123ABCDEFGHI1234567891E"} {
		if got := checked(s[:len(s)-1]); got != s {
			t.Errorf("%s: %s", s, got)
		}
	}
}

// What is not understood is kept, in order and as read.
func TestElements(t *testing.T) {
	for text, want := range map[string][]Element{
		"010950600013435291x^8299y^1412345610A1":     {{"01", "09506000134352"}, {"91", "x"}, {"8299", "y"}, {"14", "123456"}, {"10", "A1"}},
		checked("+A123XY0/$$1228L1/25SAB-1/S77"):     {{"+", "A123XY0"}, {"$$", "1228L1"}, {"25S", "AB-1"}, {"S", "77"}},
		checked("+$$+7S1/16D20260101" + "J"):         {{"$$+", "7S1"}, {"16D", "20260101"}},
		checked("+05271" + "L"):                      {{"", "05271"}},
		"]E412345670":                                {{"01", "00000012345670"}},
		"(01)09506000134352(241)CUST-1(10)A1(92)end": {{"01", "09506000134352"}, {"241", "CUST-1"}, {"10", "A1"}, {"92", "end"}},
	} {
		l, f := Parse(gs(text), present)
		if diff := cmp.Diff(want, l.Elements); diff != "" || f != nil {
			t.Errorf("%s: %v\n%s", text, f, diff)
		}
	}
}

// A text without separators whose lot may hold a serial number is read as the standard
// says, and the doubt told; with a separator or brackets there is none.
func TestDoubt(t *testing.T) {
	for text, doubt := range map[string]string{
		item + "10ABC12321456":              "lot “ABC12321456” may be lot “ABC123” and serial number “456”: the text has no separator",
		item + "21S110L7":                   "serial number “S110L7” may be serial number “S1” and lot “L7”: the text has no separator",
		item + "10ABC12321456^":             "",
		item + "21S^10ABC12321456":          "",
		"(01)09506000134352(10)AB213456":    "",
		item + "10AB21":                     "", // nothing behind: no serial number
		item + "1021AB":                     "", // nothing in front: no lot
		item + "91AB2134":                   "",
		item + "17281231" + "10ABC17290101": "", // the label has its expiry date
		item + "10ABC172812318299x":         "", // an element that nobody knows ends it
		item + "10ABC17281331":              "", // no date
		item + "10ABC" + item:               "", // the label has its number
	} {
		l, f := Parse(gs(text), present)
		if f != nil || l.Doubt != doubt {
			t.Errorf("%s: %v, doubt %q\nwant %q", text, f, l.Doubt, doubt)
		}
	}
}

// A label prints so that it reads back the same, in doubt or not.
func TestString(t *testing.T) {
	for text, want := range map[string]string{
		"(01)09506000134352(10)ABC17281231": item + "10ABC17281231^", // without the last separator it could be refused
		item + "10ABC12321456":              item + "10ABC12321456",  // nor may the doubt be lost
		"(10)A1(17)281231":                  "10A1^17281231",
		"]d2^" + item + "^10A1":             item + "10A1^",
		"*+A123BJC5D6E71G*":                 "+A123BJC5D6E71G",
		checked("+$$52001510X3G"):           checked("+$$52001510X3G"),
	} {
		l, f := Parse(gs(text), present)
		if f != nil || l.String() != gs(want) {
			t.Errorf("%s: %v prints as %q", text, f, l)
			continue
		}
		again, f := Parse(l.String(), present)
		if diff := cmp.Diff(l, again); diff != "" || f != nil {
			t.Errorf("%s: %v\n%s", text, f, diff)
		}
	}
	if got := (Label{}).String(); got != "" {
		t.Errorf("the zero label prints as %q", got)
	}
}

// The identifiers of the syntax dictionary that GS1 publishes (release of 2023-12-11;
// of a range the first): the first two digits tell where each ends.
func TestIdentifiers(t *testing.T) {
	for id := range strings.FieldsSeq(`00 01 02 10 11 12 13 15 16 17 20 21 22 235 240 241 242 243 250 251 253 254 255 30
		3100 3160 3200 3290 3300 3370 3400 3490 3500 3570 3600 3690 37 3900 3910 3920 3930 3940 3950 400 401 402 403
		410 417 420 421 422 427 4300 4309 4321 4333 7001 7003 7011 7020 7030 7040 710 715 7230 7242 8001 8008 8020 8030
		8110 8112 8200 90 91 99`) {
		got, _, f := takeID(piece{0, id + "1234567890"})
		if f != nil || got.text != id {
			t.Errorf("%s: %q, %v", id, got.text, f)
		}
	}
}

func TestMatches(t *testing.T) {
	// GS1 General Specifications 3.3.2: the shorter numbers stand right-justified with
	// zeros in front.
	for _, c := range []struct {
		label, gtin string
		want        bool
	}{
		{"]E412345670", "12345670", true},
		{"]E412345670", "00000012345670", true},
		{"(01)00614141123452", "614141123452", true},
		{"(01)00614141123452", "0614141123452", true},
		{"(01)00614141123452", "00614141123452", true},
		{"(01)00614141123452", "14141123452", false},
		{"(01)00614141123452", "", false},
		{"(01)00614141123452", "0614141 123452", false},
		{"(01)10614141543219", "00614141543212", false}, // the case and its item
		{"(10)A1", "00000000000000", false},
		{"+A123BJC5D6E71G", "00614141123452", false},
	} {
		l, f := Parse(c.label, present)
		if f != nil {
			t.Fatal(f)
		}
		if got := l.Matches(c.gtin); got != c.want {
			t.Errorf("%s matches %q: %t", c.label, c.gtin, got)
		}
	}
	if (Label{}).Matches("") {
		t.Error("the zero label matches nothing")
	}
}

func TestJoin(t *testing.T) {
	label := func(s string) Label {
		l, f := Parse(gs(s), present)
		if f != nil {
			t.Fatalf("%s: %v", s, f)
		}
		return l
	}
	lot := checked("+$$52001510X3G")
	for _, c := range []struct{ a, b, says, fault string }{
		// figures 1 and 5 of the standard are one item: link G
		{"+A123BJC5D6E71G", lot, "hibc device=A123BJC5D6E71 lot=10X3 expires=2020-01-15 link=G", ""},
		{lot, "+A123BJC5D6E71G", "hibc device=A123BJC5D6E71 lot=10X3 expires=2020-01-15 link=G", ""},
		{"(01)09506000134352", "(17)281231(10)A1(30)2", "gs1 device=09506000134352 lot=A1 expires=2028-12-31 quantity=2", ""},
		{"(01)09506000134352(10)A1(37)2", "(01)09506000134352(21)7(37)2", "gs1 device=09506000134352 lot=A1 serial=7 quantity=2", ""},
		{"+A123ABCDEFGHI1234567891E", lot, "", "found link “G”"},
		{"+A123BJC5D6E71G", "+A123BJC5D6E71G", "", "found two structures of one kind"},
		{lot, lot, "", "found two structures of one kind"},
		{"(01)09506000134352", lot, "", "found a label of gs1 and one of hibc"},
		{"(01)09506000134352", "(01)09521234543213", "", "found trade item number"},
		{"(01)09506000134352(10)A1", "(10)A2", "", "found lot “A2” after “A1”"},
		{"(01)09506000134352(30)1", "(30)2", "", "found two quantities"},
	} {
		l, f := Join(label(c.a), label(c.b))
		switch {
		case (f != nil) != (c.fault != ""):
			t.Errorf("%s and %s: %v", c.a, c.b, f)
		case f != nil && !strings.HasPrefix(f.Says(), c.fault):
			t.Errorf("%s and %s: %s", c.a, c.b, f.Says())
		case f == nil && facts(l) != c.says:
			t.Errorf("%s and %s say %s", c.a, c.b, facts(l))
		}
	}
}
