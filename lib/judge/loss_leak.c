/* What leaks cost: a flow times the pressure that it falls from. */
#include <math.h>

#include "judge/loss_private.h"
#include "physics/cost.h"
#include "stats/line.h"
#include "stats/order.h"
#include "stream/quantity.h"

#define HELD_SHARE 0.5		/* of the agreed pressure, from which the oil of a mill is under pressure */
#define KNOWN_LEAST 1.0		/* known hours without which a day is none: that in which a leak came first, at its end */
#define LEVEL 5			/* last values whose median is the level */
#define LINE 10			/* values without which there is no line */
#define CONFIDENCE 0.90

const char *
leat_loss_leak_rule(enum leat_loss_kind kind)
{
	return kind == LEAT_LOSS_FILTER ? "filter-energy" : "leakage-energy";
}

/* Is the pump on whose drain it is?  That of its own asset, else of the nearest above it; -1: not known. */
static int
pump_on(const struct leat_loss *loss, struct leat_span asset)
{
	do {
		for (size_t i = 0; i < loss->pumps; i++)
			if (leat_span_eq(leat_readings_assets(loss->form.in)->name[loss->pump[i].asset_id], asset))
				return loss->pump[i].on;
	} while (leat_asset_parent(asset, &asset));
	return -1;
}

/* Is any pump of the mill on?  -1: not known. */
static int
any_on(const struct leat_loss *loss, size_t mill)
{
	int on = -1;
	bool unknown = false;

	for (size_t i = 0; i < loss->pumps; i++) {
		if (loss->pump[i].mill != mill)
			continue;
		on = loss->pump[i].on > on ? loss->pump[i].on : on;
		unknown = unknown || loss->pump[i].on < 0;
	}
	return on == 0 && unknown ? -1 : on;
}

/* Does oil flow there in this minute?  -1: not known. */
static int
flows(const struct leat_loss *loss, const struct leat_loss_leak *leak)
{
	const struct leat_loss_mill *mill = &loss->mill[leak->mill];

	switch (leak->kind) {
	case LEAT_LOSS_INTERNAL:
		return isnan(mill->bar) ? -1 : mill->bar > 0 && !(mill->bar < HELD_SHARE * mill->agreed.bar);
	case LEAT_LOSS_PUMP:
		return pump_on(loss, leak->asset);
	default:
		return any_on(loss, leak->mill);
	}
}

void
leat_loss_leak_minute(struct leat_loss *loss)
{
	bool uncertain;

	if (loss->leaks == 0)
		return;
	for (size_t i = 0; i < loss->pumps; i++)
		loss->pump[i].on = leat_current_switch(&loss->current, loss->pump[i].running, loss->minutes.at, &uncertain);
	for (size_t i = 0; i < loss->leaks; i++) {
		struct leat_loss_leak *leak = &loss->leak[i];

		int on = flows(loss, leak);

		leak->known += on >= 0;
		if (on > 0) {
			leak->minutes++;
			leak->sum += leak->kind == LEAT_LOSS_INTERNAL ? loss->mill[leak->mill].bar : 0;
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

		*day = (struct leat_loss_leak_day){ .value = NAN, .hours = (double)leak->minutes / 60, .bar = NAN,
			.known = (double)leak->known / 60 };
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
		leak->minutes = leak->known = 0;
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
	double share[LEAT_LOSS_ENDS], x[LEAT_LOSS_DAYS], y[LEAT_LOSS_DAYS], last[LEVEL], bars = 0, all = 0, known = 0;
	size_t n = 0, from = loss->days > days ? loss->days - days : 0;

	leat_loss_efficiency(loss, leak->asset, share);
	*power = (struct leat_loss_power){ .level = NAN, .bar = NAN, .slope = { NAN, NAN, NAN } };
	for (size_t i = from; i < loss->days; i++) {
		const struct leat_loss_leak_day *day = &leak->day[i % LEAT_LOSS_DAYS];

		if (day->known >= KNOWN_LEAST) {
			all += day->hours;
			known += day->known;
		}
		power->values += !isnan(day->value);
		if (isnan(day->value) || isnan(day->bar))
			continue;
		x[n] = (double)(i - from);
		y[n++] = day->value;
		bars += day->bar;
		if (day->known < KNOWN_LEAST)
			continue;
		power->days++;
		power->hours += day->hours;
		for (int end = 0; end < LEAT_LOSS_ENDS; end++)
			power->kwh[end] += leat_cost_power_kw(day->value, day->bar) * day->hours / share[end];
	}
	power->hours_a_day = known > 0 ? 24 * all / known : NAN;
	if (n == 0)
		return 0;
	power->bar = bars / (double)n;
	for (size_t i = 0; i < LEVEL && i < n; i++)
		last[i] = y[n - 1 - i];
	power->level = leat_median(last, n < LEVEL ? n : LEVEL);
	return fit(power, x, y, n);
}
