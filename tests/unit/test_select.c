/*
 * Choosing readings, reading them in any order, and spreading them over columns.
 */
#include "unit.h"

#include "stream/points.h"
#include "stream/select.h"
#include "stream/wide.h"

#define HEAD "time,asset,point,value,unit,quality\n"

static struct leat_readings *
open_text(const char *text)
{
	struct leat_error err = { 0 };
	struct leat_input *input = leat_input_memory("text", text, strlen(text), LEAT_ENCODING_RAW, &err);
	struct leat_readings *in = leat_readings_take(&input, 1, &err);

	assert_non_null(in);
	return in;
}

static struct leat_time
at(const char *text)
{
	struct leat_time t;

	assert_int_equal(leat_time_parse(leat_span_of(text), &t), 0);
	return t;
}

static const char rows[] = HEAD
    "2025-11-03T04:00:00Z,NM,pressure,1,bar,good\n"
    "2025-11-03T04:00:00Z,NM/pump-a,drain-flow,2,L/min,uncertain\n"
    "2025-11-03T04:01:00Z,MM,state,grinding,,good\n"
    "2025-11-03T04:02:00Z,NM,pressure,,bar,bad\n";

static void
test_select(void **state)
{
	static const char *nm[] = { "NM", "NM/*" }, *flow[] = { "*-flow" };
	const struct leat_time none = LEAT_TIME_NONE;
	const struct {
		struct leat_select select;
		const char *taken;	/* a letter for each row */
	} table[] = {
		{ { .from = none, .to = none, .now = none, .quality = 7 }, "yyyy" },
		{ { .from = at("2025-11-03T04:01:00Z"), .to = none, .now = none, .quality = 7 }, "nnyy" },
		{ { .from = none, .to = at("2025-11-03T04:01:00Z"), .now = none, .quality = 7 }, "yynn" },
		{ { .from = none, .to = none, .now = at("2025-11-03T04:01:00Z"), .quality = 7 }, "yyyn" },
		{ { .from = none, .to = none, .now = none, .quality = 1u << LEAT_GOOD }, "ynyn" },
		{ { .from = none, .to = none, .now = none, .quality = 7, .numeric = true }, "yynn" },
		{ { .from = none, .to = none, .now = none, .quality = 7, .asset = nm, .assets = 2 }, "yyny" },
		{ { .from = none, .to = none, .now = none, .quality = 7, .asset = nm, .assets = 2, .point = flow, .points = 1 },
		    "nynn" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof(table) / sizeof(table[0]); i++) {
		struct leat_readings *in = open_text(rows);
		struct leat_select s = table[i].select;
		struct leat_reading r;
		struct leat_error err;
		size_t n = 0;

		for (; leat_readings_next(in, &r, &err) == LEAT_READINGS_ROW; n++)
			assert_int_equal(leat_select_takes(&s, &r), table[i].taken[n] == 'y');
		assert_int_equal(n, 4);
		assert_int_equal(s.taken + s.by_time + s.later + s.by_name + s.by_quality + s.by_value, 4);
		leat_select_free(&s);
		leat_readings_close(in);
	}
}

static void
test_any_order(void **state)
{
	static const char text[] = "x,quality,time,asset,point,value,unit\n"
	    "1,good,2025-11-03T04:01:00Z,NM,pressure,\"1\",bar\n"
	    "2,good,2025-11-03T04:00:00Z,NM,pressure,\"a,b\",\n";
	struct leat_readings *in = open_text(text);
	struct leat_buf buf = { 0 };
	struct leat_reading r;
	struct leat_error err;

	(void)state;
	leat_readings_any_order(in);
	while (leat_readings_next(in, &r, &err) == LEAT_READINGS_ROW)
		assert_int_equal(leat_readings_copy_to(&buf, in, &r), 0);
	unit_span(leat_buf_span(&buf), "2025-11-03T04:01:00Z,NM,pressure,1,bar,good,1\n"
	    "2025-11-03T04:00:00Z,NM,pressure,\"a,b\",,good,2\n");
	assert_int_equal(leat_readings_counted(in).rows, 2);
	leat_buf_free(&buf);
	leat_readings_close(in);
}

static void
test_wide(void **state)
{
	struct leat_wide wide = { .columns = 0 };
	struct leat_out *out = malloc(sizeof(*out));
	struct leat_error err;
	struct leat_reading r;
	uint32_t column;
	char *text = NULL;
	size_t size = 0;
	FILE *file = open_memstream(&text, &size);

	(void)state;
	assert_non_null(file);
	assert_non_null(out);
	leat_out_init(out, file);
	for (int pass = 0; pass < 2; pass++) {
		struct leat_readings *in = open_text(rows);

		leat_wide_renew(&wide);
		if (pass == 1)
			assert_int_equal(leat_wide_header(&wide, out), 0);
		while (leat_readings_next(in, &r, &err) == LEAT_READINGS_ROW) {
			assert_int_equal(leat_wide_learn(&wide, &r, &column, &err), 0);
			if (pass == 1)
				assert_int_equal(leat_wide_put(&wide, out, column, r.time, r.value), 0);
		}
		leat_readings_close(in);
	}
	leat_wide_end(&wide, out);
	assert_int_equal(leat_out_flush(out), 0);
	fclose(file);
	assert_string_equal(text, "time,MM:state,NM:pressure [bar],NM/pump-a:drain-flow [L/min]\n"
	    "2025-11-03T04:00:00Z,,1,2\n2025-11-03T04:01:00Z,grinding,,\n2025-11-03T04:02:00Z,,,\n");
	assert_int_equal(wide.rows, 3);
	assert_int_equal(wide.overwritten, 0);
	leat_wide_free(&wide);
	free(text);
	free(out);
}

static void
test_derived(void **state)
{
	static const struct {
		const char *name;
		bool derived;
	} table[] = {
		{ "pressure", false }, { "flushed-volume", false }, { "state", true }, { "bore-wear", true },
		{ "pressure.mean", true }, { "pressure.coverage", true }, { "pressure.x", false }, { "presure", false },
		{ "own.mean", false }, { "", false },
	};

	(void)state;
	for (size_t i = 0; i < sizeof(table) / sizeof(table[0]); i++)
		assert_int_equal(leat_point_derived(leat_span_of(table[i].name)), table[i].derived);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_select),
		cmocka_unit_test(test_any_order),
		cmocka_unit_test(test_wide),
		cmocka_unit_test(test_derived),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
