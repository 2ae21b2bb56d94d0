#!/bin/sh
# statistics.sh: lib/stats against general statistics packages.
#
# SciPy (scipy.stats.theilslopes, kendalltau, median_abs_deviation) and NumPy (quantile) on random points with and
# without ties; R (mad, quantile type 7, cor.test, lm) and SciPy on data sets that come with R.  leat-rollup's
# percentiles over time against NumPy's of the same signal sampled each second.
# shellcheck source=tests/lib.sh
. "$(dirname "$0")/../lib.sh"
dump=$build/tests/published/dump_statistics
cd "$scratch" || exit 1

# The system's Python has the packages of the system.
python=
for p in python3 /usr/bin/python3; do
	"$p" -c 'import scipy.stats' 2>/dev/null && python=$p && break
done
rscript=$(command -v Rscript) || rscript=

if [ -z "$python" ]; then
	skip 'statistics by SciPy: no python3 with scipy'
else
	cat >compare.py <<'END'
import subprocess, sys
import numpy as np
from scipy import stats

def ours(x, y, *what):
    text = "".join("%r %r\n" % (float(a), float(b)) for a, b in zip(x, y))
    out = subprocess.run([sys.argv[1], *what], input=text, capture_output=True, text=True, check=True)
    return [float(v) for v in out.stdout.split()]

def verdict(name, bad, count):
    print("FAIL" if bad or not count else "ok", name + ":", count, "cases", *bad[:3])

def points(rng, case):
    n = int(rng.integers(12, 300)) if case % 10 else 2500
    x = np.arange(n) * 1.0 if case % 3 else np.round(rng.uniform(0, 50, n))
    y = rng.normal(0, 1, n) + 0.02 * x
    # SciPy's variance leaves out the joint terms for ties in both, so only one of them has ties.
    return x, np.round(y, 1) if case % 3 == 1 else y

rng = np.random.default_rng(5)
cases = [points(rng, c) for c in range(120)]
for f in sys.argv[2:]:
    cases.append(np.loadtxt(f, unpack=True))

bad, count = [], 0
for x, y in cases:
    got, want = ours(x, y, "line", "0.95"), stats.theilslopes(y, x, 0.95)
    ties = len(set(x)) < len(x) and len(set(y)) < len(y)
    count += 1
    if got[0] != want[0] or not ties and (got[1] != want[2] or got[2] != want[3]):
        bad.append((got, want))
verdict("Theil-Sen slopes and intervals, to the last bit", bad, count)

bad, count = [], 0
for x, y in cases:
    got, want = ours(x, y, "kendall"), stats.kendalltau(x, y)
    count += 1
    if abs(got[1] - want[0]) > 1e-12:
        bad.append((got, want))
verdict("Kendall's tau", bad, count)

bad, count = [], 0
q = [0, 0.05, 0.1, 1 / 3, 0.5, 0.9, 0.95, 1]
for x, y in cases:
    got = ours(x, y, "order", *map(repr, q))
    # SciPy divides by a quantile of the normal distribution instead of the usual 1.4826.
    mad = 1.4826 * stats.median_abs_deviation(y)
    count += 1
    if not np.allclose(got, [mad, np.median(y), *np.quantile(y, q)], rtol=1e-14, atol=1e-15):
        bad.append((got, mad))
verdict("medians, deviations, quantiles", bad, count)
END
	sets=
	if [ -n "$rscript" ]; then
		cat >sets.R <<'END'
w <- function(f, x, y)
	write.table(format(cbind(x, y), digits = 17), f, quote = FALSE, row.names = FALSE, col.names = FALSE)
w("nile", 1871:1970, as.vector(Nile)); w("cars", cars$speed, cars$dist); w("huron", 1875:1972, as.vector(LakeHuron))
w("faithful", faithful$eruptions, faithful$waiting); w("women", women$height, women$weight)
END
		"$rscript" sets.R && sets='nile cars huron faithful women'
	fi
	# shellcheck disable=SC2086 # words on purpose
	"$python" compare.py "$dump" $sets >compared 2>&1 || echo 'FAIL statistics by SciPy ended early' >>compared
	cat compared
	grep -q '^FAIL' compared && bad=1
fi

if [ -z "$rscript" ]; then
	skip 'statistics by R: no Rscript'
else
	cat >compare.R <<'END'
dump <- commandArgs(TRUE)[1]
ours <- function(x, y, ...) {
	text <- paste(format(x, digits = 17, trim = TRUE), format(y, digits = 17, trim = TRUE))
	as.numeric(strsplit(system2(dump, c(...), input = text, stdout = TRUE), " ")[[1]])
}
sets <- list(nile = list(1871:1970, as.vector(Nile)), cars = list(cars$speed, cars$dist),
	huron = list(1875:1972, as.vector(LakeHuron)), faithful = list(faithful$eruptions, faithful$waiting),
	women = list(women$height, women$weight))
for (name in names(sets)) {
	x <- sets[[name]][[1]]; y <- sets[[name]][[2]]
	same <- function(what, got, want)
		cat(if (isTRUE(all.equal(got, want, tolerance = 1e-10))) "ok" else c("FAIL", got, want), what, "of", name, "by R\n")
	q <- c(0, 0.05, 0.25, 1/3, 0.5, 0.95, 1)
	same("median, mad and quantiles", ours(x, y, "order", format(q, digits = 17)),
		c(mad(y), median(y), unname(quantile(y, q, type = 7))))
	k <- cor.test(x, y, method = "kendall", exact = FALSE, continuity = TRUE)
	same("Kendall's tau and p, ties and continuity", ours(x, y, "kendall")[c(2, 4)], unname(c(k$estimate, k$p.value)))
	l <- summary(lm(y ~ x))
	same("least squares", ours(x, y, "least"), unname(c(l$coefficients[, 1], l$coefficients[, 2], l$sigma)))
}
END
	"$rscript" compare.R "$dump" >compared 2>&1 || echo 'FAIL statistics by R ended early' >>compared
	cat compared
	grep -q '^FAIL' compared && bad=1
	check 'all data sets were compared by R' test "$(grep -c '^ok' compared)" = 15
fi

# A signal with hourly percentiles over time, and the same sampled each second.
if [ -n "$python" ]; then
	awk 'BEGIN { srand(11); print "time,asset,point,value,unit,quality"; v = 120
		for (t = 0; t < 14400; t += 5 + int(rand() * 200)) {
			v += rand() * 6 - 3
			printf "2025-11-03T%02d:%02d:%02dZ,NM,pressure,%.2f,bar,good\n", int(t / 3600), int(t / 60) % 60, t % 60, v }
		printf "2025-11-03T04:00:00Z,NM,pressure,%.2f,bar,good\n", v }' >signal.csv
	leat-rollup --now data --utc --wide --quantiles 0.05,0.25,0.5,0.95 signal.csv >rolled
	"$python" - >compared 2>&1 <<'END' || echo 'FAIL percentiles over time ended early' >>compared
import csv
from datetime import datetime, timedelta
import numpy as np

def parse(t):
    return datetime.fromisoformat(t[:-1])

rows = list(csv.DictReader(open("signal.csv")))
start = parse("2025-11-03T00:00:00Z")
at = np.array([(parse(r["time"]) - start).total_seconds() for r in rows])
value = np.array([float(r["value"]) for r in rows])
bad, count = [], 0
for r in csv.DictReader(open("rolled")):
    end = (parse(r["time"]) - start).total_seconds()
    t = np.arange(end - 3600, end, 0.25) + 0.125
    signal = np.interp(t, at, value)
    # The last value of a period is held to its end: the next is not known yet.
    last = np.searchsorted(at, end, "right") - 1
    signal[t > at[last]] = value[last]
    for q in (0.05, 0.25, 0.5, 0.95):
        ours, theirs = float(r["p%02.0f" % (100 * q)]), np.quantile(signal, q)
        count += 1
        # Written with two decimals; a quarter of a second of the steepest line is the step of the samples.
        if abs(ours - theirs) > 0.02:
            bad.append((r["time"], q, ours, theirs))
print("FAIL" if bad or count != 16 else "ok", "percentiles over time by NumPy:", count, "values", *bad[:3])
END
	cat compared
	grep -q '^FAIL' compared && bad=1
fi
exit $bad
