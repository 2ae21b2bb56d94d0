/*
 * The archive of readings: a folder with a file YYYY/MM.csv.gz for each month of UTC that has readings.
 *
 * A month is a readings stream of the six columns, one row for each series and time, in order of time, then of asset and
 * point by their bytes.  Its bytes depend on its rows alone.  Files that a killed run left end in .new and count for
 * nothing; what a repair put aside ends in .damaged.
 */
#ifndef LEAT_STREAM_ARCHIVE_H
#define LEAT_STREAM_ARCHIVE_H

#include "base/instant.h"
#include "base/mem.h"
#include "stream/finding.h"
#include "stream/gzip_out.h"
#include "stream/reading.h"
#include "stream/settle.h"

/* Months are counted: year * 12 + month - 1. */
int leat_month_of(struct leat_time t);
struct leat_time leat_month_start(int month);

struct leat_archive {
	char *folder;		/* owned */
	int lock;		/* descriptor that holds the lock, -1: none */
};

/* Takes an archive for reading; the folder must be there.  0, or -1 with err. */
int leat_archive_open(struct leat_archive *a, const char *folder, struct leat_error *err) LEAT_MUST_USE;

/* Takes an archive for writing: makes the folder when it is not there (its parent must be), locks it against a second
 * writer, and removes what a killed run left.  The lock goes with the process.  0, or -1 with err. */
int leat_archive_take(struct leat_archive *a, const char *folder, struct leat_error *err) LEAT_MUST_USE;
void leat_archive_close(struct leat_archive *a);

/* The path of a month's file, with an ending such as "" or ".new".  The caller frees it; NULL when memory is out. */
char *leat_archive_path(const struct leat_archive *a, int month, const char *ending);

enum leat_archive_kind {
	LEAT_ARCHIVE_MONTH,
	LEAT_ARCHIVE_LEFT,	/* of a run that was killed */
	LEAT_ARCHIVE_ASIDE,	/* put aside by a repair */
	LEAT_ARCHIVE_STRAY	/* nothing that belongs here */
};

struct leat_archive_file {
	enum leat_archive_kind kind;
	int month;		/* of the first three kinds */
	char *path;		/* owned by the list */
};

struct leat_archive_list {
	struct leat_archive_file *file;	/* months in order of time, strays in between */
	size_t count, cap;
};

/* What is in the folder; names that begin with a dot are passed over.  A zeroed list is a valid empty one.  0, or -1
 * with err. */
int leat_archive_list(const struct leat_archive *a, struct leat_archive_list *list, struct leat_error *err) LEAT_MUST_USE;
void leat_archive_list_free(struct leat_archive_list *list);

/* Brings the entries of a folder to the disk.  0, or -1 with err. */
int leat_folder_sync(const char *path, struct leat_error *err) LEAT_MUST_USE;

/* ---- Adding ---- */

/* What became of the rows put. */
struct leat_archive_sum {
	long long rows;		/* put */
	long long added;	/* new in the archive */
	long long replaced;	/* took the place of an archived row: more precise, of better quality, or preferred */
	long long known;	/* say what the archive says already, or less well */
	long long repeated;	/* the same among the rows put */
	long long conflicts;	/* differ from the archive or from each other: not stored */
	size_t months, changed;	/* touched; of these with rows added or replaced */
};

/* What differed, of one series, for the findings. */
struct leat_archive_conflict {
	long long rows;
	struct leat_time first, last;
};

/* Private: what a new row says that it supersedes, of the rows of one time. */
struct leat_archive_claim {
	uint32_t series;
	enum leat_quality quality;
	size_t at, len, value_len;	/* in claim_text: what it supersedes, then what it says itself */
};

/* Private: an archived value that another was preferred to. */
struct leat_archive_replaced {
	uint32_t series, unit;
	struct leat_time time;
	size_t at, old_len, new_len;	/* in told: the archived value, then the new one */
};

/* So many replaced values are told one by one. */
#define LEAT_ARCHIVE_TOLD 1000u

/*
 * Rows on their way into an archive that was taken.  Months that get something new are written beside the old ones as
 * the rows come, the others are only read; nothing is changed before the commit, so a run that fails on the
 * way leaves every month as it was.
 */
struct leat_archiver {
	/* Set by the caller, the rest zero. */
	const struct leat_archive *archive;
	const struct leat_readings *in;		/* where the rows come from: the names of its files */
	bool prefer_last;			/* of differing values the new one is taken, not only where it says that it
						 * supersedes the archived one */
	void (*set_aside)(const struct leat_error *err, struct leat_span raw); /* told each row that is not stored */

	struct leat_archive_sum sum;
	bool old_unsound;			/* it was an archived month that could not be read */

	/* Private. */
	struct leat_names assets, points, units;
	struct leat_pairs series;
	struct leat_unit **unit;		/* by number of its text: settle.h tells units apart by address */
	size_t unit_cap;
	uint32_t *from_new, *from_old;		/* by series of the stream: series here, plus 1 */
	size_t from_new_cap, from_old_cap;
	struct leat_settle fresh, both;		/* the rows of one time: new ones, archived and new ones */
	struct leat_archive_order *order;	/* in which the rows of a time are written */
	size_t orders, order_cap;
	struct leat_archive_conflict *conflict;	/* by series */
	size_t conflict_cap;
	int further;				/* the column 'supersedes', plus 1; 0: not looked for yet */
	struct leat_archive_claim *claim;	/* of the time of fresh */
	size_t claims, claim_cap;
	struct leat_buf claim_text;
	struct leat_archive_replaced *replaced;
	size_t replaceds, replaced_cap;
	long long replaced_untold;
	struct leat_buf told;

	int month;				/* being merged; 0: none */
	struct leat_time end;			/* of the month */
	bool changed, had_old;
	bool writing;				/* its new file, which begins with the first row that changes it */
	char *path;				/* of the new file */
	struct leat_gzip *gzip;
	struct leat_buf text;			/* rows not yet compressed */
	struct leat_readings *old;		/* NULL: no more archived rows of the month */
	struct leat_reading old_row;		/* the next of them */
	struct leat_time stamped;		/* the time whose text is in stamp */
	char stamp[LEAT_TIME_MAX];
	size_t stamp_len;
	int *due;				/* months whose new file waits for the commit */
	size_t dues, due_cap;
	bool made_folder;			/* a year's folder was made */
};

/* Takes the next row; rows come in order of time.  0, or -1 with err. */
int leat_archiver_put(struct leat_archiver *w, const struct leat_reading *r, struct leat_error *err) LEAT_MUST_USE;

/* After the last row: every new month is complete on the disk, beside the old one. */
int leat_archiver_finish(struct leat_archiver *w, struct leat_error *err) LEAT_MUST_USE;

/* Puts the new months in the place of the old ones.  0, or -1 with err: then each month is either as it was or as it was
 * to be. */
int leat_archiver_commit(struct leat_archiver *w, struct leat_error *err) LEAT_MUST_USE;

/* One finding for each series that had conflicts, as of time, and, where it is committed, for each archived value that
 * another was preferred to. */
void leat_archiver_findings(const struct leat_archiver *w, struct leat_time time, bool committed,
    void (*emit)(const struct leat_finding *));

/* Removes what was not committed. */
void leat_archiver_free(struct leat_archiver *w);

/* ---- Checking ---- */

struct leat_archive_check {
	void (*fault)(const struct leat_error *err);	/* told each fault, up to LEAT_ARCHIVE_FAULTS a month */
	long long rows, faults;				/* of all months checked */
};

#define LEAT_ARCHIVE_FAULTS 20

/* Reads a month through: whole gzip, header, rows that can be read, in order, of this month, none twice.  0, or -1 when
 * there was a fault. */
int leat_archive_verify(const struct leat_archive_file *file, struct leat_archive_check *check) LEAT_MUST_USE;

/* Restores a month whose file was cut short: its sound rows become the month, the file as it was stays beside with the
 * ending .damaged.  kept is how many rows, last the time of the last (LEAT_TIME_NONE: none, and there is no month any
 * more).  1; 0 when the file was not cut short and is left alone; -1 with err. */
int leat_archive_repair(const struct leat_archive *a, const struct leat_archive_file *file, long long *kept,
    struct leat_time *last, struct leat_error *err) LEAT_MUST_USE;

#endif
