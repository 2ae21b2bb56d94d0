#!/bin/sh
# simulator.sh: the model of the simulator against calculations made without it, and its works against what is said of them.
#
# The cycle and bank figures were worked out apart from this program with the reference equation of nitrogen; they are
# kept to the tolerances given beside them.  The density at 350 K and 20 MPa is printed by Span, Lemmon, Jacobsen, Wagner,
# Yokozeki, J. Phys. Chem. Ref. Data 29 (2000) 1361, table on page 1410.
# shellcheck source=tests/lib.sh
. "$(dirname "$0")/../lib.sh"
need_simulator

# near NAME RESULTS WORD VALUE PERCENT: does the line 'WORD number' come within so much of VALUE?
near() {
	if awk -v word="$3" -v want="$4" -v share="$5" '
	$1 == word { found = 1; d = $2 - want; if (d < 0) d = -d; good = d <= share / 100 * want; got = $2 }
	END { if (!found || !good) { print word, "is", got, "and not", want; exit 1 } }' "$2" >"$scratch/near"; then ok "$1: $3"
	else fail "$1: $(cat "$scratch/near")"; fi
}

# The charging cycle: six shells of 50 L, 75 bar(g) at 20 degC, wall 48 degC, pump 39 L/min, 120 to 130 bar(g), lag 120 s.
cycle() {
	"$simulate" --cycle "$2" "$3" >"$scratch/cycle" || fail "$1: --cycle"
	near "$1" "$scratch/cycle" period_min "$4" 3
	near "$1" "$scratch/cycle" on_s "$5" 3
	near "$1" "$scratch/cycle" balance_lpm "$6" 1
	near "$1" "$scratch/cycle" compliance_from_slope "$7" 3
}
cycle 'healthy cycle' 0.34 1 30.1 15.75 0.340 1.66
near 'healthy cycle' "$scratch/cycle" slope_bar_per_min 0.2048 3
cycle 'cycle with 90 % of the gas' 0.34 0.9 27.05 14.15 0.340 1.49
near 'cycle with 90 % of the gas' "$scratch/cycle" slope_bar_per_min 0.2276 3
cycle 'cycle with a leakage of 1.5 L/min' 1.5 1 6.95 16.05 1.50 1.47

gas() { "$simulate" --gas "$1" "$2" >"$scratch/gas" || fail "--gas $1 $2"; }
gas 198.98675 76.85
near 'nitrogen at 350 K and 20 MPa' "$scratch/gas" density_mol_per_l 6.3552 0.001
gas 120 48; near '120 bar(g) at 48 degC' "$scratch/gas" compliance_l_per_bar 1.665 0.5
gas 130 48; near '130 bar(g) at 48 degC' "$scratch/gas" compliance_l_per_bar 1.414 0.5
gas 125 48
near '125 bar(g) at 48 degC' "$scratch/gas" compliance_l_per_bar 1.532 0.5
near '125 bar(g) at 48 degC' "$scratch/gas" gas_volume_l 204.4 0.5
near '125 bar(g) at 48 degC' "$scratch/gas" oil_held_l 95.6 0.5
near 'filling without heat exchange' "$scratch/gas" fast_120_130_l 9.98 0.5
near 'filling without heat exchange' "$scratch/gas" fast_120_130_c 55.6 0.5
near 'filling without heat exchange' "$scratch/gas" fast_120_130_then 126.3 0.5
gas 110 48; near '110 bar(g) at 48 degC' "$scratch/gas" gas_volume_l 230.6 0.5
gas 150 48; near '150 bar(g) at 48 degC' "$scratch/gas" gas_volume_l 172.6 0.5
gas 90 40; near '90 bar(g) at 40 degC' "$scratch/gas" precharge_at_20 83.1 0.5
gas 75 8; near '75 bar(g) at 8 degC' "$scratch/gas" precharge_at_20 78.9 0.5
# Pressures of the exponents are absolute or gauge within their tolerance.
for pair in '60 1.50' '100 1.59' '120 1.64' '160 1.75' '200 1.87'; do
	gas "${pair% *}" 45; near "${pair% *} bar at 45 degC" "$scratch/gas" isentropic_exponent "${pair#* }" 0.6
done
gas 100 45; near '100 bar at 45 degC' "$scratch/gas" cp_over_cv 1.54 0.5

# The works of seed 1: the nights about the end of summer time, and the inside of all thirteen months.
days=2025-10-25..2025-10-27
"$simulate" --year --inside --days "$days" "$scratch/a" >"$scratch/said" || fail 'thirteen months'
check 'the mills are told apart' test "$(find "$scratch/a" -name 'charging_*_2025-10.csv' | wc -l)" = 3
# inside LABEL MILL TIME COLUMN VALUE PERCENT: what is inside at that hour, by the column's name.
inside() {
	sec=$(date -u -d "$3" +%s)
	awk -F , -v mill="$2" -v sec="$sec" -v name="$4" '
	NR == 1 { for (i = 1; i <= NF; i++) if ($i == name) col = i } $1 == sec && $2 == mill { print name, $col }
	' "$scratch/a/inside.csv" >"$scratch/inside"
	near "$1" "$scratch/inside" "$4" "$5" "$6"
}
inside 'healthy pump' NM '2025-05-01 00:00Z' drain_reference 1.80 1
inside 'pump in October' NM '2025-10-01 00:00Z' drain_reference 2.49 3
inside 'pump in December' NM '2025-12-19 00:00Z' drain_reference 3.6 4
inside 'pump after its change' NM '2026-01-20 00:00Z' drain_reference 1.8 5
inside 'cooler in spring' MM '2025-03-20 00:00Z' ua 0.38 1
inside 'cooler that was not cleaned' MM '2025-09-20 00:00Z' ua 0.24 1
inside 'cooler that was cleaned' NM '2025-09-20 00:00Z' ua 0.38 1
share=$(awk -F , '$2 == "MM" { if (!a && $1 >= 1742428800) a = $8; if ($1 <= 1751932800) b = $8 } END { printf "share %.4f\n", b / a }' \
	"$scratch/a/inside.csv")
# One of six shells has lost 4.5 % a month for 110 days, the others 0.3 %.
echo "$share" >"$scratch/share"; near 'gas of the bank before it is topped up' "$scratch/share" share 0.965 0.5
running=$(awk -F , 'NR > 1 { n++; r += $3 } END { printf "share %.4f\n", r / n }' "$scratch/a/inside.csv")
echo "$running" >"$scratch/share"; near 'the mills run' "$scratch/share" share 0.82 4
hottest=$(awk -F , '$2 == "MM" && $3 && $1 >= 1751328000 && $1 < 1754006400 && $5 > m { m = $5 } END { print "peak", m }' "$scratch/a/inside.csv")
echo "$hottest" >"$scratch/share"; near 'the fouled cooler in July' "$scratch/share" peak 66 3

# The hour that comes twice has charging in it at every mill.
for mill in NM MM SM; do
	n=$(grep -c '^2025-10-26 02:' "$scratch/a/charging_${mill}_2025-10.csv")
	check "charging within the double hour at $mill" test "$n" -ge 3
done
check 'a minute of the double hour is there twice' test "$(grep -c '^2025-10-26 02:30:00,' "$scratch/a/NM_2025-10.csv")" = 2

# Equal seeds give equal files, other seeds others.
"$simulate" --year --inside --days "$days" "$scratch/b" >/dev/null
if diff -r "$scratch/a" "$scratch/b" >/dev/null; then ok 'equal seeds give equal files'; else fail 'equal seeds give equal files'; fi
"$simulate" --year --seed 2 --days "$days" "$scratch/c" >/dev/null
check 'another seed has other faults' test "$(grep -c -vxFf "$scratch/a/truth.csv" "$scratch/c/truth.csv")" -gt 20
check 'and as many' test "$(wc -l <"$scratch/a/truth.csv")" = "$(wc -l <"$scratch/c/truth.csv")"
check 'every row of the truth has its columns' test -z "$(awk -F , 'NF != 8' "$scratch/a/truth.csv" "$scratch/c/truth.csv")"

# What it writes can be read with the tables of its works, and every cell is accounted for.
for seed in a c; do
	for mill in NM MM SM; do
		leat-normalise -w testdata/works-year --now 2026-02-01T00:00:00Z --summary "$scratch/$seed/${mill}_"*.csv \
			"$scratch/$seed/charging_${mill}"_*.csv "$scratch/$seed/round_$mill"_*.csv >"$scratch/readings" 2>"$scratch/err"
		status=$?
		check "exports of $mill are read ($seed)" test "$status" = 0
		check "all cells of $mill are accounted for ($seed)" grep -q 'lines and cells balance' "$scratch/err"
		check "$mill contradicts itself nowhere ($seed)" grep -q ' 0 rejected.* 0 conflict' "$scratch/err"
	done
done
for wrong in '--year --seed x' '--year --days 2025-10-27..2025-10-25 x' '--month x'; do
	# shellcheck disable=SC2086 # words
	"$simulate" $wrong "$scratch/d" >/dev/null 2>&1; status=$?
	check "misuse: $wrong" test "$status" = 2
done
exit "$bad"
