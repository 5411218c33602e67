package suite

import (
	"bytes"
	"errors"
	"math/rand/v2"
	"strings"
	"testing"

	"backroad/internal/archive"
)

// TestTexts (A3): every text comes back to the byte, also after the place was opened anew.
func TestTexts(t *testing.T) {
	every := make([]byte, 256)
	for i := range every {
		every[i] = byte(i)
	}
	large := make([]byte, archive.MostText)
	random := rand.New(rand.NewPCG(1, 2))
	for i := range large {
		large[i] = byte(random.Uint32())
	}
	texts := [][]byte{{}, {0}, every, large, bytes.Repeat([]byte{0}, 70_000), []byte("a\r\nb\rc\n"), []byte("\ufeffbom"), []byte("\xff\xfe\x00half"), []byte("\\x41 \\000 ' \" $1 %s ?"),
		[]byte(" \t trailing \n\n"), []byte("e\u0301 é ﬁ ſ İ ı \u202e \U0001f9ec \u0000"), large[:8191], large[:8192], large[:8193], large[:1<<20]}
	each(t, func(t *testing.T, p place) {
		a := p.opened(t)
		for i, text := range texts {
			given := bytes.Clone(text)
			v := save(t, a, draft("x", i, string(text)))
			if v.Bytes != len(text) {
				t.Errorf("text %d: %d bytes, want %d", i, v.Bytes, len(text))
			}
			if !bytes.Equal(given, text) {
				t.Errorf("text %d was changed in the hands of the caller", i)
			}
		}
		if p.lasts {
			a.Close()
			a = p.opened(t)
		}
		for i, text := range texts {
			d, err := a.At(ctx, archive.Ref{Kind: archive.Case, ID: "x", Version: i + 1})
			if err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(d.Text, text) {
				t.Errorf("text %d came back as %d other bytes", i, len(d.Text))
			}
			if len(d.Text) > 0 { // what a caller does with its copy is its own affair
				d.Text[0]++
			}
			if again, err := a.At(ctx, d.Ref); err != nil || !bytes.Equal(again.Text, text) {
				t.Errorf("text %d was changed by a caller that got it (%v)", i, err)
			}
		}
	})
}

// TestNames (A3): ids and titles come back to the character, and two that differ in any
// character are two: in case, in normal form, by what a language takes for the same.
func TestNames(t *testing.T) {
	ids := []string{"a", "A", "\u00e9", "e\u0301", "ß", "ss", "SS", "ı", "i", "İ", "I", "ﬁ", "fi", "٣", "3", "日本語", "हिन्दी", "ไทย", "-", "_", "--", "0", "00", "1e3", "null", "NaN",
		strings.Repeat("語", archive.MostID), strings.Repeat("\U00020000", archive.MostID), "CON", "ÅÄÖ", "å"}
	titles := []string{"", " ", "  spaces  ", "Robert'); DROP TABLE archive_version;--", `\`, `\\x00`, "%_?$1:a@b", "\u202eright to left\u202c", "\u200b", "\U0001f9ec\U0001f3fd", "e\u0301\u0323",
		strings.Repeat("\U0001f9ec", archive.MostTitle), "\u00a0", "null", "\ufffd", "\uffff", "<script>alert(1)</script>", `"`, "a\u2028b"}
	each(t, func(t *testing.T, p place) {
		a := p.opened(t)
		for i, id := range ids {
			for _, kind := range archive.Kinds {
				d := draft(id, 0, string(kind)+" "+id)
				d.Kind, d.Title = kind, titles[i%len(titles)]
				if v := save(t, a, d); v.Ref != (archive.Ref{Kind: kind, ID: id, Version: 1}) || v.Title != d.Title {
					t.Errorf("saved as %+v", v)
				}
			}
		}
		for i, title := range titles {
			d := draft("titled", i, "the same")
			d.Title = title
			save(t, a, d)
		}
		for i, id := range ids {
			for _, kind := range archive.Kinds {
				d, err := a.Head(ctx, kind, id)
				if err != nil || string(d.Text) != string(kind)+" "+id || d.ID != id || d.Title != titles[i%len(titles)] {
					t.Errorf("%s %q came back as %q %q %q, %v", kind, id, d.ID, d.Title, d.Text, err)
				}
			}
		}
		rows, err := a.History(ctx, archive.Case, "titled")
		if err != nil || len(rows) != len(titles) {
			t.Fatalf("%d versions, want %d (%v)", len(rows), len(titles), err)
		}
		for i, v := range rows {
			if v.Title != titles[i] {
				t.Errorf("title %q came back as %q", titles[i], v.Title)
			}
		}
		list, err := a.List(ctx, archive.Case)
		if err != nil || len(list) != len(ids)+1 {
			t.Errorf("%d cases, want %d (%v)", len(list), len(ids)+1, err)
		}
		for i := 1; i < len(list); i++ {
			if list[i-1].Seq <= list[i].Seq {
				t.Errorf("the one saved at %d is listed before the one at %d", list[i-1].Seq, list[i].Seq)
			}
		}
	})
}

// TestLimits (A6): what lies beyond the limits is refused in words, in every store alike,
// and leaves nothing.
func TestLimits(t *testing.T) {
	good := draft("x", 0, "text")
	bad := map[string]func(d *archive.Draft){
		"no kind":               func(d *archive.Draft) { d.Kind = "" },
		"another kind":          func(d *archive.Draft) { d.Kind = "plan" },
		"no id":                 func(d *archive.Draft) { d.ID = "" },
		"a long id":             func(d *archive.Draft) { d.ID = strings.Repeat("語", archive.MostID+1) },
		"a path":                func(d *archive.Draft) { d.ID = "../x" },
		"a space":               func(d *archive.Draft) { d.ID = "a b" },
		"a NUL in the id":       func(d *archive.Draft) { d.ID = "a\x00" },
		"an id that is no text": func(d *archive.Draft) { d.ID = "\xff" },
		"a long title":          func(d *archive.Draft) { d.Title = strings.Repeat("x", archive.MostTitle+1) },
		"a NUL in the title":    func(d *archive.Draft) { d.Title = "a\x00" },
		"two lines of title":    func(d *archive.Draft) { d.Title = "a\nb" },
		"a title that is none":  func(d *archive.Draft) { d.Title = "\xc3" },
		"a note of two lines":   func(d *archive.Draft) { d.Note = "a\nb" },
		"a long note":           func(d *archive.Draft) { d.Note = archive.Note(strings.Repeat("x", archive.MostNote+1)) },
		"a large text":          func(d *archive.Draft) { d.Text = make([]byte, archive.MostText+1) },
		"a base below 0":        func(d *archive.Draft) { d.Base = -1 },
		"an Of below 0":         func(d *archive.Draft) { d.Of = -1 },
	}
	each(t, func(t *testing.T, p place) {
		a := p.opened(t)
		for what, spoil := range bad {
			d := good
			spoil(&d)
			_, err := a.Save(ctx, d)
			var tr *archive.Trouble
			if !errors.As(err, &tr) || tr.Kind != archive.NotValid {
				t.Errorf("%s: %v", what, err)
			}
		}
		if all, err := a.Since(ctx, 0, 10); err != nil || len(all) > 0 {
			t.Errorf("something was left: %v, %v", all, err)
		}
		save(t, a, good)
	})
}

// TestTimes: every microsecond that a clock gives comes back, in versions and plans.
func TestTimes(t *testing.T) {
	times := []archive.Time{1, 999_999, 1_000_001, 1_700_000_000_123_457, archive.LatestTime, 1<<53 + 1, 1<<62 + 1, -1, -62_135_596_800_000_001}
	each(t, func(t *testing.T, p place) {
		i := 0
		a := p.openedWith(t, func() archive.Time { return times[i] })
		for i = range times {
			v := save(t, a, draft("x", i, string(rune('a'+i))))
			d, err := a.Head(ctx, archive.Case, "x")
			if err != nil || v.Saved != times[i] || d.Saved != times[i] {
				t.Errorf("%d came back as %d and %d (%v)", times[i], v.Saved, d.Saved, err)
			}
		}
		shelf := save(t, a, archive.Draft{Kind: archive.Shelf, ID: "s"}).Ref
		for n, made := range []archive.Time{1, 1_700_000_000_123_457, archive.LatestTime} {
			p := kept("p"+string(rune('a'+n)), "x", 1, shelf)
			p.Made = made
			if got, err := a.KeepPlan(ctx, p); err != nil || got.Made != made {
				t.Errorf("made %d came back as %d (%v)", made, got.Made, err)
			}
			if got, err := a.Plan(ctx, p.ID); err != nil || got.Made != made {
				t.Errorf("made %d came back as %d (%v)", made, got.Made, err)
			}
		}
		i = 3
		if got, err := a.KeepPlan(ctx, kept("now", "x", 1, shelf)); err != nil || got.Made != times[3] {
			t.Errorf("without a time a plan was made at %d, want the clock's %d (%v)", got.Made, times[3], err)
		}
	})
}
