#!/bin/sh
# run.sh [PATTERN]: runs all tests (or those whose name contains PATTERN) and ends with 'N passed, N failed, N skipped'.
#
# Test programs are cmocka programs and speak TAP; test scripts print lines 'ok NAME', 'FAIL NAME: why' or
# 'skip NAME: why'.  A test that ends with a failure status without having said which case failed counts as one failure;
# so does one that ran no case at all.
set -u
cd "$(dirname "$0")/.." || exit 1
BUILD=$(mkdir -p "${BUILD:-build}" && cd "${BUILD:-build}" && pwd) || exit 1
BIN=$BUILD/bin
export BUILD BIN
unset LEAT_WORKS LEAT_NOW LC_ALL LANG
TZ=UTC; export TZ
pattern=${1-}
logs=$BUILD/log
rm -rf "$logs"; mkdir -p "$logs"
passed=0 failed=0 skipped=0

# tally NAME STATUS LOG SECONDS: adds a test's cases to the sums and shows what went wrong.
tally() {
	# cmocka calls a case that was skipped "not ok N # SKIP".
	sed -i 's/^not ok [0-9]* # SKIP/skip/' "$3"
	p=$(grep -c '^ok ' "$3"); f=$(grep -cE '^(not ok|FAIL) ' "$3"); s=$(grep -c '^skip ' "$3")
	if [ "$2" -ne 0 ] && [ "$f" -eq 0 ]; then f=1; echo "FAIL $1: status $2"; tail -n 20 "$3"; fi
	if [ $((p + f + s)) -eq 0 ]; then f=1; echo "FAIL $1: ran no test"; tail -n 5 "$3"; fi
	if [ "$f" -gt 0 ]; then grep -E -A 12 '^(not ok|FAIL) ' "$3" | head -n 60; fi
	grep '^skip ' "$3"
	passed=$((passed + p)) failed=$((failed + f)) skipped=$((skipped + s))
	printf '%-44s %5d passed %3d failed %5d s\n' "$1" "$p" "$f" "$4"
}

# All that is wanted, the scripts first, since the longest are among them; as many at a time as there are processors.
names() {
	set -- tests/suite/*.sh tests/fuzz/run.sh tests/cmd/run.sh tests/published/*.sh
	for f in "$@" tests/unit/test_*.c tests/published/test_*.c; do
		name=${f#tests/}
		case $f in *.c) name=${name%.c} ;; esac
		case $name in *"$pattern"*) [ ! -e "$f" ] || echo "$name" ;; esac
	done
}
names >"$logs/names"
JOBS=${JOBS:-$(getconf _NPROCESSORS_ONLN 2>/dev/null || echo 1)}
# shellcheck disable=SC2016 # a program of its own shell
xargs -P "$JOBS" -n 1 sh -c '
	log=$BUILD/log/$(echo "$1" | tr / -) began=$(date +%s)
	case $1 in
	*.sh) sh "tests/$1" ;;
	*) CMOCKA_MESSAGE_OUTPUT=TAP "$BUILD/tests/$1" ;;
	esac >"$log" 2>&1 </dev/null
	echo "$? $(($(date +%s) - began))" >"$log.status"' run <"$logs/names"
while read -r name; do
	log=$logs/$(echo "$name" | tr / -)
	status=1 took=0
	[ ! -s "$log.status" ] || read -r status took <"$log.status"
	tally "$name" "$status" "$log" "$took"
done <"$logs/names"
if [ "$skipped" -gt 0 ]; then echo "$passed passed, $failed failed, $skipped skipped"
else echo "$passed passed, $failed failed"; fi
[ "$failed" -eq 0 ]
