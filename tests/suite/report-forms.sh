#!/bin/sh
# report-forms.sh: the report in HTML and as a mail, by programs that have nothing to do with it: python3's html.parser, its XML
# and email libraries, tidy, and perl's MIME::Parser (libmime-tools-perl).  What is not installed is skipped.
# shellcheck source=tests/lib.sh
. "$(dirname "$0")/../lib.sh"

now=2025-02-04T04:30:00Z
cases=$top/tests/cmd/leat-report

# A works with a name of several scripts, and a night of findings by somebody who means ill: markup, quotes, formulas, lines of
# 100 kB, the marks of a mail.
hostile() {
	cat >"$scratch/nameplate.csv" <<-'END'
	asset,property,value
	,zone,"CET-1CEST,M3.5.0,M10.5.0/3"
	,works-name,"Mühle <b>Ñandú</b> ""Мельница"" ="
	END
	{
		echo 'time,asset,point,rule,status,value,unit,limit,since,until,due,shelved,message,explains,per_day_low,per_day_high,per_day_unit'
		for status in alarm alert unknown; do
			at="2025-02-04T01:00:00Z"
			printf '%s,NM,pressure,"<script>alert(%s)</script>",%s,1,"<b>",2,%s,,2025-02-01T00:00:00Z,,"<script>alert(1)</script>; </title></style><img src=x onerror=alert(1)>",,,,\n' \
				$at $status $status $at
			printf '%s,"NM/""x"" onload=""y","a & b","it'\''s %s",%s,"=1+1","&amp;","<2>",%s,,,,"&lt;b&gt; '\''--"" javascript:alert(1); =cmd|calc!A1",,,,\n' \
				$at $status $status $at
			printf '%s,SM,level,.%s,%s,,,,%s,,,,".; From here on. --=_mixed_00 Subject: x",,,,\n' $at $status $status $at
		done
		printf '2025-02-04T01:00:00Z,MM,%s,long,alarm,,,,2025-02-04T01:00:00Z,,,,"%s",,,,\n' long \
			"$(awk 'BEGIN { for (i = 0; i < 12500; i++) printf "%s", "<a&\"\"b> " }')"
		printf '2025-02-04T01:00:00Z,MM,,likely-x,alert,,,,2025-02-04T01:00:00Z,,,,"<u>sure</u>; do <it>","MM long long;NM pressure <script>alert(alarm)</script>",,,\n'
		printf '2025-02-04T01:00:00Z,MM,,cost-of-waiting,ok,,,,2025-02-04T01:00:00Z,,,,"<i>costs</i>","MM long long",1,2,"<s>/d"\n'
		# Rows that are no findings: a control, malformed UTF-8.
		printf '2025-02-04T01:00:00Z,MM,level,ctl,alarm,1,bar,2,,,,,"\033[2J <script>",,,,\n'
		printf '2025-02-04T01:00:00Z,MM,level,utf,alarm,1,bar,2,,,,,"\377 <script>",,,,\n'
	} >"$scratch/tonight.csv"
	{
		echo 'time,asset,point,value,unit,quality'
		for h in 00 01 02 03; do
			printf '2025-02-04T%s:00:00Z,NM,pressure,%s,bar,good\n' $h "1$h"
			printf '2025-02-04T%s:00:00Z,"NM/""x"" onload=""y",a & b,%s,bar,good\n' $h "1$h"
		done
	} >"$scratch/readings.csv"
}
hostile
cd "$scratch" || exit 1
report() { leat-report -q --nameplate nameplate.csv --now $now --pictures readings.csv --readings readings.csv "$@" tonight.csv 2>err; }
report --html >report.html; check 'HTML of hostile findings: the rows that are none are told by status' test $? = 2
report --mail --from '"Nacht \"Ünï\"" <night@works.example>' --to 'a@works.example, Ö <o@works.example>' >report.eml
check 'mail of hostile findings: likewise' test $? = 2
leat-report -q --nameplate nameplate.csv --now $now --readings readings.csv tonight.csv >report.txt 2>err
report --mail --from '"Nacht \"Ünï\"" <night@works.example>' --to 'a@works.example, Ö <o@works.example>' >again.eml
check 'the same night printed again is the same mail, byte by byte' cmp -s report.eml again.eml
check 'a mail is ASCII' test -z "$(LC_ALL=C tr -d '\n -~' <report.eml)"
check 'no line of a mail is longer than 78 columns' awk 'length($0) > 78 { bad = 1 } END { exit bad }' report.eml
check 'no line of a mail is a full stop alone' awk '$0 == "." { bad = 1 } END { exit bad }' report.eml

# Nothing is printed when there is nothing to say, in any form.
sed -n 1p tonight.csv >none.csv
for form in --html "--mail --from a@b.example --to a@b.example"; do
	# shellcheck disable=SC2086 # words
	check "nothing to say is no byte ($form)" test -z "$(leat-report $form --now $now none.csv)"
	# shellcheck disable=SC2086
	check "--always says it ($form)" test -n "$(leat-report $form --always --now $now none.csv)"
done

# No header can be added, whoever gives the addresses.
nl='
'
cr=$(printf '\r')
for given in "a@b.example${nl}Bcc: x@y.example" "a@b.example${cr}Bcc: x@y.example" "N${nl}${nl}body <a@b.example>" 'a@b.example, ' '' 'root' \
	"$(printf '\302\205') <a@b.example>" "$(printf 'N\001 <a@b.example>')"; do
	for option in --from --to; do
		other=--to; [ "$option" = --from ] || other=--from
		leat-report --mail "$option" "$given" "$other" a@b.example --now $now --always none.csv >out 2>err; status=$?
		check "refused as $option: $(printf '%s' "$given" | tr -c '[:print:]' '?')" test "$status/$(wc -c <out)/$(wc -l <err)" = 2/0/2
	done
done

python=
for p in python3 /usr/bin/python3; do
	"$p" -c 'import sys; sys.exit(sys.version_info < (3, 8))' 2>/dev/null && python=$p && break
done
if [ -z "$python" ]; then skip 'HTML and mail read back: no python3'
else
	"$python" "$top/tests/suite/report_forms.py" report.html report.eml report.txt tonight.csv >result 2>&1; status=$?
	cat result
	check 'python3 reads HTML and mail back' test "$status" = 0
	! grep -q '^FAIL' result || bad=1
fi

if perl -MMIME::Parser -e 1 2>/dev/null; then
	perl -MMIME::Parser -MEncode -e '
		my $p = MIME::Parser->new; $p->output_to_core(1); $p->extract_nested_messages(0);
		my $m = $p->parse_open("report.eml"); my @a = $m->parts;
		my @part = ($a[0]->parts, @a[1, 2]);
		print $p->results->errors, $p->results->warnings;
		print join(" ", map { $_->mime_type } $m, $a[0], @part), "\n";
		open my $o, ">:raw", "perl.txt"; print $o $part[0]->bodyhandle->as_string; close $o;
		open $o, ">:raw", "perl.html"; print $o $part[2]->bodyhandle->as_string; close $o;
		print encode("UTF-8", decode("MIME-Header", $m->head->get("Subject")));' >perl.out 2>&1
	check 'MIME::Parser finds the parts' test "$(sed -n 1p perl.out)" = \
		'multipart/mixed multipart/alternative text/plain text/html text/html text/csv'
	check 'MIME::Parser reads the subject' test "$(sed -n 2p perl.out)" = "Mühle <b>Ñandú</b> \"Мельница\" =: $(sed -n 1p report.txt)"
	check 'MIME::Parser reads the text' cmp -s perl.txt report.txt
	check 'MIME::Parser reads the attached HTML' cmp -s perl.html report.html
else skip 'mail read back by perl: no MIME::Parser'; fi

if command -v tidy >/dev/null 2>&1; then
	# What tidy does not know of SVG within HTML is not at issue; nor that an empty cell may be.
	tidy -e -q report.html 2>&1 | grep -v 'proprietary attribute "font-family"' >tidy.out
	check "tidy has nothing to say of the HTML: $(head -n 3 tidy.out)" test ! -s tidy.out
	leat-report -q --nameplate "$cases/grouped/nameplate.csv" --now $now --html "$cases/grouped/tonight.csv" | tidy -e -q >tidy.out 2>&1
	check "tidy has nothing to say of findings under a cause: $(head -n 3 tidy.out)" test ! -s tidy.out
else skip 'HTML checked by tidy: not installed'; fi
exit $bad
