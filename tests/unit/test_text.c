/*
 * Composing and wrapping lines.
 *
 * Column widths are compared with the C library's wcwidth under C.UTF-8, whose data are those of Unicode.
 */
#define _XOPEN_SOURCE 700
#include "unit.h"

#include <locale.h>
#include <wchar.h>

#include "tell/text.h"

static void
wraps(const char *text, size_t width, size_t first, size_t rest, const char *expected)
{
	struct leat_text t = { .width = width };

	leat_text_add(&t, "%s", text);
	leat_text_end(&t, first, rest);
	assert_false(t.failed);
	unit_span(leat_buf_span(&t.page), expected);
	leat_text_free(&t);
}

static void
test_wrap(void **state)
{
	static const struct {
		const char *name, *text;
		size_t width, first, rest;
		const char *expected;
	} cases[] = {
		{ "empty", "", 20, 2, 4, "  \n" },
		{ "fits exactly", "aaaa bbbb cccc dddd e", 21, 0, 0, "aaaa bbbb cccc dddd e\n" },
		{ "one too many", "aaaa bbbb cccc dddd ee", 21, 0, 2, "aaaa bbbb cccc dddd\n  ee\n" },
		{ "indents count", "aaaa bbbb cccc", 20, 8, 10, "        aaaa bbbb\n          cccc\n" },
		{ "blanks at the ends", "  aaaa  bbbb  ", 20, 0, 0, "aaaa bbbb\n" },
		{ "glue holds", "oil temperature at 66.2\037degC", 24, 0, 2, "oil temperature at\n  66.2 degC\n" },
		{ "glue shows as a blank", "66.2\037degC", 20, 0, 0, "66.2 degC\n" },
		{ "too much glue breaks at glue", "aaaaaaaa\037bbbbbbbb\037cccccccc", 20, 0, 0,
		    "aaaaaaaa\nbbbbbbbb cccccccc\n" },
		{ "wide word breaks after a hyphen", "incoming/NM/a-very-long-export-name", 20, 0, 2,
		    "incoming/NM/a-very-\n  long-export-name\n" },
		{ "wide word without a place to break", "abcdefghijklmnopqrstuvwxyz", 20, 0, 2, "abcdefghijklmnopqrst\n  uvwxyz\n" },
		{ "a number is not cut", "x123456789012345678901234567890", 20, 0, 2,
		    "x\n  123456789012345678901234567890\n" },
		{ "a number alone runs over", "123456789012345678901234567890", 20, 0, 2, "123456789012345678901234567890\n" },
		{ "a decimal number is one", "aaaaaaaaaaaaaaaaaa-1234.56789012", 20, 0, 0, "aaaaaaaaaaaaaaaaaa\n-1234.56789012\n" },
		{ "two columns for a wide character", "\345\234\247\345\212\233\345\234\247\345\212\233 aaaa bbbbbbbb", 20, 0, 0,
		    "\345\234\247\345\212\233\345\234\247\345\212\233 aaaa\nbbbbbbbb\n" },
		{ "one column for an umlaut", "\303\226ldr\303\274ck \303\226ldr\303\274ck bbb", 21, 0, 0,
		    "\303\226ldr\303\274ck \303\226ldr\303\274ck bbb\n" }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		print_message("# %s\n", cases[i].name);
		wraps(cases[i].text, cases[i].width, cases[i].first, cases[i].rest, cases[i].expected);
	}
}

static void
test_foreign_text(void **state)
{
	struct leat_text t = { .width = 40 };

	(void)state;
	leat_text_add_plain(&t, LEAT_SPAN("a\033[2Jb\nc\x7f\xff\xc2\x9b  d "));
	leat_text_add(&t, "|");
	leat_text_add_glued(&t, LEAT_SPAN("e  f"));
	leat_text_end(&t, 0, 0);
	unit_span(leat_buf_span(&t.page), "a?[2Jb?c??? d|e f\n");
	leat_text_free(&t);
}

static void
test_long_own_text_fails(void **state)
{
	struct leat_text t = { .width = 40 };
	char big[2000];

	(void)state;
	memset(big, 'a', sizeof(big) - 1);
	big[sizeof(big) - 1] = '\0';
	leat_text_add(&t, "%s", big);
	assert_true(t.failed);
	leat_text_free(&t);
}

/* Every character of the blocks in which works write. */
static void
test_columns_against_the_c_library(void **state)
{
	static const struct {
		wchar_t first, last;
	} block[] = {
		{ 0x20, 0x7e }, { 0xa0, 0x17f }, { 0x370, 0x377 }, { 0x391, 0x3ff }, { 0x400, 0x52f }, { 0x300, 0x36f },
		{ 0x1e00, 0x1eff }, { 0x2010, 0x2027 }, { 0x2030, 0x205e }, { 0x20a0, 0x20bf }, { 0x3041, 0x3096 },
		{ 0x30a1, 0x30fa }, { 0x4e00, 0x9fff }, { 0xac00, 0xd7a3 }, { 0xff01, 0xff60 }, { 0xff61, 0xff9f }
	};
	char bytes[16];
	size_t tried = 0;

	(void)state;
	if (setlocale(LC_ALL, "C.UTF-8") == NULL) {
		print_message("# no C.UTF-8 here\n");
		skip();
	}
	for (size_t b = 0; b < sizeof(block) / sizeof(block[0]); b++) {
		for (wchar_t c = block[b].first; c <= block[b].last; c++) {
			mbstate_t shift;
			size_t len;
			int width = wcwidth(c);

			/* The C library shows the soft hyphen or hides it, as its version goes. */
			if (width < 0 || c == 0xad)
				continue;
			memset(&shift, 0, sizeof(shift));
			len = wcrtomb(bytes, c, &shift);
			assert_true(len != (size_t)-1);
			if (leat_text_columns(leat_span_make(bytes, len)) != (size_t)width)
				fail_msg("U+%04X takes %d", (unsigned)c, width);
			tried++;
		}
	}
	setlocale(LC_ALL, "C");
	assert_true(tried > 30000);
}

static unsigned
next_random(unsigned *seed)
{
	*seed = *seed * 1103515245u + 12345u;
	return *seed >> 16 & 0x7fff;
}

/* Whatever the words: no row wider than it may be unless it is one number, and no byte lost but blanks. */
static void
test_nothing_is_lost(void **state)
{
	static const char *const word[] = {
		"NM/accu-1", "66.2\037degC", "a", "\303\244\303\266\303\274", "\345\234\247", "-1234567.89", "over", "x/y/z,w;v",
		"abcdefghijklmnopqrstuvwxyzabcdefghijklmnopqrstuvwxyz", "since"
	};
	unsigned seed = 20250204;

	(void)state;
	for (int run = 0; run < 2000; run++) {
		struct leat_text t = { .width = 20 + next_random(&seed) % 60 };
		struct leat_buf in = { 0 };
		size_t at = 0;
		struct leat_span page, row;

		for (unsigned n = next_random(&seed) % 30; n > 0; n--) {
			const char *w = word[next_random(&seed) % 10];

			leat_text_add(&t, " %s", w);
			assert_int_equal(leat_buf_add(&in, w, strlen(w)), 0);
		}
		leat_text_end(&t, 2, 6);
		page = leat_buf_span(&t.page);
		for (size_t i = 0; i < page.len; i++) {
			if (page.ptr[i] == ' ' || page.ptr[i] == '\n')
				continue;
			at += in.data[at] == '\037';
			assert_true(at < in.len && page.ptr[i] == in.data[at]);
			at++;
		}
		assert_int_equal(at, in.len);
		while (leat_span_next(&page, '\n', &row))
			assert_true(leat_text_columns(row) <= t.width);
		leat_buf_free(&in);
		leat_text_free(&t);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_wrap), cmocka_unit_test(test_foreign_text), cmocka_unit_test(test_long_own_text_fails),
		cmocka_unit_test(test_columns_against_the_c_library), cmocka_unit_test(test_nothing_is_lost)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
