/*
 * Between the files of judge/plan.h.
 */
#ifndef LEAT_JUDGE_PLAN_PRIVATE_H
#define LEAT_JUDGE_PLAN_PRIVATE_H

#include "base/period.h"
#include "judge/plan.h"

#define HOUR_S 3600.0
#define ISOLATIONS 64u

struct leat_plan {
	struct leat_plan_form form;
	struct leat_time now;
	struct leat_names isolations;
	struct leat_plan_stop *stop;
	size_t stops, cap;
	double *stock;			/* by row of parts.csv: what earlier stops leave */
};

/* One row of what a stop takes. */
struct leat_plan_need {
	const char *row;		/* "part", "oil", "nitrogen" */
	struct leat_span name;
	const char *choice;
	double quantity;
	int decimals;
	const char *unit;
	int64_t by;			/* order by that day; LEAT_DAY_NONE: no date */
	char message[512];
};

typedef void leat_plan_needed(void *user, const struct leat_plan_need *need);

/* plan.c: when the last planned stop of the mill before that moment begins, of those after the next one; the following one
 * where there is none.  Beyond the table, LEAT_PLAN_GAP_DAYS before that moment. */
struct leat_time leat_plan_last_chance(const struct leat_plan *plan, const struct leat_plan_stop *stop,
    struct leat_time before);

/* plan_parts.c: stock is what is left of each part, by row of parts.csv; it is taken down.  Parts of tasks that wait for a
 * later stop are told too where they must be ordered before the following one. */
void leat_plan_parts(const struct leat_plan *plan, const struct leat_plan_stop *stop, double *stock,
    leat_plan_needed *needed, void *user);
/* plan_room.c: what the accumulators give back, and whether the tank has the room.  drain_l: what tasks of the stop let out;
 * NaN: not known. */
void leat_plan_room(const struct leat_plan *plan, const struct leat_plan_stop *stop, double drain_l, leat_plan_needed *needed,
    void *user);
/* plan_fill.c */
bool leat_plan_property(const struct leat_plan *plan, struct leat_span asset, const char *name, double *out);
double leat_plan_air_bara(const struct leat_plan *plan);
void leat_plan_tell(leat_plan_needed *needed, void *user, const char *row, const char *name, double quantity, int decimals,
    const char *unit, const char *message);
/* The precharge at 20 degC as last logged of an accumulator, from what was left else found; false where there is none.  A
 * reading under load is passed over. */
bool leat_plan_precharge(const struct leat_plan *plan, struct leat_span asset, double precharge_bar, double *bar);
void leat_plan_oil(const struct leat_plan *plan, const struct leat_plan_stop *stop, leat_plan_needed *needed, void *user);
void leat_plan_nitrogen(const struct leat_plan *plan, const struct leat_plan_stop *stop, leat_plan_needed *needed,
    void *user);

#endif
