/* The oil in the tank: its temperature, what that ages, and the works' day. */
#include <math.h>

#include "derive/oil_private.h"
#include "physics/oil.h"
#include "physics/oil_ageing.h"

#define ADMITTED_S 1800.0	/* of grinding in a works' day before its mean temperature counts */

static struct leat_time
earlier(struct leat_time a, struct leat_time b)
{
	return leat_time_cmp(a, b) < 0 ? a : b;
}

/* The mean temperature of grinding that is warm, with level and pressure, goes into the balance; all grinding into the
 * working temperature, but for oil that is still warming up after a stop: a sample drawn then would seem as good as wet. */
static void
add_up(struct leat_oils *oil, struct leat_oils_mill *mill, double temp_c, struct leat_time known)
{
	const struct leat_latest *level = leat_current_series(&oil->current, mill->level, mill->at);
	const struct leat_latest *pressure = leat_current_series(&oil->current, mill->pressure, mill->at);
	bool settled = leat_time_diff(mill->at, mill->grinding_since) >= mill->settling_s, warm = temp_c >= mill->warm_from_c;
	double s = leat_time_diff(known, mill->at);

	if (warm || settled) {
		mill->grinding_s += s;
		mill->grinding_heat += s * temp_c;
	}
	if (!warm || !settled)
		return;
	if (level == NULL || !level->is_number || level->quality != LEAT_GOOD ||
	    (pressure != NULL && (!pressure->is_number || pressure->quality != LEAT_GOOD)))
		return;
	known = earlier(known, leat_current_expiry(&oil->current, mill->level));
	if (pressure != NULL)
		known = earlier(known, leat_current_expiry(&oil->current, mill->pressure));
	s = leat_time_diff(known, mill->at);
	mill->level_s += s;
	mill->level_mm += s * leat_unit_convert(level->unit != NULL ? level->unit : leat_unit_find(LEAT_SPAN("mm")),
	    leat_unit_find(LEAT_SPAN("mm")), level->number);
	mill->level_heat += s * temp_c;
	mill->level_net += s * (mill->topped_l - mill->drained_l);
	mill->level_bar += pressure == NULL ? NAN : s * leat_unit_convert(pressure->unit != NULL ? pressure->unit :
	    leat_unit_find(LEAT_SPAN("bar")), leat_unit_find(LEAT_SPAN("bar")), pressure->number);
}

static void
read_plate(struct leat_oils *oil, struct leat_oils_mill *mill)
{
	double settling_min;

	if (mill->plate_for_good || (mill->plate_known && leat_time_cmp(mill->at, mill->plate_until) < 0))
		return;
	if (leat_nameplate_number(oil->np, mill->asset, "warm-from", mill->at, &mill->warm_from_c) != 0)
		mill->warm_from_c = INFINITY;
	mill->settling_s = leat_nameplate_number(oil->np, mill->asset, "balance-settling", mill->at, &settling_min) == 0 ?
	    settling_min * 60 : 0;
	mill->plate_until = leat_nameplate_next(oil->np, mill->at);
	mill->plate_known = true;
	mill->plate_for_good = leat_time_is_none(mill->plate_until);
}

void
leat_oils_integrate(struct leat_oils *oil, struct leat_oils_mill *mill, struct leat_time t)
{
	const struct leat_latest *state, *heat;

	if (leat_time_is_none(mill->at))
		mill->at = t;
	if (leat_time_cmp(t, mill->at) <= 0)
		return;
	read_plate(oil, mill);
	state = leat_current_series(&oil->current, mill->state, mill->at);
	heat = leat_current_series(&oil->current, mill->temperature, mill->at);
	if (state == NULL || state->is_number || state->word != oil->grinding)
		mill->grinding_since = LEAT_TIME_NONE;
	else if (leat_time_is_none(mill->grinding_since))
		mill->grinding_since = mill->at;
	if (!leat_time_is_none(mill->grinding_since) && heat != NULL && heat->is_number && heat->quality == LEAT_GOOD)
		add_up(oil, mill, mill->heat_c, earlier(earlier(t, leat_current_expiry(&oil->current, mill->state)),
		    leat_current_expiry(&oil->current, mill->temperature)));
	mill->at = t;
}

/* The warmest that is read in the days looked back upon. */
static double
warmest(const struct leat_oils_mill *mill, struct leat_time t)
{
	double warmest_c = mill->today.warmest_c;

	for (size_t i = 0; i < mill->days && i < LEAT_OILS_DAYS; i++)
		if (leat_time_diff(t, mill->day[i].end) <= LEAT_OILS_BACK_S && mill->day[i].warmest_c > warmest_c)
			warmest_c = mill->day[i].warmest_c;
	return warmest_c;
}

void
leat_oils_temperature(struct leat_oils_mill *mill, struct leat_time t, double temp_c)
{
	double hours;

	if (temp_c < mill->today.coldest_c)
		mill->today.coldest_c = temp_c;
	if (temp_c > mill->today.warmest_c)
		mill->today.warmest_c = temp_c;
	if (leat_time_is_none(mill->aged_since))
		mill->aged_since = t;
	/* An oil change before the first reading leaves a time that nobody saw, and no temperature to bound it with. */
	if (leat_time_is_none(mill->heat_at) && leat_time_cmp(mill->aged_since, t) < 0) {
		mill->gap_h += leat_time_diff(t, mill->aged_since) / 3600;
		mill->ageing_high_h = NAN;
	}
	if (!leat_time_is_none(mill->heat_at) && (hours = leat_time_diff(t, mill->heat_at) / 3600) > 0) {
		if (hours * 3600 <= mill->hold_s) {
			double aged = leat_oil_ageing_h(hours, mill->heat_c, temp_c);

			mill->ageing_h += aged;
			mill->ageing_high_h += aged;
		} else {
			mill->gap_h += hours;
			mill->ageing_high_h += hours * leat_oil_ageing_rate(warmest(mill, t));
		}
	}
	mill->heat_at = t;
	mill->heat_c = temp_c;
	if (mill->plate_known && temp_c >= mill->warm_from_c) {
		mill->warm_c = temp_c;
		mill->warm_at = t;
	}
}

void
leat_oils_changed(struct leat_oils *oil, struct leat_oils_mill *mill, struct leat_time t)
{
	mill->ageing_h = mill->ageing_high_h = mill->gap_h = 0;
	mill->aged_since = t;
	mill->changed = true;
	if (!leat_time_is_none(mill->heat_at) && leat_time_cmp(mill->heat_at, t) < 0)
		mill->heat_at = t;
	/* Volumes and contents of the oil before say nothing of this one. */
	for (size_t i = 0; i < LEAT_OILS_DAYS; i++)
		mill->day[i].level = false;
	mill->water_at = LEAT_TIME_NONE;
	for (size_t i = 0; i < oil->sample_names.count; i++) {
		struct leat_oils_sample *sample = &oil->sample[i];

		if (&oil->mill[sample->mill] != mill)
			continue;
		for (size_t m = 0; m < LEAT_OILS_METALS; m++)
			sample->metal[m].has = false;
		for (size_t size = 0; size < LEAT_OILS_SIZES; size++)
			sample->steadies[size] = 0;
	}
}

double
leat_oils_working(const struct leat_oils *oil, const struct leat_oils_mill *mill, const char **from)
{
	*from = "the mean of this works' day's grinding";
	if (mill->grinding_s >= ADMITTED_S)
		return mill->grinding_heat / mill->grinding_s;
	*from = "the mean of the last works' day with grinding";
	if (!leat_time_is_none(mill->working_at) && leat_time_diff(oil->time, mill->working_at) <= LEAT_OILS_BACK_S)
		return mill->working_c;
	*from = "the latest warm reading";
	if (!leat_time_is_none(mill->warm_at) && leat_time_diff(oil->time, mill->warm_at) <= LEAT_OILS_BACK_S)
		return mill->warm_c;
	*from = "working-temperature of the nameplate";
	return leat_oils_plate(oil, mill->asset, "working-temperature");
}

double
leat_oils_coldest(const struct leat_oils *oil, const struct leat_oils_mill *mill, const char **from)
{
	double plate_c = leat_oils_plate(oil, mill->asset, "coldest-temperature"), coldest_c = mill->today.coldest_c;

	for (size_t i = 0; i < mill->days && i < LEAT_OILS_DAYS; i++)
		if (leat_time_diff(oil->time, mill->day[i].end) <= LEAT_OILS_BACK_S && mill->day[i].coldest_c < coldest_c)
			coldest_c = mill->day[i].coldest_c;
	*from = "the coldest of 30 days";
	if (coldest_c <= plate_c || (isfinite(coldest_c) && isnan(plate_c)))
		return coldest_c;
	*from = "coldest-temperature of the nameplate";
	return plate_c;
}

void
leat_oils_aged(struct leat_oils *oil, struct leat_oils_mill *mill)
{
	char since[LEAT_TIME_MAX];

	if (leat_time_is_none(mill->heat_at) ||
	    (!leat_time_is_none(mill->aged_told) && leat_time_cmp(mill->aged_told, oil->time) == 0))
		return;
	mill->aged_told = oil->time;
	leat_time_write(since, mill->aged_since);
	leat_made_put(&oil->made, &(struct leat_made_row){ mill->asset, "ageing-hours", "h", mill->ageing_h, 2, LEAT_GOOD },
	    "2^((T - 50)/10) summed over the oil-temperature from the %s at %s; %.2f h not read are left out",
	    mill->changed ? "oil change" : "first reading", since, mill->gap_h);
	if (isnan(mill->ageing_high_h))
		leat_made_refuse(&oil->made, mill->asset, "ageing-hours.high",
		    "the oil was changed before its temperature was first read");
	else
		leat_made_put(&oil->made, &(struct leat_made_row){
			mill->asset, "ageing-hours.high", "h", mill->ageing_high_h, 2, LEAT_GOOD
		}, "the same with %.2f h not read, each gap at the warmest of its last 30 days", mill->gap_h);
}

/* Water that fell out in the coldest hour of the day, by the latest sample. */
static void
night_water(struct leat_oils *oil, struct leat_oils_mill *mill)
{
	double volume_l = leat_oils_plate(oil, mill->asset, "tank-volume"), cold_c = mill->today.coldest_c, density, litres;
	struct leat_oil_water curve;
	const char *from;

	if (leat_time_is_none(mill->water_at) || !isfinite(cold_c) ||
	    leat_names_get(&oil->sample_names, mill->asset) != LEAT_NAME_NONE)
		return;
	if (leat_time_diff(oil->time, mill->water_at) > leat_point_find(LEAT_SPAN("water-content"))->hold_s) {
		leat_made_refuse(&oil->made, mill->asset, "free-water", "the last sample is older than 45 days");
		return;
	}
	if (isnan(volume_l)) {
		leat_oils_want(mill, LEAT_OILS_WANT_VOLUME);
		return;
	}
	leat_oils_curve(oil, mill->asset, &curve, &from);
	density = leat_oil_density(leat_oils_plate(oil, mill->asset, "oil-density-15"), cold_c);
	litres = leat_oil_water_free_l(&curve, mill->water_mg_kg, cold_c, volume_l, density);
	leat_made_put(&oil->made, &(struct leat_made_row){ mill->asset, "free-water", "L", litres, 2, mill->water_quality },
	    "%.6g mg/kg of the latest sample less %.1f dissolved at %.2f degC, the coldest of the works' "
	    "day (%s), in %.6g L of "
	    "%.1f kg/m3", mill->water_mg_kg, leat_oil_water_saturation(&curve, cold_c), cold_c, from, volume_l, density);
}

void
leat_oils_day_over(struct leat_oils *oil, struct leat_oils_mill *mill)
{
	leat_oils_integrate(oil, mill, oil->time);
	mill->today.end = oil->time;
	if (isfinite(mill->today.coldest_c))
		leat_oils_aged(oil, mill);
	if (mill->grinding_s >= ADMITTED_S) {
		mill->working_c = mill->grinding_heat / mill->grinding_s;
		mill->working_at = oil->time;
	}
	night_water(oil, mill);
	leat_oils_balance(oil, mill);
	mill->day[mill->days++ % LEAT_OILS_DAYS] = mill->today;
	mill->today = (struct leat_oils_day){ .coldest_c = INFINITY, .warmest_c = -INFINITY };
	mill->grinding_s = mill->grinding_heat = 0;
	mill->level_s = mill->level_mm = mill->level_heat = mill->level_bar = mill->level_net = 0;
}
