package draw

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"backroad/internal/unit"
	"backroad/internal/verdict"
)

func pair(a, b unit.Length) *[2]unit.Length { return &[2]unit.Length{a, b} }
func at(a unit.Length) *unit.Length         { return &a }

// septal is an invented septal route: guides of 1000 mm, connectors of 80 mm, seats of
// 5 mm, legs 55, 75, 60, 30, 45 mm.
func septal() *Rail {
	return &Rail{
		Stations: []RailStation{{"donor guide", 1080, 3}, {"channel entry", 1130, 5.2}, {"channel exit", 1205, 7.2},
			{"distal cap", 1265, 8.2}, {"proximal cap", 1295, 8.8}, {"ostium", 1340, 9.3}, {"antegrade tip", 1335, 9.8}},
		Channel: [2]unit.Length{1130, 1205}, Occlusion: [2]unit.Length{1265, 1295},
		DonorGuide: [2]unit.Length{0, 1080}, AntegradeGuide: [2]unit.Length{2335, 1335},
		Devices: []RailDevice{{"MC-150-A parked", 0, 1228, true}, {"ST-30-38 at the end of treatment", 2335, 1251, false}},
		Window:  pair(1215, 1241), Set: at(1228),
	}
}

// epicardial is an invented long route into a guide extension.
func epicardial() *Rail {
	return &Rail{
		Stations: []RailStation{{"donor guide", 980, 3}, {"channel entry", 1095, 12.6}, {"channel exit", 1275, 22},
			{"distal cap", 1345, 23}, {"proximal cap", 1385, 23.4}, {"ostium", 1425, 23.8}, {"antegrade tip", 1385, 23.4}},
		Channel: [2]unit.Length{1095, 1275}, Occlusion: [2]unit.Length{1345, 1385},
		DonorGuide: [2]unit.Length{0, 980}, AntegradeGuide: [2]unit.Length{2320, 1420}, Extension: pair(1635, 1385),
		Devices: []RailDevice{{"MC-150-A in its berth", 0, 1405, true}, {"W-330", -1500, 2400, true}, {"BA-20-15", 2320, 1331, false}},
		Window:  pair(1285, 1321), Set: at(1300),
	}
}

// graft is an invented graft route whose channel has no length and whose ends of the
// window have changed places.
func graft() *Rail {
	return &Rail{
		Stations: []RailStation{{"donor guide", 1080, 3}, {"channel entry", 1237, 9.9}, {"channel exit", 1237, 9.9},
			{"distal cap", 1255, 11.1}, {"proximal cap", 1281, 11.5}, {"ostium", 1319, 12.1}, {"antegrade tip", 1349, 12.1}},
		Channel: [2]unit.Length{1237, 1237}, Occlusion: [2]unit.Length{1255, 1281},
		DonorGuide: [2]unit.Length{0, 1080}, AntegradeGuide: [2]unit.Length{2349, 1349},
		Devices: []RailDevice{{"MC-150-A", 0, 1237, true}, {"ST-30-38", 2349, 1229, false}},
		Window:  pair(1247, 1219), Set: at(1233),
	}
}

// short is a route of a few millimetres with every station of the axis.
func short() *Rail {
	return &Rail{
		Stations: []RailStation{{"donor valve", 0, 0}, {"donor guide", 1000, 3}, {"channel entry", 1002, 4}, {"channel exit", 1004, 4},
			{"distal cap", 1006, 4}, {"proximal cap", 1008, 4}, {"ostium", 1010, 4}, {"antegrade tip", 1010, 4}, {"antegrade hub", 2010, 4}, {"antegrade valve", 2090, 5}},
		Channel: [2]unit.Length{1002, 1004}, Occlusion: [2]unit.Length{1006, 1008},
		DonorGuide: [2]unit.Length{0, 1000}, AntegradeGuide: [2]unit.Length{2010, 1010},
		Devices: []RailDevice{{"MC-150-A with a name that is far longer than the bar has room for beside its tip or in it", 0, 1003, true}},
		Set:     at(1003),
	}
}

func rails() map[string]*Rail {
	return map[string]*Rail{"septal": septal(), "epicardial": epicardial(), "graft": graft(), "short": short(), "empty": {}}
}

func sections() []*Section {
	return []*Section{
		{"Trap in the donor guide", 1.8, []SectionCircle{{"microcatheter", 0.87}, {"trap balloon", 0.8}}, 0.13, verdict.Tight, 0},
		{"Berth, antegrade guide", 2.06, []SectionCircle{{"microcatheter", 0.87}, {"safety wire", 0.36}, {"balloon shaft", 0.76}}, 0.43, verdict.Works, 0},
		{"Capture in the guide", 1.8, []SectionCircle{{"snare", 1.1}, {"wire", 0.36}, {"wire, folded", 0.36}, {"microcatheter", 0.87}}, -0.17, verdict.Fails, 0},
	}
}

// drawing puts something on any canvas.
type drawing func(Canvas)

// asPDF makes a document of one A4 page; the drawing's origin lies 10 mm from its edges.
func asPDF(t *testing.T, d drawing) []byte {
	t.Helper()
	doc := fpdf.New("P", "mm", "A4", "")
	day := time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)
	doc.SetCreationDate(day)
	doc.SetModificationDate(day)
	doc.SetCatalogSort(true)
	RegisterFonts(doc)
	doc.AddPage()
	d(NewPDF(doc, 10, 10))
	var b bytes.Buffer
	if err := doc.Output(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func asSVG(w, h float64, d drawing) []byte {
	s := NewSVG(w, h, "A picture", "What it shows")
	d(s)
	return s.Bytes()
}

// sheet is a rail and three sections.
func sheet(c Canvas) {
	DrawRail(c, 0, 0, 190, 60, septal())
	s := sections()
	perMM := SectionScale(42, s...)
	for i, one := range s {
		DrawSection(c, float64(i)*52, 66, 42, one, perMM)
	}
}

// gallery is every invented rail under another.
func gallery(c Canvas) {
	for i, r := range []*Rail{epicardial(), graft(), short(), {}} {
		DrawRail(c, 0, 68*float64(i), 190, 60, r)
	}
}

// TestLook writes the pictures for a person to look at.
func TestLook(t *testing.T) {
	dir := os.Getenv("BACKROAD_LOOK")
	if dir == "" {
		t.Skip("BACKROAD_LOOK names no folder to put pictures in")
	}
	for name, d := range map[string]drawing{"sheet": sheet, "gallery": gallery} {
		for ext, data := range map[string][]byte{".pdf": asPDF(t, d), ".svg": asSVG(190, 277, d)} {
			if err := os.WriteFile(filepath.Join(dir, name+ext), data, 0o600); err != nil {
				t.Fatal(err)
			}
		}
	}
}
