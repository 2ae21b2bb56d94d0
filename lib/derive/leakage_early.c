/*
 * Leakage and gas of a mill: oil that flows out early after the fillings, while the pressure is high.
 *
 * After a filling the pressure settles because the gas cools down, by a share of the filling that physics tells.  What it
 * settles more is oil: through a relief valve that weeps near the upper pressure, or a valve that is slow to shut.  The
 * pressure of one cycle sways by more than that; a month of them does not.
 *
 * How much settles is known but to what the instruments are off, which stays the same; so is what leaks.  That both became
 * more than they were, each by itself a sign as weak as the other, seldom happens by chance.
 */
#include <math.h>
#include <string.h>

#include "derive/leakage_private.h"
#include "physics/accumulator.h"
#include "stats/order.h"

#define DAY_S 86400.0
#define MONTH 30		/* days whose mean is told ... */
#define LEAST 15		/* ... of which so many are needed */
#define BEFORE 35		/* days back from which on it is compared, for 60 days; between lies how it began */
#define BEFORE_LEAST 20
#define SIDE 1.645		/* deviations of a normal distribution that nineteen of twenty exceed */
/* How well the pressure at which the filling ended is known: a tenth of the usual tolerance (common practice). */
#define SWITCH_BAR 0.3

static const char *const early_points[] = { "early-outflow", "early-outflow.low", "early-outflow-rise" };

/* The early outflow and the leakage of some days. */
struct span {
	size_t days, leak_days;
	double l, error;		/* mean, each day by how well it is known, and its standard error */
	double lpm, cycle_min;		/* medians */
};

/* What of it became more, a filling. */
struct rise {
	double settled_l, leaked_l;
};

static void
keep(struct leat_leak_mill *own, const struct leat_leak_early *day)
{
	size_t old = 0;

	while (old < own->early_days && leat_time_diff(day->at, own->early[old].at) >= (LEAT_LEAK_EARLY_DAYS - 0.5) * DAY_S)
		old++;
	if (old == 0 && own->early_days == LEAT_LEAK_EARLY_DAYS)
		old = 1;
	own->early_days -= old;
	memmove(own->early, own->early + old, own->early_days * sizeof(own->early[0]));
	own->early[own->early_days++] = *day;
}

/* Of the days from so many back on, up to so many. */
static struct span
look_back(const struct leat_leak_mill *own, double from, double to)
{
	struct leat_time now = own->early[own->early_days - 1].at;
	double sum = 0, weight = 0, squares = 0, lpm[LEAT_LEAK_EARLY_DAYS], cycle_min[LEAT_LEAK_EARLY_DAYS];
	struct span s = { 0 };

	for (size_t i = 0; i < own->early_days; i++) {
		const struct leat_leak_early *e = &own->early[i];
		double back = leat_time_diff(now, e->at) / DAY_S;

		if (back < from - 0.5 || back >= to - 0.5)
			continue;
		if (isfinite(e->l)) {
			sum += e->l * e->weight;
			weight += e->weight;
			squares += e->weight * e->l * e->l;
			s.days++;
		}
		if (isfinite(e->lpm)) {
			lpm[s.leak_days] = e->lpm;
			cycle_min[s.leak_days++] = e->cycle_min;
		}
	}
	s.l = sum / weight;
	s.error = sqrt(fmax(squares / weight - s.l * s.l, 0) / ((double)s.days - 1));
	s.lpm = leat_median(lpm, s.leak_days);
	s.cycle_min = leat_median(cycle_min, s.leak_days);
	return s;
}

/* False where too few days tell of one or the other. */
static bool
find_rise(const struct leat_leak_mill *own, const struct span *month, struct rise *rise)
{
	struct span before = look_back(own, BEFORE, LEAT_LEAK_EARLY_DAYS);

	if (month->leak_days < LEAST || before.days < BEFORE_LEAST || before.leak_days < BEFORE_LEAST)
		return false;
	rise->settled_l = month->l - before.l;
	rise->leaked_l = (month->lpm - before.lpm) * month->cycle_min;
	return true;
}

static void
explain_early(struct leat_leaks *leaks, const struct leat_mill *mill, const struct leat_leak_result *r,
    const struct span *month, double doubt, const struct rise *rise)
{
	double side = SIDE * month->error;

	leat_out_span(leaks->out, mill->asset);
	leat_out_text(leaks->out, "/early-outflow ");
	leat_out_time(leaks->out, leaks->day_end);
	leat_out_char(leaks->out, '\n');
	leat_leak_line(leaks, "settling", "%.2f +-%.2f bar in %zu cycles, of which the cooling of the gas explains %.2f: the rest "
	    "is %.2f L a filling", r->drop_bar, r->drop_error_bar, r->early, r->settling_bar, r->early_l);
	leat_leak_line(leaks, "month", "%.2f L, the mean of %zu days, with a standard error of %.2f", month->l, month->days,
	    month->error);
	leat_leak_line(leaks, "at least", "%.2f - %.3f x %.2f - %.2f for %.1f bar at the end of the filling = %.2f L", month->l,
	    SIDE, month->error, doubt, SWITCH_BAR, month->l - side - doubt);
	leat_leak_line(leaks, "resolvable", "%.2f L a filling, %.1f %% of the leakage of such a day", side + doubt,
	    100 * (side + doubt) / (r->leakage_lpm * r->cycle_s / 60 / (double)r->cycles));
	if (rise != NULL)
		leat_leak_line(leaks, "rise", "%.2f L a filling by the settling, %.2f L by the leakage, against the days %d to %d "
		    "before: the lesser counts", rise->settled_l, rise->leaked_l, BEFORE, LEAT_LEAK_EARLY_DAYS);
}

void
leat_leak_write_early(struct leat_leaks *leaks, struct leat_leak_mill *own, const struct leat_mill *mill,
    const struct leat_leak_result *r)
{
	bool leaks_well = r->quality == LEAT_GOOD && r->frequency_quality == LEAT_GOOD && r->frequency > 0;
	struct leat_leak_early day = { leaks->day_end, r->gas_quality == LEAT_GOOD ? r->early_l : NAN, r->early_weight,
		leaks_well ? r->reference_lpm : NAN, leaks_well ? 60 / r->frequency : NAN };
	double compliance, doubt;
	struct span month;
	struct rise rise;
	bool compared;

	if (isfinite(day.l) && leat_gas_compliance(r->amount_mol, r->bar, r->temp_c, own->plate.air_bara, &compliance) != 0)
		day.l = NAN;
	if (!isfinite(day.l) && !isfinite(day.lpm))
		return;
	keep(own, &day);
	month = look_back(own, 0, MONTH);
	if (!isfinite(day.l) || month.days < LEAST)
		return;
	doubt = SWITCH_BAR * compliance;
	compared = find_rise(own, &month, &rise);
	if (leaks->explain) {
		if (leat_leak_asked(leaks, mill->asset, early_points, sizeof(early_points) / sizeof(early_points[0])))
			explain_early(leaks, mill, r, &month, doubt, compared ? &rise : NULL);
		return;
	}
	leat_leak_row(leaks, mill->asset, leaks->day_end, "early-outflow", month.l, 2, "L", LEAT_GOOD);
	leat_leak_row(leaks, mill->asset, leaks->day_end, "early-outflow.low", month.l - SIDE * month.error - doubt, 2, "L",
	    LEAT_GOOD);
	if (compared)
		leat_leak_row(leaks, mill->asset, leaks->day_end, "early-outflow-rise", fmin(rise.settled_l, rise.leaked_l), 2, "L",
		    LEAT_GOOD);
}
