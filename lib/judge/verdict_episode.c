/*
 * The oil verdict: episodes.  Nothing is kept between nights, so every tank is judged again as of each of its samplings
 * and oil changes: a rerun over a longer history gives the same beginnings and ends.
 */
#include <stdlib.h>

#include "judge/verdict_private.h"

struct instants {
	struct leat_time *time;
	size_t count, cap;
};

static int
add(struct instants *all, struct leat_time t)
{
	if (leat_grow(&all->time, &all->cap, all->count + 1, sizeof(*all->time)) != 0)
		return -1;
	all->time[all->count++] = t;
	return 0;
}

static int
by_time(const void *a, const void *b)
{
	return leat_time_cmp(*(const struct leat_time *)a, *(const struct leat_time *)b);
}

/* The instants at which the tank's verdict could change, in order. */
static int
collect(const struct leat_verdict *v, uint32_t tank, struct instants *all)
{
	size_t kept = 0;

	for (size_t i = 0; i < v->watches; i++) {
		const struct leat_verdict_watch *w = &v->watch[i];

		for (size_t k = 0; w->tank == tank && w->row != NULL && k < w->results; k++)
			if (add(all, w->result[k].time) != 0)
				return -1;
	}
	for (size_t i = 0; i < v->form.book->count; i++) {
		struct leat_time t = v->form.book->entry[i].time;
		const struct leat_log_entry *e = leat_verdict_changed(v, tank, t);

		if (leat_time_cmp(t, v->now) <= 0 && e != NULL && leat_time_cmp(e->time, t) == 0 && add(all, t) != 0)
			return -1;
	}
	if (all->count > 0)
		qsort(all->time, all->count, sizeof(*all->time), by_time);
	for (size_t i = 0; i < all->count; i++)
		if (i == 0 || leat_time_cmp(all->time[i], all->time[kept - 1]) != 0)
			all->time[kept++] = all->time[i];
	all->count = kept;
	return 0;
}

struct leat_verdict_evidence *
leat_verdict_evidence_of(const struct leat_verdict_subject *s, const struct leat_verdict_case *c)
{
	for (size_t i = 0; i < c->count; i++)
		if (c->evidence[i].key == s->key)
			return &c->evidence[i];
	return NULL;
}

enum leat_status
leat_verdict_status_of(const struct leat_verdict_subject *s, const struct leat_verdict_case *c)
{
	const struct leat_verdict_evidence *e;

	if (s->key == NULL)
		return c->status;
	e = leat_verdict_evidence_of(s, c);
	return e == NULL || e->watch == NULL || e->stale || e->result->unlimited ? LEAT_STATUS_UNKNOWN : e->status;
}

static int
end_episode(const struct leat_verdict *v, struct leat_verdict_subject *s, struct leat_time until)
{
	s->open.until = until;
	if (leat_time_cmp(until, v->since) >= 0) {
		if (leat_grow(&s->over, &s->over_cap, s->overs + 1, sizeof(*s->over)) != 0)
			return -1;
		s->over[s->overs++] = s->open;
	}
	s->open.since = LEAT_TIME_NONE;
	return 0;
}

/* Keeps what is said of an episode at its worst. */
static void
tell(const struct leat_verdict *v, struct leat_verdict_subject *s, const struct leat_verdict_case *c)
{
	const struct leat_verdict_evidence *e = s->key != NULL ? leat_verdict_evidence_of(s, c) : NULL;

	s->open.verdict = e != NULL ? LEAT_VERDICT_KEEP : c->verdict;
	s->open.confirmed = e != NULL || c->confirmed;
	if (e == NULL) {
		leat_verdict_words(s->open.message, v, c);
		return;
	}
	s->open.value = e->result->value;
	s->open.limit = e->result->limit;
	leat_verdict_look_words(s->open.message, v, e);
}

/* What is alert or alarm opens an episode or goes on with it; what is in order, or new oil, ends it; what cannot be told
 * leaves it. */
static int
step(const struct leat_verdict *v, struct leat_verdict_subject *s, const struct leat_verdict_case *c)
{
	struct leat_verdict_episode *open = &s->open;
	enum leat_status status = leat_verdict_status_of(s, c);
	bool none = leat_time_is_none(open->since);

	if (!none && c->changed != NULL && leat_time_cmp(c->changed->time, open->since) >= 0) {
		if (end_episode(v, s, c->changed->time) != 0)
			return -1;
		none = true;
	}
	if (status == LEAT_STATUS_UNKNOWN || (status == LEAT_STATUS_OK && none))
		return 0;
	if (status == LEAT_STATUS_OK)
		return end_episode(v, s, c->at);
	if (none)
		*open = (struct leat_verdict_episode){ .since = c->at, .until = LEAT_TIME_NONE };
	if (none || status > open->status)
		open->reached = c->at;
	if (none || status != open->last)
		open->turned = c->at;
	open->last = status;
	if (none || status >= open->status) {
		open->status = status;
		tell(v, s, c);
	}
	return 0;
}

/* The tank as of one instant, told to all its subjects. */
static int
one_instant(struct leat_verdict *v, uint32_t tank, struct leat_time at, size_t first)
{
	struct leat_verdict_case c;
	int result = leat_verdict_case_make(v, tank, at, &c);

	for (size_t i = first; result == 0 && i < v->subjects; i++)
		result = step(v, &v->subject[i], &c);
	leat_verdict_case_free(&c);
	return result;
}

static void
add_subject(struct leat_verdict *v, uint32_t tank, const struct leat_verdict_key *key)
{
	v->subject[v->subjects++] = (struct leat_verdict_subject){
		.tank = tank, .key = key, .open = { .since = LEAT_TIME_NONE }
	};
}

static int
one_tank(struct leat_verdict *v, uint32_t tank)
{
	struct instants all = { 0 };
	int result = collect(v, tank, &all);
	size_t first = v->subjects;

	add_subject(v, tank, NULL);
	for (size_t i = 0; i < v->keys; i++)
		if (v->key[i].tank == tank && v->key[i].row->cure == LEAT_OIL_LOOK)
			add_subject(v, tank, &v->key[i]);
	for (size_t i = 0; result == 0 && i < all.count; i++)
		result = one_instant(v, tank, all.time[i], first);
	free(all.time);
	return result != 0 ? -1 : leat_verdict_case_make(v, tank, v->now, &v->tank[tank]);
}

int
leat_verdict_episodes(struct leat_verdict *v)
{
	for (uint32_t i = 0; i < v->tanks.count; i++)
		if (one_tank(v, i) != 0)
			return -1;
	return 0;
}
