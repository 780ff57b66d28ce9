#!/bin/sh
# Checks of the main job by judges from outside: poppler, qpdf, zbar and arithmetic of their own.
# Usage: run-outside.sh PROGRAM FOLDER
set -eu
program=$(realpath "$1")
rm -rf "$2"
mkdir -p "$2"
folder=$(realpath "$2")
here=$(cd "$(dirname "$0")" && pwd)
cd "$folder"
LOOMTAG=$program LOOMTAG_ROOT=$(dirname "$here") PYTHONDONTWRITEBYTECODE=1 \
	python3 -m unittest discover -s "$here/outside" -p 'test_*.py'
