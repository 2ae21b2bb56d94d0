/*
 * Intervals between one doing of a task and the next, counted in local dates.
 *
 * Floating: a duration of whole days, weeks, months or years (ISO 8601, P14D, P6M), counted from the day on which the task
 * was last done.  Fixed: a repeating interval (ISO 8601, R/2025-01-31/P1Y), whose dates stay whatever was done when.
 * Months go by the calendar, and a day that a month lacks becomes its last: a month after 31 January is 28 or 29
 * February.  The dates of a fixed interval are each counted from its first, so that they do not creep to the 28th.
 *
 * Days are counted from 1970-01-01.
 */
#ifndef LEAT_UPKEEP_INTERVAL_H
#define LEAT_UPKEEP_INTERVAL_H

#include "base/instant.h"

/* No such day: beyond the years 0001..9999. */
#define LEAT_DAY_NONE INT64_MAX

struct leat_interval {
	struct leat_duration length;	/* whole days; not zero */
	bool fixed;
	int64_t first;			/* of a fixed one: its first date */
};

/* Reads either form.  0, or -1 with *why saying what is wrong. */
int leat_interval_parse(struct leat_span text, struct leat_interval *out, const char **why) LEAT_MUST_USE;

/* The day so many lengths after day (before it, where times is negative). */
int64_t leat_day_shift(int64_t day, const struct leat_duration *length, int64_t times);

/* The first date of a fixed interval that is later than day. */
int64_t leat_interval_next(const struct leat_interval *interval, int64_t day);

/* The date of a fixed interval before date, which is one of its dates; its first has a forerunner too. */
int64_t leat_interval_previous(const struct leat_interval *interval, int64_t date);

/* "1 year 6 months", "12 weeks", "84 days": dst has 64 bytes.  Returns dst. */
char *leat_interval_words(char *dst, const struct leat_duration *length);

#endif
