/*
 * leat-precharge over readings given as text.
 */
#ifndef LEAT_TESTS_PRECHARGE_PASS_H
#define LEAT_TESTS_PRECHARGE_PASS_H

#include "derive/precharge.h"
#include "row_value.h"
#include "table_file.h"

#define ROWS_HEADER "time,asset,point,value,unit,quality\n"
#define PLATE_HEADER "asset,property,value,unit,from\n"

/* What goes in, all but rows may be NULL; rows have their header. */
struct gas_in {
	const char *rows, *plate, *book, *curves;
	const char *now;
	bool only, explain;
};

/* One pass; what comes out must be freed.  NULL with err where it failed. */
static inline char *
gas_pass(const struct gas_in *in, struct leat_error *err)
{
	struct table_file rows = table_file_text(in->rows), plate = table_file_text(in->plate != NULL ? in->plate : PLATE_HEADER);
	struct table_file curve = table_file_text(in->curves != NULL ? in->curves : "asset,grinding_pressure,precharge\n");
	char *path = rows.path, *text = NULL;
	size_t size = 0;
	FILE *stream = open_memstream(&text, &size);
	static struct leat_out out;
	struct leat_precharge gas = { .explain = in->explain };
	struct leat_precharges curves;
	struct leat_logbook book;
	struct leat_nameplate *np = leat_nameplate_read(plate.path, NULL, err);
	struct leat_time now = LEAT_TIME_NONE;
	struct leat_reading r;
	int kept = 0;

	if (np == NULL || leat_precharges_read(&curves, curve.path, NULL, err) != 0 ||
	    leat_logbook_text(&book, "book", leat_span_of(in->book != NULL ? in->book : LEAT_LOGBOOK_HEADER "\n"), NULL,
	    LEAT_TIME_NONE, NULL, err) != 0)
		fail_msg("%s", err->text);
	gas.in = leat_readings_open(&path, 1, err);
	assert_true(stream != NULL && gas.in != NULL);
	leat_out_init(&out, stream);
	gas.np = np;
	gas.curves = &curves;
	gas.book = &book;
	gas.out = &out;
	leat_precharge_init(&gas);
	leat_readings_write_header(&out, gas.in);
	while (kept >= 0 && leat_readings_next(gas.in, &r, err) == LEAT_READINGS_ROW) {
		kept = leat_precharge_take(&gas, &r, err);
		if (kept > 0 && !in->only)
			leat_readings_copy(&out, gas.in, &r);
	}
	if (in->now != NULL)
		assert_int_equal(leat_time_parse(leat_span_of(in->now), &now), 0);
	if (kept >= 0)
		kept = leat_precharge_end(&gas, now, err);
	leat_precharge_free(&gas);
	leat_readings_close(gas.in);
	leat_logbook_free(&book);
	leat_precharges_free(&curves);
	leat_nameplate_free(np);
	assert_int_equal(leat_out_flush(&out), 0);
	fclose(stream);
	table_file_drop(&rows);
	table_file_drop(&plate);
	table_file_drop(&curve);
	if (kept >= 0)
		return text;
	free(text);
	return NULL;
}

#endif
