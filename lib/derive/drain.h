/*
 * Case drain flow of each pump of a stream at a reference pressure and viscosity: lib/physics/slot_flow.h fed with readings
 * and the nameplate.
 *
 * A pump is an asset with pump-running.  Each whole minute is looked at by itself, after all readings up to it: what is
 * valid then (leat_current) is a sample, or is refused for one reason.  The median of a works' day is written at its end.
 *
 * Which meter: that of the pump itself, else of its nearest parent, else the only one that another pump of the mill has,
 * unless the nameplate says that it is that one's own.  A meter of several pumps shows the one that runs alone.
 *
 * Memory: 80 bytes for each minute of a day and pump, whatever the step of the readings.
 */
#ifndef LEAT_DERIVE_DRAIN_H
#define LEAT_DERIVE_DRAIN_H

#include "derive/minutes.h"
#include "derive/oil_in_use.h"
#include "derive/warmth.h"
#include "physics/slot_flow.h"
#include "stream/current.h"

#define LEAT_DRAIN_FIT_HOURS 200	/* admitted hours of a pump that are fitted (common practice) */
#define LEAT_DRAIN_FIT_HOURS_MIN 24
#define LEAT_DRAIN_FIT_HOURS_MAX 9000

/* Why a minute in which the pump runs is refused; the first that applies. */
enum leat_drain_reason {
	LEAT_DRAIN_NO_PLATE,	/* no reference pressure, or no oil */
	LEAT_DRAIN_OTHERS,	/* another pump of the same meter runs, or may */
	LEAT_DRAIN_NO_FLOW,	/* the drain flow is missing, bad or outdated */
	LEAT_DRAIN_NOT_SHARED,	/* the meter is another pump's, and shows nothing */
	LEAT_DRAIN_NO_PRESSURE,
	LEAT_DRAIN_NO_HEAT,
	LEAT_DRAIN_UNCERTAIN,	/* a reading of that quality, of a switch too */
	LEAT_DRAIN_SETTLING,	/* too soon after the start */
	LEAT_DRAIN_VALVE,	/* the charging valve moved within the minute, or is not known */
	LEAT_DRAIN_COLD,
	LEAT_DRAIN_UNSTEADY,	/* the tank warms or cools, or is not known for half an hour */
	LEAT_DRAIN_PRESSURE,	/* too far from the reference */
	LEAT_DRAIN_VISCOSITY,	/* of the oil in the tank, which the pump draws */
	LEAT_DRAIN_IMPOSSIBLE,	/* nothing finite comes out */
	LEAT_DRAIN_ADMITTED	/* not refused; also the number of reasons */
};

/* Where the pump pressure of a sample comes from. */
enum leat_drain_pressure {
	LEAT_DRAIN_READ,	/* pump-pressure */
	LEAT_DRAIN_COMPENSATOR,	/* the setting: the charging valve is shut */
	LEAT_DRAIN_GRINDING,	/* the grinding pressure: it is open, or there is none */
	LEAT_DRAIN_PRESSURES
};

/* Private: what the nameplate says of a pump. */
struct leat_drain_plate {
	struct leat_drain_reference reference;	/* its viscosity NaN: no oil; its pressure NaN: none */
	double reference_c, compensator_bar, band_percent, settling_min, thinnest_mm2_s, thickest_mm2_s;
	double warm_from_c, warm_rate_k_h, least_min, least_percent, density_kg_m3;
	struct leat_time until;			/* LEAT_TIME_NONE: for good */
};

/* Private: an admitted minute. */
struct leat_drain_minute {
	struct leat_time time;
	double flow_lpm, pressure_bar, drain_c, viscosity_mm2_s, corrected_lpm;
	struct leat_drain_reference reference;
};

/* Private: of a works' day. */
struct leat_drain_day {
	long on, refused[LEAT_DRAIN_ADMITTED], by_pressure[LEAT_DRAIN_PRESSURES], by_tank;
	struct leat_drain_minute *minute;
	size_t minutes, cap;
};

/* Private: an hour of the fit, which has medians only. */
struct leat_drain_hour {
	double factor, flow_lpm, drain_c;	/* model: flow_lpm = slot + bleed * factor, see drain_fit.c */
};

struct leat_drain_fit {
	struct leat_drain_hour *hour;
	size_t hours, cap;
	double factor[60], flow_lpm[60], drain_c[60];	/* of the hour that is running */
	size_t minutes;
	int64_t running;			/* its number; INT64_MIN: none */
	long admitted;				/* minutes */
	struct leat_time first, last;		/* admitted */
	double given_bleed_lpm;			/* of the nameplate, which is left out while fitting */
};

struct leat_drain_pump {
	struct leat_span asset;			/* valid while the readings are open */
	size_t mill, next_of_mill;		/* the next pump of the mill; SIZE_MAX: none */
	uint32_t running, meter, pressure, heat, tank, press; /* series; LEAT_NAME_NONE: never came */
	size_t warmth;				/* of its tank; SIZE_MAX: none */
	struct leat_span meter_of;		/* the asset of the meter */
	bool borrowed;				/* the meter is another pump's */
	bool shared;				/* another pump of the mill has the same meter */
	bool begun, warned;
	struct leat_drain_plate plate;
	struct leat_oil_in_use oil;
	struct leat_time on_since;		/* LEAT_TIME_NONE: not known to run */
	struct leat_drain_day day;
	struct leat_drain_fit fit;
};

/* Private: a mill. */
struct leat_drain_mill {
	struct leat_span asset;
	uint32_t charging;			/* series */
	int valve;				/* what it was last: 1, 0, or -1 */
	struct leat_time moved;			/* LEAT_TIME_NONE: never seen to */
	struct leat_oil_sheet sheet;
	size_t first_pump;			/* SIZE_MAX: none yet */
};

/* Private: what a series is. */
struct leat_drain_series {
	uint8_t role;
	size_t mill, pump;
	size_t warmth;				/* where its temperatures are kept, counted from 1; 0: they are not */
};

struct leat_drain {
	/* The user sets these before leat_drain_init; all are borrowed. */
	struct leat_readings *in;
	const struct leat_nameplate *np;
	const struct leat_points *points;
	struct leat_out *out;			/* takes the rows or explanations */
	bool explain;
	struct leat_span what;			/* explain this pump only: "NM/pump-a"; empty: all */
	int fit_hours;				/* more than 0: fit, and write rows of the nameplate in place of the stream */
	void (*warn)(const char *text);		/* is told of what the user should mend; may be NULL */

	/* What was done. */
	long long replaced, added, days;
	size_t metered;				/* pumps with a meter */

	/* Private. */
	struct leat_current current;
	const struct leat_unit *bar, *lpm, *degc;
	struct leat_names mill_names, pump_names;
	struct leat_drain_mill *mill;
	struct leat_drain_pump *pump;
	struct leat_drain_series *series;
	struct leat_warmth *warmth;
	size_t mill_cap, pump_cap, series_cap, warmth_cap, warmths;
	size_t resolved;			/* current.seen when the meters were last looked up; ... */
	struct leat_time resolved_until;	/* ... and when the nameplate changes; LEAT_TIME_NONE: never */
	struct leat_minutes minutes;
	struct leat_time last;			/* of the rows taken last */
};

void leat_drain_init(struct leat_drain *drain);

/* Takes a reading in, after writing the rows that belong before it.  1: the reading stays in the stream; 0: it is one that
 * is made here, and must be left out; -1 with err: out of memory, or a unit of another dimension. */
int leat_drain_take(struct leat_drain *drain, const struct leat_reading *r, struct leat_error *err) LEAT_MUST_USE;

/* At the end of the stream: writes the days that end up to the last reading, or up to now where that is later and not
 * LEAT_TIME_NONE; or what was fitted.  0, or -1 with err. */
int leat_drain_end(struct leat_drain *drain, struct leat_time now, struct leat_error *err) LEAT_MUST_USE;

void leat_drain_free(struct leat_drain *drain);

#endif
