#!/bin/sh
# demo.sh: two nights of the demo works, as cron would run them, and what would have been mailed.
set -eu
cd "$(dirname "$0")/.."
build=$(cd "${BUILD:-build}" && pwd)
demo=$build/demo
rm -rf "$demo"
mkdir -p "$demo"
cp -R testdata/works "$demo/works"
echo "Making thirty days of exports of three mills ..."
"$build/tests/sim/simulate" "$demo/exports"

# deliver DAY...: the exports of these days arrive.
deliver() {
	for mill in NM MM SM; do
		mkdir -p "$demo/works/incoming/$mill"
		for day in "$@"; do mv "$demo/exports/${mill}_$day.csv" "$demo/works/incoming/$mill/"; done
	done
}

# night TIME: nightly.sh from a bare environment, as cron gives it.
night() {
	echo
	echo "----- The mail of the night of $1 -----"
	env -i PATH="$build/bin:/usr/bin:/bin" sh docs/nightly.sh --now "$1" "$demo/works"
}

# shellcheck disable=SC2046 # days are words
deliver $(cd "$demo/exports" && ls NM_*.csv | sed 's/^NM_//;s/\.csv$//' | grep -v '^2025-11-04')
night 2025-11-04T04:30:00Z
deliver 2025-11-04
night 2025-11-05T04:30:00Z
echo
echo "The works folder is $demo/works; tonight's findings are in its findings/2025-11-04.csv."
