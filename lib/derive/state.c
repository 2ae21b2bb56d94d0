/* The operating state of each mill of a stream. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "derive/state.h"
#include "physics/nitrogen.h"

enum slot { PRESSURE, DRIVE, POWER, SETPOINT, OIL, CHARGING };

static const struct leat_mills_form form = {
	{ "pressure", "mill-running", "mill-power", "pressure-setpoint", "oil-temperature", "charging" },
	6, 3, "pump-running", "pump"
};

static const char *const slot_unit[] = {
	[PRESSURE] = "bar", [POWER] = "kW", [SETPOINT] = "bar", [OIL] = "degC"
};

void
leat_states_init(struct leat_states *states)
{
	states->replaced = states->changes = states->repeats = 0;
	states->own = NULL;
	states->own_cap = 0;
	leat_current_init(&states->current, states->in, states->points);
	leat_mills_init(&states->mills, &form, &states->current);
}

/* A number of the nameplate, NaN where it has none. */
static double
plate_number(const struct leat_states *states, struct leat_span asset, const char *property, struct leat_time at)
{
	double value;

	return leat_nameplate_number(states->np, asset, property, at, &value) == 0 ? value : NAN;
}

static void
read_plate(const struct leat_states *states, struct leat_state_mill *own, struct leat_span mill, struct leat_time at)
{
	struct leat_mill_inputs *plate = &own->plate;
	struct leat_duration run_up = { 0 };

	own->set_pressure_bar = plate_number(states, mill, "set-pressure", at);
	plate->tolerance_bar = plate_number(states, mill, "pressure-tolerance", at);
	plate->rated_power_kw = plate_number(states, mill, "rated-power", at);
	plate->precharge_bar = plate_number(states, mill, "precharge", at);
	plate->air_bara = leat_atmosphere_bara(plate_number(states, mill, "altitude", at));
	/* The table's reader has seen that it is a duration; one of months has no length and counts as the longest day. */
	if (leat_duration_parse(leat_nameplate_word(states->np, mill, "run-up", at), &run_up) != 0 ||
	    leat_duration_seconds(&run_up, &plate->run_up_s) != 0)
		plate->run_up_s = 86400;
	own->plate_until = leat_nameplate_next(states->np, at);
}

/* The number of a slot in its own unit, NaN where there is none.  0, or -1 with err for another dimension. */
static int
slot_number(struct leat_states *states, const struct leat_mill *mill, enum slot slot, struct leat_time seen,
    double *out, struct leat_error *err)
{
	const struct leat_latest *latest = leat_mills_latest(&states->mills, mill, slot, seen);
	const struct leat_unit *own;

	*out = NAN;
	if (latest == NULL || !latest->is_number)
		return 0;
	*out = latest->number;
	if (latest->unit == NULL && latest->unit_len > 0)
		return leat_error_set(err, "'%s' of '%.*s' comes in a unit that leat-units(7) does not have: '%.*s'",
		    form.point[slot], (int)mill->asset.len, mill->asset.ptr,
		    latest->unit_len < sizeof(latest->unit_text) ? (int)latest->unit_len : (int)sizeof(latest->unit_text),
		    latest->unit_text);
	if (latest->unit == NULL)
		return 0;
	own = leat_unit_find(leat_span_of(slot_unit[slot]));
	if (latest->unit != own && !leat_unit_same_dimension(latest->unit, own))
		return leat_error_set(err, "'%s' of '%.*s' comes in '%s', where '%s' or a unit of its dimension is due",
		    form.point[slot], (int)mill->asset.len, mill->asset.ptr, latest->unit->name, own->name);
	*out = leat_unit_convert(latest->unit, own, latest->number);
	return 0;
}

static enum leat_mill_switch
series_switch(const struct leat_states *states, uint32_t series, struct leat_time seen)
{
	const struct leat_latest *latest;
	int on;

	if (series == LEAT_NAME_NONE)
		return LEAT_MILL_ABSENT;
	latest = leat_current_series(states->mills.current, series, seen);
	on = latest != NULL ? leat_latest_switch(states->mills.current, latest) : -1;
	return on > 0 ? LEAT_MILL_SWITCH_ON : on == 0 ? LEAT_MILL_SWITCH_OFF : LEAT_MILL_LOST;
}

/* On when any pump is; off when all are; lost when one that is lost may be on. */
static enum leat_mill_switch
pumps_switch(const struct leat_states *states, const struct leat_mill *mill, struct leat_time seen)
{
	enum leat_mill_switch all = LEAT_MILL_ABSENT;

	for (size_t i = 0; i < mill->parts; i++) {
		enum leat_mill_switch one = series_switch(states, mill->part[i], seen);

		if (one == LEAT_MILL_SWITCH_ON)
			return one;
		if (all != LEAT_MILL_LOST)
			all = one;
	}
	return all;
}

/* What is known of the mill at one instant. */
static int
inputs(struct leat_states *states, const struct leat_mill *mill, struct leat_state_mill *own, struct leat_time at,
    struct leat_time seen, struct leat_mill_inputs *in, struct leat_error *err)
{
	if (!own->begun || (!leat_time_is_none(own->plate_until) && leat_time_cmp(at, own->plate_until) >= 0))
		read_plate(states, own, mill->asset, at);
	if (!own->begun) {
		leat_mill_memory_init(&own->memory);
		own->said = LEAT_TIME_NONE;
		own->begun = true;
	}
	*in = own->plate;
	in->now = at;
	if (slot_number(states, mill, PRESSURE, seen, &in->pressure_bar, err) != 0 ||
	    slot_number(states, mill, SETPOINT, seen, &in->setpoint_bar, err) != 0 ||
	    slot_number(states, mill, POWER, seen, &in->power_kw, err) != 0 ||
	    slot_number(states, mill, OIL, seen, &in->gas_c, err) != 0)
		return -1;
	/* Some controls put the set point to zero at a stop. */
	if (!(in->setpoint_bar > 0))
		in->setpoint_bar = own->set_pressure_bar;
	in->drive = series_switch(states, mill->series[DRIVE], seen);
	in->charging = series_switch(states, mill->series[CHARGING], seen);
	in->pump = pumps_switch(states, mill, seen);
	return 0;
}

static bool
asked_for(const struct leat_states *states, struct leat_span mill)
{
	struct leat_span what = states->what;

	if (leat_span_ends(what, "/state"))
		what.len -= strlen("/state");
	return what.len == 0 || leat_span_eq(what, mill);
}

static void
explain(struct leat_out *out, const struct leat_mill *mill, const struct leat_mill_inputs *in,
    const struct leat_mill_result *result)
{
	char words[LEAT_MILL_WORDS_MAX];

	leat_mill_state_words(words, in, result);
	leat_out_time(out, in->now);
	leat_out_char(out, ' ');
	leat_out_span(out, mill->asset);
	leat_out_char(out, ' ');
	leat_out_text(out, leat_mill_state_name(result->state));
	leat_out_text(out, ": ");
	leat_out_text(out, words);
	leat_out_char(out, '\n');
}

static void
warn_once(const struct leat_states *states, struct leat_state_mill *own, const struct leat_mill *mill)
{
	char text[256];

	if (own->warned || states->warn == NULL)
		return;
	own->warned = true;
	snprintf(text, sizeof(text), "'%.*s' has mill-power and no mill-running: give its 'rated-power' in nameplate.csv",
	    (int)mill->asset.len, mill->asset.ptr);
	states->warn(text);
}

static void
say(struct leat_states *states, const struct leat_mill *mill, enum leat_mill_state state, struct leat_time at)
{
	leat_readings_add(states->out, states->in, &(struct leat_reading){
		.time = at, .asset = mill->asset, .point = LEAT_SPAN("state"),
		.value = leat_span_of(leat_mill_state_name(state)), .unit = LEAT_SPAN(""), .quality = LEAT_GOOD
	});
}

/* Looks at one mill at one instant and says its state when it has changed or was said long ago.  A repeat stands at a
 * reading only, so that a gap of years does not fill with repeats. */
static int
look(struct leat_states *states, struct leat_mill *mill, struct leat_time at, struct leat_time seen,
    struct leat_error *err)
{
	struct leat_state_mill *own = &states->own[mill - states->mills.mill];
	struct leat_mill_inputs in;
	struct leat_mill_result result;
	bool changed;

	if (inputs(states, mill, own, at, seen, &in, err) != 0)
		return -1;
	leat_mill_state_step(&own->memory, &in, &result);
	if (leat_time_cmp(result.next, at) > 0)
		leat_mills_wake(&states->mills, mill, result.next);
	leat_mills_wake(&states->mills, mill, own->plate_until);
	if (result.reason == LEAT_MILL_NO_RATED_POWER)
		warn_once(states, own, mill);
	changed = leat_time_is_none(own->said) || result.state != own->state;
	if (!changed && (!mill->by_rows || leat_time_diff(at, own->said) < LEAT_STATE_REPEAT_S))
		return 0;
	own->state = result.state;
	own->said = at;
	if (changed)
		states->changes++;
	else
		states->repeats++;
	if (!states->explain)
		say(states, mill, result.state, at);
	else if (changed && asked_for(states, mill->asset))
		explain(states->out, mill, &in, &result);
	return 0;
}

/* Looks at every mill that must be looked at before rows of until are taken in. */
static int
look_at_all(struct leat_states *states, struct leat_time until, struct leat_error *err)
{
	struct leat_time at, seen;
	struct leat_mill *mill;

	while ((mill = leat_mills_due(&states->mills, until, &at, &seen)) != NULL)
		if (look(states, mill, at, seen, err) != 0)
			return -1;
	return 0;
}

int
leat_states_take(struct leat_states *states, const struct leat_reading *r, struct leat_error *err)
{
	bool is_state = leat_span_is(r->point, "state") && leat_span_find(r->asset, '/') == r->asset.len;

	/* A state row never feeds a mill: it is replaced, or belongs to something that is no mill here. */
	if (is_state && leat_mills_known(&states->mills, r->asset) != NULL) {
		states->replaced++;
		return 0;
	}
	if (look_at_all(states, r->time, err) != 0)
		return -1;
	if (is_state)
		return 1;
	if (leat_mills_put_form(&states->mills, r) != 0 ||
	    leat_grow(&states->own, &states->own_cap, states->mills.count, sizeof(*states->own)) != 0)
		return leat_error_memory(err);
	return 1;
}

int
leat_states_end(struct leat_states *states, struct leat_error *err)
{
	return look_at_all(states, LEAT_TIME_NONE, err);
}

size_t
leat_states_mills(const struct leat_states *states)
{
	size_t known = 0;

	for (size_t i = 0; i < states->mills.count; i++)
		known += states->mills.mill[i].known;
	return known;
}

void
leat_states_free(struct leat_states *states)
{
	leat_mills_free(&states->mills);
	leat_current_free(&states->current);
	free(states->own);
	states->own = NULL;
}
