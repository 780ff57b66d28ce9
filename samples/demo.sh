#!/bin/sh
# A whole job on copies of the samples: check, number, print, check off, verify.
# Usage: demo.sh PROGRAM FOLDER
set -eu
program=$(realpath "$1")
samples=$(cd "$(dirname "$0")" && pwd)
rm -rf "$2"
mkdir -p "$2"
cd "$2"
cp "$samples"/*.yaml "$samples"/*.scans .

say() {
	printf '\n== %s\n' "$1"
}

say 'The technician: six plugs, no description, five minutes'
"$program" quick 6 -o six-plugs

say 'The shop: what would be mistaken for what'
"$program" check dome-shutter.yaml || exit 1

say 'The shop: numbers, stickers, checklist'
"$program" tags dome-shutter.yaml
for name in mast-head dome-shutter seed-gantry; do
	"$program" stickers $name.yaml -o $name-stickers.pdf
	"$program" checklist $name.yaml -o $name-checklist.pdf
done

say 'The shop: the same on what is in the drawer: a roll, a tape, flags and wraps'
"$program" stickers dome-shutter.yaml --layout roll-54x25 -o dome-shutter-roll.png
"$program" stickers dome-shutter.yaml --layout tape-12 -o dome-shutter-tape.pdf
"$program" stickers mast-head.yaml --layout-h flag-38x19 --layout-m a4-5x13 \
	-o mast-head-flags.pdf
for name in mast-head dome-shutter seed-gantry; do
	"$program" stickers $name.yaml --layout auto --quiet -o $name-auto.pdf \
		--stock wrap-20x6,wrap-25x11,wrap-25x20,wrap-40x36,a4-5x13
done
"$program" stickers dome-shutter.yaml --layout roll-54x25 --explain --only 3,6
"$program" stickers dome-shutter.yaml --layout tape-12 --only 6X -o -
"$program" ruler a4-3x8 -o ruler.pdf
"$program" layouts -o layouts.pdf

say 'The shop: the map that hangs by the bench'
for name in mast-head dome-shutter seed-gantry; do
	"$program" map $name.yaml -o $name-map.pdf
done
"$program" map dome-shutter.yaml --paper a3 --portrait -o dome-shutter-map-a3.pdf
"$program" map dome-shutter.yaml --pages pages

say 'The apprentice: every pair scanned as it is made'
"$program" verify dome-shutter.yaml dome-shutter.right.scans

say 'The apprentice again, with two plugs of the same moulding swapped'
code=0
"$program" verify dome-shutter.yaml dome-shutter.wrong.scans || code=$?
if [ "$code" != 1 ]; then
	echo "the swapped pair was not caught (exit code $code)" >&2
	exit 1
fi
printf '\nThe swapped pair was caught, and the answer was no (exit code 1).\n'

say 'The foreman: the record of a job, here of scans from a file'
"$program" verify dome-shutter.yaml dome-shutter.right.scans --db bench.db --who ann --quiet
"$program" jobs
"$program" record dome-shutter.yaml -o dome-shutter-record.pdf

say "The files are in $(pwd)"
ls -1 . six-plugs
