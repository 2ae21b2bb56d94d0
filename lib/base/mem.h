/*
 * Memory: growing buffers with a limit, checked array growth, and interned names.
 */
#ifndef LEAT_BASE_MEM_H
#define LEAT_BASE_MEM_H

#include <stdint.h>

#include "base/error.h"
#include "base/span.h"

/* A growing byte buffer.  A zeroed struct is a valid empty one; limit 0 means no limit. */
struct leat_buf {
	char *data;		/* owned; free with leat_buf_free */
	size_t len, cap, limit;
};

/* Makes room for extra more bytes; doubles.  -1 when memory or the limit is exhausted (contents unchanged). */
int leat_buf_reserve(struct leat_buf *buf, size_t extra) LEAT_MUST_USE;
int leat_buf_add(struct leat_buf *buf, const void *bytes, size_t len) LEAT_MUST_USE;
int leat_buf_add_span(struct leat_buf *buf, struct leat_span s) LEAT_MUST_USE;
int leat_buf_printf(struct leat_buf *buf, const char *fmt, ...) LEAT_PRINTF(2, 3) LEAT_MUST_USE;
static inline struct leat_span
leat_buf_span(const struct leat_buf *buf)
{
	return leat_span_make(buf->data, buf->len);
}
static inline void
leat_buf_reset(struct leat_buf *buf)
{
	buf->len = 0;
}
void leat_buf_free(struct leat_buf *buf);

/* Adds to the text that stands in dst, of size bytes in all; what has no room there is cut off. */
void leat_append(char *dst, size_t size, const char *fmt, ...) LEAT_PRINTF(3, 4);

/* Grows *array (elements of size bytes, *cap of them) so that it holds at least need.  New elements are zeroed.
 * Returns 0, or -1 with the array unchanged. */
int leat_grow(void *array, size_t *cap, size_t need, size_t size) LEAT_MUST_USE;

/* A NUL-ended copy of the span; the caller frees it.  NULL when out of memory. */
char *leat_strndup(struct leat_span s);

/* Interned names: equal texts get equal small numbers 0, 1, 2 ... in the order of first sight.  A zeroed struct is a
 * valid empty table. */
struct leat_names {
	struct leat_name_slot *slot;	/* open addressing, power of two */
	size_t slots;
	struct leat_span *name;		/* name[id]; owned texts, valid until free */
	size_t count, cap;
};

#define LEAT_NAME_NONE UINT32_MAX

/* The number of the text, new if need be.  LEAT_NAME_NONE when out of memory. */
uint32_t leat_names_put(struct leat_names *names, struct leat_span text);
/* The number of the text, or LEAT_NAME_NONE when it was never put. */
uint32_t leat_names_get(const struct leat_names *names, struct leat_span text);
void leat_names_free(struct leat_names *names);

/* Interned pairs (a, b) of numbers -> 0, 1, 2 ..., for series (asset, point).  A zeroed struct is valid. */
struct leat_pairs {
	struct leat_pair_slot *slot;
	size_t slots;
	uint64_t *pair;			/* pair[id] = a << 32 | b */
	size_t count, cap;
};

uint32_t leat_pairs_put(struct leat_pairs *pairs, uint32_t a, uint32_t b);
uint32_t leat_pairs_get(const struct leat_pairs *pairs, uint32_t a, uint32_t b);
void leat_pairs_free(struct leat_pairs *pairs);

#endif
