/*
 * The one rule for several readings of one series at one time.
 */
#include "unit.h"

#include "stream/settle.h"

static struct leat_arrival
arrival(uint32_t series, enum leat_quality quality, const char *value, long line)
{
	return (struct leat_arrival){ .time = { 1000, 0 }, .series = series, .quality = quality,
	    .value = leat_span_of(value), .origin = { 0, line } };
}

/* Readings of one series as "g83.1 u83.2 b", in the order in which they come; "!" marks one of a source whose later
 * reading is preferred. */
static void
put_all(struct leat_settle *s, const char *readings)
{
	struct leat_span rest = leat_span_of(readings), r;
	long line = 0;

	while (leat_span_next(&rest, ' ', &r)) {
		struct leat_arrival a = arrival(0, LEAT_GOOD, "", ++line);

		a.prefer_last = r.ptr[r.len - 1] == '!';
		a.quality = r.ptr[0] == 'g' ? LEAT_GOOD : r.ptr[0] == 'u' ? LEAT_UNCERTAIN : LEAT_BAD;
		a.value = leat_span_make(r.ptr + 1, r.len - 1 - a.prefer_last);
		assert_int_equal(leat_settle_put(s, &a), 0);
	}
}

static void
test_rule(void **state)
{
	static const struct {
		const char *readings;
		const char *kept;	/* NULL: a conflict */
		long line;		/* of the reading kept; of a conflict the first that differs */
	} table[] = {
		{ "g83.1", "83.1", 1 },
		{ "g83.1 g83.1", "83.1", 1 },
		{ "g83.1 g83.14", "83.14", 2 },		/* the more precise one */
		{ "g83.14 g83.1", "83.14", 1 },
		{ "g83.10 g83.1", "83.10", 1 },
		{ "g83.1 g83.10", "83.10", 2 },
		{ "g83.1 g83.2", NULL, 2 },
		{ "g83.14 g83.06", NULL, 2 },
		{ "g83.1 g83.14 g83.06", NULL, 3 },	/* both agree with 83.1, but not with each other */
		{ "g83.1 g83.1 g84 g83.1", NULL, 3 },
		{ "g1e2 g100", "100", 2 },
		{ "g-0.0 g0.00", "0.00", 2 },
		{ "g83.1 u90", "83.1", 1 },		/* good beats uncertain */
		{ "u90 g83.1", "83.1", 2 },
		{ "b u90", "90", 2 },			/* uncertain beats bad */
		{ "b b", "", 1 },
		{ "u1 u2 g3", "3", 3 },			/* a better one ends the conflict */
		{ "g3 u1 u2", "3", 1 },
		{ "g1 g2 u3", NULL, 2 },
		{ "gon gon", "on", 1 },
		{ "gon goff", NULL, 2 },
		{ "g18/16/13 g18/16/13", "18/16/13", 1 },
		{ "gon g1", NULL, 2 },
		{ "g83.1 g90!", "90", 2 },		/* the later one is preferred */
		{ "g83.1! g90", NULL, 2 },		/* but only where its own source says so */
		{ "g83.1 g90! g91!", "91", 3 },
		{ "g83.1 g84 g91!", "91", 3 },
		{ "g83.1 u90!", "83.1", 1 },		/* quality comes first */
		{ "g83.1 g83.14! ", "83.14", 2 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof(table) / sizeof(table[0]); i++) {
		struct leat_settle s = { .count = 0 };
		char readings[64];

		snprintf(readings, sizeof(readings), "%.*s", (int)leat_span_trim(leat_span_of(table[i].readings)).len,
		    table[i].readings);
		put_all(&s, readings);
		assert_int_equal(s.count, 1);
		if (s.item[0].conflict != (table[i].kept == NULL))
			fail_msg("'%s': conflict %d", readings, s.item[0].conflict);
		if (table[i].kept != NULL) {
			unit_span(leat_settle_value(&s, &s.item[0]), table[i].kept);
			assert_int_equal(s.item[0].origin.line, table[i].line);
		} else {
			assert_int_equal(s.item[0].other.line, table[i].line);
		}
		leat_settle_free(&s);
	}
}

static void
test_counts(void **state)
{
	struct leat_settle s = { .count = 0 };

	(void)state;
	put_all(&s, "g1 g1 g1");
	leat_settle_clear(&s);
	put_all(&s, "g1 g2 u3 b");
	leat_settle_clear(&s);
	put_all(&s, "g1");
	leat_settle_clear(&s);
	leat_settle_clear(&s);
	assert_int_equal(s.readings, 2);
	assert_int_equal(s.duplicates, 2);
	assert_int_equal(s.conflicts, 4);
	leat_settle_free(&s);
}

/* Series stay apart, and come out in the order in which they were first seen in the group. */
static void
test_series(void **state)
{
	static const uint32_t order[] = { 7, 2, 9, 2, 0, 7 };
	static const uint32_t expected[] = { 7, 2, 9, 0 };
	struct leat_settle s = { .count = 0 };

	(void)state;
	for (int group = 0; group < 3; group++) {
		for (size_t i = 0; i < sizeof(order) / sizeof(order[0]); i++) {
			char value[8];
			struct leat_arrival a;

			snprintf(value, sizeof(value), "%u", order[i]);
			a = arrival(order[i], LEAT_GOOD, value, (long)i);
			assert_int_equal(leat_settle_put(&s, &a), 0);
		}
		assert_int_equal(s.count, 4);
		for (size_t i = 0; i < 4; i++) {
			char value[8];

			assert_int_equal(s.item[i].series, expected[i]);
			snprintf(value, sizeof(value), "%u", expected[i]);
			unit_span(leat_settle_value(&s, &s.item[i]), value);
		}
		leat_settle_clear(&s);
	}
	assert_int_equal(s.readings, 12);
	assert_int_equal(s.duplicates, 6);
	leat_settle_free(&s);
}

/* 1205 psi and 1205.3 psi agree; in bar, 83.0818 and 83.10250, their last digits do not say so, their steps do. */
static void
test_converted(void **state)
{
	struct leat_arrival coarse = arrival(0, LEAT_GOOD, "83.0818", 1), fine = arrival(0, LEAT_GOOD, "83.10250", 2);
	struct leat_arrival far = arrival(0, LEAT_GOOD, "83.1508", 3);	/* 1206 psi */
	struct leat_settle s = { .count = 0 };

	(void)state;
	coarse.step = far.step = 0.0689476;
	fine.step = 0.00689476;
	assert_int_equal(leat_settle_put(&s, &coarse), 0);
	assert_int_equal(leat_settle_put(&s, &fine), 0);
	assert_false(s.item[0].conflict);
	unit_span(leat_settle_value(&s, &s.item[0]), "83.10250");
	assert_int_equal(leat_settle_put(&s, &far), 0);
	assert_true(s.item[0].conflict);
	leat_settle_free(&s);
}

/* Equal figures in different units are not one value. */
static void
test_units(void **state)
{
	struct leat_arrival a = arrival(0, LEAT_GOOD, "83.1", 1), b = arrival(0, LEAT_GOOD, "83.1", 2);
	struct leat_settle s = { .count = 0 };

	(void)state;
	a.unit = leat_unit_find(LEAT_SPAN("bar"));
	b.unit = leat_unit_find(LEAT_SPAN("psi"));
	assert_int_equal(leat_settle_put(&s, &a), 0);
	assert_int_equal(leat_settle_put(&s, &b), 0);
	assert_true(s.item[0].conflict);
	leat_settle_free(&s);
}

/* One time for ever: the group must not grow with the rows, even where each value is longer than the one before. */
static void
test_bounded(void **state)
{
	struct leat_settle s = { .count = 0 };
	char value[120];

	(void)state;
	for (int i = 0; i < 200000; i++) {
		struct leat_arrival a;

		snprintf(value, sizeof(value), "%0*d", 1 + i % 100, i % 2);
		a = arrival((uint32_t)(i % 3), LEAT_GOOD, value, i);
		a.prefer_last = true;
		assert_int_equal(leat_settle_put(&s, &a), 0);
	}
	assert_int_equal(s.count, 3);
	assert_true(s.text.cap < 4096);
	leat_settle_clear(&s);
	assert_int_equal(s.readings + s.duplicates, 200000);
	leat_settle_free(&s);
}

/* What a preferred value took the place of: only of its own issuer and unit, the last of them where they are many. */
static void
test_displaced(void **state)
{
	static const struct {
		const char *readings;	/* issuer, quality and value of each, all preferred */
		const char *kept, *was;
	} table[] = {
		{ "ag600", "600", "" },
		{ "ag600 ag600", "600", "" },
		{ "ag600 ag600.0", "600.0", "" },	/* more precise: no other value */
		{ "ag600 ag130", "130", "600" },
		{ "ag600 ag130 ag135", "135", "600|130" },
		{ "ag600 ag130 ag600", "600", "600|130" },
		{ "ag600 bg130", "130", "" },		/* another source's word is not superseded */
		{ "ag600 bg130 bg135", "135", "130" },
		{ "ag600 ag130 bg135", "135", "" },
		{ "-g600 -g130", "130", "" },		/* of nobody known */
		{ "au600 au130 ag135", "135", "" },	/* better quality wins by itself */
		{ "ag600 ag130 au7", "130", "600" },
		{ "agon agoff", "off", "on" },
		{ "aga|b agoff", "off", "" }
	};
	struct leat_settle s = { 0 };
	char value[128], was[LEAT_SETTLE_WAS + 1];

	(void)state;
	for (size_t i = 0; i < sizeof(table) / sizeof(table[0]); i++) {
		struct leat_span rest = leat_span_of(table[i].readings), r;

		while (leat_span_next(&rest, ' ', &r)) {
			struct leat_arrival a = arrival(0, r.ptr[1] == 'g' ? LEAT_GOOD : LEAT_UNCERTAIN, "", 1);

			a.prefer_last = true;
			a.issuer = r.ptr[0] == 'a' ? &table[0] : r.ptr[0] == 'b' ? &table[1] : NULL;
			a.value = leat_span_make(r.ptr + 2, r.len - 2);
			assert_int_equal(leat_settle_put(&s, &a), 0);
		}
		assert_ptr_equal(leat_settle_find(&s, 0), &s.item[0]);
		assert_null(leat_settle_find(&s, 1));
		unit_span(leat_settle_value(&s, &s.item[0]), table[i].kept);
		unit_span(leat_settle_was(&s, &s.item[0]), table[i].was);
		leat_settle_clear(&s);
		assert_null(leat_settle_find(&s, 0));
	}
	/* Numbers of growing length: what is kept are the last ones, whole. */
	for (int i = 1; i <= 100; i++) {
		struct leat_arrival a;

		snprintf(value, sizeof(value), "%d%0*d", i, i, 0);
		a = arrival(0, LEAT_GOOD, value, i);
		a.prefer_last = true;
		a.issuer = table;
		assert_int_equal(leat_settle_put(&s, &a), 0);
	}
	snprintf(was, sizeof(was), "%d%0*d|%d%0*d", 98, 98, 0, 99, 99, 0);
	unit_span(leat_settle_was(&s, &s.item[0]), was);
	leat_settle_free(&s);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_rule),
		cmocka_unit_test(test_counts),
		cmocka_unit_test(test_series),
		cmocka_unit_test(test_converted),
		cmocka_unit_test(test_units),
		cmocka_unit_test(test_bounded),
		cmocka_unit_test(test_displaced),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
