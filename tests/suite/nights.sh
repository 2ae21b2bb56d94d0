#!/bin/sh
# nights.sh: --nights of the judges writes, byte for byte, what a run with --now of each night prints.
#
# Three weeks of a simulated works across the change of the clocks, with a meter changed, a logbook that goes on after most of the
# nights, shelved findings, readings of uncertain quality, and a night that falls on a reading's own second.
# shellcheck source=tests/lib.sh
. "$(dirname "$0")/../lib.sh"
need_simulator
cp -R testdata/works-year "$scratch/works" || exit 1
cd "$scratch" || exit 1
"$simulate" --year --days 2025-03-10..2025-04-02 exports >said || fail 'a month is simulated'
cp exports/logbook.csv works/logbook.csv
{
	cat exports/logbook.csv
	echo '2025-03-20 10:00,MM/pump-a,pump-change,change-pump,,,,,s-9,ab,'
	echo '2025-03-25 10:00,MM,oil-change,,,,,,,ab,'
	echo '2025-03-28 10:00,SM/cyl-2,seal-change,change-seals,,,,,,ab,'
} | sort -u | awk '/^time/ { h = $0; next } { l[++n] = $0 } END { print h; for (i = 1; i <= n; i++) print l[i] }' >works/logbook.csv
printf 'asset,point,rule,until,who,why\n*,*,stale,2025-03-20,ab,known\n' >works/shelved.csv
leat-normalise -q --max-rejects 100% -w works --now 2025-04-10T00:00:00Z exports/MM_2025-0*.csv exports/SM_2025-0*.csv exports/round_MM_*.csv exports/lab_2025-0[34].csv >raw.csv ||
	fail 'exports are read'
leat-state -q -w works --now data raw.csv | leat-hours -q -w works --now data | leat-drain -q -w works --now data |
	leat-cleanliness -q -w works --now data | leat-oil -q -w works --now data >all.csv || fail 'the filters run'

# night_of DAY: the night after that works' day, at 05:30 on the clocks of the works; CEST begins on 30 March.
night_of() {
	if [ "$(echo "$1" | tr -d -)" -lt 20250329 ]; then hour=4; else hour=3; fi
	awk -v d="$1" -v h="$hour" 'BEGIN { split(d, p, "-"); m = p[2] + 0; n = p[3] + 1; l = m == 2 ? 28 : m == 4 ? 30 : 31
		if (n > l) { n = 1; m++ } printf("%s-%02d-%02dT0%d:30:00Z", p[1], m, n, h) }'
}

# same JUDGE OPTION...: all nights at once, and each by itself.
same() {
	judge=$1 kind=${1#leat-}
	shift
	rm -rf nights
	"$judge" -q -w works --nights nights "$@" all.csv 2>err || { fail "$judge $* --nights: $(head -n 1 err)"; return; }
	count=0 different=''
	for f in nights/*."$kind".csv; do
		day=${f#nights/}
		day=${day%%.*}
		"$judge" -q -w works --now "$(night_of "$day")" "$@" all.csv >one.csv 2>err ||
			{ fail "$judge $* of $day: $(head -n 1 err)"; return; }
		cmp -s one.csv "$f" || different="$different $day"
		count=$((count + 1))
	done
	check "$judge${*:+ $*}: $count nights, each as it was${different:+, but$different}" test -z "$different" -a "$count" -ge 20
	check "$judge${*:+ $*}: nothing else is left in the folder" test "$(find nights -type f ! -name "2025-*.$kind.csv" | wc -l)" = 0
}

for judge in leat-check leat-trend leat-verdict leat-confirm; do
	same "$judge"
	same "$judge" --all
done

# leat-diagnose goes by the findings of the judges, which lie in the folder.
rm -rf nights
for judge in leat-check leat-trend leat-verdict leat-confirm; do "$judge" -q -a -w works --nights nights all.csv; done
# A third sister that is the first over again.
leat-select -q --now data --thin P1D all.csv |
	awk 'BEGIN { FS = OFS = "," } { print } $2 ~ /^MM/ { sub(/^MM/, "ZM", $2); print }' >daily.csv
printf 'mode,symptom,rule,asset,point,says,where,weight,absent,plain,read,advice,source\nodd,one apart,odd-one-out,,*,,,3,,,it,Look.,made\nodd,a limit,*,*,*,,mill,2,,,it,Look.,made\n' >modes.csv
# diagnosed OPTION...: all nights at once, and each by itself with readings that end there.
diagnosed() {
	rm -f nights/*.diagnose.csv
	leat-diagnose -q -w works --nights nights "$@" daily.csv 2>err || { fail "leat-diagnose $* --nights: $(head -n 1 err)"; return; }
	count=0 different=''
	for f in nights/*.diagnose.csv; do
		day=${f#nights/}
		day=${day%%.*}
		now=$(night_of "$day")
		awk -F, -v now="$now" 'NR == 1 || $1 <= now' daily.csv >cut.csv
		leat-diagnose -q -w works --now "$now" "$@" -f "nights/$day.check.csv" -f "nights/$day.trend.csv" -f "nights/$day.verdict.csv" \
			-f "nights/$day.confirm.csv" cut.csv >one.csv 2>err || { fail "leat-diagnose $* of $day: $(head -n 1 err)"; return; }
		cmp -s one.csv "$f" || different="$different $day"
		count=$((count + 1))
	done
	check "leat-diagnose${*:+ $*}: $count nights, each as it was${different:+, but$different}" test -z "$different" -a "$count" -ge 20
	check "leat-diagnose${*:+ $*}: they differ" test "$(cat nights/*.diagnose.csv | sort -u | wc -l)" -gt 5
	check "leat-diagnose${*:+ $*}: nothing else is left in the folder" test "$(find nights -type f ! -name '2025-*.[cdtv]*.csv' | wc -l)" = 0
}
diagnosed --all
diagnosed --all --modes modes.csv
check 'sisters are compared' grep -q odd-one-out nights/2025-03-20.diagnose.csv
rm nights/2025-03-20.check.csv nights/2025-03-20.trend.csv nights/2025-03-20.verdict.csv nights/2025-03-20.confirm.csv nights/*.diagnose.csv
leat-diagnose -w works --nights nights daily.csv 2>err
check 'a night of which no judge has findings is left out, and said' test ! -e nights/2025-03-20.diagnose.csv -a -e nights/2025-03-21.diagnose.csv
check 'and how many' grep -q '^leat-diagnose: 1 night' err

# So do leat-due, for conditions, and leat-loss, for what waits, and they go by the logbook as it was.
leat-select -q --now data --point 'running-hours*' --point 'starts*' all.csv >hours.csv
leat-select -q --now data --point state --point pressure --point pressure-setpoint --point head-pressure --point feed-rate \
	--point pump-running --point internal-leakage --point drain-flow-corrected --point filter-dp-corrected all.csv >losses.csv
# follows FILE COMMAND OPTION...: all nights at once, and each by itself with readings and a logbook that end there.
follows() {
	file=$1 command=$2 kind=${2#leat-}
	shift 2
	"$command" -q -w works --nights nights "$@" "$file" 2>err || { fail "$command $* --nights: $(head -n 1 err)"; return; }
	count=0 different=''
	for f in nights/*."$kind".csv; do
		day=${f#nights/}
		day=${day%%.*}
		now=$(night_of "$day")
		awk -F, -v now="$now" 'NR == 1 || $1 <= now' "$file" >cut.csv
		# On the clocks of the works, at which it is half past five.
		awk -F, -v day="$now" 'NR == 1 || $1 < substr(day, 1, 10) " 05:30"' works/logbook.csv >book.csv
		found=''
		for judge in check trend verdict confirm; do [ ! -e "nights/$day.$judge.csv" ] || found="$found -f nights/$day.$judge.csv"; done
		# shellcheck disable=SC2086 # options are words
		"$command" -q -w works --logbook book.csv --now "$now" "$@" $found cut.csv >one.csv 2>err ||
			{ fail "$command of $day: $(head -n 1 err)"; return; }
		cmp -s one.csv "$f" || different="$different $day"
		count=$((count + 1))
	done
	check "$command${*:+ $*}: $count nights, each as it was${different:+, but$different}" test -z "$different" -a "$count" -ge 20
	check "$command${*:+ $*}: they differ" test "$(cat nights/*."$kind".csv | cut -d, -f2-6 | sort -u | wc -l)" -gt 2
	rm -f nights/*."$kind".csv
}
follows hours.csv leat-due
follows hours.csv leat-due --all
follows losses.csv leat-loss
follows losses.csv leat-loss --all
leat-due -q -w works --nights nights --until 2025-03-22T00:00:00Z hours.csv
check 'a night without findings has tasks all the same' test -e nights/2025-03-20.due.csv

# The next tests need more than one night to differ.
leat-check -q -w works --nights nights all.csv
check 'nights differ from each other' test "$(cat nights/*.check.csv | sort -u | wc -l)" -gt 5

# From a pipe, some nights only, at another time.
leat-check -q -w works --nights some --night-time 22:00 --from 2025-03-14T00:00:00Z --until 2025-03-16T12:00:00Z <all.csv
check 'from and until choose nights' test "$(find some -type f | sort | tr '\n' ' ')" = 'some/2025-03-14.check.csv some/2025-03-15.check.csv '
leat-check -q -w works --now 2025-03-14T21:00:00Z all.csv >one.csv
check 'a night at 22:00 belongs to the day that it is in' cmp -s one.csv some/2025-03-14.check.csv

# The script of the documentation: the line over an archive, by the tables of the works and by others.
leat-archive -q -w works --now data raw.csv || fail 'the readings are archived'
mkdir proposed
cp works/limits.csv proposed/
sh "$top/docs/replay.sh" --now 2025-04-03T00:00:00Z works out proposed >text 2>err || fail "replay.sh: $(head -n 1 err)"
check 'replay.sh writes the nights of every judge, diagnoses and tasks' test "$(find out/present -name '2025-03-20.*.csv' | wc -l)" = 6
check 'the same table gives the same nights' diff -r out/present out/proposed
check 'and nothing differs but what is said of all' test "$(grep -c '^out/' text)" = 0
leat-replay --now 2025-04-03T00:00:00Z -w works out/present >scores
leat-replay --now 2025-04-03T00:00:00Z -w works out/present/* >again
check 'a folder is its files' cmp -s scores again
sh "$top/docs/replay.sh" --now 2025-04-03T00:00:00Z works out >text 2>err
check 'replay.sh overwrites no nights' test $? = 2 -a -s err

# What cannot be.
refuses() {
	what=$1
	shift
	: >err
	"$@" >printed 2>err
	check "$what" test $? = 2 -a -s err
}
refuses '--nights and --now exclude each other' leat-check -q -w works --nights x --now data all.csv
refuses '--nights and --explain exclude each other' leat-trend -q -w works --nights x --explain all.csv
refuses '--from needs --nights' leat-check -q -w works --from 2025-03-14T00:00:00Z all.csv
refuses '--nights has its own findings' leat-diagnose -q -w works --nights nights -f nights/2025-03-21.check.csv all.csv
refuses '--nights and --now exclude each other for leat-diagnose too' leat-diagnose -q -w works --nights nights --now data all.csv
mkdir bare && refuses 'nights without findings are none' leat-diagnose -q -w works --nights bare all.csv
mkdir odd && echo nonsense >odd/2025-03-20.check.csv
refuses 'findings that cannot be read are no success' leat-diagnose -q -w works --nights odd all.csv
check 'and leave no night' test ! -e odd/2025-03-20.diagnose.csv -a ! -e odd/2025-03-20.diagnose.csv.new
refuses '--nights makes no calendar' leat-due -q -w works --nights nights --ics hours.csv
refuses 'nor has leat-due findings of its own' leat-due -q -w works --nights nights -f nights/2025-03-21.check.csv hours.csv
refuses 'nor has leat-loss' leat-loss -q -w works --nights nights -f nights/2025-03-21.check.csv losses.csv
refuses '--nights fits nothing' leat-loss -q -w works --nights nights --fit losses.csv
refuses 'a time of day is one' leat-check -q -w works --nights x --night-time 25:00 all.csv
head -n 1 all.csv >empty.csv
refuses 'nights need readings' leat-check -q -w works --nights x empty.csv
: >file
refuses 'a folder is one' leat-check -q -w works --nights file all.csv
head -c 1000000 all.csv >cut.csv
refuses 'an input that is cut is no success' leat-check -q -w works --nights cut cut.csv
if [ -w /dev/full ]; then
	mkdir full && ln -s /dev/full full/2025-03-20.check.csv.new
	refuses 'a full disk is no success' leat-check -q -w works --nights full all.csv
	check 'and leaves no night that was not written' test ! -e full/2025-03-20.check.csv
fi
exit "$bad"
