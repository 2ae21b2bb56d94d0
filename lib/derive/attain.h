/*
 * Whether each mill of a stream held its grinding pressure, works' day by works' day: how far and how long it lay off
 * its set point, how the cylinders differ, how hard they press, and how far the relief valve is away.
 *
 * A mill is an asset with 'pressure'.  Its readings count while its 'state' is grinding and its set point has been
 * unchanged for some minutes.  Between two readings no further apart than the hold the pressure goes in a straight
 * line, and the share of the line within the tolerance is computed exactly; a set point stays as it was.  As in
 * lib/derive/rollup.h nothing looks into the future: where a day or the grinding ends between two readings, the last
 * value is held up to there, and where grinding begins a pressure counts from its next reading.
 *
 * Memory is per series, and up to 37 kB a mill for the quantile.
 */
#ifndef LEAT_DERIVE_ATTAIN_H
#define LEAT_DERIVE_ATTAIN_H

#include "derive/agreed.h"
#include "stats/weighted.h"
#include "stream/mills.h"

/* A set point has changed when it lies further than this share of the tolerance from where it was: less is the noise
 * of an analogue signal (common practice). */
#define LEAT_ATTAIN_STILL_SHARE 0.1
/* From this share of its setting on a relief valve may leak: it cracks 5 to 10 % below it (common practice). */
#define LEAT_ATTAIN_NEAR_RELIEF 0.95

/* What a mill may lack, so that some points are not made. */
enum leat_attain_lack {
	LEAT_ATTAIN_LACK_SETPOINT,	/* set point, by a tag or by the nameplate */
	LEAT_ATTAIN_LACK_AGREED,	/* a set point is read, and nothing says what was agreed */
	LEAT_ATTAIN_LACK_RELIEF,
	LEAT_ATTAIN_LACK_BORE,		/* a head pressure is read, and bore or rod are not known */
	LEAT_ATTAIN_LACK_COMPENSATOR	/* a pump pressure is read, and the compensator's setting is not known */
};
#define LEAT_ATTAIN_LACKS 5

/* Private: whether the mill takes nothing of its pumps, the oil being warm. */
enum leat_attain_idle {
	LEAT_ATTAIN_BUSY,		/* it takes some, or the oil is cold, or nobody knows */
	LEAT_ATTAIN_IDLE_MOSTLY,	/* the charging valve was never read: it is shut most of the time */
	LEAT_ATTAIN_IDLE
};

/* Private: how long a pump's pressure lay where. */
struct leat_attain_demand;

enum leat_attain_side {
	LEAT_ATTAIN_PRESS,	/* pressure of the mill or of a cylinder */
	LEAT_ATTAIN_HEAD,	/* head-pressure likewise */
	LEAT_ATTAIN_PUMP	/* pump-pressure of the mill or of a pump */
};

/* Private: a pressure that is followed. */
struct leat_attain_track {
	struct leat_span asset;		/* valid while the readings are open */
	enum leat_attain_side side;
	bool own;			/* of the mill itself */
	uint32_t series;
	double hold_s;

	bool has;			/* a reading that still says something: ... */
	struct leat_time at;
	double bar;
	bool good;
	struct leat_time from;		/* counted up to here, not before at */
	bool counting;			/* it has been read since grinding began */

	bool pending;			/* a reading of the instant that is not yet over: ... */
	enum leat_quality next_quality;
	double next_bar;

	/* Of the day. */
	struct leat_weighted gated;	/* while grinding at an unchanged set point */
	double gated_good_s;
	double valid_s;			/* in any state */
	double near_relief_s;
	double setting_bar;		/* of a pump's compensator; NaN: not given; 0: not looked up yet */
	struct leat_attain_demand *demand;	/* of the day; NULL: none so far */
};

/* Private: what a day of a mill comes to. */
struct leat_attain_day {
	double known_s, grinding_s;	/* of the state */
	double valid_s;			/* grinding and pressure known, which is one of: ... */
	double no_setpoint_s, settling_s, admitted_s;
	double admitted_good_s;
	struct leat_weighted deviation;	/* of admitted_s */
	double within_s, below_s, above_s;
	double within_higher_s, within_lower_s;	/* if the pressure were 1 bar higher, or lower */
	double setpoint_min, setpoint_max, tolerance_bar;
	double spell_s, longest_s;	/* below the tolerance */
	struct leat_time spell_until, longest_until;
	struct leat_weighted shift, setpoint;
	double shift_good_s;
	double margin_bar;		/* the smallest; INFINITY: none */
	struct leat_time margin_at;
	double margin_relief_bar;
	bool margin_good;
	struct leat_span margin_asset;
	enum leat_attain_side margin_side;
	double spread_bar;		/* the largest of one instant; negative: none */
	struct leat_time spread_at;
};

/* Private: what the nameplate says of a mill. */
struct leat_attain_plate {
	double set_bar, tolerance_bar, relief_bar;	/* NaN: not given */
	double settling_s, least_s, least_percent;
	double warm_c;
	struct leat_time until;		/* LEAT_TIME_NONE: for good */
};

struct leat_attain_mill {
	bool begun;
	struct leat_attain_plate plate;
	struct leat_time since;		/* the state has been counted up to here */
	bool known, grinding;
	enum leat_attain_idle idle;
	double setpoint_bar;		/* NaN: not known now */
	bool setpoint_good, setpoint_read;	/* read: by its tag, else of the nameplate */
	double anchor_bar;		/* where it was when it changed last; NaN: never known */
	struct leat_time admit_from;	/* the change has settled; LEAT_TIME_NONE: there was none */
	struct leat_agreed agreed;
	struct leat_attain_track *track;
	size_t tracks, track_cap;
	struct leat_span *pump;		/* pumps of the stream, their names owned by the readings */
	size_t pumps, pump_cap;
	struct leat_attain_day day;
};

/* Private: what a series is. */
struct leat_attain_series {
	uint8_t role;
	size_t mill, track;
};

struct leat_attain {
	/* The user sets these before leat_attain_init; all are borrowed. */
	struct leat_readings *in;
	const struct leat_nameplate *np;
	const struct leat_points *points;
	const struct leat_logbook *book;	/* pressures that were set on purpose */
	struct leat_out *out;			/* takes the rows or explanations */
	bool explain;
	struct leat_span what;			/* explain this mill only: "NM" or any point of it; empty: all */

	/* What was done. */
	long long replaced, added, days;
	size_t pressed, stated;			/* mills with a pressure, and those of them with a state */
	size_t lack[LEAT_ATTAIN_LACKS];		/* mills with a state that lack something */

	/* Private. */
	struct leat_current current;
	struct leat_mills mills;
	struct leat_attain_mill *own;		/* by number of the mill */
	size_t own_cap;
	struct leat_attain_series *series;
	size_t series_cap;
	const struct leat_unit *bar, *degc;
	uint32_t grinding, unknown;		/* words of the state */
	struct leat_time last;			/* of the rows taken last, or LEAT_TIME_NONE */
	struct leat_time day_start, day_end;
	struct leat_buf name;
};

/* 0, or -1 when memory is out. */
int leat_attain_init(struct leat_attain *attain) LEAT_MUST_USE;

/* Takes a reading in, after writing the rows that belong before it.  1: the reading stays in the stream; 0: it is one
 * that is made here, and must be left out; -1 with err: out of memory, or a unit of another dimension. */
int leat_attain_take(struct leat_attain *attain, const struct leat_reading *r, struct leat_error *err) LEAT_MUST_USE;

/* At the end of the stream: writes the days that end up to the last reading, or up to now where that is later and not
 * LEAT_TIME_NONE, and with partial the day that is running then, stamped with that time.  0, or -1 with err. */
int leat_attain_end(struct leat_attain *attain, struct leat_time now, bool partial, struct leat_error *err) LEAT_MUST_USE;

/* What is not made for want of it, and why: "no grinding-force: bore and rod are not in the nameplate". */
const char *leat_attain_lack_words(enum leat_attain_lack lack);

void leat_attain_free(struct leat_attain *attain);

#endif
