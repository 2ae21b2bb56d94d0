/*
 * Work in the logbook against made-up values: confirmed, not seen, contradicted, waiting, not to be told; and steps that
 * nobody logged.  What each must be is worked out by hand from the medians that the rows are made with.
 */
#include "latest_of.h"

#include "judge/confirm_private.h"
#include "noise.h"

#define HEAD "event,asset,point,measure,low,high,unit,within,rule,advice,source\n"
#define PUMP "pump-change,*,drain-flow-corrected,ratio,,0.8,,P14D,changed,,\n"

struct pass {
	struct table_file confirm_file, plate_file;
	struct latest_of l;
	struct leat_nameplate *np;
	struct leat_confirms confirms;
	struct leat_points points;
	struct leat_logbook book;
	struct leat_confirm *confirm;
	int status;
	struct leat_error err;
};

static void
open_tables(struct pass *p, const char *confirms, const char *book)
{
	struct leat_buf text = { 0 };

	assert_int_equal(leat_buf_printf(&text, HEAD "%s", confirms), 0);
	p->confirm_file = table_file_bytes(text.data, text.len);
	p->plate_file = table_file_text("asset,property,value,unit,from\n,day-start,06:00,,\n");
	p->np = leat_nameplate_read(p->plate_file.path, NULL, &p->err);
	if (p->np == NULL || leat_confirms_read(&p->confirms, p->confirm_file.path, NULL, &p->err) != 0)
		fail_msg("%s", p->err.text);
	leat_buf_reset(&text);
	assert_int_equal(leat_buf_printf(&text, LEAT_LOGBOOK_HEADER "\n%s", book), 0);
	if (leat_logbook_text(&p->book, "logbook.csv", leat_span_make(text.data, text.len), leat_nameplate_zone(p->np),
	    LEAT_TIME_NONE, NULL, &p->err) != 0)
		fail_msg("%s", p->err.text);
	leat_buf_free(&text);
}

static void
run(struct pass *p, const char *confirms, const char *book, const char *rows, const char *now)
{
	struct leat_confirm_form form = { .all = true };
	struct leat_reading r;

	memset(p, 0, sizeof(*p));
	open_tables(p, confirms, book);
	latest_open(&p->l, rows, NULL);
	form.in = p->l.in;
	form.confirms = &p->confirms;
	form.points = &p->points;
	form.np = p->np;
	form.book = &p->book;
	form.now = now != NULL ? time_of(now) : LEAT_TIME_NONE;
	p->confirm = leat_confirm_new(&form);
	assert_non_null(p->confirm);
	while (p->status == 0 && leat_readings_next(p->l.in, &r, &p->err) == LEAT_READINGS_ROW)
		p->status = leat_confirm_take(p->confirm, &r, &p->err);
	if (p->status == 0)
		p->status = leat_confirm_end(p->confirm, &p->err);
}

static void
stop(struct pass *p)
{
	leat_confirm_free(p->confirm);
	leat_logbook_free(&p->book);
	leat_confirms_free(&p->confirms);
	leat_nameplate_free(p->np);
	latest_close(&p->l);
	table_file_drop(&p->confirm_file);
	table_file_drop(&p->plate_file);
}

/* The judgement of work at an asset by a rule, or, rule NULL, of its steps; NULL when there is none. */
static const struct leat_confirm_case *
case_of(const struct pass *p, const char *asset, const char *rule)
{
	for (size_t i = 0; i < p->confirm->cases; i++) {
		const struct leat_confirm_case *c = &p->confirm->found[i];

		if (rule == NULL ? c->entry == NULL && leat_span_is(c->series->asset, asset) :
		    c->entry != NULL && leat_span_is(c->entry->asset, asset) && leat_span_is(c->row->rule.name, rule))
			return c;
	}
	return NULL;
}

/* Daily values of a point at the end of the works' days 1 to days of January (and on): level, from day at on other. */
static void
add_days(struct leat_buf *rows, const char *asset, const char *point, const char *unit, int days, int at, double level,
    double other, double sd)
{
	uint64_t seed = 17;

	for (int day = 1; day <= days; day++) {
		char stamp[LEAT_TIME_MAX];
		struct leat_time t = leat_time_add(time_of("2025-01-01T06:00:00Z"), day * 86400.0);

		leat_time_write(stamp, t);
		assert_int_equal(leat_buf_printf(rows, "%s,%s,%s,%.4f,%s,good\n", stamp, asset, point,
		    (day >= at ? other : level) + sd * noise_normal(&seed), unit), 0);
	}
}

static enum leat_status
pump_status(double level, double other, double sd, const char *now, bool *waiting)
{
	struct leat_buf rows = { 0 };
	const struct leat_confirm_case *c;
	enum leat_status status;
	struct pass p;

	add_days(&rows, "NM/pump-a", "drain-flow-corrected", "L/min", 40, 21, level, other, sd);
	run(&p, PUMP, "2025-01-21T10:00:00Z,NM/pump-a,pump-change,,,,,,P-2,crew,\n", rows.data, now);
	assert_int_equal(p.status, 0);
	c = case_of(&p, "NM/pump-a", "changed");
	assert_non_null(c);
	status = c->status;
	*waiting = c->waiting;
	stop(&p);
	leat_buf_free(&rows);
	return status;
}

/* Two bounds on both sides: 0.8 confirms, 0.81 does not; more than 1 / 0.8 is the other way. */
static void
test_ratio(void **state)
{
	bool waiting;

	(void)state;
	assert_int_equal(pump_status(4.0, 1.8, 0.02, NULL, &waiting), LEAT_STATUS_OK);
	assert_false(waiting);
	assert_int_equal(pump_status(2.0, 1.6, 0, NULL, &waiting), LEAT_STATUS_OK);
	assert_int_equal(pump_status(2.0, 1.62, 0, NULL, &waiting), LEAT_STATUS_ALERT);
	assert_int_equal(pump_status(2.0, 2.49, 0, NULL, &waiting), LEAT_STATUS_ALERT);
	assert_int_equal(pump_status(2.0, 2.51, 0, NULL, &waiting), LEAT_STATUS_ALARM);
}

/* The day of the work counts for neither side: what is stamped at its end, 22 Jan 06:00, holds both. */
static void
test_time(void **state)
{
	bool waiting;

	(void)state;
	/* Of the days after it 23 and 24 Jan are there: two of three. */
	assert_int_equal(pump_status(4.0, 1.8, 0.02, "2025-01-24T12:00:00Z", &waiting), LEAT_STATUS_OK);
	assert_true(waiting);
	assert_int_equal(pump_status(4.0, 1.8, 0.02, "2025-01-25T06:00:00Z", &waiting), LEAT_STATUS_OK);
	assert_false(waiting);
	assert_int_equal(pump_status(4.0, 4.0, 0.02, "2025-01-25T06:00:00Z", &waiting), LEAT_STATUS_ALERT);
}

/* Values that sway by more than the work would change them cannot tell. */
static void
test_noise(void **state)
{
	bool waiting;

	(void)state;
	assert_int_equal(pump_status(2.0, 2.0, 1.0, NULL, &waiting), LEAT_STATUS_UNKNOWN);
	assert_int_equal(pump_status(2.0, 2.0, 0.05, NULL, &waiting), LEAT_STATUS_ALERT);
}

static void
test_lack(void **state)
{
	struct leat_buf rows = { 0 };
	const struct leat_confirm_case *c;
	struct pass p;

	(void)state;
	add_days(&rows, "NM/pump-a", "drain-flow-corrected", "L/min", 20, 99, 4, 4, 0);
	assert_int_equal(leat_buf_printf(&rows, "2025-03-01T00:00:00Z,NM/pump-a,drain-flow-corrected,1.8,L/min,uncertain\n"), 0);
	run(&p, PUMP, "2025-01-21T10:00:00Z,NM/pump-a,pump-change,,,,,,P-2,crew,\n", rows.data, NULL);
	c = case_of(&p, "NM/pump-a", "changed");
	assert_non_null(c);
	assert_int_equal(c->status, LEAT_STATUS_UNKNOWN);
	assert_int_equal(c->after.n, 0);
	assert_int_equal(leat_time_cmp(c->time, time_of("2025-02-04T10:00:00Z")), 0);
	stop(&p);
	/* Before the first reading nothing was measured. */
	run(&p, PUMP, "2024-12-21T10:00:00Z,NM/pump-a,pump-change,,,,,,P-2,crew,\n", rows.data, NULL);
	c = case_of(&p, "NM/pump-a", "changed");
	assert_int_equal(c->status, LEAT_STATUS_UNKNOWN);
	assert_int_equal(c->before.n, 0);
	stop(&p);
	leat_buf_free(&rows);
}

/* Seals of a cylinder show in the leakage of their mill; those of another mill do not; a set pressure only where it was
 * set. */
static void
test_places(void **state)
{
	static const char book[] =
	    "2025-01-21T10:00:00Z,SM/cyl-2,seal-change,,,,,,,crew,\n"
	    "2025-01-21T10:00:00Z,NM/cyl-1,seal-change,,,,,,,crew,\n"
	    "2025-01-21T11:00:00Z,SM,pressure-setting,,pressure-setpoint,132,12.4,MPa,,crew,\n"
	    "2025-01-21T11:00:00Z,SM/relief,pressure-setting,,relief-pressure,180,180,bar,,crew,\n";
	struct leat_buf rows = { 0 };
	const struct leat_confirm_case *c;
	struct pass p;

	(void)state;
	for (int day = 1; day <= 40; day++) {
		char stamp[LEAT_TIME_MAX];

		leat_time_write(stamp, leat_time_add(time_of("2025-01-01T06:00:00Z"), day * 86400.0));
		assert_int_equal(leat_buf_printf(&rows, "%s,SM,internal-leakage,%s,L/min,good\n%s,SM,pressure-setpoint,%s,bar,good\n",
		    stamp, day > 20 ? "0.34" : "1.50", stamp, day > 20 ? "124" : "132"), 0);
	}
	run(&p, "", book, rows.data, NULL);
	assert_int_equal(p.status, 0);
	c = case_of(&p, "SM/cyl-2", "seals-changed");
	assert_non_null(c);
	assert_int_equal(c->status, LEAT_STATUS_OK);
	unit_close(c->change, 0.34 / 1.5, 1e-9);
	/* 21 Jan 06:00 ends the day before the work, 22 Jan 06:00 that of the work. */
	assert_int_equal(c->before.from + c->before.n, 20);
	assert_int_equal(c->after.from, 21);
	assert_null(case_of(&p, "NM/cyl-1", "seals-changed"));
	c = case_of(&p, "SM", "setpoint-set");
	assert_non_null(c);
	assert_int_equal(c->status, LEAT_STATUS_OK);
	unit_close(c->left, 124, 1e-9);
	assert_null(case_of(&p, "SM/relief", "setpoint-set"));
	assert_int_equal(p.confirm->count.untold, 2);
	stop(&p);
	leat_buf_free(&rows);
}

/* Of points that are read at stops every reading counts: as found, and as left an hour later. */
static void
test_rare(void **state)
{
	static const char rows[] =
	    "2025-03-20T08:00:00Z,MM/accu-4,precharge-20,74.9,bar,good\n"
	    "2025-07-08T08:00:00Z,MM/accu-4,precharge-20,62.1,bar,good\n"
	    "2025-07-08T09:00:00Z,MM/accu-4,precharge-20,75.0,bar,good\n";
	static const char book[] = "2025-07-08T09:00:00Z,MM/accu-4,gas-fill,,gas-pressure,,79.0,bar,,crew,\n";
	const struct leat_confirm_case *c;
	struct pass p;

	(void)state;
	run(&p, "", book, rows, NULL);
	c = case_of(&p, "MM/accu-4", "gas-filled");
	assert_non_null(c);
	assert_int_equal(c->status, LEAT_STATUS_OK);
	unit_close(c->before.median, 62.1, 1e-9);
	unit_close(c->after.median, 75.0, 1e-9);
	stop(&p);
}

static void
test_steps(void **state)
{
	static const char *const book[] = {
		"", "2025-01-20T10:00:00Z,NM/pump-a,pump-change,,,,,,P-2,crew,\n",
		"2025-02-02T10:00:00Z,NM/pump-a,meter-change,,drain-flow,1.8,0.5,L/min,,crew,\n",
		"2025-01-21T10:00:00Z,MM/pump-a,cleaning,,,,,,,crew,\n"
	};
	static const enum leat_status want[] = { LEAT_STATUS_ALERT, LEAT_STATUS_OK, LEAT_STATUS_OK, LEAT_STATUS_ALERT };
	struct leat_buf rows = { 0 };
	struct pass p;

	(void)state;
	add_days(&rows, "NM/pump-a", "drain-flow-corrected", "L/min", 60, 21, 1.9, 0.5, 0.03);
	for (size_t i = 0; i < 4; i++) {
		const struct leat_confirm_case *c;

		run(&p, PUMP, book[i], rows.data, NULL);
		c = case_of(&p, "NM/pump-a", NULL);
		assert_non_null(c);
		if (c->status != want[i])
			fail_msg("book %zu: %s", i, leat_status_name(c->status));
		if (want[i] == LEAT_STATUS_ALERT)
			assert_int_equal(leat_time_cmp(c->since, time_of("2025-01-22T06:00:00Z")), 0);
		stop(&p);
	}
	leat_buf_free(&rows);
	/* A step the other way is wear or a fault, and none of this command's. */
	add_days(&rows, "NM/pump-a", "drain-flow-corrected", "L/min", 60, 21, 1.9, 3.0, 0.03);
	run(&p, PUMP, "", rows.data, NULL);
	assert_int_equal(case_of(&p, "NM/pump-a", NULL)->status, LEAT_STATUS_OK);
	stop(&p);
	leat_buf_free(&rows);
}

/* A step is asked for on the third daily value after it, and no earlier; an entry that comes later settles it, and nothing is
 * left of it when the values come back. */
static void
test_fresh(void **state)
{
	static const struct { const char *now, *book; enum leat_status status; } rows[] = {
		{ "2025-01-23T08:00:00Z", "", LEAT_STATUS_OK },
		{ "2025-01-24T08:00:00Z", "", LEAT_STATUS_ALERT },
		{ "2025-01-28T08:00:00Z", "", LEAT_STATUS_ALERT },
		{ "2025-02-01T08:00:00Z", "", LEAT_STATUS_ALERT },
		{ "2025-02-20T08:00:00Z", "", LEAT_STATUS_ALERT },
		{ "2025-01-28T08:00:00Z", "2025-01-27T10:00:00Z,NM/pump-a,meter-change,,drain-flow,,,,,crew,\n", LEAT_STATUS_OK },
		{ "2025-01-27T08:00:00Z", "2025-01-27T10:00:00Z,NM/pump-a,meter-change,,drain-flow,,,,,crew,\n", LEAT_STATUS_ALERT },
		{ "2025-01-24T08:00:00Z", "2025-01-21T10:00:00Z,NM/pump-a,pump-change,,,,,,P-2,crew,\n", LEAT_STATUS_OK }
	};
	struct leat_buf days = { 0 };

	(void)state;
	add_days(&days, "NM/pump-a", "drain-flow-corrected", "L/min", 60, 21, 1.79, 0.63, 0.01);
	for (size_t i = 0; i < sizeof(rows) / sizeof(rows[0]); i++) {
		const struct leat_confirm_case *c;
		struct pass p;

		run(&p, PUMP, rows[i].book, days.data, rows[i].now);
		c = case_of(&p, "NM/pump-a", NULL);
		/* After an entry of such work the search begins anew, and too few values are there yet. */
		if ((c == NULL ? LEAT_STATUS_OK : c->status) != rows[i].status)
			fail_msg("at %s, %s: %s", rows[i].now, rows[i].book, c == NULL ? "none" : leat_status_name(c->status));
		if (c != NULL && c->status == LEAT_STATUS_ALERT) {
			char words[LEAT_CONFIRM_TEXT];

			assert_int_equal(leat_time_cmp(c->since, time_of("2025-01-22T06:00:00Z")), 0);
			assert_int_equal(leat_time_cmp(c->time, time_of("2025-01-24T06:00:00Z")), 0);
			leat_confirm_words(words, p.confirm, c);
			/* The works' day that ends on the 22nd is the 21st. */
			assert_non_null(strstr(words, "unlogged work: drain-flow-corrected went from "));
			assert_non_null(strstr(words, " on 2025-01-21, as after a pump-change, and no entry says why"));
		}
		stop(&p);
	}
	leat_buf_free(&days);
}

/* Values that change for some days and come back are no work: those of an instrument that stood still, a trial.  Those of two
 * days alone are not even asked for. */
static void
test_spell(void **state)
{
	static const struct { int days; const char *now; enum leat_status status; } rows[] = {
		{ 2, "2025-01-23T08:00:00Z", LEAT_STATUS_OK }, { 2, "2025-02-20T08:00:00Z", LEAT_STATUS_OK },
		{ 8, "2025-01-26T08:00:00Z", LEAT_STATUS_ALERT }, { 8, "2025-02-01T08:00:00Z", LEAT_STATUS_OK },
		{ 8, "2025-02-20T08:00:00Z", LEAT_STATUS_OK }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(rows) / sizeof(rows[0]); i++) {
		struct leat_buf text = { 0 };
		const struct leat_confirm_case *c;
		struct pass p;

		for (int day = 1; day <= 60; day++) {
			char stamp[LEAT_TIME_MAX];

			leat_time_write(stamp, leat_time_add(time_of("2025-01-01T06:00:00Z"), day * 86400.0));
			assert_int_equal(leat_buf_printf(&text, "%s,SM,internal-leakage,%.3f,L/min,good\n", stamp,
			    (day > 20 && day <= 20 + rows[i].days ? 0.25 : 0.37) + 0.004 * (day % 3)), 0);
		}
		run(&p, "", "", text.data, rows[i].now);
		c = case_of(&p, "SM", NULL);
		assert_non_null(c);
		if (c->status != rows[i].status)
			fail_msg("%d days, at %s: %s", rows[i].days, rows[i].now, leat_status_name(c->status));
		stop(&p);
		leat_buf_free(&text);
	}
}

/* Seals that nobody logged: the element that was changed on the day before at the filter, or a sample of oil, is no reason; a
 * cleaned cooler may be one, and so may an element that was logged at the mill itself. */
static void
test_other_work(void **state)
{
	static const struct { const char *book; enum leat_status status; } rows[] = {
		{ "2025-01-20T10:00:00Z,SM/filter,filter-change,,,,,,,crew,\n", LEAT_STATUS_ALERT },
		{ "2025-01-20T10:00:00Z,SM/sample-return,sampling,,,,,,,crew,\n", LEAT_STATUS_ALERT },
		{ "2025-01-20T10:00:00Z,SM,sampling,,,,,,,crew,\n", LEAT_STATUS_ALERT },
		{ "2025-01-20T10:00:00Z,SM/cyl-2,note,,,,,,,crew,bore gauged\n", LEAT_STATUS_ALERT },
		{ "2025-01-20T10:00:00Z,SM/cooler,cleaning,,,,,,,crew,\n", LEAT_STATUS_OK },
		{ "2025-01-20T10:00:00Z,SM,filter-change,,,,,,,crew,\n", LEAT_STATUS_OK },
		{ "2025-01-20T10:00:00Z,SM/accu-1,gas-fill,,gas-pressure,,79,bar,,crew,\n", LEAT_STATUS_OK }
	};
	struct leat_buf days = { 0 };

	(void)state;
	add_days(&days, "SM", "internal-leakage", "L/min", 30, 21, 1.64, 0.37, 0.005);
	for (size_t i = 0; i < sizeof(rows) / sizeof(rows[0]); i++) {
		struct pass p;

		run(&p, "", rows[i].book, days.data, NULL);
		assert_non_null(case_of(&p, "SM", NULL));
		if (case_of(&p, "SM", NULL)->status != rows[i].status)
			fail_msg("%s", rows[i].book);
		stop(&p);
	}
	leat_buf_free(&days);
}

/* Of two steps the newer is told, and one that the logbook has hides no other. */
static void
test_two_steps(void **state)
{
	static const char meter[] = "2025-01-21T10:00:00Z,NM/pump-a,meter-change,,drain-flow,,,,,crew,\n";
	struct leat_buf text = { 0 };

	(void)state;
	for (int day = 1; day <= 43; day++) {
		char stamp[LEAT_TIME_MAX];

		leat_time_write(stamp, leat_time_add(time_of("2025-01-01T06:00:00Z"), day * 86400.0));
		assert_int_equal(leat_buf_printf(&text, "%s,NM/pump-a,drain-flow-corrected,%.3f,L/min,good\n", stamp,
		    (day > 40 ? 0.6 : day > 20 ? 1.5 : 4) + 0.005 * (day % 4)), 0);
	}
	for (int i = 0; i < 2; i++) {
		const struct leat_confirm_case *c;
		struct pass p;

		run(&p, PUMP, i == 0 ? "" : meter, text.data, NULL);
		c = case_of(&p, "NM/pump-a", NULL);
		assert_non_null(c);
		assert_int_equal(c->status, LEAT_STATUS_ALERT);
		assert_int_equal(leat_time_cmp(c->since, time_of("2025-02-11T06:00:00Z")), 0);
		stop(&p);
		/* The night before the third value of it only the older one is there. */
		run(&p, PUMP, i == 0 ? "" : meter, text.data, "2025-02-12T08:00:00Z");
		c = case_of(&p, "NM/pump-a", NULL);
		assert_int_equal(c->status, i == 0 ? LEAT_STATUS_ALERT : LEAT_STATUS_OK);
		if (i == 0)
			assert_int_equal(leat_time_cmp(c->since, time_of("2025-01-22T06:00:00Z")), 0);
		stop(&p);
	}
	leat_buf_free(&text);
}

/* Gas that is more at one stop than at the one before was filled in: by more than two readings err, 2 x 1.5 % x root(2) = 4.2 %. */
static void
test_gas_not_logged(void **state)
{
	static const struct { const char *after, *book; enum leat_status status; } rows[] = {
		{ "75.0", "", LEAT_STATUS_ALERT },
		{ "68.5", "", LEAT_STATUS_OK },		/* 66 x 1.0424 = 68.80 */
		{ "69.0", "", LEAT_STATUS_ALERT },
		{ "60.0", "", LEAT_STATUS_OK },
		{ "75.0", "2025-05-02T09:00:00Z,MM/accu-4,gas-fill,,gas-pressure,,79.0,bar,,crew,\n", LEAT_STATUS_OK },
		{ "75.0", "2025-05-02T09:00:00Z,MM,gas-fill,,gas-pressure,,79.0,bar,,crew,\n", LEAT_STATUS_OK },
		{ "75.0", "2025-05-02T09:00:00Z,MM/accu-4,gas-reading,,gas-pressure,70.0,79.0,bar,,crew,\n", LEAT_STATUS_OK },
		{ "75.0", "2025-05-02T09:00:00Z,MM/accu-4,gas-reading,,gas-pressure,79.0,,bar,,crew,\n", LEAT_STATUS_ALERT },
		{ "75.0", "2025-05-02T09:00:00Z,MM/accu-5,gas-fill,,gas-pressure,,79.0,bar,,crew,\n", LEAT_STATUS_ALERT },
		{ "75.0", "2025-03-02T09:00:00Z,MM/accu-4,gas-fill,,gas-pressure,,79.0,bar,,crew,\n", LEAT_STATUS_ALERT }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(rows) / sizeof(rows[0]); i++) {
		struct leat_buf text = { 0 };
		const struct leat_confirm_case *c;
		struct pass p;

		assert_int_equal(leat_buf_printf(&text, "2025-02-01T08:00:00Z,MM/accu-4,precharge-20,75.0,bar,good\n"
		    "2025-04-01T08:00:00Z,MM/accu-4,precharge-20,66.0,bar,good\n"
		    "2025-06-10T08:00:00Z,MM/accu-4,precharge-20,%s,bar,good\n", rows[i].after), 0);
		run(&p, "", rows[i].book, text.data, NULL);
		c = case_of(&p, "MM/accu-4", NULL);
		/* After an entry of such work one reading alone is left, which has no step. */
		if (rows[i].status == LEAT_STATUS_OK && c == NULL)
			assert_true(rows[i].book[0] != '\0');
		else if (c == NULL || c->status != rows[i].status)
			fail_msg("row %zu: %s", i, c == NULL ? "none" : leat_status_name(c->status));
		stop(&p);
		leat_buf_free(&text);
	}
}

/* Another dimension is refused; another unit is converted. */
static void
test_units(void **state)
{
	static const char good[] =
	    "2025-01-01T06:00:00Z,NM/pump-a,drain-flow-corrected,2,L/min,good\n"
	    "2025-01-02T06:00:00Z,NM/pump-a,drain-flow-corrected,2000,mL/min,good\n";
	static const char bad[] =
	    "2025-01-01T06:00:00Z,NM/pump-a,drain-flow-corrected,2,L/min,good\n"
	    "2025-01-02T06:00:00Z,NM/pump-a,drain-flow-corrected,2,bar,good\n";
	struct pass p;

	(void)state;
	run(&p, PUMP, "", good, NULL);
	assert_int_equal(p.status, 0);
	unit_close(p.confirm->series[0].daily.day[1].value, 2, 1e-12);
	stop(&p);
	run(&p, PUMP, "", bad, NULL);
	assert_int_equal(p.status, -1);
	stop(&p);
}

static void
refused(const char *row, const char *column)
{
	struct leat_confirms confirms;
	struct leat_buf text = { 0 };
	struct leat_error err = { 0 };
	struct table_file f;

	assert_int_equal(leat_buf_printf(&text, HEAD "%s", row), 0);
	f = table_file_bytes(text.data, text.len);
	if (leat_confirms_read(&confirms, f.path, NULL, &err) == 0)
		fail_msg("not refused: %s", row);
	assert_string_equal(err.column, column);
	assert_int_equal(err.line, 2);
	table_file_drop(&f);
	leat_buf_free(&text);
}

static void
test_table(void **state)
{
	struct leat_confirms confirms;
	struct leat_error err;

	(void)state;
	refused("polishing,*,cooler-ua,,1.1,,,,,,\n", "event");
	refused(",*,cooler-ua,,1.1,,,,,,\n", "event");
	refused("cleaning,,cooler-ua,,1.1,,,,,,\n", "asset");
	refused("cleaning,*,cooler-ua,times,1.1,,,,,,\n", "measure");
	refused("cleaning,*,cooler-ua,,1.1,1,,,,,\n", "high");
	refused("cleaning,*,cooler-ua,,0,,,,,,\n", "low");
	refused("cleaning,*,cooler-ua,ratio,1.1,,kW/K,,,,\n", "unit");
	refused("cleaning,*,cooler-ua,value,1.1,,bar,,,,\n", "unit");
	refused("cleaning,*,state,,1.1,,,,,,\n", "point");
	refused("cleaning,*,cooler-ua,,1.1,,,soon,,,\n", "within");
	refused("cleaning,*,cooler-ua,,1.1,,,,two words,,\n", "rule");
	/* The shipped rows are of events, points and units that exist, and each has advice and authority. */
	assert_int_equal(leat_confirms_read(&confirms, "", NULL, &err), 0);
	assert_true(confirms.count >= 6);
	for (size_t i = 0; i < confirms.count; i++)
		assert_true(confirms.row[i].rule.advice.len > 0 && confirms.row[i].rule.source.len > 0 && !confirms.row[i].rule.off);
	leat_confirms_free(&confirms);
}

int
main(void)
{
	static const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_ratio), cmocka_unit_test(test_time), cmocka_unit_test(test_noise), cmocka_unit_test(test_lack),
		cmocka_unit_test(test_places), cmocka_unit_test(test_rare), cmocka_unit_test(test_steps),
		cmocka_unit_test(test_fresh), cmocka_unit_test(test_spell), cmocka_unit_test(test_two_steps), cmocka_unit_test(test_other_work),
		cmocka_unit_test(test_gas_not_logged),
		cmocka_unit_test(test_units), cmocka_unit_test(test_table)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
