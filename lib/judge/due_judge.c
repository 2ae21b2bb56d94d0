/* Judging an item as of an instant. */
#include "judge/due_private.h"
#include "upkeep/needs.h"

static const char *const stage_name[] = { "later", "waived", "upcoming", "unknown", "due", "overdue", "missed" };

const char *
leat_due_stage_name(enum leat_due_stage stage)
{
	return stage_name[stage];
}

static struct leat_time
day_begins(const struct leat_due *due, int64_t day)
{
	return day == LEAT_DAY_NONE ? LEAT_TIME_NONE : leat_zone_day_instant(leat_nameplate_zone(due->form.np), day, 0);
}

static int64_t
day_of(const struct leat_due *due, struct leat_time t)
{
	return leat_zone_day(leat_nameplate_zone(due->form.np), t);
}

/* The day after the last of the tolerance: a share gives whole days, rounded down. */
static int64_t
late_day(const struct leat_task *task, int64_t due_day, double interval_days)
{
	int64_t day;

	if (due_day == LEAT_DAY_NONE)
		return LEAT_DAY_NONE;
	if (task->tolerance_is_share)
		day = due_day + (int64_t)(task->tolerance_share * interval_days + 1e-9);
	else
		day = leat_day_shift(due_day, &task->tolerance, 1);
	return day == LEAT_DAY_NONE ? day : day + 1;
}

/* The date of a fixed interval that comes next: one that was done within its tolerance before it is done. */
static int64_t
fixed_day(const struct leat_task *task, int64_t base_day, bool done)
{
	int64_t next = leat_interval_next(&task->every, done ? base_day : base_day - 1), before, early;

	if (!done || next == LEAT_DAY_NONE)
		return next;
	before = leat_interval_previous(&task->every, next);
	early = late_day(task, next, (double)(next - before)) - 1 - next;
	return next - base_day <= early ? leat_interval_next(&task->every, next) : next;
}

static void
judge_every(const struct leat_due *due, struct leat_due_item *item, struct leat_time at)
{
	struct leat_due_trigger *t = &item->trigger[LEAT_DUE_EVERY];
	const struct leat_task *task = item->task;
	struct leat_time base = leat_time_is_none(item->base) ? due->first_entry : item->base;
	int64_t base_day, due_day, next_day;
	double length;

	if (!task->has_every)
		return;
	t->set = true;
	t->at_least = leat_time_is_none(item->base);
	if (leat_time_is_none(base)) {
		t->lack = "never logged, and the logbook is empty";
		return;
	}
	if (t->at_least)
		t->lack = "never logged";
	base_day = day_of(due, base);
	if (task->every.fixed) {
		due_day = fixed_day(task, base_day, !t->at_least);
		length = (double)(due_day - leat_interval_previous(&task->every, due_day));
		next_day = due_day == LEAT_DAY_NONE ? due_day : leat_interval_next(&task->every, due_day);
	} else {
		due_day = leat_day_shift(base_day, &task->every.length, 1);
		length = (double)(due_day - base_day);
		/* Both are counted from the day it was done: after 31 January and 28 February comes 31 March. */
		next_day = leat_day_shift(base_day, &task->every.length, 2);
	}
	t->done = t->low = t->high = (double)(day_of(due, at) - base_day);
	t->limit = due_day == LEAT_DAY_NONE ? 0 : (double)(due_day - base_day);
	t->due = day_begins(due, due_day);
	t->late = day_begins(due, late_day(task, due_day, length));
	t->missed = day_begins(due, late_day(task, next_day, (double)(next_day - due_day)));
}

/* When the counter comes to a total: in the past as it did, in the future by its rate, at the beginning of that day. */
static struct leat_time
comes_to(const struct leat_due *due, const struct leat_due_history *h, const struct leat_due_trigger *t,
    struct leat_time last, double count, double total)
{
	struct leat_time when = count >= total ? leat_due_history_reached(h, total) : LEAT_TIME_NONE;

	/* Between readings that lie apart, parts of a second would say more than is known. */
	when.nsec = 0;
	if (!leat_time_is_none(when) && leat_time_cmp(when, last) <= 0)
		return when;
	if (t->rate <= 0)
		return LEAT_TIME_NONE;
	when = leat_time_add(last, (total - count) / t->rate * DAY_S);
	return leat_time_is_none(when) ? when : day_begins(due, day_of(due, when));
}

/* What a counter rose by since base, up to at. */
static double
rise(const struct leat_due *due, enum leat_due_counter counter, struct leat_span asset, struct leat_time base,
    struct leat_time at, double otherwise)
{
	const struct leat_due_history *h = leat_due_history_of(due, counter, asset);

	return h != NULL ? leat_due_history_at(h, at) - leat_due_history_at(h, base) : otherwise;
}

static double
rate_of(const struct leat_due_history *h, struct leat_time last)
{
	struct leat_time from = leat_time_add(last, -LEAT_DUE_RATE_DAYS * DAY_S);
	double days;

	if (leat_time_cmp(from, h->time[0]) < 0)
		from = h->time[0];
	days = leat_time_diff(last, from) / DAY_S;
	return days < LEAT_DUE_RATE_LEAST ? 0 : (leat_due_history_at(h, last) - leat_due_history_at(h, from)) / days;
}

static struct leat_time
late_time(const struct leat_due *due, const struct leat_due_item *item, const struct leat_due_history *h,
    const struct leat_due_trigger *t, struct leat_time last, double begin, double times)
{
	const struct leat_task *task = item->task;
	struct leat_time when;

	if (task->tolerance_is_share)
		return comes_to(due, h, t, last, leat_due_history_at(h, last),
		    begin + t->limit * (times + task->tolerance_share));
	when = comes_to(due, h, t, last, leat_due_history_at(h, last), begin + t->limit * times);
	return leat_time_is_none(when) ? when : day_begins(due, leat_day_shift(day_of(due, when), &task->tolerance, 1) + 1);
}

static void
judge_counter(const struct leat_due *due, struct leat_due_item *item, struct leat_time at, enum leat_due_by by)
{
	struct leat_due_trigger *t = &item->trigger[by];
	enum leat_due_counter counter = by == LEAT_DUE_HOURS ? COUNTER_HOURS : COUNTER_STARTS;
	const struct leat_due_history *h;
	struct leat_time base = item->base, last;
	size_t index;
	double begin;

	t->limit = by == LEAT_DUE_HOURS ? item->task->hours : item->task->starts;
	t->set = t->limit > 0;
	if (!t->set)
		return;
	h = leat_due_history_of(due, counter, item->asset);
	index = h != NULL ? leat_due_history_index(h, at) : 0;
	if (h == NULL || index == h->count) {
		t->lack = by == LEAT_DUE_HOURS ? "no running-hours among the readings" : "no starts among the readings";
		return;
	}
	last = h->time[index];
	if (leat_time_is_none(base) && leat_time_cmp(due->first_entry, h->time[0]) > 0)
		base = due->first_entry;
	if (leat_time_cmp(base, h->time[0]) < 0) {
		/* Counted from the first reading, or from nothing for an item that is new since the logbook says so. */
		t->at_least = true;
		t->lack = leat_time_is_none(item->base) ? "never logged" : "the readings begin later than it was done";
		base = h->time[0];
	}
	if (leat_time_is_none(item->base)) {
		t->at_least = true;
		t->lack = "never logged";
	}
	if (leat_time_diff(at, last) > LEAT_DUE_STALE_DAYS * DAY_S)
		t->lack = by == LEAT_DUE_HOURS ? "no running-hours of late" : "no starts of late";
	begin = leat_due_history_at(h, base);
	t->done = leat_due_history_at(h, last) - begin;
	t->low = rise(due, counter + 1, item->asset, base, at, t->done);
	t->high = rise(due, counter + 2, item->asset, base, at, t->done);
	t->rate = rate_of(h, last);
	t->due = comes_to(due, h, t, last, leat_due_history_at(h, last), begin + t->limit);
	t->late = late_time(due, item, h, t, last, begin, 1);
	t->missed = late_time(due, item, h, t, last, begin, 2);
}

/* The worst finding that is one of the rules and of that status, at the asset or below it; where above says so, at a parent
 * too: what is said of the whole. */
static const struct leat_finding *
matching(const struct leat_due *due, const struct leat_due_item *item, struct leat_span rules, enum leat_status otherwise,
    bool above, bool *untold)
{
	const struct leat_finding *best = NULL;
	struct leat_span rule, status;

	*untold = false;
	while (leat_rules_next(&rules, &rule, &status)) {
		for (size_t i = 0; due->form.findings != NULL && i < due->form.findings->count; i++) {
			const struct leat_finding *f = &due->form.findings->item[i];
			bool fits = above ? leat_asset_kin(f->asset, item->asset) : leat_asset_within(f->asset, item->asset);

			if (!fits || !leat_span_eq(f->rule, rule) || !leat_time_is_none(f->until) ||
			    leat_time_cmp(f->time, due->now) > 0)
				continue;
			if (status.len > 0)
				fits = leat_span_is(status, leat_status_name(f->status));
			else
				fits = f->status == otherwise || (otherwise == LEAT_STATUS_ALERT && f->status == LEAT_STATUS_ALARM);
			*untold = *untold || (!fits && f->status == LEAT_STATUS_UNKNOWN);
			if (fits && (best == NULL || f->status > best->status ||
			    (f->status == best->status && leat_time_cmp(f->since, best->since) < 0)))
				best = f;
		}
	}
	return best;
}

const struct leat_finding *
leat_due_was_open(const struct leat_due *due, const struct leat_due_item *item, struct leat_time *until)
{
	const struct leat_findings *all = due->form.findings;
	struct leat_span rules = item->task->condition, rule, status;
	const struct leat_finding *last = NULL;

	while (leat_rules_next(&rules, &rule, &status)) {
		for (size_t i = 0; all != NULL && i < all->count; i++) {
			const struct leat_finding *f = &all->item[i];
			struct leat_time end = f->until;

			if (!leat_span_eq(f->rule, rule) || !leat_asset_within(f->asset, item->asset) ||
			    (f->status != LEAT_STATUS_ALERT && f->status != LEAT_STATUS_ALARM) ||
			    (status.len > 0 && !leat_span_is(status, leat_status_name(f->status))) || leat_time_is_none(f->since))
				continue;
			/* It was over for this task when that was done. */
			if (!leat_time_is_none(item->base) && leat_time_cmp(item->base, f->since) >= 0 &&
			    (leat_time_is_none(end) || leat_time_cmp(item->base, end) < 0))
				end = item->base;
			if (leat_time_is_none(end) || leat_time_cmp(end, due->since) < 0 || leat_time_cmp(end, due->now) > 0 ||
			    (last != NULL && leat_time_cmp(end, *until) <= 0))
				continue;
			last = f;
			*until = end;
		}
	}
	return last;
}

static void
judge_condition(const struct leat_due *due, struct leat_due_item *item)
{
	struct leat_due_trigger *t = &item->trigger[LEAT_DUE_CONDITION];
	const struct leat_finding *f;
	bool untold;

	item->open = item->waiver = NULL;
	if (item->task->waive.len > 0)
		item->waiver = matching(due, item, item->task->waive, LEAT_STATUS_OK, true, &untold);
	t->set = item->task->condition.len > 0;
	if (!t->set)
		return;
	f = matching(due, item, item->task->condition, LEAT_STATUS_ALERT, false, &untold);
	if (due->form.findings == NULL)
		t->lack = "no findings were given";
	else if (f == NULL && untold)
		t->lack = "its condition cannot be told";
	/* What was done after the finding began is not done again for it: whether it helped is another question. */
	if (f == NULL || (!leat_time_is_none(item->base) && leat_time_cmp(item->base, f->since) >= 0))
		return;
	item->open = f;
	t->due = !leat_time_is_none(f->since) ? f->since : f->time;
}

static void
settle_trigger(const struct leat_due *due, struct leat_due_trigger *t, struct leat_time at)
{
	if (!t->set)
		return;
	if (!leat_time_is_none(t->due) && leat_time_cmp(at, t->due) >= 0) {
		t->stage = LEAT_DUE_DUE;
		if (!leat_time_is_none(t->late) && leat_time_cmp(at, t->late) >= 0)
			t->stage = LEAT_DUE_OVERDUE;
		if (!leat_time_is_none(t->missed) && leat_time_cmp(at, t->missed) >= 0)
			t->stage = LEAT_DUE_MISSED;
	} else if (t->lack != NULL) {
		t->stage = LEAT_DUE_UNKNOWN;
	} else {
		struct leat_time from = leat_time_shift(t->due, &due->form.ahead, -1);

		t->stage = !leat_time_is_none(from) && leat_time_cmp(at, from) >= 0 ? LEAT_DUE_UPCOMING : LEAT_DUE_LATER;
	}
}

/* Which of two triggers tells more: the graver one, of equal ones the earlier. */
static bool
rules_over(const struct leat_due_trigger *a, const struct leat_due_trigger *b)
{
	if (!a->set || !b->set)
		return a->set;
	if (a->stage != b->stage)
		return a->stage > b->stage;
	if (leat_time_is_none(a->due) || leat_time_is_none(b->due))
		return !leat_time_is_none(a->due);
	return leat_time_cmp(a->due, b->due) < 0;
}

static void
choose(struct leat_due_item *item)
{
	const struct leat_due_trigger *condition = &item->trigger[LEAT_DUE_CONDITION];
	bool intervals = false;

	for (int i = 0; i < LEAT_DUE_CONDITION; i++)
		intervals = intervals || item->trigger[i].set;
	item->by = LEAT_DUE_TRIGGERS;
	for (int i = 0; i < LEAT_DUE_TRIGGERS; i++) {
		/* A condition that cannot be told hides no interval that can. */
		if (i == LEAT_DUE_CONDITION && intervals && condition->stage == LEAT_DUE_UNKNOWN)
			continue;
		/* What a finding waives, intervals do not ask for. */
		if (i != LEAT_DUE_CONDITION && item->waiver != NULL)
			continue;
		if (item->trigger[i].set && (item->by == LEAT_DUE_TRIGGERS ||
		    rules_over(&item->trigger[i], &item->trigger[item->by])))
			item->by = (enum leat_due_by)i;
	}
	/* A row without any of them is never due, and that is no good news; where all are waived there is nothing to tell. */
	if (item->by < LEAT_DUE_TRIGGERS)
		item->stage = item->trigger[item->by].stage;
	else
		item->stage = intervals ? LEAT_DUE_LATER : LEAT_DUE_UNKNOWN;
	if (item->waiver != NULL && item->stage < LEAT_DUE_UPCOMING && intervals)
		item->stage = LEAT_DUE_WAIVED;
}

/* Status, since and date from the trigger that rules. */
static void
conclude(struct leat_due_item *item, struct leat_time at)
{
	const struct leat_due_trigger *t = &item->trigger[item->by < LEAT_DUE_TRIGGERS ? item->by : LEAT_DUE_EVERY];
	bool grave = leat_task_needs(item->task, "law") || leat_task_needs(item->task, "safety");

	item->due = t->due;
	item->late = t->late;
	item->since = LEAT_TIME_NONE;
	item->time = at;
	item->status = LEAT_STATUS_OK;
	if (item->stage == LEAT_DUE_UNKNOWN) {
		/* What a lower bound gives is no date to do it by. */
		item->due = item->late = LEAT_TIME_NONE;
		item->status = LEAT_STATUS_UNKNOWN;
	}
	if (item->stage < LEAT_DUE_DUE)
		return;
	item->since = item->time = t->due;
	item->status = LEAT_STATUS_ALERT;
	if (item->by == LEAT_DUE_CONDITION) {
		item->status = item->open->status == LEAT_STATUS_ALARM ? LEAT_STATUS_ALARM : LEAT_STATUS_ALERT;
		item->time = item->open->time;
		item->due = !leat_time_is_none(item->open->early) ? item->open->early : item->open->due;
	} else if (item->stage == LEAT_DUE_MISSED || (item->stage == LEAT_DUE_OVERDUE && grave)) {
		item->status = LEAT_STATUS_ALARM;
		item->time = grave ? t->late : t->missed;
	}
}

void
leat_due_judge(const struct leat_due *due, struct leat_due_item *item, struct leat_time at, bool until)
{
	memset(item->trigger, 0, sizeof(item->trigger));
	for (int i = 0; i < LEAT_DUE_TRIGGERS; i++)
		item->trigger[i].due = item->trigger[i].late = item->trigger[i].missed = LEAT_TIME_NONE;
	item->open = item->waiver = NULL;
	leat_due_last(due, item, at, until);
	judge_every(due, item, at);
	judge_counter(due, item, at, LEAT_DUE_HOURS);
	judge_counter(due, item, at, LEAT_DUE_STARTS);
	/* Findings are of now: of an earlier moment nothing is known. */
	if (until)
		judge_condition(due, item);
	for (int i = 0; i < LEAT_DUE_TRIGGERS; i++)
		settle_trigger(due, &item->trigger[i], at);
	choose(item);
	conclude(item, at);
}
