#!/bin/sh
# valgrind.sh: the line once under valgrind, where it is installed and the build has no sanitizer of its own.
# shellcheck source=tests/lib.sh
. "$(dirname "$0")/../lib.sh"
if [ -n "${SANITIZED-}" ]; then skip 'valgrind: the build has sanitizers'; exit 0; fi
if ! command -v valgrind >/dev/null 2>&1; then skip 'valgrind: not installed'; exit 0; fi
# Some versions of valgrind cannot read the debug information that some compilers write, and give up at once.
if valgrind -q leat-check --version 2>&1 | grep -q 'debuginfo reader'; then
	skip "valgrind: cannot read this compiler's debug information"; exit 0
fi
"$build/tests/sim/simulate" "$scratch/exports" || exit 1
cd "$scratch" || exit 1
for m in NM MM SM; do head -n 400 "exports/${m}_2025-11-04.csv" >"${m}_2025-11-04.csv"; done

# clean NAME COMMAND...: the command ends well and valgrind has nothing to say.
clean() {
	name=$1; shift
	valgrind -q --error-exitcode=99 --leak-check=full --errors-for-leak-kinds=definite,possible "$@" >"$name.out" 2>"$name.err"; status=$?
	if [ "$status" = 0 ]; then ok "valgrind $name"; else fail "valgrind $name: status $status: $(tail -n 5 "$name.err")"; fi
}
works=$top/testdata/works now=2025-11-05T04:30:00Z
clean leat-survey leat-survey --now $now NM_2025-11-04.csv
clean leat-normalise leat-normalise -q -w "$works" --now $now NM_2025-11-04.csv MM_2025-11-04.csv SM_2025-11-04.csv
clean leat-state leat-state -q -w "$works" --now $now leat-normalise.out
clean leat-archive leat-archive -q --archive archive --now $now leat-normalise.out
clean leat-archive-again leat-archive -q --archive archive --now $now leat-normalise.out
clean leat-archive-verify leat-archive -q --archive archive --verify
clean leat-select leat-select -q -w "$works" --now $now --last P2D --archive archive
clean leat-select-wide leat-select -q -w "$works" --now $now --wide --numeric leat-normalise.out
clean leat-hours leat-hours -q -w "$works" --now $now leat-state.out
clean leat-drain leat-drain -q -w "$works" --now $now leat-state.out
clean leat-drain-fit leat-drain -q -w "$works" --now $now --fit leat-state.out
clean leat-leakage leat-leakage -q -w "$works" --now $now leat-state.out
clean leat-rollup leat-rollup -q -w "$works" --now $now --every hour leat-state.out
clean leat-pair leat-pair -q --now $now --first NM/pressure --second MM/pressure --within PT5M leat-normalise.out
clean leat-log leat-log -q --logbook logbook.csv --now $now --event top-up --asset NM --left 60 --who me
clean leat-log-readings leat-log -q --now $now --readings logbook.csv
clean leat-check leat-check -q -w "$works" --now data -a leat-state.out
clean leat-report leat-report -w "$works" --now $now --always leat-check.out
exit $bad
