/*
 * What a historian has left of a signal, from the samples alone: compression, regular cycles, the smallest change that
 * daily values can show.
 *
 * Memory is constant per tag, about 7 KiB.  Everything is an estimate with the means of common practice:
 *
 *	deadband	A value kept on change leaves a hole: there are no changes smaller than the deadband.  The edge of
 *			the hole is looked for in classes of changes, eight to the octave: among all changes, and among
 *			those that follow each other closely, because what is kept after a longest time without change
 *			fills the hole.  So would the first value after a bad one, which is left out.  Where twice the edge
 *			is usual and next to nothing between, it is a step of the instrument.
 *	straight lines	An export that draws lines between what was kept (swinging door and its like) has second
 *			differences of nothing at equal steps, although the value moves by several of its last digits.
 *	cycles		Turning points that stand out of the noise by a factor, at five widths of averaging, the finest
 *			that shows periods of about one length, of 6 h at most.  Amplitude and period are medians.
 *	switches	The time from a change to the next but one is a cycle, the shorter of the two spells its on-time.
 *	daily values	Medians of the quarter-hour means of a day (UTC) of the latest 64 days.  Their variance v and
 *			correlation r from one day to the next come from the differences over one day and over two, so
 *			that a slow drift, which is to be seen, does not count as noise: for a correlation of the first
 *			order these have the variances 2 v (1 - r) and 2 v (1 - r^2).  Differences that stand far out,
 *			such as those of a day at a stop, are left out; r is taken as 0.8 at most, and as 0 where chance
 *			could give it.  With
 *			n_eff = n (1 - r) / (1 + r), at least 1, a change between two stretches of n days is seen from
 *			2.8 sqrt(v) sqrt(2 / n_eff) on (two-sided test at 5 %, seen in 80 % of cases: the quantiles 1.960 and
 *			0.842 of the normal distribution), plus d / sqrt(12) for a deadband or last digit d.  From 64 days it
 *			comes out a fifth too large on average.
 */
#ifndef LEAT_STREAM_SURVEY_TRACE_H
#define LEAT_STREAM_SURVEY_TRACE_H

#include "stream/survey.h"

#define LEAT_TRACE_CHANGES 320		/* classes of changes: 8 to the octave, 2^-20 to 2^20 */
#define LEAT_TRACE_AMPLITUDES 160	/* 4 to the octave, 2^-20 to 2^20 */
#define LEAT_TRACE_PERIODS 100		/* 4 to the octave, 1 s to 2^25 s */
#define LEAT_TRACE_WAVES 5
#define LEAT_TRACE_QUARTERS 96		/* of an hour in a day */
#define LEAT_TRACE_DAYS 64
#define LEAT_TRACE_LEAST_DAYS 10	/* of daily values, for the smallest change that can be seen (common practice) */
#define LEAT_TRACE_GAP_S 3600.0		/* over more than this nothing is held and no cycle is followed */

/* Turning points of a signal averaged over a width.  Zeroed, it has seen nothing. */
struct leat_trace_wave {
	int64_t bin_end;		/* seconds; the bin that is filled ends here */
	double sum;
	long count;
	bool has_last;
	double last, noise;		/* of the means: the one before; the median size of a change that is not 0 */
	long changes;
	int direction;			/* 0 unknown, 1 rising, -1 falling */
	double high, low;
	struct leat_time high_at, low_at, last_high;	/* last_high: of the high point before */
	bool has_low, has_high;		/* a low point was confirmed before; a high one was */
	uint16_t amplitude[LEAT_TRACE_AMPLITUDES], period[LEAT_TRACE_PERIODS];
	long amplitudes, periods;
};

struct leat_trace_change {
	uint32_t near, all;		/* that follow the one before closely; all */
	float least_near, least;	/* the smallest of them */
};

/* One tag.  Zeroed, it has seen nothing. */
struct leat_trace {
	long long samples;
	long long count;		/* numbers taken, whose stamps do not go back */
	long long repeated;		/* equal to the one before */
	long long behind;		/* samples left out: their stamps are not later than the one before */
	struct leat_time stamp;		/* of the sample before, a number or not */
	int64_t grid_s;			/* whole seconds that all intervals are multiples of; 0: none came */
	struct leat_time time, changed;	/* of the number before; of the last one that differed */
	double value, slope_step;	/* the number before; its difference from the one before that */
	double interval_s;		/* between these two */
	bool bad_since;			/* what came since was no number */
	int decimals;			/* most that were written */
	double near_s;			/* changes within this after the one before are counted; 0: not known yet */
	struct leat_trace_change change[LEAT_TRACE_CHANGES];
	long long near_changes, changes;
	long long lines, bends;		/* differences that continue the one before, and that do not */
	struct leat_trace_wave wave[LEAT_TRACE_WAVES];
	struct leat_time turned, turned_before;	/* of a switch: its last change, and the one before */
	long long turns;
	uint16_t spell[LEAT_TRACE_PERIODS], round[LEAT_TRACE_PERIODS];
	int64_t day;			/* of the quarters */
	float quarter[LEAT_TRACE_QUARTERS];
	int quarters;
	double quarter_sum, held;	/* of the quarter that is filled; the mean of the one before */
	long quarter_count;
	int64_t quarter_at;		/* the number of the quarter that is filled */
	float daily[LEAT_TRACE_DAYS];	/* a ring */
	long long days;			/* days with a value */
	long long all_quarters;
};

enum leat_trace_kept {
	LEAT_TRACE_UNKNOWN,		/* too few numbers to say */
	LEAT_TRACE_ALL,			/* even steps, and no deadband is seen */
	LEAT_TRACE_HELD,		/* even steps, but the value is held until it has moved by a deadband */
	LEAT_TRACE_CHANGED,		/* uneven steps: what was kept on change */
	LEAT_TRACE_LINES		/* even steps on straight lines between what was kept */
};

struct leat_trace_result {
	enum leat_trace_kept kept;
	double sample_s;		/* within this a change is known: the shortest usual interval (5 % are shorter); of a
					 * list of nothing but changes, what its stamps are multiples of; -1: none */
	double resolution;		/* the last digit that is written, or a coarser step of the instrument; -1: none */
	double deadband;		/* -1: none is seen */
	double repeated, straight;	/* shares 0..1; -1: nothing to tell it from */
	double cycle, cycle_s;		/* from low to high, and from high to high; -1: no regular cycle */
	double short_s;			/* of a switch: the usual shorter spell, on or off; -1: none */
	double hours;			/* with values */
	long long days;			/* with values */
	double change_7d, change_30d;	/* -1: fewer than LEAT_TRACE_LEAST_DAYS days */
};

/* Takes the sample in that the tag has just taken. */
void leat_trace_take(struct leat_trace *trace, const struct leat_survey_tag *tag, struct leat_time time);

/* After the last sample.  trace may be NULL: no number came. */
void leat_trace_judge(struct leat_trace *trace, const struct leat_survey_tag *tag, struct leat_trace_result *r);

/* "", "all", "held", "changes", "lines". */
const char *leat_trace_kept_name(enum leat_trace_kept kept);

/* Is the deadband more than a quarter of the cycle's amplitude, so that peaks and cycles may be gone? */
bool leat_trace_hides_cycle(const struct leat_trace_result *r);

/* Private to survey_trace*.c. */
void leat_trace_wave_take(struct leat_trace_wave *wave, double width_s, struct leat_time time, double value);
void leat_trace_wave_gap(struct leat_trace_wave *wave);
void leat_trace_turn_take(struct leat_trace *trace, struct leat_time time);
void leat_trace_turn_judge(const struct leat_trace *trace, struct leat_trace_result *r);
/* Cycles of one length that fill a quarter of so many hours, or false. */
bool leat_trace_wave_regular(const struct leat_trace_wave *wave, double hours, double *cycle, double *cycle_s);
void leat_trace_day_take(struct leat_trace *trace, struct leat_time time, double value);
void leat_trace_day_judge(struct leat_trace *trace, double step, struct leat_trace_result *r);
/* The class of a size above 0, so many (a power of two) to the octave from 2^least on. */
int leat_trace_class(double size, int to_octave, int least, int classes);
double leat_trace_class_start(int class, int to_octave, int least);

#endif
