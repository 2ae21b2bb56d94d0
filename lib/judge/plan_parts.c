/* Parts that the tasks of a stop take, against stock and lead time. */
#include <math.h>
#include <stdio.h>

#include "judge/plan_private.h"
#include "upkeep/needs.h"

/* How many of a part all tasks taken need. */
static double
total_of(const struct leat_plan_stop *s, struct leat_span part)
{
	double total = 0, count;

	for (size_t i = 0; i < s->taken; i++) {
		struct leat_span rest = s->task[i].item->task->parts, word, name;

		while (leat_needs_next(&rest, &word))
			if (leat_needs_count(word, &name, &count) == 0 && leat_span_eq(name, part))
				total += count;
	}
	return total;
}

/* Was the part met in an earlier task, or earlier in this one? */
static bool
met(const struct leat_plan_stop *s, size_t task, const char *at, struct leat_span part)
{
	double count;

	for (size_t i = 0; i <= task; i++) {
		struct leat_span rest = s->task[i].item->task->parts, word, name;

		while (leat_needs_next(&rest, &word))
			if (word.ptr == at)
				return false;
			else if (leat_needs_count(word, &name, &count) == 0 && leat_span_eq(name, part))
				return true;
	}
	return false;
}

static void
add_date(char *dst, size_t size, int64_t day)
{
	int year, month, of_month;

	leat_civil_from_days(day, &year, &month, &of_month);
	snprintf(dst + strlen(dst), size - strlen(dst), " %04d-%02d-%02d", year, month, of_month);
}

/* What lacks at a stop that begins then. */
static void
tell_short(const struct leat_plan *plan, struct leat_time begins, const struct leat_part *part, double lacking,
    struct leat_plan_need *n)
{
	const struct leat_zone *zone = leat_nameplate_zone(plan->form.of->np);
	int64_t today = leat_zone_day(zone, plan->now), start = leat_zone_day(zone, begins), arrives;
	char number[LEAT_NUMBER_MAX];
	size_t size = sizeof(n->message);

	leat_number_trim(number, leat_number_fixed(number, lacking, 3));
	if (!part->has_lead) {
		n->choice = "order";
		snprintf(n->message, size, "%.60s more to be ordered; parts.csv has no lead time", number);
		return;
	}
	n->by = leat_day_shift(start, &part->lead, -1);
	arrives = leat_day_shift(today, &part->lead, 1);
	n->choice = n->by >= today ? "order" : "late";
	snprintf(n->message, size, "%.60s more to be ordered by", number);
	add_date(n->message, size, n->by);
	if (n->by >= today)
		return;
	snprintf(n->message + strlen(n->message), size - strlen(n->message), ", which is past: ordered today it comes");
	add_date(n->message, size, arrives);
	snprintf(n->message + strlen(n->message), size - strlen(n->message), ", %lld days after the stop begins",
	    (long long)(arrives - start));
}

static void
one_part(const struct leat_plan *plan, const struct leat_plan_stop *s, struct leat_span name, double *stock,
    struct leat_plan_need *n)
{
	const struct leat_part *part = leat_parts_find(plan->form.parts, name);
	double *left = part != NULL ? &stock[part - plan->form.parts->row] : NULL;
	char number[LEAT_NUMBER_MAX];

	*n = (struct leat_plan_need){ .row = "part", .name = name, .unit = "1", .by = LEAT_DAY_NONE };
	n->quantity = total_of(s, name);
	n->decimals = n->quantity == floor(n->quantity) ? 0 : 3;
	if (part == NULL || !part->has_stock) {
		n->choice = "unknown";
		snprintf(n->message, sizeof(n->message), part == NULL ? "no part of parts.csv" : "parts.csv has no stock: count it");
		return;
	}
	if (*left >= n->quantity) {
		n->choice = "enough";
		leat_number_trim(number, leat_number_fixed(number, *left, 3));
		snprintf(n->message, sizeof(n->message), "%.60s in stock before this stop", number);
	} else {
		tell_short(plan, s->stop->start, part, n->quantity - *left, n);
	}
	*left = fmax(0, *left - n->quantity);
}

/* A part of a task that waits: told where it lacks and must be ordered before the following stop. */
static void
later_part(const struct leat_plan *plan, const struct leat_plan_stop *s, const struct leat_plan_task *t,
    struct leat_span name, double count, double *stock, leat_plan_needed *needed, void *user)
{
	const struct leat_zone *zone = leat_nameplate_zone(plan->form.of->np);
	const struct leat_part *part = leat_parts_find(plan->form.parts, name);
	struct leat_time begins = leat_plan_last_chance(plan, s, t->date);
	struct leat_plan_need n = { .row = "part", .name = name, .quantity = count, .unit = "1", .by = LEAT_DAY_NONE };
	double *left = part != NULL ? &stock[part - plan->form.parts->row] : NULL;
	char task[100];

	n.decimals = count == floor(count) ? 0 : 3;
	if (part == NULL || !part->has_stock || !part->has_lead || *left >= count)
		return;
	tell_short(plan, begins, part, count - *left, &n);
	if (n.by >= leat_zone_day(zone, s->following))
		return;
	snprintf(n.message + strlen(n.message), sizeof(n.message) - strlen(n.message), "; for %s, which waits for the stop of",
	    leat_mask(task, sizeof(task), t->item->task->name));
	add_date(n.message, sizeof(n.message), leat_zone_day(zone, begins));
	*left = 0;
	needed(user, &n);
}

static void
later_parts(const struct leat_plan *plan, const struct leat_plan_stop *s, double *stock, leat_plan_needed *needed, void *user)
{
	double count;

	for (size_t i = s->taken; i < s->count; i++) {
		const struct leat_plan_task *t = &s->task[i];
		struct leat_span rest = t->item->task->parts, word, name;

		if (t->choice == LEAT_PLAN_UNKNOWN || leat_time_is_none(t->date))
			continue;
		while (leat_needs_next(&rest, &word))
			if (leat_needs_count(word, &name, &count) == 0)
				later_part(plan, s, t, name, count, stock, needed, user);
	}
}

void
leat_plan_parts(const struct leat_plan *plan, const struct leat_plan_stop *s, double *stock, leat_plan_needed *needed,
    void *user)
{
	double count;

	for (size_t i = 0; i < s->taken; i++) {
		struct leat_span rest = s->task[i].item->task->parts, word, name;

		while (leat_needs_next(&rest, &word)) {
			struct leat_plan_need n;

			if (leat_needs_count(word, &name, &count) != 0 || met(s, i, word.ptr, name))
				continue;
			one_part(plan, s, name, stock, &n);
			needed(user, &n);
		}
	}
	later_parts(plan, s, stock, needed, user);
}
