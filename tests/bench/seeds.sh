#!/bin/sh
# seeds.sh: the whole line over simulated years, each of its own seed, against their truth: faults found and missed, false alarms per
# month of a mill, how often the failure behind a fault was named right, and how often the range of a forecast held the date.
#
# SEEDS years are taken (2; 50 tell more), beginning with seed FIRST (2).  A year takes two to three minutes of processor time and
# 1 GB of room below build/.  The line is that of docs/replay.sh, but leat-trend, leat-verdict and leat-confirm are spared what
# comes by the minute, of which they judge nothing: that is four rows of five.  The figures are printed; nothing is held to a bound
# here, tests/suite/pumps.sh does that of pumps.
# KEEP=yes leaves the works of each seed where it was made.
set -u
cd "$(dirname "$0")/../.." || exit 1
top=$(pwd)
build=$(cd "${BUILD:-build}" && pwd) || exit 1
PATH=$build/bin:$PATH; LC_ALL=C; export PATH LC_ALL
unset LEAT_WORKS LEAT_NOW
now=2026-02-01T05:00:00Z
work=$build/seeds
mkdir -p "$work" || exit 1
seed=${FIRST:-2}
last=$((seed + ${SEEDS:-2}))

filters=$(sed -n "s/^filters='\(.*\)'\$/\1/p" "$top/docs/nightly.sh")
[ -n "$filters" ] || { echo "the line cannot be read from docs/nightly.sh"; exit 1; }

# through FILTER...: one after the other.
through() {
	if [ $# = 0 ]; then
		leat-pair -q -w works --now "$now" --pairs works/pairs.csv
		return
	fi
	filter=$1
	shift
	if [ "$filter" = leat-state ]; then set -- - entries.csv -- "$@"; else set -- -- "$@"; fi
	files=
	while [ "$1" != -- ]; do files="$files $1"; shift; done
	shift
	# shellcheck disable=SC2086 # files are words
	"$filter" -q -w works --now "$now" --max-rejects 100% $files | through "$@"
}

# What comes by the minute and is of no use to judges of days.
by_the_minute() {
	grep -v -F -e ,mill-power, -e ,feed-rate, -e ,vibration, -e ,pressure, -e ,filter-dp, -e ,level, -e ,charging, -e ,head-pressure, \
		-e ,drain-temperature, -e ,oil-temperature, -e ,oil-in-temperature, -e ,oil-out-temperature, -e ,water-out-temperature, \
		-e ,water-in-temperature, -e ,ambient-temperature, -e ,pump-pressure, -e ,mill-running,
}

# nights: of the archive of works, into nights/present.
nights() {
	mkfifo all few daily hours trend verdict confirm || return 1
	leat-log -q --readings -w works --now "$now" >entries.csv || return 1
	{
		leat-check -q --all -w works --nights nights/present <all || touch failed
	} &
	by_the_minute <few | tee trend verdict hours >confirm &
	{
		leat-select --now "$now" --thin P1D - <daily >daily.csv || touch failed
	} &
	{
		leat-select --now "$now" --point 'running-hours*' --point 'starts*' - <hours >hours.csv || touch failed
	} &
	for judge in trend verdict confirm; do
		{
			"leat-$judge" -q --all -w works --nights nights/present <"$judge" || touch failed
		} &
	done
	# shellcheck disable=SC2086 # filters are words
	leat-select --archive works/archive | through $filters | tee all few >daily
	wait
	[ ! -e failed ] && leat-diagnose -q --all -w works --nights nights/present daily.csv &&
		leat-due -q --all -w works --nights nights/present hours.csv
}

# replay SEED: the nights of its year, and their scores as scores.csv, events.csv, diagnoses.csv and forecasts.csv.
replay() {
	rm -rf "$work/${1:?}"
	mkdir -p "$work/$1" && cd "$work/$1" || return 1
	cp -R "$top/testdata/works-year" works || return 1
	"$build/tests/sim/simulate" --year --seed "$1" exports >said || return 1
	cp exports/logbook.csv exports/stops.csv works/ || return 1
	for month in 2025-01 2025-02 2025-03 2025-04 2025-05 2025-06 2025-07 2025-08 2025-09 2025-10 2025-11 2025-12 2026-01; do
		set -- exports/*_"$month"*.csv
		leat-normalise -q --max-rejects 100% -w works --now "$now" "$@" | leat-archive -q -w works --now "$now" || return 1
	done
	mkdir -p nights/present
	awk -v tasks=yes -f "$top/tests/sim/truth.awk" exports/truth.csv >nights/truth.csv || return 1
	rm -rf exports
	nights || return 1
	set -- -w works --now "$now" --truth nights/truth.csv nights/present
	leat-replay "$@" >scores.csv && leat-replay --events "$@" >events.csv && leat-replay --forecasts "$@" >forecasts.csv &&
		leat-replay --diagnoses "$@" >diagnoses.csv || return 1
	rm -rf works/archive
}

while [ "$seed" -lt "$last" ]; do
	(replay "$seed") || { echo "seed $seed failed"; exit 1; }
	awk -F, -v seed="$seed" 'NR > 1 && $2 == "*" && $3 == "*" {
		printf "seed %d: %d of %d faults found, after %s d; %d of %d works announced, %s d before; %d false in %s months of mills, %s a month\n",
		    seed, $12, $11, $14, $16, $15, $17, $18, $20, $21 }' "$work/$seed/scores.csv"
	awk -F, 'NR > 1 && $2 == "task-*" {
		printf "  tasks: %d of %d that were not done told; %d of %d works told before; %d told that were done\n", $12, $11, $16, $15, $18 }' \
		"$work/$seed/scores.csv"
	awk -F, '$2 == "fault" && $8 == "missed" { print "  missed: " $6 }' "$work/$seed/events.csv"
	awk -F, 'NR > 1 && $2 != "*" && $3 == "*" && $18 > 0 { printf "%s  %s", (n++ ? "," : "  false:"), $2 " " $18 } END { if (n) print "" }' "$work/$seed/scores.csv"
	awk -F, 'NR > 1 && $2 == "*" && $4 != "all" { print "  forecasts " $4 " d ahead: " $6 " of " $5 " held" }' "$work/$seed/forecasts.csv"
	awk -F, 'NR > 1 && $2 == "*" {
		printf "  diagnoses: of %d faults that show %d right and %d said by one finding, %d by the runner-up, %d wrong, %d untold; first right after %s d; %d false, %s a month\n",
		    $3 - $9, $4, $5, $6, $7, $8, ($10 == "" ? "-" : $10), $18, $20 }' "$work/$seed/diagnoses.csv"
	awk -F, '$13 == "second" || $13 == "wrong" { print "  " $12 " taken for " $14 }
		$2 == "diagnosis" { print "  diagnosed for nothing: " $6 " at " $5 }' "$work/$seed/events.csv"
	tail -n +2 "$work/$seed/scores.csv" | sed "s/^/$seed/" >>"$work/all.$$"
	tail -n +2 "$work/$seed/forecasts.csv" | sed "s/^/$seed/" >>"$work/forecasts.$$"
	tail -n +2 "$work/$seed/diagnoses.csv" | sed "s/^/$seed/" >>"$work/diagnoses.$$"
	[ -n "${KEEP-}" ] || rm -rf "${work:?}/$seed"
	seed=$((seed + 1))
done

awk -F, '$2 == "*" && $3 == "*" { faults += $11; found += $12; false_ones += $18; months += $20; works += $15; warned += $16 }
	END { printf "all: %d of %d faults found, %d of %d works announced, %d false in %.0f months of mills (%.3f a month)\n",
	    found, faults, warned, works, false_ones, months, (months ? false_ones / months : 0) }' "$work/all.$$"
awk -F, '$2 == "*" && $4 != "all" { n[$4] += $5; held[$4] += $6; error[$4] += $13 * $5 }
	END { for (l in n) printf "all: %d of %d forecasts %s d ahead held (%.0f %%), %.1f d off on average\n", held[l], n[l], l,
	    100 * held[l] / n[l], error[l] / n[l] }' "$work/forecasts.$$"
awk -F, '$2 == "task-*" { faults += $11; found += $12; false_ones += $18; works += $15; warned += $16 }
	END { printf "all: %d of %d tasks that were not done told, %d of %d works told before, %d told that were done\n", found, faults, warned,
	    works, false_ones }' "$work/all.$$"
# What each failure was named, most nights of a fault.
awk -F, '{
		if (!($2 in faults)) order[++n] = $2
		faults[$2] += $3 - $9; right[$2] += $4; plain[$2] += $5; second[$2] += $6; wrong[$2] += $7; untold[$2] += $8
		told[$2] += $17; false_ones[$2] += $18; months[$2] += $19
		parts = split($16, part, "; ")
		for (i = 1; i <= parts; i++) { split(part[i], word, " "); nights[$2 "," word[1]] += word[2]; known[word[1]] = 1 }
	}
	function tell(m,   t, list) {
		printf "%s: of %d faults that show %d right first (%d more said by one finding), %d by the runner-up, %d wrong, %d untold; %d of %d told are false (%.3f a month)",
		    (m == "*" ? "all: diagnoses" : "  " m), faults[m], right[m], plain[m], second[m], wrong[m], untold[m], false_ones[m], told[m],
		    (months[m] ? false_ones[m] / months[m] : 0)
		for (t in known) if (m "," t in nights) list = list (list == "" ? "" : ", ") t " " nights[m "," t]
		print (list == "" ? "" : "; nights taken for " list)
	}
	END { tell("*"); for (i = 1; i <= n; i++) if (order[i] != "*") tell(order[i]) }' "$work/diagnoses.$$"
rm -f "$work/all.$$" "$work/forecasts.$$" "$work/diagnoses.$$"
