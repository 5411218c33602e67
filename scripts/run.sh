#!/bin/sh
# Does what make run does, as a new user would, on a data folder of its own: waits for the
# address that the program prints, asks for the first page and for a plan of the demo case,
# and ends the program.
set -eu
dir=$(mktemp -d)
make run ARGS="--data $dir --address 127.0.0.1:0 --no-browser" >"$dir/out" 2>&1 &
job=$!
trap 'pkill -TERM -f "serve --demo --data $dir" 2>/dev/null || true; wait $job 2>/dev/null || true; rm -rf "$dir"' EXIT
address=""
for _ in $(seq 600); do
	address=$(grep -o 'http://127.0.0.1:[0-9]*' "$dir/out" | head -n 1) && [ -n "$address" ] && break
	kill -0 $job 2>/dev/null || { cat "$dir/out"; exit 1; }
	sleep 0.2
done
[ -n "$address" ] || { cat "$dir/out"; echo "the workbench did not start"; exit 1; }
curl -fsS "$address/" | grep -q '<script' || { echo "the first page has no script: the front end is not in the program"; exit 1; }
curl -fsS "$address/api/cases" | grep -q '"items":\[{' || { echo "the demo case is not there"; exit 1; }
echo "the workbench answers at $address with the demo case"
