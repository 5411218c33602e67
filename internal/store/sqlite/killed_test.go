package sqlite

import (
	"bufio"
	"bytes"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"backroad/internal/archive"
)

// childEnv names what a copy of this test binary is to do instead of testing.
const childEnv = "BACKROAD_TEST_CHILD"

func TestMain(m *testing.M) {
	switch what, file, _ := strings.Cut(os.Getenv(childEnv), " "); what {
	case "":
		os.Exit(m.Run())
	case "save":
		saveForEver(file)
	case "open":
		openAndTell(file)
	}
}

// textOf is what version n of a document says: of any size up to 40 kB, so that saves
// end in the middle of pages and of the log.
func textOf(id string, n int) []byte {
	size := (n*7919 + len(id)*31) % 40_000
	return append([]byte(fmt.Sprintf("%s %d ", id, n)), bytes.Repeat([]byte{byte(n)}, size)...)
}

// saveForEver saves versions of three documents at the same time, and says each on
// standard output once it is acknowledged; between them it writes backups.
func saveForEver(file string) {
	ctx := context.Background()
	a, err := Open(ctx, Config{File: file, Clock: clock})
	if err != nil {
		fmt.Println("trouble:", err)
		os.Exit(1)
	}
	var out sync.Mutex
	say := func(format string, args ...any) {
		out.Lock()
		defer out.Unlock()
		fmt.Printf(format+"\n", args...)
	}
	var all sync.WaitGroup
	for _, id := range []string{"a", "b", "c"} {
		all.Go(func() {
			n := 0
			if head, err := a.Head(ctx, archive.Case, id); err == nil {
				n = head.Ref.Version
			}
			for {
				v, err := a.Save(ctx, archive.Draft{Kind: archive.Case, ID: id, Base: n, Text: textOf(id, n+1)})
				if err != nil {
					say("trouble: %v", err)
					return
				}
				n++
				say("saved %s %d %d", id, v.Ref.Version, v.Seq)
				if n%40 == 0 && id == "a" {
					name := fmt.Sprintf("%s.backup-%d", file, v.Seq)
					if err := a.Backup(ctx, name); err != nil {
						say("trouble: %v", err)
					}
					say("backup %d %s", v.Seq, name)
				}
			}
		})
	}
	all.Wait()
}

func clock() archive.Time { return archive.Time(time.Now().UnixMicro()) }

// cycles is how often the test kills: some in every run, 200 in a long one.
func cycles() int {
	if os.Getenv("BACKROAD_LONG") != "" {
		return 200
	}
	return 10
}

// TestKilled (A1): a process that saves is killed at random moments with a signal that it
// can't see; the file opens again, is whole, and has everything that was acknowledged.
func TestKilled(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, 0))
	folder, file := t.TempDir(), ""
	acknowledged := map[string]int{}
	total, backups, early := 0, 0, 0
	for cycle := range cycles() {
		if cycle%20 == 0 { // what is checked anew each time stays small
			os.Remove(file)
			file = filepath.Join(folder, fmt.Sprint("archive-", cycle, ".db"))
			clear(acknowledged)
		}
		if cycle%5 == 4 { // a new file, killed while it is being made
			killNew(t, filepath.Join(folder, fmt.Sprint("new-", cycle, ".db")), time.Duration(random.IntN(60))*time.Millisecond)
			early++
			continue
		}
		before := acknowledged["a"] + acknowledged["b"] + acknowledged["c"]
		made := killAfter(t, file, time.Duration(20+random.IntN(200))*time.Millisecond, acknowledged)
		total += acknowledged["a"] + acknowledged["b"] + acknowledged["c"] - before
		isWhole(t, file)
		everything(t, file, acknowledged)
		for _, b := range made {
			isWhole(t, b)
			os.Remove(b)
			backups++
		}
	}
	t.Logf("%d saves acknowledged in %d cycles, %d of them at the making of a file; %d backups, all whole", total, cycles(), early, backups)
	if total == 0 {
		t.Error("nothing was saved: the test tests nothing")
	}
}

func child(what, file string) *exec.Cmd {
	c := exec.Command(os.Args[0])
	c.Env = append(os.Environ(), childEnv+"="+what+" "+file, "GORACE=atexit_sleep_ms=0")
	c.Stderr = os.Stderr
	return c
}

// killAfter lets a process save for a while from its first save on, kills it, and notes
// what it has acknowledged; it answers with the backups that it has finished.
func killAfter(t *testing.T, file string, d time.Duration, acknowledged map[string]int) (backups []string) {
	t.Helper()
	c := child("save", file)
	pipe, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	var timer *time.Timer
	lines := bufio.NewReader(pipe)
	for {
		line, err := lines.ReadString('\n')
		if errors.Is(err, io.EOF) {
			break // what stands behind the last line end was not said
		}
		if err != nil {
			t.Fatal(err)
		}
		if timer == nil {
			timer = time.AfterFunc(d, func() { c.Process.Kill() })
		}
		var id, name string
		var version int
		var seq int64
		if n, _ := fmt.Sscanf(line, "saved %s %d %d", &id, &version, &seq); n == 3 {
			if version != acknowledged[id]+1 {
				t.Errorf("%s: version %d was saved after %d", id, version, acknowledged[id])
			}
			acknowledged[id] = version
		} else if n, _ := fmt.Sscanf(line, "backup %d %s", &seq, &name); n == 2 {
			backups = append(backups, name)
		} else {
			t.Fatalf("the process says %q", line)
		}
	}
	c.Wait() // it was killed: its error says so
	return backups
}

// killNew kills a process that makes a new file.
func killNew(t *testing.T, file string, d time.Duration) {
	t.Helper()
	c := child("save", file)
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	time.Sleep(d)
	c.Process.Kill()
	c.Wait()
	a, err := Open(context.Background(), Config{File: file, Clock: clock})
	if err != nil {
		t.Fatalf("a file whose making was cut off after %v: %v", d, err)
	}
	defer a.Close()
	rows, err := a.History(context.Background(), archive.Case, "a")
	if err != nil && !errors.Is(err, archive.ErrNotFound) {
		t.Fatal(err)
	}
	if _, err := a.Save(context.Background(), archive.Draft{Kind: archive.Case, ID: "a", Base: len(rows), Text: []byte("after")}); err != nil {
		t.Fatal(err)
	}
	isWhole(t, file)
}

// isWhole has the engine look through a file, by a connection of its own.
func isWhole(t *testing.T, file string) {
	t.Helper()
	db, err := sql.Open("sqlite", file)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	rows, err := db.Query("PRAGMA integrity_check")
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	for rows.Next() {
		var says string
		if err := rows.Scan(&says); err != nil || says != "ok" {
			t.Fatalf("integrity check of %s: %s (%v)", file, says, err)
		}
	}
	if rows.Err() != nil {
		t.Fatal(rows.Err())
	}
}

// everything fails where something acknowledged is missing or other than it was, or where
// there is more than one save that was not acknowledged for each saver. It counts what
// it finds as acknowledged: the next process goes on from there.
func everything(t *testing.T, file string, acknowledged map[string]int) {
	t.Helper()
	ctx := context.Background()
	a, err := Open(ctx, Config{File: file, Clock: clock})
	if err != nil {
		t.Fatal(err)
	}
	defer a.Close()
	for id, n := range acknowledged {
		rows, err := a.History(ctx, archive.Case, id)
		if err != nil {
			t.Fatal(err)
		}
		if len(rows) < n || len(rows) > n+1 {
			t.Fatalf("%s has %d versions, acknowledged were %d", id, len(rows), n)
		}
		for i, row := range rows {
			if row.Ref.Version != i+1 {
				t.Fatalf("%s: version %d stands at place %d", id, row.Ref.Version, i+1)
			}
			if d, err := a.At(ctx, row.Ref); err != nil || !bytes.Equal(d.Text, textOf(id, i+1)) {
				t.Fatalf("%s version %d is not what was saved (%v)", id, i+1, err)
			}
		}
		acknowledged[id] = len(rows)
	}
}

// TestLasting: the connection that saves has the engine's log on, and waits for the disk
// at every save (SQLite documentation, "PRAGMA synchronous": 2 is FULL).
func TestLasting(t *testing.T) {
	e, err := open(context.Background(), filepath.Join(t.TempDir(), "a.db"), time.Second)
	if err != nil {
		t.Fatal(err)
	}
	defer e.Write.Close()
	defer e.Read.Close()
	for query, want := range map[string]string{"PRAGMA synchronous": "2", "PRAGMA journal_mode": "wal", "PRAGMA busy_timeout": fmt.Sprint(spell.Milliseconds())} {
		var got string
		if err := e.Write.QueryRow(query).Scan(&got); err != nil || got != want {
			t.Errorf("%s: %s, want %s (%v)", query, got, want, err)
		}
	}
}
