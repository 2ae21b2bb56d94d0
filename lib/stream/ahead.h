/*
 * Private to input.c: reading on in a thread of its own, a few blocks ahead of who reads.
 *
 * Inflating costs as much as what is done with the rows, so with two processors both go on at once.  This is the only thread
 * of the library: it touches what it reads from and its blocks, nothing else, and takes no signals.
 */
#ifndef LEAT_STREAM_AHEAD_H
#define LEAT_STREAM_AHEAD_H

#include "stream/unzip.h"

/* So many at a time in one process, however many files are open: more would find no processor. */
#define LEAT_AHEAD_MOST 4

struct leat_ahead;

/* Begins to read.  unzip and raw are its own until it is freed, but for leat_unzip_cut after a failure.  NULL where no
 * thread, memory or, for what is no file, no pipe can be had: then nothing was read. */
struct leat_ahead *leat_ahead_start(struct leat_unzip *unzip, struct leat_raw *raw);

/* As leat_unzip_read. */
ssize_t leat_ahead_read(struct leat_ahead *ahead, void *dst, size_t size, struct leat_error *err) LEAT_MUST_USE;

/* Stops the thread, also where it waits for bytes, and frees it.  In a child process, which has no such thread, it is only
 * let go. */
void leat_ahead_free(struct leat_ahead *ahead);

#endif
