#!/bin/sh
# diagnose-year.sh: what leat-diagnose tells of simulated nights against truth.csv, which has every fault and its dates.
#
# Ten weeks of autumn of a works that the shipped weights were not made on: an element collapses, dust comes in, a cooler
# tube leaks, a set point is lowered.  With so short a history much has no baseline.  What is told must be true then or have
# been so up to 35 days before, but for one in five, and the two that begin within the weeks must be likely at their item.
# shellcheck source=tests/lib.sh
. "$(dirname "$0")/../lib.sh"
need_simulator
w=$scratch/w
cp -R testdata/works-year "$w"
"$simulate" --year --seed 21 --days 2025-09-05..2025-11-17 "$scratch/raw" >"$scratch/said" || fail 'simulate'
cp "$scratch/raw/logbook.csv" "$scratch/raw/stops.csv" "$w/"
end='--now 2025-11-17T23:00:00Z'

# The line of a night, once for all nights; --now of the judges leaves out what is later.
# shellcheck disable=SC2086 # options are words
{
	leat-log -q --readings -w "$w" $end >"$scratch/log.csv"
	leat-normalise -q -w "$w" $end "$scratch"/raw/[NMS]M_*.csv "$scratch"/raw/charging_*.csv "$scratch"/raw/lab_*.csv \
		"$scratch"/raw/round_*.csv | leat-state -q -w "$w" $end - "$scratch/log.csv" | leat-hours -q -w "$w" $end |
		leat-drain -q -w "$w" $end | leat-leakage -q -w "$w" $end | leat-element -q -w "$w" $end |
		leat-attain -q -w "$w" $end | leat-precharge -q -w "$w" $end | leat-cooler -q -w "$w" $end |
		leat-cleanliness -q --max-rejects 100% -w "$w" $end |
		leat-oil -q -w "$w" $end | leat-bore -q --max-rejects 100% -w "$w" $end >"$scratch/all.csv"
} 2>"$scratch/err"
rm -rf "$scratch/raw/"[NMS]M_*
# What comes once a day, from samples and from stops, is what leat-diagnose needs of the readings.
awk -F, 'NR == FNR { if (++rows[$2 "," $3] > 400) often[$2 "," $3]; next } !(($2 "," $3) in often)' \
	"$scratch/all.csv" "$scratch/all.csv" >"$scratch/daily.csv"

# night DAY: what is told, as MILL,ASSET,MODE,CONFIDENCE.
night() {
	set -- "$1" --now "$1T04:30:00Z"
	for judge in check trend verdict confirm; do
		"leat-$judge" -q -a -w "$w" "$2" "$3" "$scratch/all.csv" >"$scratch/$judge.csv" 2>"$scratch/err"
	done
	leat-diagnose -q -a -w "$w" "$2" "$3" -f "$scratch/check.csv" -f "$scratch/trend.csv" -f "$scratch/verdict.csv" \
		-f "$scratch/confirm.csv" "$scratch/daily.csv" >"$scratch/$1.csv" || fail "leat-diagnose of $1"
	leat-diagnose -q --ranking -w "$w" "$2" "$3" -f "$scratch/check.csv" -f "$scratch/trend.csv" -f "$scratch/verdict.csv" \
		-f "$scratch/confirm.csv" "$scratch/daily.csv" | awk -F, '$4 != "" { print $2 "," $3 "," $8 }' >>"$scratch/likely"
	awk -F, '$4 ~ /^likely-/ && $5 != "ok" { split($2, part, "/"); print part[1] "," $2 "," substr($4, 8) "," $6 }' \
		"$scratch/$1.csv"
}

# modes MILL DAY: the modes of the faults that truth.csv has of the mill then, or up to 35 days before.
modes() {
	awk -F, -v mill="$1" -v day="$2" '
	function days(t) {
		y = substr(t, 1, 4) + 0; m = substr(t, 6, 2) + 0; d = substr(t, 9, 2) + 0
		if (m < 3) { m += 12; y-- }
		return 365 * y + int(y / 4) - int(y / 100) + int(y / 400) + int((153 * (m - 3) + 2) / 5) + d
	}
	BEGIN {
		mode["pump wear"] = mode["pump wear faster"] = "pump-wear"; mode["gas lost"] = "gas-loss"
		mode["piston seal worn"] = "piston-seal"; mode["wrong oil topped up"] = "wrong-oil"
		mode["cooler fouled"] = "cooler-fouling"
		mode["dust at a scraper"] = "dirt-ingress"; mode["element collapsed"] = "filter-bypass"
		mode["cooler tube leaks"] = "cooler-leak"; mode["operators lower the set point"] = "setpoint-lowered"
		mode["pressure transmitter drifts"] = "pressure-meter"; mode["relief valve weeps"] = "relief-weep"
		mode["thermostat hunts"] = "thermostat"
	}
	$1 == mill && ($4 in mode) && days($6) <= days(day) && ($7 == "" || days($7) + 35 >= days(day)) { print mode[$4] }' \
		"$scratch/raw/truth.csv" | sort -u
}

total=0 wrong=0
for day in 2025-09-28 2025-10-12 2025-10-26 2025-11-02 2025-11-17; do
	night "$day" >"$scratch/told"
	sed "s/^/$day,/" "$scratch/told" >>"$scratch/nights"
	while IFS=, read -r mill asset mode _; do
		total=$((total + 1))
		# A loaded element is no fault, and always true.
		[ "$mode" != element-clogged ] || continue
		modes "$mill" "$day" | grep -qx "$mode" || { wrong=$((wrong + 1)); echo "# $day $asset $mode is not true"; }
	done <"$scratch/told"
done
cat "$scratch/nights"
check "of $total told, $wrong not true: at most one in five" test "$total" -ge 6 -a $((wrong * 5)) -le "$total"

# likely FAULT MODE [ITEM]: is the mode likely at the item of the fault on some night?  One finding may say all of it.
likely() {
	item=$(awk -F, -v what="$1" '$4 == what { print $3; exit }' "$scratch/raw/truth.csv")
	check "$1 at ${3:-$item} is likely to be $2" grep -q "^${3:-$item},$2," "$scratch/likely"
}
likely 'element collapsed' filter-bypass
likely 'cooler tube leaks' cooler-leak MM
exit "$bad"
