#!/bin/sh
# lint.sh: the rules of the house that a machine can check.  Prints 'ok RULE' or 'FAIL RULE: where'.
set -u
cd "$(dirname "$0")/.." || exit 1
failed=$(mktemp) || exit 1
trap 'rm -f "$failed"' EXIT
cc=${CC:-cc}

# rule NAME: reads the offending lines from stdin; none means ok.  At the end of a pipe it is a shell of its own, so that it
# leaves word in a file.
rule() {
	found=$(head -n 8)
	if [ -z "$found" ]; then echo "ok $1"; else echo "FAIL $1:"; echo "$found"; echo 1 >>"$failed"; fi
}
sources=$(git ls-files -co --exclude-standard 'cmd/*.[ch]' 'lib/*.[ch]')
tracked=$(git ls-files -co --exclude-standard)

# Code without comments and strings, as file:line:text.
bare() {
	for f in "$@"; do
		awk -v f="$f" '{ line = $0
			if (c) { if (match(line, /\*\//)) { line = substr(line, RSTART + 2); c = 0 } else next }
			gsub(/\/\*([^*]|\*[^\/])*\*\//, "", line)
			if (match(line, /\/\*/)) { line = substr(line, 1, RSTART - 1); c = 1 }
			gsub(/"([^"\\]|\\.)*"/, "\"\"", line)
			print f ":" NR ":" line }' "$f"
	done
}

# shellcheck disable=SC2086
bare $sources >"${TMPDIR:-/tmp}/leat-lint.$$"
code=${TMPDIR:-/tmp}/leat-lint.$$
trap 'rm -f "$code"' EXIT

grep -E '\b(atoi|atol|atof|sprintf|vsprintf|strcpy|strcat|strtok|gets|setlocale|alloca|strncpy|scanf|sscanf|fscanf)[[:space:]]*\(' "$code" |
	rule 'banned functions'
grep -E '^lib/' "$code" | grep -E '\b(exit|_exit|abort|getenv|getopt_long|getopt|time|clock_gettime|printf|puts|putchar|perror)[[:space:]]*\(|\b(stderr|stdout)\b' |
	rule 'lib/ does not exit, print, or read environment and clock'
grep -hE '^#include "' lib/base/*.[ch] /dev/null | grep -vE '"base/|_private' | rule 'lib/base knows no floor above it'
grep -HE '^#include "(cmd|front|tell|upkeep|physics|stats)' lib/stream/*.[ch] /dev/null | rule 'lib/stream knows no physics'
grep -HE '^#include "(stream|tell|upkeep|front)' lib/physics/*.[ch] lib/stats/*.[ch] /dev/null 2>/dev/null | rule 'physics and stats know no streams'
grep -lE '#include <csv.h>' $sources | grep -v '^lib/stream/rows' | rule 'libcsv only behind the row reader'
for f in $sources; do n=$(wc -l <"$f"); [ "$n" -gt 500 ] && echo "$f: $n lines"; done | rule 'files of 500 lines at most'
for f in $(printf '%s\n' $sources | grep '\.c$'); do
	awk -v f="$f" '/^\{/ { s = NR } /^\}/ { if (s && NR - s - 1 > 60) print f ":" s ": function of " NR - s - 1 " lines"; s = 0 }' "$f"
done | rule 'functions of 60 lines at most'
awk 'length($0) > 126 { print FILENAME ":" FNR ": " length($0) " bytes" }' $sources | rule 'lines of bounded length'
grep -nE '[[:space:]]+$' $sources | rule 'no blanks at line ends'
for h in $(printf '%s\n' $sources | grep '\.h$'); do
	printf '#include "%s"\n' "$(pwd)/$h" |
		"$cc" -std=c11 -D_POSIX_C_SOURCE=200809L -Wall -Wextra -Ilib -Icmd -fsyntax-only -x c - 2>&1 | sed "s|^|$h: |"
done | rule 'each header compiles alone'
grep -nE '\bTODO\b|\bFIXME\b|\bXXX\b' $sources tests/*/*.[ch] tests/*/*.sh tests/*.sh 2>/dev/null | grep -v '^tests/lint.sh' | rule 'open work is an issue, not a remark'

# The user's layout of the top level, and no path of one machine.
for f in $tracked; do echo "${f%%/*}"; done | sort -u |
	grep -vxE 'README\.md|DEVELOPERS\.md|Makefile|cmd|lib|tests|testdata|man|docs|\..*' | rule 'top level'
printf '%s\n' $tracked | grep -v '\.md$' | xargs grep -InE '(^|[^A-Za-z0-9_.])/(home|root|work|mnt)/[a-z]' 2>/dev/null |
	grep -v '^tests/lint.sh:' | rule 'no path of one machine'
for c in cmd/leat-*.c; do
	n=$(basename "$c" .c)
	[ -e "man/$n.1" ] || echo "$n has no man page"
	[ -d "tests/cmd/$n" ] || echo "$n has no golden cases"
	grep -q "$n" man/leat.7 || echo "$n is not in leat(7)"
done | rule 'each command has its page, its cases and its line in leat(7)'

if command -v mandoc >/dev/null 2>&1; then mandoc -Tlint -W warning man/*.[157] 2>&1 | rule 'man pages'
else echo 'skip man pages: mandoc not installed'; fi
scripts=$(printf '%s\n' $tracked | grep '\.sh$'; echo .ci/run)
if command -v shellcheck >/dev/null 2>&1; then
	# shellcheck disable=SC2046,SC2086
	shellcheck -S warning -x -P SCRIPTDIR $scripts 2>&1 | grep -E '^In|SC[0-9]+' | rule 'shell scripts'
else echo 'skip shell scripts: shellcheck not installed'; fi
if command -v cppcheck >/dev/null 2>&1; then
	cppcheck --quiet --std=c11 --enable=warning,portability --inline-suppr --error-exitcode=0 -D_POSIX_C_SOURCE=200809L \
		--suppress=missingIncludeSystem -Ilib -Icmd cmd lib 2>&1 | grep -E ': (error|warning|portability):' | rule 'cppcheck'
else echo 'skip cppcheck: not installed'; fi
if command -v codespell >/dev/null 2>&1; then
	# shellcheck disable=SC2046,SC2086
	codespell -L leat,datas,ist,und,ein,aus,tag,nd,ser,fo,ot $(printf '%s\n' $tracked | grep -E '^(cmd|lib|man|docs)/|\.md$') 2>&1 | rule 'spelling'
else echo 'skip spelling: codespell not installed'; fi
[ ! -s "$failed" ]
