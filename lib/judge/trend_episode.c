/*
 * Episodes of slow changes: when the one at now began, and which ended since the window opened.
 *
 * Nothing is kept between nights, so past nights are judged again, each by the values and the entries of the logbook that
 * there were then: a rerun over a longer history gives the same beginnings and ends.
 */
#include "judge/trend_private.h"

/* Nights that are judged again to find a beginning: more than any window of a forecast. */
#define NIGHTS_BACK 400u

static bool
is_open(const struct leat_trend_case *c)
{
	return c->status == LEAT_STATUS_ALERT || c->status == LEAT_STATUS_ALARM;
}

static int
judge_at(struct leat_trend *trend, const struct leat_trend_watch *w, struct leat_time night, struct leat_trend_case *c)
{
	if (leat_trend_case_begin(trend, w, night, c) == 0 && leat_trend_case_fit(trend, c) == 0)
		return 0;
	leat_trend_case_free(c);
	return -1;
}

/* Index of the value from which on the level has been beyond: c->since is its time.  Of a date ahead: the newest. */
static size_t
first_known(const struct leat_trend_case *c)
{
	size_t i = c->n - 1;

	while (i > 0 && !c->ahead && leat_time_cmp(c->time[i - 1], c->since) >= 0)
		i--;
	return i;
}

/* Moves the beginning of an open episode back over the nights before that told it too; nights that could not tell do not
 * end it. */
static int
find_beginning(struct leat_trend *trend, struct leat_trend_case *c)
{
	size_t at, back = NIGHTS_BACK;

	if (!is_open(c) || c->n == 0)
		return 0;
	at = first_known(c);
	while (at-- > 0 && back-- > 0) {
		struct leat_trend_case before;
		bool same;

		if (judge_at(trend, c->watch, c->time[at], &before) != 0)
			return -1;
		same = is_open(&before);
		if (same)
			c->since = c->time[at];
		if (same && c->status == LEAT_STATUS_ALERT)
			c->reached = c->since;
		same = before.status != LEAT_STATUS_OK || before.near;
		leat_trend_case_free(&before);
		if (!same)
			break;
	}
	return 0;
}

/* A limit that is near goes on to be told where an earlier night told it. */
static int
settle(struct leat_trend *trend, struct leat_trend_case *c)
{
	size_t at = c->n > 0 ? c->n - 1 : 0, back = NIGHTS_BACK;

	while (c->status == LEAT_STATUS_OK && c->near && at-- > 0 && back-- > 0) {
		struct leat_trend_case before;
		bool told, goes_on;

		if (judge_at(trend, c->watch, c->time[at], &before) != 0)
			return -1;
		told = is_open(&before);
		goes_on = before.near || before.status == LEAT_STATUS_UNKNOWN;
		leat_trend_case_free(&before);
		if (told)
			leat_trend_tell_ahead(c);
		if (!goes_on)
			break;
	}
	return 0;
}

/* Keeps an episode that ended; takes the case over. */
static int
keep(struct leat_trend *trend, struct leat_trend_case *last, bool is_step, struct leat_time until,
    const struct leat_log_entry *renewal)
{
	if (leat_grow(&trend->over, &trend->over_cap, trend->overs + 1, sizeof(*trend->over)) != 0)
		return -1;
	trend->over[trend->overs++] = (struct leat_trend_over){ *last, is_step, until, renewal };
	last->value = NULL;
	last->time = NULL;
	return 0;
}

/* Has what the earlier night told ended by the later?  An episode ends by being back within its limits, or with the item. */
static int
compare(struct leat_trend *trend, struct leat_trend_case *earlier, const struct leat_trend_case *later, bool *ended)
{
	bool renewed = later->reset != earlier->reset, steps = earlier->watch->row->model == LEAT_MODEL_STEP;
	bool over = steps ? earlier->step.found && !later->step.found :
	    is_open(earlier) && (renewed || later->status == LEAT_STATUS_OK);
	bool explained = !steps && !over && earlier->step.found && !later->step.found;
	struct leat_time until = renewed ? later->reset->time : later->n > 0 ? later->time[later->n - 1] : later->now;

	*ended = over || explained;
	if (!*ended || leat_time_cmp(until, trend->since) < 0)
		return 0;
	if (over && !steps && find_beginning(trend, earlier) != 0)
		return -1;
	return keep(trend, earlier, steps || explained, until, renewed ? later->reset : NULL);
}

/* Judges the nights of the window one after the other, from the last value before it on.  The night that opened an
 * episode stays until it is known to have ended: what could not be told in between does not end it. */
static int
find_ends(struct leat_trend *trend, const struct leat_trend_case *now)
{
	const struct leat_trend_watch *w = now->watch;
	struct leat_trend_case earlier, later;
	size_t i = w->daily.days;
	bool ended;
	int result = 0;

	while (i > 0 && leat_time_cmp(w->daily.day[i - 1].time, trend->since) > 0)
		i--;
	i = i == 0 ? 1 : i;
	if (w->daily.days == 0)
		return 0;
	if (judge_at(trend, w, w->daily.day[i - 1].time, &earlier) != 0)
		return -1;
	if (settle(trend, &earlier) != 0) {
		leat_trend_case_free(&earlier);
		return -1;
	}
	for (; i < w->daily.days && result == 0; i++) {
		if (judge_at(trend, w, w->daily.day[i].time, &later) != 0)
			break;
		if (is_open(&earlier) && later.status == LEAT_STATUS_OK && later.near && later.reset == earlier.reset)
			leat_trend_tell_ahead(&later);
		result = compare(trend, &earlier, &later, &ended);
		if (result == 0 && (ended || !is_open(&earlier) || is_open(&later))) {
			leat_trend_case_free(&earlier);
			earlier = later;
		} else {
			leat_trend_case_free(&later);
		}
	}
	if (result == 0 && i == w->daily.days)
		result = compare(trend, &earlier, now, &ended);
	else
		result = -1;
	leat_trend_case_free(&earlier);
	return result;
}

int
leat_trend_episodes(struct leat_trend *trend, struct leat_trend_case *found)
{
	return settle(trend, found) != 0 || find_beginning(trend, found) != 0 || find_ends(trend, found) != 0 ? -1 : 0;
}
