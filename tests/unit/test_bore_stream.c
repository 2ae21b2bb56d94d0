/* Cylinders of a stream: bores of known wear however the sheet was filled in, and what must not matter, whatever comes. */
#include <math.h>

#include "derive/bore.h"
#include "random.h"

#define PASS_FILTER struct leat_bores b
#include "filter_pass.h"

#define HEADER "time,asset,point,value,unit,quality\n"
#define PLATE \
	"asset,property,value,unit,from\nNM,bore,320,mm,\nNM/cyl-1,as-new-bore,320.01,mm,\nNM/cyl-2,bore-planes,1,,\n" \
	"NM/cyl-1,as-new-leakage,1.5,mL/min,\n"

static void
pass_run(struct pass *p, const char *rows, bool copy, struct leat_time now)
{
	struct leat_reading r;

	pass_begin(p, PLATE, rows);
	p->b = (struct leat_bores){ .in = p->l.in, .np = p->np, .points = &p->points, .out = &p->out, .copy = copy };
	leat_bores_init(&p->b);
	leat_readings_pass_to(p->l.in, copy ? &p->out : NULL);
	while (pass_next(p, &r))
		pass_took(p, leat_bores_take(&p->b, &r, &p->err), &r, copy);
	pass_ended(p, p->status < 0 ? -1 : leat_bores_end(&p->b, now, &p->err));
}

static void
pass_close(struct pass *p)
{
	leat_bores_free(&p->b);
	pass_free(p);
}

/* The value of the last row of a point in a text; NaN where there is none. */
static double
last_value(const char *text, const char *key)
{
	double value = NAN;

	for (const char *at = strstr(text, key); at != NULL; at = strstr(at + 1, key))
		value = strtod(at + strlen(key), NULL);
	return value;
}

/* A sheet with a bore of known shape, in any order within three quarters of an hour, one place of it read twice. */
static void
test_known(void **state)
{
	uint64_t seed = 21;

	(void)state;
	for (int round = 0; round < 200; round++) {
		double ring_c = 15 + random_below(&seed, 10), bore_c = ring_c + random_below(&seed, 30), grown = 0;
		double at_20[3][2], largest = 0, ovality = 0;
		int order[9];
		char text[4096] = "";
		struct pass p;

		grown = 1 + 11.5e-6 * (bore_c - ring_c);
		for (int i = 0; i < 6; i++) {
			at_20[i / 2][i % 2] = 320.01 + random_below(&seed, 100) / 1000.0;
			largest = fmax(largest, at_20[i / 2][i % 2]);
		}
		ovality = fabs(at_20[1][0] - at_20[1][1]);
		for (int i = 0; i < 8; i++) {
			int at = (int)random_below(&seed, (unsigned)i + 1);

			order[i] = order[at];
			order[at] = i;
		}
		for (int i = 0; i < 8; i++) {
			char *end = text + strlen(text);
			int what = order[i], minute = 5 * i;

			if (what >= 6)
				sprintf(end, "2025-11-03T10:%02d:00Z,NM/cyl-1,%s,%.0f,degC,good\n", minute,
				    what == 6 ? "ring-temperature" : "bore-temperature", what == 6 ? ring_c : bore_c);
			else
				sprintf(end, "2025-11-03T10:%02d:00Z,NM/cyl-1/plane-%d/%c,bore-diameter,%.4f,mm,good\n", minute,
				    what / 2 + 1, "xy"[what % 2], at_20[what / 2][what % 2] * grown);
		}
		pass_run(&p, text, false, LEAT_TIME_NONE);
		assert_int_equal(p.status, 0);
		unit_close(last_value(p.text, ",NM/cyl-1,bore-wear,"), largest - 320.01, 0.0007);
		unit_close(last_value(p.text, ",NM/cyl-1/plane-2,bore-ovality,"), ovality, 0.0007);
		assert_non_null(strstr(p.text, "2025-11-03T10:35:00Z,NM/cyl-1,bore-wear,"));
		assert_non_null(strstr(p.text, ",mm,good"));
		assert_null(strstr(p.text, "uncertain"));
		pass_close(&p);
	}
}

/* A diameter takes the temperatures of its own instant, whichever row comes first, before older ones; those of its plane
 * before those of the cylinder; the wall's before the oil's. */
static void
test_temperatures(void **state)
{
	static const struct { const char *rows; double wear_mm; } cases[] = {
		{ "10:00:00Z,NM/cyl-2,ring-temperature,20,degC\n08:00:00Z,NM/cyl-2,bore-temperature,50,degC\n"
		  "10:00:00Z,NM/cyl-2/plane-1/x,bore-diameter,320.1,mm\n10:00:00Z,NM/cyl-2/plane-1/y,bore-diameter,320,mm\n"
		  "10:00:00Z,NM/cyl-2,bore-temperature,20,degC\n", 0.100 },
		{ "10:00:00Z,NM/cyl-2,bore-temperature,20,degC\n10:00:00Z,NM/cyl-2,ring-temperature,20,degC\n"
		  "10:00:00Z,NM/cyl-2/plane-1/x,bore-diameter,320.1,mm\n10:00:00Z,NM/cyl-2/plane-1/y,bore-diameter,320,mm\n", 0.100 },
		{ "09:00:00Z,NM/cyl-2,ring-temperature,20,degC\n09:00:00Z,NM/cyl-2/plane-1,bore-temperature,40,degC\n"
		  "10:00:00Z,NM/cyl-2,bore-temperature,20,degC\n"
		  "10:00:00Z,NM/cyl-2/plane-1/x,bore-diameter,320.1,mm\n10:00:00Z,NM/cyl-2/plane-1/y,bore-diameter,320,mm\n", 0.026 },
		{ "09:00:00Z,NM/cyl-2,ring-temperature,20,degC\n09:00:00Z,NM/cyl-2,bore-temperature,40,degC\n"
		  "10:00:00Z,NM/cyl-2,oil-temperature,20,degC\n"
		  "10:00:00Z,NM/cyl-2/plane-1/x,bore-diameter,320.1,mm\n10:00:00Z,NM/cyl-2/plane-1/y,bore-diameter,320,mm\n", 0.026 },
		{ "09:00:00Z,NM/cyl-2,ring-temperature,20,degC\n09:00:00Z,NM/cyl-2,oil-temperature,20,degC\n"
		  "10:00:00Z,NM/cyl-2/plane-1/x,bore-diameter,320.1,mm\n10:00:00Z,NM/cyl-2/plane-1/y,bore-diameter,320,mm\n"
		  "10:30:00Z,NM/cyl-2,bore-temperature,40,degC\n", 0.026 }
	};
	char text[2048];
	struct pass p;

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct leat_span rest = leat_span_of(cases[i].rows), row;
		size_t len = 0;

		/* The first case is out of order on purpose: the older temperature goes before. */
		for (int older = 1; older >= 0; older--)
			for (rest = leat_span_of(cases[i].rows); leat_span_next(&rest, '\n', &row);)
				if (row.len > 0 && (leat_span_starts(row, "08") || leat_span_starts(row, "09")) == older)
					len += (size_t)snprintf(text + len, sizeof(text) - len, "2025-11-03T%.*s,good\n", (int)row.len, row.ptr);
		pass_run(&p, text, false, time_of("2025-11-04T06:00:00Z"));
		assert_int_equal(p.status, 0);
		unit_close(last_value(p.text, ",NM/cyl-2,bore-wear,"), cases[i].wear_mm, 0.0006);
		pass_close(&p);
	}
}

/* A place less: uncertain, at the end of the day, and never more than the whole would say. */
static void
test_partial(void **state)
{
	static const char *const rows[] = {
		"2025-11-03T10:00:00Z,NM/cyl-1,ring-temperature,20,degC,good\n"
		"2025-11-03T10:00:00Z,NM/cyl-1,bore-temperature,20,degC,good\n"
		"2025-11-03T10:00:00Z,NM/cyl-1/plane-1/x,bore-diameter,320.05,mm,good\n",
		"2025-11-03T10:10:00Z,NM/cyl-1/plane-1/x,bore-diameter,320.05,mm,good\n"
	};
	char text[1024];
	struct pass p;

	(void)state;
	snprintf(text, sizeof(text), "%s", rows[0]);
	pass_run(&p, text, false, time_of("2025-11-04T06:00:00Z"));
	assert_string_equal(p.text, "2025-11-04T06:00:00Z,NM/cyl-1,bore-wear,0.040,mm,uncertain\n");
	pass_close(&p);
	pass_run(&p, text, false, time_of("2025-11-04T05:59:59Z"));
	assert_string_equal(p.text, "");
	assert_int_equal(p.b.open, 1);
	pass_close(&p);
	pass_run(&p, text, false, LEAT_TIME_NONE);
	assert_string_equal(p.text, "");
	pass_close(&p);
	pass_run(&p, rows[1], false, time_of("2025-11-05T00:00:00Z"));
	assert_string_equal(p.text, "2025-11-04T06:00:00Z,NM/cyl-1,bore-wear,,mm,bad\n");
	pass_close(&p);
}

/* Sheets of three cylinders at uneven times, with slips, gaps, temperatures at planes and rows of earlier runs. */
static char *
bore_rows(uint64_t *seed, int count)
{
	static const struct { const char *what; double low, span; const char *unit; } series[] = {
		{ "NM/cyl-1,ring-temperature", 18, 5, "degC" }, { "NM/cyl-1,bore-temperature", 18, 30, "degC" },
		{ "NM/cyl-1/plane-2,bore-temperature", 18, 30, "degC" }, { "NM/cyl-2,oil-temperature", 20, 30, "degC" },
		{ "NM/cyl-2,ring-temperature", 18, 5, "degC" }, { "NM,oil-temperature", 30, 30, "degC" },
		{ "NM/cyl-1,seal-leakage", 0, 20, "mL/min" }, { "NM/cyl-1/position-1,seal-leakage", 0, 20, "mL/min" },
		{ "NM/cyl-2/position-low,seal-leakage", 0, 20, "mL/min" }, { "NM/cyl-1,bore-wear", 0, 1, "mm" },
		{ "NM/cyl-1/plane-1,bore-ovality", 0, 1, "mm" }, { "NM/cyl-2,seal-leakage-ratio", 0, 9, "1" },
		{ "NM,running-hours", 0, 30000, "h" }, { "NM,vibration", 0, 9, "mm/s" }, { "MM/cyl-9,bore-wear-rate", 0, 9, "mm" }
	};
	static const char *const quality[] = { "good", "good", "good", "good", "uncertain" };
	struct leat_buf text = { 0 };
	struct leat_time t = { 1761976800, 0 };		/* 2025-11-01T06:00:00Z */
	char time[LEAT_TIME_MAX];

	for (int i = 0; i < count; i++) {
		size_t n = random_below(seed, sizeof(series) / sizeof(series[0]));

		if (random_below(seed, 3) > 0)
			t.sec += random_below(seed, 30) == 0 ? 9 * 3600 : 60 * random_below(seed, 40);
		/* Now and then on the hour, at which works' days end. */
		if (random_below(seed, 10) == 0)
			t.sec += (3600 - t.sec % 3600) % 3600;
		leat_time_write(time, t);
		if (random_below(seed, 2) == 0)
			assert_int_equal(leat_buf_printf(&text, "%s,NM/cyl-%d/plane-%d/%c,bore-diameter,%.3f,mm,%s\n", time,
			    1 + (int)random_below(seed, 3), 1 + (int)random_below(seed, 4), "xy"[random_below(seed, 2)],
			    random_below(seed, 20) ? 320 + random_below(seed, 200) / 1000.0 : 302.15, quality[random_below(seed, 5)]), 0);
		else
			assert_int_equal(leat_buf_printf(&text, "%s,%s,%.2f,%s,%s\n", time, series[n].what, series[n].low +
			    series[n].span * random_below(seed, 1000) / 1000.0, series[n].unit, quality[random_below(seed, 5)]), 0);
	}
	assert_int_equal(leat_buf_add(&text, "", 1), 0);
	return text.data;
}

/* Over its own output the filter changes nothing, and rows stay in the order of time. */
static void
test_again(void **state)
{
	uint64_t seed = 7;
	long long bores = 0, tests = 0;

	(void)state;
	for (int round = 0; round < 40; round++) {
		char *rows = bore_rows(&seed, 50 * (round + 1)), *once, last[32] = "";
		struct leat_time now = random_below(&seed, 2) ? LEAT_TIME_NONE : time_of("2026-12-01T00:00:00Z");
		struct pass p;

		pass_run(&p, rows, true, now);
		assert_int_equal(p.status, 0);
		bores += p.b.bores;
		tests += p.b.leak_tests;
		assert_true(p.b.open == 0 || leat_time_is_none(now));
		once = strdup(p.text);
		assert_non_null(once);
		for (const char *line = once; *line != '\0'; line = strchr(line, '\n') + 1) {
			assert_true(strncmp(last, line, 20) <= 0);
			memcpy(last, line, 20);
		}
		pass_close(&p);
		pass_run(&p, once, true, now);
		assert_int_equal(p.status, 0);
		assert_int_equal(p.b.rejected, 0);
		assert_string_equal(p.text, once);
		pass_close(&p);
		free(once);
		free(rows);
	}
	assert_true(bores > 500 && tests > 500);
}

/* What was written up to a time does not hang on what comes later. */
static void
test_no_future(void **state)
{
	uint64_t seed = 11;

	(void)state;
	for (int round = 0; round < 40; round++) {
		char *rows = bore_rows(&seed, 600);
		struct pass whole, part;

		pass_run(&whole, rows, false, time_of("2026-12-01T00:00:00Z"));
		rows_cut(rows, strlen(rows) / 2);
		pass_run(&part, rows, false, LEAT_TIME_NONE);
		assert_true(part.size > 0 && part.size < whole.size);
		assert_memory_equal(part.text, whole.text, part.size);
		pass_close(&whole);
		pass_close(&part);
		free(rows);
	}
}

/* Memory does not grow with the rows. */
static void
test_memory(void **state)
{
	size_t cap[2][4];

	(void)state;
	for (int i = 0; i < 2; i++) {
		uint64_t seed = 3;
		char *rows = bore_rows(&seed, i == 0 ? 3000 : 30000);
		struct pass p;

		pass_run(&p, rows, false, LEAT_TIME_NONE);
		cap[i][0] = p.b.cylinder_cap;
		cap[i][1] = p.b.series_cap;
		cap[i][2] = p.b.mill_cap;
		cap[i][3] = p.b.cylinder[0].leak_cap;
		assert_true(p.b.made.row_cap <= 64 && p.b.made.held_cap <= 64);
		pass_close(&p);
		free(rows);
	}
	assert_memory_equal(cap[0], cap[1], sizeof(cap[0]));
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_known),
		cmocka_unit_test(test_temperatures),
		cmocka_unit_test(test_partial),
		cmocka_unit_test(test_again),
		cmocka_unit_test(test_no_future),
		cmocka_unit_test(test_memory)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
