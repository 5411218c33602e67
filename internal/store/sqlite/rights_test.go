//go:build unix

package sqlite

import (
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"backroad/internal/archive"
)

// nobody is a user without rights, on the systems where these tests run as root.
const nobody = 65534

const archiveName = "archive.db"

// openAndTell opens a file, tells what the case x says in it, tries to save and to back
// up, and tells what that came to. It is run as a user who may not do everything.
func openAndTell(file string) {
	tell := func(what string, err error) {
		var tr *archive.Trouble
		switch {
		case err == nil:
			fmt.Println(what, "done")
		case errors.As(err, &tr):
			fmt.Printf("%s %s: %s\n", what, tr.Kind, tr)
		default:
			fmt.Println(what, "unexpected:", err)
		}
	}
	a, err := Open(ctx, config(file))
	tell("open", err)
	if err != nil {
		return
	}
	defer a.Close()
	d, err := a.Head(ctx, archive.Case, "x")
	tell("read "+string(d.Text), err)
	_, err = a.Save(ctx, archive.Draft{Kind: archive.Case, ID: "x", Base: d.Ref.Version, Text: []byte("more")})
	tell("save", err)
	tell("backup", a.Backup(ctx, filepath.Join(filepath.Dir(filepath.Dir(file)), "backups", "b.db")))
}

// TestRights: what the program does where its user may not do everything. As root, to
// whom nothing is forbidden, a copy of this test runs as a user without rights.
func TestRights(t *testing.T) {
	for name, c := range map[string]struct {
		file, folder os.FileMode
		inUse        bool // there is a log beside the file that was not worked in
		want         []string
	}{
		"all":                      {0o600, 0o700, false, []string{"open done", "read one done", "save done", "backup done"}},
		"the file only to read":    {0o400, 0o700, false, []string{"open done", "read one done", "save read only: ", "backup done"}},
		"the folder only to read":  {0o600, 0o500, false, []string{"open done", "read one done", "save read only: ", "backup done"}},
		"both only to read":        {0o400, 0o500, false, []string{"open done", "read one done", "save read only: ", "backup done"}},
		"not closed, only to read": {0o400, 0o500, true, []string{"open read only: "}},
		"no right to read":         {0o000, 0o700, false, []string{"open read only: "}},
		"no right to the folder":   {0o600, 0o000, false, []string{"open read only: "}},
	} {
		t.Run(name, func(t *testing.T) {
			top := t.TempDir()
			file := filepath.Join(top, "data", archiveName)
			a := opened(t, file)
			saved(t, a, 0, "one")
			if c.inUse {
				keepLog(t, a, file)
			} else {
				a.Close()
			}
			must(t, os.Mkdir(filepath.Join(top, "backups"), 0o700))
			give(t, top)
			before := sums(t, filepath.Dir(file))[archiveName]
			must(t, os.Chmod(file, c.file))
			must(t, os.Chmod(filepath.Dir(file), c.folder))
			t.Cleanup(func() { os.Chmod(filepath.Dir(file), 0o700) }) // so that it can be removed
			got := strings.Split(strings.TrimSpace(asNobody(t, file)), "\n")
			if len(got) != len(c.want) {
				t.Fatalf("it says %q", got)
			}
			for i, line := range got {
				if !strings.HasPrefix(line, c.want[i]) {
					t.Errorf("it says %q, want %q …", line, c.want[i])
				}
			}
			must(t, os.Chmod(filepath.Dir(file), 0o700))
			must(t, os.Chmod(file, 0o600))
			if name != "all" && sums(t, filepath.Dir(file))[archiveName] != before {
				t.Error("the file was changed")
			}
		})
	}
}

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// keepLog copies the files of an archive as they are while it is in use, which is what a
// killed program leaves, and puts them in the place of those that closing it leaves.
func keepLog(t *testing.T, a io.Closer, file string) {
	t.Helper()
	kept := map[string][]byte{}
	for _, end := range []string{"", "-wal"} {
		data, err := os.ReadFile(file + end)
		must(t, err)
		kept[file+end] = data
	}
	must(t, a.Close())
	for name, data := range kept {
		must(t, os.WriteFile(name, data, 0o600))
	}
}

// give gives everything below a folder to the user without rights.
func give(t *testing.T, top string) {
	t.Helper()
	if os.Getuid() != 0 {
		return
	}
	must(t, filepath.WalkDir(top, func(path string, _ os.DirEntry, err error) error {
		return errors.Join(err, os.Chown(path, nobody, nobody))
	}))
	for dir := filepath.Dir(top); strings.HasPrefix(dir, os.TempDir()) && dir != os.TempDir(); dir = filepath.Dir(dir) {
		must(t, os.Chmod(dir, 0o755)) // folders of this test on the way there
	}
}

func asNobody(t *testing.T, file string) string {
	t.Helper()
	c := child("open", file)
	if os.Getuid() == 0 {
		binary := filepath.Join(t.TempDir(), "test")
		data, err := os.ReadFile(os.Args[0])
		must(t, err)
		must(t, os.WriteFile(binary, data, 0o755))
		give(t, filepath.Dir(binary))
		c.Path, c.Dir = binary, "/"
		c.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: nobody, Gid: nobody}}
	}
	out, err := c.Output()
	var failed *exec.ExitError
	if err != nil && !errors.As(err, &failed) {
		t.Fatal(err)
	}
	return string(out)
}
