// Package corpus reads the archives of bad files that the tests of the file kinds
// share. It serves tests only.
//
// An archive is text. Each file in it begins with a label:
//
//	=== CLASS: what is wrong with it
//	want LINE:COL KIND
//	want LINE:COL KIND
//	file
//	(the file, up to the next label)
//
// CLASS is the fault the file was written for, one of the kinds of package fault, and
// one of the wanted ones; the wanted faults are all that a reader must report, in the
// order of their places. `file, escaped` instead of `file` makes the escapes of a Go
// string (\t, \xff) mean what they mean there.
package corpus

import (
	"bytes"
	"cmp"
	"fmt"
	"os"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"backroad/internal/fault"
)

// File is one labelled file.
type File struct {
	Name  string // what is wrong with it
	Class fault.Kind
	Want  []Want
	Data  []byte
}

// Want is one fault that must be reported.
type Want struct {
	Line, Col int
	Kind      fault.Kind
}

// String shows a want as an archive writes it.
func (w Want) String() string { return fmt.Sprintf("%d:%d %s", w.Line, w.Col, w.Kind) }

// mark begins a label.
const mark = "=== "

// Parse reads an archive. An archive without files is an error: a test over nothing
// would pass.
func Parse(archive string) ([]File, error) {
	var files []File
	for _, part := range strings.Split("\n"+archive, "\n"+mark)[1:] {
		f, err := parseFile(part)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", strings.SplitN(part, "\n", 2)[0], err)
		}
		files = append(files, f)
	}
	if len(files) == 0 {
		return nil, fmt.Errorf("an archive without files")
	}
	return files, nil
}

func parseFile(part string) (File, error) {
	lines := strings.Split(part, "\n")
	class, name, _ := strings.Cut(lines[0], ": ")
	f := File{Class: fault.Kind(class), Name: name}
	for i, line := range lines[1:] {
		switch {
		case strings.HasPrefix(line, "want "):
			w, err := parseWant(line)
			if err != nil {
				return File{}, err
			}
			f.Want = append(f.Want, w)
		case line == "file":
			f.Data = []byte(strings.Join(lines[i+2:], "\n"))
			return f, f.check()
		case line == "file, escaped":
			text, err := unescape(strings.Join(lines[i+2:], "\n"))
			f.Data = []byte(text)
			return f, cmp.Or(err, f.check())
		default:
			return File{}, fmt.Errorf("not a line of a label: %q", line)
		}
	}
	return File{}, fmt.Errorf("a label without a file")
}

func parseWant(line string) (Want, error) {
	var w Want
	place, kind, ok := strings.Cut(strings.TrimPrefix(line, "want "), " ")
	if _, err := fmt.Sscanf(place, "%d:%d", &w.Line, &w.Col); err != nil || !ok {
		return w, fmt.Errorf("not a want: %q", line)
	}
	w.Kind = fault.Kind(kind)
	return w, nil
}

// unescape reads the escapes of a Go string; line breaks and quotation marks stand for
// themselves.
func unescape(text string) (string, error) {
	quoted := strings.NewReplacer("\n", `\n`, `"`, `\"`).Replace(text)
	return strconv.Unquote(`"` + quoted + `"`)
}

// Read reads the archive of bad files of one kind of file, seen from the folder of its
// reader's tests. An empty archive is an error.
func Read(kind string) ([]File, error) {
	archive, err := os.ReadFile("../testdata/bad/" + kind + ".txt")
	if err != nil {
		return nil, err
	}
	return Parse(string(archive))
}

// GivenAs is the name under which the readers' tests give a bad file.
const GivenAs = "the file.yaml"

// Problems says what is wrong with a reader's answer to a bad file that was given as
// GivenAs: it must be exactly the faults of the label, no value, and lines that begin
// with the place.
func (f File) Problems(value bool, faults fault.List) []string {
	var list []string
	if value {
		list = append(list, "a value beside faults")
	}
	if diff := f.Compare(faults); diff != "" {
		list = append(list, diff)
	}
	for _, line := range strings.Split(faults.Error(), "\n") {
		if !strings.HasPrefix(line, GivenAs+":") || !strings.Contains(line, "found ") {
			list = append(list, "not FILE:LINE:COL: found …: "+line)
		}
	}
	return list
}

// Lacking lists the kinds of fault for which there is no file.
func Lacking(files []File, kinds ...fault.Kind) []fault.Kind {
	var list []fault.Kind
	for _, k := range kinds {
		if !slices.ContainsFunc(files, func(f File) bool { return f.Class == k }) {
			list = append(list, k)
		}
	}
	return list
}

func (f File) check() error {
	if !slices.ContainsFunc(f.Want, func(w Want) bool { return w.Kind == f.Class }) {
		return fmt.Errorf("%s is not among the wanted faults", f.Class)
	}
	return nil
}

// Compare tells how the faults that were reported differ from those wanted, "" where
// they do not.
func (f File) Compare(got fault.List) string {
	var want, found []string
	for _, w := range f.Want {
		want = append(want, w.String())
	}
	for _, g := range got {
		found = append(found, Want{g.Line, g.Col, g.Kind}.String())
	}
	if slices.Equal(sorted(want), sorted(found)) {
		return ""
	}
	return fmt.Sprintf("want %s\n got %s\n%v", strings.Join(want, ", "), strings.Join(found, ", "), got)
}

func sorted(texts []string) []string { return slices.Sorted(slices.Values(texts)) }

// Misplaced checks that faults are sorted and that each stands on a line which the
// file has; it says what is wrong, "" where nothing is.
func Misplaced(data []byte, faults fault.List) string {
	breaks := bytes.Count(data, []byte("\n")) + bytes.Count(data, []byte("\r")) - bytes.Count(data, []byte("\r\n"))
	for i, f := range faults {
		if f.Line < 1 || f.Line > breaks+1 || f.Col < 1 || f.Col > len(data)+1 {
			return fmt.Sprintf("a fault outside of the file: %v", f)
		}
		if i > 0 && (f.Line < faults[i-1].Line || f.Line == faults[i-1].Line && f.Col < faults[i-1].Col) {
			return fmt.Sprintf("not sorted: %v", faults)
		}
	}
	return ""
}

// Damaged returns a copy of a file in which bytes were replaced, put in or taken out,
// one for each number.
func Damaged(data []byte, damage []uint32) []byte {
	const signs = "\n\t :,-[]{}\"'#&*!|>%@?~<.0129aun±\x00\xff"
	data = bytes.Clone(data)
	for _, d := range damage {
		at, sign := int(d>>8)%(len(data)+1), signs[int(d>>2&63)%len(signs)]
		switch d & 3 {
		case 0:
			data = slices.Insert(data, at, sign)
		case 1:
			data = slices.Delete(data, at, min(at+1, len(data)))
		case 2:
			data = slices.Delete(data, at, min(at+9, len(data)))
		default:
			data = append(data[:at], append([]byte{sign}, data[min(at+1, len(data)):]...)...)
		}
	}
	return data
}

// IsText reports whether a text may stand in a file: not blank, no control character,
// no character that breaks a line, valid UTF-8.
func IsText(s string) bool {
	return strings.TrimSpace(s) != "" && utf8.ValidString(s) &&
		!strings.ContainsFunc(s, func(c rune) bool { return c < 0x20 || c >= 0x7F && c <= 0x9F || c == 0x2028 || c == 0x2029 })
}
