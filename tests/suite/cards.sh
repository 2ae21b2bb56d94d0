#!/bin/sh
# cards.sh: job cards against what lies outside them: the cautions against the page that is their source, each blank of
# the procedures against the logbook that is to take it, HTML against texts made to break it, paper against its width.
# shellcheck source=tests/lib.sh
. "$(dirname "$0")/../lib.sh"

works=testdata/works-year
now=2025-05-01T00:00:00Z

# The passages of docs/cautions.md as "TITLE: sentence", lines joined.
page() {
	awk '
	function flush() { if (line != "") print title ": " line; line = "" }
	/^## / { flush(); title = substr($0, 4); next }
	/^- / { flush(); line = substr($0, 3); next }
	/^  [^ ]/ && line != "" { line = line " " substr($0, 3); next }
	{ flush() }
	END { flush() }' docs/cautions.md
}

cautions() {
	"$build/tests/suite/dump_cautions" >"$scratch/told"
	page | grep -v '^What these programs cannot see: ' >"$scratch/page"
	check 'cautions: there are some' test "$(wc -l <"$scratch/told")" -gt 20
	LC_ALL=C sort "$scratch/told" >"$scratch/told.sorted"; LC_ALL=C sort "$scratch/page" >"$scratch/page.sorted"
	check 'cautions: those of cautions.md, word for word' cmp "$scratch/page.sorted" "$scratch/told.sorted"
}

# A works whose every procedure has a task, at an asset that fits.
make_works() {
	rm -rf "$scratch/w"; cp -R "$works" "$scratch/w"; rm -f "$scratch/w/logbook.csv"
	echo 'task,asset,title' >"$scratch/w/tasks.csv"
	for f in "$works"/procedures/*.txt; do
		echo "$(basename "$f" .txt),NM,\"$(sed -n '1s/^# //p' "$f")\"" >>"$scratch/w/tasks.csv"
	done
}

# The blanks of a procedure, found without the program's parser: event, then item, note or what stands in the braces.
blanks() {
	awk '
	function flush(  event, rest, n) {
		if (match(item, /\[log: [a-z-]+\]/)) {
			event = substr(item, RSTART + 6, RLENGTH - 7); n = 0; rest = item
			gsub(/\{nameplate:[^}]*\}|\{asset\}|\{mill\}/, "", rest)
			has_item = rest ~ /\{item\}/; has_note = rest ~ /\{note\}/; gsub(/\{item\}|\{note\}/, "", rest)
			while (match(rest, /\{[^}]*\}/)) {
				print event, has_item, has_note, substr(rest, RSTART + 1, RLENGTH - 2); n++
				rest = substr(rest, RSTART + RLENGTH)
			}
			if (n == 0) print event, has_item, has_note
		}
		item = ""
	}
	/^#/ { next }
	/^[^ ]/ || /^ *$/ { flush(); next }
	/^ +- / { flush() }
	{ item = item " " $0 }
	END { flush() }' "$1"
}

# log_blank TASK EVENT ITEM NOTE [found|left] [POINT [UNIT]]: an entry with all that was asked for, and no more.
log_blank() {
	task=$1 event=$2 item=$3 note=$4; shift 4
	side=
	case ${1-} in found | left) side=$1; shift ;; esac
	if [ -n "${1-}" ] && [ -z "$side" ]; then
		case $event in pressure-setting | top-up | drained | gas-fill) side=left ;; *) side=found ;; esac
	fi
	value=12.5; case ${1-} in start-counter) value=12 ;; esac
	# A pair of as found and as left is one entry: the other half makes it whole.
	other=; [ "$event" = pressure-setting ] && [ "$side" = found ] && other='--left 12.5'
	set -- ${1:+--point "$1"} ${2:+--unit "$2"} ${side:+--"$side" "$value"}
	[ "$item" = 1 ] && set -- "$@" --item A-17
	[ "$note" = 1 ] && set -- "$@" --note 'as it was'
	# shellcheck disable=SC2086 # two words or none
	leat-log -q -w "$scratch/w" --now "$now" --event "$event" --asset NM --task "$task" --who me "$@" $other 2>>"$scratch/err"
}

procedures() {
	make_works
	leat-check --tables -w "$scratch/w" --now "$now" >"$scratch/out" 2>&1
	check 'procedures: without fault' test -z "$(grep '/procedures/' "$scratch/out")"
	count=0
	for f in "$works"/procedures/*.txt; do
		t=$(basename "$f" .txt)
		leat-card -w "$scratch/w" --now "$now" "$t" >"$scratch/card" 2>"$scratch/err"; status=$?
		check "$t: a card" test "$status" = 0 -a ! -s "$scratch/err"
		check "$t: within 80 columns" test -z "$(awk 'length($0) > 80' "$scratch/card")"
		for s in PURPOSE 'STATE REQUIRED' CAUTIONS STEPS 'AFTER WORK' 'CONFIRMED IN THE DATA BY' SIGN-OFF; do
			grep -qx "$s" "$scratch/card" || fail "$t: no section $s"
		done
		check "$t: works and law come first" grep -q 'permit and lock-out rules, local law' "$scratch/card"
		check "$t: no mark or brace is left" test -z "$(grep -E '[{}]|\[(accept|by|log|each):' "$scratch/card")"
		blanks "$f" >"$scratch/blanks"; : >"$scratch/err"; refused=0
		while read -r event item note rest; do
			# shellcheck disable=SC2086 # words of a blank
			log_blank "$t" "$event" "$item" "$note" $rest || refused=$((refused + 1))
			count=$((count + 1))
		done <"$scratch/blanks"
		check "$t: the logbook takes each of $(wc -l <"$scratch/blanks") blanks" test "$refused" = 0
		[ -s "$scratch/err" ] && sed -n 1,3p "$scratch/err"
	done
	check 'procedures: as many as the works needs' test "$(find "$works/procedures" -name '*.txt' | wc -l)" -ge 15
	check 'procedures: all entries are in the book' test "$(leat-log -w "$scratch/w" --now "$now" --list | wc -l)" = $((count + 1))
	check 'procedures: and sound' leat-log -q -w "$scratch/w" --now "$now" --verify
}

# The sheet for typing back is a logbook once it is filled in.
typed_back() {
	make_works
	for f in "$works"/procedures/*.txt; do
		t=$(basename "$f" .txt)
		leat-card -w "$scratch/w" --now "$now" --csv "$t" |
			awk -F, -v OFS=, 'NR > 1 { $1 = "2025-04-30 10:00"; $6 = $7 = ""; if ($5 != "") $6 = $7 = 12; $9 = "A-1"; $10 = "me"; $11 = "words" } 1' \
			>"$scratch/sheet.csv"
		leat-log -q -w "$scratch/w" --now "$now" --import "$scratch/sheet.csv" 2>"$scratch/err"; status=$?
		check "$t: its sheet can be imported" test "$status" = 0
	done
	check 'sheets: entries for all shells' test "$(leat-log -w "$scratch/w" --now "$now" --list --event gas-reading |
		grep -c 'NM/accu-[1-6],gas-reading,gas-check,gas-pressure')" = 6
}

# A number with a unit says by whose authority it stands; the nameplate's own come from there.
authority() {
	awk '
	function flush(  t) {
		t = item; gsub(/\{[^}]*\}/, "", t); gsub(/at (20|40) degC|4, 6 and 14 um/, "", t); gsub(/(^|[^0-9.])0 (bar|L)/, " ", t)
		if (t ~ /[0-9] ?(bar|degC|min|mm|mL|L|K|%|h|s|days|weeks|months|hours)([^A-Za-z0-9]|$)/ &&
		    t !~ /common +practice|trade +articles|guidance|steel, 11.5e-6|ISO [0-9]/) print FILENAME ":" line ": " t
		item = ""
	}
	FNR == 1 { flush() }
	/^#/ { next }
	/^[^ ]/ || /^ *$/ { flush(); line = FNR; next }
	/^ +- / { flush(); line = FNR }
	{ item = item " " $0 }
	END { flush() }' "$works"/procedures/*.txt >"$scratch/out"
	check 'procedures: each number has its authority' test ! -s "$scratch/out"
	sed -n 1,5p "$scratch/out"
}

# in_order PROCEDURE FIRST THEN: FIRST stands there, and no THEN before it.
in_order() {
	awk -v first="$2" -v then="$3" '
		/^[A-Z]/ { steps = /^Steps:/ }
		steps && $0 ~ first { seen = 1 }
		steps && $0 ~ then { found = 1; if (!seen) early = 1 }
		END { exit !seen || !found || early }' "$works/procedures/$1.txt"
}

# What must be safe before the next thing is done; common practice of the trade.
safe_order() {
	check 'change-pump: no pressure before a line is opened' in_order change-pump '0 bar at two gauges' 'plug every line'
	check 'change-pump: an electrician connects before the jog' in_order change-pump 'electrician connects' 'Jog the motor'
	check 'change-pump: locked off again before a hand is at the coupling' in_order change-pump 'Lock the motor off again' 'close the coupling'
	check 'clean-cooler: the test is made with water' grep -q 'with water, never with air or gas' "$works/procedures/clean-cooler.txt"
	check 'drain-tank: room before oil comes back' in_order drain-tank 'fits above the level' 'Let down accumulators'
	check 'gas-fill: the bottle is shut before the hose is bled' in_order gas-fill 'Shut the gas valve and the bottle' 'take it off'
	check 'set-minimum-pressure: gas is read with the pump locked off' in_order set-minimum-pressure 'pump locked off' 'Charge to the set pressure'
	check 'test-seal-leakage: the stroke goes into a can' in_order test-seal-leakage 'into a can' 'move the piston|Move the piston'
	check 'test-seal-leakage: the pump is locked off for the hose' grep -q '^  - Pump locked off' "$works/procedures/test-seal-leakage.txt"
}

# Titles, assets, parts and messages that would like to be markup.
hostile() {
	make_works
	cat >"$scratch/w/tasks.csv" <<-'END'
	task,asset,title,parts,source
	evil,"NM<b>","</title><script>alert(1)</script> & ""q"" 'a' <img src=x onerror=alert(2)>","p","<!-- "
	END
	printf 'part,title\np,"<script>alert(3)</script>"\n' >"$scratch/w/parts.csv"
	printf 'time,asset,point,rule,status,value,unit,limit,since,until,due,shelved,message\n%s\n' \
		'2025-04-30T00:00:00Z,NM<b>,pressure,low,alert,1,bar,2,2025-04-30T00:00:00Z,,,,"</p><script>alert(4)</script>"' >"$scratch/f.csv"
	leat-card -q -w "$scratch/w" --now "$now" --html -f "$scratch/f.csv" evil >"$scratch/evil.html" 2>"$scratch/err"; status=$?
	check 'html: hostile texts are printed' test "$status" = 0
	check 'html: no script' test "$(grep -ci '<script\|<img\|<b>[^A]' "$scratch/evil.html")" = 0
	check 'html: the title is there as text' grep -qF '&lt;/title&gt;&lt;script&gt;alert(1)&lt;/script&gt; &amp; &quot;q&quot; &#39;a&#39;' "$scratch/evil.html"
	check 'html: the part too' grep -qF '&lt;script&gt;alert(3)' "$scratch/evil.html"
	check 'html: the message too' grep -qF '&lt;/p&gt;&lt;script&gt;alert(4)' "$scratch/evil.html"
	check 'html: no comment begins' test "$(grep -c '<!--' "$scratch/evil.html")" = 0
}

# Whatever opens is closed, in order; one file that needs no other; A4; no colour but black on white.
html() {
	make_works
	for t in gas-check change-pump measure-bore; do
		leat-card -w "$scratch/w" --now "$now" --html "$t" >"$scratch/$t.html"
		tr '\n' ' ' <"$scratch/$t.html" | sed 's/<style>.*<\/style>//;s/<!DOCTYPE html>//;s/</\
</g' | awk '
		/^<(meta|col|hr)[ >]/ { next }
		/^<\// { tag = substr($0, 3); sub(/>.*/, "", tag); if (depth == 0 || stack[depth] != tag) { bad = 1; exit } depth--; next }
		/^</ { tag = substr($0, 2); sub(/[ >].*/, "", tag); stack[++depth] = tag }
		END { exit bad || depth != 0 }'
		status=$?
		check "$t.html: elements close in order" test "$status" = 0
	done
	check 'html: A4' grep -q '@page { size: A4 portrait' "$scratch/gas-check.html"
	check 'html: needs no other file' test -z "$(grep -iE 'href|src=|url\(|@import|http' "$scratch/gas-check.html")"
	check 'html: black on white alone' test -z "$(grep -oE '#[0-9a-f]{3,6}' "$scratch/gas-check.html" | grep -vxE '#000|#fff')"
	check 'html: same words as the text' test "$(grep -c 'as found' "$scratch/gas-check.html")" -ge 1
	if command -v tidy >/dev/null 2>&1; then
		tidy -q -e "$scratch/gas-check.html" >"$scratch/out" 2>&1
		check 'html: tidy has nothing to say' test ! -s "$scratch/out"
	else
		skip 'html: tidy is not installed'
	fi
}

# A stop has a page for each task that needs it, each with its own head.
stop() {
	cp -R "$works" "$scratch/s"
	printf 'start,end,asset,kind\n2025-05-06 06:00,2025-05-06 14:00,NM,planned\n' >"$scratch/s/stops.csv"
	leat-card -q -w "$scratch/s" --now "$now" --stop '2025-05-06 06:00' >"$scratch/out" 2>"$scratch/err"; status=$?
	pages=$(tr -d '\f' <"$scratch/out" | grep -c '^JOB CARD')
	check 'stop: done' test "$status" = 0
	check 'stop: several pages' test "$pages" -ge 3
	check 'stop: a form feed between them' test "$(tr -cd '\f' <"$scratch/out" | wc -c)" = $((pages - 1))
	check 'stop: nothing that needs a running mill' test "$(grep -c 'JOB CARD.*\(drain-water\|change-breather\)' "$scratch/out")" = 0
	check 'stop: its hours on each card' test "$(grep -c 'Tue 6 May 2025 06:00 to Tue 6 May 2025 14:00' "$scratch/out")" = "$pages"
	cat >"$scratch/due.csv" <<-'END'
	time,asset,point,rule,status,value,unit,limit,since,until,due,shelved,message
	2025-04-30T00:00:00Z,NM,-,task-gas-check,alert,,,,2025-04-30T00:00:00Z,,,,due
	2025-04-30T00:00:00Z,MM,-,task-gas-check,alert,,,,2025-04-30T00:00:00Z,,,,due
	2025-04-30T00:00:00Z,NM/relief,-,task-test-relief,ok,,,,,,,,in order
	END
	leat-card -w "$scratch/s" --now "$now" --stop '2025-05-06 06:00' -f "$scratch/due.csv" >"$scratch/out" 2>"$scratch/err"
	check 'stop: with findings those that are due' test "$(grep -c '^JOB CARD' "$scratch/out")" = 1
	check 'stop: the one of the mill' grep -q '^JOB CARD.*gas-check NM$' "$scratch/out"
}

# The empty sheet of a round, filled in, is what leat-normalise reads: a reading for each line, in the unit that it asks for.
round() {
	make_works
	printf 'time,asset,point,value,unit,quality\n2025-04-30T05:00:00Z,NM/round,pressure,120,bar,good\n' >"$scratch/in.csv"
	cat >"$scratch/f.csv" <<-'END'
	time,asset,point,rule,status,value,unit,limit,since,until,due,shelved,message
	2025-04-30T04:00:00Z,NM/cooler,cooler-ua,cooler-fouling,unknown,,,,2025-04-30T04:00:00Z,,,,coverage is too small
	END
	leat-card -w "$scratch/w" --now "$now" --round --csv -f "$scratch/f.csv" "$scratch/in.csv" >"$scratch/sheet.csv"
	lines=$(($(wc -l <"$scratch/sheet.csv") - 1))
	check 'round: the regular readings of three mills, and four that a finding lacks' test "$lines" = $((3 * 6 + 4))
	echo 'source,files' >"$scratch/pins"
	awk -F, -v OFS=, 'NR > 1 { $3 = $2 ~ /WHO/ ? "kt" : $4 == "mm" ? 590 : 3 } 1' "$scratch/sheet.csv" >"$scratch/typed.csv"
	leat-normalise -q -w "$scratch/w" --sources "$scratch/pins" --now 2025-05-03T00:00:00Z "$scratch/typed.csv" >"$scratch/out" 2>"$scratch/err"
	check 'round: typed back, each line is a reading' test "$(grep -c ',good$' "$scratch/out")" = "$lines"
	check 'round: at the beginning of the next works day' test "$(cut -d, -f1 "$scratch/out" | sort -u | grep -c '^2025-05-01T04:00:00Z\|^time')" = 2
	check 'round: those of the finding too' test "$(grep -c 'NM/cooler,\(oil\|water\)-\(in\|out\)-temperature' "$scratch/out")" = 4
}

cautions
procedures
typed_back
round
authority
safe_order
hostile
html
stop
exit $bad
