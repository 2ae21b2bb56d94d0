/* Attainment: what counts of a pressure and of the set point. */
#include <math.h>

#include "derive/attain_private.h"
#include "physics/mill_state.h"

double
leat_attain_tolerance(const struct leat_attain_plate *plate, double setpoint_bar)
{
	return plate->tolerance_bar > 0 ? plate->tolerance_bar :
	    fmax(LEAT_MILL_TOLERANCE_BAR, LEAT_MILL_TOLERANCE_SHARE * setpoint_bar);
}

/* The share of a straight line between two values that lies at or above a limit. */
static double
share_from(double from, double to, double limit)
{
	double low = from < to ? from : to, high = from < to ? to : from;

	if (low >= limit)
		return 1;
	return high >= limit ? (high - limit) / (high - low) : 0;
}

/* The share that lies above it. */
static double
share_above(double from, double to, double limit)
{
	return from == to ? from > limit : share_from(from, to, limit);
}

/* A spell below a limit goes on over pieces that follow each other, and ends where one rises to the limit. */
static void
follow_spell(struct leat_attain_day *day, struct leat_time start, struct leat_time until, double from, double to)
{
	double seconds = leat_time_diff(until, start);

	/* From and to are distances from the limit. */
	if (leat_time_is_none(day->spell_until) || leat_time_cmp(day->spell_until, start) != 0)
		day->spell_s = 0;
	day->spell_until = until;
	if (from >= 0 && to >= 0) {
		day->spell_s = 0;
		return;
	}
	if (from >= 0) {
		day->spell_s = seconds * to / (to - from);
	} else if (to >= 0) {
		until = leat_time_add(start, seconds * from / (from - to));
		day->spell_s += seconds * from / (from - to);
	} else {
		day->spell_s += seconds;
	}
	if (day->spell_s > day->longest_s) {
		day->longest_s = day->spell_s;
		day->longest_until = until;
	}
	if (to >= 0)
		day->spell_s = 0;
}

/* The mill's own pressure against a set point that is known. */
static int
count_deviation(struct leat_attain_mill *own, struct leat_time start, struct leat_time until, double from, double to,
    bool good)
{
	struct leat_attain_day *day = &own->day;
	double seconds = leat_time_diff(until, start), tolerance = leat_attain_tolerance(&own->plate, own->setpoint_bar);
	double a = from - own->setpoint_bar, b = to - own->setpoint_bar, above, at_least;

	day->admitted_s += seconds;
	if (good && own->setpoint_good)
		day->admitted_good_s += seconds;
	above = share_above(a, b, tolerance);
	at_least = share_from(a, b, -tolerance);
	day->above_s += seconds * above;
	day->below_s += seconds * (1 - at_least);
	day->within_s += seconds * (at_least - above);
	day->within_higher_s += seconds * (share_from(a + 1, b + 1, -tolerance) - share_above(a + 1, b + 1, tolerance));
	day->within_lower_s += seconds * (share_from(a - 1, b - 1, -tolerance) - share_above(a - 1, b - 1, tolerance));
	day->tolerance_bar = tolerance;
	if (!(day->setpoint_min <= own->setpoint_bar))
		day->setpoint_min = own->setpoint_bar;
	if (!(day->setpoint_max >= own->setpoint_bar))
		day->setpoint_max = own->setpoint_bar;
	follow_spell(day, start, until, a + tolerance, b + tolerance);
	return leat_weighted_add(&day->deviation, seconds, a, b);
}

/* A line of a track while the mill grinds. */
static int
count_gated(struct leat_attain_mill *own, struct leat_attain_track *track, struct leat_time until, double from,
    double to, bool good)
{
	struct leat_attain_day *day = track->own && track->side == LEAT_ATTAIN_PRESS ? &own->day : NULL;
	struct leat_time start = track->from;
	double seconds = leat_time_diff(until, start), settling = 0;

	if (!own->grinding || !track->counting || !(seconds > 0))
		return 0;
	if (day != NULL)
		day->valid_s += seconds;
	if (own->setpoint_read && isnan(own->setpoint_bar)) {
		if (day != NULL)
			day->no_setpoint_s += seconds;
		return 0;
	}
	if (!leat_time_is_none(own->admit_from) && leat_time_cmp(own->admit_from, start) > 0)
		settling = fmin(leat_time_diff(own->admit_from, start), seconds);
	if (day != NULL)
		day->settling_s += settling;
	if (settling >= seconds)
		return 0;
	if (settling > 0) {
		start = own->admit_from;
		from += (to - from) * settling / seconds;
		seconds -= settling;
	}
	if (good)
		track->gated_good_s += seconds;
	if (leat_weighted_add(&track->gated, seconds, from, to) != 0)
		return -1;
	if (day == NULL)
		return 0;
	if (!isnan(own->setpoint_bar))
		return count_deviation(own, start, until, from, to, good);
	day->no_setpoint_s += seconds;
	return 0;
}

/* A line of a track in any state: how near it comes to the setting of the relief valve, and where a pump is at no
 * demand. */
static int
count_free(struct leat_attain_mill *own, struct leat_attain_track *track, struct leat_time until, double from,
    double to, bool good)
{
	double seconds = leat_time_diff(until, track->from), relief = own->plate.relief_bar;

	if (!(seconds > 0))
		return 0;
	track->valid_s += seconds;
	if (relief > 0 && track->side != LEAT_ATTAIN_HEAD)
		track->near_relief_s += seconds * share_above(from, to, LEAT_ATTAIN_NEAR_RELIEF * relief);
	if (track->side != LEAT_ATTAIN_PUMP || own->idle == LEAT_ATTAIN_BUSY)
		return 0;
	return leat_attain_demand_add(track, seconds, from, to, good && own->idle == LEAT_ATTAIN_IDLE);
}

/* The last value, held. */
static struct leat_time
held_until(const struct leat_attain_track *track, struct leat_time at)
{
	struct leat_time last = leat_time_add(track->at, track->hold_s);

	return leat_time_cmp(at, last) > 0 ? last : at;
}

int
leat_attain_cut(struct leat_attain_mill *own, struct leat_attain_track *track, struct leat_time at)
{
	struct leat_time until;

	if (!track->has)
		return 0;
	until = held_until(track, at);
	if (leat_time_cmp(until, track->from) <= 0)
		return 0;
	if (count_gated(own, track, until, track->bar, track->bar, track->good) != 0)
		return -1;
	if (count_free(own, track, until, track->bar, track->bar, track->good) != 0)
		return -1;
	track->from = until;
	return 0;
}

/* A reading that is nearer to the setting of the relief valve than any before it this day. */
static void
note_margin(struct leat_attain_mill *own, const struct leat_attain_track *track, struct leat_time at)
{
	struct leat_attain_day *day = &own->day;
	double margin = own->plate.relief_bar - track->bar;

	if (track->side == LEAT_ATTAIN_HEAD || isnan(margin) || margin >= day->margin_bar)
		return;
	day->margin_bar = margin;
	day->margin_relief_bar = own->plate.relief_bar;
	day->margin_at = at;
	day->margin_good = track->good;
	day->margin_asset = track->asset;
	day->margin_side = track->side;
}

int
leat_attain_apply(struct leat_attain_mill *own, struct leat_attain_track *track, struct leat_time at, bool stays)
{
	double span = track->has ? leat_time_diff(at, track->at) : 0, from;
	bool good = track->next_quality == LEAT_GOOD;

	track->pending = false;
	if (track->next_quality != LEAT_BAD && track->has && span > 0 && span <= track->hold_s) {
		from = track->bar + (track->next_bar - track->bar) * (leat_time_diff(track->from, track->at) / span);
		/* A line to the reading of another state would be of neither. */
		if (count_gated(own, track, at, stays ? from : track->bar, stays ? track->next_bar : track->bar,
		    track->good && (good || !stays)) != 0)
			return -1;
		if (count_free(own, track, at, from, track->next_bar, track->good && good) != 0)
			return -1;
	} else if (leat_attain_cut(own, track, at) != 0) {
		return -1;
	}
	track->has = track->next_quality != LEAT_BAD;
	if (!track->has)
		return 0;
	track->at = track->from = at;
	track->bar = track->next_bar;
	track->good = good;
	note_margin(own, track, at);
	return 0;
}

int
leat_attain_pass_time(struct leat_attain_mill *own, struct leat_time at)
{
	double seconds = leat_time_diff(at, own->since), shift = own->setpoint_bar - own->agreed.bar;
	struct leat_attain_day *day = &own->day;

	own->since = at;
	if (!own->known || !(seconds > 0))
		return 0;
	day->known_s += seconds;
	if (!own->grinding)
		return 0;
	day->grinding_s += seconds;
	if (!own->setpoint_read || isnan(shift))
		return 0;
	if (own->setpoint_good)
		day->shift_good_s += seconds;
	if (leat_weighted_add(&day->setpoint, seconds, own->setpoint_bar, own->setpoint_bar) != 0)
		return -1;
	return leat_weighted_add(&day->shift, seconds, shift, shift);
}

void
leat_attain_reset_day(struct leat_attain_mill *own, struct leat_time at)
{
	struct leat_weighted deviation = own->day.deviation;

	/* Their memory serves the next day too. */
	leat_weighted_reset(&deviation);
	own->day = (struct leat_attain_day){ .deviation = deviation };
	own->day.deviation.keep = true;
	own->day.setpoint_min = own->day.setpoint_max = own->day.tolerance_bar = NAN;
	own->day.margin_bar = INFINITY;
	own->day.spread_bar = -1;
	own->day.spell_until = own->day.longest_until = LEAT_TIME_NONE;
	own->day.margin_at = own->day.spread_at = LEAT_TIME_NONE;
	for (size_t i = 0; i < own->tracks; i++) {
		leat_weighted_reset(&own->track[i].gated);
		leat_attain_demand_reset(&own->track[i]);
		own->track[i].gated_good_s = own->track[i].valid_s = own->track[i].near_relief_s = 0;
		/* A value that is still held belongs to this day too. */
		if (own->track[i].has && leat_time_diff(at, own->track[i].at) < own->track[i].hold_s)
			note_margin(own, &own->track[i], own->track[i].at);
	}
}
