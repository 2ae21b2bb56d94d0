# Shared by test scripts one folder below tests/; sourced, not run.
# shellcheck shell=sh disable=SC2034

cd "$(dirname "$0")/../.." || exit 1
top=$(pwd)
bin=${BIN:-$top/build/bin}
build=${BUILD:-$top/build}
PATH=$bin:$PATH
TZ=UTC
export PATH TZ
unset LEAT_WORKS LEAT_NOW LC_ALL LANG
scratch=$(mktemp -d) || exit 1
trap 'rm -rf "$scratch"' EXIT
trap 'exit 1' HUP INT TERM
bad=0

ok() { echo "ok $*"; }
fail() { echo "FAIL $*"; bad=1; }
skip() { echo "skip $*"; }

# takes_long: where minutes count (LONG=no), what has run with the first compiler is not run again.
takes_long() {
	if [ "${LONG-}" = no ]; then skip "$(basename "$0"): it takes long, and runs with the first compiler (LONG=no)"; exit 0; fi
}

# need_simulator: where the simulator is, in $simulate.  Months of a simulated works take minutes.
need_simulator() {
	takes_long
	simulate=$build/tests/sim/simulate
	[ -x "$simulate" ] || { fail "the simulator is built: $simulate"; exit 1; }
}

# check NAME CONDITION...: ok when the condition holds.
check() {
	name=$1; shift
	if "$@"; then ok "$name"; else fail "$name: not so: $*"; fi
}
