/* Rows of the stream that a derive filter turns away. */
#include "derive/refused_row.h"

int
leat_refuse_value(struct leat_readings *in, const struct leat_reading *r, const char *why, leat_refused_row_fn *tell,
    struct leat_error *err)
{
	struct leat_buf row = { 0 };

	if (leat_readings_copy_to(&row, in, r) != 0) {
		leat_buf_free(&row);
		return leat_error_memory(err);
	}
	leat_error_set(err, "%s", why);
	leat_error_at(err, leat_readings_source(in, r->source), r->line);
	leat_error_column(err, LEAT_SPAN("value"));
	leat_error_value(err, r->value);
	if (tell != NULL)
		tell(err, leat_span_make(row.data, row.len - 1));
	leat_buf_free(&row);
	return 0;
}
