#!/bin/sh
# readme.sh: what README.md shows is what comes out: the mail of the demo's second night, and the commands of the tour.
# shellcheck source=tests/lib.sh
. "$(dirname "$0")/../lib.sh"

if [ "${LONG-}" = no ] || [ -n "${SANITIZED-}" ]; then skip 'README: the demo takes minutes (LONG=no, or sanitizers)'; exit 0; fi
BUILD=$build sh tests/demo.sh >"$scratch/demo" 2>&1; status=$?
check 'make demo' test "$status" = 0
# The block that begins with the second night's verdict, without its indent.
awk '/^    Fri 19 Dec 2025:/ { on = 1 } on && /^[^ ]/ { exit } on' README.md | sed 's/^    //' >"$scratch/shown"
sed -n '/^Fri 19 Dec 2025:/,$p' "$scratch/demo" | awk '/^BEFORE ANY WORK/ || /^The works folder is/ { exit } { print }' >"$scratch/mail"
check 'README shows a mail' test -s "$scratch/shown"
if cmp -s "$scratch/shown" "$scratch/mail"; then ok 'README shows the mail of the second night'
else fail "README shows the mail of the second night: $(diff "$scratch/shown" "$scratch/mail" | head -n 6)"; fi

# The tour: lines of a block that begin with '$ ' are run one by one in one shell, the others are what they print.
awk '/^## Five minutes/ { tour = 1 } /^## What is here/ { exit } tour && /^    / { print substr($0, 5) } tour && /^$/ { print "" }' \
	README.md >"$scratch/tour"
sed -n 's/^\$ //p' "$scratch/tour" | grep -v '^PATH=\|^cd ' >"$scratch/commands"
cd "$build/demo/works/incoming/SM" || exit 1
cp -- SM_2025-02.csv "$scratch/"; cd "$scratch" || exit 1
number=0
while read -r command; do
	number=$((number + 1))
	sh -c "$command" >got 2>&1 </dev/null
	awk -v want="\$ $command" '$0 == want { on = 1; next } on && /^\$ / { exit } on' tour | sed '/^$/d' >want
	sed -i '/^$/d' got
	if cmp -s got want; then ok "README tour command $number"
	else fail "README tour command $number: $command: $(diff want got | head -n 6)"; fi
done <commands
check 'README tour has commands' test "$number" -ge 4
exit $bad
