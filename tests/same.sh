#!/bin/sh
# Whether two programs make the same of the samples: papers, pages, JSON, messages, exit codes.
# For changes that are to change nothing that anybody sees. Usage: same.sh OLD NEW FOLDER
# The clock is held still by faketime (Debian package faketime).
set -eu
old=$(realpath "$1")
new=$(realpath "$2")
root=$(cd "$(dirname "$0")/.." && pwd)
rm -rf "$3"
mkdir -p "$3/old" "$3/new"
cd "$3"
export SOURCE_DATE_EPOCH=1700000000 TZ=UTC LC_ALL=C.UTF-8 NO_COLOR=1 COLUMNS=80
# Files keep their own times, or the fonts' cache is taken for stale and written anew.
export NO_FAKE_STAT=1
export XDG_CONFIG_HOME=/nonexistent XDG_STATE_HOME=/nonexistent

# Runs the program and keeps what it says, and its exit code, under a name.
run() {
	said=$1
	shift
	code=0
	faketime -f '2026-01-02 03:04:05' "$program" "$@" >"$said.out" 2>"$said.err" </dev/null || code=$?
	echo "$code" >"$said.code"
}

papers() {
	for kind in pdf txt; do
		run "$1-checklist-$kind" checklist "$1.yaml" -o "$1-checklist.$kind"
	done
	run "$1-checklist-screen" checklist "$1.yaml" -o -
	for kind in pdf png svg; do
		run "$1-map-$kind" map "$1.yaml" -o "$1-map.$kind"
	done
	run "$1-map-a3" map "$1.yaml" --paper a3 --portrait -o "$1-a3.pdf"
	run "$1-map-letter" map "$1.yaml" --paper letter -o "$1-letter.pdf"
	run "$1-map-a0" map "$1.yaml" --paper a0 -o "$1-a0.pdf"
	run "$1-pages" map "$1.yaml" --pages "$1-pages"
	for kind in pdf png; do
		run "$1-stickers-$kind" stickers "$1.yaml" -o "$1-stickers.$kind"
	done
	run "$1-facts" stickers "$1.yaml" --payload facts --layout roll-54x25 -o "$1-facts.png"
	run "$1-explain" stickers "$1.yaml" --layout tape-12 --explain
	run "$1-screen" stickers "$1.yaml" --layout tape-12 --only 1-3 -o -
}

scans() {
	for stage in tag unplug swap reconnect; do
		for file in right wrong; do
			run "$1-$stage-$file" verify "$1.yaml" "$1.$file.scans" --stage $stage
			run "$1-$stage-$file-json" verify "$1.yaml" "$1.$file.scans" --stage $stage --json
			run "$1-$stage-$file-db" verify "$1.yaml" "$1.$file.scans" --stage $stage \
				--db "$1-$file.db" --who ann
		done
	done
	for file in right wrong; do
		run "$1-jobs-$file" jobs --db "$1-$file.db"
		run "$1-jobs-$file-json" jobs --db "$1-$file.db" --json
		run "$1-show-$file" jobs show 1 --db "$1-$file.db"
		run "$1-show-$file-json" jobs show 1 --db "$1-$file.db" --json
		for kind in pdf txt json; do
			run "$1-record-$file-$kind" record "$1.yaml" --db "$1-$file.db" \
				-o "$1-$file-record.$kind"
		done
		run "$1-close-$file" jobs close 1 'put off' --db "$1-$file.db"
		run "$1-closed-$file-txt" record "$1.yaml" --db "$1-$file.db" --job 1 -o -
	done
}

all() {
	program=$1
	cd "$2"
	cp "$root"/samples/*.yaml "$root"/samples/*.scans .
	PYTHONPATH="$root/tests/outside" python3 -c '
import descriptions
for seed, size in ((3, 9), (4, 40)):
    open(f"chance-{seed}.yaml", "w").write(descriptions.describe(seed, size))'
	printf 'harness: lower\nconnectors:\n  - {id: X1, colour: BK, mates: M9}\n  - id: X1\n' >bad.yaml
	printf 'harness: NOWT\n' >bare.yaml
	for name in mast-head dome-shutter seed-gantry chance-3 chance-4 bad bare; do
		run "$name-check" check $name.yaml
		run "$name-check-json" check $name.yaml --json
		run "$name-tags" tags $name.yaml
		run "$name-tags-json" tags $name.yaml --json
		papers $name
	done
	for name in mast-head dome-shutter seed-gantry; do
		scans $name
		run "$name-auto" stickers $name.yaml --layout auto -o $name-auto.pdf \
			--stock wrap-20x6,wrap-25x11,wrap-25x20,wrap-40x36,a4-5x13
	done
	for layout in "$root"/layouts/*.yaml; do
		name=$(basename "$layout" .yaml)
		run "layout-$name" layouts "$name"
		run "layout-$name-json" layouts "$name" --json
		run "layout-$name-stickers" stickers seed-gantry.yaml --layout "$name" -o "on-$name.pdf"
		run "layout-$name-ruler" ruler "$name" -o "ruler-$name.pdf"
		run "layout-$name-ladder" print --ladder --layout "$name" -o "ladder-$name.pdf"
	done
	run layouts layouts
	run layouts-json layouts --json
	run layouts-check layouts --check
	run layouts-pdf layouts -o layouts.pdf
	# The code that quick takes is by chance.
	run quick quick 7 -o seven
	for file in quick.out seven/*.yaml seven/*.tags; do
		sed -E 's/Q[0-9A-Z]{5}/QCODEX/g' "$file" >"quick-${file##*.}.same"
	done
	rm -r quick.out seven
	run usage nonsense
	run help --help
	for command in quick check tags stickers map checklist verify print layouts printers ruler \
		jobs record; do
		run "$command-help" $command --help
		run "$command-bare" $command
		run "$command-option" $command --nonsense
		run "$command-missing" $command missing.yaml -o missing.pdf
	done
	cd ..
}

(all "$old" old) &
all "$new" new
wait
count=$(find new -type f | wc -l)
diff -rq old new || {
	echo "same.sh: not the same" >&2
	exit 1
}
echo "same.sh: $count files are the same"
