/* The rules of the operating state in words, for a person who redoes them. */
#include "physics/mill_state.h"

#include <math.h>
#include <stdio.h>

/* Pressures with the digit that a gauge shows. */
#define BAR "%.1f bar"

static const char *
lack(enum leat_mill_reason reason)
{
	switch (reason) {
	case LEAT_MILL_NO_PRESSURE:
		return "no valid pressure";
	case LEAT_MILL_NO_DRIVE:
		return "no valid mill-running";
	case LEAT_MILL_NO_POWER:
		return "no mill-running, and no valid mill-power in its place";
	case LEAT_MILL_NO_RATED_POWER:
		return "no mill-running, and mill-power without rated-power in nameplate.csv does not tell";
	case LEAT_MILL_NO_SETPOINT:
		return "no valid pressure-setpoint, and no set-pressure in nameplate.csv";
	case LEAT_MILL_NO_PUMP:
		return "no valid pump-running";
	case LEAT_MILL_NO_VALVE:
		return "no valid charging";
	default:
		return "";
	}
}

static const char *
switch_words(enum leat_mill_switch s, const char *on, const char *off, const char *absent)
{
	return s == LEAT_MILL_SWITCH_ON ? on : s == LEAT_MILL_SWITCH_OFF ? off : absent;
}

/* "drive on" with how that is known. */
static void
drive_words(char *dst, size_t size, const struct leat_mill_inputs *in)
{
	double least = LEAT_MILL_DRIVE_SHARE * in->rated_power_kw;

	if (in->drive != LEAT_MILL_ABSENT)
		snprintf(dst, size, "mill-running %s", in->drive == LEAT_MILL_SWITCH_ON ? "on" : "off");
	else
		snprintf(dst, size, "mill-power %.0f kW %s %.0f kW (%.0f %% of rated)", in->power_kw,
		    in->power_kw > least ? "above" : "not above", least, LEAT_MILL_DRIVE_SHARE * 100);
}

static void
grinding_words(char *dst, const char *drive, const struct leat_mill_inputs *in, const struct leat_mill_result *result)
{
	char held[40], run_up[40];

	leat_duration_words(held, leat_time_diff(in->now, result->since));
	leat_duration_words(run_up, in->run_up_s);
	snprintf(dst, LEAT_MILL_WORDS_MAX, "%s, pressure " BAR " above " BAR " (%.1f of set point " BAR "), both for %s, %s %s",
	    drive, in->pressure_bar, result->limit_bar, LEAT_MILL_GRINDING_SHARE, in->setpoint_bar, held,
	    result->state == LEAT_MILL_GRINDING ? "at least the run-up of" : "in the run-up of", run_up);
}

/* "90.5 bar above 1.1 times the precharge at gas temperature, 83.6 bar". */
static void
hold_words(char *dst, size_t size, const struct leat_mill_inputs *in, const struct leat_mill_result *result)
{
	const char *side = in->pressure_bar > result->limit_bar ? "above" : "not above";

	if (isnan(result->precharge_bar))
		snprintf(dst, size, BAR " %s " BAR " (%.1f of set point " BAR "; no precharge is known)", in->pressure_bar,
		    side, result->limit_bar, LEAT_MILL_GRINDING_SHARE, in->setpoint_bar);
	else
		snprintf(dst, size, BAR " %s " BAR " (%.1f of precharge " BAR " at %.0f degC)", in->pressure_bar, side,
		    result->limit_bar, LEAT_MILL_HOLD_SHARE, result->precharge_bar,
		    isnan(in->gas_c) ? 20.0 : in->gas_c);
}

static void
standing_words(char *dst, const char *drive, const struct leat_mill_inputs *in, const struct leat_mill_result *result)
{
	const char *pump = switch_words(in->pump, "pump on", "pump off", "pump not known");
	const char *valve = switch_words(in->charging, "charging valve open", "charging valve shut",
	    "charging valve not known");
	char pressure[160], since[40];

	snprintf(pressure, sizeof(pressure), BAR, in->pressure_bar);
	switch (result->reason) {
	case LEAT_MILL_NO_OIL_PRESSURE:
		snprintf(dst, LEAT_MILL_WORDS_MAX, "%s, %s, pressure " BAR " below " BAR, drive, pump, in->pressure_bar,
		    result->limit_bar);
		return;
	case LEAT_MILL_PUMP_STARTED:
		leat_duration_words(since, leat_time_diff(in->now, result->since));
		snprintf(dst, LEAT_MILL_WORDS_MAX, "%s, pump started %s ago, %s, pressure " BAR " not yet at the upper "
		    "switching point over set point " BAR, drive, since, valve, in->pressure_bar, in->setpoint_bar);
		return;
	case LEAT_MILL_SHUT_IN:
	case LEAT_MILL_NONE_OF_THESE:
		if (!isnan(result->limit_bar))
			hold_words(pressure, sizeof(pressure), in, result);
		break;
	default:
		break;
	}
	snprintf(dst, LEAT_MILL_WORDS_MAX, "%s, %s, %s, pressure %s", drive, pump, valve, pressure);
}

void
leat_mill_state_words(char *dst, const struct leat_mill_inputs *in, const struct leat_mill_result *result)
{
	char drive[120];

	if (result->state == LEAT_MILL_UNKNOWN) {
		snprintf(dst, LEAT_MILL_WORDS_MAX, "%s", lack(result->reason));
		return;
	}
	drive_words(drive, sizeof(drive), in);
	if (result->reason == LEAT_MILL_BOTH_HOLD)
		grinding_words(dst, drive, in, result);
	else
		standing_words(dst, drive, in, result);
}
