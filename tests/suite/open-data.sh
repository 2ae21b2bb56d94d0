#!/bin/sh
# open-data.sh: the line on real measurements of a hydraulic rig.
#
# Source: Helwig, Pignanelli, Schuetze, condition monitoring of a complex hydraulic system, I2MTC 2015; UCI Machine
# Learning Repository, data set 447.  2205 load cycles of 60 s; oil temperature TS1 at 1 Hz; the label file tells in
# which cycles the cooler was near total failure (cycles 1..732), reduced (733..1464) or sound (1465..2205).  The data is
# not part of the project: where it is absent this is skipped.
# shellcheck source=tests/lib.sh
. "$(dirname "$0")/../lib.sh"
data=$top/../shared/open-data/uci-hydraulic
if [ ! -r "$data/TS1.txt.gz" ]; then skip "open data: not on this machine"; exit 0; fi
cd "$scratch" || exit 1

# Cycles by columns, no header, no times: unrolled to time, tag, value from an invented start (a minute a cycle).
unroll() {
	gzip -dc "$data/$1.txt.gz" | awk -v tag="$1" '
	BEGIN { print "time,tag,value"; t = 1735689600 }
	{ for (i = 1; i <= NF; i++) print t + (NR - 1) * 60 + i - 1 "," tag "," $i }'
}
for t in TS1 TS2; do unroll $t >$t.csv; done
mkdir works
cat >works/points.csv <<'END'
tag,asset,point,unit
TS1,rig,oil-temperature,degC
TS2,rig/cooler,oil-in-temperature,degC
END
cat >works/limits.csv <<'END'
asset,point,high_alert,unit,deadband,on_delay,off_delay,rule,advice
rig,oil-temperature,50,degC,0.5,PT5M,PT5M,cooler-lost,see why the cooler takes no heat
END
leat-normalise -w works --summary TS1.csv TS2.csv >readings.csv 2>normalise.err; status=$?
check 'open data normalised' test "$status" = 0
check 'open data: every sample came through' test "$(grep -c ',good$' readings.csv)" = $((2205 * 60 * 2))
gzip -dc "$data/TS1.txt.gz" | tr -s '\t\n' '\n\n' >want
awk -F, '$3 == "oil-temperature" { print $4 }' readings.csv >got
check 'open data: values as written' cmp -s want got
leat-check -w works --now data -a readings.csv >findings.csv 2>check.err; status=$?
check 'open data judged' test "$status" = 0
awk -F, '$4 == "cooler-lost" && $9 != ""' findings.csv >lost
# One episode: it begins while the oil warms up in the first 40 cycles, and ends within 15 minutes of cycle 733, where
# the label says that the cooler was opened.
awk -F, 'function cycle(t) { split(t, c, /[-T:Z]/); return ((c[3] - 1) * 24 + c[4]) * 60 + c[5] + 1 }
	{ n++; since = cycle($9); until = cycle($10); print "since cycle " since ", until cycle " until }
	END { exit !(n == 1 && since <= 40 && until >= 733 && until <= 748) }' lost >cycles
if [ $? = 0 ]; then ok "open data: one hot episode, $(cat cycles)"
else fail "open data: hot episode: $(cat cycles lost)"; fi

# The cooler: oil enters it at TS3 and leaves it at TS4.  Each class as a day of its own, for a works' day has one median.
# How cool the coolant was is not among the data: the cooling efficiency that comes with them (CE, %) is, by its own
# definition, the drop over TS3 less coolant, which gives 22 to 25 degC; 23 is taken for all.  leat-cooler knows nothing of
# CE; its effectiveness must lie near the median of it, and its approach must part the classes by itself.
mkdir cooler
cat >cooler/nameplate.csv <<'END'
asset,property,value,unit,from
rig/cooler,warm-from,30,degC,
END
cat >cooler/points.csv <<'END'
tag,asset,point,unit
TS3,rig/cooler,oil-in-temperature,degC
TS4,rig/cooler,oil-out-temperature,degC
END
# class FIRST LAST DAY: leat-cooler over these cycles, from the beginning of a works' day on.
class() {
	for t in TS3 TS4; do
		gzip -dc "$data/$t.txt.gz" | awk -v tag=$t -v first="$1" -v last="$2" -v day="$3" '
		BEGIN { print "time,tag,value"; t = 1735711200 + 86400 * day }
		NR >= first && NR <= last { for (i = 1; i <= NF; i++) print t + (NR - first) * 60 + i - 1 "," tag "," $i }' >class-$t.csv
	done
	{ echo time,asset,point,value,unit,quality
	for i in $(seq 0 9 729); do
		echo "$(date -u -d "@$((1735711200 + 86400 * $3 + i * 60))" +%Y-%m-%dT%H:%M:%SZ),rig,state,grinding,,good"
		echo "$(date -u -d "@$((1735711200 + 86400 * $3 + i * 60))" +%Y-%m-%dT%H:%M:%SZ),rig/cooler,water-in-temperature,23,degC,good"
	done; } >around.csv
	leat-normalise -q -w cooler class-TS3.csv class-TS4.csv >class.csv
	leat-select -q --sort around.csv class.csv | leat-cooler -q -w cooler --now 2025-02-01T00:00:00Z --only
}
# median FILE FIRST LAST: of the means of these cycles.
median() {
	gzip -dc "$data/$1.txt.gz" | awk -v first="$2" -v last="$3" '
	NR >= first && NR <= last { s = 0; for (i = 1; i <= NF; i++) s += $i; print s / NF }' | sort -n |
		awk '{ x[NR] = $1 } END { print x[int((NR + 1) / 2)] }'
}
cell() { awk -F, -v p="$1" '$3 == p && $6 != "bad" { print $4 }' made; }
approach=
for c in 'near total failure:1:732:0' 'reduced:733:1464:1' 'sound:1465:2194:2'; do
	name=${c%%:*}; first=${c#*:}; day=${first##*:}; first=${first%:*}; last=${first#*:}; first=${first%:*}
	class "$first" "$last" "$day" >made
	e=$(cell cooler-effectiveness); ce=$(median CE "$first" "$last"); approach="$approach $(cell cooler-approach)"
	check "open data: a cooler that is $name cools by $e %, where the data say $ce %" \
		awk -v e="$e" -v ce="$ce" 'BEGIN { exit !(e > 0.9 * ce && e < 1.1 * ce) }'
done
check "open data: approach parts the three conditions:$approach K" \
	awk -v a="$approach" 'BEGIN { split(a, x, " "); exit !(x[1] > 1.4 * x[2] && x[2] > 1.4 * x[3] && x[3] > 0) }'
exit $bad
