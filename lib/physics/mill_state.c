/* The operating state of a mill. */
#include "physics/mill_state.h"

#include <math.h>

#include "physics/nitrogen.h"

#define PRECHARGE_AT_C 20.0

const char *
leat_mill_state_name(enum leat_mill_state state)
{
	static const char *const name[] = {
		[LEAT_MILL_UNKNOWN] = "unknown", [LEAT_MILL_OFF] = "off", [LEAT_MILL_NO_LOAD] = "no-load",
		[LEAT_MILL_PUMP_UP] = "pump-up", [LEAT_MILL_RUN_UP] = "run-up", [LEAT_MILL_GRINDING] = "grinding",
		[LEAT_MILL_HOLD] = "hold"
	};

	return name[state];
}

void
leat_mill_memory_init(struct leat_mill_memory *memory)
{
	*memory = (struct leat_mill_memory){
		.both_since = LEAT_TIME_NONE, .lost_since = LEAT_TIME_NONE, .pump_start = LEAT_TIME_NONE
	};
}

static void
conclude(struct leat_mill_result *out, enum leat_mill_state state, enum leat_mill_reason reason)
{
	out->state = state;
	out->reason = reason;
}

/* The pump's first known state is no start: it may have run for hours. */
static void
follow_pump(struct leat_mill_memory *memory, const struct leat_mill_inputs *in)
{
	if (in->pump != LEAT_MILL_SWITCH_ON && in->pump != LEAT_MILL_SWITCH_OFF)
		return;
	if (in->pump == LEAT_MILL_SWITCH_OFF)
		memory->pump_start = LEAT_TIME_NONE;
	else if (memory->pump_known && !memory->pump_on)
		memory->pump_start = in->now;
	memory->pump_known = true;
	memory->pump_on = in->pump == LEAT_MILL_SWITCH_ON;
}

/* A start counts until the pressure has come up, or should have. */
static void
end_pump_start(struct leat_mill_memory *memory, const struct leat_mill_inputs *in)
{
	double tolerance = in->tolerance_bar;

	if (leat_time_is_none(memory->pump_start))
		return;
	if (isnan(tolerance))
		tolerance = fmax(LEAT_MILL_TOLERANCE_BAR, LEAT_MILL_TOLERANCE_SHARE * in->setpoint_bar);
	if (in->pressure_bar >= in->setpoint_bar + tolerance ||
	    leat_time_diff(in->now, memory->pump_start) >= LEAT_MILL_PUMP_UP_MAX_S)
		memory->pump_start = LEAT_TIME_NONE;
}

/* 1 or 0; -1 with the reason when it cannot be told. */
static int
drive_on(const struct leat_mill_inputs *in, struct leat_mill_result *out)
{
	enum leat_mill_reason reason;

	if (in->drive == LEAT_MILL_SWITCH_ON || in->drive == LEAT_MILL_SWITCH_OFF)
		return in->drive == LEAT_MILL_SWITCH_ON;
	if (in->drive == LEAT_MILL_LOST)
		reason = LEAT_MILL_NO_DRIVE;
	else if (isnan(in->power_kw))
		reason = LEAT_MILL_NO_POWER;
	else if (isnan(in->rated_power_kw))
		reason = LEAT_MILL_NO_RATED_POWER;
	else
		return in->power_kw > LEAT_MILL_DRIVE_SHARE * in->rated_power_kw;
	conclude(out, LEAT_MILL_UNKNOWN, reason);
	return -1;
}

/* Is the mill pressed while its drive runs?  Decides run-up and grinding, or unknown; false leaves the rest. */
static bool
decide_grinding(struct leat_mill_memory *memory, const struct leat_mill_inputs *in, struct leat_mill_result *out)
{
	int drive;

	if (isnan(in->pressure_bar)) {
		conclude(out, LEAT_MILL_UNKNOWN, LEAT_MILL_NO_PRESSURE);
		return true;
	}
	drive = drive_on(in, out);
	if (drive < 0)
		return true;
	if (drive > 0 && isnan(in->setpoint_bar)) {
		conclude(out, LEAT_MILL_UNKNOWN, LEAT_MILL_NO_SETPOINT);
		return true;
	}
	if (drive == 0 || in->pressure_bar <= LEAT_MILL_GRINDING_SHARE * in->setpoint_bar) {
		memory->both_since = memory->lost_since = LEAT_TIME_NONE;
		return false;
	}
	if (leat_time_is_none(memory->both_since) || (!leat_time_is_none(memory->lost_since) &&
	    leat_time_diff(in->now, memory->lost_since) > in->run_up_s))
		memory->both_since = in->now;
	memory->lost_since = LEAT_TIME_NONE;
	out->limit_bar = LEAT_MILL_GRINDING_SHARE * in->setpoint_bar;
	out->since = memory->both_since;
	if (leat_time_diff(in->now, memory->both_since) >= in->run_up_s) {
		conclude(out, LEAT_MILL_GRINDING, LEAT_MILL_BOTH_HOLD);
	} else {
		conclude(out, LEAT_MILL_RUN_UP, LEAT_MILL_BOTH_HOLD);
		out->next = leat_time_add(memory->both_since, in->run_up_s);
	}
	return true;
}

/* A valve known to be shut keeps a start of the pump from being a pump-up. */
static bool
decide_pump_up(const struct leat_mill_memory *memory, const struct leat_mill_inputs *in, struct leat_mill_result *out)
{
	if (in->pump == LEAT_MILL_SWITCH_OFF)
		return false;
	if (in->charging == LEAT_MILL_SWITCH_ON) {
		conclude(out, LEAT_MILL_PUMP_UP, LEAT_MILL_VALVE_OPEN);
		return true;
	}
	if (leat_time_is_none(memory->pump_start) || in->charging == LEAT_MILL_SWITCH_OFF)
		return false;
	/* The start ends by itself whether or not its pressure can be told. */
	out->next = leat_time_add(memory->pump_start, LEAT_MILL_PUMP_UP_MAX_S);
	if (isnan(in->setpoint_bar)) {
		conclude(out, LEAT_MILL_UNKNOWN, LEAT_MILL_NO_SETPOINT);
		return true;
	}
	out->since = memory->pump_start;
	conclude(out, LEAT_MILL_PUMP_UP, LEAT_MILL_PUMP_STARTED);
	return true;
}

/* The pressure above which a shut-in mill stands on its accumulators; NaN when there is nothing to tell it by. */
static double
hold_limit(const struct leat_mill_inputs *in, struct leat_mill_result *out)
{
	double gas_c = isnan(in->gas_c) ? PRECHARGE_AT_C : in->gas_c, warmed;

	if (isnan(in->precharge_bar))
		return LEAT_MILL_GRINDING_SHARE * in->setpoint_bar;
	gas_c = fmin(fmax(gas_c, LEAT_NITROGEN_TEMP_MIN_C), LEAT_NITROGEN_TEMP_MAX_C);
	if (leat_nitrogen_warmed(in->precharge_bar, PRECHARGE_AT_C, gas_c, in->air_bara, &warmed) != 0)
		warmed = in->precharge_bar;
	out->precharge_bar = warmed;
	return LEAT_MILL_HOLD_SHARE * warmed;
}

/* Shut in by a pump that stands or a valve that is shut: is there pressure to hold? */
static void
decide_hold(const struct leat_mill_inputs *in, struct leat_mill_result *out)
{
	out->limit_bar = hold_limit(in, out);
	if (isnan(out->limit_bar))
		conclude(out, LEAT_MILL_UNKNOWN, LEAT_MILL_NO_SETPOINT);
	else if (in->pressure_bar > out->limit_bar)
		conclude(out, LEAT_MILL_HOLD, LEAT_MILL_SHUT_IN);
	else
		conclude(out, LEAT_MILL_NO_LOAD, LEAT_MILL_NONE_OF_THESE);
}

/* What a mill that is not pressed while its drive runs may be. */
static void
decide_standing(const struct leat_mill_memory *memory, const struct leat_mill_inputs *in,
    struct leat_mill_result *out)
{
	if (in->pressure_bar < LEAT_MILL_OFF_BELOW_BAR && in->pump != LEAT_MILL_SWITCH_ON) {
		out->limit_bar = LEAT_MILL_OFF_BELOW_BAR;
		if (in->pump == LEAT_MILL_LOST)
			conclude(out, LEAT_MILL_UNKNOWN, LEAT_MILL_NO_PUMP);
		else
			conclude(out, LEAT_MILL_OFF, LEAT_MILL_NO_OIL_PRESSURE);
	} else if (decide_pump_up(memory, in, out)) {
		return;
	} else if (in->pump == LEAT_MILL_SWITCH_OFF || in->charging == LEAT_MILL_SWITCH_OFF) {
		decide_hold(in, out);
	} else if (in->pump == LEAT_MILL_LOST) {
		conclude(out, LEAT_MILL_UNKNOWN, LEAT_MILL_NO_PUMP);
	} else if (in->charging == LEAT_MILL_LOST) {
		conclude(out, LEAT_MILL_UNKNOWN, LEAT_MILL_NO_VALVE);
	} else {
		conclude(out, LEAT_MILL_NO_LOAD, LEAT_MILL_NONE_OF_THESE);
	}
}

void
leat_mill_state_step(struct leat_mill_memory *memory, const struct leat_mill_inputs *in, struct leat_mill_result *out)
{
	*out = (struct leat_mill_result){
		.limit_bar = NAN, .precharge_bar = NAN, .since = LEAT_TIME_NONE, .next = LEAT_TIME_NONE
	};
	follow_pump(memory, in);
	end_pump_start(memory, in);
	if (!decide_grinding(memory, in, out))
		decide_standing(memory, in, out);
	else if (out->state == LEAT_MILL_UNKNOWN && !leat_time_is_none(memory->both_since) &&
	    leat_time_is_none(memory->lost_since))
		memory->lost_since = in->now;
}
