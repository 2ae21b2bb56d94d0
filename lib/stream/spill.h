/*
 * Sorted runs of rows in an unlinked file, and their merging: the part of the sorter that works on disk.
 *
 * A file without a name goes when the program does, however that comes about.
 */
#ifndef LEAT_STREAM_SPILL_H
#define LEAT_STREAM_SPILL_H

#include <sys/types.h>

#include "base/instant.h"
#include "base/mem.h"

#define LEAT_SPILL_AT_ONCE 64	/* runs that are read at once, at most */
#define LEAT_SPILL_BUFFER_MIN (4u * 1024u)

/* What stands before each row in the file. */
struct leat_spill_head {
	int64_t sec;
	int32_t nsec;
	uint32_t len;
};

struct leat_spill_run {
	off_t start, end;
};

/* The reading side of one run. */
struct leat_spill_reader {
	struct leat_spill_run left;	/* what was not yet read from the file */
	char *buf;			/* a share of the caller's block, or owned when a row is longer than that */
	size_t cap, len, at;		/* bytes in buf; where the current row begins */
	bool owned;
	struct leat_spill_head head;	/* of the current row */
};

/* Set folder (borrowed) and fd = -1, the rest zero, before use. */
struct leat_spill {
	const char *folder;
	int fd;				/* -1 before the first run */
	off_t size;			/* where the last whole run ends */
	struct leat_spill_run *run;
	size_t runs, run_cap;
	size_t written;			/* runs written from memory, merged ones not counted */

	struct leat_spill_reader reader[LEAT_SPILL_AT_ONCE];
	size_t heap[LEAT_SPILL_AT_ONCE], heaped;	/* readers, the one with the next row on top */
	bool taken;			/* the top reader's row was handed out and is to be passed over */
};

/* A buffered writer of one run. */
struct leat_spill_writer {
	int fd;
	off_t start, end;		/* of the run, as far as it was sent to the file */
	size_t len;
	char buf[16 * 1024];
};

/* Writes a run: begin, put each row in order, end.  0, or -1 with err (full disk, unwritable folder). */
int leat_spill_begin(struct leat_spill *spill, struct leat_spill_writer *w, struct leat_error *err) LEAT_MUST_USE;
int leat_spill_put(const struct leat_spill *spill, struct leat_spill_writer *w, struct leat_spill_head head,
    const void *row, struct leat_error *err) LEAT_MUST_USE;
int leat_spill_end(struct leat_spill *spill, struct leat_spill_writer *w, struct leat_error *err) LEAT_MUST_USE;

/* Starts reading all runs in order, with size bytes of block (at least two times LEAT_SPILL_BUFFER_MIN) for buffers;
 * so many runs that a buffer would fall below LEAT_SPILL_BUFFER_MIN are merged in passes first. */
int leat_spill_rewind(struct leat_spill *spill, char *block, size_t size, struct leat_error *err) LEAT_MUST_USE;

/* The next row, borrowed until the next call; rows of equal time come in the order of their runs.  1, 0 at the end,
 * -1 with err. */
int leat_spill_next(struct leat_spill *spill, struct leat_time *time, struct leat_span *row, struct leat_error *err)
    LEAT_MUST_USE;

void leat_spill_close(struct leat_spill *spill);

#endif
