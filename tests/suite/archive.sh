#!/bin/sh
# archive.sh: leat-archive and leat-select against sort(1), awk and zcat on random readings.
# shellcheck source=tests/lib.sh
. "$(dirname "$0")/../lib.sh"
LC_ALL=C; export LC_ALL
header='time,asset,point,value,unit,quality'

# random SEED: readings of 100 days in no order, some of them twice, each line once a file.
random() {
	awk -v seed="$1" 'BEGIN {
		srand(seed)
		split("31 28 31 30", days, " ")
		split("NM MM NM/pump-a SM/cyl-2", asset, " ")
		split("pressure oil-temperature mill-running filter-dp", point, " ")
		split("bar degC - bar", unit, " ")
		for (i = 0; i < 6000; i++) {
			m = 1 + int(rand() * 4); d = 1 + int(rand() * days[m])
			p = 1 + int(rand() * 4); a = 1 + int(rand() * 4)
			if (rand() < 0.1) { m = 2; d = 1; hour = minute = second = 0 }
			else { hour = int(rand() * 24); minute = int(rand() * 60); second = int(rand() * 60) }
			t = sprintf("2025-%02d-%02dT%02d:%02d:%02dZ", m, d, hour, minute, second)
			# The value follows from the name and time, so that no two rows differ.
			v = p == 3 ? (length(t asset[a]) + d) % 2 ? "on" : "off" : (d * 7 + m * 31 + a * 3 + p) % 200 "." (d + m) % 10
			q = (d + a) % 9 == 0 ? "uncertain" : (d + p) % 13 == 0 ? "bad" : "good"
			print t "," asset[a] "," point[p] "," (q == "bad" ? "" : v) "," (p == 3 ? "" : unit[p]) "," q } }'
}

# stream: what stdin has, in order of time under a header.
stream() { echo "$header"; sort; }

archive() { leat-archive --now data --archive "$@"; }
choose() { leat-select --now data "$@"; }

random 1 >"$scratch/all"
sort -u "$scratch/all" >"$scratch/want"
check 'some rows come twice' test "$(wc -l <"$scratch/want")" -lt 6000 -a "$(wc -l <"$scratch/want")" -gt 5000

# Parts that overlap, added one by one in two orders, all at once, and again.
head -n 3000 "$scratch/all" | stream >"$scratch/a"
sed -n '2000,5000p' "$scratch/all" | stream >"$scratch/b"
tail -n 2500 "$scratch/all" | stream >"$scratch/c"
for f in a b c; do archive "$scratch/one" "$scratch/$f" || fail "adding $f"; done
for f in c b a; do archive "$scratch/two" "$scratch/$f" || fail "adding $f"; done
archive "$scratch/three" "$scratch/a" "$scratch/b" "$scratch/c" || fail 'adding all'
check 'the order of adding makes no difference' diff -r "$scratch/one" "$scratch/two"
check 'one run or three make no difference' diff -r "$scratch/one" "$scratch/three"
find "$scratch/one" -name '*.gz' | sort | xargs zcat | grep -v '^time' | sort >"$scratch/got"
check 'the archive has each row once' cmp "$scratch/want" "$scratch/got"
check 'there are four months' test "$(find "$scratch/one" -name '*.gz' | wc -l)" = 4
before=$(find "$scratch/one" -name '*.gz' -exec ls -i {} + | sort)
archive "$scratch/one" "$scratch/b" || fail 'adding again'
check 'adding again writes no month' test "$before" = "$(find "$scratch/one" -name '*.gz' -exec ls -i {} + | sort)"
check 'adding again makes no difference' diff -r "$scratch/one" "$scratch/two"
{ echo "$header"; echo '2025-03-31T23:59:59.5Z,MM,level,400,mm,good'; } >"$scratch/late"
archive "$scratch/one" "$scratch/late" || fail 'adding a late row'
check 'a late row leaves other months alone' test "$(find "$scratch/one" -name '*.gz' -exec ls -i {} + | sort |
	grep -cvF "$before")" -le 1 -a "$(zcat "$scratch/one/2025/03.csv.gz" | tail -n 1)" = "$(tail -n 1 "$scratch/late")"
for f in 01 02 03 04; do
	gzip -t "$scratch/two/2025/$f.csv.gz" || fail "gzip -t $f"
	zcat "$scratch/two/2025/$f.csv.gz" | tail -n +2 | sort -c -t, -k1,3 || fail "order of $f"
	zcat "$scratch/two/2025/$f.csv.gz" | tail -n +2 | grep -v "^2025-$f-" && fail "rows of another month in $f"
done
check 'the archive verifies' archive "$scratch/two" --verify -q
check 'gzip holds no time and no name' test "$(head -c 10 "$scratch/two/2025/01.csv.gz" | od -An -tx1 | tr -d ' \n')" = 1f8b08000000000000ff

# select NAME FILTER [OPTION...]: the rows that awk's FILTER takes.
select_is() {
	what=$1 filter=$2; shift 2
	awk -F, "$filter" "$scratch/want" >"$scratch/x"
	choose --archive "$scratch/two" "$@" | tail -n +2 | sort >"$scratch/y"
	if [ -s "$scratch/x" ] && cmp -s "$scratch/x" "$scratch/y"; then ok "select $what"
	else fail "select $what: $(diff "$scratch/x" "$scratch/y" | head -n 3 | tr '\n' ' ')"; fi
	# The same of files, and of a stream that is not in order.
	choose "$@" "$scratch/a" "$scratch/b" "$scratch/c" | tail -n +2 | sort -u >"$scratch/y"
	check "select $what of files" cmp "$scratch/x" "$scratch/y"
	{ echo "$header"; cat "$scratch/all"; } | choose "$@" --sort - | tail -n +2 >"$scratch/y"
	check "select $what sorted" sort -s -c -t, -k1,1 "$scratch/y"
	sort -u "$scratch/y" >"$scratch/z"
	check "select $what of a stream in no order" cmp "$scratch/x" "$scratch/z"
}
select_is everything 1
select_is 'by time' '$1 >= "2025-02-01T00:00:00Z" && $1 < "2025-03-10T12:00:00Z"' --from 2025-02-01 --to 2025-03-10T12:00:00Z
select_is 'one instant' '$1 == "2025-02-01T00:00:00Z"' --from 2025-02-01 --to 2025-02-01T00:00:01Z
select_is 'by asset' '$2 ~ /^NM/ || $2 ~ /^SM/' --asset 'NM*' --asset 'SM*'
select_is 'by point and quality' '$3 ~ /^oil-/ && ($6 == "good" || $6 == "bad")' --point 'oil-*' --quality good,bad
select_is numbers '$4 ~ /^[0-9.]+$/' --numeric
last=$(tail -n 1 "$scratch/want" | cut -d, -f1)
from=$(date -u -d "$last - 10 days" +%Y-%m-%dT%H:%M:%SZ 2>/dev/null) &&
	select_is 'the last ten days' "\$1 >= \"$from\"" --now "$last" --last P10D

# Stable sorting, and rows that pass byte for byte.
{ echo "$header,origin"; awk '{ print $0 "," NR }' "$scratch/all"; } >"$scratch/marked"
choose --sort "$scratch/marked" >"$scratch/y"
{ head -n 1 "$scratch/marked"; tail -n +2 "$scratch/marked" | sort -s -t, -k1,1; } >"$scratch/x"
check 'sort keeps rows of one time in their order' cmp "$scratch/x" "$scratch/y"
choose "$scratch/y" >"$scratch/z"
check 'rows pass byte for byte' cmp "$scratch/y" "$scratch/z"

# A wide table, against the same made by awk.
choose --archive "$scratch/two" --wide --point pressure --asset NM --asset MM >"$scratch/y"
{
	echo 'time,MM:pressure [bar],NM:pressure [bar]'
	awk -F, '$3 == "pressure" && ($2 == "NM" || $2 == "MM") { t[$1] = 1; v[$1 $2] = $4 }
		END { for (s in t) print s "," v[s "MM"] "," v[s "NM"] }' "$scratch/want" | sort
} >"$scratch/x"
check 'a wide table' cmp "$scratch/x" "$scratch/y"
stream <"$scratch/want" | choose --wide --point pressure --asset NM --asset MM >"$scratch/y"
check 'a wide table of a stream' cmp "$scratch/x" "$scratch/y"

# Only the months that are needed are read: one of the others may be broken.
cp -R "$scratch/two" "$scratch/broken"
head -c 3000 "$scratch/two/2025/03.csv.gz" >"$scratch/broken/2025/03.csv.gz"
check 'months that are not needed are not read' choose --archive "$scratch/broken" --from 2025-01-01 --to 2025-03-01 -q >/dev/null
choose --archive "$scratch/broken" --from 2025-02-01 >/dev/null 2>"$scratch/err"; status=$?
check 'a month that is cut short fails' test $status = 2 -a -s "$scratch/err"
archive "$scratch/broken" "$scratch/late" 2>"$scratch/err"; status=$?
check 'nothing is added to a month that is cut short' test $status = 2
cmp -s "$scratch/broken/2025/03.csv.gz" "$scratch/two/2025/03.csv.gz" && fail 'a broken month was replaced'
check 'what fails leaves nothing behind' test "$(find "$scratch/broken" -name '*.new' | wc -l)" = 0

# A second run while one goes.
mkfifo "$scratch/pipe"
exec 3<>"$scratch/pipe"
leat-archive --now data --archive "$scratch/two" "$scratch/pipe" 3>&- & pid=$!
echo "$header" >&3
sleep 0.5
archive "$scratch/two" "$scratch/late" 2>"$scratch/err"; status=$?
check 'a second run is refused' test $status = 2 -a -s "$scratch/err"
kill -9 $pid; exec 3>&-; wait $pid 2>/dev/null
check 'the lock goes with its process' archive "$scratch/two" "$scratch/late"
exit $bad
