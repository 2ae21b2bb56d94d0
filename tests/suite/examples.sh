#!/bin/sh
# examples.sh: runs the EXAMPLES of every man page, at least two of each, and compares what they print.
#
# An example is a literal display that begins with '$ ' and a command ('> ' continues it), followed by the exact output
# of stdout and stderr.  Each command runs in its own scratch copy of testdata/examples.
set -u
cd "$(dirname "$0")/../.." || exit 1
top=$(pwd)
bin=${BIN:-$top/build/bin}
scratch=$(mktemp -d) || exit 1
trap 'rm -rf "$scratch"' EXIT
trap 'exit 1' HUP INT TERM
PATH=$bin:$PATH; TZ=UTC; export PATH TZ
unset LEAT_WORKS LEAT_NOW LC_ALL LANG
bad=0
for page in man/*.[157]; do
	name=${page#man/}
	rm -rf "$scratch/ex"; mkdir "$scratch/ex"
	# mdoc escapes that examples need: \e for a backslash, \& before a leading dot or quote.
	awk -v dir="$scratch/ex" '
	/^\.Sh/ { examples = ($2 == "EXAMPLES") }
	/^\.Bd -literal/ && examples { inside = 1; next }
	/^\.Ed/ { if (inside && n) close(out); inside = 0; mode = ""; next }
	inside {
		line = $0; gsub(/\\&/, "", line); gsub(/\\e/, "\\", line); gsub(/\\-/, "-", line)
		if (line ~ /^\$ /) { n++; out = dir "/" n; print substr(line, 3) > (out ".cmd"); close(out ".want"); printf "" > (out ".want"); mode = "cmd"; next }
		if (mode == "cmd" && line ~ /^> /) { print substr(line, 3) > (out ".cmd"); next }
		if (mode == "") next
		if (mode == "cmd") close(out ".cmd")
		mode = "out"; print line > (out ".want")
	}' "$page"
	count=0
	for cmd in "$scratch"/ex/*.cmd; do
		[ -e "$cmd" ] || continue
		count=$((count + 1))
		rm -rf "$scratch/run"; cp -R testdata/examples "$scratch/run" 2>/dev/null || mkdir "$scratch/run"
		cp -R testdata/works docs "$scratch/run/" 2>/dev/null
		(cd "$scratch/run" && sh "$cmd") >"$scratch/got" 2>&1 </dev/null
		if cmp -s "$scratch/got" "${cmd%.cmd}.want"; then echo "ok $name example $count"
		else echo "FAIL $name example $count: $(head -n 1 "$cmd")"; bad=1; diff -u "${cmd%.cmd}.want" "$scratch/got" | sed -n '3,20p'; fi
	done
	if [ "$count" -lt 2 ]; then echo "FAIL $name: $count examples that can be run, fewer than two"; bad=1; fi
	if ! grep -q '^\.Sh EXIT STATUS$' "$page"; then echo "FAIL $name: no EXIT STATUS"; bad=1; fi
done
exit $bad
