/*
 * logbook.csv: what was done to the machines, when, by whom, as found and as left.
 *
 * time,asset,event,task,point,found,left,unit,item,who,note: a line an entry, appended by leat-log(1) and never changed.
 * Local times are those of the works.  A line at fault never hides another: it is told and left out.
 */
#ifndef LEAT_UPKEEP_LOGBOOK_H
#define LEAT_UPKEEP_LOGBOOK_H

#include "stream/points.h"
#include "upkeep/event.h"

/* The header of a logbook, without line end. */
#define LEAT_LOGBOOK_HEADER "time,asset,event,task,point,found,left,unit,item,who,note"

/* One entry.  Its spans belong to whoever made it: to the logbook, for those that were read. */
struct leat_log_entry {
	struct leat_time time;
	const struct leat_event *event;
	struct leat_span asset, task, point, found, left, item, who, note;
	const struct leat_unit *unit;	/* of found and left; NULL: none */
	long line;			/* 0: not of a file */
};

struct leat_logbook {
	struct leat_log_entry *entry;	/* in order of time; of one time, in order of their lines */
	size_t count, cap;
	long long later;		/* entries later than now, which are left out */
	long long broken;		/* lines at fault, which are left out */
	bool unbegun;			/* the file is there and has no whole header: a first writing broke off */
	struct leat_table *table;
};

/* Reads a logbook.  now: later entries are ignored and counted; LEAT_TIME_NONE takes all.  A file that is absent (*absent
 * set) or not begun gives no entries.  lines is told of lines at fault, see leat_table_lines; it is borrowed for the call.
 * 0, or -1 with err: it cannot be read, or its header is none. */
int leat_logbook_read(struct leat_logbook *book, const char *path, const struct leat_zone *zone, struct leat_time now,
    const struct leat_table_lines *lines, bool *absent, struct leat_error *err) LEAT_MUST_USE;
/* The same of bytes in memory; name is for messages. */
int leat_logbook_text(struct leat_logbook *book, const char *name, struct leat_span text, const struct leat_zone *zone,
    struct leat_time now, const struct leat_table_lines *lines, struct leat_error *err) LEAT_MUST_USE;
/* The same of any works table that has the columns, as a person's spreadsheet writes it: the first fault is an error. */
int leat_logbook_sheet(struct leat_logbook *book, const char *path, const struct leat_zone *zone,
    struct leat_error *err) LEAT_MUST_USE;
/* The book as it stood at that moment: its entries, which stay its own, up to then.  For judges that learn what is now from
 * the data. */
struct leat_logbook leat_logbook_as_of(const struct leat_logbook *book, struct leat_time now);
void leat_logbook_free(struct leat_logbook *book);

/* What an entry is checked against. */
struct leat_log_rules {
	struct leat_time now;			/* entries are at most a day later; LEAT_TIME_NONE: not checked */
	const struct leat_points *points;	/* the works' own points; borrowed */
};

/* Fills in what goes without saying: the point of the event, the unit of the point. */
void leat_log_entry_complete(struct leat_log_entry *e, const struct leat_points *points);

/* Is it an entry to be logged?  0, or -1 with err, which has the column. */
int leat_log_entry_check(const struct leat_log_entry *e, const struct leat_log_rules *rules, struct leat_error *err)
    LEAT_MUST_USE;

/* The reading that an entry's measurement is: as left, else as found.  An empty span when there is none. */
struct leat_span leat_log_entry_value(const struct leat_log_entry *e);

/* The entry as a line of the logbook, its line end included, at the end of buf.  0, or -1 when memory is out. */
int leat_log_entry_line(struct leat_buf *buf, const struct leat_log_entry *e) LEAT_MUST_USE;

/* Is text no more than the beginning of a header, which a first writing that broke off leaves? */
bool leat_logbook_unbegun(struct leat_span text);

#endif
