package bundle

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"backroad/internal/archive"
	"backroad/internal/fault"
)

// contents is a zip whose names are all in order: what may be read from it.
type contents struct {
	files map[string]*zip.File
	names []string // of files[], in the order of the zip
}

// open finds the files of a zip. What is refused: a name that no bundle has (so none
// leads out of a folder), a name that stands twice, a link or anything else that is no
// plain file, what is encrypted or packed in another way, and more or larger files than
// the limits allow by what the zip itself says; read holds it to that.
func open(name string, data []byte) (*contents, fault.List) {
	if len(data) > MostZip {
		return nil, fault.List{fault.New(fault.TooLarge, fmt.Sprintf("%d bytes", len(data)), fmt.Sprintf("a zip of at most %d bytes", MostZip), "take it in as several").At(name, 1, 1)}
	}
	if n := bytes.Count(data, []byte("PK\x01\x02")); n > 2*MostFiles { // entries of its directory, which the reader would hold all at once
		return nil, fault.List{fault.New(fault.TooLarge, fmt.Sprintf("about %d files", n), fmt.Sprintf("at most %d", MostFiles), "take it in as several").At(name, 1, 1)}
	}
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil && !errors.Is(err, zip.ErrInsecurePath) {
		return nil, fault.List{fault.New(fault.Syntax, "no whole zip file", "a zip as export writes it", "name the right file, or copy it here once more").At(name, 1, 1)}
	}
	if f := tooMuch(name, z, len(data)); f != nil {
		return nil, fault.List{*f}
	}
	c := &contents{files: map[string]*zip.File{}}
	var faults fault.List
	for _, f := range z.File {
		if f.Mode().IsDir() && isFolder(f.Name) && f.UncompressedSize64 == 0 {
			continue
		}
		if bad := unfit(f, c.files[f.Name] != nil); bad != nil {
			faults = append(faults, bad.At(f.Name, 1, 1))
			continue
		}
		c.files[f.Name] = f
		c.names = append(c.names, f.Name)
	}
	return c, faults
}

// tooMuch holds a zip to the limits by what its directory says.
func tooMuch(name string, z *zip.Reader, size int) *fault.Fault {
	var all, packed uint64
	for _, f := range z.File {
		if f.UncompressedSize64 > MostAll || f.CompressedSize64 > uint64(size) { // so that no sum overflows
			all = MostAll + 1
			break
		}
		all += f.UncompressedSize64
		packed += f.CompressedSize64
	}
	var bad *fault.Fault
	switch {
	case len(z.File) > MostFiles:
		bad = fault.New(fault.TooLarge, fmt.Sprintf("%d files", len(z.File)), fmt.Sprintf("at most %d", MostFiles), "take it in as several")
	case all > MostAll:
		bad = fault.New(fault.TooLarge, "files that are too large together", fmt.Sprintf("at most %d bytes", MostAll), "take it in as several")
	case packed > uint64(size):
		bad = fault.New(fault.Syntax, "files that share their bytes", "a zip as export writes it", "write the zip anew")
	default:
		return nil
	}
	at := bad.At(name, 1, 1)
	return &at
}

// unfit says why an entry of a zip is not taken, nil where it is.
func unfit(f *zip.File, twice bool) *fault.Fault {
	most := uint64(MostFile)
	if f.Name == indexName {
		most = MostIndex
	}
	switch {
	case f.Mode().IsDir():
		return unknownName(f.Name)
	case !f.Mode().IsRegular():
		return fault.New(fault.WrongKind, "a link or a special file", "a plain file", "put the file itself into the zip")
	case !known(f.Name):
		return unknownName(f.Name)
	case twice:
		return fault.New(fault.DuplicateID, "two files of this name", "one", "take one of them out of the zip")
	case f.Flags&0x1 != 0:
		return fault.New(fault.Unreadable, "an encrypted file", "one that anybody can read", "write the zip without a password")
	case f.Method != zip.Store && f.Method != zip.Deflate:
		return fault.New(fault.Unreadable, fmt.Sprintf("packing of the kind %d", f.Method), "deflate, or none", "write the zip with another program")
	case f.UncompressedSize64 > most:
		return fault.New(fault.TooLarge, fmt.Sprintf("%d bytes", f.UncompressedSize64), fmt.Sprintf("at most %d", most), "make it smaller")
	}
	return nil
}

func unknownName(name string) *fault.Fault {
	kind, id, isDocument := documentName(name)
	if isDocument {
		return fault.New(fault.BadRequest, "the id "+fault.Quote(id)+" of a "+string(kind), fmt.Sprintf("1 to %d letters, digits, - and _", archive.MostID), "give the file another name")
	}
	return fault.New(fault.UnknownRef, "a file that has no place here", "cases/ID.yaml, shelves/ID.yaml, houses/ID.yaml, practices/ID.yaml and what export writes beside them", "take it out of the zip")
}

// known reports whether a file of a bundle has this name.
func known(name string) bool {
	if name == indexName {
		return true
	}
	if _, id, ok := documentName(name); ok {
		return archive.ValidID(id)
	}
	id, part, ok := planName(name)
	return ok && archive.ValidID(id) && planParts[part] > 0
}

// documentName splits cases/ID.yaml.
func documentName(name string) (kind archive.Kind, id string, ok bool) {
	folder, file, found := strings.Cut(name, "/")
	if !found || !utf8.ValidString(name) {
		return "", "", false
	}
	id, ok = strings.CutSuffix(file, ".yaml")
	for _, kind := range archive.Kinds {
		if folders[kind] == folder && ok && !strings.ContainsAny(id, `/\`) {
			return kind, id, true
		}
	}
	return "", "", false
}

// planName splits plans/ID/PART.
func planName(name string) (id, part string, ok bool) {
	rest, ok := strings.CutPrefix(name, "plans/")
	if !ok {
		return "", "", false
	}
	return strings.Cut(rest, "/")
}

// planParts are the files of a plan; those with a 2 may be missing.
var planParts = map[string]int{"plan.json": 1, "case.yaml": 1, "shelf.yaml": 1, "house.yaml": 2, "shown.json": 1, "card.pdf": 1, "card.html": 1}

// isFolder reports whether a name is that of a folder of a bundle; programs that make
// zips list them.
func isFolder(name string) bool {
	inner, ok := strings.CutPrefix(name, "plans/")
	if id := strings.TrimSuffix(inner, "/"); ok && (inner == "" || strings.HasSuffix(inner, "/") && archive.ValidID(id)) {
		return true
	}
	for _, folder := range folders {
		if name == folder+"/" {
			return true
		}
	}
	return false
}

// read unpacks one file: never more than the zip says it has.
func (c *contents) read(name string) ([]byte, *fault.Fault) {
	f := c.files[name]
	r, err := f.Open()
	if err != nil {
		return nil, broken(name)
	}
	defer r.Close()
	data, err := io.ReadAll(io.LimitReader(r, int64(f.UncompressedSize64)+1))
	if err != nil || uint64(len(data)) != f.UncompressedSize64 {
		return nil, broken(name)
	}
	return data, nil
}

func broken(name string) *fault.Fault {
	at := fault.New(fault.Unreadable, "a damaged file", "one that can be unpacked", "copy the zip here once more").At(name, 1, 1)
	return &at
}
