/* The oil of a stream: what must not matter, whatever comes. */
#include <math.h>

#include "derive/oil.h"
#include "random.h"

#define PASS_FILTER struct leat_oils oil
#include "filter_pass.h"

#define HEADER "time,asset,point,value,unit,quality\n"
#define PLATE \
	"asset,property,value,unit,from\nNM,tank-volume,1200,L,\nNM,tank-area,1.2,m2,\nNM,oil-viscosity-40,46,mm2/s,\n" \
	"NM,oil-acid-number,0.45,mgKOH/g,\nNM,oil-acid-number,0.5,mgKOH/g,2025-11-20\nNM,oil-zinc,420,mg/kg,\n" \
	"NM/filter,loop-flow,25,L/min,\nNM/filter,beta,200,,\nNM,dehydrator-rate,1,L/h,\nNM,balance-settling,0,min,\n" \
	"NM,metal-hours-least,10,h,\nNM,precharge,75,bar,\nNM,shells,6,,\nNM,shell-volume,50,L,\n"
#define BOOK \
	"time,asset,event,task,point,found,left,unit,item,who,note\n2025-11-08T10:00:00Z,NM,oil-change,,,,,,,kt,\n" \
	"2025-11-09T10:00:00Z,NM,note,,,,,,,kt,of something\n2025-11-19T06:00:00Z,NM/tank,oil-change,,,,,,,kt,\n"

static void
pass_run(struct pass *p, const char *rows, bool copy)
{
	struct leat_reading r;

	pass_begin(p, PLATE, rows);
	pass_logbook(p, BOOK);
	p->oil = (struct leat_oils){
		.in = p->l.in, .np = p->np, .points = &p->points, .book = &p->book, .out = &p->out, .copy = copy
	};
	assert_int_equal(leat_oils_init(&p->oil), 0);
	leat_readings_pass_to(p->l.in, copy ? &p->out : NULL);
	while (pass_next(p, &r))
		pass_took(p, leat_oils_take(&p->oil, &r, &p->err), &r, copy);
	pass_ended(p, p->status < 0 ? -1 : leat_oils_end(&p->oil, &p->err));
}

static void
pass_close(struct pass *p)
{
	leat_oils_free(&p->oil);
	pass_free(p);
}

/* Rows of a mill at uneven times, three weeks and more: its tank, samples, amounts, rows of earlier runs. */
static char *
oil_rows(uint64_t *seed, int count)
{
	static const struct { const char *what; int low, high; const char *unit; } series[] = {
		{ "NM,oil-temperature", 10, 60, "degC" }, { "NM,oil-temperature", 40, 50, "degC" }, { "NM,level", 600, 700, "mm" },
		{ "NM,pressure", 110, 130, "bar" }, { "NM,running-hours", 0, 30000, "h" }, { "NM,top-up", 0, 40, "L" },
		{ "NM/tank,drained", 0, 10, "L" }, { "NM/sample-return/bottle-1,iron", 5, 30, "mg/kg" },
		{ "NM/sample-return/bottle-2,iron", 5, 30, "mg/kg" }, { "NM/sample-return,water-content", 50, 600, "mg/kg" },
		{ "NM/sample-return,viscosity-40", 30, 70, "mm2/s" }, { "NM/sample-return,viscosity-100", 5, 9, "mm2/s" },
		{ "NM/sample-return,zinc", 300, 420, "mg/kg" }, { "NM/sample-return,count-6um", 30, 3000, "1/mL" },
		{ "NM/new-oil,acid-number", 0, 2, "mgKOH/g" }, { "NM/tank,free-water", 0, 5, "L" }, { "NM,oil-volume-20", 0, 5, "L" },
		{ "NM/sample-return,water-saturation", 0, 90, "%" }, { "MM,level", 1, 900, "mm" }, { "NM,vibration", 0, 9, "mm/s" }
	};
	static const char *const quality[] = { "good", "good", "good", "good", "uncertain" };
	struct leat_buf text = { 0 };
	struct leat_time t = { 1761976800, 0 };		/* 2025-11-01T06:00:00Z */
	char time[LEAT_TIME_MAX];

	assert_int_equal(leat_buf_printf(&text, HEADER), 0);
	for (int i = 0; i < count; i++) {
		size_t n = random_below(seed, sizeof(series) / sizeof(series[0]));

		if (random_below(seed, 3) > 0)
			t.sec += random_below(seed, 30) == 0 ? 6 * 3600 : 60 * random_below(seed, 20);
		/* Now and then on the hour, at which works' days end. */
		if (random_below(seed, 10) == 0)
			t.sec += (3600 - t.sec % 3600) % 3600;
		leat_time_write(time, t);
		if (random_below(seed, 4) == 0)
			assert_int_equal(leat_buf_printf(&text, "%s,NM,state,%s,,good\n", time, random_below(seed, 8) ? "grinding" : "off"), 0);
		else
			assert_int_equal(leat_buf_printf(&text, "%s,%s,%d.%d,%s,%s\n", time, series[n].what, series[n].low +
			    (int)random_below(seed, (uint64_t)(series[n].high - series[n].low)), (int)random_below(seed, 10),
			    series[n].unit, quality[random_below(seed, 5)]), 0);
	}
	assert_int_equal(leat_buf_add(&text, "", 1), 0);
	return text.data;
}

/* Over its own output the filter changes nothing, and rows stay in the order of time. */
static void
test_again(void **state)
{
	uint64_t seed = 7;
	long long volumes = 0;

	(void)state;
	for (int round = 0; round < 40; round++) {
		char *rows = oil_rows(&seed, 250 * (round + 1)), *once, last[32] = "";
		struct pass p;

		pass_run(&p, rows, true);
		assert_int_equal(p.status, 0);
		once = malloc(strlen(HEADER) + p.size + 1);
		assert_non_null(once);
		memcpy(once, HEADER, strlen(HEADER));
		memcpy(once + strlen(HEADER), p.text, p.size + 1);
		for (const char *line = p.text; *line != '\0'; line = strchr(line, '\n') + 1) {
			assert_true(strncmp(last, line, 20) <= 0);
			memcpy(last, line, 20);
		}
		volumes += strstr(p.text, ",external-leakage,") != NULL;
		pass_close(&p);
		pass_run(&p, once, true);
		assert_int_equal(p.status, 0);
		assert_string_equal(p.text, once + strlen(HEADER));
		pass_close(&p);
		free(once);
		free(rows);
	}
	/* The oil is changed twice within the three weeks; after them there are days enough for a line. */
	assert_true(volumes > 5);
}

/* What was written up to a time does not hang on what comes later. */
static void
test_no_future(void **state)
{
	uint64_t seed = 11;

	(void)state;
	for (int round = 0; round < 40; round++) {
		char *rows = oil_rows(&seed, 1500);
		struct pass whole, part;

		pass_run(&whole, rows, false);
		rows_cut(rows, strlen(rows) / 2);
		pass_run(&part, rows, false);
		assert_true(part.size > 0 && part.size <= whole.size);
		assert_memory_equal(part.text, whole.text, part.size);
		pass_close(&whole);
		pass_close(&part);
		free(rows);
	}
}

/* Memory does not grow with the rows: what is kept of a mill, a sample, an instant is the same for ten times as many. */
static void
test_memory(void **state)
{
	size_t cap[2][4];

	(void)state;
	for (int i = 0; i < 2; i++) {
		uint64_t seed = 3;
		char *rows = oil_rows(&seed, i == 0 ? 3000 : 30000);
		struct pass p;

		pass_run(&p, rows, false);
		cap[i][0] = p.oil.mill_cap;
		cap[i][1] = p.oil.sample_cap;
		cap[i][2] = p.oil.series_cap;
		cap[i][3] = p.oil.touch_cap;
		assert_true(p.oil.made.row_cap < 256 && p.oil.made.held_cap < 64);
		pass_close(&p);
		free(rows);
	}
	assert_memory_equal(cap[0], cap[1], sizeof(cap[0]));
}

static void
test_other_dimension(void **state)
{
	static const struct { const char *row, *message; } rows[] = {
		{ "NM,oil-temperature,50,bar,good", "'oil-temperature' of 'NM' comes in 'bar'" },
		{ "NM,level,50,%,good", "'level' of 'NM' comes in '%'" },
		{ "NM,top-up,50,kg,good", "'top-up' of 'NM' comes in 'kg'" },
		{ "NM/sample-return,iron,50,furlong,good", "'iron' of 'NM/sample-return' comes in 'furlong'" }
	};
	char text[256];
	struct pass p;

	(void)state;
	for (size_t i = 0; i < sizeof(rows) / sizeof(rows[0]); i++) {
		snprintf(text, sizeof(text), HEADER "2025-11-03T06:00:00Z,%s\n", rows[i].row);
		pass_run(&p, text, true);
		assert_int_equal(p.status, -1);
		assert_non_null(strstr(p.err.text, rows[i].message));
		pass_close(&p);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_again),
		cmocka_unit_test(test_no_future),
		cmocka_unit_test(test_memory),
		cmocka_unit_test(test_other_dimension),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
