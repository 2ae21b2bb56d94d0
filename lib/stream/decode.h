/*
 * Private to input.c: other encodings to UTF-8, without state of their own, so that a character cut by the end of a
 * buffer simply waits for its other half.
 */
#ifndef LEAT_STREAM_DECODE_H
#define LEAT_STREAM_DECODE_H

#include "stream/input.h"

/* What the first bytes of a text say about its encoding; whole tells that nothing follows them.  Never AUTO. */
enum leat_encoding leat_decode_detect(const unsigned char *bytes, size_t len, bool whole);

/* Length of the byte order mark of that encoding at the start of bytes, 0 when there is none. */
size_t leat_decode_mark(enum leat_encoding encoding, const unsigned char *bytes, size_t len);

/* Turns UTF-16 or Windows-1252 into UTF-8, as many whole characters as src has and dst holds (size at least 4, so
 * that there is progress).  *used gets the bytes taken from src; last tells that no byte follows, so half a character
 * is a fault.  What is malformed or undefined becomes U+FFFD.  Returns the bytes written. */
size_t leat_decode(enum leat_encoding encoding, const unsigned char *src, size_t len, bool last, size_t *used,
    char *dst, size_t size);

#endif
