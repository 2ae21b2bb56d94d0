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
exit $bad
