#!/bin/sh
# pictures.sh: what leat-plot draws holds what the readings hold, for every eye; what leat-select --thin keeps is what a plain
# model keeps.
. "$(dirname "$0")/../lib.sh"
header='time,asset,point,value,unit,quality'

# minutes N AWK: N readings a minute apart from 2025-01-01 on; the text after -v of awk sets what is special.
minutes() {
	awk -v n="$1" -v special="$2" -v value="${3-}" -v h="$header" 'BEGIN {
		print h
		split("0 31 59 90 120 151 181 212 243 273 304 334", before, " ")
		for (i = 0; i < n; i++) {
			d = int(i / 1440); y = 2025; while (d >= 365 + (y % 4 == 0)) { d -= 365 + (y % 4 == 0); y++ }
			leap = y % 4 == 0
			for (m = 12; m > 1; m--) if (d >= before[m] + (leap && m > 2)) break
			d -= before[m] + (leap && m > 2)
			v = i == special ? value : 100 + i * 7919 % 1000 / 100
			printf "%d-%02d-%02dT%02d:%02d:00Z,NM,pressure,%s,bar,good\n", y, m, d + 1, i / 60 % 24, i % 60, v
		}
	}'
}

# curve FILE: the points of the certain curve, a line each: M or L, x, y.
curve() {
	sed -n 's/^<path d="\([^"]*\)" fill="none" stroke="#12467f" stroke-linejoin="round" stroke-width="1.4".*/\1/p' "$1" |
		sed 's/\([ML]\)/\
\1 /g' | grep .
}

# One reading of a million is not lost, wherever it stands, up or down; nor is memory spent on all of them.
for at in 0 333333 999999; do
	for value in 500 1; do
		minutes 1000000 $at $value >"$scratch/in"
		if [ -n "${SANITIZED-}" ]; then leat-plot --now data "$scratch/in" >"$scratch/svg"
		else
			# shellcheck disable=SC3045
			(ulimit -d 16384; leat-plot --now data "$scratch/in" >"$scratch/svg")
		fi
		curve "$scratch/svg" | sort -k3,3n | awk -v up=$((value > 100)) '{ y[NR] = $3 } END {
			alone = up ? y[2] - y[1] : y[NR] - y[NR - 1]
			exit !(NR > 1000 && alone > 100) }' && ok "a spike to $value at row $at of a million is drawn" ||
			fail "a spike to $value at row $at of a million is drawn"
	done
done
check 'a million readings make a small file' test "$(wc -c <"$scratch/svg")" -lt 200000

# A gap is a gap: two stretches with two hours between them, at many places; no line crosses.
for cut in 100 2000 39999; do
	minutes 40000 -1 | awk -F, -v cut=$cut 'NR <= cut || NR > cut + 2000' >"$scratch/in"
	leat-plot --now data "$scratch/in" >"$scratch/svg"
	want=2; [ $cut = 39999 ] && want=1
	check "a gap behind reading $cut is one" test "$(curve "$scratch/svg" | grep -c '^M')" = $want
done
minutes 300 -1 | awk -F, 'BEGIN { OFS = FS } NR == 150 { $6 = "bad" } 1' >"$scratch/in"
leat-plot --now data "$scratch/in" >"$scratch/svg"
check 'a bad reading parts the line' test "$(curve "$scratch/svg" | grep -c '^M')" = 2

# Every text against what is behind it, and every line that says something, by the formula of WCAG 2.1 (relative luminance;
# success criteria 1.4.3 and 1.4.11): 4.5 and 3.  The grid and the grounds only help.
contrast() {
	awk -v back="$1" '
	function part(hex,  v) { v = (index(digits, substr(hex, 1, 1)) - 1) * 16 + index(digits, substr(hex, 2, 1)) - 1; v /= 255
		return v <= 0.03928 ? v / 12.92 : exp(2.4 * log((v + 0.055) / 1.055)) }
	function light(c) { return 0.2126 * part(substr(c, 2, 2)) + 0.7152 * part(substr(c, 4, 2)) + 0.0722 * part(substr(c, 6, 2)) }
	BEGIN { digits = "0123456789abcdef"; b = light(back) }
	{ a = light($1); r = a > b ? (a + 0.05) / (b + 0.05) : (b + 0.05) / (a + 0.05); printf "%.2f %s\n", r, $1 }'
}
check 'the formula: black on white is 21' test "$(echo '#000000' | contrast '#ffffff')" = '21.00 #000000'
# The examples of the Understanding document: #767676 on white is 4.54.
check 'the formula: #767676 on white is 4.54' test "$(echo '#767676' | contrast '#ffffff')" = '4.54 #767676'
sh -c 'cd tests/cmd/leat-plot/curves && leat-plot --now data --nameplate nameplate.csv --logbook logbook.csv readings.csv' >"$scratch/svg"
cat >"$scratch/f.csv" <<END
time,asset,point,rule,status,value,unit,limit,since,until,due,shelved,message,baseline,ratio,p10,p50,p90
2025-09-06T04:00:00Z,NM/pump-a,drain-flow-corrected,pump-wear,alert,,,,2025-09-06T04:00:00Z,,,,x,1.8,1.4,2025-11-01T00:00:00Z,2025-11-10T00:00:00Z,2025-12-01T00:00:00Z
END
leat-plot --now 2025-10-11T06:00:00Z -f "$scratch/f.csv" tests/cmd/leat-plot/forecast/daily.csv >>"$scratch/svg"
leat-plot --now data testdata/examples/state-shift.csv >>"$scratch/svg"
printf '%s\n' "$header" 2025-01-01T00:00:00Z,NM,pressure,1,bar,good 2025-01-01T00:00:00Z,NM,state,grinding,,good \
	2025-01-01T00:05:00Z,NM,pressure,1,bar,good >"$scratch/strip.csv"
leat-plot --now data "$scratch/strip.csv" >>"$scratch/svg"
sed -n 's/.*<text.* fill="\(#[0-9a-f]*\)".*/\1/p' "$scratch/svg" | sort -u >"$scratch/inks"
check 'there are texts in four inks' test "$(wc -l <"$scratch/inks")" = 4
for back in '#ffffff' '#e8e8e8' '#cfdcea'; do
	contrast $back <"$scratch/inks" | awk '$1 < 4.5' >"$scratch/low"
	check "texts on $back: 4.5 and more" test ! -s "$scratch/low"
done
# What is drawn in a ground of its own stands apart from that ground and from white; grid and grounds only help (1.4.11).
grep -oE '(stroke|fill)="#[0-9a-f]{6}"' "$scratch/svg" | sed 's/.*"\(.*\)"/\1/' | sort -u | grep -vxE '#(dcdcdc|ffffff|e8e8e8|cfdcea)' >"$scratch/inks"
check 'there are six inks of lines and shapes' test "$(wc -l <"$scratch/inks")" = 6
for back in '#ffffff' '#e8e8e8' '#cfdcea'; do
	contrast $back <"$scratch/inks" | awk '$1 < 3' >"$scratch/low"
	check "lines and shapes on $back: 3 and more" test ! -s "$scratch/low"
done
# A forecast's ground is seen by its edge, a ground without data has its word; neither rests on its shade.
check 'the ground of a forecast has an edge' test "$(grep -c 'fill="#cfdcea"' "$scratch/svg")" = "$(grep -c 'fill="#cfdcea" stroke="#12467f"' "$scratch/svg")"
# In grey: alert, alarm and baseline differ by their dashes.
grep -oE 'stroke="#(8f1414|7a4a00|555555)" stroke-width="[0-9.]*" stroke-dasharray="[0-9 .]*"' "$scratch/svg" |
	sed 's/^stroke="[^"]*" //' | sort -u >"$scratch/dashes"
check 'alert, alarm and baseline have dashes of their own' test "$(wc -l <"$scratch/dashes")" -ge 3
check 'nothing outside is referred to' test "$(grep -cE 'href|url\(|<script|<style|@import|<image| id=' "$scratch/svg")" = 0

# Well-formed, whatever comes: names of random bytes, values of all sizes.
if command -v xmllint >/dev/null 2>&1; then
	for seed in 1 2 3 4 5 6 7 8; do
		{
			echo "$header"
			LC_ALL=C awk -v seed=$seed 'BEGIN { srand(seed)
				for (i = 0; i < 400; i++) {
					name = ""; n = 1 + int(rand() * 12)
					for (k = 0; k < n; k++) { c = 32 + int(rand() * 224); name = name (c == 34 ? "\"\"" : sprintf("%c", c)) }
					printf "2025-11-03T04:%02d:%02dZ,\"A%s\",\"%s\",%se%d,,%s\n", i / 60, i % 60, name, name,
						rand() - 0.5, int(rand() * 40) - 20, rand() < 0.2 ? "uncertain" : "good"
				} }'
			printf '2025-11-03T05:00:00Z,"<![CDATA[ ]]> & \303\251 \342\200\256 \327\251\327\234","<!-- -->",5,bar,good\n'
		} >"$scratch/in"
		leat-plot -q --max-rejects 100% --now data --panels 300 --title '<&>"]]>' "$scratch/in" >"$scratch/svg" 2>/dev/null
		check "well-formed with names of random bytes, seed $seed" xmllint --noout "$scratch/svg"
		leat-plot -q --max-rejects 100% --now data --sparkline --panels 300 "$scratch/in" >"$scratch/spark" 2>/dev/null
		check "sparklines likewise, seed $seed" xmllint --noout "$scratch/spark"
		check "no number that is none, seed $seed" test "$(grep -cE ' (x|y|x1|x2|y1|y2|cx|cy|r|d|width|height)="[^"]*(nan|inf|[0-9]e)' "$scratch/svg")" = 0
	done
else
	skip 'well-formed: xmllint not installed'
fi

# leat-select --thin against a plain model that holds all: of each series and hour of UTC.
awk -v h="$header" 'BEGIN { print h; srand(11)
	split("NM/a NM/b MM/a", asset, " "); split("grinding off run-up", word, " ")
	for (i = 0; i < 30000; i++) {
		t = i * 7; a = asset[1 + int(rand() * 3)]; q = rand() < 0.1 ? "bad" : rand() < 0.1 ? "uncertain" : "good"
		if (rand() < 0.3) printf "%s,state,%s,,%s\n", stamp(t) "," a, word[1 + int(rand() * 3)], q
		else printf "%s,pressure,%d,bar,%s\n", stamp(t) "," a, rand() * 40, q
	} }
	function stamp(t) { return sprintf("2025-11-%02dT%02d:%02d:%02dZ", 1 + t / 86400, t / 3600 % 24, t / 60 % 60, t % 60) }' >"$scratch/in"
awk -F, 'NR == 1 { print; next }
	{ row[NR] = $0; s = substr($1, 1, 13) FS $2 FS $3; v = $4 + 0
		if ($6 == "bad") { if (!bad[s]) keep[NR] = 1; bad[s] = 1; run[s] = ""; next }
		bad[s] = 0; last[s] = NR
		if ($3 == "state") { if (run[s] != $4) keep[NR] = 1; run[s] = $4; next }
		if (!(s in first)) { first[s] = low[s] = high[s] = NR; least[s] = most[s] = v }
		if (v < least[s]) { least[s] = v; low[s] = NR }
		if (v > most[s]) { most[s] = v; high[s] = NR } }
	END { for (s in first) keep[first[s]] = keep[low[s]] = keep[high[s]] = 1
		for (s in last) keep[last[s]] = 1
		for (i = 2; i <= NR; i++) if (i in keep) print row[i] }' "$scratch/in" >"$scratch/want"
leat-select --now data --thin PT1H "$scratch/in" >"$scratch/got"
check '--thin keeps what a plain model keeps' cmp "$scratch/want" "$scratch/got"
check '--thin leaves most of it out' test "$(wc -l <"$scratch/got")" -lt "$(($(wc -l <"$scratch/in") / 2))"
leat-archive --archive "$scratch/archive" --now data "$scratch/in" 2>/dev/null
leat-select --archive "$scratch/archive" --now data >"$scratch/all"
leat-select --now data --thin PT1H "$scratch/all" >"$scratch/want"
leat-select --archive "$scratch/archive" --now data --thin PT1H >"$scratch/got"
check '--thin of an archive is that of its rows' cmp "$scratch/want" "$scratch/got"
# The curve of thinned readings has the same lowest and highest point.
minutes 20000 -1 >"$scratch/in"
leat-select --now data --thin PT1H "$scratch/in" >"$scratch/thin"
for f in in thin; do leat-plot --now data --thinned PT1H "$scratch/$f" | sed -n 's/.*, lowest \(.*\), last.*<.desc>/\1/p'; done | sort -u >"$scratch/got"
check 'thinned readings have the same range' test "$(wc -l <"$scratch/got")" = 1

# A browser draws the curve: without it the picture is another one.
if command -v chromium >/dev/null 2>&1; then
	leat-plot --now data testdata/examples/state-shift.csv >"$scratch/a.svg"
	grep -v '^<path' "$scratch/a.svg" >"$scratch/b.svg"
	for f in a b; do
		HOME=$scratch timeout 60 chromium --headless --no-sandbox --disable-gpu --window-size=860,440 \
			--screenshot="$scratch/$f.png" "file://$scratch/$f.svg" >/dev/null 2>&1
	done
	if [ -s "$scratch/a.png" ] && [ -s "$scratch/b.png" ]; then
		check 'a browser draws the curve' test "$(cksum <"$scratch/a.png")" != "$(cksum <"$scratch/b.png")"
	else skip 'a browser draws the curve: it made no picture'; fi
else
	skip 'a browser draws the curve: chromium not installed'
fi
exit $bad
