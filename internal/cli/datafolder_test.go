package cli

import (
	"errors"
	"path/filepath"
	"runtime"
	"testing"
)

// TestDataFolder: the places that the systems name for what a user makes. Linux: XDG Base
// Directory Specification 0.8, "$XDG_DATA_HOME … default equal to $HOME/.local/share",
// "All paths set in these environment variables must be absolute"; the other two from
// memory of their guidelines.
func TestDataFolder(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("the names of this table are those of Unix systems")
	}
	home := func() (string, error) { return "/home/u", nil }
	nobody := func() (string, error) { return "", errors.New("no home") }
	for _, c := range []struct {
		system string
		env    map[string]string
		home   func() (string, error)
		want   string
	}{
		{"linux", map[string]string{"XDG_DATA_HOME": "/data"}, home, "/data/backroad"},
		{"linux", nil, home, "/home/u/.local/share/backroad"},
		{"linux", map[string]string{"XDG_DATA_HOME": "relative"}, home, "/home/u/.local/share/backroad"},
		{"linux", map[string]string{"XDG_DATA_HOME": "/data"}, nobody, "/data/backroad"},
		{"linux", nil, nobody, ""},
		{"darwin", nil, home, "/home/u/Library/Application Support/backroad"},
		{"windows", map[string]string{"LocalAppData": "/Local"}, home, "/Local/backroad"},
		{"windows", nil, home, ""},
	} {
		got, err := dataFolder(c.system, func(name string) string { return c.env[name] }, c.home)
		if filepath.ToSlash(got) != c.want || (err == nil) != (c.want != "") {
			t.Errorf("%s %v: %q, %v; want %q", c.system, c.env, got, err, c.want)
		}
	}
}
