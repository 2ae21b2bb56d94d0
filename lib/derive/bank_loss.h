/*
 * How fast the gas of a bank of accumulators becomes less, by its amount of each day.
 *
 * The amount itself has an error of some percent that hardly changes: the pump's flow, the temperature of the shells.  So a
 * bank that has lost 3 % is not told by its amount, but by the way it goes.  The line is that of Theil and Sen with its range
 * at 90 %, with allowance for autocorrelation; what changes slowly in that error comes on top.  A loss that goes on shows
 * without the first week of the line and without the last, too, which a week of an instrument that is stuck does not: the
 * range covers all three.  A step is no loss that goes on: the days before it are forgotten, and leat-trend tells it.
 */
#ifndef LEAT_DERIVE_BANK_LOSS_H
#define LEAT_DERIVE_BANK_LOSS_H

#include <stdbool.h>
#include <stddef.h>

#include "base/error.h"

#define LEAT_BANK_LOSS_DAYS 90.0	/* how far back the line goes: a season does not matter within it (common practice) */
#define LEAT_BANK_LOSS_KEPT 96		/* values: one a day */
#define LEAT_BANK_LOSS_WEEK_DAYS 7.0	/* how long an instrument is wrong until somebody sees it (common practice) */
#define LEAT_BANK_LOSS_LEAST 20		/* values without which there is no line */

struct leat_bank_loss {
	size_t n;
	double day[LEAT_BANK_LOSS_KEPT];	/* ascending */
	double ln[LEAT_BANK_LOSS_KEPT];		/* natural logarithm of the amount */
};

struct leat_bank_loss_rate {
	size_t n;				/* values of the line */
	double days;				/* that it spans */
	double percent_month;			/* of what there is; below 0: it becomes more */
	double low, high;			/* its range at 90 %; NaN where it is not told */
	double drift_percent_month;		/* half of what the error of the amount may make of it */
	bool stepped;				/* days before a step were forgotten just now */
};

/* Takes a day's amount, above 0 and finite.  Days that come again are left out, old ones forgotten. */
void leat_bank_loss_add(struct leat_bank_loss *loss, double day, double amount_mol);

/* Forgets all: gas was filled in, or what measures it is another. */
void leat_bank_loss_forget(struct leat_bank_loss *loss);

/* 1: *rate is filled in; 0: too few values, or over less than least_days; -1 with err: memory is out. */
int leat_bank_loss_fit(struct leat_bank_loss *loss, double least_days, struct leat_bank_loss_rate *rate,
    struct leat_error *err) LEAT_MUST_USE;

/* What one shell loses if it alone loses more than the natural loss, which each of them has: all rates in percent a month. */
double leat_bank_loss_of_one(double bank, double shells, double natural);

#endif
