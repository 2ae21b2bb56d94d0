/* The oil verdict as findings, in the order in which judges print. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "judge/verdict_private.h"

struct slot {
	struct leat_span asset, point, rule;
	const struct leat_verdict_subject *subject;	/* NULL: about a row of the works, or nothing judged */
	const struct leat_verdict_episode *over;	/* NULL: as it is now */
	const struct leat_oil_rule *row;
};

struct slots {
	struct slot *slot;
	size_t count, cap;
};

struct writer {
	struct leat_verdict *v;
	const struct leat_shelves *shelves;
	struct leat_out *out;
};

static int
add(struct slots *slots, const struct slot *slot)
{
	if (leat_grow(&slots->slot, &slots->cap, slots->count + 1, sizeof(*slots->slot)) != 0)
		return -1;
	slots->slot[slots->count++] = *slot;
	return 0;
}

static int
slot_cmp(const void *a, const void *b)
{
	const struct slot *x = a, *y = b;
	struct leat_finding f = { .asset = x->asset, .point = x->point, .rule = x->rule };
	struct leat_finding g = { .asset = y->asset, .point = y->point, .rule = y->rule };
	int order = leat_finding_cmp(&f, &g);

	if (order != 0)
		return order;
	/* What ended comes before what is now. */
	if ((x->over == NULL) != (y->over == NULL))
		return x->over == NULL ? 1 : -1;
	if (x->over != y->over)
		return x->over < y->over ? -1 : 1;
	return (x->row > y->row) - (x->row < y->row);
}

static int
make_slots(struct leat_verdict *v, struct slots *slots)
{
	const struct leat_oil_rules *rules = v->form.rules;
	static const struct slot nothing = {
		.asset = { "*", 1 }, .point = { "*", 1 }, .rule = { "no-oil-judged", sizeof("no-oil-judged") - 1 }
	};

	for (size_t i = 0; i < v->subjects; i++) {
		const struct leat_verdict_subject *subject = &v->subject[i];
		struct slot s = { .asset = leat_verdict_tank_name(v, subject->tank), .subject = subject };

		s.point = subject->key != NULL ? subject->key->point : leat_span_make("", 0);
		s.rule = subject->key != NULL ? subject->key->row->rule.name : LEAT_SPAN(LEAT_VERDICT_RULE);
		if (add(slots, &s) != 0)
			return -1;
		for (size_t k = 0; k < subject->overs; k++) {
			s.over = &subject->over[k];
			if (add(slots, &s) != 0)
				return -1;
		}
	}
	for (size_t i = 0; i < rules->count; i++) {
		const struct leat_oil_rule *row = &rules->row[i];
		struct slot s = { .asset = row->rule.asset, .point = row->rule.point, .rule = row->rule.name, .row = row };

		if (v->matched[i] || (row->rule.off && !row->rule.shipped))
			continue;
		if (row->rule.shipped || leat_rule_stands_for_shipped(&rules->table, &row->rule))
			v->count.unmatched_shipped += row->rule.shipped;
		else if (add(slots, &s) != 0)
			return -1;
	}
	if (v->tanks.count == 0 && add(slots, &nothing) != 0)
		return -1;
	qsort(slots->slot, slots->count, sizeof(*slots->slot), slot_cmp);
	return 0;
}

static void
put_number(struct leat_out *out, double value, int decimals)
{
	char text[LEAT_NUMBER_MAX];

	leat_out_char(out, ',');
	if (isinf(value))
		leat_out_text(out, "never");
	else if (!isnan(value))
		leat_out_bytes(out, text, leat_number_fixed(text, value, decimals));
}

/* The columns of LEAT_VERDICT_COLUMNS. */
static void
put_columns(struct writer *w, const struct slot *slot)
{
	const struct leat_verdict_case *c;

	if (slot->subject == NULL || slot->subject->key != NULL) {
		leat_out_text(w->out, slot->subject == NULL ? ",,,,,,,,\n" : ",look,,,,,,,\n");
		return;
	}
	if (slot->over != NULL) {
		leat_out_char(w->out, ',');
		leat_out_text(w->out, leat_oil_verdict_name(slot->over->verdict));
		leat_out_text(w->out, slot->over->confirmed ? ",yes,,,,,,\n" : ",no,,,,,,\n");
		return;
	}
	c = &w->v->tank[slot->subject->tank];
	leat_out_char(w->out, ',');
	leat_out_text(w->out, leat_oil_verdict_name(c->verdict));
	leat_out_text(w->out, c->verdict <= LEAT_VERDICT_KEEP ? "," : c->confirmed ? ",yes" : ",no");
	leat_out_char(w->out, ',');
	leat_out_time(w->out, c->sampled);
	leat_out_char(w->out, ',');
	leat_out_time(w->out, c->valid_until);
	put_number(w->out, c->clean_h, 1);
	put_number(w->out, c->dry_h, 1);
	put_number(w->out, c->verdict == LEAT_VERDICT_RENEW ? ceil(c->share * c->tank_l - 1e-9) : NAN, 0);
	put_number(w->out, c->tank_l, 0);
	leat_out_char(w->out, '\n');
}

static void
write_one(struct writer *w, const struct slot *slot, struct leat_finding *f)
{
	f->asset = slot->asset;
	f->point = slot->point;
	f->rule = slot->rule;
	f->due = f->shelved = LEAT_TIME_NONE;
	if (w->shelves != NULL && f->status != LEAT_STATUS_OK)
		f->shelved = leat_shelves_until(w->shelves, f->asset, f->point, f->rule, w->v->now);
	if (f->status == LEAT_STATUS_OK && !w->v->form.all)
		return;
	w->v->count.written++;
	w->v->count.found += f->status != LEAT_STATUS_OK && leat_time_is_none(f->shelved);
	leat_finding_write(w->out, f, false);
	put_columns(w, slot);
}

/* When did what is not there any longer become too old?  Before now, or at the end of the data where nothing came. */
static struct leat_time
lacking_since(const struct leat_verdict *v, const struct leat_verdict_case *c)
{
	struct leat_time t = LEAT_TIME_NONE;

	for (size_t i = 0; i < c->count; i++) {
		const struct leat_verdict_evidence *e = &c->evidence[i];
		struct leat_time end;

		if (!e->key->row->needed || e->watch == NULL || !e->stale)
			continue;
		end = leat_time_add(e->time, e->watch->row->max_age_s);
		if (leat_time_is_none(t) || leat_time_cmp(end, t) < 0)
			t = end;
	}
	if (leat_time_is_none(t))
		t = !leat_time_is_none(c->sampled) ? c->sampled : c->changed != NULL ? c->changed->time : v->now;
	return leat_time_cmp(t, v->now) > 0 ? v->now : t;
}

/* The value and the limit of what is to be looked into. */
static void
with_numbers(const struct writer *w, const struct slot *slot, double value, double limit, char text[2][LEAT_NUMBER_MAX],
    struct leat_finding *f)
{
	const struct leat_verdict_evidence *e = leat_verdict_evidence_of(slot->subject, &w->v->tank[slot->subject->tank]);
	int decimals = e->watch == NULL || e->watch->decimals > 6 ? 6 : e->watch->decimals;

	f->value = leat_span_make(text[0], leat_number_fixed(text[0], value, decimals));
	if (!isnan(limit))
		f->limit = leat_span_make(text[1], leat_number_trim(text[1], leat_number_fixed(text[1], limit, decimals)));
	if (e->watch != NULL && e->watch->unit != NULL)
		f->unit = leat_span_of(e->watch->unit->name);
}

/* Of what is to be looked into: the result as it is. */
static void
write_look(struct writer *w, const struct slot *slot, struct leat_finding *f)
{
	const struct leat_verdict_case *c = &w->v->tank[slot->subject->tank];
	const struct leat_verdict_evidence *e = leat_verdict_evidence_of(slot->subject, c);
	char message[LEAT_VERDICT_TEXT], text[2][LEAT_NUMBER_MAX], date[40];

	/* What is not needed may be absent or not judged, unless something stood open: ok it is not. */
	if ((f->status == LEAT_STATUS_UNKNOWN || (f->status == LEAT_STATUS_OK && e->result->idle)) &&
	    !slot->subject->key->row->needed && leat_time_is_none(slot->subject->open.since))
		return;
	if (f->status == LEAT_STATUS_UNKNOWN && e->watch != NULL && !e->stale) {
		snprintf(message, sizeof(message), "cannot tell: %.*s has no limits of its own yet, by %zu result%s before it of %u "
		    "that are needed", (int)slot->point.len, slot->point.ptr, e->result->own_n, e->result->own_n == 1 ? "" : "s",
		    LEAT_VERDICT_OWN);
	} else if (f->status == LEAT_STATUS_UNKNOWN) {
		leat_verdict_date(date, sizeof(date), w->v, e->time);
		snprintf(message, sizeof(message), "cannot tell: %.*s has no result%s%s", (int)slot->point.len, slot->point.ptr,
		    e->watch != NULL ? " since " : "", e->watch != NULL ? date : "");
	} else {
		leat_verdict_look_words(message, w->v, e);
		with_numbers(w, slot, e->result->value, f->status == LEAT_STATUS_OK ? NAN : e->result->limit, text, f);
	}
	f->message = leat_span_of(message);
	write_one(w, slot, f);
}

static void
write_now(struct writer *w, const struct slot *slot)
{
	const struct leat_verdict_case *c = &w->v->tank[slot->subject->tank];
	const struct leat_verdict_episode *open = &slot->subject->open;
	enum leat_status status = leat_verdict_status_of(slot->subject, c);
	bool bad = status == LEAT_STATUS_ALERT || status == LEAT_STATUS_ALARM;
	char message[LEAT_VERDICT_TEXT];
	struct leat_finding f = { .status = status, .since = LEAT_TIME_NONE, .until = LEAT_TIME_NONE };

	f.time = bad && !leat_time_is_none(open->since) ? open->turned :
	    status == LEAT_STATUS_UNKNOWN ? lacking_since(w->v, c) : c->sampled;
	if (status != LEAT_STATUS_OK)
		f.since = open->since;
	if (status == LEAT_STATUS_UNKNOWN && leat_time_is_none(f.since))
		f.since = f.time;
	if (slot->subject->key != NULL) {
		write_look(w, slot, &f);
		return;
	}
	leat_verdict_words(message, w->v, c);
	f.message = leat_span_of(message);
	write_one(w, slot, &f);
}

static void
write_over(struct writer *w, const struct slot *slot)
{
	const struct leat_verdict_episode *over = slot->over;
	char text[2][LEAT_NUMBER_MAX];
	struct leat_finding f = {
		.time = over->reached, .status = over->status, .since = over->since, .until = over->until,
		.message = leat_span_of(over->message)
	};

	if (slot->subject->key != NULL)
		with_numbers(w, slot, over->value, over->limit, text, &f);
	write_one(w, slot, &f);
}

static void
write_other(struct writer *w, const struct slot *slot)
{
	char message[512], asset[80], point[80];
	struct leat_finding f = { .status = LEAT_STATUS_UNKNOWN, .time = w->v->now, .since = LEAT_TIME_NONE,
		.until = LEAT_TIME_NONE };

	leat_mask(asset, sizeof(asset), slot->asset);
	leat_mask(point, sizeof(point), slot->point);
	if (slot->row == NULL)
		snprintf(message, sizeof(message), "no oil was judged: no reading of a sampling point has a row in oil.csv or in "
		    "the shipped rules; put leat-cleanliness and leat-oil before leat-verdict");
	else
		snprintf(message, sizeof(message), "%s:%ld matched no reading: see whether '%s' and '%s' are written as in the "
		    "readings, and whether the laboratory's sheets lack them", slot->row->rule.file, slot->row->rule.line, asset, point);
	w->v->form.warn(message);
	f.message = leat_span_of(message);
	write_one(w, slot, &f);
}

int
leat_verdict_findings(struct leat_verdict *v, const struct leat_shelves *shelves, struct leat_out *out,
    struct leat_error *err)
{
	struct writer w = { v, shelves, out };
	struct slots slots = { 0 };
	int result = make_slots(v, &slots);

	leat_findings_write_header(out, LEAT_VERDICT_COLUMNS);
	for (size_t i = 0; result == 0 && i < slots.count; i++) {
		if (slots.slot[i].subject == NULL)
			write_other(&w, &slots.slot[i]);
		else if (slots.slot[i].over != NULL)
			write_over(&w, &slots.slot[i]);
		else
			write_now(&w, &slots.slot[i]);
	}
	free(slots.slot);
	return result == 0 ? 0 : leat_error_memory(err);
}
