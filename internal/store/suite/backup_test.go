package suite

import (
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"backroad/internal/archive"
)

// TestBackup: a backup opens as an archive of its own that has everything, with the same
// places in the order, and goes on from there.
func TestBackup(t *testing.T) {
	each(t, func(t *testing.T, p place) {
		a := p.opened(t)
		folder := filepath.Join(t.TempDir(), "it's a; \"folder\" 100%")
		empty := filepath.Join(folder, "empty.db")
		if err := a.Backup(ctx, empty); err != nil {
			t.Fatal(err)
		}
		fill(t, a)
		file := filepath.Join(folder, "file:full?mode=ro.db") // a name that means something in an address
		if runtime.GOOS == "windows" {
			file = filepath.Join(folder, "full.db")
		}
		if err := a.Backup(ctx, file); err != nil {
			t.Fatal(err)
		}
		same(t, "the backup of an empty archive", dump{Documents: map[archive.Kind]map[string][]archive.Document{"case": {}, "shelf": {}, "house": {}, "practice": {}},
			Lists: map[archive.Kind][]archive.Version{"case": nil, "shelf": nil, "house": nil, "practice": nil}}, dumped(t, fromFile(t, empty)))
		back := fromFile(t, file)
		want := dumped(t, a)
		same(t, "the backup", want, dumped(t, back))

		last := want.Changes[len(want.Changes)-1].Seq
		if v := save(t, back, draft("x", 2, "three")); v.Seq <= last || v.Ref.Version != 3 {
			t.Errorf("the backup goes on with %+v after %d", v, last)
		}
		same(t, "the archive after its backup was changed", want, dumped(t, a))

		before, err := os.ReadFile(empty)
		if err != nil {
			t.Fatal(err)
		}
		trouble(t, a.Backup(ctx, empty), archive.NotUsable)
		if after, err := os.ReadFile(empty); err != nil || string(after) != string(before) {
			t.Error("a backup into a file that is there has changed it")
		}
		alone(t, folder, "empty.db", filepath.Base(file))
		if info, err := os.Stat(file); err != nil || runtime.GOOS != "windows" && info.Mode().Perm() != 0o600 {
			t.Errorf("the backup can be read by others: %v %v", info.Mode(), err)
		}
	})
}

// alone fails where a folder has more files than these and those that belong to them.
func alone(t *testing.T, folder string, names ...string) {
	t.Helper()
	entries, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	known := map[string]bool{}
	for _, n := range names {
		for _, end := range []string{"", "-wal", "-shm"} {
			known[n+end] = true
		}
	}
	for _, e := range entries {
		if !known[e.Name()] {
			t.Errorf("%s was left behind", e.Name())
		}
	}
}

func fromFile(t *testing.T, file string) archive.Archive {
	t.Helper()
	a, err := inFile(file, ticking())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { a.Close() })
	return a
}

// fill puts something of everything into an archive.
func fill(t *testing.T, a archive.Archive) {
	t.Helper()
	save(t, a, draft("x", 0, "one\x00\xff"))
	save(t, a, draft("x", 1, ""))
	shelf := save(t, a, archive.Draft{Kind: archive.Shelf, ID: "é", Title: "\U0001f9ec", Text: []byte("shelf")})
	house := save(t, a, archive.Draft{Kind: archive.House, ID: "h", Gone: true, Text: make([]byte, archive.MostText)})
	plan := kept("p", "x", 2, shelf.Ref)
	if _, err := a.KeepPlan(ctx, plan); err != nil {
		t.Fatal(err)
	}
	plan.ID, plan.House, plan.NoP, plan.Events, plan.PDF = "q", house.Ref, true, nil, nil
	if _, err := a.KeepPlan(ctx, plan); err != nil {
		t.Fatal(err)
	}
}

// TestBackupMeanwhile: a backup while several save holds the archive as it was at one
// moment: everything up to a place in the order and nothing after it.
func TestBackupMeanwhile(t *testing.T) {
	each(t, func(t *testing.T, p place) {
		a := p.opened(t)
		folder := t.TempDir()
		done := make(chan struct{})
		var saving sync.WaitGroup
		for i := range 3 {
			saving.Go(func() {
				for n := 0; ; n++ {
					select {
					case <-done:
						return
					case <-time.After(10 * time.Millisecond):
					}
					if _, err := a.Save(ctx, draft(fmt.Sprintf("x%d", i), n, fmt.Sprintf("%05000d", n))); err != nil {
						t.Error(err)
						return
					}
				}
			})
		}
		var files []string
		for n := range 5 {
			time.Sleep(20 * time.Millisecond)
			files = append(files, filepath.Join(folder, fmt.Sprint(n, ".db")))
			if err := a.Backup(ctx, files[n]); err != nil {
				t.Error(err)
			}
		}
		close(done)
		saving.Wait()
		all, err := a.Since(ctx, 0, 1<<30)
		if err != nil {
			t.Fatal(err)
		}
		for _, file := range files {
			changes, err := fromFile(t, file).Since(ctx, 0, 1<<30)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(all[:min(len(changes), len(all))], changes); diff != "" {
				t.Errorf("the backup is no beginning of the archive:\n%.1000s", diff)
			}
			dumped(t, fromFile(t, file)) // its heads, lists and histories fit together
		}
		t.Logf("%d changes, backups at several of them", len(all))
	})
}
