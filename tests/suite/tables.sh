#!/bin/sh
# tables.sh: leat-check --tables against the commands that read the tables.
#
# Good tables are spoilt at random, a cell or a line at a time.  Where a command refuses a table, the check must have
# told a fault of the same file and line; where it tells a fault, a command must refuse that table.  The bad tables of
# testdata/tables are held to the same, and no crafted input may be needed: nothing is read but the folder.
# shellcheck source=tests/lib.sh
. "$(dirname "$0")/../lib.sh"

now=2025-11-05T00:00:00Z

# The works to be spoilt: tables that the check and the commands find in order.
good=$scratch/good
mkdir "$good"
cp testdata/works/nameplate.csv testdata/works/points.csv testdata/works/sources.csv testdata/works/limits.csv \
	testdata/works/shelved.csv "$good"
cat >"$good/logbook.csv" <<'END'
time,asset,event,task,point,found,left,unit,item,who,note
2025-11-03T05:00:00Z,NM,top-up,,top-up,,40,L,,shift 1,drum 7
2025-11-03 07:30,NM/pump-a,meter-change,,hour-meter,8123.4,0.0,h,M-2,crew,
2025-11-04T05:00:00+01:00,SM,note,,,,,,,shift 2,"rollers lifted, oil hot"
END
cat >>"$good/nameplate.csv" <<'END'
NM/pump-a,rated-flow,41,L/min,2025-03-01,pump plate
NM/pump-a,rated-flow,40,L/min,2025-06-01 06:00,pump plate
NM,run-up,PT10M,,,
END
cat >>"$good/limits.csv" <<'END'
NM/*;filter-dp;oil-temperature>=40 degC & !(state=off);;;2,8;3,5;bar;0,1;PT10M;clogged-filter;;
END
cat >"$good/trends.csv" <<'END'
asset,point,when,clock,model,baseline,alert,alarm,unit,window,rule,advice,source
NM/pump-a,drain-flow-corrected,state=grinding,running-hours,cube-root,1.8,2.5,3.2,L/min,P6M,pump-wear,order a pump,pump plate
NM/*,filter-dp,,,,first,1.5x,2x,,,clogging,,
NM,pressure,,calendar,linear,none,118,115,bar,P60D,low-pressure,,
NM,pressure,,,step,,,0.9x,,,pressure-jump,,
SM,oil-temperature,,,,,,,,,warmer,,
END
cat >"$good/confirm.csv" <<'END'
event,asset,point,measure,low,high,unit,within,rule,advice,source
cleaning,NM/cooler,cooler-ua,ratio,1.1,,,P14D,cooler-cleaned,look again,works
pump-change,*,drain-flow-corrected,difference,,-0.5,L/min,,pump-changed,,
pressure-setting,NM,pressure-setpoint,left,-1,1,bar,P2D,,,
filter-change,NM/*,filter-dp,value,0.3,0.6,bar,,,,
END
cat >"$good/oil.csv" <<'END'
asset,point,when,low_alarm,low_alert,high_alert,high_alarm,unit,own,least,fresh,verdict,confirm,needed,max_age,rule,advice,source
NM/*,water-content,,,,150,400,mg/kg,,,,dry,1,yes,P60D,wet-oil,dry it,oil sheet
*,acid-number-rise,,,,0.4,0.8,mgKOH/g,high,0.2,0,renew,2,yes,,acid-number,,
*,viscosity-shift,acid-number-rise<0.3,-8,-4,4,8,%,both,3,0,look,2,no,,other-oil,,
*,zinc-share,,,,,,,,,,,,,,additive,,
END
cat >"$good/modes.csv" <<'END'
mode,symptom,rule,asset,point,says,where,weight,absent,plain,read,advice,source
pump-wear,growing drain flow,pump-wear,NM/pump-a,drain-flow-corrected,,,3,-1,yes,the drain flow,order a pump,works
pump-wear,hot drain oil,hot-*,,drain-temperature,,mill,1,0,no,,,
pump-wear,unexplained heat,,,,,,,,,,,
aeration,*,,,,,,,,,,,
END
printf 'time,NM.PGR\n2025-11-03T04:00:00Z,121.0\n' >"$scratch/NM_1.csv"
printf 'time,asset,point,value,unit,quality\n2025-11-03T04:00:00Z,NM,pressure,121.0,bar,good\n' >"$scratch/readings.csv"

echo 'time,asset,point,rule,status,value,unit,limit,since,until,due,shelved,message' >"$scratch/findings.csv"

# spoil SEED FILE: one slip somewhere in the file.
spoil() {
	LC_ALL=C awk -v seed="$1" '
	BEGIN {
		srand(seed)
		n = split("|hot|-1|0|1e9|1,5|1.5|1.5x|0.5x|step|cube-root|as-new|none|1.234,5|PT10M|P1M|10 min|5/min|5/day|bar|degC|furlong|L|grinding|state=|state=off &|NM|NM//x|*|NM/*|" \
			"cleaning|ratio|left|both|renew|yes|2025-11-03|3/4/2025|2025-03-30 02:30|2025-02-30|\"|a\"b|\"a\"|\377|x y|set-pressure|zone|pressure|state|Running=on|on=|auto|wide|comma|" \
			"utf-8|last|top-up|note|source|x-y|Europe/Berlin|06:00|25:00", slip, "|")
	}
	{ line[NR] = $0 }
	END {
		at = 1 + int(rand() * NR); if (rand() < 0.8 && at == 1 && NR > 1) at = 2
		what = rand()
		sep = line[1] ~ /;/ ? ";" : ","
		if (what < 0.05) line[at] = line[at] sep slip[1 + int(rand() * n)]
		else if (what < 0.1) line[at] = line[at] "\n" line[at]
		else if (what < 0.13) line[at] = substr(line[at], 1, int(rand() * length(line[at])))
		else if (what < 0.15) line[at] = line[at] "\r"
		else {
			k = split(line[at], cell, sep); c = 1 + int(rand() * k)
			cell[c] = rand() < 0.8 ? slip[1 + int(rand() * n)] : substr(cell[c], 2)
			line[at] = cell[1]
			for (i = 2; i <= k; i++) line[at] = line[at] sep cell[i]
		}
		for (i = 1; i <= NR; i++) print line[i]
	}' "$2"
}

# read_by COMMAND WORKS FILE: what the command says on standard error, if it ends with status 2.
read_by() {
	"$1" -w "$2" --now "$now" "$3" >/dev/null 2>"$scratch/said" </dev/null
	[ $? != 2 ] || cat "$scratch/said"
}

# refusals WORKS: what the commands that read the tables refuse of them, as FILE,LINE.
refusals() {
	{
		read_by leat-normalise "$1" "$scratch/NM_1.csv"
		read_by leat-check "$1" "$scratch/readings.csv"
		read_by leat-hours "$1" "$scratch/readings.csv"
		read_by leat-trend "$1" "$scratch/readings.csv"
		read_by leat-confirm "$1" "$scratch/readings.csv"
		read_by leat-verdict "$1" "$scratch/readings.csv"
		read_by leat-diagnose "$1" "$scratch/findings.csv"
	} | LC_ALL=C grep -av ': left out$' |
		LC_ALL=C sed -n "s|^leat-[a-z]*: $1/\([a-z]*\.csv\):\([0-9]*\):.*|\1,\2|p" | sort -u
}

# faults WORKS: what --tables tells, alike; its status is left in a file.
faults() {
	leat-check --tables -q -w "$1" --now "$now" >"$scratch/told" 2>"$scratch/err" </dev/null
	echo $? >"$scratch/status"
	LC_ALL=C sed -n "s|^$1/\([a-z]*\.csv,[0-9]*\),[^,]*,fault,.*|\1|p" "$scratch/told" | sort -u
}

# agree NAME: the folder w as the commands and as the check see it.
agree() {
	refusals w >"$scratch/refused"
	faults w >"$scratch/faults"
	read -r status <"$scratch/status"
	if [ -s "$scratch/err" ]; then why="it said: $(cat "$scratch/err")"
	elif [ -n "$(comm -23 "$scratch/refused" "$scratch/faults")" ]; then
		why="refused, but not told: $(comm -23 "$scratch/refused" "$scratch/faults" | tr '\n' ' ')"
	elif [ -s "$scratch/faults" ] && [ ! -s "$scratch/refused" ]; then why="told, but not refused: $(tr '\n' ' ' <"$scratch/faults")"
	elif [ -s "$scratch/faults" ] && [ "$status" != 2 ]; then why="status $status with faults"
	elif [ ! -s "$scratch/faults" ] && [ "$status" != 0 ]; then why="status $status without faults"
	else return 0; fi
	return 1
}

cd "$scratch" || exit 1
cp -R good w
if agree && [ ! -s faults ]; then ok 'the good tables are good to both'; else fail "the good tables: ${why-}$(cat faults)"; fi

tries=500 wrong=0 refused=0
[ "${LONG-}" != no ] || tries=100
for table in nameplate sources points limits trends confirm oil modes shelved logbook; do
	seed=0
	while [ "$seed" -lt $((tries / 10)) ]; do
		seed=$((seed + 1))
		spoil "$seed$(printf '%s' "$table" | wc -c)" "good/$table.csv" >"w/$table.csv"
		agree || { fail "$table, seed $seed: $why"; wrong=$((wrong + 1)); }
		[ ! -s refused ] || refused=$((refused + 1))
		[ "$wrong" -lt 5 ] || exit 1
	done
	cp "good/$table.csv" "w/$table.csv"
done
[ "$wrong" -gt 0 ] || ok "$tries slips, $refused of them refused by a command: the check agrees"
# A test that never sees a bad table, or never a good one, shows nothing.
check 'slips of both kinds' test "$refused" -gt $((tries / 10)) -a "$refused" -lt "$tries"

count=0
for f in "$top"/testdata/tables/bad-*.csv; do
	table=${f##*-}
	cp "$f" "w/$table"
	agree && [ -s faults ] || fail "$(basename "$f"): ${why:-no fault was told}"
	count=$((count + 1))
	cp "good/$table" "w/$table"
done
check 'the bad tables are told as they are refused' test "$bad" = 0 -a "$count" -gt 30

# All faults at once: as many lines as were spoilt, each told.
awk -F, -v OFS=, 'NR > 1 && NR % 3 == 0 { $5 = "low" } { print }' good/points.csv >w/points.csv
spoilt=$(grep -c ,low, w/points.csv)
faults w >many
check "$spoilt faults of one table are all told" test "$(wc -l <many)" = "$spoilt" -a "$spoilt" -gt 10
cp good/points.csv w/points.csv

# More than is printed is counted.
awk 'BEGIN { print "asset,point,high_alarm,unit"; for (i = 0; i < 5000; i++) print "NM,pressure-" i ",high,bar" }' >w/limits.csv
leat-check --tables -w w --now "$now" >told 2>err
check 'a table wrong throughout' test $? = 2 -a "$(grep -c ',fault,' told)" = 200
cp good/limits.csv w/limits.csv

# A limit of another dimension than the works' own point ends leat-check at the first reading, so it is a fault.
echo 'NM.WOB,NM,roller-lift,mm,0,9,' >>w/points.csv
printf 'asset,point,high_alarm,unit\nNM,roller-lift,150,bar\n' >w/limits.csv
printf 'time,asset,point,value,unit,quality\n2025-11-03T04:00:00Z,NM,roller-lift,5,mm,good\n' >lift.csv
leat-check -w w --now "$now" lift.csv >told 2>err
check 'a unit of another dimension ends the run' test $? = 2
faults w >faults
check 'and is told by day' test "$(cat faults)" = limits.csv,2
cp good/points.csv good/limits.csv w

# Settings of the nightly job: what it refuses, and nothing else.
mkdir -p w/incoming/NM
while read -r setting; do
	printf 'settle 0\n%s\n' "$setting" >w/nightly.conf
	PATH=$bin:$PATH sh "$top/docs/nightly.sh" --now "$now" w >told 2>&1 </dev/null
	refused=$(grep -c '/nightly.conf:' told)
	leat-check --tables -q -w w --now "$now" >told 2>err
	check "setting '$setting'" test "$(grep -c '^w/nightly.conf,[0-9]*,[^,]*,fault,' told)" = "$refused"
done <<'END'
days 35
days 1x
days
days 1234567
days NM 90
days NM many
days NM 1234567
late 30
late NM 30
late NM soon
lines ten
weekly sun
weekly sunday
weekly
source NM incoming/NM/*
source NM
source N,M incoming/NM/*
sorce NM incoming/NM/*
# days many
END
rm -f w/nightly.conf

# The demo works are in order but for what is true of them.
for works in works works-year; do
	leat-check --tables -q -w "$top/testdata/$works" --now 2025-11-05T00:00:00Z >told 2>err </dev/null
	check "$works has no fault" test $? = 0 -a "$(grep -c ,fault, told)" = 0
done
exit "$bad"
