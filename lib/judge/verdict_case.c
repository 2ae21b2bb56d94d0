/* The oil verdict: a tank as it stood at an instant. */
#include <math.h>
#include <stdlib.h>

#include "judge/verdict_private.h"
#include "physics/oil_mix.h"

/* A result and whose it is. */
struct drawn {
	const struct leat_verdict_watch *watch;
	const struct leat_verdict_result *result;
};

/* One sampling: results from one to before another, newest first. */
struct sampling {
	const struct drawn *worst;	/* beyond a limit, a certain one if there is; NULL: none is */
	const struct drawn *any;	/* judged; NULL: none is */
	bool certain;			/* is one beyond a limit for certain? */
	enum leat_status status;	/* of the worst that is certain */
};

static int
newest_first(const void *a, const void *b)
{
	const struct drawn *x = a, *y = b;
	int order = leat_time_cmp(y->result->time, x->result->time);

	return order != 0 ? order : (x->watch > y->watch) - (x->watch < y->watch);
}

static bool
counts(const struct leat_verdict_result *r, const struct leat_verdict_case *c)
{
	return leat_time_cmp(r->time, c->at) <= 0 && (c->changed == NULL || leat_time_cmp(r->time, c->changed->time) > 0);
}

static size_t
gather(const struct leat_verdict *v, const struct leat_verdict_case *c, size_t key, struct drawn *drawn)
{
	size_t n = 0;

	for (size_t i = 0; i < v->watches; i++) {
		const struct leat_verdict_watch *w = &v->watch[i];

		if (w->row == NULL || w->key != key)
			continue;
		for (size_t k = 0; k < w->results; k++)
			if (counts(&w->result[k], c))
				drawn[n++] = (struct drawn){ w, &w->result[k] };
	}
	qsort(drawn, n, sizeof(*drawn), newest_first);
	return n;
}

/* Does a lie further beyond its limit than b?  One that is certain says more than one that is not. */
static bool
worse(const struct leat_verdict_result *a, const struct leat_verdict_result *b)
{
	if (a->certain != b->certain)
		return a->certain;
	if (a->status != b->status)
		return a->status > b->status;
	return a->low ? a->value < b->value : a->value > b->value;
}

/* The sampling that begins with the n results at d; returns how many are of it. */
static size_t
look(const struct drawn *d, size_t n, struct sampling *s)
{
	size_t i = 0;

	*s = (struct sampling){ 0 };
	for (; i < n && leat_time_diff(d[0].result->time, d[i].result->time) <= LEAT_VERDICT_SAMPLING_S; i++) {
		const struct leat_verdict_result *r = d[i].result;

		if (r->idle || r->unlimited)
			continue;
		if (s->any == NULL)
			s->any = &d[i];
		if (r->status == LEAT_STATUS_OK)
			continue;
		if (s->worst == NULL || worse(r, s->worst->result))
			s->worst = &d[i];
		if (r->certain && r->status > s->status)
			s->status = r->status;
		s->certain = s->certain || r->certain;
	}
	return i;
}

/* How many samplings one after the other were beyond a limit for certain, and beyond the alarm limit.  What was not judged
 * or not certain neither counts nor breaks the row. */
static void
count_back(const struct drawn *d, size_t n, int *beyond, int *alarm)
{
	struct sampling s;
	bool all_alarm = true;
	size_t step;

	*beyond = *alarm = 0;
	for (size_t i = 0; i < n; i += step) {
		step = look(d + i, n - i, &s);
		if (s.any != NULL && s.worst == NULL)
			return;
		if (!s.certain)
			continue;
		++*beyond;
		all_alarm = all_alarm && s.status == LEAT_STATUS_ALARM;
		*alarm += all_alarm;
	}
}

/* The first result asks for another; what is only to be looked into waits until it is sure. */
static enum leat_status
status_of(const struct leat_oil_rule *row, const struct leat_verdict_evidence *e, int alarms)
{
	if (e->confirmed)
		return alarms >= row->confirm ? LEAT_STATUS_ALARM : LEAT_STATUS_ALERT;
	return row->cure == LEAT_OIL_LOOK ? LEAT_STATUS_OK : LEAT_STATUS_ALERT;
}

static void
weigh_key(const struct leat_verdict_case *c, const struct drawn *d, size_t n, struct leat_verdict_evidence *e)
{
	const struct drawn *shown;
	struct sampling s;
	int alarms;

	if (n == 0)
		return;
	(void)look(d, n, &s);
	shown = s.worst != NULL ? s.worst : s.any != NULL ? s.any : d;
	e->watch = shown->watch;
	e->result = shown->result;
	e->time = d[0].result->time;
	e->stale = leat_time_diff(c->at, e->time) > e->watch->row->max_age_s;
	e->beyond = s.worst != NULL && !e->stale;
	if (!e->beyond)
		return;
	count_back(d, n, &e->times, &alarms);
	e->confirmed = e->times >= e->watch->row->confirm;
	e->status = status_of(e->watch->row, e, alarms);
}

static double
plate(const struct leat_verdict *v, const struct leat_verdict_case *c, const char *property)
{
	double value;

	return leat_nameplate_number(v->form.np, leat_verdict_tank_name(v, c->tank), property, c->at, &value) == 0 ? value : NAN;
}

/* The newest time to clean or dry, the longest of that sampling, unless the results are newer that ask for it. */
static double
hours(const struct leat_verdict *v, const struct leat_verdict_case *c, enum leat_verdict_kind kind, enum leat_oil_cure cure)
{
	struct leat_time asked = LEAT_TIME_NONE, at = LEAT_TIME_NONE;
	double value = NAN;

	for (size_t i = 0; i < c->count; i++)
		if (c->evidence[i].watch != NULL && c->evidence[i].watch->row->cure == cure &&
		    (leat_time_is_none(asked) || leat_time_cmp(c->evidence[i].time, asked) > 0))
			asked = c->evidence[i].time;
	for (size_t i = 0; i < v->watches; i++) {
		const struct leat_verdict_watch *w = &v->watch[i];
		size_t k = w->results;

		if (w->tank != c->tank || w->kind != kind)
			continue;
		while (k > 0 && !counts(&w->result[k - 1], c))
			k--;
		if (k == 0 || (!leat_time_is_none(asked) &&
		    leat_time_diff(asked, w->result[k - 1].time) > LEAT_VERDICT_SAMPLING_S))
			continue;
		if (isnan(value) || leat_time_diff(w->result[k - 1].time, at) > LEAT_VERDICT_SAMPLING_S ||
		    (leat_time_diff(at, w->result[k - 1].time) <= LEAT_VERDICT_SAMPLING_S && w->result[k - 1].value > value)) {
			value = w->result[k - 1].value;
			at = w->result[k - 1].time;
		}
	}
	return value;
}

/* The share of fresh oil that brings a result well within its limits; INFINITY where that cannot be told or none does. */
static double
share_of(const struct leat_verdict *v, const struct leat_verdict_case *c, const struct leat_verdict_evidence *e)
{
	const struct leat_oil_rule *row = e->watch->row;
	double margin = plate(v, c, "renewal-margin") / 100, target, share, fresh = plate(v, c, "oil-viscosity-40");

	if (!row->has_fresh)
		return INFINITY;
	target = row->fresh + (1 - margin) * (e->result->bound - row->fresh);
	if (leat_span_is(e->watch->point, "viscosity-shift") && e->watch->unit == leat_unit_find(LEAT_SPAN("%")) && !isnan(fresh))
		share = leat_oil_mixed_share(fresh * (1 + e->result->value / 100), fresh, fresh * (1 + target / 100));
	else
		share = leat_oil_renewal_share(e->result->value, row->fresh, target);
	return isnan(share) ? INFINITY : share;
}

static enum leat_oil_verdict
verdict_of(struct leat_verdict_case *c, const struct leat_verdict_evidence *e, double share)
{
	enum leat_oil_cure cure = e->watch->row->cure;

	if (cure == LEAT_OIL_LOOK)
		return LEAT_VERDICT_KEEP;
	if (!e->confirmed)
		return LEAT_VERDICT_RESAMPLE;
	if (cure == LEAT_OIL_CLEAN)
		return LEAT_VERDICT_CLEAN;
	if (cure == LEAT_OIL_DRY)
		return LEAT_VERDICT_DRY;
	if (c->share_by == NULL || share > c->share) {
		c->share = share;
		c->share_by = e;
	}
	return c->share > c->most ? LEAT_VERDICT_CHANGE : LEAT_VERDICT_RENEW;
}

/* Until when what is needed stays fresh, and what of it is not there. */
static void
take_age(struct leat_verdict_case *c, const struct leat_verdict_evidence *e)
{
	struct leat_time until;

	if (e->watch != NULL && (leat_time_is_none(c->sampled) || leat_time_cmp(e->time, c->sampled) > 0))
		c->sampled = e->time;
	if (!e->key->row->needed)
		return;
	if (e->watch == NULL || e->stale) {
		c->missing++;
		return;
	}
	until = leat_time_add(e->time, e->watch->row->max_age_s);
	if (leat_time_is_none(c->valid_until) || leat_time_cmp(until, c->valid_until) < 0)
		c->valid_until = until;
}

static void
decide(const struct leat_verdict *v, struct leat_verdict_case *c)
{
	c->verdict = LEAT_VERDICT_KEEP;
	c->most = plate(v, c, "renewal-most") / 100;
	c->tank_l = plate(v, c, "tank-volume");
	for (size_t i = 0; i < c->count; i++) {
		const struct leat_verdict_evidence *e = &c->evidence[i];
		enum leat_oil_verdict verdict;

		take_age(c, e);
		if (!e->beyond)
			continue;
		verdict = verdict_of(c, e, e->confirmed && e->watch->row->cure == LEAT_OIL_RENEW ? share_of(v, c, e) : 0);
		if (verdict > c->verdict)
			c->verdict = verdict;
		if (e->watch->row->cure != LEAT_OIL_LOOK && e->status > c->status)
			c->status = e->status;
	}
	c->confirmed = c->verdict > LEAT_VERDICT_RESAMPLE;
	if (c->missing > 0)
		c->valid_until = LEAT_TIME_NONE;
	if (c->verdict == LEAT_VERDICT_KEEP && c->missing > 0)
		c->verdict = LEAT_VERDICT_UNKNOWN;
	if (c->verdict == LEAT_VERDICT_UNKNOWN && c->status == LEAT_STATUS_OK)
		c->status = LEAT_STATUS_UNKNOWN;
	c->clean_h = hours(v, c, LEAT_VERDICT_CLEANING, LEAT_OIL_CLEAN);
	c->dry_h = hours(v, c, LEAT_VERDICT_DRYING, LEAT_OIL_DRY);
}

int
leat_verdict_case_make(const struct leat_verdict *v, uint32_t tank, struct leat_time at, struct leat_verdict_case *c)
{
	struct drawn *drawn;
	size_t room = 1;

	*c = (struct leat_verdict_case){
		.tank = tank, .at = at, .sampled = LEAT_TIME_NONE, .valid_until = LEAT_TIME_NONE, .share = NAN,
		.changed = leat_verdict_changed(v, tank, at)
	};
	for (size_t i = 0; i < v->watches; i++)
		room += v->watch[i].tank == tank ? v->watch[i].results : 0;
	c->evidence = calloc(v->keys + 1, sizeof(*c->evidence));
	drawn = calloc(room, sizeof(*drawn));
	if (c->evidence == NULL || drawn == NULL) {
		free(drawn);
		leat_verdict_case_free(c);
		return -1;
	}
	for (size_t i = 0; i < v->keys; i++) {
		if (v->key[i].tank != tank)
			continue;
		c->evidence[c->count] = (struct leat_verdict_evidence){ .key = &v->key[i], .time = LEAT_TIME_NONE };
		weigh_key(c, drawn, gather(v, c, i, drawn), &c->evidence[c->count++]);
	}
	free(drawn);
	decide(v, c);
	return 0;
}

void
leat_verdict_case_free(struct leat_verdict_case *c)
{
	free(c->evidence);
	c->evidence = NULL;
	c->count = 0;
}
