/* Leakage and gas of a mill: the mill at one instant. */
#include <math.h>

#include "derive/leakage_private.h"
#include "stream/quantity.h"

#define STARTS_LEAST 3		/* of a pump that charges (common practice: a duty pump is changed over once a day at most) */

const struct leat_mills_form leat_leak_form = {
	.point = { "pressure", "state", "pressure-setpoint", "oil-temperature", "charging", "level", "gas-temperature",
		"start-counter" }, .points = 8,
	.founding = 1, .part_point = "pump-running", .part = "pump"
};

/* The number of a slot, NaN where there is none.  0, or -1 with err for another dimension. */
static int
slot_number(const struct leat_leaks *leaks, const struct leat_mill *mill, size_t slot, const struct leat_unit *unit,
    struct leat_time seen, double *out, bool *uncertain, struct leat_error *err)
{
	const struct leat_latest *latest = leat_mills_latest(&leaks->mills, mill, slot, seen);

	*out = NAN;
	if (latest == NULL || !latest->is_number)
		return 0;
	*uncertain = *uncertain || leat_quantity_doubtful(latest, unit);
	return leat_quantity_latest(&leaks->current, mill->series[slot], unit, out, err) < 0 ? -1 : 0;
}

static bool
is_fresh(const struct leat_leaks *leaks, const struct leat_mill *mill, size_t slot, const struct leat_leak_instant *now)
{
	return mill->by_rows && mill->series[slot] != LEAT_NAME_NONE &&
	    leat_time_cmp(leaks->current.latest[mill->series[slot]].time, now->at) == 0;
}

static enum leat_leak_state
state_of(struct leat_leaks *leaks, const struct leat_mill *mill, struct leat_time seen)
{
	const struct leat_latest *latest = leat_mills_latest(&leaks->mills, mill, LEAT_LEAK_SLOT_STATE, seen);
	struct leat_span word;

	if (latest == NULL || latest->is_number || latest->word == LEAT_NAME_NONE)
		return LEAT_LEAK_UNKNOWN;
	word = leaks->current.words.name[latest->word];
	return leat_span_is(word, "grinding") ? LEAT_LEAK_GRINDING : leat_span_is(word, "hold") ? LEAT_LEAK_HOLD :
	    leat_span_is(word, "off") ? LEAT_LEAK_OFF : leat_span_is(word, "unknown") ? LEAT_LEAK_UNKNOWN : LEAT_LEAK_OTHER;
}

/* Does oil flow in?  By the charging valve; where there is none, by the pumps, of which one is enough. */
static void
read_switch(const struct leat_leaks *leaks, const struct leat_leak_mill *own, const struct leat_mill *mill,
    struct leat_time seen, struct leat_leak_instant *now)
{
	bool valve = mill->series[LEAT_LEAK_CHARGING] != LEAT_NAME_NONE;

	now->charge = -1;
	now->charge_row = LEAT_TIME_NONE;
	for (size_t i = 0; i < (valve ? 1 : own->pumps); i++) {
		uint32_t series = valve ? mill->series[LEAT_LEAK_CHARGING] : own->pump[i].running;
		const struct leat_latest *latest = leat_current_series(&leaks->current, series, seen);
		int on = latest != NULL ? leat_latest_switch(&leaks->current, latest) : -1;

		if (on < 0)
			continue;
		/* Of several pumps that stand the row of the one that moved last tells since when. */
		if (on > now->charge || (on == now->charge && leat_time_cmp(latest->time, now->charge_row) > 0))
			now->charge_row = latest->time;
		now->charge = on > now->charge ? on : now->charge;
		now->charge_fresh = now->charge_fresh || (mill->by_rows && leat_time_cmp(latest->time, now->at) == 0);
		now->uncertain = now->uncertain || latest->quality != LEAT_GOOD;
	}
}

static int
read_instant(struct leat_leaks *leaks, const struct leat_leak_mill *own, const struct leat_mill *mill, struct leat_time at,
    struct leat_time seen, struct leat_leak_instant *now, struct leat_error *err)
{
	bool any = false, counter_uncertain = false;

	*now = (struct leat_leak_instant){ .at = at, .state = state_of(leaks, mill, seen) };
	read_switch(leaks, own, mill, seen, now);
	if (slot_number(leaks, mill, LEAT_LEAK_PRESSURE, leaks->bar_unit, seen, &now->bar, &now->uncertain, err) != 0 ||
	    slot_number(leaks, mill, LEAT_LEAK_SET, leaks->bar_unit, seen, &now->setpoint_bar, &any, err) != 0 ||
	    slot_number(leaks, mill, LEAT_LEAK_TANK, leaks->degc, seen, &now->temp_c, &now->heat_uncertain, err) != 0 ||
	    slot_number(leaks, mill, LEAT_LEAK_GAS, leaks->degc, seen, &now->gas_c, &now->heat_uncertain, err) != 0 ||
	    slot_number(leaks, mill, LEAT_LEAK_LEVEL, leaks->mm, seen, &now->level_mm, &now->level_uncertain, err) != 0)
		return -1;
	if (slot_number(leaks, mill, LEAT_LEAK_COUNTER, leaks->one, seen, &now->counter, &counter_uncertain, err) != 0)
		return -1;
	now->counter_fresh = !isnan(now->counter) && !counter_uncertain && is_fresh(leaks, mill, LEAT_LEAK_COUNTER, now);
	/* Some controls put the set point to zero at a stop. */
	if (!(now->setpoint_bar > 0))
		now->setpoint_bar = NAN;
	now->bar_fresh = !isnan(now->bar) && is_fresh(leaks, mill, LEAT_LEAK_PRESSURE, now);
	now->level_fresh = !isnan(now->level_mm) && is_fresh(leaks, mill, LEAT_LEAK_LEVEL, now);
	return 0;
}

static void
begin(struct leat_leak_mill *own, struct leat_time at)
{
	own->last = at;
	own->state_lost = own->charge_lost = own->row_last = own->repeat_at = own->settled_from = LEAT_TIME_NONE;
	own->charge = own->charge_before = -1;
	own->bar = own->temp_c = own->gas_c = own->setpoint_bar = own->knee_mol = own->amount_mol = own->day.drain_lpm = NAN;
	own->knee_time = own->amount_time = own->loss_since = LEAT_TIME_NONE;
	own->counter = NAN;
	own->stop.grinding_since = own->stop.before_at = own->stop.off_since = LEAT_TIME_NONE;
	own->begun = true;
}

/* Time passes in the state that was known last. */
static void
pass_time(struct leat_leak_mill *own, struct leat_time at)
{
	double s = leat_time_diff(at, own->last);
	struct leat_leak_day *day = &own->day;

	if (!(s > 0))
		return;
	if (own->state == LEAT_LEAK_GRINDING) {
		day->grinding_s += s;
		own->counter_s += s;
	}
	if (own->state == LEAT_LEAK_HOLD)
		day->hold_s += s;
	if (own->state == LEAT_LEAK_UNKNOWN)
		own->counter_lost_s += s;
	if (own->charge >= 0 && (own->state == LEAT_LEAK_GRINDING || own->state == LEAT_LEAK_HOLD))
		day->watched_s += s;
	if (own->charge >= 0 && own->state == LEAT_LEAK_GRINDING)
		day->counted_s += s;
	own->last = at;
}

int
leat_leak_look(struct leat_leaks *leaks, struct leat_mill *mill, struct leat_time at, struct leat_time seen,
    struct leat_error *err)
{
	struct leat_leak_mill *own = &leaks->own[mill - leaks->mills.mill];
	struct leat_leak_instant now;

	if (!own->begun)
		begin(own, at);
	if (own->plate.set_bar == 0 || (!leat_time_is_none(own->plate.until) && leat_time_cmp(at, own->plate.until) >= 0))
		leat_leak_read_plate(leaks, own, mill->asset, at);
	leat_leak_set_oil(leaks, own, mill->asset);
	if (leat_leak_pumps(leaks, own, mill) != 0)
		return leat_error_memory(err);
	if (read_instant(leaks, own, mill, at, seen, &now, err) != 0 || leat_leak_take_drains(leaks, own, at, seen, err) != 0)
		return -1;
	pass_time(own, at);
	leat_leak_count(own, &now);
	if (leat_leak_cycle(leaks, own, mill, &now, seen) != 0 || leat_leak_stops(leaks, own, mill, &now) != 0)
		return leat_error_memory(err);
	/* A pump that runs all the time charges nobody knows when, and is relieved by another or started again after a trip at
	 * times: only pumps that were seen to start anew several times in a day, or after standing, stand for a valve. */
	own->has_switch = own->has_switch || !isnan(now.counter) || own->day.openings >= STARTS_LEAST ||
	    own->restarts >= STARTS_LEAST ||
	    (now.charge >= 0 && mill->series[LEAT_LEAK_CHARGING] != LEAT_NAME_NONE);
	own->state = (int)now.state;
	own->bar = now.bar;
	own->temp_c = now.temp_c;
	own->gas_c = now.gas_c;
	own->setpoint_bar = now.setpoint_bar;
	leat_mills_wake(&leaks->mills, mill, own->plate.until);
	return 0;
}
