/*
 * CSV rows against RFC 4180 (Common Format and MIME Type for CSV Files, October 2005), section 2: its seven rules, each
 * with the example given there, and its grammar; and erratum 5714.  Texts of the examples are from memory.
 */
#include "unit.h"

#include "stream/out.h"
#include "stream/rows.h"

#define TEXT(lit) (lit), sizeof(lit) - 1

/* Reads a whole text: fields joined by '|', records ended by '$'; a bad record is '!'. */
static void
expect(const char *text, size_t len, const char *expected)
{
	struct leat_error err = { 0 };
	struct leat_input *in = leat_input_memory("rfc4180", text, len, LEAT_ENCODING_RAW, &err);
	struct leat_rows *rows;
	struct leat_row row;
	struct leat_buf shown = { 0 };
	enum leat_rows_status status;
	size_t i;

	assert_non_null(in);
	rows = leat_rows_open(in, ',', &err);
	assert_non_null(rows);
	while ((status = leat_rows_next(rows, &row, &err)) > LEAT_ROWS_END) {
		if (status == LEAT_ROWS_BAD) {
			assert_int_equal(leat_buf_add(&shown, "!", 1), 0);
			continue;
		}
		for (i = 0; i < row.count; i++) {
			assert_int_equal(leat_buf_add_span(&shown, row.field[i]), 0);
			assert_int_equal(leat_buf_add(&shown, i + 1 < row.count ? "|" : "$", 1), 0);
		}
	}
	assert_int_equal(status, LEAT_ROWS_END);
	leat_rows_close(rows);
	unit_span(leat_buf_span(&shown), expected);
	leat_buf_free(&shown);
}

static void
rule_1_records_end_in_crlf(void **state)
{
	(void)state;
	expect(TEXT("aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n"), "aaa|bbb|ccc$zzz|yyy|xxx$");
}

static void
rule_2_the_last_may_lack_it(void **state)
{
	(void)state;
	expect(TEXT("aaa,bbb,ccc\r\nzzz,yyy,xxx"), "aaa|bbb|ccc$zzz|yyy|xxx$");
}

static void
rule_3_a_header_has_the_form_of_a_record(void **state)
{
	(void)state;
	expect(TEXT("field_name,field_name,field_name\r\naaa,bbb,ccc\r\nzzz,yyy,xxx\r\n"),
	    "field_name|field_name|field_name$aaa|bbb|ccc$zzz|yyy|xxx$");
}

/* "Spaces are considered part of a field and should not be ignored"; a comma after the last field begins another. */
static void
rule_4_fields_and_spaces(void **state)
{
	(void)state;
	expect(TEXT("aaa,bbb,ccc\r\n"), "aaa|bbb|ccc$");
	expect(TEXT(" aaa,bbb ,  \r\n"), " aaa|bbb |  $");
	expect(TEXT("\" aaa\",\"bbb \"\r\n"), " aaa|bbb $");
	expect(TEXT("aaa,bbb,\r\n"), "aaa|bbb|$");
	expect(TEXT(",\r\n"), "|$");
}

/* "If fields are not enclosed with double quotes, then double quotes may not appear inside the fields." */
static void
rule_5_quoted_fields(void **state)
{
	(void)state;
	expect(TEXT("\"aaa\",\"bbb\",\"ccc\"\r\nzzz,yyy,xxx\r\n"), "aaa|bbb|ccc$zzz|yyy|xxx$");
	expect(TEXT("aaa,b\"bb,ccc\r\nzzz,yyy,xxx\r\n"), "!zzz|yyy|xxx$");
	expect(TEXT("aaa,bbb\",ccc\r\nzzz,yyy,xxx\r\n"), "!zzz|yyy|xxx$");
}

static void
rule_6_line_breaks_quotes_and_commas_are_quoted(void **state)
{
	(void)state;
	expect(TEXT("\"aaa\",\"b\r\nbb\",\"ccc\"\r\nzzz,yyy,xxx\r\n"), "aaa|b\r\nbb|ccc$zzz|yyy|xxx$");
	expect(TEXT("\"aaa\",\"b,bb\",\"ccc\"\r\n"), "aaa|b,bb|ccc$");
}

static void
rule_7_a_quote_is_doubled(void **state)
{
	(void)state;
	expect(TEXT("\"aaa\",\"b\"\"bb\",\"ccc\"\r\n"), "aaa|b\"bb|ccc$");
	expect(TEXT("\"\"\"\",\"\"\"\"\"\"\r\n"), "\"|\"\"$");
}

/* TEXTDATA = %x20-21 / %x23-2B / %x2D-7E: alone in a bare field each is itself. */
static void
grammar_of_bare_fields(void **state)
{
	char text[8], expected[8];
	int c;

	(void)state;
	for (c = 0x20; c <= 0x7E; c++) {
		if (c == 0x22 || c == 0x2C)
			continue;
		snprintf(text, sizeof(text), "%c,%c%c\r\n", c, c, c);
		snprintf(expected, sizeof(expected), "%c|%c%c$", c, c, c);
		expect(text, 6, expected);
	}
}

/* escaped = DQUOTE *(TEXTDATA / COMMA / CR / LF / 2DQUOTE) DQUOTE */
static void
grammar_of_quoted_fields(void **state)
{
	char text[12], expected[8];
	int c;

	(void)state;
	for (c = 0x0A; c <= 0x7E; c++) {
		if ((c > 0x0A && c < 0x20 && c != 0x0D) || c == 0x22)
			continue;
		snprintf(text, sizeof(text), "\"%c\",\"a%c\"\r\n", c, c);
		snprintf(expected, sizeof(expected), "%c|a%c$", c, c);
		expect(text, 10, expected);
	}
	expect(TEXT("\"\",\"\"\r\n"), "|$");
}

/* Erratum 5714: nothing may stand between a closing quote and the separator or the line end, a space neither. */
static void
erratum_5714(void **state)
{
	(void)state;
	expect(TEXT("\"aaa\",\"bbb\" \r\nzzz,yyy\r\n"), "!zzz|yyy$");
	expect(TEXT("\"aaa\" ,\"bbb\"\r\nzzz,yyy\r\n"), "!zzz|yyy$");
}

/* What is written keeps the rules too: quotes where 5, 6 and 7 ask for them. */
static void
fields_are_written_by_the_rules(void **state)
{
	static const char *const cases[][2] = {
		{ "aaa", "aaa" }, { "b,bb", "\"b,bb\"" }, { "b\"bb", "\"b\"\"bb\"" }, { "b\r\nbb", "\"b\r\nbb\"" }, { "", "" }
	};
	static struct leat_out out;
	char got[64];
	size_t i, n;

	(void)state;
	for (i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		FILE *file = tmpfile();

		assert_non_null(file);
		leat_out_init(&out, file);
		leat_out_field(&out, leat_span_of(cases[i][0]));
		assert_int_equal(leat_out_flush(&out), 0);
		rewind(file);
		n = fread(got, 1, sizeof(got), file);
		unit_span(leat_span_make(got, n), cases[i][1]);
		fclose(file);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(rule_1_records_end_in_crlf),
		cmocka_unit_test(rule_2_the_last_may_lack_it),
		cmocka_unit_test(rule_3_a_header_has_the_form_of_a_record),
		cmocka_unit_test(rule_4_fields_and_spaces),
		cmocka_unit_test(rule_5_quoted_fields),
		cmocka_unit_test(rule_6_line_breaks_quotes_and_commas_are_quoted),
		cmocka_unit_test(rule_7_a_quote_is_doubled),
		cmocka_unit_test(grammar_of_bare_fields),
		cmocka_unit_test(grammar_of_quoted_fields),
		cmocka_unit_test(erratum_5714),
		cmocka_unit_test(fields_are_written_by_the_rules)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
