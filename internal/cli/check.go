package cli

import (
	"fmt"

	"backroad/internal/fault"
	"backroad/internal/gear"
)

type checkCommand struct {
	Files []string `arg:"" name:"file" help:"Case, shelf, house or practice files; each says by its schema what it is. With a shelf among them, what a case pins is looked up on it, and the endings of a practice are gone through."`
}

// Run implements the command: every fault of every file, or a line of praise for each.
func (c *checkCommand) Run(r *run) error {
	var list fault.List
	var shelf *gear.Shelf
	data := map[string][]byte{}
	for _, name := range c.Files {
		bytes, faults := read(name)
		list = append(list, faults...)
		if len(faults) > 0 {
			continue
		}
		data[name] = bytes
		if r.Files.SchemaOf(bytes) == "shelf/1" && shelf == nil {
			shelf, _ = r.Files.ReadShelf(name, bytes)
		}
	}
	var said []string
	for _, name := range c.Files {
		if bytes, ok := data[name]; ok {
			text, faults := r.check(name, bytes, shelf)
			list = append(list, faults...)
			said = append(said, fmt.Sprintf("%s: %s", name, text))
		}
	}
	if len(list) > 0 {
		return list
	}
	for _, s := range said {
		fmt.Fprintln(r.Out, s)
	}
	return nil
}

// check reads one file as what its schema says; without a schema as a case, whose
// reader then says what is missing.
func (r *run) check(name string, data []byte, shelf *gear.Shelf) (string, fault.List) {
	switch r.Files.SchemaOf(data) {
	case "shelf/1":
		s, faults := r.Files.ReadShelf(name, data)
		if s == nil {
			return "", faults
		}
		return fmt.Sprintf("a shelf of %d items, in order", len(s.Items)), nil
	case "house/1":
		h, faults := r.Files.ReadHouse(name, data)
		if h == nil {
			return "", faults
		}
		return "house rules, in order", nil
	case "case/1":
		c, faults := r.Files.ReadCase(name, data, shelf)
		if c == nil {
			return "", faults
		}
		return fmt.Sprintf("case %s with %d routes, in order", c.Code, len(c.Routes)), nil
	}
	if r.Files.SchemaOf(data) == "practice/1" {
		return r.checkPractice(name, data, shelf)
	}
	_, faults := r.Files.ReadCase(name, data, shelf)
	for i := range faults {
		if faults[i].Kind == fault.Schema {
			faults[i].Expected = "schema: case/1, shelf/1, house/1 or practice/1"
			return "", faults[i : i+1]
		}
	}
	return "", faults
}
