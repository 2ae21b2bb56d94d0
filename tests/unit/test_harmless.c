/*
 * Cells that a spreadsheet would run.  What begins a formula, and that a quote, comma or semicolon may begin a cell, is after
 * OWASP, 'CSV Injection'.
 */
#include "findings.h"

#include "tell/harmless.h"

static void
field_is(const char *text, const char *expected)
{
	struct leat_buf out = { 0 };

	assert_int_equal(leat_harmless_field(&out, leat_span_of(text)), 0);
	unit_span(leat_buf_span(&out), expected);
	leat_buf_free(&out);
}

static void
test_formulas(void **state)
{
	(void)state;
	field_is("=1+1", "\"'=1+1\"");
	field_is("+1+cmd", "\"'+1+cmd\"");
	field_is("-2+3", "\"'-2+3\"");
	field_is("@SUM(1)", "\"'@SUM(1)\"");
	field_is("\tx", "\"'\tx\"");
	field_is("\rx", "\"'\rx\"");
	field_is("\nx", "\"'\nx\"");
	field_is("  =1", "\"'  =1\"");
	/* Blanks that a program may pass over as well: U+00A0, U+3000, U+FEFF, U+200B. */
	field_is("\302\240=1", "\"'\302\240=1\"");
	field_is("\343\200\200=1", "\"'\343\200\200=1\"");
	field_is("x;\357\273\277\342\200\213=1", "\"x;'\357\273\277\342\200\213=1\"");
	field_is("\357\274\235" "1", "\"'\357\274\235" "1\"");
	field_is("=HYPERLINK(\"http://x.example?\"&A1)", "\"'=HYPERLINK(\"\"http://x.example?\"\"&A1)\"");
}

/* A spreadsheet of another country parts cells at other marks, and a quote may end one. */
static void
test_formulas_within(void **state)
{
	(void)state;
	field_is("pump worn; =cmd|' /C calc'!A0", "\"pump worn;' =cmd|' /C calc'!A0\"");
	field_is("a,=1+1", "\"a,'=1+1\"");
	field_is("a\"=1+1", "\"a\"\"'=1+1\"");
	field_is("a\t@x", "\"a\t'@x\"");
}

static void
test_numbers_and_texts_stay(void **state)
{
	static const char *const same[] = { "-12.5", "+3", "-1e-3", "-", "a=b", "5 - 3 = 2", "NM/pump-a", "hot oil; -3.5, next", "\303\226l" };

	(void)state;
	field_is("", "\"\"");
	for (size_t i = 0; i < sizeof(same) / sizeof(same[0]); i++) {
		char expected[64];

		snprintf(expected, sizeof(expected), "\"%s\"", same[i]);
		field_is(same[i], expected);
	}
}

static void
test_findings(void **state)
{
	static const struct made m[] = {
		{ "NM", "=1", "low", LEAT_STATUS_ALARM, "-93", "101", 60, NEVER, NEVER, NEVER },
		{ "MM", "-", "later", LEAT_STATUS_ALARM, "", "", 2000, NEVER, NEVER, NEVER }
	};
	struct leat_findings all = { 0 };
	struct leat_buf out = { 0 };

	(void)state;
	make_findings(&all, m, 2);
	all.item[0].message = LEAT_SPAN("a \"b\"");
	assert_int_equal(leat_harmless_findings(&out, &all, made_time(1770)), 0);
	unit_span(leat_buf_span(&out), "\357\273\277time,asset,point,rule,status,value,unit,limit,since,until,due,shelved,message\n"
	    "2025-02-03T01:00:00Z,\"NM\",\"'=1\",\"low\",\"alarm\",\"-93\",\"bar\",\"101\",2025-02-03T01:00:00Z,,,,\"a \"\"b\"\"\"\n");
	leat_buf_reset(&out);
	all.item[0].explains = LEAT_SPAN("NM - x");
	all.item[0].per_day_low = LEAT_SPAN("1");
	assert_int_equal(leat_harmless_findings(&out, &all, made_time(1770)), 0);
	assert_true(leat_span_ends(leat_buf_span(&out), ",\"a \"\"b\"\"\",\"NM - x\",\"1\",,\n"));
	leat_buf_free(&out);
	made_free(&all);
}

/* A flood is cut, and says so. */
static void
test_flood(void **state)
{
	static struct made m[LEAT_HARMLESS_MOST + 3];
	struct leat_findings all = { 0 };
	struct leat_buf out = { 0 };
	size_t rows = 0;

	(void)state;
	for (size_t i = 0; i < sizeof(m) / sizeof(m[0]); i++)
		m[i] = (struct made){ "NM", "level", "low", LEAT_STATUS_ALARM, "1", "2", 60, NEVER, NEVER, NEVER };
	make_findings(&all, m, sizeof(m) / sizeof(m[0]));
	assert_int_equal(leat_harmless_findings(&out, &all, made_time(1770)), 0);
	for (size_t i = 0; i < out.len; i++)
		rows += out.data[i] == '\n';
	assert_int_equal(rows, 1 + LEAT_HARMLESS_MOST + 1);
	assert_true(leat_span_ends(leat_buf_span(&out), "\n2025-02-04T05:30:00Z,\"-\",,\"copy-cut\",\"unknown\",,,,,,,,"
	    "\"3 more findings are not in this copy; see the file of the night\"\n"));
	leat_buf_free(&out);
	made_free(&all);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_formulas), cmocka_unit_test(test_formulas_within), cmocka_unit_test(test_numbers_and_texts_stay),
		cmocka_unit_test(test_findings), cmocka_unit_test(test_flood)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
