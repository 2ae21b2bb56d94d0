/*
 * Foreign times of day, and the offsets that stand behind them.
 */
#include "base/foreign_private.h"

bool
leat_scan_blanks(struct leat_scan *s)
{
	static const char *const wide[] = { "\xc2\xa0", "\xe2\x80\x89", "\xe2\x80\xaf" };
	const char *start = s->p;
	const char *before;
	size_t i;

	for (;;) {
		while (s->p < s->end && (*s->p == ' ' || *s->p == '\t'))
			s->p++;
		/* Plain text, the common case, ends here. */
		if (s->p == s->end || (unsigned char)*s->p < 0x80)
			return s->p > start;
		before = s->p;
		for (i = 0; i < sizeof(wide) / sizeof(wide[0]); i++)
			if (leat_span_starts(leat_span_make(s->p, (size_t)(s->end - s->p)), wide[i]))
				s->p += strlen(wide[i]);
		if (s->p == before)
			return s->p > start;
	}
}

int
leat_scan_number(struct leat_scan *s, int min, int max, int *out)
{
	int count = 0;
	int value = 0;

	for (; leat_scan_digit(s); s->p++) {
		if (++count > max)
			return -1;
		value = value * 10 + (*s->p - '0');
	}
	if (count < min)
		return -1;
	*out = value;
	return count;
}

struct leat_span
leat_scan_word(struct leat_scan *s)
{
	const char *start = s->p;

	while (s->p < s->end && ((*s->p >= 'A' && *s->p <= 'Z') || (*s->p >= 'a' && *s->p <= 'z')))
		s->p++;
	return leat_span_make(start, (size_t)(s->p - start));
}

/* Reads the digits behind a decimal sign as billionths; digits beyond the ninth are cut.  0, or -1 when there are
 * none. */
static int
read_billionths(struct leat_scan *s, int32_t *nsec)
{
	int32_t unit = 100000000;
	int32_t value = 0;

	if (!leat_scan_digit(s))
		return -1;
	for (; leat_scan_digit(s); s->p++) {
		value += (*s->p - '0') * unit;
		unit /= 10;
	}
	*nsec = value;
	return 0;
}

/* Takes ":ss" (or "ss") and a fraction, when they are there.  0 or -1. */
static int
read_seconds(struct leat_scan *s, bool basic, struct leat_civil *c)
{
	if (basic ? !leat_scan_digit(s) : !leat_scan_take(s, ':'))
		return 0;
	if (leat_scan_number(s, 2, 2, &c->second) < 0)
		return -1;
	if (leat_scan_take(s, '.') || leat_scan_take(s, ','))
		return read_billionths(s, &c->nsec);
	return 0;
}

/* Takes AM, PM, a.m., p.m. in any case, with or without blanks before it.  'a', 'p', or '\0' when there is none. */
static char
read_half(struct leat_scan *s)
{
	struct leat_scan ahead = *s;
	char half;

	(void)leat_scan_blanks(&ahead);
	if (leat_scan_take(&ahead, 'a') || leat_scan_take(&ahead, 'A'))
		half = 'a';
	else if (leat_scan_take(&ahead, 'p') || leat_scan_take(&ahead, 'P'))
		half = 'p';
	else
		return '\0';
	if (leat_scan_take(&ahead, '.')) {
		if ((!leat_scan_take(&ahead, 'm') && !leat_scan_take(&ahead, 'M')) || !leat_scan_take(&ahead, '.'))
			return '\0';
	} else if (!leat_scan_take(&ahead, 'm') && !leat_scan_take(&ahead, 'M')) {
		return '\0';
	}
	*s = ahead;
	return half;
}

/* Reads exactly two digits, whatever follows them.  0 or -1. */
static int
read_pair(struct leat_scan *s, int *out)
{
	struct leat_scan two = { s->p, s->end - s->p > 2 ? s->p + 2 : s->end };

	if (leat_scan_number(&two, 2, 2, out) < 0)
		return -1;
	s->p = two.p;
	return 0;
}

int
leat_foreign_clock(struct leat_scan *s, bool basic, struct leat_civil *c, bool *next_day)
{
	char half;

	c->second = 0;
	c->nsec = 0;
	*next_day = false;
	if (basic) {
		if (read_pair(s, &c->hour) != 0 || read_pair(s, &c->minute) != 0)
			return -1;
	} else if (leat_scan_number(s, 1, 2, &c->hour) < 0 || !leat_scan_take(s, ':') ||
	    leat_scan_number(s, 2, 2, &c->minute) < 0) {
		return -1;
	}
	if (read_seconds(s, basic, c) != 0 || c->minute > 59 || c->second > 59)
		return -1;
	half = basic ? '\0' : read_half(s);
	if (half != '\0') {
		if (c->hour < 1 || c->hour > 12)
			return -1;
		c->hour = c->hour % 12 + (half == 'p' ? 12 : 0);
	}
	if (c->hour == 24 && c->minute == 0 && c->second == 0 && c->nsec == 0) {
		c->hour = 0;
		*next_day = true;
	}
	return c->hour <= 23 ? 0 : -1;
}

int
leat_foreign_east(struct leat_scan *s, int32_t *east)
{
	struct leat_span word;
	int hour, minute = 0;
	bool west;

	*east = 0;
	(void)leat_scan_blanks(s);
	if (s->p == s->end)
		return 0;
	word = leat_scan_word(s);
	if (word.len > 0)
		return leat_span_is_nocase(word, "Z") || leat_span_is(word, "UTC") || leat_span_is(word, "UT") ||
		    leat_span_is(word, "GMT") ? 1 : -1;
	west = leat_scan_take(s, '-');
	if ((!west && !leat_scan_take(s, '+')) || read_pair(s, &hour) != 0)
		return -1;
	if ((leat_scan_take(s, ':') || leat_scan_digit(s)) && read_pair(s, &minute) != 0)
		return -1;
	if (hour > 23 || minute > 59)
		return -1;
	*east = hour * 3600 + minute * 60;
	if (west)
		*east = -*east;
	return 1;
}
