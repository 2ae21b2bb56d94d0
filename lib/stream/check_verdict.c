/* What one kind of one row on one series comes to at the end. */
#include <stdio.h>

#include "stream/check_private.h"

#define SELDOM_S (7 * 86400.0)	/* a reading that holds so long is one of few */

static bool
has_kind(const struct leat_limit *limit, enum leat_check_kind kind)
{
	switch (kind) {
	case LEAT_CHECK_LEVEL:
		return leat_check_has_level(limit);
	case LEAT_CHECK_RATE:
		return limit->has_max_rate;
	case LEAT_CHECK_AGE:
		return limit->has_max_age;
	default:
		return limit->has_max_flat;
	}
}

void
leat_check_slug(char *dst, const struct leat_limit *limit, enum leat_check_kind kind)
{
	static const char *const suffix[LEAT_CHECK_KINDS] = {
		[LEAT_CHECK_LEVEL] = "", [LEAT_CHECK_RATE] = "-rate", [LEAT_CHECK_AGE] = "-stale",
		[LEAT_CHECK_FLAT] = "-frozen"
	};
	int kinds = 0;

	for (int k = 0; k < LEAT_CHECK_KINDS; k++)
		kinds += has_kind(limit, (enum leat_check_kind)k);
	snprintf(dst, LEAT_CHECK_SLUG, "%.*s%s", (int)limit->rule.name.len, limit->rule.name.ptr, kinds > 1 ? suffix[kind] : "");
}

static void
set_signals(const struct leat_check_rule *rule, struct leat_check_verdict *v)
{
	switch (v->kind) {
	case LEAT_CHECK_LEVEL:
		v->signal[0] = rule->low;
		v->signal[1] = rule->high;
		break;
	case LEAT_CHECK_RATE:
		v->signal[0] = rule->rate;
		break;
	case LEAT_CHECK_AGE:
		v->signal[0] = rule->age;
		break;
	default:
		v->signal[0] = rule->flat;
		break;
	}
	for (int i = 0; i < 2; i++)
		v->open = v->open || (v->signal[i] != NULL && v->signal[i]->episode.open);
}

/* The time from the last valid reading to the end of the data, which no reading has accounted for. */
static void
add_tail(const struct leat_check *check, const struct leat_check_rule *rule, const struct leat_check_series *s,
    enum leat_truth end, struct leat_check_verdict *v)
{
	double tail_s = leat_time_diff(check->time, s->last);
	bool lost = s->until_changed ? leat_current_series(&check->current, rule->series, check->time) == NULL :
	    tail_s > s->hold_s;

	v->tail_since = LEAT_TIME_NONE;
	if (rule->truth == LEAT_FALSE || end == LEAT_FALSE) {
		v->idle_s += tail_s;
	} else if (lost) {
		v->gap_s += tail_s;
		v->lack = LEAT_LACK_TAIL_GAP;
		v->tail_since = s->last;
	} else if (!leat_time_is_none(rule->untold_since) && end == LEAT_UNKNOWN &&
	    leat_time_diff(check->time, rule->untold_since) > s->hold_s) {
		v->gate_s += tail_s;
		v->lack = LEAT_LACK_TAIL_GATE;
		v->tail_since = rule->untold_since;
	}
}

/* Is more than half of what was to be judged untold?  Where nothing was judged, a short time untold beside a long
 * one that was not to be judged is no reason to speak of. */
static bool
mostly_untold(const struct leat_check_rule *rule, const struct leat_check_verdict *v)
{
	double untold_s = v->gap_s + v->gate_s;

	if (v->judged_s > 0)
		return untold_s > v->judged_s;
	if (untold_s > 0 || v->idle_s > 0)
		return untold_s > v->idle_s;
	return rule->judged == 0 && rule->untold > 0;
}

/* Can it be told, and if not, why not?  A lack at the end explains more than one of the share. */
static void
set_lack(const struct leat_check *check, const struct leat_check_rule *rule, const struct leat_check_series *s,
    enum leat_truth end, struct leat_check_verdict *v)
{
	if (leat_time_is_none(s->last)) {
		v->lack = LEAT_LACK_READINGS;
		return;
	}
	add_tail(check, rule, s, end, v);
	/* Of what is read at stops or in the laboratory the last reading is judged while it holds: that nobody read it for long
	 * before is over. */
	if (v->lack == LEAT_LACK_NONE && s->hold_s < SELDOM_S && mostly_untold(rule, v))
		v->lack = LEAT_LACK_SHARE;
}

/* Age is judged against now, by the gate as it is at the end. */
static void
judge_age(const struct leat_check *check, const struct leat_check_rule *rule, const struct leat_check_series *s,
    enum leat_truth end, struct leat_check_verdict *v)
{
	struct leat_time from = leat_time_is_none(s->last) ? s->first : s->last;

	v->age_s = leat_time_diff(check->now, from);
	v->lack = LEAT_LACK_NONE;
	v->tail_since = from;
	if (end == LEAT_FALSE)
		return;
	if (end == LEAT_UNKNOWN)
		v->lack = LEAT_LACK_TAIL_GATE;
	else if (v->age_s > rule->limit->max_age_s)
		v->stale = true;
	else if (leat_time_is_none(s->last))
		v->lack = LEAT_LACK_READINGS;
	else
		v->ok = true;
}

bool
leat_check_verdict(struct leat_check *check, const struct leat_check_rule *rule, enum leat_check_kind kind,
    struct leat_check_verdict *v)
{
	const struct leat_check_series *s = &check->series[rule->series];
	enum leat_truth end = rule->limit->rule.when == NULL ? LEAT_TRUE :
	    leat_gate_eval(rule->limit->rule.when, &check->current, s->asset_id, check->time);

	if (!has_kind(rule->limit, kind) || (kind == LEAT_CHECK_FLAT && !leat_check_lives(s)))
		return false;
	*v = (struct leat_check_verdict){
		.kind = kind, .judged_s = rule->judged_s, .idle_s = rule->idle_s, .gap_s = rule->gap_s,
		.gate_s = rule->gate_s, .tail_since = LEAT_TIME_NONE
	};
	set_signals(rule, v);
	set_lack(check, rule, s, end, v);
	if (kind == LEAT_CHECK_AGE) {
		judge_age(check, rule, s, end, v);
		return true;
	}
	/* What is open stays what it is: lost readings do not clear it, and say no more than that. */
	if (v->open)
		v->lack = LEAT_LACK_NONE;
	v->ok = !v->open && v->lack == LEAT_LACK_NONE && rule->judged > 0;
	return true;
}
