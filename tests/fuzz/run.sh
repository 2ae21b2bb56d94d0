#!/bin/sh
# run.sh: every fuzz harness over its saved corpus and some mutations of it.  A crash stops the harness with a status.
set -u
cd "$(dirname "$0")" || exit 1
build=${BUILD:-../../build}
runs=${FUZZ_RUNS:-20000}
bad=0
for src in fuzz_*.c; do
	[ -e "$src" ] || continue
	name=${src%.c}
	if "$build/tests/fuzz/$name" --mutate "$runs" 1 corpus/"${name#fuzz_}"/*; then echo "ok $name"
	else echo "FAIL $name: status $?"; bad=1; fi
done
exit $bad
