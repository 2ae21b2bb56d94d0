/*
 * A step of a series that looks like work, and that nobody logged.
 */
#include <math.h>
#include <stdlib.h>

#include "judge/confirm_private.h"
#include "stats/change.h"
#include "stats/order.h"
#include "stream/mills.h"

#define DAY_S 86400.0

/* Can the work of an entry, whatever it was, have changed the series?  A new element changes nothing but its filter, a bottle
 * of oil that was drawn nothing at all, and a meter only what it measures anew, which the entry need not name. */
static bool
may_change(const struct leat_log_entry *e, const struct leat_confirm_series *s)
{
	if (strcmp(e->event->name, "filter-change") == 0)
		return leat_asset_within(s->asset, e->asset);
	if (strcmp(e->event->name, "sampling") == 0)
		return false;
	return (strcmp(e->event->name, "meter-change") == 0 || e->event->resets != NULL || e->event->needs == 0) &&
	    leat_asset_kin(e->asset, s->asset);
}

/* Does an entry near to the step tell of work there? */
static bool
is_explained(const struct leat_confirm *confirm, const struct leat_confirm_series *s, struct leat_time from,
    struct leat_time to)
{
	const struct leat_logbook *book = confirm->form.book;

	for (size_t i = 0; i < book->count; i++) {
		const struct leat_log_entry *e = &book->entry[i];
		double late_s = strcmp(e->event->name, "meter-change") == 0 ? LEAT_CONFIRM_LATE_S : LEAT_CONFIRM_NEAR_S;

		if (leat_time_cmp(e->time, leat_time_add(from, -LEAT_CONFIRM_NEAR_S)) >= 0 &&
		    leat_time_cmp(e->time, leat_time_add(to, late_s)) <= 0 && may_change(e, s))
			return true;
	}
	return false;
}

/* The rows whose work a step may be: what is set to a value of its own has none. */
static size_t
rows_of_steps(const struct leat_confirm *confirm, const struct leat_confirm_series *s, size_t *index)
{
	size_t rows = leat_confirms_for(confirm->form.confirms, s->asset, s->point, index, LEAT_CONFIRM_ROWS), kept = 0;

	for (size_t i = 0; i < rows && i < LEAT_CONFIRM_ROWS; i++)
		if (confirm->form.confirms->row[index[i]].measure != LEAT_CONFIRM_LEFT)
			index[kept++] = index[i];
	return kept;
}

/* The first day after the newest entry that begins the series anew by one of its rows. */
static size_t
segment_of(const struct leat_confirm *confirm, const struct leat_confirm_series *s, const size_t *index, size_t rows)
{
	const struct leat_logbook *book = confirm->form.book;
	size_t from = 0;

	for (size_t i = 0; i < book->count; i++)
		for (size_t k = 0; k < rows; k++)
			if (leat_confirm_concerns(&confirm->form.confirms->row[index[k]], &book->entry[i], s))
				while (from < s->daily.days && leat_time_cmp(s->daily.day[from].time,
				    leat_time_add(book->entry[i].time, DAY_S)) <= 0)
					from++;
	return from;
}

/* The row within whose bounds a step lies; NULL for none. */
static const struct leat_confirm_row *
row_of_step(const struct leat_confirm *confirm, const struct leat_confirm_series *s, const size_t *index, size_t rows,
    const struct leat_step *step)
{
	for (size_t k = 0; k < rows; k++) {
		const struct leat_confirm_row *row = &confirm->form.confirms->row[index[k]];
		double change = leat_confirm_change(row, step->before, step->after, NAN);

		if (!leat_confirm_within(row, s, change))
			continue;
		if (row->measure == LEAT_CONFIRM_VALUE && leat_confirm_within(row, s, step->before))
			continue;
		return row;
	}
	return NULL;
}

/* The daily values of a series since the newest entry of such work, as numbers: x are days. */
struct days {
	const struct leat_day *day;
	double *x, *value;
	size_t n;
};

/* The first step from index from on that is work by one of the rows: over all values, or a new one at their end.  What the
 * search refuses, as values of one day only, has none. */
static const struct leat_confirm_row *
next_step(const struct leat_confirm *confirm, const struct leat_confirm_series *s, const struct days *d, size_t from,
    struct leat_step *step)
{
	size_t index[LEAT_CONFIRM_ROWS], rows = rows_of_steps(confirm, s, index), n = d->n - from;
	const struct leat_confirm_row *row = NULL;
	struct leat_error err;

	if (leat_change_step(d->x + from, d->value + from, n, step, &err) == 0 && step->found)
		row = row_of_step(confirm, s, index, rows, step);
	if (row == NULL && leat_change_fresh(d->value + from, n, step))
		row = row_of_step(confirm, s, index, rows, step);
	step->at += from;
	return row;
}

/* Did the values come back within days, as after an instrument that stood still?  Work lasts longer. */
static bool
came_back(const struct days *d, const struct leat_step *step)
{
	const struct leat_day *day = &d->day[step->at];

	for (size_t i = step->at; i + LEAT_CONFIRM_LEAST <= d->n &&
	    leat_time_diff(d->day[i].time, day->time) <= LEAT_CONFIRM_SPELL_S; i++) {
		double some[LEAT_CONFIRM_LEAST];

		memcpy(some, d->value + i, sizeof(some));
		if ((leat_median(some, LEAT_CONFIRM_LEAST) - step->before) / step->size < 0.5)
			return true;
	}
	return false;
}

static void
tell_step(const struct days *d, size_t from, bool rare, const struct leat_confirm_row *row, const struct leat_step *step,
    struct leat_confirm_case *c)
{
	size_t at;

	c->row = row;
	c->before.median = step->before;
	c->after.median = step->after;
	c->change = leat_confirm_change(row, step->before, step->after, NAN);
	c->before.n = step->at - from;
	c->after.n = d->n - step->at;
	c->since = d->day[step->at].time;
	/* So many values show it first. */
	at = step->at + (rare ? 1 : LEAT_CONFIRM_LEAST) - 1;
	c->time = d->day[at < d->n ? at : d->n - 1].time;
	c->status = LEAT_STATUS_ALERT;
}

/* The last step that no entry explains goes into c. */
static void
find_step(const struct leat_confirm *confirm, const struct leat_confirm_series *s, const struct days *d,
    struct leat_confirm_case *c)
{
	const struct leat_confirm_row *row;
	struct leat_step step;

	for (size_t from = 0; d->n - from >= LEAT_CONFIRM_STEP_LEAST &&
	    (row = next_step(confirm, s, d, from, &step)) != NULL; from = step.at) {
		if (came_back(d, &step) || is_explained(confirm, s, d->day[step.at - 1].time, d->day[step.at].time))
			continue;
		tell_step(d, from, false, row, &step, c);
	}
}

/* Did somebody log such work, or anything as left, between two readings or soon after the second? */
static bool
was_logged(const struct leat_confirm *confirm, const struct leat_confirm_series *s, const struct leat_confirm_row *row,
    const struct leat_day *second)
{
	const struct leat_logbook *book = confirm->form.book;
	struct leat_time last = leat_time_add(second->time, LEAT_CONFIRM_NEAR_S);

	for (size_t i = 0; i < book->count; i++) {
		const struct leat_log_entry *e = &book->entry[i];

		if (leat_time_cmp(e->time, second[-1].time) >= 0 && leat_time_cmp(e->time, last) <= 0 &&
		    leat_asset_kin(e->asset, s->asset) && (leat_confirm_concerns(row, e, s) || e->left.len > 0))
			return true;
	}
	return false;
}

/* What is read at stops and in the laboratory: the last reading that is one by one of the rows after the one before it, by
 * more than readings err. */
static void
find_rare_step(const struct leat_confirm *confirm, const struct leat_confirm_series *s, const struct days *d,
    struct leat_confirm_case *c)
{
	size_t index[LEAT_CONFIRM_ROWS], rows = rows_of_steps(confirm, s, index);

	for (size_t at = d->n - 1; at > 0; at--) {
		struct leat_step step = { .at = at, .before = d->value[at - 1], .after = d->value[at] };
		double least = LEAT_CONFIRM_NOISE * sqrt(2) * LEAT_CONFIRM_READING * fabs(step.before);
		const struct leat_confirm_row *row = row_of_step(confirm, s, index, rows, &step);

		if (row == NULL || fabs(step.after - step.before) < least || was_logged(confirm, s, row, &d->day[at]))
			continue;
		tell_step(d, at - 1, true, row, &step, c);
		return;
	}
}

static void
judge_days(const struct leat_confirm *confirm, const struct leat_confirm_series *s, const struct days *d,
    struct leat_confirm_case *c)
{
	c->time = d->day[d->n - 1].time;
	c->status = LEAT_STATUS_OK;
	if (s->rare)
		find_rare_step(confirm, s, d, c);
	else
		find_step(confirm, s, d, c);
}

int
leat_confirm_step(const struct leat_confirm *confirm, const struct leat_confirm_series *s, struct leat_confirm_case *c)
{
	size_t index[LEAT_CONFIRM_ROWS], rows = rows_of_steps(confirm, s, index), from = segment_of(confirm, s, index, rows);
	struct days d = { .day = s->daily.day + from, .n = s->daily.days - from };

	if (rows == 0 || d.n < (s->rare ? 2 : LEAT_CONFIRM_STEP_LEAST))
		return 0;
	if ((d.x = malloc(2 * d.n * sizeof(*d.x))) == NULL)
		return -1;
	d.value = d.x + d.n;
	for (size_t i = 0; i < d.n; i++) {
		d.x[i] = leat_time_diff(d.day[i].time, d.day[0].time) / DAY_S;
		d.value[i] = d.day[i].value;
	}
	judge_days(confirm, s, &d, c);
	free(d.x);
	return 1;
}
