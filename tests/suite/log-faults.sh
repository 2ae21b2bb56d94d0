#!/bin/sh
# log-faults.sh: leat-log killed at each call that could change the disk, each of them failing, writings cut short, and
# several writers at once.  No line that was there is harmed, and what was reported as written is there.
# shellcheck source=tests/lib.sh
. "$(dirname "$0")/../lib.sh"
inject=$build/tests/suite/inject.so
ASAN_OPTIONS=${ASAN_OPTIONS-}:verify_asan_link_order=0; export ASAN_OPTIONS
now=2025-11-03T10:00:00Z
log() { leat-log -q --now $now -w "$@"; }

# What is done, to the works folder $1.
# shellcheck disable=SC2317
append() { log "$1" --event top-up --asset NM --left 40 --who 'shift 1' --note 'quoted "so", and more'; }
# shellcheck disable=SC2317
import() { log "$1" --import "$scratch/sheet.csv" --who office; }
# shellcheck disable=SC2317
shelve() { log "$1" --shelve --asset 'SM/*' --point '*' --rule '*' --until P3D --who me --why 'under repair'; }

# begins WITH FILE: FILE begins with all of WITH.
begins() { head -c "$(wc -c <"$1")" "$2" | cmp -s - "$1"; }

# strike HOW DO FILE: runs it again and again on a copy of the old works, struck one call later each time.
strike() {
	how=$1 do=$2 file=$3 n=0 wrong=
	: >"$scratch/was"; [ ! -e "$old/$file" ] || cp "$old/$file" "$scratch/was"
	rm -rf "$scratch/new"; cp -R "$old" "$scratch/new"; "$do" "$scratch/new" || wrong='the plain run fails'
	while [ -z "$wrong" ] && [ $n -lt 100 ]; do
		n=$((n + 1))
		rm -rf "$scratch/w" "$scratch/mark"; cp -R "$old" "$scratch/w"
		(INJECT_AT=$n INJECT_HOW=$how INJECT_MARK=$scratch/mark LD_PRELOAD=$inject; export INJECT_AT INJECT_HOW INJECT_MARK LD_PRELOAD
			"$do" "$scratch/w") 2>"$scratch/err"
		status=$?
		[ -e "$scratch/mark" ] || break
		read -r call _ <"$scratch/mark"
		: >>"$scratch/w/$file"
		begins "$scratch/was" "$scratch/w/$file" || wrong="$file: an earlier line is harmed"
		if [ "$status" = 0 ]; then cmp -s "$scratch/w/$file" "$scratch/new/$file" || wrong='status 0, but not written'
		elif [ "$how" = kill ]; then
			[ $status = 137 ] || wrong="status $status"
			[ "$do" = append ] || cmp -s "$scratch/w/$file" "$scratch/was" || cmp -s "$scratch/w/$file" "$scratch/new/$file" ||
				wrong="$file is neither the old nor the new"
		else
			[ $status = 2 ] && [ -s "$scratch/err" ] || wrong="status $status"
			# Only a folder that cannot be synced comes after the renaming.
			cmp -s "$scratch/w/$file" "$scratch/was" || grep -q 'the file is replaced' "$scratch/err" ||
				wrong="$file is not as it was"
		fi
		# Whatever happened, the next run finds its way: all entries are there, and stand alone in their lines.
		"$do" "$scratch/w" 2>>"$scratch/err" || wrong='the next run fails'
		leat-log -q --list --now $now -w "$scratch/new" >"$scratch/want" 2>/dev/null
		leat-log -q --list --now $now -w "$scratch/w" 2>/dev/null | sort -u >"$scratch/got"
		sort -u "$scratch/want" | cmp -s - "$scratch/got" || wrong='other entries after the next run'
	done
	if [ -n "$wrong" ]; then fail "$do $how: $wrong, struck at call $n ($call): $(head -n 2 "$scratch/err" | tr '\n' ' ')"
	elif [ $n -lt 5 ]; then fail "$do $how: only $n calls were struck"
	else ok "$do of ${old##*/}, $how: $((n - 1)) calls"; fi
}

[ -e "$inject" ] || { fail "no $inject: make tests builds it"; exit 1; }
cat >"$scratch/sheet.csv" <<'END'
time;asset;event;left;unit;note
2025-10-30 06:00;NM;top-up;12,5;L;"first; of two"
2025-10-31 06:00;NM;top-up;7;L;
END
empty=$scratch/none; mkdir "$empty"
full=$scratch/some; mkdir "$full"
append "$full"; log "$full" --event note --asset - --who me --note 'an earlier line'
shelve "$full"
for old in "$empty" "$full"; do
	for how in kill 28 5 short; do
		strike $how append logbook.csv
		strike $how import logbook.csv
		strike $how shelve shelved.csv
	done
done

# A line that was cut anywhere, in a header or within quotes, costs itself alone.
wrong=
last='2025-11-03T09:00:00Z,NM,note,,,,,,,"o""ne","a ""quoted"", text"'
printf '%s\n' 'time,asset,event,task,point,found,left,unit,item,who,note' >"$scratch/head"
n=0
while [ $n -lt ${#last} ]; do
	rm -rf "$scratch/w"; mkdir "$scratch/w"
	{ cat "$scratch/head"; echo '2025-11-02T10:00:00Z,NM,note,,,,,,,me,before'; printf '%s' "$last" | head -c $n; } >"$scratch/w/logbook.csv"
	append "$scratch/w" 2>"$scratch/err" || wrong="$n: status"
	[ $n = 0 ] || grep -q 'ended within a line' "$scratch/err" || wrong="$n: not told"
	log "$scratch/w" --list 2>/dev/null | grep -c -e ',before$' -e ',top-up,,top-up,,40,L,,shift 1,"quoted' >"$scratch/got"
	[ "$(cat "$scratch/got")" = 2 ] || wrong="$n: $(cat "$scratch/w/logbook.csv")"
	n=$((n + 1))
done
[ -z "$wrong" ] && ok "a line cut at any of its $n bytes costs itself alone" || fail "a line cut: $wrong"
n=0
while [ $n -lt "$(wc -c <"$scratch/head")" ]; do
	head -c $n "$scratch/head" >"$scratch/w/logbook.csv"
	append "$scratch/w" 2>"$scratch/err" && log "$scratch/w" --verify 2>"$scratch/err" || wrong="$n"
	n=$((n + 1))
done
[ -z "$wrong" ] && ok 'a header cut at any byte is completed' || fail "a header cut at $wrong: $(cat "$scratch/err")"

# The system itself cuts a writing short at the limit for the size of a file.
rm -rf "$scratch/w"; cp -R "$full" "$scratch/w"
for i in 1 2 3; do append "$scratch/w"; done
cp "$scratch/w/logbook.csv" "$scratch/want"
(trap '' XFSZ; ulimit -f 1; log "$scratch/w" --event note --asset NM --who me --note "$(head -c 700 /dev/zero | tr '\0' n)") 2>"$scratch/err"
status=$?
check 'a limit of the size: nothing is logged' test $status = 2 -a -s "$scratch/err"
check 'a limit of the size: the logbook is as it was' cmp -s "$scratch/want" "$scratch/w/logbook.csv"

# Several at once: nothing is lost, nothing torn.
rm -rf "$scratch/w"; mkdir "$scratch/w"
for writer in a b c; do
	(i=0; while [ $i -lt 40 ]; do i=$((i + 1)); log "$scratch/w" --event note --asset NM --who $writer --note "$writer $i"; done) &
done
(i=0; while [ $i -lt 10 ]; do i=$((i + 1))
	printf 'time,asset,event,who,note\n2025-11-01,NM,note,d,d %s\n' $i >"$scratch/d.csv"; log "$scratch/w" --import "$scratch/d.csv"
done) &
wait
check 'four writers at once: the logbook verifies' log "$scratch/w" --verify
check 'four writers at once: all 130 entries are there' \
	test "$(log "$scratch/w" --list | cut -d, -f 11 | sort -u | grep -c '^[abcd] ')" = 130
exit $bad
