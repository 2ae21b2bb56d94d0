/*
 * Rows put in time order.
 *
 * One block of memory serves everything.  While rows are put, their bytes grow from its start and one small key a row
 * grows down from its end; a gap as long as the keys is kept free between them for the merge sort.  A full block is
 * sorted and spilled as a run.  While runs are read, the block is cut into their buffers.
 *
 * Equal times keep their order because keys tie on the position of their bytes, and runs on their number.
 */
#include "stream/sorter.h"

#include <stdlib.h>

#include "stream/spill.h"

#define MEMORY_MIN (64u * 1024u)
#define MEMORY_MAX UINT32_MAX	/* positions in the block have 32 bits */

/* Where a row lies in the block: its length (4 bytes), then its bytes. */
struct key {
	int64_t sec;
	int32_t nsec;
	uint32_t at;
};

struct leat_sorter {
	char *folder;
	size_t memory;
	char *block;		/* NULL until the first put, so that a sorter that gets no row costs nothing */
	size_t filled;		/* bytes of rows in the block */
	size_t keys;
	struct key *key;	/* after sorting, the keys in order */
	size_t next;		/* the next key to hand out, when nothing was spilled */
	bool reading;		/* the last row was put */
	struct leat_spill spill;
};

struct leat_sorter *
leat_sorter_new(size_t memory, const char *folder, struct leat_error *err)
{
	struct leat_sorter *s = calloc(1, sizeof(*s));

	if (s == NULL || (s->folder = leat_strndup(leat_span_of(folder))) == NULL) {
		free(s);
		leat_error_memory(err);
		return NULL;
	}
	s->memory = memory < MEMORY_MIN ? MEMORY_MIN : memory > MEMORY_MAX ? MEMORY_MAX : memory;
	s->memory -= s->memory % sizeof(struct key);
	s->spill.folder = s->folder;
	s->spill.fd = -1;
	return s;
}

static int
key_cmp(const struct key *a, const struct key *b)
{
	if (a->sec != b->sec)
		return a->sec < b->sec ? -1 : 1;
	if (a->nsec != b->nsec)
		return a->nsec < b->nsec ? -1 : 1;
	return a->at < b->at ? -1 : a->at > b->at;
}

/* Merges two neighbouring sorted stretches of from into to.  Stretches already in order, the usual case of an export
 * that is a block a tag, are copied as they are. */
static void
merge_keys(struct key *to, const struct key *from, size_t middle, size_t end)
{
	size_t left = 0, right = middle, i = 0;

	if (middle >= end || key_cmp(&from[middle - 1], &from[middle]) < 0) {
		memcpy(to, from, end * sizeof(*to));
		return;
	}
	while (left < middle && right < end)
		to[i++] = key_cmp(&from[left], &from[right]) < 0 ? from[left++] : from[right++];
	memcpy(to + i, from + left, (middle - left) * sizeof(*to));
	memcpy(to + i + (middle - left), from + right, (end - right) * sizeof(*to));
}

/* Puts the keys in order, into s->key.  The keys were written downwards, so they are turned round first. */
static void
sort_keys(struct leat_sorter *s)
{
	size_t i, width, n = s->keys;
	struct key *a, *b, *swap;

	if (n == 0)
		return;
	a = (struct key *)(void *)(s->block + s->memory) - n;
	b = a - n;
	for (i = 0; i < n / 2; i++) {
		struct key k = a[i];

		a[i] = a[n - 1 - i];
		a[n - 1 - i] = k;
	}
	for (width = 1; width < n; width *= 2) {
		for (i = 0; i < n; i += 2 * width) {
			size_t end = n - i < 2 * width ? n - i : 2 * width;

			merge_keys(b + i, a + i, width < end ? width : end, end);
		}
		swap = a;
		a = b;
		b = swap;
	}
	s->key = a;
}

/* Sorts the rows in the block, spills them as a run and empties the block. */
static int
spill_block(struct leat_sorter *s, struct leat_error *err)
{
	struct leat_spill_writer w;

	if (s->keys == 0)
		return 0;
	sort_keys(s);
	if (leat_spill_begin(&s->spill, &w, err) != 0)
		return -1;
	for (size_t i = 0; i < s->keys; i++) {
		struct leat_spill_head head = { s->key[i].sec, s->key[i].nsec, 0 };
		const char *at = s->block + s->key[i].at;

		memcpy(&head.len, at, sizeof(head.len));
		if (leat_spill_put(&s->spill, &w, head, at + sizeof(head.len), err) != 0)
			return -1;
	}
	s->keys = s->filled = 0;
	return leat_spill_end(&s->spill, &w, err);
}

/* A row that the empty block cannot hold is a run of its own. */
static int
spill_row(struct leat_sorter *s, struct leat_time time, const void *row, size_t len, struct leat_error *err)
{
	struct leat_spill_head head = { time.sec, time.nsec, (uint32_t)len };
	struct leat_spill_writer w;

	if (len > UINT32_MAX - sizeof(head))
		return leat_error_set(err, "a row of %zu bytes is too long to be sorted", len);
	if (leat_spill_begin(&s->spill, &w, err) != 0 || leat_spill_put(&s->spill, &w, head, row, err) != 0)
		return -1;
	return leat_spill_end(&s->spill, &w, err);
}

/* Room for the row, its key and the key's twin for merging? */
static bool
fits(const struct leat_sorter *s, size_t len)
{
	size_t keys = 2 * (s->keys + 1) * sizeof(struct key);

	return len <= s->memory && keys + s->filled + sizeof(uint32_t) <= s->memory - len;
}

int
leat_sorter_put(struct leat_sorter *s, struct leat_time time, const void *row, size_t len, struct leat_error *err)
{
	struct key *end;
	uint32_t len32 = (uint32_t)len;

	if (s->block == NULL && (s->block = malloc(s->memory)) == NULL)
		return leat_error_memory(err);
	if (!fits(s, len)) {
		if (spill_block(s, err) != 0)
			return -1;
		if (!fits(s, len))
			return spill_row(s, time, row, len, err);
	}
	end = (struct key *)(void *)(s->block + s->memory);
	s->keys++;
	*(end - s->keys) = (struct key){ time.sec, time.nsec, (uint32_t)s->filled };
	memcpy(s->block + s->filled, &len32, sizeof(len32));
	if (len > 0)
		memcpy(s->block + s->filled + sizeof(len32), row, len);
	s->filled += sizeof(len32) + len;
	return 0;
}

/* After the last put: either all rows are in the block, or all are spilled and the block serves to read them. */
static int
start_reading(struct leat_sorter *s, struct leat_error *err)
{
	s->reading = true;
	if (s->spill.runs == 0) {
		sort_keys(s);
		return 0;
	}
	if (spill_block(s, err) != 0)
		return -1;
	return leat_spill_rewind(&s->spill, s->block, s->memory, err);
}

int
leat_sorter_next(struct leat_sorter *s, struct leat_time *time, struct leat_span *row, struct leat_error *err)
{
	const struct key *k;
	uint32_t len;

	if (!s->reading && start_reading(s, err) != 0)
		return -1;
	if (s->spill.runs > 0)
		return leat_spill_next(&s->spill, time, row, err);
	if (s->next == s->keys)
		return 0;
	k = &s->key[s->next++];
	memcpy(&len, s->block + k->at, sizeof(len));
	*time = (struct leat_time){ k->sec, k->nsec };
	*row = leat_span_make(s->block + k->at + sizeof(len), len);
	return 1;
}

size_t
leat_sorter_spilled(const struct leat_sorter *s)
{
	return s->spill.written;
}

void
leat_sorter_free(struct leat_sorter *s)
{
	if (s == NULL)
		return;
	leat_spill_close(&s->spill);
	free(s->block);
	free(s->folder);
	free(s);
}
