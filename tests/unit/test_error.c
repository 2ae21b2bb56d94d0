/*
 * Errors that the caller owns: lib/base/error.c.
 */
#include "unit.h"

#include <errno.h>

#include "base/error.h"

static const char *
formatted(const struct leat_error *err)
{
	static char text[1024];

	return leat_error_format(err, text, sizeof(text));
}

static void
format_leaves_out_what_is_empty(void **state)
{
	struct leat_error err = { 0 };

	(void)state;
	assert_string_equal(formatted(&err), "");
	assert_int_equal(leat_error_set(&err, "not a number"), -1);
	assert_string_equal(formatted(&err), "not a number");
	assert_int_equal(leat_error_value(&err, LEAT_SPAN("hot")), -1);
	assert_string_equal(formatted(&err), "not a number: 'hot'");
	assert_int_equal(leat_error_column(&err, LEAT_SPAN("high_alarm")), -1);
	assert_string_equal(formatted(&err), "column 'high_alarm': not a number: 'hot'");
	assert_int_equal(leat_error_at(&err, "limits.csv", 0), -1);
	assert_string_equal(formatted(&err), "limits.csv: column 'high_alarm': not a number: 'hot'");
	leat_error_at(&err, "limits.csv", 12);
	assert_string_equal(formatted(&err), "limits.csv:12: column 'high_alarm': not a number: 'hot'");
	leat_error_at(&err, NULL, 12);
	assert_string_equal(formatted(&err), "line 12: column 'high_alarm': not a number: 'hot'");
}

static void
an_empty_value_is_shown(void **state)
{
	struct leat_error err = { 0 };

	(void)state;
	leat_error_set(&err, "no value");
	leat_error_value(&err, leat_span_make(NULL, 0));
	assert_string_equal(formatted(&err), "no value: ''");
}

static void
set_forgets_what_was_there(void **state)
{
	struct leat_error err = { 0 };

	(void)state;
	leat_error_set(&err, "first");
	leat_error_at(&err, "a.csv", 3);
	leat_error_column(&err, LEAT_SPAN("x"));
	leat_error_value(&err, LEAT_SPAN("y"));
	leat_error_set(&err, "%s, then the second", err.text);
	assert_string_equal(formatted(&err), "first, then the second");
}

static void
texts_are_masked_and_cut(void **state)
{
	struct leat_error err = { 0 };
	char big[5000], out[1024];

	(void)state;
	memset(big, 'x', sizeof(big) - 1);
	big[sizeof(big) - 1] = '\0';
	leat_error_set(&err, "%s", big);
	leat_error_at(&err, big, 2147483647L);
	leat_error_column(&err, leat_span_of(big));
	leat_error_value(&err, leat_span_of(big));
	assert_int_equal(strlen(err.text), sizeof(err.text) - 1);
	assert_string_equal(err.value + strlen(err.value) - 4, "x...");
	/* Any error fits 1024 bytes: the closing quote is there. */
	leat_error_format(&err, out, sizeof(out));
	assert_string_equal(out + strlen(out) - 5, "x...'");

	leat_error_set(&err, "bad\nline");
	leat_error_at(&err, "a\033[31m.csv", 1);
	leat_error_value(&err, leat_span_make("\0\377", 2));
	assert_string_equal(formatted(&err), "a?[31m.csv:1: bad?line: '?\?'");
}

static void
format_obeys_the_size(void **state)
{
	struct leat_error err = { 0 };
	char out[8] = "ZZZZZZZ";

	(void)state;
	leat_error_set(&err, "out of luck");
	assert_ptr_equal(leat_error_format(&err, out, 4), out);
	assert_string_equal(out, "out");
	assert_int_equal(out[4], 'Z');
	out[0] = 'Z';
	leat_error_format(&err, out, 0);
	assert_int_equal(out[0], 'Z');
}

static void
errno_reads_as_a_sentence(void **state)
{
	struct leat_error err = { 0 };

	(void)state;
	assert_int_equal(leat_error_errno(&err, "open 'x.csv'", ENOENT), -1);
	assert_string_equal(formatted(&err), "cannot open 'x.csv': no such file or directory");
	leat_error_errno(&err, "write", ENOSPC);
	assert_string_equal(formatted(&err), "cannot write: no space left on device");
	leat_error_errno(&err, "read", 99999);
	assert_true(strncmp(formatted(&err), "cannot read: ", 13) == 0);
	assert_true(strlen(formatted(&err)) > 13);
	assert_int_equal(leat_error_memory(&err), -1);
	assert_string_equal(formatted(&err), "out of memory");
}

static void
no_error_wanted(void **state)
{
	(void)state;
	assert_int_equal(leat_error_set(NULL, "x"), -1);
	assert_int_equal(leat_error_at(NULL, "f", 1), -1);
	assert_int_equal(leat_error_column(NULL, LEAT_SPAN("c")), -1);
	assert_int_equal(leat_error_value(NULL, LEAT_SPAN("v")), -1);
	assert_int_equal(leat_error_errno(NULL, "open", ENOENT), -1);
	assert_int_equal(leat_error_memory(NULL), -1);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(format_leaves_out_what_is_empty),
		cmocka_unit_test(an_empty_value_is_shown),
		cmocka_unit_test(set_forgets_what_was_there),
		cmocka_unit_test(texts_are_masked_and_cut),
		cmocka_unit_test(format_obeys_the_size),
		cmocka_unit_test(errno_reads_as_a_sentence),
		cmocka_unit_test(no_error_wanted)
	};

	return cmocka_run_group_tests_name("error", tests, NULL, NULL);
}
