package web_test

import "testing"

// The expected counts are worked out by hand from the shelf file's rules in docs/files.md:
// a lot can be used through the day that stands on it; what is reserved for others is
// theirs. Today is 2026-09-21 in these tests.
func TestStock(t *testing.T) {
	b := open(t)
	item := func(id string, more map[string]any) map[string]any {
		m := map[string]any{"id": id, "class": "clip", "on_hand": "5"}
		for k, v := range more {
			m[k] = v
		}
		return m
	}
	shelf := map[string]any{"tree": map[string]any{"schema": "shelf/1", "items": []any{
		item("A", nil),
		item("B", map[string]any{"lots": []any{
			map[string]any{"lot": "old", "expires": "2026-09-20", "count": "4"},
			map[string]any{"lot": "today", "expires": "2026-09-21", "count": "1"}}}),
		item("C", map[string]any{"reserved": []any{map[string]any{"case": "K-1", "count": "2"}}}),
	}}}
	var got struct {
		Faults []any
		Stock  struct {
			Day   string
			Items []struct {
				ID                    string
				Usable, Expired, Mine int
				Soonest               *string
				Low                   bool
			}
			Expired, Expiring []struct{ ID, Lot string }
		}
	}
	b.post("/api/stock", map[string]any{"shelf": shelf}).is(200, &got)
	if got.Stock.Day != "2026-09-21" || len(got.Stock.Items) != 3 {
		t.Fatalf("got %+v", got)
	}
	a, old, c := got.Stock.Items[0], got.Stock.Items[1], got.Stock.Items[2]
	if a.Usable != 5 || a.Low || a.Soonest != nil {
		t.Errorf("A: %+v, want 5 usable, not low", a)
	}
	if old.Usable != 1 || old.Expired != 4 || !old.Low || old.Soonest == nil || *old.Soonest != "2026-09-21" {
		t.Errorf("B: %+v, want 1 usable, 4 expired, low, soonest today", old)
	}
	if c.Usable != 3 {
		t.Errorf("C: %+v, want 3 usable: 2 are set aside for a case", c)
	}
	if len(got.Stock.Expired) != 1 || got.Stock.Expired[0].Lot != "old" || len(got.Stock.Expiring) != 1 || got.Stock.Expiring[0].Lot != "today" {
		t.Errorf("expired %+v, expiring %+v", got.Stock.Expired, got.Stock.Expiring)
	}

	kase := map[string]any{"tree": map[string]any{"schema": "case/1", "case": "K-1", "access": map[string]any{"donor_guide": map[string]any{}, "antegrade_guide": map[string]any{}},
		"routes": []any{map[string]any{"name": "a", "like": "lad-septal-rca", "channel": map[string]any{"kind": "septal"}}}}}
	b.post("/api/stock", map[string]any{"shelf": shelf, "case": kase}).is(200, &got)
	if c := got.Stock.Items[2]; c.Usable != 5 || c.Mine != 2 {
		t.Errorf("C for K-1: %+v, want 5 usable, 2 of them its own", c)
	}

	b.post("/api/stock", map[string]any{}).fails(400, "request")
	b.post("/api/stock", map[string]any{"shelf": map[string]any{"id": "none"}}).fails(404, "not-found")
	bad := map[string]any{"tree": map[string]any{"schema": "shelf/1", "items": []any{item("A", map[string]any{"on_hand": "many"})}}}
	var faulty struct {
		Faults []struct{ Path string }
		Stock  any
	}
	b.post("/api/stock", map[string]any{"shelf": bad}).is(200, &faulty)
	if len(faulty.Faults) != 1 || faulty.Faults[0].Path != "/items/0/on_hand" || faulty.Stock != nil {
		t.Errorf("got %+v, want one fault at /items/0/on_hand and no stock", faulty)
	}
}
