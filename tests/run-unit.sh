#!/bin/sh
# Runs every cmocka program and adds up what they say. Usage: run-unit.sh BUILD PROGRAM...
set -u
build=$1
shift
failed=0
run=0
for program in "$@"; do
	run=$((run + 1))
	if ! LOOMTAG="$build/loomtag" "$program" >"$program.log" 2>&1; then
		failed=$((failed + 1))
		cat "$program.log"
	fi
	grep -h '^\[  PASSED  \]' "$program.log" | sed "s|^|$(basename "$program"): |"
done
echo "programs: $((run - failed)) passed, $failed failed"
[ "$failed" = 0 ] && [ "$run" -gt 0 ]
