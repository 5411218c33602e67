package picture

import (
	"fmt"
	"math"
	"strings"

	"backroad/internal/report"
	"backroad/internal/unit"
)

// Scale says where on paper a position of the axis lies.
type Scale struct {
	perMM float64 // paper per axis
	at    unit.Length
	x     float64
}

// Pos is the paper's x of a position.
func (s Scale) Pos(at unit.Length) float64 { return s.x + float64(at-s.at)*s.perMM }

// margin is how far the picture reaches beyond the two guides' tips, in axis mm: enough
// to see them as tubes.
const margin unit.Length = 35

// frame is one drawing of the rail.
type frame struct {
	Canvas
	Scale
	r          *report.Rail
	x, y, w, h float64
	axis       float64 // y of the axis
}

var (
	thin  = Stroke{Width: 0.15}
	line  = Stroke{Width: 0.3}
	thick = Stroke{Width: 0.7}
	small = TextStyle{Size: 2.3}
	bold  = TextStyle{Size: 2.3, Bold: true}
)

// Rail draws the coronary part of the rail to scale into a frame: the donor side left,
// the antegrade side right, retrograde gear above the axis, antegrade gear below.
func Rail(c Canvas, x, y, w, h float64, r *report.Rail) Scale {
	low, high := span(r)
	f := &frame{Canvas: c, r: r, x: x, y: y, w: w, h: h, axis: y + h*0.52}
	f.Scale = Scale{perMM: w / math.Max(float64(high-low), 1), at: low, x: x}
	f.vessels()
	f.guides()
	f.window()
	f.devices()
	f.stations()
	f.bar()
	c.Mark("", "")
	return f.Scale
}

// span is the stretch of the axis that is drawn.
func span(r *report.Rail) (low, high unit.Length) {
	low, high = unit.Length(math.Inf(1)), unit.Length(math.Inf(-1))
	for _, s := range r.Stations {
		low, high = min(low, s.At), max(high, s.At)
	}
	if len(r.Stations) == 0 {
		low, high = 0, 0
	}
	return low - margin, high + margin
}

// clip keeps a position inside the frame.
func (f *frame) clip(at unit.Length) float64 { return min(max(f.Pos(at), f.x), f.x+f.w) }

// vessels draws the axis with channel and occlusion.
func (f *frame) vessels() {
	f.Mark("channel", "the channel")
	a, b := f.clip(f.r.Channel[0]), f.clip(f.r.Channel[1])
	rect(f, a, f.axis-1.6, b-a, 3.2, thin, Fill{On: true, Gray: 0.82})
	f.label((a+b)/2, f.axis+0.8, "channel", b-a)
	f.Mark("occlusion", "the occlusion")
	a, b = f.clip(f.r.Occlusion[0]), f.clip(f.r.Occlusion[1])
	rect(f, a, f.axis-1.6, b-a, 3.2, thin, Fill{On: true, Hatch: true})
	f.Mark("axis", "the axis along the wire")
	f.Line(f.x, f.axis, f.x+f.w, f.axis, Stroke{Width: 0.2})
}

// label writes a text in the middle of a room if it fits.
func (f *frame) label(x, y float64, text string, room float64) {
	if f.TextWidth(text, small) < room-0.5 {
		f.Text(x, y, text, TextStyle{Size: small.Size, Anchor: Middle})
	}
}

// guides draws the two guides as tubes that come in from the edges.
func (f *frame) guides() {
	f.Mark("guides", "the two guides; their long parts are not drawn")
	f.tube(f.x, f.clip(f.r.DonorGuide[1]), 3.4, "donor guide")
	f.tube(f.clip(f.r.AntegradeGuide[1]), f.x+f.w, 3.4, "antegrade guide")
	if e := f.r.Extension; e != nil {
		f.tube(f.clip(e[1]), f.clip(e[0]), 2.5, "extension")
	}
}

func (f *frame) tube(a, b, half float64, name string) {
	if b <= a {
		return
	}
	f.Line(a, f.axis-half, b, f.axis-half, thick)
	f.Line(a, f.axis+half, b, f.axis+half, thick)
	f.label((a+b)/2, f.axis+half+2.6, name, b-a)
}

// window draws the parking window as a bracket above the axis.
func (f *frame) window() {
	if f.r.Window == nil {
		return
	}
	lo, hi := f.r.Window[0], f.r.Window[1]
	y := f.axis - 11
	f.Mark("window", fmt.Sprintf("the parking window, %.0f to %.0f mm", float64(lo), float64(hi)))
	name := "parking window"
	if hi < lo {
		lo, hi, name = hi, lo, "NO window: the two limits cross here"
	}
	a, b := f.clip(lo), f.clip(hi)
	f.Line(a, y, b, y, thick)
	f.Line(a, y, a, y+2.2, thick)
	f.Line(b, y, b, y+2.2, thick)
	f.Text(f.centred((a+b)/2, name, bold), y-1.2, name, bold)
}

// centred is the x at which a text starts so that it is centred on a place but stays in
// the frame.
func (f *frame) centred(x float64, text string, t TextStyle) float64 {
	w := f.TextWidth(text, t)
	return min(max(x-w/2, f.x), f.x+f.w-w)
}

// devices draws retrograde gear above and antegrade gear below the axis, each as a bar
// to its tip.
func (f *frame) devices() {
	above, below := f.axis-5.6, f.axis+6.6
	for i, d := range f.r.Devices {
		f.Mark(fmt.Sprintf("device-%d", i+1), d.Label)
		tip := f.clip(d.Tip)
		text := fmt.Sprintf("%s, tip at %.0f", d.Label, float64(d.Tip))
		if d.DonorSide {
			f.bar2(f.x, tip, above)
			f.Path([]Point{{tip, above - 0.7}, {min(tip+1.6, f.x+f.w), above}, {tip, above + 0.7}}, true, thin, Fill{On: true})
			f.Text(f.x+1, above-1.4, text, small)
			above -= 4.2
			continue
		}
		f.bar2(tip, f.x+f.w, below)
		f.Path([]Point{{tip, below - 0.7}, {max(tip-1.6, f.x), below}, {tip, below + 0.7}}, true, thin, Fill{On: true})
		f.Text(f.x+f.w-1, below+3, text, TextStyle{Size: small.Size, Anchor: End})
		below += 4.2
	}
	if f.r.Set != nil {
		f.Mark("set", fmt.Sprintf("the parking mark at %.0f mm", float64(*f.r.Set)))
		x := f.clip(*f.r.Set)
		f.Line(x, f.axis-11, x, f.axis-2, Stroke{Width: 0.3, Dash: []float64{0.8, 0.5}})
	}
}

func (f *frame) bar2(a, b, y float64) {
	if b > a {
		rect(f, a, y-0.5, b-a, 1, thin, Fill{On: true, Gray: 0.35})
	}
}

// stations draws a tick for each station, a soft edge of one deviation to each side,
// and names in rows that do not overlap.
func (f *frame) stations() {
	const rows, step = 5, 2.9
	top := f.y + 2.2
	ends := [rows]float64{}
	for i := range ends {
		ends[i] = math.Inf(-1)
	}
	for _, s := range f.r.Stations {
		id := "station-" + strings.ReplaceAll(s.Name, " ", "-")
		f.Mark(id, fmt.Sprintf("%s at %.0f mm, deviation %.0f mm", s.Name, float64(s.At), float64(s.SD)))
		x := f.Pos(s.At)
		text := fmt.Sprintf("%s %.0f ± %.0f", s.Name, float64(s.At), float64(s.SD))
		at := f.centred(x, text, small)
		row := 0
		for row < rows-1 && at < ends[row]+1 {
			row++
		}
		ends[row] = at + f.TextWidth(text, small)
		y := top + float64(row)*step
		f.Line(x, y+0.7, x, f.axis+2.2, line)
		f.Text(at, y, text, small)
		a, b := f.clip(s.At-s.SD), f.clip(s.At+s.SD)
		f.Line(a, f.axis+2.8, b, f.axis+2.8, Stroke{Width: 0.5, Gray: 0.45, Dash: []float64{0.4, 0.4}})
	}
}

// bar draws the scale bar.
func (f *frame) bar() {
	f.Mark("scale", "scale bar, 50 millimetres")
	y := f.y + f.h - 1.5
	w := 50 * f.perMM
	if w > f.w {
		return
	}
	f.Line(f.x, y, f.x+w, y, thick)
	f.Line(f.x, y-1, f.x, y+1, line)
	f.Line(f.x+w, y-1, f.x+w, y+1, line)
	f.Text(f.x+w+1.5, y+0.8, "50 mm along the wire; the guides' long parts are not drawn; dotted: one deviation to each side", small)
}
