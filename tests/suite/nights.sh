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
		# The night after that works' day, at 05:30 on the clocks of the works; CEST begins on 30 March.
		if [ "$(echo "$day" | tr -d -)" -lt 20250329 ]; then hour=4; else hour=3; fi
		next=$(awk -v d="$day" 'BEGIN { split(d, p, "-"); m = p[2] + 0; n = p[3] + 1; l = m == 2 ? 28 : m == 4 ? 30 : 31
			if (n > l) { n = 1; m++ } printf("%s-%02d-%02d", p[1], m, n) }')
		"$judge" -q -w works --now "${next}T0$hour:30:00Z" "$@" all.csv >one.csv 2>err ||
			{ fail "$judge $* of $next: $(head -n 1 err)"; return; }
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
check 'replay.sh writes the nights of every judge' test "$(find out/present -name '2025-03-20.*.csv' | wc -l)" = 4
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
	"$@" >out 2>err
	check "$what" test $? = 2 -a -s err
}
refuses '--nights and --now exclude each other' leat-check -q -w works --nights x --now data all.csv
refuses '--nights and --explain exclude each other' leat-trend -q -w works --nights x --explain all.csv
refuses '--from needs --nights' leat-check -q -w works --from 2025-03-14T00:00:00Z all.csv
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
