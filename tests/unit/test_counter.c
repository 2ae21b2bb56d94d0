/* Counters that wrap around, are changed and are misread.  All totals are computed by hand. */
#include <math.h>

#include "derive/counter.h"
#include "unit.h"

static struct leat_time
hour(double h)
{
	return (struct leat_time){ 1762128000 + (int64_t)(h * 3600), 0 };
}

static enum leat_counter_kind
meter(struct leat_counter *c, double h, double shown, double digit)
{
	return leat_counter_reading(c, hour(h), shown, digit, 1.0 / 3600, 1);
}

static void
expect(const struct leat_counter *c, double low, double value, double high)
{
	unit_close(c->low, low, 1e-9);
	unit_close(c->value, value, 1e-9);
	unit_close(c->high, high, 1e-9);
}

static void
pulled_into_range(void **state)
{
	struct leat_counter c = { 0 };

	(void)state;
	leat_counter_add(&c, 3, 3, 3);
	assert_int_equal(meter(&c, 0, 8123, 1), LEAT_COUNTER_FIRST);
	expect(&c, 8123, 8123, 8124);
	/* A gap of two hours of which one is estimated; then 8124 shows that it was less than two. */
	leat_counter_add(&c, 0, 1, 2);
	expect(&c, 8123, 8124, 8126);
	assert_int_equal(meter(&c, 2, 8124, 1), LEAT_COUNTER_FITS);
	expect(&c, 8124, 8124, 8125);
	/* Half an hour that was counted stays, since 8124 says nothing against it. */
	leat_counter_add(&c, 0.5, 0.5, 0.5);
	assert_int_equal(meter(&c, 2.5, 8124, 1), LEAT_COUNTER_FITS);
	expect(&c, 8124.5, 8124.5, 8125);
	/* Counted too much: 8124.0 exactly to a tenth pulls back. */
	assert_int_equal(meter(&c, 2.6, 8124.0, 0.1), LEAT_COUNTER_FITS);
	expect(&c, 8124.1, 8124.1, 8124.1);
}

static void
wraps(void **state)
{
	static const struct { double before, size; } cases[] = {
		{ 999, 1e3 }, { 9999, 1e4 }, { 99999, 1e5 }, { 999999, 1e6 }, { 32767, 32768 }, { 65535, 65536 },
		{ 4294967295.0, 4294967296.0 }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct leat_counter c = { 0 };

		meter(&c, 0, cases[i].before, 0);
		leat_counter_add(&c, 3, 3, 3);
		assert_int_equal(meter(&c, 3, 2, 0), LEAT_COUNTER_WRAPPED);
		expect(&c, cases[i].size + 2, cases[i].size + 2, cases[i].size + 2);
		/* It goes on from there. */
		leat_counter_add(&c, 1, 1, 1);
		assert_int_equal(meter(&c, 4, 3, 0), LEAT_COUNTER_FITS);
		expect(&c, cases[i].size + 3, cases[i].size + 3, cases[i].size + 3);
	}
}

static void
misread(void **state)
{
	struct leat_counter c = { 0 };

	(void)state;
	meter(&c, 0, 8123, 0);
	leat_counter_add(&c, 10, 10, 10);
	/* 8133 read as 813: far from any wrapping in ten hours. */
	assert_int_equal(meter(&c, 10, 813, 0), LEAT_COUNTER_OTHER);
	expect(&c, 8133, 8133, 8133);
	leat_counter_add(&c, 10, 10, 10);
	assert_int_equal(meter(&c, 20, 8143, 0), LEAT_COUNTER_OTHER);
	expect(&c, 8143, 8143, 8143);
	leat_counter_add(&c, 1, 1, 1);
	assert_int_equal(meter(&c, 21, 8144, 0), LEAT_COUNTER_FITS);
	expect(&c, 8144, 8144, 8144);
}

static void
changed(void **state)
{
	struct leat_counter c = { 0 };

	(void)state;
	meter(&c, 0, 100, 0.1);
	leat_counter_add(&c, 1, 1, 1);
	/* The old one shows 101.5 at last, the new one 7. */
	leat_counter_changed(&c, hour(2), 101.5, 7, 0.1);
	expect(&c, 101.5, 101.5, 101.5);
	leat_counter_add(&c, 1, 1, 1);
	assert_int_equal(meter(&c, 3, 8, 0.1), LEAT_COUNTER_FITS);
	expect(&c, 102.5, 102.5, 102.5);
	/* Neither is known: the next reading is where the total stands. */
	leat_counter_changed(&c, hour(4), NAN, NAN, 0.1);
	leat_counter_add(&c, 2, 2, 2);
	assert_int_equal(meter(&c, 5, 0.4, 0.1), LEAT_COUNTER_FITS);
	expect(&c, 104.5, 104.5, 104.5);
}

static void
renewed(void **state)
{
	struct leat_counter c = { 0 }, unread = { 0 };

	(void)state;
	meter(&c, 0, 8123, 0);
	leat_counter_renew(&c);
	expect(&c, 0, 0, 0);
	leat_counter_add(&c, 2, 2, 2);
	assert_int_equal(meter(&c, 2, 8125, 0), LEAT_COUNTER_FITS);
	expect(&c, 2, 2, 2);
	/* Where a meter stands that was never read is learnt from its first reading. */
	leat_counter_add(&unread, 5, 5, 5);
	leat_counter_renew(&unread);
	leat_counter_add(&unread, 1, 1, 1);
	assert_int_equal(meter(&unread, 6, 4000, 0), LEAT_COUNTER_FITS);
	expect(&unread, 1, 1, 1);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(pulled_into_range), cmocka_unit_test(wraps), cmocka_unit_test(misread),
		cmocka_unit_test(changed), cmocka_unit_test(renewed)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
