/*
 * Reads CSV from standard input and writes it in a form that needs no CSV to read:
 *
 *	dump_rows fields	each record as its number of fields, then each field as LENGTH:BYTES
 *	dump_rows again		as CSV again, through the library's own writer
 *
 * Status 2 when the input cannot be read or has a bad record.
 */
#include <stdlib.h>

#include "stream/out.h"
#include "stream/rows.h"

static void
put(struct leat_out *out, const struct leat_row *row, bool again)
{
	char number[32];
	size_t i;

	if (!again) {
		snprintf(number, sizeof(number), "%zu\n", row->count);
		leat_out_text(out, number);
	}
	for (i = 0; i < row->count; i++) {
		if (again) {
			if (i > 0)
				leat_out_char(out, ',');
			leat_out_field(out, row->field[i]);
			continue;
		}
		snprintf(number, sizeof(number), "%zu:", row->field[i].len);
		leat_out_text(out, number);
		leat_out_span(out, row->field[i]);
	}
	leat_out_char(out, '\n');
}

int
main(int argc, char **argv)
{
	static struct leat_out out;
	struct leat_error err = { 0 };
	struct leat_input *in = leat_input_open("-", LEAT_ENCODING_RAW, &err);
	struct leat_rows *rows = in != NULL ? leat_rows_open(in, ',', &err) : NULL;
	enum leat_rows_status status = LEAT_ROWS_FAILED;
	struct leat_row row;
	char text[1024];

	if (argc != 2)
		return 2;
	leat_out_init(&out, stdout);
	while (rows != NULL && (status = leat_rows_next(rows, &row, &err)) == LEAT_ROWS_ROW)
		put(&out, &row, strcmp(argv[1], "again") == 0);
	leat_rows_close(rows);
	if (status != LEAT_ROWS_END) {
		fprintf(stderr, "dump_rows: %s\n", leat_error_format(&err, text, sizeof(text)));
		return 2;
	}
	return leat_out_flush(&out) == 0 ? 0 : 2;
}
