#!/bin/sh
# commands.sh: what every command does alike, for every command found in cmd/.
#
# Each command is given input of the kind that it reads: an export, readings or findings.
# shellcheck source=tests/lib.sh
. "$(dirname "$0")/../lib.sh"

# A good input for the command, on stdout.
sample() {
	case $1 in
	leat-normalise | leat-survey)
		echo 'time,NM.PGR,NM.TTK'
		for m in 00 01 02 03 04 05 06 07 08 09; do echo "2025-11-03T04:$m:00Z,121.$m,47.$m"; done ;;
	leat-log)
		echo 'time,asset,event,task,point,found,left,unit,item,who,note'
		for m in 00 01 02 03 04 05 06 07 08 09; do
			echo "2025-11-03T04:$m:00Z,NM,top-up,,top-up,,4$m,L,,shift 2,"
		done ;;
	leat-diagnose)
		echo 'time,asset,point,rule,status,value,unit,limit,since,until,due,shelved,message'
		for m in 00 01 02 03 04 05 06 07 08 09; do
			echo "2025-11-03T04:$m:00Z,M$m/pump-a,drain-flow-corrected,pump-wear,alarm,4.1,L/min,3.6,2025-11-03T04:00:00Z,,,,worn"
			echo "2025-11-03T04:$m:00Z,M$m,copper.per-1000h,copper,alert,8,mg/kg,5,2025-11-03T04:00:00Z,,,,copper"
			echo "2025-11-03T04:$m:00Z,M$m,internal-leakage,leakage,ok,0.4,L/min,,,,,,no trend"
		done ;;
	leat-replay)
		echo 'time,asset,point,rule,status,value,unit,limit,since,until,due,shelved,message'
		for m in 10 11 12 13; do
			echo "2025-11-03T04:$m:00Z,NM,oil-temperature,hot-oil,alert,61.5,degC,60,2025-11-03T04:00:00Z,,,,oil is hot"
		done ;;
	leat-report)
		echo 'time,asset,point,rule,status,value,unit,limit,since,until,due,shelved,message'
		echo '2025-11-03T04:10:00Z,NM,oil-temperature,hot-oil,alert,61.5,degC,60,2025-11-03T04:00:00Z,,,,oil is hot' ;;
	leat-loss)
		echo 'time,asset,point,value,unit,quality'
		for d in 1 2 3 4 5 6 7 8 9; do
			echo "2025-11-0${d}T04:00:00Z,NM,state,grinding,,good"
			echo "2025-11-0${d}T04:00:00Z,NM,pressure,121.$d,bar,good"
			echo "2025-11-0${d}T04:00:00Z,NM,feed-rate,180.$d,t/h,good"
		done ;;
	leat-verdict)
		echo 'time,asset,point,value,unit,quality'
		for m in 00 01 02 03 04 05 06 07 08 09; do
			echo "2025-11-03T04:$m:00Z,NM/sample-return,water-content,121.$m,mg/kg,good"
			echo "2025-11-03T04:$m:00Z,MM/sample-return/bottle-2,acid-number-rise,0.1$m,mgKOH/g,good"
		done ;;
	*)
		echo 'time,asset,point,value,unit,quality'
		for m in 00 01 02 03 04 05 06 07 08 09; do
			echo "2025-11-03T04:$m:00Z,NM,pressure,121.$m,bar,good"
			echo "2025-11-03T04:$m:00Z,NM,oil-temperature,66.$m,degC,good"
			echo "2025-11-03T04:$m:00Z,NM,mill-running,on,,good"
			echo "2025-11-03T04:$m:00Z,MM,pressure,123.$m,bar,good"
		done ;;
	esac
}

# Options that make the run independent of the clock.
options() {
	case $1 in
	leat-diagnose) echo '--now 2025-11-03T05:30:00Z --all' ;;
	leat-replay) echo --alarms ;;
	leat-report) echo '--now 2025-11-03T05:30:00Z' ;;
	leat-check | leat-loss | leat-verdict) echo '--now data --all' ;;
	leat-confirm)
		printf 'event,asset,point,high\ncleaning,*,pressure,0.5\n' >"$scratch/confirm.csv"
		echo "--now data --all --confirm $scratch/confirm.csv" ;;
	leat-log) echo '--now data --list' ;;
	leat-normalise) echo '--now 2025-11-04T00:00:00Z --zone UTC' ;;
	leat-survey) echo '--now data -q' ;;
	leat-archive) echo "--now data --archive $scratch/archive" ;;
	leat-pair) echo '--now data --first NM/pressure --second MM/pressure' ;;
	leat-card)
		printf 'tag,asset,point,unit\n,NM,pressure,bar\n,MM,pressure,bar\n' >"$scratch/read.csv"
		echo "--now data --round --assets ?M --points $scratch/read.csv" ;;
	leat-rollup) echo '--now data --every PT5M' ;;
	leat-trend)
		printf 'asset,point,baseline,alert\n*,pressure,none,900\n' >"$scratch/trends.csv"
		echo "--now data --all --trends $scratch/trends.csv" ;;
	leat-due)
		printf 'task,asset,title,every\nlook,*,Look at it,P1Y\n' >"$scratch/tasks.csv"
		echo "--now data --all --tasks $scratch/tasks.csv" ;;
	*) echo '--now data' ;;
	esac
}

# Does the command write files in place of standard output?
silent() { [ "$1" = leat-archive ]; }

# harvest COMMAND: what a silent command wrote stands for its output; it is gone afterwards.
harvest() {
	silent "$1" || return 0
	cat "$scratch"/archive/*/*.gz 2>/dev/null | gzip -dc >"$scratch/out" 2>/dev/null
	rm -rf "$scratch/archive"
}

# run COMMAND [ARGUMENT...]: with its options; stdout, stderr and status in the scratch folder.
run() {
	c=$1; shift
	# shellcheck disable=SC2046 # the options are words
	"$c" $(options "$c") "$@" >"$scratch/out" 2>"$scratch/err" </dev/null
	status=$?
	harvest "$c"
}

# The long options of a command: in its table, in its help, and among the items of its man page.
# The own table of a derive filter or a judge lies beside that of all of them.
in_table() {
	options_of "cmd/$1.c"
	for common in filter judge; do
		grep -q "front_${common}_options(" "cmd/$1.c" || continue
		options_of "cmd/front_$common.c" | if grep -q 'with_logbook = true' "cmd/$1.c"; then cat; else grep -vx logbook; fi
	done
}
options_of() { sed -n '/struct option/,/};/s/^[^"]*{ *"\([a-z0-9-]*\)".*/\1/p' "$1"; }
in_help() { "$1" --help | sed -n 's/^ \{1,\}\(-[A-Za-z0-9], \)\{0,1\}--\([a-z0-9-]*\).*/\2/p'; }
in_man() { sed -n 's/^\.It .*Fl -\([a-z0-9-]*\).*/\1/p' "man/$1.1"; }

interface() {
	c=$1
	options_of "cmd/$c.c" >"$scratch/table"
	LC_ALL=C sort "$scratch/table" | cmp -s - "$scratch/table" && ok "$c option table in order" || fail "$c option table in order"
	in_table "$c" | LC_ALL=C sort >"$scratch/table"
	in_help "$c" >"$scratch/help"
	cmp -s "$scratch/table" "$scratch/help" && ok "$c help lists the options" ||
		fail "$c help lists the options: $(diff "$scratch/table" "$scratch/help" | tr '\n' ' ')"
	in_man "$c" >"$scratch/man"
	cmp -s "$scratch/table" "$scratch/man" && ok "$c man page lists the options" ||
		fail "$c man page lists the options: $(diff "$scratch/table" "$scratch/man" | tr '\n' ' ')"
	for s in NAME SYNOPSIS DESCRIPTION OPTIONS INPUT OUTPUT 'EXIT STATUS' EXAMPLES 'SEE ALSO'; do
		grep -q "^\.Sh $s\$" "man/$c.1" || fail "$c man page has no $s"
	done
	"$c" --help >"$scratch/out" 2>"$scratch/err"; status=$?
	check "$c --help" test "$status" = 0 -a -s "$scratch/out" -a ! -s "$scratch/err"
	check "$c --version" test "$("$c" -V)" = "$("$c" --version)" -a -n "$("$c" -V)"
	"$c" --no-such-option >"$scratch/out" 2>"$scratch/err"; status=$?
	check "$c misuse" test "$status" = 2 -a ! -s "$scratch/out" -a "$(wc -l <"$scratch/err")" = 2
	"$c" --now yesterday >"$scratch/out" 2>"$scratch/err" </dev/null; status=$?
	check "$c bad option value" test "$status" = 2 -a ! -s "$scratch/out"
	"$c" -w "$scratch/no-such-works" "$scratch/in" >"$scratch/out" 2>"$scratch/err" </dev/null; status=$?
	check "$c missing works" test "$status" = 2 -a ! -s "$scratch/out" -a -s "$scratch/err"
}

# Standard output that cannot be written, that is closed, and whose reader leaves.
output() {
	c=$1
	if silent "$c"; then
		"$c" --help >/dev/full 2>"$scratch/err"; status=$?
		check "$c full disk under --help" test "$status" = 2 -a -s "$scratch/err"
	elif [ -w /dev/full ]; then
		# shellcheck disable=SC2046
		"$c" $(options "$c") "$scratch/in" >/dev/full 2>"$scratch/err"; status=$?
		check "$c full disk" test "$status" = 2 -a -s "$scratch/err"
		"$c" --help >/dev/full 2>"$scratch/err"; status=$?
		check "$c full disk under --help" test "$status" = 2 -a -s "$scratch/err"
	else
		skip "$c full disk: no /dev/full"
	fi
	# shellcheck disable=SC2046
	"$c" $(options "$c") "$scratch/in" >&- 2>"$scratch/err"; status=$?
	check "$c closed stdout" test "$status" = 2 -a -s "$scratch/err"
	# shellcheck disable=SC2046
	{ "$c" $(options "$c") "$scratch/big" 2>"$scratch/err"; echo $? >"$scratch/status"; } | head -n 1 >/dev/null
	check "$c reader leaves early" test ! -s "$scratch/err"
	# shellcheck disable=SC2046
	{ (trap '' PIPE; "$c" $(options "$c") "$scratch/big") 2>"$scratch/err"; } | head -n 1 >/dev/null
	check "$c reader leaves early, signal ignored" test ! -s "$scratch/err"
}

# same NAME: the last run gave what the plain input gave.
same() { if cmp -s "$scratch/out" "$scratch/plain"; then ok "$1"; else fail "$1: output differs"; fi; }

# Forms of the same text that must not matter.
forms() {
	c=$1
	run "$c" "$scratch/in"
	check "$c good input" test "$status" = 0 -a -s "$scratch/out"
	cp "$scratch/out" "$scratch/plain"
	{ printf '\357\273\277'; cat "$scratch/in"; } >"$scratch/form"; run "$c" "$scratch/form"; same "$c byte order mark"
	sed 's/$/\r/' "$scratch/in" >"$scratch/form"; run "$c" "$scratch/form"; same "$c CRLF"
	gzip -c "$scratch/in" >"$scratch/form"; run "$c" "$scratch/form"; same "$c gzip"
	# shellcheck disable=SC2046
	"$c" $(options "$c") - <"$scratch/in" >"$scratch/out" 2>/dev/null; harvest "$c"; same "$c standard input as -"
	# shellcheck disable=SC2046
	"$c" $(options "$c") <"$scratch/in" >"$scratch/out" 2>/dev/null; harvest "$c"; same "$c standard input"
	for zone in UTC America/New_York Asia/Kathmandu; do
		TZ=$zone; run "$c" "$scratch/in"; TZ=UTC; same "$c TZ=$zone"
	done
	LC_ALL=de_DE.UTF-8; export LC_ALL; run "$c" "$scratch/in"; unset LC_ALL; same "$c German locale"
}

# no_crash NAME: the last run ended by itself with a documented status.
no_crash() {
	if [ "$status" -le 2 ]; then ok "$1"; else fail "$1: status $status: $(tail -n 3 "$scratch/err" | tr '\n' ' ')"; fi
}

# Input that is broken: never a crash, never silence.
broken() {
	c=$1
	run "$c" "$scratch/no-such-file"
	check "$c missing file" test "$status" = 2 -a -s "$scratch/err"
	run "$c" "$scratch"
	check "$c folder as file" test "$status" = 2 -a -s "$scratch/err"
	: >"$scratch/form"; run "$c" "$scratch/form"
	check "$c empty input" test "$status" = 2 -a -s "$scratch/err"
	head -n 1 "$scratch/in" >"$scratch/form"; run "$c" "$scratch/form"; no_crash "$c header only"
	gzip -c "$scratch/big" >"$scratch/gz"; head -c $(($(wc -c <"$scratch/gz") / 2)) "$scratch/gz" >"$scratch/form"
	run "$c" "$scratch/form"
	check "$c truncated gzip" test "$status" = 2 -a -s "$scratch/err"
	sed '4s/,/,"/' "$scratch/in" >"$scratch/form"; run "$c" --max-rejects 100% "$scratch/form" 2>/dev/null
	no_crash "$c stray quote"; check "$c stray quote is said" test -s "$scratch/err"
	sed '4s/N/\o0/' "$scratch/in" >"$scratch/form"; run "$c" "$scratch/form"; no_crash "$c NUL byte"
	sed '4s/[0-9]$/\o351/' "$scratch/in" >"$scratch/form"; run "$c" "$scratch/form"; no_crash "$c Latin-1 byte"
	{ cat "$scratch/in"; head -c 10000000 /dev/zero | tr '\0' x; echo; tail -n 1 "$scratch/in"; } >"$scratch/form"
	if [ -n "${SANITIZED-}" ]; then run "$c" "$scratch/form"
	else
		# 16 MB of data and stack beside the program's own text and libraries.
		# shellcheck disable=SC2046,SC3045
		(ulimit -d 16384; "$c" $(options "$c") "$scratch/form" >"$scratch/out" 2>"$scratch/err"); status=$?
	fi
	no_crash "$c 10 MB field"; check "$c 10 MB field is said" test -s "$scratch/err"
	head -c 200000 /dev/urandom >"$scratch/form"; run "$c" "$scratch/form"; no_crash "$c random bytes"
	check "$c random bytes are refused" test "$status" = 2
}

for src in cmd/leat-*.c; do
	c=${src#cmd/}; c=${c%.c}
	sample "$c" >"$scratch/in"
	{ sample "$c"; sample "$c" | tail -n 1 | awk '{ for (i = 0; i < 20000; i++) print }'; } >"$scratch/big"
	interface "$c"
	output "$c"
	forms "$c"
	broken "$c"
done
exit $bad
