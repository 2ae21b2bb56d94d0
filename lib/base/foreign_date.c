/*
 * Foreign dates: year first, day first, month first, and with English names.
 */
#include "base/foreign_private.h"

static const char *const months[] = {
	"January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
	"December"
};

/* 1970-01-01 was a Thursday, so days since then count from here. */
static const char *const weekdays[] = {
	"Thursday", "Friday", "Saturday", "Sunday", "Monday", "Tuesday", "Wednesday"
};

/* The place of a name, in full or by its first three letters, in any case; -1 when it is none. */
static int
find_name(struct leat_span word, const char *const *names, int count)
{
	char three[4];
	int i;

	for (i = 0; i < count; i++) {
		memcpy(three, names[i], 3);
		three[3] = '\0';
		if (leat_span_is_nocase(word, three) || leat_span_is_nocase(word, names[i]))
			return i;
	}
	return -1;
}

static int
find_month(struct leat_span word)
{
	return leat_span_is_nocase(word, "Sept") ? 9 : find_name(word, months, 12) + 1;
}

/* Takes "Mon", "Mon.", "Monday," and the blanks behind.  The weekday's place, or -1 when no name of one is there. */
static int
take_weekday(struct leat_scan *s)
{
	struct leat_scan ahead = *s;
	int weekday;

	if (leat_scan_digit(s))
		return -1;
	weekday = find_name(leat_scan_word(&ahead), weekdays, 7);
	if (weekday < 0)
		return -1;
	(void)leat_scan_take(&ahead, '.');
	(void)leat_scan_take(&ahead, ',');
	if (!leat_scan_blanks(&ahead))
		return -1;
	*s = ahead;
	return weekday;
}

/* Reads a year of four digits, or of two: 69..99 are 19xx, as POSIX has it for strptime.  0 or -1. */
static int
read_year(struct leat_scan *s, int *year)
{
	int count = leat_scan_number(s, 2, 4, year);

	if (count == 2)
		*year += *year >= 69 ? 1900 : 2000;
	return count == 2 || count == 4 ? 0 : -1;
}

/* Takes '/', '-' or '.' with the blanks that may follow a point.  '\0' when there is none. */
static char
take_separator(struct leat_scan *s)
{
	if (leat_scan_take(s, '/'))
		return '/';
	if (leat_scan_take(s, '-'))
		return '-';
	if (!leat_scan_take(s, '.'))
		return '\0';
	(void)leat_scan_blanks(s);
	return '.';
}

/* Reads the other two parts of a date that are separated like the first two.  0 or -1. */
static int
read_numbers(struct leat_scan *s, int *first, int *second, char *separator)
{
	if (leat_scan_number(s, 1, 2, first) < 0)
		return -1;
	*separator = take_separator(s);
	return *separator == '\0' || leat_scan_number(s, 1, 2, second) < 0 ? -1 : 0;
}

/* Eight digits in a row, with more behind them or not. */
static bool
is_basic(const struct leat_scan *s)
{
	struct leat_scan ahead = *s;

	while (ahead.p - s->p < 8 && leat_scan_digit(&ahead))
		ahead.p++;
	return ahead.p - s->p == 8;
}

static int
read_basic(struct leat_scan *s, struct leat_foreign_date *out)
{
	struct leat_scan digits = { s->p, s->p + 8 };
	int whole = 0;

	if (leat_scan_number(&digits, 8, 8, &whole) < 0)
		return -1;
	out->year = whole / 10000;
	out->month = whole / 100 % 100;
	out->day = whole % 100;
	out->basic = true;
	s->p += 8;
	return 0;
}

static int
read_iso(struct leat_scan *s, struct leat_foreign_date *out)
{
	char separator, second;

	if (is_basic(s))
		return read_basic(s, out);
	if (leat_scan_number(s, 4, 4, &out->year) < 0)
		return -1;
	separator = take_separator(s);
	if (separator == '\0' || read_numbers(s, &out->month, &out->day, &second) != 0 || second != separator)
		return -1;
	out->dotted = separator == '.';
	return 0;
}

/* Day and month, or month and day, and year. */
static int
read_plain(struct leat_scan *s, bool day_first, struct leat_foreign_date *out)
{
	int *first = day_first ? &out->day : &out->month;
	int *second = day_first ? &out->month : &out->day;
	char separator;

	if (read_numbers(s, first, second, &separator) != 0 || take_separator(s) != separator)
		return -1;
	out->dotted = separator == '.';
	return read_year(s, &out->year);
}

/* Takes what stands between two parts of a date with a name: '-' or '/', or any of '.', ',' and blanks in that order,
 * which gives ' '.  '\0' when there is nothing of the kind. */
static char
take_gap(struct leat_scan *s)
{
	bool mark;

	if (leat_scan_take(s, '-'))
		return '-';
	if (leat_scan_take(s, '/'))
		return '/';
	mark = leat_scan_take(s, '.');
	mark = leat_scan_take(s, ',') || mark;
	return leat_scan_blanks(s) || mark ? ' ' : '\0';
}

static int
read_named(struct leat_scan *s, struct leat_foreign_date *out)
{
	bool day_first = leat_scan_digit(s);
	char gap;

	if (day_first) {
		if (leat_scan_number(s, 1, 2, &out->day) < 0)
			return -1;
	} else {
		out->month = find_month(leat_scan_word(s));
	}
	gap = take_gap(s);
	if (gap == '\0')
		return -1;
	if (day_first)
		out->month = find_month(leat_scan_word(s));
	else if (leat_scan_number(s, 1, 2, &out->day) < 0)
		return -1;
	if (take_gap(s) != gap)
		return -1;
	return read_year(s, &out->year);
}

int
leat_foreign_date(struct leat_scan *s, enum leat_form form, struct leat_foreign_date *out)
{
	int weekday = form == LEAT_FORM_ISO ? -1 : take_weekday(s);
	int status;

	*out = (struct leat_foreign_date){ 0 };
	if (form == LEAT_FORM_ISO)
		status = read_iso(s, out);
	else if (form == LEAT_FORM_NAMED)
		status = read_named(s, out);
	else
		status = read_plain(s, form == LEAT_FORM_DMY, out);
	if (status != 0 || out->year < 1 || out->day < 1 || out->day > leat_days_in_month(out->year, out->month))
		return -1;
	/* Several languages end a dotted date in a point. */
	if (out->dotted)
		(void)leat_scan_take(s, '.');
	/* 719166 days are whole weeks, and no valid date lies further than that before 1970. */
	if (weekday >= 0 && (leat_days_from_civil(out->year, out->month, out->day) + 719166) % 7 != weekday)
		return -1;
	return 0;
}
