#!/bin/sh
# units-page.sh: leat-units(7) lists every unit of the table under its dimension and in its order, with its size, every
# foreign spelling behind its unit, and nothing else.
set -u
cd "$(dirname "$0")" || exit 1
dump=${BUILD:-../../build}/tests/published/dump_units
page=../../man/leat-units.7
scratch=$(mktemp -d) || exit 1
trap 'rm -rf "$scratch"' EXIT
trap 'exit 1' HUP INT TERM
bad=0

# same NAME WHAT: the page and the table say the same, line by line.
same() {
	if [ -s "$scratch/$1.table" ] && cmp -s "$scratch/$1.table" "$scratch/$1.page"; then echo "ok units-page $1"
	else echo "FAIL units-page $1: the table (-) and the page (+) differ"; bad=1
		diff -u "$scratch/$1.table" "$scratch/$1.page" | sed -n '3,20p'; fi
}

# The page's units as 'dimension unit', and its spellings as 'spelling unit'.
awk -v OFS='\t' -v units="$scratch/units.page" -v spellings="$scratch/spellings.raw" \
	-v sizes="$scratch/sizes.page" '
/^\.Sh/ { inside = ($2 == "UNITS") }
!inside { next }
/^\.(It|El|br)/ && unit != "" && !also {
	# "meaning: size unit", or for a scale with an offset "the reading + offset ...".
	size = text; sub(/^.*: /, "", size); split(size, part, " ")
	if (part[1] == "the" || part[1] == "(the") print unit, "offset " part[4] + 0 > sizes
	else { k = split(part[1], ratio, "/"); printf "%s\t%.15g\n", unit, ratio[1] / (k > 1 ? ratio[2] : 1) > sizes }
}
/^\.(It|El)/ { unit = "" }
/^\.Ss / { dimension = $2; also = 0; next }
/^\.It Sy / { unit = substr($0, 8); sub(/^\\&/, "", unit); print dimension, unit > units; print unit, unit > spellings; also = 0; text = ""; next }
/^\.br/ { also = 1; next }
/^\./ { also = 0; next }
!also { text = text == "" ? $0 : text " " $0; next }
also {
	line = $0; sub(/^also /, "", line); sub(/,$/, "", line); gsub(/\\\(:u/, "\303\274", line)
	n = split(line, word, ", ")
	for (i = 1; i <= n; i++) print word[i], unit > spellings
}' "$page"
LC_ALL=C sort "$scratch/spellings.raw" >"$scratch/spellings.page"

"$dump" | awk -F '\t' -v OFS='\t' '{ print $2, $1 }' >"$scratch/units.table"
"$dump" spellings | LC_ALL=C sort >"$scratch/spellings.table"
"$dump" | awk -F '\t' '{ if ($5 != 0) print $1 "\toffset " $5 / $6; else printf "%s\t%.15g\n", $1, $3 / $4 }' \
	>"$scratch/sizes.table"
same units
same sizes
same spellings
exit $bad
