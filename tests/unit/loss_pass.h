/*
 * A made-up mill for tests of leat-loss: some days at one pressure, then some at another, a reading each ten minutes.
 */
#ifndef LEAT_TESTS_LOSS_PASS_H
#define LEAT_TESTS_LOSS_PASS_H

#include <math.h>

#include "latest_of.h"
#include "noise.h"

#include "judge/loss_private.h"

#define LOSS_PLATE "asset,property,value,unit,from\nNM,set-pressure,125,bar,\nNM,bore,320,mm,\nNM,rod,200,mm,\n"

/* NaN: no such readings. */
struct loss_plan {
	const char *begin;		/* NULL: 2025-01-01T06:00:00Z */
	int days, from;			/* whole days, and the first of the second kind */
	double set, bar, head, feed;
	double then_set, then_bar, then_feed;
	double then_head;		/* 0: as before */
	double sway;			/* of the feed from day to day, while the first kind lasts */
	double drift;			/* of the feed, t/h a day, from the first day on */
	unsigned seed;			/* not 0: set points and pressures of the second kind are drawn, four a day */
	double noise;			/* of the pressure that is read, bar, anew each hour: the feed knows nothing of it */
	int gap_day;			/* whose first half has no pressure; 0: none */
	const char *quality;		/* of the first kind; NULL: good */
	bool mega;			/* MPa and kg/h */
	const char *feed_unit;
	const char *plate, *book, *now;
	const char *rows;		/* further rows, later than all others */
	const struct leat_findings *findings;
	const struct leat_stops *stops;
	bool fit;
};

struct loss_pass {
	struct table_file plate_file;
	struct latest_of l;
	struct leat_nameplate *np;
	struct leat_points points;
	struct leat_logbook book;
	struct leat_loss *loss;
	int status;
	struct leat_error err;
};

/* Set point, pressure and feed of a quarter of a day of the second kind. */
static inline void
loss_drawn(const struct loss_plan *plan, int day, int quarter, double *set, double *bar, double *feed)
{
	static const double down[] = { 0, 4, 8, 12 };
	uint64_t seed = plan->seed * 1000u + (unsigned)(day * 4 + quarter) + 1;
	double missing;

	random_next(&seed);
	*set = 125 - down[random_next(&seed) % 4];
	*bar = *set - (random_next(&seed) % 3 == 0 ? 10 : 0);
	missing = 1 - (*bar * 490.0885 - plan->head * 804.2477) / (125 * 490.0885 - plan->head * 804.2477);
	*feed = 180 * (1 - 0.7 * missing);
}

/* What a drawn day lost by that m, where it is that by which the feed was made. */
static inline double
loss_by_hand(const struct loss_plan *plan, int day, double m)
{
	double sum = 0, set, bar, feed;

	for (int quarter = 0; day >= plan->from && quarter < 4; quarter++) {
		loss_drawn(plan, day, quarter, &set, &bar, &feed);
		sum += 6 * (180 - feed) * m / 0.7;
	}
	return sum;
}

static inline void
loss_row(struct leat_buf *rows, const char *stamp, const char *point, double value, const char *unit, const char *quality)
{
	if (!isnan(value))
		assert_int_equal(leat_buf_printf(rows, "%s,NM,%s,%.6f,%s,%s\n", stamp, point, value, unit, quality), 0);
}

static inline void
loss_rows(struct leat_buf *rows, const struct loss_plan *plan)
{
	struct leat_time begin = time_of(plan->begin != NULL ? plan->begin : "2025-01-01T06:00:00Z");
	const char *bar_unit = plan->mega ? "MPa" : "bar";
	const char *feed_unit = plan->feed_unit != NULL ? plan->feed_unit : plan->mega ? "kg/h" : "t/h";

	for (int ten = 0; ten <= plan->days * 144; ten++) {
		/* The instant at which a day ends belongs to it. */
		int day = (ten - 1) / 144, of_day = ten - 1 - 144 * day;
		bool then = day >= plan->from;
		double set = then ? plan->then_set : plan->set, bar = then ? plan->then_bar : plan->bar;
		double feed = then ? plan->then_feed : plan->feed + plan->sway * cos(day * 2.1);
		const char *quality = !then && plan->quality != NULL ? plan->quality : "good";
		char stamp[LEAT_TIME_MAX];

		if (then && plan->seed != 0)
			loss_drawn(plan, day, of_day / 36, &set, &bar, &feed);
		feed += plan->drift * ten / 144;
		if (plan->noise > 0) {
			uint64_t hour = (uint64_t)(ten + 5) / 6 + 77;

			random_next(&hour);
			bar += plan->noise * noise_normal(&hour);
		}
		if (plan->gap_day > 0 && day == plan->gap_day && of_day < 72)
			bar = NAN;
		leat_time_write(stamp, leat_time_add(begin, ten * 600.0));
		assert_int_equal(leat_buf_printf(rows, "%s,NM,state,grinding,,good\n", stamp), 0);
		loss_row(rows, stamp, "pressure-setpoint", plan->mega ? set / 10 : set, bar_unit, "good");
		loss_row(rows, stamp, "pressure", plan->mega ? bar / 10 : bar, bar_unit, quality);
		loss_row(rows, stamp, "head-pressure", (then && plan->then_head > 0 ? plan->then_head : plan->head) /
		    (plan->mega ? 10 : 1), bar_unit, "good");
		loss_row(rows, stamp, "feed-rate", plan->mega ? feed * 1000 : feed, feed_unit, "good");
	}
	assert_int_equal(leat_buf_printf(rows, "%s", plan->rows != NULL ? plan->rows : ""), 0);
}

static inline void
loss_tables(struct loss_pass *p, const struct loss_plan *plan)
{
	struct leat_buf text = { 0 };

	assert_int_equal(leat_buf_printf(&text, LOSS_PLATE "%s", plan->plate != NULL ? plan->plate : ""), 0);
	p->plate_file = table_file_bytes(text.data, text.len);
	p->np = leat_nameplate_read(p->plate_file.path, NULL, &p->err);
	if (p->np == NULL)
		fail_msg("%s", p->err.text);
	leat_buf_reset(&text);
	assert_int_equal(leat_buf_printf(&text, LEAT_LOGBOOK_HEADER "\n%s", plan->book != NULL ? plan->book : ""), 0);
	if (leat_logbook_text(&p->book, "logbook.csv", leat_buf_span(&text), leat_nameplate_zone(p->np), LEAT_TIME_NONE, NULL,
	    &p->err) != 0)
		fail_msg("%s", p->err.text);
	leat_buf_free(&text);
}

static inline void
loss_run_rows(struct loss_pass *p, const struct loss_plan *plan, const char *rows)
{
	struct leat_loss_form form = { .days = LEAT_LOSS_DAYS, .all = true, .fit = plan->fit };
	struct leat_reading r;

	memset(p, 0, sizeof(*p));
	loss_tables(p, plan);
	latest_open(&p->l, rows, NULL);
	form.in = p->l.in;
	form.points = &p->points;
	form.np = p->np;
	form.book = &p->book;
	form.findings = plan->findings;
	form.stops = plan->stops;
	form.now = plan->now != NULL ? time_of(plan->now) : LEAT_TIME_NONE;
	p->loss = leat_loss_new(&form);
	assert_non_null(p->loss);
	while (p->status == 0 && leat_readings_next(p->l.in, &r, &p->err) == LEAT_READINGS_ROW)
		p->status = leat_loss_take(p->loss, &r, &p->err);
	if (p->status == 0)
		p->status = leat_loss_end(p->loss, &p->err);
}

static inline void
loss_run(struct loss_pass *p, const struct loss_plan *plan)
{
	struct leat_buf rows = { 0 };

	loss_rows(&rows, plan);
	loss_run_rows(p, plan, rows.data);
	leat_buf_free(&rows);
}

static inline void
loss_stop(struct loss_pass *p)
{
	leat_loss_free(p->loss);
	leat_logbook_free(&p->book);
	leat_nameplate_free(p->np);
	latest_close(&p->l);
	table_file_drop(&p->plate_file);
}

#endif
