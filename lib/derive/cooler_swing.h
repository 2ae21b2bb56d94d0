/*
 * Whether a temperature swings regularly: a valve that hunts.
 *
 * Each whole minute's value less the median of the two hours around it (so it is looked at an hour late).  A cycle goes from
 * one rise through zero to the next; a rise counts when the temperature has been below -band and then above +band.  Its
 * amplitude is half of what lies between its highest and lowest minute.  An hour of the clock swings regularly when it has
 * three cycles or more whose periods spread (standard deviation over mean) by less than the nameplate allows, and neither so
 * long that no valve hunts so, nor so short that the readings cannot show them: four readings a period.
 */
#ifndef LEAT_DERIVE_COOLER_SWING_H
#define LEAT_DERIVE_COOLER_SWING_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#define LEAT_SWING_WINDOW 121		/* min, of the median */
#define LEAT_SWING_LATE 60		/* min by which the middle of the window is late */
#define LEAT_SWING_CYCLES 32		/* in an hour that are kept; with one minute a value there cannot be more than 30 */
#define LEAT_SWING_LEAST 3		/* cycles that make a spread */
#define LEAT_SWING_HOURS 26		/* of a works' day */
#define LEAT_SWING_SAMPLES 4		/* readings that a period needs (common practice) */
#define LEAT_SWING_STEPS 64		/* minutes between readings that are told apart */

/* By the nameplate. */
struct leat_swing_rule {
	double band_k, longest_min, spread_percent;
};

/* An hour that swings regularly. */
struct leat_swing_hour {
	double period_min, amplitude_k, spread_percent, pump_ups;
};

struct leat_swing {
	/* Private: the window, a ring and the same in order. */
	double ring[LEAT_SWING_WINDOW], sorted[LEAT_SWING_WINDOW];
	size_t next, count;
	int64_t minute;			/* of the value put last */
	/* Private: the cycle. */
	double before_k, high_k, low_k;
	bool has_before, was_low;
	double zero_min, since_min;	/* last rise through zero; the rise that began the cycle; NaN: none */
	/* Private: the hour that is running. */
	int64_t hour;
	int minutes;			/* of it that were looked at */
	double period_min[LEAT_SWING_CYCLES], amplitude_k[LEAT_SWING_CYCLES];
	size_t cycles;
	int starts[4];			/* pump-ups in the hours of the clock, by hour % 4 */
	int64_t starts_hour[4];
	/* Of the works' day. */
	int seen;			/* whole hours that were looked at: at least 50 of their minutes */
	struct leat_swing_hour regular[LEAT_SWING_HOURS];
	size_t regulars;
	long steps[LEAT_SWING_STEPS + 1];	/* how often readings came so many minutes apart */
};

void leat_swing_init(struct leat_swing *swing);

/* The value of a whole minute (of the epoch).  Minutes must follow each other; after a gap the window begins anew. */
void leat_swing_put(struct leat_swing *swing, const struct leat_swing_rule *rule, int64_t minute, double temp_c);

/* Two readings came so many seconds apart; a pump-up began in that minute. */
void leat_swing_step(struct leat_swing *swing, double seconds);
void leat_swing_pump_up(struct leat_swing *swing, int64_t minute);

/* The time between readings, in minutes: a quarter of them come in less.  NaN when there were none. */
double leat_swing_step_min(const struct leat_swing *swing);

/* Begins a works' day: what was counted is forgotten. */
void leat_swing_day(struct leat_swing *swing);

#endif
