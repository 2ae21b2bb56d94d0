/* Choosing the tasks of the next stops. */
#include <stdlib.h>

#include "judge/plan_private.h"
#include "upkeep/needs.h"

static int
isolation_bit(struct leat_plan *plan, struct leat_span name, unsigned long long *bits)
{
	uint32_t id = leat_names_put(&plan->isolations, name);

	if (id == LEAT_NAME_NONE)
		return -1;
	/* Beyond so many all others count as one. */
	*bits |= 1ull << (id < ISOLATIONS ? id : ISOLATIONS - 1);
	return 0;
}

/* What is locked or let off for the task: a pressureless mill stands too. */
static int
isolations_of(struct leat_plan *plan, const struct leat_task *task, unsigned long long *bits)
{
	struct leat_span rest = task->needs, word, more;
	enum leat_need need;
	double litres;
	int result = 0;

	*bits = 0;
	while (result == 0 && leat_needs_next(&rest, &word)) {
		if (leat_need_word(word, &need, &more, &litres) != 0)
			continue;
		if (need == LEAT_NEED_STOP || need == LEAT_NEED_DEPRESSURISED)
			result = isolation_bit(plan, LEAT_SPAN("drive"), bits);
		if (result == 0 && need == LEAT_NEED_DEPRESSURISED)
			result = isolation_bit(plan, LEAT_SPAN("pressure"), bits);
		if (result == 0 && need == LEAT_NEED_LOCK)
			result = isolation_bit(plan, more, bits);
	}
	return result;
}

static int
count_bits(unsigned long long bits)
{
	int count = 0;

	for (; bits != 0; bits &= bits - 1)
		count++;
	return count;
}

/* The earliest likely date of a limit that is a condition of the task, as leat-trend foretells it; the finding need not be
 * an alert yet. */
static struct leat_time
foreseen(const struct leat_plan *plan, const struct leat_due_item *item)
{
	const struct leat_findings *all = plan->form.of->findings;
	struct leat_span rest = item->task->condition, rule, status;
	struct leat_time early = LEAT_TIME_NONE;

	while (leat_rules_next(&rest, &rule, &status)) {
		for (size_t i = 0; all != NULL && i < all->count; i++) {
			const struct leat_finding *f = &all->item[i];

			if (!leat_span_eq(f->rule, rule) || leat_time_is_none(f->early) || !leat_time_is_none(f->until) ||
			    !leat_asset_within(f->asset, item->asset))
				continue;
			/* What was done since is not to be done again for an old line. */
			if (!leat_time_is_none(item->base) && !leat_time_is_none(f->since) && leat_time_cmp(item->base, f->since) >= 0)
				continue;
			if (leat_time_is_none(early) || leat_time_cmp(f->early, early) < 0)
				early = f->early;
		}
	}
	return early;
}

static int
add_task(struct leat_plan *plan, struct leat_plan_stop *s, const struct leat_due_item *item)
{
	struct leat_time early = foreseen(plan, item);
	struct leat_plan_task *t;

	if (leat_grow(&s->task, &s->cap, s->count + 1, sizeof(*s->task)) != 0)
		return -1;
	t = &s->task[s->count++];
	t->item = item;
	t->date = leat_time_is_none(item->due) ? item->since : item->due;
	t->early = item->by == LEAT_DUE_CONDITION && item->open != NULL && !leat_time_is_none(item->open->early);
	if (!leat_time_is_none(early) && (leat_time_is_none(t->date) || leat_time_cmp(early, t->date) < 0)) {
		t->date = early;
		t->early = true;
	}
	t->work_h = item->task->people * item->task->duration_s / HOUR_S;
	t->choice = item->stage == LEAT_DUE_UNKNOWN ? LEAT_PLAN_UNKNOWN : LEAT_PLAN_WAITS;
	return isolations_of(plan, item->task, &t->isolations);
}

static bool
before(struct leat_time a, struct leat_time b)
{
	return !leat_time_is_none(a) && leat_time_cmp(a, b) < 0;
}

/* Person-hours that a task adds to what is taken already. */
static double
added_h(const struct leat_plan *plan, const struct leat_plan_stop *s, const struct leat_plan_task *t)
{
	return t->work_h + count_bits(t->isolations & ~s->isolations) * plan->form.isolate_s / HOUR_S;
}

static bool
is_taken(const struct leat_plan_task *t)
{
	return t->choice <= LEAT_PLAN_SHARED;
}

static void
take(const struct leat_plan *plan, struct leat_plan_stop *s, struct leat_plan_task *t, enum leat_plan_choice choice)
{
	double alone = (t->item->task->duration_s + (t->isolations != 0 ? plan->form.isolate_s : 0)) / HOUR_S;

	s->used_h += added_h(plan, s, t);
	s->isolations |= t->isolations;
	if (alone > s->longest_h)
		s->longest_h = alone;
	t->choice = choice;
	s->taken++;
}

/* Does the task name the other as one that comes first? */
static bool
comes_first(const struct leat_plan_task *first, const struct leat_plan_task *t)
{
	struct leat_span rest = t->item->task->needs, word, name;
	enum leat_need need;
	double litres;

	if (!leat_asset_kin(first->item->asset, t->item->asset))
		return false;
	while (leat_needs_next(&rest, &word))
		if (leat_need_word(word, &need, &name, &litres) == 0 && need == LEAT_NEED_TASK &&
		    leat_span_eq(first->item->task->name, name))
			return true;
	return false;
}

/* Takes the tasks that come first for it, where they were not done since it was. */
static void
take_before(const struct leat_plan *plan, struct leat_plan_stop *s, const struct leat_plan_task *t)
{
	for (size_t i = 0; i < s->count; i++) {
		struct leat_plan_task *first = &s->task[i];

		if (is_taken(first) || !comes_first(first, t) ||
		    (!leat_time_is_none(first->item->last) && leat_time_cmp(first->item->last, t->item->last) > 0))
			continue;
		take(plan, s, first, LEAT_PLAN_BEFORE);
		take_before(plan, s, first);
	}
}

/* Puts tasks that come first before those that name them; tasks that name each other stay as they are. */
static void
put_first(struct leat_plan_stop *s)
{
	for (size_t moves = 0, i = 0; i < s->taken && moves < s->taken * s->taken;) {
		size_t k = i + 1;

		while (k < s->taken && !comes_first(&s->task[k], &s->task[i]))
			k++;
		if (k < s->taken) {
			struct leat_plan_task first = s->task[k];

			memmove(&s->task[i + 1], &s->task[i], (k - i) * sizeof(*s->task));
			s->task[i] = first;
			moves++;
		} else {
			i++;
		}
	}
}

static void
take_forced(const struct leat_plan *plan, struct leat_plan_stop *s)
{
	for (size_t i = 0; i < s->count; i++) {
		struct leat_plan_task *t = &s->task[i];
		bool grave = leat_task_needs(t->item->task, "law") || leat_task_needs(t->item->task, "safety") ||
		    t->item->status == LEAT_STATUS_ALARM;

		if (t->choice != LEAT_PLAN_WAITS || !grave || !before(t->date, s->following))
			continue;
		take(plan, s, t, LEAT_PLAN_FORCED);
		take_before(plan, s, t);
	}
}

static double
value_of(const struct leat_plan *plan, const struct leat_plan_stop *s, const struct leat_plan_task *t)
{
	double late_days = leat_time_diff(s->following, t->date) / 86400, hours = added_h(plan, s, t);

	/* What adds no work at all is taken before all that does. */
	return (late_days > 1 ? late_days : 1) / (hours > 0.01 ? hours : 0.01);
}

/* The best of those that are due before the following stop; NULL when none is left. */
static struct leat_plan_task *
best_due(const struct leat_plan *plan, struct leat_plan_stop *s)
{
	struct leat_plan_task *best = NULL;

	for (size_t i = 0; i < s->count; i++) {
		struct leat_plan_task *t = &s->task[i];

		if (t->choice != LEAT_PLAN_WAITS || !before(t->date, s->following))
			continue;
		t->value = value_of(plan, s, t);
		if (best == NULL || t->value > best->value)
			best = t;
	}
	return best;
}

static bool
fits(const struct leat_plan *plan, const struct leat_plan_stop *s, const struct leat_plan_task *t)
{
	double alone = (t->item->task->duration_s + (t->isolations != 0 ? plan->form.isolate_s : 0)) / HOUR_S;

	return s->used_h + added_h(plan, s, t) <= s->room_h + 1e-9 && alone <= s->length_h + 1e-9;
}

static void
choose(const struct leat_plan *plan, struct leat_plan_stop *s)
{
	struct leat_plan_task *t;

	take_forced(plan, s);
	while ((t = best_due(plan, s)) != NULL) {
		if (!fits(plan, s, t)) {
			t->choice = LEAT_PLAN_NO_ROOM;
			continue;
		}
		take(plan, s, t, LEAT_PLAN_DUE);
		take_before(plan, s, t);
	}
	for (size_t i = 0; i < s->count; i++) {
		t = &s->task[i];
		if (t->choice != LEAT_PLAN_WAITS || !before(t->date, s->after) || (t->isolations & ~s->isolations) != 0 ||
		    s->taken == 0 || !fits(plan, s, t))
			continue;
		take(plan, s, t, LEAT_PLAN_SHARED);
		take_before(plan, s, t);
	}
}

/* Readings of the gas come first, while nothing has been opened; then work on oil without pressure, then the rest. */
static int
rank(const struct leat_plan_task *t)
{
	if (!is_taken(t))
		return 10 + (int)t->choice;
	if (t->choice == LEAT_PLAN_BEFORE)
		return 0;
	if (leat_task_needs(t->item->task, "nitrogen"))
		return 1;
	return leat_task_needs(t->item->task, "depressurised") ? 2 : 3;
}

static int
by_work(const void *a, const void *b)
{
	const struct leat_plan_task *x = a, *y = b;
	int order = rank(x) - rank(y);

	if (order == 0)
		order = (int)x->choice - (int)y->choice;
	if (order == 0)
		order = leat_time_cmp(x->date, y->date);
	if (order == 0)
		order = leat_span_cmp(x->item->asset, y->item->asset);
	return order != 0 ? order : leat_span_cmp(x->item->task->name, y->item->task->name);
}

/* The n-th planned stop of the mill that has not ended, NULL when there is none.  Rows between which the mill does not run,
 * as one of the works and one of the mill, are one stop: the first of them, to the end of the last. */
static const struct leat_stop *
planned(const struct leat_plan *plan, struct leat_span mill, int n, struct leat_time *end)
{
	const struct leat_stop *first = NULL;

	for (size_t i = 0; i < plan->form.stops->count; i++) {
		const struct leat_stop *stop = &plan->form.stops->row[i];

		if (!leat_stop_planned(stop, mill))
			continue;
		if (first == NULL || leat_time_cmp(stop->start, *end) > 0) {
			if (first != NULL && leat_time_cmp(*end, plan->now) > 0 && n-- == 0)
				return first;
			first = stop;
			*end = stop->end;
		} else if (leat_time_cmp(stop->end, *end) > 0) {
			*end = stop->end;
		}
	}
	return first != NULL && leat_time_cmp(*end, plan->now) > 0 && n == 0 ? first : NULL;
}

struct leat_time
leat_plan_last_chance(const struct leat_plan *plan, const struct leat_plan_stop *s, struct leat_time date)
{
	struct leat_time last = s->following;

	for (size_t i = 0; i < plan->form.stops->count; i++) {
		const struct leat_stop *stop = &plan->form.stops->row[i];

		if (leat_stop_planned(stop, s->mill) && leat_time_cmp(stop->start, last) > 0 && before(stop->start, date))
			last = stop->start;
	}
	/* Beyond the table stops are taken to come as often as they do. */
	if (leat_time_diff(date, last) > LEAT_PLAN_GAP_DAYS * 86400)
		last = leat_time_add(date, -LEAT_PLAN_GAP_DAYS * 86400);
	return last;
}

static void
set_stops(const struct leat_plan *plan, struct leat_plan_stop *s)
{
	struct leat_time start, end;
	const struct leat_stop *second = planned(plan, s->mill, 1, &end), *third = planned(plan, s->mill, 2, &end);

	s->stop = planned(plan, s->mill, 0, &s->end);
	start = s->stop != NULL ? s->stop->start : plan->now;
	s->guessed = second == NULL;
	s->following = second != NULL ? second->start : leat_time_add(start, LEAT_PLAN_GAP_DAYS * 86400);
	s->after = third != NULL ? third->start : leat_time_add(s->following, LEAT_PLAN_GAP_DAYS * 86400);
	if (s->stop == NULL)
		return;
	/* Of a stop that has begun what is left. */
	s->begun = leat_time_cmp(s->stop->start, plan->now) < 0;
	s->length_h = leat_time_diff(s->end, s->begun ? plan->now : s->stop->start) / HOUR_S;
	s->room_h = s->length_h * plan->form.crew;
}

static struct leat_plan_stop *
stop_of(struct leat_plan *plan, struct leat_span mill)
{
	for (size_t i = 0; i < plan->stops; i++)
		if (leat_span_eq(plan->stop[i].mill, mill))
			return &plan->stop[i];
	if (leat_grow(&plan->stop, &plan->cap, plan->stops + 1, sizeof(*plan->stop)) != 0)
		return NULL;
	plan->stop[plan->stops] = (struct leat_plan_stop){ .mill = mill };
	set_stops(plan, &plan->stop[plan->stops]);
	return &plan->stop[plan->stops++];
}

static int
by_start(const void *a, const void *b)
{
	const struct leat_plan_stop *x = a, *y = b;
	int order = 0;

	if ((x->stop == NULL) != (y->stop == NULL))
		return x->stop == NULL ? 1 : -1;
	if (x->stop != NULL)
		order = leat_time_cmp(x->stop->start, y->stop->start);
	return order != 0 ? order : leat_span_cmp(x->mill, y->mill);
}

static int
make(struct leat_plan *plan)
{
	const struct leat_due_item *item;

	for (size_t i = 0; (item = leat_due_item_at(plan->form.due, i)) != NULL; i++) {
		struct leat_plan_stop *s;

		/* What can be done while the mill runs takes no room of a stop. */
		if (!leat_task_needs(item->task, "stop") && !leat_task_needs(item->task, "depressurised"))
			continue;
		s = stop_of(plan, leat_asset_mill(item->asset));
		if (s == NULL || add_task(plan, s, item) != 0)
			return -1;
	}
	for (size_t i = 0; i < plan->stops; i++) {
		struct leat_plan_stop *s = &plan->stop[i];

		if (s->stop != NULL)
			choose(plan, s);
		if (s->count > 1)
			qsort(s->task, s->count, sizeof(*s->task), by_work);
		put_first(s);
	}
	if (plan->stops > 1)
		qsort(plan->stop, plan->stops, sizeof(*plan->stop), by_start);
	return 0;
}

struct leat_plan *
leat_plan_new(const struct leat_plan_form *form, struct leat_error *err)
{
	struct leat_plan *plan = calloc(1, sizeof(*plan));

	if (plan != NULL) {
		plan->form = *form;
		plan->now = leat_due_now(form->due);
		plan->stock = calloc(form->parts->count + 1, sizeof(*plan->stock));
		if (plan->stock != NULL && make(plan) == 0)
			return plan;
	}
	leat_plan_free(plan);
	leat_error_memory(err);
	return NULL;
}

void
leat_plan_free(struct leat_plan *plan)
{
	if (plan == NULL)
		return;
	for (size_t i = 0; i < plan->stops; i++)
		free(plan->stop[i].task);
	free(plan->stop);
	free(plan->stock);
	leat_names_free(&plan->isolations);
	free(plan);
}

const struct leat_plan_stop *
leat_plan_stop_at(const struct leat_plan *plan, size_t index)
{
	return index < plan->stops ? &plan->stop[index] : NULL;
}

struct leat_span
leat_plan_isolation(const struct leat_plan *plan, size_t bit)
{
	return bit < plan->isolations.count && bit < ISOLATIONS ? plan->isolations.name[bit] : leat_span_make("", 0);
}
