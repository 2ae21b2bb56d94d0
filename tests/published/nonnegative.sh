#!/bin/sh
# nonnegative.sh: least squares without negative coefficients against SciPy (scipy.optimize.nnls, the algorithm of Lawson and
# Hanson), and which coefficients are told against the null space of NumPy (numpy.linalg.svd).
# shellcheck source=tests/lib.sh
. "$(dirname "$0")/../lib.sh"
dump=$build/tests/published/dump_nonnegative
cd "$scratch" || exit 1
python=
for p in python3 /usr/bin/python3; do
	"$p" -c 'import scipy.optimize' 2>/dev/null && python=$p && break
done
[ -n "$python" ] || { skip 'least squares by SciPy: no python3 with scipy'; exit "$bad"; }
cat >compare.py <<'END'
import subprocess, sys
import numpy as np
from scipy.optimize import nnls

rng = np.random.default_rng(11)
cases = []
while len(cases) < 400:
    n, terms = int(rng.integers(1, 14)), int(rng.integers(1, 9))
    a = (rng.uniform(0, 1, (n, terms)) > 0.35).astype(float) if len(cases) % 2 else rng.uniform(0, 2, (n, terms))
    if (a.sum(axis=0) > 0).all():
        cases.append((a, a @ np.maximum(rng.normal(0.2, 0.3, terms), 0) + rng.normal(0, 0.05, n)))
text = "".join("%d %d\n" % a.shape + "".join(" ".join(repr(float(v)) for v in [*row, y]) + "\n" for row, y in zip(a, b))
               for a, b in cases)
out = subprocess.run([sys.argv[1]], input=text, capture_output=True, text=True, check=True).stdout.splitlines()
fit, told, rank = [], [], []
for (a, b), line in zip(cases, out):
    v = line.split()
    x, t = np.array(v[0:-1:2], float), np.array(v[1:-1:2], int)
    want, rest = nnls(a, b)
    # Where columns make up one another the solution is not one, but the residual is.
    if abs(np.linalg.norm(a @ x - b) - rest) > 1e-6 or np.linalg.matrix_rank(a) == a.shape[1] and np.abs(x - want).max() > 1e-4:
        fit.append((x, want))
    s, vt = np.linalg.svd(a)[1:]
    null = vt[(s > 1e-9).sum():]
    if int(v[-1]) != (s > 1e-9).sum():
        rank.append((v[-1], s))
    if any(bool(t[i]) != (np.abs(null[:, i]).max(initial=0) < 1e-7) for i in range(len(t))):
        told.append((t, null))
for name, bad in (("coefficients of 0 or more as by SciPy", fit), ("rank as by NumPy", rank), ("what is told is what the null space leaves alone", told)):
    print("FAIL" if bad or len(out) != len(cases) else "ok", name + ":", len(cases), "cases", *bad[:2])
END
"$python" compare.py "$dump" || fail 'the comparison runs'
exit "$bad"
