#!/bin/sh
# clang-format, cppcheck, clang-tidy and a compile with clang under the same warnings.
set -eu
clang-format --dry-run -Werror "$@"
sources=$(printf '%s\n' "$@" | grep '\.c$')
flags="-std=c17 -Iinclude -Isrc -Itests -D_XOPEN_SOURCE=700 -DLT_VERSION=\"lint\" -DLT_SOURCE_LAYOUTS=\"layouts\""
warn="-Wall -Wextra -Wpedantic -Wconversion -Wshadow -Wstrict-prototypes -Wmissing-prototypes -Werror"
pkg=$(pkg-config --cflags cairo libqrencode yaml-0.1 jansson libpng freetype2 fontconfig)
# shellcheck disable=SC2086
cppcheck --quiet --std=c11 --language=c --enable=warning,portability,performance --inline-suppr \
	--suppress=missingIncludeSystem --error-exitcode=1 -Iinclude -Isrc -Itests $sources
# shellcheck disable=SC2086
printf '%s\n' $sources | xargs -P 2 -n 4 sh -c 'clang-tidy --quiet --warnings-as-errors="*" "$@" -- '"$flags $pkg"' 2>/dev/null' tidy
for source in $sources; do
	# shellcheck disable=SC2086
	clang $flags $warn $pkg -fsyntax-only "$source"
done
echo "lint: $(printf '%s\n' "$@" | wc -l) files clean"
