/*
 * Fuzzing the two ways of splitting against each other: whatever plain record the row reader could hand over, the direct
 * way and libcsv give equal fields.
 */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "stream/rows.h"
#include "stream/splitter.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void
require(bool holds)
{
	if (!holds)
		abort();
}

static void
compare(const struct leat_record *record, struct leat_splitter *direct, struct leat_splitter *csv)
{
	struct leat_fields a, b;
	size_t stored;

	require(leat_splitter_split(direct, record, &a) == LEAT_SPLIT_DONE);
	require(leat_splitter_split(csv, record, &b) == LEAT_SPLIT_DONE);
	require(a.count == b.count);
	stored = a.count < LEAT_FIELD_LIMIT ? a.count : LEAT_FIELD_LIMIT;
	for (size_t i = 0; i < stored; i++)
		require(leat_span_eq(a.field[i], b.field[i]));
}

/* The first byte picks the separator; each line of the rest that is a plain record is split both ways. */
int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	static const char separators[] = ",;\t|";
	static struct leat_splitter *direct[4], *csv[4];
	size_t kind, i = 1;

	if (size == 0)
		return 0;
	kind = data[0] % 4;
	if (direct[kind] == NULL) {
		direct[kind] = leat_splitter_new(separators[kind], true);
		csv[kind] = leat_splitter_new(separators[kind], false);
		require(direct[kind] != NULL && csv[kind] != NULL);
	}
	while (i < size) {
		const uint8_t *end = memchr(data + i, '\n', size - i);
		size_t len = end != NULL ? (size_t)(end - (data + i)) : size - i;
		struct leat_record record = { .bytes = leat_span_make((const char *)data + i, len) };

		/* What the reader refuses or counts as a blank line never comes here. */
		if (len > 0 && memchr(data + i, '"', len) == NULL && memchr(data + i, '\0', len) == NULL &&
		    memchr(data + i, '\r', len) == NULL) {
			record.blanks = memchr(data + i, ' ', len) != NULL || memchr(data + i, '\t', len) != NULL;
			compare(&record, direct[kind], csv[kind]);
		}
		i += len + 1;
	}
	return 0;
}
