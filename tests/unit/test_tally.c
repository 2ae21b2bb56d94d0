/*
 * Counting texts within bounds.
 */
#include "unit.h"

#include "stream/tally.h"

static void
test_counts(void **state)
{
	struct leat_tally t = { .total = 0 };

	(void)state;
	for (int i = 0; i < 6; i++)
		assert_int_equal(leat_tally_add(&t, i % 3 == 0 ? LEAT_SPAN("No Data") : LEAT_SPAN("n.b.")), 0);
	assert_int_equal(t.names.count, 2);
	unit_span(t.names.name[0], "No Data");
	assert_int_equal(t.count[0], 2);
	assert_int_equal(t.count[1], 4);
	assert_int_equal(t.total, 6);
	leat_tally_free(&t);
}

/* However many and however long the texts are, only so much is kept, and nothing goes uncounted. */
static void
test_bounds(void **state)
{
	struct leat_tally t = { .total = 0 };
	char text[300];

	(void)state;
	for (int i = 0; i < 5000; i++) {
		snprintf(text, sizeof(text), "%d-%0*d", i, 200, 0);
		assert_int_equal(leat_tally_add(&t, leat_span_of(text)), 0);
		assert_int_equal(leat_tally_add(&t, leat_span_of(text)), 0);
	}
	assert_int_equal(t.names.count, LEAT_TALLY_MAX);
	assert_int_equal(t.names.name[0].len, LEAT_TALLY_TEXT);
	assert_int_equal(t.count[LEAT_TALLY_MAX - 1], 2);
	assert_int_equal(t.other, 2 * (5000 - LEAT_TALLY_MAX));
	assert_int_equal(t.total, 10000);
	leat_tally_free(&t);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_counts),
		cmocka_unit_test(test_bounds),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
