#!/bin/sh
# report-forms.sh: the report in HTML and as a mail, by programs that have nothing to do with it: python3's html.parser, its XML
# and email libraries, tidy, and perl's MIME::Parser (libmime-tools-perl).  What is not installed is skipped.
# shellcheck source=tests/lib.sh
. "$(dirname "$0")/../lib.sh"
. "$top/tests/hostile.sh"

now=2025-02-04T04:30:00Z
cases=$top/tests/cmd/leat-report

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
	mkdir mails
	"$python" "$top/tests/suite/report_mails.py" mails >result 2>&1; status=$?
	cat result
	check 'python3 reads many mails back' test "$status" = 0
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
