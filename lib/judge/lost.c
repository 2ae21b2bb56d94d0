/* Days by night, in the order of the nights. */
#include "judge/lost.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* The day of the mill, new if need be; NULL when memory is out. */
static struct leat_lost_day *
day_of(struct leat_lost *lost, struct leat_span name, struct leat_time end)
{
	uint32_t mill = leat_names_put(&lost->mills, name);

	if (mill == LEAT_NAME_NONE)
		return NULL;
	/* A night that was judged again stands near its first. */
	for (size_t i = lost->count; i-- > 0;)
		if (lost->day[i].mill == mill && leat_time_cmp(lost->day[i].end, end) == 0)
			return &lost->day[i];
	if (leat_grow(&lost->day, &lost->cap, lost->count + 1, sizeof(*lost->day)) != 0)
		return NULL;
	lost->day[lost->count] = (struct leat_lost_day){ .mill = mill, .end = end };
	return &lost->day[lost->count++];
}

int
leat_lost_add(struct leat_lost *lost, const struct leat_findings *findings, struct leat_time now)
{
	for (size_t i = 0; i < findings->count; i++) {
		const struct leat_finding *f = &findings->item[i];
		struct leat_lost_day *day;

		if (!leat_span_is(f->rule, "lost-production") || isnan(f->day[0]) || isnan(f->day[1]) ||
		    (!leat_time_is_none(now) && leat_time_cmp(f->time, now) > 0))
			continue;
		day = day_of(lost, f->asset, f->time);
		if (day == NULL)
			return -1;
		day->t[0] = f->day[0];
		day->t[1] = f->day[1];
	}
	return 0;
}

long
leat_lost_sum(const struct leat_lost *lost, struct leat_span mill, struct leat_time from, struct leat_time to, double t[2])
{
	uint32_t name = leat_names_get(&lost->mills, mill);
	long days = 0;

	t[0] = t[1] = 0;
	for (size_t i = 0; name != LEAT_NAME_NONE && i < lost->count; i++) {
		const struct leat_lost_day *day = &lost->day[i];

		if (day->mill != name || leat_time_cmp(day->end, from) <= 0 || leat_time_cmp(day->end, to) > 0)
			continue;
		t[0] += day->t[0];
		t[1] += day->t[1];
		days++;
	}
	return days;
}

void
leat_lost_free(struct leat_lost *lost)
{
	free(lost->day);
	leat_names_free(&lost->mills);
	memset(lost, 0, sizeof(*lost));
}
