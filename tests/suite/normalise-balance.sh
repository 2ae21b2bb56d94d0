#!/bin/sh
# normalise-balance.sh: damaged exports.  Thousands in one process (see mutate.c), and some through the command itself,
# whose status must be 0 or 2 and whose account must balance.
# shellcheck source=tests/lib.sh
. "$(dirname "$0")/../lib.sh"

count=400
[ -n "${SANITIZED-}" ] && count=80
# Some of the tags in the fixtures, under every kind of row.
cat >"$scratch/points.csv" <<'END'
tag,asset,point,unit,source_unit,scale,offset,min,max,states
P1,NM,pressure,bar,psi,,,0,250,
T1,NM,oil-temperature,degC,,,,-20,120,
F1,NM/pump-a,drain-flow,L/min,,0.1,,,,
NM-P1,NM,pressure-setpoint,bar,,,,,,
NM/RUN,NM,mill-running,,,,,,,Running=on|Stopped=off
A.P1,MM,pressure,bar,,2,-10,,,
A.T1,MM,state,,,,,,,
END
"$build/tests/suite/mutate" run "$count" "$scratch" "$scratch/points.csv" testdata/exports/*.csv || bad=1

seen=0 read=0
for f in testdata/exports/*.csv; do
	for seed in 1001 1002 1003; do
		"$build/tests/suite/mutate" write $seed "$f" >"$scratch/in.csv" || fail "mutate write $seed $f"
		leat-normalise --now 2026-01-01T00:00:00Z --zone Europe/Berlin --summary --max-rejects 100% \
			-r "$scratch/rejects" --findings "$scratch/findings" "$scratch/in.csv" \
			>"$scratch/out" 2>"$scratch/err"
		status=$?
		seen=$((seen + 1))
		case $status in
		0)
			read=$((read + 1))
			grep -q 'lines and cells balance$' "$scratch/err" || fail "$f seed $seed: no balance" ;;
		2)
			[ -s "$scratch/err" ] || fail "$f seed $seed: refused in silence"
			grep -q 'do not balance' "$scratch/err" && fail "$f seed $seed: does not balance" ;;
		*) fail "$f seed $seed: status $status: $(tail -n 1 "$scratch/err")" ;;
		esac
	done
done
check "damaged exports through the command: $seen, of which read: $read" test "$seen" -gt 50 -a "$read" -gt 20
exit $bad
