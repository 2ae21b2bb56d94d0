#!/bin/sh
# grow.sh: how processor time and memory grow with the rows, and what a night of a year of 60 tags takes.
#
# Data are made here by bench_fleet.  LARGEST=10000000 leaves out what is larger.
set -u
cd "$(dirname "$0")/../.." || exit 1
top=$(pwd)
build=$(cd "${BUILD:-build}" && pwd) || exit 1
PATH=$build/bin:$PATH; LC_ALL=C; export PATH LC_ALL
work=$build/bench; mkdir -p "$work" || exit 1
cd "$work" || exit 1
export TMPDIR="$work"

# How cost grows: the same four mills for longer.  The rows are made while they are judged, so only processor time counts.
echo "rows and memory (leat-state, leat-drain, leat-check by a works; processor seconds):"
mkdir -p fleet
for t in nameplate limits trends; do
	awk 'NR == 1 || /^[*,;]/ { print; next }
		/^NM/ { for (i = 1; i <= 4; i++) { row = $0; sub(/^NM/, "M0" i, row); print row } }' "$top/testdata/works-year/$t.csv" >"fleet/$t.csv"
done
for c in leat-state leat-drain leat-check; do
	for n in 1000000 10000000 100000000; do
		[ "$n" -le "${LARGEST:-100000000}" ] || continue
		"$build/tests/bench/bench_fleet" $n 4 2>/dev/null | /usr/bin/time -f '%U %S %M' -o took "$c" -q -w fleet --now data >/dev/null 2>err
		awk -v c="$c" -v n="$n" 'END { printf "  %-12s %10d rows  %8.2f s  %6.1f ns a row  %7.1f MB\n", c, n, $1 + $2, ($1 + $2) / n * 1e9, $3 / 1024 }' took
	done
done

# A year of minutes of 60 tags through the whole of nightly.sh: archive, filters, judges, report.
echo "the night: a year of minutes of 60 tags, all of nightly.sh, on all cores:"
if [ ! -e fleet/archive ]; then
	"$build/tests/bench/bench_fleet" $((525600 * 60)) 4 | leat-archive -q -w fleet --now data || exit 1
	mkdir -p fleet/incoming/M && {
		# One export of that night, of a few tags, so that the night begins as any other does.
		echo 'Zeit;M01.TTK;M02.TTK'
		mawk 'BEGIN { for (m = 0; m < 1440; m++) printf "01.01.2026 %02d:%02d;48,%d;49,%d\n", int(m / 60), m % 60, m % 7, m % 5 }'
	} >fleet/incoming/M/day.csv
	printf 'bin %s/bin\nsettle 0\ndays 9999\n' "$build" >fleet/nightly.conf
	printf 'tag,asset,point,unit\nM01.TTK,M01/round,oil-temperature,degC\nM02.TTK,M02/round,oil-temperature,degC\n' >fleet/points.csv
fi
rm -rf fleet/findings
/usr/bin/time -f '%e %U %S %M' -o took sh "$top/docs/nightly.sh" --now 2026-01-02T05:30:00Z "$work/fleet" >night.mail
awk 'END { printf "  nightly.sh %26.2f s wall, %.2f s of processors, largest process %.1f MB\n", $1, $2 + $3, $4 / 1024 }' took
echo "  its mail: $(head -n 1 night.mail)"
