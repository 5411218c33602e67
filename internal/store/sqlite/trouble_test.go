package sqlite

import (
	"bytes"
	"context"
	"crypto/sha256"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"backroad/internal/archive"
	"backroad/internal/store/tables"
)

var ctx = context.Background()

func config(file string) Config {
	return Config{File: file, Clock: clock, Patience: 300 * time.Millisecond}
}

func opened(t *testing.T, file string) *tables.Archive {
	t.Helper()
	a, err := Open(ctx, config(file))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { a.Close() })
	return a
}

func saved(t *testing.T, a archive.Archive, base int, text string) {
	t.Helper()
	if _, err := a.Save(ctx, archive.Draft{Kind: archive.Case, ID: "x", Base: base, Text: []byte(text)}); err != nil {
		t.Fatal(err)
	}
}

// want fails where an error is no trouble of a kind, or does not say what and what to do
// with the name of the file or its folder in it.
func want(t *testing.T, err error, kind archive.TroubleKind, file string) {
	t.Helper()
	var tr *archive.Trouble
	if !errors.As(err, &tr) || tr.Kind != kind {
		t.Fatalf("want trouble of the kind %q, got %v", kind, err)
	}
	if !strings.Contains(tr.Says, filepath.Dir(file)) || tr.Hint == "" {
		t.Errorf("the trouble says %q; %q", tr.Says, tr.Hint)
	}
	for _, jargon := range []string{"SQLITE", "SQL", "errno", "(1", "database is"} {
		if strings.Contains(tr.Error(), jargon) {
			t.Errorf("the trouble speaks of %s: %s", jargon, tr)
		}
	}
}

// statements runs statements on a file by a connection of its own.
func statements(t *testing.T, file string, all ...string) {
	t.Helper()
	db, err := sql.Open("sqlite", file)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	db.SetMaxOpenConns(1)
	for _, q := range all {
		if _, err := db.Exec(q); err != nil {
			t.Fatalf("%s: %v", q, err)
		}
	}
}

// sums are the contents of all files of a folder.
func sums(t *testing.T, folder string) map[string][32]byte {
	t.Helper()
	all := map[string][32]byte{}
	entries, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if data, err := os.ReadFile(filepath.Join(folder, e.Name())); err == nil {
			all[e.Name()] = sha256.Sum256(data)
		}
	}
	return all
}

// TestForms: the number of the form is that of the last file in the folder forms, and
// what the file says of itself.
func TestForms(t *testing.T) {
	names, err := fs.Glob(forms, "forms/*.sql")
	if err != nil || len(names) == 0 {
		t.Fatal("no forms", err)
	}
	last := filepath.Base(names[len(names)-1])
	if n, err := strconv.Atoi(last[:5]); err != nil || n != newestForm {
		t.Errorf("the last form is %s, the program says %d", last, newestForm)
	}
	file := filepath.Join(t.TempDir(), "a.db")
	opened(t, file)
	db, err := sql.Open("sqlite", file)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	var application, form int
	if err := errors.Join(db.QueryRow("PRAGMA application_id").Scan(&application), db.QueryRow("PRAGMA user_version").Scan(&form)); err != nil {
		t.Fatal(err)
	}
	if application != applicationID || form != newestForm || fmt.Sprintf("%c%c%c%c", application>>24, application>>16&0xff, application>>8&0xff, application&0xff) != "BRoP" {
		t.Errorf("the file says %d and %d", application, form)
	}
}

// TestRefused: what is no archive of ours is refused in words, and not one byte of it is
// changed, nor is a file put beside it.
func TestRefused(t *testing.T) {
	archiveFile := func(t *testing.T, file string) {
		a := opened(t, file)
		for n := range 200 {
			saved(t, a, n, strings.Repeat(fmt.Sprintf("line %d\n", n), 300))
		}
		a.Close()
	}
	spoil := func(t *testing.T, file string, at int64, with []byte) {
		f, err := os.OpenFile(file, os.O_RDWR, 0)
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		if _, err := f.WriteAt(with, at); err != nil {
			t.Fatal(err)
		}
	}
	for name, c := range map[string]struct {
		kind archive.TroubleKind
		make func(t *testing.T, file string)
	}{
		"a newer form": {archive.Newer, func(t *testing.T, file string) {
			archiveFile(t, file)
			statements(t, file, fmt.Sprintf("PRAGMA user_version = %d", newestForm+1))
		}},
		"a text": {archive.Broken, func(t *testing.T, file string) {
			os.WriteFile(file, []byte("case: X-1\n"+strings.Repeat("# a long text file\n", 400)), 0o600)
		}},
		"a short text": {archive.Broken, func(t *testing.T, file string) { os.WriteFile(file, []byte("hello"), 0o600) }},
		"another program's database": {archive.Broken, func(t *testing.T, file string) {
			statements(t, file, "CREATE TABLE album (title TEXT)", "INSERT INTO album VALUES ('x')")
		}},
		"another program's, marked": {archive.Broken, func(t *testing.T, file string) {
			statements(t, file, "PRAGMA application_id = 7", "CREATE TABLE album (title TEXT)")
		}},
		"a broken page": {archive.Broken, func(t *testing.T, file string) {
			archiveFile(t, file)
			spoil(t, file, 3*4096, bytes.Repeat([]byte{0xa5}, 4096))
		}},
		"a broken first page": {archive.Broken, func(t *testing.T, file string) {
			archiveFile(t, file)
			spoil(t, file, 100, bytes.Repeat([]byte{0xff}, 900))
		}},
		"cut off": {archive.Broken, func(t *testing.T, file string) {
			archiveFile(t, file)
			if err := os.Truncate(file, 40*4096); err != nil {
				t.Fatal(err)
			}
		}},
		"a folder": {archive.Broken, func(t *testing.T, file string) { os.Mkdir(file, 0o700) }},
	} {
		t.Run(name, func(t *testing.T) {
			file := filepath.Join(t.TempDir(), "archive.db")
			c.make(t, file)
			before := sums(t, filepath.Dir(file))
			a, err := Open(ctx, config(file))
			if err == nil {
				a.Close()
				t.Fatal("it was opened")
			}
			want(t, err, c.kind, file)
			after := sums(t, filepath.Dir(file))
			if len(after) != len(before) {
				t.Errorf("files beside it: %d before, %d after", len(before), len(after))
			}
			for f, sum := range before {
				if after[f] != sum {
					t.Errorf("%s was changed", f)
				}
			}
		})
	}
}

// TestEmptyFile: an empty file, as a killed program may leave it, becomes an archive.
func TestEmptyFile(t *testing.T) {
	file := filepath.Join(t.TempDir(), "archive.db")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	saved(t, opened(t, file), 0, "x")
}

// TestHeld: while another program writes, reading goes on, and saving waits and then says
// who holds it up; a call that is given up ends soon; afterwards all is well.
func TestHeld(t *testing.T) {
	file := filepath.Join(t.TempDir(), "archive.db")
	a := opened(t, file)
	saved(t, a, 0, "one")
	db, err := sql.Open("sqlite", file)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	db.SetMaxOpenConns(1)
	hold := func(q string) {
		t.Helper()
		if _, err := db.Exec(q); err != nil {
			t.Fatal(err)
		}
	}
	hold("BEGIN IMMEDIATE")
	if d, err := a.Head(ctx, archive.Case, "x"); err != nil || string(d.Text) != "one" {
		t.Errorf("reading while another program writes: %q, %v", d.Text, err)
	}
	_, err = a.Save(ctx, archive.Draft{Kind: archive.Case, ID: "x", Base: 1, Text: []byte("two")})
	want(t, err, archive.Busy, file)
	short, cancel := context.WithTimeout(ctx, 20*time.Millisecond)
	defer cancel()
	if _, err := a.Save(short, archive.Draft{Kind: archive.Case, ID: "x", Base: 1, Text: []byte("two")}); !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("a save that is given up says %v", err)
	}
	other := opened(t, file) // it can be opened meanwhile
	hold("COMMIT")
	saved(t, other, 1, "two")
	if d, err := a.Head(ctx, archive.Case, "x"); err != nil || string(d.Text) != "two" {
		t.Errorf("after it: %q, %v", d.Text, err)
	}
}

// TestHeldAlone: a program that keeps the file for itself is named at the opening.
func TestHeldAlone(t *testing.T) {
	file := filepath.Join(t.TempDir(), "archive.db")
	opened(t, file).Close()
	db, err := sql.Open("sqlite", file)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	db.SetMaxOpenConns(1)
	for _, q := range []string{"PRAGMA locking_mode = EXCLUSIVE", "BEGIN EXCLUSIVE"} {
		if _, err := db.Exec(q); err != nil {
			t.Fatal(err)
		}
	}
	_, err = Open(ctx, config(file))
	want(t, err, archive.Busy, file)
}

// TestMadeTogether: several that open one new file at the same moment all get it.
func TestMadeTogether(t *testing.T) {
	for round := range 2 {
		file := filepath.Join(t.TempDir(), "folder", "archive.db")
		var all sync.WaitGroup
		for i := range 6 {
			all.Go(func() {
				c := config(file)
				c.Patience = Patience
				a, err := Open(ctx, c)
				if err != nil {
					t.Errorf("round %d: %v (%v)", round, err, errors.Unwrap(err))
					return
				}
				defer a.Close()
				if _, err := a.Save(ctx, archive.Draft{Kind: archive.Case, ID: fmt.Sprint("x", i), Text: []byte("x")}); err != nil {
					t.Error(err)
				}
			})
		}
		all.Wait()
		if all, err := opened(t, file).List(ctx, archive.Case); err != nil || len(all) != 6 {
			t.Errorf("round %d: %d documents (%v)", round, len(all), err)
		}
	}
}

// TestFull: an engine that gets no more pages says that there is no space left; what was
// saved is there and can be read and, once there is room, added to.
func TestFull(t *testing.T) {
	file := filepath.Join(t.TempDir(), "archive.db")
	e, err := open(ctx, file, time.Second)
	if err != nil {
		t.Fatal(err)
	}
	e.Clock, e.Patience, e.Again, e.Trouble = clock, time.Second, busy, troubles(file)
	a := tables.New(e)
	defer a.Close()
	if _, err := e.Write.Exec("PRAGMA max_page_count = 60"); err != nil {
		t.Fatal(err)
	}
	n := fillUp(t, a, file)
	if _, err := e.Write.Exec("PRAGMA max_page_count = 1000"); err != nil {
		t.Fatal(err)
	}
	saved(t, a, n, "room again")
}

// fillUp saves until there is no space left, and looks that all before is there.
func fillUp(t *testing.T, a archive.Archive, file string) (versions int) {
	t.Helper()
	for n := 0; ; n++ {
		_, err := a.Save(ctx, archive.Draft{Kind: archive.Case, ID: "x", Base: n, Text: textOf("x", n+1)})
		if err == nil && n < 1000 {
			continue
		}
		want(t, err, archive.Full, file)
		rows, err := a.History(ctx, archive.Case, "x")
		if err != nil || len(rows) != n {
			t.Fatalf("%d versions, acknowledged were %d (%v)", len(rows), n, err)
		}
		for i, row := range rows {
			if d, err := a.At(ctx, row.Ref); err != nil || !bytes.Equal(d.Text, textOf("x", i+1)) {
				t.Fatalf("version %d is not what was saved (%v)", i+1, err)
			}
		}
		if n == 0 {
			t.Fatal("nothing was saved before the disk was full")
		}
		return n
	}
}
