/*
 * What a works table is made of: private to the files of stream/table.h.
 */
#ifndef LEAT_STREAM_TABLE_PRIVATE_H
#define LEAT_STREAM_TABLE_PRIVATE_H

#include "stream/table.h"

/* A cell's bytes within text; len 0: empty or missing. */
struct leat_table_cell {
	size_t at, len;
};

struct leat_table {
	char *file;			/* name for messages */
	const struct leat_table_form *form;
	const struct leat_table_lines *lines;	/* NULL: any fault is an error */
	bool appended;			/* by line: each must be whole, in UTF-8 */
	char separator;
	size_t fields;			/* of the header */
	int *meaning;			/* by field: column of the form, or a negative mark */
	size_t meaning_cap;
	size_t rows;
	long *line;			/* by row */
	size_t line_cap;
	struct leat_table_cell *cell;	/* row by row, form->columns of them each */
	size_t cell_cap;
	struct leat_buf text;		/* does not move once the table is read */
};

#endif
