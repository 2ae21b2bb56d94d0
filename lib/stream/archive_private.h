/*
 * Between the files of the archive only.
 */
#ifndef LEAT_STREAM_ARCHIVE_PRIVATE_H
#define LEAT_STREAM_ARCHIVE_PRIVATE_H

#include "stream/archive.h"

/* One row of a time in the order of its names. */
struct leat_archive_order {
	struct leat_span asset, point;
	uint32_t series;
	uint32_t item;			/* in w->both */
};

/* Puts the items of w->both in order, as w->order.  0, or -1 when memory is out. */
int leat_archive_order(struct leat_archiver *w) LEAT_MUST_USE;

/* Sets aside new rows of one series that differ from each other, or the one that differs from the archived row. */
int leat_archive_set_aside_new(struct leat_archiver *w, const struct leat_settled *item, struct leat_error *err)
    LEAT_MUST_USE;
int leat_archive_set_aside_old(struct leat_archiver *w, const struct leat_settled *item, struct leat_error *err)
    LEAT_MUST_USE;

/* Notes what a new row says that it supersedes.  0, or -1 when memory is out. */
int leat_archive_claim(struct leat_archiver *w, uint32_t series, const struct leat_reading *r) LEAT_MUST_USE;

/* Is the new item to be taken though it differs from what the archive has?  1: yes, and it is noted for the findings;
 * 0; -1 when memory is out. */
int leat_archive_prefer(struct leat_archiver *w, const struct leat_settled *item) LEAT_MUST_USE;

/* Tells what was replaced. */
void leat_archive_tell_replaced(const struct leat_archiver *w, struct leat_time time,
    void (*emit)(const struct leat_finding *));

/* Writes a row of an archived month at the end of buf.  0, or -1 when memory is out. */
int leat_archive_row(struct leat_buf *buf, struct leat_span time, struct leat_span asset, struct leat_span point,
    struct leat_span value, struct leat_span unit, enum leat_quality quality) LEAT_MUST_USE;

#endif
