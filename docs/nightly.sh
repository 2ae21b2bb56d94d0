#!/bin/sh
# nightly.sh [--now TIME] [WORKS]: one night of one works, from exports to the mail.
#
# Reads the exports of the last days, adds them to WORKS/archive, judges a year and more of the archive, keeps the findings
# as WORKS/findings/YYYY-MM-DD.csv and prints what a person should know; cron mails what is printed.  It prints nothing when
# there is nothing to say, and always prints when something went wrong.  nightly.md says how to set it up and what each mail
# means.
#
# Exit status: 0 the night was judged; 2 it was not, or not to the end: the reason is printed.

# Settings.  Each can stand in WORKS/nightly.conf instead, as a line "name value".
bin=			# folder of the leat commands, where they are not on the PATH
days=35			# exports that were last changed within so many days are read
history=P400D		# how much of the archive is judged, back from now
late=20			# hours without a reading after which a source's export counts as missing
lines=10		# lines of each section that the report shows
settle=5		# seconds after which the exports are looked at again: one that grows is being written; 0: never
weekly=mon		# weekday on which a report always comes, with the alerts that stand; or never
mail=			# address to which the report goes as a mail, with pictures and attachments; none: it is printed
mail_from=		# address that it comes from; none: this user at this machine
sendmail='/usr/sbin/sendmail -t -i'	# command that takes a mail with its addresses
sendmail_wait=10	# minutes that it may take; 0: as long as it likes
# There too: a line "source NAME PATTERN" for each source, "late NAME HOURS" for one that comes less often, and "days NAME
# DAYS" for one whose exports are read for longer, such as sheets that may be issued again.

# The line.  Each filter adds readings to what the one before prints; the judges all read what the last filter prints, at
# once, and what they find becomes one file.  Each is called with -w WORKS --now TIME, the judges with --all too.
# leat-pair comes last, where the works has a table pairs.csv of what to set beside each other.  Three follow the judges and
# go by what they found: leat-due, where there is tasks.csv, leat-diagnose and leat-loss.
filters='leat-state leat-hours leat-drain leat-leakage leat-element leat-attain leat-precharge leat-cooler leat-cleanliness leat-oil leat-bore'
judges='leat-check leat-trend leat-verdict leat-confirm'

set -u
unset CDPATH
LC_ALL=C
export LC_ALL
umask 022
works=${LEAT_WORKS:-}
now=${LEAT_NOW:-}
log_limit=1048576
tmp=
locked=
tab=$(printf '\t')

usage() {
	echo "usage: nightly.sh [--now TIME] [WORKS]"
	echo "WORKS is the works folder (LEAT_WORKS); TIME such as 2025-12-20T05:30:00Z (LEAT_NOW, or else the clock)."
}

# free_space FOLDER: says so when the disk under it is all but full.
free_space() {
	df -Pk "$1" 2>/dev/null | awk -v dir="$1" '
		NR == 2 && $4 ~ /^[0-9]+$/ && $4 < 1024 { print "The disk under " dir " is full: " $4 " KiB are left." }'
}

# first_line FILE: what a stage said first, without its own name.  A semicolon would read as advice.
first_line() {
	reason=$(sed -n '/./{s/^leat-[a-z]*: //;p;q;}' "$1" 2>/dev/null | tr ';' ',')
	# Where a temporary file is named, the line is of no use to anybody.
	case $reason in "$tmp"/*) reason=${reason#*: } ;; esac
	reason=${reason#"$works/"}
	printf '%s\n' "${reason:-no reason was given}"
}

# die TEXT [FILE]: the mail of a night that could not be judged, with what a stage said on stderr.
die() {
	echo "The night of ${works:-the works} could not be judged (started $now)."
	echo "$1"
	[ -z "${2-}" ] || sed -n '1,10s/^/  /p' "$2" 2>/dev/null
	[ ! -s "$tmp/trouble" ] || cat "$tmp/trouble"
	[ -z "$tmp" ] || free_space "$tmp"
	[ -z "$works" ] || free_space "$works"
	echo "The findings of earlier nights are as they were."
	exit 2
}

# Adds what the stages said to the log, which never grows past twice its limit.
# shellcheck disable=SC2317 # reached through the trap
write_log() {
	[ -s "$tmp/log" ] || return 0
	if [ -f nightly.log ] && [ "$(wc -c <nightly.log)" -gt "$log_limit" ]; then mv -f nightly.log nightly.log.1 || return 1; fi
	{ echo "== $now" && dd if="$tmp/log" bs="$log_limit" count=1 2>/dev/null; } >>nightly.log
}

# shellcheck disable=SC2317 # reached through the trap
clean_up() {
	status=$?
	trap - EXIT HUP INT TERM
	if [ -n "$locked" ]; then
		write_log 2>/dev/null || { echo "$works/nightly.log cannot be written."; status=2; }
		rm -rf .nightly.lock
	fi
	[ -z "$tmp" ] || rm -rf "$tmp"
	exit "$status"
}

# shift_time TIME SECONDS: an RFC 3339 time moved on, in UTC and whole seconds; fails when TIME is none.
shift_time() {
	printf '%s\n' "$1" | awk -v by="$2" '
	function days(y, m, d) {
		if (m < 3) { y--; m += 12 }
		return 365 * y + int(y / 4) - int(y / 100) + int(y / 400) + int((153 * (m - 3) + 2) / 5) + d - 1
	}
	!/^[0-9][0-9][0-9][0-9]-[01][0-9]-[0-3][0-9]T[0-2][0-9]:[0-5][0-9]:[0-5][0-9]([.][0-9]+)?(Z|[+-][0-2][0-9]:[0-5][0-9])$/ {
		exit 1
	}
	{
		t = days(substr($0, 1, 4) + 0, substr($0, 6, 2) + 0, substr($0, 9, 2) + 0) * 86400
		t += substr($0, 12, 2) * 3600 + substr($0, 15, 2) * 60 + substr($0, 18, 2) + by
		if ($0 !~ /Z$/) {
			z = substr($0, length($0) - 5)
			t -= (substr(z, 1, 1) == "-" ? -1 : 1) * (substr(z, 2, 2) * 3600 + substr(z, 5, 2) * 60)
		}
		d = int(t / 86400)
		s = t - d * 86400
		# Years that begin in March, so that the leap day is the last.
		for (y = int(d / 365.2425) - 1; days(y + 1, 3, 1) <= d; y++);
		for (m = 14; days(m > 12 ? y + 1 : y, m > 12 ? m - 12 : m, 1) > d; m--);
		if (m > 12) { y++; m -= 12 }
		printf "%04d-%02d-%02dT%02d:%02d:%02dZ\n", y, m, d - days(y, m, 1) + 1, int(s / 3600), int(s % 3600 / 60), s % 60
	}'
}

# before A B: is the time A earlier than B?  Both are in UTC.
before() { awk -v a="$1" -v b="$2" 'BEGIN { exit !(a "" < b "") }' </dev/null; }

# hold_lock: says whose the lock folder is that was just made.
hold_lock() {
	locked=yes
	{ echo "$$ $(uname -n)" >.nightly.lock/run; } 2>"$tmp/err" || die "The works folder cannot be written:" "$tmp/err"
}

# One run at a time.  The folder says who has it; what a dead run of this machine left is taken over.
take_lock() {
	if mkdir .nightly.lock 2>"$tmp/err"; then
		hold_lock
		return
	fi
	[ -d .nightly.lock ] || die "The works folder cannot be written:" "$tmp/err"
	pid='' host=''
	[ ! -r .nightly.lock/run ] || read -r pid host <.nightly.lock/run
	if [ -n "$pid" ] && [ "$host" = "$(uname -n)" ] && ! kill -0 "$pid" 2>/dev/null && [ ! -d "/proc/$pid" ]; then
		# Renamed first: of two runs that find the same dead lock one alone gets past.
		if mv .nightly.lock ".nightly.lock.$$" 2>/dev/null && mkdir .nightly.lock 2>/dev/null; then
			rm -rf ".nightly.lock.$$"
			hold_lock
			echo "the lock of a run that died (process $pid) was taken over" >>"$tmp/log"
			return
		fi
	fi
	die "Another run is still going (process ${pid:-not known} on ${host:-a machine not known}); this one has done nothing.
If no such run is going, remove the folder $works/.nightly.lock"
}

bad_setting() { die "$works/nightly.conf: '$1' $2."; }

# set_whole NAME VALUE: a setting that is a whole number.
set_whole() {
	case $2 in '' | *[!0-9]* | ???????*) bad_setting "$1 $2" 'is no whole number' ;; esac
	case $1 in
	days) days=$2 ;;
	late) late=$2 ;;
	lines) lines=$2 ;;
	settle) settle=$2 ;;
	sendmail-wait) sendmail_wait=$2 ;;
	esac
}

# set_one NAME VALUE REST: one line of nightly.conf.
set_one() {
	case $1 in
	'' | '#'*) ;;
	bin) bin="$2${3:+ $3}" ;;
	mail | mail-from)
		[ -n "$2" ] || bad_setting "$1" 'has no address'
		case $1 in mail) mail="$2${3:+ $3}" ;; *) mail_from="$2${3:+ $3}" ;; esac ;;
	sendmail)
		[ -n "$2" ] || bad_setting sendmail 'has no command'
		sendmail="$2${3:+ $3}" ;;
	lines | settle | sendmail-wait) set_whole "$1" "$2" ;;
	days)
		case $3 in
		'') set_whole days "$2" ;;
		*[!0-9]* | ???????*) bad_setting "days $2 $3" 'is no number of days' ;;
		*) echo "$2 $3" >>"$tmp/longer" ;;
		esac ;;
	history)
		case $2 in P[0-9]*[DWMY]) history=$2 ;; *) bad_setting "history $2" 'is no duration such as P400D' ;; esac ;;
	late)
		case $3 in
		'') set_whole late "$2" ;;
		*[!0-9]*) bad_setting "late $2 $3" 'is no number of hours' ;;
		*) echo "$2 $3" >>"$tmp/late" ;;
		esac ;;
	source)
		[ -n "$3" ] || bad_setting "source $2" 'has no pattern of files'
		case $2 in *[,\"\\]*) bad_setting "source $2" 'has a comma, quote or backslash in its name' ;; esac
		printf '%s\t%s\n' "$2" "$3" >>"$tmp/sources" ;;
	weekly)
		case $2 in mon | tue | wed | thu | fri | sat | sun | never) weekly=$2 ;; *) bad_setting "weekly $2" 'is no weekday' ;; esac ;;
	*) bad_setting "$1" 'is no setting' ;;
	esac
}

read_settings() {
	{ : >"$tmp/sources" && : >"$tmp/late" && : >"$tmp/longer" && : >"$tmp/conf"; } || die "The folder for temporary files cannot be written."
	if [ -e nightly.conf ]; then
		{ tr -d '\r' && echo; } <nightly.conf >"$tmp/conf" 2>"$tmp/err" || die "nightly.conf cannot be read:" "$tmp/err"
	fi
	while read -r key value rest; do set_one "$key" "$value" "$rest"; done <"$tmp/conf"
	if [ ! -s "$tmp/sources" ]; then
		for d in incoming/*/; do
			# What would be a pattern in the folder's own name stands for itself.
			[ ! -d "$d" ] || printf '%s\t%s*\n' "$(basename "$d")" "$(printf '%s' "$d" | sed 's/[[*?]/[&]/g')" >>"$tmp/sources"
		done
	fi
	[ -s "$tmp/sources" ] ||
		die "There is no source of exports: make a folder incoming/NAME for each, or give lines 'source NAME PATTERN' in nightly.conf."
	twice=$(cut -f 1 "$tmp/sources" | sort | uniq -d | sed 1q)
	[ -z "$twice" ] || bad_setting "source $twice" 'comes twice; each has a name of its own, such as MM and MM/events'
}

# csv TEXT: one field of well-formed UTF-8 without line breaks, quoted when it must be.
csv() {
	text=$(printf '%s' "$1" | tr '\000-\037\177' '[ *]')
	printf '%s' "$text" | iconv -f UTF-8 -t UTF-8 >/dev/null 2>&1 ||
		text=$(printf '%s' "$text" | tr '\200-\377' '[?*]')
	case $text in
	*[,\"]* | ' '* | *' ') printf '"%s"' "$(printf '%s' "$text" | sed 's/"/""/g')" ;;
	*) printf '%s' "$text" ;;
	esac
}

# finding RULE STATUS SINCE MESSAGE: about the source $name.
finding() {
	since=$3
	if [ -n "$since" ] && before "$now" "$since"; then since=''; fi
	printf '%s,%s,-,%s,%s,,,,%s,,,,%s\n' "$now" "$(csv "$name")" "$1" "$2" "$since" "$(csv "$4")" >>"$tmp/sources.csv" ||
		die "The findings about the sources cannot be kept."
	[ "$2" = ok ] || printf '%s: %s\n' "$name" "$4" >>"$tmp/trouble"
}

# sizes: the size of every export, to see which grow.
sizes() {
	while IFS=$tab read -r name pattern; do
		saved=$IFS; IFS=
		# shellcheck disable=SC2086 # the pattern is to be expanded; under an empty IFS nothing is split
		set -- $pattern
		IFS=$saved
		for f in "$@"; do [ ! -f "$f" ] || printf '%s %s\n' "$(wc -c <"$f")" "$f"; done
	done <"$tmp/sources" 2>/dev/null
}

# mark NAME SECONDS: a file of that age, to compare others with.
mark() {
	TZ=UTC0 touch -t "$(shift_time "$now" "$2" | sed 's/[-T]//g;s/://;s/:/./;s/Z$//')" "$tmp/$1" 2>"$tmp/err" ||
		die "The folder for temporary files cannot be written:" "$tmp/err"
}

# Waits until no export grows any more, within reason; those that still do are listed in $tmp/growing.
wait_for_writers() {
	: >"$tmp/growing"
	[ "$settle" -gt 0 ] || return 0
	sizes | sort >"$tmp/sizes"
	for _ in 1 2 3 4 5 6; do
		sleep "$settle"
		sizes | sort >"$tmp/sizes.now"
		comm -13 "$tmp/sizes" "$tmp/sizes.now" | sed 's/^ *[0-9]* //' >"$tmp/growing"
		[ -s "$tmp/growing" ] || return 0
		mv -f "$tmp/sizes.now" "$tmp/sizes"
	done
}

# normalise FILE...: exports of one source to $out.csv, $out.data and $out.err.  A full disk is no fault of the exports.
normalise() {
	leat-normalise -w "$works" --now "$now" --findings "$out.data" "$@" >"$out.csv" 2>"$out.err" </dev/null && return
	if grep -q 'cannot write' "$out.err" || ! dd if=/dev/zero of="$tmp/probe" bs=16384 count=1 2>/dev/null; then
		die "The folder for temporary files cannot be written:" "$out.err"
	fi
	cat "$out.err" >>"$tmp/log"
	return 1
}

# ends_whole FILE: has its last line an end?  A gzip file tells by itself, and UTF-16 ends in a NUL.
ends_whole() {
	case $(dd if="$1" bs=1 count=2 2>/dev/null | od -An -tx1 | tr -d ' ') in 1f8b) return 0 ;; esac
	case $(tail -c 2 "$1" | od -An -tx1 | tr -d ' ') in *0a | 0a00 | '') return 0 ;; esac
	return 1
}

# The hour before which the last reading of the source $name is late.
late_before() {
	hours=$(awk -v name="$name" -v hours="$late" '$1 == name { hours = $2 } END { print hours + 0 }' "$tmp/late")
	shift_time "$now" "-$((hours * 3600))"
}

# judge_source FILE: is the newest reading fresh, and the newest export FILE whole?
judge_source() {
	if [ -z "$last" ]; then
		finding source-missing unknown '' "the exports hold no reading at all (newest file $1)"
	elif before "$last" "$(late_before)"; then
		finding source-missing unknown "$last" "no export for tonight (newest file $1), no reading"
	else
		finding source-missing ok '' 'the export of tonight is there'
	fi
	if grep -qxF -- "$1" "$tmp/growing"; then
		finding source-cut unknown '' "$1 is still being written, used as far as it went"
	elif ! ends_whole "$1"; then
		finding source-cut unknown '' "$1 ends in the middle of a line, used as far as it goes"
	else
		finding source-cut ok '' 'the newest export is whole'
	fi
}

# Findings about the exports as a whole go under the name of the source.
name_findings() {
	{
		awk -v name="$name" 'BEGIN { FS = OFS = "," } NR > 1 && ($2 == "-" || $3 == "-") { $2 = name } { print }' \
			"$out.data" >"$out.named" && mv -f "$out.named" "$out.data"
	} || die "The findings about $name cannot be kept."
}

# read_source FILE...: normalises the exports of one source, each by itself when they fail together: a broken export
# must not take the good ones with it.
read_source() {
	given=$# bad=''
	if ! normalise "$@"; then
		reason=$(first_line "$out.err")
		for f in "$@"; do
			shift
			if [ "$given" -gt 1 ] && normalise "$f"; then set -- "$@" "$f"
			elif [ -z "$bad" ]; then bad=$f reason=$(first_line "$out.err"); fi
		done
		if [ $# -gt 0 ] && ! normalise "$@"; then
			reason=$(first_line "$out.err")
			set --
		fi
		case $reason in *"$bad"*) ;; *) reason="$bad: $reason" ;; esac
		if [ $# = 0 ]; then
			rm -f "$out.csv" "$out.data"
			finding source-failed unknown '' "no export can be read: $reason"
			return 1
		fi
	fi
	cat "$out.err" >>"$tmp/log"
	name_findings
	last=$(tail -n 1 "$out.csv" | cut -d , -f 1)
	case $last in [0-9]*) ;; *) last='' ;; esac
	if [ $# -lt "$given" ]; then
		finding source-failed unknown '' "$((given - $#)) of $given exports cannot be read and the others are used: $reason"
	else
		finding source-failed ok '' 'every export can be read'
	fi
}

# newer FILE MARK: was FILE changed after the file MARK?
newer() { [ -n "$(find "$1" -newer "$2" 2>/dev/null)" ]; }

# was_there FILE: can it have been there that night?  A rerun of an old night does without what came after it, as long as
# something is left; where nothing is, a copy has lost the dates and they say nothing.
was_there() { [ -z "$older" ] || ! newer "$1" "$tmp/after"; }

# do_source PATTERN: what there is of the source $name.  Whatever happens to it, the others go on.
do_source() {
	pattern=$1 newest='' older=''
	read_for=$(awk -v name="$name" -v days="$days" '$1 == name { days = $2 } END { print days + 0 }' "$tmp/longer")
	mark window "-$((read_for * 86400))"
	saved=$IFS; IFS=
	# shellcheck disable=SC2086 # as above
	set -- $pattern
	IFS=$saved
	for f in "$@"; do
		shift
		case $f in -*) f=./$f ;; esac
		if [ ! -f "$f" ] || ! newer "$f" "$tmp/window"; then continue; fi
		newer "$f" "$tmp/after" || older=yes
		set -- "$@" "$f"
	done
	for f in "$@"; do
		shift
		was_there "$f" || continue
		if [ -z "$newest" ] || ! newer "$newest" "$f"; then newest=$f; fi
		set -- "$@" "$f"
	done
	if [ $# = 0 ]; then
		finding source-missing unknown '' "no export matches $pattern within $read_for days"
		return
	fi
	# By date: of what is issued again the last counts.  Where a name has a line break, they stay in the order of their names.
	find "$@" -prune -printf '%T@ %p\n' 2>/dev/null | sort -s -n -k 1,1 | sed 's/^[^ ]* //' >"$tmp/by.date"
	if [ "$(wc -l <"$tmp/by.date")" = $# ]; then
		set --
		while IFS= read -r f; do set -- "$@" "$f"; done <"$tmp/by.date"
	fi
	if read_source "$@"; then judge_source "$newest"; fi
}

# read_logbook: the measurements that were written in the logbook, as readings.  It keeps them itself: they are judged with
# the archive, not put into it.
read_logbook() {
	[ -e logbook.csv ] || return 0
	name=logbook
	if leat-log --readings -w "$works" --now "$now" >"$tmp/logbook.csv" 2>"$tmp/err" </dev/null; then
		finding logbook-failed ok '' 'every entry of the logbook can be read'
	else
		finding logbook-failed unknown '' "not every entry of the logbook can be read, the others are used: $(first_line "$tmp/err")"
	fi
	cat "$tmp/err" >>"$tmp/log"
	leat-log --list -w "$works" --now "$now" >"$tmp/entries.csv" 2>/dev/null </dev/null || :
	[ -n "$(sed -n 2p "$tmp/logbook.csv")" ] || rm -f "$tmp/logbook.csv"
}

# add_to ARCHIVE FINDINGS FILE...: adds readings.  What differs from the archive is left out and found, however much it is: a
# source whose unit was mended must not be shut out for weeks.
add_to() {
	archive=$1 found=$2
	shift 2
	leat-archive -w "$works" --now "$now" --archive "$archive" --findings "$found" --max-rejects 100% "$@" 		>/dev/null 2>"$tmp/err" </dev/null
	added=$?
	cat "$tmp/err" >>"$tmp/log"
	[ "$added" = 0 ] || rm -f "$found"
	return "$added"
}

# sound FOLDER: can each month in this archive be read through?
sound() {
	leat-archive -w "$works" --archive "$1" --verify >/dev/null 2>"$tmp/err" </dev/null && return
	cat "$tmp/err" >>"$tmp/log"
	return 1
}

# copy_month FILE YEAR: links a sound month into the copy of the archive.  One that is not is mended there as far as
# leat-archive can, or left out.
copy_month() {
	one=$tmp/one month=${1##*/}
	{ rm -rf "$one" && mkdir -p "$one/$2" "$copy/$2" && ln -s "$1" "$one/$2/$month"; } 2>"$tmp/err" ||
		die "The folder for temporary files cannot be written:" "$tmp/err"
	if ! sound "$one"; then
		damaged=$((damaged + 1))
		[ -n "$damage" ] || damage="${1#"$works/"} cannot be read in full: $(first_line "$tmp/err" | sed "s|^$one/[^:]*: ||")"
		rm -f "$one/$2/$month"
		cat "$1" 2>>"$tmp/log" >"$one/$2/$month" || return 0
		leat-archive -w "$works" --archive "$one" --repair >/dev/null 2>>"$tmp/log" </dev/null
		if [ ! -e "$one/$2/$month" ] || ! sound "$one"; then return 0; fi
	fi
	mv "$one/$2/$month" "$copy/$2/" 2>"$tmp/err" || die "The folder for temporary files cannot be written:" "$tmp/err"
}

# copy_archive: where the archive itself will not do tonight, a copy for this night.  The archive stays as it is.
copy_archive() {
	[ "$from" != "$copy" ] || return 0
	from=$copy
	mkdir "$copy" 2>"$tmp/err" || die "The folder for temporary files cannot be written:" "$tmp/err"
	for f in "$works"/archive/[0-9][0-9][0-9][0-9]/[01][0-9].csv.gz; do
		[ ! -e "$f" ] || copy_month "$f" "$(basename "$(dirname "$f")")"
	done
}

# refuse FILE: what becomes of a source that no archive takes: the rest is judged without it.
refuse() {
	! grep -q 'cannot write\|cannot make' "$tmp/err" || die "The folder for temporary files cannot be written:" "$tmp/err"
	read -r name <"${1%.csv}.name"
	finding source-archived unknown '' "its readings of tonight are not judged, the archive refuses them: $(first_line "$tmp/err")"
}

# archive_readings FILE...: puts the readings of all sources into the archive; each by itself when they fail together.  What
# cannot be put there goes into a copy for this night, so that it is judged.
archive_readings() {
	if [ $# -gt 0 ] && ! add_to "$from" "$tmp/archive.data" "$@"; then
		for f in "$@"; do
			shift
			add_to "$from" "${f%.csv}.archive.data" "$f" && continue
			why=$(first_line "$tmp/err")
			set -- "$@" "$f"
		done
		[ $# = 0 ] || copy_archive
		taken=0
		for f in "$@"; do
			if add_to "$copy" "${f%.csv}.archive.data" "$f"; then taken=$((taken + 1)); else refuse "$f"; fi
		done
		if [ "$taken" -gt 0 ]; then
			name=archive
			finding archive-failed unknown '' "readings of $taken sources are judged but not archived, keep their exports: $why"
			return
		fi
	fi
	name=archive
	finding archive-failed ok '' "tonight's readings are archived"
}

# stage NAME OUTPUT ARGUMENT...: one command by itself; without it there is no judgement.
stage() {
	command=$1 output=$2
	shift 2
	"$command" -w "$works" --now "$now" "$@" >"$output" 2>"$tmp/err" </dev/null || die "$command failed:" "$tmp/err"
	cat "$tmp/err" >>"$tmp/log"
}

# part NAME ARGUMENT...: one command of a pipe.  The shell tells the status of the last alone, so each leaves its own.
part() {
	command=$1
	shift
	case $command in
	leat-pair) set -- --pairs pairs.csv "$@" ;;
	# What people mistyped costs no night, though it is most of what there is.
	leat-bore | leat-cleanliness) set -- --max-rejects 100% "$@" ;;
	# A line of the logbook at fault is told once, and costs none of the others.
	leat-attain | leat-confirm | leat-element | leat-hours | leat-leakage | leat-oil | leat-precharge | leat-trend | leat-verdict)
		[ ! -s "$tmp/entries.csv" ] || set -- --logbook "$tmp/entries.csv" "$@" ;;
	esac
	"$command" -w "$works" --now "$now" "$@" 2>"$tmp/$command.err"
	echo $? >"$tmp/$command.status"
}

# ended NAME: the status of that part of the pipe, none when it left none.
ended() {
	status=none
	[ ! -s "$tmp/$1.status" ] || read -r status <"$tmp/$1.status"
	printf '%s\n' "$status"
}

# daily_readings: what comes after the judges is given, all from one reading of the stream.  Printed is of each series a few
# readings a day, computed ones too, for leat-diagnose and the pictures of a mail; files get what leat-loss adds up, of two
# months, and what tasks go by, for leat-due.
# shellcheck disable=SC2317 # called by the name
daily_readings() {
	set -- --also "$tmp/readings_of_loss.csv" --last P62D --point state --point pressure --point pressure-setpoint \
		--point head-pressure --point feed-rate --point pump-running --point internal-leakage --point drain-flow-corrected \
		--point filter-dp-corrected
	[ ! -e tasks.csv ] || set -- "$@" --also "$tmp/hours_and_starts.csv" --point 'running-hours*' --point 'starts*'
	leat-select --now "$now" --thin P1D "$@" -
}

# judge_stream: every judge reads standard input.  Several read it at once, each from a named pipe; one that stops early
# leaves the others theirs.
judge_stream() {
	# shellcheck disable=SC2086 # readers are words
	set -- $readers
	if [ $# = 1 ]; then
		part "$1" --all >"$tmp/$1.csv"
		return
	fi
	for judge in "$@"; do
		{ part "$judge" --all >"$tmp/$judge.csv"; cat >/dev/null; } <"$tmp/$judge.in" &
		shift
		set -- "$@" "$tmp/$judge.in"
	done
	tee "$@" >/dev/null 2>"$tmp/tee.err"
	echo $? >"$tmp/tee.status"
	# Had tee not opened one of them, its judge would wait for ever.
	for judge in "$@"; do : <>"$judge"; done
	wait
}

# through FILTER...: standard input through the filters to the judges.  The first takes in the file $also.
through() {
	if [ $# = 0 ]; then
		judge_stream
		return
	fi
	filter=$1 with=$also also=
	shift
	part "$filter" - ${with:+"$with"} | through "$@"
}

# judge_archive: the whole line; fails when the archive cannot be read.  Of it only findings and a few readings lie in files.
judge_archive() {
	parts="leat-select $filters $readers"
	rm -f "$tmp"/*.status "$tmp"/*.in
	case $readers in
	*' '*)
		parts="$parts tee"
		# shellcheck disable=SC2086 # readers are words
		(cd "$tmp" && for judge in $readers; do mkfifo "$judge.in" || exit 1; done) 2>"$tmp/err" ||
			die "Named pipes cannot be made in the folder for temporary files:" "$tmp/err" ;;
	esac
	also=
	[ ! -e "$tmp/logbook.csv" ] || also=$tmp/logbook.csv
	# shellcheck disable=SC2086 # filters are words
	part leat-select --archive "$from" --last "$history" </dev/null | through $filters
	# The one to blame is the first that was not merely stopped (SIGPIPE) because the next had ended.
	for allowed in 141 0; do
		for command in $parts; do
			case $(ended "$command") in 0 | "$allowed") continue ;; esac
			[ "$command" != leat-select ] || return 1
			die "$command failed:" "$tmp/$command.err"
		done
	done
	for command in $parts; do cat "$tmp/$command.err" >>"$tmp/log"; done
}

# judge_found: what goes by the findings of the judges: which tasks are due, which failures are likely, what waiting costs.
judge_found() {
	set --
	# shellcheck disable=SC2086 # judges are words
	for judge in $judges; do set -- "$@" -f "$tmp/$judge.csv"; done
	stage leat-diagnose "$tmp/leat-diagnose.csv" --all "$@" "$tmp/daily_readings.csv"
	[ ! -s "$tmp/entries.csv" ] || set -- --logbook "$tmp/entries.csv" "$@"
	stage leat-loss "$tmp/leat-loss.csv" --all "$@" "$tmp/readings_of_loss.csv"
	[ ! -e tasks.csv ] || stage leat-due "$tmp/leat-due.csv" --all "$@" "$tmp/hours_and_starts.csv"
}

# judge_all: judges by the archive or, where it cannot be read, by a copy of what can.
judge_all() {
	[ -d "$from" ] || copy_archive
	if ! judge_archive; then
		[ "$from" != "$copy" ] || die "leat-select failed:" "$tmp/leat-select.err"
		copy_archive
		judge_archive || die "leat-select failed:" "$tmp/leat-select.err"
	fi
	name=archive
	if [ "$damaged" = 0 ]; then
		finding archive-damaged ok '' 'every month of the archive that was needed can be read'
	else
		[ "$damaged" = 1 ] || damage="$damaged months of the archive, the first: $damage"
		finding archive-damaged unknown '' "$damage, judged by what is left of it"
	fi
}

# merge FILE...: the findings of several files under one header, which has the columns of all.  That no series at all has a
# trend, or shows work or oil, is a lack of instruments and not of tonight's data: the judge has said it, and the log keeps it.
# shellcheck disable=SC2016 # a program of awk
merge() {
	awk '
	function cut(line, into,   n, at, from, quoted, c) {
		if (line !~ /"/) return split(line, into, ",")
		from = 1
		for (at = 1; at <= length(line); at++) {
			c = substr(line, at, 1)
			if (c == "\"") quoted = !quoted
			else if (c == "," && !quoted) { into[++n] = substr(line, from, at - from); from = at + 1 }
		}
		into[++n] = substr(line, from)
		return n
	}
	FNR == 1 { columns = cut($0, name) }
	pass == 1 {
		if (FNR > 1) next
		for (i = 1; i <= columns; i++) {
			if (name[i] in place) continue
			place[name[i]] = ++width
			header = header (width > 1 ? "," : "") name[i]
		}
		next
	}
	FNR == 1 { if (header != "") print header; header = ""; next }
	{
		for (i = 1; i <= width; i++) row[i] = ""
		n = cut($0, cell)
		for (i = 1; i <= n; i++) row[place[name[i]]] = cell[i]
		if (row[place["rule"]] ~ /^no-(oil|trend|work)-judged$/) next
		line = row[1]
		for (i = 2; i <= width; i++) line = line "," row[i]
		print line
	}' pass=1 "$@" pass=2 "$@"
}

all_findings() {
	set --
	# shellcheck disable=SC2086 # judges are words
	for judge in $judges; do set -- "$@" "$tmp/$judge.csv"; done
	for f in "$tmp/leat-due.csv" "$tmp/leat-diagnose.csv" "$tmp/leat-loss.csv" "$tmp/sources.csv" "$tmp"/source.*.data "$tmp/archive.data"; do
		[ ! -s "$f" ] || set -- "$@" "$f"
	done
	merge "$@"
}

# Puts tonight's findings beside their place and renames them: a failed run leaves the old file.
keep_findings() {
	mkdir -p findings 2>"$tmp/err" || die "The folder $works/findings cannot be made:" "$tmp/err"
	{ all_findings >"findings/.$day.new"; } 2>"$tmp/err" && mv -f "findings/.$day.new" "findings/$day.csv" 2>>"$tmp/err" && return
	rm -f "findings/.$day.new"
	die "$works/findings/$day.csv cannot be written:" "$tmp/err"
}

# print_report ARGUMENT...: the report, with further arguments of leat-report.  How far the data of each mill reach is asked of
# the days whose exports were read.
print_report() {
	set -- "$@" --lines "$lines" --previous "$works/findings" --readings - "$works/findings/$day.csv"
	[ "$weekly" = never ] || set -- --week-day "$weekly" "$@"
	[ "$weekly" != "$weekday" ] || set -- --always "$@"
	part leat-select --archive "$from" --last "P${days}D" </dev/null |
		leat-report -w "$works" --now "$now" "$@" 2>"$tmp/err" ||
		die "leat-report failed; tonight's findings are in $works/findings/$day.csv" "$tmp/err"
	[ "$(ended leat-select)" = 0 ] ||
		die "leat-select failed; tonight's findings are in $works/findings/$day.csv" "$tmp/leat-select.err"
	cat "$tmp/err" >>"$tmp/log"
}

# not_sent TEXT [FILE]: the report in print, since its mail did not go out, and why.  The mail may be what filled the disk.
not_sent() {
	rm -f "$tmp/mail"
	print_report
	echo
	echo "$1"
	[ -z "${2-}" ] || sed -n '1,10s/^/  /p' "$2" 2>/dev/null
	if [ -n "$kept" ]; then echo "It is kept as $works/$kept"; fi
	exit 2
}

# send: gives the mail to the mail program, and leaves in $sent its status; late when it took too long.  One that hangs would
# hold the lock, and no later night would be judged.
send() {
	set --
	if [ "$sendmail_wait" = 0 ]; then :
	elif command -v timeout >/dev/null 2>&1; then set -- timeout -k 10 "$((sendmail_wait * 60))"
	else echo "there is no command 'timeout' here: sendmail is waited for however long it takes" >>"$tmp/log"; fi
	# shellcheck disable=SC2086 # the command is words
	"$@" $sendmail <"$tmp/mail" >"$tmp/sent" 2>&1
	sent=$?
	# 137: it had to be killed.
	case $#/$sent in [1-9]*/124 | [1-9]*/137) sent=late ;; esac
}

# mail_report: the report as a mail, of which a copy stays in mails/.  A mail that fails is never silent.
mail_report() {
	kept=
	if ! (print_report --mail --from "$mail_from" --to "$mail" --pictures "$tmp/daily_readings.csv") >"$tmp/mail" 2>&1; then
		tail -n 10 "$tmp/mail" >"$tmp/sent"
		not_sent "The mail to $mail could not be made:" "$tmp/sent"
	fi
	[ -s "$tmp/mail" ] || return 0
	if { mkdir -p mails && cp "$tmp/mail" "mails/.$day.new" && mv -f "mails/.$day.new" "mails/$day.eml"; } 2>"$tmp/err"; then
		kept=mails/$day.eml
	else
		rm -f "mails/.$day.new"
		echo "No copy of the mail to $mail can be kept in $works/mails:"
		sed -n '1,10s/^/  /p' "$tmp/err"
	fi
	send
	case $sent in
	0) sed 's/^/sendmail: /' "$tmp/sent" >>"$tmp/log" ;;
	late) not_sent "The mail to $mail was not taken by '$sendmail' within $sendmail_wait min, which was ended; some may have it:" "$tmp/sent" ;;
	*) not_sent "The mail to $mail could not be sent by '$sendmail' (status $sent):" "$tmp/sent" ;;
	esac
}

# Without a standard output nobody reads the mail, but the night can be judged.
unread=
if ! (: 3>&1) 2>/dev/null; then
	unread=yes
	exec >/dev/null
fi

# What the command line and the environment say.
while [ $# -gt 0 ]; do
	case $1 in
	-h | --help) usage; exit 0 ;;
	--now) [ $# -gt 1 ] || { usage; exit 2; }; now=$2; shift 2 ;;
	--now=*) now=${1#--now=}; shift ;;
	--) shift; break ;;
	-*) usage; exit 2 ;;
	*) break ;;
	esac
done
[ $# -le 1 ] || { usage; exit 2; }
works=${1:-$works}
[ -n "$works" ] || { usage; exit 2; }
[ -n "$now" ] || now=$(date -u +%Y-%m-%dT%H:%M:%SZ)
given_now=$now
now=$(shift_time "$now" 0) || { now=$given_now; die "This is no time such as 2025-12-20T05:30:00Z: '$given_now'."; }

# A works folder to itself, and a place for temporary files.
cd "$works" 2>/dev/null || die "There is no works folder that can be entered: '$works'."
works=$(pwd)
trap clean_up EXIT
trap 'die "The run was stopped by a signal."' HUP INT TERM
tmp=$(mktemp -d 2>/dev/null) || { tmp=; die "No folder for temporary files can be made${TMPDIR:+ in $TMPDIR}."; }
take_lock
read_settings
PATH="${bin:+$bin:}$PATH:/usr/local/bin"
[ ! -e pairs.csv ] || filters="$filters leat-pair"
readers="$judges daily_readings"
[ -n "$mail_from" ] || mail_from="$(id -un)@$(uname -n)"
for command in leat-normalise leat-archive leat-select leat-log $filters $judges leat-due leat-diagnose leat-loss leat-report; do
	command -v "$command" >/dev/null || die "$command is not found; give its folder in nightly.conf: bin FOLDER"
done
stage leat-report "$tmp/day" --print-day
read -r day weekday <"$tmp/day" || die "leat-report gave no works' day."
mark after 86400

# Each source by itself.
wait_for_writers
echo 'time,asset,point,rule,status,value,unit,limit,since,until,due,shelved,message' >"$tmp/sources.csv" ||
	die "The folder for temporary files cannot be written."
number=0
while IFS=$tab read -r name pattern <&3; do
	number=$((number + 1))
	out=$(printf '%s/source.%03d' "$tmp" "$number")
	printf '%s\n' "$name" >"$out.name"
	do_source "$pattern"
done 3<"$tmp/sources"

# All together.
from=$works/archive copy=$tmp/archive damaged=0 damage=''
read_logbook
set --
for f in "$tmp"/source.*.csv; do [ ! -e "$f" ] || set -- "$@" "$f"; done
archive_readings "$@"
judge_all
judge_found
keep_findings
if [ -n "$mail" ]; then mail_report; else print_report; fi
[ -z "$unread" ] || exit 2
exit 0
