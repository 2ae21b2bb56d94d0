/*
 * Long stretches in which nothing happens: readings that leave all rules of a series as they are.
 *
 * Most readings lie within all limits, come in time and change as they should, and no gate turns.  What each rule would do
 * then is known beforehand: it counts the reading and the time, by the gate, and moves on its instants.  So after a reading
 * that went through the rules the bounds within which that is all are put together for the series, and the readings within
 * them are made up for at once when one comes that is not, or at the end.  The result is that of each step by itself.
 */
#include "stream/check_private.h"

static bool
rests(const struct leat_check_signal *signal)
{
	return signal == NULL || (!signal->episode.open && !signal->episode.pending_alert);
}

static double
nearest(const struct leat_check_signal *signal)
{
	return signal->form.has_alert ? signal->form.alert : signal->form.alarm;
}

static void
end_before(struct leat_check_calm *calm, struct leat_time t)
{
	if (t.sec < calm->until_sec)
		calm->until_sec = t.sec;
}

/* A value that changes begins nothing; one that stands still is calm until that was too long. */
static bool
narrow_flat(struct leat_check_calm *calm, const struct leat_check_series *s, const struct leat_check_signal *flat)
{
	if (rests(flat)) {
		calm->moving = calm->moving || flat != NULL;
		return true;
	}
	if (flat->episode.open)
		return false;
	calm->still = true;
	end_before(calm, leat_time_add(s->last, flat->form.on_delay_s - flat->episode.alert_s));
	return true;
}

/* Narrows what is calm to what leaves a rule alone that judges.  False where there is no such thing. */
static bool
narrow(struct leat_check_calm *calm, const struct leat_check_series *s, const struct leat_check_rule *rule)
{
	const struct leat_check_signal *rate = rule->rate;

	if (!rests(rule->low) || !rests(rule->high) || !rests(rate))
		return false;
	if (rule->low != NULL)
		calm->low = fmax(calm->low, nearest(rule->low));
	if (rule->high != NULL)
		calm->high = fmin(calm->high, nearest(rule->high));
	if (rate != NULL) {
		/* The rate from each reading to the next, unless they come too fast for that. */
		if (leat_time_cmp(rate->anchor, s->last) != 0)
			return false;
		calm->rate = fmin(calm->rate, nearest(rate));
		calm->shortest_s = LEAT_CHECK_RATE_BASE_S;
	}
	if (rule->limit->has_max_age)
		calm->longest_s = fmin(calm->longest_s, rule->limit->max_age_s);
	return narrow_flat(calm, s, rule->flat);
}

void
leat_check_calm_begin(struct leat_check *check, struct leat_check_series *s)
{
	struct leat_check_calm calm = {
		.on = true, .low = -INFINITY, .high = INFINITY, .rate = INFINITY,
		.longest_s = s->until_changed ? INFINITY : s->hold_s, .until_sec = INT64_MAX,
		.turns = check->current.turns, .since = s->last, .seen = s->valid
	};

	struct leat_time until = { INT64_MAX, 0 };

	if (!s->is_number)
		return;
	for (size_t i = s->rule; i < s->rule + s->rules; i++) {
		const struct leat_check_rule *rule = &check->rule[i];

		/* Where it is not to be judged, an episode stays as it is; but any change of the value ends a flat one. */
		if (rule->truth == LEAT_TRUE ? !narrow(&calm, s, rule) : !rests(rule->flat))
			return;
		if (rule->limit->rule.when != NULL &&
		    !leat_gate_watch(rule->limit->rule.when, &check->current, s->asset_id, check->time, &until))
			return;
	}
	end_before(&calm, until);
	s->calm = calm;
}

static void
move_on(struct leat_check_signal *signal, struct leat_time to)
{
	if (signal != NULL)
		signal->episode.last = to;
}

/* Takes a rule through so many readings and so much time at once, up to the last reading of its series. */
static void
catch_up(struct leat_check_rule *rule, const struct leat_check_series *s, long long readings, double passed_s)
{
	if (rule->truth == LEAT_TRUE) {
		rule->judged += readings;
		rule->judged_s += passed_s;
		rule->last_judged = s->last;
		if (rule->flat != NULL && rule->flat->episode.pending_alert)
			rule->flat->episode.alert_s += passed_s;
	} else if (rule->truth == LEAT_FALSE) {
		rule->idle += readings;
		rule->idle_s += passed_s;
	} else {
		rule->untold += readings;
		rule->gate_s += passed_s;
	}
	if (rule->rate != NULL && rule->truth == LEAT_TRUE) {
		rule->rate->anchor = s->last;
		rule->rate->anchor_value = s->number;
	}
	move_on(rule->low, s->last);
	move_on(rule->high, s->last);
	move_on(rule->rate, s->last);
	move_on(rule->flat, s->last);
}

void
leat_check_calm_settle(struct leat_check *check, struct leat_check_series *s)
{
	long long readings = s->valid - s->calm.seen;

	if (!s->calm.on)
		return;
	s->calm.on = false;
	if (readings == 0)
		return;
	for (size_t i = s->rule; i < s->rule + s->rules; i++)
		catch_up(&check->rule[i], s, readings, leat_time_diff(s->last, s->calm.since));
}
