/*
 * The command of a judge of readings, all but what it judges: options, tables, the loop, the account and the exit status.
 */
#ifndef LEAT_CMD_FRONT_JUDGE_H
#define LEAT_CMD_FRONT_JUDGE_H

#include "front_nights.h"
#include "front_tables.h"

/* What the judge does with one reading: 0, or -1 with err. */
typedef int front_judge_take(void *judge, const struct leat_reading *r, struct leat_error *err);

/* The judge is to judge as of that moment, which is not before what it took. */
typedef void front_judge_as_of(void *judge, struct leat_time now);

struct front_judge {
	/* The command sets these first. */
	const char *name, *help;
	const struct option *own;	/* long options beside the shared ones, ended by a row of zeros; NULL: none */
	bool (*option)(int code);	/* takes one of them, its value in optarg; false for another.  NULL: front_option does */
	bool with_logbook;		/* it reads the logbook, and has --logbook */
	front_judge_as_of *as_of;	/* it judges past nights too, and has --nights; NULL: it does not */

	bool print_defaults;		/* --print-defaults was given */

	/* front_judge_open sets these; all stay the front end's. */
	struct leat_readings *in;
	struct leat_nameplate *np;
	struct leat_points points;
	struct leat_shelves shelves;
	struct leat_logbook book;	/* with_logbook: the entries up to now */
	struct leat_time now;		/* LEAT_TIME_NONE: the last time stamp of the input, --now data; past nights: none yet */
	struct front_nights nights;
};

/* Starts the program and takes its options: those of every judge and its own. */
void front_judge_options(struct front_judge *f, int argc, char *argv[]);

/* Opens what is to be read, after the judge's own tables; exits with 2 after a message when that fails. */
void front_judge_open(struct front_judge *f, int argc, char *const argv[]);
/* In a process that is a past night this ends it. */
void front_judge_close(struct front_judge *f);

/* Reads in to its end.  0, or -1 when take failed (reported). */
int front_judge_read(struct leat_readings *in, front_judge_take *take, void *judge);
/* The same of a judge with as_of: where past nights are asked for it returns 0 in the process of each night, to be ended as
 * any run, and -1 in the one that read all, which has nothing to tell. */
int front_judge_read_nights(struct front_judge *f, front_judge_take *take, void *judge);

/* Is now known?  Under --now data it is not where no reading came, which is said, as a failure. */
bool front_judge_dated(struct leat_time now);

/* After an explanation of so many judgements: warns when there was none. */
void front_judge_explained(size_t count);

/* At the end: says under --summary what was read and how much of it was later than now, compares the rejects with what
 * is allowed, and under -e raises the status where something was found that is neither ok nor shelved. */
void front_judge_end(const struct leat_readings *in, long long later, size_t found);

#endif
