#!/bin/sh
# drain-year.sh: corrected drain flow of the simulated works against what the simulator knows inside, in percent of it.
#
# The simulator has its own model of pump and oil.  A pump that has worn to twice its flow, a sound one, and two weeks in
# which the stand-by pump runs on the meter of the other.
# shellcheck source=tests/lib.sh
. "$(dirname "$0")/../lib.sh"
need_simulator
works=testdata/works-year

# rows DAYS MILL: what leat-drain adds to the exports of these days, and inside.csv beside.
rows() {
	[ -d "$scratch/$1" ] || "$simulate" --year --inside --days "$1" "$scratch/$1" >"$scratch/said" || fail "simulate $1"
	leat-normalise -q -w "$works" --now 2026-02-02T00:00:00Z "$scratch/$1/$2"_*.csv "$scratch/$1/charging_$2"_*.csv |
		leat-drain -q -w "$works" --now 2026-02-02T00:00:00Z --only >"$scratch/rows"
}

# within NAME INSIDE ASSET MILL PERCENT DAYS: each good or uncertain value lies so near to what is inside in the middle of its
# day, and there are at least so many.
within() {
	if awk -F, -v asset="$3" -v mill="$4" -v share="$5" -v least="$6" '
	function days(y, m, d) {
		if (m < 3) { m += 12; y-- }
		return 365 * y + int(y / 4) - int(y / 100) + int(y / 400) + int((153 * (m - 3) + 2) / 5) + d - 719469
	}
	FNR == NR { if ($2 == mill) inside[$1] = $7; next }
	$2 == asset && $3 == "drain-flow-corrected" && $6 != "bad" {
		t = days(substr($1, 1, 4) + 0, substr($1, 6, 2) + 0, substr($1, 9, 2) + 0) * 86400 + substr($1, 12, 2) * 3600 - 43200
		if (!(t in inside)) { print "nothing inside at", t; exit 1 }
		off = 100 * ($4 / inside[t] - 1); if (off < 0) off = -off
		if (off > share) { print $1, $4, "is", off, "% off", inside[t]; bad = 1 }
		count++
	}
	END { if (count < least) { print count + 0, "days"; bad = 1 } exit bad }' "$2" "$scratch/rows" >"$scratch/off"; then ok "$1"
	else fail "$1: $(head -n 3 "$scratch/off")"; fi
}

worn=2025-12-13..2025-12-20
rows $worn NM
within 'a worn pump within 1 % each day' "$scratch/$worn/inside.csv" NM/pump-a NM 1 6
rows $worn SM
within 'a sound pump within 1 % each day' "$scratch/$worn/inside.csv" SM/pump-a SM 1 6

stand_by=2025-05-03..2025-05-21
rows $stand_by MM
# The nameplate's oil is 3.7 % thinner than that in the tank, which the laboratory sheets, not read here, would tell.
within 'pump A before and after the change-over within 4 %' "$scratch/$stand_by/inside.csv" MM/pump-a MM 4 3
value() { awk -F, -v t="$1" -v a="$2" '$1 ~ "^" t && $2 == a && $3 == "drain-flow-corrected" { print $4 }' "$scratch/rows"; }
check 'while pump B runs nothing is said of pump A' test -z "$(value 2025-05-12 MM/pump-a)"
b=$(value 2025-05-13 MM/pump-b)
# 0.5 L/min of bleed and 1.1 of slots, see tests/sim/plan.c.
check "the flow of pump B is its own: $b L/min" awk -v b="$b" 'BEGIN { exit !(b > 1.52 && b < 1.62) }'
exit "$bad"
