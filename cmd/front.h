/*
 * The front end of every command: messages, the exit ledger, shared options, opening and closing.  Only this floor talks
 * to the user, exits, and reads the environment and the clock.
 *
 * Exit status: 0 done; 1 done, and with -e something not shelved is alert, alarm or unknown; 2 could not do it.  The
 * ledger only rises, and reporting an error raises it in the same call.
 */
#ifndef LEAT_CMD_FRONT_H
#define LEAT_CMD_FRONT_H

#include <getopt.h>

#include "base/error.h"
#include "base/instant.h"
#include "stream/finding.h"
#include "stream/out.h"
#include "stream/reading.h"

#define FRONT_OK 0
#define FRONT_FOUND 1
#define FRONT_FAILED 2

/* Long options without a letter; commands number their own from FRONT_OWN. */
enum front_code {
	FRONT_CLOCK = 256,	/* --now */
	FRONT_SUMMARY,
	FRONT_FINDINGS,		/* --findings of the readers */
	FRONT_MAX_REJECTS,
	FRONT_SINCE,
	FRONT_EXPLAIN,
	FRONT_ONLY,		/* --only of the derive filters */
	FRONT_FROM,		/* past nights of the judges */
	FRONT_NIGHTS,
	FRONT_NIGHT_TIME,
	FRONT_UNTIL,
	FRONT_PRINT_DEFAULTS,
	FRONT_TABLE,		/* --limits and so on: a table from another file than the works folder */
	FRONT_CONFIRM = FRONT_TABLE,
	FRONT_LIMITS,
	FRONT_LOGBOOK,
	FRONT_MODES,
	FRONT_NAMEPLATE,
	FRONT_OIL,
	FRONT_PARTS,
	FRONT_POINTS,
	FRONT_PRECHARGES,
	FRONT_SHELVED,
	FRONT_SOURCES,
	FRONT_STOPS,
	FRONT_TASKS,
	FRONT_TRENDS,
	FRONT_OWN
};

/* What the shared options said.  Each command lists those that it has in its own option table (alphabetical, so that
 * the table, the help text and the man page can be compared) and hands every letter it does not know to front_option. */
struct front_options {
	const char *works;		/* -w or LEAT_WORKS; NULL when neither is given */
	bool quiet, summary;		/* -q, --summary */
	bool all, exit_status;		/* -a, -e */
	bool now_data;			/* --now data */
	bool now_given;
	struct leat_time now;		/* --now TIME */
	const char *rejects;		/* -r FILE */
	const char *findings;		/* --findings FILE */
	double max_rejects;		/* a share 0..1 when max_is_share, else a count */
	bool max_is_share;
	struct leat_duration since;	/* --since P1D, before now */
	struct leat_time since_time;	/* --since TIME, or LEAT_TIME_NONE */
	bool explain;			/* --explain[=ASSET/POINT] */
	const char *explain_what;	/* NULL: everything */
	bool only;			/* --only */
	const char *table[FRONT_OWN - FRONT_TABLE];	/* by code - FRONT_TABLE */
};

extern struct front_options front_opt;

/* First call in main: the program's name and its full help text (printed by --help, and named by misuse). */
void front_start(const char *name, const char *help);

/* Adds a list of long options (NULL: none) to another one that ends at count and has room for FRONT_OPTIONS_MAX; returns the
 * new end. */
#define FRONT_OPTIONS_MAX 48
size_t front_options_add(struct option *longs, size_t count, const struct option *more);

/* Handles a shared option, or '?' and ':' of getopt_long (with misuse).  Exits for -h and -V. */
void front_option(int code, char *const argv[]);

/* Prints "NAME: TEXT" and a pointer to --help on stderr and exits with 2. */
void front_misuse(const char *fmt, ...) LEAT_PRINTF(1, 2) __attribute__((noreturn));

/* Messages on stderr, each a line "NAME: TEXT".  note is silent under -q; warn is not; fail and error raise the ledger
 * to FRONT_FAILED.  summary prints only under --summary. */
void front_note(const char *fmt, ...) LEAT_PRINTF(1, 2);
void front_warn(const char *fmt, ...) LEAT_PRINTF(1, 2);
void front_warn_text(const char *text);		/* for the library's own warnings */
void front_fail(const char *fmt, ...) LEAT_PRINTF(1, 2);
void front_error(const struct leat_error *err);
void front_summary(const char *fmt, ...) LEAT_PRINTF(1, 2);

void front_raise(int status);

/* Has anything failed so far? */
bool front_failed(void);

/* A strict number for an option: a whole number min..max, or misuse naming the option. */
long front_int(const char *option, const char *text, long min, long max);

/* Now: --now TIME, else the clock (read once). Not to be called before the input's end under --now data: then the
 * command passes the last time stamp of its input to front_set_now first. */
struct leat_time front_now(void);
void front_set_now(struct leat_time now);

/* The start of the --since window (default P1D) before front_now(). */
struct leat_time front_since(void);

/* The works folder: checks that it exists when given (exit 2 otherwise). front_table gives the path of a works table:
 * its option, else WORKS/NAME.csv, else NULL when there is no works; the text lives as long as the program.
 * front_absent says under --summary that a table was absent. */
void front_works_check(void);
const char *front_table(enum front_code code);
void front_absent(const char *path);

/* Standard output as a leat_out, opened once. */
struct leat_out *front_stdout(void);

/* Rejected rows: written to -r FILE as CSV (file,line,column,reason,raw), counted, and compared with --max-rejects at the
 * end.  The first few are said on stderr too (not under -q). */
void front_reject(const struct leat_error *err, struct leat_span raw);
/* A reading set aside though its row is sound (a conflict): written and said as a rejected row, but counted apart. */
void front_set_aside(const struct leat_error *err, struct leat_span raw);
long long front_rejected(void);
/* After the input's end: total is all rows, good and rejected. Over the limit: message, FRONT_FAILED. */
void front_rejects_end(long long total);
/* The same limit for what was set aside, with its own total. */
void front_set_aside_end(long long count, long long total);

/* The next reading, rejects dealt with: true, or false at the end or after a failure (reported). */
bool front_reading(struct leat_readings *in, struct leat_reading *r);

/* Opens the readings of the operands (argc - optind of them); exits with 2 after a message when that fails. */
struct leat_readings *front_readings(int argc, char *const argv[]);

/* Findings about the data itself, for --findings FILE of the readers: collected and written beside their target, then
 * renamed, by front_end.  The texts are copied.  Without the option they are dropped. */
void front_data_finding(const struct leat_finding *f);

/* Last call in main: flushes and closes stdout, writes what is due, and returns the exit status.  A closed pipe ends
 * quietly; a failed write is said and is 2. */
int front_end(void);

#endif
