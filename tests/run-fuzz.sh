#!/bin/sh
# Runs every fuzzer for a bounded time, starting from the samples (the layouts for the one that reads
# those) and from what earlier runs found.
# Usage: run-fuzz.sh SECONDS BUILD SAMPLES FUZZER...
set -eu
seconds=$1
build=$2
samples=$3
shift 3
for fuzzer in "$@"; do
	name=$(basename "$fuzzer")
	found=$build/corpus/$name
	mkdir -p "$found"
	seeds=
	[ -d "$samples" ] && seeds=$samples
	[ "$name" = fuzz_layout ] && seeds=layouts
	echo "$name: $seconds s"
	if ! "$fuzzer" -max_total_time="$seconds" -max_len=16384 -timeout=10 -rss_limit_mb=2048 \
		-print_final_stats=1 -artifact_prefix="$build/$name-" "$found" $seeds \
		>"$fuzzer.log" 2>&1; then
		tail -n 60 "$fuzzer.log"
		echo "$name: failed; the input is kept as $build/$name-*"
		exit 1
	fi
	grep -h '^stat::number_of_executed_units' "$fuzzer.log"
done
