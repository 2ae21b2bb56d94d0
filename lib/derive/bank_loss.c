/* How fast the gas of a bank of accumulators becomes less. */
#include "derive/bank_loss.h"

#include <math.h>
#include <string.h>

#include "stats/change.h"
#include "stats/kendall.h"
#include "stats/line.h"

#define MONTH_DAYS 30.44
#define CONFIDENCE 0.90
#define STEP_LEAST 12		/* values that leat_change_step needs */
/* By how much the error of the amount may change within the line, in percent: 1.5 K in the temperature of the shells, which
 * nobody reads, or 0.2 L/min in the flow of a pump of 40 (common practice). */
#define DRIFT_PERCENT 0.5

static void
forget_first(struct leat_bank_loss *loss, size_t gone)
{
	loss->n -= gone;
	memmove(loss->day, loss->day + gone, loss->n * sizeof(loss->day[0]));
	memmove(loss->ln, loss->ln + gone, loss->n * sizeof(loss->ln[0]));
}

void
leat_bank_loss_add(struct leat_bank_loss *loss, double day, double amount_mol)
{
	size_t old = 0;

	if (!(amount_mol > 0) || !isfinite(amount_mol) || (loss->n > 0 && !(day > loss->day[loss->n - 1])))
		return;
	while (old < loss->n && day - loss->day[old] > LEAT_BANK_LOSS_DAYS)
		old++;
	if (old == 0 && loss->n == LEAT_BANK_LOSS_KEPT)
		old = 1;
	forget_first(loss, old);
	loss->day[loss->n] = day;
	loss->ln[loss->n++] = log(amount_mol);
}

void
leat_bank_loss_forget(struct leat_bank_loss *loss)
{
	loss->n = 0;
}

static double
percent_of(double ln_per_day)
{
	return -100 * expm1(ln_per_day * MONTH_DAYS);
}

/* The line through n values, with its range.  1: told; 0: too few values, or over too short a time; -1 with err. */
static int
fit_some(const double *day, const double *ln, size_t n, double least_days, struct leat_bank_loss_rate *rate,
    struct leat_error *err)
{
	struct leat_kendall kendall;
	struct leat_line line;

	rate->n = n;
	rate->days = n > 0 ? day[n - 1] - day[0] : 0;
	if (n < LEAT_BANK_LOSS_LEAST || !(rate->days >= least_days))
		return 0;
	if (leat_kendall(day, ln, n, true, &kendall, err) != 0 ||
	    leat_line_fit(day, ln, n, CONFIDENCE, kendall.factor, &line, err) != 0)
		return -1;
	rate->percent_month = percent_of(line.slope);
	rate->drift_percent_month = DRIFT_PERCENT * MONTH_DAYS / rate->days;
	rate->low = rate->percent_month - hypot(rate->percent_month - percent_of(line.slope_high), rate->drift_percent_month);
	rate->high = rate->percent_month + hypot(percent_of(line.slope_low) - rate->percent_month, rate->drift_percent_month);
	return 1;
}

/* Widens the range by those of the line without its first week, and without its last. */
static int
doubt(const struct leat_bank_loss *loss, double least_days, struct leat_bank_loss_rate *rate, struct leat_error *err)
{
	struct leat_bank_loss_rate part[2];
	size_t first = 0, last = loss->n;
	int status[2];

	while (first < loss->n && loss->day[first] - loss->day[0] < LEAT_BANK_LOSS_WEEK_DAYS)
		first++;
	while (last > 0 && loss->day[loss->n - 1] - loss->day[last - 1] < LEAT_BANK_LOSS_WEEK_DAYS)
		last--;
	status[0] = fit_some(loss->day + first, loss->ln + first, loss->n - first, least_days, &part[0], err);
	status[1] = status[0] > 0 ? fit_some(loss->day, loss->ln, last, least_days, &part[1], err) : 0;
	for (int i = 0; i < 2; i++) {
		if (status[i] <= 0)
			return status[i];
		rate->low = fmin(rate->low, part[i].low);
		rate->high = fmax(rate->high, part[i].high);
	}
	return 1;
}

int
leat_bank_loss_fit(struct leat_bank_loss *loss, double least_days, struct leat_bank_loss_rate *rate, struct leat_error *err)
{
	struct leat_step step = { .found = false };
	int status;

	*rate = (struct leat_bank_loss_rate){ .percent_month = NAN, .low = NAN, .high = NAN, .drift_percent_month = NAN };
	if (loss->n >= STEP_LEAST && leat_change_step(loss->day, loss->ln, loss->n, &step, err) != 0)
		return -1;
	/* What is smaller matters as little as what nobody reads. */
	rate->stepped = step.found && fabs(step.size) >= DRIFT_PERCENT / 100;
	if (rate->stepped)
		forget_first(loss, step.at);
	status = fit_some(loss->day, loss->ln, loss->n, least_days, rate, err);
	return status > 0 ? doubt(loss, least_days, rate, err) : status;
}

double
leat_bank_loss_of_one(double bank, double shells, double natural)
{
	return shells * (bank - natural) + natural;
}
