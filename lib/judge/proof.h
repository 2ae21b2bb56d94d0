/*
 * The proof of a works folder by day: every table is checked as the commands would by night, and one against another.
 *
 * A fault is what a command that reads the table would refuse with status 2: it comes from the table's own reader, which
 * is asked again without the line at fault until it is content, so that every line at fault is told.  A warning is what
 * reads well and yet cannot do what it is there for, such as a limit that no point of the works has.  Where a table has
 * no reader yet, its columns are checked by their types.  The folder alone is looked at, never a reading.
 */
#ifndef LEAT_JUDGE_PROOF_H
#define LEAT_JUDGE_PROOF_H

#include "base/error.h"
#include "base/instant.h"

/* Remarks kept of one table; further ones are counted only. */
#define LEAT_PROOF_KEPT 200u

struct leat_proof;

struct leat_proof_remark {
	struct leat_error what;		/* file, line (0: none), column ("": none), text, value */
	bool fault;			/* else a warning */
};

/* What came of one table. */
struct leat_proof_table {
	const char *name;		/* "limits.csv"; "nightly.conf"; "procedures"; "the folder" */
	bool absent;
	long long rows;			/* -1: no table, but the folder */
	long long faults, warnings;
};

/* works: the folder, borrowed; NULL: none, and every table is absent but those that instead names.  now: entries later
 * than it, and shelves that ended before it, are told.  NULL when memory is out. */
struct leat_proof *leat_proof_new(const char *works, struct leat_time now);

/* Takes another file (borrowed) in place of the works' table of that name, such as "limits"; it must exist. */
void leat_proof_instead(struct leat_proof *proof, const char *table, const char *path);

/* Checks all.  0, or -1 with err: memory is out. */
int leat_proof_run(struct leat_proof *proof, struct leat_error *err) LEAT_MUST_USE;

/* The remarks, table by table, by line; NULL past the end. */
const struct leat_proof_remark *leat_proof_remark_at(const struct leat_proof *proof, size_t index);
/* The tables in the order in which they are checked; NULL past the end. */
const struct leat_proof_table *leat_proof_table_at(const struct leat_proof *proof, size_t index);
void leat_proof_free(struct leat_proof *proof);

#endif
