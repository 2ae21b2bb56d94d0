/* Intervals of tasks. */
#include <stdio.h>

#include "upkeep/interval.h"

#define YEAR_DAYS 365.2425

/* "2025-01-31", the date of a repeating interval. */
static int
read_date(struct leat_span text, int64_t *day)
{
	struct leat_civil c = { 0 };
	int64_t number[3];
	static const struct { size_t at, len; } part[3] = { { 0, 4 }, { 5, 2 }, { 8, 2 } };

	if (text.len != 10 || text.ptr[4] != '-' || text.ptr[7] != '-')
		return -1;
	for (int i = 0; i < 3; i++) {
		struct leat_span digits = leat_span_make(text.ptr + part[i].at, part[i].len);

		number[i] = 0;
		for (size_t k = 0; k < digits.len; k++) {
			if (digits.ptr[k] < '0' || digits.ptr[k] > '9')
				return -1;
			number[i] = number[i] * 10 + digits.ptr[k] - '0';
		}
	}
	c.year = (int)number[0];
	c.month = (int)number[1];
	c.day = (int)number[2];
	if (!leat_civil_valid(&c))
		return -1;
	*day = leat_days_from_civil(c.year, c.month, c.day);
	return 0;
}

int
leat_interval_parse(struct leat_span text, struct leat_interval *out, const char **why)
{
	struct leat_span rest = text, part;

	*why = "not a duration such as P14D or P6M, nor dates that repeat such as R/2025-01-31/P1Y";
	out->fixed = leat_span_starts(text, "R/");
	if (out->fixed) {
		leat_span_next(&rest, '/', &part);
		if (!leat_span_next(&rest, '/', &part) || read_date(part, &out->first) != 0)
			return -1;
	}
	if (leat_duration_parse(rest, &out->length) != 0)
		return -1;
	if (out->length.seconds > 0) {
		*why = "tasks are due on days: write whole days, weeks, months or years; running hours have their own column";
		return -1;
	}
	if (out->length.months == 0 && out->length.days == 0) {
		*why = "longer than zero is due";
		return -1;
	}
	return 0;
}

int64_t
leat_day_shift(int64_t day, const struct leat_duration *length, int64_t times)
{
	static const int64_t furthest = INT64_C(10000) * 366;
	int year, month, of_month, last;
	int64_t months;

	if (day == LEAT_DAY_NONE || times > furthest || times < -furthest)
		return LEAT_DAY_NONE;
	leat_civil_from_days(day, &year, &month, &of_month);
	months = (int64_t)year * 12 + month - 1 + times * length->months;
	if (months < 12 || months >= INT64_C(10000) * 12)
		return LEAT_DAY_NONE;
	year = (int)(months / 12);
	month = (int)(months % 12) + 1;
	last = leat_days_in_month(year, month);
	day = leat_days_from_civil(year, month, of_month < last ? of_month : last) + times * length->days;
	return day < leat_days_from_civil(1, 1, 1) || day > leat_days_from_civil(9999, 12, 31) ? LEAT_DAY_NONE : day;
}

/* How often the interval lies between its first date and day, or one or two less. */
static int64_t
about(const struct leat_interval *interval, int64_t day)
{
	double length = interval->length.months * YEAR_DAYS / 12 + interval->length.days;
	double times = (double)(day - interval->first) / length - 2;

	return times > 0 ? (int64_t)times : 0;
}

int64_t
leat_interval_next(const struct leat_interval *interval, int64_t day)
{
	int64_t times = about(interval, day), date;

	while ((date = leat_day_shift(interval->first, &interval->length, times)) != LEAT_DAY_NONE && date <= day)
		times++;
	return date;
}

int64_t
leat_interval_previous(const struct leat_interval *interval, int64_t date)
{
	int64_t times = about(interval, date), before, next;

	if (date <= interval->first)
		return leat_day_shift(interval->first, &interval->length, -1);
	before = leat_day_shift(interval->first, &interval->length, times);
	while ((next = leat_day_shift(interval->first, &interval->length, times + 1)) != LEAT_DAY_NONE && next < date) {
		before = next;
		times++;
	}
	return before;
}

static size_t
add_part(char *dst, size_t len, long long number, const char *unit)
{
	if (number == 0)
		return len;
	return len + (size_t)snprintf(dst + len, 64 - len, "%s%lld %s%s", len > 0 ? " " : "", number, unit,
	    number == 1 ? "" : "s");
}

char *
leat_interval_words(char *dst, const struct leat_duration *length)
{
	bool weeks = length->days % 7 == 0;
	size_t len = 0;

	dst[0] = '\0';
	len = add_part(dst, len, length->months / 12, "year");
	len = add_part(dst, len, length->months % 12, "month");
	add_part(dst, len, weeks ? length->days / 7 : length->days, weeks ? "week" : "day");
	return dst;
}
