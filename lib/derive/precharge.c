/* The nitrogen of accumulators: the stream and the flow of time. */
#include <math.h>
#include <stdlib.h>

#include "derive/precharge_private.h"
#include "derive/works_day.h"

/* Readings that come more seldom than this are typed from sheets. */
#define SHEET_S 86400.0

enum role {
	ROLE_NEW,
	ROLE_SHELL_MADE,	/* a row of a shell that is made here */
	ROLE_DAY_MADE,		/* a row of a mill's day that is made here */
	ROLE_SILENT,		/* typed, or made by another filter: no sign that the mill's instruments report */
	ROLE_OTHER,
	ROLE_GAS,
	ROLE_HEAT
};

void
leat_precharge_init(struct leat_precharge *gas)
{
	gas->readings = gas->refused = gas->near = gas->uncertain = gas->days = gas->added = gas->replaced = 0;
	leat_current_init(&gas->current, gas->in, gas->points);
	leat_mills_init(&gas->mills, &leat_precharge_form, &gas->current);
	gas->own = NULL;
	gas->shell = NULL;
	gas->order = NULL;
	gas->series = NULL;
	gas->own_cap = gas->shells = gas->shell_cap = gas->order_cap = gas->series_cap = 0;
	memset(&gas->shell_names, 0, sizeof(gas->shell_names));
	gas->bar = leat_unit_find(LEAT_SPAN("bar"));
	gas->degc = leat_unit_find(LEAT_SPAN("degC"));
	gas->touched = false;
	gas->last = gas->day_start = gas->day_end = LEAT_TIME_NONE;
}

static bool
is_one_of(struct leat_span point, const char *const *names, size_t count)
{
	for (size_t i = 0; i < count; i++)
		if (leat_span_is(point, names[i]))
			return true;
	return false;
}

static enum role
role_of(const struct leat_precharge *gas, const struct leat_reading *r)
{
	static const char *const of_shell[] = {
		"precharge-20", "precharge-target", "precharge-deviation", "precharge-spread", "gas-amount",
		"gas-share", "gas-loss-month", "gas-to-fill"
	};
	static const char *const of_day[] = {
		"precharge-working", "precharge-ratio", "lowest-pressure-ratio", "highest-pressure-ratio", "hammer-events",
		"hammer-week", "hammer-time", "hammer-grinding", "unloaded-pressure", "minimum-pressure-ratio",
		"minimum-pressure-shift"
	};

	if (is_one_of(r->point, of_shell, sizeof(of_shell) / sizeof(of_shell[0])))
		return ROLE_SHELL_MADE;
	if (is_one_of(r->point, of_day, sizeof(of_day) / sizeof(of_day[0])))
		return ROLE_DAY_MADE;
	if (leat_span_is(r->point, "gas-pressure"))
		return ROLE_GAS;
	if (leat_span_is(r->point, "gas-temperature"))
		return ROLE_HEAT;
	if (leat_span_is(r->point, "state") && leat_span_eq(r->asset, leat_asset_mill(r->asset)))
		return ROLE_OTHER;
	if (leat_point_derived(r->point) || leat_points_hold(gas->points, r->asset, r->point) >= SHEET_S)
		return ROLE_SILENT;
	return ROLE_OTHER;
}

/* Puts the newest shell where its name belongs. */
static void
sort_in(struct leat_precharge *gas)
{
	size_t newest = gas->shells - 1, at = newest;

	for (; at > 0 && leat_span_cmp(gas->shell[gas->order[at - 1]].asset, gas->shell[newest].asset) > 0; at--)
		gas->order[at] = gas->order[at - 1];
	gas->order[at] = newest;
}

/* Finds out once what a series is.  A shell's temperature alone makes no shell. */
static int
prepare(struct leat_precharge *gas, const struct leat_reading *r)
{
	struct leat_precharge_series *series;
	struct leat_precharge_shell *shell;
	uint32_t number;

	if (leat_grow(&gas->series, &gas->series_cap, (size_t)r->series + 1, sizeof(*gas->series)) != 0)
		return -1;
	series = &gas->series[r->series];
	if (series->role != ROLE_NEW)
		return 0;
	series->role = (uint8_t)role_of(gas, r);
	if (series->role != ROLE_GAS && series->role != ROLE_HEAT)
		return 0;
	number = leat_names_put(&gas->shell_names, r->asset);
	if (number == LEAT_NAME_NONE || leat_grow(&gas->shell, &gas->shell_cap, (size_t)number + 1, sizeof(*gas->shell)) != 0 ||
	    leat_grow(&gas->order, &gas->order_cap, (size_t)number + 1, sizeof(*gas->order)) != 0)
		return -1;
	series->shell = number;
	if (number < gas->shells)
		return 0;
	gas->shells = (size_t)number + 1;
	shell = &gas->shell[number];
	memset(shell, 0, sizeof(*shell));
	shell->asset = leat_readings_assets(gas->in)->name[r->asset_id];
	shell->read.at = shell->heat_at = shell->latest_at = shell->told_at = LEAT_TIME_NONE;
	shell->target_bar = NAN;
	sort_in(gas);
	return leat_mills_number(&gas->mills, r->asset, &shell->mill) == 0 &&
	    leat_grow(&gas->own, &gas->own_cap, gas->mills.count, sizeof(*gas->own)) == 0 ? 0 : -1;
}

bool
leat_precharge_is_shell(const struct leat_precharge *gas, struct leat_span asset)
{
	uint32_t number = leat_names_get(&gas->shell_names, asset);

	return number != LEAT_NAME_NONE && !leat_time_is_none(gas->shell[number].read.at);
}

static bool
has_days(struct leat_precharge *gas, struct leat_span asset)
{
	const struct leat_mill *mill = leat_mills_known(&gas->mills, asset);

	return mill != NULL && mill->series[LEAT_PRECHARGE_SLOT_STATE] != LEAT_NAME_NONE &&
	    mill->series[LEAT_PRECHARGE_SLOT_PRESSURE] != LEAT_NAME_NONE;
}

/* A number in the unit named.  1, 0 for what is no number, -1 with err for another dimension. */
static int
number_in(const struct leat_reading *r, const struct leat_unit *own, double *value, struct leat_error *err)
{
	const struct leat_unit *from = r->unit.len > 0 ? leat_unit_find(r->unit) : own;

	if (r->quality == LEAT_BAD || leat_reading_number(r, value) != 0)
		return 0;
	if (from == NULL || !leat_unit_same_dimension(from, own))
		return leat_error_set(err, "'%.*s' of '%.*s' comes in '%.*s', where '%s' or a unit of its dimension is due",
		    (int)r->point.len, r->point.ptr, (int)r->asset.len, r->asset.ptr, (int)r->unit.len, r->unit.ptr, own->name);
	*value = leat_unit_convert(from, own, *value);
	return 1;
}

/* Of two readings for one instant the better counts, of equal ones the later. */
static int
take_gas(struct leat_precharge *gas, struct leat_precharge_shell *shell, const struct leat_reading *r,
    struct leat_error *err)
{
	double value;
	int got = number_in(r, gas->bar, &value, err);

	if (got <= 0 || (shell->fresh && r->quality < shell->read.quality))
		return got;
	shell->read = (struct leat_precharge_reading){ .at = r->time, .bar = value, .quality = r->quality };
	shell->fresh = gas->touched = true;
	return 0;
}

static int
take_heat(struct leat_precharge *gas, struct leat_precharge_shell *shell, const struct leat_reading *r,
    struct leat_error *err)
{
	double value;
	int got = number_in(r, gas->degc, &value, err);

	if (got <= 0 || (shell->heated && r->quality < shell->heat_quality))
		return got;
	shell->has_heat = shell->heated = gas->touched = true;
	shell->heat_at = r->time;
	shell->heat_c = value;
	shell->heat_quality = r->quality;
	return 0;
}

/* Looks at every mill that must be looked at before rows of until are taken in. */
static int
look_at_all(struct leat_precharge *gas, struct leat_time until, struct leat_error *err)
{
	struct leat_time at, seen;
	struct leat_mill *mill;

	while ((mill = leat_mills_due(&gas->mills, until, &at, &seen)) != NULL)
		if (leat_precharge_look(gas, mill, at, seen, err) != 0)
			return -1;
	return 0;
}

/* Is there something new for the shell's latest gas reading? */
static bool
is_due(const struct leat_precharge *gas, const struct leat_precharge_shell *shell)
{
	if (shell->fresh)
		return true;
	if (!shell->waiting || leat_time_diff(gas->last, shell->read.at) > LEAT_PRECHARGE_TOGETHER_S)
		return false;
	for (size_t i = 0; i < gas->shells; i++)
		if (gas->shell[i].mill == shell->mill && gas->shell[i].heated)
			return true;
	return false;
}

/* Of an instrument's readings, which come by the minute, few need be told: one an hour, at once one that is better, and what
 * was refused once a day. */
static bool
is_told(struct leat_precharge_shell *shell, const struct leat_precharge_result *result)
{
	if (!shell->fresh || shell->day_reads <= LEAT_PRECHARGE_TYPED || leat_time_is_none(shell->told_at))
		return true;
	if (result->quality == LEAT_BAD)
		return !shell->day_refused;
	return result->quality > shell->day_quality ||
	    leat_time_diff(result->at, shell->told_at) >= LEAT_PRECHARGE_TOLD_S;
}

static int
settle(struct leat_precharge *gas, struct leat_precharge_shell *shell, struct leat_error *err)
{
	struct leat_precharge_result result;

	leat_precharge_work_out(gas, shell, gas->last, &result);
	if (shell->fresh) {
		gas->readings++;
		gas->refused += shell->read.gate >= LEAT_PRECHARGE_GATE_NEAR;
		shell->day_reads++;
	}
	if (!is_told(shell, &result)) {
		shell->waiting = false;
		return 0;
	}
	shell->told_at = result.at;
	shell->day_refused = shell->day_refused || result.quality == LEAT_BAD;
	if (leat_precharge_follow(gas, shell, &result, err) != 0)
		return -1;
	shell->waiting = result.heat > LEAT_PRECHARGE_HEAT_BANK && shell->read.gate < LEAT_PRECHARGE_GATE_NEAR;
	gas->near += shell->fresh && shell->read.gate == LEAT_PRECHARGE_GATE_NEAR;
	gas->uncertain += result.quality == LEAT_UNCERTAIN;
	if (gas->explain)
		leat_precharge_explain_shell(gas, &result);
	else
		leat_precharge_write_shell(gas, &result);
	if (result.quality == LEAT_BAD)
		return 0;
	shell->aimed = result.aim != LEAT_PRECHARGE_AIM_PLATE && result.aim != LEAT_PRECHARGE_AIM_NONE;
	shell->target_bar = result.target_bar;
	/* A doubtful reading does not push out a sound one. */
	if (result.quality >= shell->day_quality) {
		shell->day_bar = result.precharge_bar;
		shell->day_quality = result.quality;
	}
	if (result.quality < shell->latest_quality)
		return 0;
	shell->latest_bar = result.precharge_bar;
	shell->latest_quality = result.quality;
	shell->latest_at = shell->read.at;
	leat_precharge_refresh(gas, shell->mill);
	return 0;
}

/* The instant of the rows taken last is over. */
static int
end_instant(struct leat_precharge *gas, struct leat_error *err)
{
	if (!gas->touched)
		return 0;
	if (look_at_all(gas, leat_time_add(gas->last, 1e-9), err) != 0)
		return -1;
	for (size_t i = 0; i < gas->shells; i++)
		if (gas->shell[i].fresh && leat_precharge_gate_of(gas, &gas->shell[i], err) != 0)
			return -1;
	for (size_t i = 0; i < gas->shells; i++)
		if (is_due(gas, &gas->shell[gas->order[i]]) && settle(gas, &gas->shell[gas->order[i]], err) != 0)
			return -1;
	for (size_t i = 0; i < gas->shells; i++)
		gas->shell[i].fresh = gas->shell[i].heated = false;
	gas->touched = false;
	return 0;
}

/* *any: something counted, or may yet. */
static void
end_day(struct leat_precharge *gas, bool *any)
{
	*any = false;
	for (size_t i = 0; i < gas->mills.count && i < gas->own_cap; i++) {
		struct leat_precharge_mill *own = &gas->own[i];

		leat_precharge_write_spread(gas, i);
		leat_precharge_retarget(gas, i);
		if (!own->begun)
			continue;
		leat_precharge_cut(own, gas->day_end);
		*any = *any || own->doing != LEAT_PRECHARGE_NOT_KNOWN || own->day.known_s > 0;
		leat_precharge_write_day(gas, i);
		leat_precharge_week_end(own, gas->day_end);
		leat_precharge_reset_day(own);
	}
	for (size_t i = 0; i < gas->shells; i++) {
		gas->shell[i].day_quality = LEAT_BAD;
		gas->shell[i].day_reads = 0;
		gas->shell[i].day_refused = false;
	}
}

/* Ends the days that end before t, or at it when inclusive. */
static int
pass_days(struct leat_precharge *gas, struct leat_time t, bool inclusive, struct leat_error *err)
{
	while (leat_time_cmp(gas->day_end, t) < (inclusive ? 1 : 0)) {
		struct leat_time end = gas->day_end, next = leat_time_add(end, 1e-9);
		bool any;

		if (look_at_all(gas, next, err) != 0)
			return -1;
		end_day(gas, &any);
		/* Where nothing counted, nothing will until readings come. */
		leat_works_day_ending(gas->np, any || leat_time_cmp(next, t) > 0 ? next : t, &gas->day_start, &gas->day_end);
		if (leat_time_cmp(gas->day_start, end) < 0)
			gas->day_start = end;
	}
	return 0;
}

int
leat_precharge_take(struct leat_precharge *gas, const struct leat_reading *r, struct leat_error *err)
{
	struct leat_precharge_series *series;

	if (leat_time_is_none(gas->day_end))
		leat_works_day_ending(gas->np, r->time, &gas->day_start, &gas->day_end);
	if (leat_time_is_none(gas->last) || leat_time_cmp(r->time, gas->last) > 0) {
		if (end_instant(gas, err) != 0 || pass_days(gas, r->time, false, err) != 0 || look_at_all(gas, r->time, err) != 0)
			return -1;
		gas->last = r->time;
	}
	if (prepare(gas, r) != 0)
		return leat_error_memory(err);
	series = &gas->series[r->series];
	if ((series->role == ROLE_SHELL_MADE && leat_precharge_is_shell(gas, r->asset)) ||
	    (series->role == ROLE_DAY_MADE && has_days(gas, r->asset))) {
		gas->replaced++;
		return 0;
	}
	if (series->role == ROLE_GAS && take_gas(gas, &gas->shell[series->shell], r, err) != 0)
		return -1;
	if (series->role == ROLE_HEAT && take_heat(gas, &gas->shell[series->shell], r, err) != 0)
		return -1;
	if (series->role != ROLE_OTHER)
		return 1;
	if (leat_mills_put_form(&gas->mills, r) != 0 ||
	    leat_grow(&gas->own, &gas->own_cap, gas->mills.count, sizeof(*gas->own)) != 0)
		return leat_error_memory(err);
	return 1;
}

int
leat_precharge_end(struct leat_precharge *gas, struct leat_time now, struct leat_error *err)
{
	struct leat_time until = gas->last;

	if (leat_time_is_none(until))
		return 0;
	if (!leat_time_is_none(now) && leat_time_cmp(now, until) > 0)
		until = now;
	return end_instant(gas, err) != 0 ? -1 : pass_days(gas, until, true, err);
}

void
leat_precharge_free(struct leat_precharge *gas)
{
	free(gas->own);
	free(gas->shell);
	free(gas->order);
	free(gas->series);
	leat_names_free(&gas->shell_names);
	leat_mills_free(&gas->mills);
	leat_current_free(&gas->current);
}
