#!/bin/sh
# Installs the Debian packages named that are missing: as root, or through sudo. With neither it
# prints the one line to run and stops.
set -eu
missing=
for package in "$@"; do
	status=$(dpkg-query -W -f '${db:Status-Status}' "$package" 2>/dev/null || true)
	[ "$status" = installed ] || missing="$missing $package"
done
[ -n "$missing" ] || exit 0
if [ "$(id -u)" = 0 ]; then
	as=
elif command -v sudo >/dev/null 2>&1 && sudo -n true 2>/dev/null; then
	as='sudo -n'
elif command -v sudo >/dev/null 2>&1 && [ -t 0 ]; then
	as=sudo
else
	echo "loomtag needs these packages; run this as root, then make again:" >&2
	echo "  apt-get update && apt-get install -y --no-install-recommends$missing" >&2
	exit 1
fi
echo "installing:$missing" >&2
$as env DEBIAN_FRONTEND=noninteractive apt-get update -qq >&2
# shellcheck disable=SC2086
$as env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends $missing >&2
