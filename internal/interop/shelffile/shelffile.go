// Package shelffile reads and writes shelf files (schema shelf/1): what the
// laboratory has, one item a line, by class and dimension.
//
// What a file may be, where a fault stands and the laws R1 to R5 are those of package
// strict. Every item has `id`, `class` and `on_hand`; what else it must and may have
// is the table of its class in classes.go. Ids are unique.
//
// Lengths are effective lengths in millimetres inside. Plausible are 100 to 4000 mm
// for a device, 0 to 4000 mm for a part of one (a balloon, a stent, a tube, a soft
// end), 0.1 to 20 mm for a diameter, 0.1 to 100 mm for a snare's loop. "French" is the
// outer diameter of a guide, the inner of a sheath, a label on an extension.
//
// A snare whose loop is `unknown` has LoopLeast and LoopMost 0. `rx: none` is
// OverWire. `prefer: true` is 1 and `prefer: false` 0. `side_holes: unknown` is nil.
package shelffile

import (
	"backroad/internal/fault"
	"backroad/internal/gear"
	"backroad/internal/interop/strict"
)

// Schema is what the first line of a shelf file says.
const Schema = "shelf/1"

// Decode reads a shelf file. The shelf is nil when there is any fault.
func Decode(file string, data []byte) (*gear.Shelf, fault.List) {
	return strict.Decode(file, data, Schema, shelfKeys)
}

// Encode writes the tidy form of a shelf that Decode could have returned.
func Encode(s *gear.Shelf) []byte {
	return strict.Encode(Schema, shelfKeys, s)
}

var shelfKeys = &strict.Group[gear.Shelf]{
	Keys: []strict.Key[gear.Shelf]{
		strict.Key[gear.Shelf]{Name: "items", Read: readItems, Write: writeItems}.Needed("a list of items"),
	},
	Check: func(r *strict.Reader, n strict.Node, _ *gear.Shelf) { r.Duplicates(n.Key("items"), "id", "id") },
}

func readItems(r *strict.Reader, n strict.Node, s *gear.Shelf) {
	r.ListOf(n, "items", func(entry strict.Node) {
		var it gear.Item
		if keysOf(gear.Class(entry.Key("class").Scalar())).Read(r, entry, &it) && r.Clean() {
			s.Items = append(s.Items, it)
		}
	})
}

func writeItems(s *gear.Shelf) strict.Doc {
	docs := make([]strict.Doc, len(s.Items))
	for i := range s.Items {
		docs[i] = keysOf(s.Items[i].Class).Doc(&s.Items[i])
	}
	return strict.Lines(docs)
}
