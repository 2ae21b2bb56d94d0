#!/bin/sh
# precharge-year.sh: gas of the simulated works against what the simulator knows inside, which has nitrogen of its own.
#
# Seven weeks with two readings of a bank of which one shell leaks, a reading under load, and many stops and starts.
# shellcheck source=tests/lib.sh
. "$(dirname "$0")/../lib.sh"
need_simulator
works=testdata/works-year
now=2026-02-02T00:00:00Z
year=$scratch/year

"$simulate" --year --inside --days 2025-04-24..2025-06-11 "$year" >"$scratch/said" || fail simulate
leat-log -q -w $works --now $now --readings "$year/logbook.csv" >"$scratch/gas"
for mill in NM MM; do
	leat-normalise -q -w $works --now $now "$year/$mill"_*.csv "$year/charging_$mill"_*.csv >"$scratch/$mill"
done
leat-select -q -w $works --now $now "$scratch/NM" "$scratch/MM" "$scratch/gas" | leat-state -q -w $works --now $now >"$scratch/states"
leat-precharge -q -w $works --now $now --logbook "$year/logbook.csv" --only "$scratch/states" >"$scratch/rows"

# value TIME ASSET POINT
value() { awk -F, -v t="$1" -v a="$2" -v p="$3" 'index($1, t) == 1 && $2 == a && $3 == p && $6 == "good" { print $4 }' "$scratch/rows"; }

# bank DAY EPOCH: the six shells hold what is inside in that hour, within 0.5 % of it: 0.4 bar of the gauges.
bank() {
	sum=$(awk -F, -v t="$1" 'index($1, t) == 1 && $2 ~ /^MM\/accu-/ && $3 == "gas-amount" && $6 == "good" { sum += $4; n++ }
		END { if (n == 6) print sum }' "$scratch/rows")
	inside=$(awk -F, -v t="$2" '$1 == t && $2 == "MM" { print $8 }' "$year/inside.csv")
	check "gas of the bank on $1: ${sum:-none} mol, inside $inside" \
		awk -v a="${sum:-0}" -v b="$inside" 'BEGIN { exit !(b > 0 && a > 0.995 * b && a < 1.005 * b) }'
}
bank 2025-04-25 1745560800
bank 2025-06-10 1749535200

# Five shells lose 0.3 % a month, one 4.5.  Half a bar and 1 K a reading make 0.7 % a month over these seven weeks.
for shell in 1 2 3 5 6; do
	loss=$(value 2025-06-10 MM/accu-$shell gas-loss-month)
	check "loss of a sound shell: ${loss:-none} % a month" awk -v l="${loss:-99}" 'BEGIN { exit !(l > -0.5 && l < 1) }'
	spread=$(value 2025-06-11 MM/accu-$shell precharge-spread)
	check "it is like the others: ${spread:-none} bar" awk -v s="${spread:-99}" 'BEGIN { exit !(s > -1 && s < 1) }'
done
loss=$(value 2025-06-10 MM/accu-4 gas-loss-month)
check "loss of the shell that leaks: ${loss:-none} % a month of 4.5" awk -v l="${loss:-0}" 'BEGIN { exit !(l > 4 && l < 5) }'
spread=$(value 2025-06-11 MM/accu-4 precharge-spread)
check "it is not like the others: ${spread:-none} bar" awk -v s="${spread:-0}" 'BEGIN { exit !(s < -5) }'

check 'a reading under load is no precharge' grep -qx '2025-05-06T09:00:00Z,NM/accu-2,precharge-20,,bar,bad' "$scratch/rows"
leat-precharge -q -w $works --now $now --explain=NM/accu-2 "$scratch/states" >"$scratch/why"
check 'and the reason is told' grep -q 'read under load: 121.00 bar lies within 5 % of the oil pressure' "$scratch/why"

# Each stop takes the pressure through the precharge, and none of that is hammer.
falls=$(awk -F, '$2 != "NM" && $2 != "MM" { next } $3 == "state" { state[$2] = $4 }
	$3 == "pressure" && $6 != "bad" {
		low = $4 < 91 && state[$2] != "off" && state[$2] != "unknown"; if (low && !was[$2]) n++; was[$2] = low
	} END { print n + 0 }' "$scratch/states")
check "the pressure fell through the precharge: $falls times" test "$falls" -gt 20
check 'no day has hammer' awk -F, '$3 == "hammer-events" { n++; if ($4 != "0") bad = 1 } END { exit bad || n < 90 }' "$scratch/rows"
exit "$bad"
