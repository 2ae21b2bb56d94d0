/*
 * Fuzzing the row reader: whatever the bytes, every line is accounted for, and a good record splits as a plain walk over
 * its bytes splits it.
 */
#include <stdint.h>
#include <stdlib.h>

#include "stream/rows.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void
require(bool holds)
{
	if (!holds)
		abort();
}

/* The next field of a well-formed record, unquoted into dst.  *p moves behind the separator, or to NULL at the end. */
static size_t
walk_field(const char **p, const char *end, char separator, char *dst)
{
	const char *s = *p;
	size_t n = 0;

	if (s < end && *s == '"') {
		for (s++;; s++) {
			require(s < end);
			if (*s == '"' && (s + 1 == end || s[1] != '"'))
				break;
			if (*s == '"')
				s++;
			dst[n++] = *s;
		}
		s++;
	} else {
		while (s < end && *s != separator)
			dst[n++] = *s++;
	}
	require(s == end || *s == separator);
	*p = s == end ? NULL : s + 1;
	return n;
}

static void
check_row(const struct leat_row *row, char separator)
{
	const char *p = row->raw.ptr, *end = row->raw.ptr + row->raw.len;
	char *field = malloc(row->raw.len + 1);
	size_t i, n;

	require(field != NULL);
	require(row->count >= 1 && row->count <= LEAT_FIELD_LIMIT && row->raw.len > 0);
	for (i = 0; i < row->count; i++) {
		require(p != NULL);
		n = walk_field(&p, end, separator, field);
		require(leat_span_eq(row->field[i], leat_span_make(field, n)));
		require(memchr(field, '\0', n) == NULL);
	}
	require(p == NULL);
	free(field);
}

static void
read_all(const uint8_t *data, size_t size, char separator, enum leat_encoding encoding)
{
	struct leat_error err = { 0 };
	struct leat_input *in = leat_input_memory("fuzz", data, size, encoding, &err);
	enum leat_rows_status status;
	struct leat_rows *rows;
	struct leat_row row;
	long lines = 0, blank = 0;

	require(in != NULL);
	rows = leat_rows_open(in, separator, &err);
	require(rows != NULL);
	while ((status = leat_rows_next(rows, &row, &err)) > LEAT_ROWS_END) {
		/* Between two records there are blank lines and nothing else. */
		require(row.line == lines + 1 + leat_rows_blank(rows) - blank && row.lines >= 1);
		blank = leat_rows_blank(rows);
		lines = row.line + row.lines - 1;
		require(leat_rows_lines(rows) == lines);
		require(row.raw.len <= LEAT_ROW_LIMIT);
		if (status == LEAT_ROWS_ROW)
			check_row(&row, separator);
		else
			require(row.raw.len <= 4096 && err.line == row.line && err.text[0] != '\0');
	}
	require(status != LEAT_ROWS_FAILED || err.text[0] != '\0');
	/* As many lines as line feeds, and the one that has none. */
	if (encoding == LEAT_ENCODING_RAW && status == LEAT_ROWS_END && (size < 2 || data[0] != 0x1F)) {
		size_t i, mark = size >= 3 && memcmp(data, "\xEF\xBB\xBF", 3) == 0 ? 3 : 0;

		for (lines = 0, i = mark; i < size; i++)
			lines += data[i] == '\n' || i + 1 == size;
		require(leat_rows_lines(rows) == lines);
	}
	leat_rows_close(rows);
}

int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	read_all(data, size, ',', LEAT_ENCODING_RAW);
	read_all(data, size, ';', LEAT_ENCODING_AUTO);
	read_all(data, size, '\t', LEAT_ENCODING_UTF16LE);
	return 0;
}
