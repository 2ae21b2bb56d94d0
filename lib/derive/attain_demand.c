/* Attainment: the pressure of a pump at no demand, which is that of its compensator. */
#include <math.h>
#include <stdlib.h>

#include "derive/attain_private.h"

/* The pressures from 0.5 to 1.5 times the setting are counted in cells of half a per cent of it: below, the pump is off
 * or unloaded. */
#define CELLS 200
#define LOWEST 0.5
#define CELLS_PER_SETTING 200
/* The mode is sought over five cells, 2.5 % of the setting: noise and the dead band of a historian are smaller. */
#define WINDOW 5

struct leat_attain_demand {
	double setting_bar;
	double sure_s;
	struct {
		double seconds, bar_s;
	} cell[CELLS];
};

int
leat_attain_demand_add(struct leat_attain_track *track, double seconds, double from, double to, bool sure)
{
	struct leat_attain_demand *d = track->demand;
	double unit = track->setting_bar / CELLS_PER_SETTING, low = fmin(from, to) / unit - LOWEST * CELLS_PER_SETTING;
	double high = fmax(from, to) / unit - LOWEST * CELLS_PER_SETTING;

	if (!(track->setting_bar > 0) || !(high >= 0) || !(low < CELLS))
		return 0;
	if (d == NULL) {
		d = calloc(1, sizeof(*d));
		if (d == NULL)
			return -1;
		track->demand = d;
	}
	/* The cells are shares of the setting: a new one begins anew. */
	if (d->setting_bar != track->setting_bar)
		*d = (struct leat_attain_demand){ .setting_bar = track->setting_bar };
	for (int i = low > 0 ? (int)low : 0; i < CELLS && i <= high; i++) {
		double start = fmax(low, i), end = fmin(high, i + 1), share = high > low ? (end - start) / (high - low) : 1;

		d->cell[i].seconds += share * seconds;
		d->cell[i].bar_s += share * seconds * ((start + end) / 2 + LOWEST * CELLS_PER_SETTING) * unit;
		if (sure)
			d->sure_s += share * seconds;
	}
	return 0;
}

void
leat_attain_demand_reset(struct leat_attain_track *track)
{
	if (track->demand != NULL)
		*track->demand = (struct leat_attain_demand){ .setting_bar = track->demand->setting_bar };
}

double
leat_attain_demand_mode(const struct leat_attain_track *track, double *seconds, double *sure_s)
{
	const struct leat_attain_demand *d = track->demand;
	double best_s = 0, best_bar_s = NAN;

	*seconds = *sure_s = 0;
	if (d == NULL)
		return NAN;
	for (int i = 0; i < CELLS; i++) {
		double window_s = 0, window_bar_s = 0;

		*seconds += d->cell[i].seconds;
		for (int k = i; k < i + WINDOW && k < CELLS; k++) {
			window_s += d->cell[k].seconds;
			window_bar_s += d->cell[k].bar_s;
		}
		if (window_s > best_s) {
			best_s = window_s;
			best_bar_s = window_bar_s;
		}
	}
	*sure_s = d->sure_s;
	return best_bar_s / best_s;
}

enum leat_quality
leat_attain_demand_worth(const struct leat_attain_mill *own, double seconds, double sure_s)
{
	if (!(seconds > 0) || seconds < own->plate.least_s)
		return LEAT_BAD;
	return sure_s < own->plate.least_percent / 100 * seconds ? LEAT_UNCERTAIN : LEAT_GOOD;
}

void
leat_attain_demand_settings(const struct leat_attain *attain, struct leat_attain_mill *own, struct leat_time at,
    bool all)
{
	for (size_t i = 0; i < own->tracks; i++)
		if (own->track[i].side == LEAT_ATTAIN_PUMP && (all || own->track[i].setting_bar == 0))
			own->track[i].setting_bar = leat_attain_plate_number(attain, own->track[i].asset,
			    "compensator-pressure", at);
}

enum leat_attain_idle
leat_attain_demand_idle(const struct leat_attain *attain, const struct leat_attain_mill *own, const struct leat_mill *mill,
    struct leat_time seen)
{
	const struct leat_latest *tank = leat_mills_latest(&attain->mills, mill, LEAT_ATTAIN_SLOT_TANK, seen);
	const struct leat_latest *charging;
	double tank_c;

	if (tank == NULL || !tank->is_number)
		return LEAT_ATTAIN_BUSY;
	tank_c = tank->number;
	if (tank->unit_len > 0) {
		if (tank->unit == NULL || !leat_unit_same_dimension(tank->unit, attain->degc))
			return LEAT_ATTAIN_BUSY;
		tank_c = leat_unit_convert(tank->unit, attain->degc, tank_c);
	}
	if (!(tank_c >= own->plate.warm_c))
		return LEAT_ATTAIN_BUSY;
	if (mill->series[LEAT_ATTAIN_SLOT_CHARGING] == LEAT_NAME_NONE)
		return LEAT_ATTAIN_IDLE_MOSTLY;
	charging = leat_mills_latest(&attain->mills, mill, LEAT_ATTAIN_SLOT_CHARGING, seen);
	return charging != NULL && leat_latest_switch(&attain->current, charging) == 0 ? LEAT_ATTAIN_IDLE :
	    LEAT_ATTAIN_BUSY;
}
