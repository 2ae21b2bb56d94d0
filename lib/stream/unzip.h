/*
 * Private to input.c and ahead.c: gzip (RFC 1952, several members too) inflated.
 */
#ifndef LEAT_STREAM_UNZIP_H
#define LEAT_STREAM_UNZIP_H

#include "stream/raw.h"

struct leat_unzip;

/* Borrows raw, of which the first bytes, at most a few, were read already.  NULL when memory is out. */
struct leat_unzip *leat_unzip_new(struct leat_raw *raw, const unsigned char *head, size_t len);

/* Reads up to size bytes.  Returns how many, 0 at the end, -1 with err; then again at each further call.  What came out
 * before a fault is handed out first. */
ssize_t leat_unzip_read(struct leat_unzip *unzip, void *dst, size_t size, struct leat_error *err) LEAT_MUST_USE;

/* After a failure: did the compressed bytes merely end within a member? */
bool leat_unzip_cut(const struct leat_unzip *unzip);

void leat_unzip_free(struct leat_unzip *unzip);

#endif
