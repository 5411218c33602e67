package suite

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"backroad/internal/archive"
	"backroad/internal/store/memory"
	"backroad/internal/store/postgres"
	"backroad/internal/store/sqlite"
)

// place is where an archive of a test is: it can be opened more than once, but for
// memory, which ends when it is closed.
type place struct {
	name  string
	lasts bool
	open  func(clock func() archive.Time) (archive.Archive, error)
}

// each runs a test on an empty archive of every kind.
func each(t *testing.T, test func(*testing.T, place)) {
	t.Run("memory", func(t *testing.T) {
		test(t, place{"memory", false, func(clock func() archive.Time) (archive.Archive, error) { return memory.Open(clock), nil }})
	})
	t.Run("sqlite", func(t *testing.T) {
		file := filepath.Join(t.TempDir(), "a folder? with #% signs", "archive.db")
		test(t, place{"sqlite", true, func(clock func() archive.Time) (archive.Archive, error) { return inFile(file, clock) }})
	})
	t.Run("postgres", func(t *testing.T) {
		at := address(t)
		test(t, place{"postgres", true, func(clock func() archive.Time) (archive.Archive, error) {
			a, _, err := postgres.Open(context.Background(), postgres.Config{Address: at, Clock: clock})
			if err != nil {
				return nil, err
			}
			return a, nil
		}})
	})
}

func inFile(file string, clock func() archive.Time) (archive.Archive, error) {
	a, err := sqlite.Open(context.Background(), sqlite.Config{File: file, Clock: clock})
	if err != nil {
		return nil, err
	}
	return a, nil
}

// opened opens a place for the time of a test.
func (p place) opened(t *testing.T) archive.Archive {
	t.Helper()
	return p.openedWith(t, ticking())
}

func (p place) openedWith(t *testing.T, clock func() archive.Time) archive.Archive {
	t.Helper()
	a, err := p.open(clock)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { a.Close() })
	return a
}

// ticking is a clock with odd microseconds: a store that keeps milliseconds would lose
// some of them.
func ticking() func() archive.Time {
	var n atomic.Int64
	return func() archive.Time { return archive.Time(1_700_000_000_000_001 + 1_000_003*n.Add(1)) }
}

var ctx = context.Background()

func save(t *testing.T, a archive.Archive, d archive.Draft) archive.Version {
	t.Helper()
	v, err := a.Save(ctx, d)
	if err != nil {
		t.Fatalf("save %s %q base %d: %v", d.Kind, d.ID, d.Base, err)
	}
	return v
}

// draft is a draft of a case.
func draft(id string, base int, text string) archive.Draft {
	return archive.Draft{Kind: archive.Case, ID: id, Title: "case " + id, Base: base, Text: []byte(text)}
}

// dump is all that can be asked of an archive.
type dump struct {
	Changes   []archive.Change
	Documents map[archive.Kind]map[string][]archive.Document
	Lists     map[archive.Kind][]archive.Version
	Plans     map[string][]archive.Plan
	Whole     map[string]archive.Plan
}

func dumped(t *testing.T, a archive.Archive) dump {
	t.Helper()
	d := dump{Documents: map[archive.Kind]map[string][]archive.Document{}, Lists: map[archive.Kind][]archive.Version{}, Plans: map[string][]archive.Plan{}, Whole: map[string]archive.Plan{}}
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	var err error
	d.Changes, err = a.Since(ctx, 0, 1<<30)
	must(err)
	for _, kind := range archive.Kinds {
		d.Documents[kind] = map[string][]archive.Document{}
		d.Lists[kind], err = a.List(ctx, kind)
		must(err)
		for _, v := range d.Lists[kind] {
			rows, err := a.History(ctx, kind, v.ID)
			must(err)
			for _, row := range rows {
				doc, err := a.At(ctx, row.Ref)
				must(err)
				if doc.Version != row {
					t.Fatalf("At says %+v, History says %+v", doc.Version, row)
				}
				d.Documents[kind][v.ID] = append(d.Documents[kind][v.ID], doc)
			}
			head, err := a.Head(ctx, kind, v.ID)
			must(err)
			if head.Version != v || head.Version != rows[len(rows)-1] {
				t.Fatalf("Head says %+v, List says %+v, History ends with %+v", head.Version, v, rows[len(rows)-1])
			}
		}
	}
	for _, v := range d.Lists[archive.Case] {
		plans, err := a.Plans(ctx, v.ID)
		must(err)
		for _, p := range plans {
			whole, err := a.Plan(ctx, p.ID)
			must(err)
			d.Whole[p.ID] = whole
			d.Plans[v.ID] = append(d.Plans[v.ID], p)
		}
	}
	return d
}

// alike compares bytes as bytes; no bytes, and no rows, are as good as none.
var alike = cmp.Options{cmpopts.EquateEmpty(), cmp.FilterValues(func(x, y []byte) bool { return len(x)+len(y) > 0 }, cmp.Comparer(bytes.Equal))}

// same fails where two dumps differ.
func same(t *testing.T, what string, want, got dump) {
	t.Helper()
	if diff := cmp.Diff(want, got, alike); diff != "" {
		t.Fatalf("%s (-want +got):\n%s", what, strings.ToValidUTF8(diff, "?"))
	}
}

// conflict fails where an error is none, and gives the newest version that it names.
func conflict(t *testing.T, err error) archive.Version {
	t.Helper()
	var c *archive.Conflict
	if !errors.As(err, &c) {
		t.Fatalf("want a conflict, got %v", err)
	}
	return c.Head
}

func trouble(t *testing.T, err error, kind archive.TroubleKind) *archive.Trouble {
	t.Helper()
	var tr *archive.Trouble
	if !errors.As(err, &tr) || tr.Kind != kind {
		t.Fatalf("want trouble of the kind %q, got %v", kind, err)
	}
	if tr.Says == "" || tr.Hint == "" {
		t.Errorf("the trouble does not say what is wrong and what to do: %+v", tr)
	}
	return tr
}

func notFound(t *testing.T, what string, err error) {
	t.Helper()
	if !errors.Is(err, archive.ErrNotFound) {
		t.Errorf("%s: want ErrNotFound, got %v", what, err)
	}
}

// kept is a plan of a case that is there.
func kept(id, caseID string, version int, shelf archive.Ref) archive.Plan {
	return archive.Plan{ID: id, Case: archive.Ref{Kind: archive.Case, ID: caseID, Version: version}, Shelf: shelf, House: archive.Ref{Kind: archive.House},
		Program: "v1", Day: "2026-03-01", Events: []string{"moved donor_guide in 10 mm"}, Route: "septal", Finish: "snare", TreatOver: "rail", Verdict: "works",
		P: 0.1, JSON: []byte(`{"a": 1}`), PDF: []byte("%PDF-1.7\x00\xff"), HTML: []byte("<p>\u00e9</p>")}
}

func TestReadsOfWhatIsNotThere(t *testing.T) {
	each(t, func(t *testing.T, p place) {
		a := p.opened(t)
		save(t, a, draft("there", 0, "x"))
		for _, id := range []string{"missing", "", "THERE", "there ", "a\x00b", "\xff\xfe", strings.Repeat("x", 100_000), "'; DROP TABLE archive_version; --", "the%", "ther_"} {
			_, err := a.Head(ctx, archive.Case, id)
			notFound(t, fmt.Sprintf("Head(%.20q)", id), err)
			_, err = a.At(ctx, archive.Ref{Kind: archive.Case, ID: id, Version: 1})
			notFound(t, fmt.Sprintf("At(%.20q)", id), err)
			_, err = a.History(ctx, archive.Case, id)
			notFound(t, fmt.Sprintf("History(%.20q)", id), err)
			_, err = a.Plan(ctx, id)
			notFound(t, fmt.Sprintf("Plan(%.20q)", id), err)
			if plans, err := a.Plans(ctx, id); err != nil || len(plans) > 0 {
				t.Errorf("Plans(%.20q) = %v, %v", id, plans, err)
			}
		}
		for _, version := range []int{0, -1, 2, 1 << 40} {
			_, err := a.At(ctx, archive.Ref{Kind: archive.Case, ID: "there", Version: version})
			notFound(t, fmt.Sprint("At version ", version), err)
		}
		for _, kind := range []archive.Kind{archive.Shelf, "", "nothing", "case\x00", "\xff"} {
			_, err := a.Head(ctx, kind, "there")
			notFound(t, fmt.Sprintf("Head of kind %q", kind), err)
			if list, err := a.List(ctx, kind); err != nil || len(list) > 0 {
				t.Errorf("List(%q) = %v, %v", kind, list, err)
			}
		}
		for _, c := range []struct {
			seq   int64
			limit int
			want  int
		}{{0, 10, 1}, {-5, 10, 1}, {1, 10, 0}, {1 << 60, 10, 0}, {0, 0, 0}, {0, -1, 0}, {-1 << 63, 1 << 62, 1}} {
			if got, err := a.Since(ctx, c.seq, c.limit); err != nil || len(got) != c.want {
				t.Errorf("Since(%d, %d) = %v, %v; want %d", c.seq, c.limit, got, err, c.want)
			}
		}
	})
}

// TestClosed: a call after Close says so, and Close may be called twice.
func TestClosed(t *testing.T) {
	each(t, func(t *testing.T, p place) {
		a := p.opened(t)
		save(t, a, draft("x", 0, "x"))
		for range 2 {
			if err := a.Close(); err != nil {
				t.Fatal(err)
			}
		}
		_, err := a.Head(ctx, archive.Case, "x")
		trouble(t, err, archive.NotUsable)
		_, err = a.Save(ctx, draft("y", 0, "y"))
		trouble(t, err, archive.NotUsable)
		trouble(t, a.Backup(ctx, filepath.Join(t.TempDir(), "b.db")), archive.NotUsable)
		if !p.lasts {
			return
		}
		again := p.opened(t)
		if d, err := again.Head(ctx, archive.Case, "x"); err != nil || string(d.Text) != "x" {
			t.Errorf("after opening again: %q, %v", d.Text, err)
		}
	})
}
