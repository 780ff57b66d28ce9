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
# Some checks need Debian's modules, which another Python before it in PATH does not have.
python=/usr/bin/python3
[ -x "$python" ] || python=python3
LOOMTAG=$program LOOMTAG_ROOT=$(dirname "$here") PYTHONDONTWRITEBYTECODE=1 \
	"$python" -m unittest discover -s "$here/outside" -p 'test_*.py'
