/* Corrected case drain flow: one minute of a pump, admitted or refused. */
#include <math.h>
#include <stdio.h>

#include "derive/drain_private.h"
#include "stream/quantity.h"

/* A works' day of 25 h, and one in which the nameplate moves its beginning, are far below this. */
#define MINUTES_MAX 4096

/* What is known of a pump at one minute. */
struct sample {
	double flow_lpm, pressure_bar, drain_c, tank_c;
	double viscosity_mm2_s, corrected_lpm;	/* of an admitted one */
	enum leat_drain_pressure pressure_from;
	bool by_tank;
	bool uncertain;		/* a reading of all these, or a switch, is */
};

/* Does another pump run that drains through the same meter, or is that not known? */
static bool
others_run(const struct leat_drain *drain, const struct leat_drain_pump *pump, struct leat_time at)
{
	size_t i = pump->shared ? drain->mill[pump->mill].first_pump : SIZE_MAX;

	for (; i != SIZE_MAX; i = drain->pump[i].next_of_mill) {
		const struct leat_drain_pump *other = &drain->pump[i];
		bool uncertain = false;

		if (other != pump && other->meter == pump->meter &&
		    (leat_current_switch(&drain->current, other->running, at, &uncertain) != 0 || uncertain))
			return true;
	}
	return false;
}

/* The pressure at the pump's outlet: as read; else that which the control keeps. */
static int
find_pressure(const struct leat_drain *drain, const struct leat_drain_pump *pump, struct leat_time at, int valve,
    struct sample *s, struct leat_error *err)
{
	s->pressure_from = LEAT_DRAIN_READ;
	if (leat_quantity_valid(&drain->current, pump->pressure, drain->bar, at, &s->pressure_bar, &s->uncertain, err) != 0)
		return -1;
	if (!isnan(s->pressure_bar))
		return 0;
	/* Where neither valve nor grinding pressure is read at all, the pump is taken to stand at its setting. */
	if (pump->plate.compensator_bar > 0 && (valve == 0 ||
	    (drain->mill[pump->mill].charging == LEAT_NAME_NONE && pump->press == LEAT_NAME_NONE))) {
		s->pressure_from = LEAT_DRAIN_COMPENSATOR;
		s->pressure_bar = pump->plate.compensator_bar;
		return 0;
	}
	/* Behind a shut valve the pump does not see the grinding pressure. */
	if (valve == 0)
		return 0;
	s->pressure_from = LEAT_DRAIN_GRINDING;
	return leat_quantity_valid(&drain->current, pump->press, drain->bar, at, &s->pressure_bar, &s->uncertain, err);
}

static int
read_sample(const struct leat_drain *drain, const struct leat_drain_pump *pump, struct leat_time at, int valve,
    struct sample *s, struct leat_error *err)
{
	s->by_tank = false;
	if (leat_quantity_valid(&drain->current, pump->meter, drain->lpm, at, &s->flow_lpm, &s->uncertain, err) != 0 ||
	    find_pressure(drain, pump, at, valve, s, err) != 0 ||
	    leat_quantity_valid(&drain->current, pump->heat, drain->degc, at, &s->drain_c, &s->uncertain, err) != 0 ||
	    leat_quantity_valid(&drain->current, pump->tank, drain->degc, at, &s->tank_c, &s->uncertain, err) != 0)
		return -1;
	if (pump->tank == LEAT_NAME_NONE)
		s->tank_c = s->drain_c;
	if (isnan(s->drain_c)) {
		s->by_tank = true;
		s->drain_c = s->tank_c + leat_oil_throttled_k(s->pressure_bar, pump->plate.density_kg_m3);
	}
	return 0;
}

/* Is the minute admitted, and if not, why?  What comes out of it is added to the sample. */
static enum leat_drain_reason
judge(const struct leat_drain *drain, const struct leat_drain_pump *pump, struct sample *s, struct leat_time at, int valve)
{
	const struct leat_drain_mill *mill = &drain->mill[pump->mill];
	const struct leat_drain_plate *plate = &pump->plate;
	double reference = plate->reference.pressure_bar, drawn_mm2_s;

	if (!(reference > 0) || !(plate->reference.viscosity_mm2_s > 0))
		return LEAT_DRAIN_NO_PLATE;
	if (others_run(drain, pump, at))
		return LEAT_DRAIN_OTHERS;
	if (isnan(s->flow_lpm))
		return LEAT_DRAIN_NO_FLOW;
	if (pump->borrowed && s->flow_lpm <= 0)
		return LEAT_DRAIN_NOT_SHARED;
	if (!(s->pressure_bar > 0))
		return LEAT_DRAIN_NO_PRESSURE;
	if (isnan(s->drain_c))
		return LEAT_DRAIN_NO_HEAT;
	if (s->uncertain)
		return LEAT_DRAIN_UNCERTAIN;
	if (leat_time_diff(at, pump->on_since) < plate->settling_min * LEAT_MINUTE_S)
		return LEAT_DRAIN_SETTLING;
	if (mill->charging != LEAT_NAME_NONE &&
	    (valve < 0 || (!leat_time_is_none(mill->moved) && leat_time_diff(at, mill->moved) < LEAT_MINUTE_S)))
		return LEAT_DRAIN_VALVE;
	if (!(s->tank_c >= plate->warm_from_c))
		return LEAT_DRAIN_COLD;
	if (!(fabs(leat_warmth_k_h(&drain->warmth[pump->warmth], at.sec / LEAT_MINUTE_S)) < plate->warm_rate_k_h))
		return LEAT_DRAIN_UNSTEADY;
	if (!(fabs(s->pressure_bar - reference) <= plate->band_percent / 100 * reference))
		return LEAT_DRAIN_PRESSURE;
	/* Ranges of viscosity are given for the oil that a pump draws; that of the drain is hotter. */
	drawn_mm2_s = leat_oil_viscosity(&pump->oil.curve, s->tank_c);
	if (!(drawn_mm2_s >= plate->thinnest_mm2_s && drawn_mm2_s <= plate->thickest_mm2_s))
		return LEAT_DRAIN_VISCOSITY;
	s->viscosity_mm2_s = leat_oil_viscosity(&pump->oil.curve, s->drain_c);
	s->corrected_lpm = leat_drain_corrected_lpm(&plate->reference, s->flow_lpm, s->pressure_bar, s->viscosity_mm2_s);
	return isfinite(s->corrected_lpm) ? LEAT_DRAIN_ADMITTED : LEAT_DRAIN_IMPOSSIBLE;
}

static int
admit(struct leat_drain *drain, struct leat_drain_pump *pump, const struct sample *s, struct leat_time at)
{
	struct leat_drain_day *day = &pump->day;
	struct leat_drain_minute m = { at, s->flow_lpm, s->pressure_bar, s->drain_c, s->viscosity_mm2_s, s->corrected_lpm,
		pump->plate.reference };

	if (drain->fit_hours > 0)
		return leat_drain_fit_add(drain, pump, &m);
	if (day->minutes == MINUTES_MAX)
		return 0;
	if (leat_grow(&day->minute, &day->cap, day->minutes + 1, sizeof(*day->minute)) != 0)
		return -1;
	day->minute[day->minutes++] = m;
	day->by_pressure[s->pressure_from]++;
	day->by_tank += s->by_tank;
	return 0;
}

/* Says once what the nameplate lacks of a pump that runs. */
static void
tell_lack(const struct leat_drain *drain, struct leat_drain_pump *pump)
{
	char text[320];

	if (pump->warned)
		return;
	pump->warned = true;
	snprintf(text, sizeof(text), "the drain flow of '%.*s' cannot be corrected: give its 'reference-pressure', and the "
	    "'oil-viscosity-40' and 'oil-viscosity-100' of its oil, in nameplate.csv", (int)pump->asset.len, pump->asset.ptr);
	leat_drain_tell(drain, text);
}

int
leat_drain_look(struct leat_drain *drain, struct leat_drain_pump *pump, struct leat_time minute, bool *known,
    struct leat_error *err)
{
	const struct leat_drain_mill *mill = &drain->mill[pump->mill];
	struct sample s = { .uncertain = false };
	int on = leat_current_switch(&drain->current, pump->running, minute, &s.uncertain), valve;
	enum leat_drain_reason reason;

	*known = *known || on >= 0;
	if (on <= 0)
		pump->on_since = LEAT_TIME_NONE;
	if (on < 0 || pump->meter == LEAT_NAME_NONE)
		return 0;
	if (!pump->begun || (!leat_time_is_none(pump->plate.until) && leat_time_cmp(minute, pump->plate.until) >= 0))
		leat_drain_read_plate(drain, pump, minute);
	leat_oil_in_use_follow(&pump->oil, drain->np, pump->asset, &mill->sheet);
	valve = mill->charging != LEAT_NAME_NONE ? leat_current_switch(&drain->current, mill->charging, minute, &s.uncertain) : -1;
	if (read_sample(drain, pump, minute, valve, &s, err) != 0)
		return -1;
	if (pump->warmth != SIZE_MAX)
		leat_warmth_keep(&drain->warmth[pump->warmth], minute.sec / LEAT_MINUTE_S, s.tank_c);
	if (on == 0)
		return 0;
	if (leat_time_is_none(pump->on_since))
		pump->on_since = minute;
	pump->day.on++;
	reason = judge(drain, pump, &s, minute, valve);
	if (reason == LEAT_DRAIN_NO_PLATE)
		tell_lack(drain, pump);
	if (reason < LEAT_DRAIN_ADMITTED)
		pump->day.refused[reason]++;
	else if (admit(drain, pump, &s, minute) != 0)
		return leat_error_memory(err);
	return 0;
}
