/*
 * Errors that the caller owns.
 *
 * A library function that can fail returns -1 (or NULL) and fills a struct leat_error.  The library never prints: the
 * front end turns the error into one line
 *
 *	prog: file:line: column 'name': text: 'value'
 *
 * leaving out the parts that are empty.
 */
#ifndef LEAT_BASE_ERROR_H
#define LEAT_BASE_ERROR_H

#include <stddef.h>

#include "base/span.h"

#if defined(__GNUC__)
#define LEAT_MUST_USE __attribute__((warn_unused_result))
#define LEAT_PRINTF(f, a) __attribute__((format(printf, f, a)))
#else
#define LEAT_MUST_USE
#define LEAT_PRINTF(f, a)
#endif

/* A zeroed struct is a valid "no error".  It owns no memory; every text is cut to fit and always ends in NUL. */
struct leat_error {
	char file[256];		/* file name as the user gave it, or "" */
	long line;		/* line in the file, from 1; 0 when there is none */
	char column[64];	/* column name, masked; "" when there is none */
	char text[256];		/* what is wrong: lower case, no final full stop */
	char value[96];		/* the offending value, masked; meaningful when has_value */
	int has_value;
};

/* Forgets whatever err holds and sets its text.  Returns -1, so that "return leat_error_set(...)" reads well.
 * err may be NULL: then nothing is stored. */
int leat_error_set(struct leat_error *err, const char *fmt, ...) LEAT_PRINTF(2, 3);

/* Adds where it happened; each returns -1.  The texts are copied and masked. */
int leat_error_at(struct leat_error *err, const char *file, long line);
int leat_error_column(struct leat_error *err, struct leat_span column);
int leat_error_value(struct leat_error *err, struct leat_span value);

/* Sets "cannot WHAT: reason" from an errno value.  Returns -1. */
int leat_error_errno(struct leat_error *err, const char *what, int errnum);

/* Sets "out of memory".  Returns -1. */
int leat_error_memory(struct leat_error *err);

/* Writes the error without the program name ("file:line: column 'x': text: 'v'") into dst of size bytes; always ends
 * in NUL.  1024 bytes hold any error.  Returns dst. */
char *leat_error_format(const struct leat_error *err, char *dst, size_t size);

#endif
