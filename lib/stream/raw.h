/*
 * Private to input.c, unzip.c and ahead.c: the bytes of a file or of memory, as they lie there.
 */
#ifndef LEAT_STREAM_RAW_H
#define LEAT_STREAM_RAW_H

#include <sys/types.h>

#include "base/error.h"

struct leat_raw {
	const char *name;		/* for messages; borrowed */
	int fd;				/* -1: memory */
	const unsigned char *mem;	/* what is left of it */
	size_t mem_len;
	int wake;			/* once this descriptor has something to read, the bytes are at their end; -1: none */
};

/* Reads up to size bytes.  Returns how many, 0 at the end, -1 with err. */
ssize_t leat_raw_read(struct leat_raw *raw, void *dst, size_t size, struct leat_error *err) LEAT_MUST_USE;

#endif
