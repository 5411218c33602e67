//go:build linux

package main

import (
	"os"
	"syscall"
)

// residentBytes is the largest resident memory of a finished process.
func residentBytes(s *os.ProcessState) int64 {
	if u, ok := s.SysUsage().(*syscall.Rusage); ok {
		return u.Maxrss * 1024
	}
	return 0
}
