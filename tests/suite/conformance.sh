#!/bin/sh
# conformance.sh: pages, mails, cards and pictures against checkers of HTML, CSS and SVG that have nothing to do with leat: the
# Nu Html Checker (vnu-jar, by Java), which knows the schemas of HTML and SVG and the grammar of CSS, and html-validate (by
# node), which knows HTML and what a screen reader needs.  Both come from npm into the build folder; where there is no npm, or
# it cannot fetch them, they are skipped.
# shellcheck source=tests/lib.sh
. "$(dirname "$0")/../lib.sh"
# shellcheck source=tests/hostile.sh
. "$top/tests/hostile.sh"

# What a page holds is no matter of the compiler.
takes_long

npm=$build/npm
nu=$npm/node_modules/vnu-jar/build/dist/vnu.jar
validate=$npm/node_modules/html-validate/bin/html-validate.mjs
packages='vnu-jar@26.9.27 html-validate@10.17.0'

# Made beside its place, so that a run that was stopped leaves nothing half.
fetch() {
	[ ! -e "$nu" ] || [ ! -e "$validate" ] || return 0
	command -v npm >/dev/null 2>&1 || { skip 'conformance: npm is not installed'; exit 0; }
	rm -rf "$npm" "$npm.new"; mkdir -p "$npm.new"
	# shellcheck disable=SC2086 # packages are words
	(cd "$npm.new" && echo '{"private":true}' >package.json &&
		npm install --no-audit --no-fund --ignore-scripts --fetch-retries=1 --fetch-timeout=60000 $packages) >"$scratch/npm" 2>&1 &&
		mv "$npm.new" "$npm" && return
	skip "conformance: npm cannot fetch the checkers: $(grep -m 1 . "$scratch/npm" | cut -c 1-120)"
	exit 0
}
fetch

pages=$scratch/pages
mkdir -p "$pages"
now=2025-02-04T04:30:00Z

# The HTML part of a mail.
html_of() {
	perl -MMIME::QuotedPrint -e '
		local $/; $_ = <STDIN>;
		/^Content-Type: text\/html.*?\n\n(.*?)\n--=_/ms or exit 1; print decode_qp($1)'
}

# Reports: what people who mean ill wrote, with pictures; all sections; nothing to say.
hostile
cd "$scratch" || exit 1
leat-report -q --nameplate nameplate.csv --now $now --pictures readings.csv --readings readings.csv --html tonight.csv >"$pages/hostile.html" 2>err
if perl -MMIME::QuotedPrint -e 1 2>/dev/null; then
	leat-report -q --nameplate nameplate.csv --now $now --mail --from a@b.example --to a@b.example tonight.csv 2>err |
		html_of >"$pages/hostile-mail.html"
else skip 'HTML of a mail: no perl with MIME::QuotedPrint'; fi
sed -n 1p tonight.csv | leat-report --html --always --now $now >"$pages/nothing.html"
cd "$top/tests/cmd/leat-report" || exit 1
for case in html grouped all-sections score-two-nights flood-of-new standing-listed; do
	set -- --now $now
	[ ! -e $case/nameplate.csv ] || set -- "$@" --nameplate $case/nameplate.csv
	[ ! -d $case/nights ] || set -- "$@" --previous $case/nights
	leat-report -q --html --always "$@" $case/tonight.csv >"$pages/$case.html" 2>"$scratch/err"
	[ ! -e "$pages/hostile-mail.html" ] ||
		leat-report -q --mail --from a@b.example --to a@b.example --always "$@" $case/tonight.csv 2>"$scratch/err" | html_of >"$pages/$case-mail.html"
done
# Cards: a job, a job with what was found, a round.
cd "$top/tests/cmd/leat-card" || exit 1
leat-card -w html/w --now 2025-05-01T12:00:00Z --html gas-check NM >"$pages/card.html"
leat-card -q -w card/w --now 2025-05-01T12:00:00Z --html -f card/findings.csv gas-check NM >"$pages/card-findings.html"
leat-card -q -w round/w --now 2025-03-29T12:00:00Z --html --round round/rounds.csv >"$pages/round.html"
# Pictures: curves, a forecast, states, sparklines, names of anybody, none.
cd "$top/tests/cmd/leat-plot" || exit 1
leat-plot --now data --nameplate curves/nameplate.csv --logbook curves/logbook.csv curves/readings.csv >"$pages/curves.svg"
leat-plot -q --now 2025-10-11T06:00:00Z forecast/daily.csv >"$pages/daily.svg"
cd "$top" || exit 1
leat-plot --now data testdata/examples/state-shift.csv >"$pages/states.svg"
leat-plot --now data --sparkline testdata/examples/state-shift.csv >"$pages/spark.svg"
leat-plot -q --now data --title '<&>"]]>' "$scratch/readings.csv" >"$pages/hostile.svg" 2>"$scratch/err"
echo time,asset,point,value,unit,quality | leat-plot --now data >"$pages/none.svg"

cd "$pages" || exit 1
for f in *; do check "$f was made" test -s "$f"; done
count=$(find . -type f | wc -l)
# A page that is wrong in ways that a checker must see, or it checks nothing.
printf '<!DOCTYPE html><html lang="en"><head><title>x</title><style>p { colour: red; margin: 3 }</style></head><body><p><div></p><a href=x y>&</body></html>' >"$scratch/wrong.html"
printf '<svg xmlns="http://www.w3.org/2000/svg"><rect width="ten" colour="red"/></svg>' >"$scratch/wrong.svg"

# Warnings count too.
vnu() { java -Xmx512m -jar "$nu" --Werror --also-check-css --also-check-svg --format gnu "$@" >"$scratch/said" 2>&1; }
if command -v java >/dev/null 2>&1 && java -jar "$nu" --version >/dev/null 2>&1; then
	! vnu "$scratch/wrong.html" && grep -q 'End tag' "$scratch/said" && grep -q 'colour' "$scratch/said" &&
		ok 'Nu Html Checker: it sees what is wrong in HTML and CSS' || fail 'Nu Html Checker: it sees what is wrong in HTML and CSS'
	! vnu "$scratch/wrong.svg" && grep -q 'colour' "$scratch/said" && ok 'Nu Html Checker: it sees what is wrong in SVG' ||
		fail 'Nu Html Checker: it sees what is wrong in SVG'
	vnu "$pages"/* && ok "Nu Html Checker: nothing to say of $count files" ||
		fail "Nu Html Checker: $count files: $(sed "s|^.*$pages/||" "$scratch/said" | head -n 8)"
else skip 'Nu Html Checker: no java that runs it'; fi

valid() { node "$validate" --preset standard,a11y --formatter text "$@" >"$scratch/said" 2>&1; }
if node "$validate" --version >/dev/null 2>&1; then
	! valid "$scratch/wrong.html" && grep -q 'close-order' "$scratch/said" && ok 'html-validate: it sees what is wrong' ||
		fail 'html-validate: it sees what is wrong'
	valid ./*.html && ok 'html-validate: nothing to say of the pages' || fail "html-validate: $(head -n 8 "$scratch/said")"
else skip 'html-validate: no node that runs it'; fi
exit $bad
