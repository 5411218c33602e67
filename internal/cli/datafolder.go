package cli

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"

	"backroad/internal/archive"
	"backroad/internal/fault"
)

// Archives is the contract of whoever opens archives and moves what is in them.
type Archives interface {
	// Open opens the archive in a file, which is made with its folder where it is not
	// there; or, where an address is given, the one on that server. The words say where it
	// is; they hold no password. Errors are *archive.Trouble.
	Open(ctx context.Context, file, address string) (a archive.Archive, where string, err error)
	// Export writes every open document and the kept plans as a zip of plain files.
	Export(ctx context.Context, w io.Writer, a archive.Archive) error
	// Import takes in such a zip, or, with a fault.List, nothing.
	Import(ctx context.Context, name string, zip []byte, a archive.Archive) (Imported, error)
}

// Imported is what an import did.
type Imported struct {
	Added, Same           []archive.Ref
	PlansAdded, PlansSame int
}

// MostZip is how many bytes a zip may have that is taken in.
const MostZip = 256 << 20

// archiveFlags say where the archive is: the same for every command that needs it.
type archiveFlags struct {
	Data  string `placeholder:"DIR" help:"The folder with the archive; without it the one of the user who runs the program."`
	Store string `placeholder:"ADDRESS" help:"postgres://… of a server, in place of a folder. Without a password in it, that is read from PGPASSWORD or the password file."`
}

// archiveFile is the name of the archive in its folder.
const archiveFile = "backroad.db"

// openArchive opens the archive that the flags name. The words say where it is. Close it.
func (r *run) openArchive(f archiveFlags) (a archive.Archive, where string, err error) {
	if f.Store != "" && f.Data != "" {
		return nil, "", fmt.Errorf("found both --data and --store; expected one of them")
	}
	if f.Store != "" {
		return r.Archives.Open(r.ctx, "", f.Store)
	}
	if f.Data == "" {
		if f.Data, err = dataFolder(runtime.GOOS, os.Getenv, os.UserHomeDir); err != nil {
			return nil, "", err
		}
	}
	return r.Archives.Open(r.ctx, filepath.Join(f.Data, archiveFile), "")
}

// dataFolder is where the programs of a system keep what their user makes with them: on
// Linux as the XDG base directory specification says (0.8, "data"), which takes only
// absolute names; on macOS and Windows as their guidelines for programs say.
func dataFolder(system string, env func(string) string, home func() (string, error)) (string, error) {
	var root string
	switch system {
	case "windows":
		root = env("LocalAppData")
	case "darwin":
		if at, err := home(); err == nil {
			root = filepath.Join(at, "Library", "Application Support")
		}
	default:
		if root = env("XDG_DATA_HOME"); !filepath.IsAbs(root) {
			root = ""
			if at, err := home(); err == nil {
				root = filepath.Join(at, ".local", "share")
			}
		}
	}
	if root == "" {
		return "", fmt.Errorf("found no folder of this user; expected one for the archive; name it with --data DIR")
	}
	return filepath.Join(root, "backroad"), nil
}

// closing closes an archive and adds what that says to an error.
func closing(a archive.Archive, err *error) {
	if closeErr := a.Close(); *err == nil {
		*err = closeErr
	}
}

// readZip reads a zip of at most MostZip bytes.
func readZip(name string) ([]byte, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, unreadable(name, err)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, MostZip+1))
	if err != nil {
		return nil, unreadable(name, err)
	}
	if len(data) > MostZip {
		return nil, fault.List{fault.New(fault.TooLarge, fmt.Sprintf("more than %d bytes", MostZip), "a smaller zip", "copy the archive with `backroad backup`").At(name, 1, 1)}
	}
	return data, nil
}
