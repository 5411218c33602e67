package shelfcsv

import (
	"bytes"
	"encoding/csv"
	"os"
	"strings"
	"testing"

	"backroad/internal/interop/corpus"
	"backroad/internal/interop/randomshelf"
	"backroad/internal/interop/shelffile"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// The laws V1 to V5 are stated in the package comment.

func TestV1RoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := randomshelf.Shelves().Draw(t, "shelf")
		got, faults := Decode("f", Encode(want))
		if diff := cmp.Diff(want, got); diff != "" || faults != nil {
			t.Fatalf("%v\n%s\n%s", faults, diff, Encode(want))
		}
	})
}

func TestV2V3DamagedTables(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lawful(t, corpus.Damaged(Encode(randomshelf.Shelves().Draw(t, "shelf")), rapid.SliceOfN(rapid.Uint32(), 1, 4).Draw(t, "damage")))
	})
}

// lawful checks V2 and V3 of one input, and V1 where it is a shelf.
func lawful(t interface{ Fatalf(string, ...any) }, data []byte) {
	s, faults := Decode("f", data)
	if (s == nil) != (len(faults) > 0) {
		t.Fatalf("value %v beside faults %v", s, faults)
	}
	if says := corpus.Misplaced(data, faults); says != "" {
		t.Fatalf("%s", says)
	}
	if s == nil {
		return
	}
	again, faults := Decode("f", Encode(s))
	if diff := cmp.Diff(s, again); diff != "" || faults != nil {
		t.Fatalf("%v\n%s\n%s", faults, diff, Encode(s))
	}
}

// Signs that begin a formula, by the advice on CSV injection of the Open Worldwide
// Application Security Project: = + - @, tab, carriage return, and full-width forms.
// The standard library's reader takes the table apart.
func TestV4NoFormula(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rows, err := csv.NewReader(bytes.NewReader(Encode(randomshelf.Shelves().Draw(t, "shelf")))).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		for _, row := range rows {
			for _, text := range row {
				for _, sign := range []string{"=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠"} {
					if strings.HasPrefix(text, sign) {
						t.Fatalf("a cell %q", text)
					}
				}
			}
		}
	})
}

// Another writer: the standard library's, with the columns the other way round.
func TestV5Dialects(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := randomshelf.Shelves().Draw(t, "shelf")
		rows, err := csv.NewReader(bytes.NewReader(Encode(want))).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		for _, row := range rows {
			for i, j := 0, len(row)-1; i < j; i, j = i+1, j-1 {
				row[i], row[j] = row[j], row[i]
			}
			for i, text := range row {
				// an unquoted text with blanks at its end is not kept by this writer
				if strings.TrimSpace(text) != text {
					t.Skip(i)
				}
			}
		}
		var b bytes.Buffer
		b.WriteString("\ufeff")
		w := csv.NewWriter(&b)
		w.Comma, w.UseCRLF = ';', true
		if err := w.WriteAll(rows); err != nil {
			t.Fatal(err)
		}
		got, faults := Decode("f", b.Bytes())
		if diff := cmp.Diff(want, got); diff != "" || faults != nil {
			t.Fatalf("%v\n%s\n%s", faults, diff, b.String())
		}
	})
}

// The example shelf, with every class and key, goes through the table unchanged.
func TestFullShelf(t *testing.T) {
	data, err := os.ReadFile("../testdata/good/shelf-full.yaml")
	if err != nil {
		t.Fatal(err)
	}
	want, faults := shelffile.Decode("f", data)
	if faults != nil {
		t.Fatal(faults)
	}
	got, faults := Decode("f", Encode(want))
	if diff := cmp.Diff(want, got); diff != "" || faults != nil {
		t.Fatalf("%v\n%s", faults, diff)
	}
}

// A table written down by hand, with what spreadsheets do to it.
func TestByHand(t *testing.T) {
	const table = "class;id;on_hand;loop;loops;length;outer;side_holes;french;bore;prefer;lot;count\r\n" +
		" snare ; S1;2; 15 mm ;1;120 cm;20 mm;;;;TRUE;L 1;2\r\n" +
		";;;;;;;;;;;;\r\n" +
		"guide;G1;1;;;90cm;;FALSE;7F;2.06mm;;;\r\n" +
		";S1;;;;;;;;;;'=L2;1\r\n"
	const want = "schema: shelf/1\nitems:\n" +
		"  - {id: S1, class: snare, length: 120 cm, outer: 20 mm, loop: 15 mm, loops: 1, on_hand: 2, prefer: 1, lots: [{lot: L 1, count: 2}, {lot: \"=L2\", count: 1}]}\n" +
		"  - {id: G1, class: guide, french: 7 Fr, bore: 2.06 mm, length: 90 cm, side_holes: false, on_hand: 1}\n"
	const back = "id,class,on_hand,lot,expires,count,french,length,outer,bore,loop,loops,side_holes,prefer\n" +
		"S1,snare,2,L 1,,2,,120 cm,20 mm,,15 mm,1,,1\n" +
		"S1,snare,,'=L2,,1,,,,,,,,\n" +
		"G1,guide,1,,,,7 Fr,90 cm,,2.06 mm,,,false,\n"
	s, faults := Decode("f", []byte(table))
	if faults != nil {
		t.Fatal(faults)
	}
	if diff := cmp.Diff(want, string(shelffile.Encode(s))); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff(back, string(Encode(s))); diff != "" {
		t.Error(diff)
	}
}

// A table of more than the shelf file's reader takes at once is read in parts.
func TestLargeTable(t *testing.T) {
	var b strings.Builder
	b.WriteString("id,class,on_hand,note\n")
	line := ",clip,3," + strings.Repeat("n", 180) + "\n"
	n := 0
	for ; b.Len() < mostBytes-300; n++ {
		b.WriteString(strings.Repeat("x", 1+n%7) + string(rune('A'+n%26)) + itoa(n) + line)
	}
	s, faults := Decode("f", []byte(b.String()))
	if faults != nil || len(s.Items) != n {
		t.Fatalf("%v, want %d items", faults[:min(3, len(faults))], n)
	}
	s, faults = Decode("f", []byte(b.String()+strings.Repeat(" ", 400)))
	if s != nil || len(faults) != 1 {
		t.Errorf("a file over the limit: %v", faults)
	}
}

func itoa(n int) string {
	if n == 0 {
		return "0"
	}
	text := ""
	for ; n > 0; n /= 10 {
		text = string(rune('0'+n%10)) + text
	}
	return text
}

// Every bad table gives exactly the faults of its label; the places in the labels were
// counted by hand.
func TestBadTables(t *testing.T) {
	files, err := corpus.Read("shelfcsv")
	if err != nil {
		t.Fatal(err)
	}
	if len(files) < 15 {
		t.Errorf("only %d bad tables", len(files))
	}
	for _, f := range files {
		t.Run(string(f.Class)+"/"+f.Name, func(t *testing.T) {
			value, faults := Decode(corpus.GivenAs, f.Data)
			for _, problem := range f.Problems(value != nil, faults) {
				t.Error(problem)
			}
		})
	}
}

func FuzzTable(f *testing.F) {
	files, err := corpus.Read("shelfcsv")
	if err != nil {
		f.Fatal(err)
	}
	for _, bad := range files {
		f.Add(bad.Data)
	}
	f.Add([]byte("id,class,on_hand,lot,expires,count\nA,clip,3,L1,2027-05-31,2\nA,,,L2,,1\n"))
	f.Fuzz(func(t *testing.T, data []byte) { lawful(t, data) })
}
