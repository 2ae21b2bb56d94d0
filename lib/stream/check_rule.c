/* One row of limits.csv on one series, reading by reading. */
#include <stdlib.h>

#include "stream/check_private.h"

#define HOUR_S 3600.0

bool
leat_check_has_level(const struct leat_limit *limit)
{
	return limit->has_low_alarm || limit->has_low_alert || limit->has_high_alert || limit->has_high_alarm;
}

static struct leat_check_signal *
new_signal(const struct leat_episode_form *form)
{
	struct leat_check_signal *signal = calloc(1, sizeof(*signal));

	if (signal != NULL) {
		signal->form = *form;
		signal->anchor = LEAT_TIME_NONE;
	}
	return signal;
}

int
leat_check_rule_begin(struct leat_check *check, struct leat_check_rule *rule, const struct leat_limit *limit,
    uint32_t series)
{
	const struct leat_episode_form level = {
		.deadband = limit->deadband, .on_delay_s = limit->on_delay_s, .off_delay_s = limit->off_delay_s
	};
	struct leat_episode_form form;

	(void)check;
	*rule = (struct leat_check_rule){
		.limit = limit, .series = series, .truth = LEAT_UNKNOWN, .first_judged = LEAT_TIME_NONE,
		.last_judged = LEAT_TIME_NONE, .untold_since = LEAT_TIME_NONE
	};
	form = level;
	form.side = -1;
	form.has_alert = limit->has_low_alert;
	form.alert = limit->low_alert;
	form.has_alarm = limit->has_low_alarm;
	form.alarm = limit->low_alarm;
	if ((form.has_alert || form.has_alarm) && (rule->low = new_signal(&form)) == NULL)
		return -1;
	form = level;
	form.side = 1;
	form.has_alert = limit->has_high_alert;
	form.alert = limit->high_alert;
	form.has_alarm = limit->has_high_alarm;
	form.alarm = limit->high_alarm;
	if ((form.has_alert || form.has_alarm) && (rule->high = new_signal(&form)) == NULL)
		return -1;
	form = (struct leat_episode_form){
		.side = 1, .has_alert = true, .alert = limit->max_rate_per_min, .on_delay_s = limit->on_delay_s,
		.off_delay_s = limit->off_delay_s
	};
	if (limit->has_max_rate && (rule->rate = new_signal(&form)) == NULL)
		return -1;
	/* Flatness: a stretch without change is 1, one with a change 0, and the longest flat time is the delay. */
	form = (struct leat_episode_form){ .side = 1, .has_alert = true, .alert = 0.5, .on_delay_s = limit->max_flat_s };
	if (limit->has_max_flat && (rule->flat = new_signal(&form)) == NULL)
		return -1;
	return 0;
}

static void
free_signal(struct leat_check_signal *signal)
{
	if (signal != NULL)
		free(signal->over);
	free(signal);
}

void
leat_check_rule_free(struct leat_check_rule *rule)
{
	free_signal(rule->low);
	free_signal(rule->high);
	free_signal(rule->rate);
	free_signal(rule->age);
	free_signal(rule->flat);
}

/* A difference in one unit as a difference in the other: an offset between their scales does not count. */
static double
convert_step(const struct leat_unit *from, const struct leat_unit *to, double step)
{
	return leat_unit_convert(from, to, step) - leat_unit_convert(from, to, 0);
}

static void
convert_signal(struct leat_check_signal *signal, const struct leat_unit *from, const struct leat_unit *to)
{
	if (signal == NULL)
		return;
	signal->form.alert = leat_unit_convert(from, to, signal->form.alert);
	signal->form.alarm = leat_unit_convert(from, to, signal->form.alarm);
	signal->form.deadband = convert_step(from, to, signal->form.deadband);
}

void
leat_check_rule_unit(struct leat_check_rule *rule, const struct leat_unit *from, const struct leat_unit *to)
{
	if (from == to || from == NULL || to == NULL)
		return;
	convert_signal(rule->low, from, to);
	convert_signal(rule->high, from, to);
	if (rule->rate != NULL)
		rule->rate->form.alert = convert_step(from, to, rule->rate->form.alert);
}

/* The start of the window as far as it can be known at check->time; the true one is never earlier. */
static struct leat_time
window(const struct leat_check *check)
{
	const struct leat_check_form *form = &check->form;

	if (!leat_time_is_none(form->since_time))
		return form->since_time;
	return leat_time_shift(leat_time_is_none(form->now) ? check->time : form->now, &form->since, -1);
}

/* Drops the records of a signal that lie before the window, and folds the oldest two when that is not enough. */
static void
make_room(const struct leat_check *check, struct leat_check_signal *signal)
{
	struct leat_time start = window(check);
	size_t old = 0;

	while (old < signal->overs && leat_time_cmp(signal->over[old].closed, start) < 0)
		old++;
	if (old == 0) {
		leat_episode_fold(&signal->over[0], &signal->over[1], signal->form.side);
		old = 1;
		signal->over[1] = signal->over[0];
	}
	signal->overs -= old;
	memmove(signal->over, signal->over + old, signal->overs * sizeof(*signal->over));
}

static int
keep(const struct leat_check *check, struct leat_check_signal *signal, const struct leat_episode_record *record)
{
	if (!check->form.all && signal->overs >= LEAT_CHECK_KEPT)
		make_room(check, signal);
	if (leat_grow(&signal->over, &signal->cap, signal->overs + 1, sizeof(*signal->over)) != 0)
		return -1;
	signal->over[signal->overs++] = *record;
	return 0;
}

static int
step_level(const struct leat_check *check, struct leat_check_signal *signal, const struct leat_check_series *s,
    enum leat_truth truth, enum leat_evidence evidence)
{
	struct leat_episode_record closed;

	if (truth == LEAT_TRUE && s->is_number &&
	    leat_episode_idles(&signal->episode, &signal->form, check->time, s->number))
		return 0;
	if (leat_episode_pass(&signal->episode, &signal->form, check->time, evidence, &closed) &&
	    keep(check, signal, &closed) != 0)
		return -1;
	/* A word where a number is due is nothing to judge either. */
	if (truth == LEAT_FALSE || (truth == LEAT_TRUE && !s->is_number))
		leat_episode_suspend(&signal->episode);
	if (truth != LEAT_TRUE || !s->is_number)
		return 0;
	if (leat_episode_take(&signal->episode, &signal->form, s->number, s->number, s->decimals, &closed))
		return keep(check, signal, &closed);
	return 0;
}

/* A rate belongs to the stretch between two readings and is known at its end: it is taken at its start, then
 * passed. */
static int
step_rate(const struct leat_check *check, struct leat_check_signal *signal, const struct leat_check_series *s,
    enum leat_truth truth, enum leat_evidence evidence)
{
	struct leat_episode_record closed;
	double passed_s, rate;

	if (!s->is_number)
		return 0;
	if (evidence != LEAT_EVIDENCE_FULL || leat_time_is_none(signal->anchor)) {
		/* Without an anchor there is no rate yet, so that nothing can end here. */
		leat_episode_pass(&signal->episode, &signal->form, check->time,
		    evidence == LEAT_EVIDENCE_BROKEN ? evidence : LEAT_EVIDENCE_NONE, &closed);
		signal->anchor = truth == LEAT_TRUE ? check->time : LEAT_TIME_NONE;
		signal->anchor_value = s->number;
		return 0;
	}
	passed_s = leat_time_diff(check->time, signal->anchor);
	if (passed_s < LEAT_CHECK_RATE_BASE_S)
		return 0;
	rate = (s->number - signal->anchor_value) / passed_s * 60;
	rate = rate < 0 ? -rate : rate;
	signal->anchor = check->time;
	signal->anchor_value = s->number;
	if (leat_episode_take(&signal->episode, &signal->form, rate, rate, s->decimals, &closed)) {
		closed.closed = check->time;
		if (keep(check, signal, &closed) != 0)
			return -1;
	}
	if (leat_episode_pass(&signal->episode, &signal->form, check->time, evidence, &closed))
		return keep(check, signal, &closed);
	return 0;
}

/* Any change shows that the sensor lives, whether or not it is to be judged; time without evidence only does not
 * count. */
static int
step_flat(const struct leat_check *check, struct leat_check_signal *signal, const struct leat_check_series *s,
    bool same, enum leat_evidence evidence)
{
	struct leat_episode_record closed;

	if (!same && leat_episode_idles(&signal->episode, &signal->form, check->time, 0))
		return 0;
	if (leat_time_is_none(s->last)) {
		leat_episode_pass(&signal->episode, &signal->form, check->time, LEAT_EVIDENCE_BROKEN, &closed);
		return 0;
	}
	if ((!same || evidence == LEAT_EVIDENCE_FULL) &&
	    leat_episode_take(&signal->episode, &signal->form, same, s->number, s->decimals, &closed)) {
		closed.closed = check->time;
		if (keep(check, signal, &closed) != 0)
			return -1;
	}
	leat_episode_pass(&signal->episode, &signal->form, check->time,
	    same && evidence == LEAT_EVIDENCE_FULL ? LEAT_EVIDENCE_FULL : LEAT_EVIDENCE_NONE, &closed);
	return 0;
}

/* A time without readings longer than allowed is over with the reading that ends it. */
static int
step_age(const struct leat_check *check, struct leat_check_rule *rule, const struct leat_check_series *s,
    double passed_s, enum leat_truth truth)
{
	struct leat_episode_record gap;

	if (passed_s <= rule->limit->max_age_s || rule->truth != LEAT_TRUE || truth != LEAT_TRUE)
		return 0;
	if (rule->age == NULL) {
		rule->age = new_signal(&(struct leat_episode_form){
			.side = 1, .has_alert = true, .alert = rule->limit->max_age_s / HOUR_S
		});
		if (rule->age == NULL)
			return -1;
	}
	gap = (struct leat_episode_record){
		.status = LEAT_STATUS_ALERT, .since = s->last, .reached = leat_time_add(s->last, rule->limit->max_age_s),
		.until = check->time, .closed = check->time, .held_s = passed_s, .worst = passed_s / HOUR_S, .decimals = 2,
		.count = 1
	};
	return keep(check, rule->age, &gap);
}

/* What the stretch since the last valid reading is worth, and whose account it goes to. */
static enum leat_evidence
account(struct leat_check_rule *rule, const struct leat_check_series *s, double passed_s, enum leat_truth truth)
{
	if (leat_time_is_none(s->last))
		return LEAT_EVIDENCE_BROKEN;
	if (rule->truth == LEAT_FALSE || truth == LEAT_FALSE) {
		rule->idle_s += passed_s;
		return LEAT_EVIDENCE_BROKEN;
	}
	if (passed_s > s->hold_s && !s->until_changed) {
		rule->gap_s += passed_s;
		return LEAT_EVIDENCE_BROKEN;
	}
	if (rule->truth == LEAT_TRUE && truth == LEAT_TRUE) {
		rule->judged_s += passed_s;
		return LEAT_EVIDENCE_FULL;
	}
	rule->gate_s += passed_s;
	return LEAT_EVIDENCE_NONE;
}

static void
count_reading(struct leat_check_rule *rule, struct leat_time at, enum leat_truth truth)
{
	if (truth != LEAT_UNKNOWN)
		rule->untold_since = LEAT_TIME_NONE;
	else if (leat_time_is_none(rule->untold_since))
		rule->untold_since = at;
	if (truth == LEAT_TRUE) {
		rule->judged++;
		rule->last_judged = at;
		if (leat_time_is_none(rule->first_judged))
			rule->first_judged = at;
	} else if (truth == LEAT_FALSE) {
		rule->idle++;
	} else {
		rule->untold++;
	}
}

int
leat_check_rule_step(struct leat_check *check, struct leat_check_rule *rule, const struct leat_check_series *s,
    double passed_s, bool same)
{
	enum leat_truth truth = rule->limit->rule.when == NULL ? LEAT_TRUE :
	    leat_gate_eval(rule->limit->rule.when, &check->current, s->asset_id, check->time);
	enum leat_evidence evidence = account(rule, s, passed_s, truth);

	if ((rule->low != NULL && step_level(check, rule->low, s, truth, evidence) != 0) ||
	    (rule->high != NULL && step_level(check, rule->high, s, truth, evidence) != 0) ||
	    (rule->rate != NULL && step_rate(check, rule->rate, s, truth, evidence) != 0) ||
	    (rule->flat != NULL && step_flat(check, rule->flat, s, same && leat_check_lives(s), evidence) != 0) ||
	    (rule->limit->has_max_age && step_age(check, rule, s, passed_s, truth) != 0))
		return -1;
	rule->truth = truth;
	count_reading(rule, check->time, truth);
	return 0;
}
