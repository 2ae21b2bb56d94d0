/*
 * What leat-select is asked for, and further such selections of the same rows, each written to a file of its own.
 */
#ifndef LEAT_CMD_FRONT_ALSO_H
#define LEAT_CMD_FRONT_ALSO_H

#include "base/period.h"
#include "front.h"
#include "stream/nameplate.h"
#include "stream/select.h"
#include "stream/thin.h"

/* The options of one selection, without letters; a command numbers its own from FRONT_ASKED_END. */
enum {
	FRONT_ASKED_ASSET = FRONT_OWN,
	FRONT_ASKED_FROM,
	FRONT_ASKED_LAST,
	FRONT_ASKED_NUMERIC,
	FRONT_ASKED_POINT,
	FRONT_ASKED_QUALITY,
	FRONT_ASKED_THIN,
	FRONT_ASKED_TO,
	FRONT_ASKED_END
};

/* What they say. */
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

/* Takes in an option of a selection, with optarg; false: it is none.  Misuse where it is wrong. */
bool front_asked_option(int code, int argc, struct front_asked *asked);

struct front_also {
	struct front_asked asked;
	const char *path;
	FILE *file;
	struct leat_out *out;
	struct leat_thin *thin;		/* NULL: rows are copied */
	bool headed;			/* the header was written */
};

/* More files than anybody needs of one stream. */
#define FRONT_ALSO_MAX 16

/* All that is asked for of one stream. */
struct front_selections {
	struct front_asked first;	/* what is printed */
	struct front_also also[FRONT_ALSO_MAX];
	size_t alsos;
};

/* The selection that is number i: 0 is the one that is printed. */
struct front_asked *front_asked(struct front_selections *of, size_t i);

/* A further selection begins, for the file in optarg. */
void front_also_add(struct front_selections *of);

/* Settles what --now and --last mean, end being now or the end of the data.  *first and *last get the span that is asked for
 * by any, LEAT_TIME_NONE where it is open. */
void front_asked_times(struct front_selections *of, struct leat_time end, struct leat_time *first, struct leat_time *last);

/* The days that thinning goes by; the caller frees the nameplate after the last use.  NULL: nothing is thinned. */
struct leat_nameplate *front_asked_days(struct front_selections *of);

/* Creates the file; exits with 2 after a message when that fails. */
void front_also_open(struct front_also *also);

/* Before another stream, whose series have other numbers. */
void front_also_renew(struct front_also *also, const struct leat_readings *in);

/* Writes the reading where it is asked for.  1: it is, or may be another time; 0: no row of its series and instant is;
 * -1 with err. */
int front_also_take(struct front_also *also, const struct leat_readings *in, const struct leat_reading *r,
    struct leat_error *err);

/* Writes what is left and closes the file; what went wrong is said. */
void front_also_end(struct front_also *also);

#endif
