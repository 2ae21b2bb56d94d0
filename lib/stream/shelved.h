/*
 * shelved.csv: findings that a person has put aside for a while, with who, why and until when.
 */
#ifndef LEAT_STREAM_SHELVED_H
#define LEAT_STREAM_SHELVED_H

#include "stream/table.h"

struct leat_shelf {
	struct leat_span asset, point, rule;	/* globs */
	struct leat_time until;
	struct leat_span who, why;
};

struct leat_shelves {
	struct leat_shelf *row;
	size_t count, cap;
	struct leat_table *table;
};

int leat_shelves_read(struct leat_shelves *shelves, const char *path, const struct leat_zone *zone, bool *absent,
    struct leat_error *err) LEAT_MUST_USE;
/* The same from a table that was read by this form (NULL: none).  Taken over when it succeeds; else still the caller's. */
extern const struct leat_table_form leat_shelves_form;
int leat_shelves_make(struct leat_shelves *shelves, struct leat_table *table, const struct leat_zone *zone,
    struct leat_error *err) LEAT_MUST_USE;
/* Until when the finding is shelved at now, the latest of all rows that match; LEAT_TIME_NONE when it is not. */
struct leat_time leat_shelves_until(const struct leat_shelves *shelves, struct leat_span asset, struct leat_span point,
    struct leat_span rule, struct leat_time now);
void leat_shelves_free(struct leat_shelves *shelves);

#endif
