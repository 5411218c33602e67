package practicefile

import (
	"embed"
	"io/fs"
	"path"
	"strings"
	"sync"

	"backroad/internal/practice"
)

//go:embed scenarios/*.yaml
var scenarios embed.FS

// BuiltIn is a scenario that comes with the program. What was opened in it is of the
// demo shelf.
type BuiltIn struct {
	ID       string // the file's name without its ending
	Text     []byte
	Scenario *practice.Scenario
}

// All lists the scenarios that come with the program, in the order of their names.
var All = sync.OnceValue(func() []BuiltIn {
	names, err := fs.Glob(scenarios, "scenarios/*.yaml")
	if err != nil || len(names) == 0 {
		panic("internal error: the scenarios are not there")
	}
	list := make([]BuiltIn, len(names))
	for i, name := range names {
		data, err := scenarios.ReadFile(name)
		if err != nil {
			panic("internal error: " + err.Error())
		}
		s, faults := Decode(path.Base(name), data, nil)
		if s == nil {
			panic("internal error: a scenario of the program: " + faults.Error())
		}
		list[i] = BuiltIn{strings.TrimSuffix(path.Base(name), ".yaml"), data, s}
	}
	return list
})
