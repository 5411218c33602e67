#!/bin/sh
# Runs every fuzz target of the module for a while each: scripts/fuzz.sh 60s
set -eu
time=${1:-60s}
for dir in $(grep -rl --include='*_test.go' '^func Fuzz' internal | xargs -n1 dirname | sort -u); do
	for target in $(grep -h -o '^func Fuzz[A-Za-z0-9]*' "$dir"/*_test.go | sed 's/func //' | sort -u); do
		echo "== $dir $target, $time"
		go test -run '^$' -fuzz "^$target\$" -fuzztime "$time" "./$dir"
	done
done
