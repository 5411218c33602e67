package draw

import (
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
)

// Letters are the files of FontFamily, regular and bold, for a page that shows an SVG
// with the letters it was measured with. They must not be changed.
func Letters() (regular, bold []byte) { return goregular.TTF, gobold.TTF }
