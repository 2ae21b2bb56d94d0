/*
 * Value cells: numbers in every usual way of writing, and what a cell gives away about its file's marks.
 *
 * Nearly every cell is a plain decimal, which is only copied.  All others are taken apart into digits and marks
 * first, and what the marks mean is decided after that: by the form, or as evidence for it.
 */
#include <string.h>

#include "base/number.h"
#include "base/units.h"
#include "base/word.h"
#include "stream/export_private.h"

#define MANTISSA_MAX 300	/* bytes of digits and marks; longer texts are no measured value */

/* A number taken apart.  "-1 234,50E+2 bar" has the marks ' ' and ','. */
struct parts {
	enum leat_cell kind;		/* NUMBER, BELOW, ABOVE */
	bool negative;
	const char *digits, *end;	/* the mantissa with its marks */
	int marks;
	char group;			/* the mark before the last; 0: there is at most one */
	bool groups;			/* all groups between marks have three digits, the first one to three */
	char last;			/* the last mark; 0: none */
	size_t lead;			/* digits before the first mark */
	size_t tail;			/* digits behind the last mark */
	struct leat_span exponent;	/* "E+2" or empty */
	struct leat_span unit;
};

static inline bool
is_digit(char c)
{
	return c >= '0' && c <= '9';
}

static size_t
digits_at(const char *p, const char *end)
{
	const char *start = p;

	while (p < end && is_digit(*p))
		p++;
	return (size_t)(p - start);
}

/* The kinds of blank (U+0020, U+00A0, U+2009, U+202F) and apostrophe (U+0027, U+2019) that part thousands.  *len gets
 * the mark's bytes.  0 when there is none. */
static char
mark_at(const char *p, const char *end, size_t *len)
{
	static const struct {
		const char *bytes;
		char mark;
	} wide[] = {
		{ "\xc2\xa0", ' ' }, { "\xe2\x80\x89", ' ' }, { "\xe2\x80\xaf", ' ' }, { "\xe2\x80\x99", '\'' }
	};
	size_t i;

	*len = 1;
	if (p == end)
		return 0;
	if (*p == '.' || *p == ',' || *p == '\'' || *p == ' ')
		return *p;
	for (i = 0; i < sizeof(wide) / sizeof(wide[0]); i++) {
		*len = strlen(wide[i].bytes);
		if ((size_t)(end - p) >= *len && memcmp(p, wide[i].bytes, *len) == 0)
			return wide[i].mark;
	}
	return 0;
}

/* Takes the sign and the sign of a detection limit off the front. */
static const char *
read_front(struct parts *n, const char *p, const char *end)
{
	n->kind = LEAT_CELL_NUMBER;
	if (p < end && (*p == '<' || *p == '>')) {
		n->kind = *p == '<' ? LEAT_CELL_BELOW : LEAT_CELL_ABOVE;
		p++;
		if (p < end && *p == '=')
			p++;
		while (p < end && *p == ' ')
			p++;
	}
	if (p < end && (*p == '-' || *p == '+'))
		n->negative = *p++ == '-';
	else if (end - p > 3 && memcmp(p, "\xe2\x88\x92", 3) == 0) {	/* U+2212, the minus of several locales */
		n->negative = true;
		p += 3;
	}
	return p;
}

/* Reads digits and marks.  -1 when they cannot be a number under any form. */
static int
read_mantissa(struct parts *n, const char *p, const char *end)
{
	size_t count, len;
	char mark;

	n->digits = p;
	n->groups = true;
	count = digits_at(p, end);
	n->lead = count;
	p += count;
	while ((mark = mark_at(p, end, &len)) != 0) {
		count = digits_at(p + len, end);
		/* A blank before anything but three digits ends the number: a unit may follow.  Only a decimal mark
		 * may have no digits behind it, at the very end. */
		if (mark == ' ' && count != 3)
			break;
		if (count == 0 && (mark == '\'' || n->lead == 0 || p + len != end))
			return -1;
		n->marks++;
		if (n->marks > 1) {
			if (n->marks > 2 && n->group != n->last)
				return -1;
			n->group = n->last;
			n->groups = n->groups && n->tail == 3;
		}
		n->last = mark;
		n->tail = count;
		p += len + count;
	}
	n->groups = n->groups && n->lead >= 1 && n->lead <= 3;
	n->end = p;
	return n->lead + n->tail == 0 || p - n->digits > MANTISSA_MAX ? -1 : 0;
}

/* Takes "E+2" off; a letter behind it makes it part of a unit instead. */
static const char *
read_exponent(struct parts *n, const char *p, const char *end)
{
	const char *q = p;
	size_t count;

	if (q == end || (*q != 'e' && *q != 'E'))
		return p;
	q++;
	if (q < end && (*q == '-' || *q == '+'))
		q++;
	count = digits_at(q, end);
	if (count == 0)
		return p;
	n->exponent = leat_span_make(p, (size_t)(q + count - p));
	return q + count;
}

/* Takes a cell apart.  -1 when it is no number under any form. */
static int
take_apart(struct parts *n, struct leat_span cell)
{
	const char *end = cell.ptr + cell.len;
	const char *p;

	memset(n, 0, sizeof(*n));
	p = read_front(n, cell.ptr, end);
	if (read_mantissa(n, p, end) != 0)
		return -1;
	p = read_exponent(n, n->end, end);
	n->unit = leat_span_trim_wide(leat_span_make(p, (size_t)(end - p)));
	if (n->unit.len == 0)
		return 0;
	/* A number behind a number is no unit, though "1" is one in a table of units; "1/min" is.  No unit begins as
	 * what stands behind the first number of a date or a time of day. */
	if (digits_at(n->unit.ptr, end) == n->unit.len || *n->unit.ptr == '-' || *n->unit.ptr == ':' ||
	    leat_unit_find(n->unit) == NULL)
		return -1;
	return 0;
}

/* What the marks must mean, whatever the form.  -1 when they can mean nothing. */
static int
judge(const struct parts *n, struct leat_marks *m)
{
	bool last_decimal = n->last == '.' || n->last == ',';

	if (n->marks == 0)
		return 0;
	if (n->marks > 1 && n->group == n->last) {
		if (!n->groups || n->tail != 3 || n->exponent.len > 0)
			return -1;
		m->thousands = n->last;
		if (last_decimal)
			m->decimal = n->last == '.' ? ',' : '.';
		return 0;
	}
	if (n->marks > 1) {
		if (!n->groups || !last_decimal)
			return -1;
		m->thousands = n->group;
		m->decimal = n->last;
		return 0;
	}
	if (!last_decimal) {
		m->thousands = n->last;
		return n->groups && n->tail == 3 && n->exponent.len == 0 ? 0 : -1;
	}
	if (n->groups && n->tail == 3 && n->exponent.len == 0 && *n->digits != '0')
		m->doubtful = n->last;
	else
		m->decimal = n->last;
	return 0;
}

/* The marks of a number that is digits with a point or comma or none between them, as nearly all are.  False when the
 * cell is not such a number. */
static bool
plain_marks(struct leat_span cell, struct leat_marks *m)
{
	const char *end = cell.ptr + cell.len;
	const char *p = cell.ptr + (*cell.ptr == '-');
	size_t lead = digits_at(p, end), tail;
	const char *mark = p + lead;

	if (lead == 0 || cell.len > MANTISSA_MAX)
		return false;
	m->number = true;
	if (mark == end)
		return true;
	tail = digits_at(mark + 1, end);
	if ((*mark != '.' && *mark != ',') || tail == 0 || mark + 1 + tail != end)
		return false;
	if (lead <= 3 && tail == 3 && *p != '0')
		m->doubtful = *mark;
	else
		m->decimal = *mark;
	return true;
}

struct leat_marks
leat_export_marks(struct leat_span cell)
{
	static const struct leat_marks none = { false, 0, 0, 0 };
	struct leat_marks m = none;
	struct parts n;

	cell = leat_export_trim(cell);
	if (cell.len == 0 || ((cell.ptr[0] | 0x20) >= 'a' && (cell.ptr[0] | 0x20) <= 'z'))
		return none;
	if (plain_marks(cell, &m))
		return m;
	m = none;
	if (take_apart(&n, cell) != 0 || judge(&n, &m) != 0)
		return none;
	m.number = true;
	return m;
}

/* Writes the number with a point and without thousands marks; decimal: its last mark is the decimal mark. */
static size_t
write_plain(char *dst, const struct parts *n, bool decimal)
{
	const char *last = n->end - n->tail;
	const char *p;
	size_t len = 0;

	if (n->negative)
		dst[len++] = '-';
	if (n->lead == 0)
		dst[len++] = '0';
	for (p = n->digits; p < n->end; p++) {
		if (decimal && p == last && n->tail > 0)
			dst[len++] = '.';
		if (is_digit(*p))
			dst[len++] = *p;
	}
	return len;
}

/* Writes the number out without its exponent.  0 when that is beyond what a reading can hold. */
static size_t
write_exponent(char *dst, size_t len, const struct parts *n)
{
	struct leat_number number;

	if (len + n->exponent.len >= LEAT_NUMBER_MAX)
		return 0;
	memcpy(dst + len, n->exponent.ptr, n->exponent.len);
	if (leat_number_parse(leat_span_make(dst, len + n->exponent.len), &number) != 0)
		return 0;
	return leat_number_plain(dst, &number);
}

/* Every number that is not a plain decimal. */
static enum leat_cell
read_odd(const struct leat_export_form *form, struct leat_span cell, char *dst, size_t *len, struct leat_span *unit)
{
	struct leat_marks m = { false, 0, 0, 0 };
	char decimal = form->decimal != 0 ? form->decimal : '.';
	struct parts n;
	bool is_decimal;

	if (take_apart(&n, cell) != 0 || judge(&n, &m) != 0)
		return LEAT_CELL_TEXT;
	if ((m.decimal != 0 && m.decimal != decimal) || m.thousands == decimal)
		return LEAT_CELL_TEXT;
	/* Where no thousands mark is established, one that leaves no doubt serves. */
	if (m.thousands != 0 && form->thousands != 0 && m.thousands != form->thousands)
		return LEAT_CELL_TEXT;
	if (m.doubtful != 0 && m.doubtful != decimal && m.doubtful != form->thousands)
		return LEAT_CELL_TEXT;
	is_decimal = n.last != 0 && n.last == decimal;
	*len = write_plain(dst, &n, is_decimal);
	if (n.exponent.len > 0)
		*len = write_exponent(dst, *len, &n);
	dst[*len] = '\0';
	if (*len == 0)
		return LEAT_CELL_TEXT;
	*unit = n.unit;
	return n.kind;
}

/* A plain decimal of 1 to 8 characters in one word: it is copied, with a point.  False for all else. */
static inline bool
copy_word(struct leat_span cell, char decimal, char *dst)
{
	uint64_t word = leat_word_short(cell.ptr, cell.len), plain = word, mark;
	size_t digits = cell.len;

	if ((char)word == '-') {
		plain >>= 8;
		digits--;
	}
	mark = leat_word_equal(plain, decimal);
	if (mark != 0) {
		size_t at = leat_word_first(mark);

		/* No digit is lost by the shift, and at least one stands on each side. */
		if (at == 0 || at + 1 == digits)
			return false;
		word ^= (uint64_t)(unsigned char)(decimal ^ '.') << (8 * (at + (cell.len - digits)));
		plain = leat_word_cut(plain, mark);
		digits--;
	}
	if (digits == 0 || !leat_word_are_digits(leat_word_digits(plain, digits)))
		return false;
	leat_word_store(dst, word);
	dst[cell.len] = '\0';
	return true;
}

enum leat_cell
leat_export_cell(const struct leat_export_form *form, struct leat_span cell, char *dst, size_t *len,
    struct leat_span *unit)
{
	char decimal = form->decimal != 0 ? form->decimal : '.';
	const char *p = cell.ptr;
	const char *end = p + cell.len;
	size_t whole, count, at;

	*unit = leat_span_make(NULL, 0);
	if (cell.len - 1 < sizeof(uint64_t) && copy_word(cell, decimal, dst)) {
		*len = cell.len;
		return LEAT_CELL_NUMBER;
	}
	dst[0] = '\0';
	*len = 0;
	if (cell.len == 0)
		return LEAT_CELL_TEXT;
	if (cell.len <= MANTISSA_MAX) {
		if (*p == '-')
			p++;
		whole = digits_at(p, end);
		at = (size_t)(p - cell.ptr) + whole;
		count = at < cell.len && cell.ptr[at] == decimal ? digits_at(cell.ptr + at + 1, end) : 0;
		/* One to three digits, a mark and three digits is plain here too: the form says what its mark is. */
		if (whole > 0 && at + (count > 0 ? count + 1 : 0) == cell.len) {
			memcpy(dst, cell.ptr, cell.len);
			if (count > 0)
				dst[at] = '.';
			dst[cell.len] = '\0';
			*len = cell.len;
			return LEAT_CELL_NUMBER;
		}
	}
	return read_odd(form, leat_span_trim_wide(cell), dst, len, unit);
}
