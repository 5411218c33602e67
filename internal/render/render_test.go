package render

import (
	"bytes"
	"strings"
	"testing"
	"unicode/utf8"

	"backroad/internal/anatomy"
	"backroad/internal/plan"
	"backroad/internal/rail"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

func TestWrap(t *testing.T) {
	text := strings.Repeat("word ", 60)
	for _, l := range wrap(text, 40) {
		if utf8.RuneCountInString(l) > 40 {
			t.Errorf("%d characters: %q", utf8.RuneCountInString(l), l)
		}
	}
	if got := strings.Join(wrap(text, 40), " "); got != strings.TrimSpace(text) {
		t.Error("words are lost")
	}
}

func TestWeakestFirst(t *testing.T) {
	m := func(id string, v verdict.Verdict, p unit.Probability, mean unit.Length) rail.Margin {
		return rail.Margin{ID: id, Verdict: v, P: p, Mean: mean, SD: 10}
	}
	var got []string
	for _, x := range weakestFirst([]rail.Margin{m("long", verdict.Works, 1, 300), m("short", verdict.Works, 1, 20), m("likely", verdict.Works, 0.97, 19),
		m("tight", verdict.Tight, 0.9, 5), m("unknown", verdict.Unknown, 0, 0), m("fails", verdict.Fails, 0.3, -4)}) {
		got = append(got, x.ID)
	}
	if s := strings.Join(got, " "); s != "fails unknown tight likely short long" {
		t.Errorf("in the order %s", s)
	}
}

// TestNothingPlanned: a case of which nothing can be planned still gives a page and
// JSON with the notice and the reasons.
func TestNothingPlanned(t *testing.T) {
	r := &plan.Result{Case: "X", NotOffered: []plan.NotOffered{{Route: "a", Finish: anatomy.TipIn, Why: "because"}}}
	var text, json bytes.Buffer
	if err := Text(&text, r, Style{}); err != nil {
		t.Fatal(err)
	}
	if err := JSON(&json, r); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"Nothing could be planned", "a, tip-in: because", "licensed practitioners"} {
		if !strings.Contains(text.String(), want) {
			t.Errorf("the page lacks %q:\n%s", want, text.String())
		}
	}
	for _, want := range []string{`"schema": "plan/1"`, `"best": null`, `"alternatives": []`, "licensed practitioners"} {
		if !strings.Contains(json.String(), want) {
			t.Errorf("the JSON lacks %q:\n%s", want, json.String())
		}
	}
}

func TestFigure(t *testing.T) {
	for in, want := range map[float64]float64{-0.0000000001: 0, 1.23456789: 1.234568, 225: 225} {
		if got := *figure(in); got != want || (got == 0 && 1/got < 0) {
			t.Errorf("%g is written %g", in, got)
		}
	}
}

func TestBold(t *testing.T) {
	if p := (&page{}); p.bold("x") != "x" {
		t.Error("bold where no terminal is")
	}
	if p := (&page{style: Style{Bold: true}}); p.bold("x") != "\x1b[1mx\x1b[0m" {
		t.Error("not bold on a terminal")
	}
}
