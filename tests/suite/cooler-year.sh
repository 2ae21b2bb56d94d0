#!/bin/sh
# cooler-year.sh: coolers of the simulated works against what the simulator knows inside.
#
# The simulator has its own cooler (effectiveness of a counterflow), thermostat and tank, and takes the oil at one density;
# leat takes it at that of its temperature, 2.5 % less, which with the mean of both sides makes the conductance 1.3 % smaller.
# A fouled cooler and a sound one in the heat, the sound one in the cold, and a thermostat that begins to hunt.
# shellcheck source=tests/lib.sh
. "$(dirname "$0")/../lib.sh"
need_simulator
mkdir "$scratch/works"
cp testdata/works-year/points.csv testdata/works-year/sources.csv "$scratch/works"
{ grep -v tank-wall-area testdata/works-year/nameplate.csv
for m in NM MM SM; do echo "$m,tank-wall-area,5.6,m2,,tank sheet"; done; } >"$scratch/works/nameplate.csv"

# rows DAYS MILL: what leat-cooler adds to the exports of these days, and inside.csv beside.
rows() {
	[ -d "$scratch/$1" ] || "$simulate" --year --inside --days "$1" "$scratch/$1" >"$scratch/said" || fail "simulate $1"
	leat-normalise -q -w "$scratch/works" --now 2026-02-02T00:00:00Z "$scratch/$1/$2"_*.csv "$scratch/$1/charging_$2"_*.csv |
		leat-state -q -w "$scratch/works" --now 2026-02-02T00:00:00Z |
		leat-cooler -q -w "$scratch/works" --now 2026-02-02T00:00:00Z --only >"$scratch/rows"
}

# conductance NAME INSIDE MILL POINT PERCENT DAYS: each value of the point lies so near to that inside in the middle of its
# day, and there are at least so many.
conductance() {
	if awk -F, -v mill="$3" -v point="$4" -v share="$5" -v least="$6" '
	function days(y, m, d) {
		if (m < 3) { m += 12; y-- }
		return 365 * y + int(y / 4) - int(y / 100) + int(y / 400) + int((153 * (m - 3) + 2) / 5) + d - 719469
	}
	FNR == NR { if ($2 == mill) inside[$1] = $9; next }
	$2 == mill "/cooler" && $3 == point && $6 != "bad" {
		t = days(substr($1, 1, 4) + 0, substr($1, 6, 2) + 0, substr($1, 9, 2) + 0) * 86400 + substr($1, 12, 2) * 3600 - 43200
		if (!(t in inside)) { print "nothing inside at", t; exit 1 }
		off = 100 * ($4 / inside[t] - 1); if (off < 0) off = -off
		if (off > share) { print $1, $4, "is", off, "% off", inside[t]; bad = 1 }
		count++
	}
	END { if (count < least) { print count + 0, "days"; bad = 1 } exit bad }' "$2" "$scratch/rows" >"$scratch/off"; then ok "$1"
	else fail "$1: $(head -n 3 "$scratch/off")"; fi
}
# every NAME POINT FROM TO TEST: all values of the point at the ends of these days pass the test of v, and there are some.
every() {
	# shellcheck disable=SC2016
	check "$1" awk -F, -v point="$2" -v from="$3" -v to="$4T24" '
		$3 == point && $6 != "bad" && $1 >= from && $1 <= to { v = $4 + 0; n++; if (!('"$5"')) bad = 1 }
		END { exit !(n > 2 && !bad) }' "$scratch/rows"
}
mean() { awk -F, -v point="$1" '$3 == point && $6 != "bad" { s += $4; n++ } END { printf "%.1f", s / n }' "$scratch/rows"; }

july=2025-07-13..2025-07-18
rows $july MM
conductance 'a fouled cooler within 3 % each day' "$scratch/$july/inside.csv" MM cooler-ua 3 4
every 'it cannot stand the water of July' warmest-water 2025-07 2025-08 'v < 24'
every 'no hunting' hunting-amplitude 2025-07 2025-08 'v == 0'
rows $july SM
conductance 'a sound cooler within 3 % each day' "$scratch/$july/inside.csv" SM cooler-ua 3 4
every 'it can stand it' warmest-water 2025-07 2025-08 'v > 28'
july_c=$(mean warmest-water)

# The thermostat of SM hunts from the first of March on.
winter=2025-02-23..2025-03-06
rows $winter SM
every 'in the winter the conductance is not observable' cooler-ua.coverage 2025-02 2025-04 'v == 0'
conductance 'its lower bound is within 3 % each day' "$scratch/$winter/inside.csv" SM cooler-ua.low 3 8
february_c=$(mean warmest-water.low)
check "the winter knows the warmest water of July: $february_c and $july_c degC" \
	awk -v a="$february_c" -v b="$july_c" 'BEGIN { d = a - b; exit !(d > -1.5 && d < 1.5) }'
every 'no hunting before March' hunting-amplitude 2025-02 2025-02-28 'v == 0'
every 'in March it hunts by 3 K' hunting-amplitude 2025-03-02 2025-04 'v > 2.7 && v < 3.4'
every 'in 9 min' hunting-period 2025-03-02 2025-04 'v > 8.9 && v < 9.1'
rows $winter NM
every 'that of the other mill does not' hunting-amplitude 2025-02 2025-04 'v == 0'
exit "$bad"
