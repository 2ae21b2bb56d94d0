/* Filter elements: one minute of a filter, admitted or refused. */
#include <math.h>
#include <stdio.h>

#include "derive/element_private.h"
#include "stream/quantity.h"

/* A works' day of 25 h, and one in which the nameplate moves its beginning, are far below this. */
#define MINUTES_MAX 4096

/* What is known of a filter at one minute. */
struct sample {
	double shown_bar, flow_lpm, oil_c, viscosity_mm2_s, element_bar;
	struct leat_element_reference reference;
	bool flow_read;
	bool uncertain;		/* a reading of all these, or a switch, is */
};

/* 1: the loop runs; 0: it does not; -1: not known. */
static int
pumps_run(const struct leat_elements *elements, const struct leat_elements_filter *filter, struct leat_time at,
    bool *uncertain)
{
	const struct leat_elements_mill *mill = &elements->mill[filter->mill];
	bool off = mill->pumps > 0, doubtful = false;

	if (filter->pump != LEAT_NAME_NONE)
		return leat_current_switch(&elements->current, filter->pump, at, uncertain);
	if (filter->loop_pump.len > 0)
		return -1;
	for (size_t i = 0; i < mill->pumps; i++) {
		bool lesser = false;
		int on = leat_current_switch(&elements->current, mill->pump[i], at, &lesser);

		/* One that runs for sure is enough. */
		if (on > 0 && !lesser)
			return 1;
		doubtful = doubtful || on > 0;
		off = off && on == 0;
	}
	*uncertain = *uncertain || doubtful;
	return doubtful ? 1 : off ? 0 : -1;
}

/* Whether the loop runs, and its flow: as read, else that of the nameplate, else NaN. */
static int
find_flow(const struct leat_elements *elements, const struct leat_elements_filter *filter, struct leat_time at,
    struct sample *s, int *on, struct leat_error *err)
{
	const struct leat_elements_plate *plate = &filter->plate;
	double least = plate->reference.flow_lpm > 0 ? plate->least_flow_percent / 100 * plate->reference.flow_lpm : 0;
	bool uncertain = false;

	s->flow_read = false;
	s->flow_lpm = NAN;
	if (filter->flow != LEAT_NAME_NONE &&
	    leat_quantity_valid(&elements->current, filter->flow, elements->lpm, at, &s->flow_lpm, &uncertain, err) != 0)
		return -1;
	if (!isnan(s->flow_lpm)) {
		s->uncertain = s->uncertain || uncertain;
		s->flow_read = true;
		*on = s->flow_lpm > 0 && s->flow_lpm >= least;
		return 0;
	}
	s->flow_lpm = plate->reference.flow_lpm;
	*on = pumps_run(elements, filter, at, &s->uncertain);
	return 0;
}

/* Is the minute admitted, and if not, why?  What comes out of it is added to the sample. */
static enum leat_elements_reason
judge(const struct leat_elements_filter *filter, struct sample *s, struct leat_time at)
{
	const struct leat_elements_plate *plate = &filter->plate;
	double flow_lpm = s->flow_lpm;

	s->reference = plate->reference;
	if (!(s->reference.viscosity_mm2_s > 0) || (s->flow_read && !(s->reference.flow_lpm > 0)))
		return LEAT_ELEMENTS_NO_PLATE;
	if (isnan(s->shown_bar))
		return LEAT_ELEMENTS_NO_DP;
	if (isnan(s->oil_c))
		return LEAT_ELEMENTS_NO_HEAT;
	if (s->uncertain)
		return LEAT_ELEMENTS_UNCERTAIN;
	if (leat_time_diff(at, filter->on_since) < plate->settling_min * LEAT_MINUTE_S)
		return LEAT_ELEMENTS_SETTLING;
	if (!(s->oil_c >= plate->warm_from_c))
		return LEAT_ELEMENTS_COLD;
	s->viscosity_mm2_s = leat_oil_viscosity(&filter->oil.curve, s->oil_c);
	if (!(s->viscosity_mm2_s <= plate->thickest_mm2_s))
		return LEAT_ELEMENTS_VISCOSITY;
	if (!(fabs(leat_warmth_k_h(&filter->warmth, at.sec / LEAT_MINUTE_S)) < plate->warm_rate_k_h))
		return LEAT_ELEMENTS_UNSTEADY;
	/* A loop whose flow nobody gives runs at its reference. */
	if (!(s->reference.flow_lpm > 0))
		s->reference.flow_lpm = flow_lpm = 1;
	s->element_bar = leat_element_dp_bar(&s->reference, s->shown_bar, flow_lpm, s->viscosity_mm2_s);
	if (!isfinite(s->element_bar))
		return LEAT_ELEMENTS_IMPOSSIBLE;
	return s->shown_bar >= plate->open_percent / 100 * plate->bypass_bar ? LEAT_ELEMENTS_BYPASS : LEAT_ELEMENTS_ADMITTED;
}

static int
keep(struct leat_elements_day *day, const struct sample *s, struct leat_time at, bool bypass)
{
	if (day->minutes == MINUTES_MAX)
		return 0;
	if (leat_grow(&day->minute, &day->cap, day->minutes + 1, sizeof(*day->minute)) != 0)
		return -1;
	day->minute[day->minutes++] = (struct leat_elements_minute){ at, s->shown_bar, s->flow_lpm, s->oil_c, s->viscosity_mm2_s,
		s->element_bar, s->reference, bypass };
	day->flow_read += s->flow_read;
	return 0;
}

/* Says once what the nameplate lacks of a filter whose loop runs. */
static void
tell_lack(const struct leat_elements *elements, struct leat_elements_filter *filter)
{
	char text[320];

	if (filter->warned)
		return;
	filter->warned = true;
	snprintf(text, sizeof(text), "the differential pressure of '%.*s' cannot be corrected: give %s in nameplate.csv",
	    (int)filter->asset.len, filter->asset.ptr, filter->plate.reference.viscosity_mm2_s > 0 ? "its 'loop-flow'" :
	    "the 'oil-viscosity-40' and 'oil-viscosity-100' of its oil");
	leat_elements_tell(elements, text);
}

int
leat_elements_look(struct leat_elements *elements, struct leat_elements_filter *filter, struct leat_time minute, bool *known,
    struct leat_error *err)
{
	struct sample s = { .uncertain = false };
	enum leat_elements_reason reason;
	int on;

	if (!filter->begun || (!leat_time_is_none(filter->plate.until) && leat_time_cmp(minute, filter->plate.until) >= 0))
		leat_elements_read_plate(elements, filter, minute);
	if (!filter->plate.given)
		return 0;
	leat_elements_take_entries(elements, filter, minute);
	leat_oil_in_use_follow(&filter->oil, elements->np, filter->asset, &elements->mill[filter->mill].sheet);
	if (find_flow(elements, filter, minute, &s, &on, err) != 0 ||
	    leat_quantity_valid(&elements->current, filter->dp, elements->bar, minute, &s.shown_bar, &s.uncertain, err) != 0 ||
	    leat_quantity_valid(&elements->current, filter->heat, elements->degc, minute, &s.oil_c, &s.uncertain, err) != 0)
		return -1;
	*known = *known || on >= 0;
	leat_warmth_keep(&filter->warmth, minute.sec / LEAT_MINUTE_S, s.oil_c);
	if (on >= 0)
		leat_elements_count(filter, minute, on > 0, s.flow_lpm);
	if (on <= 0) {
		filter->on_since = LEAT_TIME_NONE;
		return 0;
	}
	if (leat_time_is_none(filter->on_since))
		filter->on_since = minute;
	filter->day.on++;
	reason = judge(filter, &s, minute);
	if (reason == LEAT_ELEMENTS_NO_PLATE)
		tell_lack(elements, filter);
	if (reason < LEAT_ELEMENTS_ADMITTED)
		filter->day.refused[reason]++;
	if (reason >= LEAT_ELEMENTS_BYPASS && keep(&filter->day, &s, minute, reason == LEAT_ELEMENTS_BYPASS) != 0)
		return leat_error_memory(err);
	return 0;
}
