/*
 * Times as other programs write them: what a text could mean, its reading under one form, and the resolving of local
 * times by the order in which they stand.
 *
 * Forms: ISO 8601; day-month-year and month-day-year with '/', '.' or '-'; English month names; Unix time in seconds
 * and milliseconds; spreadsheet serial days of the 1900 system (ECMA-376 part 4, 3.17.4.1, with its false 29 February
 * 1900).  A text is never read under a form that the caller did not ask for.
 *
 * What the forms with a date share: hours have one or two digits, 0..24 (24:00:00 alone at 24) or 1..12 with AM, PM,
 * a.m. or p.m. in any case; seconds may have a fraction behind point or comma, of which digits beyond the ninth are
 * cut; Z, UTC, UT, GMT, +01, +01:00 or +0100 may follow.  Between date and clock stand blanks, a comma and blanks, or
 * T.  The separators of one date are equal; behind a point there may be blanks, and a dotted date may end in one.
 * DMY, MDY and NAMED may begin with an English weekday, which must be that of the date.  Blanks may be no-break ones.
 */
#ifndef LEAT_BASE_FOREIGN_H
#define LEAT_BASE_FOREIGN_H

#include "base/instant.h"
#include "base/zone.h"

/* One bit a form, so that the forms that all cells of a column allow can be intersected. */
enum leat_form {
	LEAT_FORM_ISO = 1,	/* 2025-02-03[T ]04:05[:06[.,789]][Z|+01:00], 2025/02/03, 2025.02.03, 20250203T040506,
				 * and 20250203040506 within 1990..2100 */
	LEAT_FORM_DMY = 2,	/* 03/02/2025 4:05, 3.2.25 04:05:06, 03-02-2025 */
	LEAT_FORM_MDY = 4,	/* 02/03/2025 4:05:06 PM */
	LEAT_FORM_NAMED = 8,	/* 03-Feb-2025 04:05, 3 February 2025, Feb 3, 2025 4:05 PM */
	LEAT_FORM_EPOCH = 16,	/* 1738555506, 1738555506.25: within 1990..2100, point or comma decimal */
	LEAT_FORM_EPOCH_MS = 32,/* 1738555506250: within 1990..2100, likewise */
	LEAT_FORM_SERIAL = 64,	/* 45691.1702083: 61..73050 (1900-03-01..2099-12-31), point or comma decimal */
	LEAT_FORM_CLOCK = 128	/* 04:05[:06[.789]] [AM|PM]: a time of day alone, for date and time in two columns */
};

/* What a text says.  Either an instant (epoch, or an offset was given), or civil date and/or clock in some zone. */
struct leat_foreign {
	bool is_instant;
	struct leat_time instant;	/* when is_instant */
	bool has_date, has_clock;
	struct leat_civil civil;	/* 24:00:00 is already 00:00:00 of the next day; without a date, day is 1 when
					 * it was 24:00:00 and the date beside it is to be moved on, else 0 */
	bool dotted;			/* the date's separator was '.' */
};

/* All forms under which the text (outer blanks ignored) is valid, as a set of bits; 0 when it is no time.  Years have
 * 4 digits, or 2 (69..99 are 19xx) with DMY, MDY and NAMED.  A bare whole number of four or fewer digits is no serial
 * unless it has a fraction: it is too likely a value. */
unsigned leat_foreign_forms(struct leat_span text);

/* Reads text under exactly one form.  0, or -1. */
int leat_foreign_parse(struct leat_span text, enum leat_form form, struct leat_foreign *out) LEAT_MUST_USE;

/* Puts a date and the clock of another column together.  The date may have a clock of its own only where that shows
 * midnight, as spreadsheets write plain dates.  out may be date or clock.  0, or -1 when they are not such a pair. */
int leat_foreign_join(const struct leat_foreign *date, const struct leat_foreign *clock,
    struct leat_foreign *out) LEAT_MUST_USE;

/* "iso", "dmy", "mdy", "named", "epoch", "epoch-ms", "serial": the words of sources.csv and --dates.  LEAT_FORM_CLOCK
 * is named "clock", which is not one of those words.  find returns 0 for an unknown word. */
const char *leat_form_name(enum leat_form form);
enum leat_form leat_form_find(struct leat_span word);

/* Where a sequence of local stamps has come to; zero it (with zone set) before the first. */
struct leat_local_clock {
	const struct leat_zone *zone;	/* borrowed */
	bool started;
	struct leat_time last;		/* the last instant resolved */
	bool certain;			/* last was not a guess */
	bool stepped;			/* last is one overlap behind a certain instant, and so a guess */
};

enum leat_local {
	LEAT_LOCAL_OK,
	LEAT_LOCAL_GUESSED,		/* in the hour that comes twice, and order does not tell which */
	LEAT_LOCAL_GAP			/* a local time that never was */
};

/* Resolves one local stamp and moves the clock on.  In the repeated hour: the candidate that is not before the last
 * instant when only one is; the first when it follows the last certain instant by no more than half the overlap; else
 * the first, LEAT_LOCAL_GUESSED.  On LEAT_LOCAL_GAP *out is unset and the clock does not move. */
enum leat_local leat_local_resolve(struct leat_local_clock *clock, const struct leat_civil *civil,
    struct leat_time *out);

#endif
