/*
 * Filter elements of a stream: lib/physics/element.h fed with readings, the nameplate and the logbook.
 *
 * A filter is an asset with filter-dp for which the nameplate has a clean-dp or a loop-flow.  Each whole minute in which its
 * loop runs is looked at by itself, after all readings up to it: what is valid then (leat_current) is a sample, or is refused
 * for one reason.  The median of a works' day is written at its end; where the element was changed within the day, that of
 * the new one alone.
 *
 * Does the loop run?  By oil-flow of the filter or of what it belongs to below the mill; else by pump-running of the
 * nameplate's loop-pump; else by that of the filter or a parent; else by whether any pump of the mill runs.
 *
 * How long an element served: the minutes in which its loop ran since the logged change.  A gap in which nothing is known
 * counts as what was before and after it, half where these differ.  A second entry in the works' day of a change is the same
 * change.
 *
 * Memory: 96 bytes for each minute of a day and filter, whatever the step of the readings.
 */
#ifndef LEAT_DERIVE_ELEMENT_H
#define LEAT_DERIVE_ELEMENT_H

#include "derive/minutes.h"
#include "derive/oil_in_use.h"
#include "derive/warmth.h"
#include "physics/element.h"
#include "stream/current.h"
#include "upkeep/logbook.h"

#define LEAT_ELEMENT_LIVES 5	/* earlier elements of a filter whose median life is compared with (common practice) */

/* Why a minute in which the loop runs is refused; the first that applies. */
enum leat_elements_reason {
	LEAT_ELEMENTS_NO_PLATE,		/* no oil, or a flow is read and there is no loop-flow */
	LEAT_ELEMENTS_NO_DP,		/* missing, bad or outdated */
	LEAT_ELEMENTS_NO_HEAT,
	LEAT_ELEMENTS_UNCERTAIN,	/* a reading of that quality, of a switch too */
	LEAT_ELEMENTS_SETTLING,		/* too soon after the start */
	LEAT_ELEMENTS_COLD,
	LEAT_ELEMENTS_VISCOSITY,
	LEAT_ELEMENTS_UNSTEADY,		/* the tank warms or cools, or is not known for half an hour */
	LEAT_ELEMENTS_IMPOSSIBLE,	/* nothing finite comes out */
	LEAT_ELEMENTS_BYPASS,		/* the bypass stands open: the element may be any worse */
	LEAT_ELEMENTS_ADMITTED		/* not refused; also the number of reasons */
};

/* Private: what the nameplate says of a filter. */
struct leat_elements_plate {
	bool given;				/* it has a clean-dp or a loop-flow */
	struct leat_element_reference reference;	/* its flow NaN: no loop-flow; its viscosity NaN: none known */
	double clean_bar, housing_percent, bypass_bar, open_percent, reference_c, least_flow_percent, lives_least;
	double settling_min, warm_from_c, warm_rate_k_h, thickest_mm2_s, least_min, least_percent;
	bool by_temperature;			/* the reference viscosity is that of the fresh oil at reference_c */
	struct leat_time until;			/* LEAT_TIME_NONE: for good */
};

/* Private: an admitted minute, or one with the bypass open. */
struct leat_elements_minute {
	struct leat_time time;
	double shown_bar, flow_lpm, oil_c, viscosity_mm2_s, element_bar;	/* flow_lpm NaN: that of the reference */
	struct leat_element_reference reference;
	bool bypass;
};

/* Private: of a works' day, since the change where there was one. */
struct leat_elements_day {
	long on, refused[LEAT_ELEMENTS_ADMITTED], flow_read;
	struct leat_elements_minute *minute;	/* admitted ones and those with the bypass open */
	size_t minutes, cap;
};

/* Private: of the element in service. */
struct leat_elements_life {
	struct leat_time since;			/* LEAT_TIME_NONE: no change is logged */
	struct leat_time day_end;		/* of the works' day of that change */
	long line;				/* of the logbook */
	long known_min, run_min;
	double unseen_min;			/* of gaps that have ended, taken to have run */
	double litres;				/* NaN: a flow was not known */
};

/* Private: an element that is finished, until it is written. */
struct leat_elements_finished {
	bool there;
	struct leat_elements_life life;
	struct leat_time until;
	double hours, ratio, median;		/* ratio NaN: too few before it */
	size_t before;				/* whose median that is */
	enum leat_quality quality;
};

struct leat_elements_filter {
	struct leat_span asset;			/* valid while the readings are open */
	size_t mill, next_of_mill;		/* the next filter of the mill; SIZE_MAX: none */
	uint32_t dp, flow, heat, pump;		/* series; LEAT_NAME_NONE: none */
	struct leat_span loop_pump;		/* the nameplate's, which alone counts where it is named */
	bool begun, warned;
	struct leat_elements_plate plate;
	struct leat_oil_in_use oil;
	struct leat_warmth warmth;
	struct leat_time on_since;		/* LEAT_TIME_NONE: not known to run */
	struct leat_time known_at;		/* the last minute of which it was known whether the loop runs; ... */
	bool ran;				/* ... and whether it did; LEAT_TIME_NONE: never */
	double flow_lpm;			/* the last one while it ran */
	size_t entry;				/* of the logbook, from which on entries are not yet taken */
	struct leat_elements_life life;
	double lives[LEAT_ELEMENT_LIVES];	/* the last ones, of good quality */
	size_t finished_lives;			/* ever put there */
	struct leat_elements_finished finished;
	double clean[LEAT_ELEMENT_LIVES];	/* what the last elements showed on their first day */
	size_t clean_seen;			/* ever put there */
	bool fresh;				/* an element that has not shown itself */
	double last_bar;			/* of the last good day; NaN: none */
	double before_bar;			/* before the change, until the new element has shown itself; NaN: nothing to compare */
	struct leat_time before_time;		/* of the change */
	struct leat_elements_day day;
};

/* Private: a mill. */
struct leat_elements_mill {
	struct leat_span asset;
	struct leat_oil_sheet sheet;
	uint32_t *pump;				/* series of pump-running */
	size_t pumps, pump_cap;
	size_t first_filter;			/* SIZE_MAX: none yet */
};

/* Private: what a series is. */
struct leat_elements_series {
	uint8_t role;
	size_t mill;
};

struct leat_elements {
	/* The user sets these before leat_elements_init; all are borrowed. */
	struct leat_readings *in;
	const struct leat_nameplate *np;
	const struct leat_points *points;
	const struct leat_logbook *book;
	struct leat_out *out;			/* takes the rows or explanations */
	bool explain;
	struct leat_span what;			/* explain this filter only: "NM/filter"; empty: all */
	void (*warn)(const char *text);		/* is told of what the user should mend; may be NULL */

	/* What was done. */
	long long replaced, added, days, changes;
	size_t filters;				/* that the nameplate knows */

	/* Private. */
	struct leat_current current;
	const struct leat_unit *bar, *lpm, *degc;
	struct leat_names mill_names, filter_names;
	struct leat_elements_mill *mill;
	struct leat_elements_filter *filter;
	struct leat_elements_series *series;
	size_t mill_cap, filter_cap, series_cap;
	size_t resolved;			/* current.seen when series were last looked up; ... */
	struct leat_time resolved_until;	/* ... and when the nameplate changes; LEAT_TIME_NONE: never */
	struct leat_minutes minutes;
	struct leat_time last;			/* of the rows taken last */
};

void leat_elements_init(struct leat_elements *elements);

/* Takes a reading in, after writing the rows that belong before it.  1: the reading stays in the stream; 0: it is one that
 * is made here, and must be left out; -1 with err: out of memory, or a unit of another dimension. */
int leat_elements_take(struct leat_elements *elements, const struct leat_reading *r, struct leat_error *err) LEAT_MUST_USE;

/* At the end of the stream: writes the days that end up to the last reading, or up to now where that is later and not
 * LEAT_TIME_NONE.  0, or -1 with err. */
int leat_elements_end(struct leat_elements *elements, struct leat_time now, struct leat_error *err) LEAT_MUST_USE;

void leat_elements_free(struct leat_elements *elements);

#endif
