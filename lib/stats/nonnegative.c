/* Least squares with coefficients that are 0 or more. */
#include <math.h>
#include <string.h>

#include "stats/nonnegative.h"

#define TERMS LEAT_NONNEGATIVE_TERMS
#define ROUNDS 200000
#define CLOSE 1e-14
#define TINY 1e-9		/* of the largest, below which a pivot is 0 */

/* The rows, reduced so that each that is left has a first 1 where all others have 0. */
struct echelon {
	double row[TERMS][TERMS];
	size_t lead[TERMS], rank;
};

/* Takes one more row in; true when it is not made up by those before. */
static bool
reduce(struct echelon *e, const double *from, size_t terms)
{
	double row[TERMS], largest = 0;
	size_t lead = 0;

	memcpy(row, from, terms * sizeof(*row));
	for (size_t i = 0; i < e->rank; i++) {
		double times = row[e->lead[i]];

		for (size_t t = 0; t < terms; t++)
			row[t] -= times * e->row[i][t];
	}
	for (size_t t = 0; t < terms; t++) {
		if (fabs(row[t]) > largest) {
			largest = fabs(row[t]);
			lead = t;
		}
	}
	if (largest < TINY || e->rank == TERMS)
		return false;
	for (size_t t = 0; t < terms; t++)
		e->row[e->rank][t] = row[t] / row[lead];
	for (size_t i = 0; i < e->rank; i++) {
		double times = e->row[i][lead];

		for (size_t t = 0; t < terms; t++)
			e->row[i][t] -= times * e->row[e->rank][t];
	}
	e->lead[e->rank++] = lead;
	return true;
}

/* Rows brought to a largest value of 1, so that TINY means the same for all. */
static void
reduce_all(struct echelon *e, const double *column, size_t n, size_t terms)
{
	e->rank = 0;
	for (size_t i = 0; i < n; i++) {
		double row[TERMS], largest = 0;

		for (size_t t = 0; t < terms; t++)
			largest = fmax(largest, fabs(column[t * n + i]));
		for (size_t t = 0; t < terms; t++)
			row[t] = largest > 0 ? column[t * n + i] / largest : 0;
		reduce(e, row, terms);
	}
}

/* A coefficient is told when its reduced row has nothing else in it. */
static void
tell(const struct echelon *e, size_t terms, struct leat_nonnegative *out)
{
	for (size_t i = 0; i < e->rank; i++) {
		double others = 0;

		for (size_t t = 0; t < terms; t++)
			if (t != e->lead[i])
				others = fmax(others, fabs(e->row[i][t]));
		out->told[e->lead[i]] = others < TINY;
	}
	out->rank = e->rank;
}

static double
product(const double *a, const double *b, size_t n)
{
	double sum = 0;

	for (size_t i = 0; i < n; i++)
		sum += a[i] * b[i];
	return sum;
}

/* Descends along one coordinate after the other; each step ends at the lowest place that is 0 or more. */
static void
descend(double gram[TERMS][TERMS], const double *right, size_t terms, double *x)
{
	double scale = 0;

	for (size_t t = 0; t < terms; t++)
		scale = fmax(scale, fabs(right[t]) / gram[t][t]);
	for (long round = 0; round < ROUNDS; round++) {
		double moved = 0;

		for (size_t t = 0; t < terms; t++) {
			double next = x[t] + (right[t] - product(gram[t], x, terms)) / gram[t][t];

			next = next > 0 ? next : 0;
			moved = fmax(moved, fabs(next - x[t]));
			x[t] = next;
		}
		if (moved <= CLOSE * scale)
			break;
	}
}

int
leat_nonnegative_fit(const double *column, const double *y, size_t n, size_t terms, struct leat_nonnegative *out,
    struct leat_error *err)
{
	double gram[TERMS][TERMS] = { { 0 } }, right[TERMS];
	struct echelon e;

	memset(out, 0, sizeof(*out));
	if (terms == 0 || terms > TERMS || n == 0)
		return leat_error_set(err, "from 1 to %u parts and some values are due", LEAT_NONNEGATIVE_TERMS);
	for (size_t t = 0; t < terms; t++) {
		for (size_t u = 0; u < terms; u++)
			gram[t][u] = product(column + t * n, column + u * n, n);
		right[t] = product(column + t * n, y, n);
		if (!(gram[t][t] > 0) || !isfinite(gram[t][t]) || !isfinite(right[t]))
			return leat_error_set(err, "a part that no value depends on, or a number that is not finite");
	}
	descend(gram, right, terms, out->coefficient);
	reduce_all(&e, column, n, terms);
	tell(&e, terms, out);
	for (size_t i = 0; i < n; i++) {
		double rest = y[i];

		for (size_t t = 0; t < terms; t++)
			rest -= out->coefficient[t] * column[t * n + i];
		out->squares += rest * rest;
	}
	return 0;
}

bool
leat_nonnegative_new(const double *column, size_t n, size_t terms, const double *row)
{
	struct echelon e;

	if (terms == 0 || terms > TERMS)
		return false;
	reduce_all(&e, column, n, terms);
	return reduce(&e, row, terms);
}
