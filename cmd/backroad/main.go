// Backroad plans the retrograde opening of chronically occluded coronary arteries. It
// is a planning and record aid for licensed practitioners: fluoroscopy, pressures, the
// manufacturers' instructions and local protocol decide.
package main

import (
	"os"

	"backroad/internal/app"
)

func main() {
	os.Exit(app.Run(os.Args[1:]))
}
