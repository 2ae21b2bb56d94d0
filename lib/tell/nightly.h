/*
 * The nightly text: tonight's findings against those of an earlier night, as a person reads them in the morning.
 */
#ifndef LEAT_TELL_NIGHTLY_H
#define LEAT_TELL_NIGHTLY_H

#include "tell/compare.h"

/* Columns of the text: fits a mail that is quoted once in 80. */
#define LEAT_NIGHTLY_WIDTH 78

/* How far the readings of a mill reach. */
struct leat_reach {
	struct leat_span mill;
	struct leat_time last;		/* the last reading that says something; LEAT_TIME_NONE: none */
};

enum leat_earlier {
	LEAT_EARLIER_NOT_ASKED,		/* no comparison is wanted */
	LEAT_EARLIER_NONE,		/* there is no earlier night */
	LEAT_EARLIER_UNREADABLE,	/* there is one, or there may be one, and it cannot be read */
	LEAT_EARLIER_READ
};

struct leat_nightly {
	struct leat_calendar cal;
	const struct leat_findings *tonight;
	const char *file;		/* where all of tonight's findings stand, for a reader who wants more; NULL: not in one file */

	enum leat_earlier earlier_status;
	const struct leat_findings *earlier;	/* when LEAT_EARLIER_READ */
	int64_t earlier_day;		/* its works' day, days since 1970-01-01, when LEAT_EARLIER_READ */
	const char *earlier_fault;	/* why, when LEAT_EARLIER_UNREADABLE */

	/* What cannot be told since the data of its mill ended (within the hour before) is folded to one line. */
	bool reach_known;
	const struct leat_reach *reach;	/* by mill, in order of their names */
	size_t reaches;

	struct leat_time since;		/* where no earlier night has them, episodes that ended before are not told;
					 * LEAT_TIME_NONE: all are */
	size_t lines;			/* lines shown of each section, the gravest first */
	int week_day;			/* 0 Monday .. 6: on which standing alerts are listed */
	bool always;			/* say something even when there is nothing to say */
};

/* What the report counted. */
struct leat_nightly_count {
	size_t alarm, alert, unknown, overdue;	/* open and not shelved */
	size_t shelved;			/* open and shelved */
	size_t found;			/* not shelved, and alert, alarm or unknown since then, over or not */
	size_t later;			/* rows later than now, left out */
};

/* Writes the report to page (nothing at all when there is nothing to say, unless always).  page is the caller's, zeroed or
 * reset; count is filled in.  0, or -1 with err when memory is out. */
int leat_nightly_write(const struct leat_nightly *n, struct leat_buf *page, struct leat_nightly_count *count,
    struct leat_error *err) LEAT_MUST_USE;

/* The cautions that end a report which advises work: lines of at most LEAT_NIGHTLY_WIDTH columns, each ending in LF.  The
 * same text stands in docs/cautions.md. */
const char *leat_cautions_report(void);

#endif
