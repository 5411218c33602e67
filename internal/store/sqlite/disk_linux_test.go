package sqlite

import (
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"backroad/internal/archive"
)

// TestFullDisk: the same on a real disk of 1 MiB, in memory: full while saving, while
// opening, while backing up; readable all the time, and well again once there is room.
func TestFullDisk(t *testing.T) {
	disk := t.TempDir()
	if err := syscall.Mount("tmpfs", disk, "tmpfs", 0, "size=1m,mode=0777"); err != nil {
		t.Skip("this user may not mount a small disk: ", err)
	}
	t.Cleanup(func() { syscall.Unmount(disk, syscall.MNT_DETACH) })
	ballast := filepath.Join(disk, "ballast")
	must(t, os.WriteFile(ballast, make([]byte, 128<<10), 0o600))
	file := filepath.Join(disk, "data", "archive.db")
	a := opened(t, file)
	n := fillUp(t, a, file)
	t.Logf("%d versions on the full disk", n)

	want(t, a.Backup(ctx, filepath.Join(disk, "backup.db")), archive.Full, filepath.Join(disk, "x"))
	entries, err := os.ReadDir(disk)
	must(t, err)
	for _, e := range entries {
		if strings.HasPrefix(e.Name(), "backup") {
			t.Errorf("%s was left behind", e.Name())
		}
	}
	elsewhere := filepath.Join(t.TempDir(), "backup.db")
	must(t, a.Backup(ctx, elsewhere))
	count(t, elsewhere, n)

	must(t, a.Close())
	fillToTheBrim(t, filepath.Join(disk, "brim"))
	full, err := Open(ctx, config(file))
	if err != nil {
		t.Fatalf("a full disk keeps the archive from being read: %v", err)
	}
	if rows, err := full.History(ctx, archive.Case, "x"); err != nil || len(rows) != n {
		t.Errorf("%d versions, want %d (%v)", len(rows), n, err)
	}
	_, err = full.Save(ctx, archive.Draft{Kind: archive.Case, ID: "x", Base: n, Text: textOf("x", n+1)})
	if err == nil {
		t.Error("a save on a disk filled to the brim was acknowledged")
	} else {
		t.Logf("opened on a full disk, saving says: %v", err)
	}
	must(t, full.Close())
	_, err = Open(ctx, config(filepath.Join(disk, "another", "archive.db")))
	want(t, err, archive.Full, filepath.Join(disk, "another", "x"))

	must(t, os.Remove(ballast))
	must(t, os.Remove(filepath.Join(disk, "brim")))
	again := opened(t, file)
	saved(t, again, n, "room again")
	count(t, file, n+1)
	isWhole(t, file)
}

func fillToTheBrim(t *testing.T, name string) {
	t.Helper()
	f, err := os.Create(name)
	must(t, err)
	defer f.Close()
	for _, size := range []int{4096, 512, 1} {
		for err = nil; err == nil; {
			_, err = f.Write(make([]byte, size))
		}
	}
}

func count(t *testing.T, file string, want int) {
	t.Helper()
	rows, err := opened(t, file).History(ctx, archive.Case, "x")
	if err != nil || len(rows) != want {
		t.Errorf("%d versions, want %d (%v)", len(rows), want, err)
	}
}

// TestReadOnlyDisk: a disk that is mounted read-only.
func TestReadOnlyDisk(t *testing.T) {
	disk := t.TempDir()
	if err := syscall.Mount("tmpfs", disk, "tmpfs", 0, "size=4m,mode=0777"); err != nil {
		t.Skip("this user may not mount a small disk: ", err)
	}
	t.Cleanup(func() { syscall.Unmount(disk, syscall.MNT_DETACH) })
	file := filepath.Join(disk, "data", "archive.db")
	a := opened(t, file)
	saved(t, a, 0, "one")
	must(t, a.Close())
	must(t, syscall.Mount("tmpfs", disk, "tmpfs", syscall.MS_REMOUNT|syscall.MS_RDONLY, ""))
	read := opened(t, file)
	if d, err := read.Head(ctx, archive.Case, "x"); err != nil || string(d.Text) != "one" {
		t.Errorf("read %q, %v", d.Text, err)
	}
	_, err := read.Save(ctx, archive.Draft{Kind: archive.Case, ID: "x", Base: 1, Text: []byte("two")})
	want(t, err, archive.ReadOnly, file)
	want(t, read.Backup(ctx, filepath.Join(disk, "b.db")), archive.ReadOnly, filepath.Join(disk, "x"))
	_, err = Open(ctx, config(filepath.Join(disk, "other", "archive.db")))
	want(t, err, archive.ReadOnly, filepath.Join(disk, "other", "x"))
}
