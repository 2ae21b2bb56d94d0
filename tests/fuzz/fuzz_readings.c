/*
 * Fuzzing the readings stream: bytes 0xFE, which UTF-8 never has, part the input into up to three files.  Whatever they
 * hold, readings come in time order with right numbers for their names, and what is copied out reads back as the same
 * stream, byte for byte.
 */
#include <stdint.h>
#include <stdlib.h>

#include "stream/reading.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void
require(bool holds)
{
	if (!holds)
		abort();
}

static void
check_reading(struct leat_readings *in, const struct leat_reading *r, struct leat_time last)
{
	require(leat_time_is_none(last) || leat_time_cmp(last, r->time) <= 0);
	require(leat_span_eq(leat_readings_assets(in)->name[r->asset_id], r->asset));
	require(leat_span_eq(leat_readings_points(in)->name[r->point_id], r->point));
	require(leat_pairs_get(leat_readings_series(in), r->asset_id, r->point_id) == r->series);
	require(r->asset.len > 0 && r->point.len > 0 && (r->value.len > 0 || r->quality == LEAT_BAD));
	require(leat_utf8_valid(r->asset) && leat_utf8_valid(r->point));
}

/* Copies all readings to a text that the caller frees.  NULL when there is no readings stream; *whole tells that the end
 * was reached. */
static char *
copy_all(struct leat_readings *in, size_t *len, bool *whole, struct leat_readings_count *counted)
{
	static struct leat_out out;
	enum leat_readings_status status;
	struct leat_time last = LEAT_TIME_NONE;
	struct leat_error err = { 0 };
	struct leat_reading r;
	long long rows = 0, rejected = 0;
	char *text = NULL;
	FILE *file;

	if (in == NULL)
		return NULL;
	file = open_memstream(&text, len);
	require(file != NULL);
	leat_out_init(&out, file);
	leat_readings_write_header(&out, in);
	while ((status = leat_readings_next(in, &r, &err)) > LEAT_READINGS_END) {
		if (status == LEAT_READINGS_BAD) {
			rejected++;
			require(leat_readings_rejected(in).len <= 4096 && err.text[0] != '\0');
			continue;
		}
		check_reading(in, &r, last);
		last = r.time;
		rows++;
		leat_readings_copy(&out, in, &r);
	}
	*whole = status == LEAT_READINGS_END;
	require(*whole || err.text[0] != '\0');
	*counted = leat_readings_counted(in);
	require(counted->rows == rows && counted->rejected == rejected);
	require(leat_out_flush(&out) == 0);
	fclose(file);
	leat_readings_close(in);
	return text;
}

static struct leat_readings *
take_parts(const uint8_t *data, size_t size)
{
	struct leat_input *input[3];
	struct leat_error err = { 0 };
	struct leat_readings *in;
	size_t count = 0, at = 0, len;

	do {
		const uint8_t *end = count < 2 && at < size ? memchr(data + at, 0xFE, size - at) : NULL;

		len = end != NULL ? (size_t)(end - data) - at : size - at;
		input[count] = leat_input_memory("fuzz", data + at, len, LEAT_ENCODING_RAW, &err);
		require(input[count] != NULL);
		count++;
		at += len + 1;
	} while (at <= size && count < 3);
	in = leat_readings_take(input, count, &err);
	require(in != NULL || err.text[0] != '\0');
	return in;
}

int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	struct leat_readings_count first, second;
	struct leat_error err = { 0 };
	struct leat_input *input;
	size_t len, again_len;
	char *text, *again;
	bool whole;

	text = copy_all(take_parts(data, size), &len, &whole, &first);
	if (text == NULL)
		return 0;
	input = leat_input_memory("copy", text, len, LEAT_ENCODING_RAW, &err);
	require(input != NULL);
	again = copy_all(leat_readings_take(&input, 1, &err), &again_len, &whole, &second);
	require(again != NULL && whole);
	require(second.rows == first.rows && second.rejected == 0 && second.headers == 0 && second.blank == 0);
	require(again_len == len && memcmp(again, text, len) == 0);
	free(text);
	free(again);
	return 0;
}
