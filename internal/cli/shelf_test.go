package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"backroad/internal/fault"
)

// small is a file in a folder of its own, with the rights of a shared file.
func small(t *testing.T) string {
	t.Helper()
	name := filepath.Join(t.TempDir(), "s.yaml")
	if err := os.WriteFile(name, []byte("old\n"), 0o640); err != nil {
		t.Fatal(err)
	}
	return name
}

// asBefore checks that a file is as it was and nothing lies beside it.
func asBefore(t *testing.T, name string) {
	t.Helper()
	data, err := os.ReadFile(name)
	entries, _ := os.ReadDir(filepath.Dir(name))
	if err != nil || string(data) != "old\n" || len(entries) != 1 {
		t.Errorf("%v: %q, %d files", err, data, len(entries))
	}
}

func fresh([]byte) ([]byte, error) { return []byte("new\n"), nil }

func TestChange(t *testing.T) {
	name := small(t)
	if err := onDisk.change(context.Background(), name, fresh); err != nil {
		t.Fatal(err)
	}
	data, _ := os.ReadFile(name)
	info, _ := os.Stat(name)
	entries, _ := os.ReadDir(filepath.Dir(name))
	if string(data) != "new\n" || info.Mode().Perm() != 0o640 || len(entries) != 1 {
		t.Errorf("%q %v, %d files", data, info.Mode(), len(entries))
	}
}

// broken is a new file on a disk that fails at one step.
type broken struct {
	newFile
	at  string
	err error
}

func (b broken) Write(p []byte) (int, error) {
	if b.at == "write" {
		n, _ := b.newFile.Write(p[:len(p)/2])
		return n, b.err
	}
	return b.newFile.Write(p)
}

func (b broken) Chmod(m os.FileMode) error { return errors.Join(b.newFile.Chmod(m), b.when("chmod")) }
func (b broken) Sync() error               { return errors.Join(b.newFile.Sync(), b.when("sync")) }
func (b broken) Close() error              { return errors.Join(b.newFile.Close(), b.when("close")) }

func (b broken) when(step string) error {
	if b.at == step {
		return b.err
	}
	return nil
}

// Wherever the disk fails, the old file stays, nothing is left over, and the error names
// the file and the reason.
func TestChangeOnABrokenDisk(t *testing.T) {
	for _, step := range []string{"create", "write", "chmod", "sync", "close", "rename"} {
		name := small(t)
		full := &os.PathError{Op: step, Path: "x", Err: syscall.ENOSPC}
		c := onDisk
		c.create = func(path string) (newFile, error) {
			if step == "create" {
				return nil, &os.PathError{Op: "open", Path: path, Err: syscall.EACCES}
			}
			f, err := onDisk.create(path)
			return broken{f, step, full}, err
		}
		if step == "rename" {
			c.rename = func(string, string) error { return full }
		}
		err := c.change(context.Background(), name, fresh)
		var list fault.List
		if !errors.As(err, &list) || !strings.HasPrefix(list.Error(), name+":1:1: found that it can't be replaced: ") || !strings.Contains(list.Error(), "is as it was") {
			t.Errorf("%s: %v", step, err)
		}
		asBefore(t, name)
	}
}

// A file that another program writes between reading and replacing is left to it.
func TestChangedMeanwhile(t *testing.T) {
	name := small(t)
	err := onDisk.change(context.Background(), name, func([]byte) ([]byte, error) {
		return []byte("mine\n"), os.WriteFile(name, []byte("theirs\n"), 0o644)
	})
	data, _ := os.ReadFile(name)
	entries, _ := os.ReadDir(filepath.Dir(name))
	if err == nil || !strings.Contains(err.Error(), "changed meanwhile") || string(data) != "theirs\n" || len(entries) != 1 {
		t.Errorf("%v, %q, %d files", err, data, len(entries))
	}
}

// Twenty changes at once are twenty changes.
func TestChangesAtOnce(t *testing.T) {
	name := small(t)
	if err := os.WriteFile(name, []byte("0"), 0o644); err != nil {
		t.Fatal(err)
	}
	c := onDisk
	c.wait = time.Hour // no timing decides
	var all sync.WaitGroup
	for range 20 {
		all.Go(func() {
			err := c.change(context.Background(), name, func(data []byte) ([]byte, error) {
				n, err := strconv.Atoi(string(data))
				return fmt.Append(nil, n+1), err
			})
			if err != nil {
				t.Error(err)
			}
		})
	}
	all.Wait()
	if data, _ := os.ReadFile(name); string(data) != "20" {
		t.Errorf("%s of 20", data)
	}
}

// What does not change the text writes nothing; an error, a missing file, a stop and
// another program's new file leave all as it is.
func TestChangeThatIsNone(t *testing.T) {
	name := small(t)
	stamp := time.Date(2001, 1, 1, 0, 0, 0, 0, time.UTC)
	if err := os.Chtimes(name, stamp, stamp); err != nil {
		t.Fatal(err)
	}
	if err := onDisk.change(context.Background(), name, func(data []byte) ([]byte, error) { return data, nil }); err != nil {
		t.Error(err)
	}
	wrong := errors.New("wrong")
	if err := onDisk.change(context.Background(), name, func([]byte) ([]byte, error) { return nil, wrong }); !errors.Is(err, wrong) {
		t.Error(err)
	}
	if info, _ := os.Stat(name); !info.ModTime().Equal(stamp) {
		t.Errorf("written at %v", info.ModTime())
	}
	asBefore(t, name)
	if err := onDisk.change(context.Background(), name+"x", fresh); err == nil {
		t.Error("a file that is not there")
	}
	asBefore(t, name)

	if err := os.WriteFile(name+".backroad-new", nil, 0o644); err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	stop()
	if err := onDisk.change(ctx, name, fresh); !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
	c := onDisk
	c.wait = 0
	if err := c.change(context.Background(), name, fresh); err == nil || !strings.Contains(err.Error(), "delete that file") {
		t.Error(err)
	}
	if err := os.Remove(name + ".backroad-new"); err != nil {
		t.Errorf("another program's file was removed: %v", err)
	}
	asBefore(t, name)
}

// Columns are as wide as what stands in them, in characters; none has blanks at the end.
func TestColumns(t *testing.T) {
	var b bytes.Buffer
	writeColumns(&b, [][]string{{"ID", "EMPTY", "N"}, {"é", "", "1"}, {"abc", "", ""}})
	if want := "ID   N\né    1\nabc\n"; b.String() != want {
		t.Errorf("want %q, got %q", want, b.String())
	}
}
