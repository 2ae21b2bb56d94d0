/* The oil's balance: its volume in one state, day by day, and where it goes. */
#include <math.h>
#include <stdio.h>

#include "derive/oil_private.h"
#include "physics/accumulator.h"
#include "physics/nitrogen.h"
#include "physics/oil_mix.h"
#include "stats/line.h"
#include "stats/order.h"

#define LEAST_DAYS 10		/* in 30, for a line through the volumes */
#define WEEK_FROM 14.1		/* days before, and ... */
#define WEEK_TO 7.1		/* ... up to these, that a gain is told against: so a slow leak is not its own measure */
#define WEEK_DAYS 7
#define LEAST_WEEK 4
#define CONFIDENCE 0.9

/* The means of the works' day. */
struct means {
	double level_mm, temp_c, bar, net_l;
	double held_l;			/* oil in the accumulators; NaN: not reckoned */
	double tank_l;
};

/* Oil in the accumulators, by the gas of the nameplate at the oil's temperature. */
static double
held_l(struct leat_oils *oil, struct leat_oils_mill *mill, double temp_c, double bar)
{
	double shells_l = leat_oils_plate(oil, mill->asset, "shell-volume") * leat_oils_plate(oil, mill->asset, "shells");
	double precharge_bar = leat_oils_plate(oil, mill->asset, "precharge"), amount, volume_l;
	double air_bara = leat_atmosphere_bara(leat_oils_plate(oil, mill->asset, "altitude"));

	if (isnan(shells_l) || isnan(precharge_bar))
		return NAN;
	if (isnan(bar)) {
		leat_oils_want(mill, LEAT_OILS_WANT_PRESSURE);
		return NAN;
	}
	if (leat_gas_amount(precharge_bar, 20, shells_l, air_bara, &amount) != 0 ||
	    leat_gas_volume(amount, bar, temp_c, air_bara, &volume_l) != 0)
		return NAN;
	return volume_l < shells_l ? shells_l - volume_l : 0;
}

/* Is there enough of the day?  The volume is told then. */
static bool
day_means(struct leat_oils *oil, struct leat_oils_mill *mill, struct means *m)
{
	double area_m2 = leat_oils_plate(oil, mill->asset, "tank-area"), least_min = leat_oils_plate(oil, mill->asset,
	    "admitted-least");
	double volume_l = leat_oils_plate(oil, mill->asset, "tank-volume"), working_mm = leat_oils_plate(oil, mill->asset,
	    "working-level");

	if (mill->level == LEAT_NAME_NONE)
		return false;
	if (isnan(area_m2)) {
		leat_oils_want(mill, LEAT_OILS_WANT_AREA);
		return false;
	}
	if (mill->state == LEAT_NAME_NONE) {
		leat_oils_want(mill, LEAT_OILS_WANT_STATE);
		return false;
	}
	if (mill->level_s < least_min * 60) {
		leat_made_refuse(&oil->made, mill->asset, "oil-volume-20",
		    "%.0f min of warm grinding with a good level in the works' day, %.6g min are "
		    "needed", mill->level_s / 60,
		    least_min);
		return false;
	}
	*m = (struct means){
		mill->level_mm / mill->level_s, mill->level_heat / mill->level_s, mill->level_bar / mill->level_s,
		mill->level_net / mill->level_s, NAN, 0
	};
	/* A square metre is a litre for each millimetre. */
	m->tank_l = isnan(working_mm) || isnan(volume_l) ? area_m2 * m->level_mm :
	    volume_l + area_m2 * (m->level_mm - working_mm);
	m->held_l = held_l(oil, mill, m->temp_c, m->bar);
	return true;
}

/* Days with a volume, not older than 30 days, the newest last; today's is among them.  Returns how many. */
static size_t
days_back(const struct leat_oils_mill *mill, double x[LEAT_OILS_DAYS], double y[LEAT_OILS_DAYS],
    const struct leat_oils_day **oldest)
{
	size_t n = 0, kept = mill->days < LEAT_OILS_DAYS - 1 ? mill->days : LEAT_OILS_DAYS - 1;

	*oldest = NULL;
	for (size_t i = kept + 1; i-- > 0; ) {
		const struct leat_oils_day *day = i == 0 ? &mill->today : &mill->day[(mill->days - i) % LEAT_OILS_DAYS];
		double ago = leat_time_diff(mill->today.end, day->end);

		if (!day->level || ago > LEAT_OILS_BACK_S)
			continue;
		if (*oldest == NULL)
			*oldest = day;
		x[n] = -ago / 86400;
		y[n++] = day->adjusted_l;
	}
	return n;
}

static void
tell_loss(struct leat_oils *oil, struct leat_oils_mill *mill, const double *x, const double *y, size_t n,
    const struct leat_oils_day *oldest)
{
	double days = -x[0], drained;
	struct leat_line line;

	if (n < LEAST_DAYS || leat_line_fit(x, y, n, CONFIDENCE, 1, &line, NULL) != 0) {
		leat_made_refuse(&oil->made, mill->asset, "external-leakage", "%zu works' days with a volume in 30, %d are needed", n,
		    LEAST_DAYS);
		return;
	}
	drained = (mill->today.drained_l - oldest->drained_l) / days;
	leat_made_put(&oil->made, &(struct leat_made_row){
		mill->asset, "oil-consumption", "L/d", -line.slope + drained, 2, LEAT_GOOD
	}, "external leakage %.3f L/d and %.3f L/d drained in %.1f d", -line.slope, drained, days);
	leat_made_put(&oil->made, &(struct leat_made_row){ mill->asset, "external-leakage", "L/d", -line.slope, 2, LEAT_GOOD },
	    "the median slope of the volume at 20 degC, less top-ups and plus drains, over %zu works' days "
	    "in %.1f d, turned "
	    "in sign", n, days);
	if (!isfinite(line.slope_low) || !isfinite(line.slope_high))
		return;
	leat_made_put(&oil->made, &(struct leat_made_row){
		mill->asset, "external-leakage.low", "L/d", -line.slope_high, 2, LEAT_GOOD
	}, "the lower end of the 90 %% interval of that slope");
	leat_made_put(&oil->made, &(struct leat_made_row){
		mill->asset, "external-leakage.high", "L/d", -line.slope_low, 2, LEAT_GOOD
	}, "its upper end");
}

static void
tell_gain(struct leat_oils *oil, struct leat_oils_mill *mill, const double *x, const double *y, size_t n)
{
	double week[WEEK_DAYS], middle;
	size_t count = 0;

	for (size_t i = 0; i < n; i++)
		if (x[i] >= -WEEK_FROM && x[i] < -WEEK_TO && count < WEEK_DAYS)
			week[count++] = y[i];
	if (count < LEAST_WEEK) {
		leat_made_refuse(&oil->made, mill->asset, "oil-gain",
		    "%zu works' days with a volume in the week before last, %d are needed", count, LEAST_WEEK);
		return;
	}
	middle = leat_median(week, count);
	leat_made_put(&oil->made, &(struct leat_made_row){ mill->asset, "oil-gain", "L", y[n - 1] - middle, 1, LEAT_GOOD },
	    "%.2f L at 20 degC, less top-ups and plus drains, and %.2f L, the median of %zu works' days of "
	    "the week before last",
	    y[n - 1], middle, count);
}

void
leat_oils_balance(struct leat_oils *oil, struct leat_oils_mill *mill)
{
	double x[LEAT_OILS_DAYS], y[LEAT_OILS_DAYS], volume;
	const struct leat_oils_day *oldest;
	struct means m;
	char held[96];
	size_t n;

	if (!day_means(oil, mill, &m))
		return;
	volume = leat_oil_volume_20(m.tank_l + (isnan(m.held_l) ? 0 : m.held_l), m.temp_c);
	mill->today.level = true;
	mill->today.adjusted_l = volume - m.net_l;
	mill->today.drained_l = mill->drained_l;
	if (isnan(m.held_l))
		snprintf(held, sizeof(held), "no accumulators, for want of pressure, precharge, shells or shell-volume");
	else
		snprintf(held, sizeof(held), "%.2f L in accumulators at %.2f bar", m.held_l, m.bar);
	leat_made_put(&oil->made, &(struct leat_made_row){ mill->asset, "oil-volume-20", "L", volume, 1, LEAT_GOOD },
	    "(%.2f L in the tank at %.2f mm + %s)/(1 + %.6g (%.2f - 20)), means of %.0f min of warm grinding", m.tank_l,
	    m.level_mm, held, LEAT_OIL_EXPANSION_PER_K, m.temp_c, mill->level_s / 60);
	n = days_back(mill, x, y, &oldest);
	tell_loss(oil, mill, x, y, n, oldest);
	tell_gain(oil, mill, x, y, n);
}
