/*
 * leat-drain over readings given as text: passes, and days of a pump.
 */
#ifndef LEAT_TESTS_DRAIN_PASS_H
#define LEAT_TESTS_DRAIN_PASS_H

#include "derive/drain.h"
#include "random.h"
#include "row_value.h"

#define PASS_FILTER struct leat_drain drain
#include "filter_pass.h"

static inline void
pass_open(struct pass *p, const char *plate, const char *rows)
{
	pass_begin(p, plate, rows);
	p->drain = (struct leat_drain){ .in = p->l.in, .np = p->np, .out = &p->out };
	leat_drain_init(&p->drain);
}

static inline void
pass_run(struct pass *p, bool only)
{
	struct leat_reading r;

	while (pass_next(p, &r))
		pass_took(p, leat_drain_take(&p->drain, &r, &p->err), &r, !only);
	pass_ended(p, p->status < 0 ? -1 : leat_drain_end(&p->drain, LEAT_TIME_NONE, &p->err));
}

static inline void
pass_close(struct pass *p)
{
	leat_drain_free(&p->drain);
	pass_free(p);
}

/* Nothing is warm, settled or within a band by default here, so that each case asks for what it tests. */
#define HEAD "asset,property,value,unit,from\n"
#define OIL ",oil-viscosity-40,46,mm2/s,\n,oil-viscosity-100,6.8,mm2/s,\n"
#define PUMP ",reference-pressure,160,bar,\n"
#define PLATE HEAD OIL PUMP

/* A day of a pump by the minute, from 07:00 on: what the case changes of it. */
struct day {
	const char *plate;
	int minutes, step;		/* rows each so many minutes; 0: 1 */
	double flow, pressure, drain_c, tank_c;	/* NaN: not read */
	double tank_k_h;		/* the tank warms */
	const char *quality;		/* of the flow; NULL: good */
	int bleed;			/* valve moves every so many minutes; 0: there is none */
	const char *other;		/* pump-b: "on", "off"; NULL: there is none */
	const char *more;		/* further rows, at the beginning */
	bool by_second;
};

static inline char *
day_rows(const struct day *d)
{
	struct leat_buf text = { 0 };
	int step = d->step > 0 ? d->step : 1;

	if (d->more != NULL)
		assert_int_equal(leat_buf_printf(&text, "%s", d->more), 0);
	for (int s = 0; s <= d->minutes * 60; s += d->by_second ? 1 : step * 60) {
		char t[48];

		snprintf(t, sizeof(t), "2025-11-03T%02d:%02d:%02dZ,NM", 7 + s / 3600, s / 60 % 60, s % 60);
		assert_int_equal(leat_buf_printf(&text, "%s/pump-a,pump-running,on,,good\n", t), 0);
		if (d->other != NULL)
			assert_int_equal(leat_buf_printf(&text, "%s/pump-b,pump-running,%s,,good\n", t, d->other), 0);
		if (!isnan(d->flow))
			assert_int_equal(leat_buf_printf(&text, "%s/pump-a,drain-flow,%.4f,L/min,%s\n", t, d->flow,
			    d->quality != NULL ? d->quality : "good"), 0);
		if (!isnan(d->pressure))
			assert_int_equal(leat_buf_printf(&text, "%s/pump-a,pump-pressure,%.3f,bar,good\n", t, d->pressure), 0);
		if (!isnan(d->drain_c))
			assert_int_equal(leat_buf_printf(&text, "%s/pump-a,drain-temperature,%.3f,degC,good\n", t, d->drain_c), 0);
		if (!isnan(d->tank_c))
			assert_int_equal(leat_buf_printf(&text, "%s,oil-temperature,%.3f,degC,good\n", t, d->tank_c +
			    d->tank_k_h * s / 3600), 0);
		if (d->bleed > 0)
			assert_int_equal(leat_buf_printf(&text, "%s,charging,%s,,good\n", t, s / 60 / d->bleed % 2 ? "on" : "off"), 0);
	}
	/* Without a stop the last values would be held for a quarter of an hour. */
	assert_int_equal(leat_buf_printf(&text, "2025-11-03T%02d:%02d:00Z,NM/pump-a,pump-running,off,,good\n"
	    "2025-11-04T06:00:00Z,NM,level,600,mm,good\n", 7 + (d->minutes + 1) / 60, (d->minutes + 1) % 60), 0);
	assert_int_equal(leat_buf_add(&text, "", 1), 0);
	return text.data;
}

#define FLOW "2025-11-04T06:00:00Z,NM/pump-a,drain-flow-corrected,"
#define SLOT "2025-11-04T06:00:00Z,NM/pump-a,slot-flow,"
#define SHARE "2025-11-04T06:00:00Z,NM/pump-a,drain-flow-corrected.coverage,"

/* The steady pump that most cases vary. */
#define DAY(minutes_, flow_, pressure_, drain_, tank_) \
	.minutes = (minutes_), .flow = (flow_), .pressure = (pressure_), .drain_c = (drain_), .tank_c = (tank_)
#define STEADY DAY(240, 2.2, 160, 59.4, 50)

#endif
