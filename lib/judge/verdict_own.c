/* The oil verdict: a result against the limits of its row and against what is usual at its sampling point. */
#include <math.h>

#include "judge/verdict_private.h"
#include "stats/order.h"

/* Alert and alarm on one side, INFINITY and -INFINITY where there is none; own: not from the table. */
struct bounds {
	double alert, alarm;
	bool own_alert, own_alarm;
};

/* The results before that say what is usual: certain, judged, of the oil in the tank. */
static size_t
usual(const struct leat_verdict_watch *w, const struct leat_log_entry *changed, double value[LEAT_VERDICT_LOOK_BACK])
{
	size_t n = 0;

	for (size_t i = w->results - 1; i-- > 0 && n < LEAT_VERDICT_LOOK_BACK;) {
		const struct leat_verdict_result *r = &w->result[i];

		if (changed != NULL && leat_time_cmp(r->time, changed->time) <= 0)
			break;
		if (r->certain && !r->idle)
			value[n++] = r->value;
	}
	return n;
}

/* The nearer of the row's limits and the own ones, side being 1 upwards and -1 downwards. */
static struct bounds
nearer(const struct leat_oil_rule *row, const struct leat_verdict_result *r, int side)
{
	enum leat_rule_level alert = side > 0 ? LEAT_HIGH_ALERT : LEAT_LOW_ALERT;
	enum leat_rule_level alarm = side > 0 ? LEAT_HIGH_ALARM : LEAT_LOW_ALARM;
	struct bounds b = {
		.alert = row->level.has[alert] ? row->level.value[alert] : side * INFINITY,
		.alarm = row->level.has[alarm] ? row->level.value[alarm] : side * INFINITY
	};
	double to_alert = fmax(LEAT_VERDICT_ALERT_SPREADS * r->spread, row->least);
	double to_alarm = fmax(LEAT_VERDICT_ALARM_SPREADS * r->spread,
	    row->least * LEAT_VERDICT_ALARM_SPREADS / LEAT_VERDICT_ALERT_SPREADS);

	if (r->own_n < LEAT_VERDICT_OWN || (row->own & (side > 0 ? LEAT_OIL_OWN_HIGH : LEAT_OIL_OWN_LOW)) == 0)
		return b;
	b.own_alert = side * (r->median + side * to_alert) < side * b.alert;
	b.own_alarm = side * (r->median + side * to_alarm) < side * b.alarm;
	if (b.own_alert)
		b.alert = r->median + side * to_alert;
	if (b.own_alarm)
		b.alarm = r->median + side * to_alarm;
	return b;
}

static bool
has_limits(const struct leat_oil_rule *row, const struct leat_verdict_result *r, int side)
{
	struct bounds b = nearer(row, r, side);

	return isfinite(b.alert) || isfinite(b.alarm);
}

static void
weigh_side(const struct leat_oil_rule *row, struct leat_verdict_result *r, int side)
{
	struct bounds b = nearer(row, r, side);
	bool alarm = side * r->value > side * b.alarm, alert = side * r->value > side * b.alert;

	if (!alarm && !alert)
		return;
	r->status = alarm ? LEAT_STATUS_ALARM : LEAT_STATUS_ALERT;
	r->limit = alarm ? b.alarm : b.alert;
	r->own = alarm ? b.own_alarm : b.own_alert;
	r->low = side < 0;
	r->bound = isfinite(b.alert) ? b.alert : b.alarm;
}

void
leat_verdict_weigh(struct leat_verdict_watch *w, const struct leat_log_entry *changed)
{
	struct leat_verdict_result *r = &w->result[w->results - 1];
	double value[LEAT_VERDICT_LOOK_BACK], work[LEAT_VERDICT_LOOK_BACK];

	r->status = LEAT_STATUS_OK;
	if (r->idle)
		return;
	if (w->row->own != 0) {
		r->own_n = usual(w, changed, value);
		r->spread = leat_mad(value, r->own_n, work);
		r->median = leat_median(value, r->own_n);
	}
	r->unlimited = !has_limits(w->row, r, 1) && !has_limits(w->row, r, -1);
	weigh_side(w->row, r, 1);
	if (r->status == LEAT_STATUS_OK)
		weigh_side(w->row, r, -1);
}
