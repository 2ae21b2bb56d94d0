#!/bin/sh
# leakage-year.sh: leakage and gas of the simulated works against what the simulator knows inside.
#
# The simulator has its own model of the gas (the reference equation, an energy balance), of the charging valve and of the oil.
# A mill whose seal wears, before and after it, in days of a few dozen cycles; a bank that has lost gas; a valve that is read by
# the minute only.
# shellcheck source=tests/lib.sh
. "$(dirname "$0")/../lib.sh"
need_simulator
works=testdata/works-year

# rows DAYS MILL [NO]: what leat-leakage adds to the exports of these days, with NO without the list of charging.
rows() {
	[ -d "$scratch/$1" ] || "$simulate" --year --inside --days "$1" "$scratch/$1" >"$scratch/said" || fail "simulate $1"
	list="$scratch/$1/charging_$2_*.csv"
	[ "${3:-}" != NO ] || list=
	# shellcheck disable=SC2086 # a pattern
	leat-normalise -q -w "$works" --now 2026-02-02T00:00:00Z "$scratch/$1/$2"_*.csv $list |
		leat-state -q -w "$works" --now 2026-02-02T00:00:00Z |
		leat-leakage -q -w "$works" --logbook /dev/null --now 2026-02-02T00:00:00Z --only >"$scratch/rows"
}

# within NAME DAYS MILL POINT SET COLUMN PERCENT COUNT: each good value lies so near to what is inside in the hours of its day in
# which the mill ran, and there are at least so many.  The leakage is brought to SET bar, and to 50 degC by ASTM D341 for 46
# mm2/s at 40 degC and 6.8 at 100 (A 9.41799, B 3.68444).
within() {
	if awk -F, -v mill="$3" -v point="$4" -v set="$5" -v col="$6" -v share="$7" -v least="$8" '
	function days(y, m, d) {
		if (m < 3) { m += 12; y-- }
		return 365 * y + int(y / 4) - int(y / 100) + int(y / 400) + int((153 * (m - 3) + 2) / 5) + d - 719469
	}
	function nu(c) { return exp(log(10) * exp(log(10) * (9.41799 - 3.68444 * log(c + 273.15) / log(10)))) - 0.7 }
	FNR == 1 { for (i = 1; i <= NF; i++) if ($i == col) at = i }
	FNR == NR {
		if ($2 == mill && $3 == 1 && $4 > 60)
			inside[$1] = col == "leakage" ? $at * set / $4 * nu($5) / nu(50) : $at
		next
	}
	$2 == mill && $3 == point && $6 == "good" {
		t = days(substr($1, 1, 4) + 0, substr($1, 6, 2) + 0, substr($1, 9, 2) + 0) * 86400 + substr($1, 12, 2) * 3600
		n = sum = 0
		for (h = t - 86400; h < t; h += 3600) if (h in inside) { n++; sum += inside[h] }
		if (n == 0) { print "nothing inside at", $1; bad = 1; next }
		off = 100 * ($4 * n / sum - 1); if (off < 0) off = -off
		if (off > share) { print $1, $4, "is", off, "% off", sum / n; bad = 1 }
		count++
	}
	END { if (count < least) { print count + 0, "days"; bad = 1 } exit bad }' "$scratch/$2/inside.csv" "$scratch/rows" >"$scratch/off"
	then ok "$1"; else fail "$1: $(head -n 3 "$scratch/off")"; fi
}

worn=2025-09-18..2025-09-22
rows $worn SM
# Pumps drain less while they charge than the meter shows while they idle, which the simulator leaves out: 1 to 2 %.
within 'the leakage of a worn seal within 4 % each day' $worn SM internal-leakage 132 leakage 4 3
# A cycle of 8 min: its late fall would tell 12 % too little gas.
within 'the gas beside a worn seal within 4 %' $worn SM gas-amount-compliance 132 gas_mol 4 3
check 'short cycles tell nothing by their late fall' test -z "$(grep leakage-excess "$scratch/rows")"

# From 11 to 19 February its thermometer stands at 48.7 degC, which would tell up to 20 % too little; twelve hours pass until it
# is known, of which those of one day may stand beside sound ones.
frozen=2025-02-09..2025-02-21
rows $frozen SM
within 'good leakage within 8 % about a frozen thermometer' $frozen SM internal-leakage 132 leakage 8 3
check 'none of it is good while it is known to be frozen' \
	test -z "$(grep -E '^2025-02-1[3-9]T.*,internal-leakage,.*,good$' "$scratch/rows")"

loses=2025-06-02..2025-06-09
rows $loses MM
within 'gas that was lost is found within 4 %' $loses MM gas-amount-compliance 118 gas_mol 4 4
lost=$(awk -F, '$2 == "MM" && $3 == "gas-amount-compliance" && $6 == "good" { n++; s += $4 } END { print n ? s / n : 0 }' "$scratch/rows")

sound=2025-02-19..2025-02-26
rows $sound MM
within 'its leakage in winter within 4 %' $sound MM internal-leakage 118 leakage 4 4
within 'its gas within 4 % each day' $sound MM gas-amount-compliance 118 gas_mol 4 4
full=$(awk -F, '$2 == "MM" && $3 == "gas-amount-compliance" && $6 == "good" { n++; s += $4 } END { print n ? s / n : 0 }' "$scratch/rows")
# One shell of six lost an eighth and the others a little since: 3 % of the bank, seen a day before its gauge was read.
check "lost gas is seen: $full and $lost mol" awk -v a="$full" -v b="$lost" 'BEGIN { exit !(b < 0.985 * a && b > 0.955 * a) }'

rows $sound MM NO
check 'a valve that is read once a minute is refused' \
	test "$(grep -c ',internal-leakage,,L/min,bad' "$scratch/rows")" -ge 4 -a -z "$(grep ',internal-leakage,[0-9]' "$scratch/rows")"

# The knee of a bleed-down by the model's own gas, sampled each 2 s: the gas cools while the bank empties.
for share in 1 0.9; do
	"$simulate" --bleed 40 $share >"$scratch/bleed"
	{
		echo time,asset,point,value,unit,quality
		awk 'function stamp(s) { return sprintf("2025-11-03T%02d:%02d:%02dZ", 6 + int(s / 3600), int(s / 60) % 60, s % 60) }
		{
			print stamp($1) ",NM,pressure," $2 ",bar,good"
			if ($1 % 60 == 0) print stamp($1) ",NM,oil-temperature,48,degC,good"
			print stamp($1) ",NM,state," ($2 > 5 ? "hold" : "off") ",,good"
			last = $1
		} END { print stamp(last + 2) ",NM,pressure,0,bar,good" }' "$scratch/bleed"
	} | leat-leakage -q -w "$works" --logbook /dev/null --now data --only >"$scratch/rows" 2>/dev/null
	knee=$(awk -F, '$3 == "precharge-knee" { print $4 }' "$scratch/rows")
	# 75 bar(g) at 20 degC as set, and 90 % of that gas.
	check "the knee of $share of the gas: $knee bar" \
		awk -v k="$knee" -v w="$share" 'BEGIN { d = k / (75 * w + (1 - w) * -1.0) - 1; exit !(k > 0 && d < 0.02 && d > -0.02) }'
done
exit "$bad"
