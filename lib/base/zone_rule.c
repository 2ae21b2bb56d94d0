/*
 * POSIX TZ rules: "CET-1CEST,M3.5.0,M10.5.0/3" (POSIX.1-2008, 8.3), with the wider times of RFC 8536, 3.3.1.
 */
#include "base/zone_private.h"

#define HOUR 3600
#define DAY 86400

/* The text still to be read. */
struct scan {
	const char *p, *end;
};

static bool
scan_take(struct scan *s, char c)
{
	if (s->p == s->end || *s->p != c)
		return false;
	s->p++;
	return true;
}

static bool
is_digit(char c)
{
	return c >= '0' && c <= '9';
}

static bool
is_letter(char c)
{
	return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z');
}

/* Reads a whole number of at most 3 digits within min..max.  0 or -1. */
static int
read_number(struct scan *s, int min, int max, int *out)
{
	const char *start = s->p;
	int value = 0;

	while (s->p < s->end && is_digit(*s->p) && s->p - start < 3)
		value = value * 10 + (*s->p++ - '0');
	if (s->p == start || value < min || value > max)
		return -1;
	*out = value;
	return 0;
}

/* Skips a name: three letters or more, or three or more letters, digits and signs between < and >.  0 or -1. */
static int
skip_name(struct scan *s)
{
	const char *start = s->p;
	bool quoted = scan_take(s, '<');
	size_t len = 0;

	while (s->p < s->end && (is_letter(*s->p) || (quoted && (is_digit(*s->p) || *s->p == '+' || *s->p == '-')))) {
		s->p++;
		len++;
	}
	if (len < 3 || (quoted && !scan_take(s, '>'))) {
		s->p = start;
		return -1;
	}
	return 0;
}

/* Reads [+-]h[hh][:mm[:ss]] with at most max_hours hours.  0 or -1. */
static int
read_time(struct scan *s, int max_hours, int32_t *out)
{
	int hour, minute = 0, second = 0;
	bool negative = scan_take(s, '-');

	if (!negative)
		(void)scan_take(s, '+');
	if (read_number(s, 0, max_hours, &hour) != 0)
		return -1;
	if (scan_take(s, ':')) {
		if (read_number(s, 0, 59, &minute) != 0)
			return -1;
		if (scan_take(s, ':') && read_number(s, 0, 59, &second) != 0)
			return -1;
	}
	*out = hour * HOUR + minute * 60 + second;
	if (negative)
		*out = -*out;
	return 0;
}

/* Reads ",Mm.w.d[/time]", ",Jn[/time]" or ",n[/time]".  0 or -1. */
static int
read_date(struct scan *s, struct leat_zone_date *out)
{
	*out = (struct leat_zone_date){ .kind = 'N', .time = 2 * HOUR };
	if (!scan_take(s, ','))
		return -1;
	if (scan_take(s, 'M')) {
		out->kind = 'M';
		if (read_number(s, 1, 12, &out->month) != 0 || !scan_take(s, '.') ||
		    read_number(s, 1, 5, &out->week) != 0 || !scan_take(s, '.') ||
		    read_number(s, 0, 6, &out->day) != 0)
			return -1;
	} else if (scan_take(s, 'J')) {
		out->kind = 'J';
		if (read_number(s, 1, 365, &out->day) != 0)
			return -1;
	} else if (read_number(s, 0, 365, &out->day) != 0) {
		return -1;
	}
	if (scan_take(s, '/'))
		return read_time(s, 167, &out->time);
	return 0;
}

int
leat_zone_rule_parse(struct leat_span text, struct leat_zone_rule *out)
{
	struct scan s = { text.ptr, text.ptr + text.len };
	int32_t west;

	*out = (struct leat_zone_rule){ 0 };
	if (text.len == 0 || skip_name(&s) != 0 || read_time(&s, 24, &west) != 0)
		return -1;
	out->standard_east = -west;
	if (s.p == s.end)
		return 0;
	if (skip_name(&s) != 0)
		return -1;
	out->has_summer = true;
	out->summer_east = out->standard_east + HOUR;
	if (s.p < s.end && *s.p != ',') {
		if (read_time(&s, 24, &west) != 0)
			return -1;
		out->summer_east = -west;
	}
	if (read_date(&s, &out->start) != 0 || read_date(&s, &out->end) != 0 || s.p != s.end)
		return -1;
	return 0;
}

int64_t
leat_zone_date_local(const struct leat_zone_date *date, int year)
{
	int64_t days = leat_days_from_civil(year, 1, 1);
	int first, day;

	if (date->kind == 'M') {
		days = leat_days_from_civil(year, date->month, 1);
		/* 1970-01-01 was a Thursday; the sum is made positive before the remainder is taken. */
		first = (int)((days + 4 + 7 * INT64_C(200000)) % 7);
		day = (date->day - first + 7) % 7 + (date->week - 1) * 7;
		if (day >= leat_days_in_month(year, date->month))
			day -= 7;
		days += day;
	} else if (date->kind == 'J') {
		days += date->day - 1;
		if (date->day >= 60 && leat_days_in_month(year, 2) == 29)
			days++;
	} else {
		days += date->day;
	}
	return days * DAY + date->time;
}

/* Where one year's summer time begins and ends, in UTC. */
static void
year_changes(const struct leat_zone_rule *rule, int year, struct leat_zone_change out[2])
{
	out[0].at = leat_zone_date_local(&rule->start, year) - rule->standard_east;
	out[0].east = rule->summer_east;
	out[1].at = leat_zone_date_local(&rule->end, year) - rule->summer_east;
	out[1].east = rule->standard_east;
}

/* Lays the rule's years from first_year on out at list, in order.  A year's changes may lie a week outside it, so
 * each is moved to its place, which is never far.  Of two at one instant the later year's holds, so that a summer
 * time which begins as the last one ends goes on all year (RFC 8536, 3.3.1). */
static size_t
lay_out(const struct leat_zone_rule *rule, int first_year, struct leat_zone_change *list)
{
	struct leat_zone_change two[2];
	size_t count = 0;
	size_t i;
	int year, which;

	for (year = first_year; year < first_year + LEAT_ZONE_RULE_YEARS; year++) {
		year_changes(rule, year, two);
		for (which = 0; which < 2; which++) {
			for (i = count++; i > 0 && two[which].at < list[i - 1].at; i--)
				list[i] = list[i - 1];
			list[i] = two[which];
		}
	}
	return count;
}

/* The year of an instant among those that count. */
static int
year_of(int64_t sec)
{
	int year, month, day;

	leat_civil_from_days((sec - LEAT_ZONE_SEC_MIN) / DAY + LEAT_ZONE_SEC_MIN / DAY, &year, &month, &day);
	return year;
}

void
leat_zone_rule_apply(struct leat_zone *zone, const struct leat_zone_rule *rule, int64_t from)
{
	/* The list is made behind the table, and the table never grows over what is still to be read of it. */
	struct leat_zone_change *list = zone->change + zone->count + 2;
	bool always = from == LEAT_ZONE_ALWAYS;
	int64_t start = always ? leat_days_from_civil(2000, 1, 1) * DAY : from;
	int first_year = year_of(start) > 2 ? year_of(start) - 2 : 1;
	int32_t east = rule->standard_east;
	int64_t end = 0;
	size_t count = 0;
	size_t i = 0;

	if (rule->has_summer) {
		count = lay_out(rule, first_year, list);
		end = leat_days_from_civil(first_year + LEAT_ZONE_RULE_YEARS - 1, 1, 1) * DAY;
	}
	for (; i < count && list[i].at <= start; i++)
		east = list[i].east;
	if (always)
		zone->before = east;
	else
		leat_zone_append(zone, start, east);
	/* The last year is left out: a change of it may be undone by one that is not laid out any more. */
	for (; i < count && list[i].at < end; i++)
		leat_zone_append(zone, list[i].at, list[i].east);
	zone->cycles = count > 0;
	zone->cycles_back = always;
	/* A few days on, what is looked up around an instant lies within the repeating part too. */
	zone->cycle_start = start + 4 * DAY;
}
