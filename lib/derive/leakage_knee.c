/*
 * Leakage and gas of a mill: the knee of a bleed-down.  While shells still hold oil the pressure falls slowly, and drops when
 * the last of them is empty: there the gas fills its shells.
 */
#include <math.h>

#include "derive/leakage_private.h"
#include "physics/leakage.h"
#include "physics/mill_state.h"
#include "physics/nitrogen.h"
#include "stats/order.h"

#define STEP_S 5.0		/* a drop of the pressure is over sooner (common practice) */
#define NOISE_BAR 1.0		/* of the difference of two readings */
#define BEFORE 10		/* rates before the knee */
#define STEEPER 3.0		/* how much faster it falls behind the knee */
#define BEHIND 2.0

static const char *const points[] = { "precharge-knee" };

/* Forgets the oldest half. */
static void
make_room(struct leat_leak_bleed *b)
{
	size_t gone = b->n / 2;

	for (size_t i = gone; i < b->n; i++) {
		b->time_s[i - gone] = b->time_s[i];
		b->bar[i - gone] = b->bar[i];
	}
	b->n -= gone;
}

static double
rate(const struct leat_leak_bleed *b, size_t i)
{
	return (b->bar[i] - b->bar[i + 1]) / (b->time_s[i + 1] - b->time_s[i]);
}

/* The median, so that a few readings of a drop do not count. */
static double
rate_before(const struct leat_leak_bleed *b, size_t i)
{
	double rates[BEFORE];

	for (size_t k = 0; k < BEFORE; k++)
		rates[k] = rate(b, i - BEFORE + k);
	return leat_median(rates, BEFORE);
}

/* Do the readings before i fall evenly? */
static bool
is_even(const struct leat_leak_bleed *b, size_t i)
{
	for (size_t k = i - BEFORE; k < i; k++)
		if (b->bar[k] - b->bar[k + 1] > BEHIND * rate_before(b, i) * (b->time_s[k + 1] - b->time_s[k]) + NOISE_BAR)
			return false;
	return true;
}

/* The index after which the pressure drops: SIZE_MAX when there is none.  The last of several: where oil begins to be let off
 * the pressure falls faster too. */
static size_t
find_knee(const struct leat_leak_bleed *b)
{
	for (size_t i = b->n - 1; i-- > BEFORE;) {
		double before = rate_before(b, i), step = b->time_s[i + 1] - b->time_s[i];
		bool steep = before > 0 && b->bar[i] - b->bar[i + 1] > STEEPER * before * step + NOISE_BAR && is_even(b, i);

		for (size_t k = i + 1; steep && k + 1 < b->n; k++)
			steep = rate(b, k) > BEHIND * before || b->bar[k] < LEAT_MILL_OFF_BELOW_BAR;
		if (steep)
			return i;
	}
	return SIZE_MAX;
}

/* Where the two falls meet: between the last slow reading and the next.  *doubt_bar is half of what it may be off. */
static double
meet(const struct leat_leak_bleed *b, size_t i, double *time_s, double *doubt_bar)
{
	double before = rate_before(b, i), step = b->time_s[i + 1] - b->time_s[i];

	*time_s = b->time_s[i] + step / 2;
	*doubt_bar = before * step / 2;
	return b->bar[i] - before * step / 2;
}

static void
evaluate(struct leat_leaks *leaks, struct leat_leak_mill *own, const struct leat_mill *mill, struct leat_time at)
{
	struct leat_leak_bleed *b = &own->bleed;
	const struct leat_leak_plate *plate = &own->plate;
	double shell_c = !isnan(own->gas_c) ? own->gas_c : !isnan(own->temp_c) ? own->temp_c : plate->reference_c;
	double knee_bar, knee_s, doubt_bar, mol_l, precharge_bar;
	size_t i = b->n > BEFORE + 1 ? find_knee(b) : SIZE_MAX;

	if (i == SIZE_MAX)
		return;
	if (b->time_s[i + 1] - b->time_s[i] > STEP_S) {
		b->coarse_s = b->time_s[i + 1] - b->time_s[i];
		return;
	}
	knee_bar = meet(b, i, &knee_s, &doubt_bar);
	b->bar[i + 1] = knee_bar;
	b->time_s[i + 1] = knee_s;
	if (leat_gas_density_along(b->time_s, b->bar, i + 2, shell_c, plate->lag_s, plate->air_bara, &mol_l) != 0)
		return;
	precharge_bar = leat_nitrogen_pressure_bara(mol_l, 20 + LEAT_ZERO_C_K) - plate->air_bara;
	own->knee_mol = mol_l * plate->shells * plate->shell_l;
	own->knee_time = at;
	/* A bank empties shell by shell: good enough to have the gas read, not in place of it. */
	if (!leaks->explain) {
		leat_leak_row(leaks, mill->asset, at, points[0], precharge_bar, 1, "bar", LEAT_UNCERTAIN);
		return;
	}
	if (!leat_leak_asked(leaks, mill->asset, points, 1))
		return;
	leat_out_span(leaks->out, mill->asset);
	leat_out_text(leaks->out, "/precharge-knee ");
	leat_out_time(leaks->out, b->from);
	leat_out_char(leaks->out, ' ');
	leat_out_time(leaks->out, at);
	leat_out_char(leaks->out, '\n');
	leat_leak_line(leaks, "bleed-down", "from %.1f bar in %.0f s; it drops from %.1f +-%.1f bar on", b->bar[0],
	    knee_s - b->time_s[0], knee_bar, doubt_bar);
	leat_leak_line(leaks, "gas", "began at %.1f degC, gave and took heat by %.4g s: %.4f mol/L when the shells are empty of oil",
	    shell_c, plate->lag_s, mol_l);
	leat_leak_line(leaks, "precharge", "%.1f bar at 20 degC; a knee is a screening, to have the gas read", precharge_bar);
}

void
leat_leak_knee(struct leat_leaks *leaks, struct leat_leak_mill *own, const struct leat_mill *mill,
    const struct leat_leak_instant *now)
{
	struct leat_leak_bleed *b = &own->bleed;

	if (now->state == LEAT_LEAK_GRINDING || now->charge == 1 || now->uncertain) {
		b->n = 0;
		return;
	}
	if (!now->bar_fresh)
		return;
	/* A rise begins it anew. */
	if (b->n > 0 && now->bar > b->bar[b->n - 1] + NOISE_BAR)
		b->n = 0;
	if (b->n == 0) {
		b->from = now->at;
		b->done = now->bar < LEAT_MILL_OFF_BELOW_BAR;
	}
	if (b->done)
		return;
	if (b->n == LEAT_LEAK_BLEED)
		make_room(b);
	b->time_s[b->n] = leat_time_diff(now->at, b->from);
	b->bar[b->n++] = now->bar;
	if (now->bar >= LEAT_MILL_OFF_BELOW_BAR)
		return;
	evaluate(leaks, own, mill, now->at);
	b->done = true;
}
