// Package ui holds the built front end inside the program.
//
// `make ui` writes the front end into the folder dist. That is not under version control
// but for dist/README.md, which must stay: a folder that is embedded can't be empty, and a
// fresh clone, on a machine without Node, must build. Whoever writes into dist may take
// everything else away first.
//
// The server sends what is in dist under its name: dist/index.html for every page's
// address, and files whose names hold a hash as the bundler writes it (NAME-1A2B3C4D.js,
// eight capitals and digits) with leave to keep them for ever.
package ui

import (
	"embed"
	"io/fs"
)

//go:embed all:dist
var dist embed.FS

// Files are the files of the front end; without index.html it is not built.
func Files() fs.FS {
	files, err := fs.Sub(dist, "dist")
	if err != nil {
		panic("internal error: the embedded folder has no such name: " + err.Error())
	}
	return files
}
