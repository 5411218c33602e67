package web

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"net/http"

	"backroad/internal/archive"
	"backroad/internal/rail"
)

// keeping is the body of a request to keep a plan.
type keeping struct {
	Base   int      `json:"base"`
	Shelf  *stored  `json:"shelf"`
	House  *stored  `json:"house"`
	Events []string `json:"events"`
	Show   *naming  `json:"show"`
}

// stored names a document of the archive; version 0 is the newest.
type stored struct {
	ID      string `json:"id"`
	Version int    `json:"version"`
}

func (st *stored) source() *source {
	if st == nil {
		return nil
	}
	return &source{ID: st.ID, Version: st.Version}
}

// keptPlan is a kept plan in a list.
type keptPlan struct {
	ID          string   `json:"id"`
	Made        string   `json:"made"`
	Case        used     `json:"case"`
	Shelf       used     `json:"shelf"`
	House       *used    `json:"house"` // null: the built-in defaults
	Program     string   `json:"program"`
	Day         string   `json:"day"`
	Events      []string `json:"events"`
	Route       string   `json:"route"`
	Finish      string   `json:"finish"`
	TreatOver   string   `json:"treat_over"`
	Verdict     string   `json:"verdict"`
	Probability *float64 `json:"probability"`
}

// wholePlan is a kept plan with what was shown when it was made.
type wholePlan struct {
	keptPlan
	Plan json.RawMessage `json:"plan"`
}

func keptOf(p archive.Plan) keptPlan {
	k := keptPlan{ID: p.ID, Made: timeOf(p.Made), Case: used{p.Case.ID, p.Case.Version}, Shelf: used{p.Shelf.ID, p.Shelf.Version},
		Program: p.Program, Day: p.Day, Events: append([]string{}, p.Events...), Route: p.Route, Finish: p.Finish, TreatOver: p.TreatOver, Verdict: p.Verdict}
	if p.House.Version > 0 {
		k.House = &used{p.House.ID, p.House.Version}
	}
	if !p.NoP {
		k.Probability = &p.P
	}
	return k
}

// keep makes the plan of a case from stored versions and keeps it.
func (s *Server) keep(w http.ResponseWriter, r *http.Request) error {
	var in keeping
	if err := body(r, &in); err != nil {
		return err
	}
	if in.Shelf == nil || in.Shelf.ID == "" || in.House != nil && in.House.ID == "" {
		return badRequest("a plan is kept with a stored shelf and, where there is one, a stored house file: name their ids")
	}
	head, err := s.Archive.Head(r.Context(), archive.Case, r.PathValue("id"))
	if err != nil {
		return err
	}
	if head.Version.Version != in.Base {
		return s.explained(r.Context(), &archive.Conflict{Base: in.Base, Head: head.Version}, nil)
	}
	p, err := s.makeKept(r.Context(), &in, head)
	if err != nil {
		return err
	}
	kept, err := s.Archive.KeepPlan(r.Context(), *p)
	if err != nil {
		return err
	}
	s.hub.saved(kept.Seq)
	writeJSON(w, http.StatusCreated, wholePlan{keptOf(kept), kept.JSON})
	return nil
}

// makeKept plans and prints all that is kept.
func (s *Server) makeKept(ctx context.Context, in *keeping, head archive.Document) (*archive.Plan, error) {
	ask := &asking{Case: &source{ID: head.ID, Version: in.Base}, Shelf: in.Shelf.source(), House: in.House.source(), Events: in.Events, Show: in.Show}
	rd, page, err := s.planned(ctx, ask)
	if err != nil {
		return nil, err
	}
	pdf, err := s.card("pdf", rd, page)
	if err != nil {
		return nil, err
	}
	html, err := s.card("html", rd, page)
	if err != nil {
		return nil, err
	}
	shown, err := s.pageJSON(page)
	if err != nil {
		return nil, err
	}
	best := page.Shown
	p := &archive.Plan{Case: head.Ref, Shelf: rd.texts.shelf.ref, House: archive.Ref{Kind: archive.House},
		Program: s.Version, Day: s.Today().String(), Events: rd.written(), Route: best.Route, Finish: string(best.Finish), TreatOver: string(best.TreatOver),
		Verdict: best.Verdict.String(), P: float64(best.P), NoP: best.NoP, JSON: shown, PDF: pdf, HTML: html}
	if rd.texts.house != nil {
		p.House = rd.texts.house.ref
	}
	p.ID = planID(p)
	return p, nil
}

// written are the events as they are kept: as they would be asked for again.
func (rd *read) written() []string {
	var list []string
	for _, e := range rd.in.Events {
		if e.Kind == rail.Sighting {
			list = append(list, e.String())
		} else {
			list = append(list, "moved "+e.String())
		}
	}
	return list
}

// planID is made of all that a plan was made from, so that one that is kept twice is
// there once.
func planID(p *archive.Plan) string {
	of := *p
	of.JSON, of.PDF, of.HTML = nil, nil, nil
	sum := sha256.Sum256(oneLine(of))
	return hex.EncodeToString(sum[:12])
}

// kept lists the kept plans of a case.
func (s *Server) kept(w http.ResponseWriter, r *http.Request) error {
	id := r.PathValue("id")
	if _, err := s.Archive.Head(r.Context(), archive.Case, id); err != nil {
		return err
	}
	plans, err := s.Archive.Plans(r.Context(), id)
	if err != nil {
		return err
	}
	items := []keptPlan{}
	for _, p := range plans {
		items = append(items, keptOf(p))
	}
	writeJSON(w, http.StatusOK, itemsOf(items))
	return nil
}

// keptPlan answers with a kept plan as it was.
func (s *Server) keptPlan(w http.ResponseWriter, r *http.Request) error {
	p, err := s.Archive.Plan(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	writeJSON(w, http.StatusOK, wholePlan{keptOf(p), p.JSON})
	return nil
}

// What the two forms of a card may load: nothing; the page has its style in itself.
const (
	htmlPolicy = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'; frame-ancestors 'self'"
	pdfPolicy  = "default-src 'none'; object-src 'self'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'; frame-ancestors 'self'"
)

func (s *Server) keptPDF(w http.ResponseWriter, r *http.Request) error {
	return s.keptCard(w, r, "application/pdf", ".pdf", pdfPolicy, func(p *archive.Plan) []byte { return p.PDF })
}

func (s *Server) keptHTML(w http.ResponseWriter, r *http.Request) error {
	return s.keptCard(w, r, "text/html; charset=utf-8", ".html", htmlPolicy, func(p *archive.Plan) []byte { return p.HTML })
}

// keptCard answers with a card as it was made; with ?download=1 it is to be saved.
func (s *Server) keptCard(w http.ResponseWriter, r *http.Request, media, ext, policy string, part func(*archive.Plan) []byte) error {
	p, err := s.Archive.Plan(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	h := w.Header()
	h.Set("Content-Security-Policy", policy)
	h.Set("X-Frame-Options", "SAMEORIGIN")
	if r.URL.Query().Get("download") == "1" {
		download(w, p.Case.ID+"-brief-card", ext)
	}
	writeRaw(w, http.StatusOK, media, part(&p))
	return nil
}
