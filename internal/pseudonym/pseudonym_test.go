package pseudonym

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"
)

// TestLook: by hand, from the rules that the package comment states. All persons are
// invented.
func TestLook(t *testing.T) {
	for text, want := range map[string]Kind{
		"Anna Musterfrau":            Name,
		"Musterfrau, Anna":           Name,
		"ANNA MUSTERFRAU":            Name,
		"Jan van der Beispiel":       Name,
		"Øyvind Eksempel":            Name,
		"Анна Примерова":             Name,
		"A. Musterfrau":              Name,
		"seen by Dr. Beispiel":       Name,
		"Mrs Example-Woman":          Name,
		"O'Example Mary":             Name,
		"1957-03-17":                 BirthDate,
		"17.3.1957":                  BirthDate,
		"3/17/57":                    BirthDate,
		"17.03.57":                   BirthDate,
		"17 March 1957":              BirthDate,
		"March 17, 1957":             BirthDate,
		"19570317":                   BirthDate,
		"born 1957":                  BirthDate,
		"DOB: 3/57":                  BirthDate,
		"geb. 17.3.57":               BirthDate,
		"4711001":                    HospitalNumber,
		"K4711001":                   HospitalNumber,
		"MRN 47110":                  HospitalNumber,
		"patient no. 4711":           HospitalNumber,
		"943 476 5919":               HospitalNumber,
		"123-45-6789":                HospitalNumber,
		"K-0417":                     Nothing,
		"M-2231":                     Nothing,
		"2026-031":                   Nothing,
		"second septal":              Nothing,
		"Second Septal":              Nothing,
		"Old Vein Graft":             Nothing,
		"Circumflex to RCA":          Nothing,
		"LIMA LAD":                   Nothing,
		"left back-up":               Nothing,
		"2027-05-31":                 Nothing,
		"31.5.2027":                  Nothing,
		"20270531":                   Nothing,
		"on order since 2026-10-01":  Nothing,
		"SN-3-18-30":                 Nothing,
		"62 mm ± 4":                  Nothing,
		"0.014 in":                   Nothing,
		"wanted, not there":          Nothing,
		"Measure again":              Nothing,
		"second operator":            Nothing,
		"":                           Nothing,
		"Donor Pressure and Wire":    Nothing,
		"measured with a ruler":      Nothing,
		"Sheath 7 Fr, Room 2":        Nothing,
		"Made-up shelf":              Nothing,
		"agreed at the spring, 2026": Nothing,
	} {
		got, says := Look(text)
		if got != want || (got == Nothing) != (says == "") {
			t.Errorf("%q looks like %q, want %q (%s)", text, got, want, says)
		}
	}
	for code, want := range map[string]Kind{"Musterfrau": Name, "müller": Name, "山田": Name, "K-0001": Nothing, "demo": Nothing, "TEST": Nothing, "AB": Nothing, "A1": Nothing, "M-2231": Nothing,
		"4711001": HospitalNumber, "Case-12": Nothing} {
		if got, _ := LookCode(code); got != want {
			t.Errorf("the code %q looks like %q, want %q", code, got, want)
		}
	}
}

// quietKeys are the keys of the files under which people write what they like.
var quietKeys = regexp.MustCompile(`(?m)(?:^|[{ ])(?:name|note|title|watch|who|if_it_fails|route): *("[^"]*"|[^,}\n#]+)`)

// TestQuiet: no text that the demo and the whole cases of the repository hold is
// questioned: they were written before this package, about vessels and gear.
func TestQuiet(t *testing.T) {
	names, err := filepath.Glob("../app/testdata/cases/*.txtar")
	if err != nil || len(names) < 5 {
		t.Fatalf("%d whole cases (%v)", len(names), err)
	}
	names = append(names, "../cli/demo/case.yaml", "../cli/demo/shelf.yaml", "../cli/demo/house.yaml")
	seen := 0
	for _, name := range names {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range quietKeys.FindAllStringSubmatch(string(data), -1) {
			seen++
			text := strings.Trim(m[1], `" `)
			if kind, says := Look(text); kind != Nothing {
				t.Errorf("%s: %s", name, says)
			}
		}
	}
	if seen < 30 {
		t.Errorf("only %d texts were looked at", seen)
	}
}

// TestAnyText: any text gets an answer, on one line, that does not depend on white space
// at its ends.
func TestAnyText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.OneOf(rapid.String(), rapid.StringMatching(`[A-Z][a-z]{2,8}, ?[A-Z][a-z]{2,8}|[0-9./ -]{1,14}|[A-Z]{1,3}[0-9-]{1,9}`)).Draw(t, "text")
		kind, says := Look(text)
		if strings.ContainsAny(says, "\n\r") || !utf8.ValidString(says) || (kind == Nothing) != (says == "") {
			t.Fatalf("%q: %q", kind, says)
		}
		if again, _ := Look(" " + text + "\t"); again != kind {
			t.Fatalf("%q, with white space %q", kind, again)
		}
	})
}

// TestNumbersAreFound: six digits in a row are found wherever they stand, unless they are
// a day of this century.
func TestNumbersAreFound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		digits := rapid.StringMatching(`[3-9][0-9]{5,9}`).Draw(t, "digits")
		before := rapid.SampledFrom([]string{"", "no ", "K", "septal, "}).Draw(t, "before")
		if kind, _ := Look(before + digits); kind == Nothing {
			t.Fatalf("%q is not found", before+digits)
		}
	})
}
