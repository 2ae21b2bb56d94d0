/* Works tables: separators, encodings, headers, typed cells and the wording of faults. */
#include "stream/nearest.h"
#include "stream/table.h"
#include "table_file.h"
#include "unit.h"

static const char *const columns[] = { "asset", "value", "unit", "hold", "from", "source" };
static const struct leat_table_form form = { "sample", columns, 6, 2 };
enum { ASSET, VALUE, UNIT, HOLD, FROM, SOURCE };

static struct leat_table *
read_bytes(const void *bytes, size_t len, struct leat_error *err)
{
	struct table_file f = table_file_bytes(bytes, len);
	bool absent = true;
	struct leat_table *t = leat_table_read(f.path, &form, &absent, err);

	assert_false(absent);
	table_file_drop(&f);
	return t;
}

/* The same two cells, as the spreadsheets of several countries and programs write them. */
static void
test_forms(void **state)
{
	static const struct {
		const char *name, *text;
		size_t len;
	} cases[] = {
#define CASE(name, text) { name, text, sizeof(text) - 1 }
		CASE("commas", "asset,value\nM\xc3\xbchle,2.5\n"),
		CASE("semicolons and decimal comma", "asset;value\nM\xc3\xbchle;2,5\n"),
		CASE("TAB and decimal comma", "asset\tvalue\nM\xc3\xbchle\t2,5\n"),
		CASE("semicolons and point", "asset;value\nM\xc3\xbchle;2.5\n"),
		CASE("byte order mark", "\xef\xbb\xbf" "asset,value\nM\xc3\xbchle,2.5\n"),
		CASE("CRLF", "asset,value\r\nM\xc3\xbchle,2.5\r\n"),
		CASE("no last line end", "asset,value\nM\xc3\xbchle,2.5"),
		CASE("Windows-1252", "asset;value\nM\xfchle;2,5\n"),
		CASE("quotes", "\"asset\",\"value\"\n\"M\xc3\xbchle\",\"2.5\"\n"),
		CASE("other order", "value,asset\n2.5,M\xc3\xbchle\n"),
		CASE("blanks around", " asset ; value\n  M\xc3\xbchle\t;\xc2\xa0" "2,5 \n"),
		CASE("blank lines first", "\n\nasset,value\n\nM\xc3\xbchle,2.5\n"),
		CASE("separators only", "asset,value,,\n,,,\nM\xc3\xbchle,2.5,,\n,,,\n"),
		CASE("remarks", "x-bin,asset,note,value,source\n7,M\xc3\xbchle,see 3,2.5,sheet\n"),
		CASE("UTF-16 little endian", "\xff\xfe"
		    "a\0s\0s\0e\0t\0;\0v\0a\0l\0u\0e\0\n\0M\0\xfc\0h\0l\0e\0;\0" "2\0,\0" "5\0\n\0"),
		CASE("UTF-16 big endian", "\xfe\xff"
		    "\0a\0s\0s\0e\0t\0;\0v\0a\0l\0u\0e\0\n\0M\0\xfc\0h\0l\0e\0;\0" "2\0,\0" "5\0\n")
#undef CASE
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct leat_error err = { 0 };
		struct leat_table *t = read_bytes(cases[i].text, cases[i].len, &err);
		double value = 0;

		if (t == NULL || leat_table_rows(t) != 1)
			fail_msg("%s: %s", cases[i].name, err.text);
		unit_span(leat_table_cell(t, 0, ASSET), "M\xc3\xbchle");
		assert_int_equal(leat_table_number(t, 0, VALUE, &value, &err), 1);
		unit_close(value, 2.5, 0);
		unit_span(leat_table_cell(t, 0, UNIT), "");
		leat_table_free(t);
	}
}

static void
test_lines(void **state)
{
	struct leat_error err = { 0 };
	struct leat_table *t;

	(void)state;
	t = leat_table_text("sample.csv", "asset,value,note\n\nA,1,\"two\nlines\"\n,,\nB,2,\n", &form, &err);
	assert_non_null(t);
	assert_int_equal(leat_table_rows(t), 2);
	assert_int_equal(leat_table_line(t, 0), 3);
	assert_int_equal(leat_table_line(t, 1), 6);
	assert_string_equal(leat_table_file(t), "sample.csv");
	leat_table_fault(t, 1, VALUE, &err, "too small");
	unit_error(&err, "sample.csv:6: column 'value': too small: '2'");
	leat_table_fault(t, 1, UNIT, &err, "missing");
	unit_error(&err, "sample.csv:6: column 'unit': missing");
	leat_table_free(t);
}

static void
test_faults(void **state)
{
	static const struct {
		const char *text, *error;
	} cases[] = {
		{ "", "t.csv:1: the file is empty: its first line must name its columns (asset, value, unit, hold, from, "
		    "source)" },
		{ "\n\n", "t.csv:1: the file is empty: its first line must name its columns (asset, value, unit, hold, from, "
		    "source)" },
		{ "a,b\n", "t.csv:1: no header of a sample table: its columns are asset, value, unit, hold, from, source" },
		{ "asset,valu\n", "t.csv:1: column 'valu': unknown column, did you mean 'value'? "
		    "(known: asset, value, unit, hold, from, source)" },
		{ "asset,value,Unit\n", "t.csv:1: column 'Unit': unknown column, did you mean 'unit'? "
		    "(known: asset, value, unit, hold, from, source)" },
		{ "asset,value,pressure\n", "t.csv:1: column 'pressure': unknown column "
		    "(known: asset, value, unit, hold, from, source)" },
		{ "asset,unit\n", "t.csv:1: column 'value': this column is missing (required: asset, value)" },
		{ "asset,value,asset\n", "t.csv:1: column 'asset': this column comes twice" },
		{ "asset,value\nA,1,2\n", "t.csv:2: field 3 stands under no column of the header: '2'" },
		{ "asset,value,\nA,1,2\n", "t.csv:2: field 3 stands under no column of the header: '2'" },
		{ "asset,value\nA,1\n\nB,\xff\n", "t.csv:4: column 'value': not text in UTF-8: '?'" },
		{ "asset,value\nA,\"1\n", "t.csv:2: the quote that begins in this line does not end" }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct leat_error err = { 0 };

		assert_null(leat_table_text("t.csv", cases[i].text, &form, &err));
		unit_error(&err, cases[i].error);
	}
}

static void
test_numbers(void **state)
{
	static const struct {
		const char *text;
		int got;
		double value;
		const char *error;
	} cases[] = {
		{ "asset;value\nA;12\n", 1, 12, NULL },
		{ "asset;value\nA;-0,5\n", 1, -0.5, NULL },
		{ "asset;value\nA;+1,5e3\n", 1, 1500, NULL },
		{ "asset;value\nA;1.234\n", 1, 1.234, NULL },
		{ "asset;value\nA;\n", 0, 7, NULL },
		{ "asset;value\nA;hot\n", -1, 7, "t.csv:2: column 'value': not a number: 'hot'" },
		{ "asset;value\nA;nan\n", -1, 7, "t.csv:2: column 'value': not a number: 'nan'" },
		{ "asset;value\nA;0x10\n", -1, 7, "t.csv:2: column 'value': not a number: '0x10'" },
		{ "asset;value\nA;60 bar\n", -1, 7, "t.csv:2: column 'value': not a number: '60 bar'" },
		{ "asset;value\nA;1.234,5\n", -1, 7,
		    "t.csv:2: column 'value': not a number (write it without thousands marks): '1.234,5'" },
		{ "asset;value\nA;1,234,5\n", -1, 7,
		    "t.csv:2: column 'value': not a number (write it without thousands marks): '1,234,5'" },
		{ "asset,value\nA,\"65,5\"\n", -1, 7, "t.csv:2: column 'value': not a number "
		    "(a decimal comma is read where ';' or TAB separates the columns): '65,5'" },
		{ "asset,value\nA,\"1,234.5\"\n", -1, 7,
		    "t.csv:2: column 'value': not a number (write it without thousands marks): '1,234.5'" }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct leat_error err = { 0 };
		struct leat_table *t = leat_table_text("t.csv", cases[i].text, &form, &err);
		double value = 7;

		assert_non_null(t);
		assert_int_equal(leat_table_number(t, 0, VALUE, &value, &err), cases[i].got);
		unit_close(value, cases[i].value, 0);
		if (cases[i].error != NULL)
			unit_error(&err, cases[i].error);
		leat_table_free(t);
	}
}

static void
test_units_and_durations(void **state)
{
	static const char text[] = "asset,value,unit,hold\nA,1,bar,PT90S\nA,1,degX,10 min\nA,1,,P1M\nA,1,\xc2\xb0" "C,P1DT1H\n";
	const struct leat_unit *unit = NULL;
	struct leat_error err = { 0 };
	struct leat_table *t = leat_table_text("t.csv", text, &form, &err);
	double seconds = 0;

	(void)state;
	assert_non_null(t);
	assert_int_equal(leat_table_unit(t, 0, UNIT, &unit, &err), 1);
	assert_string_equal(unit->name, "bar");
	assert_int_equal(leat_table_duration(t, 0, HOLD, &seconds, &err), 1);
	unit_close(seconds, 90, 0);
	assert_int_equal(leat_table_unit(t, 1, UNIT, &unit, &err), -1);
	unit_error(&err, "t.csv:3: column 'unit': unknown unit (leat-units(7) lists all): 'degX'");
	assert_int_equal(leat_table_duration(t, 1, HOLD, &seconds, &err), -1);
	unit_error(&err, "t.csv:3: column 'hold': not a duration such as PT10M, PT2H or P1D: '10 min'");
	assert_int_equal(leat_table_unit(t, 2, UNIT, &unit, &err), 0);
	assert_int_equal(leat_table_duration(t, 2, HOLD, &seconds, &err), -1);
	unit_error(&err, "t.csv:4: column 'hold': months and years differ in length: write it in days: 'P1M'");
	assert_int_equal(leat_table_unit(t, 3, UNIT, &unit, &err), 1);
	assert_string_equal(unit->name, "degC");
	assert_int_equal(leat_table_duration(t, 3, HOLD, &seconds, &err), 1);
	unit_close(seconds, 90000, 0);
	leat_table_free(t);
}

/* Expected instants: GNU date on the zone data of Debian, 'date -u -d "TZ=\"Europe/Berlin\" 2025-07-01 06:30" +%s'. */
static void
test_times(void **state)
{
	static const struct {
		const char *cell;
		int got;
		int64_t sec;
	} cases[] = {
		{ "2025-07-01T04:30:00Z", 1, 1751344200 },
		{ "2025-07-01T06:30:00+02:00", 1, 1751344200 },
		{ "2025-07-01 06:30", 1, 1751344200 },
		{ "1.7.2025 06:30", 1, 1751344200 },
		{ "01.07.2025 06:30:00", 1, 1751344200 },
		{ "2025-07-01", 1, 1751320800 },
		{ "1.7.2025", 1, 1751320800 },
		{ "2025-01-15", 1, 1736895600 },
		{ "2025-10-26 02:30", 1, 1761438600 },	/* comes twice: the first */
		{ "2025-03-30 02:30", -1, 0 },		/* never was */
		{ "01/07/2025", -1, 0 },
		{ "06:30", -1, 0 },
		{ "soon", -1, 0 },
		{ "2025-02-30", -1, 0 },
		{ "1751344200", -1, 0 },
		{ "", 0, 0 }
	};
	struct leat_zone *zone = leat_zone_open(LEAT_SPAN("Europe/Berlin"), NULL);
	char text[96];

	(void)state;
	assert_non_null(zone);
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct leat_error err = { 0 };
		struct leat_time time = { 0, 0 };
		struct leat_table *t;

		snprintf(text, sizeof(text), "asset,value,from\nA,1,%s\n", cases[i].cell);
		t = leat_table_text("t.csv", text, &form, &err);
		assert_non_null(t);
		if (leat_table_time(t, 0, FROM, zone, &time, &err) != cases[i].got || time.sec != cases[i].sec)
			fail_msg("'%s' gives %lld", cases[i].cell, (long long)time.sec);
		assert_int_equal(err.line, cases[i].got < 0 ? 2 : 0);
		leat_table_free(t);
	}
	leat_zone_free(zone);
}

static void
test_absent(void **state)
{
	struct leat_error err = { 0 };
	bool absent = false;

	(void)state;
	assert_null(leat_table_read("testdata/tables/no-such-table.csv", &form, &absent, &err));
	assert_true(absent);
	assert_string_equal(err.text, "");
	assert_null(leat_table_read("testdata/tables/no-such-table.csv", &form, NULL, &err));
	assert_string_not_equal(err.text, "");
	/* A folder in a table's place is not an absent table. */
	memset(&err, 0, sizeof(err));
	absent = true;
	assert_null(leat_table_read("testdata/tables", &form, &absent, &err));
	assert_false(absent);
	assert_string_not_equal(err.text, "");
}

static void
test_nearest(void **state)
{
	static const char *const known[] = { "high_alarm", "high_alert", "low_alarm", "unit", "max_rate" };
	static const struct {
		const char *word, *name;
	} cases[] = {
		{ "high_alrm", "high_alarm" }, { "highalarm", "high_alarm" }, { "HIGH-ALERT", "high_alert" },
		{ "units", "unit" }, { "nuit", "unit" }, { "max_rat", "max_rate" }, { "pressure", NULL }, { "x", NULL },
		{ "", NULL }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct leat_nearest nearest = { .word = leat_span_of(cases[i].word) };

		for (size_t n = 0; n < sizeof(known) / sizeof(known[0]); n++)
			leat_nearest_offer(&nearest, known[n]);
		if (cases[i].name == NULL)
			assert_null(nearest.name);
		else
			assert_string_equal(nearest.name, cases[i].name);
	}
}

struct told {
	size_t count;
	char text[4][256];
};

static void
tell(void *user, const struct leat_error *err, bool cut)
{
	struct told *told = user;
	char whole[1024];

	(void)cut;
	assert_true(told->count < 4);
	leat_error_format(err, whole, sizeof(whole));
	snprintf(told->text[told->count++], sizeof(told->text[0]), "%.200s", strchr(whole, ':'));
}

/* A table that is read on past its faults holds the other lines: short ones too, in any encoding. */
static void
test_read_on(void **state)
{
	static const char text[] = "asset;value\nM\xfchle;1\nA;2;3\nB\nC;4;5\n\nD;6";
	struct table_file f = table_file_text(text);
	struct told told = { 0 };
	struct leat_table_lines lines = { tell, &told };
	struct leat_error err = { 0 };
	bool absent = true;
	struct leat_table *t = leat_table_read_on(f.path, &form, &lines, &absent, &err);

	(void)state;
	assert_non_null(t);
	assert_false(absent);
	assert_ptr_equal(leat_table_form_of(t), &form);
	assert_int_equal(told.count, 2);
	assert_string_equal(told.text[0], ":3: field 3 stands under no column of the header: '3'");
	assert_string_equal(told.text[1], ":5: field 3 stands under no column of the header: '5'");
	assert_int_equal(leat_table_rows(t), 3);
	unit_span(leat_table_cell(t, 0, ASSET), "M\xc3\xbchle");
	leat_table_drop(t, 1);
	assert_int_equal(leat_table_rows(t), 2);
	assert_int_equal(leat_table_line(t, 1), 7);
	unit_span(leat_table_cell(t, 1, VALUE), "6");
	leat_table_drop(t, 1);
	leat_table_drop(t, 0);
	assert_int_equal(leat_table_rows(t), 0);
	leat_table_free(t);
	table_file_drop(&f);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_forms),
		cmocka_unit_test(test_lines),
		cmocka_unit_test(test_read_on),
		cmocka_unit_test(test_faults),
		cmocka_unit_test(test_numbers),
		cmocka_unit_test(test_units_and_durations),
		cmocka_unit_test(test_times),
		cmocka_unit_test(test_absent),
		cmocka_unit_test(test_nearest)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
