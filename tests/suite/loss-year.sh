#!/bin/sh
# loss-year.sh: what leat-loss makes of the simulated works against what the simulator does to it.
#
# The simulator's feed is 182 t/h times 1 + 0.7 (p / 132 bar - 1) at mill SM, whose operators lower the set point from 132 to
# 124 bar for four weeks (tests/sim/instruments.c, plan of faults in truth.csv); leat knows neither.  The share m by the net
# force of its cylinders follows by geometry.
# shellcheck source=tests/lib.sh
. "$(dirname "$0")/../lib.sh"
need_simulator
works=testdata/works-year
"$simulate" --year --inside --days 2025-09-28..2025-11-08 "$scratch/year" >"$scratch/said" || fail simulate
for mill in SM MM; do
	leat-normalise -q -w "$works" --now 2026-02-02T00:00:00Z "$scratch/year/$mill"_*.csv |
		leat-state -q -w "$works" --now 2026-02-02T00:00:00Z >"$scratch/$mill.csv" || fail "readings of $mill"
done
loss() { leat-loss -q -w "$works" --stops "$scratch/year/stops.csv" "$@" 2>"$scratch/err"; }
cell() { awk -F, -v want="$2" 'NR == 1 { for (i = 1; i <= NF; i++) if ($i == want) c = NF - i } NR == 2 { print $(NF - c) }' "$1"; }

loss -a --now 2025-11-02T06:00:00Z "$scratch/SM.csv" >"$scratch/lost"
# The hours that SM ran at 124 bar, up to the end of the works' day.
truth=$(awk -F, '$2 == "SM" && $3 == 1 && $1 >= 1759784400 && $1 < 1762059600 { n++ } END { print n * 182 * 0.7 * 8 / 132 }' \
	"$scratch/year/inside.csv")
low=$(cell "$scratch/lost" t_low) high=$(cell "$scratch/lost" t_high)
check "the loss of a lowered set point, $truth t, lies within $low to $high t" \
	awk -v t="$truth" -v l="$low" -v h="$high" 'BEGIN { exit !(t > 3500 && l < t && t < h && h < 2.5 * l) }'
check 'the set point is named' grep -q 'set point below the agreed pressure for 5[0-9][0-9] h' "$scratch/lost"

loss --fit --now 2025-11-09T06:00:00Z "$scratch/SM.csv" >"$scratch/fit"
fit() { awk -F, -v want="feed-force-slope$1" '$2 == want { print $3 }' "$scratch/fit"; }
check "m by geometry lies within $(fit -low) to $(fit -high), near $(fit '')" \
	awk -v m="$(fit '')" -v l="$(fit -low)" -v h="$(fit -high)" 'BEGIN {
		ring = 3.14159265 / 4 * (0.32 ^ 2 - 0.2 ^ 2); head = 3.14159265 / 4 * 0.32 ^ 2
		due = 0.7 * (132 * ring - 13.6 * head) / (132 * ring)
		exit !(m - due < 0.04 && due - m < 0.04 && l < due && due < h && h - l < 0.25)
	}'
# With its own m the range is half as wide and still holds the truth.
cut -d, -f1-4 "$scratch/fit" | sed 1d >"$scratch/rows"
{ cut -d, -f1-4 "$works/nameplate.csv" | sed 's/"//g;/^,zone/d'; cat "$scratch/rows"; } >"$scratch/own.csv"
loss -a --nameplate "$scratch/own.csv" --now 2025-11-02T06:00:00Z "$scratch/SM.csv" >"$scratch/lost"
low=$(cell "$scratch/lost" t_low) high=$(cell "$scratch/lost" t_high)
check "by its own m $low to $high t" \
	awk -v t="$truth" -v l="$low" -v h="$high" 'BEGIN { exit !(l < 1.01 * t && 0.99 * t < h && h - l < 0.3 * t) }'

loss -a --now 2025-11-02T06:00:00Z "$scratch/MM.csv" >"$scratch/lost"
check 'a mill that held its pressure lost nothing' grep -q ',lost-production,ok,0.0,t,.*,nothing lost: pressure held' "$scratch/lost"
loss --fit --now 2025-11-09T06:00:00Z "$scratch/MM.csv" >"$scratch/fit"
check 'and gives no m' test "$(wc -l <"$scratch/fit")" = 1
exit "$bad"
