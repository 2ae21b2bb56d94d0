#!/bin/sh
# hours.sh: running hours and starts against a plain count second by second in awk, on random streams with gaps.
#
# The reference knows only the definition: a second counts when the switch was on at its beginning and the mill's last
# reading was no longer than 15 min before its end; seconds that nobody saw count by what was before and after.
# shellcheck source=tests/lib.sh
. "$(dirname "$0")/../lib.sh"

# stream SEED: random rows of a pump's switch and its mill's pressure, with gaps from seconds to hours.
stream() {
	awk -v seed="$1" 'BEGIN {
		srand(seed); print "time,asset,point,value,unit,quality"
		t = 0
		for (i = 0; i < 300; i++) {
			t += rand() < 0.08 ? 800 + int(rand() * 9000) : 1 + int(rand() * 600)
			stamp = sprintf("2025-11-%02dT%02d:%02d:%02dZ", 3 + int(t / 86400), int(t / 3600) % 24, int(t / 60) % 60, t % 60)
			if (rand() < 0.6) printf "%s,NM/pump-a,pump-running,%s,,good\n", stamp, rand() < 0.5 ? "on" : "off"
			else printf "%s,NM,pressure,%d,bar,good\n", stamp, 100 + i % 7
		} }'
}

# The plain count: time, hours, lowest, highest, starts at every row at which the switch is known.
reference() {
	awk -F, '
	function seconds(s) { return (substr(s, 9, 2) - 3) * 86400 + substr(s, 12, 2) * 3600 + substr(s, 15, 2) * 60 + substr(s, 18, 2) }
	NR == 1 { next }
	{
		t = seconds($1)
		for (s = last; begun && s < t; s++) {
			if (s + 1 - last <= 900) { on += state; low += state; high += state }
			else gap++
		}
		was = state; last = t
		if ($3 == "pump-running") { state = $4 == "on"; if (!begun) { begun = 1; was = state } }
		if (!begun) next
		if (gap) { high += gap; on += gap * (was == state ? state : 0.5); gap = 0 }
		if (state && !was) starts++
		printf "%s %.4f %.4f %.4f %d\n", $1, on / 3600, low / 3600, high / 3600, starts
	}' "$1"
}

compared=0
for seed in 1 2 3 4 5 6 7 8; do
	stream $seed >"$scratch/in"
	reference "$scratch/in" >"$scratch/all"
	leat-hours --now data "$scratch/in" >"$scratch/out"
	awk -F, '
	$3 == "running-hours" { h = $4 } $3 == "running-hours.low" { l = $4 }
	$3 == "running-hours.high" { print $1, h, l, $4 }' "$scratch/out" >"$scratch/hours"
	awk -F, '$3 == "starts" { print $1, $4 }' "$scratch/out" >"$scratch/starts"
	# Half of a gap of an odd number of seconds may be rounded either way in the fourth decimal.
	wrong=$(awk '
	function off(a, b) { return a - b > 0.00011 || b - a > 0.00011 }
	NR == FNR { h[$1] = $2; l[$1] = $3; u[$1] = $4; next }
	!($1 in h) || off(h[$1], $2) || off(l[$1], $3) || off(u[$1], $4) { print }' "$scratch/all" "$scratch/hours"
	awk 'NR == FNR { n[$1] = $5; next } n[$1] != $2 { print }' "$scratch/all" "$scratch/starts")
	lines=$(wc -l <"$scratch/hours")
	compared=$((compared + lines))
	if [ -z "$wrong" ] && [ "$lines" -gt 20 ]; then ok "stream $seed: $lines instants as counted second by second"
	else fail "stream $seed: $(echo "$wrong" | head -n 3)"; fi
	leat-hours --now data "$scratch/out" | cmp -s - "$scratch/out" && ok "stream $seed: twice is once" || fail "stream $seed: twice is once"
	# What is derived at an instant does not change when the stream ends there.
	head -n 150 "$scratch/in" >"$scratch/half"; lines=$(leat-hours --now data --only "$scratch/half" | tee "$scratch/early" | wc -l)
	leat-hours --now data --only "$scratch/in" | head -n "$lines" | cmp -s - "$scratch/early" && ok "stream $seed: nothing looks into the future" ||
		fail "stream $seed: nothing looks into the future"
done
check 'many instants were compared' test $compared -gt 500
exit $bad
