package shelffile

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"backroad/internal/gear"

	"go.yaml.in/yaml/v4"
)

// fine changes the count, the lots and the reservations of an item where they stand. ok
// is false where something else changed, or the layout does not allow it.
func (e *editor) fine(i int) ([]patch, bool) {
	n, have, want := e.list.Content[i], e.have.Items[i], e.want.Items[i]
	have.OnHand, have.Lots, have.Reserved = want.OnHand, want.Lots, want.Reserved
	key, count := keyOf(n, "on_hand")
	if !sameItem(&have, &want) || key == nil {
		return nil, false
	}
	end, ok := e.end(count)
	if !ok {
		return nil, false
	}
	p := []patch{{e.start(count), end, strconv.Itoa(want.OnHand)}}
	for _, l := range []*listEdit{
		{"lots", lotEntries(e.have.Items[i].Lots), lotEntries(want.Lots)},
		{"reserved", reservedEntries(e.have.Items[i].Reserved), reservedEntries(want.Reserved)},
	} {
		more, ok := e.changeList(n, key, end, l)
		if !ok {
			return nil, false
		}
		p = append(p, more...)
	}
	return p, true
}

// keyOf finds a key of a group, and its value.
func keyOf(n *yaml.Node, name string) (key, value *yaml.Node) {
	for i := 0; i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == name {
			return n.Content[i], n.Content[i+1]
		}
	}
	return nil, nil
}

// entry is a lot or a reservation: what it says besides its count, the count, and all
// of it in the tidy form.
type entry struct {
	name  string
	count int
	text  string
}

// listEdit is a change of the list at a key.
type listEdit struct {
	key       string
	have, now []entry
}

func lotEntries(lots []gear.Lot) []entry {
	list := make([]entry, len(lots))
	for i, l := range lots {
		list[i] = entry{l.Lot + "\x00" + l.Expires, l.Count, listText("lots", gear.Item{Lots: lots[i : i+1]})}
	}
	return list
}

func reservedEntries(reserved []gear.Reservation) []entry {
	list := make([]entry, len(reserved))
	for i, r := range reserved {
		list[i] = entry{r.Case, r.Count, listText("reserved", gear.Item{Reserved: reserved[i : i+1]})}
	}
	return list
}

// listText is the tidy form of a list of one entry, without the brackets.
func listText(key string, it gear.Item) string {
	it.ID, it.Class = "x", gear.Clip
	text := strings.TrimPrefix(tidyItem(&it), "{id: x, class: clip, on_hand: 0, "+key+": [")
	return strings.TrimSuffix(text, "]}")
}

func joined(entries []entry) string {
	list := make([]string, len(entries))
	for i, x := range entries {
		list[i] = x.text
	}
	return strings.Join(list, ", ")
}

// changeList changes one list of an item; onHand is the key `on_hand` and end the place
// behind its value, where a list that is not there yet goes.
func (e *editor) changeList(item, onHand *yaml.Node, end int, l *listEdit) ([]patch, bool) {
	if slices.Equal(l.have, l.now) {
		return nil, true
	}
	key, value := keyOf(item, l.key)
	switch {
	case key == nil && item.Style&yaml.FlowStyle != 0:
		return []patch{{end, end, fmt.Sprintf(", %s: [%s]", l.key, joined(l.now))}}, true
	case key == nil:
		at := e.lineEnd(end)
		return []patch{{at, at, e.eol + strings.Repeat(" ", onHand.Column-1) + fmt.Sprintf("%s: [%s]", l.key, joined(l.now))}}, true
	case len(l.now) == 0:
		return e.without(item, key, value)
	}
	if p, ok := e.counts(value, l); ok {
		return p, true
	}
	if value.Style&yaml.FlowStyle == 0 {
		return e.blockList(value, l)
	}
	to, ok := e.end(value)
	if !ok || len(e.remarks(value, e.start(value), to)) > 0 {
		return nil, false
	}
	return []patch{{e.start(value), to, "[" + joined(l.now) + "]"}}, true
}

// counts changes the counts of entries that are otherwise the same.
func (e *editor) counts(list *yaml.Node, l *listEdit) ([]patch, bool) {
	if len(l.have) != len(l.now) {
		return nil, false
	}
	var patches []patch
	for i, x := range l.now {
		p, ok := e.count(list.Content[i], l.have[i], x)
		if !ok {
			return nil, false
		}
		patches = append(patches, p...)
	}
	return patches, true
}

// count changes the count of one entry in its place.
func (e *editor) count(n *yaml.Node, have, now entry) ([]patch, bool) {
	if have == now {
		return nil, true
	}
	_, value := keyOf(n, "count")
	if have.name != now.name || value == nil || now.count == 0 {
		return nil, false
	}
	to, ok := e.end(value)
	return []patch{{e.start(value), to, strconv.Itoa(now.count)}}, ok
}

// blockList changes a list that is written in lines: entries that are no longer there
// go with their lines, new ones get a line at the end.
func (e *editor) blockList(list *yaml.Node, l *listEdit) ([]patch, bool) {
	var patches []patch
	next := 0
	for i, old := range l.have {
		if next < len(l.now) && l.now[next].name == old.name {
			p, ok := e.count(list.Content[i], old, l.now[next])
			if !ok {
				return nil, false
			}
			patches = append(patches, p...)
			next++
			continue
		}
		p, ok := e.lineGone(list.Content[i])
		if !ok {
			return nil, false
		}
		patches = append(patches, p)
	}
	last, ok := e.lastOf(list)
	at := e.lineEnd(last)
	for _, x := range l.now[next:] {
		patches = append(patches, patch{at, at, e.eol + strings.Repeat(" ", list.Column-1) + "- " + x.text})
	}
	return patches, ok
}

// lineGone takes away the lines of one entry; only where no remark goes with them.
func (e *editor) lineGone(n *yaml.Node) (patch, bool) {
	last, ok := e.lastOf(n)
	from, to := e.lineStart(e.start(n)), e.lineEnd(last)
	if !ok || len(e.remarks(n, from, to)) > 0 {
		return patch{}, false
	}
	return patch{max(0, from-len(e.eol)), to, ""}, true
}

// lastOf is the place behind the last value in a node.
func (e *editor) lastOf(n *yaml.Node) (int, bool) {
	if end, ok := e.end(n); ok || len(n.Content) == 0 {
		return end, ok
	}
	return e.lastOf(n.Content[len(n.Content)-1])
}

// without takes a key and its value away.
func (e *editor) without(item, key, value *yaml.Node) ([]patch, bool) {
	to, ok := e.lastOf(value)
	from := e.start(key)
	if !ok || len(e.remarks(value, from, e.lineEnd(to))) > 0 {
		return nil, false
	}
	if item.Style&yaml.FlowStyle != 0 {
		before := strings.TrimRight(string(e.data[:from]), " \t\r\n")
		if !strings.HasSuffix(before, ",") {
			return nil, false
		}
		return []patch{{len(before) - 1, to, ""}}, true
	}
	begin := e.lineStart(from)
	if strings.Trim(string(e.data[begin:from]), " ") != "" {
		return nil, false
	}
	return []patch{{begin - len(e.eol), e.lineEnd(to), ""}}, true
}
