/* What the check engine found, as findings in the order in which judges print. */
#include <stdio.h>
#include <stdlib.h>

#include "stream/check_private.h"

#define HOUR_S 3600.0

enum slot_kind {
	SLOT_RULE,	/* one kind of one row on one series */
	SLOT_NEVER,	/* a point that points.csv promises and that never came */
	SLOT_UNMATCHED,	/* a works' row that matched nothing */
	SLOT_NOTHING	/* nothing was judged at all */
};

/* One identity of a finding, with what is needed to make its findings. */
struct slot {
	enum slot_kind slot;
	struct leat_span asset, point;
	const struct leat_limit *limit;		/* NULL: nothing was judged */
	const struct leat_check_rule *rule;	/* of SLOT_RULE */
	enum leat_check_kind kind;
};

struct slots {
	struct slot *slot;
	size_t count, cap;
};

/* What all findings of one run share while they are written. */
struct writer {
	struct leat_check *check;
	const struct leat_shelves *shelves;
	leat_check_found *found;
	void *user;
};

static int
add_slot(struct slots *slots, const struct slot *slot)
{
	if (leat_grow(&slots->slot, &slots->cap, slots->count + 1, sizeof(*slots->slot)) != 0)
		return -1;
	slots->slot[slots->count++] = *slot;
	return 0;
}

static void
slot_slug(char *dst, const struct slot *slot)
{
	if (slot->limit == NULL)
		snprintf(dst, LEAT_CHECK_SLUG, "nothing-judged");
	else if (slot->slot == SLOT_UNMATCHED)
		snprintf(dst, LEAT_CHECK_SLUG, "%.*s", (int)slot->limit->rule.name.len, slot->limit->rule.name.ptr);
	else
		leat_check_slug(dst, slot->limit, slot->kind);
}

static int
slot_cmp(const void *a, const void *b)
{
	const struct slot *x = a, *y = b;
	char slug_x[LEAT_CHECK_SLUG], slug_y[LEAT_CHECK_SLUG];
	struct leat_finding f = { .asset = x->asset, .point = x->point }, g = { .asset = y->asset, .point = y->point };
	int order;

	slot_slug(slug_x, x);
	slot_slug(slug_y, y);
	f.rule = leat_span_of(slug_x);
	g.rule = leat_span_of(slug_y);
	order = leat_finding_cmp(&f, &g);
	/* Equal identities keep the order of the tables, so that equal input gives equal bytes. */
	if (order == 0 && x->limit != NULL && y->limit != NULL)
		order = (x->limit > y->limit) - (x->limit < y->limit);
	return order;
}

static int
rule_slots(struct leat_check *check, struct slots *slots)
{
	struct leat_check_verdict v;

	for (size_t i = 0; i < check->rules; i++) {
		const struct leat_check_rule *rule = &check->rule[i];
		const struct leat_check_series *s = &check->series[rule->series];
		struct slot slot = {
			.slot = SLOT_RULE, .asset = leat_check_asset(check, s), .point = leat_check_point(check, s),
			.limit = rule->limit, .rule = rule
		};

		for (int kind = 0; kind < LEAT_CHECK_KINDS; kind++) {
			slot.kind = (enum leat_check_kind)kind;
			if (leat_check_verdict(check, rule, slot.kind, &v) && add_slot(slots, &slot) != 0)
				return -1;
		}
	}
	return 0;
}

static bool
came(const struct leat_check *check, struct leat_span asset, struct leat_span point)
{
	struct leat_readings *in = check->form.in;
	uint32_t a = leat_names_get(leat_readings_assets(in), asset), p = leat_names_get(leat_readings_points(in), point);
	uint32_t series = a != LEAT_NAME_NONE && p != LEAT_NAME_NONE ? leat_pairs_get(leat_readings_series(in), a, p) :
	    LEAT_NAME_NONE;

	return series != LEAT_NAME_NONE && series < check->series_cap && check->series[series].resolved;
}

/* A promised point that never came: its age is judged, or where no row has an age, every row of it cannot tell. */
static int
never_slots(struct leat_check *check, struct slots *slots, const struct leat_point *promised)
{
	const struct leat_limits *limits = check->form.limits;
	size_t *index = malloc((limits->count + 1) * sizeof(*index)), found;
	bool aged = false;
	int result = 0;

	if (index == NULL)
		return -1;
	found = leat_limits_for(limits, promised->asset, promised->point, index, limits->count);
	for (size_t i = 0; i < found; i++)
		aged = aged || limits->row[index[i]].has_max_age;
	for (size_t i = 0; i < found && result == 0; i++) {
		const struct leat_limit *limit = &limits->row[index[i]];
		struct slot slot = {
			.slot = SLOT_NEVER, .asset = promised->asset, .point = promised->point, .limit = limit,
			.kind = aged ? LEAT_CHECK_AGE : leat_check_has_level(limit) ? LEAT_CHECK_LEVEL :
			    limit->has_max_rate ? LEAT_CHECK_RATE : LEAT_CHECK_FLAT
		};

		check->matched[index[i]] = true;
		if (!aged || limit->has_max_age)
			result = add_slot(slots, &slot);
	}
	free(index);
	return result;
}

static int
make_slots(struct leat_check *check, struct slots *slots)
{
	const struct leat_limits *limits = check->form.limits;
	const struct leat_points *points = check->form.points;
	struct slot nothing = { .slot = SLOT_NOTHING, .asset = LEAT_SPAN("*"), .point = LEAT_SPAN("*") };

	if (rule_slots(check, slots) != 0)
		return -1;
	for (size_t i = 0; points != NULL && i < points->count; i++)
		if (!came(check, points->row[i].asset, points->row[i].point) &&
		    never_slots(check, slots, &points->row[i]) != 0)
			return -1;
	check->count.unmatched_shipped = 0;
	for (size_t i = 0; i < limits->count; i++) {
		const struct leat_limit *limit = &limits->row[i];
		struct slot slot = { .slot = SLOT_UNMATCHED, .asset = limit->rule.asset, .point = limit->rule.point, .limit = limit };

		if (check->matched[i] || (limit->rule.off && !limit->rule.shipped))
			continue;
		if (limit->rule.shipped || leat_rule_stands_for_shipped(&limits->table, &limit->rule))
			check->count.unmatched_shipped += limit->rule.shipped;
		else if (add_slot(slots, &slot) != 0)
			return -1;
	}
	if (check->count.ruled == 0 && add_slot(slots, &nothing) != 0)
		return -1;
	qsort(slots->slot, slots->count, sizeof(*slots->slot), slot_cmp);
	return 0;
}

static void
write_finding(struct writer *w, const struct slot *slot, struct leat_finding *f)
{
	char slug[LEAT_CHECK_SLUG];

	slot_slug(slug, slot);
	f->asset = slot->asset;
	f->point = slot->point;
	f->rule = leat_span_of(slug);
	f->due = f->shelved = LEAT_TIME_NONE;
	if (w->shelves != NULL && f->status != LEAT_STATUS_OK)
		f->shelved = leat_shelves_until(w->shelves, f->asset, f->point, f->rule, w->check->now);
	if (f->status == LEAT_STATUS_OK && !w->check->form.all)
		return;
	w->check->count.written++;
	w->check->count.found += f->status != LEAT_STATUS_OK && leat_time_is_none(f->shelved);
	w->found(w->user, f);
}

static void
write_episode(struct writer *w, const struct slot *slot, const struct leat_check_signal *signal,
    const struct leat_episode_record *record, bool is_open)
{
	const struct leat_check_series *s = &w->check->series[slot->rule->series];
	char value[LEAT_NUMBER_MAX], limit[LEAT_NUMBER_MAX], unit[LEAT_CHECK_UNIT], message[LEAT_CHECK_TEXT];
	struct leat_finding f = {
		.time = record->reached, .status = record->status, .since = record->since,
		.until = is_open ? LEAT_TIME_NONE : record->until
	};

	leat_check_worst(value, record, slot->kind);
	leat_check_plain(limit, leat_check_passed(slot->rule, signal, slot->kind, record->status), 6);
	leat_check_unit(unit, s, slot->kind);
	leat_check_episode_words(message, w->check, slot->rule, signal, record, slot->kind, is_open);
	f.value = leat_span_of(value);
	f.limit = leat_span_of(limit);
	f.unit = leat_span_of(unit);
	f.message = leat_span_of(message);
	write_finding(w, slot, &f);
}

/* Older than all allowed: an episode that is open since the last valid reading. */
static void
write_stale(struct writer *w, const struct slot *slot, const struct leat_check_verdict *v)
{
	char value[LEAT_NUMBER_MAX], limit[LEAT_NUMBER_MAX], message[LEAT_CHECK_TEXT];
	struct leat_finding f = {
		.time = leat_time_add(v->tail_since, slot->limit->max_age_s), .status = LEAT_STATUS_ALERT,
		.since = v->tail_since, .until = LEAT_TIME_NONE, .unit = LEAT_SPAN("h")
	};

	leat_number_fixed(value, v->age_s / HOUR_S, 2);
	leat_check_plain(limit, slot->limit->max_age_s / HOUR_S, 6);
	leat_check_stale_words(message, w->check, slot->rule, v);
	f.value = leat_span_of(value);
	f.limit = leat_span_of(limit);
	f.message = leat_span_of(message);
	write_finding(w, slot, &f);
}

static void
write_lack(struct writer *w, const struct slot *slot, const struct leat_check_verdict *v)
{
	const struct leat_check_series *s = &w->check->series[slot->rule->series];
	char message[LEAT_CHECK_TEXT];
	struct leat_finding f = {
		.time = w->check->time, .status = LEAT_STATUS_UNKNOWN,
		.since = leat_time_is_none(v->tail_since) ? s->first : v->tail_since, .until = LEAT_TIME_NONE
	};

	if (!leat_time_is_none(v->tail_since) && slot->kind != LEAT_CHECK_AGE)
		f.time = leat_time_add(v->tail_since, s->hold_s);
	leat_check_lack_words(message, w->check, slot->rule, v);
	f.message = leat_span_of(message);
	write_finding(w, slot, &f);
}

/* When the kind was last found in order: at its first reading judged, or at the end of its last episode. */
static void
write_ok(struct writer *w, const struct slot *slot, const struct leat_check_verdict *v)
{
	const struct leat_check_series *s = &w->check->series[slot->rule->series];
	char value[LEAT_NUMBER_MAX], unit[LEAT_CHECK_UNIT], message[LEAT_CHECK_TEXT];
	struct leat_finding f = {
		.time = leat_time_is_none(slot->rule->first_judged) ? s->first : slot->rule->first_judged,
		.status = LEAT_STATUS_OK, .since = LEAT_TIME_NONE, .until = LEAT_TIME_NONE
	};

	for (int i = 0; i < 2; i++) {
		const struct leat_check_signal *signal = v->signal[i];

		if (signal != NULL && signal->overs > 0 &&
		    leat_time_cmp(signal->over[signal->overs - 1].closed, f.time) > 0)
			f.time = signal->over[signal->overs - 1].closed;
	}
	leat_check_unit(unit, s, slot->kind);
	if (slot->kind == LEAT_CHECK_LEVEL && s->is_number) {
		leat_number_fixed(value, s->number, s->decimals);
		f.value = leat_span_of(value);
		f.unit = leat_span_of(unit);
	}
	leat_check_ok_words(message, w->check, slot->rule, v);
	f.message = leat_span_of(message);
	write_finding(w, slot, &f);
}

/* The next record of a signal that belongs into the window, from *at on; NULL when there is none.  An open episode
 * comes last. */
static const struct leat_episode_record *
next_record(const struct leat_check *check, const struct leat_check_signal *signal, size_t *at)
{
	if (signal == NULL)
		return NULL;
	while (*at < signal->overs && !check->form.all && leat_time_cmp(signal->over[*at].closed, check->since) < 0)
		(*at)++;
	if (*at < signal->overs)
		return &signal->over[*at];
	return *at == signal->overs && signal->episode.open ? &signal->episode.now : NULL;
}

/* The episodes of both sides, in order of time. */
static void
write_episodes(struct writer *w, const struct slot *slot, const struct leat_check_verdict *v)
{
	size_t at[2] = { 0, 0 };

	for (;;) {
		const struct leat_episode_record *low = next_record(w->check, v->signal[0], &at[0]);
		const struct leat_episode_record *high = next_record(w->check, v->signal[1], &at[1]);
		int side = high == NULL || (low != NULL && leat_time_cmp(low->since, high->since) <= 0) ? 0 : 1;
		const struct leat_episode_record *record = side == 0 ? low : high;

		if (record == NULL)
			return;
		write_episode(w, slot, v->signal[side], record, at[side] == v->signal[side]->overs);
		at[side]++;
	}
}

static void
write_rule(struct writer *w, const struct slot *slot)
{
	struct leat_check_verdict v;

	if (!leat_check_verdict(w->check, slot->rule, slot->kind, &v))
		return;
	/* In order of since: an ok row has none, a lack over the whole begins with the first reading, one at the
	 * end last. */
	if (v.ok)
		write_ok(w, slot, &v);
	if (v.lack != LEAT_LACK_NONE && leat_time_is_none(v.tail_since))
		write_lack(w, slot, &v);
	write_episodes(w, slot, &v);
	if (v.stale)
		write_stale(w, slot, &v);
	if (v.lack != LEAT_LACK_NONE && !leat_time_is_none(v.tail_since))
		write_lack(w, slot, &v);
}

/* Have the readings gone on for as long as the point may be silent?  Before that nothing is overdue. */
static bool
overdue(const struct leat_check *check, const struct leat_limit *limit)
{
	for (size_t i = 0; i < check->series_cap; i++)
		if (check->series[i].resolved && leat_time_diff(check->now, check->series[i].first) > limit->max_age_s)
			return true;
	return false;
}

static void
write_other(struct writer *w, const struct slot *slot)
{
	char message[LEAT_CHECK_TEXT], asset[80], point[80];
	struct leat_finding f = {
		.time = w->check->now, .status = LEAT_STATUS_UNKNOWN, .since = LEAT_TIME_NONE, .until = LEAT_TIME_NONE
	};

	leat_mask(asset, sizeof(asset), slot->asset);
	leat_mask(point, sizeof(point), slot->point);
	if (slot->slot == SLOT_NOTHING) {
		snprintf(message, sizeof(message), "nothing was judged: no reading has a row in limits.csv or in the "
		    "shipped limits");
	} else if (slot->slot == SLOT_UNMATCHED) {
		snprintf(message, sizeof(message), "%s:%ld matched no reading: see whether '%s' and '%s' are written as in the "
		    "readings, and whether the export lacks them", slot->limit->rule.file, slot->limit->rule.line, asset, point);
	} else {
		if (slot->kind == LEAT_CHECK_AGE && overdue(w->check, slot->limit))
			f.status = LEAT_STATUS_ALERT;
		snprintf(message, sizeof(message), "%s%s never came, though points.csv promises it",
		    f.status == LEAT_STATUS_ALERT ? "" : "cannot tell: ", point);
		leat_check_add_advice(message, slot->limit);
	}
	if (slot->slot != SLOT_NEVER)
		w->check->form.warn(message);
	f.message = leat_span_of(message);
	write_finding(w, slot, &f);
}

int
leat_check_findings(struct leat_check *check, const struct leat_shelves *shelves, leat_check_found *found, void *user,
    struct leat_error *err)
{
	struct writer w = { check, shelves, found, user };
	struct slots slots = { 0 };
	int result = make_slots(check, &slots);

	for (size_t i = 0; result == 0 && i < slots.count; i++) {
		if (slots.slot[i].slot == SLOT_RULE)
			write_rule(&w, &slots.slot[i]);
		else
			write_other(&w, &slots.slot[i]);
	}
	free(slots.slot);
	return result == 0 ? 0 : leat_error_memory(err);
}
