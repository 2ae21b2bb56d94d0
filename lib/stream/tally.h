/*
 * How often each text came, for messages at the end of a run.  Only so many different texts are told apart; the rest
 * is one sum, so that memory does not grow with the input.
 */
#ifndef LEAT_STREAM_TALLY_H
#define LEAT_STREAM_TALLY_H

#include "base/mem.h"

#define LEAT_TALLY_MAX 1000	/* different texts */
#define LEAT_TALLY_TEXT 64	/* bytes of a text that are kept */

/* A zeroed struct is a valid empty tally. */
struct leat_tally {
	struct leat_names names;	/* in the order of first sight */
	long long *count;		/* by number in names */
	size_t cap;
	long long other;		/* of texts beyond LEAT_TALLY_MAX */
	long long total;
};

/* 0, or -1 when memory is out. */
int leat_tally_add(struct leat_tally *tally, struct leat_span text) LEAT_MUST_USE;
void leat_tally_free(struct leat_tally *tally);

#endif
