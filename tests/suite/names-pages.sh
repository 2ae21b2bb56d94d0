#!/bin/sh
# names-pages.sh: leat-points(7), leat-nameplate(7) and leat-works(5) list exactly what is compiled in, and the tables of
# their examples can be read.
# shellcheck source=tests/lib.sh
. "$(dirname "$0")/../lib.sh"
dump=$build/tests/suite/dump_names

# The items of a page as 'name TAB facts TAB meaning': .It Cm NAME, .Pq FACTS, then lines of meaning.
items() {
	awk '
	function flush() { if (name != "") print name "\t" facts "\t" text; name = facts = text = "" }
	/^\.It Cm / { flush(); name = $3; next }
	/^\.Pq / && name != "" && facts == "" { facts = substr($0, 5); next }
	/^\./ { flush(); next }
	name != "" { text = text (text == "" ? "" : " ") $0 }
	END { flush() }' "$1"
}

# The columns under '.Ss TABLE.csv': .It Cm A , B
columns() {
	awk -v want="$1.csv" '
	/^\.S[sh] / { inside = ($2 == want) }
	inside && /^\.It Cm / { for (i = 3; i <= NF; i++) if ($i != ",") print $i }' man/leat-works.5
}

# same NAME: the files want and got do not differ.
same() {
	if [ -s "$scratch/want" ] && cmp -s "$scratch/want" "$scratch/got"; then ok "$1"
	else fail "$1: the page and the list differ"; diff "$scratch/want" "$scratch/got" | head -n 10; fi
}

"$dump" points >"$scratch/want"; items man/leat-points.7 >"$scratch/got"
same 'leat-points(7) lists every point with unit, kind, hold and meaning'
"$dump" properties >"$scratch/want"; items man/leat-nameplate.7 >"$scratch/got"
same 'leat-nameplate(7) lists every property with unit, default and meaning'
"$dump" events >"$scratch/want"; items man/leat-log.1 >"$scratch/got"
same 'leat-log(1) lists every event with its point, what it needs, what it renews and its meaning'
for table in nameplate points sources limits logbook confirm modes oil precharge shelved trends; do
	"$dump" columns "$table" >"$scratch/want"; columns "$table" >"$scratch/got"
	same "leat-works(5) lists every column of $table.csv"
done

# Displays after a line '.\" read TABLE' are such a table.
for page in man/leat-works.5 man/leat-points.7 man/leat-nameplate.7; do
	rm -f "$scratch"/table-*
	awk -v out="$scratch/table-" '
	/^\.\\" read / { kind = $3; next }
	/^\.Bd / && kind != "" { n++; file = out kind "-" n; next }
	/^\.Ed/ { if (file != "") close(file); file = kind = ""; next }
	file != "" { print > file }' "$page"
	count=0
	for file in "$scratch"/table-*; do
		[ -e "$file" ] || continue
		count=$((count + 1))
		kind=${file#"$scratch"/table-}; kind=${kind%-*}
		if message=$("$dump" read "$kind" "$file" 2>&1); then ok "${page#man/} example $count is a table $kind"
		else fail "${page#man/} example $count as a table $kind: $message"; fi
	done
	check "${page#man/} has examples that are tables" [ "$count" -gt 0 ]
done
exit $bad
