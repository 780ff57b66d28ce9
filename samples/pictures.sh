#!/bin/sh
# Draws the pictures of README anew from the samples. Usage: samples/pictures.sh PROGRAM
set -eu
program=$(realpath "$1")
here=$(cd "$(dirname "$0")" && pwd)
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
cp "$here"/*.yaml "$folder"
cd "$folder"
SOURCE_DATE_EPOCH=1790000000
export SOURCE_DATE_EPOCH

# page PDF PAGE DPI NAME [CUT]: one page as a picture of 16 greys; CUT is what pdftoppm cuts out.
page() {
	# shellcheck disable=SC2086 # the cut is several words
	pdftoppm -r "$3" -f "$2" -l "$2" -gray ${5:-} -singlefile "$1" page
	pnmdepth 15 page.pgm 2>/dev/null | pnmtopng -compression 9 -force >"$here/pictures/$4.png" 2>/dev/null
}

"$program" stickers dome-shutter.yaml -o stickers.pdf --quiet 2>/dev/null
page stickers.pdf 1 100 stickers '-x 0 -y 0 -W 827 -H 450'
"$program" checklist dome-shutter.yaml -o checklist.pdf
page checklist.pdf 1 70 checklist-1
page checklist.pdf 3 70 checklist-2
"$program" map dome-shutter.yaml -o map.pdf
page map.pdf 1 90 map
