/* Statistics over time: means, extremes, quantiles, and what happens when the pieces become too many. */
#include <math.h>

#include "random.h"
#include "stats/weighted.h"
#include "unit.h"

static void
test_none(void **state)
{
	struct leat_weighted w = { .keep = true };
	double q = 0.5, out = 0;

	(void)state;
	assert_true(isnan(leat_weighted_mean(&w)));
	assert_int_equal(leat_weighted_quantiles(&w, &q, 1, &out), 0);
	assert_true(isnan(out));
	assert_int_equal(leat_weighted_add(&w, 0, 1, 2), 0);
	assert_int_equal(leat_weighted_add(&w, -1, 1, 2), 0);
	assert_int_equal(leat_weighted_add(&w, NAN, 1, 2), 0);
	assert_int_equal(leat_weighted_add(&w, 1, INFINITY, 2), 0);
	assert_true(w.seconds == 0 && w.pieces == 0);
	leat_weighted_free(&w);
}

static void
test_quantiles(void **state)
{
	static const struct {
		const char *name;
		double piece[4][3];	/* seconds, from, to; 0 s ends */
		double q, value;
	} cases[] = {
		{ "a line is spread evenly", { { 10, 0, 100 } }, 0.25, 25 },
		{ "downwards too", { { 10, 100, 0 } }, 0.25, 25 },
		{ "standing still", { { 10, 7, 7 } }, 0.5, 7 },
		{ "a long stand beats a short one", { { 1, 1, 1 }, { 99, 2, 2 } }, 0.05, 2 },
		{ "exactly the share of the first", { { 5, 1, 1 }, { 95, 2, 2 } }, 0.05, 1 },
		{ "two lines over each other", { { 10, 0, 10 }, { 10, 0, 10 } }, 0.5, 5 },
		{ "a stand within a line", { { 10, 0, 10 }, { 10, 5, 5 } }, 0.5, 5 },
		{ "above the stand", { { 10, 0, 10 }, { 10, 5, 5 } }, 0.9, 8 },
		{ "nothing between", { { 10, 0, 1 }, { 10, 9, 10 } }, 0.75, 9.5 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct leat_weighted w = { .keep = true };
		double out;

		for (size_t k = 0; k < 4 && cases[i].piece[k][0] > 0; k++)
			assert_int_equal(leat_weighted_add(&w, cases[i].piece[k][0], cases[i].piece[k][1],
			    cases[i].piece[k][2]), 0);
		assert_int_equal(leat_weighted_quantiles(&w, &cases[i].q, 1, &out), 0);
		if (!(fabs(out - cases[i].value) < 1e-9))
			fail_msg("%s: %g, expected %g", cases[i].name, out, cases[i].value);
		leat_weighted_free(&w);
	}
}

/* The share of the time at or below a value, piece by piece. */
static double
share_below(const struct leat_weighted_piece *piece, size_t count, double value)
{
	double below = 0, all = 0;

	for (size_t i = 0; i < count; i++) {
		double part = piece[i].high > piece[i].low ? (value - piece[i].low) / (piece[i].high - piece[i].low) :
		    value >= piece[i].low;

		below += piece[i].seconds * (part < 0 ? 0 : part > 1 ? 1 : part);
		all += piece[i].seconds;
	}
	return below / all;
}

/* Many pieces go through slots: whatever they are, the share below the quantile must come out again. */
static void
test_shares(void **state)
{
	static const double q[] = { 0.01, 0.05, 0.5, 0.95, 0.99 };
	struct leat_weighted_piece piece[1000];
	uint64_t seed = 1;

	(void)state;
	for (int round = 0; round < 200; round++) {
		struct leat_weighted w = { .keep = true };
		double out[5], last = 100;
		size_t count = 20 + random_below(&seed, 900);

		for (size_t i = 0; i < count; i++) {
			double next = round % 2 ? last + (double)random_below(&seed, 2000) / 1000 - 1 :
			    (double)random_below(&seed, 1000000) / 1000;
			double seconds = (double)(1 + random_below(&seed, 600));

			if (round % 3 == 0 && i % 4 == 0)
				next = last;
			piece[i] = (struct leat_weighted_piece){ fmin(last, next), fmax(last, next), seconds };
			assert_int_equal(leat_weighted_add(&w, seconds, last, next), 0);
			last = next;
		}
		assert_int_equal(leat_weighted_quantiles(&w, q, 5, out), 0);
		for (size_t i = 0; i < 5; i++) {
			/* At a stand the share jumps over q. */
			double gap = 1e-7 * (fabs(out[i]) + 1);

			assert_true(share_below(piece, count, out[i] + gap) >= q[i] - 1e-9);
			assert_true(share_below(piece, count, out[i] - gap) <= q[i] + 1e-9);
		}
		leat_weighted_free(&w);
	}
}

/* Ways in which a quantity goes: what a historian writes has few distinct values, and they fall on the borders of slots. */
static double
next_value(uint64_t *seed, int way, double last)
{
	switch (way) {
	case 0: /* 65 values, of which one stands on each border of 64 slots as decimals can */
		return 40 + (double)random_below(seed, 65) / 10;
	case 1: /* a walk in steps of a tenth, often still */
		return last + ((double)random_below(seed, 3) - 1) / 10;
	case 2: /* one far away, so that all others are in one slot */
		return random_below(seed, 40) == 0 ? -1e6 : (double)random_below(seed, 1000) / 8;
	case 3: /* two values */
		return random_below(seed, 2);
	default: /* hardly two alike */
		return 1e-6 * (double)random_below(seed, 1u << 30);
	}
}

/* Few pieces or many, of any of those ways: the share below comes out again, and neither the unit of the quantity nor that of
 * the time is in it: doubling is exact in binary, so that each quantile is the same bits, one power of two up. */
static void
test_ways(void **state)
{
	static const double q[] = { 0.01, 0.05, 0.25, 0.5, 0.75, 0.95, 0.99 };
	struct leat_weighted_piece piece[LEAT_WEIGHTED_PIECES];
	uint64_t seed = 7;

	(void)state;
	for (int round = 0; round < 1500; round++) {
		struct leat_weighted w = { .keep = true }, up = { .keep = true };
		size_t count = 1 + random_below(&seed, round % 10 == 0 ? LEAT_WEIGHTED_PIECES : 130);
		double out[7], twice[7], last = next_value(&seed, round % 5, 45);

		for (size_t i = 0; i < count; i++) {
			double next = random_below(&seed, 5) == 0 ? last : next_value(&seed, round % 5, last);
			double from = random_below(&seed, 4) == 0 ? next : last;
			double seconds = round % 2 ? 60 : (double)random_below(&seed, 600) + 0.5;

			piece[i] = (struct leat_weighted_piece){ fmin(from, next), fmax(from, next), seconds };
			assert_int_equal(leat_weighted_add(&w, seconds, from, next), 0);
			assert_int_equal(leat_weighted_add(&up, seconds * 4, from * 1024, next * 1024), 0);
			last = next;
		}
		assert_int_equal(leat_weighted_quantiles(&w, q, 7, out), 0);
		assert_int_equal(leat_weighted_quantiles(&up, q, 7, twice), 0);
		for (size_t i = 0; i < 7; i++) {
			double gap = 1e-9 * (fabs(w.max) + fabs(w.min) + 1);

			assert_true(share_below(piece, count, out[i] + gap) >= q[i] - 1e-7);
			assert_true(share_below(piece, count, out[i] - gap) <= q[i] + 1e-7);
			assert_true(out[i] >= w.min && out[i] <= w.max && (i == 0 || out[i] >= out[i - 1]));
			assert_true(twice[i] == out[i] * 1024);
		}
		leat_weighted_free(&w);
		leat_weighted_free(&up);
	}
}

/* Turned upside down, a quantity has the same quantiles from the other end; taken backwards, the same ones. */
static void
test_turned(void **state)
{
	static const double q[] = { 0.1, 0.5, 0.9 };
	uint64_t seed = 3;

	(void)state;
	for (int round = 0; round < 500; round++) {
		struct leat_weighted w = { .keep = true }, down = { .keep = true }, back = { .keep = true };
		double value[200], out[3], turned[3], backwards[3];
		size_t count = 10 + random_below(&seed, 190);

		/* Between two neighbours there is always a line, so that no quantile may be anywhere within a gap. */
		for (size_t i = 0; i < count; i++)
			value[i] = 40 + (double)random_below(&seed, 640) / (round % 2 ? 10 : 7);
		for (size_t i = 1; i < count; i++) {
			assert_int_equal(leat_weighted_add(&w, 60, value[i - 1], value[i]), 0);
			assert_int_equal(leat_weighted_add(&down, 60, -value[i - 1], -value[i]), 0);
			assert_int_equal(leat_weighted_add(&back, 60, value[count - i], value[count - i - 1]), 0);
		}
		assert_int_equal(leat_weighted_quantiles(&w, q, 3, out), 0);
		assert_int_equal(leat_weighted_quantiles(&down, q, 3, turned), 0);
		assert_int_equal(leat_weighted_quantiles(&back, q, 3, backwards), 0);
		for (size_t i = 0; i < 3; i++) {
			unit_close(out[i], -turned[2 - i], 1e-9);
			unit_close(out[i], backwards[i], 1e-9);
		}
		leat_weighted_free(&w);
		leat_weighted_free(&down);
		leat_weighted_free(&back);
	}
}

/* Source of the answer: a sine is at or below sin(pi (q - 1/2)) for the share q of its time (arcsine law). */
static void
test_classes(void **state)
{
	static const double q[] = { 0.05, 0.5, 0.95 };
	const double pi = 3.14159265358979323846;
	struct leat_weighted w = { .keep = true };
	double out[3];

	(void)state;
	for (int i = 0; i < 86400; i++)
		assert_int_equal(leat_weighted_add(&w, 1, sin(2 * pi * i / 3600), sin(2 * pi * (i + 1) / 3600)), 0);
	assert_true(leat_weighted_classed(&w));
	assert_int_equal(w.pieces, 0);
	assert_int_equal(leat_weighted_quantiles(&w, q, 3, out), 0);
	for (size_t i = 0; i < 3; i++)
		unit_close(out[i], sin(pi * (q[i] - 0.5)), 2.0 / 256);
	unit_close(leat_weighted_mean(&w), 0, 1e-9);
	unit_close(w.max, 1, 1e-9);
	/* Far away values widen the classes without an end. */
	assert_int_equal(leat_weighted_add(&w, 1e9, 1e200, 1e200), 0);
	assert_int_equal(leat_weighted_add(&w, 1e9, -1e200, -1e200), 0);
	assert_int_equal(leat_weighted_quantiles(&w, q, 3, out), 0);
	assert_true(out[0] < -0.9e200 && out[2] > 0.9e200);
	leat_weighted_reset(&w);
	assert_false(leat_weighted_classed(&w));
	assert_true(isnan(leat_weighted_mean(&w)));
	leat_weighted_free(&w);
}

/* A signal that stands still costs nothing, and a large offset does not eat the digits. */
static void
test_offset(void **state)
{
	struct leat_weighted w = { .keep = true };

	(void)state;
	for (int i = 0; i < 100000; i++)
		assert_int_equal(leat_weighted_add(&w, 0.1, 1e9 + 0.25, 1e9 + 0.25), 0);
	assert_int_equal(w.pieces, 1);
	unit_close(leat_weighted_mean(&w), 1e9 + 0.25, 0);
	leat_weighted_free(&w);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_none),
		cmocka_unit_test(test_quantiles),
		cmocka_unit_test(test_shares),
		cmocka_unit_test(test_ways),
		cmocka_unit_test(test_turned),
		cmocka_unit_test(test_classes),
		cmocka_unit_test(test_offset),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
