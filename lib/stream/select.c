/*
 * Choosing readings.
 */
#include "stream/select.h"

#include <stdlib.h>

static bool
matches(const char *const *pattern, size_t count, struct leat_span name)
{
	for (size_t i = 0; i < count; i++) {
		if (leat_glob(leat_span_of(pattern[i]), name))
			return true;
	}
	return count == 0;
}

/* Patterns are tried once a series. */
static int
by_name(struct leat_select *s, const struct leat_reading *r)
{
	if (r->series >= s->kinds && leat_grow(&s->kind, &s->kinds, (size_t)r->series + 1, 1) != 0)
		return -1;
	if (s->kind[r->series] == 0)
		s->kind[r->series] = matches(s->asset, s->assets, r->asset) && matches(s->point, s->points, r->point) ? 1 : 2;
	return s->kind[r->series] == 1;
}

/* Left out by time or name, as all of its series and instant are. */
static int
leave(struct leat_select *s, long long *count)
{
	++*count;
	s->left = count;
	s->never = true;
	return 0;
}

int
leat_select_takes(struct leat_select *s, const struct leat_reading *r)
{
	double number;
	int named;

	s->never = false;
	if (!leat_time_is_none(s->now) && leat_time_cmp(r->time, s->now) > 0)
		return leave(s, &s->later);
	if ((!leat_time_is_none(s->from) && leat_time_cmp(r->time, s->from) < 0) ||
	    (!leat_time_is_none(s->to) && leat_time_cmp(r->time, s->to) >= 0))
		return leave(s, &s->by_time);
	named = by_name(s, r);
	if (named < 0)
		return -1;
	if (named == 0)
		return leave(s, &s->by_name);
	if ((s->quality & 1u << r->quality) == 0) {
		s->by_quality++;
		return 0;
	}
	if (s->numeric && leat_reading_number(r, &number) != 0) {
		s->by_value++;
		return 0;
	}
	s->taken++;
	return 1;
}

bool
leat_select_never(const struct leat_select *s)
{
	return s->never;
}

bool
leat_select_by_time(const struct leat_select *s)
{
	return s->left != &s->by_name;
}

void
leat_select_passed(struct leat_select *s, long long rows)
{
	if (s->left != NULL)
		*s->left += rows;
}

void
leat_select_renew(struct leat_select *s)
{
	if (s->kinds > 0)
		memset(s->kind, 0, s->kinds);
}

void
leat_select_free(struct leat_select *s)
{
	free(s->kind);
	s->kind = NULL;
	s->kinds = 0;
}
