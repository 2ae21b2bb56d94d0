/*
 * Quantiles of chi-square and exact intervals against published figures.
 */
#include <math.h>

#include "stats/exact.h"
#include "unit.h"

/* Upper percentage points as in every printed table of chi-square (such as Pearson and Hartley, Biometrika Tables for
 * Statisticians, table 8; from memory), to the digits printed. */
static void
test_chi_square(void **state)
{
	static const struct {
		double p, df, x;
	} row[] = {
		{ 0.95, 1, 3.841 }, { 0.99, 1, 6.635 }, { 0.95, 2, 5.991 }, { 0.975, 2, 7.378 }, { 0.05, 4, 0.711 }, { 0.95, 5, 11.070 },
		{ 0.95, 6, 12.592 }, { 0.05, 10, 3.940 }, { 0.95, 10, 18.307 }, { 0.975, 20, 34.170 }, { 0.025, 20, 9.591 },
		{ 0.99, 30, 50.892 }, { 0.05, 30, 18.493 }, { 0.95, 100, 124.342 }, { 0.05, 100, 77.929 }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(row) / sizeof(row[0]); i++) {
		unit_close(leat_chi_square_quantile(row[i].p, row[i].df), row[i].x, 0.00051);
		unit_close(leat_chi_square_below(leat_chi_square_quantile(row[i].p, row[i].df), row[i].df), row[i].p, 1e-10);
	}
}

/* NIST/SEMATECH e-Handbook of Statistical Methods, 8.4.5.1: 800 h in operation with 2 failures; 90 % of the time the mean is
 * within 127 h and 2251 h, by the factors 0.3177 and 5.6281 (from memory).  Without failures the one-sided bound is T / -ln
 * alpha. */
static void
test_between(void **state)
{
	double low, high;

	(void)state;
	leat_between_events(800, 2, 0.90, &low, &high);
	unit_close(low, 400 * 0.3177, 0.03);
	unit_close(high, 400 * 5.6281, 0.05);
	leat_between_events(1000, 0, 0.95, &low, &high);
	unit_close(low, 1000 / -log(0.05), 1e-6);
	assert_true(isinf(high));
}

/* The same, 7.2.4.2: 4 defects among 20; exact 90 % limits 0.071354 and 0.401029 (from memory; found there
 * by a search of a spreadsheet, whose last digit is not sure).  Clopper and Pearson of nothing
 * in n: the upper limit is 1 - (alpha / 2)^(1 / n). */
static void
test_share(void **state)
{
	double low, high;

	(void)state;
	leat_share_interval(4, 20, 0.90, &low, &high);
	unit_close(low, 0.071354, 1e-6);
	unit_close(high, 0.401029, 1e-6);
	leat_share_interval(0, 10, 0.95, &low, &high);
	unit_close(low, 0, 0);
	unit_close(high, 1 - pow(0.025, 0.1), 1e-10);
	leat_share_interval(10, 10, 0.95, &low, &high);
	unit_close(low, pow(0.025, 0.1), 1e-10);
	unit_close(high, 1, 0);
}

/* The limits are the shares at which the tails of the binomial distribution are what is asked, added up term by term. */
static void
test_share_by_sums(void **state)
{
	(void)state;
	for (long n = 1; n <= 60; n += 7) {
		for (long k = 1; k < n; k += 3) {
			double low, high, above = 0, below = 0, term;

			leat_share_interval(k, n, 0.90, &low, &high);
			for (long i = 0; i <= n; i++) {
				term = exp(lgamma((double)n + 1) - lgamma((double)i + 1) - lgamma((double)(n - i) + 1));
				above += i >= k ? term * pow(low, (double)i) * pow(1 - low, (double)(n - i)) : 0;
				below += i <= k ? term * pow(high, (double)i) * pow(1 - high, (double)(n - i)) : 0;
			}
			unit_close(above, 0.05, 1e-9);
			unit_close(below, 0.05, 1e-9);
		}
	}
}

static void
test_outside(void **state)
{
	(void)state;
	assert_true(isnan(leat_chi_square_quantile(-0.1, 3)));
	assert_true(isnan(leat_chi_square_quantile(0.5, 0)));
	assert_true(isinf(leat_chi_square_quantile(1, 3)));
	unit_close(leat_chi_square_quantile(0, 3), 0, 0);
	unit_close(leat_beta_below(0.3, 1, 1), 0.3, 1e-14);
	unit_close(leat_beta_below(2, 2, 2), 1, 0);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_chi_square), cmocka_unit_test(test_between), cmocka_unit_test(test_share),
		cmocka_unit_test(test_share_by_sums), cmocka_unit_test(test_outside)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
