/*
 * Many past nights of a judge in one pass over its readings: what it would have printed had it run in each.
 *
 * At the moment of a night the process forks.  The child has all that the judge knew then, ends as if the readings ended
 * there, with the night as now, and writes its findings to FOLDER/YYYY-MM-DD.JUDGE.csv (beside, then renamed; the date is the
 * works' day, as nightly.sh names its nights).  The parent reads on.
 *
 * A command that goes by the findings of others reads those of the night from the same folder; a night without any is left
 * out.
 */
#ifndef LEAT_CMD_FRONT_NIGHTS_H
#define LEAT_CMD_FRONT_NIGHTS_H

#include "front.h"
#include "stream/finding.h"
#include "stream/nameplate.h"
#include "tell/words.h"

/* Seconds after local midnight at which the nightly job looks, where --night-time does not say. */
#define FRONT_NIGHT_TIME_S (5 * 3600 + 30 * 60)

/* The four judges of readings, for after. */
extern const char *const front_judges[];

/* FRONT_NIGHTS_NONE is what it begins as. */
#define FRONT_NIGHTS_NONE { .from = { INT64_MIN, 0 }, .until = { INT64_MIN, 0 }, .time_s = FRONT_NIGHT_TIME_S }

struct front_nights {
	/* The command sets it: the judges by whose findings it goes, ended by NULL; NULL: by readings alone. */
	const char *const *after;
	bool alone;			/* it has a word of a night without their findings too */

	/* What the options said. */
	const char *folder;		/* NULL: no past nights are asked for */
	struct leat_time from, until;	/* LEAT_TIME_NONE: as the readings begin and end */
	int time_s;			/* of a night, after local midnight */

	/* Private. */
	const struct leat_nameplate *np;
	struct leat_calendar cal;
	const char *judge;		/* the command without "leat-" */
	int64_t date;			/* local date of the next night */
	struct leat_time next;		/* its instant; LEAT_TIME_NONE: not begun */
	struct leat_time last;		/* of the readings seen */
	size_t children, most, written, without;	/* without: left out, as no judge had a word of it */
	bool in_child;
	char *path, *beside;		/* in the child: the file, and where it is written */
};

/* The instant at which the clocks show the time of the night on a local date (days since 1970-01-01): of an hour that
 * comes twice the first, of one that is left out an hour later. */
struct leat_time front_night_instant(const struct leat_calendar *cal, int64_t date, int time_s);

/* Takes an option of past nights: FRONT_FROM, FRONT_NIGHTS, FRONT_NIGHT_TIME or FRONT_UNTIL with its value; false for
 * another. */
bool front_nights_option(struct front_nights *n, int code, const char *value);

/* Checks the options, makes the folder.  np is borrowed.  Ends the program after a message when that fails. */
void front_nights_begin(struct front_nights *n, const struct leat_nameplate *np);

enum front_night {
	FRONT_NIGHT_NONE,		/* go on with the reading */
	FRONT_NIGHT_CHILD,		/* this process is a night: n->cal.now */
	FRONT_NIGHT_NEXT,		/* a night was begun: n->next is the next; ask again */
	FRONT_NIGHT_FAILED		/* reported */
};

/* Before the reading of that time is taken: is a night due?  The first call finds the first night. */
enum front_night front_nights_before(struct front_nights *n, struct leat_time t);
/* After the last reading: nights that are left up to until, else up to the last reading. */
enum front_night front_nights_rest(struct front_nights *n);

/* In the child, where after is set: adds what those judges found that night; of how many there is a file.  What cannot be
 * read fails the night. */
size_t front_nights_findings(const struct front_nights *n, struct leat_findings *findings);

/* In the parent: waits for all nights and says how many were written. */
void front_nights_wait(struct front_nights *n);
/* In the child: puts the findings into place and ends the process. */
void front_nights_leave(struct front_nights *n) __attribute__((noreturn));

#endif
