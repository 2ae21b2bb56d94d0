/*
 * Flood control: the rows of a night's findings folded to what a person should read.
 *
 * Rows of one identity (asset, point, rule) become one item with the number of its episodes, their length in all and the
 * worst value.  Items of one mill, rule, status and start become one line that names them; so do, whatever their rules,
 * those that cannot be told since the same minute, those that are in order again, and those that are lost because the
 * data of their mill have ended: one cause is one thing to read.
 */
#ifndef LEAT_TELL_FOLD_H
#define LEAT_TELL_FOLD_H

#include "stream/finding.h"

/* Where an item stands in the report, in the order in which the sections come. */
enum leat_section {
	LEAT_SECTION_NEW,		/* not known from the earlier night, over or not */
	LEAT_SECTION_WORSE,		/* risen from alert to alarm, or farther beyond its limit */
	LEAT_SECTION_STILL,
	LEAT_SECTION_CLEARED,		/* open in the earlier night; an ok row or an end says that it is over */
	LEAT_SECTION_GONE,		/* open in the earlier night, and absent tonight: no longer judged */
	LEAT_SECTION_UNKNOWN,		/* cannot tell */
	LEAT_SECTION_OVERDUE,		/* open, and its do-by date has passed */
	LEAT_SECTION_DATA,		/* about the data rather than the machine */
	LEAT_SECTION_SHELVED,
	LEAT_SECTION_STANDING,		/* an alert that stands unchanged, or what could not be told for days: counted, listed
					 * once a week */
	LEAT_SECTION_NONE		/* nothing to say: in limits, or told the night before */
};

/* One identity.  All spans and rows are borrowed from the findings. */
struct leat_item {
	const struct leat_finding *row;		/* the open row, else the last that ended, else the ok row */
	const struct leat_finding *ok;		/* the newest row that says ok and is no episode; NULL: none */
	const struct leat_finding *worst;	/* of the episodes, the row farthest beyond its limit; NULL: no episode */
	struct leat_span mill;
	bool open;				/* not ok, and no end */
	bool shelved;				/* row is put aside until later than now */
	bool found;				/* some row is not ok and not shelved */
	size_t episodes;			/* 0: no more than an ok row */
	double total_s;				/* length of all episodes, of the open one up to now */
	struct leat_time first;			/* start of the first episode; LEAT_TIME_NONE: not known */
	struct leat_time since;			/* start of the last episode; LEAT_TIME_NONE: not known */
	struct leat_time until;			/* end of the last episode; LEAT_TIME_NONE: open */
	struct leat_time ended;			/* end of the last one that is over; LEAT_TIME_NONE: none is */

	/* Filled in by leat_compare. */
	enum leat_section section;
	const struct leat_item *earlier;	/* the same identity in the earlier night; NULL: none */
	bool unshelved;				/* its shelf has ended since the earlier night */

	bool lost;				/* cannot be told because the data of its mill have ended; see nightly.h */

	/* Filled in by leat_group; all NULL and 0 where no finding names another. */
	struct leat_item *head;			/* below which it stands; NULL: by itself */
	const struct leat_item *cause;		/* what explains it and stands elsewhere; NULL: nothing */
	size_t members;				/* items that stand below it, ... */
	int gravest;				/* ... and the gravest rank of it and them */
	const struct leat_finding *cost;	/* the dearest finding that says what waiting with it costs; NULL: none */
	const struct leat_finding *top;		/* the dearest of it and its members; NULL: none */

	int mill_rank;				/* gravest rank of the mill within the section */
	int first_rank;				/* its rank where anything of the section has a cost, else 0: what comes first */
};

struct leat_items {
	struct leat_item *item;		/* owned; ordered by mill, asset, point, rule */
	size_t count, cap;
	size_t later;			/* rows left out because they are later than now */
};

/* Which episodes that are over are to be told.  An export ends hours before its night is judged, so what ended in those
 * hours is first seen the night after: by the clock it is old, and nobody has told it.  Where there is an earlier night,
 * it says what has been told. */
struct leat_window {
	struct leat_time since;			/* those that ended then or later; LEAT_TIME_NONE: all */
	const struct leat_items *earlier;	/* NULL, or: those that this night has not seen end, whenever they ended, ... */
	struct leat_time unknown_since;		/* ... and of identities that it lacks, those that ended then or later */
};

/* Folds rows to items.  Rows later than now are left out and counted; an end later than now counts as open; episodes that
 * window (NULL: all are in it) leaves out are left out; a row that comes twice counts once.  0, or -1 with err when
 * memory is out. */
int leat_items_make(struct leat_items *items, const struct leat_findings *rows, struct leat_time now,
    const struct leat_window *window, struct leat_error *err) LEAT_MUST_USE;

/* The item of the same identity, or NULL. */
const struct leat_item *leat_items_find(const struct leat_items *items, const struct leat_item *like);
void leat_items_free(struct leat_items *items);

/* By how much the value lies beyond its limit, in the row's unit, at least 0; -1 when it or the limit is no number. */
double leat_finding_excess(const struct leat_finding *f);

/* How grave an item is: 0 alarm, 1 alert, 2 cannot tell, 3 over. */
int leat_item_rank(const struct leat_item *item);

/* Does its rule keep an item apart from others of its mill and minute?  What cannot be told and what is in order again
 * have one cause whatever the rules that say so: a dead sensor takes all judgements of its point with it. */
bool leat_item_by_rule(const struct leat_item *item);

/* Lines: neighbours in order[] that fold to one. */
struct leat_line {
	size_t first, count;		/* order[first] .. order[first + count - 1] */
	int rank;			/* the gravest of its items and what stands below them */
};

struct leat_lines {
	struct leat_item **order;	/* owned array of borrowed items: by mill, the mill with the gravest first, ... */
	struct leat_line *line;		/* owned */
	size_t count;
};

/* The lines of one section, without what stands below others.  Where anything of it has a cost, what is gravest comes
 * first whatever its mill, and of equals what costs most to wait for.  0, or -1 with err when memory is out. */
int leat_fold(struct leat_lines *lines, struct leat_items *items, enum leat_section section, struct leat_error *err)
    LEAT_MUST_USE;
/* The lines that stand below an item, likewise. */
int leat_fold_members(struct leat_lines *lines, struct leat_items *items, const struct leat_item *head,
    struct leat_error *err) LEAT_MUST_USE;
void leat_lines_free(struct leat_lines *lines);

/* Marks in shown[] (one a line) the limit gravest lines, the first among equals.  Returns how many are left out. */
size_t leat_lines_choose(const struct leat_lines *lines, size_t limit, bool *shown);

#endif
