//go:build race

package strict

// raced says that the race detector is on.
const raced = true
