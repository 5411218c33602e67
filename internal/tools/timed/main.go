// Timed runs a command a number of times as a process and prints the median and the
// worst wall time and the largest resident memory: timed 30 bin/backroad plan …
package main

import (
	"fmt"
	"os"
	"os/exec"
	"slices"
	"strconv"
	"time"
)

func main() {
	if len(os.Args) < 3 {
		fmt.Fprintln(os.Stderr, "usage: timed RUNS COMMAND [ARG ...]")
		os.Exit(2)
	}
	runs, err := strconv.Atoi(os.Args[1])
	if err != nil || runs < 1 {
		fmt.Fprintln(os.Stderr, "timed: the number of runs must be 1 or more")
		os.Exit(2)
	}
	var walls []time.Duration
	var most int64
	for i := range runs + 1 {
		c := exec.Command(os.Args[2], os.Args[3:]...)
		start := time.Now()
		err := c.Run()
		wall := time.Since(start)
		if c.ProcessState == nil {
			fmt.Fprintln(os.Stderr, "timed:", err)
			os.Exit(1)
		}
		if i == 0 {
			continue // a warm-up
		}
		walls = append(walls, wall)
		most = max(most, residentBytes(c.ProcessState))
	}
	slices.Sort(walls)
	fmt.Printf("%d runs: median %.1f ms, worst %.1f ms, largest resident memory %.1f MB\n", runs,
		ms(walls[len(walls)/2]), ms(walls[len(walls)-1]), float64(most)/1e6)
}

func ms(d time.Duration) float64 { return float64(d.Microseconds()) / 1000 }
