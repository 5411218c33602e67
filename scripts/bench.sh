#!/bin/sh
# Go benchmarks of the parts that are called often, then the whole program on the demo
# case as a process: 30 runs, median and worst wall time, largest resident memory.
set -eu
go test -run '^$' -bench . -benchmem ./internal/lumen ./internal/gauss ./internal/rail ./internal/plan | grep -E '^(Benchmark|pkg)'
mkdir -p bin
go build -o bin/backroad ./cmd/backroad
go run ./internal/tools/timed 30 bin/backroad plan internal/cli/demo/case.yaml --shelf internal/cli/demo/shelf.yaml
