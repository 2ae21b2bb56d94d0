/*
 * Deadbands and delays from the readings themselves, as rows of limits.csv.
 *
 * Of each series that a row with limits of level rules, while the row's gate is true:
 *
 *	noise	1.4826 times the median distance of the changes between neighbouring readings from their median, over the square root
 *		of 2: slow change drops out of neighbours, and wild ones out of medians.  Of the readings within LEAT_STEADY_NEAR of the
 *		limit where there are LEAT_STEADY_LEAST of them, else of all.
 *	over	spells beyond the alert limit (alarm where there is none), without any delay, and the spells back within it between
 *		two of those
 *
 * deadband: LEAT_STEADY_SIGMAS times the noise.  on_delay: the 95th percentile of the spells over it that were shorter than
 * LEAT_STEADY_SHORT_S, when there are LEAT_STEADY_SPELLS of them; off_delay: that of as short spells back.  The deadband is
 * rounded up, the delays to the first whole minute that is longer; what the row has already stays where it is more, or where
 * there are too few to say.  Nothing is suggested for what never came beyond its limit nor near it.
 */
#ifndef LEAT_JUDGE_STEADY_H
#define LEAT_JUDGE_STEADY_H

#include "stream/limits.h"
#include "stream/points.h"
#include "stream/reading.h"
#include "tell/tabular.h"

/* Common practice. */
#define LEAT_STEADY_SIGMAS 3.0
#define LEAT_STEADY_NEAR 0.10		/* as a share of the limit */
#define LEAT_STEADY_LEAST 200
#define LEAT_STEADY_SHORT_S 3600.0	/* longer ones are no flicker: the machine was really so */
#define LEAT_STEADY_SPELLS 10

struct leat_steady;

/* All borrowed. */
struct leat_steady *leat_steady_new(struct leat_readings *in, const struct leat_limits *limits,
    const struct leat_points *points);
void leat_steady_free(struct leat_steady *steady);
int leat_steady_take(struct leat_steady *steady, const struct leat_reading *r, struct leat_error *err) LEAT_MUST_USE;

/* The rows that would change, each for one series and with the reason in its note, ready for limits.csv.  0, or -1 when
 * memory is out. */
#define LEAT_STEADY_COLUMNS "asset,point,when,low_alarm,low_alert,high_alert,high_alarm,unit,deadband," \
    "on_delay,off_delay,max_rate," \
    "max_age,max_flat,rule,advice,source,note"
int leat_steady_rows(struct leat_steady *steady, struct leat_tabular *t) LEAT_MUST_USE;

#endif
