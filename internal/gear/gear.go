// Package gear holds the words for what lies on the shelf: classes of device, their
// dimensions, items, the shelf, and the roles that items play in a plan.
//
// Devices are described by class and dimension, never by maker or trade name. All
// lengths are effective lengths: the part that can enter the body, to the front of
// the strain relief. "French" is the outer diameter of a guide or microcatheter, the
// inner diameter of a sheath, and only a label on a guide extension.
//
// An item is plain data; package interop/shelf reads it from a file and has checked
// it. What fits into what is decided in package lumen.
package gear

import "backroad/internal/unit"

// Class is a kind of device.
type Class string

// The classes.
const (
	Guide         Class = "guide"
	Extension     Class = "extension"
	Microcatheter Class = "microcatheter"
	DualLumen     Class = "dual_lumen"
	Wire          Class = "wire"
	Balloon       Class = "balloon"
	Stent         Class = "stent"
	CoveredStent  Class = "covered_stent"
	Snare         Class = "snare"
	Imaging       Class = "imaging"
	Coil          Class = "coil"
	Sheath        Class = "sheath"
	Connector     Class = "connector"
	Clip          Class = "clip"
)

// Classes lists them in the order in which a shelf is shown.
var Classes = [...]Class{Guide, Extension, Microcatheter, DualLumen, Wire, Balloon, Stent,
	CoveredStent, Snare, Imaging, Coil, Sheath, Connector, Clip}

// Use is what a wire is made for.
type Use string

// The uses of wires.
const (
	Crossing        Use = "crossing"
	Externalisation Use = "externalisation"
	Workhorse       Use = "workhorse"
)

// Length is a length or diameter of an item as the shelf file gives it.
type Length = unit.Measured[unit.Length]

// Item is one line of the shelf. Which fields mean something depends on the class;
// the others are absent.
type Item struct {
	ID     string
	Class  Class
	OnHand int

	Name   string
	Note   string
	Curve  string
	GTIN   string
	Prefer int  // 0: no preference; a larger number is preferred
	Soon   bool // what would be taken first expires soon; said by package stock, not by a file
	Lots   []Lot

	Reserved []Reservation // pieces set aside for cases

	Use       Use
	SideHoles *bool // guide: nil where nothing is said
	Loops     int   // snare

	Length     Length // effective length; of a balloon or stent its working length
	Shaft      Length // balloon, stent: effective length of the catheter
	French     Length
	ForGuide   Length // extension: the guide size on its label
	Bore       Length // inner diameter
	Outer      Length // outer diameter where there is only one
	OuterTip   Length
	OuterShaft Length
	ShaftOuter Length // balloon, stent: outer diameter of the shaft behind the wire port
	TakesWire  Length // the largest wire by the label
	Diameter   Length // wire, stent, coil
	Inflated   Length // balloon: nominal inflated diameter
	Profile    Length // balloon, stent: crossing profile
	RX         Length // length of the rapid-exchange segment
	OverWire   bool   // rx: none
	Tube       Length // extension: length of the tube
	Soft       Length // wire: length of the soft end
	Tip        Length // imaging: length of the tip ahead of the transducer
	NeedsBore  Length // coil
	LoopLeast  unit.Length
	LoopMost   unit.Length
}

// Lot is one batch of an item.
type Lot struct {
	Lot     string
	Expires string // YYYY-MM-DD, empty where nothing is said
	Count   int
}

// Reservation is pieces of an item that are set aside for a case.
type Reservation struct {
	Case  string // the programme's own code
	Count int    // 1 or more
}

// Widest is the largest outer diameter that the item brings into a tube: the larger
// of tip and shaft, or the single outer diameter.
func (it *Item) Widest() Length {
	if it.Outer.Known() {
		return it.Outer
	}
	if it.OuterTip.Known() && it.OuterShaft.Known() {
		if it.OuterTip.Value > it.OuterShaft.Value {
			return it.OuterTip
		}
		return it.OuterShaft
	}
	return Length{State: unit.Unknown}
}

// Shelf is what the laboratory has.
type Shelf struct {
	Items []Item
}

// ByID returns the item of that id, or nil.
func (s *Shelf) ByID(id string) *Item {
	for i := range s.Items {
		if s.Items[i].ID == id {
			return &s.Items[i]
		}
	}
	return nil
}
