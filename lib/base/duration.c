/*
 * ISO 8601 durations, and lengths of time in words.
 */
#include "base/instant.h"

#include <stdio.h>

#define DAY 86400

/* The parts in the only order that ISO 8601 allows; those from FIRST_TIME_PART on come after the 'T'. */
static const char part_letters[] = "YMWDHMS";

enum { YEARS, MONTHS, WEEKS, DAYS, HOURS, MINUTES, SECONDS, PARTS };

#define FIRST_TIME_PART HOURS

/* Reads 1 to 9 digits at *p.  0 or -1. */
static int
read_whole(const char **p, const char *end, int64_t *value)
{
	const char *start = *p;

	*value = 0;
	while (*p < end && **p >= '0' && **p <= '9') {
		if (*p - start == 9)
			return -1;
		*value = *value * 10 + (**p - '0');
		(*p)++;
	}
	return *p > start ? 0 : -1;
}

/* Reads a point or comma and 1 to 9 digits at *p.  1 when there were some, 0 when there is no such sign, or -1. */
static int
read_decimals(const char **p, const char *end, double *value)
{
	double scale = 1;
	const char *start;
	int64_t digits;

	*value = 0;
	if (*p == end || (**p != '.' && **p != ','))
		return 0;
	(*p)++;
	start = *p;
	if (read_whole(p, end, &digits) != 0)
		return -1;
	for (; start < *p; start++)
		scale *= 10;
	*value = (double)digits / scale;
	return 1;
}

static int
part_find(char letter, bool time_part)
{
	int i;

	for (i = time_part ? FIRST_TIME_PART : 0; i < (time_part ? PARTS : FIRST_TIME_PART); i++)
		if (part_letters[i] == letter)
			return i;
	return -1;
}

int
leat_duration_parse(struct leat_span text, struct leat_duration *out)
{
	int64_t part[PARTS] = { 0 };
	int64_t value, months, days;
	double decimals, fraction = 0;
	const char *p = text.ptr;
	const char *end;
	bool time_part = false;
	int which, last = -1;
	int decimal;

	if (text.len < 3 || *p != 'P')
		return -1;
	end = p + text.len;
	for (p++; p < end; p++) {
		if (*p == 'T') {
			if (time_part)
				return -1;
			time_part = true;
			p++;
		}
		if (read_whole(&p, end, &value) != 0)
			return -1;
		decimal = read_decimals(&p, end, &decimals);
		if (decimal < 0 || p == end)
			return -1;
		which = part_find(*p, time_part);
		if (which <= last || (decimal && which != SECONDS))
			return -1;
		part[which] = value;
		fraction = decimals;
		last = which;
	}
	months = part[YEARS] * 12 + part[MONTHS];
	days = part[WEEKS] * 7 + part[DAYS];
	if (months > INT32_MAX || days > INT32_MAX)
		return -1;
	out->months = (int32_t)months;
	out->days = (int32_t)days;
	out->seconds = (double)(part[HOURS] * 3600 + part[MINUTES] * 60 + part[SECONDS]) + fraction;
	return 0;
}

int
leat_duration_seconds(const struct leat_duration *d, double *seconds)
{
	if (d->months != 0)
		return -1;
	*seconds = (double)d->days * DAY + d->seconds;
	return 0;
}

/* "BIG big SMALL small", leaving out a small part of 0. */
static size_t
words(char *dst, const char *sign, int64_t total, int64_t each, const char *big, const char *small)
{
	long long whole = total / each;
	long long rest = total % each;
	int len;

	if (whole == 0)
		len = snprintf(dst, 40, "%s%lld %s", rest > 0 ? sign : "", rest, small);
	else if (rest == 0)
		len = snprintf(dst, 40, "%s%lld %s", sign, whole, big);
	else
		len = snprintf(dst, 40, "%s%lld %s %lld %s", sign, whole, big, rest, small);
	return (size_t)len;
}

size_t
leat_duration_words(char *dst, double seconds)
{
	const char *sign = seconds < 0 ? "-" : "";
	double length = seconds < 0 ? -seconds : seconds;

	/* Written so that NaN is caught too. */
	if (!(length < 1e15))
		return (size_t)snprintf(dst, 40, "unknown");
	/* Each unit rounds by itself, so that 59 min 59.9 s is 1 h and never 59 min 60 s. */
	if (length + 0.5 < 3600)
		return words(dst, sign, (int64_t)(length + 0.5), 60, "min", "s");
	if (length / 60 + 0.5 < 1440)
		return words(dst, sign, (int64_t)(length / 60 + 0.5), 60, "h", "min");
	return words(dst, sign, (int64_t)(length / 3600 + 0.5), 24, "d", "h");
}
