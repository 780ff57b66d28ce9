#!/bin/sh
# Harnesses whose joints wait for each other in many ways (orders.py tells the shapes), of 5,000 and
# 20,000 connectors: four times as many should take about four times the time and memory. Prints how
# many times as much it was, with a word where that is above 6, and fails on none. The scans that
# are verified make every joint, in a right order. Seconds of the processor, of one run; what takes
# more than a minute or 4 GB is stopped. Usage: orders.sh BUILD [SHAPE...]
set -eu
build=$1
shift
out=$build/bench-orders
here=$(dirname "$0")
rm -rf "$out"
mkdir -p "$out"
[ $# -gt 0 ] || set -- chain chain-none dense dense-none hub hub-none layered layered-none

# run COMMAND FILE: seconds by the clock, of the processor, and MB; "stopped" when it did not end.
run() {
	command=$1
	file=$2
	case $command in
	check | tags) set -- "$command" -q "$file.yaml" ;;
	verify) set -- verify "$file.yaml" "$file.scans" ;;
	*) set -- "$command" -q "$file.yaml" -o "$file.pdf" ;;
	esac
	# Without its register, so that it numbers everything each time; scans need the numbers.
	[ "$command" = verify ] || rm -f "$file.tags"
	(
		ulimit -v 4000000
		timeout 60 "$build/bench/measure" 1 "$build/loomtag" "$@" 2>"$file.said" |
			tail -n 1 >"$file.took"
	) || true
	grep -x '[0-9. ]*' "$file.took" || echo stopped
}

echo "joints that wait for each other; seconds and MB for 20,000, and how many times those for 5,000"
for shape; do
	for count in 5000 20000; do
		file=$out/$shape-$count
		python3 "$here/orders.py" describe "$shape" $count >"$file.yaml"
		"$build/loomtag" tags --json "$file.yaml" >"$file.json" 2>"$file.said"
		python3 "$here/orders.py" scans "$shape" $count "$file.json" >"$file.scans"
	done
	for command in verify check tags checklist map stickers; do
		for count in 5000 20000; do
			run $command "$out/$shape-$count"
		done | paste -s -d' ' | awk -v shape="$shape" -v command=$command '{
			printf "%-13s %-10s ", shape, command
			if (NF != 6) {
				print "stopped: it takes more than a minute or 4 GB   STEEP"
				exit
			}
			small = $2 < 0.01 ? 0.01 : $2
			time = $5 / small
			memory = $6 / $3
			word = (time > 6 || memory > 6) ? "   STEEP" : ""
			printf "%6.2f s %5.0f MB   time %4.1f, memory %4.1f%s\n", $5, $6, time, memory, word
		}'
	done
done
