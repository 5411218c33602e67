// Package bundle moves what an archive holds as a zip of plain files.
//
// # What is in it
//
//	bundle.json           {"schema": "bundle/1", "documents": […], "plans": […]}: the titles
//	                      of the documents, the order of the plans
//	cases/ID.yaml         the newest text of every open case
//	shelves/ID.yaml       of every open shelf
//	houses/ID.yaml        of every open house file
//	practices/ID.yaml     of every practice
//	plans/ID/plan.json    what is known of a kept plan: see PlanFile
//	plans/ID/case.yaml    the very texts that it was made from; without house.yaml it was
//	plans/ID/shelf.yaml   made with the built-in house rules
//	plans/ID/house.yaml
//	plans/ID/shown.json   what was shown, and the brief card as it was printed
//	plans/ID/card.pdf
//	plans/ID/card.html
//
// A plan names the versions that it was made from by their texts, not by their numbers:
// numbers are those of one archive, and another one may have the document with versions
// of its own. Earlier versions that no plan was made from are not in a bundle; a backup
// has them. bundle.json may be missing: a zip of files made by hand is taken in too.
//
// # Laws
//
//	B1  export, import into an empty archive, export: the same bytes.
//	B2  What an archive has had already is not added: the same bundle taken in twice adds
//	    nothing the second time, whatever was edited meanwhile. Where an import stops
//	    half-way (a full disk), the same import again adds the rest.
//	B3  All files are checked before anything is taken in, and all faults are told, each
//	    with its file, line and column.
//	B4  Nothing is overwritten: what differs from the newest version becomes the next one.
//	B5  No zip makes the reader use more memory than its limits say, and no name in it
//	    becomes a name on this machine.
//
// A text that is only a plan's is kept as an earlier version of its document; one that
// nobody has open stays put away.
package bundle

import (
	"archive/zip"
	"compress/flate"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"backroad/internal/archive"
)

// The limits of a bundle. What Write makes keeps them.
const (
	MostZip   = 256 << 20        // bytes of the zip
	MostFiles = 100_000          // files in it
	MostAll   = 1 << 30          // bytes of all files together
	MostFile  = archive.MostText // bytes of one
	MostIndex = 16 << 20         // bytes of bundle.json
)

const (
	schema     = "bundle/1"
	planSchema = "kept-plan/1"
	indexName  = "bundle.json"
)

// index is bundle.json.
type index struct {
	Schema    string     `json:"schema"`
	Documents []document `json:"documents"` // by file
	Plans     []string   `json:"plans"`     // ids, in the order in which they were kept
}

type document struct {
	File  string `json:"file"`
	Title string `json:"title"`
}

// PlanFile is plan.json: what is known of a kept plan besides its texts. A null
// probability is none; house is null where the built-in rules were used.
type PlanFile struct {
	Schema      string    `json:"schema"`
	Made        time.Time `json:"made"` // to the microsecond
	Program     string    `json:"program"`
	Case        Used      `json:"case"`
	Shelf       Used      `json:"shelf"`
	House       *Used     `json:"house"`
	Day         string    `json:"day"`
	Events      []string  `json:"events"`
	Route       string    `json:"route"`
	Finish      string    `json:"finish"`
	TreatOver   string    `json:"treat_over"`
	Verdict     string    `json:"verdict"`
	Probability *float64  `json:"probability"`
}

// Used names a document that a plan was made from.
type Used struct {
	ID    string `json:"id"`
	Title string `json:"title"`
}

// folders are where the kinds of document lie.
var folders = map[archive.Kind]string{archive.Case: "cases", archive.Shelf: "shelves", archive.House: "houses", archive.Practice: "practices"}

// Write writes every open document and all kept plans of an archive. Each document and
// each plan is whole; one that is saved while this runs may be in it or not.
func Write(ctx context.Context, w io.Writer, a archive.Archive) error {
	packer, err := flate.NewWriter(nil, flate.DefaultCompression)
	if err != nil {
		return err
	}
	b := &writer{zip: zip.NewWriter(w), archive: a, index: index{Schema: schema, Documents: []document{}, Plans: []string{}}}
	// One after the other the files go through one packer: a new one takes a megabyte.
	b.zip.RegisterCompressor(zip.Deflate, func(to io.Writer) (io.WriteCloser, error) {
		packer.Reset(to)
		return packer, nil
	})
	for _, kind := range archive.Kinds {
		if err := b.documents(ctx, kind); err != nil {
			return err
		}
	}
	if err := b.plans(ctx); err != nil {
		return err
	}
	if err := b.json(indexName, b.index); err != nil {
		return err
	}
	return b.zip.Close()
}

type writer struct {
	zip     *zip.Writer
	archive archive.Archive
	index   index
	files   int
	bytes   int64
}

func (b *writer) documents(ctx context.Context, kind archive.Kind) error {
	all, err := b.archive.List(ctx, kind)
	if err != nil {
		return err
	}
	slices.SortFunc(all, func(x, y archive.Version) int { return strings.Compare(x.ID, y.ID) })
	for _, v := range all {
		if v.Gone {
			continue
		}
		d, err := b.archive.At(ctx, v.Ref)
		if err != nil {
			return err
		}
		name := folders[kind] + "/" + v.ID + ".yaml"
		if err := b.file(name, d.Text); err != nil {
			return err
		}
		b.index.Documents = append(b.index.Documents, document{File: name, Title: v.Title})
	}
	return nil
}

// plans writes the plans of all cases, those put away too, in the order in which they
// were kept.
func (b *writer) plans(ctx context.Context) error {
	cases, err := b.archive.List(ctx, archive.Case)
	if err != nil {
		return err
	}
	var all []archive.Plan
	for _, c := range cases {
		of, err := b.archive.Plans(ctx, c.ID)
		if err != nil {
			return err
		}
		all = append(all, of...)
	}
	slices.SortFunc(all, func(x, y archive.Plan) int { return int(x.Seq - y.Seq) })
	for _, p := range all {
		p, err := b.archive.Plan(ctx, p.ID)
		if err != nil {
			return err
		}
		if err := b.plan(ctx, p); err != nil {
			return err
		}
		b.index.Plans = append(b.index.Plans, p.ID)
	}
	return nil
}

func (b *writer) plan(ctx context.Context, p archive.Plan) error {
	about := PlanFile{Schema: planSchema, Made: time.UnixMicro(int64(p.Made)).UTC(), Program: p.Program, Day: p.Day, Events: p.Events, Route: p.Route,
		Finish: p.Finish, TreatOver: p.TreatOver, Verdict: p.Verdict}
	if about.Events == nil {
		about.Events = []string{}
	}
	if !p.NoP {
		about.Probability = &p.P
	}
	folder := "plans/" + p.ID + "/"
	for _, ref := range p.Refs() {
		d, err := b.archive.At(ctx, ref)
		if err != nil {
			return err
		}
		used := Used{ID: d.ID, Title: d.Title}
		switch ref.Kind {
		case archive.Case:
			about.Case = used
		case archive.Shelf:
			about.Shelf = used
		default:
			about.House = &used
		}
		if err := b.file(folder+string(ref.Kind)+".yaml", d.Text); err != nil {
			return err
		}
	}
	if err := b.json(folder+"plan.json", about); err != nil {
		return err
	}
	for _, part := range []struct {
		name string
		data []byte
	}{{"shown.json", p.JSON}, {"card.pdf", p.PDF}, {"card.html", p.HTML}} {
		if err := b.file(folder+part.name, part.data); err != nil {
			return err
		}
	}
	return nil
}

func (b *writer) json(name string, v any) error {
	data, err := json.MarshalIndent(v, "", "  ")
	if err != nil {
		return err
	}
	return b.file(name, append(data, '\n'))
}

// firstDay is 1980-01-01, the first day that a zip can name: the same files are the same
// zip, whenever it is made.
var firstDay = time.Date(1980, time.January, 1, 0, 0, 0, 0, time.UTC)

// file adds a file. It has no time of its own, so that the same archive gives the same
// bytes.
func (b *writer) file(name string, data []byte) error {
	b.files++
	b.bytes += int64(len(data))
	if b.files > MostFiles || b.bytes > MostAll {
		return &archive.Trouble{Kind: archive.NotUsable, Says: fmt.Sprintf("there is more than a zip of %d files with %d bytes can hold", MostFiles, MostAll),
			Hint: "copy the archive with `backroad backup`"}
	}
	f, err := b.zip.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Deflate, Modified: firstDay})
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	return err
}
