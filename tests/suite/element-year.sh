#!/bin/sh
# element-year.sh: filter elements of the simulated works against what the simulator knows inside, in percent of it.
#
# The simulator has its own model of filter and oil, by the hour in inside.csv.  An element that collapses, a cold morning on
# which a sound one shows 2.8 bar, and elements that dust loads in a third of their time.
# shellcheck source=tests/lib.sh
. "$(dirname "$0")/../lib.sh"
need_simulator
works=testdata/works-year

# rows DAYS MILL: all.csv, the exports of these days with what leat-element adds, and inside.csv beside.
rows() {
	"$simulate" --year --inside --days "$1" "$scratch/$1" >"$scratch/said" || fail "simulate $1"
	leat-normalise -q -w "$works" --now 2026-02-02T00:00:00Z "$scratch/$1/$2"_*.csv |
		leat-element -q -w "$works" --now 2026-02-02T00:00:00Z --logbook "$scratch/$1/logbook.csv" >"$scratch/all.csv"
}

# within NAME DAYS MILL PERCENT LEAST: each good value lies so near to the mean of its day inside, and there are so many.
# A day on which the element was changed has two of them inside, and the first one is cut: both are left out.
within() {
	if awk -F, -v mill="$3" -v share="$4" -v least="$5" '
	function days(y, m, d) {
		if (m < 3) { m += 12; y-- }
		return 365 * y + int(y / 4) - int(y / 100) + int(y / 400) + int((153 * (m - 3) + 2) / 5) + d - 719469
	}
	# Of an oil of 46 mm2/s at 40 degC and 6.8 at 100, by ASTM D341.
	function lg(x) { return log(x) / log(10) }
	function nu(c,  a, b) {
		b = (lg(lg(46.7)) - lg(lg(7.5))) / (lg(373.15) - lg(313.15)); a = lg(lg(46.7)) + b * lg(313.15)
		return 10 ^ (10 ^ (a - b * lg(c + 273.15))) - 0.7
	}
	# A tenth of the 0.45 bar of the clean filter is the housing.
	FNR == NR { if ($2 == mill && $3 == 1) inside[$1] = ($10 - 0.045) * nu(50) / nu($5); next }
	$3 == "filter-change" && $2 == mill "/filter" {
		changed[days(substr($1, 1, 4) + 0, substr($1, 6, 2) + 0, substr($1, 9, 2) + 0)] = 1; next
	}
	$2 == mill "/filter" && $3 == "filter-dp-corrected" && $6 == "good" {
		t = days(substr($1, 1, 4) + 0, substr($1, 6, 2) + 0, substr($1, 9, 2) + 0) * 86400 + substr($1, 12, 2) * 3600
		if (begun++ == 0 || (int(t / 86400) - 1) in changed) next
		sum = n = 0
		for (h = 0; h < 24; h++) if ((t - h * 3600) in inside) { sum += inside[t - h * 3600]; n++ }
		if (n < 20) next
		off = 100 * ($4 / (sum / n) - 1); if (off < 0) off = -off
		if (off > share) { print $1, $4, "is", off, "% off", sum / n; bad = 1 }
		count++
	}
	END { if (count < least) { print count + 0, "days"; bad = 1 } exit bad }' \
		"$scratch/$2/inside.csv" "$scratch/$2/logbook.csv" "$scratch/all.csv" >"$scratch/off"; then ok "$1"
	else fail "$1: $(head -n 3 "$scratch/off")"; fi
}

value() { awk -F, -v t="$1" -v p="$2" '$1 ~ "^" t && $2 ~ "/filter$" && $3 == p { print $4 }' "$scratch/all.csv"; }
between() { awk -v x="$1" -v low="$2" -v high="$3" 'BEGIN { exit !(x != "" && x > low && x < high) }'; }
# found: the findings of the shipped limits on what is made of filters, but for those that are in order.
found() {
	grep -v ',filter-dp,' "$scratch/all.csv" |
		leat-check -q -w "$works" --since 2025-01-01T00:00:00Z --now data 2>"$scratch/said" |
		awk -F, '$2 ~ "/filter$" && $3 != "filter-dp" { print substr($1, 1, 10), $4, $5 }'
}

collapse=2025-10-07..2025-10-15
rows $collapse NM
check 'before it collapses the element is loaded' between "$(value 2025-10-11 filter-dp-corrected.ratio)" 4 4.5
check 'a collapsed element is found on the morning after 11 October' test "$(found)" = '2025-10-12 element-open alert'

cold=2025-01-17..2025-01-23
rows $cold MM
within 'around a cold morning each day within 2 %' $cold MM 2 4
highest=$(awk -F, '$2 == "MM/filter" && $3 == "filter-dp" && $4 > m { m = $4 } END { print m }' "$scratch/all.csv")
check "the filter shows $highest bar in the cold" awk -v m="$highest" 'BEGIN { exit !(m > 2.7) }'
check 'which is no finding' test -z "$(found)"

dust=2025-09-04..2025-09-14
rows $dust SM
within 'in the dust each day within 2 %' $dust SM 2 7
check 'the element that is changed on 10 September shows a quarter of the one before' \
	between "$(value 2025-09-11 element-change-ratio)" 0.2 0.25
check 'and is clean' between "$(value 2025-09-11 filter-dp-corrected.ratio)" 0.95 1.1
exit "$bad"
