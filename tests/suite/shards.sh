#!/bin/sh
# shards.sh: what is found is the same whether one run judges all mills or one run each judges one of them.
# docs/scaling.md tells people to divide the work so.  Both readings come from the same generator; the sharded runs have works
# folders with the rows of their mill alone.
# shellcheck source=tests/lib.sh
. "$(dirname "$0")/../lib.sh"
fleet=$build/tests/bench/bench_fleet
[ -x "$fleet" ] || { fail "the generator is built: $fleet"; exit 1; }
cd "$scratch" || exit 1
mills='M01 M02 M03 M04'
now=2025-01-21T04:00:00Z

# Whole sets of 4 mills by 15 points, each 10 minutes for 20 days; one mill loses pressure, one sensor stands, oil samples come.
"$fleet" $((60 * 144 * 20)) 4 600 | awk -F, -v OFS=, '
	$2 == "M02" && $3 == "pressure" && $1 > "2025-01-09" && $4 > 50 { $4 -= 22 }
	$2 == "M03" && $3 == "oil-temperature" && $1 > "2025-01-15" { $4 = 48.7 }
	{ print }
	$2 == "M04" && $3 == "charging" && $1 ~ /-(05|12|19)T00:00:00Z/ {
		print $1, "M04/sample-tank", "water-content", 180 + 60 * substr($1, 9, 2), "mg/kg", "good"
	}' >all.csv
works_of() {
	mkdir "$1.works" && for t in nameplate limits trends; do
		awk -v mills="$2" 'NR == 1 || /^[*,;]/ { print; next }
			/^NM/ { n = split(mills, m, " "); for (i = 1; i <= n; i++) { row = $0; sub(/^NM/, m[i], row); print row } }' \
			"$top/testdata/works-year/$t.csv" >"$1.works/$t.csv"
	done
}

# judged NAME: NAME.csv through filters and judges; NAME.found has all findings but those that say of one run what its readings
# do not hold.
judged() {
	w=$1.works
	for c in state hours drain leakage element attain precharge cooler cleanliness oil bore; do
		leat-$c -q -w "$w" --now $now "$1.csv" >"$1.next" 2>>errors || { fail "leat-$c judges $1"; return 1; }
		mv "$1.next" "$1.csv"
	done
	for j in check trend verdict confirm; do
		leat-$j -q -a -w "$w" --now $now "$1.csv" 2>>errors >"$1.$j" || { fail "leat-$j judges $1"; return 1; }
		grep -vE '^time,|,no-(oil|trend|work)-judged,| matched no reading' "$1.$j"
	done >"$1.found"
}

for m in $mills; do
	leat-select -q --now data --asset "$m" --asset "$m/*" all.csv >"$m.csv" || fail "leat-select takes $m"
	works_of "$m" "$m"
	judged "$m"
done
works_of all "$mills"
rows=$(tail -n +2 all.csv | wc -l)
parts=$(for m in $mills; do grep -v '^time,' "$m.csv"; done | wc -l)
judged all
check 'a run of all mills finds something of each' [ "$(cut -d, -f2 all.found | cut -d/ -f1 | sort -u | grep -c '^M0')" = 4 ]
check 'it finds the lost pressure, the dead thermometer and the wet oil' \
	[ "$(grep -cE '^[^,]*,(M02,pressure,low-pressure|M03,oil-temperature,frozen[^,]*|M04/sample-tank,water-content,[^,]*),(alert|alarm),' all.found)" -ge 3 ]
check 'each row goes to one mill, with what is derived of it' [ "$parts" -gt "$rows" ]
tail -n +2 all.csv | sort >all.rows
for m in $mills; do tail -n +2 "$m.csv"; done | sort >parts.rows
check 'there are derived readings, and they are the same' cmp -s all.rows parts.rows
sort all.found >all.sorted
for m in $mills; do cat "$m.found"; done | sort >parts.sorted
if cmp -s all.sorted parts.sorted; then
	ok "all $(wc -l <all.sorted) findings are the same, byte for byte"
else
	fail "findings differ: $(diff all.sorted parts.sorted | sed -n 2p)"
fi
exit $bad
