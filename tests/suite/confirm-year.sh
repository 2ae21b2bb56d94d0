#!/bin/sh
# confirm-year.sh: leat-confirm against weeks of the simulated works, whose truth.csv says what was done.
#
# The drain meter of MM shows gal/min from 17 June 10:00 on, and the logbook has it on 24 June 10:00: asked for from the third
# daily value on, in the nights of the 20th to the 24th, and not before or after.  In the weeks in which MM runs on its
# stand-by pump, and that is logged, nothing is asked for.
# shellcheck source=tests/lib.sh
. "$(dirname "$0")/../lib.sh"
need_simulator
works=$scratch/works
cp -R testdata/works-year "$works"

# asked DAYS NIGHT...: the nights with a question, of those given.
asked() {
	days=$1; shift
	"$simulate" --year --days "$days" "$scratch/$days" >"$scratch/said" || fail "simulate $days"
	cp "$scratch/$days/logbook.csv" "$works/"
	leat-normalise -q -w "$works" --now 2026-02-02T00:00:00Z "$scratch/$days/MM"_*.csv "$scratch/$days/charging_MM"_*.csv |
		leat-state -q -w "$works" --now 2026-02-02T00:00:00Z |
		leat-drain -q -w "$works" --now 2026-02-02T00:00:00Z |
		leat-element -q -w "$works" --now 2026-02-02T00:00:00Z |
		leat-select --point drain-flow-corrected --point filter-dp-corrected.ratio - >"$scratch/rows"
	for night in "$@"; do
		leat-confirm -q -w "$works" --now "${night}T05:30:00Z" "$scratch/rows" | grep ',unlogged-work,' |
			cut -d, -f2,3 | sed "s|^|$night |"
	done
}

asked 2025-05-31..2025-06-27 2025-06-18 2025-06-19 2025-06-20 2025-06-21 2025-06-22 2025-06-23 2025-06-24 2025-06-25 \
	2025-06-26 2025-06-27 >"$scratch/asked"
check 'the truth has the meter' grep -q 'MM/pump-a,meter change not logged,,2025-06-17T08:00:00Z,2025-06-24T08:00:00Z' \
	"$scratch/2025-05-31..2025-06-27/truth.csv"
for night in 20 21 22 23 24; do echo "2025-06-$night MM/pump-a,drain-flow-corrected"; done >"$scratch/expected"
if cmp -s "$scratch/expected" "$scratch/asked"; then ok 'the meter is asked for from the third night on, until it is logged'
else fail "the meter: $(diff "$scratch/expected" "$scratch/asked" | tr '\n' ' ')"; fi
# shellcheck disable=SC2046 # words
asked 2025-04-18..2025-05-25 $(for d in 06 08 10 12 14 16 18 19 20 21 22 23 24 25; do echo "2025-05-$d"; done) >"$scratch/asked"
check "nothing is asked for while the pumps change over: $(tr '\n' ' ' <"$scratch/asked")" test ! -s "$scratch/asked"
exit "$bad"
