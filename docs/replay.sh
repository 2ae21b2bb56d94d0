#!/bin/sh
# replay.sh [--now TIME] WORKS FOLDER [PROPOSED]: the nights of a works' whole archive, by its tables and by others.
#
# Runs the line of nightly.sh once over WORKS/archive, lets every judge write what it would have told each night, into
# FOLDER/present, and leat-diagnose and leat-due what they would have made of that, and prints the scores: what was told how long
# before it happened, what was told for nothing.  PROPOSED is a
# folder with one or more of limits.csv, trends.csv, oil.csv, confirm.csv and modes.csv, each a whole table to take the place of that of
# the works: its nights go into FOLDER/proposed, and the scores of both stand side by side.  FOLDER/truth.csv, where it is
# there, has faults that are known otherwise (leat-replay(1)).  Nothing in WORKS is changed.
#
# Exit status: 0 done; 2 not, the reason is printed.
set -u
unset CDPATH
LC_ALL=C
export LC_ALL
here=$(cd "$(dirname "$0")" && pwd) || exit 2
now=${LEAT_NOW:-}
tmp=

# shellcheck disable=SC2317 # reached through the trap
clean_up() {
	status=$?
	trap - EXIT HUP INT TERM
	[ -z "$tmp" ] || rm -rf "$tmp"
	exit "$status"
}
trap clean_up EXIT
trap 'exit 2' HUP INT TERM

die() {
	echo "$1" >&2
	[ -z "${2-}" ] || sed -n '1,10s/^/  /p' "$2" >&2
	exit 2
}

case ${1-} in
--now) [ $# -ge 2 ] || die "--now needs a time"; now=$2; shift 2 ;;
-h | --help) sed -n '2,11s/^# \{0,1\}//p' "$0"; exit 0 ;;
esac
{ [ $# = 2 ] || [ $# = 3 ]; } || die "usage: replay.sh [--now TIME] WORKS FOLDER [PROPOSED]"
works=$1 folder=$2 proposed=${3-}
now=${now:-$(date -u +%Y-%m-%dT%H:%M:%SZ)}
[ -d "$works/archive" ] || die "there is no archive in '$works'"
if [ -n "$proposed" ]; then
	there=
	for f in limits trends oil confirm modes; do [ ! -e "$proposed/$f.csv" ] || there=yes; done
	[ -n "$there" ] || die "no limits.csv, trends.csv, oil.csv, confirm.csv or modes.csv in '$proposed'"
fi
mkdir -p "$folder" || exit 2
for set in present proposed; do
	[ ! -e "$folder/$set" ] || die "'$folder/$set' is there already: remove it, or name another folder"
done
tmp=$(mktemp -d) || exit 2

# The line is that of the nightly job.
filters=$(sed -n "s/^filters='\(.*\)'\$/\1/p" "$here/nightly.sh")
judges=$(sed -n "s/^judges='\(.*\)'\$/\1/p" "$here/nightly.sh")
{ [ -n "$filters" ] && [ -n "$judges" ]; } || die "the line cannot be read from $here/nightly.sh"

pairs=
if [ -e "$works/pairs.csv" ]; then
	filters="$filters leat-pair"
	pairs=$works/pairs.csv
fi

# table JUDGE: the table by which it judges, where another can take its place.
table() {
	case $1 in
	leat-check) echo limits ;;
	leat-trend) echo trends ;;
	leat-verdict) echo oil ;;
	leat-confirm) echo confirm ;;
	esac
}

# reads NAME: the pipe of one more reader.
reads() {
	mkfifo "$tmp/$1.in" || exit 2
	fifos="$fifos $tmp/$1.in"
	names="$names $1"
}

# judge NAME SET OPTION...: reads its pipe and writes the nights of that set, where it is a judge that can.
judge() {
	name=$1 set=$2
	shift 2
	reads "$name.$set"
	# Forecasts of what is in order are forecasts too, and what is in order tells leat-diagnose as much.
	{
		"$name" -q --all -w "$works" --nights "$folder/$set" "$@" <"$tmp/$name.$set.in" 2>"$tmp/$name.$set.err"
		echo $? >"$tmp/$name.$set.status"
	} &
}

# through FILTER...: one after the other.
through() {
	if [ $# = 0 ]; then
		cat
		return
	fi
	filter=$1
	shift
	if [ "$filter" = leat-pair ]; then
		"$filter" -q -w "$works" --now "$now" --pairs "$pairs" 2>"$tmp/$filter.err"
	elif [ "$filter" = leat-state ] && [ -s "$tmp/entries.csv" ]; then
		"$filter" -q -w "$works" --now "$now" --max-rejects 100% - "$tmp/entries.csv" 2>"$tmp/$filter.err"
	else
		"$filter" -q -w "$works" --now "$now" --max-rejects 100% 2>"$tmp/$filter.err"
	fi | through "$@"
}

fifos='' names=''
can=
for name in $judges; do
	"$name" --help | grep -q -e '--nights' || continue
	can="$can $name"
	judge "$name" present
	[ -z "$proposed" ] || [ ! -e "$proposed/$(table "$name").csv" ] ||
		judge "$name" proposed "--$(table "$name")" "$proposed/$(table "$name").csv"
done
# of NAME OPTION...: a few of the readings as NAME.csv, as nightly.sh gives them to what follows the judges.
of() {
	name=$1
	shift
	reads "$name"
	{
		leat-select --now "$now" "$@" - <"$tmp/$name.in" >"$tmp/$name.csv" 2>"$tmp/$name.err"
		echo $? >"$tmp/$name.status"
	} &
}
of daily --thin P1D
[ ! -e "$works/tasks.csv" ] || of hours --point 'running-hours*' --point 'starts*'
leat-log -q --readings -w "$works" --now "$now" >"$tmp/entries.csv" 2>"$tmp/leat-log.err" || die "leat-log failed:" "$tmp/leat-log.err"
# shellcheck disable=SC2086 # filters and pipes are words
leat-select --archive "$works/archive" 2>"$tmp/leat-select.err" | through $filters | tee $fifos >/dev/null
wait
for name in $names; do
	[ "$(cat "$tmp/$name.status" 2>/dev/null)" = 0 ] || die "$name failed:" "$tmp/$name.err"
done
for f in "$tmp"/leat-*.err; do
	case $f in *.present.err | *.proposed.err) ;; *) cat "$f" >&2 ;; esac
done

# What is judged by the same table both times is the same both times.
if [ -n "$proposed" ]; then
	mkdir -p "$folder/proposed"
	for name in $can; do
		[ ! -e "$proposed/$(table "$name").csv" ] || continue
		for f in "$folder/present"/*."${name#leat-}.csv"; do ln "$f" "$folder/proposed/" || exit 2; done
	done
fi
for set in present proposed; do
	[ -e "$folder/$set" ] || continue
	set -- -q --all -w "$works" --nights "$folder/$set"
	[ $set = present ] || [ ! -e "$proposed/modes.csv" ] || set -- "$@" --modes "$proposed/modes.csv"
	leat-diagnose "$@" "$tmp/daily.csv" || exit 2
	[ ! -e "$works/tasks.csv" ] || leat-due -q --all -w "$works" --nights "$folder/$set" "$tmp/hours.csv" || exit 2
done
set -- -w "$works" --now "$now"
[ ! -e "$folder/truth.csv" ] || set -- "$@" --truth "$folder/truth.csv"
if [ -n "$proposed" ]; then
	leat-replay "$@" --compare --text "$folder/present" "$folder/proposed"
else
	leat-replay "$@" --text "$folder/present"
fi || exit 2
for what in diagnoses forecasts; do
	echo
	leat-replay "$@" "--$what" --text "$folder/present" || exit 2
done
