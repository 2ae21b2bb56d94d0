#!/bin/sh
# demo.sh: a year of the demo works, its history archived, and two nights as cron would run them with what would be mailed.
set -eu
cd "$(dirname "$0")/.."
build=$(cd "${BUILD:-build}" && pwd)
demo=$build/demo
works=$demo/works
exports=$demo/exports
PATH=$build/bin:$PATH
LC_ALL=C
export PATH LC_ALL
unset LEAT_WORKS LEAT_NOW
rm -rf "$demo"
mkdir -p "$demo"
cp -R testdata/works-year "$works"
echo "bin $build/bin" >>"$works/nightly.conf"

echo "Making thirteen months of exports of three mills ..."
"$build/tests/sim/simulate" --year "$exports" >/dev/null
for mill in NM MM SM; do mkdir -p "$works/incoming/$mill"; done
mkdir "$works/incoming/charging" "$works/incoming/rounds" "$works/incoming/laboratory"

# folder FILE: the folder in which an export arrives.
folder() {
	case $1 in
	charging_*) echo charging ;;
	round_*) echo rounds ;;
	lab_*) echo laboratory ;;
	*) echo "${1%%_*}" ;;
	esac
}

# next_month YYYY-MM
next_month() { echo "$1" | awk -F- '{ printf "%04d-%02d", $2 == 12 ? $1 + 1 : $1, $2 % 12 + 1 }'; }

# deliver MONTH: the exports of a whole month arrive on the first of the next one.
deliver() {
	arrived=$(next_month "$1" | tr -d -)010030
	for f in "$exports"/*_"$1"*.csv; do
		to=$works/incoming/$(folder "${f##*/}")
		mv "$f" "$to/"
		touch -t "$arrived" "$to/${f##*/}"
	done
}

# deliver_until DAY: the exports of the month so far, which the historian writes anew each night, arrive: all before DAY.
# The logbook is what was in it by then.
deliver_until() {
	month=${1%-*} year=${1%%-*} day=${1##*-}
	for f in "$exports"/*_"$month"*.csv; do
		to=$works/incoming/$(folder "${f##*/}")/${f##*/}
		# DAY as each form writes it; rows are in order.
		awk -v iso="$1" -v mdy="${month#*-}/$day/$year" -v dmy="$day.${month#*-}.$year" '
			index($0, iso) || index($0, mdy) || index($0, dmy) { exit }
			{ print }' "$f" >"$to"
		touch -t "$(echo "$1" | tr -d -)0030" "$to"
	done
	awk -F, -v now="$1 05:30" 'NR == 1 || $1 < now' "$exports/logbook.csv" >"$works/logbook.csv"
	awk -F, -v now="$1T04:30" 'NR == 1 || $1 < now || $4 == "planned"' "$exports/stops.csv" >"$works/stops.csv"
}

# archive MONTH: history goes into the archive a month at a time, once and by hand.
archive() {
	set -- "$works"/incoming/*/*_"$1"*.csv
	leat-normalise -q -w "$works" --now data "$@" | leat-archive -q -w "$works" --now data
}

# night DAY: nightly.sh as cron gives it: a bare environment.
night() {
	echo
	echo "----- The mail of the night of $1 -----"
	env -i PATH=/usr/bin:/bin sh docs/nightly.sh --now "$1T04:30:00Z" "$works"
}

echo "Archiving January to October ..."
for month in 2025-01 2025-02 2025-03 2025-04 2025-05 2025-06 2025-07 2025-08 2025-09 2025-10; do
	deliver "$month"
	archive "$month"
done
deliver 2025-11
deliver_until 2025-12-19
night 2025-12-19
deliver_until 2025-12-20
night 2025-12-20
echo
echo "The works folder is $works; tonight's findings are in its findings/2025-12-19.csv, and what the faults"
echo "of the year really were is in $exports/truth.csv."
