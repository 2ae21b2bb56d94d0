/*
 * leat-cooler over readings given as text: passes, and days of a cooler.
 */
#ifndef LEAT_TESTS_COOLER_PASS_H
#define LEAT_TESTS_COOLER_PASS_H

#include "derive/cooler.h"
#include "random.h"
#include "row_value.h"

#define PASS_FILTER struct leat_coolers coolers
#include "filter_pass.h"

static inline void
pass_open(struct pass *p, const char *plate, const char *rows)
{
	pass_begin(p, plate, rows);
	p->coolers = (struct leat_coolers){ .in = p->l.in, .np = p->np, .out = &p->out };
	assert_int_equal(leat_coolers_init(&p->coolers), 0);
}

static inline void
pass_run(struct pass *p, bool only)
{
	struct leat_reading r;

	while (pass_next(p, &r))
		pass_took(p, leat_coolers_take(&p->coolers, &r, &p->err), &r, !only);
	pass_ended(p, p->status < 0 ? -1 : leat_coolers_end(&p->coolers, LEAT_TIME_NONE, &p->err));
}

static inline void
pass_close(struct pass *p)
{
	leat_coolers_free(&p->coolers);
	pass_free(p);
}

#define PLATE_HEAD "asset,property,value,unit,from\n"
#define FLOWS "NM/cooler,cooler-oil-flow,60,L/min,\nNM/cooler,cooler-water-flow,40,L/min,\n"
#define VALVE "NM/cooler,thermostat-opens,42,degC,\nNM/cooler,thermostat-open,47,degC,\n"
#define PLATE PLATE_HEAD FLOWS VALVE

/* Six hours that end at the end of a works' day; NaN: not read. */
struct day {
	double oil_in, oil_out, water_in, water_out, tank, air;
	double k_h;			/* the oil warms, all of it */
	int minutes, step;		/* 0: 360, and a row each minute */
	const char *plate, *quality, *state, *more;
};

static inline char *
day_rows(const struct day *d)
{
	static const char *const point[] = { "NM/cooler,oil-in-temperature", "NM/cooler,oil-out-temperature",
		"NM/cooler,water-in-temperature", "NM/cooler,water-out-temperature", "NM,oil-temperature", "NM,ambient-temperature" };
	const double value[] = { d->oil_in, d->oil_out, d->water_in, d->water_out, d->tank, d->air };
	struct leat_time t = { 1752472800, 0 };		/* 2025-07-14T06:00:00Z */
	int minutes = d->minutes > 0 ? d->minutes : 360, step = d->step > 0 ? d->step : 1;
	struct leat_buf text = { 0 };
	char time[LEAT_TIME_MAX];

	assert_int_equal(leat_buf_printf(&text, "time,asset,point,value,unit,quality\n%s", d->more != NULL ? d->more : ""), 0);
	t.sec -= minutes * 60;
	for (int m = 0; m <= minutes; m += step, t.sec += step * 60) {
		leat_time_write(time, t);
		assert_int_equal(leat_buf_printf(&text, "%s,NM,state,%s,,good\n", time, d->state != NULL ? d->state : "grinding"), 0);
		for (int i = 0; i < 6; i++)
			if (!isnan(value[i]))
				assert_int_equal(leat_buf_printf(&text, "%s,%s,%.4f,degC,%s\n", time, point[i], value[i] +
				    (i < 2 || i == 4 ? d->k_h * m / 60 : 0), d->quality != NULL ? d->quality : "good"), 0);
	}
	assert_int_equal(leat_buf_add(&text, "", 1), 0);
	return text.data;
}

#endif
