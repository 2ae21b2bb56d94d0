/*
 * The nightly text: tonight's findings against those of an earlier night, as a person reads them in the morning.
 */
#ifndef LEAT_TELL_NIGHTLY_H
#define LEAT_TELL_NIGHTLY_H

#include "stream/nameplate.h"
#include "tell/compare.h"
#include "tell/gallery.h"
#include "tell/page.h"

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
	struct leat_span works;		/* what the works is called; empty: not known */
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

	struct leat_gallery *gallery;	/* pictures for LEAT_PAGE_HTML; NULL: none */
};

/* What the report counted. */
struct leat_nightly_count {
	size_t alarm, alert, unknown, overdue;	/* open and not shelved */
	size_t shelved;			/* open and shelved */
	size_t found;			/* not shelved, and alert, alarm or unknown since then, over or not */
	size_t later;			/* rows later than now, left out */
};

/* Fills in the calendar of a works for a moment, from its nameplate.  0, or -1 with err where its day-start is no time of
 * day. */
int leat_nightly_calendar(struct leat_calendar *cal, const struct leat_nameplate *np, struct leat_time now,
    struct leat_error *err) LEAT_MUST_USE;

/* Compares with the newest night in folder before that of n->cal: reads it into findings (zeroed; freed by the caller) and
 * fills in n->earlier and so on.  Where there is none, or it cannot be read, n says so; earlier_fault is kept in fault.
 * path (NULL: there is none) is the file read, for the caller to free. */
void leat_nightly_earlier(struct leat_nightly *n, const char *folder, struct leat_findings *findings, char fault[1024],
    char **path);

/* Writes the report to page (nothing at all when there is nothing to say, unless always), as text or in HTML.  page is the
 * caller's, zeroed or reset; count (NULL: not wanted) is filled in.  0, or -1 with err when memory is out. */
int leat_nightly_write(const struct leat_nightly *n, enum leat_page_form form, struct leat_buf *page,
    struct leat_nightly_count *count, struct leat_error *err) LEAT_MUST_USE;

/* Adds the first line of the report, unwrapped and without a line end.  0, or -1 with err when memory is out. */
int leat_nightly_verdict(const struct leat_nightly *n, struct leat_buf *buf, struct leat_error *err) LEAT_MUST_USE;

/* The cautions that end a report which advises work: lines of at most LEAT_NIGHTLY_WIDTH columns, each ending in LF.  The
 * same text stands in docs/cautions.md. */
const char *leat_cautions_report(void);

#endif
