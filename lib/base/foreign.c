/*
 * Times as other programs write them: the forms, and times that are plain numbers.
 */
#include "base/foreign.h"

#include "base/foreign_private.h"

#define DAY 86400

/* 1990-01-01 and 2101-01-01 in Unix time: a number outside is no time of a mill's data. */
#define EPOCH_MIN INT64_C(631152000)
#define EPOCH_MAX INT64_C(4133980800)

/* ECMA-376 part 4, 3.17.4.1: day 61 is 1900-03-01, the first behind the 29 February that never was, so from there on
 * day 0 would be 1899-12-30.  73050 is 2099-12-31. */
#define SERIAL_MIN 61
#define SERIAL_MAX 73050
#define SERIAL_TO_1970 25569

/* A number in plain decimal digits. */
struct decimal {
	int64_t whole;
	int whole_digits;
	int64_t fraction;	/* in units of 10^-keep, further digits cut */
	int fraction_digits;	/* as written, up to keep */
};

/* Reads digits[(.|,)digits], the whole text, no leading zero, at most 15 digits before the sign.  0 or -1. */
static int
read_decimal(struct leat_span text, int keep, struct decimal *out)
{
	const char *p = text.ptr;
	const char *end = text.ptr + text.len;
	int i;

	*out = (struct decimal){ 0 };
	for (; p < end && *p >= '0' && *p <= '9'; p++) {
		if (out->whole_digits == 15)
			return -1;
		out->whole = out->whole * 10 + (*p - '0');
		out->whole_digits++;
	}
	if (out->whole_digits == 0 || text.ptr[0] == '0')
		return -1;
	if (p < end) {
		if ((*p != '.' && *p != ',') || p + 1 == end)
			return -1;
		for (p++; p < end && *p >= '0' && *p <= '9'; p++) {
			if (out->fraction_digits == keep)
				continue;
			out->fraction = out->fraction * 10 + (*p - '0');
			out->fraction_digits++;
		}
	}
	for (i = out->fraction_digits; i < keep; i++)
		out->fraction *= 10;
	return p == end ? 0 : -1;
}

static int
parse_epoch(struct leat_span text, struct leat_foreign *out)
{
	struct decimal num;

	if (read_decimal(text, 9, &num) != 0 || num.whole < EPOCH_MIN || num.whole >= EPOCH_MAX)
		return -1;
	out->is_instant = true;
	out->instant = (struct leat_time){ num.whole, (int32_t)num.fraction };
	return 0;
}

static int
parse_epoch_ms(struct leat_span text, struct leat_foreign *out)
{
	struct decimal num;

	if (read_decimal(text, 6, &num) != 0 || num.whole < EPOCH_MIN * 1000 || num.whole >= EPOCH_MAX * 1000)
		return -1;
	out->is_instant = true;
	out->instant.sec = num.whole / 1000;
	out->instant.nsec = (int32_t)(num.whole % 1000 * 1000000 + num.fraction);
	return 0;
}

/* The time of day that a fraction of a day in units of 10^-11 means, in milliseconds.  A text of few digits cannot
 * say every second: one that lies within its last digit is what the writer had. */
static int64_t
day_fraction_ms(int64_t fraction, int digits)
{
	int64_t ms = (fraction * (DAY * INT64_C(1000)) + INT64_C(50000000000)) / INT64_C(100000000000);
	int64_t nearest = (ms + 500) / 1000 * 1000;
	int64_t half_digit = DAY * INT64_C(1000) / 2;

	for (; digits > 0; digits--)
		half_digit /= 10;
	return nearest - ms <= half_digit && ms - nearest <= half_digit ? nearest : ms;
}

static int
parse_serial(struct leat_span text, struct leat_foreign *out)
{
	struct leat_civil *c = &out->civil;
	struct decimal num;
	struct leat_time t;
	int64_t ms;

	if (read_decimal(text, 11, &num) != 0 || num.whole < SERIAL_MIN || num.whole > SERIAL_MAX)
		return -1;
	if (num.whole_digits <= 4 && num.fraction_digits == 0)
		return -1;
	ms = day_fraction_ms(num.fraction, num.fraction_digits);
	t.sec = (num.whole - SERIAL_TO_1970) * DAY + ms / 1000;
	t.nsec = (int32_t)(ms % 1000 * 1000000);
	*c = leat_civil_from_time(t, 0);
	out->has_date = true;
	out->has_clock = true;
	return 0;
}

static int
parse_clock(struct leat_span text, struct leat_foreign *out)
{
	struct leat_scan s = { text.ptr, text.ptr + text.len };
	bool next_day;

	if (leat_foreign_clock(&s, false, &out->civil, &next_day) != 0 || s.p != s.end)
		return -1;
	out->civil.day = next_day;
	out->has_clock = true;
	return 0;
}

/* Moves a valid date on by a day.  0 or -1 past the last year. */
static int
next_date(struct leat_civil *c)
{
	int year = c->year;

	leat_civil_from_days(leat_days_from_civil(c->year, c->month, c->day) + 1, &c->year, &c->month, &c->day);
	return year == 9999 && c->month == 12 && c->day == 31 ? -1 : 0;
}

/* Takes what leads from a date to its clock: 'T', or blanks, or a comma and blanks; a basic date may have nothing. */
static bool
take_between(struct leat_scan *s, bool basic)
{
	bool comma;

	if (leat_scan_take(s, 'T') || leat_scan_take(s, 't'))
		return true;
	comma = leat_scan_take(s, ',');
	return leat_scan_blanks(s) || (basic && !comma);
}

/* Is the clock behind a basic date written without colons? */
static bool
clock_basic(const struct leat_scan *s)
{
	return s->end - s->p >= 4 && s->p[1] != ':' && s->p[2] != ':';
}

/* Turns civil time and offset into an instant.  0, or -1 where that leaves the years 0001..9999. */
static int
make_instant(struct leat_foreign *out, int32_t east)
{
	struct leat_civil back;

	out->instant = leat_time_from_civil(&out->civil, east);
	back = leat_civil_from_time(out->instant, 0);
	if (leat_time_cmp(leat_time_from_civil(&back, 0), out->instant) != 0)
		return -1;
	out->is_instant = true;
	out->has_date = false;
	out->has_clock = false;
	return 0;
}

static int
parse_dated(struct leat_span text, enum leat_form form, struct leat_foreign *out)
{
	struct leat_scan s = { text.ptr, text.ptr + text.len };
	struct leat_foreign_date date;
	const char *behind;
	bool basic, next_day;
	int32_t east;
	int zone;

	if (leat_foreign_date(&s, form, &date) != 0)
		return -1;
	out->civil = (struct leat_civil){ .year = date.year, .month = date.month, .day = date.day };
	out->dotted = date.dotted;
	out->has_date = true;
	/* Eight digits alone are as likely a counter. */
	if (s.p == s.end)
		return date.basic ? -1 : 0;
	behind = s.p;
	if (!take_between(&s, date.basic))
		return -1;
	basic = date.basic && clock_basic(&s);
	if (leat_foreign_clock(&s, basic, &out->civil, &next_day) != 0)
		return -1;
	/* So are digits in a row that stand for no time of our days. */
	if (behind[0] >= '0' && behind[0] <= '9' && (s.p - behind < 6 || date.year < 1990 || date.year > 2100))
		return -1;
	out->has_clock = true;
	zone = leat_foreign_east(&s, &east);
	if (zone < 0 || s.p != s.end || (next_day && next_date(&out->civil) != 0))
		return -1;
	return zone > 0 ? make_instant(out, east) : 0;
}

static bool
is_printable(char c)
{
	return c > ' ' && c <= '~';
}

/* Without outer blanks.  Most cells have none, and looking for the wide ones takes its time. */
static struct leat_span
trim(struct leat_span text)
{
	if (text.len > 0 && is_printable(text.ptr[0]) && is_printable(text.ptr[text.len - 1]))
		return text;
	return leat_span_trim_wide(text);
}

int
leat_foreign_parse(struct leat_span text, enum leat_form form, struct leat_foreign *out)
{
	*out = (struct leat_foreign){ 0 };
	text = trim(text);
	if (text.len == 0)
		return -1;
	switch (form) {
	case LEAT_FORM_ISO:
		/* The common case, and the one form in which a leap second can be told. */
		if (leat_time_parse(text, &out->instant) == 0) {
			out->is_instant = true;
			return 0;
		}
		return parse_dated(text, form, out);
	case LEAT_FORM_DMY:
	case LEAT_FORM_MDY:
	case LEAT_FORM_NAMED:
		return parse_dated(text, form, out);
	case LEAT_FORM_EPOCH:
		return parse_epoch(text, out);
	case LEAT_FORM_EPOCH_MS:
		return parse_epoch_ms(text, out);
	case LEAT_FORM_SERIAL:
		return parse_serial(text, out);
	case LEAT_FORM_CLOCK:
		return parse_clock(text, out);
	}
	return -1;
}

/* The forms that the beginning of a text leaves open.  Most cells of an export are numbers and names: what can be no
 * time under a form by the count of its first digits alone is not read under it. */
static unsigned
possible_forms(struct leat_span text)
{
	const char *end = text.ptr + text.len;
	const char *p = text.ptr;
	unsigned char first = text.len > 0 ? (unsigned char)(*p | 0x20) : 0;
	size_t digits;

	if (first >= 'a' && first <= 'z') {
		while (p < end && (*p < '0' || *p > '9'))
			p++;
		return p < end ? LEAT_FORM_DMY | LEAT_FORM_MDY | LEAT_FORM_NAMED : 0;
	}
	while (p < end && *p >= '0' && *p <= '9')
		p++;
	digits = (size_t)(p - text.ptr);
	if (digits == 0)
		return 0;
	/* Digits with a mark or none between them: a bare number, or a basic date and time. */
	if (p < end && (*p == '.' || *p == ','))
		p++;
	while (p < end && *p >= '0' && *p <= '9')
		p++;
	if (p == end)
		return (digits >= 8 ? LEAT_FORM_ISO | LEAT_FORM_EPOCH | LEAT_FORM_EPOCH_MS : 0) | LEAT_FORM_SERIAL;
	if (digits == 4 || digits >= 8)
		return LEAT_FORM_ISO;
	return digits <= 2 ? LEAT_FORM_DMY | LEAT_FORM_MDY | LEAT_FORM_NAMED | LEAT_FORM_CLOCK : 0;
}

unsigned
leat_foreign_forms(struct leat_span text)
{
	struct leat_foreign ignored;
	unsigned set = 0;
	unsigned possible;
	unsigned bit;

	text = trim(text);
	possible = possible_forms(text);
	for (bit = LEAT_FORM_ISO; bit <= LEAT_FORM_CLOCK; bit <<= 1)
		if ((possible & bit) != 0 && leat_foreign_parse(text, (enum leat_form)bit, &ignored) == 0)
			set |= bit;
	return set;
}

int
leat_foreign_join(const struct leat_foreign *date, const struct leat_foreign *clock, struct leat_foreign *out)
{
	const struct leat_civil *c = &date->civil;
	struct leat_foreign joined = *date;

	if (!date->has_date || clock->has_date || !clock->has_clock)
		return -1;
	if (date->has_clock && (c->hour != 0 || c->minute != 0 || c->second != 0 || c->nsec != 0))
		return -1;
	joined.civil.hour = clock->civil.hour;
	joined.civil.minute = clock->civil.minute;
	joined.civil.second = clock->civil.second;
	joined.civil.nsec = clock->civil.nsec;
	joined.has_clock = true;
	if (clock->civil.day != 0 && next_date(&joined.civil) != 0)
		return -1;
	*out = joined;
	return 0;
}

static const struct form_name {
	enum leat_form form;
	const char *name;
} form_names[] = {
	{ LEAT_FORM_ISO, "iso" },
	{ LEAT_FORM_DMY, "dmy" },
	{ LEAT_FORM_MDY, "mdy" },
	{ LEAT_FORM_NAMED, "named" },
	{ LEAT_FORM_EPOCH, "epoch" },
	{ LEAT_FORM_EPOCH_MS, "epoch-ms" },
	{ LEAT_FORM_SERIAL, "serial" },
};

#define FORM_NAMES (sizeof(form_names) / sizeof(form_names[0]))

const char *
leat_form_name(enum leat_form form)
{
	size_t i;

	for (i = 0; i < FORM_NAMES; i++)
		if (form_names[i].form == form)
			return form_names[i].name;
	return "clock";
}

enum leat_form
leat_form_find(struct leat_span word)
{
	size_t i;

	for (i = 0; i < FORM_NAMES; i++)
		if (leat_span_is(word, form_names[i].name))
			return form_names[i].form;
	return (enum leat_form)0;
}
