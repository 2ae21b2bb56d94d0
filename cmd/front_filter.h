/*
 * The command of a derive filter, all but what it computes: options, tables, the stream, and their end.
 *
 *	front_filter_options(&f, argc, argv);	the command line
 *	front_filter_open(&f, argc, argv);	works folder, tables, readings
 *	front_filter_run(&f, take, filter);	the header and the rows
 *	front_filter_account(&f);		what was read, under --summary
 *	return front_filter_close(&f);
 */
#ifndef LEAT_CMD_FRONT_FILTER_H
#define LEAT_CMD_FRONT_FILTER_H

#include "front_derive.h"
#include "front_tables.h"

struct front_filter {
	/* The command sets these first. */
	const char *name, *help;
	const struct option *own;	/* long options beside the shared ones, ended by a row of zeros; NULL: none */
	void (*option)(int code);	/* takes one of them; its value is in optarg */
	bool with_logbook;		/* it reads the logbook, and has --logbook */
	bool in_place;			/* it writes something of its own in place of the stream, as under --explain */

	/* front_filter_open sets these; all stay the front end's. */
	struct leat_readings *in;
	struct leat_nameplate *np;
	struct leat_points points;
	struct leat_logbook book;	/* with_logbook: the entries up to now */
	struct leat_out *out;		/* standard output */
	struct leat_time now;		/* LEAT_TIME_NONE: the last time stamp of the input, --now data */
	bool no_copy;			/* the rows that come in are not written: --only, or something in their place */
	bool explain;			/* --explain, and ... */
	struct leat_span what;		/* ... its ASSET/POINT, or empty */
};

/* Starts the program and takes its options: those of every derive filter and its own. */
void front_filter_options(struct front_filter *f, int argc, char *argv[]);

/* Opens what is to be read; exits with 2 after a message when that fails. */
void front_filter_open(struct front_filter *f, int argc, char *const argv[]);

/* Writes the header, unless something comes in place of the stream, and reads to the end: rows that take keeps are copied
 * unless no_copy.  0, or -1 when take failed (reported). */
int front_filter_run(struct front_filter *f, front_take *take, void *filter);

/* Warns when --explain=ASSET/POINT met nothing, says under --summary what was read, and compares the rejects with what is
 * allowed. */
void front_filter_account(const struct front_filter *f);

/* Closes all of it and returns the exit status. */
int front_filter_close(struct front_filter *f);

#endif
