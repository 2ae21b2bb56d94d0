/* Leakage and gas of a mill: the stream and the flow of time. */
#include <math.h>
#include <stdlib.h>

#include "derive/leakage_private.h"
#include "derive/works_day.h"
#include "stream/quantity.h"

enum role {
	ROLE_NEW,
	ROLE_MADE,		/* a row that is made here */
	ROLE_SILENT,		/* made by another filter: no sign that the mill's instruments report */
	ROLE_LABORATORY,
	ROLE_PUMP,		/* of a pump: its drain flow and pressure */
	ROLE_OTHER
};

void
leat_leaks_init(struct leat_leaks *leaks)
{
	leaks->replaced = leaks->added = leaks->days = leaks->tests = leaks->stops = 0;
	leaks->charged = 0;
	leat_current_init(&leaks->current, leaks->in, leaks->points);
	leat_mills_init(&leaks->mills, &leat_leak_form, &leaks->current);
	leaks->own = NULL;
	leaks->series = NULL;
	leaks->own_cap = leaks->series_cap = 0;
	leaks->bar_unit = leat_unit_find(LEAT_SPAN("bar"));
	leaks->lpm = leat_unit_find(LEAT_SPAN("L/min"));
	leaks->degc = leat_unit_find(LEAT_SPAN("degC"));
	leaks->mm = leat_unit_find(LEAT_SPAN("mm"));
	leaks->one = leat_unit_find(LEAT_SPAN("1"));
	leaks->mm2_s = leat_unit_find(LEAT_SPAN("mm2/s"));
	leaks->last = leaks->day_start = leaks->day_end = LEAT_TIME_NONE;
}

static enum role
role_of(const struct leat_reading *r)
{
	static const char *const made[] = {
		"internal-leakage", "internal-leakage.coverage", "pump-up-frequency", "pump-up-duty", "pump-up-rate",
		"gas-compliance", "gas-amount-compliance", "leakage-excess", "hold-leakage", "accumulator-oil",
		"gas-amount-level", "gas-amount-spread", "shells-shut", "precharge-knee", "pump-start-frequency",
		"gas-loss-bank", "gas-loss-one", "gas-loss-one.low", "early-outflow", "early-outflow.low",
		"early-outflow-rise",
		"hold-leakage.low", "hold-leakage.high"
	};

	for (size_t i = 0; i < sizeof(made) / sizeof(made[0]); i++)
		if (leat_span_is(r->point, made[i]))
			return ROLE_MADE;
	if (leat_span_is(r->point, "state") && leat_span_find(r->asset, '/') == r->asset.len)
		return ROLE_OTHER;
	if (leat_span_is(r->point, "viscosity-40"))
		return ROLE_LABORATORY;
	if (leat_span_is(r->point, "drain-flow") || leat_span_is(r->point, "pump-pressure"))
		return ROLE_PUMP;
	return leat_point_derived(r->point) ? ROLE_SILENT : ROLE_OTHER;
}

/* Looks at every mill that must be looked at before rows of until are taken in. */
static int
look_at_all(struct leat_leaks *leaks, struct leat_time until, struct leat_error *err)
{
	struct leat_time at, seen;
	struct leat_mill *mill;

	while ((mill = leat_mills_due(&leaks->mills, until, &at, &seen)) != NULL)
		if (leat_leak_look(leaks, mill, at, seen, err) != 0)
			return -1;
	return 0;
}

/* The day is over.  *any: something counted, or may yet. */
static int
end_day(struct leat_leaks *leaks, bool *any)
{
	*any = false;
	for (size_t i = 0; i < leaks->mills.count && i < leaks->own_cap; i++) {
		struct leat_leak_mill *own = &leaks->own[i];

		if (!own->begun)
			continue;
		*any = *any || own->state != LEAT_LEAK_UNKNOWN || own->day.grinding_s > 0 || own->day.hold_s > 0;
		if (leat_leak_write_day(leaks, own, &leaks->mills.mill[i]) != 0)
			return -1;
	}
	return 0;
}

/* Ends the days that end before t, or at it when inclusive. */
static int
pass_days(struct leat_leaks *leaks, struct leat_time t, bool inclusive, struct leat_error *err)
{
	while (leat_time_cmp(leaks->day_end, t) < (inclusive ? 1 : 0)) {
		struct leat_time end = leaks->day_end, next = leat_time_add(end, 1e-9), at, seen;
		bool any;

		if (look_at_all(leaks, next, err) != 0)
			return -1;
		/* Time passes up to the end of the day, rows or none. */
		at = end;
		seen = next;
		for (size_t i = 0; i < leaks->mills.count && i < leaks->own_cap; i++) {
			leaks->mills.mill[i].by_rows = false;
			if (leaks->own[i].begun && leat_leak_look(leaks, &leaks->mills.mill[i], at, seen, err) != 0)
				return -1;
		}
		if (end_day(leaks, &any) != 0)
			return leat_error_memory(err);
		/* Where nothing counted, nothing will until readings come. */
		leat_works_day_ending(leaks->np, any || leat_time_cmp(next, t) > 0 ? next : t, &leaks->day_start, &leaks->day_end);
		if (leat_time_cmp(leaks->day_start, end) < 0)
			leaks->day_start = end;
	}
	return 0;
}

/* Is it a row of a mill that is followed here, or of a part that holding tests tell of? */
static bool
is_made(struct leat_leaks *leaks, const struct leat_reading *r)
{
	bool here = leat_span_find(r->asset, '/') == r->asset.len || leat_span_is(r->point, "hold-leakage");
	const struct leat_mill *mill = here ? leat_mills_known(&leaks->mills, r->asset) : NULL;

	return mill != NULL && mill->series[LEAT_LEAK_SLOT_STATE] != LEAT_NAME_NONE;
}

/* A laboratory's viscosity at 40 degC.  0, or -1 with err for a unit that does not fit. */
static int
take_viscosity(struct leat_leaks *leaks, const struct leat_reading *r, struct leat_error *err)
{
	struct leat_leak_mill *own = &leaks->own[leaks->mills.of_series[r->series].mill];
	double value;
	int got = leat_quantity_of(r, leaks->mm2_s, &value, err);

	if (got <= 0)
		return got;
	if (r->quality == LEAT_GOOD && value >= LEAT_OIL_VISCOSITY_MIN) {
		own->lab_mm2_s = value;
		own->lab_time = r->time;
		own->oil_due = true;
	}
	return 0;
}

/* New mills have nothing yet. */
static int
grow_mills(struct leat_leaks *leaks)
{
	size_t before = leaks->own_cap;

	if (leat_grow(&leaks->own, &leaks->own_cap, leaks->mills.count, sizeof(*leaks->own)) != 0)
		return -1;
	for (size_t i = before; i < leaks->own_cap; i++) {
		leaks->own[i].lab_time = LEAT_TIME_NONE;
		leaks->own[i].lab_mm2_s = NAN;
	}
	return 0;
}

int
leat_leaks_take(struct leat_leaks *leaks, const struct leat_reading *r, struct leat_error *err)
{
	struct leat_leak_series *series;

	if (leat_time_is_none(leaks->day_end))
		leat_works_day_ending(leaks->np, r->time, &leaks->day_start, &leaks->day_end);
	if (leat_time_is_none(leaks->last) || leat_time_cmp(r->time, leaks->last) > 0) {
		if (pass_days(leaks, r->time, false, err) != 0 || look_at_all(leaks, r->time, err) != 0)
			return -1;
		leaks->last = r->time;
	}
	if (leat_grow(&leaks->series, &leaks->series_cap, (size_t)r->series + 1, sizeof(*leaks->series)) != 0)
		return leat_error_memory(err);
	series = &leaks->series[r->series];
	if (series->role == ROLE_NEW)
		series->role = (uint8_t)role_of(r);
	if (series->role == ROLE_MADE && is_made(leaks, r)) {
		leaks->replaced++;
		return 0;
	}
	if (series->role == ROLE_MADE || series->role == ROLE_SILENT)
		return 1;
	if ((series->role == ROLE_OTHER ? leat_mills_put_form : leat_mills_put)(&leaks->mills, r) != 0 || grow_mills(leaks) != 0)
		return leat_error_memory(err);
	if (series->role == ROLE_LABORATORY && take_viscosity(leaks, r, err) != 0)
		return -1;
	return 1;
}

int
leat_leaks_end(struct leat_leaks *leaks, struct leat_time now, struct leat_error *err)
{
	struct leat_time until = leaks->last;

	if (leat_time_is_none(until))
		return 0;
	if (!leat_time_is_none(now) && leat_time_cmp(now, until) > 0)
		until = now;
	if (pass_days(leaks, until, true, err) != 0 || look_at_all(leaks, LEAT_TIME_NONE, err) != 0)
		return -1;
	for (size_t i = 0; i < leaks->mills.count && i < leaks->own_cap; i++)
		leaks->charged += leaks->own[i].begun && leaks->own[i].has_switch;
	return 0;
}

void
leat_leaks_free(struct leat_leaks *leaks)
{
	for (size_t i = 0; i < leaks->own_cap; i++) {
		free(leaks->own[i].day.cycle);
		free(leaks->own[i].pump);
	}
	free(leaks->own);
	free(leaks->series);
	leat_mills_free(&leaks->mills);
	leat_current_free(&leaks->current);
}
