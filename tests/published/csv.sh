#!/bin/sh
# csv.sh: the row reader and the CSV writer beside the csv module of Python's standard library (its 'excel' dialect, which
# follows RFC 4180) on many random tables.
. "$(dirname "$0")/../lib.sh"

if ! command -v python3 >/dev/null 2>&1; then skip 'csv: python3 not installed'; exit 0; fi
cat >"$scratch/compare.py" <<'PY'
import csv, io, random, subprocess, sys

tool = sys.argv[1]
rng = random.Random(4180)
pieces = ['"', ',', '\n', '\r', '\r\n', ' ', '\t', 'a', '1.5', 'ä', '€', ';', "'", '!', '\x01', '\\', 'x' * 300]

def table():
    width = rng.randint(1, 6)
    return [[''.join(rng.choice(pieces) for _ in range(rng.choice((0, 0, 1, 1, 2, 5)))) for _ in range(width)]
            for _ in range(rng.randint(1, 40))]

def run(mode, data):
    return subprocess.run([tool, mode], input=data, stdout=subprocess.PIPE, check=True).stdout

def fields(data):
    rows, at = [], 0
    while at < len(data):
        end = data.index(b'\n', at)
        count, at, row = int(data[at:end]), end + 1, []
        for _ in range(count):
            end = data.index(b':', at)
            length = int(data[at:end])
            row.append(data[end + 1:end + 1 + length].decode('utf-8'))
            at = end + 1 + length
        assert data[at:at + 1] == b'\n'
        rows.append(row)
        at += 1
    return rows

for i in range(200):
    rows = table()
    text = io.StringIO(newline='')
    # Only CRLF makes every version of the module quote a lone CR.
    end, quoting = rng.choice((('\r\n', csv.QUOTE_MINIMAL), ('\n', csv.QUOTE_ALL), ('\r\n', csv.QUOTE_ALL)))
    csv.writer(text, lineterminator=end, quoting=quoting).writerows(rows)
    data = text.getvalue().encode('utf-8')
    if rng.random() < 0.5:
        data = data.rstrip(b'\n')
    if fields(run('fields', data)) != rows:
        sys.exit('table %d is not read as it was written' % i)
    # Single empty fields make empty lines, which are no rows.
    rows = [row for row in rows if row != ['']]
    again = run('again', data).decode('utf-8')
    if [row for row in csv.reader(io.StringIO(again, newline=''), strict=True) if row] != rows:
        sys.exit('table %d is not written as it was read' % i)
PY
check 'csv: 200 random tables as the csv module of Python reads and writes them' \
	python3 "$scratch/compare.py" "$build/tests/published/dump_rows"
exit "$bad"
