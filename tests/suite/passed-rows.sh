#!/bin/sh
# passed-rows.sh: what filters and judges make is the same whether rows that say nothing to them are passed over or handed to
# them.  A stream with a further column is never passed over: both streams hold the same readings.
# shellcheck source=tests/lib.sh
. "$(dirname "$0")/../lib.sh"
fleet=$build/tests/bench/bench_fleet
[ -x "$fleet" ] || { fail "the generator is built: $fleet"; exit 1; }
cd "$scratch" || exit 1
now=2025-01-10T06:00:00Z

# Two mills by 15 points every two minutes.  At times rows are bad, doubtful or missing; of a mill only a few points report,
# switches or what few look at; the points of an instant change their order; some rows stand between the minutes.
"$fleet" $((30 * 720 * 9)) 2 120 | awk -F, -v OFS=, '
	function put(row, order) { printf "%s %06d\t%s\n", substr(row, 1, 20), order, row }
	BEGIN { srand(7) }
	NR == 1 { print "\t" $0; next }
	{ hour = substr($1, 1, 13) }
	hour != was { was = hour; mood = int(rand() * 12); only = int(rand() * 15) }
	{ nth = NR % 15 }
	mood == 0 && $2 ~ /^M01/ && nth != only { next }
	mood == 1 && nth > only { next }
	mood == 2 && rand() < 0.2 { $6 = "bad"; if (rand() < 0.5) $4 = "" }
	mood == 3 && rand() < 0.3 { $6 = "uncertain" }
	mood == 4 && nth == only { $1 = substr($1, 1, 17) "30Z" }
	mood == 5 && rand() < 0.1 { next }
	{ put($0, mood == 6 ? rand() * 900000 : NR) }
	$3 == "charging" && $1 ~ /-0[2468]T06:00/ { put($1 "," $2 "/sample-tank,water-content," 180 + NR % 400 ",mg/kg,good", 900000) }
	$3 == "charging" && $1 ~ /-0[357]T06:00/ { put($1 "," $2 "/shell-1,gas-pressure," 70 + NR % 9 ",bar,good", 900001) }' |
	sort -s -t "$(printf '\t')" -k 1,1 | cut -f 2 >plain.0
mkdir works && for t in nameplate limits trends; do
	awk 'NR == 1 || /^[*,;]/ { print; next }
		/^NM/ { for (i = 1; i <= 2; i++) { row = $0; sub(/^NM/, "M0" i, row); print row } }' \
		"$top/testdata/works-year/$t.csv" >"works/$t.csv"
done

# noted FILE: with a further column; cut: without it.
noted() { awk 'NR == 1 { print $0 ",note"; next } { print $0 ",n" }' "$1"; }
cut_note() { sed 's/,[^,]*$//' "$1"; }

check 'the streams have rows of every kind' \
	awk -F, '{ n[$6]++ } END { exit !(n["bad"] > 500 && n["uncertain"] > 500 && n["good"] > 100000) }' plain.0

i=0
for c in state hours drain leakage element attain precharge cooler cleanliness oil bore; do
	noted plain.$i >noted.in
	"leat-$c" -q -w works --now $now plain.$i >plain.$((i + 1)) 2>said.plain
	plain=$?
	"leat-$c" -q -w works --now $now noted.in >noted.out 2>said.noted
	noted=$?
	cut_note noted.out >noted.cut
	check "leat-$c: both streams are read" [ "$plain$noted" = 00 ]
	check "leat-$c: the same rows" cmp -s plain.$((i + 1)) noted.cut
	"leat-$c" -q -w works --now $now --only plain.$i >only.plain 2>/dev/null
	"leat-$c" -q -w works --now $now --only noted.in 2>/dev/null >noted.out
	cut_note noted.out >only.noted
	check "leat-$c --only: the same rows" cmp -s only.plain only.noted
	"leat-$c" -w works --now 2025-01-06T03:00:00Z --summary plain.$i 2>&1 >/dev/null | sed 's/plain\.[0-9]*//' >said.plain
	"leat-$c" -w works --now 2025-01-06T03:00:00Z --summary noted.in 2>&1 >/dev/null | sed 's/noted\.in//' >said.noted
	check "leat-$c --summary: the same counts" cmp -s said.plain said.noted
	i=$((i + 1))
done
check 'filters added rows' [ "$(wc -l <plain.$i)" -gt $(($(wc -l <plain.0) + 500)) ]
noted plain.$i >noted.in
for j in check trend verdict confirm; do
	"leat-$j" -a -w works --now $now --summary plain.$i >found.plain 2>said.plain
	"leat-$j" -a -w works --now $now --summary noted.in >found.noted 2>said.noted
	check "leat-$j: the same findings" cmp -s found.plain found.noted
	check "leat-$j: the same words" cmp -s said.plain said.noted
	"leat-$j" -a -w works --nights nights.plain plain.$i 2>/dev/null
	"leat-$j" -a -w works --nights nights.noted noted.in 2>/dev/null
	check "leat-$j: the same nights" diff -r nights.plain nights.noted
	check "leat-$j: has nights" [ -d nights.plain ]
	rm -rf nights.plain nights.noted
done
for what in '--point state' '--asset M01 --from 2025-01-03' '--last P2D --point *-flow --quality good' '--to 2025-01-04T01:02:30Z --numeric'; do
	set -f
	# shellcheck disable=SC2086 # the options are words
	leat-select $what --now $now --summary plain.$i >chosen.plain 2>said.plain
	# shellcheck disable=SC2086 # as above
	leat-select $what --now $now --summary noted.in >noted.out 2>said.noted
	set +f
	cut_note noted.out >chosen.noted
	check "leat-select $what: the same rows" cmp -s chosen.plain chosen.noted
	check "leat-select $what: the same counts" cmp -s said.plain said.noted
done
exit $bad
