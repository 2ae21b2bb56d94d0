/* Leakage and gas of a mill: how fast its bank loses gas, by the fillings of some months and by the tank's level at stops. */
#include <math.h>

#include "derive/leakage_private.h"

#define LEVEL_LEAST_DAYS 56.0	/* stops are few: as many months as the fillings need halves of them */

static const char *const loss_points[] = { "gas-loss-bank", "gas-loss-one", "gas-loss-one.low" };

static double
days(struct leat_time t)
{
	return (double)t.sec / 86400;
}

/* Is the amount another from this entry on, or its measure? */
static bool
begins_anew(const struct leat_log_entry *e, struct leat_span mill)
{
	if (!leat_span_eq(leat_asset_mill(e->asset), mill))
		return false;
	if (strcmp(e->event->name, "gas-fill") == 0 || strcmp(e->event->name, "pump-change") == 0)
		return true;
	return strcmp(e->event->name, "meter-change") == 0 && leat_span_is(e->point, "pressure");
}

/* Takes the logbook up to a time. */
static void
take_entries(const struct leat_leaks *leaks, struct leat_leak_mill *own, struct leat_span mill, struct leat_time until)
{
	const struct leat_logbook *book = leaks->book;

	for (; book != NULL && own->next_loss < book->count; own->next_loss++) {
		const struct leat_log_entry *e = &book->entry[own->next_loss];

		if (leat_time_cmp(e->time, until) > 0)
			return;
		if (!begins_anew(e, mill))
			continue;
		own->loss_since = e->time;
		leat_bank_loss_forget(&own->by_filling);
		leat_bank_loss_forget(&own->by_level);
	}
}

void
leat_leak_note_level(struct leat_leaks *leaks, struct leat_leak_mill *own, const struct leat_mill *mill,
    struct leat_time from, struct leat_time at, double amount_mol)
{
	take_entries(leaks, own, mill->asset, at);
	if (leat_time_is_none(own->loss_since) || leat_time_cmp(own->loss_since, from) < 0)
		leat_bank_loss_add(&own->by_level, days(at), amount_mol);
}

/* What there is to be written. */
struct told {
	struct leat_bank_loss_rate filling, level;
	bool has_level, apart;
	double one, one_low, natural;
	enum leat_quality quality;
};

/* 1: it is told; 0: not; -1: memory is out. */
static int
tell(const struct leat_leaks *leaks, struct leat_leak_mill *own, const struct leat_mill *mill, struct told *t)
{
	double least_days = leat_leak_number(leaks, mill->asset, "gas-loss-least", leaks->day_end), shells = own->plate.shells;
	struct leat_error err;
	int status = leat_bank_loss_fit(&own->by_filling, least_days, &t->filling, &err), level;

	if (status <= 0)
		return status;
	level = leat_bank_loss_fit(&own->by_level, LEVEL_LEAST_DAYS, &t->level, &err);
	if (level < 0)
		return -1;
	t->has_level = level > 0;
	t->apart = t->has_level && (t->level.high < t->filling.low || t->level.low > t->filling.high);
	t->natural = leat_leak_number(leaks, mill->asset, "gas-loss-natural", leaks->day_end);
	t->one = leat_bank_loss_of_one(t->filling.percent_month, shells, t->natural);
	t->one_low = leat_bank_loss_of_one(t->filling.low, shells, t->natural);
	t->quality = t->apart ? LEAT_UNCERTAIN : LEAT_GOOD;
	return 1;
}

static void
explain_loss(struct leat_leaks *leaks, const struct leat_leak_mill *own, const struct leat_mill *mill, const struct told *t)
{
	leat_out_span(leaks->out, mill->asset);
	leat_out_text(leaks->out, "/gas-loss-bank ");
	leat_out_time(leaks->out, leaks->day_end);
	leat_out_char(leaks->out, '\n');
	leat_leak_line(leaks, "amounts", "%zu good days over %.0f d since the gas, the pump or a meter was changed, at most %.0f d; "
	    "days before a step are left out", t->filling.n, t->filling.days, LEAT_BANK_LOSS_DAYS);
	leat_leak_line(leaks, "loss", "%.2f %% a month by the line of their logarithms, %.2f to %.2f in nine cases of ten: with "
	    "+-%.2f for what nobody reads, and without the first week or the last", t->filling.percent_month, t->filling.low,
	    t->filling.high, t->filling.drift_percent_month);
	if (t->has_level)
		leat_leak_line(leaks, "by level", "%.2f %% a month, %.2f to %.2f, by %zu stops over %.0f d: %s", t->level.percent_month,
		    t->level.low, t->level.high, t->level.n, t->level.days, t->apart ? "it does not confirm that" :
		    "it does not contradict");
	else
		leat_leak_line(leaks, "by level", "not known: %d stops over %.0f d are needed", LEAT_BANK_LOSS_LEAST, LEVEL_LEAST_DAYS);
	if (!isnan(t->one))
		leat_leak_line(leaks, "one shell", "%.4g x (%.2f - %.2f) + %.2f = %.2f %% a month, at least %.2f, where the others lose "
		    "the natural %.2f", own->plate.shells, t->filling.percent_month, t->natural, t->natural, t->one, t->one_low,
		    t->natural);
	else
		leat_leak_line(leaks, "one shell", "not known: give shells");
	leat_leak_line(leaks, "beware", "a transmitter that falls by 1 bar in a month shows %.1f %%: compare it by a test gauge",
	    200 / own->plate.set_bar);
	leat_leak_line(leaks, "quality", "%s", t->quality == LEAT_GOOD ? "good" : "uncertain: level and fillings disagree");
}

int
leat_leak_write_loss(struct leat_leaks *leaks, struct leat_leak_mill *own, const struct leat_mill *mill,
    const struct leat_leak_result *r)
{
	struct told t = { .has_level = false };
	int status;

	take_entries(leaks, own, mill->asset, leaks->day_end);
	if (r->gas_quality != LEAT_GOOD || (!leat_time_is_none(own->loss_since) &&
	    leat_time_cmp(own->loss_since, leaks->day_start) >= 0))
		return 0;
	leat_bank_loss_add(&own->by_filling, days(leaks->day_end), r->amount_mol);
	status = tell(leaks, own, mill, &t);
	if (status <= 0)
		return status;
	if (leaks->explain) {
		if (leat_leak_asked(leaks, mill->asset, loss_points, sizeof(loss_points) / sizeof(loss_points[0])))
			explain_loss(leaks, own, mill, &t);
		return 0;
	}
	leat_leak_row(leaks, mill->asset, leaks->day_end, "gas-loss-bank", t.filling.percent_month, 2, "%", t.quality);
	if (isnan(t.one))
		return 0;
	leat_leak_row(leaks, mill->asset, leaks->day_end, "gas-loss-one", t.one, 2, "%", t.quality);
	leat_leak_row(leaks, mill->asset, leaks->day_end, "gas-loss-one.low", t.one_low, 2, "%", t.quality);
	return 0;
}
