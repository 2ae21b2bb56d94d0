/*
 * Rows put in time order within bounded memory: runs sorted in memory, spilled to unlinked files and merged.
 *
 * Rows of equal time keep the order in which they were put (stable).
 */
#ifndef LEAT_STREAM_SORTER_H
#define LEAT_STREAM_SORTER_H

#include "base/instant.h"
#include "base/mem.h"

struct leat_sorter;

/* memory: bytes that rows may take before a run is spilled (at least 64 KiB); folder: where spill files are made.
 * NULL with err. */
struct leat_sorter *leat_sorter_new(size_t memory, const char *folder, struct leat_error *err);

/* Takes a copy of the row's bytes.  0, or -1 with err (memory, full disk). */
int leat_sorter_put(struct leat_sorter *sorter, struct leat_time time, const void *row, size_t len,
    struct leat_error *err) LEAT_MUST_USE;

/* After the last put: the next row in order, borrowed until the next call.  1, 0 at the end, -1 with err. */
int leat_sorter_next(struct leat_sorter *sorter, struct leat_time *time, struct leat_span *row,
    struct leat_error *err) LEAT_MUST_USE;

/* Runs spilled so far, for --summary. */
size_t leat_sorter_spilled(const struct leat_sorter *sorter);
void leat_sorter_free(struct leat_sorter *sorter);

#endif
