package web

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"mime"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"backroad/internal/archive"
)

// version is a version of a document as pages see it.
type version struct {
	Kind    archive.Kind `json:"kind"`
	ID      string       `json:"id"`
	Version int          `json:"version"`
	Title   string       `json:"title"`
	Saved   string       `json:"saved"`
	Note    archive.Note `json:"note"`
	Of      int          `json:"of"`
	Before  int          `json:"before"`
	Gone    bool         `json:"gone"`
}

func versionOf(v archive.Version) version {
	return version{v.Kind, v.ID, v.Version, v.Title, timeOf(v.Saved), v.Note, v.Of, v.Before, v.Gone}
}

func timeOf(t archive.Time) string {
	return time.UnixMicro(int64(t)).UTC().Format(time.RFC3339Nano)
}

// document is a version with its content.
type document struct {
	version
	Tree    json.RawMessage `json:"tree"` // null where the text is no file
	Text    string          `json:"text"`
	CanUndo bool            `json:"can_undo"`
	CanRedo bool            `json:"can_redo"`
}

// kinds are the words for kinds in addresses.
var kinds = map[string]archive.Kind{"cases": archive.Case, "shelves": archive.Shelf, "houses": archive.House, "practices": archive.Practice}

// refOf is the document that an address names.
func refOf(r *http.Request) (archive.Ref, error) {
	kind, ok := kinds[r.PathValue("kind")]
	if !ok {
		return archive.Ref{}, notFound("there is no such address")
	}
	return archive.Ref{Kind: kind, ID: r.PathValue("id")}, nil
}

// list answers with the documents of a kind.
func (s *Server) list(w http.ResponseWriter, r *http.Request) error {
	ref, err := refOf(r)
	if err != nil {
		return err
	}
	all, err := s.Archive.List(r.Context(), ref.Kind)
	if err != nil {
		return err
	}
	gone := r.URL.Query().Get("gone") == "1"
	all = slices.DeleteFunc(all, func(v archive.Version) bool { return v.Gone && !gone })
	if ref.Kind == archive.Case {
		return s.listCases(w, r, all)
	}
	items := []version{}
	for _, v := range all {
		items = append(items, versionOf(v))
	}
	writeJSON(w, http.StatusOK, itemsOf(items))
	return nil
}

// itemsOf is the frame of every list.
func itemsOf[T any](list []T) any {
	return struct {
		Items []T `json:"items"`
	}{list}
}

// caseItem is a case in a list.
type caseItem struct {
	version
	Plans int       `json:"plans"`
	Last  *lastPlan `json:"last_plan"`
}

type lastPlan struct {
	ID      string `json:"id"`
	Made    string `json:"made"`
	Verdict string `json:"verdict"`
	Route   string `json:"route"`
	Finish  string `json:"finish"`
}

func (s *Server) listCases(w http.ResponseWriter, r *http.Request, all []archive.Version) error {
	items := []caseItem{}
	for _, v := range all {
		plans, err := s.Archive.Plans(r.Context(), v.ID)
		if err != nil {
			return err
		}
		item := caseItem{version: versionOf(v), Plans: len(plans)}
		if len(plans) > 0 {
			p := plans[0]
			item.Last = &lastPlan{p.ID, timeOf(p.Made), p.Verdict, p.Route, p.Finish}
		}
		items = append(items, item)
	}
	writeJSON(w, http.StatusOK, itemsOf(items))
	return nil
}

// get answers with a document, or an older version of it.
func (s *Server) get(w http.ResponseWriter, r *http.Request) error {
	ref, err := refOf(r)
	if err != nil {
		return err
	}
	if text := r.URL.Query().Get("version"); text != "" {
		if ref.Version, err = strconv.Atoi(text); err != nil || ref.Version < 1 {
			return badRequest("the version %q is no number from 1", text)
		}
	}
	d, err := s.version(r.Context(), ref)
	if err != nil {
		return err
	}
	return s.show(w, r, http.StatusOK, d)
}

// show answers with a document.
func (s *Server) show(w http.ResponseWriter, r *http.Request, status int, d archive.Document) error {
	out := document{version: versionOf(d.Version), Text: string(d.Text)}
	if tree, ok := s.Forms.Read(d.Text); ok {
		out.Tree = tree
	}
	rows, err := s.Archive.History(r.Context(), d.Kind, d.ID)
	if err != nil {
		return err
	}
	if head := rows[len(rows)-1]; head.Version == d.Version.Version {
		out.CanUndo, out.CanRedo = rows[head.Of-1].Before > 0, archive.After(rows) > 0
	}
	writeJSON(w, status, out)
	return nil
}

// showHead answers with a document that was just saved.
func (s *Server) showHead(w http.ResponseWriter, r *http.Request, status int, v archive.Version) error {
	s.hub.saved(v.Seq)
	d, err := s.Archive.At(r.Context(), v.Ref)
	if err != nil {
		return err
	}
	return s.show(w, r, status, d)
}

// saving is the body of a save.
type saving struct {
	ID    string          `json:"id"`
	Base  int             `json:"base"`
	Title string          `json:"title"` // of a shelf or house file; a case is called by its code
	Tree  json.RawMessage `json:"tree"`
	Text  *string         `json:"text"`
	Looks []string        `json:"second_look"`
}

// content is the text of a save, checked: every fault is an error.
func (s *Server) content(ctx context.Context, kind archive.Kind, in *saving) (t *text, title string, err error) {
	if t, err = s.textOf(ctx, kind, &source{Tree: in.Tree, Text: in.Text}); err != nil {
		return nil, "", err
	}
	title, faults := s.readable(kind, t)
	if len(faults) > 0 {
		return nil, "", faulty(faults)
	}
	if kind != archive.Case && kind != archive.Practice {
		title = in.Title
	}
	return t, title, nil
}

// create makes a new document.
func (s *Server) create(w http.ResponseWriter, r *http.Request) error {
	ref, err := refOf(r)
	if err != nil {
		return err
	}
	var in saving
	if err := body(r, &in); err != nil {
		return err
	}
	t, title, err := s.content(r.Context(), ref.Kind, &in)
	if err != nil {
		return err
	}
	if title == "" {
		title = untitled[ref.Kind]
	}
	if err := s.secondLook(t.data, nil, title, in.Looks); err != nil {
		return err
	}
	s.saves.Lock()
	defer s.saves.Unlock()
	id, there, err := s.newID(r.Context(), ref.Kind, in.ID, title, t.data)
	if err != nil {
		return err
	}
	if there != nil {
		return s.showHead(w, r, http.StatusCreated, *there)
	}
	v, err := s.Archive.Save(r.Context(), archive.Draft{Kind: ref.Kind, ID: id, Title: title, Text: t.data})
	if err != nil {
		return s.explained(r.Context(), err, t.data)
	}
	return s.showHead(w, r, http.StatusCreated, v)
}

// untitled is what documents without a title are called.
var untitled = map[archive.Kind]string{archive.Shelf: "Shelf", archive.House: "House rules", archive.Case: "Case", archive.Practice: "Practice"}

// newID finds the id of a new document: the one that was given, or one made of its
// title, so that a request that is sent twice makes one document. there is the document
// where it was made already.
func (s *Server) newID(ctx context.Context, kind archive.Kind, given, title string, data []byte) (id string, there *archive.Version, err error) {
	all, err := s.Archive.List(ctx, kind)
	if err != nil {
		return "", nil, err
	}
	used := map[string]bool{}
	for _, v := range all {
		used[v.ID] = true
		if v.Gone || v.Title != title || v.ID == given {
			continue
		}
		d, err := s.Archive.Head(ctx, kind, v.ID)
		if err != nil {
			return "", nil, err
		}
		if given == "" && string(d.Text) == string(data) {
			return "", &d.Version, nil
		}
		return "", nil, taken(kind, title)
	}
	if given != "" {
		return given, nil, nil
	}
	base := slug(title)
	for id, n := base, 2; ; id, n = fmt.Sprintf("%s-%d", base, n), n+1 {
		if !used[id] {
			return id, nil, nil
		}
	}
}

func taken(kind archive.Kind, title string) error {
	what := "give it another title"
	if kind == archive.Case {
		what = "give the case another code, or open the one that is there"
	}
	return &Error{Kind: Taken, Says: fmt.Sprintf("there is another %s called “%s”", kind, title), Hint: what}
}

// slug makes an id of a title: what can't stand in one becomes a hyphen.
func slug(title string) string {
	var b strings.Builder
	for _, c := range title {
		switch {
		case unicode.IsLetter(c), unicode.IsMark(c), unicode.IsDigit(c), c == '_':
			b.WriteRune(c)
		case !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
		if utf8.RuneCountInString(b.String()) >= archive.MostID-8 { // room for a number behind it
			break
		}
	}
	if id := strings.Trim(b.String(), "-"); archive.ValidID(id) {
		return id
	}
	return "untitled"
}

// put saves the next version of a document.
func (s *Server) put(w http.ResponseWriter, r *http.Request) error {
	ref, err := refOf(r)
	if err != nil {
		return err
	}
	var in saving
	if err := body(r, &in); err != nil {
		return err
	}
	if in.ID != "" && in.ID != ref.ID {
		return badRequest("the address and the body name different documents")
	}
	head, err := s.Archive.Head(r.Context(), ref.Kind, ref.ID)
	if err != nil {
		return err
	}
	t, title, err := s.content(r.Context(), ref.Kind, &in)
	if err != nil {
		return err
	}
	if title == "" {
		title = head.Title
	}
	if err := s.secondLook(t.data, head.Text, title, in.Looks); err != nil {
		return err
	}
	s.saves.Lock()
	defer s.saves.Unlock()
	return s.saveNext(w, r, head, &in, t, title)
}

func (s *Server) saveNext(w http.ResponseWriter, r *http.Request, head archive.Document, in *saving, t *text, title string) error {
	ctx := r.Context()
	if !t.textual && title == head.Title && !head.Gone && same(s.leaves(head.Text), s.leaves(t.data)) {
		return s.show(w, r, http.StatusOK, head)
	}
	before := head
	if head.Gone { // a save brings it back, and its title may have been taken meanwhile
		before.Title = ""
	}
	if err := s.free(ctx, before, title); err != nil {
		return err
	}
	data := t.data
	if head.Kind == archive.Shelf && !t.textual {
		data = s.withRemarks(head.Text, data)
	}
	v, err := s.Archive.Save(ctx, archive.Draft{Kind: head.Kind, ID: head.ID, Title: title, Base: in.Base, Text: data})
	if err != nil {
		return s.explained(ctx, err, t.data)
	}
	return s.showHead(w, r, http.StatusOK, v)
}

// free refuses a title that another open document has.
func (s *Server) free(ctx context.Context, d archive.Document, title string) error {
	if title == d.Title {
		return nil
	}
	all, err := s.Archive.List(ctx, d.Kind)
	if err != nil {
		return err
	}
	for _, v := range all {
		if v.ID != d.ID && v.Title == title && !v.Gone {
			return taken(d.Kind, title)
		}
	}
	return nil
}

// withRemarks carries what a tree changed into the text that somebody wrote, so that
// remarks and layout stay; where that can't be, it is the tree's own text.
func (s *Server) withRemarks(old, data []byte) []byte {
	want, faults := s.Files.ReadShelf("shelf", data)
	if len(faults) > 0 {
		return data
	}
	edited, _, faults := s.Shelves.EditShelf("shelf", old, want)
	if len(faults) > 0 || !same(s.Forms.Leaves(edited), s.Forms.Leaves(data)) {
		return data
	}
	return edited
}

// history answers with the versions of a document, newest first, at most mostHistory of
// them before ?before.
func (s *Server) history(w http.ResponseWriter, r *http.Request) error {
	ref, err := refOf(r)
	if err != nil {
		return err
	}
	rows, err := s.Archive.History(r.Context(), ref.Kind, ref.ID)
	if err != nil {
		return err
	}
	last := len(rows)
	if text := r.URL.Query().Get("before"); text != "" {
		n, err := strconv.Atoi(text)
		if err != nil || n < 1 {
			return badRequest("the version %q is no number from 1", text)
		}
		last = min(last, n-1)
	}
	items := []historyItem{}
	for i := last - 1; i >= max(0, last-mostHistory); i-- {
		changed, err := s.changedIn(r.Context(), rows, i)
		if err != nil {
			return err
		}
		items = append(items, historyItem{versionOf(rows[i]), changed})
	}
	writeJSON(w, http.StatusOK, itemsOf(items))
	return nil
}

// mostHistory is how many versions one answer lists.
const mostHistory = 100

type historyItem struct {
	version
	Changed []string `json:"changed"`
}

// changedIn lists the paths that differ between a version and the one before it.
func (s *Server) changedIn(ctx context.Context, rows []archive.Version, i int) ([]string, error) {
	if i == 0 {
		return []string{}, nil
	}
	var leaves [2][]Leaf
	for k, v := range rows[i-1 : i+1] {
		d, err := s.Archive.At(ctx, v.Ref)
		if err != nil {
			return nil, err
		}
		leaves[k] = s.leaves(d.Text)
	}
	return differing(leaves[0], leaves[1]), nil
}

// based is the body of what makes a next version without a text.
type based struct {
	Base    int `json:"base"`
	Version int `json:"version"`
}

// step makes a handler of what undoes or redoes.
func (s *Server) step(move func(context.Context, archive.Archive, archive.Kind, string, int) (archive.Version, bool, error), nothing string) func(http.ResponseWriter, *http.Request) error {
	return func(w http.ResponseWriter, r *http.Request) error {
		ref, in, err := basedOf(r)
		if err != nil {
			return err
		}
		v, ok, err := move(r.Context(), s.Archive, ref.Kind, ref.ID, in.Base)
		switch {
		case err != nil:
			return s.explained(r.Context(), err, nil)
		case !ok:
			return &Error{Kind: Nothing, Says: nothing}
		}
		return s.showHead(w, r, http.StatusOK, v)
	}
}

func basedOf(r *http.Request) (ref archive.Ref, in based, err error) {
	if ref, err = refOf(r); err == nil {
		err = body(r, &in)
	}
	return ref, in, err
}

// takeUp makes a next version with the text of an older one.
func (s *Server) takeUp(w http.ResponseWriter, r *http.Request) error {
	ref, in, err := basedOf(r)
	if err != nil {
		return err
	}
	ref.Version = in.Version
	v, err := archive.TakeUp(r.Context(), s.Archive, ref, in.Base, archive.TakenUp)
	if err != nil {
		return s.explained(r.Context(), err, nil)
	}
	return s.showHead(w, r, http.StatusOK, v)
}

func (s *Server) putAway(w http.ResponseWriter, r *http.Request) error { return s.mark(w, r, true) }

func (s *Server) bringBack(w http.ResponseWriter, r *http.Request) error { return s.mark(w, r, false) }

// mark puts a document away or brings it back.
func (s *Server) mark(w http.ResponseWriter, r *http.Request, gone bool) error {
	ref, in, err := basedOf(r)
	if err != nil {
		return err
	}
	s.saves.Lock()
	defer s.saves.Unlock()
	head, err := s.Archive.Head(r.Context(), ref.Kind, ref.ID)
	if err != nil {
		return err
	}
	note := archive.PutAway
	if !gone {
		note = archive.Brought
		other := head
		other.Title = "" // its own title may have been taken meanwhile
		if err := s.free(r.Context(), other, head.Title); head.Gone && err != nil {
			return err
		}
	}
	v, err := s.Archive.Save(r.Context(), archive.Draft{Kind: ref.Kind, ID: ref.ID, Title: head.Title, Base: in.Base, Note: note, Gone: gone, Text: head.Text})
	if err != nil {
		return s.explained(r.Context(), err, nil)
	}
	return s.showHead(w, r, http.StatusOK, v)
}

// file answers with the file itself.
func (s *Server) file(w http.ResponseWriter, r *http.Request) error {
	ref, err := refOf(r)
	if err != nil {
		return err
	}
	d, err := s.Archive.Head(r.Context(), ref.Kind, ref.ID)
	if err != nil {
		return err
	}
	download(w, d.Title, ".yaml")
	writeRaw(w, http.StatusOK, "application/yaml; charset=utf-8", d.Text)
	return nil
}

// download names the file that an answer is to be saved as.
func download(w http.ResponseWriter, title, ext string) {
	w.Header().Set("Content-Disposition", mime.FormatMediaType("attachment", map[string]string{"filename": slug(title) + ext}))
}

// newCase answers with a case to fill in.
func (s *Server) newCase(w http.ResponseWriter, r *http.Request) error {
	writeRaw(w, http.StatusOK, "application/json; charset=utf-8",
		[]byte(`{"tree":{"schema":"`+s.Forms.Schemas()[archive.Case]+`","case":"","target":{},"access":{"donor_guide":{},"antegrade_guide":{}},"routes":[]}}`))
	return nil
}

// newShelf answers with the made-up shelf, to try things out with.
func (s *Server) newShelf(w http.ResponseWriter, _ *http.Request) error {
	writeJSON(w, http.StatusOK, map[string]string{"text": string(s.Practices.DemoShelf())})
	return nil
}

// checking is the body of a check.
type checking struct {
	Kind  archive.Kind    `json:"kind"`
	Tree  json.RawMessage `json:"tree"`
	Text  *string         `json:"text"`
	Shelf string          `json:"shelf"`
}

// check says what is wrong with a document; nothing is stored.
func (s *Server) check(w http.ResponseWriter, r *http.Request) error {
	var in checking
	if err := body(r, &in); err != nil {
		return err
	}
	if !slices.Contains(archive.Kinds, in.Kind) {
		return badRequest("the kind %q is none of case, shelf and house", in.Kind)
	}
	t, err := s.textOf(r.Context(), in.Kind, &source{Tree: in.Tree, Text: in.Text})
	if err != nil {
		return err
	}
	_, faults := s.readable(in.Kind, t)
	if in.Kind == archive.Case && in.Shelf != "" && len(faults) == 0 {
		if faults, err = s.pinned(r.Context(), t, in.Shelf); err != nil {
			return err
		}
	}
	answer := checked{Faults: append([]Fault{}, faults...), Warnings: []Warning{}}
	if len(faults) == 0 {
		answer.Warnings = append(answer.Warnings, s.warnings(t.data)...)
	}
	writeJSON(w, http.StatusOK, answer)
	return nil
}

type checked struct {
	Faults   []Fault   `json:"faults"`
	Warnings []Warning `json:"warnings"`
}

// pinned reads a case with a stored shelf: what it pins must be there.
func (s *Server) pinned(ctx context.Context, t *text, id string) ([]Fault, error) {
	st, err := s.textOf(ctx, archive.Shelf, &source{ID: id})
	if err != nil {
		return nil, err
	}
	shelf, faults := s.shelf(st)
	if shelf == nil {
		return faults, nil
	}
	_, faults = s.caseOf(t, shelf)
	return faults, nil
}

// explained adds to a conflict what the two have changed; yours is nil where nothing was
// to be changed.
func (s *Server) explained(ctx context.Context, err error, yours []byte) error {
	var conflict *archive.Conflict
	if !errors.As(err, &conflict) {
		return err
	}
	e := errorOf(err)
	head := conflict.Head
	theirs, err := s.Archive.At(ctx, head.Ref)
	if err != nil {
		return err
	}
	var base []byte
	if conflict.Base > 0 && conflict.Base < head.Version {
		d, err := s.Archive.At(ctx, archive.Ref{Kind: head.Kind, ID: head.ID, Version: conflict.Base})
		if err != nil {
			return err
		}
		base = d.Text
	}
	if yours == nil {
		yours = base
	}
	e.Conflict.Changes = changes(s.leaves(base), s.leaves(theirs.Text), s.leaves(yours))
	return e
}
