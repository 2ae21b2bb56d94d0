/*
 * leat-leakage over readings given as text, and a mill that charges as a plain clock does.
 */
#ifndef LEAT_TESTS_LEAKAGE_PASS_H
#define LEAT_TESTS_LEAKAGE_PASS_H

#include "derive/leakage.h"
#include "row_value.h"

#define PASS_FILTER struct leat_leaks leaks
#include "filter_pass.h"

static inline void
pass_open(struct pass *p, const char *plate, const char *book, const char *rows)
{
	pass_begin(p, plate, rows);
	pass_logbook(p, book);
	p->leaks = (struct leat_leaks){ .in = p->l.in, .np = p->np, .book = &p->book, .out = &p->out };
	leat_leaks_init(&p->leaks);
}

static inline void
pass_run(struct pass *p, bool only)
{
	struct leat_reading r;

	while (pass_next(p, &r))
		pass_took(p, leat_leaks_take(&p->leaks, &r, &p->err), &r, !only);
	pass_ended(p, p->status < 0 ? -1 : leat_leaks_end(&p->leaks, LEAT_TIME_NONE, &p->err));
}

static inline void
pass_close(struct pass *p)
{
	leat_leaks_free(&p->leaks);
	pass_free(p);
}

#define BOOK "time,asset,event,task,point,found,left,unit,item,who,note\n"
#define PLATE \
	"asset,property,value,unit,from\nNM,set-pressure,125,bar,\nNM,charging-above,5,bar,\nNM,charging-below,5,bar,\n" \
	"NM,precharge,75,bar,\nNM,shells,6,,\nNM,shell-volume,50,L,\nNM,tank-area,1.2,m2,\n" \
	"NM,oil-viscosity-40,46,mm2/s,\nNM,oil-viscosity-100,6.8,mm2/s,\n,rated-flow,39,L/min,\n,reference-temperature,48,degC,\n"

/* A day of a mill that grinds at 125 bar and 48 degC from 06:00 on. */
struct day {
	const char *name, *plate, *more;
	int hours, period_s, on_s;
	int step_s;			/* pressures and temperatures each so many seconds; 0: 60 */
	int sampled_s;			/* the valve is read at such steps and never when it moves; 0: when it moves */
	bool repeats;			/* besides, at each step */
	bool pump;			/* a pump that starts and stops in place of the valve */
	double lower_after_h, lower_bar;	/* set point by a switch */
	int lost_from_s, lost_s;	/* nothing of the mill comes but the valve's switches */
	int missing;			/* each so many openings is missing in the list, with its shutting; 0: none */
	const char *quality;
	bool counter;			/* a counter of openings is read each hour */
};

static inline void
day_stamp(char *t, int s)
{
	snprintf(t, 48, "2025-11-%02dT%02d:%02d:%02dZ,NM", 3 + (6 * 3600 + s) / 86400, (6 + s / 3600) % 24, s / 60 % 60, s % 60);
}

static inline void
day_switch(struct leat_buf *text, const struct day *d, const char *t, bool on)
{
	assert_int_equal(leat_buf_printf(text, "%s%s,%s,,%s\n", t, d->pump ? "/pump-a,pump-running" : ",charging",
	    on ? "on" : "off", d->quality != NULL ? d->quality : "good"), 0);
}

static inline void
day_second(struct leat_buf *text, const struct day *d, int s, bool *was_on)
{
	int step = d->step_s > 0 ? d->step_s : 60, into = s % d->period_s;
	bool lost = d->lost_s > 0 && s >= d->lost_from_s && s < d->lost_from_s + d->lost_s;
	bool gone = d->missing > 0 && s / d->period_s % d->missing == d->missing - 1;
	bool on = into < d->on_s && !gone;
	double bar = into < d->on_s ? 120 + 10.0 * into / d->on_s :
	    126.3 - 6.3 * (into - d->on_s) / (d->period_s - d->on_s) + 3.7 * exp(-(into - d->on_s) / 120.0);
	char t[48];

	day_stamp(t, s);
	if (d->sampled_s > 0 ? s % d->sampled_s == 0 : on != *was_on || s == 0 || (d->repeats && s % step == 0))
		day_switch(text, d, t, on);
	*was_on = on;
	if (lost || s % step != 0)
		return;
	if (d->counter && s % 3600 == 0)
		assert_int_equal(leat_buf_printf(text, "%s,start-counter,%d,1,good\n", t, 700 + s / d->period_s), 0);
	assert_int_equal(leat_buf_printf(text, "%s,pressure,%.3f,bar,good\n%s,oil-temperature,48,degC,good\n%s,state,grinding,,good\n"
	    "%s,pressure-setpoint,%.1f,bar,good\n", t, bar, t, t, t, d->lower_after_h > 0 && s >= d->lower_after_h * 3600 ?
	    d->lower_bar : 125), 0);
	if (!d->pump)
		assert_int_equal(leat_buf_printf(text, "%s/pump-a,pump-running,on,,good\n", t), 0);
}

static inline char *
day_rows(const struct day *d)
{
	struct leat_buf text = { 0 };
	bool was_on = false;

	if (d->more != NULL)
		assert_int_equal(leat_buf_printf(&text, "%s", d->more), 0);
	for (int s = 0; s <= d->hours * 3600; s++)
		day_second(&text, d, s, &was_on);
	assert_int_equal(leat_buf_printf(&text, "2025-11-04T06:00:01Z,NM,pressure,5,bar,good\n"), 0);
	assert_int_equal(leat_buf_add(&text, "", 1), 0);
	return text.data;
}

#define DAY_END "2025-11-04T06:00:00Z,NM,"

#endif
