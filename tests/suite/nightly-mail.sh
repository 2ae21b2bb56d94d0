#!/bin/sh
# nightly-mail.sh: the nightly script with the setting mail: a mail that goes out, one that does not, and one that is not made.
# shellcheck source=tests/lib.sh
. "$(dirname "$0")/../lib.sh"

for c in leat-normalise leat-archive leat-select leat-log leat-state leat-check leat-report; do
	[ -x "$bin/$c" ] || { skip "nightly: $c is not built"; exit 0; }
done
shell=$(command -v dash || command -v sh)
works=$scratch/works
now=2025-02-04T04:30:00Z

# One mill, whose oil is hot from the second evening on; and a mail program that keeps what it is given.
make_works() {
	rm -rf "$works" "$scratch/box"; mkdir -p "$works/incoming/NM" "$scratch/box"
	printf 'asset,property,value,unit\n,zone,"CET-1CEST,M3.5.0,M10.5.0/3",\n,works-name,Mühle am Bach,\nNM,set-pressure,120,bar\n' \
		>"$works/nameplate.csv"
	printf 'tag,asset,point,unit\nNM.PGR,NM,pressure,bar\nNM.TTK,NM,oil-temperature,degC\nNM.MIL,NM,mill-running,\nNM.PMP,NM/pump-a,pump-running,\n' \
		>"$works/points.csv"
	printf 'source,files,zone,separator,decimal,dates\nNM,incoming/NM/*,UTC,comma,point,iso\n' >"$works/sources.csv"
	printf 'bin %s\nsettle 0\nmail shift@works.example, Leitung <lead@works.example>\nmail-from leat@works.example\nsendmail %s %s\n' \
		"$bin" "$scratch/sendmail" "$scratch/box" >"$works/nightly.conf"
	for day in 2025-02-02 2025-02-03; do
		awk -v day=$day -v hot="${1-}" 'BEGIN { print "Time,NM.PGR,NM.TTK,NM.MIL,NM.PMP"
			for (i = 0; i < 144; i++) { h = int(i / 6); t = day ~ /3$/ && h >= 20 && hot ? 66 : 48
				printf "%s %02d:%02d:00,%d.%d,%d.%d,1,1\n", day, h, i % 6 * 10, 120 + i % 3, i % 10, t, i % 7 } }' \
			>"$works/incoming/NM/$day.csv"
		touch -t "$(echo $day | tr -d -)2359" "$works/incoming/NM/$day.csv"
	done
}
cat >"$scratch/sendmail" <<'END'
#!/bin/sh
[ ! -e "$1/fail" ] || { echo 'mailer: no route to the relay' >&2; exit 75; }
n=$(ls "$1" | wc -l)
cat >"$1/$n.eml"
END
chmod +x "$scratch/sendmail"

# night: one run, in $scratch/out; $status.
night() { TMPDIR=$scratch "$shell" "$top/docs/nightly.sh" --now "$now" "$works" >"$scratch/out" 2>"$scratch/err" </dev/null; status=$?; }
sent() { find "$scratch/box" -name '*.eml' | wc -l; }
says() { grep -q -- "$1" "$scratch/out"; }

# What is printed without the setting, to compare with.
make_works hot
sed -i '/^mail/d' "$works/nightly.conf"
night
mv "$scratch/out" "$scratch/printed"
check 'without the setting the report is printed' grep -q 'NM ALARM: oil temperature' "$scratch/printed"
check 'and nothing is mailed' test "$(sent)" = 0

make_works hot
night
check 'a mail that goes out: nothing is printed' test "$status/$(wc -c <"$scratch/out")" = 0/0
check 'one mail is sent' test "$(sent)" = 1
check 'its copy is kept' cmp -s "$scratch/box/0.eml" "$works/mails/2025-02-03.eml"
check 'to whom the setting says' grep -qx 'To: shift@works.example, "Leitung" <lead@works.example>' "$scratch/box/0.eml"
check 'from whom the setting says' grep -qx 'From: leat@works.example' "$scratch/box/0.eml"
check 'the pictures are drawn' grep -q '<svg xmlns' "$scratch/box/0.eml"
check 'the report is attached' grep -q 'filename="report-2025-02-03.html"' "$scratch/box/0.eml"
check 'no temporary file is named in it' test "$(grep -c "$scratch/tmp" "$scratch/box/0.eml")" = 0
python=
for p in python3 /usr/bin/python3; do "$p" -c 'import email.policy' 2>/dev/null && python=$p && break; done
if [ -n "$python" ]; then
	"$python" -c '
import email, email.policy, sys
m = email.message_from_binary_file(open(sys.argv[1], "rb"), policy=email.policy.default)
sys.stdout.buffer.write((m["Subject"] + "\n" + m.get_body(("plain",)).get_content()).encode())' "$scratch/box/0.eml" >"$scratch/read"
	check 'its text is what would have been printed' test "$(sed 1d "$scratch/read")" = "$(cat "$scratch/printed")"
	check 'its subject is the name and the first line' test "$(sed -n 1p "$scratch/read")" = "Mühle am Bach: $(sed -n 1p "$scratch/printed")"
else skip 'the mail read back: no python3'; fi
night
check 'the same night again is the same mail' cmp -s "$scratch/box/0.eml" "$scratch/box/1.eml"

# A mail program that fails, and one that is not there.
make_works hot
: >"$scratch/box/fail"
night
check 'a mail that is not sent: status 2' test "$status" = 2
check 'the report is printed' test "$(sed '/^The mail to/,$d' "$scratch/out")" = "$(cat "$scratch/printed")"
check 'with the reason' says 'could not be sent by .*(status 75):$'
check 'in its words' says '^  mailer: no route to the relay$'
check 'and where the copy is' says "^It is kept as $works/mails/2025-02-03.eml$"
check 'the copy is whole' grep -q '^--=_mixed_[0-9a-f]*--$' "$works/mails/2025-02-03.eml"
make_works hot
sed -i 's/^sendmail .*/sendmail no-such-program -t/' "$works/nightly.conf"
night
check 'a mail program that is not there is told' test "$status" = 2 -a "$(grep -c "sent by 'no-such-program -t' (status 127):" "$scratch/out")" = 1
check 'and the report is printed' says 'NM ALARM: oil temperature'

# A mail program that hangs, one that will not be ended, one whose limit is not reached; no command to end it.
make_works hot
echo 'sendmail-wait 0' >>"$works/nightly.conf"
night
check 'without a limit the mail goes out' test "$status/$(sent)" = 0/1
make_works hot
echo 'sendmail-wait ten' >>"$works/nightly.conf"
night
check 'a limit that is none is told' says "nightly.conf: 'sendmail-wait ten' is no whole number"
if command -v timeout >/dev/null 2>&1; then
	# A minute is the least that can be set: this one counts seconds.
	mkdir -p "$scratch/fast"
	printf '#!/bin/sh\n[ "$1/$2/$3" = -k/10/60 ] || exit 99\nshift 3\nexec %s -k 1 1 "$@"\n' "$(command -v timeout)" >"$scratch/fast/timeout"
	for how in 'exec sleep 60' 'trap "" TERM; echo relay is slow; while :; do sleep 60; done'; do
		printf '#!/bin/sh\n%s\n' "$how" >"$scratch/hang"
		chmod +x "$scratch/hang" "$scratch/fast/timeout"
		make_works hot
		printf 'sendmail %s\nsendmail-wait 1\n' "$scratch/hang" >>"$works/nightly.conf"
		began=$(date +%s)
		PATH=$scratch/fast:$PATH night
		check "one that hangs is ended: status 2 ($how)" test "$status" = 2
		check 'and soon' test "$(($(date +%s) - began))" -lt 45
		check 'the report is printed' test "$(sed '/^The mail to/,$d' "$scratch/out")" = "$(cat "$scratch/printed")"
		check 'with the reason' says "was not taken by '$scratch/hang' within 1 min, which was ended; some may have it:$"
		check 'and where the copy is' says "^It is kept as $works/mails/2025-02-03.eml$"
		check 'no lock is left' test ! -e "$works/.nightly.lock"
	done
	check 'what it said is printed' says '^  relay is slow$'
	sed -i "s|^sendmail .*|sendmail $scratch/sendmail $scratch/box|" "$works/nightly.conf"
	PATH=$scratch/fast:$PATH night
	check 'the next night goes out' test "$status/$(sent)" = 0/1
else skip 'a mail program that hangs: no timeout here'; fi
mkdir -p "$scratch/tools"
for tool in /usr/bin/* /bin/*; do [ "${tool##*/}" = timeout ] || ln -sf "$tool" "$scratch/tools/"; done
make_works hot
PATH=$scratch/tools night
check 'without a command timeout the mail goes out' test "$status/$(sent)" = 0/1
check 'and the log says that nothing ends the mail program' grep -q "no command 'timeout' here" "$works/nightly.log"

# The room for temporary files ends while the mail is made: what there is of it gives way to the report in print.
make_works hot
mkdir -p "$scratch/narrow"
printf '#!/bin/sh\ncase " $* " in *" --mail "*) echo part; echo "leat-report: cannot write: No space left on device" >&2; exit 2 ;; esac
[ -z "$(ls %s/tmp.*/mail 2>/dev/null)" ] || { echo the mail is in the way; exit 2; }\nexec %s/leat-report "$@"\n' "$scratch" "$bin" >"$scratch/narrow/leat-report"
chmod +x "$scratch/narrow/leat-report"
for c in "$bin"/leat-*; do [ "${c##*/}" = leat-report ] || ln -sf "$c" "$scratch/narrow/"; done
sed -i "s|^bin .*|bin $scratch/narrow|" "$works/nightly.conf"
night
check 'no room for the mail: status 2' test "$status/$(sent)" = 2/0
check 'the report is printed' test "$(sed '/^The mail to/,$d' "$scratch/out")" = "$(cat "$scratch/printed")"
check 'with the reason' says 'could not be made:$'
check 'in its words' says 'No space left on device'

# An address that is none, a copy that cannot be kept, a setting without a value.
make_works hot
sed -i 's/^mail shift.*/mail shift/' "$works/nightly.conf"
night
check 'an address that is none is told' test "$status" = 2 -a "$(grep -c "not an address such as name@works.example" "$scratch/out")" = 1
check 'and the report is printed, and nothing sent' test "$(grep -c 'NM ALARM: oil temperature' "$scratch/out")/$(sent)" = 1/0
make_works hot
: >"$works/mails"
night
check 'a copy that cannot be kept is told' test "$status/$(grep -c '^No copy of the mail to' "$scratch/out")" = 0/1
check 'and the mail is sent' test "$(sent)" = 1
make_works hot
echo mail >>"$works/nightly.conf"
night
check 'a setting without an address ends the night' says "nightly.conf: 'mail' has no address"

# Nothing to say: no mail and no copy.  On the weekly day there is one.
make_works
night
check 'nothing to say: nothing is printed, sent or kept' \
	test "$status/$(wc -c <"$scratch/out")/$(sent)/$(find "$works/mails" 2>/dev/null | wc -l)" = 0/0/0/0
echo 'weekly tue' >>"$works/nightly.conf"
night
check 'on the weekly day a mail says so' grep -q '^Mon 3 Feb 2025: all that was judged is in order$' "$scratch/box/0.eml"
exit $bad
