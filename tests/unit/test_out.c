/*
 * CSV out: lib/stream/out.c.
 */
#include "unit.h"

#include <errno.h>
#include <unistd.h>

#include "base/mem.h"
#include "stream/out.h"

static struct leat_out out;

/* All that was written to file. */
static struct leat_span
written(FILE *file)
{
	static char text[2 * 1024 * 1024];

	rewind(file);
	return leat_span_make(text, fread(text, 1, sizeof(text), file));
}

static void
fields_are_quoted_when_needed(void **state)
{
	static const struct {
		const char *field, *text;
	} cases[] = {
		{ "", "" },
		{ "101.7", "101.7" },
		{ "a b", "a b" },
		{ "a;b|c", "a;b|c" },
		{ "\xC2\xB0" "C", "\xC2\xB0" "C" },
		{ "a,b", "\"a,b\"" },
		{ "a\nb", "\"a\nb\"" },
		{ "a\rb", "\"a\rb\"" },
		{ "\"", "\"\"\"\"" },
		{ "say \"x\"", "\"say \"\"x\"\"\"" },
		{ "\"\"", "\"\"\"\"\"\"" },
		{ " a", "\" a\"" },
		{ "a ", "\"a \"" },
		{ "\ta", "\"\ta\"" },
		{ "a\t", "\"a\t\"" },
		{ " ", "\" \"" },
		{ "a\tb", "a\tb" }
	};
	size_t i;

	(void)state;
	for (i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		FILE *file = tmpfile();

		assert_non_null(file);
		leat_out_init(&out, file);
		leat_out_field(&out, leat_span_of(cases[i].field));
		assert_int_equal(leat_out_flush(&out), 0);
		unit_span(written(file), cases[i].text);
		fclose(file);
	}
}

static void
times(void **state)
{
	FILE *file = tmpfile();

	(void)state;
	assert_non_null(file);
	leat_out_init(&out, file);
	leat_out_time(&out, LEAT_TIME_NONE);
	leat_out_char(&out, ',');
	leat_out_time(&out, (struct leat_time){ 0, 0 });
	leat_out_char(&out, ',');
	leat_out_time(&out, (struct leat_time){ 1738555506, 250000000 });
	assert_int_equal(leat_out_flush(&out), 0);
	unit_span(written(file), ",1970-01-01T00:00:00Z,2025-02-03T04:05:06.25Z");
	fclose(file);
}

/* Pieces of every length around the size of the buffer come out whole and in order. */
static void
pieces_across_the_buffer(void **state)
{
	static const size_t lens[] = {
		1, LEAT_OUT_SIZE - 1, 1, 1, LEAT_OUT_SIZE, LEAT_OUT_SIZE - 2, 1, 2, LEAT_OUT_SIZE + 1, 3, 2 * LEAT_OUT_SIZE, 0
	};
	struct leat_buf expected = { 0 };
	FILE *file = tmpfile();
	struct leat_span got;
	size_t i, j, n;

	(void)state;
	assert_non_null(file);
	leat_out_init(&out, file);
	for (i = 0; i < 2 * sizeof(lens) / sizeof(lens[0]); i++) {
		n = lens[i / 2];
		assert_int_equal(leat_buf_reserve(&expected, n), 0);
		for (j = 0; j < n; j++)
			expected.data[expected.len + j] = (char)('a' + (i + j) % 26);
		if (i % 2 == 0) {
			leat_out_bytes(&out, expected.data + expected.len, n);
		} else {
			for (j = 0; j < n; j++)
				leat_out_char(&out, expected.data[expected.len + j]);
		}
		expected.len += n;
	}
	leat_out_text(&out, "end");
	leat_out_span(&out, LEAT_SPAN("."));
	leat_out_span(&out, leat_span_make(NULL, 0));
	assert_int_equal(leat_buf_add(&expected, "end.", 4), 0);
	assert_int_equal(leat_out_flush(&out), 0);
	got = written(file);
	assert_int_equal(got.len, expected.len);
	assert_true(memcmp(got.ptr, expected.data, expected.len) == 0);
	leat_buf_free(&expected);
	fclose(file);
}

static void
nothing_is_written_before_the_buffer_is_full(void **state)
{
	FILE *file = tmpfile();

	(void)state;
	assert_non_null(file);
	leat_out_init(&out, file);
	leat_out_text(&out, "row\n");
	assert_int_equal(written(file).len, 0);
	assert_int_equal(leat_out_flush(&out), 0);
	unit_span(written(file), "row\n");
	/* A second flush has nothing left to write. */
	assert_int_equal(leat_out_flush(&out), 0);
	unit_span(written(file), "row\n");
	fclose(file);
}

/* Bytes that are lent come out in their place, whatever is written around them and whenever the loan ends. */
static void
lent_bytes_keep_their_place(void **state)
{
	char text[] = "one,two,three,four,";
	struct leat_loan loan = { NULL }, other = { NULL };
	FILE *file = tmpfile();

	(void)state;
	assert_non_null(file);
	leat_out_init(&out, file);
	leat_out_lend(&out, leat_span_make(text, 4), &loan);
	assert_true(leat_out_any(&out));
	assert_ptr_equal(loan.out, &out);
	leat_out_lend(&out, leat_span_make(text + 4, 4), &loan);
	leat_out_text(&out, "and,");
	/* The loan has ended: the bytes may change. */
	assert_null(loan.out);
	memset(text, '-', 8);
	/* Not beside each other, and of another lender though they are. */
	leat_out_lend(&out, leat_span_make(text + 14, 5), &loan);
	leat_out_lend(&out, leat_span_make(text + 8, 3), &loan);
	leat_out_lend(&out, leat_span_make(text + 11, 3), &other);
	assert_null(loan.out);
	leat_loan_end(&other);
	assert_null(other.out);
	memset(text, '-', sizeof(text) - 1);
	leat_loan_end(&other);
	leat_out_lend(&out, LEAT_SPAN("end"), &loan);
	assert_int_equal(leat_out_flush(&out), 0);
	assert_null(loan.out);
	unit_span(written(file), "one,two,and,four,three,end");
	fclose(file);
}

/* A file open for reading only refuses every write. */
static void
first_failure_is_kept(void **state)
{
	FILE *file = fopen("/dev/null", "r");
	size_t i;

	(void)state;
	assert_non_null(file);
	leat_out_init(&out, file);
	for (i = 0; i < 3 * LEAT_OUT_SIZE; i++)
		leat_out_char(&out, 'x');
	assert_int_equal(out.errnum, EBADF);
	errno = 0;
	leat_out_text(&out, "more");
	assert_int_equal(leat_out_flush(&out), -1);
	assert_int_equal(out.errnum, EBADF);
	assert_int_equal(leat_out_flush(&out), -1);
	fclose(file);
}

static void
full_disk_is_a_failure(void **state)
{
	FILE *file = fopen("/dev/full", "w");

	(void)state;
	if (file == NULL) {
		print_message("skip: there is no /dev/full here\n");
		skip();
	}
	leat_out_init(&out, file);
	leat_out_text(&out, "one short row that stdio would keep\n");
	assert_int_equal(out.errnum, 0);
	assert_int_equal(leat_out_flush(&out), -1);
	assert_int_equal(out.errnum, ENOSPC);
	fclose(file);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(fields_are_quoted_when_needed),
		cmocka_unit_test(times),
		cmocka_unit_test(pieces_across_the_buffer),
		cmocka_unit_test(nothing_is_written_before_the_buffer_is_full),
		cmocka_unit_test(lent_bytes_keep_their_place),
		cmocka_unit_test(first_failure_is_kept),
		cmocka_unit_test(full_disk_is_a_failure)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
