/*
 * Rows of a CSV file of the reference pack, ../shared/reference, which is not part of the project: a test that reads it is
 * skipped aloud where it is absent.
 */
#ifndef LEAT_TESTS_REFERENCE_ROWS_H
#define LEAT_TESTS_REFERENCE_ROWS_H

#include "unit.h"

#define REFERENCE_FIELDS 8

struct reference_rows {
	FILE *file;
	char line[1024];
	char *field[REFERENCE_FIELDS];	/* of the row; those that are not there are "" */
};

/* Cuts the line into fields, quotes taken off; a doubled quote stays doubled. */
static inline void
reference_cut(struct reference_rows *rows)
{
	static char none[] = "";
	char *p = rows->line;
	size_t n = 0;

	rows->line[strcspn(rows->line, "\r\n")] = '\0';
	for (size_t i = 0; i < REFERENCE_FIELDS; i++)
		rows->field[i] = none;
	while (n < REFERENCE_FIELDS) {
		char *end;

		if (*p == '"') {
			rows->field[n++] = ++p;
			for (end = p; *end != '\0' && (*end != '"' || end[1] == '"'); end++)
				end += *end == '"';
			if (*end != '\0')
				*end++ = '\0';
		} else {
			rows->field[n++] = p;
			end = p + strcspn(p, ",");
		}
		if (*end == '\0')
			return;
		*end = '\0';
		p = end + 1;
	}
}

/* The next row; false at the end. */
static inline bool
reference_next(struct reference_rows *rows)
{
	if (fgets(rows->line, sizeof(rows->line), rows->file) == NULL)
		return false;
	reference_cut(rows);
	return true;
}

/* Opens the file and reads its header; false, and a word of it, where it is absent. */
static inline bool
reference_open(struct reference_rows *rows, const char *name)
{
	char path[128];

	snprintf(path, sizeof(path), "../shared/reference/%s", name);
	rows->file = fopen(path, "r");
	if (rows->file == NULL) {
		print_message("skip: no %s\n", path);
		return false;
	}
	return reference_next(rows);
}

static inline void
reference_close(struct reference_rows *rows)
{
	fclose(rows->file);
}

#endif
