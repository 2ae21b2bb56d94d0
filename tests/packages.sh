#!/bin/sh
# packages.sh build|check|lint|bench: makes sure that the Debian packages for that purpose are there.
#
# What is missing is printed first; it is installed when that is possible (root, or sudo without a password), and
# otherwise the exact command to give is printed and the status is 1.
set -u

build='gcc libc6-dev libcsv-dev zlib1g-dev gzip tzdata'
check="$build libcmocka-dev mandoc libc-bin units libxml2-utils"
case ${1-} in
build) want=$build ;;
check) want=$check ;;
lint) want="$check clang cppcheck shellcheck codespell valgrind git python3-icalendar python3-scipy" ;;
bench) want="$build gawk mawk miller time python3-scipy" ;;
*) echo "usage: packages.sh build|check|lint|bench" >&2; exit 2 ;;
esac

if ! command -v dpkg-query >/dev/null 2>&1; then
	echo "not a Debian system: these must be there by other means: $want" >&2
	exit 0
fi
missing=
for p in $want; do
	# Any C compiler serves where one was chosen by hand.
	[ "$p" = gcc ] && command -v "${CC:-cc}" >/dev/null 2>&1 && continue
	case $(dpkg-query -W -f '${db:Status-Abbrev}' "$p" 2>/dev/null) in
	ii*) ;;
	*) missing="$missing $p" ;;
	esac
done
[ -z "$missing" ] && exit 0

echo "missing Debian packages:$missing"
as=
if [ "$(id -u)" != 0 ]; then
	if command -v sudo >/dev/null 2>&1 && sudo -n true 2>/dev/null; then
		as='sudo -n'
	else
		echo "install them with: apt-get install$missing" >&2
		exit 1
	fi
fi
export DEBIAN_FRONTEND=noninteractive
# shellcheck disable=SC2086 # the lists are words on purpose
{
	$as apt-get -q -y install --no-install-recommends $missing ||
	{ $as apt-get -q update && $as apt-get -q -y install --no-install-recommends $missing; }
} >/dev/null 2>&1 || {
	echo "could not install them; try: apt-get update && apt-get install$missing" >&2
	exit 1
}
echo "installed:$missing"
