/*
 * stream/export_form.c and what it rests on: the form of an export found from evidence, pinned, or refused.
 *
 * That dates with points have the day first, and how the forms look: common practice.
 */
#include "stream/export.h"
#include "table_file.h"
#include "unit.h"

/* One export as text; what is expected of its form, or the error. */
static const struct form_case {
	const char *name;
	const char *text;
	enum leat_shape shape;
	char separator, decimal, thousands;
	enum leat_form dates;
	const char *error;		/* end of the error's text; NULL: it opens */
} form_cases[] = {
	{ "semicolon and comma", "t;a;b\n2025-02-03 04:05;1,5;2\n", LEAT_SHAPE_WIDE, ';', ',', 0, LEAT_FORM_ISO, NULL },
	{ "comma and point", "t,a,b\n2025-02-03 04:05,1.5,2\n", LEAT_SHAPE_WIDE, ',', '.', 0, LEAT_FORM_ISO, NULL },
	{ "tab and comma", "t\ta\tb\n2025-02-03 04:05\t1,5\t2\n", LEAT_SHAPE_WIDE, '\t', ',', 0, LEAT_FORM_ISO, NULL },
	{ "bar", "t|a|b\n2025-02-03 04:05|1.5|2\n", LEAT_SHAPE_WIDE, '|', '.', 0, LEAT_FORM_ISO, NULL },
	{ "comma in the fraction of seconds", "t;a\n2025-02-03 04:05:06,789;1,5\n", LEAT_SHAPE_WIDE, ';', ',', 0,
	    LEAT_FORM_ISO, NULL },
	{ "comma between date and clock", "t;a\n03.02.2025, 04:05;1,5\n", LEAT_SHAPE_WIDE, ';', ',', 0, LEAT_FORM_DMY, NULL },
	{ "quoted comma in comma", "t,a\n2025-02-03 04:05,\"1,5\"\n", LEAT_SHAPE_WIDE, ',', ',', 0, LEAT_FORM_ISO, NULL },
	{ "no mark at all", "t;a\n2025-02-03 04:05;1\n", LEAT_SHAPE_WIDE, ';', '.', 0, LEAT_FORM_ISO, NULL },
	{ "one cell decides", "t;a\n2025-02-03 04:05;1.234\n2025-02-03 04:06;0.5\n", LEAT_SHAPE_WIDE, ';', '.', 0,
	    LEAT_FORM_ISO, NULL },
	{ "the other reading of the same cell", "t;a\n2025-02-03 04:05;1.234\n2025-02-03 04:06;0,5\n", LEAT_SHAPE_WIDE, ';',
	    ',', '.', LEAT_FORM_ISO, NULL },
	{ "thousands decide", "t;a\n2025-02-03 04:05;1.234\n2025-02-03 04:06;1 234.5\n", LEAT_SHAPE_WIDE, ';', '.', ' ',
	    LEAT_FORM_ISO, NULL },
	{ "thousands twice decide", "t;a\n2025-02-03 04:05;1.234\n2025-02-03 04:06;1.234.567\n", LEAT_SHAPE_WIDE, ';', ',',
	    '.', LEAT_FORM_ISO, NULL },
	{ "texts are no evidence", "t;a;b;c\n2025-02-03 04:05;v1.2;0,5;1\n", LEAT_SHAPE_WIDE, ';', ',', 0, LEAT_FORM_ISO, NULL },
	{ "doubtful only", "t;a\n2025-02-03 04:05;1.234\n", 0, 0, 0, 0, 0,
	    "no value tells whether the mark in '1.234' is a decimal mark or parts thousands: give --decimal" },
	{ "both marks", "t;a\n2025-02-03 04:05;1.5\n2025-02-03 04:05;1,5\n", 0, 0, 0, 0, 0,
	    "values speak for a decimal point ('1.5') and for a decimal comma ('1,5'): give --decimal" },
	{ "day over 12", "t,a\n03/02/2025,1\n13/02/2025,1\n", LEAT_SHAPE_WIDE, ',', '.', 0, LEAT_FORM_DMY, NULL },
	{ "month first", "t,a\n02/03/2025,1\n02/13/2025,1\n", LEAT_SHAPE_WIDE, ',', '.', 0, LEAT_FORM_MDY, NULL },
	{ "hyphens, day first", "t,a\n03-02-2025,1\n31-01-2025,1\n", LEAT_SHAPE_WIDE, ',', '.', 0, LEAT_FORM_DMY, NULL },
	{ "points, day first", "t,a\n03.02.2025,1\n04.02.2025,1\n", LEAT_SHAPE_WIDE, ',', '.', 0, LEAT_FORM_DMY, NULL },
	{ "runs on over midnight", "t,a\n03/02/2025 23:30,1\n04/02/2025 00:30,1\n", LEAT_SHAPE_WIDE, ',', '.', 0,
	    LEAT_FORM_DMY, NULL },
	{ "runs on over midnight, month first", "t,a\n02/03/2025 11:30 PM,1\n02/04/2025 12:30 AM,1\n", LEAT_SHAPE_WIDE, ',',
	    '.', 0, LEAT_FORM_MDY, NULL },
	{ "date and clock run on", "d,t,a\n03/02/2025,23:30,1\n04/02/2025,00:30,1\n", LEAT_SHAPE_WIDE, ',', '.', 0,
	    LEAT_FORM_DMY, NULL },
	{ "a day apart could be a month apart", "t,a\n02/03/2025,1\n03/03/2025,1\n", 0, 0, 0, 0, 0,
	    "no date tells whether the day or the month comes first: give --dates dmy or --dates mdy" },
	{ "days up to 12", "t,a\n03/02/2025 10:00,1\n03/02/2025 11:00,1\n", 0, 0, 0, 0, 0,
	    "no date tells whether the day or the month comes first: give --dates dmy or --dates mdy" },
	{ "both orders", "t,a\n13/02/2025,1\n02/13/2025,1\n", 0, 0, 0, 0, 0,
	    "dates speak for day first ('13/02/2025') and for month first ('02/13/2025'): give --dates" },
	{ "names of months", "t;a\n3-Feb-2025 04:05;1\n", LEAT_SHAPE_WIDE, ';', '.', 0, LEAT_FORM_NAMED, NULL },
	{ "epoch", "t,a\n1738555506,5\n1738555507,1738555506\n", LEAT_SHAPE_WIDE, ',', '.', 0, LEAT_FORM_EPOCH, NULL },
	{ "epoch in ms", "t,a\n1738555506000,5\n", LEAT_SHAPE_WIDE, ',', '.', 0, LEAT_FORM_EPOCH_MS, NULL },
	{ "serial", "t,a\n45691.5,101.5\n45692,101.5\n", LEAT_SHAPE_WIDE, ',', '.', 0, LEAT_FORM_SERIAL, NULL },
	{ "a column of which some cells only are serials", "t,a\n45691.5,1\n200000.5,1\n", 0, 0, 0, 0, 0,
	    "no column holds times: give --dates or --separator if there is one" },
	{ "ISO with year first and slashes", "t,a\n2025/02/03 04:05,1\n", LEAT_SHAPE_WIDE, ',', '.', 0, LEAT_FORM_ISO, NULL },
	{ "two forms", "t,a\n2025/02/03 04:05,1\n03.02.2025 04:06,1\n", 0, 0, 0, 0, 0,
	    "the times are of several forms: give --dates" },
	{ "no times", "a,b\n1,2\n", 0, 0, 0, 0, 0, "when the times are of an unusual form" },
	{ "nothing", "", 0, 0, 0, 0, 0, "the file is empty" },
	{ "times alone", "t\n2025-02-03\n", 0, 0, 0, 0, 0, "when the times are of an unusual form" },
	{ "long", "tag,t,v\nA1,2025-02-03 04:05,1\nA2,2025-02-03 04:05,2\n", LEAT_SHAPE_LONG, ',', '.', 0, LEAT_FORM_ISO, NULL },
	{ "long in blocks", "tag,t,v\nA1,2025-02-03 04:05,1\nA1,2025-02-03 04:06,1\nA2,2025-02-03 04:05,2\n", LEAT_SHAPE_LONG,
	    ',', '.', 0, LEAT_FORM_ISO, NULL },
	{ "long with one tag", "tag,t,v\nA1,2025-02-03 04:05,1\nA1,2025-02-03 04:06,1\n", LEAT_SHAPE_LONG, ',', '.', 0,
	    LEAT_FORM_ISO, NULL },
	{ "long with tags by turns", "t,tag,v\n2025-02-03 04:05:01,up,1\n2025-02-03 04:05:03,lo,1\n"
	    "2025-02-03 04:05:04,up,1\n2025-02-03 04:05:09,lo,1\n", LEAT_SHAPE_LONG, ',', '.', 0, LEAT_FORM_ISO, NULL },
	{ "wide with a state", "t,s,v\n2025-02-03 04:05,Running,1\n2025-02-03 04:06,Stopped,1\n2025-02-03 04:07,Running,1\n",
	    LEAT_SHAPE_WIDE, ',', '.', 0, LEAT_FORM_ISO, NULL },
	{ "wide with a constant state", "t,s,v\n2025-02-03 04:05,Running,1\n2025-02-03 04:06,Running,1\n",
	    LEAT_SHAPE_WIDE, ',', '.', 0, LEAT_FORM_ISO, NULL },
	{ "tags or states", "t,s,v\n2025-02-03 04:05,red,1\n2025-02-03 04:06,red,1\n2025-02-03 04:07,blue,1\n", 0, 0, 0, 0, 0,
	    "'s' holds either tags or states: give --shape long or --shape wide" },
	{ "a number of its own in every row", "t,sample,v\n2025-02-03,S-1,1\n2025-02-04,S-2,1\n2025-02-05,S-3,1\n"
	    "2025-02-06,S-4,1\n", 0, 0, 0, 0, 0, "'sample' holds either tags or states: give --shape long or --shape wide" },
	{ "tags that begin like words of quality", "tag,t,v\nB-101,2025-02-03 04:05,1\nS_1,2025-02-03 04:05,2\n"
	    "B-101,2025-02-03 04:06,1\nS_1,2025-02-03 04:06,2\n", LEAT_SHAPE_LONG, ',', '.', 0, LEAT_FORM_ISO, NULL },
	{ "words of quality behind the values", "t,v,q\n2025-02-03 04:05,1,Good\n2025-02-03 04:06,1,Bad (no data)\n"
	    "2025-02-03 04:07,1,Good\n", LEAT_SHAPE_WIDE, ',', '.', 0, LEAT_FORM_ISO, NULL },
	{ "several values beside tags", "t,tag,min,max\n2025-02-03 04:05,A1,1,2\n2025-02-03 04:05,A2,1,2\n", 0, 0, 0, 0, 0,
	    "'tag' holds tags, but several columns hold values: export one column of values, or give --shape wide" },
	{ "batch beside several values", "t,batch,p,v\n2025-02-03 04:05,B1,1,2\n2025-02-03 04:06,B2,1,2\n", LEAT_SHAPE_WIDE,
	    ',', '.', 0, LEAT_FORM_ISO, NULL },
	{ "paired", "t,A,t,B\n2025-02-03 04:05,1,2025-02-03 04:06,2\n", LEAT_SHAPE_PAIRED, ',', '.', 0, LEAT_FORM_ISO, NULL },
	{ "paired, empty column between", "t,A,,t,B\n2025-02-03 04:05,1,,2025-02-03 04:06,2\n", LEAT_SHAPE_PAIRED, ',', '.', 0,
	    LEAT_FORM_ISO, NULL },
	{ "paired with date and clock", "d,t,A,d,t,B\n2025-02-03,04:05,1,2025-02-03,04:06,2\n", LEAT_SHAPE_PAIRED, ',', '.', 0,
	    LEAT_FORM_ISO, NULL },
	{ "paired with bare numbers", "t,A,t,B\n1738555506,1,1738555507,2\n", LEAT_SHAPE_PAIRED, ',', '.', 0, LEAT_FORM_EPOCH,
	    NULL },
	{ "from and to", "from,to,A\n2025-02-03 04:05,2025-02-03 04:06,2\n", LEAT_SHAPE_WIDE, ',', '.', 0, LEAT_FORM_ISO, NULL },
	{ "a date in the preamble", "made;2025-02-03 06:00\nt;A\n2025-02-03 04:05;1\n2025-02-03 04:06;1\n", LEAT_SHAPE_WIDE,
	    ';', '.', 0, LEAT_FORM_ISO, NULL },
	{ "a date in front of the preamble", "2025-02-03;report of mill 1\nt;A\n2025-02-03 04:05;1\n2025-02-03 04:06;1\n",
	    LEAT_SHAPE_WIDE, ';', '.', 0, LEAT_FORM_ISO, NULL },
};

static struct leat_export *
open_text(const char *text, struct leat_export_form *form, struct leat_error *err)
{
	struct table_file f = table_file_text(text);
	struct leat_export *ex = leat_export_open(f.path, form, LEAT_TIME_NONE, "/tmp", err);

	table_file_drop(&f);
	return ex;
}

static void
test_forms(void **state)
{
	struct leat_zone *zone = leat_zone_open(LEAT_SPAN("UTC"), NULL);
	size_t i;

	(void)state;
	for (i = 0; i < sizeof(form_cases) / sizeof(form_cases[0]); i++) {
		const struct form_case *c = &form_cases[i];
		struct leat_export_form form = { .encoding = LEAT_ENCODING_AUTO, .zone = zone };
		struct leat_error err = { .line = 0 };
		struct leat_export *ex = open_text(c->text, &form, &err);

		if (ex == NULL && (c->error == NULL || !leat_span_ends(leat_span_of(err.text), c->error)))
			fail_msg("%s: %s", c->name, err.text);
		if (ex != NULL && c->error != NULL)
			fail_msg("%s: opened as %s", c->name, form.evidence);
		if (ex != NULL && (form.shape != c->shape || form.separator != c->separator || form.decimal != c->decimal ||
		    form.thousands != c->thousands || form.dates != c->dates))
			fail_msg("%s: %s", c->name, form.evidence);
		leat_export_close(ex);
	}
	leat_zone_free(zone);
}

/* A pin is taken as it is, whatever the cells say. */
static void
test_pins(void **state)
{
	struct leat_zone *zone = leat_zone_open(LEAT_SPAN("UTC"), NULL);
	struct leat_export_form form = { .encoding = LEAT_ENCODING_UTF8, .zone = zone, .shape = LEAT_SHAPE_LONG,
		.separator = ';', .decimal = ',', .dates = LEAT_FORM_MDY };
	struct leat_error err = { .line = 0 };
	struct leat_export *ex = open_text("t;s;v\n03.02.2025 04:05;red;1.234\n", &form, &err);

	(void)state;
	assert_non_null(ex);
	assert_int_equal(form.shape, LEAT_SHAPE_LONG);
	assert_int_equal(form.decimal, ',');
	assert_int_equal(form.thousands, '.');
	assert_int_equal(form.dates, LEAT_FORM_MDY);
	assert_string_equal(form.evidence, "separator semicolon: given; shape long: given, times in 't', tags in 's', values in 'v'; "
	    "decimal comma: given, thousands by point; dates mdy: given; encoding utf-8: given");
	leat_export_close(ex);

	form = (struct leat_export_form){ .zone = zone, .shape = LEAT_SHAPE_PAIRED };
	assert_null(open_text("t,u,A\n2025-02-03 04:05,2025-02-03 04:06,2\n", &form, &err));
	assert_string_equal(err.text, "not paired: the columns of times are not each followed by one of values");
	form = (struct leat_export_form){ .zone = zone, .shape = LEAT_SHAPE_LONG };
	assert_null(open_text("t,A,B\n2025-02-03 04:05,1,2\n", &form, &err));
	assert_string_equal(err.text, "not long: no column of tags beside one of values");
	form = (struct leat_export_form){ .zone = zone, .dates = LEAT_FORM_DMY };
	assert_null(open_text("t,A,B\n2025-02-03 04:05,1,2\n", &form, &err));
	leat_zone_free(zone);
}

/* What the first part leaves open is looked for in the whole file. */
static void
test_late(void **state)
{
	struct leat_zone *zone = leat_zone_open(LEAT_SPAN("UTC"), NULL);
	struct leat_export_form form = { .encoding = LEAT_ENCODING_AUTO, .zone = zone };
	struct leat_error err = { .line = 0 };
	struct leat_buf text = { NULL, 0, 0, 0 };
	struct leat_export *ex;
	int i;

	(void)state;
	assert_int_equal(leat_buf_printf(&text, "t;a\n"), 0);
	for (i = 0; i < 20000; i++)
		assert_int_equal(leat_buf_printf(&text, "03/02/2025 10:%02d:%02d;1.234\n", i / 60 % 60, i % 60), 0);
	assert_int_equal(leat_buf_printf(&text, "13/02/2025 10:00:00;0,5\n"), 0);
	ex = open_text(text.data, &form, &err);
	assert_non_null(ex);
	assert_int_equal(form.dates, LEAT_FORM_DMY);
	assert_int_equal(form.decimal, ',');
	assert_int_equal(form.thousands, '.');
	leat_export_close(ex);
	leat_buf_free(&text);
	leat_zone_free(zone);
}

/* A stamp without offset needs a zone; others do not. */
static void
test_zone(void **state)
{
	struct leat_export_form form = { .encoding = LEAT_ENCODING_AUTO };
	struct leat_error err = { .line = 0 };
	struct leat_export *ex;

	(void)state;
	assert_null(open_text("t;a\n2025-02-03 04:05;1\n", &form, &err));
	assert_string_equal(err.text, "times without offset: give --zone");
	assert_int_equal(err.line, 2);
	assert_true(form.local_stamps);
	form = (struct leat_export_form){ .encoding = LEAT_ENCODING_AUTO };
	ex = open_text("t;a\n2025-02-03 04:05+01:00;1\n", &form, &err);
	assert_non_null(ex);
	assert_false(form.local_stamps);
	leat_export_close(ex);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_forms),
		cmocka_unit_test(test_pins),
		cmocka_unit_test(test_late),
		cmocka_unit_test(test_zone),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
