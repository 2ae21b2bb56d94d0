/*
 * Which tasks go into the next planned stop of each mill, and what they take: hours, isolations, parts, oil, nitrogen.
 *
 * Taken are, in this order,
 *
 *	forced	what the law or safety demands, or is an alarm, and falls due before the following stop
 *	due	what falls due, or may reach its limit (p10), before the following stop, while there is room: those first that
 *		would be late the most days then, for each hour of work that they add
 *	shared	what falls due before the stop after that one and needs no isolation that is not there already
 *	before	the tasks that come first for any of these
 *
 * An isolation is set once for all tasks that need it.  Room is the crew's hours of the stop, or of what is left
 * of it.
 */
#ifndef LEAT_JUDGE_PLAN_H
#define LEAT_JUDGE_PLAN_H

#include "judge/due.h"
#include "judge/levels.h"
#include "upkeep/stops.h"

/* Common practice where stops.csv and options say nothing. */
#define LEAT_PLAN_GAP_DAYS 42.0		/* from one planned stop to the next */
#define LEAT_PLAN_CREW 4.0		/* people */
#define LEAT_PLAN_ISOLATE_S 3600.0	/* to set and prove one isolation, one person */
#define LEAT_PLAN_WARM_C 48.0		/* gas of the accumulators at work: the middle of the band of 40 to 55 degC */

enum leat_plan_choice {
	LEAT_PLAN_FORCED, LEAT_PLAN_BEFORE, LEAT_PLAN_DUE, LEAT_PLAN_SHARED,	/* taken */
	LEAT_PLAN_NO_ROOM, LEAT_PLAN_WAITS, LEAT_PLAN_UNKNOWN			/* not */
};

struct leat_plan_form {
	const struct leat_due *due;		/* all borrowed; judged already */
	const struct leat_due_form *of;		/* what it was made from */
	const struct leat_stops *stops;
	const struct leat_parts *parts;
	const struct leat_levels *levels;	/* of the tanks; NULL: none were read */
	double crew, isolate_s, drum_l;
};

struct leat_plan_task {
	const struct leat_due_item *item;
	enum leat_plan_choice choice;
	struct leat_time date;			/* due, or the earliest likely date of its limit */
	bool early;				/* it is the latter */
	double work_h;				/* person-hours, without isolations */
	double value;				/* days late at the following stop, each person-hour that it adds */
	unsigned long long isolations;		/* a bit each */
};

struct leat_plan_stop {
	struct leat_span mill;
	const struct leat_stop *stop;		/* NULL: none is planned */
	struct leat_time end;			/* of it and of those rows that overlap it or follow at once */
	struct leat_time following, after;	/* when the following stop begins, and the one after that */
	bool begun;				/* it began before now: its length is what is left */
	bool guessed;				/* the following one is not in the table */
	struct leat_plan_task *task;		/* taken ones first, in the order of work */
	size_t count, cap, taken;
	unsigned long long isolations;
	double room_h, used_h;			/* person-hours, isolations included */
	double length_h, longest_h;		/* of the stop, from now where it has begun; of its longest task with its isolations */
};

struct leat_plan;

/* NULL with err. */
struct leat_plan *leat_plan_new(const struct leat_plan_form *form, struct leat_error *err);
void leat_plan_free(struct leat_plan *plan);

/* The next stops, by their start; mills that have tasks for a stop and none planned come last.  NULL past the end. */
const struct leat_plan_stop *leat_plan_stop_at(const struct leat_plan *plan, size_t index);
/* The name of an isolation by its bit; an empty span past the last. */
struct leat_span leat_plan_isolation(const struct leat_plan *plan, size_t bit);

#define LEAT_PLAN_COLUMNS "mill,start,end,row,name,asset,choice,quantity,unit,by,message"

/* Writes the plan as CSV with the columns above, or in words; tasks that wait only where all rows are asked for. */
void leat_plan_write(const struct leat_plan *plan, struct leat_out *out);
void leat_plan_explain(const struct leat_plan *plan, struct leat_out *out);

/* Writes the stops as events of an iCalendar, between leat_ical_begin and leat_ical_end.  How many, or -1 when memory is
 * out. */
int leat_plan_calendar(const struct leat_plan *plan, struct leat_out *out);

#endif
