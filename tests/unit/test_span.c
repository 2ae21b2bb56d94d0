/*
 * Text spans: lib/base/span.c.
 */
#include "unit.h"

#include "base/span.h"

static void
nocase_compares_ascii_letters_only(void **state)
{
	(void)state;
	assert_true(leat_span_is_nocase(LEAT_SPAN("True"), "tRUE"));
	assert_true(leat_span_is_nocase(LEAT_SPAN(""), ""));
	assert_false(leat_span_is_nocase(LEAT_SPAN("true"), "true "));
	assert_false(leat_span_is_nocase(LEAT_SPAN("true "), "true"));
	/* '[' and '{' differ by the same bit as 'A' and 'a'. */
	assert_false(leat_span_is_nocase(LEAT_SPAN("["), "{"));
	/* U+00C4 and U+00E4: other bytes compare as they are. */
	assert_false(leat_span_is_nocase(LEAT_SPAN("\303\204"), "\303\244"));
	/* A NUL byte in the span does not end the comparison early. */
	assert_false(leat_span_is_nocase(leat_span_make("on\0", 3), "on"));
}

static void
cmp_is_byte_order(void **state)
{
	static const char *const sorted[] = { "", "A", "AB", "B", "a", "a\xff", "b", "\x80" };
	size_t i, j;
	int got;

	(void)state;
	for (i = 0; i < sizeof(sorted) / sizeof(sorted[0]); i++) {
		for (j = 0; j < sizeof(sorted) / sizeof(sorted[0]); j++) {
			got = leat_span_cmp(leat_span_of(sorted[i]), leat_span_of(sorted[j]));
			assert_int_equal((got > 0) - (got < 0), (i > j) - (i < j));
		}
	}
	assert_int_equal(leat_span_cmp(leat_span_make(NULL, 0), LEAT_SPAN("")), 0);
}

static void
starts_ends_find(void **state)
{
	(void)state;
	assert_true(leat_span_starts(LEAT_SPAN("x-note"), "x-"));
	assert_true(leat_span_starts(LEAT_SPAN("x"), ""));
	assert_true(leat_span_starts(leat_span_make(NULL, 0), ""));
	assert_false(leat_span_starts(LEAT_SPAN("x"), "x-"));
	assert_true(leat_span_ends(LEAT_SPAN("a.csv"), ".csv"));
	assert_true(leat_span_ends(LEAT_SPAN(".csv"), ".csv"));
	assert_false(leat_span_ends(LEAT_SPAN("csv"), ".csv"));
	assert_int_equal(leat_span_find(LEAT_SPAN("a,b,c"), ','), 1);
	assert_int_equal(leat_span_find(LEAT_SPAN("abc"), ','), 3);
	assert_int_equal(leat_span_find(leat_span_make(NULL, 0), ','), 0);
}

static void
trim_takes_outer_blanks(void **state)
{
	static const struct {
		const char *text, *plain, *wide;
	} cases[] = {
		{ "", "", "" },
		{ " \t ", "", "" },
		{ "a", "a", "a" },
		{ "  a b\t", "a b", "a b" },
		{ "a\r", "a\r", "a\r" },
		{ "\302\240a\302\240", "\302\240a\302\240", "a" },
		{ " \302\240 \342\200\257a\342\200\211\302\240", "\302\240 \342\200\257a\342\200\211\302\240", "a" },
		{ "\302\240", "\302\240", "" },
		/* A tail that only looks like the end of a no-break blank. */
		{ "\303\240", "\303\240", "\303\240" }
	};
	size_t i;

	(void)state;
	for (i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		unit_span(leat_span_trim(leat_span_of(cases[i].text)), cases[i].plain);
		unit_span(leat_span_trim_wide(leat_span_of(cases[i].text)), cases[i].wide);
	}
	unit_span(leat_span_trim(leat_span_make(NULL, 0)), "");
}

static void
next_takes_tokens_in_turn(void **state)
{
	static const struct {
		const char *text;
		int count;
		const char *token[4];
	} cases[] = {
		{ "a,,b,", 4, { "a", "", "b", "" } },
		{ "", 1, { "" } },
		{ ",", 2, { "", "" } },
		{ "abc", 1, { "abc" } }
	};
	struct leat_span rest, token;
	size_t i;
	int n;

	(void)state;
	for (i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		rest = leat_span_of(cases[i].text);
		for (n = 0; leat_span_next(&rest, ',', &token); n++) {
			assert_true(n < cases[i].count);
			unit_span(token, cases[i].token[n]);
		}
		assert_int_equal(n, cases[i].count);
		assert_null(rest.ptr);
		assert_false(leat_span_next(&rest, ',', &token));
	}
}

static void
glob_matches_whole_text(void **state)
{
	static const struct {
		const char *pattern, *text;
		bool match;
	} cases[] = {
		{ "", "", true },
		{ "", "a", false },
		{ "*", "", true },
		{ "*", "NM/pump-a", true },
		{ "NM/*", "NM/pump-a", true },
		{ "NM/*", "NM", false },
		{ "*/pump-?", "NM/pump-a", true },
		{ "*/pump-?", "NM/x/pump-b", true },
		{ "*/pump-?", "NM/pump-ab", false },
		{ "*pressure*", "head-pressure", true },
		{ "**a**b**", "xxaxxbxx", true },
		{ "*a*b", "ab-ab", true },
		{ "*ab", "aab", true },
		{ "a*a", "a", false },
		{ "?", "", false },
		{ "[ab]", "a", false },
		{ "[ab]", "[ab]", true },
		{ "pressure", "Pressure", false }
	};
	size_t i;

	(void)state;
	for (i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		if (leat_glob(leat_span_of(cases[i].pattern), leat_span_of(cases[i].text)) != cases[i].match)
			fail_msg("'%s' on '%s'", cases[i].pattern, cases[i].text);
	}
}

/* A matcher that tries every length at each '*' would not come back from this. */
static void
glob_does_not_explode(void **state)
{
	char text[4001];

	(void)state;
	memset(text, 'a', sizeof(text) - 1);
	text[sizeof(text) - 1] = '\0';
	assert_false(leat_glob(LEAT_SPAN("*a*a*a*a*a*a*a*a*a*a*a*a*a*a*a*a*b"), leat_span_of(text)));
	assert_true(leat_glob(LEAT_SPAN("*a*a*a*a*a*a*a*a*a*a*a*a*a*a*a*a*"), leat_span_of(text)));
}

/* The obvious recursive definition, as a reference. */
static bool
glob_plainly(const char *p, const char *t)
{
	if (*p == '\0')
		return *t == '\0';
	if (*p == '*')
		return glob_plainly(p + 1, t) || (*t != '\0' && glob_plainly(p, t + 1));
	return *t != '\0' && (*p == '?' || *p == *t) && glob_plainly(p + 1, t + 1);
}

static void
glob_agrees_with_its_definition(void **state)
{
	static const char letters[] = "ab*?";
	char pattern[8], text[8];
	uint32_t seed = 1;
	int round, i, n;

	(void)state;
	for (round = 0; round < 200000; round++) {
		seed = seed * 1664525u + 1013904223u;
		n = (int)(seed >> 29) % 7;
		for (i = 0; i < n; i++)
			pattern[i] = letters[seed >> (2 * i + 4) & 3];
		pattern[n] = '\0';
		seed = seed * 1664525u + 1013904223u;
		n = (int)(seed >> 29) % 7;
		for (i = 0; i < n; i++)
			text[i] = letters[seed >> (i + 8) & 1];
		text[n] = '\0';
		if (leat_glob(leat_span_of(pattern), leat_span_of(text)) != glob_plainly(pattern, text))
			fail_msg("'%s' on '%s'", pattern, text);
	}
}

static void
glob_weight_orders_patterns(void **state)
{
	static const char *const rising[] = { "*", "?*a", "NM/*", "NM/pump-?", "NM/pump-very-long-name-*", "NM", "NM/pump-a" };
	size_t i;
	int weight, last = -1;

	(void)state;
	for (i = 0; i < sizeof(rising) / sizeof(rising[0]); i++) {
		weight = leat_glob_weight(leat_span_of(rising[i]));
		/* All patterns without a wildcard weigh the same: two that match one text are equal. */
		if (strcmp(rising[i], "NM/pump-a") == 0)
			assert_int_equal(weight, last);
		else
			assert_true(weight > last);
		last = weight;
	}
	/* Two weights add without overflow. */
	assert_true(last + last > last);
}

static void
utf8_validity(void **state)
{
	static const struct {
		const char *name, *text;
		size_t len;
		bool valid;
	} cases[] = {
		{ "empty", "", 0, true },
		{ "ascii", "time,asset,point,value,unit,quality", 35, true },
		{ "two bytes", "\302\260C", 3, true },
		{ "three bytes", "\342\200\257", 3, true },
		{ "four bytes", "\360\237\230\200", 4, true },
		{ "last code point U+10FFFF", "\364\217\277\277", 4, true },
		{ "NUL", "a\0b", 3, false },
		{ "NUL among eight", "abcd\0fgh", 8, false },
		{ "latin-1", "12\260C", 4, false },
		{ "latin-1 after eight", "12345678\260", 9, false },
		{ "bare tail", "\200", 1, false },
		{ "cut", "\342\200", 2, false },
		{ "overlong /", "\300\257", 2, false },
		{ "overlong three", "\340\200\257", 3, false },
		{ "overlong four", "\360\200\200\257", 4, false },
		{ "surrogate", "\355\240\200", 3, false },
		{ "over U+10FFFF", "\364\220\200\200", 4, false },
		{ "five bytes", "\370\210\200\200\200", 5, false }
	};
	size_t i;

	(void)state;
	for (i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		if (leat_utf8_valid(leat_span_make(cases[i].text, cases[i].len)) != cases[i].valid)
			fail_msg("%s", cases[i].name);
	}
	assert_true(leat_utf8_valid(leat_span_make(NULL, 0)));
}

/* Every code point is valid in its one encoding, written after the table of RFC 3629, section 3. */
static void
utf8_knows_every_code_point(void **state)
{
	char text[4];
	uint32_t c;
	size_t len;

	(void)state;
	for (c = 1; c <= 0x110000; c++) {
		if (c < 0x80) {
			len = 1;
			text[0] = (char)c;
		} else if (c < 0x800) {
			len = 2;
			text[0] = (char)(0xc0 | c >> 6);
		} else if (c < 0x10000) {
			len = 3;
			text[0] = (char)(0xe0 | c >> 12);
		} else {
			len = 4;
			text[0] = (char)(0xf0 | c >> 18);
		}
		if (len > 1)
			text[len - 1] = (char)(0x80 | (c & 0x3f));
		if (len > 2)
			text[len - 2] = (char)(0x80 | (c >> 6 & 0x3f));
		if (len > 3)
			text[len - 3] = (char)(0x80 | (c >> 12 & 0x3f));
		if (leat_utf8_valid(leat_span_make(text, len)) == ((c >= 0xd800 && c <= 0xdfff) || c > 0x10ffff))
			fail_msg("U+%04X", (unsigned)c);
	}
}

static void
mask_makes_text_safe(void **state)
{
	static const struct {
		const char *text;
		size_t len, size;
		const char *expected;
	} cases[] = {
		{ "", 0, 10, "" },
		{ "hot", 3, 10, "hot" },
		{ "hot", 3, 4, "hot" },
		{ "a\tb\nc\x7f", 6, 10, "a?b?c?" },
		{ "a\0b", 3, 10, "a?b" },
		{ "\033[31m", 5, 10, "?[31m" },
		{ "\302\260C", 3, 10, "\302\260C" },
		{ "\302\205x", 3, 10, "?x" },		/* U+0085, a control of the upper set */
		{ "\342\200\256x\342\201\251", 7, 10, "?x?" },	/* U+202E and U+2069, which turn the writing */
		{ "\342\200\250\357\277\276", 6, 10, "??" },	/* U+2028, a line separator; U+FFFE */
		{ "\342\200\247", 3, 10, "\342\200\247" },		/* U+2027, a dot */
		{ "\327\251", 2, 10, "\327\251" },
		{ "12\260C", 4, 10, "12?C" },
		{ "\342\200", 2, 10, "??" },
		{ "abcdefghijk", 11, 8, "abcd..." },
		{ "abcdefgh", 8, 8, "abcd..." },
		{ "abcdefg", 7, 8, "abcdefg" },
		{ "abc\302\260\302\260", 7, 7, "abc..." },
		{ "abc\302\260\302\260x", 8, 8, "abc..." },	/* never half a character */
		{ "abcdef", 6, 3, ".." },
		{ "abcdef", 6, 1, "" }
	};
	char dst[16];
	size_t i;

	(void)state;
	for (i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		memset(dst, 'Z', sizeof(dst));
		assert_ptr_equal(leat_mask(dst, cases[i].size, leat_span_make(cases[i].text, cases[i].len)), dst);
		assert_string_equal(dst, cases[i].expected);
		assert_int_equal(dst[cases[i].size], 'Z');
	}
	dst[0] = 'Z';
	leat_mask(dst, 0, LEAT_SPAN("a"));
	assert_int_equal(dst[0], 'Z');
}

/* Test vectors of FNV-1a, 64 bits (draft-eastlake-fnv, appendix C; from memory). */
static void
hash_is_fnv_1a(void **state)
{
	(void)state;
	if (sizeof(unsigned long) < 8)
		skip();
	assert_true(leat_span_hash(LEAT_SPAN(""), 0) == (unsigned long)UINT64_C(0xcbf29ce484222325));
	assert_true(leat_span_hash(LEAT_SPAN("a"), 0) == (unsigned long)UINT64_C(0xaf63dc4c8601ec8c));
	assert_true(leat_span_hash(LEAT_SPAN("foobar"), 0) == (unsigned long)UINT64_C(0x85944171f73967e8));
	assert_true(leat_span_hash(LEAT_SPAN("bar"), leat_span_hash(LEAT_SPAN("foo"), 0)) ==
	    leat_span_hash(LEAT_SPAN("foobar"), 0));
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(nocase_compares_ascii_letters_only),
		cmocka_unit_test(cmp_is_byte_order),
		cmocka_unit_test(starts_ends_find),
		cmocka_unit_test(trim_takes_outer_blanks),
		cmocka_unit_test(next_takes_tokens_in_turn),
		cmocka_unit_test(glob_matches_whole_text),
		cmocka_unit_test(glob_does_not_explode),
		cmocka_unit_test(glob_agrees_with_its_definition),
		cmocka_unit_test(glob_weight_orders_patterns),
		cmocka_unit_test(utf8_validity),
		cmocka_unit_test(utf8_knows_every_code_point),
		cmocka_unit_test(mask_makes_text_safe),
		cmocka_unit_test(hash_is_fnv_1a)
	};

	return cmocka_run_group_tests_name("span", tests, NULL, NULL);
}
