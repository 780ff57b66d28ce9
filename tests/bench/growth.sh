#!/bin/sh
# How time grows with the number of connectors, from 2,500 to 10,000: four times as many should take
# about four times as long. Run for harnesses that are alike in different ways. Best of three each;
# seconds of the processor. Usage: growth.sh BUILD
set -eu
build=$1
out=$build/bench-growth
rm -rf "$out"
mkdir -p "$out"

# describe KIND COUNT: a description whose connectors are all alike, all of unknown fit, all
# different, each with its own key beside one that fits every key, all nearly the same by a word of
# their family, or of one moulding with a list of ways.
describe() {
	awk -v kind="$1" -v n="$2" 'function word(i) {
		return sprintf("%c%c%c", 97 + i % 26, 97 + int(i / 26) % 26, 97 + int(i / 676))
	}
	BEGIN {
		print "harness: GRW"
		if (kind == "moulding")
			print "mouldings: [{id: R, family: round, ways: [30, 85, 86, 87, 87a]}]"
		print "connectors:"
		for (i = 1; i <= n; i++) {
			if (kind == "alike") more = ", family: round, ways: 3"
			if (kind == "unknown") more = ""
			if (kind == "different") more = ", family: round " i
			if (kind == "near") more = ", family: round " word(i)
			if (kind == "moulding") more = ", moulding: R, wires: {87a: BN}"
			if (kind == "keys") more = ", family: round" (i % 2 ? ", key: K" i : "")
			printf "  - {id: X%d%s}\n", i, more
		}
	}'
}

best() {
	"$build/bench/measure" 3 "$@" | tail -n 1
}

for kind in alike unknown different keys near moulding; do
	for count in 2500 10000; do
		describe $kind $count >"$out/$kind-$count.yaml"
	done
	for command in check tags checklist stickers; do
		for count in 2500 10000; do
			file=$out/$kind-$count
			case $command in
			checklist | stickers) best sh -c "rm -f '$file.tags' && exec '$build/loomtag' $command \
				-q '$file.yaml' -o '$file.pdf' 2>'$file.said'" ;;
			*) best sh -c "rm -f '$file.tags' && exec '$build/loomtag' $command -q '$file.yaml' \
				2>'$file.said'" ;;
			esac
		done | paste -s -d' ' | awk -v kind=$kind -v command=$command '{
			small = $2 < 0.001 ? 0.001 : $2
			printf "%-10s %-10s %6.3f s, %4.0f MB for 10,000; %4.1f times 2,500\n", kind, command, \
				$5, $6, $5 / small
			if ($5 / small > 8 && $5 > 0.2) {
				print "that grows faster than the number of connectors"
				exit 1
			}
		}'
	done
done

# The same 20,000 connectors, with a warning at each that is shown, in one line of a file and in a
# line each: a diagnostic of a long line shows a part of it, and costs no more.
rows() {
	awk -v one="$1" 'BEGIN {
		printf one ? "harness: GRW\nconnectors: [" : "harness: GRW\nconnectors:\n"
		for (i = 1; i <= 20000; i++) {
			printf "%s{id: X%d, family: round %d, ways: 3, note: %s}%s", one ? "" : "  - ", i, \
				i / 2, "a note that is about as long as the notes of a harness mostly are", \
				one ? ", " : "\n"
		}
		printf one ? "]\n" : ""
	}'
}

for one in 0 1; do
	rows $one >"$out/rows-$one.yaml"
	best sh -c "exec '$build/loomtag' check -q '$out/rows-$one.yaml' 2>'$out/rows-$one.said'"
done | paste -s -d' ' | awk '{
	lines = $2 < 0.001 ? 0.001 : $2
	printf "20,000 connectors with warnings: %6.3f s in one line of a file; %4.1f times as many lines\n", \
		$5, $5 / lines
	if ($5 / lines > 4 && $5 > 0.5) {
		print "that grows with the length of a line"
		exit 1
	}
}'
