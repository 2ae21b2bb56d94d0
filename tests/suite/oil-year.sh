#!/bin/sh
# oil-year.sh: the verdicts on the oil of the simulated works against what the simulator says happened to it.
#
# The laboratory's sheets of thirteen months, judged on the night after each sample, and eleven days of exports for the cold
# nights after the cooler leaked.  Dates and sizes come from truth.csv.
# shellcheck source=tests/lib.sh
. "$(dirname "$0")/../lib.sh"
need_simulator
cp -R testdata/works-year "$scratch/works"
cd "$scratch" || exit 1
"$simulate" --year year >said || fail 'simulate a year'
cp year/logbook.csv works
for m in NM MM SM; do printf '%s,working-temperature,48,degC,,works\n%s,coldest-temperature,10,degC,,works\n' "$m" "$m"; done >>works/nameplate.csv

# fault MILL NAME WHAT COLUMN: a field of truth.csv, by the beginning of what happened.
fault() { awk -F, -v mill="$1" -v fault="$2" -v what="$3" -v c="$4" '$1 == mill && $2 == fault && index($4, what) == 1 { print $c; exit }' year/truth.csv; }
leak=$(fault MM F6 'cooler tube' 6) isolated=$(fault MM F6 'cooler tube' 7)
mixed=$(fault MM F13 'wrong oil' 6) shift=$(fault MM F13 'wrong oil' 5)
litres=$(awk -F, '$2 == "MM" && $3 == "top-up" { print $7; exit }' year/logbook.csv)
open=$(fault NM F5 'element collapsed' 6) changed=$(fault NM F5 'element collapsed' 7)
dirty=$(fault NM decoy 'dirty sampling' 6) clean=$(fault NM decoy 'dirty sampling' 7)
check 'truth.csv has these faults' test -n "$leak" -a -n "$isolated" -a -n "$mixed" -a -n "$open" -a -n "$changed" -a -n "$dirty" -a -n "$clean"

leat-normalise -q -w works --now 2026-02-02T00:00:00Z year/lab_*.csv >lab.csv
# samples NOW [FILE]: what is known of the samples by then.
samples() { leat-cleanliness -q -w works --now "$1" "${2:-lab.csv}" | leat-oil -q -w works --now "$1" 2>/dev/null; }
# A night after each sample: the findings, with the night in front.
for day in 2025-01-13 2025-02-13 2025-03-13 2025-04-13 2025-05-13 2025-06-13 2025-07-13 2025-08-13 2025-09-13 2025-10-13 \
	2025-11-07 2025-11-13 2025-12-13 2026-01-13; do
	samples "${day}T04:30:00Z" | leat-verdict -q -a -w works --now "${day}T04:30:00Z" --since P10D | tail -n +2 | sed "s/^/$day,/"
done >nights
verdict() { awk -F, -v day="$1" -v mill="$2" '$1 == day && $3 == mill && $5 == "oil-verdict" && $11 == "" { sub(/.*",/, ""); sub(/,.*/, ""); print }' nights; }
status() { awk -F, -v day="$1" -v mill="$2" -v rule="$3" '$1 == day && $3 == mill && $5 == rule && $11 == "" { print $6 }' nights; }
since() { awk -F, -v day="$1" -v mill="$2" -v rule="$3" '$1 == day && $3 == mill && $5 == rule && $11 == "" { print $10 }' nights; }
# between TIME FROM TO: all in UTC.
between() { [ "$(printf '%s\n' "$2" "$1" "$3" | LC_ALL=C sort | tr '\n' ' ')" = "$2 $1 $3 " ]; }

check 'three mills are judged on each of fourteen nights' test "$(grep -c ',oil-verdict,[a-z]*,,,,[^,]*,,' nights)" = 42

# Water: nothing before the tube leaks, dry from the sample of that week on, and well again once the oil was dried.
check 'before the cooler leaks the oil is kept' test "$(verdict 2025-10-13 MM)" = keep
check "water is found in the week of the leak, and to be dried: $(verdict 2025-11-07 MM)" test "$(verdict 2025-11-07 MM)" = dry
check 'as an alarm' test "$(status 2025-11-07 MM oil-verdict)" = alarm
check "since the leak: $(since 2025-11-07 MM oil-verdict)" between "$(since 2025-11-07 MM oil-verdict)" "$leak" "$isolated"
check 'and while it is not dry yet' test "$(verdict 2025-11-13 MM)" = dry
check 'it is cleared once the oil is dry' test "$(verdict 2025-12-13 MM)" = keep
check 'other mills are never wet' test -z "$(awk -F, '$3 != "MM" && /",dry,/' nights)"
samples 2025-12-13T04:30:00Z | leat-verdict -q -w works --now 2025-12-13T04:30:00Z | grep -c '^2025-11.*,MM,,oil-verdict,alarm,.*,2025-12-12T[^,]*,,,"dry the oil by' >count
check 'the mail of that night has its end' test "$(cat count)" = 1

# What takes how long: the formula of the trade, t = V rho (w0 - wt) / rate, is the least, for the rate falls with saturation.
hours=$(samples 2025-11-07T04:30:00Z | leat-verdict -q -w works --now 2025-11-07T04:30:00Z | awk -F, '$2 == "MM" && $4 == "oil-verdict" { print $(NF - 2) }')
least=$(awk -F, '$2 == "MM/sample-return/bottle-2" && $3 == "water-content" && $1 ~ /^2025-11-06/ { print 1200 * 0.85 * ($4 - 200) / 1e6 / 0.1 }' lab.csv)
check "drying takes some hours more than the $least h at full rate: $hours h" awk -v h="$hours" -v least="$least" 'BEGIN { exit !(h > least && h < 3 * least) }'

# Another oil: named on the second sample after the top-up, with its litres, and on no other mill.
check 'before the top-up no other oil' test "$(status 2025-04-13 MM other-oil)" = ok
check 'one sample is not enough' test "$(status 2025-05-13 MM other-oil)" = ok
check 'the second names it' test "$(status 2025-06-13 MM other-oil)" = alert
check "after it was filled in: $(since 2025-06-13 MM other-oil)" between "$(since 2025-06-13 MM other-oil)" "$mixed" 2025-06-13
check 'the oil may stay' test "$(verdict 2025-06-13 MM)" = keep
named=$(sed -n 's/^2025-06-13,.*,MM,viscosity-shift,other-oil,.* \([0-9]*\) L, of VG 100.*/\1/p' nights)
check "so much of it, within a third: ${named:-none} L, filled in were $litres" awk -v n="${named:-0}" -v l="$litres" 'BEGIN { exit !(n > l * 2 / 3 && n < l * 4 / 3) }'
found=$(awk -F, '$1 == "2025-06-13" && $3 == "MM" && $5 == "other-oil" { print $7 }' nights)
check "by a viscosity $found % off, $shift in truth" awk -v n="$found" -v s="$shift" 'BEGIN { exit !(n > s - 0.8 && n < s + 0.8) }'
check 'no other mill has another oil' test -z "$(awk -F, '($3 != "MM" || $1 < "2025-05") && $5 == "other-oil" && $6 != "ok"' nights)"

# A collapsed element: seen in the counts before and behind it, and the oil is to be cleaned until it is changed.
samples 2025-10-13T04:30:00Z | leat-check -q -w works --now 2025-10-13T04:30:00Z | grep filter-without-effect >collapsed
check "the element lets through: $(cut -d, -f2,6 collapsed)" test "$(cut -d, -f2,5 collapsed)" = NM/sample-off-line,alert
between "$(cut -d, -f9 collapsed)" "$open" "$changed" && ok 'while it is collapsed' || fail "not while it is collapsed: $(cat collapsed)"
check "the oil is dirty: $(verdict 2025-10-13 NM)" test "$(verdict 2025-10-13 NM)" = clean
check 'and clean after the change' test "$(verdict 2025-11-13 NM)" = keep
samples 2026-01-13T04:30:00Z | awk -F, '$3 == "count-6um.ratio" && !($2 ~ /^NM/ && $1 ~ /^2025-10/) && $4 <= 2' >low
check 'no other sample says so of a filter' test ! -s low

# A dirty sampling valve: the first bottle has nine times the particles, the second has not, and nothing is said.
between 2025-04-12T07:30:00Z "$dirty" "$clean" || fail 'the sample of April is drawn from the dirty valve'
check 'the dirty sampling valve stays silent' test "$(verdict 2025-04-13 NM)" = keep
grep -v /bottle-2,count- lab.csv >first.csv
samples 2025-04-13T04:30:00Z first.csv | leat-verdict -q -a -w works --now 2025-04-13T04:30:00Z | grep -c '^2025-04-12.*,NM,,oil-verdict,alert,.*,resample,no,' >count
check 'though the first bottle alone asks for a second' test "$(cat count)" = 1

# Nothing in the year asks for new oil.
check 'no oil is to be renewed or changed' test -z "$(grep -E '",(renew|change),' nights)"

# The coldest night: litres that fall out, by the content of the sample and the coldest oil of the export itself, with the line of
# fresh mineral oil, log S = 5.960 - 1072.7/T, and 870 kg/m3 (common practice).
leat-normalise -q -w works --now 2026-02-02T00:00:00Z year/MM_2025-11.csv year/lab_2025-11.csv >november.csv
leat-state -q -w works --now 2025-11-16T00:00:00Z november.csv | leat-oil -q -w works --now 2025-11-16T00:00:00Z 2>/dev/null >oil.csv
free=$(awk -F, '$2 == "MM" && $3 == "free-water" && $1 ~ /^2025-11-07T05/ { print $4 }' oil.csv)
coldest=$(awk -F, '$2 == "MM" && $3 == "oil-temperature" && $6 != "bad" && $1 >= "2025-11-06T05" && $1 < "2025-11-07T05" { if (t == "" || $4 < t) t = $4 } END { print t }' november.csv)
content=$(awk -F, '$2 == "MM/sample-return/bottle-2" && $3 == "water-content" && $1 ~ /^2025-11-06/ { print $4 }' november.csv)
check "free water in the coldest night, oil at $coldest degC: $free L" awk -v t="$coldest" -v w="$content" -v free="$free" 'BEGIN {
	l = (w - exp(log(10) * (5.960 - 1072.7 / (t + 273.15)))) * 1e-6 * 1200 * 0.87; exit !(free > 0 && free > 0.96 * l - 0.01 && free < 1.04 * l + 0.01) }'
leat-check -q -w works --now 2025-11-08T04:30:00Z oil.csv | grep ',MM,free-water,free-water,' >found
check 'is an alert in the mail' test "$(cut -d, -f5 found)" = alert
exit "$bad"
