/* Scores of each rule and asset, and the list of what was to be found. */
#include <math.h>
#include <stdlib.h>

#include "judge/replay_private.h"
#include "stats/order.h"
#include "tell/words.h"

struct list {
	double *value;
	size_t count, cap;
};

struct score {
	size_t judged, unknown, active, activations, faults, found, works, warned, false_ones, undecided;
	double hours, months;
	struct list delay, lead;
};

static int
add(struct list *list, double value)
{
	if (leat_grow(&list->value, &list->cap, list->count + 1, sizeof(*list->value)) != 0)
		return -1;
	list->value[list->count++] = value;
	return 0;
}

static double
days(struct leat_time later, struct leat_time earlier)
{
	return leat_time_diff(later, earlier) / LEAT_REPLAY_DAY_S;
}

/* Faults and works, each against the one identity. */
static int
score_events(const struct leat_replay *replay, const struct leat_replay_item *item, struct score *s)
{
	const struct leat_faults *faults = replay->form.faults;
	const struct leat_logbook *book = replay->form.book;

	for (size_t i = 0; faults != NULL && i < faults->count; i++) {
		const struct leat_fault *f = &faults->row[i];
		const struct leat_activation *a;

		if (!leat_replay_covers(replay, f->time, f->end) || !leat_replay_shows(f, item))
			continue;
		s->faults++;
		a = leat_replay_found(f, item);
		s->found += a != NULL;
		if (a != NULL && add(&s->delay, days(a->first, f->time)) != 0)
			return -1;
	}
	for (size_t i = 0; book != NULL && i < book->count; i++) {
		const struct leat_log_entry *e = &book->entry[i];
		const struct leat_activation *a;

		if (leat_replay_repeats(book, i) || !leat_replay_covers(replay, e->time, e->time) ||
		    !leat_replay_worked(replay, e, item))
			continue;
		s->works++;
		a = leat_replay_warned(replay, e, item);
		s->warned += a != NULL;
		if (a != NULL && add(&s->lead, days(e->time, a->first)) != 0)
			return -1;
	}
	return 0;
}

enum outcome {
	TRUE, FALSE, UNDECIDED
};

static enum outcome
outcome_of(const struct leat_replay *replay, const struct leat_replay_item *item, const struct leat_activation *a)
{
	if (a->is_true || (a->is_warning && !a->is_denied))
		return TRUE;
	/* A task that was not done since may be done yet, or is not needed any more. */
	if (leat_replay_task(item->rule).len > 0)
		return a->is_denied ? FALSE : UNDECIDED;
	return leat_replay_decided(replay, item, a) ? FALSE : UNDECIDED;
}

static int
score_item(const struct leat_replay *replay, const struct leat_replay_item *item, struct score *s)
{
	s->judged = item->judged;
	s->unknown = item->unknown;
	s->active = item->active;
	s->activations = item->acts;
	/* An identity that ok rows do not tell was judged all the same. */
	s->months = (double)replay->nights * LEAT_REPLAY_DAY_S / LEAT_REPLAY_MONTH_S;
	for (size_t i = 0; i < item->acts; i++) {
		enum outcome outcome = outcome_of(replay, item, &item->act[i]);

		s->hours += leat_time_diff(item->act[i].until, item->act[i].since) / 3600;
		s->false_ones += outcome == FALSE;
		s->undecided += outcome == UNDECIDED;
	}
	return score_events(replay, item, s);
}

static void
write_score(const struct leat_replay *replay, struct leat_span set, const struct leat_replay_item *item,
    struct leat_span rule, struct score *s, struct leat_tabular *g)
{
	if (replay->form.brief && s->activations + s->faults + s->works == 0) {
		free(s->delay.value);
		free(s->lead.value);
		return;
	}
	leat_tabular_span(g, set);
	leat_tabular_span(g, rule);
	leat_tabular_span(g, item != NULL ? item->asset : LEAT_SPAN("*"));
	leat_tabular_span(g, item != NULL ? item->point : LEAT_SPAN("*"));
	leat_tabular_span(g, item != NULL && item->limit != LEAT_NAME_NONE ? replay->names.name[item->limit] : LEAT_SPAN(""));
	leat_tabular_count(g, (long long)s->judged);
	leat_tabular_count(g, (long long)s->unknown);
	leat_tabular_count(g, (long long)s->active);
	leat_tabular_count(g, (long long)s->activations);
	leat_tabular_number(g, s->hours, 0);
	leat_tabular_number(g, replay->form.faults != NULL ? (double)s->faults : NAN, 0);
	leat_tabular_number(g, replay->form.faults != NULL ? (double)s->found : NAN, 0);
	leat_tabular_number(g, replay->form.faults != NULL ? (double)(s->faults - s->found) : NAN, 0);
	leat_tabular_number(g, leat_median(s->delay.value, s->delay.count), 1);
	leat_tabular_count(g, (long long)s->works);
	leat_tabular_count(g, (long long)s->warned);
	leat_tabular_number(g, leat_median(s->lead.value, s->lead.count), 1);
	leat_tabular_count(g, (long long)s->false_ones);
	leat_tabular_count(g, (long long)s->undecided);
	leat_tabular_number(g, s->months, 1);
	leat_tabular_number(g, s->months > 0 ? (double)s->false_ones / s->months : NAN, 3);
	free(s->delay.value);
	free(s->lead.value);
}

static struct leat_span
mill_of(struct leat_span asset)
{
	return leat_span_make(asset.ptr, leat_span_find(asset, '/'));
}

static int
by_rule(const void *a, const void *b)
{
	const struct leat_replay_item *x = *(const struct leat_replay_item *const *)a;
	const struct leat_replay_item *y = *(const struct leat_replay_item *const *)b;
	int order = leat_span_cmp(x->rule, y->rule);

	order = order != 0 ? order : leat_span_cmp(mill_of(x->asset), mill_of(y->asset));
	order = order != 0 ? order : leat_span_cmp(x->asset, y->asset);
	return order != 0 ? order : leat_span_cmp(x->point, y->point);
}

const struct leat_replay_item **
leat_replay_in_order(const struct leat_replay *replay)
{
	const struct leat_replay_item **order = malloc((replay->items + 1) * sizeof(*order));

	for (size_t i = 0; order != NULL && i < replay->items; i++)
		order[i] = &replay->item[i];
	if (order != NULL && replay->items > 1)
		qsort(order, replay->items, sizeof(*order), by_rule);
	return order;
}

/* Adds to a sum what is of the activations; faults and works are those of several identities, and counted apart. */
static void
sum_up(struct score *sum, const struct score *s)
{
	sum->judged += s->judged;
	sum->unknown += s->unknown;
	sum->active += s->active;
	sum->activations += s->activations;
	sum->hours += s->hours;
	sum->false_ones += s->false_ones;
	sum->undecided += s->undecided;
}

/* Tasks that are due are a sum of their own. */
#define TASKS LEAT_SPAN("task-*")

/* Is the identity one of that rule; of TASKS; of all others, where the rule is empty? */
static bool
counts(const struct leat_replay_item *item, struct leat_span rule)
{
	bool task = leat_replay_task(item->rule).len > 0;

	return rule.len == 0 ? !task : leat_span_eq(rule, TASKS) ? task : leat_span_eq(item->rule, rule);
}

/* Is the fault one that the sum over all of these is to find? */
static bool
is_of(const struct leat_fault *f, struct leat_span rule)
{
	bool task = leat_replay_task(f->rule).len > 0;

	return rule.len == 0 ? !task : !leat_span_eq(rule, TASKS) || task;
}

/* The first night on which any identity of those (counts) found the fault; LEAT_TIME_NONE: none did.  *shown:
 * one of them could. */
static struct leat_time
first_found(const struct leat_replay *replay, const struct leat_fault *f, struct leat_span rule, bool *shown,
    const struct leat_replay_item **by)
{
	struct leat_time first = LEAT_TIME_NONE;

	*shown = rule.len == 0 || leat_span_eq(rule, TASKS);
	for (size_t i = 0; i < replay->items; i++) {
		const struct leat_replay_item *item = &replay->item[i];
		const struct leat_activation *a;

		if (!counts(item, rule) || !leat_replay_shows(f, item))
			continue;
		*shown = true;
		a = leat_replay_found(f, item);
		if (a != NULL && (leat_time_is_none(first) || leat_time_cmp(a->first, first) < 0)) {
			first = a->first;
			*by = item;
		}
	}
	return first;
}

static int
sum_faults(const struct leat_replay *replay, struct leat_span rule, struct score *sum)
{
	const struct leat_faults *faults = replay->form.faults;

	for (size_t i = 0; faults != NULL && i < faults->count; i++) {
		const struct leat_fault *f = &faults->row[i];
		const struct leat_replay_item *by;
		bool shown;
		struct leat_time first;

		if (!is_of(f, rule) || !leat_replay_covers(replay, f->time, f->end))
			continue;
		first = first_found(replay, f, rule, &shown, &by);
		sum->faults += shown;
		sum->found += !leat_time_is_none(first);
		if (!leat_time_is_none(first) && add(&sum->delay, days(first, f->time)) != 0)
			return -1;
	}
	return 0;
}

/* The same of a work: the first night of what announced it. */
static struct leat_time
first_warned(const struct leat_replay *replay, const struct leat_log_entry *e, struct leat_span rule, bool *shown,
    const struct leat_replay_item **by)
{
	struct leat_time first = LEAT_TIME_NONE;

	*shown = false;
	for (size_t i = 0; i < replay->items; i++) {
		const struct leat_replay_item *item = &replay->item[i];
		const struct leat_activation *a;

		if (!counts(item, rule) || !leat_replay_worked(replay, e, item))
			continue;
		*shown = true;
		a = leat_replay_warned(replay, e, item);
		if (a != NULL && (leat_time_is_none(first) || leat_time_cmp(a->first, first) < 0)) {
			first = a->first;
			*by = item;
		}
	}
	return first;
}

static int
sum_works(const struct leat_replay *replay, struct leat_span rule, struct score *sum)
{
	const struct leat_logbook *book = replay->form.book;

	for (size_t i = 0; book != NULL && i < book->count; i++) {
		const struct leat_log_entry *e = &book->entry[i];
		const struct leat_replay_item *by;
		bool shown;
		struct leat_time first;

		if (leat_replay_repeats(book, i) || !leat_replay_covers(replay, e->time, e->time))
			continue;
		first = first_warned(replay, e, rule, &shown, &by);
		sum->works += shown;
		sum->warned += !leat_time_is_none(first);
		if (!leat_time_is_none(first) && add(&sum->lead, days(e->time, first)) != 0)
			return -1;
	}
	return 0;
}

/* Mills among the identities of a rule (empty: of all).  What is of the works as a whole is no mill. */
static double
mills(const struct leat_replay *replay, struct leat_span rule)
{
	struct leat_names seen = { 0 };
	double count;

	for (size_t i = 0; i < replay->items; i++)
		if (counts(&replay->item[i], rule) && leat_span_find(replay->item[i].asset, '*') ==
		    replay->item[i].asset.len && !leat_span_is(replay->item[i].asset, "-"))
			(void)leat_names_put(&seen, mill_of(replay->item[i].asset));
	count = seen.count > 0 ? (double)seen.count : 1;
	leat_names_free(&seen);
	return count;
}

double
leat_replay_mills(const struct leat_replay *replay)
{
	return mills(replay, LEAT_SPAN(""));
}

static int
write_sum(const struct leat_replay *replay, struct leat_span set, struct leat_span rule, struct score *sum,
    struct leat_tabular *g)
{
	sum->months = mills(replay, rule) * (double)replay->nights * LEAT_REPLAY_DAY_S / LEAT_REPLAY_MONTH_S;
	if (sum_faults(replay, rule, sum) != 0 || sum_works(replay, rule, sum) != 0)
		return -1;
	write_score(replay, set, NULL, rule.len > 0 ? rule : LEAT_SPAN("*"), sum, g);
	return 0;
}

int
leat_replay_scores(struct leat_replay *replay, struct leat_span set, struct leat_tabular *g)
{
	const struct leat_replay_item **order = leat_replay_in_order(replay);
	struct score all = { 0 }, tasks = { 0 };
	bool with_tasks = false;
	int result = order != NULL ? 0 : -1;

	leat_replay_match(replay);
	for (size_t i = 0; result == 0 && i < replay->items;) {
		struct leat_span rule = order[i]->rule;
		struct score sum = { 0 };
		size_t begun = i;

		for (; result == 0 && i < replay->items && leat_span_eq(order[i]->rule, rule); i++) {
			struct score s = { 0 };

			result = score_item(replay, order[i], &s);
			sum_up(&sum, &s);
			/* A sensor that was silent really was: what is told of the data says nothing of limits. */
			if (leat_replay_task(rule).len > 0)
				sum_up(&tasks, &s);
			else if (!leat_rule_is_data(rule))
				sum_up(&all, &s);
			with_tasks = with_tasks || leat_replay_task(rule).len > 0;
			write_score(replay, set, order[i], rule, &s, g);
		}
		if (result == 0 && i - begun > 1)
			result = write_sum(replay, set, rule, &sum, g);
	}
	if (result == 0 && with_tasks)
		result = write_sum(replay, set, TASKS, &tasks, g);
	if (result == 0)
		result = write_sum(replay, set, LEAT_SPAN(""), &all, g);
	free(order);
	return result != 0 || g->failed ? -1 : 0;
}

static void
write_event(struct leat_span set, const char *kind, struct leat_time time, struct leat_time end, struct leat_span asset,
    struct leat_span what, const struct leat_replay_item *by, struct leat_time first, struct leat_tabular *g)
{
	bool fault = *kind == 'f', seen = !leat_time_is_none(first);

	leat_replay_write_what(set, kind, time, end, asset, what, g);
	leat_tabular_span(g, seen ? by->rule : LEAT_SPAN(""));
	leat_tabular_span(g, seen ? by->asset : fault ? LEAT_SPAN("missed") : LEAT_SPAN("not announced"));
	leat_tabular_time(g, first);
	leat_tabular_number(g, seen && fault ? days(first, time) : NAN, 1);
	leat_tabular_number(g, !seen || (fault && leat_time_is_none(end)) ? NAN : days(fault ? end : time, first), 1);
}

/* A work that some identity stands for; by whom it was announced first. */
static void
write_work(const struct leat_replay *replay, const struct leat_replay_scorer *s, struct leat_span set,
    const struct leat_log_entry *e, struct leat_tabular *g)
{
	const struct leat_replay_item *by = NULL;
	bool stands;
	struct leat_time first = first_warned(replay, e, LEAT_SPAN(""), &stands, &by);

	if (!stands)
		return;
	write_event(set, "work", e->time, LEAT_TIME_NONE, e->asset, e->task.len > 0 ? e->task : leat_span_of(e->event->name), by,
	    first, g);
	leat_replay_write_course(s, SIZE_MAX, g);
}

/* What was told for nothing, but of the data itself. */
static int
write_false(const struct leat_replay *replay, struct leat_span set, struct leat_tabular *g)
{
	const struct leat_replay_item **order = leat_replay_in_order(replay);

	for (size_t i = 0; order != NULL && i < replay->items; i++) {
		const struct leat_replay_item *item = order[i];

		for (size_t k = 0; k < item->acts && !leat_rule_is_data(item->rule); k++)
			if (outcome_of(replay, item, &item->act[k]) == FALSE)
				leat_replay_write_false(set, "finding", item->act[k].since, item->act[k].until, item->asset,
				    item->point, item->rule, item->act[k].first, g);
	}
	free(order);
	return order != NULL ? 0 : -1;
}

int
leat_replay_events(struct leat_replay *replay, struct leat_span set, struct leat_tabular *g)
{
	const struct leat_faults *faults = replay->form.faults;
	const struct leat_logbook *book = replay->form.book;
	struct leat_replay_scorer *s = leat_replay_scorer_new(replay);

	if (s == NULL)
		return -1;
	for (size_t i = 0; faults != NULL && i < faults->count; i++) {
		const struct leat_fault *f = &faults->row[i];
		const struct leat_replay_item *by = NULL;
		bool shown;
		struct leat_time first;

		if (!leat_replay_covers(replay, f->time, f->end))
			continue;
		first = first_found(replay, f, leat_replay_task(f->rule).len > 0 ? TASKS : LEAT_SPAN(""), &shown, &by);
		write_event(set, "fault", f->time, f->end, f->asset, f->what.len > 0 ? f->what : f->rule, by, first, g);
		leat_replay_write_course(s, i, g);
	}
	for (size_t i = 0; book != NULL && i < book->count; i++)
		if (!leat_replay_repeats(book, i) && leat_replay_covers(replay, book->entry[i].time, book->entry[i].time))
			write_work(replay, s, set, &book->entry[i], g);
	leat_replay_write_false_diagnoses(s, set, g);
	leat_replay_scorer_free(s);
	return write_false(replay, set, g) != 0 || g->failed ? -1 : 0;
}
