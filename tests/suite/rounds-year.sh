#!/bin/sh
# rounds-year.sh: the check of typed round sheets on a simulated year, with slips of the pen put in here, so that what is to
# be found is known; and how often it cries out over sheets as they are.
#
# The simulator's own slips (the pressure alone: digits turned round in 0.4 % of its values, a day's rounds in five minutes,
# one value for two days) stay in: they are found, but not counted here.
# shellcheck source=tests/lib.sh
. "$(dirname "$0")/../lib.sh"
need_simulator
works=testdata/works-year
now=2025-12-01T00:00:00Z

"$simulate" --year --days 2025-09-01..2025-11-30 "$scratch/y" >"$scratch/said" || fail 'simulate'
leat-normalise -q -w "$works" --now "$now" "$scratch"/y/round_*.csv >"$scratch/rounds.csv" 2>"$scratch/err"
check 'three months of rounds' test "$(wc -l <"$scratch/rounds.csv")" -gt 3000

# Slips in every seventh round of October and November with the mill at work: one of four kinds, each by its own arithmetic.
awk -F, -v OFS=, -v truth="$scratch/truth" '
function say(rule) { print $1, $2, $3, rule >truth }
NR == 1 { print; next }
$3 == "pressure" && $6 == "good" && $4 >= 100 { at_work[$1 $2] = 1 }
$1 >= "2025-10-01" && $3 == "pressure" && $6 == "good" && $4 >= 100 && ++n % 7 == 0 {
	kind = int(n / 7) % 4
	if (kind == 0) {
		# The last two digits turned round, where that makes a difference that can be seen.
		other = substr($4, 1, 1) substr($4, 3, 1) substr($4, 2, 1)
		if (other - $4 > 20 || $4 - other > 20) { $4 = other; say("typed-swapped") }
	} else if (kind == 1) { $4 = sprintf("%.1f", $4 / 10); say("typed-unit") }		# MPa, 1 MPa = 10 bar
	else if (kind == 2) { $4 = sprintf("%.0f", $4 * 14.5038); say("typed-outside") }	# psi (NIST SP 811): beyond the gauge
	else if (kind == 3 && substr($4, 1, 1) != substr($4, 2, 1)) {
		$4 = substr($4, 2, 1) substr($4, 1, 1) substr($4, 3, 1); say($4 > 250 ? "typed-outside" : "typed-swapped")
	}
}
{ print }' "$scratch/rounds.csv" >"$scratch/typed.csv"
check 'slips of all kinds' test "$(cut -d, -f4 "$scratch/truth" | sort -u | wc -l)" = 3

found() { leat-card -q -w "$works" --now "$now" --check-round "$1" "$scratch/rounds.csv" | cut -d, -f1-4; }
found "$scratch/rounds.csv" | LC_ALL=C sort >"$scratch/before"
found "$scratch/typed.csv" | LC_ALL=C sort >"$scratch/after"
LC_ALL=C sort "$scratch/truth" >"$scratch/want"
slips=$(wc -l <"$scratch/want")
hit=$(LC_ALL=C comm -12 "$scratch/want" "$scratch/after" | wc -l)
check "slips: $hit of $slips are found by their rule" test "$slips" -ge 30 -a "$hit" -ge $((slips * 95 / 100))
LC_ALL=C comm -23 "$scratch/want" "$scratch/after" | sed -n 1,3p
# What is told beyond that was told of the sheets as they were, or stands beside a slip (the mill seems at rest at 12 bar).
fresh=$(LC_ALL=C comm -13 "$scratch/before" "$scratch/after" | LC_ALL=C comm -13 "$scratch/want" - | wc -l)
check "slips: $fresh other findings come of them" test "$fresh" -le 3
values=$(wc -l <"$scratch/rounds.csv")
# Of sheets as they are: the simulator's slips of the pressure are right to be told; of other points none was made.
cried=$(grep -c ',\(level\|oil-temperature\|filter-dp\|drain-flow\),typed-\(swapped\|unit\|outside\|same\)' "$scratch/before")
check "sheets as they are: $cried false of $values values" test "$cried" -le $((values / 1000))
exit $bad
