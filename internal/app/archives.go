package app

import (
	"context"
	"io"
	"time"

	"backroad/internal/archive"
	"backroad/internal/cli"
	"backroad/internal/fault"
	"backroad/internal/interop/bundle"
	"backroad/internal/plan"
	"backroad/internal/store/postgres"
	"backroad/internal/store/sqlite"
)

// archives implements cli.Archives on the packages store and interop/bundle.
type archives struct{ files plan.Files }

var _ cli.Archives = archives{}

// now is what an archive notes of each save, for people to read.
func now() archive.Time { return archive.Time(time.Now().UnixMicro()) }

func (archives) Open(ctx context.Context, file, address string) (archive.Archive, string, error) {
	if address != "" {
		a, where, err := postgres.Open(ctx, postgres.Config{Address: address, Clock: now})
		if err != nil {
			return nil, "", err
		}
		return a, where, nil
	}
	a, err := sqlite.Open(ctx, sqlite.Config{File: file, Clock: now})
	if err != nil {
		return nil, "", err
	}
	return a, file, nil
}

func (archives) Export(ctx context.Context, w io.Writer, a archive.Archive) error {
	return bundle.Write(ctx, w, a)
}

func (s archives) Import(ctx context.Context, name string, zip []byte, a archive.Archive) (cli.Imported, error) {
	t, err := bundle.Read(ctx, name, zip, a, s.Check)
	did := cli.Imported{Same: t.Same, PlansAdded: len(t.Plans), PlansSame: len(t.PlansSame)}
	for _, v := range t.Added {
		did.Added = append(did.Added, v.Ref)
	}
	return did, err
}

// Check implements bundle.Check on the readers of files.
func (s archives) Check(kind archive.Kind, name string, text []byte) (title string, faults fault.List) {
	switch kind {
	case archive.Case:
		c, faults := s.files.ReadCase(name, text, nil)
		if c == nil {
			return "", faults
		}
		return c.Code, faults
	case archive.Practice:
		s, faults := practices{}.ReadSaved(name, text)
		if s == nil {
			return "", faults
		}
		return s.Title, faults
	case archive.Shelf:
		_, faults = s.files.ReadShelf(name, text)
	default:
		_, faults = s.files.ReadHouse(name, text)
	}
	return "", faults
}
