#!/bin/sh
# due-year.sh: the tasks of the demo works over its thirteen months, judged every second day by the simulator's logbook: what was
# missed is found, and nothing else is; and the next stops are planned.
#
# The simulator leaves out the gas check of NM in spring, the relief test of SM within twelve months, and the breather of MM, by
# its truth.csv.  At MM it logs no check of the accumulators between June and November either, while one of them is repaired;
# that is a gap in the logbook too, and must be found.
# shellcheck source=tests/lib.sh
. "$(dirname "$0")/../lib.sh"
need_simulator

year=$scratch/year works=$scratch/works
mkdir "$works"
"$simulate" --year --days 2026-01-31..2026-01-31 "$year" >/dev/null || fail 'the year is simulated'
cp testdata/works-year/nameplate.csv testdata/works-year/tasks.csv testdata/works-year/parts.csv testdata/works-year/points.csv \
	"$works/"
cp "$year/logbook.csv" "$year/stops.csv" "$works/"
echo 'time,asset,point,value,unit,quality' >"$scratch/none.csv"
echo 'time,asset,point,rule,status,value,unit,limit,since,until,due,shelved,message' >"$scratch/found.csv"

# due DATE [OPTION...]: as the nightly job of that day would.
due() {
	day=$1; shift
	leat-due -q -w "$works" -f "$scratch/found.csv" --now "${day}T05:30:00Z" "$@" "$scratch/none.csv" 2>>"$scratch/err"
}

# 2025-01-02 to 2026-01-31, without a calendar of the shell.
dates() {
	awk 'BEGIN { split("31 28 31 30 31 30 31 31 30 31 30 31 31", n, " ")
		for (m = 1; m <= 13; m++) for (d = 2; d <= n[m]; d += 2)
			printf("%d-%02d-%02d\n", 2025 + (m > 12), (m > 12 ? m - 12 : m), d) }'
}
for day in $(dates); do
	due "$day" | sed -n "s/^/$day,/; 2,\$p" >>"$scratch/all.csv"
done
check 'no complaint' test ! -s "$scratch/err"

# ASSET TASK FIRST LAST of what was overdue or left out; ended episodes are told on the day after and left out here.
awk -F, '$11 == "" && (/,overdue,/ || /,missed,/) { k = $3 " " $5; if (!(k in first)) first[k] = $1; last[k] = $1 }
	END { for (k in first) print k, first[k], last[k] }' "$scratch/all.csv" | LC_ALL=C sort >"$scratch/overdue"
cat >"$scratch/expected" <<'EXPECTED'
MM task-gas-check 2025-09-20 2025-11-06
MM/breather task-change-breather 2025-05-30 2026-01-30
NM task-gas-check 2025-05-14 2025-07-22
SM/relief task-test-relief 2025-12-18 2026-01-30
EXPECTED
# By hand.  The gas of NM was read on 4 February: three months are 4 May, a tenth of 89 days is 8, overdue from 13 May until it was
# read on 22 July.  That of MM on 10 June: 10 September, 9 days, overdue from 20 September until 6 November.  SM's relief valve was
# tested on 10 November 2024: a year and 36 days, from 17 December 2025.  The logbook begins on 10 November 2024: the breather
# of MM, never logged, from 29 May 2025.
if cmp -s "$scratch/expected" "$scratch/overdue"; then ok 'overdue is what was missed, and nothing else'
else fail "overdue is what was missed: $(diff "$scratch/expected" "$scratch/overdue" | tr '\n' ' ')"; fi

# What the truth says was missed, by its own words.
for what in 'gas check missed:NM task-gas-check' 'relief test missed:SM/relief task-test-relief' \
	'breather never changed:MM/breather task-change-breather'; do
	if grep -q "${what%%:*}" "$year/truth.csv" && grep -q "^${what#*:} " "$scratch/overdue"; then ok "found: ${what%%:*}"
	else fail "found: ${what%%:*}"; fi
done
# The gap at MM is there in the logbook.
gap=$(awk -F, '$2 == "MM/accu-1" && $4 == "gas-check" && $5 == "gas-pressure" { d = substr($1, 1, 10)
	if (d > "2025-06-10" && d < "2025-11-06") print d }' "$year/logbook.csv")
check 'no gas check is logged at MM between June and November' test -z "$gap"

# Whatever was done on time is not told as due beyond the date: the checks of SM follow each other in 94 and 84 days.
check 'SM was never overdue with its gas' test "$(grep -c '^SM task-gas-check' "$scratch/overdue")" = 0

# The next stop of SM after 20 December is on 27 January: the relief test is forced, and the gas check and the look at the seals,
# due on 4 February, fit.  Its shells have 3 % less gas than when they were filled, and hold 6 L more; no level is given.
due 2025-12-20 --stops >"$scratch/plan.csv"
grep '^SM,2026-01-27T05:00:00Z,2026-01-27T13:00:00Z,' "$scratch/plan.csv" | cut -d, -f4,5,7-9 >"$scratch/stop"
cat >"$scratch/expected" <<'EXPECTED'
stop,planned,,9.0,h
isolation,drive,,1.0,h
isolation,pressure,,1.0,h
task,test-relief,forced,4.0,h
task,gas-check,due,2.0,h
task,inspect-seals,due,1.0,h
part,seal-wire,enough,1,1
oil,returned,,111.5,L
oil,room,unknown,,
EXPECTED
if cmp -s "$scratch/expected" "$scratch/stop"; then ok 'the next stop of SM'
else fail "the next stop of SM: $(diff "$scratch/expected" "$scratch/stop" | tr '\n' ' ')"; fi

# room MILL DAY BEFORE CHOICE: the evening before a stop the plan says how much room is left, or lacks; the stop shows the level with
# no pressure on.  The model of the simulator has its own gas and oil.  Oil that cools at the stop shrinks: the level may stay
# below what was foretold by 15 mm, and is not above it by more than 3.
room() {
	rm -rf "$scratch/days"
	"$simulate" --year --days "$3..$2" "$scratch/days" >/dev/null || fail "simulate $3"
	leat-normalise -q -w testdata/works-year --now 2026-02-02T00:00:00Z "$scratch/days/$1"_*.csv |
		leat-select --point level --point pressure - >"$scratch/levels.csv"
	leat-due -q -w "$works" --now "$3T20:00:00Z" --stops "$scratch/levels.csv" | grep "^$1,$2" >"$scratch/plan.csv"
	check "$1 $2: it $4" grep -q "oil,room,$1,$4," "$scratch/plan.csv"
	if awk -F, -v day="$2" '
	FNR == NR { if ($5 == "returned") back = $8; if ($5 == "room") left = $8 - back; next }
	$1 < day "T06" || $1 > day "T12" || $6 != "good" { next }
	$3 == "pressure" { off = $4 < 2 }
	$3 == "level" && off { sum += $4; n++ }
	END { told = 700 - left / 1.2; printf("foretold %.0f mm, seen %.1f of %d\n", told, n ? sum / n : 0, n)
		exit !(n > 60 && sum / n > told - 15 && sum / n < told + 3) }' "$scratch/plan.csv" "$scratch/levels.csv" >"$scratch/said"
	then ok "$1 $2: $(cat "$scratch/said")"; else fail "$1 $2: $(cat "$scratch/said")"; fi
}
room SM 2025-11-25 2025-11-24 fits
room MM 2025-04-25 2025-04-24 lacks
exit $bad
