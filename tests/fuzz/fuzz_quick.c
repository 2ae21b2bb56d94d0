/*
 * Fuzzing the quick way of reading rows against the long way: whatever a readings stream holds, both give the same rows,
 * the same rejects with the same reasons, the same counts, and the same copy.
 */
#include <stdint.h>
#include <stdlib.h>

#include "stream/reading_private.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);
size_t fuzz_make(uint64_t *state, uint8_t *bytes);

static void
require(bool holds)
{
	if (!holds)
		abort();
}

/* One or two files, parted by a byte 0xFE, which UTF-8 never has. */
static struct leat_readings *
open_parts(const uint8_t *data, size_t size, bool any_order)
{
	const uint8_t *end = size > 0 ? memchr(data, 0xFE, size) : NULL;
	size_t first = end != NULL ? (size_t)(end - data) : size, count = end != NULL ? 2 : 1;
	struct leat_input *input[2];
	struct leat_readings *in;
	struct leat_error err;

	input[0] = leat_input_memory("a", data, first, LEAT_ENCODING_RAW, &err);
	if (count == 2)
		input[1] = leat_input_memory("b", end + 1, size - first - 1, LEAT_ENCODING_RAW, &err);
	in = leat_readings_take(input, count, &err);
	if (in != NULL && any_order)
		leat_readings_any_order(in);
	return in;
}

static void
same_reading(const struct leat_reading *a, const struct leat_reading *b)
{
	require(leat_time_cmp(a->time, b->time) == 0 && a->quality == b->quality);
	require(leat_span_eq(a->asset, b->asset) && leat_span_eq(a->point, b->point));
	require(leat_span_eq(a->value, b->value) && leat_span_eq(a->unit, b->unit));
	require(a->asset_id == b->asset_id && a->point_id == b->point_id && a->series == b->series);
	require(a->source == b->source && a->line == b->line);
	require(leat_span_eq(a->row->raw, b->row->raw) && a->row->line == b->row->line && a->row->lines == b->row->lines);
}

static void
same_error(struct leat_readings *a, struct leat_readings *b, const struct leat_error *left, const struct leat_error *right)
{
	char x[1024], y[1024];

	require(strcmp(leat_error_format(left, x, sizeof(x)), leat_error_format(right, y, sizeof(y))) == 0);
	require(leat_span_eq(leat_readings_rejected(a), leat_readings_rejected(b)));
}

/* The first byte says whether times may go back. */
int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	static struct leat_buf left, right;
	struct leat_error why = { 0 }, reason = { 0 };
	enum leat_readings_status status;
	struct leat_readings *quick, *slow;
	struct leat_readings_count a, b;
	struct leat_reading r, s;

	if (size == 0)
		return 0;
	quick = open_parts(data + 1, size - 1, data[0] % 4 == 0);
	slow = open_parts(data + 1, size - 1, data[0] % 4 == 0);
	require((quick == NULL) == (slow == NULL));
	if (quick == NULL)
		return 0;
	for (size_t i = 0; i < slow->count; i++)
		slow->file[i].quick = false;
	leat_buf_reset(&left);
	leat_buf_reset(&right);
	do {
		status = leat_readings_next(quick, &r, &why);
		require(status == leat_readings_next(slow, &s, &reason));
		if (status == LEAT_READINGS_ROW) {
			same_reading(&r, &s);
			require(leat_readings_copy_to(&left, quick, &r) == 0 && leat_readings_copy_to(&right, slow, &s) == 0);
		} else if (status != LEAT_READINGS_END) {
			same_error(quick, slow, &why, &reason);
		}
	} while (status > LEAT_READINGS_END);
	require(leat_span_eq(leat_buf_span(&left), leat_buf_span(&right)));
	a = leat_readings_counted(quick);
	b = leat_readings_counted(slow);
	require(a.rows == b.rows && a.rejected == b.rejected && a.headers == b.headers && a.blank == b.blank);
	leat_readings_close(quick);
	leat_readings_close(slow);
	return 0;
}

static size_t
draw(uint64_t *state, size_t limit)
{
	*state ^= *state << 13;
	*state ^= *state >> 7;
	*state ^= *state << 17;
	return (size_t)((*state >> 11) % limit);
}

/* Appends one of the words: mostly one of the first usual, else any. */
static size_t
word(uint64_t *state, uint8_t *at, const char *const *words, size_t usual, size_t count)
{
	const char *text = words[draw(state, draw(state, 16) != 0 ? usual : count)];
	size_t len = strlen(text);

	memcpy(at, text, len);
	return len;
}

#define WORD(words, usual) word(state, bytes + len, words, usual, sizeof(words) / sizeof((words)[0]))

/* A stream of some rows that are mostly alike, as rows are, with something odd in a few. */
size_t
fuzz_make(uint64_t *state, uint8_t *bytes)
{
	static const char *const header = "time,asset,point,value,unit,quality";
	static const char *const time[] = {
		"2025-01-01T00:00:00Z", "2025-01-01T00:00:00Z", "2025-01-01T00:00:00Z", "2025-01-01T00:01:00Z",
		"2025-01-01T00:00:00.5Z", "2025-01-01t01:00:00+01:00", "2024-12-31T23:59:60Z", "2025-01-01 00:00:00Z",
		"2025-02-30T00:00:00Z", "2025-01-01T00:00:00.123456789+00:00", "", "time", "2025-01-01T00:02:00Z "
	};
	static const char *const names[] = {
		"NM,pressure", "NM/pump-a,drain-flow", "SM,level", "NM,oil temperature", "M\xc3\xbchle,\xc3\xb6l", "A,b", ",pressure",
		"NM,", "\"NM\",pressure", "N\x01,p", "NM,\xff", "NM", "a,b,c",
		"an-asset-with-a-very-long-name-that-fills-the-head/of-a,shape-",
		"an-asset-with-a-name-that-is-longer-than/the-head-of,a-shape-ever", "NM,p\rq"
	};
	static const char *const value[] = {
		"1", "122.3", "-0.25", "12345678", "on", "open", "", "123456789.123456789", " 5", "5 ", "!", "\"5\"", "\"1,5\"", "5\r", "#",
		"1e5", "\x7f", "x\xfez", "1234567890123456789012345678901234567890123456789012345678901234",
		"123456789012345678901234567890123456789012345678901234567890123"
	};
	static const char *const unit[] = {
		"bar", "degC", "", "a unit", "\"bar\"", "a-unit-that-is-longer-than-any", "b,r", "L/min"
	};
	static const char *const quality[] = {
		"good", "good", "good", "bad", "uncertain", "", "Good", "good,", "good ", "\"good\""
	};
	static const char odd[8] = ",\"\r\n 0\0!";
	static const char *const end[] = { "\n", "\n", "\n", "\r\n", "\n\n", "\r", "\r\r\n", "" };
	size_t len = 1, rows = draw(state, 24) + 1, at;

	bytes[0] = (uint8_t)draw(state, 256);
	memcpy(bytes + len, header, strlen(header));
	len += strlen(header);
	len += WORD(end, 3);
	for (; rows > 0; rows--) {
		len += WORD(time, 4);
		bytes[len++] = ',';
		len += WORD(names, 5);
		bytes[len++] = ',';
		len += WORD(value, 7);
		bytes[len++] = ',';
		len += WORD(unit, 2);
		bytes[len++] = ',';
		len += WORD(quality, 4);
		len += WORD(end, 3);
	}
	while (draw(state, 2) == 0) {
		at = draw(state, len);
		bytes[at] = draw(state, 4) == 0 ? (uint8_t)draw(state, 256) : (uint8_t)odd[draw(state, sizeof(odd))];
	}
	return len;
}
