/*
 * Instants and civil dates; reading and writing RFC 3339.
 *
 * Reading and writing run once per row of a stream, so both go by position and spell out their digits.
 */
#include "base/instant.h"

#define DAY 86400
#define NANO 1000000000

/* Days from 0000-03-01, where the reckoning below begins, to 1970-01-01. */
#define DAYS_TO_1970 719468

/* 0001-01-01 and 9999-12-31 as days since 1970-01-01. */
#define DAYS_MIN (-719162)
#define DAYS_MAX 2932896

#define SEC_MIN ((int64_t)DAYS_MIN * DAY)
#define SEC_MAX ((int64_t)DAYS_MAX * DAY + DAY - 1)

/* No sum beyond this many seconds is a time; it leaves room for any addition below. */
#define SEC_FAR INT64_C(1000000000000000)

struct leat_time
leat_time_add(struct leat_time t, double seconds)
{
	int64_t whole, nsec;

	if (leat_time_is_none(t) || t.sec < -SEC_FAR || t.sec > SEC_FAR)
		return LEAT_TIME_NONE;
	/* The comparison is written so that NaN fails it. */
	if (!(seconds >= -(double)SEC_FAR && seconds <= (double)SEC_FAR))
		return LEAT_TIME_NONE;
	whole = (int64_t)seconds;
	if ((double)whole > seconds)
		whole--;
	nsec = t.nsec + (int64_t)((seconds - (double)whole) * NANO + 0.5);
	t.sec += whole + nsec / NANO;
	t.nsec = (int32_t)(nsec % NANO);
	return t;
}

int
leat_days_in_month(int year, int month)
{
	static const unsigned char days[13] = { 0, 31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31 };

	if (month < 1 || month > 12)
		return 0;
	if (month == 2 && year % 4 == 0 && (year % 100 != 0 || year % 400 == 0))
		return 29;
	return days[month];
}

bool
leat_civil_valid(const struct leat_civil *c)
{
	return c->year >= 1 && c->year <= 9999 && c->month >= 1 && c->month <= 12 && c->day >= 1 &&
	    c->day <= leat_days_in_month(c->year, c->month) && c->hour >= 0 && c->hour <= 23 && c->minute >= 0 &&
	    c->minute <= 59 && c->second >= 0 && c->second <= 59 && c->nsec >= 0 && c->nsec < NANO;
}

/* The year is reckoned from 1 March, so that a leap day is its last day and the months before it have one pattern:
 * 153 days every five months. */
int64_t
leat_days_from_civil(int year, int month, int day)
{
	unsigned late = month <= 2;
	unsigned y = (unsigned)year - late;
	unsigned m = (unsigned)month + 12 * late - 3;

	return (int64_t)(365 * y + y / 4 - y / 100 + y / 400 + (153 * m + 2) / 5 + (unsigned)day) - 1 - DAYS_TO_1970;
}

void
leat_civil_from_days(int64_t days, int *year, int *month, int *day)
{
	uint32_t n, century, year_of_century, m;

	if (days < DAYS_MIN)
		days = DAYS_MIN;
	if (days > DAYS_MAX)
		days = DAYS_MAX;
	/* Quarter days make the leap rule a plain division: 146097 days in 400 years, 1461 in 4. */
	n = 4 * (uint32_t)(days + DAYS_TO_1970) + 3;
	century = n / 146097;
	n = (n % 146097) | 3;
	year_of_century = n / 1461;
	n = 5 * (n % 1461 / 4) + 2;
	m = n / 153;
	*day = (int)(n % 153 / 5) + 1;
	*month = (int)(m < 10 ? m + 3 : m - 9);
	*year = (int)(100 * century + year_of_century + (m >= 10));
}

struct leat_time
leat_time_from_civil(const struct leat_civil *c, int32_t east)
{
	int64_t days = leat_days_from_civil(c->year, c->month, c->day);

	return (struct leat_time){ days * DAY + c->hour * 3600 + c->minute * 60 + c->second - east, c->nsec };
}

struct leat_civil
leat_civil_from_time(struct leat_time t, int32_t east)
{
	struct leat_civil c;
	int64_t sec, days;
	uint32_t rest;

	/* The limits come first: t.sec may be INT64_MIN. */
	sec = t.sec < SEC_MIN - DAY ? SEC_MIN - DAY : t.sec > SEC_MAX + DAY ? SEC_MAX + DAY : t.sec;
	sec += east;
	sec = sec < SEC_MIN ? SEC_MIN : sec > SEC_MAX ? SEC_MAX : sec;
	days = (int64_t)((uint64_t)(sec - SEC_MIN) / DAY) + DAYS_MIN;
	rest = (uint32_t)(sec - days * DAY);
	leat_civil_from_days(days, &c.year, &c.month, &c.day);
	c.hour = (int)(rest / 3600);
	c.minute = (int)(rest / 60 % 60);
	c.second = (int)(rest % 60);
	c.nsec = t.nsec;
	return c;
}

/* Two digits at p.  Anything else there sets *bad and gives a number of no meaning. */
static inline int
two_digits(const char *p, unsigned *bad)
{
	unsigned tens = (unsigned)(unsigned char)p[0] - '0';
	unsigned ones = (unsigned)(unsigned char)p[1] - '0';

	*bad |= (unsigned)(tens > 9) | (unsigned)(ones > 9);
	return (int)(tens * 10 + ones);
}

/* Reads ".digits" at the start of [p, end) when there is a point.  Returns what follows, or NULL. */
static const char *
read_fraction(const char *p, const char *end, int32_t *nsec)
{
	int32_t unit = NANO;
	int32_t value = 0;

	*nsec = 0;
	if (p == end || *p != '.')
		return p;
	for (p++; p < end && *p >= '0' && *p <= '9'; p++) {
		unit /= 10;
		if (unit == 0)
			return NULL;
		value += (*p - '0') * unit;
	}
	if (unit == NANO)
		return NULL;
	*nsec = value;
	return p;
}

/* Reads Z or +HH:MM, the whole of [p, end), as seconds east.  0 or -1. */
static int
read_offset(const char *p, const char *end, int32_t *east)
{
	unsigned bad = 0;
	int hour, minute;

	if (end - p == 1 && (*p == 'Z' || *p == 'z')) {
		*east = 0;
		return 0;
	}
	if (end - p != 6 || (*p != '+' && *p != '-') || p[3] != ':')
		return -1;
	hour = two_digits(p + 1, &bad);
	minute = two_digits(p + 4, &bad);
	if (bad || hour > 23 || minute > 59)
		return -1;
	*east = hour * 3600 + minute * 60;
	if (*p == '-')
		*east = -*east;
	return 0;
}

/* Is t the first second of January or July, the only ones that a leap second has come before? */
static bool
follows_leap_second(struct leat_time t)
{
	struct leat_civil c = leat_civil_from_time(t, 0);

	return (c.month == 1 || c.month == 7) && c.day == 1 && c.hour == 0 && c.minute == 0 && c.second == 0;
}

int
leat_time_parse(struct leat_span text, struct leat_time *out)
{
	const char *p = text.ptr;
	const char *end;
	struct leat_civil c;
	struct leat_time t;
	unsigned bad = 0;
	int32_t east;
	bool leap;

	if (text.len < 20)
		return -1;
	end = p + text.len;
	c.year = two_digits(p, &bad) * 100 + two_digits(p + 2, &bad);
	c.month = two_digits(p + 5, &bad);
	c.day = two_digits(p + 8, &bad);
	c.hour = two_digits(p + 11, &bad);
	c.minute = two_digits(p + 14, &bad);
	c.second = two_digits(p + 17, &bad);
	if (bad || p[4] != '-' || p[7] != '-' || (p[10] != 'T' && p[10] != 't' && p[10] != ' ') || p[13] != ':' ||
	    p[16] != ':')
		return -1;
	p = read_fraction(p + 19, end, &c.nsec);
	if (p == NULL || read_offset(p, end, &east) != 0)
		return -1;
	leap = c.second == 60;
	c.second -= leap;
	if (!leat_civil_valid(&c))
		return -1;
	t = leat_time_from_civil(&c, east);
	t.sec += leap;
	if (t.sec < SEC_MIN || t.sec > SEC_MAX || (leap && !follows_leap_second(t)))
		return -1;
	*out = t;
	return 0;
}

static inline void
put_two(char *p, int value)
{
	unsigned v = (unsigned)value;

	p[0] = (char)('0' + v / 10);
	p[1] = (char)('0' + v % 10);
}

size_t
leat_time_write(char *dst, struct leat_time t)
{
	struct leat_civil c = leat_civil_from_time(t, 0);
	char *p = dst + 19;
	int32_t rest, unit;

	put_two(dst, c.year / 100);
	put_two(dst + 2, c.year % 100);
	dst[4] = '-';
	put_two(dst + 5, c.month);
	dst[7] = '-';
	put_two(dst + 8, c.day);
	dst[10] = 'T';
	put_two(dst + 11, c.hour);
	dst[13] = ':';
	put_two(dst + 14, c.minute);
	dst[16] = ':';
	put_two(dst + 17, c.second);
	if (c.nsec > 0 && c.nsec < NANO) {
		*p++ = '.';
		for (rest = c.nsec, unit = NANO / 10; rest > 0; rest %= unit, unit /= 10)
			*p++ = (char)('0' + rest / unit);
	}
	*p++ = 'Z';
	*p = '\0';
	return (size_t)(p - dst);
}

struct leat_time
leat_time_shift(struct leat_time t, const struct leat_duration *d, int sign)
{
	struct leat_civil c;
	int64_t months, days;
	int last;

	if (leat_time_is_none(t) || t.sec < SEC_MIN || t.sec > SEC_MAX)
		return LEAT_TIME_NONE;
	sign = sign < 0 ? -1 : 1;
	if (d->months != 0) {
		c = leat_civil_from_time(t, 0);
		months = (int64_t)c.year * 12 + c.month - 1 + (int64_t)sign * d->months;
		if (months < 12 || months >= INT64_C(10000) * 12)
			return LEAT_TIME_NONE;
		c.year = (int)(months / 12);
		c.month = (int)(months % 12) + 1;
		last = leat_days_in_month(c.year, c.month);
		c.day = c.day < last ? c.day : last;
		t = leat_time_from_civil(&c, 0);
	}
	days = (int64_t)sign * d->days;
	t.sec += days * DAY;
	t = leat_time_add(t, sign * d->seconds);
	return t.sec < SEC_MIN || t.sec > SEC_MAX ? LEAT_TIME_NONE : t;
}
