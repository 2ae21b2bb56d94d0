/*
 * Pictures of the series that findings name.
 */
#include "findings_night.h"
#include "table_file.h"

#include "tell/gallery.h"

#define HEADER "time,asset,point,value,unit,quality\n"

static struct leat_gallery *
open_gallery(const struct leat_findings *findings)
{
	const struct leat_gallery_form form = { .zone = cal.zone, .now = cal.now, .since = made_time(NOW - 1440) };
	struct leat_gallery *g = leat_gallery_new(&form);
	struct leat_error err;

	assert_non_null(g);
	assert_int_equal(leat_gallery_findings(g, findings, &err), 0);
	return g;
}

static void
read_text(struct leat_gallery *g, const char *text, long long rejected)
{
	struct table_file file = table_file_text(text);
	struct leat_error err;
	long long count;

	assert_int_equal(leat_gallery_read(g, file.path, &count, &err), 0);
	assert_int_equal(count, rejected);
	table_file_drop(&file);
}

static enum leat_gallery_has
picture(struct leat_gallery *g, const char *asset, const char *point, struct leat_buf *page)
{
	enum leat_gallery_has has;

	leat_buf_reset(page);
	has = leat_gallery_picture(g, leat_span_of(asset), leat_span_of(point), page);
	assert_int_equal(leat_buf_add(page, "", 1), 0);
	return has;
}

static const struct made made_rows[] = {
	{ "NM", "pressure", "low", LEAT_STATUS_ALARM, "93", "101", 60, NEVER, NEVER, NEVER },
	{ "NM", "copper", "copper", LEAT_STATUS_ALERT, "9", "8", 60, NEVER, NEVER, NEVER },
	{ "NM", "level", "low", LEAT_STATUS_OK, "93", "101", NEVER, NEVER, NEVER, NEVER },
	{ "NM", "vibration", "ended", LEAT_STATUS_ALERT, "9", "8", 0, 10, NEVER, NEVER },
	{ "MM", "pressure", "ended", LEAT_STATUS_ALERT, "104", "105", 1000, 1700, NEVER, NEVER },
	{ "SM", "pressure", "lost", LEAT_STATUS_UNKNOWN, "", "", 60, NEVER, NEVER, NEVER },
	{ "*/x", "pressure", "lost", LEAT_STATUS_UNKNOWN, "", "", 60, NEVER, NEVER, NEVER }
};

static const char readings[] = HEADER
    "2025-02-03T00:00:00Z,NM,pressure,120,bar,good\n"
    "2025-02-03T00:00:00Z,NM/round,pressure,77777,bar,good\n"
    "2025-02-03T01:00:00Z,NM,pressure,93,bar,good\n"
    "2025-02-03T01:00:00Z,NM/sample-return,copper,9,mg/kg,good\n"
    "2025-02-03T01:00:00Z,NM/sample-off-line,copper,7,mg/kg,good\n"
    "no reading at all,NM,copper,7,mg/kg,good\n"
    "2025-02-03T01:00:00Z,NM,level,500,mm,good\n"
    "2025-02-03T01:00:00Z,NM,vibration,5,mm/s,good\n"
    "2025-02-03T01:00:00Z,MM,pressure,110,bar,good\n"
    "2025-02-05T01:00:00Z,SM,pressure,100,bar,good\n"
    "2025-02-05T01:00:00Z,NM,pressure,88888,bar,good\n";

static void
test_which(void **state)
{
	static const struct {
		const char *asset, *point;
		enum leat_gallery_has has;
	} rows[] = {
		{ "NM", "pressure", LEAT_GALLERY_PUT },
		{ "NM", "pressure", LEAT_GALLERY_BEFORE },
		{ "NM", "copper", LEAT_GALLERY_PUT },
		/* In order; over long ago; not named; a pattern; no reading up to now. */
		{ "NM", "level", LEAT_GALLERY_NONE },
		{ "NM", "vibration", LEAT_GALLERY_NONE },
		{ "MM", "level", LEAT_GALLERY_NONE },
		{ "*/x", "pressure", LEAT_GALLERY_NONE },
		{ "SM", "pressure", LEAT_GALLERY_NONE },
		/* Over within the day. */
		{ "MM", "pressure", LEAT_GALLERY_PUT }
	};
	struct leat_findings all = { 0 };
	struct leat_buf page = { 0 };
	struct leat_gallery *g;

	(void)state;
	make_findings(&all, made_rows, sizeof(made_rows) / sizeof(made_rows[0]));
	g = open_gallery(&all);
	read_text(g, readings, 1);
	for (size_t i = 0; i < sizeof(rows) / sizeof(rows[0]); i++)
		assert_int_equal(picture(g, rows[i].asset, rows[i].point, &page), rows[i].has);
	leat_gallery_rewind(g);
	/* The limit that it was over, too. */
	leat_buf_reset(&page);
	assert_int_equal(picture(g, "MM", "pressure", &page), LEAT_GALLERY_PUT);
	assert_int_equal(leat_buf_add(&page, "", 1), 0);
	assert_non_null(strstr(page.data, "alert 105"));
	assert_int_equal(picture(g, "NM", "pressure", &page), LEAT_GALLERY_PUT);
	assert_int_equal(picture(NULL, "NM", "pressure", &page), LEAT_GALLERY_NONE);
	leat_gallery_free(g);
	leat_buf_free(&page);
	made_free(&all);
}

/* Of a mill without a reading of its own those of its sampling points, with its limit; of one that has them they do not. */
static void
test_below(void **state)
{
	struct leat_findings all = { 0 };
	struct leat_buf page = { 0 };
	struct leat_gallery *g;

	(void)state;
	make_findings(&all, made_rows, sizeof(made_rows) / sizeof(made_rows[0]));
	all.item[1].unit = LEAT_SPAN("mg/kg");
	g = open_gallery(&all);
	read_text(g, readings, 1);
	assert_int_equal(picture(g, "NM", "copper", &page), LEAT_GALLERY_PUT);
	assert_non_null(strstr(page.data, "NM/sample-return"));
	assert_non_null(strstr(page.data, "NM/sample-off-line"));
	assert_non_null(strstr(page.data, "alert 8"));
	assert_int_equal(picture(g, "NM", "pressure", &page), LEAT_GALLERY_PUT);
	assert_null(strstr(page.data, "NM/round"));
	/* What is later than now is not in it. */
	assert_null(strstr(page.data, "88888"));
	leat_gallery_free(g);
	leat_buf_free(&page);
	made_free(&all);
}

static void
test_logbook(void **state)
{
	static const char log[] = "time,asset,event,task,point,found,left,unit,item,who,note\n"
	    "2025-02-03 00:30,NM,oil-change,,,,,,,x,\na line at fault\n2025-02-09 00:30,NM,overhaul,,,,,,,x,\n";
	struct table_file file = table_file_text(log);
	struct leat_findings all = { 0 };
	struct leat_buf page = { 0 };
	struct leat_error err;
	struct leat_gallery *g;

	(void)state;
	make_findings(&all, made_rows, 1);
	g = open_gallery(&all);
	assert_int_equal(leat_gallery_logbook(g, file.path, &err), 0);
	table_file_drop(&file);
	read_text(g, readings, 1);
	assert_int_equal(picture(g, "NM", "pressure", &page), LEAT_GALLERY_PUT);
	assert_non_null(strstr(page.data, "oil change"));
	assert_null(strstr(page.data, "overhaul"));
	leat_gallery_free(g);
	leat_buf_free(&page);
	made_free(&all);
}

/* A flood has the pictures of its gravest findings, and no more; of the others it is known which have readings. */
static void
test_flood(void **state)
{
	static struct made m[2 * LEAT_GALLERY_MOST];
	static char asset[2 * LEAT_GALLERY_MOST][16];
	struct leat_buf page = { 0 }, text = { 0 };
	struct leat_findings all = { 0 };
	struct leat_gallery *g;

	(void)state;
	assert_int_equal(leat_buf_printf(&text, HEADER), 0);
	for (size_t i = 0; i < 2 * LEAT_GALLERY_MOST; i++) {
		snprintf(asset[i], sizeof(asset[i]), "M%zu", i);
		m[i] = (struct made){ asset[i], "pressure", "low", i < LEAT_GALLERY_MOST ? LEAT_STATUS_ALERT : LEAT_STATUS_ALARM, "1", "2",
			60, NEVER, NEVER, NEVER };
		if (i != 3)
			assert_int_equal(leat_buf_printf(&text, "2025-02-03T01:00:00Z,M%zu,pressure,100,bar,good\n", i), 0);
	}
	assert_int_equal(leat_buf_add(&text, "", 1), 0);
	make_findings(&all, m, 2 * LEAT_GALLERY_MOST);
	g = open_gallery(&all);
	read_text(g, text.data, 0);
	for (size_t i = 0; i < 2 * LEAT_GALLERY_MOST; i++)
		assert_int_equal(picture(g, asset[i], "pressure", &page), i >= LEAT_GALLERY_MOST ? LEAT_GALLERY_PUT :
		    i == 3 ? LEAT_GALLERY_NONE : LEAT_GALLERY_LEFT_OUT);
	assert_true(leat_gallery_has(g, LEAT_SPAN("M2"), LEAT_SPAN("pressure")));
	assert_false(leat_gallery_has(g, LEAT_SPAN("M3"), LEAT_SPAN("pressure")));
	assert_false(leat_gallery_has(NULL, LEAT_SPAN("M2"), LEAT_SPAN("pressure")));
	leat_gallery_free(g);
	leat_buf_free(&page);
	leat_buf_free(&text);
	made_free(&all);
}

/* A page of dense curves ends its pictures before it is too large for a mail, and begins anew. */
static void
test_large(void **state)
{
	static struct made m[LEAT_GALLERY_MOST];
	static char asset[LEAT_GALLERY_MOST][16];
	struct leat_buf page = { 0 }, text = { 0 };
	struct leat_findings all = { 0 };
	struct leat_gallery *g;
	size_t sum = 0, put = 0, full = 0;

	(void)state;
	assert_int_equal(leat_buf_printf(&text, HEADER), 0);
	for (size_t i = 0; i < LEAT_GALLERY_MOST; i++) {
		snprintf(asset[i], sizeof(asset[i]), "M%zu", i);
		m[i] = (struct made){ asset[i], "pressure", "low", LEAT_STATUS_ALARM, "1", "2", 60, NEVER, NEVER, NEVER };
	}
	/* Two panels each, of what is below the mill. */
	for (unsigned t = 0; t < 1440; t++) {
		for (size_t i = 0; i < 2 * LEAT_GALLERY_MOST; i++)
			assert_int_equal(leat_buf_printf(&text, "2025-02-03T%02u:%02u:00Z,M%zu/%c,pressure,%u,bar,good\n", t / 60, t % 60, i / 2,
			    i % 2 == 0 ? 'a' : 'b', 100 + t * 7919 % 977), 0);
	}
	assert_int_equal(leat_buf_add(&text, "", 1), 0);
	make_findings(&all, m, LEAT_GALLERY_MOST);
	g = open_gallery(&all);
	read_text(g, text.data, 0);
	for (size_t i = 0; i < LEAT_GALLERY_MOST; i++) {
		enum leat_gallery_has has = picture(g, asset[i], "pressure", &page);

		sum += page.len - 1;
		put += has == LEAT_GALLERY_PUT;
		full += has == LEAT_GALLERY_FULL;
		assert_true(has == LEAT_GALLERY_FULL ? page.len == 1 : page.len > 10000);
	}
assert_int_equal(put + full, LEAT_GALLERY_MOST);
	assert_true(full > 0 && sum <= LEAT_GALLERY_BYTES && sum > LEAT_GALLERY_BYTES * 9 / 10);
	assert_int_equal(picture(g, asset[0], "pressure", &page), LEAT_GALLERY_BEFORE);
	leat_gallery_rewind(g);
	assert_int_equal(picture(g, asset[LEAT_GALLERY_MOST - 1], "pressure", &page), LEAT_GALLERY_PUT);
	leat_gallery_free(g);
	leat_buf_free(&page);
	leat_buf_free(&text);
	made_free(&all);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_which), cmocka_unit_test(test_below), cmocka_unit_test(test_logbook), cmocka_unit_test(test_flood),
		cmocka_unit_test(test_large)
	};

	return cmocka_run_group_tests(tests, setup, teardown);
}
