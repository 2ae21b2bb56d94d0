#!/bin/sh
# run.sh [--refresh] [COMMAND[/CASE]]: golden tests.  Each folder tests/cmd/COMMAND/CASE has
#
#	cmd	shell lines, run with sh in a scratch copy of the folder with the commands on PATH
#	stdout stderr	what must come out, to the byte (a missing file means nothing)
#	status	the exit status (a missing file means 0)
#
# --refresh writes what came out in place of what was expected: read the diff before you commit it.
set -u
cd "$(dirname "$0")" || exit 1
here=$(pwd)
bin=${BIN:-$here/../../build/bin}
refresh=0
[ "${1-}" = --refresh ] && { refresh=1; shift; }
only=${1-}
scratch=$(mktemp -d) || exit 1
trap 'rm -rf "$scratch"' EXIT
trap 'exit 1' HUP INT TERM
unset LEAT_WORKS LEAT_NOW
PATH=$bin:$PATH; TZ=${TZ-UTC}; export PATH TZ
bad=0
for cmd in */*/cmd; do
	[ -e "$cmd" ] || continue
	case=${cmd%/cmd}
	case $case/ in "$only"*) ;; *) continue ;; esac
	rm -rf "$scratch/run"; cp -R "$case" "$scratch/run" || exit 1
	rm -f "$scratch/run/stdout" "$scratch/run/stderr" "$scratch/run/status"
	(cd "$scratch/run" && sh ./cmd) >"$scratch/stdout" 2>"$scratch/stderr" </dev/null
	echo $? >"$scratch/status"
	if [ "$refresh" = 1 ]; then
		for f in stdout stderr; do if [ -s "$scratch/$f" ]; then cp "$scratch/$f" "$case/$f"; else rm -f "$case/$f"; fi; done
		cp "$scratch/status" "$case/status"
		echo "refreshed $case"; continue
	fi
	why=
	for f in stdout stderr; do
		if [ -e "$case/$f" ]; then cmp -s "$case/$f" "$scratch/$f" || why="$why $f"
		else [ -s "$scratch/$f" ] && why="$why $f"; fi
	done
	want=0; [ -e "$case/status" ] && read -r want <"$case/status"
	read -r got <"$scratch/status"
	[ "$want" = "$got" ] || why="$why status($got, not $want)"
	if [ -z "$why" ]; then echo "ok $case"
	else
		echo "FAIL $case:$why differ"; bad=1
		for f in stdout stderr; do
			old=/dev/null; [ -e "$case/$f" ] && old=$case/$f
			diff -u "$old" "$scratch/$f" | sed -n '3,24p'
		done
	fi
done
exit $bad
