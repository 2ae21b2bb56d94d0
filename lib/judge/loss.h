/*
 * The engine of leat-loss: what low grinding pressure, leakage and waiting cost.
 *
 * Each whole minute of a mill is looked at after all readings up to it (leat_current).  A minute counts where the mill
 * grinds, its run-up over, with pressure and set point known and the set point unchanged for a while.  The minutes of an hour
 * give its mean pressure, force and feed: force goes in a line with pressure, so that the upper half of a charging cycle
 * makes up for the lower one.  An hour is low where its mean pressure lies further below the set point than the tolerance, or
 * where the set point lies below the agreed pressure.
 *
 * What a low hour lost is reckoned from the force (lib/physics/cost.h), as a range.  But moisture, hardness and worn rollers
 * cut the feed too.  So the low hours of a works' day are compared with hours of the same mill at held pressure, near enough
 * in time for the material to be alike: only where the feed fell with the force, about as much as the force explains, is the
 * loss told; else it is not separable, and why is said.
 *
 * Leaks are taken from the daily values of other filters: a flow times the pressure that it falls from.
 *
 * Memory: about 100 kB a mill, whatever the length of the stream; with fit 80 bytes for each hour of it.
 */
#ifndef LEAT_JUDGE_LOSS_H
#define LEAT_JUDGE_LOSS_H

#include "stream/finding.h"
#include "stream/nameplate.h"
#include "stream/points.h"
#include "stream/reading.h"
#include "stream/shelved.h"
#include "upkeep/logbook.h"
#include "upkeep/stops.h"

/* Judgements of the method, common practice. */
#define LEAT_LOSS_DAYS 30		/* works' days that are added up, and the most of them */
#define LEAT_LOSS_WINDOW 30		/* the most days within which material is taken to be alike */
#define LEAT_LOSS_HOUR_LEAST 10		/* admitted minutes without which an hour is none */
#define LEAT_LOSS_HELD_LEAST 24.0	/* hours at held pressure without which nothing is compared */
#define LEAT_LOSS_RECENT 7		/* days at most whose mean is what a day of waiting costs */
#define LEAT_LOSS_FED 0.98		/* share of the rated feed from which the mill takes all that it is given */
#define LEAT_LOSS_M 0.7			/* feed over force, and its range, where the nameplate gives none */
#define LEAT_LOSS_M_LOW 0.5
#define LEAT_LOSS_M_HIGH 1.0
#define LEAT_LOSS_EFFICIENCY_LOW 70.0	/* of pump and motor together in %, likewise */
#define LEAT_LOSS_EFFICIENCY_HIGH 90.0
#define LEAT_LOSS_FIT_HOURS 200.0	/* hours in pairs without which m is not fitted */
#define LEAT_LOSS_FIT_FORCE 0.02	/* by which the forces of a pair differ at least */
#define LEAT_LOSS_FIT_AGREE 0.3		/* m by falls and by rises of the force may differ by this at most */

struct leat_loss_form {
	struct leat_readings *in;		/* all borrowed */
	const struct leat_points *points;
	const struct leat_nameplate *np;
	const struct leat_logbook *book;
	const struct leat_stops *stops;
	const struct leat_findings *findings;	/* NULL: none were given, and nothing is told of waiting */
	struct leat_time now;			/* later readings are left out; LEAT_TIME_NONE: the last one is now */
	int days;				/* 1..LEAT_LOSS_DAYS */
	bool all;				/* ok rows too */
	bool fit;				/* hours are kept for leat_loss_fit */
};

/* The columns after those of every finding. */
#define LEAT_LOSS_COLUMNS "explains,per_day_low,per_day_high,per_day_unit,stop,until_stop_low,until_stop_high," \
	"until_stop_unit,hours,coverage,t_low,t_high,kwh_low,kwh_high,money_low,money_high,currency,day_low,day_high"

struct leat_loss;

/* NULL when memory is out. */
struct leat_loss *leat_loss_new(const struct leat_loss_form *form);
void leat_loss_free(struct leat_loss *loss);

/* Takes one reading.  0, or -1 with err: memory, or a unit of another dimension. */
int leat_loss_take(struct leat_loss *loss, const struct leat_reading *r, struct leat_error *err) LEAT_MUST_USE;

/* Of many nights in one pass: the readings up to that one, which is not before what was taken, are to come.  Of that night
 * too, before leat_loss_end: the logbook and, in place of those of the form, the findings (NULL: none), both borrowed. */
void leat_loss_as_of(struct leat_loss *loss, struct leat_time now);
void leat_loss_night(struct leat_loss *loss, const struct leat_logbook *book, const struct leat_findings *findings);

/* After the last reading.  0, or -1 with err. */
int leat_loss_end(struct leat_loss *loss, struct leat_error *err) LEAT_MUST_USE;
struct leat_time leat_loss_now(const struct leat_loss *loss);

struct leat_loss_count {
	long long later;		/* readings later than now, left out */
	size_t mills, days, leaks;	/* mills with a state and a pressure; works' days of them; leaks with a daily value */
	size_t written, found;		/* findings; of these not ok and not shelved */
	size_t waiting, uncosted;	/* findings given that are open: with a row, and of points that nothing is known of */
};
struct leat_loss_count leat_loss_counted(const struct leat_loss *loss);

/* After leat_loss_end: writes all findings with the columns above, header and all, in the order of leat_finding_cmp.
 * shelves may be NULL.  0, or -1 when memory is out. */
int leat_loss_findings(struct leat_loss *loss, const struct leat_shelves *shelves, struct leat_out *out) LEAT_MUST_USE;

/* After leat_loss_end: writes how the losses came about, of all, or where what is not empty of "ASSET/POINT" (a pattern).
 * Returns how many were explained. */
size_t leat_loss_explain(struct leat_loss *loss, struct leat_out *out, struct leat_span what);

/* After leat_loss_end, with fit: writes rows of the nameplate for each mill, header and all, and tells why of a mill that has
 * none.  0, or -1 when memory is out. */
int leat_loss_fit(struct leat_loss *loss, struct leat_out *out, void (*tell)(const char *text)) LEAT_MUST_USE;

#endif
