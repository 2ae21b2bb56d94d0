/*
 * Leakage and gas of a mill: oil that flows out early after the fillings, while the pressure is high.
 *
 * After a filling the pressure settles because the gas cools down, by a share of the filling that physics tells.  What it
 * settles more is oil: through a relief valve that weeps near the upper pressure, or a valve that is slow to shut.  The
 * pressure of one cycle sways by more than that; a month of them does not.
 */
#include <math.h>
#include <string.h>

#include "derive/leakage_private.h"
#include "physics/accumulator.h"

#define LEAST 15		/* days of the thirty */
#define SIDE 1.645		/* deviations of a normal distribution that nineteen of twenty exceed */
/* How well the pressure at which the filling ended is known: a tenth of the usual tolerance (common practice). */
#define SWITCH_BAR 0.3

static const char *const early_points[] = { "early-outflow", "early-outflow.low" };

static void
keep(struct leat_leak_mill *own, struct leat_time at, double l, double weight)
{
	size_t old = 0;

	while (old < own->early_days && leat_time_diff(at, own->early[old].at) >= LEAT_LEAK_EARLY_DAYS * 86400.0 - 43200)
		old++;
	if (old == 0 && own->early_days == LEAT_LEAK_EARLY_DAYS)
		old = 1;
	own->early_days -= old;
	memmove(own->early, own->early + old, own->early_days * sizeof(own->early[0]));
	own->early[own->early_days++] = (struct leat_leak_early){ at, l, weight };
}

/* The mean of the days, each by how well it is known, and its standard error. */
static double
mean_of(const struct leat_leak_mill *own, double *error)
{
	double sum = 0, weight = 0, squares = 0;

	for (size_t i = 0; i < own->early_days; i++) {
		sum += own->early[i].l * own->early[i].weight;
		weight += own->early[i].weight;
	}
	for (size_t i = 0; i < own->early_days; i++)
		squares += own->early[i].weight * pow(own->early[i].l - sum / weight, 2);
	*error = sqrt(squares / weight / (double)(own->early_days - 1));
	return sum / weight;
}

static void
explain_early(struct leat_leaks *leaks, const struct leat_leak_mill *own, const struct leat_mill *mill,
    const struct leat_leak_result *r, double mean, double error, double doubt)
{
	leat_out_span(leaks->out, mill->asset);
	leat_out_text(leaks->out, "/early-outflow ");
	leat_out_time(leaks->out, leaks->day_end);
	leat_out_char(leaks->out, '\n');
	leat_leak_line(leaks, "settling", "%.2f +-%.2f bar in %zu cycles, of which the cooling of the gas explains %.2f: the rest "
	    "is %.2f L a filling", r->drop_bar, r->drop_error_bar, r->early, r->settling_bar, r->early_l);
	leat_leak_line(leaks, "month", "%.2f L, the mean of %zu days, with a standard error of %.2f", mean, own->early_days, error);
	leat_leak_line(leaks, "at least", "%.2f - %.3f x %.2f - %.2f for %.1f bar at the end of the filling = %.2f L", mean, SIDE,
	    error, doubt, SWITCH_BAR, mean - SIDE * error - doubt);
	leat_leak_line(leaks, "resolvable", "%.2f L a filling, %.1f %% of the leakage of such a day", SIDE * error + doubt,
	    100 * (SIDE * error + doubt) / (r->leakage_lpm * r->cycle_s / 60 / (double)r->cycles));
}

void
leat_leak_write_early(struct leat_leaks *leaks, struct leat_leak_mill *own, const struct leat_mill *mill,
    const struct leat_leak_result *r)
{
	double mean, error, compliance, doubt;

	if (r->gas_quality != LEAT_GOOD || !isfinite(r->early_l) || leat_gas_compliance(r->amount_mol, r->bar, r->temp_c,
	    own->plate.air_bara, &compliance) != 0)
		return;
	keep(own, leaks->day_end, r->early_l, r->early_weight);
	if (own->early_days < LEAST)
		return;
	mean = mean_of(own, &error);
	doubt = SWITCH_BAR * compliance;
	if (leaks->explain) {
		if (leat_leak_asked(leaks, mill->asset, early_points, sizeof(early_points) / sizeof(early_points[0])))
			explain_early(leaks, own, mill, r, mean, error, doubt);
		return;
	}
	leat_leak_row(leaks, mill->asset, leaks->day_end, "early-outflow", mean, 2, "L", LEAT_GOOD);
	leat_leak_row(leaks, mill->asset, leaks->day_end, "early-outflow.low", mean - SIDE * error - doubt, 2, "L", LEAT_GOOD);
}
