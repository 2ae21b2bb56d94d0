/* Attainment: what a day comes to, as rows. */
#include <math.h>

#include "derive/attain_private.h"
#include "physics/force.h"

const struct leat_attain_track *
leat_attain_track_of(const struct leat_attain_mill *own, struct leat_span asset, enum leat_attain_side side)
{
	for (size_t i = 0; i < own->tracks; i++)
		if (own->track[i].side == side && leat_span_eq(own->track[i].asset, asset))
			return &own->track[i];
	return NULL;
}

enum leat_quality
leat_attain_worth(const struct leat_attain_mill *own, double seconds, double good_s)
{
	if (!(seconds > 0) || seconds < own->plate.least_s)
		return LEAT_BAD;
	return good_s < own->plate.least_percent / 100 * own->day.grinding_s ? LEAT_UNCERTAIN : LEAT_GOOD;
}

static enum leat_quality
track_worth(const struct leat_attain_mill *own, const struct leat_attain_track *track)
{
	return leat_attain_worth(own, track->gated.seconds, track->gated_good_s);
}

bool
leat_attain_force_of(const struct leat_attain *attain, const struct leat_attain_mill *own,
    const struct leat_attain_track *by, struct leat_attain_force *force)
{
	enum leat_quality quality;

	force->by = by;
	force->head = leat_attain_track_of(own, by->asset, LEAT_ATTAIN_HEAD);
	if (force->head == NULL)
		force->head = leat_attain_track_of(own, leat_asset_mill(by->asset), LEAT_ATTAIN_HEAD);
	force->bore_mm = leat_attain_plate_number(attain, by->asset, "bore", attain->day_end);
	force->rod_mm = leat_attain_plate_number(attain, by->asset, "rod", attain->day_end);
	if (force->head == NULL || !leat_force_possible(force->bore_mm, force->rod_mm))
		return false;
	force->kn = leat_force_kn(leat_weighted_mean(&by->gated), leat_weighted_mean(&force->head->gated), force->bore_mm,
	    force->rod_mm);
	force->quality = track_worth(own, by);
	quality = track_worth(own, force->head);
	if (quality < force->quality)
		force->quality = quality;
	return true;
}

void
leat_attain_spread_of(const struct leat_attain_mill *own, struct leat_attain_spread *spread)
{
	*spread = (struct leat_attain_spread){ .quality = LEAT_GOOD };
	for (size_t i = 0; i < own->tracks; i++) {
		const struct leat_attain_track *track = &own->track[i];
		enum leat_quality quality = track_worth(own, track);

		if (track->own || track->side != LEAT_ATTAIN_PRESS)
			continue;
		spread->cylinders++;
		if (quality == LEAT_BAD)
			continue;
		spread->counted++;
		if (quality == LEAT_UNCERTAIN)
			spread->quality = LEAT_UNCERTAIN;
		if (spread->highest == NULL ||
		    leat_weighted_mean(&track->gated) > leat_weighted_mean(&spread->highest->gated))
			spread->highest = track;
		if (spread->lowest == NULL || leat_weighted_mean(&track->gated) < leat_weighted_mean(&spread->lowest->gated))
			spread->lowest = track;
	}
	if (spread->counted < 2)
		spread->quality = LEAT_BAD;
	else
		spread->bar = leat_weighted_mean(&spread->highest->gated) - leat_weighted_mean(&spread->lowest->gated);
}

void
leat_attain_relief_times(const struct leat_attain_mill *own, double *near_s, double *valid_s)
{
	*near_s = *valid_s = 0;
	for (size_t i = 0; i < own->tracks; i++) {
		const struct leat_attain_track *track = &own->track[i];

		if (track->side == LEAT_ATTAIN_HEAD)
			continue;
		*near_s = fmax(*near_s, track->near_relief_s);
		*valid_s = fmax(*valid_s, track->valid_s);
	}
}

enum leat_quality
leat_attain_relief_worth(const struct leat_attain *attain, const struct leat_attain_mill *own, double valid_s,
    bool good)
{
	double day_s = leat_time_diff(attain->day_end, attain->day_start);

	return good && valid_s >= own->plate.least_percent / 100 * day_s ? LEAT_GOOD : LEAT_UNCERTAIN;
}

static void
row(struct leat_attain *attain, struct leat_span asset, const char *point, double value, int decimals,
    const char *unit, enum leat_quality quality)
{
	char text[LEAT_NUMBER_MAX];
	size_t len = quality == LEAT_BAD ? 0 : leat_number_fixed(text, value, decimals);

	leat_readings_add(attain->out, attain->in, &(struct leat_reading){
		.time = attain->day_end, .asset = asset, .point = leat_span_of(point), .value = leat_span_make(text, len),
		.unit = leat_span_of(unit), .quality = quality
	});
	attain->added++;
}

/* How the pressure kept to its set point. */
static int
write_attainment(struct leat_attain *attain, const struct leat_attain_mill *own, struct leat_span mill)
{
	const struct leat_attain_day *day = &own->day;
	enum leat_quality quality = leat_attain_worth(own, day->admitted_s, day->admitted_good_s);
	double tenth = 0.1, p10;

	if (leat_weighted_quantiles(&day->deviation, &tenth, 1, &p10) != 0)
		return -1;
	row(attain, mill, "pressure-deviation", leat_weighted_mean(&day->deviation), 2, "bar", quality);
	row(attain, mill, "pressure-deviation.p10", p10, 2, "bar", quality);
	row(attain, mill, "pressure-attainment", 100 * day->within_s / day->admitted_s, 2, "%", quality);
	row(attain, mill, "pressure-attainment.coverage", 100 * day->admitted_s / day->grinding_s, 2, "%", LEAT_GOOD);
	row(attain, mill, "pressure-low-spell", day->longest_s / 60, 1, "min", quality);
	return 0;
}

static void
write_cylinders(struct leat_attain *attain, const struct leat_attain_mill *own, struct leat_span mill)
{
	struct leat_attain_spread spread;
	struct leat_attain_force force;

	leat_attain_spread_of(own, &spread);
	if (spread.cylinders >= 2)
		row(attain, mill, "pressure-spread", spread.bar, 2, "bar", spread.quality);
	if (spread.counted >= 2 && own->day.spread_bar >= 0)
		row(attain, mill, "pressure-spread.max", own->day.spread_bar, 2, "bar", spread.quality);
	for (size_t i = 0; i < own->tracks; i++)
		if (own->track[i].side == LEAT_ATTAIN_PRESS && leat_attain_force_of(attain, own, &own->track[i], &force))
			row(attain, own->track[i].asset, "grinding-force", force.kn, 1, "kN", force.quality);
}

static void
write_relief(struct leat_attain *attain, const struct leat_attain_mill *own, struct leat_span mill)
{
	double near_s, valid_s, compensator;
	struct leat_span relief;

	leat_attain_relief_times(own, &near_s, &valid_s);
	if (isnan(own->plate.relief_bar) || !(valid_s > 0))
		return;
	relief = leat_attain_part(attain, mill, "relief");
	if (own->day.margin_bar < INFINITY)
		row(attain, relief, "relief-margin", own->day.margin_bar, 2, "bar",
		    leat_attain_relief_worth(attain, own, valid_s, own->day.margin_good));
	row(attain, relief, "relief-time", near_s / 60, 1, "min", leat_attain_relief_worth(attain, own, valid_s, true));
	for (size_t i = 0; i < own->pumps; i++) {
		compensator = leat_attain_plate_number(attain, own->pump[i], "compensator-pressure", attain->day_end);
		if (!isnan(compensator))
			row(attain, own->pump[i], "compensator-margin", own->plate.relief_bar - compensator, 2, "bar", LEAT_GOOD);
	}
}

static void
write_demand(struct leat_attain *attain, const struct leat_attain_mill *own)
{
	for (size_t i = 0; i < own->tracks; i++) {
		const struct leat_attain_track *track = &own->track[i];
		double seconds, sure_s, bar = leat_attain_demand_mode(track, &seconds, &sure_s);
		enum leat_quality quality = leat_attain_demand_worth(own, seconds, sure_s);

		if (!(seconds > 0))
			continue;
		row(attain, track->asset, "compensator-pressure-observed", bar, 1, "bar", quality);
		row(attain, track->asset, "compensator-shift", 100 * (bar / track->setting_bar - 1), 2, "%", quality);
	}
}

bool
leat_attain_lacks(struct leat_attain *attain, const struct leat_mill *mill, enum leat_attain_lack lack)
{
	const struct leat_attain_mill *own = &attain->own[mill - attain->mills.mill];
	struct leat_attain_force force;

	switch (lack) {
	case LEAT_ATTAIN_LACK_SETPOINT:
		return !own->setpoint_read && isnan(own->plate.set_bar);
	case LEAT_ATTAIN_LACK_AGREED:
		return own->setpoint_read && isnan(own->agreed.bar);
	case LEAT_ATTAIN_LACK_RELIEF:
		return isnan(own->plate.relief_bar);
	case LEAT_ATTAIN_LACK_BORE:
		for (size_t i = 0; i < own->tracks; i++)
			if (own->track[i].side == LEAT_ATTAIN_PRESS &&
			    !leat_attain_force_of(attain, own, &own->track[i], &force) && force.head != NULL)
				return true;
		return false;
	case LEAT_ATTAIN_LACK_COMPENSATOR:
		for (size_t i = 0; i < own->tracks; i++)
			if (own->track[i].side == LEAT_ATTAIN_PUMP && isnan(own->track[i].setting_bar))
				return true;
		return false;
	}
	return false;
}

const char *
leat_attain_lack_words(enum leat_attain_lack lack)
{
	static const char *const words[LEAT_ATTAIN_LACKS] = {
		"no attainment: there are neither readings named pressure-setpoint nor a set-pressure in the nameplate",
		"no setpoint-shift: what was agreed is not in the nameplate (set-pressure)",
		"no relief-margin, relief-time, compensator-margin: relief-pressure of MILL/relief is not in the nameplate",
		"no grinding-force: bore and rod are not in the nameplate",
		"no compensator-shift: compensator-pressure of the pump is not in the nameplate"
	};

	return words[lack];
}

int
leat_attain_write_day(struct leat_attain *attain, const struct leat_mill *mill)
{
	const struct leat_attain_mill *own = &attain->own[mill - attain->mills.mill];
	const struct leat_attain_day *day = &own->day;
	double day_s = leat_time_diff(attain->day_end, attain->day_start);
	double near_s, valid_s;

	leat_attain_relief_times(own, &near_s, &valid_s);
	if (mill->series[LEAT_ATTAIN_SLOT_STATE] == LEAT_NAME_NONE || (!(day->known_s > 0) && !(valid_s > 0)))
		return 0;
	attain->days++;
	if (attain->explain) {
		leat_attain_explain_day(attain, mill);
		return 0;
	}
	if (day->known_s > 0)
		row(attain, mill->asset, "grinding-hours", day->grinding_s / 3600, 2, "h",
		    day->known_s >= own->plate.least_percent / 100 * day_s ? LEAT_GOOD : LEAT_UNCERTAIN);
	if (day->grinding_s > 0) {
		if (write_attainment(attain, own, mill->asset) != 0)
			return -1;
		write_cylinders(attain, own, mill->asset);
		if (own->setpoint_read && !isnan(own->agreed.bar))
			row(attain, mill->asset, "setpoint-shift", leat_weighted_mean(&day->shift), 2, "bar",
			    leat_attain_worth(own, day->shift.seconds, day->shift_good_s));
	}
	write_relief(attain, own, mill->asset);
	write_demand(attain, own);
	return 0;
}
