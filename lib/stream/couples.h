/*
 * Pairs of points to be set beside each other: a table of leat-pair(1).
 */
#ifndef LEAT_STREAM_COUPLES_H
#define LEAT_STREAM_COUPLES_H

#include "stream/table.h"

/* One pair.  An operand is a path such as NM/cyl-1/pressure: asset, '/', point. */
struct leat_couple {
	struct leat_span asset, point;		/* of what comes out: point.difference, point.ratio */
	struct leat_span asset_of[2], point_of[2];	/* first and second */
	double within_s;			/* how far apart their readings may be; 0: at equal times only */
};

struct leat_couples {
	struct leat_table *table;	/* owns the spans of its rows; NULL when nothing was read */
	struct leat_couple *row;
	size_t count, cap;
};

/* Cuts NM/cyl-1/pressure into asset and point; false when one of them is empty. */
bool leat_couple_operand(struct leat_span text, struct leat_span *asset, struct leat_span *point);

/* Adds the rows of a table with the columns first, second, asset, point, within; the last three may be missing or empty:
 * then what comes out has the name of the first.  0, or -1 with err; a file that is not there is an error. */
int leat_couples_read(struct leat_couples *couples, const char *path, struct leat_error *err) LEAT_MUST_USE;

/* Adds one pair; its spans are borrowed.  0, or -1 with err: memory is out, both operands are one, or what comes out is the
 * name of an earlier pair too. */
int leat_couples_add(struct leat_couples *couples, const struct leat_couple *pair, struct leat_error *err) LEAT_MUST_USE;

void leat_couples_free(struct leat_couples *couples);

#endif
