package suite

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"backroad/internal/archive"
)

// model is an archive as the laws of package archive say it, in the slowest way: one
// list of everything that was ever added. It shares no code with the stores, and not the
// rule of saving (archive.Draft.Next) either.
type model struct {
	rows  []archive.Document
	plans []archive.Plan
	order []archive.Change
	clock func() archive.Time
}

// of lists the versions of a document.
func (m *model) of(kind archive.Kind, id string) (rows []archive.Document) {
	for _, r := range m.rows {
		if r.Kind == kind && r.ID == id {
			rows = append(rows, r)
		}
	}
	return rows
}

// save answers what a save should answer: "" and the version, "conflict" or "missing".
func (m *model) save(d archive.Draft) (archive.Version, string) {
	rows := m.of(d.Kind, d.ID)
	n := len(rows)
	if n > 0 {
		head := rows[n-1]
		if bytes.Equal(head.Text, d.Text) && head.Title == d.Title && head.Gone == d.Gone {
			return head.Version, ""
		}
	}
	switch {
	case n == 0 && d.Base != 0:
		return archive.Version{}, "missing"
	case d.Base != n:
		return rows[n-1].Version, "conflict"
	}
	v := archive.Version{Ref: archive.Ref{Kind: d.Kind, ID: d.ID, Version: n + 1}, Title: d.Title, Note: d.Note, Gone: d.Gone, Bytes: len(d.Text), Of: n + 1}
	if n > 0 {
		v.Before = rows[n-1].Of
	}
	if d.Note == "" && n == 0 {
		v.Note = "new"
	} else if d.Note == "" {
		v.Note = "edited"
	}
	if d.Of > 0 {
		if d.Of > n {
			return archive.Version{}, "missing"
		}
		v.Of, v.Before = rows[d.Of-1].Of, rows[d.Of-1].Before
	}
	v.Seq, v.Saved = int64(len(m.order)+1), m.clock()
	m.rows = append(m.rows, archive.Document{Version: v, Text: bytes.Clone(d.Text)})
	m.order = append(m.order, archive.Change{Seq: v.Seq, Kind: d.Kind, ID: d.ID, Version: n + 1})
	return v, ""
}

func (m *model) keep(p archive.Plan) (archive.Plan, string) {
	for _, there := range m.plans {
		if there.ID == p.ID {
			return there, ""
		}
	}
	for _, ref := range []archive.Ref{p.Case, p.Shelf, p.House} {
		if ref.Version > len(m.of(ref.Kind, ref.ID)) {
			return p, "missing"
		}
	}
	p.Seq, p.Made = int64(len(m.order)+1), m.clock()
	m.plans = append(m.plans, p)
	m.order = append(m.order, archive.Change{Seq: p.Seq, ID: p.Case.ID, Plan: p.ID})
	return p, ""
}

// dump is what an archive should show.
func (m *model) dump() dump {
	d := dump{Changes: m.order, Documents: map[archive.Kind]map[string][]archive.Document{}, Lists: map[archive.Kind][]archive.Version{}, Plans: map[string][]archive.Plan{}, Whole: map[string]archive.Plan{}}
	for _, kind := range archive.Kinds {
		d.Documents[kind], d.Lists[kind] = map[string][]archive.Document{}, nil
	}
	for _, r := range m.rows {
		d.Documents[r.Kind][r.ID] = append(d.Documents[r.Kind][r.ID], r)
	}
	for kind, docs := range d.Documents {
		for _, rows := range docs {
			d.Lists[kind] = append(d.Lists[kind], rows[len(rows)-1].Version)
		}
		slices.SortFunc(d.Lists[kind], func(x, y archive.Version) int { return cmp.Compare(y.Seq, x.Seq) })
	}
	for _, p := range slices.Backward(m.plans) {
		d.Whole[p.ID] = p
		p.JSON, p.PDF, p.HTML = nil, nil, nil
		d.Plans[p.Case.ID] = append(d.Plans[p.Case.ID], p)
	}
	return d
}

// TestModel: after every one of many random calls, answers and contents are those of the
// model. A store that numbers with gaps (which the laws allow) would fail here: none does.
func TestModel(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	each(t, func(t *testing.T, p place) {
		random := rand.New(rand.NewPCG(seed, 1))
		modelClock := ticking()
		m := &model{clock: modelClock}
		a := p.openedWith(t, ticking())
		for n := range 150 {
			var step string
			if random.IntN(5) == 0 {
				step = keepBoth(t, random, m, a)
			} else {
				step = saveBoth(t, random, m, a)
			}
			if n%25 == 0 || n == 149 {
				same(t, fmt.Sprintf("after call %d, %s", n, step), m.dump(), dumped(t, a))
			}
		}
		if p.lasts {
			a.Close()
			same(t, "after opening it again", m.dump(), dumped(t, p.opened(t)))
		}
	})
}

func saveBoth(t *testing.T, random *rand.Rand, m *model, a archive.Archive) string {
	kind := archive.Kinds[random.IntN(len(archive.Kinds))]
	id := string(rune('a' + random.IntN(3)))
	rows := m.of(kind, id)
	d := archive.Draft{Kind: kind, ID: id, Title: strings.Repeat("T", random.IntN(2)), Base: len(rows), Gone: random.IntN(6) == 0, Text: []byte(strings.Repeat("x", random.IntN(4)))}
	switch random.IntN(8) {
	case 0:
		d.Base = random.IntN(len(rows) + 2)
	case 1:
		d.Note = archive.Imported
	case 2, 3:
		if len(rows) > 0 {
			old := rows[random.IntN(len(rows))]
			d.Of, d.Note, d.Text, d.Title, d.Gone = old.Ref.Version, archive.Undone, old.Text, old.Title, old.Gone
		}
	}
	step := fmt.Sprintf("%+v", d)
	want, refusal := m.save(d)
	got, err := a.Save(ctx, d)
	switch refusal {
	case "":
		if err != nil || got != want {
			t.Fatalf("%s: got %+v, %v; want %+v", step, got, err, want)
		}
	case "conflict":
		if head := conflict(t, err); head != want {
			t.Fatalf("%s: the conflict names %+v, want %+v", step, head, want)
		}
	default:
		if !errors.Is(err, archive.ErrNotFound) {
			t.Fatalf("%s: got %v, want ErrNotFound", step, err)
		}
	}
	return step
}

func keepBoth(t *testing.T, random *rand.Rand, m *model, a archive.Archive) string {
	ref := func(kind archive.Kind) archive.Ref {
		id := string(rune('a' + random.IntN(3)))
		return archive.Ref{Kind: kind, ID: id, Version: 1 + random.IntN(len(m.of(kind, id))+1)}
	}
	plan := kept(fmt.Sprintf("p%d", random.IntN(60)), "", 0, ref(archive.Shelf))
	plan.Case = ref(archive.Case)
	if random.IntN(2) == 0 {
		plan.House = ref(archive.House)
	}
	step := fmt.Sprintf("keep %s of %+v", plan.ID, plan.Case)
	want, refusal := m.keep(plan)
	got, err := a.KeepPlan(ctx, plan)
	if refusal == "missing" {
		notFound(t, step, err)
	} else if err != nil || got.Seq != want.Seq || got.Made != want.Made || got.Case != want.Case {
		t.Fatalf("%s: got %+v, %v; want %+v", step, got, err, want)
	}
	return step
}
