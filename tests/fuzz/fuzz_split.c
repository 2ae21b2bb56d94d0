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
size_t fuzz_make(uint64_t *state, uint8_t *bytes);

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

/* A short record with a bias to bytes that are odd in some way: about every second one is a separator, a blank, a control
 * byte or of a character beyond ASCII.  What the reader would not hand over is rare, so that nearly all are split. */
size_t
fuzz_make(uint64_t *state, uint8_t *bytes)
{
	static const char odd[64] =
	    ",,,,,,,,,,,,;;;;;;\t\t\t\t\t\t||||||          "
	    "''!!##.-+\\\x01\x0b\x1f\x7f\x80\xa0\xbf\xc2\xe2\xef\xff\"\r\n";
	uint64_t draw, pick = 0;
	size_t len;

	*state ^= *state << 13;
	*state ^= *state >> 7;
	*state ^= *state << 17;
	draw = *state >> 8;
	/* Most are short, some reach over several words. */
	len = draw % 8 != 0 ? draw / 8 % 24 : draw / 8 % 120;
	bytes[0] = (uint8_t)(draw / 1024 % 4);
	for (size_t i = 1; i <= len; i++) {
		if (i % 8 == 1) {
			*state ^= *state << 13;
			*state ^= *state >> 7;
			*state ^= *state << 17;
			pick = *state;
		}
		bytes[i] = pick & 1 ? (uint8_t)odd[pick >> 1 & 63] : (uint8_t)('0' + (pick >> 1 & 63));
		pick = pick >> 7 | pick << 57;
	}
	return len + 1;
}
