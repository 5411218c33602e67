package bundle

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"time"

	"backroad/internal/archive"
	"backroad/internal/fault"
)

// Check reads the text of a document: its title, "" where the file has none, or every
// fault with the name that it is given.
type Check func(kind archive.Kind, name string, text []byte) (title string, faults fault.List)

// checked is a bundle in which every file has been read once and found good. Texts are
// read again when they are taken in, so that not all of them are in memory at once.
type checked struct {
	contents  *contents
	documents []entry
	plans     []plan // in the order in which they were kept
}

// entry is a text of a document in a bundle. Where it is not titled, neither the file
// nor the index has a title.
type entry struct {
	kind   archive.Kind
	id     string
	title  string
	titled bool
	file   string
}

type plan struct {
	id    string
	about PlanFile
	uses  []entry
}

// check reads everything.
func check(name string, data []byte, reads Check) (*checked, fault.List) {
	c, faults := open(name, data)
	if c == nil {
		return nil, faults
	}
	b := &checked{contents: c}
	titles, order, indexFaults := c.index()
	faults = append(faults, indexFaults...)
	planIDs := map[string]bool{}
	for _, file := range c.names {
		if kind, id, ok := documentName(file); ok {
			title, titled := titles[file]
			e, list := c.document(entry{kind, id, title, titled, file}, reads)
			faults = append(faults, list...)
			b.documents = append(b.documents, e)
		} else if id, _, ok := planName(file); ok {
			planIDs[id] = true
		}
	}
	for _, id := range ordered(planIDs, order) {
		p, list := c.plan(id, reads)
		faults = append(faults, list...)
		b.plans = append(b.plans, p)
	}
	if len(faults) > 0 {
		return nil, faults.Sort()
	}
	slices.SortFunc(b.documents, func(x, y entry) int { return bytes.Compare([]byte(x.file), []byte(y.file)) })
	return b, nil
}

// ordered gives the ids of the plans that are there: as the index has them, the others
// after those.
func ordered(there map[string]bool, order []string) []string {
	var ids, others []string
	for _, id := range order {
		if there[id] {
			ids = append(ids, id)
			delete(there, id)
		}
	}
	for id := range there {
		others = append(others, id)
	}
	slices.Sort(others)
	return append(ids, others...)
}

// index reads bundle.json, which may be missing. What it names must be there.
func (c *contents) index() (titles map[string]string, plans []string, faults fault.List) {
	if c.files[indexName] == nil {
		return nil, nil, nil
	}
	var i index
	if f := c.json(indexName, &i); f != nil {
		return nil, nil, fault.List{*f}
	}
	if i.Schema != schema {
		return nil, nil, fault.List{wrongSchema(indexName, i.Schema, schema)}
	}
	titles = map[string]string{}
	for _, d := range i.Documents {
		if c.files[d.File] == nil {
			faults = append(faults, missingFile(indexName, d.File))
		}
		titles[d.File] = d.Title
	}
	for _, id := range i.Plans {
		if c.files["plans/"+id+"/plan.json"] == nil {
			faults = append(faults, missingFile(indexName, "plans/"+id+"/plan.json"))
		}
	}
	return titles, i.Plans, faults
}

// document reads a text and finds its title.
func (c *contents) document(e entry, reads Check) (entry, fault.List) {
	text, f := c.read(e.file)
	if f != nil {
		return e, fault.List{*f}
	}
	title, faults := reads(e.kind, e.file, text)
	if !e.titled {
		e.title, e.titled = title, title != ""
	}
	if len(faults) > 0 {
		return e, faults
	}
	return e, unkept(e.file, archive.Draft{Kind: e.kind, ID: e.id, Title: e.title, Text: text}.Check())
}

// unkept turns what an archive says of a draft or plan into a fault of a file.
func unkept(file string, err error) fault.List {
	var t *archive.Trouble
	if errors.As(err, &t) {
		return fault.List{fault.New(fault.OutOfBounds, t.Says, "", t.Hint).At(file, 1, 1)}
	}
	return nil
}

// plan reads what belongs to a kept plan.
func (c *contents) plan(id string, reads Check) (p plan, faults fault.List) {
	p.id = id
	folder := "plans/" + id + "/"
	for part, need := range planParts {
		if need == 1 && c.files[folder+part] == nil {
			faults = append(faults, missingFile(folder+"plan.json", folder+part))
		}
	}
	if len(faults) > 0 {
		return p, faults
	}
	if f := c.json(folder+"plan.json", &p.about); f != nil {
		return p, fault.List{*f}
	}
	if p.about.Schema != planSchema {
		return p, fault.List{wrongSchema(folder+"plan.json", p.about.Schema, planSchema)}
	}
	if (p.about.House != nil) != (c.files[folder+"house.yaml"] != nil) {
		faults = append(faults, missingFile(folder+"plan.json", folder+"house.yaml"))
	}
	for kind, used := range map[archive.Kind]*Used{archive.Case: &p.about.Case, archive.Shelf: &p.about.Shelf, archive.House: p.about.House} {
		if used == nil || c.files[folder+string(kind)+".yaml"] == nil {
			continue
		}
		e, list := c.document(entry{kind, used.ID, used.Title, true, folder + string(kind) + ".yaml"}, reads)
		faults = append(faults, list...)
		p.uses = append(p.uses, e)
	}
	slices.SortFunc(p.uses, func(x, y entry) int { return bytes.Compare([]byte(x.kind), []byte(y.kind)) })
	return p, append(faults, c.parts(p, folder)...)
}

// parts checks what was shown and printed.
func (c *contents) parts(p plan, folder string) (faults fault.List) {
	whole, f := c.whole(p)
	if f != nil {
		return fault.List{*f}
	}
	if len(whole.JSON) > 0 && !json.Valid(whole.JSON) {
		faults = append(faults, fault.New(fault.Syntax, "no JSON", "what the program showed", "export it once more").At(folder+"shown.json", 1, 1))
	}
	if len(whole.PDF) > 0 && !bytes.HasPrefix(whole.PDF, []byte("%PDF-")) {
		faults = append(faults, fault.New(fault.Syntax, "no PDF", "the brief card", "export it once more").At(folder+"card.pdf", 1, 1))
	}
	for _, e := range p.uses { // numbers come when it is taken in
		ref := archive.Ref{Kind: e.kind, ID: e.id, Version: 1}
		whole.set(ref)
	}
	return append(faults, unkept(folder+"plan.json", whole.Check())...)
}

// kept is an archive.Plan that is being put together.
type kept struct{ archive.Plan }

// whole reads the parts of a plan; what it was made from is not set yet.
func (c *contents) whole(p plan) (*kept, *fault.Fault) {
	a := p.about
	k := &kept{archive.Plan{ID: p.id, Made: archive.Time(a.Made.UnixMicro()), Program: a.Program, Day: a.Day, Events: a.Events, Route: a.Route,
		Finish: a.Finish, TreatOver: a.TreatOver, Verdict: a.Verdict, NoP: a.Probability == nil}}
	if a.Probability != nil {
		k.P = *a.Probability
	}
	for part, to := range map[string]*[]byte{"shown.json": &k.JSON, "card.pdf": &k.PDF, "card.html": &k.HTML} {
		data, f := c.read("plans/" + p.id + "/" + part)
		if f != nil {
			return nil, f
		}
		*to = data
	}
	return k, nil
}

func (k *kept) set(ref archive.Ref) {
	switch ref.Kind {
	case archive.Case:
		k.Case = ref
	case archive.Shelf:
		k.Shelf = ref
	default:
		k.House = ref
	}
}

// json reads a file of JSON that has these fields and no other.
func (c *contents) json(name string, to any) *fault.Fault {
	data, f := c.read(name)
	if f != nil {
		return f
	}
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	err := d.Decode(to)
	if err == nil && len(bytes.TrimSpace(data[d.InputOffset():])) == 0 {
		return nil
	}
	offset := d.InputOffset()
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	var clock *time.ParseError
	found := "more than one value"
	switch {
	case errors.As(err, &syntax):
		offset, found = syntax.Offset, "what is no JSON"
	case errors.As(err, &kind):
		offset, found = kind.Offset, "a "+kind.Value+" as "+kind.Field
	case errors.As(err, &clock):
		found = "the time " + clock.Value
	case err != nil:
		found = err.Error() // an unknown field, by its name
	}
	line, col := place(data, offset)
	at := fault.New(fault.Syntax, found, "the file as export writes it", "export it once more").At(name, line, col)
	return &at
}

// place turns an offset in bytes into a line and a column in characters.
func place(data []byte, offset int64) (line, col int) {
	before := data[:min(max(offset, 0), int64(len(data)))]
	start := bytes.LastIndexByte(before, '\n') + 1
	return bytes.Count(before, []byte{'\n'}) + 1, len([]rune(string(before[start:]))) + 1
}

func wrongSchema(file, found, want string) fault.Fault {
	return fault.New(fault.Schema, fmt.Sprintf("schema %q", found), fmt.Sprintf("%q", want), "use a newer version of the program").At(file, 1, 1)
}

func missingFile(file, missing string) fault.Fault {
	return fault.New(fault.UnknownRef, "no file "+missing+", which belongs to it", "that file", "put it into the zip").At(file, 1, 1)
}
