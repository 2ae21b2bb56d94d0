/* The whole minutes of a stream. */
#include "derive/minutes.h"
#include "derive/works_day.h"

void
leat_minutes_init(struct leat_minutes *m)
{
	m->begin = m->at = m->day_start = m->day_end = LEAT_TIME_NONE;
}

struct leat_time
leat_minute_before(struct leat_time t)
{
	int64_t into = t.sec % LEAT_MINUTE_S;

	return (struct leat_time){ t.sec - (into < 0 ? into + LEAT_MINUTE_S : into), 0 };
}

void
leat_minutes_begin(struct leat_minutes *m, struct leat_time first)
{
	if (!leat_time_is_none(m->at))
		return;
	m->at = leat_minute_before(first);
	if (leat_time_cmp(m->at, first) < 0)
		m->at.sec += LEAT_MINUTE_S;
	m->begin = m->at;
}

bool
leat_minutes_more(struct leat_minutes *m, const struct leat_nameplate *np, struct leat_time until)
{
	if (leat_time_cmp(m->at, until) >= 0)
		return false;
	if (!leat_time_is_none(m->day_end) && leat_time_cmp(m->at, m->day_end) <= 0)
		return true;
	leat_works_day_ending(np, m->at, &m->day_start, &m->day_end);
	/* In a zone with an odd number of seconds the day ends within a minute, which is its last. */
	if (leat_time_cmp(leat_minute_before(m->day_end), m->day_end) < 0)
		m->day_end.sec = leat_minute_before(m->day_end).sec + LEAT_MINUTE_S;
	return true;
}

bool
leat_minutes_day_ends(const struct leat_minutes *m)
{
	return leat_time_cmp(m->at, m->day_end) >= 0;
}

bool
leat_minutes_day_seen(const struct leat_minutes *m)
{
	return leat_time_cmp(m->begin, m->day_end) < 0;
}

void
leat_minutes_next(struct leat_minutes *m, struct leat_time until, bool idle, bool day_has)
{
	struct leat_time far;

	m->at.sec += LEAT_MINUTE_S;
	if (!idle)
		return;
	far = leat_minute_before((struct leat_time){ until.sec - 1, 0 });
	if (day_has && leat_time_cmp(m->day_end, far) < 0)
		far = leat_minute_before(m->day_end);
	if (leat_time_cmp(far, m->at) > 0)
		m->at = far;
}

struct leat_time
leat_minutes_end(struct leat_time last, struct leat_time now)
{
	struct leat_time until = !leat_time_is_none(now) && leat_time_cmp(now, last) > 0 ? now : last;

	return (struct leat_time){ leat_minute_before(until).sec + 1, 0 };
}
