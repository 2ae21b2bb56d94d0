/* sources.csv: what is pinned, and for which files. */
#include "stream/sources.h"
#include "table_file.h"
#include "unit.h"

static void
test_read(void **state)
{
	struct leat_sources sources;
	struct leat_error err = { 0 };
	const struct leat_source *row;

	(void)state;
	assert_int_equal(leat_sources_read(&sources, "testdata/tables/good-english-sources.csv", NULL, &err), 0);
	assert_int_equal(sources.count, 3);
	row = &sources.row[0];
	unit_span(row->source, "historian");
	assert_int_equal(row->shape, LEAT_SHAPE_WIDE);
	assert_int_equal(row->separator, ';');
	assert_int_equal(row->decimal, ',');
	assert_int_equal(row->dates, LEAT_FORM_DMY);
	assert_string_equal(leat_zone_name(row->zone), "Europe/London");
	assert_int_equal(row->encoding, LEAT_ENCODING_CP1252);
	assert_int_equal(row->quality.len, 0);
	assert_false(row->prefer_last);
	assert_int_equal(row->line, 2);
	row = &sources.row[1];
	assert_int_equal(row->shape, LEAT_SHAPE_LONG);
	assert_int_equal(row->separator, '\t');
	assert_int_equal(row->decimal, '.');
	assert_int_equal(row->dates, LEAT_FORM_EPOCH_MS);
	assert_null(row->zone);
	assert_int_equal(row->encoding, LEAT_ENCODING_UTF8);
	unit_span(row->quality, "opc");
	assert_true(row->prefer_last);
	row = &sources.row[2];
	assert_int_equal(row->shape, LEAT_SHAPE_AUTO);
	assert_int_equal(row->separator, '\0');
	assert_int_equal(row->decimal, '\0');
	assert_int_equal(row->dates, 0);
	assert_int_equal(row->encoding, LEAT_ENCODING_AUTO);
	unit_span(row->quality, "uncertain");
	leat_sources_free(&sources);
}

static void
test_files(void **state)
{
	static const struct {
		const char *path, *source;
	} cases[] = {
		{ "NM_2025-11-03.csv", "historian" }, { "/var/spool/exports/NM_2025-11-03.csv", "historian" },
		{ "exports/mm-1.txt", "second historian" }, { "mm-1.txt", NULL }, { "exports/mm-12.txt", NULL },
		{ "lab-7.csv", "lab" }, { "LAB-7.csv", NULL }, { "-", NULL }
	};
	struct leat_sources sources;
	struct leat_error err = { 0 };

	(void)state;
	assert_int_equal(leat_sources_read(&sources, "testdata/tables/good-english-sources.csv", NULL, &err), 0);
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		const struct leat_source *row = leat_sources_for(&sources, cases[i].path);

		if (cases[i].source == NULL ? row != NULL : row == NULL || !leat_span_is(row->source, cases[i].source))
			fail_msg("%s", cases[i].path);
	}
	leat_sources_free(&sources);
}

static void
test_bad(void **state)
{
	static const char header[] = "source,files,shape,separator,decimal,dates,zone,encoding,quality,prefer\n";
	static const struct {
		const char *row, *error;
	} cases[] = {
		{ ",*.csv,,,,,,,,\n", "2: column 'source': empty: a source needs a name" },
		{ "nm,,,,,,,,,\n", "2: column 'files': empty: write the file names, such as mill-*.csv" },
		{ "nm,*,broad,,,,,,,\n", "2: column 'shape': not one of wide, long, paired: 'broad'" },
		{ "nm,*,,colon,,,,,,\n", "2: column 'separator': not one of comma, semicolon, tab, pipe: 'colon'" },
		{ "nm,*,,,dot,,,,,\n", "2: column 'decimal': not one of point, comma: 'dot'" },
		{ "nm,*,,,,ymd,,,,\n", "2: column 'dates': not one of iso, dmy, mdy, named, epoch, epoch-ms, serial: 'ymd'" },
		{ "nm,*,,,,,,latin,,\n", "2: column 'encoding': not one of auto, utf-8, utf-16le, utf-16be, windows-1252: "
		    "'latin'" },
		{ "nm,*,,,,,,,codes,\n", "2: column 'quality': not one of words, opc, ua, uncertain: 'codes'" },
		{ "nm,*,,,,,,,,first\n", "2: column 'prefer': not the word last: 'first'" }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct leat_sources sources;
		struct leat_error err = { 0 };
		struct table_file f;
		char text[256], expected[256];

		snprintf(text, sizeof(text), "%s%s", header, cases[i].row);
		f = table_file_text(text);
		assert_int_equal(leat_sources_read(&sources, f.path, NULL, &err), -1);
		snprintf(expected, sizeof(expected), "%s:%s", f.path, cases[i].error);
		unit_error(&err, expected);
		table_file_drop(&f);
	}
}

static void
test_bad_zone(void **state)
{
	struct table_file f = table_file_text("source,files,zone\nok,a*,UTC\nnm,*,Europe/Nowhere\n");
	struct leat_sources sources;
	struct leat_error err = { 0 };

	(void)state;
	assert_int_equal(leat_sources_read(&sources, f.path, NULL, &err), -1);
	assert_int_equal(err.line, 3);
	assert_string_equal(err.column, "zone");
	assert_string_equal(err.value, "Europe/Nowhere");
	table_file_drop(&f);
}

static void
test_shapes(void **state)
{
	(void)state;
	assert_int_equal(leat_shape_find(LEAT_SPAN("paired")), LEAT_SHAPE_PAIRED);
	assert_int_equal(leat_shape_find(LEAT_SPAN("Wide")), -1);
	assert_string_equal(leat_shape_name(LEAT_SHAPE_LONG), "long");
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_read),
		cmocka_unit_test(test_files),
		cmocka_unit_test(test_bad),
		cmocka_unit_test(test_bad_zone),
		cmocka_unit_test(test_shapes)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
