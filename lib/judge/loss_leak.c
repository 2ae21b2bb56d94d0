/* What leaks cost: a flow times the pressure that it falls from. */
#include <math.h>

#include "judge/loss_private.h"
#include "physics/cost.h"
#include "stats/line.h"
#include "stats/order.h"
#include "stream/quantity.h"

#define HELD_SHARE 0.5		/* of the agreed pressure, from which the oil of a mill is under pressure */
#define LEVEL 5			/* last values whose median is the level */
#define LINE 10			/* values without which there is no line */
#define CONFIDENCE 0.90

const char *
leat_loss_leak_rule(enum leat_loss_kind kind)
{
	return kind == LEAT_LOSS_FILTER ? "filter-energy" : "leakage-energy";
}

/* Does oil flow there in this minute, and at which pressure? */
static bool
flows(const struct leat_loss *loss, const struct leat_loss_leak *leak, double *bar)
{
	const struct leat_loss_mill *mill = &loss->mill[leak->mill];

	*bar = mill->bar;
	if (leak->kind == LEAT_LOSS_INTERNAL)
		return mill->bar > 0 && !(mill->bar < HELD_SHARE * mill->agreed.bar);
	for (size_t i = 0; i < loss->pumps; i++) {
		const struct leat_loss_pump *pump = &loss->pump[i];

		if (pump->on && (leak->kind == LEAT_LOSS_FILTER ? pump->mill == leak->mill :
		    leat_span_eq(leat_readings_assets(loss->form.in)->name[pump->asset_id], leak->asset)))
			return true;
	}
	return false;
}

void
leat_loss_leak_minute(struct leat_loss *loss)
{
	bool uncertain;
	double bar;

	if (loss->leaks == 0)
		return;
	for (size_t i = 0; i < loss->pumps; i++)
		loss->pump[i].on = leat_current_switch(&loss->current, loss->pump[i].running, loss->minutes.at, &uncertain) == 1;
	for (size_t i = 0; i < loss->leaks; i++) {
		struct leat_loss_leak *leak = &loss->leak[i];

		if (flows(loss, leak, &bar)) {
			leak->minutes++;
			leak->sum += leak->kind == LEAT_LOSS_INTERNAL ? bar : 0;
		}
	}
}

int
leat_loss_leak_day(struct leat_loss *loss, struct leat_error *err)
{
	struct leat_time at = loss->minutes.day_end;

	for (size_t i = 0; i < loss->leaks; i++) {
		struct leat_loss_leak *leak = &loss->leak[i];
		struct leat_loss_leak_day *day = &leak->day[loss->days % LEAT_LOSS_DAYS];
		const struct leat_latest *latest = leat_current_series(&loss->current, leak->series, at);

		*day = (struct leat_loss_leak_day){ .value = NAN, .hours = (double)leak->minutes / 60, .bar = NAN };
		/* A value stamped with the end of the day is of this day; an older one is of an earlier day. */
		if (latest != NULL && leat_time_cmp(latest->time, loss->minutes.day_start) > 0 &&
		    leat_quantity_latest(&loss->current, leak->series, leak->kind == LEAT_LOSS_FILTER ? loss->bar : loss->lpm,
		    &day->value, err) < 0)
			return -1;
		if (leak->kind == LEAT_LOSS_INTERNAL)
			day->bar = leak->minutes > 0 ? leak->sum / (double)leak->minutes : NAN;
		else
			day->bar = leat_loss_plate_number(loss, leak->asset, leak->kind == LEAT_LOSS_PUMP ?
			    "reference-pressure" : "loop-flow", at);
		leak->minutes = 0;
		leak->sum = 0;
	}
	return 0;
}

void
leat_loss_efficiency(const struct leat_loss *loss, struct leat_span asset, double share[LEAT_LOSS_ENDS])
{
	double percent = leat_loss_plate_number(loss, asset, "pump-unit-efficiency", loss->now);

	if (percent > 0 && percent <= 100) {
		share[LEAT_LOSS_LOW] = share[LEAT_LOSS_MIDDLE] = share[LEAT_LOSS_HIGH] = percent / 100;
		return;
	}
	/* The better the pump unit, the less a leak costs. */
	share[LEAT_LOSS_LOW] = LEAT_LOSS_EFFICIENCY_HIGH / 100;
	share[LEAT_LOSS_MIDDLE] = (LEAT_LOSS_EFFICIENCY_HIGH + LEAT_LOSS_EFFICIENCY_LOW) / 200;
	share[LEAT_LOSS_HIGH] = LEAT_LOSS_EFFICIENCY_LOW / 100;
}

double
leat_loss_as_new(const struct leat_loss *loss, const struct leat_loss_leak *leak)
{
	switch (leak->kind) {
	case LEAT_LOSS_PUMP:
		return leat_loss_plate_number(loss, leak->asset, "as-new-drain-flow", loss->now);
	case LEAT_LOSS_FILTER:
		return leat_loss_plate_number(loss, leak->asset, "clean-dp", loss->now);
	default:
		return NAN;
	}
}

/* The line through the values of the last days, by days; x and y have room for them. */
static int
fit(struct leat_loss_power *power, const double *x, const double *y, size_t n)
{
	struct leat_line line;
	struct leat_error err;

	if (n < LINE)
		return 0;
	if (leat_line_fit(x, y, n, CONFIDENCE, 1, &line, &err) != 0)
		return -1;
	power->slope[LEAT_LOSS_LOW] = line.slope_low;
	power->slope[LEAT_LOSS_MIDDLE] = line.slope;
	power->slope[LEAT_LOSS_HIGH] = line.slope_high;
	return 0;
}

int
leat_loss_power_of(struct leat_loss *loss, const struct leat_loss_leak *leak, size_t days, struct leat_loss_power *power)
{
	double share[LEAT_LOSS_ENDS], x[LEAT_LOSS_DAYS], y[LEAT_LOSS_DAYS], last[LEVEL], bars = 0, all = 0;
	size_t n = 0, from = loss->days > days ? loss->days - days : 0;

	leat_loss_efficiency(loss, leak->asset, share);
	*power = (struct leat_loss_power){ .level = NAN, .bar = NAN, .slope = { NAN, NAN, NAN } };
	for (size_t i = from; i < loss->days; i++) {
		const struct leat_loss_leak_day *day = &leak->day[i % LEAT_LOSS_DAYS];

		all += day->hours;
		if (isnan(day->value) || isnan(day->bar))
			continue;
		x[n] = (double)(i - from);
		y[n++] = day->value;
		power->hours += day->hours;
		bars += day->bar;
		for (int end = 0; end < LEAT_LOSS_ENDS; end++)
			power->kwh[end] += leat_cost_power_kw(day->value, day->bar) * day->hours / share[end];
	}
	power->days = n;
	/* Of the day in which it came first only the end was seen. */
	if (from <= leak->first && leak->first < loss->days) {
		all -= leak->day[leak->first % LEAT_LOSS_DAYS].hours;
		from = leak->first + 1;
	}
	power->hours_a_day = loss->days > from ? all / (double)(loss->days - from) : 0;
	if (n == 0)
		return 0;
	power->bar = bars / (double)n;
	for (size_t i = 0; i < LEVEL && i < n; i++)
		last[i] = y[n - 1 - i];
	power->level = leat_median(last, n < LEVEL ? n : LEVEL);
	return fit(power, x, y, n);
}
