#!/bin/sh
# Harness maps as PDF, of 100, 1,000 and 4,000 connectors with four wires each. Best of three each;
# fails when 100 take more than 0.3 s, 1,000 more than 5 s or 200 MB, or when four times as many
# take more than six times as long (n log n is 4.8). Then the same as web pages.
# Usage: map.sh BUILD
set -eu
build=$1
out=$build/bench-map
rm -rf "$out"
mkdir -p "$out"

# describe COUNT: a description of so many connectors along a conveyor.
describe() {
	awk -v n="$1" 'BEGIN {
		split("BN BU TQ RD YE GN WH GY BK OG VT PK", colour, " ")
		split("north drive;south drive;tail pulley;loading hopper;gantry;bench 4", place, ";")
		print "harness: CV8\ntitle: Gravel conveyor\nrevision: B\nbase: http://yard.local\ncomponents:"
		for (i = 1; i <= n / 4 + 1; i++)
			printf "  - {id: M%d, name: roller motor %d, place: %s}\n", i, i, place[i % 6 + 1]
		print "connectors:"
		for (i = 1; i <= n; i++) {
			printf "  - id: X%d\n    name: roller %d supply\n    mates: M%d\n", i, i, i / 4 + 1
			printf "    family: shell %d\n    ways: 4\n    key: %c\n", i % 20, 65 + i % 5
			printf "    wires: {1: %s, 2: %s, 3: GNYE, 4: WH%s}\n", colour[i % 12 + 1], \
				colour[(i + 5) % 12 + 1], colour[i % 6 + 1]
			printf "    size: 0.75 mm2\n    place: %s, bay %d\n", place[i % 6 + 1], i / 10
			if (i % 3 > 0)
				printf "    at: %d mm\n", i * 2
		}
	}'
}

best() {
	"$build/bench/measure" 3 "$@" | tail -n 1
}

for count in 100 1000 4000; do
	describe $count >"$out/$count.yaml"
	"$build/loomtag" tags --quiet "$out/$count.yaml"
done
echo "harness maps; seconds by the clock, seconds of the processor, most memory in MB"
for kind in "-o" "--pages"; do
	for count in 100 1000 4000; do
		target=$out/$count
		[ $kind = -o ] && target=$target.pdf
		found=$(best "$build/loomtag" map -q "$out/$count.yaml" $kind "$target")
		echo "$kind $count $found"
	done
done | awk '{
	printf "%-7s %5d connectors   %s %s %s\n", $1, $2, $3, $4, $5
	took[$1, $2] = $4
	memory[$1, $2] = $5
}
END {
	grew = took["-o", 4000] / took["-o", 1000]
	printf "4,000 take %.1f times as long as 1,000\n", grew
	if (took["-o", 100] > 0.3 || took["-o", 1000] > 5 || memory["-o", 1000] > 200 || grew > 6) {
		print "too slow or too large"
		exit 1
	}
}'
