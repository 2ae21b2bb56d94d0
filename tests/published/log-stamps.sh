#!/bin/sh
# log-stamps.sh: stamps of the logbook against GNU date and the zone data of the system: RFC 3339 in UTC from local times.
# shellcheck source=tests/lib.sh
. "$(dirname "$0")/../lib.sh"
if ! TZ=Europe/Berlin date -d '2025-07-01 12:00' +%s >/dev/null 2>&1 || [ ! -e /usr/share/zoneinfo/Europe/Berlin ]; then
	skip 'log-stamps: no GNU date or no zone data'; exit 0
fi
for zone in Europe/Berlin America/New_York Asia/Kathmandu; do
	printf 'asset,property,value\n,zone,%s\n' $zone >"$scratch/plate"
	for local in '2025-01-15 06:30' '2025-07-01 23:59:58' '2024-02-29 00:00' '2025-03-31 12:00' '2025-10-27 05:00'; do
		want=$(date -u -d "@$(TZ=$zone date -d "$local" +%s)" +%Y-%m-%dT%H:%M:%SZ)
		rm -f "$scratch/book"
		leat-log -q --now 2026-01-01T00:00:00Z --nameplate "$scratch/plate" --logbook "$scratch/book" --event note --asset NM \
			--who me --note x --time "$local"
		got=$(sed -n '2s/,.*//p' "$scratch/book")
		check "$zone $local" test "$got" = "$want"
	done
done
printf 'asset,property,value\n,zone,Europe/Berlin\n' >"$scratch/plate"
leat-log -q --now 2026-01-01T00:00:00Z --nameplate "$scratch/plate" --logbook "$scratch/book" --event note --asset NM --who me \
	--note x --time '2025-03-30 02:30' 2>"$scratch/err"; status=$?
check 'a local time that never was is refused' test $status = 2 -a -s "$scratch/err"
exit $bad
