/*
 * What leat-confirm found, as sentences and as findings.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/zone.h"
#include "judge/confirm_private.h"
#include "stream/rule_row.h"

#define SOME 64

#define add(dst, ...) leat_append(dst, LEAT_CONFIRM_TEXT, __VA_ARGS__)

/* Adds the day by the works' clock. */
static void
add_day(char *dst, const struct leat_confirm *confirm, struct leat_time t)
{
	struct leat_civil d = leat_zone_civil(leat_nameplate_zone(confirm->form.np), t);

	add(dst, "%04d-%02d-%02d", d.year, d.month, d.day);
}

/* "0.3512": as many decimals as were written, but three digits at least. */
static void
write_value(char dst[LEAT_NUMBER_MAX], const struct leat_confirm_series *s, double value)
{
	int decimals = s->decimals > 6 ? 6 : s->decimals;

	dst[0] = '\0';
	if (!isfinite(value))
		return;
	while (decimals < 6 && fabs(value) > 0 && fabs(value) * pow(10, decimals) < 100)
		decimals++;
	leat_number_fixed(dst, value, decimals);
}

static void
add_value(char *dst, const struct leat_confirm_series *s, double value, bool with_unit)
{
	char number[LEAT_NUMBER_MAX];
	const char *unit = s->unit != NULL && strcmp(s->unit->name, "1") != 0 ? s->unit->name : "";

	write_value(number, s, value);
	add(dst, "%.40s%s%s", number, with_unit && unit[0] != '\0' ? " " : "", with_unit ? unit : "");
}

/* What would confirm: "at least 1.15 is due", "-2 to 2 is due". */
static void
add_due(char *dst, const struct leat_confirm_case *c)
{
	const struct leat_confirm_row *row = c->row;
	char low[LEAT_NUMBER_MAX] = "", high[LEAT_NUMBER_MAX] = "";

	if (!isnan(row->low))
		leat_number_trim(low, leat_number_significant(low, leat_confirm_bound(row, c->series, row->low), 4));
	if (!isnan(row->high))
		leat_number_trim(high, leat_number_significant(high, leat_confirm_bound(row, c->series, row->high), 4));
	if (high[0] == '\0')
		add(dst, "at least %.40s is due", low);
	else if (low[0] == '\0')
		add(dst, "at most %.40s is due", high);
	else
		add(dst, "%.40s to %.40s is due", low, high);
}

/* "internal-leakage 1.49 before and 0.352 L/min after (0.236 times where at most 0.8 is due)". */
static void
add_evidence(char *dst, const struct leat_confirm_case *c)
{
	const struct leat_confirm_row *row = c->row;
	char point[SOME], change[LEAT_NUMBER_MAX];

	leat_mask(point, sizeof(point), c->series->point);
	change[leat_number_significant(change, c->change, 3)] = '\0';
	add(dst, "%s ", point);
	if (row->measure == LEAT_CONFIRM_RATIO || row->measure == LEAT_CONFIRM_DIFFERENCE) {
		add_value(dst, c->series, c->before.median, false);
		add(dst, " before and ");
		add_value(dst, c->series, c->after.median, true);
		add(dst, " after (%.40s%s where ", change, row->measure == LEAT_CONFIRM_RATIO ? " times" : " more");
	} else {
		add_value(dst, c->series, c->after.median, true);
		add(dst, " (");
		if (row->measure == LEAT_CONFIRM_LEFT) {
			add_value(dst, c->series, c->left, true);
			add(dst, " was left, %.40s more where ", change);
		}
	}
	add_due(dst, c);
	add(dst, ")");
}

static void
add_lack(char *dst, const struct leat_confirm_case *c)
{
	char point[SOME];
	int need = c->series->rare ? 1 : LEAT_CONFIRM_LEAST;

	leat_mask(point, sizeof(point), c->series->point);
	if (c->after.n < (size_t)need)
		add(dst, "%zu of %d values of %s came within %.0f days after it", c->after.n, need, point,
		    c->row->within_s / 86400);
	else if (c->before.n < (size_t)need && c->row->measure <= LEAT_CONFIRM_DIFFERENCE)
		add(dst, "%zu of %d values of %s are there before it", c->before.n, need, point);
	else if (isnan(c->change))
		add(dst, "%s before it, or what was left, is no number to compare with", point);
	else {
		add_evidence(dst, c);
		add(dst, ": the values sway too much to tell");
	}
}

static void
step_words(char *dst, const struct leat_confirm *confirm, const struct leat_confirm_case *c)
{
	struct leat_time day = c->since, end;
	char point[SOME];

	leat_mask(point, sizeof(point), c->series->point);
	if (c->status == LEAT_STATUS_OK) {
		add(dst, "%s shows no work that was not logged", point);
		return;
	}
	add(dst, "unlogged work: %s went from ", point);
	add_value(dst, c->series, c->before.median, false);
	add(dst, " to ");
	add_value(dst, c->series, c->after.median, true);
	/* A daily value is that of the works' day that ends then. */
	if (!c->series->rare)
		leat_works_day_ending(confirm->form.np, c->since, &day, &end);
	add(dst, c->series->rare ? " by " : " on ");
	add_day(dst, confirm, day);
	add(dst, ", as after a %s, and no entry says why; ask who worked there, or who changed the meter, and log it with that date",
	    c->row->event->name);
}

void
leat_confirm_words(char *dst, const struct leat_confirm *confirm, const struct leat_confirm_case *c)
{
	dst[0] = '\0';
	if (c->entry == NULL) {
		step_words(dst, confirm, c);
		return;
	}
	if (c->status == LEAT_STATUS_UNKNOWN)
		add(dst, "cannot tell whether the data confirm the ");
	else
		add(dst, "the ");
	add(dst, "%s of ", c->entry->event->name);
	add_day(dst, confirm, c->entry->time);
	if (c->waiting) {
		add(dst, " waits for evidence: ");
		add_lack(dst, c);
	} else if (c->status == LEAT_STATUS_UNKNOWN) {
		add(dst, ": ");
		add_lack(dst, c);
	} else {
		add(dst, c->status == LEAT_STATUS_OK ? " is confirmed: " : c->status == LEAT_STATUS_ALARM ?
		    " is contradicted by the data: " : " is not seen in the data: ");
		add_evidence(dst, c);
	}
	if (c->status == LEAT_STATUS_ALERT || c->status == LEAT_STATUS_ALARM)
		leat_rule_add_advice(dst, LEAT_CONFIRM_TEXT, c->row->rule.advice);
}

static struct leat_span
rule_of(const struct leat_confirm_case *c)
{
	return c->entry != NULL ? c->row->rule.name : LEAT_SPAN("unlogged-work");
}

struct leat_span
leat_confirm_asset(const struct leat_confirm_case *c)
{
	return c->entry == NULL || leat_asset_within(c->series->asset, c->entry->asset) ? c->series->asset : c->entry->asset;
}

static int
case_cmp(const void *a, const void *b)
{
	const struct leat_confirm_case *x = a, *y = b;
	struct leat_finding f = { .asset = leat_confirm_asset(x), .point = x->series->point, .rule = rule_of(x), .since = x->since };
	struct leat_finding g = { .asset = leat_confirm_asset(y), .point = y->series->point, .rule = rule_of(y), .since = y->since };

	return leat_finding_cmp(&f, &g);
}

static void
put_number(struct leat_out *out, double value)
{
	char text[LEAT_NUMBER_MAX];

	leat_out_char(out, ',');
	if (isfinite(value))
		leat_out_bytes(out, text, leat_number_significant(text, value, 6));
}

/* The columns of LEAT_CONFIRM_COLUMNS. */
static void
put_columns(struct leat_out *out, const struct leat_confirm_case *c)
{
	char counts[64];

	leat_out_char(out, ',');
	if (c->row != NULL)
		leat_out_text(out, c->row->event->name);
	leat_out_char(out, ',');
	if (c->entry != NULL)
		leat_out_time(out, c->entry->time);
	put_number(out, c->row != NULL ? c->before.median : NAN);
	put_number(out, c->row != NULL ? c->after.median : NAN);
	put_number(out, c->change);
	snprintf(counts, sizeof(counts), ",%zu,%zu\n", c->before.n, c->after.n);
	leat_out_text(out, counts);
}

/* The sentence is the news, not a value: that stays empty, and the columns have the numbers. */
static void
write_one(struct leat_confirm *confirm, const struct leat_shelves *shelves, struct leat_out *out,
    const struct leat_confirm_case *c)
{
	char message[LEAT_CONFIRM_TEXT];
	struct leat_finding f = {
		.time = c->time, .asset = leat_confirm_asset(c), .point = c->series->point, .rule = rule_of(c), .status = c->status,
		.since = c->since, .until = LEAT_TIME_NONE, .due = LEAT_TIME_NONE, .shelved = LEAT_TIME_NONE
	};

	if (c->status == LEAT_STATUS_OK && !confirm->form.all)
		return;
	leat_confirm_words(message, confirm, c);
	f.message = leat_span_of(message);
	/* What is in order has no episode. */
	if (c->status == LEAT_STATUS_OK)
		f.since = LEAT_TIME_NONE;
	else if (shelves != NULL)
		f.shelved = leat_shelves_until(shelves, f.asset, f.point, f.rule, confirm->now);
	confirm->count.written++;
	confirm->count.found += f.status != LEAT_STATUS_OK && leat_time_is_none(f.shelved);
	leat_finding_write(out, &f, false);
	put_columns(out, c);
}

/* Silence would look like health. */
static void
write_nothing(struct leat_confirm *confirm, struct leat_out *out)
{
	struct leat_finding f = {
		.time = confirm->now, .asset = LEAT_SPAN("*"), .point = LEAT_SPAN("*"), .rule = LEAT_SPAN("no-work-judged"),
		.status = LEAT_STATUS_UNKNOWN, .since = LEAT_TIME_NONE, .until = LEAT_TIME_NONE, .due = LEAT_TIME_NONE,
		.shelved = LEAT_TIME_NONE, .message = LEAT_SPAN("no work was judged: no reading is of a point in confirm.csv or "
		    "in the shipped rows; run the derive filters, such as leat-drain, before leat-confirm")
	};

	confirm->count.written++;
	confirm->count.found++;
	leat_finding_write(out, &f, false);
	leat_out_text(out, ",,,,,,,\n");
}

void
leat_confirm_findings(struct leat_confirm *confirm, const struct leat_shelves *shelves, struct leat_out *out)
{
	leat_findings_write_header(out, LEAT_CONFIRM_COLUMNS);
	if (confirm->cases > 0)
		qsort(confirm->found, confirm->cases, sizeof(*confirm->found), case_cmp);
	for (size_t i = 0; i < confirm->cases; i++)
		write_one(confirm, shelves, out, &confirm->found[i]);
	if (confirm->count.series == 0)
		write_nothing(confirm, out);
}

static void
explain_values(struct leat_out *out, const char *name, const struct leat_confirm_series *s,
    const struct leat_confirm_values *v)
{
	char t[LEAT_TIME_MAX];

	leat_out_line(out, "  %s: %zu daily values, median %.6g, standard deviation %.3g", name, v->n, v->median, v->sd);
	for (size_t i = v->from; i < v->from + v->n; i++) {
		leat_time_write(t, s->daily.day[i].time);
		leat_out_line(out, "    %s,%.9g", t, s->daily.day[i].value);
	}
}

size_t
leat_confirm_explain(struct leat_confirm *confirm, struct leat_out *out, struct leat_span what)
{
	size_t explained = 0;

	for (size_t i = 0; i < confirm->cases; i++) {
		const struct leat_confirm_case *c = &confirm->found[i];
		struct leat_span asset = leat_confirm_asset(c), point = c->series->point, rule = rule_of(c);
		char name[512], message[LEAT_CONFIRM_TEXT];

		snprintf(name, sizeof(name), "%.*s/%.*s", (int)asset.len, asset.ptr, (int)point.len, point.ptr);
		if (what.len > 0 && !leat_glob(what, leat_span_of(name)) && !leat_span_eq(what, asset))
			continue;
		explained++;
		leat_out_line(out, "%s, rule %.*s", name, (int)rule.len, rule.ptr);
		if (c->entry != NULL) {
			leat_out_line(out, "  entry: %s, line %ld of the logbook; row: %s:%ld", c->entry->event->name, c->entry->line,
			    c->row->rule.file, c->row->rule.line);
			explain_values(out, "before", c->series, &c->before);
			explain_values(out, "after", c->series, &c->after);
		} else {
			leat_out_line(out, "  steps are looked for in the %s since such work was last logged, of %zu in all",
			    c->series->rare ? "readings" : "daily values", c->series->daily.days);
			if (c->row != NULL)
				leat_out_line(out, "  from %.6g to %.6g, %zu values before and %zu after; row: %s:%ld", c->before.median,
				    c->after.median, c->before.n, c->after.n, c->row->rule.file, c->row->rule.line);
		}
		leat_confirm_words(message, confirm, c);
		leat_out_line(out, "  %s: %s", leat_status_name(c->status), message);
	}
	return explained;
}
