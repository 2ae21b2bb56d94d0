#!/bin/sh
# zones.sh: every change of offset that the system's zone data know, against the system's own reader of them.
#
# Source: the tz database through zdump (the C library's tool), and where it is missing through Python's zoneinfo.
# Named zones have habits of their own: shifts of half an hour, summer time below standard time, changes at midnight,
# before midnight and on other days than Sunday, a day that was left out, a month of fasting, offsets of 30 and 45
# minutes, a change of two hours, and zones that gave summer time up.
set -u
cd "$(dirname "$0")" || exit 1
ours=${BUILD:-../../build}/tests/published/dump_zone
zones='Europe/Berlin Europe/London Europe/Dublin Europe/Istanbul Europe/Moscow America/New_York America/Sao_Paulo
America/St_Johns America/Santiago America/Caracas Africa/Casablanca Africa/Cairo Asia/Kolkata Asia/Kathmandu
Asia/Tehran Asia/Gaza Asia/Pyongyang Asia/Colombo Australia/Lord_Howe Australia/Eucla Pacific/Apia
Pacific/Chatham Pacific/Kiritimati Antarctica/Troll Etc/GMT+5 UTC'
scratch=$(mktemp -d) || exit 1
trap 'rm -rf "$scratch"' EXIT
trap 'exit 1' HUP INT TERM

# The C library's tool: pairs of lines, one second before a change and at it.  Pairs that change no offset (only the
# zone's abbreviation or its word for summer time) are left out, as this project has neither.
by_zdump() {
	for zone in $zones; do zdump -v -c "$1,$2" "$zone"; done | awk '
	BEGIN {
		split("Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec", name, " ")
		for (i in name) month[name[i]] = i
	}
	$NF !~ /^gmtoff=/ { next }
	{
		east = substr($NF, 8)
		line = sprintf("%s %04d-%02d-%02dT%s %04d-%02d-%02dT%s %d", $1, $6, month[$3], $4, $5,
		    $13, month[$10], $11, $12, east)
		if (++seen % 2) { before = line; east_before = east; next }
		if (east != east_before) { print before; print line }
	}'
}

# An offset change lies where two times some hours apart differ; a bisection to the second finds it.
by_python() {
	# shellcheck disable=SC2086 # a list of zones on purpose
	python3 - "$1" "$2" $zones <<-'END'
	import sys
	from datetime import datetime, timezone
	from zoneinfo import ZoneInfo
	first, last = (int(datetime(int(y), 1, 1, tzinfo=timezone.utc).timestamp()) for y in sys.argv[1:3])
	step = 6 * 3600
	for name in sys.argv[3:]:
	    zone = ZoneInfo(name)
	    local = lambda s: datetime.fromtimestamp(s, zone)
	    east = lambda s: int(local(s).utcoffset().total_seconds())
	    before = east(first - 1)
	    for s in range(first, last, step):
	        after = east(s + step - 1)
	        if before != after:
	            low, high = s - 1, s + step - 1
	            while high - low > 1:
	                middle = (low + high) // 2
	                low, high = (middle, high) if east(middle) == before else (low, middle)
	            for t in (low, high):
	                print(name, datetime.fromtimestamp(t, timezone.utc).strftime("%Y-%m-%dT%H:%M:%S"),
	                      local(t).strftime("%Y-%m-%dT%H:%M:%S"), east(t))
	        before = after
	END
}

# compare NAME FROM TO: the changes of $zones by both readers.
compare() {
	# shellcheck disable=SC2086 # a list of zones on purpose
	if ! "$ours" "$2" "$3" $zones >"$scratch/ours" 2>"$scratch/errors"; then
		echo "FAIL $1: $(head -n 1 "$scratch/errors")"
		bad=1
		return
	fi
	if [ "$reader" = zdump ]; then by_zdump "$2" "$3"; else by_python "$2" "$3"; fi >"$scratch/theirs"
	if [ ! -s "$scratch/theirs" ]; then echo "FAIL $1: the reference said nothing"; bad=1
	elif cmp -s "$scratch/ours" "$scratch/theirs"; then echo "ok $1: $(wc -l <"$scratch/ours") offsets by $reader"
	else echo "FAIL $1"; diff "$scratch/ours" "$scratch/theirs" | head -n 10; bad=1; fi
}

bad=0
if [ ! -d /usr/share/zoneinfo ]; then echo "skip zones: no zone data on this system"; exit 0; fi
if command -v zdump >/dev/null 2>&1; then reader=zdump
elif python3 -c 'import zoneinfo' 2>/dev/null; then reader=python
else echo "skip zones: neither zdump nor python3 with zoneinfo"; exit 0; fi

compare 'zones 2007..2037' 2007 2038
# Beyond the table the rule behind it holds, and again after 400 years.
if [ "$reader" = zdump ]; then
	compare 'zones 1850..2500' 1850 2500
	if [ -r /usr/share/zoneinfo/tzdata.zi ]; then
		zones=$(awk '$1 == "Z" { print $2 } $1 == "L" { print $3 }' /usr/share/zoneinfo/tzdata.zi | sort |
		    while read -r zone; do [ -f "/usr/share/zoneinfo/$zone" ] && echo "$zone"; done)
		compare 'zones, all 2007..2037' 2007 2038
	fi
fi
exit $bad
