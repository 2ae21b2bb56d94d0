/*
 * A table of text: CSV for programs, or columns set under each other for people.
 */
#ifndef LEAT_TELL_TABULAR_H
#define LEAT_TELL_TABULAR_H

#include "base/mem.h"
#include "stream/out.h"

/* A zeroed struct is valid and empty; leat_tabular_begin comes first. */
struct leat_tabular {
	size_t columns, cells, cap;
	size_t *at;			/* private: end of each cell in text */
	struct leat_buf text;
	bool failed;			/* memory is out; later cells are dropped */
};

/* The header: names joined by commas. */
void leat_tabular_begin(struct leat_tabular *g, const char *header);

/* The next cells, left to right, row after row.  A value that is not finite is an empty cell. */
void leat_tabular_span(struct leat_tabular *g, struct leat_span text);
void leat_tabular_text(struct leat_tabular *g, const char *text);
void leat_tabular_count(struct leat_tabular *g, long long count);
void leat_tabular_number(struct leat_tabular *g, double value, int decimals);
void leat_tabular_time(struct leat_tabular *g, struct leat_time t);

/* Sorts the rows by the text of columns from..to-1, keeping the order of those alike.  0, or -1 when memory is out. */
int leat_tabular_sort(struct leat_tabular *g, size_t from, size_t to) LEAT_MUST_USE;

/* Of sorted rows takes those out that are alike from a column on, group by group; a group has the same columns from..to-1.  A
 * row that stands alone stays.  0, or -1 when memory is out. */
int leat_tabular_keep_differing(struct leat_tabular *g, size_t from, size_t to, size_t alike) LEAT_MUST_USE;

/* Numbers stand to the right.  Under people's columns a time is written without seconds, and an empty column is left out. */
void leat_tabular_write(const struct leat_tabular *g, struct leat_out *out, bool people);
void leat_tabular_free(struct leat_tabular *g);

#endif
