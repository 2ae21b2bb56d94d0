/*
 * Errors that the caller owns.
 */
#include "base/error.h"

#include <stdarg.h>
#include <stdio.h>

int
leat_error_set(struct leat_error *err, const char *fmt, ...)
{
	char text[512];		/* longer than err->text, so that leat_mask shows the cut */
	va_list ap;
	int n;

	if (err == NULL)
		return -1;
	/* Formatted aside, since an argument may be a text of err itself. */
	va_start(ap, fmt);
	n = vsnprintf(text, sizeof(text), fmt, ap);
	va_end(ap);
	if (n < 0)
		text[0] = '\0';
	memset(err, 0, sizeof(*err));
	leat_mask(err->text, sizeof(err->text), leat_span_of(text));
	return -1;
}

int
leat_error_at(struct leat_error *err, const char *file, long line)
{
	if (err != NULL) {
		if (file != err->file)
			leat_mask(err->file, sizeof(err->file), leat_span_of(file));
		err->line = line;
	}
	return -1;
}

int
leat_error_column(struct leat_error *err, struct leat_span column)
{
	if (err != NULL)
		leat_mask(err->column, sizeof(err->column), column);
	return -1;
}

int
leat_error_value(struct leat_error *err, struct leat_span value)
{
	if (err != NULL) {
		leat_mask(err->value, sizeof(err->value), value);
		err->has_value = 1;
	}
	return -1;
}

int
leat_error_errno(struct leat_error *err, const char *what, int errnum)
{
	char reason[128];

	if (strerror_r(errnum, reason, sizeof(reason)) != 0)
		snprintf(reason, sizeof(reason), "error %d", errnum);
	/* "No such file" reads as the middle of a sentence here. */
	if (reason[0] >= 'A' && reason[0] <= 'Z' && reason[1] >= 'a' && reason[1] <= 'z')
		reason[0] += 'a' - 'A';
	return leat_error_set(err, "cannot %s: %s", what, reason);
}

int
leat_error_memory(struct leat_error *err)
{
	return leat_error_set(err, "out of memory");
}

char *
leat_error_format(const struct leat_error *err, char *dst, size_t size)
{
	char where[sizeof(err->file) + 32] = "";
	char column[sizeof(err->column) + 16] = "";
	char value[sizeof(err->value) + 8] = "";

	if (err->file[0] != '\0' && err->line > 0)
		snprintf(where, sizeof(where), "%s:%ld: ", err->file, err->line);
	else if (err->file[0] != '\0')
		snprintf(where, sizeof(where), "%s: ", err->file);
	else if (err->line > 0)
		snprintf(where, sizeof(where), "line %ld: ", err->line);
	if (err->column[0] != '\0')
		snprintf(column, sizeof(column), "column '%s': ", err->column);
	if (err->has_value)
		snprintf(value, sizeof(value), ": '%s'", err->value);
	if (size > 0)
		snprintf(dst, size, "%s%s%s%s", where, column, err->text, value);
	return dst;
}
