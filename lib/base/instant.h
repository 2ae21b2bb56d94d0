/*
 * Instants, civil dates and durations.
 *
 * Instants are counted in UTC without leap seconds, as POSIX does; the proleptic Gregorian calendar serves for years
 * 0001..9999.  Formats: RFC 3339 (section 5.6) in and out, ISO 8601 durations.
 */
#ifndef LEAT_BASE_INSTANT_H
#define LEAT_BASE_INSTANT_H

#include <stdint.h>

#include "base/error.h"
#include "base/span.h"

struct leat_time {
	int64_t sec;		/* seconds since 1970-01-01T00:00:00Z */
	int32_t nsec;		/* 0..999999999 */
};

#define LEAT_TIME_NONE ((struct leat_time){ INT64_MIN, 0 })

static inline bool
leat_time_is_none(struct leat_time t)
{
	return t.sec == INT64_MIN;
}

static inline int
leat_time_cmp(struct leat_time a, struct leat_time b)
{
	if (a.sec != b.sec)
		return a.sec < b.sec ? -1 : 1;
	return a.nsec < b.nsec ? -1 : a.nsec > b.nsec;
}

/* a - b in seconds. */
static inline double
leat_time_diff(struct leat_time a, struct leat_time b)
{
	return (double)(a.sec - b.sec) + (a.nsec - b.nsec) * 1e-9;
}

/* t + seconds (may be negative or fractional; rounded to a nanosecond).  LEAT_TIME_NONE when t is none or seconds is
 * not finite or beyond 1e15. */
struct leat_time leat_time_add(struct leat_time t, double seconds);

/* Date and time of day as a clock shows them. */
struct leat_civil {
	int year;		/* 1..9999 */
	int month;		/* 1..12 */
	int day;		/* 1..31 */
	int hour;		/* 0..23 */
	int minute;		/* 0..59 */
	int second;		/* 0..59 */
	int32_t nsec;		/* 0..999999999 */
};

/* Is it a date and time that exists on a calendar and a clock (24:00:00 and second 60 do not)? */
bool leat_civil_valid(const struct leat_civil *c);

/* Days since 1970-01-01 of a valid date, and back.  Days outside the years 0001..9999 give the nearest end. */
int64_t leat_days_from_civil(int year, int month, int day);
void leat_civil_from_days(int64_t days, int *year, int *month, int *day);
/* 28..31; 0 when there is no such month. */
int leat_days_in_month(int year, int month);

/* The instant of a valid civil time at an offset of east seconds from UTC (within a day), and back.  Instants outside
 * the years 0001..9999, LEAT_TIME_NONE among them, give the nearest end. */
struct leat_time leat_time_from_civil(const struct leat_civil *c, int32_t east);
struct leat_civil leat_civil_from_time(struct leat_time t, int32_t east);

/* Reads RFC 3339: YYYY-MM-DD(T|t| )HH:MM:SS[.1-9 digits](Z|z|+HH:MM|-HH:MM), the whole span.  Second 60 is taken at
 * 23:59 UTC on the last day of June or December only, as the following second.  0, or -1 when it is anything else or
 * lies outside the years 0001..9999 of UTC. */
int leat_time_parse(struct leat_span text, struct leat_time *out) LEAT_MUST_USE;

#define LEAT_TIME_MAX 40	/* bytes that hold any time written below, with its NUL */

/* Writes YYYY-MM-DDTHH:MM:SS[.fraction]Z; the fraction has no trailing zeros and is left out when it is 0.  Ends in
 * NUL.  Returns the length.  Test for LEAT_TIME_NONE first: there is no text for it. */
size_t leat_time_write(char *dst, struct leat_time t);

/* ISO 8601 duration: PnYnMnWnDTnHnMnS, whole numbers but for a decimal fraction (point or comma) of the seconds; at
 * least one part; at most 9 digits a number. */
struct leat_duration {
	int32_t months;		/* years * 12 + months */
	int32_t days;		/* weeks * 7 + days: calendar days, not 24 h, once a zone matters */
	double seconds;
};

/* The whole span; an optional leading '-' is refused.  0 or -1. */
int leat_duration_parse(struct leat_span text, struct leat_duration *out) LEAT_MUST_USE;

/* Its length in seconds, taking 24 h a day; -1 when it has months (their length is not fixed). */
int leat_duration_seconds(const struct leat_duration *d, double *seconds) LEAT_MUST_USE;

/* t moved by d forward (sign 1) or back (sign -1) in UTC.  Months first, and a day that the month lacks becomes its
 * last day.  LEAT_TIME_NONE when t is none or the result leaves the years 0001..9999. */
struct leat_time leat_time_shift(struct leat_time t, const struct leat_duration *d, int sign);

/* "3 h 10 min", "12 min", "4 d 2 h", "50 s": a length for people, two neighbouring parts at most, rounded to the
 * smaller; "unknown" when it is not finite or beyond 1e15.  dst has 40 bytes.  Returns the length. */
size_t leat_duration_words(char *dst, double seconds);

#endif
