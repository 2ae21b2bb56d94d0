/*
 * What the trend engine found, as findings in the order in which judges print.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "judge/trend_private.h"

#define SLUG 256

enum kind {
	KIND_MAIN,
	KIND_STEP,		/* is there an unexplained step, for a row that watches for slow change */
	KIND_UNMATCHED,		/* a works' row that matched nothing */
	KIND_NOTHING		/* nothing was judged at all */
};

struct slot {
	enum kind kind;
	const struct leat_trend_over *over;	/* an episode that ended; NULL: what is open, or in order */
	struct leat_span asset, point;
	char slug[SLUG];
	const struct leat_trend_case *c;
	const struct leat_trend_row *row;
};

struct slots {
	struct slot *slot;
	size_t count, cap;
};

static int
add_slot(struct slots *slots, enum kind kind, struct leat_span asset, struct leat_span point,
    const struct leat_trend_row *row, const struct leat_trend_case *c)
{
	struct slot *s;

	if (leat_grow(&slots->slot, &slots->cap, slots->count + 1, sizeof(*slots->slot)) != 0)
		return -1;
	s = &slots->slot[slots->count++];
	*s = (struct slot){ .kind = kind, .asset = asset, .point = point, .c = c, .row = row };
	if (row == NULL)
		snprintf(s->slug, sizeof(s->slug), "no-trend-judged");
	else
		snprintf(s->slug, sizeof(s->slug), "%.*s%s", (int)row->rule.name.len, row->rule.name.ptr, kind == KIND_STEP ? "-step" : "");
	return 0;
}

static int
slot_cmp(const void *a, const void *b)
{
	const struct slot *x = a, *y = b;
	struct leat_finding f = { .asset = x->asset, .point = x->point, .rule = leat_span_of(x->slug) };
	struct leat_finding g = { .asset = y->asset, .point = y->point, .rule = leat_span_of(y->slug) };
	int order = leat_finding_cmp(&f, &g);

	if (order != 0)
		return order;
	/* What ended comes before what is open. */
	if ((x->over == NULL) != (y->over == NULL))
		return x->over == NULL ? 1 : -1;
	if (x->over != NULL && x->over != y->over)
		return x->over < y->over ? -1 : 1;
	return (x->row > y->row) - (x->row < y->row);
}

/* Is the same step told by a row that watches this series for steps alone? */
static bool
told_elsewhere(const struct leat_trend *trend, const struct leat_trend_case *c)
{
	for (size_t i = 0; i < trend->watches; i++) {
		const struct leat_trend_case *other = &trend->found[i];

		if (other != c && other->watch->series == c->watch->series && other->watch->row->model == LEAT_MODEL_STEP &&
		    other->step.found && leat_time_cmp(other->step.at, c->step.at) == 0)
			return true;
	}
	return false;
}

/* The identities of one series and row: the row's own and, but for rows that watch for steps alone, that of its steps. */
static int
case_slots(struct leat_trend *trend, struct slots *slots, const struct leat_trend_case *c)
{
	struct leat_span asset = leat_trend_asset(trend, c->watch), point = leat_trend_point(trend, c->watch);

	if (add_slot(slots, KIND_MAIN, asset, point, c->watch->row, c) != 0)
		return -1;
	return c->watch->row->model == LEAT_MODEL_STEP ? 0 : add_slot(slots, KIND_STEP, asset, point, c->watch->row, c);
}

static int
over_slots(struct leat_trend *trend, struct slots *slots)
{
	for (size_t i = 0; i < trend->overs; i++) {
		const struct leat_trend_over *over = &trend->over[i];
		const struct leat_trend_watch *w = over->last.watch;
		bool row_of_steps = w->row->model == LEAT_MODEL_STEP;

		if (add_slot(slots, over->is_step && !row_of_steps ? KIND_STEP : KIND_MAIN, leat_trend_asset(trend, w),
		    leat_trend_point(trend, w), w->row, &over->last) != 0)
			return -1;
		slots->slot[slots->count - 1].over = over;
	}
	return 0;
}

static int
make_slots(struct leat_trend *trend, struct slots *slots)
{
	const struct leat_trends *trends = trend->form.trends;

	for (size_t i = 0; i < trend->watches; i++)
		if (case_slots(trend, slots, &trend->found[i]) != 0)
			return -1;
	if (over_slots(trend, slots) != 0)
		return -1;
	for (size_t i = 0; i < trends->count; i++) {
		const struct leat_trend_row *row = &trends->row[i];

		if (trend->matched[i] || (row->rule.off && !row->rule.shipped))
			continue;
		if (row->rule.shipped || leat_rule_stands_for_shipped(&trends->table, &row->rule))
			trend->count.unmatched_shipped += row->rule.shipped;
		else if (add_slot(slots, KIND_UNMATCHED, row->rule.asset, row->rule.point, row, NULL) != 0)
			return -1;
	}
	if (trend->watches == 0 && add_slot(slots, KIND_NOTHING, LEAT_SPAN("*"), LEAT_SPAN("*"), NULL, NULL) != 0)
		return -1;
	qsort(slots->slot, slots->count, sizeof(*slots->slot), slot_cmp);
	return 0;
}

/* What rounding leaves of nothing is nothing. */
static double
slope_of(const struct leat_trend_case *c, double slope)
{
	double reach = c->best.line.slope_high - c->best.line.slope_low;

	return !c->fitted ? NAN : fabs(slope) < 1e-9 * reach ? 0 : slope;
}

static void
put_number(struct leat_out *out, double value, int digits)
{
	char text[LEAT_NUMBER_MAX];

	leat_out_char(out, ',');
	if (isfinite(value))
		leat_out_bytes(out, text, leat_number_significant(text, value, digits));
}

/* The dates of the alarm limit, or of the alert where there is no alarm.  A date that is the latest there can be is a P90. */
static bool
main_dates(const struct leat_trend_case *c, struct leat_time date[3])
{
	bool alarm = !isnan(c->alarm);

	if (!leat_trend_dates(c, alarm ? &c->best.to[LEAT_TO_ALARM] : &c->best.to[LEAT_TO_ALERT], date))
		return false;
	if (alarm ? c->best.late[LEAT_TO_ALARM] : c->best.late[LEAT_TO_ALERT])
		date[0] = date[1] = LEAT_TIME_NONE;
	return true;
}

/* The columns of LEAT_TREND_COLUMNS; c NULL: all empty. */
static void
put_columns(struct leat_out *out, const struct leat_trend_case *c)
{
	struct leat_time date[3] = { LEAT_TIME_NONE, LEAT_TIME_NONE, LEAT_TIME_NONE };
	char n[32], p[LEAT_NUMBER_MAX];

	if (c == NULL) {
		leat_out_text(out, ",,,,,,,,,,,,,\n");
		return;
	}
	if (c->fitted)
		(void)main_dates(c, date);
	put_number(out, c->has_baseline ? c->baseline : NAN, 6);
	put_number(out, c->has_baseline ? c->level / c->baseline : NAN, 4);
	put_number(out, slope_of(c, c->best.line.slope), 4);
	put_number(out, slope_of(c, c->best.line.slope_low), 4);
	put_number(out, slope_of(c, c->best.line.slope_high), 4);
	put_number(out, c->fitted ? c->best.kendall.tau : NAN, 3);
	leat_trend_number(p, c->fitted ? c->best.kendall.p : NAN, 6);
	leat_out_char(out, ',');
	leat_out_text(out, p);
	snprintf(n, sizeof(n), ",%zu", c->n);
	leat_out_text(out, n);
	put_number(out, 100 * c->coverage, 3);
	put_number(out, c->detectable, 3);
	for (int i = 0; i < 3; i++) {
		leat_out_char(out, ',');
		leat_out_time(out, date[i]);
	}
	leat_out_char(out, '\n');
}

struct writer {
	struct leat_trend *trend;
	const struct leat_shelves *shelves;
	struct leat_out *out;
};

static void
write_one(struct writer *w, const struct slot *slot, struct leat_finding *f)
{
	f->asset = slot->asset;
	f->point = slot->point;
	f->rule = leat_span_of(slot->slug);
	f->shelved = LEAT_TIME_NONE;
	if (w->shelves != NULL && f->status != LEAT_STATUS_OK)
		f->shelved = leat_shelves_until(w->shelves, f->asset, f->point, f->rule, w->trend->now);
	if (f->status == LEAT_STATUS_OK && !w->trend->form.all)
		return;
	w->trend->count.written++;
	w->trend->count.found += f->status != LEAT_STATUS_OK && leat_time_is_none(f->shelved);
	leat_finding_write(w->out, f, false);
	put_columns(w->out, slot->kind == KIND_STEP ? NULL : slot->c);
}

/* Of a row for steps: what looks like a change of scale is no alarm. */
static enum leat_status
step_status(const struct leat_trend_case *c)
{
	const struct leat_trend_row *row = c->watch->row;

	return row->has_alarm && (row->falling ? c->step.ratio <= row->alarm : c->step.ratio >= row->alarm) &&
	    c->step.factor == NULL ? LEAT_STATUS_ALARM : LEAT_STATUS_ALERT;
}

/* A step of a row that watches for steps alone: over the alarm, over the alert, or none. */
static void
write_step_row(struct writer *w, const struct slot *slot)
{
	const struct leat_trend_case *c = slot->c;
	char message[LEAT_TREND_TEXT];
	struct leat_finding f = { .since = LEAT_TIME_NONE, .until = LEAT_TIME_NONE, .due = LEAT_TIME_NONE };

	if (c->step.found) {
		f.status = step_status(c);
		f.time = f.since = c->step.at;
		leat_trend_step_words(message, w->trend, c);
	} else if (c->n < LEAT_TREND_LEAST) {
		f.status = LEAT_STATUS_UNKNOWN;
		f.time = c->n > 0 ? c->time[c->n - 1] : w->trend->now;
		snprintf(message, sizeof(message), "cannot tell: %.*s has %zu good daily values, and %d are needed to see a step",
		    (int)slot->point.len, slot->point.ptr, c->n, LEAT_TREND_LEAST);
	} else {
		f.status = LEAT_STATUS_OK;
		f.time = c->time[c->n - 1];
		snprintf(message, sizeof(message), "%.*s shows no step in %zu daily values", (int)slot->point.len,
		    slot->point.ptr, c->n);
	}
	f.message = leat_span_of(message);
	write_one(w, slot, &f);
}

/* A row that watches for slow change tells an unexplained step under a name of its own, unless a row for steps does. */
static void
write_step(struct writer *w, const struct slot *slot)
{
	const struct leat_trend_case *c = slot->c;
	char message[LEAT_TREND_TEXT];
	struct leat_finding f = { .since = LEAT_TIME_NONE, .until = LEAT_TIME_NONE, .due = LEAT_TIME_NONE };

	if (c->step.found && !told_elsewhere(w->trend, c)) {
		f.status = LEAT_STATUS_ALERT;
		f.time = f.since = c->step.at;
		leat_trend_step_words(message, w->trend, c);
	} else if (c->n < LEAT_TREND_LEAST) {
		return;
	} else {
		f.status = LEAT_STATUS_OK;
		f.time = c->time[c->n - 1];
		snprintf(message, sizeof(message), "%.*s shows no unexplained step", (int)slot->point.len, slot->point.ptr);
	}
	f.message = leat_span_of(message);
	write_one(w, slot, &f);
}

static void
write_over(struct writer *w, const struct slot *slot)
{
	const struct leat_trend_over *over = slot->over;
	const struct leat_trend_case *c = &over->last;
	char message[LEAT_TREND_TEXT], value[LEAT_NUMBER_MAX], limit[LEAT_NUMBER_MAX];
	struct leat_finding f = {
		.time = c->reached, .status = c->status, .since = c->since, .until = over->until, .due = LEAT_TIME_NONE
	};

	leat_trend_over_words(message, w->trend, over);
	f.message = leat_span_of(message);
	if (over->is_step) {
		f.status = c->watch->row->model == LEAT_MODEL_STEP ? step_status(c) : LEAT_STATUS_ALERT;
		f.time = f.since = c->step.at;
	} else if (!c->ahead) {
		leat_trend_number(value, c->level, leat_trend_decimals(c));
		leat_trend_number(limit, c->status == LEAT_STATUS_ALARM ? c->alarm : c->alert, leat_trend_decimals(c));
		f.value = leat_span_of(value);
		f.limit = leat_span_of(limit);
		f.unit = leat_span_of(leat_trend_unit(c));
	}
	write_one(w, slot, &f);
}

/* Where a date ahead is the news, the message holds the numbers, and value and limit stay empty. */
static void
write_main(struct writer *w, const struct slot *slot)
{
	const struct leat_trend_case *c = slot->c;
	char message[LEAT_TREND_TEXT], value[LEAT_NUMBER_MAX], limit[LEAT_NUMBER_MAX];
	struct leat_time date[3];
	struct leat_finding finding = {
		.time = leat_time_is_none(c->reached) ? w->trend->now : c->reached, .status = c->status, .since = c->since,
		.until = LEAT_TIME_NONE, .due = LEAT_TIME_NONE, .unit = leat_span_of(leat_trend_unit(c))
	};

	leat_trend_words(message, w->trend, c);
	finding.message = leat_span_of(message);
	if (c->fitted && c->status != LEAT_STATUS_UNKNOWN && c->status != LEAT_STATUS_ALARM && main_dates(c, date))
		finding.due = date[0];
	if (c->n > 0 && !c->ahead && c->status != LEAT_STATUS_UNKNOWN) {
		leat_trend_number(value, c->level, leat_trend_decimals(c));
		finding.value = leat_span_of(value);
	}
	if (finding.value.len > 0 && c->status != LEAT_STATUS_OK) {
		leat_trend_number(limit, c->status == LEAT_STATUS_ALARM ? c->alarm : c->alert, leat_trend_decimals(c));
		finding.limit = leat_span_of(limit);
	}
	if (finding.value.len == 0)
		finding.unit = leat_span_make("", 0);
	if (!leat_time_is_none(finding.time) && leat_time_cmp(finding.time, w->trend->now) > 0)
		finding.time = w->trend->now;
	write_one(w, slot, &finding);
}

static void
write_other(struct writer *w, const struct slot *slot)
{
	char message[LEAT_TREND_TEXT], asset[80], point[80];
	struct leat_finding f = { .status = LEAT_STATUS_UNKNOWN, .time = w->trend->now, .since = LEAT_TIME_NONE,
		.until = LEAT_TIME_NONE, .due = LEAT_TIME_NONE };

	leat_mask(asset, sizeof(asset), slot->asset);
	leat_mask(point, sizeof(point), slot->point);
	if (slot->kind == KIND_NOTHING)
		snprintf(message, sizeof(message), "no trend was judged: no reading has a row in trends.csv or in the shipped "
		    "trends; run the derive filters, such as leat-drain, before leat-trend");
	else
		snprintf(message, sizeof(message), "%s:%ld matched no reading: see whether '%s' and '%s' are written as in the "
		    "readings, and whether the export lacks them", slot->row->rule.file, slot->row->rule.line, asset, point);
	w->trend->form.warn(message);
	f.message = leat_span_of(message);
	write_one(w, slot, &f);
}

int
leat_trend_findings(struct leat_trend *trend, const struct leat_shelves *shelves, struct leat_out *out,
    struct leat_error *err)
{
	struct writer w = { trend, shelves, out };
	struct slots slots = { 0 };
	int result = make_slots(trend, &slots);

	leat_findings_write_header(out, LEAT_TREND_COLUMNS);
	for (size_t i = 0; result == 0 && i < slots.count; i++) {
		const struct slot *s = &slots.slot[i];

		if (s->over != NULL)
			write_over(&w, s);
		else if (s->kind == KIND_STEP)
			write_step(&w, s);
		else if (s->kind != KIND_MAIN)
			write_other(&w, s);
		else if (s->c->watch->row->model == LEAT_MODEL_STEP)
			write_step_row(&w, s);
		else
			write_main(&w, s);
	}
	free(slots.slot);
	return result == 0 ? 0 : leat_error_memory(err);
}
