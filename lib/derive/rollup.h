/*
 * Statistics of readings over periods: lib/stats/weighted.h fed with a stream, period by period of lib/base/period.h.
 *
 * Between two readings an analogue quantity goes in a straight line, a set point, counter or switch stays as it was
 * (SlopedInterpolation and SteppedInterpolation of OPC UA Part 13).  What is counted follows its simple bounding values:
 * a reading of quality bad ends what was before it, and nothing is counted until the next one that is not bad.
 *
 *   - A value counts no longer than its hold (leat_points_hold; what is valid until changed: that long after the last
 *     reading of any point of its mill).  Beyond it is a gap.
 *   - Nothing looks into the future: up to the end of a period the last value is held, since the next is not known yet.
 *     The straight line to the next counts from the beginning of the next period on.
 *   - A gate is looked at after all readings of an instant, and at the instant in between at which one of its operands
 *     is valid for the last time.  Where it closes, the last value is held up to that instant.  Where it opens, what holds
 *     until changed counts from there, an analogue quantity from its next reading: a line from a value of another state
 *     of the machine would be of neither state.
 *
 * Memory is per series: a thousand bytes or so, and with quantiles up to 37 kB while a period runs.
 */
#ifndef LEAT_DERIVE_ROLLUP_H
#define LEAT_DERIVE_ROLLUP_H

#include "base/period.h"
#include "stats/weighted.h"
#include "stream/gate.h"
#include "stream/nameplate.h"

#define LEAT_ROLLUP_QUANTILES LEAT_WEIGHTED_QUANTILES

enum leat_rollup_form {
	LEAT_ROLLUP_UNKNOWN,	/* no reading has told yet */
	LEAT_ROLLUP_SLOPED,
	LEAT_ROLLUP_STEPPED,
	LEAT_ROLLUP_SWITCH,	/* stepped, 1 and 0 */
	LEAT_ROLLUP_WORD	/* left out */
};

/* Private: a series. */
struct leat_rollup_series {
	bool prepared, chosen;
	enum leat_rollup_form form;
	uint32_t asset, mill;
	double hold_s;
	bool until_changed;		/* the hold counts from the last reading of the mill */
	const struct leat_unit *unit;	/* of the first reading; NULL with unit_text: one that is not known */
	struct leat_span unit_text;	/* owned */

	bool has;			/* a reading that still says something: ... */
	struct leat_time at;
	double value;
	bool good;
	int decimals;			/* ... as written */
	bool counting;			/* the gate has been open since then, or since from where stepped */
	struct leat_time from;		/* counted up to here, not before at */

	bool pending;			/* a reading of the instant that is not yet over: ... */
	enum leat_quality next_quality;
	double next;
	int next_decimals;

	struct leat_weighted weighted;	/* of the period: ... */
	double good_s;
	long readings, bad;
	int most_decimals;
};

/* Private: an asset, which has a gate of its own. */
struct leat_rollup_asset {
	bool known;
	uint32_t *series;
	size_t count, cap;
	bool open;
	struct leat_time until;		/* open: looked at again then; LEAT_TIME_NONE: never */
	struct leat_time since;		/* open: counted in open_s up to here */
	double open_s;			/* of the period */
};

struct leat_rollup_mill {
	uint32_t *asset;
	size_t count, cap;
	struct leat_time last;		/* last instant with a reading that is not bad, all taken in; LEAT_TIME_NONE */
	double shortest_s;		/* shortest hold of what is valid until changed; 0: there is none */
	bool touched;
};

enum leat_rollup_output {
	LEAT_ROLLUP_ROWS,		/* readings */
	LEAT_ROLLUP_WIDE,		/* a row a series and period, the statistics side by side */
	LEAT_ROLLUP_EXPLAIN
};

struct leat_rollup {
	/* The user sets these before leat_rollup_init; all are borrowed. */
	struct leat_readings *in;
	const struct leat_nameplate *np;
	const struct leat_points *points;
	struct leat_out *out;
	struct leat_grid grid;		/* length and zone; day_start when fixed_start, else the nameplate's */
	bool fixed_start;
	struct leat_gate *gate;		/* NULL: always open */
	double quantile[LEAT_ROLLUP_QUANTILES]; /* ascending, whole hundredths */
	size_t quantiles;
	char *const *of;		/* globs over ASSET/POINT; none: all */
	size_t ofs;
	bool good_only;			/* readings of quality uncertain count as bad */
	bool label_start;		/* rows are stamped at the start of their period: out of order beside readings */
	enum leat_rollup_output output;
	struct leat_span what;		/* explain ASSET/POINT or ASSET alone; empty: all */

	/* What was done. */
	long long replaced, periods, results, added;

	/* Private. */
	struct leat_current current;
	struct leat_rollup_series *series;
	size_t series_cap, count;
	struct leat_rollup_asset *asset;
	size_t asset_cap;
	struct leat_rollup_mill *mill;
	size_t mill_cap;
	uint32_t *pending;
	size_t pendings, pending_cap;
	uint32_t *touched;
	size_t touches, touched_cap;
	struct leat_time now;		/* the instant whose readings are being taken in, or LEAT_TIME_NONE */
	struct leat_time start, end;	/* of the period */
	struct leat_time gates_until;	/* no gate need be looked at before; LEAT_TIME_NONE: never */
	struct leat_buf name;
	struct leat_buf head, tail, share_tail; /* what the rows of a result have in common */
};

void leat_rollup_init(struct leat_rollup *rollup);

/* Writes the header of what is written: none under LEAT_ROLLUP_EXPLAIN. */
void leat_rollup_write_header(struct leat_rollup *rollup);

/* Takes a reading in, after writing what belongs before it.  1: the reading stays in the stream; 0: it is a statistic that
 * is made here, and must be left out; -1 with err: out of memory, or a unit of another dimension. */
int leat_rollup_take(struct leat_rollup *rollup, const struct leat_reading *r, struct leat_error *err) LEAT_MUST_USE;

/* At the end of the stream: writes the periods that end up to the last reading, or up to now where that is later and not
 * LEAT_TIME_NONE, and with partial the one that is running then, stamped with that time.  0, or -1 with err. */
int leat_rollup_end(struct leat_rollup *rollup, struct leat_time now, bool partial, struct leat_error *err) LEAT_MUST_USE;

/* How many series were rolled up, and how many left out since they are words. */
size_t leat_rollup_series(const struct leat_rollup *rollup, size_t *words);

void leat_rollup_free(struct leat_rollup *rollup);

#endif
