/*
 * Memory: lib/base/mem.c.
 */
#include "unit.h"

#include "base/mem.h"

static void
check_buf(const struct leat_buf *buf, const char *expected)
{
	assert_true(buf->len <= buf->cap);
	assert_true(buf->cap == 0 || buf->data != NULL);
	unit_span(leat_buf_span(buf), expected);
}

static void
buf_grows_and_starts_over(void **state)
{
	struct leat_buf buf = { 0 };
	size_t cap;
	int i;

	(void)state;
	check_buf(&buf, "");
	assert_int_equal(leat_buf_add(&buf, NULL, 0), 0);
	assert_int_equal(leat_buf_add(&buf, "abc", 3), 0);
	check_buf(&buf, "abc");
	assert_int_equal(leat_buf_add_span(&buf, LEAT_SPAN(",")), 0);
	assert_int_equal(leat_buf_printf(&buf, "%d-%s", 42, "x"), 0);
	check_buf(&buf, "abc,42-x");
	assert_int_equal(leat_buf_printf(&buf, "%s", ""), 0);
	check_buf(&buf, "abc,42-x");
	cap = buf.cap;
	leat_buf_reset(&buf);
	check_buf(&buf, "");
	assert_int_equal(buf.cap, cap);
	for (i = 0; i < 100000; i++)
		assert_int_equal(leat_buf_add(&buf, "0123456789", 10), 0);
	assert_int_equal(buf.len, 1000000);
	/* Doubling, not a step at a time and not without end. */
	assert_true(buf.cap <= 2 * 1048576);
	assert_memory_equal(buf.data + 999990, "0123456789", 10);
	leat_buf_free(&buf);
	assert_null(buf.data);
	leat_buf_free(&buf);
}

static void
buf_keeps_its_limit(void **state)
{
	struct leat_buf buf = { .limit = 10 };

	(void)state;
	assert_int_equal(leat_buf_add(&buf, "1234567", 7), 0);
	assert_int_equal(leat_buf_add(&buf, "abcd", 4), -1);
	check_buf(&buf, "1234567");
	assert_int_equal(leat_buf_printf(&buf, "%04d", 8), -1);
	check_buf(&buf, "1234567");
	/* Exactly full is allowed, also through printf, which needs a byte more for its NUL. */
	assert_int_equal(leat_buf_printf(&buf, "%03d", 8), 0);
	check_buf(&buf, "1234567008");
	assert_int_equal(leat_buf_reserve(&buf, 0), 0);
	assert_int_equal(leat_buf_reserve(&buf, 1), -1);
	assert_true(buf.cap <= 11);
	leat_buf_free(&buf);
}

static void
sizes_do_not_wrap(void **state)
{
	struct leat_buf buf = { 0 };
	size_t cap = 0;
	uint64_t *array = NULL;

	(void)state;
	assert_int_equal(leat_buf_add(&buf, "a", 1), 0);
	assert_int_equal(leat_buf_reserve(&buf, SIZE_MAX), -1);
	assert_int_equal(leat_buf_reserve(&buf, SIZE_MAX - 1), -1);
	check_buf(&buf, "a");
	leat_buf_free(&buf);
	assert_int_equal(leat_grow(&array, &cap, SIZE_MAX / 8 + 2, sizeof(*array)), -1);
	assert_int_equal(leat_grow(&array, &cap, 1, 0), -1);
	assert_null(array);
	assert_int_equal(cap, 0);
}

static void
grow_zeroes_and_keeps(void **state)
{
	struct pair {
		int a;
		char *b;
	} *array = NULL;
	size_t cap = 0, i, before;

	(void)state;
	assert_int_equal(leat_grow(&array, &cap, 1, sizeof(*array)), 0);
	assert_true(cap >= 1);
	for (i = 0; i < cap; i++)
		assert_true(array[i].a == 0 && array[i].b == NULL);
	array[0].a = 7;
	before = cap;
	assert_int_equal(leat_grow(&array, &cap, 1000, sizeof(*array)), 0);
	assert_true(cap >= 1000 && cap < 4000);
	assert_int_equal(array[0].a, 7);
	for (i = before; i < cap; i++)
		assert_true(array[i].a == 0 && array[i].b == NULL);
	before = cap;
	assert_int_equal(leat_grow(&array, &cap, 10, sizeof(*array)), 0);
	assert_int_equal(cap, before);
	free(array);
}

static void
strndup_ends_in_nul(void **state)
{
	char *copy;

	(void)state;
	copy = leat_strndup(leat_span_make("pressure", 5));
	assert_string_equal(copy, "press");
	free(copy);
	copy = leat_strndup(leat_span_make(NULL, 0));
	assert_string_equal(copy, "");
	free(copy);
}

static void
names_number_texts_in_order(void **state)
{
	struct leat_names names = { 0 };

	(void)state;
	assert_int_equal(leat_names_get(&names, LEAT_SPAN("NM")), LEAT_NAME_NONE);
	assert_int_equal(leat_names_put(&names, LEAT_SPAN("NM")), 0);
	assert_int_equal(leat_names_put(&names, LEAT_SPAN("")), 1);
	assert_int_equal(leat_names_put(&names, leat_span_make("NM\0", 3)), 2);
	assert_int_equal(leat_names_put(&names, LEAT_SPAN("NM/pump-a/long-name")), 3);
	assert_int_equal(leat_names_put(&names, LEAT_SPAN("NM")), 0);
	assert_int_equal(leat_names_get(&names, leat_span_make(NULL, 0)), 1);
	assert_int_equal(leat_names_get(&names, LEAT_SPAN("NM/pump-a/long-nam")), LEAT_NAME_NONE);
	assert_int_equal(names.count, 4);
	unit_span(names.name[3], "NM/pump-a/long-name");
	leat_names_free(&names);
	assert_int_equal(names.count, 0);
	assert_int_equal(leat_names_put(&names, LEAT_SPAN("again")), 0);
	leat_names_free(&names);
}

static void
names_hold_many(void **state)
{
	struct leat_names names = { 0 };
	struct leat_span early;
	char text[40];
	uint32_t i;
	int len;

	(void)state;
	for (i = 0; i < 100000; i++) {
		len = snprintf(text, sizeof(text), "works/mill-%u/p%u", i % 97, i);
		if (leat_names_put(&names, leat_span_make(text, (size_t)len)) != i)
			fail_msg("put %s", text);
		/* The table copies: the caller's bytes may change. */
		memset(text, 'x', sizeof(text));
		if (i == 0)
			early = names.name[0];
	}
	for (i = 0; i < 100000; i++) {
		len = snprintf(text, sizeof(text), "works/mill-%u/p%u", i % 97, i);
		if (leat_names_get(&names, leat_span_make(text, (size_t)len)) != i)
			fail_msg("get %s", text);
	}
	/* A text stays where it is while the table grows. */
	assert_ptr_equal(names.name[0].ptr, early.ptr);
	assert_true(names.slots <= 4 * names.count);
	leat_names_free(&names);
}

static void
pairs_number_pairs_in_order(void **state)
{
	struct leat_pairs pairs = { 0 };
	uint32_t a, b;

	(void)state;
	assert_int_equal(leat_pairs_get(&pairs, 0, 0), LEAT_NAME_NONE);
	for (a = 0; a < 300; a++) {
		for (b = 0; b < 300; b++) {
			if (leat_pairs_put(&pairs, a, b) != a * 300 + b)
				fail_msg("put %u %u", a, b);
		}
	}
	for (a = 0; a < 300; a++) {
		for (b = 0; b < 300; b++) {
			if (leat_pairs_get(&pairs, a, b) != a * 300 + b || leat_pairs_put(&pairs, a, b) != a * 300 + b)
				fail_msg("get %u %u", a, b);
		}
	}
	assert_int_equal(pairs.count, 90000);
	assert_true(pairs.pair[301] == ((uint64_t)1 << 32 | 1));
	assert_int_equal(leat_pairs_get(&pairs, 300, 0), LEAT_NAME_NONE);
	assert_int_equal(leat_pairs_put(&pairs, UINT32_MAX, UINT32_MAX), 90000);
	assert_int_equal(leat_pairs_get(&pairs, UINT32_MAX, UINT32_MAX), 90000);
	leat_pairs_free(&pairs);
	assert_int_equal(leat_pairs_get(&pairs, 0, 0), LEAT_NAME_NONE);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(buf_grows_and_starts_over),
		cmocka_unit_test(buf_keeps_its_limit),
		cmocka_unit_test(sizes_do_not_wrap),
		cmocka_unit_test(grow_zeroes_and_keeps),
		cmocka_unit_test(strndup_ends_in_nul),
		cmocka_unit_test(names_number_texts_in_order),
		cmocka_unit_test(names_hold_many),
		cmocka_unit_test(pairs_number_pairs_in_order)
	};

	return cmocka_run_group_tests_name("mem", tests, NULL, NULL);
}
