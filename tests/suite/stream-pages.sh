#!/bin/sh
# stream-pages.sh: leat-readings(5) and leat-findings(5) list the columns that are read, in the order in which they are
# written, and the examples there are good streams.
. "$(dirname "$0")/../lib.sh"
tool=$build/tests/bench/bench_rows

# columns PAGE: the tags of the first list, joined by commas.
columns() { awk '/^\.It Sy / { printf "%s%s", sep, $3; sep = "," } END { print "" }' "man/$1"; }

# example PAGE N: the N-th display that a comment marks as one to be read.
example() {
	awk -v want="$2" '
	/^\.\\" read / { due = ++n == want; next }
	/^\.Bd -literal/ { on = due; due = 0; next }
	/^\.Ed/ { on = 0 }
	on' "man/$1"
}

for stream in readings findings; do
	page=leat-$stream.5
	columns "$page" >"$scratch/header"
	if "$tool" $stream "$scratch/header" >/dev/null 2>"$scratch/err"; then ok "$page lists the columns that are read"
	else fail "$page lists the columns that are read: $(cat "$scratch/err")"; fi
	n=0
	for count in $(awk -v stream=$stream '/^\.\\" read / && $3 == stream { print $4 }' "man/$page"); do
		n=$((n + 1))
		example "$page" $n >"$scratch/$stream.csv"
		check "$page example $n starts with those columns" \
			test "$(head -n 1 "$scratch/$stream.csv" | cut -d, -f "1-$(tr , '\n' <"$scratch/header" | grep -c .)")" = "$(cat "$scratch/header")"
		"$tool" $stream "$scratch/$stream.csv" >"$scratch/got" 2>&1
		case $(cat "$scratch/got") in
		"$count $stream"*' 0 rejected') ok "$page example $n has $count good rows" ;;
		*) fail "$page example $n has $count good rows: $(cat "$scratch/got")" ;;
		esac
	done
	check "$page has two examples" test $n -ge 2
done
"$tool" copy "$scratch/readings.csv" >"$scratch/copy.csv" 2>/dev/null
check 'a readings stream is copied as it is' cmp -s "$scratch/readings.csv" "$scratch/copy.csv"
exit "$bad"
