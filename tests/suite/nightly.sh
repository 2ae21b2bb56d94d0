#!/bin/sh
# nightly.sh: the nightly script on a small made works of three sources, on good nights and bad ones.
#
# shellcheck source=tests/lib.sh
. "$(dirname "$0")/../lib.sh"

# A script is no matter of the compiler; its commands have tests of their own.
takes_long

for c in leat-normalise leat-archive leat-select leat-log leat-state leat-check leat-report; do
	[ -x "$bin/$c" ] || { skip "nightly: $c is not built"; exit 0; }
done
shell=$(command -v dash || command -v sh)
script=$top/docs/nightly.sh
works=$scratch/works
now=2025-02-04T04:30:00Z
touch -t 202502070000 "$scratch/today"

# stamps DAY: local times of that day, every ten minutes, as 'YYYY-MM-DD HH:MM'.
stamps() { awk -v day="$1" 'BEGIN { for (i = 0; i < 144; i++) printf "%s %02d:%02d\n", day, int(i / 6), i % 6 * 10 }'; }

# The exports of one day in three forms: decimal comma and semicolons, a line a value, decimal point and commas.  All mills
# grind; of each the pressure, the tank temperature and the running switches of drive and pump.
export_NM() {
	echo 'Zeit;NM.PGR;NM.TTK;NM.MIL;NM.PMP'
	stamps "$1" | awk -v hot="${2-}" '{ printf "%s:00;%d,%d;%d,%d;1;1\n", $0, 120 + NR % 3, NR % 10,
		(hot && $2 >= "20:00" ? 66 : 48), NR % 10 }'
}
export_MM() {
	echo 'Tag,Time,Value,Quality'
	stamps "$1" | awk '{ printf "MM.PGR,%s:00,%d.%d,Good\nMM.TTK,%s:00,47.%d,Good\nMM.MIL,%s:00,1,Good\nMM.PMP,%s:00,1,Good\n",
		$0, 115 + NR % 3, NR % 10, $0, NR % 7, $0, $0 }'
}
export_SM() {
	echo 'Timestamp,SM.PGR,SM.TTK,SM.MIL,SM.PMP'
	stamps "$1" | awk '{ printf "%s:00,%d.%d,46.%d,1,1\n", $0, 130 + NR % 3, NR % 10, NR % 9 }'
}

# deliver DAY [HOT]: the exports of that day arrive.  Names of files have blanks.
deliver() {
	for m in NM MM SM; do "export_$m" "$@" >"$works/incoming/$m/$m $1.csv"; done
	arrived "$1"
}

# arrived DAY: files that lie in incoming since now have come at the end of that day.
arrived() { find "$works/incoming" -type f -newer "$scratch/today" -exec touch -t "$(echo "$1" | tr -d -)2359" {} +; }

# A works with two days of exports; the oil of NM was hot on the second evening.
make_works() {
	rm -rf "$works"; mkdir -p "$works/incoming/NM" "$works/incoming/MM" "$works/incoming/SM"
	cat >"$works/nameplate.csv" <<-'END'
	asset,property,value,unit
	,zone,"CET-1CEST,M3.5.0,M10.5.0/3",
	NM,set-pressure,120,bar
	MM,set-pressure,116,bar
	SM,set-pressure,131,bar
	END
	echo 'tag,asset,point,unit' >"$works/points.csv"
	for m in NM MM SM; do
		printf '%s.PGR,%s,pressure,bar\n%s.TTK,%s,oil-temperature,degC\n' $m $m $m $m
		printf '%s.MIL,%s,mill-running,\n%s.PMP,%s/pump-a,pump-running,\n' $m $m $m $m
	done >>"$works/points.csv"
	cat >"$works/limits.csv" <<-'END'
	asset,point,high_alert,high_alarm,unit,deadband,on_delay,off_delay,rule,advice
	*,oil-temperature,60,65,degC,1,PT10M,PT10M,hot-oil,check cooling water and cooler
	END
	echo 'settle 0' >"$works/nightly.conf"
	deliver 2025-02-02; deliver 2025-02-03 hot
}

# night: one run in cron's bare environment; stdout, stderr and status in the scratch folder.
night() {
	env -i PATH="$bin:/usr/bin:/bin" TMPDIR="$scratch" "$shell" "$script" --now "$now" "$works" \
		>"$scratch/out" 2>"$scratch/err" </dev/null
	status=$?
}

said() { grep -q -- "$1" "$scratch/out"; }
unsaid() { ! grep -q -- "$1" "$scratch/out"; }
ended() { [ "$status" = "$1" ] && [ ! -s "$scratch/err" ]; }
# Nothing lies about: no lock, no half-written findings, no temporary folder.
tidy() { [ ! -e "$works/.nightly.lock" ] && [ -z "$(find "$works" -name '*.new' -o -name '.nightly*')" ] &&
	[ -z "$(find "$scratch"/* -prune -name 'tmp.*')" ]; }
# kept DAY: the findings of that day are whole.
kept() { [ -s "$works/findings/$1.csv" ] && [ -z "$(tail -c 1 "$works/findings/$1.csv" | tr -d '\n')" ]; }
show() { sed 's/^/# /' "$scratch/out" "$scratch/err"; }

normal_night() {
	make_works; night
	check 'normal night' ended 0; check 'normal night: the alarm is told' said 'NM.*oil temperature'
	check 'normal night: all mills have data' said 'MM.* data to Mon 3 Feb 23:50'
	check 'normal night: findings are kept under the works day' kept 2025-02-03
	check 'normal night: no trouble with sources' unsaid 'export'
	check 'normal night: tidy' tidy
	check 'normal night: the cautions end it' said 'BEFORE ANY WORK'
	check 'normal night: at most 78 columns' test -z "$(awk 'length($0) > 78' "$scratch/out")"
	cp "$scratch/out" "$scratch/first"; cp "$works/findings/2025-02-03.csv" "$scratch/first.csv"
	check 'normal night: every reading is archived' test "$(zcat "$works/archive/2025/02.csv.gz" | sed 1d | wc -l)" = 3456
	cp "$works/archive/2025/02.csv.gz" "$scratch/month.gz"
	night
	check 'run twice' ended 0
	check 'run twice: equal archive' cmp -s "$scratch/month.gz" "$works/archive/2025/02.csv.gz"
	check 'run twice: equal findings' cmp -s "$scratch/first.csv" "$works/findings/2025-02-03.csv"
	check 'run twice: equal mail' cmp -s "$scratch/first" "$scratch/out"
	env -i LEAT_NOW="$now" LEAT_WORKS="$works" PATH="$bin:/usr/bin:/bin" "$shell" "$script" >"$scratch/out" 2>&1 </dev/null
	check 'settings from the environment' cmp -s "$scratch/first" "$scratch/out"
	(cd "$scratch" && env -i PATH="$bin:/usr/bin:/bin" "$shell" "$script" --now="$now" works >"$scratch/out" 2>&1 </dev/null)
	check 'works by a relative path' cmp -s "$scratch/first" "$scratch/out"
}

# The next night, on which nothing is wrong: the mail says that the heat is over, and the night after says nothing.
quiet_night() {
	make_works; night; now=2025-02-05T04:30:00Z
	deliver 2025-02-04
	night
	check 'next night' ended 0; check 'next night: findings of both' test "$(find "$works/findings" -name '*.csv' | wc -l)" = 2
	check 'next night: nothing new' unsaid '^NEW'
	cp -R "$works/findings" "$scratch/before"
	now=2025-02-06T04:30:00Z
	deliver 2025-02-05
	night
	check 'quiet night' ended 0; check 'quiet night: no mail' test ! -s "$scratch/out"
	check 'quiet night: earlier findings untouched' cmp -s "$scratch/before/2025-02-03.csv" "$works/findings/2025-02-03.csv"
	[ ! -s "$scratch/out" ] || show
	echo 'weekly thu' >>"$works/nightly.conf"; night
	check 'weekly sign of life' said 'in order'
	now=2025-02-04T04:30:00Z
}

# The exports end at midnight, the job runs in the morning: what comes and goes in the hours between is told the night after.
early_hours() {
	make_works; night
	deliver 2025-02-04
	export_NM 2025-02-04 | awk -F';' 'BEGIN { OFS = ";" } $1 ~ / 0[01]:/ { $3 = "66,1" } { print }' >"$works/incoming/NM/NM 2025-02-04.csv"
	arrived 2025-02-04; now=2025-02-05T04:30:00Z; night
	check 'early hours' ended 0; check 'early hours: told' said 'NM ALARM: oil temperature 66.[0-9] degC.* from'
	now=2025-02-06T04:30:00Z; deliver 2025-02-05; night
	check 'early hours: told once' unsaid 'oil temperature'
	now=2025-02-04T04:30:00Z
}

# One source is gone, stale, or broken: it becomes a finding, and the other mills go on.
bad_sources() {
	make_works; rm "$works"/incoming/MM/*; night
	check 'no export at all' ended 0; check 'no export at all: told' said 'MM cannot tell: no export matches'
	check 'no export at all: no data' said 'MM no data'; check 'no export at all: others go on' said 'NM.*oil temperature'
	check 'no export at all: in the findings' grep -q ',MM,-,source-missing,unknown,' "$works/findings/2025-02-03.csv"

	make_works; rm "$works/incoming/MM/MM 2025-02-03.csv"; night
	check 'night without an export' ended 0; check 'night without an export: told' said 'MM cannot tell: no export for tonight'
	check 'night without an export: since when' said 'MM data to Sun 2 Feb 23:50'
	check 'night without an export: others go on' said 'NM.*oil temperature'

	make_works; echo 'this is no export' >"$works/incoming/SM/SM 2025-02-03, \"b\".csv"; arrived 2025-02-03; night
	check 'broken export' ended 0; check 'broken export: told' said 'SM cannot tell: 1 of 3 exports cannot be read'
	check 'broken export: good ones are used' said 'SM data to Mon 3 Feb 23:50'
	check 'broken export: others go on' said 'NM.*oil temperature'
	check 'broken export: findings can be read' leat-report --now "$now" "$works/findings/2025-02-03.csv" >/dev/null

	make_works; for f in "$works"/incoming/NM/*; do echo 'this is no export' >"$f"; done; arrived 2025-02-03; night
	check 'broken source' ended 0; check 'broken source: told' said 'NM cannot tell: no export can be read'
	check 'broken source: others go on' said 'SM data to Mon 3 Feb 23:50'

	make_works; f="$works/incoming/NM/NM 2025-02-03.csv"; head -c 2000 "$f" >"$scratch/cut"; cp "$scratch/cut" "$f"; arrived 2025-02-03; night
	check 'half-written export' ended 0; check 'half-written export: told' said 'ends in the middle of a line'
	check 'half-written export: others go on' said 'MM.* data to Mon 3 Feb 23:50'

	make_works; gzip "$works"/incoming/NM/*; f="$works/incoming/NM/NM 2025-02-03.csv.gz"; night
	check 'gzip exports' ended 0; check 'gzip exports: read' said 'NM.*oil temperature'; check 'gzip exports: whole' unsaid 'export'
	head -c 300 "$f" >"$scratch/cut"; cp "$scratch/cut" "$f"; arrived 2025-02-03; night
	check 'cut gzip export' ended 0; check 'cut gzip export: told' said 'NM cannot tell: 1 of 2 exports cannot be read'

	make_works; rm -rf "$works"/incoming/*/*; night
	check 'no export of any source' ended 0; check 'no export of any source: told' said 'SM cannot tell: no export matches'
}

# A source comes back: the mail says so, because an ok row does.
source_returns() {
	make_works; mv "$works/incoming/MM/MM 2025-02-03.csv" "$scratch/kept.csv"; night
	now=2025-02-05T04:30:00Z
	mv "$scratch/kept.csv" "$works/incoming/MM/MM 2025-02-03.csv"
	deliver 2025-02-04
	night
	check 'source returns' ended 0; check 'source returns: told' said 'the export of tonight is there'
	now=2025-02-04T04:30:00Z
}

growing_export() {
	make_works; echo 'settle 1' >"$works/nightly.conf"
	rm "$works"/incoming/*/*02-02.csv; find "$works/incoming" -type f -exec touch {} +
	f="$works/incoming/SM/SM 2025-02-03.csv"
	# Grows for longer than the job waits.
	( s=10; while [ $s -lt 60 ]; do
		echo "2025-02-03 23:55:$s,131.1,46.1,1,1" >>"$f"; s=$((s + 1)); sleep 0.4 2>/dev/null || sleep 1; done ) & writer=$!
	night; kill "$writer" 2>/dev/null; wait "$writer" 2>/dev/null
	check 'growing export' ended 0; check 'growing export: told' said 'still being written'
}

lock() {
	make_works; night; cp "$works/findings/2025-02-03.csv" "$scratch/first.csv"
	mkdir "$works/.nightly.lock"; echo "$$ $(uname -n)" >"$works/.nightly.lock/run"; cp -R "$works" "$scratch/held"
	night
	check 'lock held' ended 2; check 'lock held: told' said 'Another run is still going'
	check 'lock held: nothing changed' diff -r "$works" "$scratch/held"
	echo "another-machine" >"$works/.nightly.lock/run"; night
	check 'lock of unknown holder' ended 2
	sleep 0 & dead=$!; wait $dead
	echo "$dead $(uname -n)" >"$works/.nightly.lock/run"; night
	check 'lock of a dead run' ended 0; check 'lock of a dead run: taken over' tidy
	check 'lock of a dead run: logged' grep -q 'taken over' "$works/nightly.log"
	# Two at once: one judges, the other says so or comes after it.
	echo 'settle 1' >"$works/nightly.conf"
	env -i PATH="$bin:/usr/bin:/bin" "$shell" "$script" --now "$now" "$works" >"$scratch/other" 2>&1 </dev/null & other=$!
	sleep 0.5 2>/dev/null || sleep 1; night; wait $other; a=$?
	check 'two at once' test "$a $status" = '0 2'
	check 'two at once: equal findings' cmp -s "$scratch/first.csv" "$works/findings/2025-02-03.csv"
	check 'two at once: tidy' tidy
}

# Tables and folders that are broken: a mail, status 2, and the findings of before as they were.
broken_works() {
	make_works; night; cp "$works/findings/2025-02-03.csv" "$scratch/first.csv"
	echo 'asset,point,high_alrm' >"$works/limits.csv"; night
	check 'broken table' ended 2; check 'broken table: told' said 'limits.csv:1'
	check 'broken table: findings as they were' cmp -s "$scratch/first.csv" "$works/findings/2025-02-03.csv"
	check 'broken table: tidy' tidy
	make_works; echo 'asset,property,value' >"$works/nameplate.csv"; echo ',zone,Nowhere/Land' >>"$works/nameplate.csv"; night
	check 'broken nameplate' ended 2; check 'broken nameplate: told' said 'nameplate.csv:2'
	make_works; echo 'tag,asset' >"$works/points.csv"; night
	check 'broken points' ended 2; check 'broken points: told' said 'points.csv:1'
	for line in 'setle 0' 'days many' 'weekly someday' 'history long' 'source NM' 'late NM soon'; do
		make_works; echo "$line" >>"$works/nightly.conf"; night
		check "bad setting '$line'" ended 2; check "bad setting '$line': told" said 'nightly.conf'
	done
	make_works; rm -rf "$works/incoming"; night
	check 'no source' ended 2; check 'no source: told' said 'no source of exports'
	make_works; : >"$works/findings"; night
	check 'findings is no folder' ended 2; check 'findings is no folder: told' said 'findings'
	rm -rf "$works"; night
	check 'no works' ended 2; check 'no works: told' said 'no works folder'
	: >"$works"; night
	check 'works is a file' ended 2; check 'works is a file: told' said 'no works folder'
	rm -f "$works"
	if [ "$(id -u)" = 0 ]; then skip 'unreadable works: root reads everything'
	else
		make_works; chmod 0 "$works"; night
		check 'unreadable works' ended 2; check 'unreadable works: told' said 'no works folder'
		chmod 700 "$works"; chmod 500 "$works"; night
		check 'works not writable' ended 2; check 'works not writable: told' said 'cannot be written'
		chmod 700 "$works"
	fi
	make_works; now=yesterday; night; now=2025-02-04T04:30:00Z
	check 'bad time' ended 2; check 'bad time: told' said 'yesterday'
	env -i PATH=/usr/bin:/bin "$shell" "$script" --now "$now" "$works" >"$scratch/out" 2>"$scratch/err"; status=$?
	if [ -n "$(PATH=/usr/bin:/bin:/usr/local/bin command -v leat-check)" ]; then skip 'commands not found: they are installed'
	else check 'commands not found' ended 2; check 'commands not found: told' said 'leat-normalise is not found'; fi
	echo "bin $bin" >>"$works/nightly.conf"
	env -i PATH=/usr/bin:/bin "$shell" "$script" --now "$now" "$works" >"$scratch/out" 2>"$scratch/err"; status=$?
	check 'commands by their folder' ended 0
}

full_disk() {
	make_works; night; cp "$works/findings/2025-02-03.csv" "$scratch/first.csv"
	# A limit on the size of files makes every larger write fail, as a full disk does.
	(trap '' XFSZ 2>/dev/null; ulimit -f 8 2>/dev/null || exit 99
	env -i PATH="$bin:/usr/bin:/bin" TMPDIR="$scratch" "$shell" "$script" --now "$now" "$works" 2>"$scratch/err" </dev/null) |
		cat >"$scratch/out"
	check 'writes fail' said 'could not be judged'
	check 'writes fail: findings as they were' cmp -s "$scratch/first.csv" "$works/findings/2025-02-03.csv"
	check 'writes fail: tidy' tidy
	mkdir -p "$scratch/disk"
	if [ "$(id -u)" != 0 ] || ! mount -t tmpfs -o size=64k none "$scratch/disk" 2>/dev/null; then
		skip 'full disk: a small disk cannot be mounted here'
		return
	fi
	env -i PATH="$bin:/usr/bin:/bin" TMPDIR="$scratch/disk" "$shell" "$script" --now "$now" "$works" \
		>"$scratch/out" 2>"$scratch/err" </dev/null; status=$?
	check 'full disk for temporary files' ended 2
	check 'full disk for temporary files: told' said 'No space left\|is full'
	check 'full disk for temporary files: findings as they were' cmp -s "$scratch/first.csv" "$works/findings/2025-02-03.csv"
	umount "$scratch/disk"; mount -t tmpfs -o size=512k none "$scratch/disk"
	rm -rf "$works/findings"; cp -R "$works" "$scratch/disk/w"; mkdir "$scratch/disk/w/findings"
	cp "$scratch/first.csv" "$scratch/disk/w/findings/2025-02-03.csv"
	dd if=/dev/zero of="$scratch/disk/ballast" bs=1k count=512 2>/dev/null
	env -i PATH="$bin:/usr/bin:/bin" TMPDIR="$scratch" "$shell" "$script" --now "$now" "$scratch/disk/w" \
		>"$scratch/out" 2>"$scratch/err" </dev/null; status=$?
	check 'full disk for findings' ended 2
	check 'full disk for findings: told' said 'No space left\|is full'
	check 'full disk for findings: as they were' cmp -s "$scratch/first.csv" "$scratch/disk/w/findings/2025-02-03.csv"
	rm "$scratch/disk/ballast"
	env -i PATH="$bin:/usr/bin:/bin" TMPDIR="$scratch" "$shell" "$script" --now "$now" "$scratch/disk/w" \
		>"$scratch/out" 2>"$scratch/err" </dev/null; status=$?
	check 'disk with room again' ended 0
	umount "$scratch/disk"
}

nobody_reads() {
	make_works
	env -i PATH="$bin:/usr/bin:/bin" TMPDIR="$scratch" "$shell" "$script" --now "$now" "$works" >&- 2>"$scratch/err" </dev/null
	check 'stdout closed: status' test $? = 2; check 'stdout closed: findings are kept' kept 2025-02-03; check 'stdout closed: tidy' tidy
	if [ -w /dev/full ]; then
		make_works
		env -i PATH="$bin:/usr/bin:/bin" TMPDIR="$scratch" "$shell" "$script" --now "$now" "$works" >/dev/full 2>"$scratch/err" </dev/null
		check 'mail cannot be written: status' test $? = 2; check 'mail cannot be written: findings are kept' kept 2025-02-03
	else skip 'mail cannot be written: no /dev/full'; fi
	# Stopped in the middle: a mail, and nothing left behind.
	make_works; echo 'settle 3' >"$works/nightly.conf"
	env -i PATH="$bin:/usr/bin:/bin" TMPDIR="$scratch" "$shell" "$script" --now "$now" "$works" >"$scratch/out" 2>"$scratch/err" </dev/null & run=$!
	sleep 1; kill "$run"; wait "$run"; status=$?
	check 'stopped by a signal' test $status = 2; check 'stopped by a signal: told' said 'stopped by a signal'; check 'stopped by a signal: tidy' tidy
}

names_with_blanks() {
	make_works; mv "$works" "$scratch/the works"; saved=$works; works="$scratch/the works"
	mv "$works/incoming/SM" "$works/incoming/S M [1]"; echo "bin $bin" >>"$works/nightly.conf"
	night
	check 'blanks in every name' ended 0; check 'blanks in every name: all data' said 'SM data to Mon 3 Feb 23:50'
	cat >>"$works/nightly.conf" <<-'END'
	# Patterns may hold blanks; a source may have several folders.
	source NM incoming/NM/NM *.csv
	source MM incoming/MM/*
	source SM incoming/S M [[]1]/*.csv
	END
	cp "$scratch/out" "$scratch/first"; night
	check 'sources by pattern' ended 0; check 'sources by pattern: equal mail' cmp -s "$scratch/out" "$scratch/first"
	echo 'source NM incoming/NM/*' >>"$works/nightly.conf"; night
	check 'source twice' ended 2; check 'source twice: told' said 'comes twice'
	rm -rf "$works"; works=$saved
}

# The log is bounded, and a rerun of an old night does without what came later.
log_and_rerun() {
	make_works; head -c 1200000 /dev/zero | tr '\0' x >"$works/nightly.log"; echo broken >"$works/incoming/NM/zz.csv"; arrived 2025-02-03; night
	check 'log is rotated' test -s "$works/nightly.log.1" -a "$(wc -c <"$works/nightly.log")" -lt 1100000
	make_works; night; cp "$works/findings/2025-02-03.csv" "$scratch/first.csv"; cp "$scratch/out" "$scratch/first"
	deliver 2025-02-05 hot
	now=2025-02-06T04:30:00Z; night; now=2025-02-04T04:30:00Z
	check 'rerun of an old night: later readings are archived' test "$(zcat "$works/archive/2025/02.csv.gz" | sed 1d | wc -l)" = 5184
	night
	check 'rerun of an old night' ended 0
	check 'rerun of an old night: equal findings' cmp -s "$scratch/first.csv" "$works/findings/2025-02-03.csv"
	check 'rerun of an old night: equal mail' cmp -s "$scratch/first" "$scratch/out"
}

# judged_all_the_same NAME: the night was judged, with the alarm that there is.
judged_all_the_same() {
	check "$1" ended 0; check "$1: judged all the same" said 'NM.*oil temperature 66'
	check "$1: all data" said 'SM.* data to Mon 3 Feb 23:50'; check "$1: tidy" tidy
}

# The archive remembers what is no longer among the exports, and takes what comes late.
archive_remembers() {
	make_works; cp -R "$works/incoming" "$scratch/all"; night; cp "$works/archive/2025/02.csv.gz" "$scratch/month.gz"
	rm -f "$works"/incoming/*/*02-02.csv "$works"/incoming/NM/*; deliver 2025-02-04
	now=2025-02-05T04:30:00Z; night
	check 'exports gone' ended 0
	check 'exports gone: the archive still says' said 'oil temperature 66'
	rm -rf "$works/archive" "$works/findings" "$works/incoming"; cp -R "$scratch/all" "$works/incoming"; rm -rf "$scratch/all"
	mv "$works/incoming/MM/MM 2025-02-02.csv" "$scratch/late.csv"; now=2025-02-04T04:30:00Z; night
	check 'before the late export' test "$(zcat "$works/archive/2025/02.csv.gz" | sed 1d | wc -l)" = 2880
	mv "$scratch/late.csv" "$works/incoming/MM/MM 2025-02-02.csv"; arrived 2025-02-03; night
	check 'late export: as if it had come in time' cmp -s "$scratch/month.gz" "$works/archive/2025/02.csv.gz"
	check 'late export: mail' ended 0
}

# An export that comes again with other values: the archive stays, and the mail says what differs.
conflicts() {
	make_works; night; cp "$works/archive/2025/02.csv.gz" "$scratch/month.gz"
	f="$works/incoming/SM/SM 2025-02-03.csv"; sed '1!s/,46[.]/,47./' "$f" >"$scratch/again"; cp "$scratch/again" "$f"; arrived 2025-02-03
	night
	judged_all_the_same 'export differs from the archive'
	check 'export differs from the archive: told' said 'SM cannot tell: oil temperature: readings not archived'
	check 'export differs from the archive: found' grep -q 'SM,oil-temperature,archive-conflict,unknown,144,' "$works/findings/2025-02-03.csv"
	check 'export differs from the archive: it stays' cmp -s "$scratch/month.gz" "$works/archive/2025/02.csv.gz"
}

# A laboratory sheet that is issued again weeks later, under a name that sorts before the first: it takes the place of what the
# first sheet said, the findings of that night keep the old value, and the night after has no more to say of it.
issued_again() {
	make_works; mkdir "$works/incoming/lab"
	printf 'source,files,prefer\nlab,*sheet*.csv,last\n' >"$works/sources.csv"
	printf 'late lab 02000\ndays lab 090\n' >>"$works/nightly.conf"
	echo 'MM.WAT,MM/sample-return,water-content,mg/kg' >>"$works/points.csv"
	printf 'tag,time,value,unit\nMM.WAT,2025-02-03 09:00:00,600,mg/kg\n' >"$works/incoming/lab/sheet.csv"; arrived 2025-02-03; night
	check 'sheet: archived' test "$(zcat "$works/archive/2025/02.csv.gz" | grep -c 'water-content,600,')" = 1
	printf 'tag,time,value,unit\nMM.WAT,2025-02-03 09:00:00,130,mg/kg\n' >"$works/incoming/lab/a new sheet.csv"
	deliver 2025-03-19; now=2025-03-20T04:30:00Z; night
	check 'sheet issued again: the night' ended 0
	check 'sheet issued again: archived' test "$(zcat "$works/archive/2025/02.csv.gz" | grep -c 'water-content,130,')" = 1
	check 'sheet issued again: the old value is gone' test "$(zcat "$works/archive/2025/02.csv.gz" | grep -c 'water-content,600,')" = 0
	check 'sheet issued again: found' grep -q 'MM/sample-return,water-content,archive-replaced,alert,130,.*archived 600 of' \
		"$works/findings/2025-03-19.csv"
	check 'sheet issued again: told' said 'archived 600'
	cp "$works/archive/2025/02.csv.gz" "$scratch/month.gz"; deliver 2025-03-20; now=2025-03-21T04:30:00Z; night
	check 'sheet issued again: no more the night after' unsaid 'archived 600'
	check 'sheet issued again: nothing in conflict' unsaid 'not archived'
	check 'sheet issued again: the month stays' cmp -s "$scratch/month.gz" "$works/archive/2025/02.csv.gz"
	now=2025-02-04T04:30:00Z
}

# Archives that cannot be written or read: what there is is judged, and they stay as they are.
bad_archives() {
	make_works; night; month=$works/archive/2025/02.csv.gz; cp "$month" "$scratch/month.gz"
	head -c 3000 "$scratch/month.gz" >"$month"; cp "$month" "$scratch/cut.gz"; night
	judged_all_the_same 'month cut short'; check 'month cut short: told' said 'archive/2025/02.csv.gz cannot be'
	check 'month cut short: not archived, told' said 'judged but not'
	check 'month cut short: it stays' cmp -s "$month" "$scratch/cut.gz"
	leat-archive -q -w "$works" --repair 2>/dev/null; rm -f "$works"/archive/2025/*.damaged; night
	check 'month repaired' ended 0; check 'month repaired: all is archived' cmp -s "$month" "$scratch/month.gz"

	mkdir "$works/archive/2024"; echo 'no gzip' >"$works/archive/2024/12.csv.gz"; night
	judged_all_the_same 'old month damaged'; check 'old month damaged: told' said 'archive/2024/12.csv.gz cannot be'
	check 'old month damaged: found' grep -q 'archive,-,archive-damaged,unknown' "$works/findings/2025-02-03.csv"
	check 'old month damaged: tonight is archived' grep -q 'archive,-,archive-failed,ok' "$works/findings/2025-02-03.csv"
	check 'old month damaged: it stays' grep -q 'no gzip' "$works/archive/2024/12.csv.gz"
	rm -r "$works/archive/2024"

	mkfifo "$scratch/holder"; leat-archive -q -w "$works" --now data "$scratch/holder" 2>/dev/null & holder=$!
	exec 9>"$scratch/holder"; night
	judged_all_the_same 'archive locked'; check 'archive locked: told' said 'judged but not'
	echo 'time,asset,point,value,unit,quality' >&9; exec 9>&-; wait $holder; rm "$scratch/holder"

	rm -rf "$works/archive"; : >"$works/archive"; night
	judged_all_the_same 'archive is no folder'; check 'archive is no folder: told' said 'judged but not'
	rm "$works/archive"; mkdir -p "$scratch/small"
	if [ "$(id -u)" != 0 ] || ! mount -t tmpfs -o size=8k none "$scratch/small" 2>/dev/null; then
		skip 'disk of the archive full: a small disk cannot be mounted here'
	else
		ln -s "$scratch/small" "$works/archive"; night
		judged_all_the_same 'disk of the archive full'; check 'disk of the archive full: told' said 'no space left'
		check 'disk of the archive full: nothing half-written' test -z "$(find "$scratch/small" -name '*.new')"
		umount "$scratch/small"
	fi
}

# Killed at any moment, the next run makes everything as it would have been.  The pipe ends when all that the killed run had
# started has gone too.
killed() {
	mkfifo "$scratch/alive"
	make_works; night; cp "$works/findings/2025-02-03.csv" "$scratch/first.csv"; cp "$works/archive/2025/02.csv.gz" "$scratch/month.gz"
	for moment in 0.05 0.1 0.15 0.2 0.3; do
		make_works
		cat "$scratch/alive" & gone=$!
		env -i PATH="$bin:/usr/bin:/bin" TMPDIR="$scratch" "$shell" "$script" --now "$now" "$works" >/dev/null 2>&1 </dev/null \
			9>"$scratch/alive" & run=$!
		sleep $moment; kill -9 "$run" 2>/dev/null; wait "$run" 2>/dev/null; wait "$gone"; rm -rf "$scratch"/tmp.*
		night
		check "killed after $moment s" ended 0
		check "killed after $moment s: equal findings" cmp -s "$scratch/first.csv" "$works/findings/2025-02-03.csv"
		check "killed after $moment s: equal archive" cmp -s "$scratch/month.gz" "$works/archive/2025/02.csv.gz"
	done
}

# Measurements from the logbook are judged with the readings.
logbook() {
	make_works; echo 'time,asset,event,task,point,found,left,unit,item,who,note' >"$works/logbook.csv"
	echo '2025-02-03 10:00,NM/sample,sampling,,water-content,612,,mg/kg,,ab,' >>"$works/logbook.csv"; night
	check 'logbook' ended 0; check 'logbook: judged' said 'NM/sample ALARM: .*612'
	check 'logbook: not archived' test "$(zcat "$works/archive/2025/02.csv.gz" | sed 1d | wc -l)" = 3456
	echo 'tomorrow,NM/sample,sampling,,water-content,612,,mg/kg,,ab,' >>"$works/logbook.csv"; night
	check 'line of the logbook broken' ended 0; check 'line of the logbook broken: told' said 'not every entry of the'
	check 'line of the logbook broken: the others are used' said 'NM/sample ALARM: .*612'
	# Of a works that has little more than what is typed: most of it mistyped.
	make_works; rm -r "$works"/incoming/?M; mkdir "$works/incoming/NM"; echo 'NM,bore,320,mm' >>"$works/nameplate.csv"
	printf 'tag,time,value,unit\nNM.TTK,2025-02-03 09:00:00,52,degC\n' >"$works/incoming/NM/sheet.csv"; arrived 2025-02-03
	echo 'time,asset,event,task,point,found,left,unit,item,who,note' >"$works/logbook.csv"
	printf '2025-02-03 10:00,NM/cyl-1/plane-%s/x,bore-gauging,,bore-diameter,32.01,,mm,,ab,\n' 1 2 3 >>"$works/logbook.csv"; night
	check 'bores mistyped: the night is judged' ended 0
}

# Several judges read one stream; their findings become one file, and none fails unnoticed.
several_judges() {
	make_works; mkdir -p "$scratch/judges"; judge=$scratch/judges/leat-other
	cat >"$judge" <<-'END'
	#!/bin/sh
	echo "time,asset,point,rule,status,value,unit,limit,since,until,due,shelved,message,rate"
	echo "2025-02-04T04:00:00Z,SM,pressure,rows,alert,$(grep -c pressure),,,,,,,\"rows, counted; do nothing\",0.5"
	END
	chmod +x "$judge"; sed "s/^judges=.*/judges='leat-other leat-check leat-third'/;s/^filters=.*/filters=leat-state/" "$script" >"$scratch/several.sh"
	printf '#!/bin/sh\necho "time,asset,point,rule,status,value,unit,limit,since,until,due,shelved,message,worth"\n' >"$scratch/judges/leat-third"
	chmod +x "$scratch/judges/leat-third"; echo "bin $scratch/judges" >>"$works/nightly.conf"; saved=$script; script=$scratch/several.sh
	night
	check 'several judges' ended 0; check 'several judges: one of them' said 'NM.*oil temperature 66'
	check 'several judges: columns of all' grep -q '^time,.*,message,rate,worth,explains,' "$works/findings/2025-02-03.csv"
	check 'several judges: another' grep -q 'rows,alert,864,,,,,,,"rows, counted; do nothing",0.5,,*$' "$works/findings/2025-02-03.csv"
	check 'several judges: rows filled up' test -z "$(grep -v '^time\|rows, counted\|,lost-production,' "$works/findings/2025-02-03.csv" | grep -v ',,$')"
	cp "$works/findings/2025-02-03.csv" "$scratch/first.csv"
	printf '#!/bin/sh\necho "leat-third: it is broken" >&2\nexit 2\n' >"$scratch/judges/leat-third"; night
	check 'a judge fails' ended 2; check 'a judge fails: told' said 'leat-third: it is broken'
	check 'a judge fails: findings as they were' cmp -s "$scratch/first.csv" "$works/findings/2025-02-03.csv"
	printf '#!/bin/sh\nkill -9 $$\n' >"$scratch/judges/leat-third"; night
	check 'a judge is killed' ended 2; check 'a judge is killed: told' said 'leat-third failed'
	check 'a judge is killed: tidy' tidy
	script=$saved
}

# The cautions of the report are those of the one page that holds them.
cautions() {
	make_works; night
	awk '/report:end/ { f = 0 } f && !/^```/ { print } /report:begin/ { f = 1 }' docs/cautions.md >"$scratch/page"
	sed -n '/^BEFORE ANY WORK$/,$p' "$scratch/out" >"$scratch/told"
	check 'cautions are those of cautions.md' test -s "$scratch/page"
	check 'cautions are those of cautions.md, word for word' cmp "$scratch/page" "$scratch/told"
}

trap 'umount "$scratch/disk" "$scratch/small" 2>/dev/null; rm -rf "$scratch"' EXIT
normal_night
quiet_night
early_hours
bad_sources
source_returns
growing_export
lock
broken_works
full_disk
nobody_reads
names_with_blanks
log_and_rerun
archive_remembers
conflicts
issued_again
bad_archives
killed
logbook
several_judges
cautions
exit $bad
