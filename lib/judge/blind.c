/*
 * Which judgements a works' data allows: the needs of one, against what is there.
 */
#include "judge/blind.h"

#include <stdio.h>
#include <string.h>

#include "base/number.h"

/* A value that comes so much later than due is still at its rate. */
#define RATE_SLACK 1.5
#define WORDS_MAX 160

/* One alternative of a group. */
struct need {
	struct leat_span name;
	double step_s;			/* 0: at any rate */
	bool property;
	const struct leat_holding *found;	/* the quickest that there is, or NULL */
	bool there, quick;
};

struct judging {
	const struct leat_judgement *judgement;
	const struct leat_holdings *h;
	const struct leat_nameplate *np;
	struct leat_span mill;
	struct leat_blind_row *row;
	const struct leat_holding *first;	/* of the first group */
	bool failed;			/* memory is out */
};

static void
add(struct judging *j, struct leat_buf *to, const char *before, const char *text)
{
	const char *sep = to->len > 0 ? before : "";

	if (leat_buf_add(to, sep, strlen(sep)) != 0 || leat_buf_add(to, text, strlen(text)) != 0)
		j->failed = true;
}

static void
lower(struct judging *j, enum leat_blind state)
{
	if (state < j->row->state)
		j->row->state = state;
}

/* "60 s", "5 min". */
static const char *
seconds_words(char *dst, double seconds)
{
	leat_duration_words(dst, seconds);
	return dst;
}

static void
read_need(struct leat_span text, struct need *n)
{
	size_t at = leat_span_find(text, '@');
	double step_s;

	*n = (struct need){ .name = leat_span_make(text.ptr, at) };
	if (at < text.len && leat_double_parse(leat_span_make(text.ptr + at + 1, text.len - at - 2), &step_s) == 0)
		n->step_s = step_s;
	if (n->name.ptr[0] == '=') {
		n->property = true;
		n->name = leat_span_make(n->name.ptr + 1, n->name.len - 1);
	}
}

static bool
better(const struct leat_holding *a, const struct leat_holding *b)
{
	if (b == NULL)
		return true;
	if ((a->logged > 0) != (b->logged > 0))
		return b->logged > 0;
	/* One value alone has no interval. */
	if (a->found.sample_s < 0 || b->found.sample_s < 0)
		return b->found.sample_s < 0 && a->found.sample_s >= 0;
	return a->found.sample_s < b->found.sample_s;
}

/* Nothing but texts where a number is due is no reading. */
static bool
usable(const struct leat_holdings *h, size_t row)
{
	const struct leat_point_info *info = leat_point_find(h->row[row].point);

	return h->row[row].logged > 0 || info == NULL || info->kind != LEAT_KIND_ANALOGUE ||
	    leat_holdings_tag(h, row)->numeric > 0;
}

/* Looks for the alternative among what there is. */
static void
look(struct judging *j, struct need *n)
{
	const struct leat_holding *r;

	if (n->property) {
		n->there = n->quick = leat_nameplate_below(j->np, j->mill, n->name);
		return;
	}
	for (size_t i = 0; i < j->h->count; i++) {
		r = &j->h->row[i];
		if (r->point.len > 0 && leat_span_eq(r->mill, j->mill) && leat_span_eq(r->point, n->name) &&
		    usable(j->h, i) && better(r, n->found))
			n->found = r;
	}
	n->there = n->found != NULL;
	n->quick = n->there && (n->step_s == 0 || (n->found->found.sample_s >= 0 &&
	    n->found->found.sample_s <= RATE_SLACK * n->step_s));
}

static void
say_has(struct judging *j, const struct need *n)
{
	char text[WORDS_MAX], words[40];

	if (n->property)
		snprintf(text, sizeof(text), "=%.*s", (int)n->name.len, n->name.ptr);
	else if (n->found->logged > 0)
		snprintf(text, sizeof(text), "%.*s x%lld in the logbook", (int)n->name.len, n->name.ptr, n->found->logged);
	else if (n->found->found.sample_s >= 0)
		snprintf(text, sizeof(text), "%.*s every %s", (int)n->name.len, n->name.ptr,
		    seconds_words(words, n->found->found.sample_s));
	else
		snprintf(text, sizeof(text), "%.*s once", (int)n->name.len, n->name.ptr);
	add(j, &j->row->has, "; ", text);
}

/* Appends the alternatives of a group in words, with their rates: "no pressure-setpoint or the property set-pressure". */
static void
say_group(struct judging *j, struct leat_buf *to, const char *verb, struct leat_span group, bool rates)
{
	struct leat_span text;
	struct need n;
	char words[40], line[WORDS_MAX];
	bool first = true;

	while (leat_span_next(&group, '|', &text)) {
		read_need(text, &n);
		snprintf(line, sizeof(line), "%s%s%.*s%s%s", first ? verb : " or ", n.property ? rates ? "the property " : "property " : "",
		    (int)n.name.len, n.name.ptr, rates && n.step_s > 0 ? " every " : "",
		    rates && n.step_s > 0 ? seconds_words(words, n.step_s) : "");
		add(j, to, first ? "; " : "", line);
		first = false;
	}
}

static void
say_slow(struct judging *j, const struct need *n)
{
	char text[WORDS_MAX], is[40], due[40];

	lower(j, LEAT_BLIND_COARSE);
	if (n->found->logged > 0 || n->found->found.sample_s < 0)
		snprintf(text, sizeof(text), "single values of %.*s, one every %s is due", (int)n->name.len, n->name.ptr,
		    seconds_words(due, n->step_s));
	else
		snprintf(text, sizeof(text), "%.*s every %s, every %s is due", (int)n->name.len, n->name.ptr,
		    seconds_words(is, n->found->found.sample_s), seconds_words(due, n->step_s));
	add(j, &j->row->reason, "; ", text);
}

/* Takes the best alternative of a group. */
static void
judge_group(struct judging *j, struct leat_span group, bool helps, bool is_first)
{
	struct leat_span text, rest = group;
	struct need n, best = { .there = false };

	while (leat_span_next(&rest, '|', &text)) {
		read_need(text, &n);
		look(j, &n);
		if (n.there && (!best.there || (n.quick && !best.quick)))
			best = n;
	}
	if (best.there)
		say_has(j, &best);
	if (is_first)
		j->first = best.found;
	if (best.there && best.quick)
		return;
	if (best.there && !helps)
		say_slow(j, &best);
	else if (!best.there && !helps)
		lower(j, LEAT_BLIND);
	if (!best.there)
		say_group(j, &j->row->reason, helps ? "better with " : "no ", group, false);
	say_group(j, &j->row->opens, "", group, true);
}

static void
judge_groups(struct judging *j)
{
	struct leat_span rest = leat_span_of(j->judgement->needs), group;
	bool first = true, helps;

	while (leat_span_next(&rest, ' ', &group)) {
		helps = group.ptr[0] == '(';
		if (helps)
			group = leat_span_make(group.ptr + 1, group.len - 2);
		judge_group(j, group, helps, first);
		first = false;
	}
}

static const struct leat_holding *
find(struct judging *j, const char *point)
{
	struct need n = { .name = leat_span_of(point) };

	look(j, &n);
	return n.found;
}

/* A pump-up is seen when its switch is on for two samples at least, and the cycle has four. */
static void
judge_cycles(struct judging *j)
{
	const struct leat_holding *charging = find(j, "charging"), *pressure = find(j, "pressure");
	const struct leat_trace_result *c = charging != NULL ? &charging->found : NULL, *p = &pressure->found;
	char text[WORDS_MAX], a[40], b[LEAT_NUMBER_MAX], d[LEAT_NUMBER_MAX];
	double cycle_s = c != NULL && c->cycle_s > 0 ? c->cycle_s : p->cycle_s;

	if (c != NULL && c->short_s > 0 && c->short_s < 2 * c->sample_s) {
		lower(j, LEAT_BLIND_COARSE);
		add(j, &j->row->reason, "; ", "pump-ups as short as the samples of charging are missed");
	}
	if (cycle_s > 0 && cycle_s < 4 * p->sample_s) {
		lower(j, LEAT_BLIND_COARSE);
		snprintf(text, sizeof(text), "a cycle of %s has fewer than four samples of pressure", seconds_words(a, cycle_s));
		add(j, &j->row->reason, "; ", text);
	}
	if (leat_trace_hides_cycle(p)) {
		lower(j, LEAT_BLIND_COARSE);
		leat_number_significant(b, p->deadband > p->resolution ? p->deadband : p->resolution, 2);
		leat_number_significant(d, p->cycle, 2);
		snprintf(text, sizeof(text), "pressure moves in steps of %.20s, more than a quarter of its cycle of %.20s: "
		    "peaks and cycles may be gone", b, d);
		add(j, &j->row->reason, "; ", text);
		add(j, &j->row->opens, "; ", "a finer deadband of pressure");
	}
	if (p->kept == LEAT_TRACE_LINES) {
		lower(j, LEAT_BLIND_COARSE);
		add(j, &j->row->reason, "; ", "pressure is drawn in straight lines between what was kept: peaks may be gone");
		add(j, &j->row->opens, "; ", "pressure as it was kept");
	}
}

static void
judge_span(struct judging *j)
{
	const struct leat_judgement *q = j->judgement;
	const struct leat_trace_result *f = &j->first->found;
	char text[WORDS_MAX];

	if (q->least_days == 0 || f->days >= q->least_days || (q->least_hours > 0 && f->hours >= q->least_hours))
		return;
	lower(j, LEAT_BLIND_COARSE);
	if (q->least_hours > 0)
		snprintf(text, sizeof(text), "%.0f h on %lld days are too short: %.0f h or %d days are due", f->hours, f->days,
		    q->least_hours, q->least_days);
	else
		snprintf(text, sizeof(text), "too few days with values: %lld, a trend needs %d", f->days, q->least_days);
	add(j, &j->row->reason, "; ", text);
	add(j, &j->row->opens, "; ", "a longer span");
}

/* What daily values of the first reading can show. */
static void
say_visible(struct judging *j)
{
	const struct leat_trace_result *f = &j->first->found;
	char text[WORDS_MAX], week[LEAT_NUMBER_MAX], month[LEAT_NUMBER_MAX];

	if (j->judgement->least_hours <= 0 || f->change_7d < 0)
		return;
	leat_number_significant(week, f->change_7d, 2);
	leat_number_significant(month, f->change_30d, 2);
	snprintf(text, sizeof(text), "daily %.*s shows changes from %.20s %s on over 7 days and %.20s over 30",
	    (int)j->first->point.len, j->first->point.ptr, week, j->first->unit, month);
	add(j, &j->row->reason, "; ", text);
}

int
leat_blind_judge(const struct leat_judgement *judgement, const struct leat_holdings *h,
    const struct leat_nameplate *np, struct leat_span mill, struct leat_blind_row *row)
{
	struct judging j = { .judgement = judgement, .h = h, .np = np, .mill = mill, .row = row };

	row->state = LEAT_BLIND_POSSIBLE;
	leat_buf_reset(&row->has);
	leat_buf_reset(&row->reason);
	leat_buf_reset(&row->opens);
	judge_groups(&j);
	if (row->state > LEAT_BLIND && judgement->cycles)
		judge_cycles(&j);
	if (row->state > LEAT_BLIND && j.first != NULL) {
		judge_span(&j);
		say_visible(&j);
	}
	return j.failed ? -1 : 0;
}

void
leat_blind_row_free(struct leat_blind_row *row)
{
	leat_buf_free(&row->has);
	leat_buf_free(&row->reason);
	leat_buf_free(&row->opens);
}

const char *
leat_blind_name(enum leat_blind state)
{
	static const char *const name[] = { "blind", "coarse", "possible" };

	return name[state];
}
