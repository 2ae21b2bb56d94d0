/* Episodes. */
#include "stream/episode.h"

static void
forget_pending(struct leat_episode *ep)
{
	ep->pending_alert = ep->pending_alarm = false;
	ep->alert_s = ep->alarm_s = 0;
}

/* The instant, before to, at which a delay that has run for ran_s was over. */
static struct leat_time
delay_over(struct leat_time to, double ran_s, double delay_s)
{
	return leat_time_add(to, delay_s - ran_s);
}

static void
open_at(struct leat_episode *ep, struct leat_time reached)
{
	ep->open = true;
	ep->back_s = 0;
	ep->now = (struct leat_episode_record){
		.status = LEAT_STATUS_ALERT, .since = ep->alert_since, .reached = reached, .until = ep->last,
		.held_s = ep->alert_s, .worst = ep->worst, .decimals = ep->decimals, .count = 1
	};
}

/* Opens or raises the episode where a delay is over at the instant reached. */
static void
rise(struct leat_episode *ep, const struct leat_episode_form *form)
{
	if (!ep->open && ep->pending_alert && ep->alert_s >= form->on_delay_s)
		open_at(ep, delay_over(ep->last, ep->alert_s, form->on_delay_s));
	if (ep->open && ep->pending_alarm && ep->now.status != LEAT_STATUS_ALARM && ep->alarm_s >= form->on_delay_s) {
		ep->now.status = LEAT_STATUS_ALARM;
		ep->now.reached = delay_over(ep->last, ep->alarm_s, form->on_delay_s);
	}
}

static bool
close_at(struct leat_episode *ep, struct leat_time when, struct leat_episode_record *closed)
{
	*closed = ep->now;
	closed->closed = when;
	ep->open = false;
	forget_pending(ep);
	return true;
}

static bool
pass_full(struct leat_episode *ep, const struct leat_episode_form *form, double passed_s,
    struct leat_episode_record *closed)
{
	if (ep->open && ep->back) {
		ep->back_s += passed_s;
		if (ep->back_s >= form->off_delay_s)
			return close_at(ep, delay_over(ep->last, ep->back_s, form->off_delay_s), closed);
		return false;
	}
	if (ep->pending_alert)
		ep->alert_s += passed_s;
	if (ep->pending_alarm)
		ep->alarm_s += passed_s;
	if (ep->open) {
		ep->now.held_s += passed_s;
		ep->now.until = ep->last;
	}
	rise(ep, form);
	return false;
}

bool
leat_episode_pass(struct leat_episode *ep, const struct leat_episode_form *form, struct leat_time to,
    enum leat_evidence evidence, struct leat_episode_record *closed)
{
	double passed_s = leat_time_diff(to, ep->last);

	ep->last = to;
	if (evidence == LEAT_EVIDENCE_FULL)
		return pass_full(ep, form, passed_s, closed);
	if (evidence == LEAT_EVIDENCE_BROKEN) {
		forget_pending(ep);
		ep->back_s = 0;
	}
	return false;
}

static void
keep_worst(double *worst, int *decimals, int side, double shown, int shown_decimals)
{
	if (side * shown <= side * *worst)
		return;
	*worst = shown;
	*decimals = shown_decimals;
}

/* A sample over the limit begins the delays that do not run yet. */
static void
begin_pending(struct leat_episode *ep, int side, double shown, int decimals)
{
	if (!ep->over_alarm) {
		ep->pending_alarm = false;
		ep->alarm_s = 0;
	}
	if (!ep->over_alert) {
		ep->pending_alert = false;
		ep->alert_s = 0;
		return;
	}
	if (!ep->pending_alert) {
		ep->pending_alert = true;
		ep->alert_since = ep->last;
		ep->worst = shown;
		ep->decimals = decimals;
	}
	ep->pending_alarm = ep->over_alarm;
	keep_worst(&ep->worst, &ep->decimals, side, shown, decimals);
}

/* Limits that were converted or moved by a deadband are uncertain in their last bits; a value at a limit is not
 * beyond. */
static bool
beyond(double value, double limit)
{
	double size = limit < 0 ? -limit : limit;

	return value > limit + 1e-9 * (size > 1 ? size : 1);
}

bool
leat_episode_take(struct leat_episode *ep, const struct leat_episode_form *form, double value, double shown,
    int decimals, struct leat_episode_record *closed)
{
	double nearest = form->has_alert ? form->alert : form->alarm;

	ep->over_alarm = form->has_alarm && beyond(form->side * value, form->side * form->alarm);
	ep->over_alert = beyond(form->side * value, form->side * nearest);
	ep->back = !ep->over_alert && !beyond(form->side * value, form->side * nearest - form->deadband);
	begin_pending(ep, form->side, shown, decimals);
	/* Without an alert limit, being over at all is being over the alarm limit. */
	rise(ep, form);
	if (!ep->open)
		return false;
	if (ep->back)
		return form->off_delay_s <= 0 ? close_at(ep, ep->last, closed) : false;
	/* A return that did not last was part of the episode. */
	ep->now.held_s += ep->back_s;
	ep->back_s = 0;
	ep->now.until = ep->last;
	keep_worst(&ep->now.worst, &ep->now.decimals, form->side, shown, decimals);
	return false;
}

void
leat_episode_suspend(struct leat_episode *ep)
{
	forget_pending(ep);
	ep->over_alert = ep->over_alarm = ep->back = false;
	ep->back_s = 0;
}

void
leat_episode_fold(struct leat_episode_record *a, const struct leat_episode_record *b, int side)
{
	a->until = b->until;
	a->closed = b->closed;
	if (b->status > a->status || (b->status == a->status && leat_time_cmp(b->reached, a->reached) > 0)) {
		a->status = b->status;
		a->reached = b->reached;
	}
	a->held_s += b->held_s;
	a->count += b->count;
	keep_worst(&a->worst, &a->decimals, side, b->worst, b->decimals);
}
