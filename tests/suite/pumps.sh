#!/bin/sh
# pumps.sh: 140 simulated pumps, judged every third week as the nightly job would: detection delay, false alarms, and how
# often the range of the forecast holds the true date.
#
# The simulator has a model of its own (tests/sim/pumps.c) and says in truth.csv when each pump began to wear and when its
# drain flow at reference conditions was twice that at the beginning.
# shellcheck source=tests/lib.sh
. "$(dirname "$0")/../lib.sh"
count=${PUMPS:-140}
# Where minutes count a few pumps run every line of the judge.
if [ "${LONG-}" = no ] || [ -n "${SANITIZED-}" ]; then count=4; fi
cd "$scratch" || exit 1
"$build/tests/sim/simulate" --pumps "$count" "${SEED:-1}" . || { fail 'pumps are simulated'; exit 1; }
leat-hours -q -w . --now data pumps.csv | leat-drain -q -w . --now data >all.csv || { fail 'the drain flow is corrected'; exit 1; }
awk -F, 'NR == 1 || $3 == "drain-flow-corrected" || $3 == "running-hours"' all.csv >daily.csv

# days DATE: days since 2025-01-01, by the calendar of the two years simulated.
night=56
while [ "$night" -le 399 ]; do
	now=$(awk -v n="$night" 'BEGIN {
		split("31 28 31 30 31 30 31 31 30 31 30 31 31 28", len, " ")
		for (m = 1; n >= len[m]; m++) n -= len[m]
		printf("%04d-%02d-%02dT05:00:00Z", (m > 12 ? 2026 : 2025), (m > 12 ? m - 12 : m), n + 1) }')
	leat-trend -q -a -w . --now "$now" daily.csv >night.csv || { fail "the night of $now"; exit 1; }
	awk -v n="$night" 'NR > 1 { print n "," $0 }' night.csv
	night=$((night + 21))
done >nights.csv

awk -F, -v pumps="$count" '
function day(date,   y, m, d, k, sum) {
	if (date == "") return -1
	y = substr(date, 1, 4); m = substr(date, 6, 2) + 0; d = substr(date, 9, 2) + 0
	sum = (y - 2025) * 365 + d - 1 + (substr(date, 12, 2) + 0) / 24
	for (k = 1; k < m; k++) sum += len[k]
	return sum
}
BEGIN { split("31 28 31 30 31 30 31 31 30 31 30 31", len, " ") }
NR == FNR { if (FNR > 1) { worn[$1] = day($2); alarm[$1] = day($5) } next }
$5 == "pump-wear" || $5 == "pump-wear-step" || $5 == "pump-jump" {
	split($3, part, "/"); p = part[1]; n = $1
	flag = ($6 == "alert" || $6 == "alarm")
	if (flag) {
		if (worn[p] < 0 || n < worn[p]) { if (!(p in was) || was[p] < n - 21) false_alarms++ }
		else if (!(p in seen)) { seen[p] = n }
		was[p] = n
	}
	if ($5 == "pump-wear" && (worn[p] < 0 || n < worn[p])) sound++
	unknown += $6 == "unknown" && $5 == "pump-wear"; all += $5 == "pump-wear"
	left = alarm[p] - n
	if ($5 == "pump-wear" && alarm[p] >= 0 && left > 0 && $(NF - 1) != "") {
		k = left > 7 && left <= 21 ? 14 : left > 23 && left <= 37 ? 30 : left > 53 && left <= 67 ? 60 : 0
		if (k) {
			told[k]++
			low = day($(NF - 2)); high = $NF == "" ? 9999 : day($NF); mid = day($(NF - 1))
			held[k] += low <= alarm[p] && alarm[p] <= high
			e = mid - alarm[p]; error[k] += e < 0 ? -e : e; bias[k] += e
		}
	}
}
END {
	for (p in alarm) if (alarm[p] >= 0) {
		ended++
		if (!(p in seen) || seen[p] >= alarm[p]) { missed++; continue }
		delay += seen[p] - worn[p]; lead += alarm[p] - seen[p]; found++
	}
	printf "ended %d\nmissed %d\ndelay %.0f\nlead %.0f\nfalse %d\n", ended, missed, found ? delay / found : 0, found ? lead / found : 0, false_alarms
	printf "false_per_month %.4f\nunknown_share %.3f\n", false_alarms / (sound * 21 / 30.4), unknown / all
	for (k = 60; k >= 14; k = k == 60 ? 30 : k == 30 ? 14 : 0)
		printf "told_%d %d\ncover_%d %.3f\nerror_%d %.1f\nbias_%d %.1f\n", k, told[k], k, told[k] ? held[k] / told[k] : 0, k, told[k] ? error[k] / told[k] : 0, k, told[k] ? bias[k] / told[k] : 0
}' truth.csv nights.csv >score
tr '\n' ' ' <score; echo

value() { awk -v name="$1" '$1 == name { print $2 }' score; }
between() { awk -v v="$(value "$1")" -v a="$2" -v b="$3" 'BEGIN { exit !(v != "" && v >= a && v <= b) }'; }
if [ "$count" -lt 100 ]; then
	check 'a few pumps are judged' test "$(value ended)" -ge 1
	exit "$bad"
fi
check 'pumps fail in the time simulated' test "$(value ended)" -ge 60
check 'no pump wears out unseen' test "$(value missed)" -eq 0
check 'false alarms are fewer than one in ten mill-years' between false_per_month 0 0.0083
for k in 60 30 14; do
	check "forecasts $k days ahead are made" test "$(value told_$k)" -ge 25
	check "P10 to P90 holds the day of the alarm $k days ahead four times in five" between cover_$k 0.70 0.92
done
exit "$bad"
