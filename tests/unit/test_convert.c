/*
 * One cell of an export to one value of a reading.
 *
 * Conversion factors are those of NIST SP 811, appendix B (1 psi = 6.894757 kPa; degC = (degF - 32) / 1.8).
 */
#include "unit.h"

#include "stream/convert.h"

#define NONE LEAT_NOTE_NONE
#define TEXT LEAT_NOTE_TEXT
#define LIMIT LEAT_NOTE_LIMIT
#define RANGE LEAT_NOTE_RANGE

static const struct leat_export_form comma = { .decimal = ',' };
static const struct leat_export_form point = { .decimal = '.' };

static struct leat_point
row_of(const char *name, const char *unit, const char *source_unit)
{
	struct leat_point row = { .point = leat_span_of(name), .scale = 1, .line = 7 };

	row.unit = leat_unit_find(leat_span_of(unit));
	row.source_unit = leat_unit_find(leat_span_of(source_unit));
	return row;
}

static struct leat_sample
sample_of(const char *cell, const char *unit)
{
	return (struct leat_sample){ .tag = LEAT_SPAN("NM.PGR"), .value = leat_span_of(cell),
	    .unit = leat_span_of(unit) };
}

static void
check(const struct leat_point *row, const struct leat_export_form *form, const char *unit, const char *cell,
    const char *value, enum leat_quality quality, enum leat_convert_note note)
{
	struct leat_sample s = sample_of(cell, unit), number = sample_of("1", unit);
	struct leat_converted out;
	struct leat_convert c;
	struct leat_error err = { .line = 0 };

	/* A number comes first where no row says that one is due. */
	if (leat_convert_prepare(&c, row, form, row == NULL && note == LEAT_NOTE_TEXT ? &number : &s, &err) == LEAT_CONVERT_STOP)
		fail_msg("'%s' in '%s': %s", cell, unit, err.text);
	leat_convert_sample(&c, form, &s, LEAT_GOOD, &out);
	if (!leat_span_is(out.value, value) || out.quality != quality || out.note != note)
		fail_msg("'%s' in '%s': '%.*s', %s, note %d; expected '%s'", cell, unit, (int)out.value.len,
		    out.value.ptr, leat_quality_name(out.quality), out.note, value);
}

/* Without a row of points.csv nothing but the number's spelling changes. */
static void
test_own_name(void **state)
{
	static const struct {
		const char *cell, *value;
		enum leat_quality quality;
		enum leat_convert_note note;
	} table[] = {
		{ "83,10", "83.10", LEAT_GOOD, NONE },
		{ "-0,5", "-0.5", LEAT_GOOD, NONE },
		{ "1,5e3", "1500", LEAT_GOOD, NONE },
		{ "<5", "5", LEAT_UNCERTAIN, LIMIT },
		{ ">24", "24", LEAT_UNCERTAIN, LIMIT },
		{ "83,1 bar", "83.1", LEAT_GOOD, NONE },
		{ "No Data", "", LEAT_BAD, TEXT },
		{ "nan", "", LEAT_BAD, TEXT },
		{ "inf", "", LEAT_BAD, TEXT },
		{ "0x1F", "", LEAT_BAD, TEXT },
		{ "on", "", LEAT_BAD, TEXT },
		{ "#N/A", "", LEAT_BAD, TEXT },
	};

	(void)state;
	for (size_t i = 0; i < sizeof(table) / sizeof(table[0]); i++)
		check(NULL, &comma, "", table[i].cell, table[i].value, table[i].quality, table[i].note);
}

/* Where the first cell of such a tag is a text, its texts are states. */
static void
test_own_words(void **state)
{
	static const char *const word[] = { "EIN", "AUS", "Warten", "Null-Lage" };
	static const char *const nothing[] = { "No Data", "NaN", "-inf", "#N/A", "--", "?", "BAD", "null" };
	struct leat_sample first = sample_of("EIN", "");
	struct leat_error err = { .line = 0 };
	struct leat_converted out;
	struct leat_convert c;

	(void)state;
	assert_int_equal(leat_convert_prepare(&c, NULL, &comma, &first, &err), LEAT_CONVERT_READY);
	for (size_t i = 0; i < sizeof(word) / sizeof(word[0]); i++) {
		struct leat_sample s = sample_of(word[i], "");

		leat_convert_sample(&c, &comma, &s, LEAT_GOOD, &out);
		assert_int_equal(out.quality, LEAT_GOOD);
		unit_span(out.value, word[i]);
	}
	/* What says that there is no value is no state. */
	for (size_t i = 0; i < sizeof(nothing) / sizeof(nothing[0]); i++) {
		struct leat_sample s = sample_of(nothing[i], "");

		leat_convert_sample(&c, &comma, &s, LEAT_GOOD, &out);
		assert_int_equal(out.quality, LEAT_BAD);
		assert_int_equal(out.note, LEAT_NOTE_TEXT);
	}
}

static void
test_units(void **state)
{
	static const struct {
		const char *point, *unit, *source_unit;	/* points.csv */
		const char *said, *cell;		/* the export */
		const char *value;
		enum leat_quality quality;
	} table[] = {
		{ "pressure", "bar", "", "", "83.10", "83.10", LEAT_GOOD },
		{ "pressure", "bar", "psi", "", "1205", "83.0818", LEAT_GOOD },	/* 1205 psi = 83.08182 bar */
		{ "pressure", "bar", "", "psi", "1205", "83.0818", LEAT_GOOD },	/* the header says so */
		{ "pressure", "bar", "", "", "1205 psi", "83.0818", LEAT_GOOD },	/* the cell says so */
		{ "pressure", "bar", "psi", "", "8.31 MPa", "83.100", LEAT_GOOD },	/* the cell first */
		{ "pressure", "bar", "psi", "bar", "1205", "83.0818", LEAT_GOOD },	/* points.csv next */
		{ "pressure", "bar", "", "", "0 psi", "0.00", LEAT_GOOD },
		{ "pressure", "bar", "", "", "55 degC", "", LEAT_BAD },		/* no pressure */
		{ "oil-temperature", "degC", "degF", "", "212", "100.00", LEAT_GOOD },
		{ "oil-temperature", "degC", "degF", "", "-40.0", "-40.000", LEAT_GOOD },
		{ "drain-flow", "L/min", "galUS/min", "", "0.5", "1.89", LEAT_GOOD },	/* US gallon 3.785412 L */
		{ "pressure", "bar", "", "", ">1205 psi", "83.0818", LEAT_UNCERTAIN },
	};

	(void)state;
	for (size_t i = 0; i < sizeof(table) / sizeof(table[0]); i++) {
		struct leat_point row = row_of(table[i].point, table[i].unit, table[i].source_unit);

		check(&row, &point, table[i].said, table[i].cell, table[i].value, table[i].quality,
		    table[i].quality == LEAT_GOOD ? NONE : table[i].quality == LEAT_BAD ? TEXT : LIMIT);
	}
}

/* The unit that a tag without a row gets: of the header, else behind its first value. */
static void
test_found_unit(void **state)
{
	struct leat_sample s = sample_of("83.1", "bar(g)");
	struct leat_convert c;
	struct leat_error err;

	(void)state;
	assert_int_equal(leat_convert_prepare(&c, NULL, &point, &s, &err), LEAT_CONVERT_READY);
	assert_string_equal(c.unit->name, "bar");
	assert_true(c.copied);
	s = sample_of("83.1 psi", "");
	assert_int_equal(leat_convert_prepare(&c, NULL, &point, &s, &err), LEAT_CONVERT_READY);
	assert_string_equal(c.unit->name, "psi");
	s = sample_of("83.1", "furlong");
	assert_int_equal(leat_convert_prepare(&c, NULL, &point, &s, &err), LEAT_CONVERT_READY);
	assert_null(c.unit);
}

static void
test_scale_and_offset(void **state)
{
	static const struct {
		double scale, offset;
		const char *source_unit, *cell, *value;
	} table[] = {
		{ 0.1, 0, "", "831", "83.100" },
		{ 10, 0, "", "8.31", "83.100" },
		{ 2, 0, "", "0", "0.00" },
		{ 1, -10, "", "93.1", "83.100" },
		{ 0.015625, -16, "", "6350", "83.2188" },	/* 6350 / 64 - 16 = 83.21875, its step 1/64 */
		{ 0.5, 0, "psi", "2410", "83.0818" },
		{ -1, 0, "", "-83.1", "83.100" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof(table) / sizeof(table[0]); i++) {
		struct leat_point row = row_of("pressure", "bar", table[i].source_unit);

		row.has_scale = true;
		row.scale = table[i].scale;
		row.offset = table[i].offset;
		check(&row, &point, "", table[i].cell, table[i].value, LEAT_GOOD, NONE);
	}
}

static void
test_range(void **state)
{
	struct leat_point row = row_of("pressure", "bar", "");

	(void)state;
	row.has_min = row.has_max = true;
	row.min = 0;
	row.max = 250;
	check(&row, &point, "", "0.0", "0.0", LEAT_GOOD, NONE);
	check(&row, &point, "", "250", "250", LEAT_GOOD, NONE);
	check(&row, &point, "", "250.01", "", LEAT_BAD, RANGE);
	check(&row, &point, "", "-0.01", "", LEAT_BAD, RANGE);
	check(&row, &point, "", "26 MPa", "", LEAT_BAD, RANGE);
	check(&row, &point, "", "24 MPa", "240.0", LEAT_GOOD, NONE);
	row.has_max = false;
	check(&row, &point, "", "1e6", "1000000", LEAT_GOOD, NONE);
}

static void
test_states(void **state)
{
	struct leat_point map = row_of("mill-running", "", ""), plain = map, own = row_of("my-lamp", "", "");
	struct leat_point word = row_of("state", "", ""), number = row_of("pressure", "bar", "");

	(void)state;
	map.states = LEAT_SPAN("Running=on|Stopped=off|2=on");
	check(&map, &point, "", "Running", "on", LEAT_GOOD, NONE);
	check(&map, &point, "", "STOPPED", "off", LEAT_GOOD, NONE);
	check(&map, &point, "", "2.00", "on", LEAT_GOOD, NONE);
	check(&map, &point, "", "1", "", LEAT_BAD, TEXT);
	check(&map, &point, "", "Tripped", "", LEAT_BAD, TEXT);
	check(&plain, &point, "", "True", "on", LEAT_GOOD, NONE);
	check(&plain, &point, "", "stopped", "off", LEAT_GOOD, NONE);
	check(&plain, &comma, "", "1,0", "on", LEAT_GOOD, NONE);
	check(&plain, &point, "", "0", "off", LEAT_GOOD, NONE);
	check(&plain, &point, "", "2", "", LEAT_BAD, TEXT);
	check(&plain, &point, "", "No Data", "", LEAT_BAD, TEXT);
	check(&word, &point, "", "grinding", "grinding", LEAT_GOOD, NONE);
	check(&word, &point, "", "two\nlines", "", LEAT_BAD, TEXT);
	check(&word, &point, "", "\xff", "", LEAT_BAD, TEXT);
	own.states = LEAT_SPAN("lit=on|dark=off");
	check(&own, &point, "", "dark", "off", LEAT_GOOD, NONE);
	check(&own, &point, "", "1", "", LEAT_BAD, TEXT);
	number.states = LEAT_SPAN("Depressurised=0.0");
	check(&number, &point, "", "depressurised", "0.0", LEAT_GOOD, NONE);
	check(&number, &point, "", "83.1", "83.1", LEAT_GOOD, NONE);
}

static void
test_quality(void **state)
{
	struct leat_sample s = sample_of("83.1", "");
	struct leat_converted out;
	struct leat_convert c;
	struct leat_error err;

	(void)state;
	assert_int_equal(leat_convert_prepare(&c, NULL, &point, &s, &err), LEAT_CONVERT_READY);
	leat_convert_sample(&c, &point, &s, LEAT_UNCERTAIN, &out);
	assert_int_equal(out.quality, LEAT_UNCERTAIN);
	unit_span(out.value, "83.1");
	leat_convert_sample(&c, &point, &s, LEAT_BAD, &out);
	assert_int_equal(out.quality, LEAT_BAD);
	unit_span(out.value, "");
	s.cut = true;
	leat_convert_sample(&c, &point, &s, LEAT_GOOD, &out);
	assert_int_equal(out.quality, LEAT_UNCERTAIN);
	s.cut = false;
	s.guessed = true;
	leat_convert_sample(&c, &point, &s, LEAT_GOOD, &out);
	assert_int_equal(out.quality, LEAT_UNCERTAIN);
}

static void
test_contradictions(void **state)
{
	struct leat_point row = row_of("pressure", "bar", "");
	struct leat_sample s = sample_of("55", "degC");
	struct leat_convert c;
	struct leat_error err;

	(void)state;
	assert_int_equal(leat_convert_prepare(&c, &row, &point, &s, &err), LEAT_CONVERT_STOP);
	assert_string_equal(err.text, "the export says 'degC', points.csv:7 says 'bar': these cannot be converted");
	assert_string_equal(err.column, "NM.PGR");
	row = row_of("pressure", "bar", "psi");
	s = sample_of("55", "MPa");
	assert_int_equal(leat_convert_prepare(&c, &row, &point, &s, &err), LEAT_CONVERT_CONTRADICTED);
	assert_string_equal(err.text, "the export says 'MPa', points.csv:7 says 'psi': points.csv is taken");
}

/* In long shape each row may have a unit of its own. */
static void
test_unit_of_the_row(void **state)
{
	struct leat_point row = row_of("pressure", "bar", "");
	struct leat_sample s = sample_of("83.1", "bar");
	struct leat_converted out;
	struct leat_convert c;
	struct leat_error err;

	(void)state;
	assert_int_equal(leat_convert_prepare(&c, &row, &point, &s, &err), LEAT_CONVERT_READY);
	leat_convert_sample(&c, &point, &s, LEAT_GOOD, &out);
	unit_span(out.value, "83.1");
	s = sample_of("1205", "psi");
	leat_convert_sample(&c, &point, &s, LEAT_GOOD, &out);
	unit_span(out.value, "83.0818");
	unit_close(out.step, 0.0689476, 1e-6);
	s = sample_of("40", "degC");
	leat_convert_sample(&c, &point, &s, LEAT_GOOD, &out);
	assert_int_equal(out.quality, LEAT_BAD);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_own_name),
		cmocka_unit_test(test_own_words),
		cmocka_unit_test(test_units),
		cmocka_unit_test(test_found_unit),
		cmocka_unit_test(test_scale_and_offset),
		cmocka_unit_test(test_range),
		cmocka_unit_test(test_states),
		cmocka_unit_test(test_quality),
		cmocka_unit_test(test_contradictions),
		cmocka_unit_test(test_unit_of_the_row),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
