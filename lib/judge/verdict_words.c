/* The messages of the oil verdict: what is, with its numbers, and behind a semicolon what to do and what it takes. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/zone.h"
#include "judge/verdict_private.h"
#include "tell/words.h"

/* How a sample is drawn that says something. */
#define DRAW "draw a sample with the mill running and the oil warm, from a flushed valve; hot oil burns"

#define SHOWN 4		/* reasons that a sentence bears; --explain has all */

static const char *const names[] = {
	[LEAT_VERDICT_UNKNOWN] = "unknown", [LEAT_VERDICT_KEEP] = "keep", [LEAT_VERDICT_RESAMPLE] = "resample",
	[LEAT_VERDICT_CLEAN] = "clean", [LEAT_VERDICT_DRY] = "dry", [LEAT_VERDICT_RENEW] = "renew",
	[LEAT_VERDICT_CHANGE] = "change"
};

const char *
leat_oil_verdict_name(enum leat_oil_verdict verdict)
{
	return names[verdict];
}

#define add(dst, ...) leat_append(dst, LEAT_VERDICT_TEXT, __VA_ARGS__)

void
leat_verdict_date(char *dst, size_t size, const struct leat_verdict *v, struct leat_time t)
{
	struct leat_civil d;

	if (leat_time_is_none(t)) {
		snprintf(dst, size, "never");
		return;
	}
	d = leat_zone_civil(leat_nameplate_zone(v->form.np), t);
	snprintf(dst, size, "%04d-%02d-%02d", d.year, d.month, d.day);
}

/* As many decimals as the results had, without zeros behind the point for a limit. */
static void
number(char dst[LEAT_NUMBER_MAX], double value, int decimals, bool trim)
{
	size_t len = leat_number_fixed(dst, value, decimals > 6 ? 6 : decimals);

	if (trim)
		dst[leat_number_trim(dst, len)] = '\0';
}

/* The point in the trade's words: a finding about a tank has no point of its own that a report could put into words. */
static void
point_words(char *dst, size_t size, struct leat_span point)
{
	struct leat_text t = { .width = 200 };

	leat_words_point(&t, point);
	leat_mask(dst, size, leat_span_make(t.line.data, t.line.len));
	leat_text_free(&t);
}

void
leat_verdict_result_words(char *dst, size_t size, const struct leat_verdict_evidence *e, bool trade)
{
	const struct leat_verdict_watch *w = e->watch;
	const char *unit = w->unit != NULL && strcmp(w->unit->name, "1") != 0 ? w->unit->name : "";
	char point[96], value[LEAT_NUMBER_MAX], limit[LEAT_NUMBER_MAX] = "";

	if (trade)
		point_words(point, sizeof(point), w->point);
	else
		leat_mask(point, sizeof(point), w->point);
	number(value, e->result->value, w->decimals, false);
	if (!isnan(e->result->limit))
		number(limit, e->result->limit, w->decimals > 1 ? w->decimals : 1, true);
	snprintf(dst, size, "%s %s%s%s%s%s%s%s", point, value, unit[0] != '\0' ? " " : "", unit,
	    e->result->status == LEAT_STATUS_OK ? "" : e->result->low ? ", under " : ", over ",
	    e->result->status == LEAT_STATUS_OK ? "" : limit, e->result->own ? ", its own limit" : "",
	    e->result->certain ? "" : ", uncertain");
}

static bool
asks_for(const struct leat_verdict_case *c, enum leat_oil_cure cure)
{
	for (size_t i = 0; i < c->count; i++)
		if (c->evidence[i].beyond && c->evidence[i].confirmed && c->evidence[i].watch->row->cure == cure)
			return true;
	return false;
}

static bool
outdone(const struct leat_verdict_case *c, const struct leat_verdict_evidence *e)
{
	for (size_t i = 0; i < c->count; i++) {
		const struct leat_verdict_evidence *other = &c->evidence[i];

		if (other->beyond && other->confirmed == e->confirmed && leat_span_eq(other->watch->point, e->watch->point) &&
		    other->watch->row->cure == e->watch->row->cure && other->result->low == e->result->low &&
		    (e->result->low ? other->result->limit < e->result->limit : other->result->limit > e->result->limit))
			return true;
	}
	return false;
}

/* The reasons of one kind: those that count, or those that are to be confirmed. */
static size_t
add_reasons(char *dst, const struct leat_verdict_case *c, bool confirmed, bool looked_into)
{
	size_t shown = 0, more = 0;

	for (size_t i = 0; i < c->count; i++) {
		const struct leat_verdict_evidence *e = &c->evidence[i];
		char text[256];

		if (!e->beyond || e->confirmed != confirmed || (e->watch->row->cure == LEAT_OIL_LOOK) != looked_into)
			continue;
		/* What asks for the same and is sure has said it, or another rule of the point whose limit lies farther out. */
		if ((!confirmed && asks_for(c, e->watch->row->cure)) || outdone(c, e))
			continue;
		if (shown == SHOWN) {
			more++;
			continue;
		}
		leat_verdict_result_words(text, sizeof(text), e, true);
		add(dst, "%s%s", shown > 0 ? " and " : "", text);
		if (!e->confirmed && e->times > 0)
			add(dst, " (%d result%s, %d needed)", e->times, e->times == 1 ? "" : "s", e->watch->row->confirm);
		else if (e->times > 1)
			add(dst, " (%d results)", e->times);
		shown++;
	}
	if (more > 0)
		add(dst, " and %zu more", more);
	return shown;
}

/* "; drying takes 31 h", or why not. */
static void
add_hours(char *dst, const char *what, double h, const char *never, const char *unknown)
{
	if (isnan(h))
		add(dst, "; %s takes a time that is not known: leat-oil needs %s", what, unknown);
	else if (isinf(h))
		add(dst, "; %s never gets there: %s", what, never);
	else if (h > 0)
		add(dst, "; %s takes %.*f h", what, h < 10 ? 1 : 0, h);
}

static void
add_renewal(char *dst, const struct leat_verdict_case *c)
{
	char point[96];

	if (c->share_by == NULL)
		return;
	point_words(point, sizeof(point), c->share_by->watch->point);
	if (c->verdict == LEAT_VERDICT_RENEW) {
		add(dst, "; %.0f %% of fresh oil", ceil(100 * c->share - 1e-9));
		if (!isnan(c->tank_l))
			add(dst, ", %.0f L where a change takes %.0f L,", ceil(c->share * c->tank_l - 1e-9), c->tank_l);
		add(dst, " brings %s well within its limit", point);
		return;
	}
	if (isfinite(c->share))
		add(dst, "; a part would have to be %.0f %%, more than %.0f %%, so change all", ceil(100 * c->share - 1e-9),
		    100 * c->most);
	else
		add(dst, "; no part of fresh oil is known to be enough for %s, so change all", point);
	if (!isnan(c->tank_l))
		add(dst, ": %.0f L, filled in through the filter", c->tank_l);
}

/* What is needed and is not there. */
static void
add_missing(char *dst, const struct leat_verdict *v, const struct leat_verdict_case *c)
{
	size_t shown = 0;

	for (size_t i = 0; i < c->count; i++) {
		const struct leat_verdict_evidence *e = &c->evidence[i];
		char point[96], date[40];

		if (!e->key->row->needed || (e->watch != NULL && !e->stale))
			continue;
		point_words(point, sizeof(point), e->key->point);
		leat_verdict_date(date, sizeof(date), v, e->time);
		add(dst, "%s%s has no result%s%s", shown++ > 0 ? ", " : "", point, e->watch != NULL ? " since " : "",
		    e->watch != NULL ? date : "");
	}
}

/* Does a's advice come before b's?  What is sure, then what is graver. */
static bool
before(const struct leat_verdict_evidence *a, const struct leat_verdict_evidence *b)
{
	if (b == NULL || a->confirmed != b->confirmed)
		return b == NULL || a->confirmed;
	return a->watch->row->cure != b->watch->row->cure ? a->watch->row->cure > b->watch->row->cure : a->status > b->status;
}

static const struct leat_verdict_evidence *
first_of(const struct leat_verdict_case *c, int cure)
{
	const struct leat_verdict_evidence *first = NULL;

	for (size_t i = 0; i < c->count; i++) {
		const struct leat_verdict_evidence *e = &c->evidence[i];

		if (e->beyond && e->watch->row->cure != LEAT_OIL_LOOK && (cure < 0 || (int)e->watch->row->cure == cure) &&
		    before(e, first))
			first = e;
	}
	return first;
}

/* Water whose source is not found wets the fresh oil too. */
static void
add_advice(char *dst, const struct leat_verdict_case *c)
{
	const struct leat_verdict_evidence *first = first_of(c, -1), *wet = first_of(c, LEAT_OIL_DRY);

	if (first != NULL)
		leat_rule_add_advice(dst, LEAT_VERDICT_TEXT, first->watch->row->rule.advice);
	if (wet != NULL && wet->confirmed && wet != first)
		leat_rule_add_advice(dst, LEAT_VERDICT_TEXT, wet->watch->row->rule.advice);
}

static void
unknown_words(char *dst, const struct leat_verdict *v, const struct leat_verdict_case *c)
{
	char date[40];

	add(dst, "cannot tell: ");
	if (c->changed != NULL && leat_time_is_none(c->sampled)) {
		leat_verdict_date(date, sizeof(date), v, c->changed->time);
		add(dst, "no sample since it was changed on %s", date);
	} else {
		add_missing(dst, v, c);
	}
	add(dst, "; " DRAW);
}

static void
head(char *dst, const struct leat_verdict *v, const struct leat_verdict_case *c)
{
	char date[40];

	leat_verdict_date(date, sizeof(date), v, c->sampled);
	switch (c->verdict) {
	case LEAT_VERDICT_UNKNOWN:
		unknown_words(dst, v, c);
		break;
	case LEAT_VERDICT_KEEP:
		add(dst, "keep the oil by the sample of %s: what is needed is within its limits", date);
		leat_verdict_date(date, sizeof(date), v, c->valid_until);
		add(dst, ", valid until %s", date);
		break;
	case LEAT_VERDICT_RESAMPLE:
		add(dst, "take a second sample before anything is done, by that of %s: ", date);
		(void)add_reasons(dst, c, false, false);
		break;
	default:
		add(dst, "%s the oil by the sample of %s: ", c->verdict == LEAT_VERDICT_RENEW ? "renew a part of" :
		    names[c->verdict], date);
		(void)add_reasons(dst, c, true, false);
	}
}

/* Of a viscosity that moved while the acid number did not: how much of another oil would do that. */
static void
add_share(char *dst, const struct leat_verdict *v, const struct leat_verdict_evidence *e)
{
	struct leat_span tank = leat_verdict_tank_name(v, e->watch->tank);
	struct leat_span other = leat_nameplate_word(v->form.np, tank, "other-oil-grade", e->result->time);
	double volume_l;

	for (size_t i = 0; i < v->watches; i++) {
		const struct leat_verdict_watch *w = &v->watch[i];

		if (w->kind != LEAT_VERDICT_SHARE || w->sample != e->watch->sample)
			continue;
		for (size_t k = 0; k < w->results; k++) {
			double share = fabs(w->result[k].value);

			if (leat_time_cmp(w->result[k].time, e->result->time) != 0)
				continue;
			add(dst, "; %.1f %%", share);
			if (leat_nameplate_number(v->form.np, tank, "tank-volume", e->result->time, &volume_l) == 0)
				add(dst, ", %.0f L,", share / 100 * volume_l);
			if (other.len > 0 && other.len < 32)
				add(dst, " of %.*s would make it so", (int)other.len, other.ptr);
			else
				add(dst, " of the next %s grade would make it so", w->result[k].value < 0 ? "thinner" : "thicker");
		}
	}
}

void
leat_verdict_look_words(char *dst, const struct leat_verdict *v, const struct leat_verdict_evidence *e)
{
	char text[256], date[40], sample[80];

	dst[0] = '\0';
	leat_verdict_result_words(text, sizeof(text), e, false);
	leat_verdict_date(date, sizeof(date), v, e->result->time);
	leat_mask(sample, sizeof(sample), v->samples.name[e->watch->sample]);
	add(dst, "%s, at %s on %s", text, sample, date);
	if (e->times > 1)
		add(dst, ", in %d samplings", e->times);
	if (e->status == LEAT_STATUS_OK) {
		if (e->beyond)
			add(dst, ", to be confirmed");
		return;
	}
	if (leat_span_is(e->watch->point, "viscosity-shift"))
		add_share(dst, v, e);
	leat_rule_add_advice(dst, LEAT_VERDICT_TEXT, e->watch->row->rule.advice);
}

void
leat_verdict_words(char *dst, const struct leat_verdict *v, const struct leat_verdict_case *c)
{
	char look[LEAT_VERDICT_TEXT] = "";

	dst[0] = '\0';
	head(dst, v, c);
	if (c->verdict <= LEAT_VERDICT_KEEP && add_reasons(look, c, true, true) > 0)
		add(dst, "; look into %s", look);
	/* Oil that goes is neither dried nor cleaned. */
	if (c->verdict != LEAT_VERDICT_CHANGE && asks_for(c, LEAT_OIL_DRY))
		add_hours(dst, "drying", c->dry_h, "its floor lies above the target", "dehydrator-rate, tank-volume and oil "
		    "temperature");
	if (c->verdict != LEAT_VERDICT_CHANGE && asks_for(c, LEAT_OIL_CLEAN))
		add_hours(dst, "cleaning", c->clean_h, "more flow or a finer element is needed, or less dirt coming in",
		    "tank-volume, and loop-flow and beta of the off-line filter");
	add_renewal(dst, c);
	if (c->verdict > LEAT_VERDICT_RESAMPLE) {
		look[0] = '\0';
		if (add_reasons(look, c, false, false) > 0)
			add(dst, "; to be confirmed by a second sample: %s", look);
	}
	if (c->verdict > LEAT_VERDICT_KEEP && c->missing > 0) {
		add(dst, "; not known: ");
		add_missing(dst, v, c);
	}
	if (c->verdict == LEAT_VERDICT_RESAMPLE)
		add(dst, "; " DRAW);
	else if (c->status == LEAT_STATUS_ALERT || c->status == LEAT_STATUS_ALARM)
		add_advice(dst, c);
}
