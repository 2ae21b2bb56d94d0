#!/bin/sh
# survey.sh: leat-survey on the simulated works, whose historian and charging valves are known.
# shellcheck source=tests/lib.sh
. "$(dirname "$0")/../lib.sh"
sim=$build/tests/sim/simulate
if [ ! -x "$sim" ]; then skip "survey: no simulator was built"; exit 0; fi
cd "$scratch" || exit 1
mkdir year
"$sim" --year --days 2025-03-01..2025-03-31 year || exit 1

# The truth: name, last digit and deadband of each signal, as the simulator's own table has them.  A deadband of one last
# digit or less cannot be told from it.
awk '/^const struct works_column works_columns/ { on = 1; next }
	on && /^};/ { exit }
	on { gsub(/[{},"]/, ""); sub(/\[.*= */, ""); $1 = $1; digit = 1; for (i = 0; i < $(NF - 2); i++) digit /= 10
		if ($(NF - 1) == "false" && $NF > digit * 1.5) print $1, $NF + 0 }' \
	"$top/tests/sim/instruments.c" | sort >want
check 'survey: the truth was read' test "$(wc -l <want)" -ge 10
for mill in NM MM SM; do
	leat-survey -q --compression --zone UTC year/"$mill"_2025-*.csv >"$mill.csv"; status=$?
	check "survey: $mill: status" test "$status" = 0
	awk -F, -v mill=$mill 'NR > 1 && $7 != "" { sub("^" mill "\\.", "", $1); print $1, $7 + 0 }' "$mill.csv" | sort >got
	if cmp -s want got; then ok "survey: $mill: every deadband to its last digit"
	else fail "survey: $mill: deadbands"; diff want got; fi
	want_kept=held; [ $mill = MM ] && want_kept=changes
	check "survey: $mill: how the pressure is kept" test \
	    "$(awk -F, -v tag=$mill.PGR '$1 == tag { print $6 }' "$mill.csv")" = $want_kept
done

# Cycles: the median time between openings, reckoned by sort, against that of the valve's events and of the pressure.
for mill in NM MM SM; do
	leat-survey -q --compression --zone UTC year/charging_"$mill"_2025-*.csv >events.csv
	awk -F'[-, :]' '$8 == "OPEN" { t = (($3 * 24 + $4) * 60 + $5) * 60 + $6 + $2 * 0
		if (last && t > last) print t - last; last = t }' year/charging_"$mill"_2025-03.csv | sort -n >spans
	median=$(awk '{ v[NR] = $1 } END { print v[int((NR + 1) / 2)] }' spans)
	if awk -F, -v m="$median" 'NR == 2 { ok = $4 == 1 && $11 > m * 0.85 && $11 < m * 1.15 && $12 >= 10 && $12 <= 25 }
		END { exit !ok }' events.csv; then ok "survey: $mill: events of a cycle of $median s"
	else fail "survey: $mill: events of a cycle of $median s: $(cat events.csv)"; fi
	if awk -F, -v m="$median" -v tag=$mill.PGR '$1 == tag { ok = $11 > m * 0.75 && $11 < m * 1.25 && $10 > 4 && $10 < 12 }
		END { exit !ok }' "$mill.csv"; then ok "survey: $mill: pressure of a cycle of $median s"
	else fail "survey: $mill: pressure of a cycle of $median s: $(grep PGR "$mill.csv")"; fi
	check "survey: $mill: the valve by the minute misses pump-ups" \
	    grep -q "^$mill.VCH.*some are missed" "$mill.csv"
done

# Judgements: by the minute the pump-ups are coarse, with the events they are possible.
works=$top/testdata/works-year
leat-survey -q -w "$works" --judgements year/NM_2025-03.csv >minute.csv
leat-survey -q -w "$works" --judgements year/NM_2025-03.csv year/charging_NM_2025-03.csv >second.csv
state() { awk -F, -v q="$2" '$1 == "NM" && $2 == q { print $3 }' "$1"; }
check 'survey: pump-ups by the minute are coarse' test "$(state minute.csv leakage-by-pump-ups)" = coarse
check 'survey: pump-ups by events are possible' test "$(state second.csv leakage-by-pump-ups)" = possible
check 'survey: pump wear is possible' test "$(state minute.csv pump-wear)" = possible
check 'survey: precharge by hand is blind' test "$(state minute.csv precharge-by-hand)" = blind

# Drafts: a table with an empty value is refused with the line; filled in it is read.
printf 'asset,property,value\n' >none.csv
leat-survey -q -w "$works" --nameplate none.csv --draft nameplate year/NM_2025-03.csv >draft.csv
mkdir filled; printf 'time,asset,point,value,unit,quality\n' >empty.csv
cp draft.csv filled/nameplate.csv
leat-state -w filled empty.csv >/dev/null 2>err; status=$?
check 'survey: a draft that is not filled in is refused' test "$status" = 2
check 'survey: and told with its line' grep -q "nameplate.csv:2: column 'value': a value is missing" err
awk -F, -v OFS=, '{ if ($2 == "zone") $3 = "UTC"; else if ($2 == "oil-grade") $3 = "VG 46"; else if ($3 == "") $3 = 1; print }' \
    draft.csv >filled/nameplate.csv
leat-state -w filled empty.csv >/dev/null 2>err; status=$?
if [ "$status" = 0 ]; then ok 'survey: a draft that is filled in is read'
else fail "survey: a draft that is filled in: $(cat err)"; fi

exit $bad
