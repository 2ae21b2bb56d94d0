/* Attainment: a mill at one instant. */
#include <math.h>

#include "derive/attain_private.h"
#include "stream/quantity.h"

const struct leat_mills_form leat_attain_form = {
	.point = { "pressure", "state", "pressure-setpoint", "oil-temperature", "charging" }, .points = 5, .founding = 1
};

double
leat_attain_plate_number(const struct leat_attain *attain, struct leat_span asset, const char *property,
    struct leat_time at)
{
	double value;

	return leat_nameplate_number(attain->np, asset, property, at, &value) == 0 ? value : NAN;
}

struct leat_span
leat_attain_part(struct leat_attain *attain, struct leat_span mill, const char *part)
{
	leat_buf_reset(&attain->name);
	if (leat_buf_add_span(&attain->name, mill) != 0 || leat_buf_printf(&attain->name, "/%s", part) != 0)
		return leat_span_make("", 0);
	return leat_buf_span(&attain->name);
}

static void
read_plate(const struct leat_attain *attain, struct leat_attain_mill *own, const struct leat_mill *mill,
    struct leat_span relief, struct leat_time at)
{
	struct leat_attain_plate *plate = &own->plate;

	plate->set_bar = leat_attain_plate_number(attain, mill->asset, "set-pressure", at);
	plate->tolerance_bar = leat_attain_plate_number(attain, mill->asset, "pressure-tolerance", at);
	plate->settling_s = leat_attain_plate_number(attain, mill->asset, "setpoint-settling", at) * 60;
	plate->least_s = leat_attain_plate_number(attain, mill->asset, "admitted-least", at) * 60;
	plate->least_percent = leat_attain_plate_number(attain, mill->asset, "coverage-least", at);
	plate->relief_bar = leat_attain_plate_number(attain, relief, "relief-pressure", at);
	plate->warm_c = leat_attain_plate_number(attain, mill->asset, "warm-from", at);
	plate->until = leat_nameplate_next(attain->np, at);
}

static bool
same(double a, double b)
{
	return a == b || (isnan(a) && isnan(b));
}

/* The set point of an instant.  0, or -1 with err. */
static int
setpoint_of(const struct leat_attain *attain, struct leat_attain_mill *own, const struct leat_mill *mill,
    struct leat_time seen, double *bar, bool *good, bool *read, struct leat_error *err)
{
	const struct leat_latest *latest;
	int status;

	*read = mill->series[LEAT_ATTAIN_SLOT_SETPOINT] != LEAT_NAME_NONE;
	*bar = *read ? NAN : own->plate.set_bar;
	*good = true;
	if (!*read)
		return 0;
	latest = leat_mills_latest(&attain->mills, mill, LEAT_ATTAIN_SLOT_SETPOINT, seen);
	if (latest == NULL)
		return 0;
	status = leat_quantity_latest(&attain->current, mill->series[LEAT_ATTAIN_SLOT_SETPOINT], attain->bar, bar, err);
	*good = latest->quality == LEAT_GOOD;
	/* Some controls put the set point to zero at a stop. */
	if (status <= 0 || !(*bar > 0))
		*bar = NAN;
	return status < 0 ? -1 : 0;
}

/* The set point becomes what it is now. */
static void
set(struct leat_attain_mill *own, struct leat_time at, double bar, bool good, bool read)
{
	own->setpoint_bar = bar;
	own->setpoint_good = good;
	own->setpoint_read = read;
	if (isnan(bar) || fabs(bar - own->anchor_bar) <= LEAT_ATTAIN_STILL_SHARE * leat_attain_tolerance(&own->plate, bar))
		return;
	/* What the nameplate says has been so before; of a tag's first reading nobody knows. */
	if (read || !isnan(own->anchor_bar))
		own->admit_from = leat_time_add(at, own->plate.settling_s);
	own->anchor_bar = bar;
}

static void
begin(struct leat_attain_mill *own, struct leat_time at)
{
	own->since = at;
	own->setpoint_bar = own->anchor_bar = NAN;
	leat_agreed_init(&own->agreed);
	own->admit_from = LEAT_TIME_NONE;
	own->day.deviation.keep = true;
}

/* The spread of the cylinders that were read together at an instant, where it counts and is the largest so far. */
static void
note_spread(struct leat_attain_mill *own, struct leat_time at)
{
	double low = INFINITY, high = -INFINITY;
	size_t read = 0;

	if ((own->setpoint_read && isnan(own->setpoint_bar)) ||
	    (!leat_time_is_none(own->admit_from) && leat_time_cmp(own->admit_from, at) > 0))
		return;
	for (size_t i = 0; i < own->tracks; i++) {
		const struct leat_attain_track *track = &own->track[i];

		if (track->own || track->side != LEAT_ATTAIN_PRESS || !track->has || leat_time_cmp(track->at, at) != 0)
			continue;
		read++;
		low = fmin(low, track->bar);
		high = fmax(high, track->bar);
	}
	if (read >= 2 && high - low > own->day.spread_bar) {
		own->day.spread_bar = high - low;
		own->day.spread_at = at;
	}
}

/* Counts everything up to the instant, and takes in what was read at it. */
static int
pass(struct leat_attain_mill *own, struct leat_time at, bool grinding, enum leat_attain_idle idle, bool changes)
{
	bool stays = own->grinding && grinding;

	if (leat_attain_pass_time(own, at) != 0)
		return -1;
	for (size_t i = 0; i < own->tracks; i++) {
		struct leat_attain_track *track = &own->track[i];
		bool read = track->pending, cut = changes || stays != own->grinding;

		if (read && leat_attain_apply(own, track, at, stays) != 0)
			return -1;
		/* What the mill takes matters to pumps alone. */
		if (!read && (cut || (idle != own->idle && track->side == LEAT_ATTAIN_PUMP)) &&
		    leat_attain_cut(own, track, at) != 0)
			return -1;
		track->counting = grinding && (read || (stays && track->counting));
	}
	if (stays && own->tracks > 1)
		note_spread(own, at);
	own->idle = idle;
	return 0;
}

int
leat_attain_look(struct leat_attain *attain, struct leat_mill *mill, struct leat_time at, struct leat_time seen,
    struct leat_error *err)
{
	struct leat_attain_mill *own = &attain->own[mill - attain->mills.mill];
	const struct leat_latest *state = leat_mills_latest(&attain->mills, mill, LEAT_ATTAIN_SLOT_STATE, seen);
	bool known = state != NULL && !state->is_number && state->word != attain->unknown, first = !own->begun;
	bool grinding = known && state->word == attain->grinding, good, read, plate_due;
	double bar;
	enum leat_attain_idle idle;

	if (first) {
		begin(own, at);
		leat_attain_reset_day(own, at);
	}
	plate_due = first || (!leat_time_is_none(own->plate.until) && leat_time_cmp(at, own->plate.until) >= 0);
	if (first)
		read_plate(attain, own, mill, leat_attain_part(attain, mill->asset, "relief"), at);
	if (setpoint_of(attain, own, mill, seen, &bar, &good, &read, err) != 0)
		return -1;
	idle = leat_attain_demand_idle(attain, own, mill, seen);
	if (pass(own, at, grinding, idle, plate_due || !same(bar, own->setpoint_bar) || good != own->setpoint_good) != 0)
		return leat_error_memory(err);
	if (plate_due && !first) {
		read_plate(attain, own, mill, leat_attain_part(attain, mill->asset, "relief"), at);
		/* It may be what gives the set point. */
		if (!read)
			bar = own->plate.set_bar;
	}
	leat_attain_demand_settings(attain, own, at, plate_due);
	leat_agreed_look(&own->agreed, attain->np, attain->book, mill->asset, own->plate.set_bar, at);
	own->begun = true;
	own->known = known;
	own->grinding = grinding;
	set(own, at, bar, good, read);
	leat_mills_wake(&attain->mills, mill, own->plate.until);
	leat_mills_wake(&attain->mills, mill, leat_agreed_next(&own->agreed, attain->book));
	return 0;
}
