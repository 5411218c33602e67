package stock

import (
	"slices"
	"strings"
	"testing"

	"backroad/internal/gear"
	"backroad/internal/unit"

	"github.com/google/go-cmp/cmp"
)

func day(text string) Day {
	d, f := ParseDay(text)
	if f != nil {
		panic(f)
	}
	return d
}

// Counts worked out by hand, by the rules of the package comment.
func TestLookByHand(t *testing.T) {
	lots := []gear.Lot{{Lot: "A", Expires: "2026-11-25", Count: 2}, {Lot: "B", Expires: "2027-05-31", Count: 1}}
	for _, c := range []struct {
		name     string
		it       gear.Item
		on, code string
		want     Count
		findings int
	}{
		{"no lots", gear.Item{OnHand: 3}, "2026-11-25", "", Count{OnHand: 3, Usable: 3}, 0},
		{"the last day itself", gear.Item{OnHand: 5, Lots: lots}, "2026-11-25", "", Count{OnHand: 5, Usable: 5, Soonest: day("2026-11-25"), HasSoonest: true}, 0},
		{"the day after: two have expired, two have no lot", gear.Item{OnHand: 5, Lots: lots}, "2026-11-26", "",
			Count{OnHand: 5, Usable: 3, Expired: 2, Soonest: day("2027-05-31"), HasSoonest: true}, 0},
		{"all have expired", gear.Item{OnHand: 3, Lots: lots}, "2027-06-01", "", Count{OnHand: 3, Expired: 3}, 0},
		{"one of three is missing: it may be the good one", gear.Item{OnHand: 2, Lots: lots}, "2026-11-26", "",
			Count{OnHand: 2, Usable: 0, Expired: 2, Soonest: day("2027-05-31"), HasSoonest: true}, 1},
		{"an uncounted lot has expired: the rest may be of it", gear.Item{OnHand: 9, Lots: []gear.Lot{{Lot: "C", Expires: "2026-01-01"}, {Lot: "D", Count: 4}}}, "2026-11-25", "",
			Count{OnHand: 9, Usable: 4}, 1},
		{"reserved", gear.Item{OnHand: 5, Reserved: []gear.Reservation{{Case: "K-1", Count: 2}, {Case: "K-2", Count: 1}}}, "2026-11-25", "K-2",
			Count{OnHand: 5, Usable: 3, Reserved: 3, Mine: 1}, 0},
		{"more reserved than there is", gear.Item{OnHand: 1, Reserved: []gear.Reservation{{Case: "K-1", Count: 2}}}, "2026-11-25", "",
			Count{OnHand: 1, Usable: 0, Reserved: 2}, 1},
		{"a day that is none", gear.Item{OnHand: 2, Lots: []gear.Lot{{Lot: "A", Expires: "soon", Count: 1}}}, "2026-11-25", "", Count{OnHand: 2, Usable: 1, Expired: 1}, 1},
		{"one lot twice", gear.Item{OnHand: 2, Lots: []gear.Lot{{Lot: "A", Count: 1}, {Lot: "A", Count: 1}}}, "2026-11-25", "", Count{OnHand: 2, Usable: 2}, 1},
	} {
		got := Look(&c.it, day(c.on), c.code)
		if len(got.Findings) != c.findings {
			t.Errorf("%s: findings %q", c.name, got.Findings)
		}
		got.Findings = nil
		if diff := cmp.Diff(c.want, got); diff != "" {
			t.Errorf("%s:\n%s", c.name, diff)
		}
	}
}

func TestTakeByHand(t *testing.T) {
	s := &gear.Shelf{Items: []gear.Item{{ID: "X", OnHand: 7, Lots: []gear.Lot{
		{Lot: "late", Expires: "2028-01-31", Count: 2}, {Lot: "old", Expires: "2026-01-31", Count: 1}, {Lot: "undated", Count: 1}, {Lot: "soon", Expires: "2026-12-31", Count: 2}},
		Reserved: []gear.Reservation{{Case: "K-1", Count: 2}}}}}
	after, taken, f := Take(s, today, Ask{ID: "X", Count: 6, Case: "K-1"})
	want := []Batch{{"X", "soon", "2026-12-31", 2}, {"X", "late", "2028-01-31", 2}, {"X", "undated", "", 1}, {"X", "", "", 1}}
	if diff := cmp.Diff(want, taken); diff != "" || f != nil {
		t.Errorf("%v %s", f, diff)
	}
	left := gear.Item{ID: "X", OnHand: 1, Lots: []gear.Lot{{Lot: "old", Expires: "2026-01-31", Count: 1}}}
	if diff := cmp.Diff(left, after.Items[0]); diff != "" {
		t.Error(diff)
	}
	if lot, ok := First(&s.Items[0], today); !ok || lot.Lot != "soon" {
		t.Errorf("first is %v", lot)
	}
	if _, ok := First(&after.Items[0], today); ok {
		t.Error("an expired lot is taken first")
	}
	for _, ask := range []Ask{{ID: "X", Count: 5}, {ID: "X", Count: 3, Lot: "soon"}, {ID: "X", Count: 1, Lot: "old"}, {ID: "X", Count: 1, Lot: "none"}, {ID: "X", Count: 0}, {ID: "Y", Count: 1}} {
		if after, taken, f := Take(s, today, ask); f == nil || after != nil || taken != nil {
			t.Errorf("%+v was given", ask)
		}
	}
}

// A lot that nobody counted stays on the shelf, and stays uncounted.
func TestUncountedLot(t *testing.T) {
	s := &gear.Shelf{Items: []gear.Item{{ID: "X", OnHand: 3, Lots: []gear.Lot{{Lot: "A"}}}}}
	more, f := Add(s, "X", 2, "A", "")
	if f != nil || more.Items[0].OnHand != 5 || more.Items[0].Lots[0].Count != 0 {
		t.Fatalf("%v %+v", f, more)
	}
	less, taken, f := Take(more, today, Ask{ID: "X", Count: 2, Lot: "A"})
	if diff := cmp.Diff(s, less); diff != "" || f != nil || taken[0] != (Batch{"X", "A", "", 2}) {
		t.Errorf("%v %v %s", f, taken, diff)
	}
}

func TestDiscardByHand(t *testing.T) {
	s := &gear.Shelf{Items: []gear.Item{{ID: "X", OnHand: 6, Lots: []gear.Lot{{Lot: "A", Expires: "2020-01-01", Count: 3}, {Lot: "B"}}}}}
	for _, c := range []struct {
		n    int
		lot  string
		gone Batch
		left gear.Item
	}{
		{0, "A", Batch{"X", "A", "2020-01-01", 3}, gear.Item{ID: "X", OnHand: 3, Lots: []gear.Lot{{Lot: "B"}}}},
		{1, "A", Batch{"X", "A", "2020-01-01", 1}, gear.Item{ID: "X", OnHand: 5, Lots: []gear.Lot{{Lot: "A", Expires: "2020-01-01", Count: 2}, {Lot: "B"}}}},
		{2, "B", Batch{"X", "B", "", 2}, gear.Item{ID: "X", OnHand: 4, Lots: s.Items[0].Lots}},
		{3, "B", Batch{"X", "B", "", 3}, gear.Item{ID: "X", OnHand: 3, Lots: s.Items[0].Lots[:1]}},
		{1, "", Batch{ID: "X", Count: 1}, gear.Item{ID: "X", OnHand: 5, Lots: s.Items[0].Lots}},
	} {
		after, gone, f := Discard(s, "X", c.n, c.lot)
		if f != nil {
			t.Errorf("%+v: %v", c, f)
			continue
		}
		if diff := cmp.Diff(c.left, after.Items[0]); diff != "" || gone != c.gone {
			t.Errorf("%d of %s: %+v\n%s", c.n, c.lot, gone, diff)
		}
	}
	for _, n := range []int{4, -1} {
		for _, lot := range []string{"", "A", "none"} {
			if _, _, f := Discard(s, "X", n, lot); f == nil {
				t.Errorf("%d of %q were written off", n, lot)
			}
		}
	}
	if _, _, f := Discard(s, "Y", 1, ""); f == nil {
		t.Error("an unknown item was written off")
	}
}

func TestNameByHand(t *testing.T) {
	s := &gear.Shelf{Items: []gear.Item{{ID: "X", OnHand: 2, Lots: []gear.Lot{{Lot: "A", Count: 1}}}}}
	after, f := Name(s, "X", "B", "2027-01-31")
	want := gear.Item{ID: "X", OnHand: 2, Lots: []gear.Lot{{Lot: "A", Count: 1}, {Lot: "B", Expires: "2027-01-31", Count: 1}}}
	if f != nil || !cmp.Equal(want, after.Items[0]) {
		t.Fatalf("%v %+v", f, after)
	}
	if _, f := Name(after, "X", "C", ""); f == nil {
		t.Error("a third of two pieces")
	}
}

func TestListsByHand(t *testing.T) {
	s := &gear.Shelf{Items: []gear.Item{
		{ID: "A", Class: gear.Guide, OnHand: 2, Lots: []gear.Lot{{Lot: "a", Expires: "2026-11-24", Count: 1}, {Lot: "b", Expires: "2026-11-25", Count: 1}}},
		{ID: "B", Class: gear.Wire, OnHand: 2, Lots: []gear.Lot{{Lot: "c", Expires: "2026-11-30", Count: 1}, {Lot: "d", Expires: "2026-12-01", Count: 1}, {Lot: "e"}}},
		{ID: "C", Class: gear.Clip, OnHand: 3, Lots: []gear.Lot{{Lot: "f", Expires: "2020-01-01", Count: 1}}},
	}}
	names := func(list []Batch) string {
		var lots []string
		for _, b := range list {
			lots = append(lots, b.Lot)
		}
		return strings.Join(lots, " ")
	}
	if got := names(Expired(s, today)); got != "f a" {
		t.Errorf("expired: %s", got)
	}
	if got := names(Expiring(s, today, 5)); got != "b c" {
		t.Errorf("expiring: %s", got)
	}
	if got := Low(s, today, Limits{Below: 2}); !slices.Equal(got, []string{"A"}) {
		t.Errorf("low: %v", got)
	}
	if got := Low(s, today, Limits{Below: 3, ByClass: map[gear.Class]int{gear.Guide: 1}}); !slices.Equal(got, []string{"B", "C"}) {
		t.Errorf("low by class: %v", got)
	}
}

func TestWantedByRole(t *testing.T) {
	got := Wanted(map[gear.Role][]string{gear.TrapBalloon: {"T"}, gear.DonorGuide: {"G"}, "own": {"O"}, gear.AntegradeGuide: {"G"}})
	if want := []string{"G", "G", "T", "O"}; !slices.Equal(got, want) {
		t.Errorf("%v", got)
	}
	if _, faults := Reserve(&gear.Shelf{}, today, "", got); len(faults) != 1 {
		t.Error(faults)
	}
}

// A number and its unit: 7 Fr is 7/3 mm, an inch 25.4 mm.
func TestSearchByHand(t *testing.T) {
	mm := func(v unit.Length) gear.Length { return unit.Exactly(v) }
	s := &gear.Shelf{Items: []gear.Item{
		{ID: "G", Class: gear.Guide, French: mm(7.0 / 3), Bore: mm(2.06), Length: mm(900), Curve: "Left"},
		{ID: "B", Class: gear.Balloon, Inflated: mm(7.0 / 3), Length: mm(20), Shaft: mm(1400), GTIN: "09506000134352"},
		{ID: "S", Class: gear.Snare, Length: mm(1200), LoopLeast: 18, LoopMost: 30},
		{ID: "D-7F", Class: gear.DualLumen, Name: "two ways", Lots: []gear.Lot{{Lot: "L77"}}},
	}}
	for query, want := range map[string]string{
		"7F": "G", "7 fr": "G", "7Fr 90cm GUIDE left": "G", "2.06 mm": "G", "0.9 mm": "", "90 cm": "G", "900mm": "G",
		"20mm": "B S", "18 mm": "S", "30 mm": "S", "31mm": "", "140 cm": "B", "dual lumen": "D-7F", "l77": "D-7F", "two": "D-7F",
		"095060": "B", "": "G B S D-7F", "d-7f": "D-7F", "7F balloon": "",
	} {
		var ids []string
		for _, it := range Search(s, []string{query}) {
			ids = append(ids, it.ID)
		}
		if got := strings.Join(ids, " "); got != want {
			t.Errorf("%q finds %q, want %q", query, got, want)
		}
	}
	for _, gtin := range []string{"9506000134352", "09506000134352"} {
		if got := ByGTIN(s, gtin); len(got) != 1 || got[0].ID != "B" {
			t.Errorf("%s finds %v", gtin, got)
		}
	}
	if got := ByGTIN(s, "506000134352"); len(got) != 0 {
		t.Errorf("a shorter number finds %v", got)
	}
}

func TestDescribeByHand(t *testing.T) {
	mm := func(v unit.Length) gear.Length { return unit.Exactly(v) }
	yes := true
	inch14 := unit.Length(0.014)
	inch14 *= 25.4
	for want, it := range map[string]gear.Item{
		"7 Fr, 90 cm, bore 2.06 mm, left, side holes":               {Class: gear.Guide, French: mm(7.0 / 3), Bore: mm(2.06), Length: mm(900), Curve: "left", SideHoles: &yes},
		"crossing, 0.014 in, 190 cm, soft 16 cm":                    {Class: gear.Wire, Use: gear.Crossing, Diameter: mm(inch14), Length: mm(1900), Soft: mm(160)},
		"2.5 x 15 mm, profile unknown, shaft 140 cm, over the wire": {Class: gear.Balloon, Inflated: mm(2.5), Length: mm(15), Profile: gear.Length{State: unit.Unknown}, Shaft: mm(1400), OverWire: true},
		"3 loops 18-30 mm, 120 cm, outer 1.1 mm":                    {Class: gear.Snare, Loops: 3, LoopLeast: 18, LoopMost: 30, Length: mm(1200), Outer: mm(1.1)},
		"loop unknown, 120 cm":                                      {Class: gear.Snare, Loops: 1, Length: mm(1200)},
		"loop 15 mm, 120 cm":                                        {Class: gear.Snare, Loops: 1, LoopLeast: 15, LoopMost: 15, Length: mm(1200)},
		"":                                                          {Class: gear.Clip},
	} {
		if got := Describe(&it); got != want {
			t.Errorf("want %q, got %q", want, got)
		}
	}
}

// What Add refuses: each request, and a word of the reason.
func TestAddRefuses(t *testing.T) {
	s := &gear.Shelf{Items: []gear.Item{{ID: "X", OnHand: 3, Lots: []gear.Lot{{Lot: "A", Expires: "2027-01-31", Count: 1}, {Lot: "B", Count: 1}}}}}
	for _, c := range []struct {
		id           string
		n            int
		lot, expires string
		why          string
	}{
		{"Y", 1, "", "", "id of an item"}, {"X", 0, "", "", "1 or more"}, {"X", -1, "", "", "1 or more"}, {"X", 999_998, "", "", "at most 1000000"},
		{"X", 1, "", "2027-01-31", "without a lot"}, {"X", 1, "A", "2027-02-29", "a day that exists"}, {"X", 1, "A", "2027-01-30", "2027-01-31"},
	} {
		if after, f := Add(s, c.id, c.n, c.lot, c.expires); f == nil || after != nil || !strings.Contains(f.Says(), c.why) {
			t.Errorf("%+v: %v", c, f)
		}
	}
	if after, f := Add(s, "X", 999_997, "", ""); f != nil || after.Items[0].OnHand != 1_000_000 {
		t.Errorf("the largest count: %v", f)
	}
	if after, f := Add(s, "X", 1, "B", "2027-03-31"); f != nil || after.Items[0].Lots[1] != (gear.Lot{Lot: "B", Expires: "2027-03-31", Count: 2}) {
		t.Errorf("a day for a lot that had none: %v", f)
	}
}
