/*
 * What leat-select is asked for, and further such selections of the same rows, each written to a file of its own.
 */
#ifndef LEAT_CMD_FRONT_ALSO_H
#define LEAT_CMD_FRONT_ALSO_H

#include "base/period.h"
#include "front.h"
#include "stream/select.h"
#include "stream/thin.h"

/* What the options of one selection say. */
struct front_asked {
	struct leat_select select;
	const char *last;		/* the option's text; NULL: not given */
	struct leat_duration back;
	const char *thin;		/* the option's text; NULL: not given */
	struct leat_grid grid;		/* of thin */
};

/* Nothing is asked yet: every row. */
#define FRONT_ASKED_ALL \
	{ .select = { .from = LEAT_TIME_NONE, .to = LEAT_TIME_NONE, .now = LEAT_TIME_NONE, .quality = 7 } }

struct front_also {
	struct front_asked asked;
	const char *path;
	FILE *file;
	struct leat_out *out;
	struct leat_thin *thin;		/* NULL: rows are copied */
	bool headed;			/* the header was written */
};

/* Creates the file; exits with 2 after a message when that fails. */
void front_also_open(struct front_also *also, const char *path);

/* Before another stream, whose series have other numbers. */
void front_also_renew(struct front_also *also, const struct leat_readings *in);

/* Writes the reading where it is asked for.  1: it is, or may be another time; 0: no row of its series and instant is;
 * -1 with err. */
int front_also_take(struct front_also *also, const struct leat_readings *in, const struct leat_reading *r,
    struct leat_error *err);

/* Writes what is left and closes the file; what went wrong is said. */
void front_also_end(struct front_also *also);

#endif
