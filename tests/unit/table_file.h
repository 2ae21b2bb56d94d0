/*
 * Tables for tests: written to a file of their own, since works tables are read by path.
 */
#ifndef LEAT_TESTS_TABLE_FILE_H
#define LEAT_TESTS_TABLE_FILE_H

#include <unistd.h>

#include "base/error.h"
#include "unit.h"

struct table_file {
	char path[64];
};

/* Writes text to a new file; table_file_drop removes it. */
static inline struct table_file
table_file_bytes(const void *bytes, size_t len)
{
	struct table_file f = { "/tmp/leat-table-XXXXXX" };
	int fd = mkstemp(f.path);

	assert_true(fd >= 0);
	assert_true(write(fd, bytes, len) == (ssize_t)len);
	assert_int_equal(close(fd), 0);
	return f;
}

static inline struct table_file
table_file_text(const char *text)
{
	return table_file_bytes(text, strlen(text));
}

static inline void
table_file_drop(const struct table_file *f)
{
	assert_int_equal(unlink(f->path), 0);
}

/* Compares a whole error, as users see it after the program's name, with the expected text. */
static inline void
unit_error_at(const struct leat_error *err, const char *expected, const char *file, int line)
{
	char text[1024];

	leat_error_format(err, text, sizeof(text));
	if (strcmp(text, expected) == 0)
		return;
	print_error("'%s'\nexpected '%s'\n", text, expected);
	_fail(file, line);
}

#define unit_error(err, expected) unit_error_at((err), (expected), __FILE__, __LINE__)

#endif
