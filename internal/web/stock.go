package web

import (
	"context"
	"net/http"

	"backroad/internal/anatomy"
	"backroad/internal/archive"
	"backroad/internal/gear"
	"backroad/internal/stock"
)

// What runs low and what expires soon where a request does not say, as on the command
// line: with one piece left there is nothing to fall back on.
const (
	lowBelow   = 2  // usable pieces
	soonWithin = 60 // days
)

// stocking is the body of a request for what of a shelf can be used today.
type stocking struct {
	Shelf *source `json:"shelf"`
	Case  *source `json:"case"` // whose reservations count as its own; null: nobody's
}

// stockItem is what of one item can be used today.
type stockItem struct {
	ID       string   `json:"id"`
	OnHand   int      `json:"on_hand"`
	Usable   int      `json:"usable"`
	Expired  int      `json:"expired"`
	Reserved int      `json:"reserved"`
	Mine     int      `json:"mine"`
	Soonest  *string  `json:"soonest"`
	Low      bool     `json:"low"`
	Findings []string `json:"findings"`
}

// stockBatch is pieces of one lot.
type stockBatch struct {
	ID      string `json:"id"`
	Lot     string `json:"lot"`
	Expires string `json:"expires"`
	Count   int    `json:"count"`
}

// stockPage is the state of a shelf on a day.
type stockPage struct {
	Day      string       `json:"day"`
	Below    int          `json:"below"`
	Within   int          `json:"within_days"`
	Items    []stockItem  `json:"items"`
	Expired  []stockBatch `json:"expired"`
	Expiring []stockBatch `json:"expiring"`
}

// stock answers with what of a shelf can be used today, runs low, expires.
func (s *Server) stock(w http.ResponseWriter, r *http.Request) error {
	var in stocking
	if err := body(r, &in); err != nil {
		return err
	}
	if in.Shelf == nil {
		return badRequest("give a shelf")
	}
	t, err := s.textOf(r.Context(), archive.Shelf, in.Shelf)
	if err != nil {
		return err
	}
	code, err := s.codeOf(r.Context(), in.Case)
	if err != nil {
		return err
	}
	out := struct {
		Faults []Fault    `json:"faults"`
		Stock  *stockPage `json:"stock"`
	}{Faults: []Fault{}}
	shelf, faults := s.shelf(t)
	if len(faults) > 0 {
		out.Faults = faults
	} else {
		out.Stock = stockOf(shelf, s.Today(), code)
	}
	writeJSON(w, http.StatusOK, out)
	return nil
}

// codeOf is the code of a case, "" where it is not given or can't be read: the shelf is
// then seen as nobody's case sees it.
func (s *Server) codeOf(ctx context.Context, src *source) (string, error) {
	if src == nil {
		return "", nil
	}
	t, err := s.textOf(ctx, archive.Case, src)
	if err != nil {
		return "", err
	}
	var c *anatomy.Case
	if c, _ = s.caseOf(t, nil); c == nil {
		return "", nil
	}
	return c.Code, nil
}

func stockOf(shelf *gear.Shelf, day stock.Day, code string) *stockPage {
	limits := stock.Limits{Below: lowBelow}
	p := &stockPage{Day: day.String(), Below: lowBelow, Within: soonWithin, Items: []stockItem{},
		Expired: batchesOf(stock.Expired(shelf, day)), Expiring: batchesOf(stock.Expiring(shelf, day, soonWithin))}
	for i := range shelf.Items {
		it := &shelf.Items[i]
		c := stock.Look(it, day, code)
		line := stockItem{ID: it.ID, OnHand: c.OnHand, Usable: c.Usable, Expired: c.Expired, Reserved: c.Reserved, Mine: c.Mine,
			Low: limits.IsLow(it, c.Usable), Findings: append([]string{}, c.Findings...)}
		if c.HasSoonest {
			day := c.Soonest.String()
			line.Soonest = &day
		}
		p.Items = append(p.Items, line)
	}
	return p
}

func batchesOf(list []stock.Batch) []stockBatch {
	out := []stockBatch{}
	for _, b := range list {
		out = append(out, stockBatch(b))
	}
	return out
}
