package bundle

import (
	"archive/zip"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"golang.org/x/tools/txtar"

	"backroad/internal/archive"
	"backroad/internal/fault"
	"backroad/internal/store/memory"
)

var ctx = context.Background()

// anything takes every text; a case's title is its first word, as a case file has its code.
func anything(kind archive.Kind, name string, text []byte) (string, fault.List) {
	if bytes.HasPrefix(text, []byte("BAD")) {
		return "", fault.List{fault.New(fault.Syntax, "BAD", "good", "mend it").At(name, 3, 7)}
	}
	if words := strings.Fields(string(text)); kind == archive.Case && len(words) > 0 {
		return words[0], nil
	}
	return "", nil
}

func clocked() func() archive.Time {
	n := archive.Time(1_700_000_000_000_000)
	return func() archive.Time { n += 1_000_003; return n }
}

func empty() archive.Archive { return memory.Open(clocked()) }

func written(t testing.TB, a archive.Archive) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Write(ctx, &b, a); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func taken(t testing.TB, zip []byte, a archive.Archive) Taken {
	t.Helper()
	did, err := Read(ctx, "b.zip", zip, a, anything)
	if err != nil {
		t.Fatal(err)
	}
	return did
}

func save(t testing.TB, a archive.Archive, d archive.Draft) archive.Version {
	t.Helper()
	v, err := a.Save(ctx, d)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func changes(t testing.TB, a archive.Archive) []archive.Change {
	t.Helper()
	all, err := a.Since(ctx, 0, 1<<30)
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// someArchive is an archive with a history: edits, undos, things put away, plans made
// from any versions.
func someArchive(t testing.TB, random *rand.Rand) archive.Archive {
	t.Helper()
	a := empty()
	ids := []string{"a", "A", "é", "e\u0301", "日本"}
	var refs [3][]archive.Ref
	for n := range 5 + random.IntN(60) {
		k := random.IntN(3)
		kind, id := archive.Kinds[k], ids[random.IntN(len(ids))]
		base := 0
		if head, err := a.Head(ctx, kind, id); err == nil {
			base = head.Ref.Version
		}
		switch random.IntN(8) {
		case 0:
			if base > 0 {
				archive.Undo(ctx, a, kind, id, base)
			}
		case 1:
			if len(refs[0]) > 0 && len(refs[1]) > 0 {
				p := archive.Plan{ID: fmt.Sprintf("p%d", random.IntN(1000)), Case: pick(random, refs[0]), Shelf: pick(random, refs[1]), Program: "v<1>&", Day: "2026-01-02",
					Route: "r\u2028", P: random.Float64(), NoP: random.IntN(3) == 0, JSON: []byte(`{"n": 1}`), PDF: []byte("%PDF-1\x00"), HTML: []byte("<p>")}
				if len(refs[2]) > 0 && random.IntN(2) == 0 {
					p.House = pick(random, refs[2])
				}
				if random.IntN(2) == 0 {
					p.Events, p.JSON, p.PDF, p.HTML = []string{"moved", ""}, nil, nil, nil
				}
				if _, err := a.KeepPlan(ctx, p); err != nil {
					t.Fatal(err)
				}
			}
		default:
			v := save(t, a, archive.Draft{Kind: kind, ID: id, Base: base, Gone: random.IntN(4) == 0, Title: []string{"", "title", "\U0001f9ec <x>"}[random.IntN(3)],
				Text: []byte([]string{"", "x", "y z\n", fmt.Sprint(n), "\x00\xff"}[random.IntN(5)])})
			refs[k] = append(refs[k], v.Ref)
		}
	}
	return a
}

func pick(random *rand.Rand, refs []archive.Ref) archive.Ref { return refs[random.IntN(len(refs))] }

// TestRoundTrip is law B1, and B2 where nothing was edited.
func TestRoundTrip(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, 0))
	plans := 0
	for range 60 {
		first := someArchive(t, random)
		before := changes(t, first)
		out := written(t, first)
		second := empty()
		did := taken(t, out, second)
		plans += len(did.Plans)
		if again := written(t, second); !bytes.Equal(again, out) {
			t.Fatalf("export, import, export gives other bytes:\n%s", cmp.Diff(listing(t, out), listing(t, again)))
		}
		for _, a := range []archive.Archive{first, second} {
			at := changes(t, a)
			if did := taken(t, out, a); len(did.Added)+len(did.Plans) > 0 || !slices.Equal(at, changes(t, a)) {
				t.Fatalf("a second import added %+v, plans %v", did.Added, did.Plans)
			}
		}
		if !slices.Equal(before, changes(t, first)) {
			t.Fatal("the first archive was changed")
		}
	}
	if plans < 10 {
		t.Errorf("only %d plans were moved: the test tests little", plans)
	}
}

// listing is what a zip holds, read by the library.
func listing(t testing.TB, data []byte) map[string]string {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	all := map[string]string{}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		text, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		all[f.Name] = string(text)
	}
	return all
}

// TestLaterEdits is the rest of law B2: what was edited after an import stays the newest,
// whatever is imported again; and law B4: no version is ever changed.
func TestLaterEdits(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, 1))
	runs := 0
	for range 40 {
		out := written(t, someArchive(t, random))
		a := someArchive(t, random) // it may have the same documents with other texts
		old := texts(t, a)
		if _, err := Read(ctx, "b.zip", out, a, anything); err != nil {
			var faults fault.List
			if !errors.As(err, &faults) || !strings.Contains(err.Error(), "another plan") { // ids of plans are few here
				t.Fatal(err)
			}
			continue
		}
		runs++
		for kind, ids := range map[archive.Kind][]string{archive.Case: {"a", "é"}, archive.Shelf: {"A"}} {
			for _, id := range ids {
				if head, err := a.Head(ctx, kind, id); err == nil && random.IntN(2) == 0 {
					save(t, a, archive.Draft{Kind: kind, ID: id, Base: head.Ref.Version, Title: "edited since", Gone: random.IntN(3) == 0, Text: []byte("edited since")})
				}
			}
		}
		at := changes(t, a)
		if did := taken(t, out, a); len(did.Added)+len(did.Plans) > 0 || !slices.Equal(at, changes(t, a)) {
			t.Fatalf("a second import after edits added %+v", did.Added)
		}
		now := texts(t, a)
		for ref, text := range old {
			if now[ref] != text {
				t.Fatalf("%+v was changed", ref)
			}
		}
	}
	if runs < 20 {
		t.Errorf("only %d of 40 went through", runs)
	}
}

func texts(t *testing.T, a archive.Archive) map[archive.Ref]string {
	t.Helper()
	all := map[archive.Ref]string{}
	for _, c := range changes(t, a) {
		if c.Plan != "" {
			continue
		}
		ref := archive.Ref{Kind: c.Kind, ID: c.ID, Version: c.Version}
		d, err := a.At(ctx, ref)
		if err != nil {
			t.Fatal(err)
		}
		all[ref] = d.Title + "\n" + string(d.Text)
	}
	return all
}

// failing is an archive whose disk is full after so many additions.
type failing struct {
	archive.Archive
	left int
}

var errFull = &archive.Trouble{Kind: archive.Full, Says: "full", Hint: "make room"}

func (f *failing) Save(ctx context.Context, d archive.Draft) (archive.Version, error) {
	if f.left--; f.left < 0 {
		return archive.Version{}, errFull
	}
	return f.Archive.Save(ctx, d)
}

func (f *failing) KeepPlan(ctx context.Context, p archive.Plan) (archive.Plan, error) {
	if f.left--; f.left < 0 {
		return archive.Plan{}, errFull
	}
	return f.Archive.KeepPlan(ctx, p)
}

// TestHalfWay is the middle of law B2: an import that stops anywhere is completed by the
// same import.
func TestHalfWay(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, 2))
	for range 6 {
		out := written(t, someArchive(t, random))
		for stop := 0; ; stop++ {
			a := empty()
			_, err := Read(ctx, "b.zip", out, &failing{a, stop}, anything)
			if err == nil {
				break // it needed no more
			}
			if !errors.Is(err, errFull) {
				t.Fatal(err)
			}
			taken(t, out, a)
			if again := written(t, a); !bytes.Equal(again, out) {
				t.Fatalf("stopped after %d additions, the same import gives another archive:\n%s", stop, cmp.Diff(listing(t, out), listing(t, again)))
			}
		}
	}
}

// TestNext is law B4 by an example worked out by hand: what differs becomes the next
// version, which undo takes back; what a plan was made from does not become the newest.
func TestNext(t *testing.T) {
	theirs := empty()
	one := save(t, theirs, archive.Draft{Kind: archive.Case, ID: "x", Title: "X", Text: []byte("X theirs, planned")})
	shelf := save(t, theirs, archive.Draft{Kind: archive.Shelf, ID: "s", Text: []byte("shelf")})
	if _, err := theirs.KeepPlan(ctx, archive.Plan{ID: "p", Case: one.Ref, Shelf: shelf.Ref, NoP: true}); err != nil {
		t.Fatal(err)
	}
	save(t, theirs, archive.Draft{Kind: archive.Case, ID: "x", Title: "X", Base: 1, Text: []byte("X theirs")})

	ours := empty()
	save(t, ours, archive.Draft{Kind: archive.Case, ID: "x", Title: "X", Text: []byte("X ours")})
	did := taken(t, written(t, theirs), ours)
	// the case: ours, what the plan was made from, theirs; the shelf: one
	want := []string{"case x 2 imported with a plan", "shelf s 1 imported", "case x 3 imported"}
	var got []string
	for _, v := range did.Added {
		got = append(got, fmt.Sprintf("%s %s %d %s", v.Kind, v.ID, v.Ref.Version, v.Note))
	}
	slices.Sort(want)
	slices.Sort(got)
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	p, err := ours.Plan(ctx, "p")
	if err != nil || p.Case.Version != 2 || p.Shelf.Version != 1 {
		t.Errorf("the plan was kept as made from %+v and %+v (%v)", p.Case, p.Shelf, err)
	}
	if d, err := ours.Head(ctx, archive.Case, "x"); err != nil || string(d.Text) != "X theirs" {
		t.Errorf("the newest is %q (%v)", d.Text, err)
	}

	// A plan of an earlier version only: ours stays the newest.
	mine := empty()
	save(t, mine, archive.Draft{Kind: archive.Case, ID: "x", Title: "X", Text: []byte("X theirs")})
	save(t, mine, archive.Draft{Kind: archive.Case, ID: "x", Title: "X", Base: 1, Text: []byte("X mine")})
	taken(t, written(t, theirs), mine)
	if d, err := mine.Head(ctx, archive.Case, "x"); err != nil || string(d.Text) != "X mine" {
		t.Errorf("the newest is %q (%v)", d.Text, err)
	}
	if v, ok, err := archive.Undo(ctx, mine, archive.Case, "x", 4); err != nil || !ok || v.Bytes != len("X theirs") {
		t.Errorf("undo after it gives %+v, %v, %v", v, ok, err)
	}
}

// zipped makes a zip of names and texts in turn.
func zipped(t testing.TB, pairs ...string) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for i := 0; i < len(pairs); i += 2 {
		h := &zip.FileHeader{Name: pairs[i], Method: zip.Deflate}
		if pairs[i+1] == "" {
			h.Method = zip.Store
		}
		w, err := z.CreateHeader(h)
		if err == nil {
			_, err = w.Write([]byte(pairs[i+1]))
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// TestByHand: a zip of files that somebody made, with folders and without an index.
func TestByHand(t *testing.T) {
	a := empty()
	save(t, a, archive.Draft{Kind: archive.Shelf, ID: "known", Title: "our shelf", Text: []byte("old")})
	did := taken(t, zipped(t, "cases/", "", "cases/X-1.yaml", "X-1 text", "shelves/known.yaml", "new", "shelves/other.yaml", "text", "houses/h.yaml", ""), a)
	if len(did.Added) != 4 {
		t.Fatalf("added %+v", did.Added)
	}
	for _, v := range did.Added {
		want := map[string]string{"X-1": "X-1", "known": "our shelf", "other": "other", "h": "h"}[v.ID]
		if v.Title != want || v.Note != archive.Imported {
			t.Errorf("%s has the title %q, want %q; note %q", v.ID, v.Title, want, v.Note)
		}
	}
	if did := taken(t, zipped(t, "shelves/known.yaml", "old"), a); len(did.Added) > 0 || len(did.Same) != 1 || did.Same[0].Version != 1 {
		t.Errorf("an older text that is known gave %+v", did)
	}
}

// TestFaults is law B3: every fault of every file at once, and nothing is taken in.
func TestFaults(t *testing.T) {
	a := empty()
	_, err := Read(ctx, "b.zip", zipped(t,
		"cases/good.yaml", "fine", "cases/one.yaml", "BAD", "shelves/two.yaml", "BAD", "readme.txt", "hello", "cases/a b.yaml", "fine",
		"plans/p/plan.json", "{\n \"schema\": 7}", "plans/p/case.yaml", "", "plans/p/shelf.yaml", "", "plans/p/shown.json", "", "plans/p/card.pdf", "", "plans/p/card.html", "",
		"plans/q/plan.json", "{}",
		"bundle.json", "{\"schema\": \"bundle/1\",\n  \"documents\": [{\"file\": \"cases/lost.yaml\", \"title\": \"\"}], \"plans\": []}"), a, anything)
	var faults fault.List
	if !errors.As(err, &faults) {
		t.Fatal(err)
	}
	for _, want := range []string{"cases/one.yaml:3:7: ", "shelves/two.yaml:3:7: ", "readme.txt:1:1: found a file that has no place here", "cases/a b.yaml:1:1: found the id “a b”",
		"plans/p/plan.json:2:", "plans/q/plan.json:1:1: found no file plans/q/case.yaml", "bundle.json:1:1: found no file cases/lost.yaml"} {
		if !strings.Contains("\n"+err.Error(), "\n"+want) {
			t.Errorf("no fault %q in\n%s", want, err)
		}
	}
	if got := changes(t, a); len(got) > 0 {
		t.Errorf("something was taken in: %v", got)
	}
}

// TestHostile: zips that mean harm, or that other programs made in their own way, are
// refused in words.
func TestHostile(t *testing.T) {
	raw := func(change func(*zip.FileHeader), data []byte) []byte {
		var b bytes.Buffer
		z := zip.NewWriter(&b)
		h := &zip.FileHeader{Name: "cases/x.yaml", Method: zip.Store, UncompressedSize64: uint64(len(data)), CompressedSize64: uint64(len(data)), CRC32: 0x12345678}
		change(h)
		w, err := z.CreateRaw(h)
		if err == nil {
			_, err = w.Write(data)
		}
		if err := errors.Join(err, z.Close()); err != nil {
			t.Fatal(err)
		}
		return b.Bytes()
	}
	link := func() []byte {
		var b bytes.Buffer
		z := zip.NewWriter(&b)
		h := &zip.FileHeader{Name: "cases/x.yaml"}
		h.SetMode(os.ModeSymlink | 0o777)
		w, err := z.CreateHeader(h)
		if err == nil {
			_, err = w.Write([]byte("/etc/passwd"))
		}
		if err := errors.Join(err, z.Close()); err != nil {
			t.Fatal(err)
		}
		return b.Bytes()
	}
	good := zipped(t, "cases/x.yaml", strings.Repeat("text ", 1000))
	spoilt := bytes.Clone(good)
	spoilt[60] ^= 0xff
	many := make([]string, 0, 2*(MostFiles+1))
	for i := range MostFiles + 1 {
		many = append(many, fmt.Sprintf("cases/%d.yaml", i), "")
	}
	for name, c := range map[string]struct {
		zip  []byte
		want string
	}{
		"nothing":               {nil, "no whole zip file"},
		"no zip":                {[]byte("case: x\n"), "no whole zip file"},
		"half of one":           {good[:len(good)/2], "no whole zip file"},
		"a damaged file":        {spoilt, "a damaged file"},
		"out of the folder":     {zipped(t, "../cases/x.yaml", ""), "no place here"},
		"out of it, inside":     {zipped(t, "cases/../../x.yaml", ""), "no place here"},
		"from the root":         {zipped(t, "/cases/x.yaml", ""), "no place here"},
		"a drive":               {zipped(t, `C:\cases\x.yaml`, ""), "no place here"},
		"backslashes":           {zipped(t, `cases\x.yaml`, ""), "no place here"},
		"a folder too deep":     {zipped(t, "cases/deep/x.yaml", ""), "no place here"},
		"in a folder of a name": {zipped(t, "export/cases/x.yaml", ""), "no place here"},
		"no id":                 {zipped(t, "cases/.yaml", ""), "the id “”"},
		"dots":                  {zipped(t, "cases/...yaml", ""), "the id"},
		"a NUL":                 {zipped(t, "cases/x\x00.yaml", ""), "the id"},
		"a long id":             {zipped(t, "cases/"+strings.Repeat("x", 65)+".yaml", ""), "the id"},
		"no text as a name":     {zipped(t, "cases/\xff.yaml", ""), "no place here"},
		"a plan's odd file":     {zipped(t, "plans/p/run.sh", ""), "no place here"},
		"a plan's odd id":       {zipped(t, "plans/../plan.json", ""), "no place here"},
		"another folder":        {zipped(t, "cases/", "", "stuff/", ""), "no place here"},
		"twice":                 {zipped(t, "cases/x.yaml", "a", "cases/x.yaml", "b"), "two files of this name"},
		"a link":                {link(), "a link or a special file"},
		"encrypted":             {raw(func(h *zip.FileHeader) { h.Flags |= 1 }, []byte("text")), "an encrypted file"},
		"packed oddly":          {raw(func(h *zip.FileHeader) { h.Method = 12 }, []byte("text")), "packing of the kind 12"},
		"a wrong sum":           {raw(func(*zip.FileHeader) {}, []byte("text")), "a damaged file"},
		"says too much":         {raw(func(h *zip.FileHeader) { h.UncompressedSize64 = 1 << 50 }, []byte("text")), "too large together"},
		"says it is too large":  {raw(func(h *zip.FileHeader) { h.UncompressedSize64 = MostFile + 1 }, []byte("text")), "bytes; expected at most"},
		"a bomb that lies":      {raw(func(h *zip.FileHeader) { h.Method, h.UncompressedSize64 = zip.Deflate, 10 }, bomb(t)), "a damaged file"},
		"a large file":          {zipped(t, "cases/x.yaml", strings.Repeat("\x00", MostFile+1)), "bytes; expected at most"},
		"many files":            {zipped(t, many...), "at most 100000"},
		"another form":          {zipped(t, "bundle.json", `{"schema": "bundle/2", "documents": [], "plans": []}`), "newer version"},
		"an odd index":          {zipped(t, "bundle.json", `{"schema": "bundle/1", "documents": [], "plans": [], "more": 1}`), "more"},
		"two indexes in one":    {zipped(t, "bundle.json", `{"schema": "bundle/1", "documents": [], "plans": []}{}`), "more than one value"},
		"shared bytes":          {overlapping(t), "share their bytes"},
	} {
		t.Run(name, func(t *testing.T) {
			a := empty()
			_, err := Read(ctx, "b.zip", c.zip, a, anything)
			var faults fault.List
			if !errors.As(err, &faults) || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want faults with %q", err, c.want)
			}
			if got := changes(t, a); len(got) > 0 {
				t.Errorf("something was taken in: %v", got)
			}
		})
	}
}

// bomb is 64 MiB of zeros, deflated.
func bomb(t *testing.T) []byte {
	t.Helper()
	data := zipped(t, "x", strings.Repeat("\x00", 64<<20))
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	r, err := z.File[0].OpenRaw()
	if err != nil {
		t.Fatal(err)
	}
	packed, err := io.ReadAll(r)
	if err != nil {
		t.Fatal(err)
	}
	return packed
}

// overlapping is a zip whose directory lists the bytes of one file under many names, the
// way in which a small zip becomes a very large one.
func overlapping(t *testing.T) []byte {
	t.Helper()
	one := zipped(t, "cases/0.yaml", strings.Repeat("0123456789abcdef", 1<<16))
	at := bytes.LastIndex(one, []byte("PK\x01\x02"))
	end := bytes.LastIndex(one, []byte("PK\x05\x06"))
	entry, tail := one[at:end], bytes.Clone(one[end:])
	out := bytes.Clone(one[:at])
	const n = 10
	for i := range n {
		e := bytes.Clone(entry)
		e[46+len("cases/")] = byte('0' + i)
		out = append(out, e...)
	}
	tail[8], tail[10] = n, n
	size := uint32(n * len(entry))
	tail[12], tail[13], tail[14], tail[15] = byte(size), byte(size>>8), byte(size>>16), byte(size>>24)
	return append(out, tail...)
}

// TestOtherPrograms: programs that are not ours open what is exported.
func TestOtherPrograms(t *testing.T) {
	python, err := exec.LookPath("python3")
	if err != nil {
		t.Skip("no python3 to ask for a second opinion")
	}
	a := empty()
	save(t, a, archive.Draft{Kind: archive.Case, ID: "é", Text: []byte("text of é")})
	shelf := save(t, a, archive.Draft{Kind: archive.Shelf, ID: "s", Text: bytes.Repeat([]byte("item\n"), 100_000)})
	if _, err := a.KeepPlan(ctx, archive.Plan{ID: "p", Case: archive.Ref{Kind: archive.Case, ID: "é", Version: 1}, Shelf: shelf.Ref, P: 0.5}); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "b.zip")
	if err := os.WriteFile(file, written(t, a), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(python, "-c", `
import json, sys, zipfile
z = zipfile.ZipFile(sys.argv[1])
assert z.testzip() is None
assert all(i.date_time == (1980, 1, 1, 0, 0, 0) for i in z.infolist())
assert z.read("cases/é.yaml") == "text of é".encode()
assert z.read("plans/p/shelf.yaml") == z.read("shelves/s.yaml") == b"item\n" * 100000
assert json.loads(z.read("plans/p/plan.json"))["probability"] == 0.5
assert json.loads(z.read("bundle.json"))["plans"] == ["p"]
print(len(z.namelist()))
`, file).CombinedOutput()
	if err != nil || strings.TrimSpace(string(out)) != "9" {
		t.Errorf("python says %v: %s", err, out)
	}
}

// smallArchive is one with a case that was edited since a plan was made from it.
func smallArchive(t testing.TB) archive.Archive {
	t.Helper()
	a := empty()
	save(t, a, archive.Draft{Kind: archive.Case, ID: "x", Title: "X", Text: []byte("X 1\n")})
	save(t, a, archive.Draft{Kind: archive.Shelf, ID: "s", Text: []byte("s\n")})
	if _, err := a.KeepPlan(ctx, archive.Plan{ID: "p", Case: archive.Ref{Kind: archive.Case, ID: "x", Version: 1}, Shelf: archive.Ref{Kind: archive.Shelf, ID: "s", Version: 1}, P: 0.5, JSON: []byte("{}\n")}); err != nil {
		t.Fatal(err)
	}
	save(t, a, archive.Draft{Kind: archive.Case, ID: "x", Title: "X", Base: 1, Text: []byte("X 2\n")})
	return a
}

// FuzzRead: whatever the bytes, there are faults and nothing is taken in, or the archive
// that comes of it can be exported and imported again without an addition.
func FuzzRead(f *testing.F) {
	f.Add(written(f, smallArchive(f)))
	f.Add(zipped(f, "cases/x.yaml", "text"))
	f.Fuzz(readAnything)
}

// FuzzFiles is the same for zips that are whole, with any files in them: the engine
// changes their names and texts, which stand one after the other as a text archive.
func FuzzFiles(f *testing.F) {
	z := listing(f, written(f, smallArchive(f)))
	var a txtar.Archive
	for _, name := range slices.Sorted(maps.Keys(z)) {
		a.Files = append(a.Files, txtar.File{Name: name, Data: []byte(z[name])})
	}
	f.Add(txtar.Format(&a))
	f.Fuzz(func(t *testing.T, data []byte) {
		var pairs []string
		for _, file := range txtar.Parse(data).Files {
			if strings.HasSuffix(file.Name, "/") || len(file.Name) > 1000 {
				t.Skip("the zip writer does not write that")
			}
			pairs = append(pairs, file.Name, string(file.Data))
		}
		readAnything(t, zipped(t, pairs...))
	})
}

func readAnything(t *testing.T, data []byte) {
	a := empty()
	if _, err := Read(ctx, "b.zip", data, a, anything); err != nil {
		var faults fault.List
		if !errors.As(err, &faults) {
			t.Fatalf("neither faults nor an import: %v", err)
		}
		if len(changes(t, a)) > 0 {
			t.Fatal("faults, and something was taken in")
		}
		return
	}
	at := changes(t, a)
	if did := taken(t, data, a); len(did.Added)+len(did.Plans) > 0 {
		t.Fatalf("the same again added %+v", did)
	}
	if did := taken(t, written(t, a), a); len(did.Added)+len(did.Plans) > 0 || !slices.Equal(at, changes(t, a)) {
		t.Fatalf("its own export added %+v", did)
	}
}
