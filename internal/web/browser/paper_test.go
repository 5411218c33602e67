package browser

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// printed is the text of the pages that the browser would print, by poppler's pdftotext.
func (s *screen) printed() (text string, pages int) {
	s.t.Helper()
	reader, err := exec.LookPath("pdftotext")
	if err != nil {
		s.t.Skip("pdftotext is missing (Debian's package poppler-utils): what is printed is not read")
	}
	ctx, cancel := context.WithTimeout(s.ctx, patience)
	defer cancel()
	data, err := chromedp.Run(ctx, chromedp.PrintToPDF(chromedp.PDFPreferCSSPageSize(), chromedp.PDFPrintBackground()))
	if err != nil {
		s.fail("%v", err)
	}
	file := filepath.Join(s.t.TempDir(), "printed.pdf")
	if err := os.WriteFile(file, data, 0o600); err != nil {
		s.t.Fatal(err)
	}
	if dir := os.Getenv("BACKROAD_SHOTS"); dir != "" {
		_ = os.WriteFile(filepath.Join(dir, s.t.Name()+".pdf"), data, 0o600)
	}
	out, err := exec.Command(reader, "-layout", file, "-").Output()
	if err != nil {
		s.t.Fatal(err)
	}
	return string(out), strings.Count(string(out), "\f")
}

// TestBriefOnPaper: what is printed of the brief is the card alone, on one page.
func TestBriefOnPaper(t *testing.T) {
	p := start(t, "--demo")
	s := p.open("/cases/M-2231/brief")
	s.settled()
	s.until("the card", `document.querySelector(".card-sheet svg")`)
	text, pages := s.printed()
	if pages != 1 {
		t.Errorf("%d pages, want 1", pages)
	}
	for _, want := range []string{"Brief card, case M", "third septal", "Steps", "Open", "fluoroscopy, pressures"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not printed", want)
		}
	}
	if strings.Contains(text, "Kept plans") || strings.Contains(text, "House rules") {
		t.Errorf("more than the card is printed")
	}
}

// TestWalkOnPaper: on paper a step of the walk has what is done in it.
func TestWalkOnPaper(t *testing.T) {
	p := start(t, "--demo")
	s := p.open("/cases/M-2231/walk")
	s.still()
	s.sees("Step 1 of 22")
	if text, _ := s.printed(); !strings.Contains(text, "See both pressure curves") {
		t.Errorf("what is done is not printed:\n%s", text)
	}
}
