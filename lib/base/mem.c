/*
 * Memory: growing buffers, checked array growth, interned names and pairs.
 */
#include "base/mem.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>

/* Makes room for extra more bytes and one hidden byte after them, which the limit does not count: vsnprintf wants to
 * put its NUL somewhere. */
int
leat_buf_reserve(struct leat_buf *buf, size_t extra)
{
	size_t need, cap;
	char *data;

	if (extra >= SIZE_MAX - buf->len)
		return -1;
	need = buf->len + extra;
	if (buf->limit > 0 && need > buf->limit)
		return -1;
	if (need < buf->cap)
		return 0;
	cap = buf->cap < 64 ? 64 : buf->cap;
	while (cap <= need)
		cap = cap > SIZE_MAX / 2 ? SIZE_MAX : cap * 2;
	if (buf->limit > 0 && cap > buf->limit)
		cap = buf->limit < SIZE_MAX ? buf->limit + 1 : SIZE_MAX;
	data = realloc(buf->data, cap);
	if (data == NULL)
		return -1;
	buf->data = data;
	buf->cap = cap;
	return 0;
}

int
leat_buf_add(struct leat_buf *buf, const void *bytes, size_t len)
{
	if (len == 0)
		return 0;
	if (leat_buf_reserve(buf, len) != 0)
		return -1;
	memcpy(buf->data + buf->len, bytes, len);
	buf->len += len;
	return 0;
}

int
leat_buf_add_span(struct leat_buf *buf, struct leat_span s)
{
	return leat_buf_add(buf, s.ptr, s.len);
}

int
leat_buf_printf(struct leat_buf *buf, const char *fmt, ...)
{
	va_list ap;
	int n;

	va_start(ap, fmt);
	n = vsnprintf(NULL, 0, fmt, ap);
	va_end(ap);
	if (n < 0 || leat_buf_reserve(buf, (size_t)n) != 0)
		return -1;
	va_start(ap, fmt);
	vsnprintf(buf->data + buf->len, (size_t)n + 1, fmt, ap);
	va_end(ap);
	buf->len += (size_t)n;
	return 0;
}

void
leat_buf_free(struct leat_buf *buf)
{
	free(buf->data);
	buf->data = NULL;
	buf->len = buf->cap = 0;
}

void
leat_append(char *dst, size_t size, const char *fmt, ...)
{
	size_t len = strnlen(dst, size);
	va_list ap;

	va_start(ap, fmt);
	vsnprintf(dst + len, size - len, fmt, ap);
	va_end(ap);
}

int
leat_grow(void *array, size_t *cap, size_t need, size_t size)
{
	void *old, *grown;
	size_t more;

	if (need <= *cap)
		return 0;
	if (size == 0 || need > SIZE_MAX / size)
		return -1;
	more = *cap < 8 ? 8 : *cap;
	while (more < need)
		more = more > SIZE_MAX / 2 ? need : more * 2;
	if (more > SIZE_MAX / size)
		more = need;
	/* array points to a pointer of some type; copying its bytes is the portable way to read it. */
	memcpy(&old, array, sizeof(old));
	grown = realloc(old, more * size);
	if (grown == NULL)
		return -1;
	memset((char *)grown + *cap * size, 0, (more - *cap) * size);
	memcpy(array, &grown, sizeof(grown));
	*cap = more;
	return 0;
}

char *
leat_strndup(struct leat_span s)
{
	char *copy = malloc(s.len + 1);

	if (copy == NULL)
		return NULL;
	if (s.len > 0)
		memcpy(copy, s.ptr, s.len);
	copy[s.len] = '\0';
	return copy;
}

/* Finalizer of the splitmix64 generator (public domain): every input bit reaches every output bit. */
static uint64_t
mix(uint64_t x)
{
	x ^= x >> 30;
	x *= UINT64_C(0xbf58476d1ce4e5b9);
	x ^= x >> 27;
	x *= UINT64_C(0x94d049bb133111eb);
	return x ^ x >> 31;
}

/* Eight bytes at a time, because a name is looked up for every row. */
static uint32_t
name_hash(struct leat_span text)
{
	const char *p = text.ptr;
	size_t left = text.len;
	uint64_t h = text.len, word;

	for (; left >= sizeof(word); p += sizeof(word), left -= sizeof(word)) {
		memcpy(&word, p, sizeof(word));
		h = (h ^ word) * UINT64_C(0x9e3779b97f4a7c15);
		h ^= h >> 32;
	}
	if (left > 0) {
		word = 0;
		memcpy(&word, p, left);
		h ^= word;
	}
	return (uint32_t)mix(h);
}

struct leat_name_slot {
	uint32_t hash;
	uint32_t id_plus_1;	/* 0: empty */
};

/* The slot that holds the text, or the empty one where it belongs.  slots must not be 0. */
static struct leat_name_slot *
name_slot(const struct leat_names *names, struct leat_span text, uint32_t hash)
{
	size_t i;

	for (i = hash & (names->slots - 1);; i = (i + 1) & (names->slots - 1)) {
		struct leat_name_slot *slot = &names->slot[i];

		if (slot->id_plus_1 == 0)
			return slot;
		if (slot->hash == hash && leat_span_eq(names->name[slot->id_plus_1 - 1], text))
			return slot;
	}
}

/* The number of slots that keeps a table of count entries and one more at most two thirds full; 0 when it is enough. */
static size_t
slots_wanted(size_t slots, size_t count)
{
	if (slots > 0 && count < slots / 3 * 2)
		return 0;
	/* Cannot overflow: ids have 32 bits, and calloc refuses a size that does not fit. */
	return slots == 0 ? 16 : slots * 2;
}

static int
names_rehash(struct leat_names *names)
{
	size_t i, at, slots = slots_wanted(names->slots, names->count);
	struct leat_name_slot *slot;

	if (slots == 0)
		return 0;
	slot = calloc(slots, sizeof(*slot));
	if (slot == NULL)
		return -1;
	for (i = 0; i < names->slots; i++) {
		if (names->slot[i].id_plus_1 == 0)
			continue;
		at = names->slot[i].hash & (slots - 1);
		while (slot[at].id_plus_1 != 0)
			at = (at + 1) & (slots - 1);
		slot[at] = names->slot[i];
	}
	free(names->slot);
	names->slot = slot;
	names->slots = slots;
	return 0;
}

uint32_t
leat_names_put(struct leat_names *names, struct leat_span text)
{
	uint32_t hash = name_hash(text);
	struct leat_name_slot *slot;
	char *copy;

	if (names->slots > 0) {
		slot = name_slot(names, text, hash);
		if (slot->id_plus_1 != 0)
			return slot->id_plus_1 - 1;
	}
	if (names->count >= LEAT_NAME_NONE - 1 || names_rehash(names) != 0 ||
	    leat_grow(&names->name, &names->cap, names->count + 1, sizeof(names->name[0])) != 0)
		return LEAT_NAME_NONE;
	copy = leat_strndup(text);
	if (copy == NULL)
		return LEAT_NAME_NONE;
	slot = name_slot(names, text, hash);
	names->name[names->count] = leat_span_make(copy, text.len);
	names->count++;
	slot->hash = hash;
	slot->id_plus_1 = (uint32_t)names->count;
	return slot->id_plus_1 - 1;
}

uint32_t
leat_names_get(const struct leat_names *names, struct leat_span text)
{
	if (names->slots == 0)
		return LEAT_NAME_NONE;
	/* An empty slot wraps to LEAT_NAME_NONE. */
	return name_slot(names, text, name_hash(text))->id_plus_1 - 1;
}

void
leat_names_free(struct leat_names *names)
{
	size_t i;

	/* Texts are allocated by leat_strndup; the span is const only to its readers. */
	for (i = 0; i < names->count; i++)
		free((void *)(uintptr_t)names->name[i].ptr);
	free(names->name);
	free(names->slot);
	memset(names, 0, sizeof(*names));
}

struct leat_pair_slot {
	uint64_t pair;
	uint32_t id_plus_1;	/* 0: empty */
};

static struct leat_pair_slot *
pair_slot(const struct leat_pair_slot *slot, size_t slots, uint64_t pair)
{
	size_t i;

	for (i = mix(pair) & (slots - 1);; i = (i + 1) & (slots - 1)) {
		if (slot[i].id_plus_1 == 0 || slot[i].pair == pair)
			return (struct leat_pair_slot *)(uintptr_t)&slot[i];
	}
}

static int
pairs_rehash(struct leat_pairs *pairs)
{
	size_t i, slots = slots_wanted(pairs->slots, pairs->count);
	struct leat_pair_slot *slot;

	if (slots == 0)
		return 0;
	slot = calloc(slots, sizeof(*slot));
	if (slot == NULL)
		return -1;
	for (i = 0; i < pairs->slots; i++) {
		if (pairs->slot[i].id_plus_1 != 0)
			*pair_slot(slot, slots, pairs->slot[i].pair) = pairs->slot[i];
	}
	free(pairs->slot);
	pairs->slot = slot;
	pairs->slots = slots;
	return 0;
}

uint32_t
leat_pairs_put(struct leat_pairs *pairs, uint32_t a, uint32_t b)
{
	uint64_t pair = (uint64_t)a << 32 | b;
	struct leat_pair_slot *slot;

	if (pairs->slots > 0) {
		slot = pair_slot(pairs->slot, pairs->slots, pair);
		if (slot->id_plus_1 != 0)
			return slot->id_plus_1 - 1;
	}
	if (pairs->count >= LEAT_NAME_NONE - 1 || pairs_rehash(pairs) != 0 ||
	    leat_grow(&pairs->pair, &pairs->cap, pairs->count + 1, sizeof(pairs->pair[0])) != 0)
		return LEAT_NAME_NONE;
	slot = pair_slot(pairs->slot, pairs->slots, pair);
	pairs->pair[pairs->count] = pair;
	pairs->count++;
	slot->pair = pair;
	slot->id_plus_1 = (uint32_t)pairs->count;
	return slot->id_plus_1 - 1;
}

uint32_t
leat_pairs_get(const struct leat_pairs *pairs, uint32_t a, uint32_t b)
{
	if (pairs->slots == 0)
		return LEAT_NAME_NONE;
	return pair_slot(pairs->slot, pairs->slots, (uint64_t)a << 32 | b)->id_plus_1 - 1;
}

void
leat_pairs_free(struct leat_pairs *pairs)
{
	free(pairs->slot);
	free(pairs->pair);
	memset(pairs, 0, sizeof(*pairs));
}
