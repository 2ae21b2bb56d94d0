#!/bin/sh
# run.sh [ROWS]: speed and memory beside general tools, in one run on one core, on data made here.
#
# Contenders of one job must give the same answer, or it is said.  Wall seconds and peak memory are GNU time's; every
# figure is the better of two runs.  Ratios are against leat: 2.0 means that it took twice as long.
set -u
cd "$(dirname "$0")/../.." || exit 1
build=$(cd "${BUILD:-build}" && pwd) || exit 1
PATH=$build/bin:$PATH; LC_ALL=C; export PATH LC_ALL
rows=${1:-170000}
work=$build/bench; mkdir -p "$work" || exit 1
cd "$work" || exit 1
export TMPDIR="$work"

# A wide export of 60 tags with decimal comma: one row a minute.
if [ ! -e "wide-$rows.csv" ]; then
	mawk -v n="$rows" 'BEGIN {
		srand(1); printf "Zeit"; for (j = 1; j <= 60; j++) printf ";T%02d.TTK", j; print ""
		for (i = 0; i < n; i++) {
			m = i % 1440; d = int(i / 1440); printf "%02d.%02d.%04d %02d:%02d:00", d % 28 + 1, int(d / 28) % 12 + 1, 2024 + int(d / 336), int(m / 60), m % 60
			for (j = 1; j <= 60; j++) printf ";%d,%d", 45 + int(i / 600) % 20 + rand() * 4, rand() * 10
			print ""
		} }' >"wide-$rows.csv.tmp" && mv "wide-$rows.csv.tmp" "wide-$rows.csv"
fi
mawk 'BEGIN { print "tag,asset,point,unit"; for (j = 1; j <= 60; j++) printf "T%02d.TTK,T%02d,oil-temperature,degC\n", j, j }' >points.csv
cat >limits.csv <<'END'
asset,point,high_alert,unit,rule,advice
*,oil-temperature,66,degC,bench,none
END
[ -e "readings-$rows.csv" ] ||
	leat-normalise -q --zone UTC --now 2030-01-01T00:00:00Z --points points.csv "wide-$rows.csv" >"readings-$rows.csv" || exit 1
n=$(($(wc -l <"readings-$rows.csv") - 1))
echo "wide export: $rows rows of 60 tags, $(wc -c <"wide-$rows.csv") bytes; readings: $n rows, $(wc -c <"readings-$rows.csv") bytes"

columns=$(mawk 'BEGIN { printf "{'\''Zeit'\'': '\''TIMESTAMP'\''"; for (j = 1; j <= 60; j++) printf ", '\''T%02d.TTK'\'': '\''DOUBLE'\''", j; print "}" }')

base=
# time_one LABEL ANSWER COMMAND: prints seconds, ratio, memory, and the answer.  The first of a job is leat.
time_one() {
	label=$1; shift
	best=
	for _ in 1 2; do
		/usr/bin/time -f '%e %M' -o took sh -c "$1" >answer 2>err || { echo "  $label: failed: $(head -n 1 err)"; return; }
		read -r s kb <took
		if [ -z "$best" ] || awk -v a="$s" -v b="$best" 'BEGIN { exit !(a < b) }'; then best=$s mem=$kb; fi
	done
	[ -z "$base" ] && base=$best want=$(cat answer)
	same=; [ "$(cat answer)" = "$want" ] || same=" ANSWER DIFFERS: $(head -c 60 answer)"
	awk -v l="$label" -v s="$best" -v b="$base" -v m="$mem" -v n="$n" -v same="$same" 'BEGIN {
		printf "  %-34s %7.2f s  %5.2f x  %7.1f MB  %6.2f M rows/s%s\n", l, s, s / (b > 0 ? b : 0.01), m / 1024, n / 1e6 / (s > 0 ? s : 0.01), same }'
}

# An embedded column database of the npm registry, where npm and the registry are there.
column=
if [ ! -d npm/node_modules ] && command -v npm >/dev/null; then
	mkdir -p npm
	npm install --prefix npm --no-save --no-audit --no-fund @duckdb/node-api >npm.log 2>&1 || rm -rf npm
fi
if [ -d npm/node_modules ]; then
	cat >npm/ask.mjs <<'END'
import { DuckDBInstance } from '@duckdb/node-api';
const base = await DuckDBInstance.create(':memory:', { threads: process.argv[2] });
const answer = await (await base.connect()).runAndReadAll(process.argv[3]);
for (const row of answer.getRows()) console.log(row.join(' '));
END
	node npm/ask.mjs 1 'select 1' >/dev/null 2>&1 && column='node npm/ask.mjs'
fi
cores=$(getconf _NPROCESSORS_ONLN 2>/dev/null || echo 1)
# column_both LABEL SQL AFTER: on one core, and on all.
column_both() {
	[ -n "$column" ] || { echo "  $1: skipped: not to be had from the npm registry"; return; }
	time_one "$1, 1 core" "$column 1 \"$2\" $3"
	[ "$cores" = 1 ] || time_one "$1, $cores cores" "$column $cores \"$2\" $3"
}

# Folded episodes tell how many they are.
check="leat-check -q --now data --since 2000-01-01T00:00:00Z --limits limits.csv readings-$rows.csv | awk -F, '\$4 == \"bench\" && \$9 != \"\" { n += match(\$0, /in [0-9]+ episodes/) ? substr(\$0, RSTART + 3, RLENGTH - 12) : 1 } END { print n + 0 }'"
episodes="-F, 'NR > 1 { k = \$2 \",\" \$3; o = \$4 > 66; if (o && !(k in over)) n++; if (o) over[k]; else delete over[k] } END { print n + 0 }' readings-$rows.csv"
echo "limits over readings (episodes above 66 degC):"
base=
time_one 'leat-check' "$check"
command -v mawk >/dev/null && time_one 'mawk, the same count' "mawk $episodes"
command -v gawk >/dev/null && time_one 'gawk, the same count' "gawk $episodes"
command -v mlr >/dev/null && time_one 'record-stream tool, the same count' \
	"mlr --icsv --onidx put -q 'begin{@n=0} k=\$asset.\",\".\$point; o=\$value>66; if(o && !is_present(@over[k])){@n+=1} if(o){@over[k]=1}else{unset @over[k]} end{emit @n}' readings-$rows.csv | awk '{ print \$NF }'"
column_both 'column database, the same count' "select count(*) from (select value > 66 as o, lag(value > 66, 1, false) over (partition by asset, point order by time) as b from read_csv('readings-$rows.csv')) where o and not b" ''

echo "wide export to readings (rows out):"
base=
time_one 'leat-normalise' "leat-normalise -q --zone UTC --now 2030-01-01T00:00:00Z --points points.csv wide-$rows.csv | tail -n +2 | wc -l"
command -v mawk >/dev/null && time_one 'mawk, no time zone, no checks' \
	"mawk -F';' 'NR == 1 { for (j = 2; j <= NF; j++) a[j] = substr(\$j, 1, 3); next } { t = substr(\$1, 7, 4) \"-\" substr(\$1, 4, 2) \"-\" substr(\$1, 1, 2) \"T\" substr(\$1, 12) \"Z\"; for (j = 2; j <= NF; j++) { v = \$j; sub(/,/, \".\", v); print t \",\" a[j] \",oil-temperature,\" v \",degC,good\" } }' wide-$rows.csv | wc -l"
column_both 'column database, no checks' "copy (select strftime(Zeit, '%Y-%m-%dT%H:%M:%SZ'), name[:3], 'oil-temperature', value, 'degC', 'good' from (unpivot (select * from read_csv('wide-$rows.csv', delim = ';', header = true, decimal_separator = ',', columns = $columns, timestampformat = '%d.%m.%Y %H:%M:%S')) on columns(* exclude Zeit))) to 'wide.out' (header false)" ">/dev/null && wc -l <wide.out"

echo "reading alone (rows):"
base=
time_one 'readings through leat' "$build/tests/bench/bench_rows readings readings-$rows.csv | awk '{ print \$1 + 1 }'"
time_one 'rows through leat' "$build/tests/bench/bench_rows rows readings-$rows.csv | awk '{ print \$1 }'"
time_one 'libcsv alone' "$build/tests/bench/bench_csv readings-$rows.csv"
time_one 'counting lines' "wc -l <readings-$rows.csv"
echo "gzip input (rows):"
[ -e "readings-$rows.csv.gz" ] || gzip -1 -c "readings-$rows.csv" >"readings-$rows.csv.gz"
base=
time_one 'gzip -dc alone' "gzip -dc readings-$rows.csv.gz | wc -l"
time_one 'rows through leat, from gzip' "$build/tests/bench/bench_rows rows readings-$rows.csv.gz | awk '{ print \$1 }'"
time_one 'leat-select, from gzip' "leat-select -q --now data readings-$rows.csv.gz | wc -l"

echo "derive:"
base=
time_one 'leat-state' "leat-state -q --now data readings-$rows.csv | tail -n 1 | wc -l"
time_one 'leat-rollup, hours' "leat-rollup -q --now data readings-$rows.csv | tail -n 1 | wc -l"
time_one 'leat-rollup, days, no percentiles' "leat-rollup -q --now data --every day --quantiles none readings-$rows.csv | tail -n 1 | wc -l"
time_one 'leat-pair' "leat-pair -q --now data --first T01/oil-temperature --second T02/oil-temperature readings-$rows.csv | tail -n 1 | wc -l"

# Minutes of drain flow with noise that carries over, a slow rise and two decimals.
for n in 1000 10000 100000 1000000; do
	[ -e "points-$n.csv" ] ||
		mawk -v n="$n" 'BEGIN { srand(3); e = 0; for (i = 0; i < n; i++) {
			e = 0.5 * e + (rand() + rand() + rand() + rand() - 2) * 0.1
			printf "%d,%.2f\n", i, 1.8 + 0.9 * i / n + e } }' >"points-$n.csv"
done
python=
for p in python3 /usr/bin/python3; do
	"$p" -c 'import scipy.stats' 2>/dev/null && python=$p && break
done
for n in 1000 10000 100000 1000000; do
	echo "Theil-Sen slope of $n points with its interval (reading included):"
	base=
	time_one 'leat' "$build/tests/bench/bench_line <points-$n.csv"
	# It keeps all slopes at once: 100 000 points would need 200 GB.
	if [ "$n" -gt 10000 ]; then
		echo '  statistics package of Python          cannot: all pairs at once'
	elif [ -n "$python" ]; then
		time_one 'statistics package of Python' "$python -c 'import numpy as np; from scipy import stats; x, y = np.loadtxt(\"points-$n.csv\", delimiter=\",\", unpack=True); r = stats.theilslopes(y, x, 0.9); print(\"%.17g %.17g %.17g\" % (r[0], r[2], r[3]))'"
	else
		echo '  statistics package of Python          skipped: no python3 with scipy'
	fi
done
