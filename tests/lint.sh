#!/bin/sh
# clang-format, cppcheck, clang-tidy and a compile with clang under the same warnings.
# Usage: lint.sh FILE..., with the compiler's flags in LINT_FLAGS; `make lint` gives both.
set -eu
export LINT_FLAGS
sources=$(printf '%s\n' "$@" | grep '\.c$')

clang-format --dry-run -Werror "$@"
# shellcheck disable=SC2086
cppcheck --quiet --std=c11 --language=c --enable=warning,portability,performance --inline-suppr \
	--suppress=missingIncludeSystem --error-exitcode=1 -Iinclude -Isrc -Itests \
	'-DLT_VERSION="lint"' '-DLT_SOURCE_LAYOUTS="layouts"' $sources
printf '%s\n' $sources | xargs -P 2 -n 1 sh -c '
	eval "clang -fsyntax-only $LINT_FLAGS \"\$1\"" || exit 1
	eval "clang-tidy --quiet --warnings-as-errors=\"*\" \"\$1\" -- $LINT_FLAGS" 2>"$0.$$" ||
		{ grep -v "warnings generated" "$0.$$"; rm -f "$0.$$"; exit 1; }
	rm -f "$0.$$"' "${TMPDIR:-/tmp}/loomtag-lint"
echo "lint: $# files clean"
