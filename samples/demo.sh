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
"$program" stickers dome-shutter.yaml --layout roll-54x25 -o dome-shutter-roll.png

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

say "The files are in $(pwd)"
ls -1 . six-plugs
