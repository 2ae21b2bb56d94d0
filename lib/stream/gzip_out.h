/*
 * Writing one gzip file (RFC 1952) whose bytes depend on its content alone: no name, no time of writing, no word on the
 * system that made it.
 */
#ifndef LEAT_STREAM_GZIP_OUT_H
#define LEAT_STREAM_GZIP_OUT_H

#include <zlib.h>

#include "base/error.h"

struct leat_gzip {
	const char *path;	/* borrowed, for messages */
	int fd;			/* -1: not open */
	z_stream z;
	gz_header header;
	unsigned char out[32 * 1024];
};

/* Creates path, or empties what is there, and starts the stream.  0, or -1 with err and nothing open. */
int leat_gzip_open(struct leat_gzip *gzip, const char *path, struct leat_error *err) LEAT_MUST_USE;
int leat_gzip_write(struct leat_gzip *gzip, struct leat_span bytes, struct leat_error *err) LEAT_MUST_USE;

/* Ends the stream, brings every byte to the disk and closes the file.  0, or -1 with err; closed in either case. */
int leat_gzip_finish(struct leat_gzip *gzip, struct leat_error *err) LEAT_MUST_USE;

/* Closes what is open without more ado; the file is not to be used. */
void leat_gzip_abandon(struct leat_gzip *gzip);

#endif
