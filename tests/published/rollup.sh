#!/bin/sh
# rollup.sh: leat-rollup against other tools.
#
# Works' days: the tz database through Python's zoneinfo.  Percentiles: the statistics module of Python, on the signal
# sampled each second.  Means of OPC 10000-13 (OPC UA Part 13) 1.04, annex A.5.2, TimeAverage2 of Historian1, whose
# intervals of 5 s are taken together by two, since the readings stand at their ends (raw data from memory, see
# test_time_average.c).  Where the annex has BadNoData before the first reading, there is no row.
# shellcheck source=tests/lib.sh
. "$(dirname "$0")/../lib.sh"
python=$(command -v python3) || python=
cd "$scratch" || exit 1

{
	echo 'time,asset,point,value,unit,quality'
	for s in 10,10,good 20,20,good 30,30,good 40,,bad 50,50,good; do
		echo "2025-11-03T12:00:${s%%,*}Z,H,x,$(echo "$s" | cut -d, -f2),,${s##*,}"
	done
	echo '2025-11-03T12:01:00Z,H,x,60,,good'
	for s in 10,70,uncertain 20,80,good 30,90,good; do
		echo "2025-11-03T12:01:${s%%,*}Z,H,x,$(echo "$s" | cut -d, -f2),,${s##*,}"
	done
} >historian.csv
leat-rollup --now data --every PT10S --wide --label start --quantiles none historian.csv | cut -d, -f1,5,10,11 >got
cat >want <<'END'
time,mean,good,quality
2025-11-03T12:00:10Z,15.00,100.00,good
2025-11-03T12:00:20Z,25.00,100.00,good
2025-11-03T12:00:30Z,30.00,100.00,good
2025-11-03T12:00:40Z,,0.00,bad
2025-11-03T12:00:50Z,55.00,100.00,good
2025-11-03T12:01:00Z,65.00,0.00,uncertain
2025-11-03T12:01:10Z,75.00,0.00,uncertain
2025-11-03T12:01:20Z,85.00,100.00,good
END
if cmp -s want got; then ok 'time averages of OPC UA Part 13'; else fail 'time averages of OPC UA Part 13'; diff want got; fi

printf 'tag,asset,point,unit,hold\n,NM,pressure,bar,PT1H\n' >points.csv
cat >hour.csv <<'END'
time,asset,point,value,unit,quality
2025-11-03T00:00:00Z,NM,pressure,120,bar,good
2025-11-03T00:10:00Z,NM,pressure,120,bar,good
2025-11-03T00:11:00Z,NM,pressure,110,bar,good
2025-11-03T01:00:00Z,NM,pressure,110,bar,good
END
check 'a pressure that fell within an hour' test "$(leat-rollup --now data --only --points points.csv hour.csv |
	grep mean)" = '2025-11-03T01:00:00Z,NM,pressure.mean,111.75,bar,good'
sed 's/pressure/pressure-setpoint/' hour.csv >step.csv; sed 's/pressure/pressure-setpoint/' points.csv >points-step.csv
check 'a set point that fell within an hour' test "$(leat-rollup --now data --only --points points-step.csv step.csv |
	grep mean)" = '2025-11-03T01:00:00Z,NM,pressure-setpoint.mean,111.83,bar,good'

if [ -z "$python" ]; then
	skip "works' days and percentiles: no python3"
	exit $bad
fi

# days ZONE START YEAR: the ends of works' days in a year, by both.
days() {
	"$python" - "$1" "$2" "$3" >want 2>err <<-'END' || { skip "works' days of $1: $(tail -n 1 err)"; return; }
	import sys
	from datetime import datetime, timedelta, timezone
	from zoneinfo import ZoneInfo
	zone, (h, m), year = ZoneInfo(sys.argv[1]), map(int, sys.argv[2].split(":")), int(sys.argv[3])
	day = datetime(year, 1, 3, h, m)
	while day.year == year:
	    print(day.replace(tzinfo=zone).astimezone(timezone.utc).strftime("%Y-%m-%dT%H:%M:%SZ"))
	    day += timedelta(days=1)
	END
	printf 'asset,property,value\n,zone,%s\n,day-start,%s\n' "$1" "$2" >plate.csv
	"$python" - "$3" >in.csv <<-'END'
	import sys
	from datetime import datetime, timedelta
	print("time,asset,point,value,unit,quality")
	t = datetime(int(sys.argv[1]), 1, 2, 12)
	while t < datetime(int(sys.argv[1]) + 1, 1, 2):
	    print(t.strftime("%Y-%m-%dT%H:%M:%SZ") + ",NM,pressure,1,bar,good")
	    t += timedelta(minutes=10)
	END
	leat-rollup --now data --only --quantiles none --every day --nameplate plate.csv in.csv >days
	grep 'coverage' days | cut -d, -f1 | head -n "$(wc -l <want)" >got
	if [ "$(wc -l <got)" -gt 300 ] && cmp -s want got; then ok "works' days of $1 from $2 in $3: $(wc -l <got)"
	else fail "works' days of $1 from $2 in $3"; diff want got | head -n 5; fi
	check "works' days of $1 in $3 are whole" test "$(grep coverage days | sed 1d | grep -c ',100.00,')" = "$(($(grep -c coverage days) - 1))"
}
days Europe/Berlin 06:00 2025
days America/New_York 06:00 2025
days America/Sao_Paulo 06:00 2018
days Australia/Lord_Howe 07:30 2025
days Asia/Kathmandu 06:00 2025
days Africa/Casablanca 06:00 2025

# A day of a mill at uneven steps.
awk 'BEGIN { srand(7); print "time,asset,point,value,unit,quality"; v = 120
	for (t = 0; t <= 86400; t += 10 + int(rand() * 300)) {
		v += rand() * 4 - 2; if (rand() < 0.02) v = 60 + rand() * 70
		printf "2025-11-%02dT%02d:%02d:%02dZ,NM,pressure,%.2f,bar,good\n", 3 + int(t / 86400), int(t / 3600) % 24, int(t / 60) % 60, t % 60, v
		last = t }
	printf "2025-11-04T00:00:00Z,NM,pressure,%.2f,bar,good\n", v }' >day.csv
leat-rollup --now data --utc --every day --wide --quantiles 0.05,0.5,0.95 day.csv | sed 1d | cut -d, -f8-10 | tr , ' ' >got
"$python" - >compared 2>&1 <<'END'
import statistics
from datetime import datetime
rows = [l.split(",") for l in open("day.csv").read().split()[1:]]
at = [(datetime.fromisoformat(r[0][:-1]), float(r[3])) for r in rows]
samples = []
for (t0, a), (t1, b) in zip(at, at[1:]):
    n = int((t1 - t0).total_seconds())
    samples += [a + (b - a) * (i + 0.5) / n for i in range(n)]
q = statistics.quantiles(samples, n=100)
got = [float(x) for x in open("got").read().split()]
for name, ours, theirs in zip(("p05", "p50", "p95"), got, (q[4], q[49], q[94])):
    # A second of the steepest line is the step of the samples.
    print("ok" if abs(ours - theirs) < 0.01 else "FAIL", name, ours, round(theirs, 4))
END
check 'percentiles by the statistics module of Python' test "$(grep -c '^ok' compared)" = 3
grep -v '^ok' compared
exit $bad
