#!/bin/sh
# The exact kit chooser beside general-purpose solvers: the same answers, and how long each
# takes (docs/benchmarks.md). A solver that is not installed is left out with a line that
# says so. Debian's packages: glpk-utils, coinor-cbc, minizinc and, for Gecode, flatzinc.
set -eu
for solver in glpsol cbc minizinc; do
	command -v "$solver" >/dev/null || echo "$solver is not installed: nothing is heard of it"
done
BACKROAD_LONG=1 go test -count=1 -timeout 40m -run '^TestDuel$' -v ./internal/kit
