package main

import (
	"encoding/json"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/evanw/esbuild/pkg/api"
)

// atFirst lists the script files that the entry loads without being asked for: itself and
// what it imports, and so on, but for dynamic imports.
func atFirst(metafile, entry string) ([]string, error) {
	var meta struct {
		Outputs map[string]struct {
			Imports []struct{ Path, Kind string }
		}
	}
	if err := json.Unmarshal([]byte(metafile), &meta); err != nil {
		return nil, fmt.Errorf("the bundler's list of files can't be read: %w", err)
	}
	list := []string{entry}
	for i := 0; i < len(list); i++ {
		for _, im := range meta.Outputs[list[i]].Imports {
			if im.Kind == "import-statement" && !slices.Contains(list, im.Path) {
				list = append(list, im.Path)
			}
		}
	}
	return list, nil
}

// bundleTests bundles every src/**/*.test.ts(x) for node.
func bundleTests(dir string) error {
	o, err := common()
	if err != nil {
		return err
	}
	o.Platform, o.Outdir = api.PlatformNode, dir
	if o.Outdir, err = filepath.Abs(dir); err != nil {
		return err
	}
	o.OutExtension = map[string]string{".js": ".mjs"}
	o.Loader = map[string]api.Loader{".css": api.LoaderEmpty}
	err = filepath.WalkDir(filepath.Join(root, "src"), func(path string, _ fs.DirEntry, err error) error {
		if strings.HasSuffix(path, ".test.ts") || strings.HasSuffix(path, ".test.tsx") {
			relative, _ := filepath.Rel(root, path)
			o.EntryPoints = append(o.EntryPoints, relative)
		}
		return err
	})
	if err != nil {
		return err
	}
	if err := os.RemoveAll(o.Outdir); err != nil { // tests of an earlier run that are no more
		return err
	}
	if result := api.Build(o); len(result.Errors) > 0 {
		return fmt.Errorf("the tests of the front end can't be built: %d errors", len(result.Errors))
	}
	fmt.Printf("front end: %d files of tests\n", len(o.EntryPoints))
	return nil
}
