#include "stats/least.h"

#include <float.h>
#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

/* Reflects columns from..to of a so that column from has nothing below row from; false when it has nothing there
 * itself. */
static bool
reflect(double *a, size_t n, size_t from, size_t to)
{
	double *v = a + from * n, length = 0, head, tail;

	for (size_t i = from; i < n; i++)
		length = hypot(length, v[i]);
	/* The columns had length 1: what is left of one that the others make up is rounding. */
	if (!(length > 64 * DBL_EPSILON))
		return false;
	head = v[from] > 0 ? -length : length;
	v[from] -= head;
	tail = -head * v[from];
	for (size_t c = from + 1; c <= to; c++) {
		double *w = a + c * n, by = 0;

		for (size_t i = from; i < n; i++)
			by += v[i] * w[i];
		by /= tail;
		for (size_t i = from; i < n; i++)
			w[i] -= by * v[i];
	}
	v[from] = head;
	return true;
}

/* The inverse of the triangle that is left of a; in k's column upwards. */
static void
invert(const double *a, size_t n, size_t terms, double r[LEAT_LEAST_TERMS][LEAT_LEAST_TERMS])
{
	for (size_t k = 0; k < terms; k++)
		for (size_t i = k + 1; i-- > 0;) {
			double sum = i == k;

			for (size_t j = i + 1; j <= k; j++)
				sum -= a[j * n + i] * r[j][k];
			r[i][k] = sum / a[i * n + i];
		}
}

static void
fill(const double *a, size_t n, size_t terms, const double *scale, struct leat_least *out)
{
	double r[LEAT_LEAST_TERMS][LEAT_LEAST_TERMS] = { { 0 } };

	invert(a, n, terms, r);
	for (size_t i = 0; i < terms; i++) {
		for (size_t j = i; j < terms; j++)
			out->coefficient[i] += r[i][j] * a[terms * n + j];
		out->coefficient[i] /= scale[i];
		for (size_t k = 0; k < terms; k++) {
			for (size_t j = i > k ? i : k; j < terms; j++)
				out->inverse[i][k] += r[i][j] * r[k][j];
			out->inverse[i][k] /= scale[i] * scale[k];
		}
	}
}

static void
residuals(const double *column, const double *y, size_t n, size_t terms, double *rest, struct leat_least *out)
{
	for (size_t i = 0; i < n; i++) {
		double e = y[i];

		for (size_t t = 0; t < terms; t++)
			e -= out->coefficient[t] * column[t * n + i];
		out->squares += e * e;
		if (rest != NULL)
			rest[i] = e;
	}
	out->deviation = sqrt(out->squares / (double)(n - terms));
	for (size_t t = 0; t < terms; t++)
		out->error[t] = n > terms ? out->deviation * sqrt(out->inverse[t][t]) : NAN;
}

/* Copies the columns, scaled to length 1, and y behind them. */
static int
scaled(const double *column, const double *y, size_t n, size_t terms, double *a, double *scale,
    struct leat_error *err)
{
	for (size_t t = 0; t < terms; t++) {
		scale[t] = 0;
		for (size_t i = 0; i < n; i++)
			scale[t] = hypot(scale[t], column[t * n + i]);
		if (!isfinite(scale[t]))
			return leat_error_set(err, "column %zu has something that is not a number", t + 1);
		for (size_t i = 0; i < n; i++)
			a[t * n + i] = scale[t] > 0 ? column[t * n + i] / scale[t] : 0;
	}
	for (size_t i = 0; i < n; i++)
		if (!isfinite(y[i]))
			return leat_error_set(err, "value %zu is not a number", i + 1);
	memcpy(a + terms * n, y, n * sizeof(*y));
	return 0;
}

int
leat_least_fit(const double *column, const double *y, size_t n, size_t terms, double *rest, struct leat_least *out,
    struct leat_error *err)
{
	double *a, scale[LEAT_LEAST_TERMS];
	int status = -1;

	memset(out, 0, sizeof(*out));
	if (terms == 0 || terms > LEAT_LEAST_TERMS || n < terms)
		return leat_error_set(err, "%zu values are too few to fit %zu coefficients", n, terms);
	if ((a = malloc((terms + 1) * n * sizeof(*a))) == NULL)
		return leat_error_memory(err);
	if (scaled(column, y, n, terms, a, scale, err) < 0)
		goto done;
	for (size_t t = 0; t < terms; t++)
		if (!reflect(a, n, t, terms)) {
			leat_error_set(err, "column %zu is made up of those before it", t + 1);
			goto done;
		}
	fill(a, n, terms, scale, out);
	residuals(column, y, n, terms, rest, out);
	status = 0;
done:
	free(a);
	return status;
}
