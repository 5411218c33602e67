package app

import (
	"bytes"
	"context"
	"html"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"golang.org/x/tools/txtar"
)

// TestCases runs whole cases, each one text archive: why the answer is right, the case,
// the flags, lines that the plan must hold (worked out by hand or by a few lines of
// arithmetic apart from the program), and the whole plan and card as they were reviewed.
// BACKROAD_UPDATE=1 writes plan and card anew: then read the difference.
func TestCases(t *testing.T) {
	files, err := filepath.Glob("testdata/cases/*.txtar")
	if err != nil || len(files) < 30 {
		t.Fatalf("%d cases, want 30 or more (%v)", len(files), err)
	}
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".txtar"), func(t *testing.T) { runCase(t, file) })
	}
}

func runCase(t *testing.T, file string) {
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	a := txtar.Parse(data)
	if len(bytes.TrimSpace(a.Comment)) < 40 {
		t.Error("no sentence on why it is right")
	}
	part := map[string]string{}
	for _, f := range a.Files {
		part[f.Name] = string(f.Data)
	}
	dir := t.TempDir()
	args := []string{"plan", write(t, dir, "case.yaml", part["case.yaml"]), "--shelf", "../cli/demo/shelf.yaml", "--card", filepath.Join(dir, "card.html")}
	if h := part["house.yaml"]; h != "" {
		args = append(args, "--house", write(t, dir, "house.yaml", h))
	}
	for _, line := range strings.Split(strings.TrimSpace(part["flags"]), "\n") {
		if name, value, ok := strings.Cut(line, " "); ok {
			args = append(args, name, value)
		}
	}
	var out, errs bytes.Buffer
	status := New(nil, &out, &errs).Run(context.Background(), args)
	if status == 2 {
		t.Fatalf("exit status 2: %s", errs.String())
	}
	if status := New(nil, &bytes.Buffer{}, &errs).Run(context.Background(), append(slices.Clone(args), "--card", filepath.Join(dir, "card.pdf"))); status == 2 {
		t.Errorf("no card as PDF: %s", errs.String())
	}
	got := map[string]string{"plan.txt": out.String(), "card.txt": cardText(t, filepath.Join(dir, "card.html"))}
	for _, want := range strings.Split(strings.TrimSpace(part["expect"]), "\n") {
		if !holds(got["plan.txt"], want) {
			t.Errorf("the plan does not hold %q", want)
		}
	}
	if os.Getenv("BACKROAD_UPDATE") != "" {
		update(t, file, a, got)
		return
	}
	for name, text := range got {
		if part[name] != text {
			t.Errorf("%s has changed: set BACKROAD_UPDATE=1, then read the difference", name)
		}
	}
}

// holds reports whether a text has the words, white space apart.
func holds(text, words string) bool {
	fold := func(s string) string { return strings.Join(strings.Fields(s), " ") }
	return strings.Contains(fold(text), fold(words))
}

func write(t *testing.T, dir, name, text string) string {
	t.Helper()
	path := filepath.Join(dir, name)
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// cardText is the card's words: the page without its style and marks.
func cardText(t *testing.T, file string) string {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	page := regexp.MustCompile(`(?s)<style>.*?</style>|<svg.*?</svg>`).ReplaceAllString(string(data), "")
	page = regexp.MustCompile(`</(p|li|h1|h2|tr|div)>`).ReplaceAllString(page, "\n")
	page = html.UnescapeString(regexp.MustCompile(`<[^>]*>`).ReplaceAllString(page, " "))
	var lines []string
	for _, l := range strings.Split(page, "\n") {
		if l = strings.Join(strings.Fields(l), " "); l != "" {
			lines = append(lines, l)
		}
	}
	return strings.Join(lines, "\n") + "\n"
}

func update(t *testing.T, file string, a *txtar.Archive, got map[string]string) {
	t.Helper()
	var kept []txtar.File
	for _, f := range a.Files {
		if _, made := got[f.Name]; !made {
			kept = append(kept, f)
		}
	}
	for _, name := range []string{"plan.txt", "card.txt"} {
		kept = append(kept, txtar.File{Name: name, Data: []byte(got[name])})
	}
	a.Files = kept
	if err := os.WriteFile(file, txtar.Format(a), 0o644); err != nil {
		t.Fatal(err)
	}
}
