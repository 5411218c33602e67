// Command uibuild bundles the front end of the workbench into internal/web/ui/dist, from
// its sources and what `npm ci` has put beside them. It prints the size of what a browser
// loads at first, compressed, and fails where that is more than the bound.
//
//	go run ./internal/tools/uibuild [-tests DIR]
//
// With -tests it bundles the tests of the parts into a folder instead, for node --test.
package main

import (
	"bytes"
	"compress/gzip"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/evanw/esbuild/pkg/api"
)

const (
	root = "internal/web/ui"
	// mostScript is how large the script of the first page may be, compressed, in bytes.
	mostScript = 60_000
)

func main() {
	tests := flag.String("tests", "", "bundle the tests into this folder")
	flag.Parse()
	if err := run(*tests); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func run(tests string) error {
	if _, err := os.Stat(filepath.Join(root, "node_modules", "preact")); err != nil {
		return fmt.Errorf("%s/node_modules is missing: run `make ui` in the project's folder, which gets it from the lock file", root)
	}
	if tests != "" {
		return bundleTests(tests)
	}
	return bundle()
}

// common are the options of both bundles.
func common() (api.BuildOptions, error) {
	dir, err := filepath.Abs(root)
	if err != nil {
		return api.BuildOptions{}, err
	}
	return api.BuildOptions{AbsWorkingDir: dir, Bundle: true, Format: api.FormatESModule, Target: api.ES2022, JSX: api.JSXAutomatic, JSXImportSource: "preact",
		LogLevel: api.LogLevelWarning, Write: true, LegalComments: api.LegalCommentsNone, Charset: api.CharsetUTF8,
		External: []string{"/fonts/*"}}, nil // the program itself serves the letters of the card
}

func bundle() error {
	o, err := common()
	if err != nil {
		return err
	}
	if err := clean(filepath.Join(root, "dist")); err != nil {
		return err
	}
	o.EntryPoints = []string{"src/main.tsx"}
	o.Outdir, o.EntryNames, o.ChunkNames, o.AssetNames = "dist", "[name]-[hash]", "[name]-[hash]", "[name]-[hash]"
	o.Splitting, o.Metafile = true, true
	o.MinifyIdentifiers, o.MinifySyntax, o.MinifyWhitespace = true, true, true
	result := api.Build(o)
	if len(result.Errors) > 0 {
		return fmt.Errorf("the front end can't be built: %d errors", len(result.Errors))
	}
	entry, style, err := named(result.OutputFiles)
	if err != nil {
		return err
	}
	first, err := atFirst(result.Metafile, "dist/"+entry)
	if err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(root, "dist", "index.html"), page(entry, style, first), 0o644); err != nil {
		return err
	}
	return measure(first)
}

// clean takes away what an earlier run has built.
func clean(dir string) error {
	files, err := os.ReadDir(dir)
	if err != nil {
		return os.MkdirAll(dir, 0o755)
	}
	for _, f := range files {
		if f.Name() == "README.md" {
			continue
		}
		if err := os.RemoveAll(filepath.Join(dir, f.Name())); err != nil {
			return err
		}
	}
	return nil
}

// named finds the first script and its style among what was built.
func named(files []api.OutputFile) (entry, style string, err error) {
	for _, f := range files {
		name := filepath.Base(f.Path)
		switch {
		case strings.HasPrefix(name, "main-") && strings.HasSuffix(name, ".js"):
			entry = name
		case strings.HasPrefix(name, "main-") && strings.HasSuffix(name, ".css"):
			style = name
		}
	}
	if entry == "" || style == "" {
		return "", "", fmt.Errorf("the bundler wrote no main script or no style")
	}
	return entry, style, nil
}

// page is the one page of the workbench. It holds no script and no style of its own: the
// server forbids those.
func page(entry, style string, first []string) []byte {
	var b bytes.Buffer
	b.WriteString("<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n" +
		"<meta name=\"color-scheme\" content=\"dark light\">\n<title>Backroad</title>\n<link rel=\"icon\" href=\"data:,\">\n")
	for _, f := range first {
		if name := filepath.Base(f); name != entry {
			fmt.Fprintf(&b, "<link rel=\"modulepreload\" href=\"/%s\">\n", name)
		}
	}
	fmt.Fprintf(&b, "<link rel=\"stylesheet\" href=\"/%s\">\n<script type=\"module\" src=\"/%s\"></script>\n</head>\n<body>\n<div id=\"app\"></div>\n"+
		"<noscript>The workbench needs scripts to be allowed for this address. They come from this machine only. "+
		"Everything can be done in the terminal as well: backroad --help.</noscript>\n</body>\n</html>\n", style, entry)
	return b.Bytes()
}

// measure prints what the first page loads and holds it to its bound.
func measure(first []string) error {
	total := 0
	for _, f := range first {
		data, err := os.ReadFile(filepath.Join(root, f))
		if err != nil {
			return err
		}
		n, err := compressed(data)
		if err != nil {
			return err
		}
		total += n
	}
	fmt.Printf("front end: %.1f kB of script at first, compressed; bound %d kB\n", float64(total)/1000, mostScript/1000)
	if total > mostScript {
		return fmt.Errorf("the first page loads %d bytes of script, compressed; expected at most %d: load a part of it lazily", total, mostScript)
	}
	return nil
}

func compressed(data []byte) (int, error) {
	var b bytes.Buffer
	z, err := gzip.NewWriterLevel(&b, gzip.BestCompression)
	if err != nil {
		return 0, err
	}
	if _, err := z.Write(data); err != nil {
		return 0, err
	}
	if err := z.Close(); err != nil {
		return 0, err
	}
	return b.Len(), nil
}
