/*
 * What low pressure cost day by day, of findings of many nights of leat-loss.
 */
#ifndef LEAT_JUDGE_LOST_H
#define LEAT_JUDGE_LOST_H

#include "base/mem.h"
#include "stream/finding.h"

struct leat_lost_day {
	uint32_t mill;			/* name */
	struct leat_time end;		/* of the works' day */
	double t[2];			/* at least, at most */
};

/* A zeroed struct is a valid empty one. */
struct leat_lost {
	struct leat_lost_day *day;
	size_t count, cap;
	struct leat_names mills;
};

/* Takes what a night tells of its last works' day; of a day that several tell the last word counts, and what is later than
 * now (LEAT_TIME_NONE: nothing) is left out.  0, or -1 when memory is out. */
int leat_lost_add(struct leat_lost *lost, const struct leat_findings *findings, struct leat_time now) LEAT_MUST_USE;

/* Adds up the days of the mill that end after from and not after to.  How many there are. */
long leat_lost_sum(const struct leat_lost *lost, struct leat_span mill, struct leat_time from, struct leat_time to,
    double t[2]);

void leat_lost_free(struct leat_lost *lost);

#endif
