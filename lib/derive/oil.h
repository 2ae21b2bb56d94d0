/*
 * What the oil is worth: its water, viscosity, acid and additives by sample, its ageing, its volume and where it
 * goes, and how long cleaning and drying take.  lib/physics fed with readings, the nameplate and the logbook.
 *
 * A sampling point is an asset with laboratory values; a last part bottle-N of its path is one bottle of it.  All its
 * readings at one instant are one sample; of each value the bottle with the highest number counts.  What is made of a
 * sample carries its asset and time; what is made of the mill's own instruments carries the mill and the end of a works'
 * day.
 *
 * Memory: a record for each mill, sampling point and series, thirty works' days for each mill, and the rows of one instant.
 */
#ifndef LEAT_DERIVE_OIL_H
#define LEAT_DERIVE_OIL_H

#include "derive/made.h"
#include "stream/current.h"
#include "stream/nameplate.h"
#include "upkeep/logbook.h"

#define LEAT_OILS_DAYS 30		/* works' days that are looked back upon */
#define LEAT_OILS_STEADY 6		/* samples whose counts are kept */

/* Private: what a laboratory reports; the metals in between. */
enum leat_oils_quantity {
	LEAT_OILS_WATER, LEAT_OILS_V40, LEAT_OILS_V100, LEAT_OILS_ACID,
	LEAT_OILS_IRON, LEAT_OILS_COPPER, LEAT_OILS_TIN, LEAT_OILS_CHROMIUM,
	LEAT_OILS_SILICON, LEAT_OILS_ALUMINIUM, LEAT_OILS_SODIUM, LEAT_OILS_ZINC,
	LEAT_OILS_COUNT_6, LEAT_OILS_COUNT_14,
	LEAT_OILS_QUANTITIES
};
#define LEAT_OILS_METALS (LEAT_OILS_ZINC - LEAT_OILS_IRON + 1)
#define LEAT_OILS_SIZES 2

/* Private: one value of a sample. */
struct leat_oils_value {
	bool has;
	int bottle;
	double value;
	enum leat_quality quality;
};

/* Private: the sample before, for the rate of a metal. */
struct leat_oils_metal {
	bool has;
	double value, hours;
	double kept;			/* share of it that top-ups have left; NaN where that cannot be told */
	enum leat_quality quality;
	struct leat_time time;
};

/* Private: a sampling point. */
struct leat_oils_sample {
	struct leat_span asset;
	uint32_t mill;
	bool touched;
	struct leat_oils_value value[LEAT_OILS_QUANTITIES];
	struct leat_oils_metal metal[LEAT_OILS_METALS];
	double steady[LEAT_OILS_SIZES][LEAT_OILS_STEADY];	/* counts of the samples before, a ring */
	size_t steadies[LEAT_OILS_SIZES];
};

/* Private: a works' day of a mill. */
struct leat_oils_day {
	struct leat_time end;
	double coldest_c, warmest_c;	/* INFINITY, -INFINITY: none read */
	bool level;
	double adjusted_l;		/* volume at 20 degC less what was topped up and drained before */
	double drained_l;		/* since the beginning */
};

/* Private: a mill. */
struct leat_oils_mill {
	struct leat_span asset;
	uint32_t temperature, level, pressure, state;	/* series; LEAT_NAME_NONE: never came */
	unsigned wanted;		/* what was not there to make rows of */
	/* The nameplate, until it changes. */
	struct leat_time plate_until;
	bool plate_known, plate_for_good;
	double warm_from_c, settling_s;
	/* The oil's temperature and its ageing. */
	struct leat_time at;		/* integrated up to here; LEAT_TIME_NONE: not begun */
	struct leat_time grinding_since; /* without a break; LEAT_TIME_NONE: it does not grind */
	struct leat_time heat_at;	/* of the latest temperature; LEAT_TIME_NONE: none */
	double heat_c, hold_s;
	double ageing_h, ageing_high_h, gap_h;
	struct leat_time aged_since, aged_told;	/* oil change or first temperature; told last */
	bool changed;			/* aged_since is an oil change */
	double warm_c;			/* latest of warm oil ... */
	struct leat_time warm_at;	/* ... and when; LEAT_TIME_NONE */
	double working_c;		/* mean of the last works' day with grinding ... */
	struct leat_time working_at;	/* ... which ended then; LEAT_TIME_NONE */
	/* The works' day so far. */
	struct leat_oils_day today;
	double grinding_s, grinding_heat;			/* s, s degC */
	double level_s, level_mm, level_heat, level_bar, level_net;	/* sums over level_s */
	struct leat_oils_day day[LEAT_OILS_DAYS];	/* a ring */
	size_t days;
	/* What was filled in and let off. */
	double topped_l, drained_l;
	/* Running hours, latest. */
	double hours;
	struct leat_time hours_at;	/* LEAT_TIME_NONE: none */
	/* Water of the latest sample. */
	double water_mg_kg;
	struct leat_time water_at;	/* LEAT_TIME_NONE: none */
	enum leat_quality water_quality;
};

/* Private: what a series is. */
struct leat_oils_series {
	uint8_t role, quantity;
	bool numeric;			/* of the tank, and no word */
	int bottle;
	uint32_t mill, sample;
	struct leat_time last;		/* of an amount */
};

struct leat_oils {
	/* The user sets these before leat_oils_init; all are borrowed. */
	struct leat_readings *in;
	const struct leat_nameplate *np;
	const struct leat_points *points;
	const struct leat_logbook *book;
	struct leat_out *out;			/* takes the rows or explanations */
	bool copy;				/* rows of the stream are written, so those that are held here too */
	bool explain;				/* explanations in place of rows */
	struct leat_span what;			/* explain this asset or ASSET/POINT only; empty: all */
	void (*warn)(const char *text);		/* is told of what is missing, once a mill; may be NULL */

	/* What was done. */
	long long samples, days;

	/* Private. */
	struct leat_current current;
	uint32_t grinding;			/* the word */
	struct leat_time time, day_end;
	size_t entry;				/* of the logbook, from which on entries are not yet taken */
	struct leat_oils_series *series;
	size_t series_cap;
	struct leat_names mill_names, sample_names;
	struct leat_oils_mill *mill;
	struct leat_oils_sample *sample;
	size_t mill_cap, sample_cap;
	uint32_t *touched;			/* sampling points with readings at time */
	size_t touches, touch_cap;
	struct leat_made made;
};

/* 0, or -1 when memory is out. */
int leat_oils_init(struct leat_oils *oil) LEAT_MUST_USE;

/* Takes a reading in, after writing what belongs before it.  1: the reading stays in the stream; 0: it is kept back until
 * its instant is over; -1 with err: out of memory, or a unit of another dimension. */
int leat_oils_take(struct leat_oils *oil, const struct leat_reading *r, struct leat_error *err) LEAT_MUST_USE;

/* Writes what is due at the end of the stream, and tells what was missing.  0, or -1 with err. */
int leat_oils_end(struct leat_oils *oil, struct leat_error *err) LEAT_MUST_USE;

void leat_oils_free(struct leat_oils *oil);

#endif
