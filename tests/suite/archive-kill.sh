#!/bin/sh
# archive-kill.sh: leat-archive killed at each call that could change the disk, and each of them failing.
#
# Whatever happens, every month is as it was or as it was to be, the archive verifies, and the same command given again
# makes the archive that an untouched run makes.
# shellcheck source=tests/lib.sh
. "$(dirname "$0")/../lib.sh"
inject=$build/tests/suite/inject.so
ASAN_OPTIONS=${ASAN_OPTIONS-}:verify_asan_link_order=0; export ASAN_OPTIONS

# readings FIRST LAST: an hour apart, three series, from hour FIRST to LAST after 2025-10-30.
readings() {
	echo 'time,asset,point,value,unit,quality'
	awk -v a="$1" -v b="$2" 'BEGIN {
		for (h = a; h <= b; h++) {
			d = 30 + int(h / 24); m = 10; y = 2025
			if (d > 31) { d -= 31; m = 11 }
			if (m == 11 && d > 30) { d -= 30; m = 12 }
			if (m == 12 && d > 31) { d -= 31; m = 1; y = 2026 }
			t = sprintf("%d-%02d-%02dT%02d:00:00Z", y, m, d, h % 24)
			print t ",NM,pressure," 100 + h % 37 ".5,bar,good"
			print t ",NM,oil-temperature," 40 + h % 11 ".25,degC,good"
			print t ",NM/pump-a,drain-flow,,L/min,bad" } }'
}

archive() { leat-archive --now data --archive "$@"; }

# months FOLDER OLD NEW: each month is that of OLD or that of NEW, byte for byte; 'old' only when all are OLD's.
months() {
	kind=old
	for f in 2025/10 2025/11 2025/12 2026/01; do
		f=$f.csv.gz
		if [ ! -e "$1/$f" ]; then
			[ ! -e "$2/$f" ] || { kind="lost $f"; return; }
		elif [ -e "$2/$f" ] && cmp -s "$1/$f" "$2/$f"; then :
		elif cmp -s "$1/$f" "$3/$f"; then kind=mixed
		else kind="broken $f"; return; fi
	done
}

# strike HOW COMMAND...: runs it again and again in a copy of the old archive, struck one call later each time.
strike() {
	how=$1; shift
	n=0 wrong=
	while [ -z "$wrong" ] && [ $n -lt 400 ]; do
		n=$((n + 1))
		rm -rf "$scratch/now" "$scratch/mark"; cp -R "$old" "$scratch/now"
		(INJECT_AT=$n INJECT_HOW=$how INJECT_MARK=$scratch/mark LD_PRELOAD=$inject "$@") >/dev/null 2>"$scratch/err"
		status=$?
		[ -e "$scratch/mark" ] || break
		read -r call renames <"$scratch/mark"
		months "$scratch/now" "$old" "$new"
		case $kind in
		lost* | broken*) wrong=$kind ;;
		mixed)
			# All or nothing, up to the first rename.
			[ "$1" != add ] || [ $status = 0 ] || [ "$renames" -gt 0 ] || wrong='changed before the first rename' ;;
		esac
		if [ "$how" = kill ]; then [ $status = 137 ] || wrong="status $status"
		elif [ $status = 0 ]; then
			diff -r -x '*.new' "$scratch/now" "$new" >/dev/null || wrong='status 0, but not done'
		elif [ $status != 2 ] || [ ! -s "$scratch/err" ]; then wrong="status $status"
		fi
		if [ "$verifies" = 1 ] && ! archive "$scratch/now" --verify -q 2>"$scratch/err"; then wrong='does not verify'; fi
		"$@" >/dev/null 2>"$scratch/err" || wrong='the second run fails'
		diff -r "$scratch/now" "$new" >/dev/null || wrong='the second run gives another archive'
	done
	[ -z "$wrong" ] || wrong="$wrong, struck at call $n ($call)"
	last=$n
}

# shellcheck disable=SC2317
add() { archive "$scratch/now" "$scratch/late.csv"; }
# shellcheck disable=SC2317
mend() { archive "$scratch/now" --repair -q; }

tell() {
	if [ -n "$wrong" ]; then fail "$1: $wrong: $(head -n 2 "$scratch/err" | tr '\n' ' ')"
	elif [ "$last" -lt "$2" ]; then fail "$1: only $last calls were struck"
	else ok "$1: $((last - 1)) calls"; fi
}

[ -e "$inject" ] || { fail "no $inject: make tests builds it"; exit 1; }
readings 0 300 >"$scratch/early.csv"
readings 20 1600 >"$scratch/late.csv"
old=$scratch/old new=$scratch/new
archive "$old" "$scratch/early.csv" || fail 'old archive'
cp -R "$old" "$new"; archive "$new" "$scratch/late.csv" || fail 'new archive'
check 'the runs change four months' test "$(find "$new" -name '*.csv.gz' | wc -l)" = 4
verifies=1
strike kill add; tell 'killed while adding' 30
strike 28 add; tell 'a full disk while adding' 30
strike 5 add; tell 'an input/output error while adding' 30

# The first run of all, into a folder that is not there.
old=$scratch/none; mkdir "$old"
rm -rf "$new"; archive "$new" "$scratch/late.csv"
strike kill add; tell 'killed in the first run' 30

# A month that was cut short is repaired: until then it is damaged, and then it is not.
old=$scratch/cut; cp -R "$new" "$old"
head -c 1500 "$new/2025/11.csv.gz" >"$old/2025/11.csv.gz"
rm -rf "$new"; cp -R "$old" "$new"
archive "$new" --repair -q 2>"$scratch/err"
check 'a cut month is repaired' archive "$new" --verify -q
check 'the damaged file stays beside' cmp "$old/2025/11.csv.gz" "$new/2025/11.csv.gz.damaged"
zcat "$new/2025/11.csv.gz" >"$scratch/kept"
zcat "$old/2025/11.csv.gz" 2>/dev/null >"$scratch/whole"
head -c "$(wc -c <"$scratch/kept")" "$scratch/whole" | cmp -s - "$scratch/kept" && [ "$(wc -l <"$scratch/kept")" -gt 20 ] &&
	ok 'what could be read is kept' || fail 'what could be read is kept'
verifies=0
strike kill mend; tell 'killed while repairing' 8
strike 28 mend; tell 'a full disk while repairing' 8
exit $bad
