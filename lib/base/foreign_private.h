/*
 * What the files that read foreign times share: a place in a text, and the readers of its parts.
 *
 * Each reader moves the place behind what it took.  After a failure the place is of no use.
 */
#ifndef LEAT_BASE_FOREIGN_PRIVATE_H
#define LEAT_BASE_FOREIGN_PRIVATE_H

#include "base/foreign.h"

struct leat_scan {
	const char *p, *end;
};

static inline bool
leat_scan_digit(const struct leat_scan *s)
{
	return s->p < s->end && *s->p >= '0' && *s->p <= '9';
}

static inline bool
leat_scan_take(struct leat_scan *s, char c)
{
	if (s->p == s->end || *s->p != c)
		return false;
	s->p++;
	return true;
}

/* Skips blanks, tabs and no-break blanks (U+00A0, U+2009, U+202F).  Returns whether there was any. */
bool leat_scan_blanks(struct leat_scan *s);

/* Reads the number that min to max digits in a row make, no further digit following.  The count of digits, or -1. */
int leat_scan_number(struct leat_scan *s, int min, int max, int *out);

/* Takes the letters at the place, which may be none. */
struct leat_span leat_scan_word(struct leat_scan *s);

/* What a date says beside its day. */
struct leat_foreign_date {
	int year, month, day;
	bool dotted;		/* separated by '.' */
	bool basic;		/* eight digits in a row */
};

/* Reads a valid date under ISO, DMY, MDY or NAMED, after the name of its weekday if there is one (not under ISO); a
 * weekday that is not the date's is a failure.  0 or -1. */
int leat_foreign_date(struct leat_scan *s, enum leat_form form, struct leat_foreign_date *out) LEAT_MUST_USE;

/* Reads h:mm[:ss[.fraction]] [AM|PM] into c's time of day; basic: hhmm[ss[.fraction]].  24:00 becomes 0:00 with
 * *next_day.  0 or -1. */
int leat_foreign_clock(struct leat_scan *s, bool basic, struct leat_civil *c, bool *next_day) LEAT_MUST_USE;

/* Reads what stands for a zone behind a clock: Z, UTC, UT, GMT, +01, +01:00, +0100.  1 when there was one, 0 when
 * there is none, -1 when it is broken. */
int leat_foreign_east(struct leat_scan *s, int32_t *east) LEAT_MUST_USE;

#endif
