/*
 * The figures of each mill and month for the hand-over: of readings, logbook and stops.
 *
 * Months are those of the works' clock.  A daily value belongs to the month in which its works' day ended.
 */
#ifndef LEAT_JUDGE_MONTHLY_H
#define LEAT_JUDGE_MONTHLY_H

#include "stream/finding.h"
#include "stream/nameplate.h"
#include "stream/points.h"
#include "stream/reading.h"
#include "tell/tabular.h"
#include "upkeep/logbook.h"
#include "upkeep/stops.h"

struct leat_monthly_form {
	struct leat_readings *in;		/* all borrowed */
	const struct leat_points *points;
	const struct leat_nameplate *np;
	const struct leat_logbook *book;
	const struct leat_stops *stops;
	struct leat_time now;			/* later readings are left out; LEAT_TIME_NONE: the last one is now */
};

struct leat_monthly;

struct leat_monthly *leat_monthly_new(const struct leat_monthly_form *form);
void leat_monthly_free(struct leat_monthly *m);
int leat_monthly_take(struct leat_monthly *m, const struct leat_reading *r, struct leat_error *err) LEAT_MUST_USE;

#define LEAT_MONTHLY_COLUMNS "month,mill,attainment,leakage,gas_share,iso4406,water,topped_up,running," \
    "per_1000h,elements,starts," \
    "up_hours,planned_hours,unplanned_hours,unknown_hours,hydraulic_stops,between,between_low,between_high,coverage," \
    "lost_low,lost_high,lost_days"
/* Findings of a night of leat-loss, before the rows: what its last works' day lost by low pressure.  Of a day that several
 * tell the last counts.  0, or -1 when memory is out. */
int leat_monthly_losses(struct leat_monthly *m, const struct leat_findings *findings) LEAT_MUST_USE;
/* After the last reading.  0, or -1 when memory is out. */
int leat_monthly_rows(struct leat_monthly *m, struct leat_tabular *t) LEAT_MUST_USE;

#endif
