/*
 * Local times resolved by the order in which they stand in a file.
 */
#include "base/foreign.h"

/* Which of two candidates is meant.  *certain is set to whether the order tells. */
static struct leat_time
choose(struct leat_local_clock *clock, const struct leat_time at[2], bool *certain)
{
	double overlap = leat_time_diff(at[1], at[0]);
	double half_overlap = overlap / 2;
	bool next_step = clock->stepped && leat_time_cmp(at[0], clock->last) == 0;

	clock->stepped = clock->started && clock->certain && leat_time_diff(at[0], clock->last) == overlap;
	*certain = false;
	/* Hourly data that go on at their step: 01:00, 02:00, 02:00, 03:00. */
	if (next_step)
		return at[1];
	*certain = true;
	if (clock->started && leat_time_cmp(at[0], clock->last) < 0 && leat_time_cmp(at[1], clock->last) >= 0)
		return at[1];
	*certain = clock->started && clock->certain && leat_time_cmp(at[0], clock->last) >= 0 &&
	    leat_time_diff(at[0], clock->last) <= half_overlap;
	return at[0];
}

enum leat_local
leat_local_resolve(struct leat_local_clock *clock, const struct leat_civil *civil, struct leat_time *out)
{
	struct leat_time at[2];
	int count = leat_zone_instants(clock->zone, civil, at);
	bool certain = true;

	if (count == 0)
		return LEAT_LOCAL_GAP;
	if (count == 1)
		clock->stepped = false;
	clock->last = count == 2 ? choose(clock, at, &certain) : at[0];
	clock->certain = certain;
	clock->started = true;
	*out = clock->last;
	return certain ? LEAT_LOCAL_OK : LEAT_LOCAL_GUESSED;
}
