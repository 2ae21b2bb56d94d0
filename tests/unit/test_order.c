#include "unit.h"

#include <math.h>

#include "noise.h"
#include "stats/order.h"

static int
compare(const void *a, const void *b)
{
	double p = *(const double *)a, q = *(const double *)b;

	return (p > q) - (p < q);
}

/* Numbers of one of several makes: wild, few different, ascending, descending, all equal. */
static void
make(uint64_t *seed, int kind, double *x, size_t n)
{
	for (size_t i = 0; i < n; i++)
		switch (kind) {
		case 0: x[i] = noise_normal(seed); break;
		case 1: x[i] = random_below(seed, 5); break;
		case 2: x[i] = (double)i; break;
		case 3: x[i] = -(double)i; break;
		default: x[i] = 7; break;
		}
}

static void
selects_as_sorting_does(void **state)
{
	uint64_t seed = 1;
	double x[700], sorted[700];

	(void)state;
	for (int turn = 0; turn < 3000; turn++) {
		size_t n = 1 + random_below(&seed, 700), k = random_below(&seed, (unsigned)n);

		make(&seed, turn % 5, x, n);
		memcpy(sorted, x, n * sizeof(*x));
		qsort(sorted, n, sizeof(*x), compare);
		assert_true(leat_order_select(x, n, k) == sorted[k]);
		for (size_t i = 0; i < n; i++)
			assert_true(i < k ? x[i] <= x[k] : x[i] >= x[k]);
		leat_order_sort(x, n);
		assert_memory_equal(x, sorted, n * sizeof(*x));
		unit_close(leat_median(x, n), (sorted[(n - 1) / 2] + sorted[n / 2]) / 2, 0);
	}
}

static void
medians_and_quantiles(void **state)
{
	double none[1] = { 0 }, one[] = { 3 }, four[] = { 4, 1, 3, 2 }, work[4];

	(void)state;
	assert_true(isnan(leat_median(none, 0)));
	assert_true(isnan(leat_quantile(none, 0, 0.5)));
	assert_true(isnan(leat_quantile(four, 4, 1.5)));
	unit_close(leat_median(one, 1), 3, 0);
	unit_close(leat_median(four, 4), 2.5, 0);
	unit_close(leat_quantile(four, 4, 0), 1, 0);
	unit_close(leat_quantile(four, 4, 0.1), 1.3, 1e-12);
	unit_close(leat_quantile(four, 4, 1), 4, 0);
	unit_close(leat_mad(four, 4, work), 1.4826, 1e-12);
}

static void
ranks_share_ties(void **state)
{
	double x[] = { 10, 30, 10, 20 };
	static const double want[] = { -1, 1.5, -1, 0.5 };

	(void)state;
	assert_int_equal(leat_order_ranks(x, 4), 0);
	for (size_t i = 0; i < 4; i++)
		unit_close(x[i], want[i], 0);
}

/* The mean of n values correlated by r varies as that of n (1 - r) / (1 + r) values. */
static void
effective_counts(void **state)
{
	static const double r[] = { 0, 0.3, 0.7 };
	static double x[4000];
	uint64_t seed = 3;

	(void)state;
	for (size_t c = 0; c < 3; c++) {
		x[0] = noise_normal(&seed);
		for (size_t i = 1; i < 4000; i++)
			x[i] = noise_next(&seed, x[i - 1], r[c]);
		unit_close(leat_effective_count(x, 4000) / 4000, (1 - r[c]) / (1 + r[c]), 0.1);
	}
	for (size_t i = 0; i < 4000; i++)
		x[i] = i % 2;
	unit_close(leat_effective_count(x, 4000), 4000, 0);
	unit_close(leat_effective_count(x, 0), 0, 0);
	unit_close(leat_effective_count(x, 1), 1, 0);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(selects_as_sorting_does),
		cmocka_unit_test(medians_and_quantiles),
		cmocka_unit_test(ranks_share_ties),
		cmocka_unit_test(effective_counts),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
