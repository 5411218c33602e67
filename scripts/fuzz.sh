#!/bin/sh
# Runs every fuzz target of the module for a while each: scripts/fuzz.sh 60s
#
# The fuzzing engine of the Go tools sometimes ends a run that found nothing with
# "context deadline exceeded", when its time runs out while a worker is between two
# inputs. That is not a finding: a finding names its input ("Failing input written"). So
# a run counts as failed unless that message is all that it has to say.
set -eu
time=${1:-60s}
out=$(mktemp)
trap 'rm -f "$out"' EXIT

# found nothing: the run's only complaint is that its time is over.
only_time() {
	grep -q '^ *context deadline exceeded$' "$out" &&
		! grep -q -e 'Failing input' -e 'panic' -e 'DATA RACE' -e 'hung or terminated' -e '_test.go:[0-9]' "$out"
}

for dir in $(grep -rl --include='*_test.go' '^func Fuzz' internal | xargs -n1 dirname | sort -u); do
	for target in $(grep -h -o '^func Fuzz[A-Za-z0-9]*' "$dir"/*_test.go | sed 's/func //' | sort -u); do
		echo "== $dir $target, $time"
		if go test -run '^$' -fuzz "^$target\$" -fuzztime "$time" "./$dir" >"$out" 2>&1; then
			tail -n 3 "$out"
		elif only_time; then
			echo "the time ran out between two inputs; nothing was found"
		else
			cat "$out"
			exit 1
		fi
	done
done
