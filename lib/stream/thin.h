/*
 * Thinning: of each series and period the readings that a picture needs, as they are.
 *
 * Numbers: the first, the last, the lowest and the highest (M4 aggregation: Jugel, Jerzak, Hackenbroich and Markl, VLDB 2014;
 * of equal ones the earliest).  Words: the first of each run of equal ones, and the last.  Bad readings: the first of a run.
 * A change of the unit begins anew within the period.
 *
 * Rows come out in the order in which they came in, when their period is over.  Memory is per series, and for the changes of
 * words of one period; where those take more than LEAT_THIN_MEMORY the period is divided.
 */
#ifndef LEAT_STREAM_THIN_H
#define LEAT_STREAM_THIN_H

#include "base/period.h"
#include "stream/reading.h"

#define LEAT_THIN_MEMORY (4u * 1024u * 1024u)

struct leat_thin;

/* The grid is copied, its zone borrowed.  NULL when memory is out. */
struct leat_thin *leat_thin_new(const struct leat_grid *grid);
void leat_thin_free(struct leat_thin *thin);

/* Before another stream, whose series have other numbers. */
void leat_thin_renew(struct leat_thin *thin);

/* Takes a reading, in order of time, and writes what is over.  0, or -1 when memory is out. */
int leat_thin_take(struct leat_thin *thin, const struct leat_readings *in, const struct leat_reading *r, struct leat_out *out)
    LEAT_MUST_USE;

/* Writes what is left.  0, or -1 when memory is out. */
int leat_thin_end(struct leat_thin *thin, struct leat_out *out) LEAT_MUST_USE;

/* Rows written so far, and periods that were divided. */
long long leat_thin_written(const struct leat_thin *thin);
long long leat_thin_divided(const struct leat_thin *thin);

#endif
