/*
 * leat-attain over readings given as text.
 */
#ifndef LEAT_TESTS_ATTAIN_PASS_H
#define LEAT_TESTS_ATTAIN_PASS_H

#include "derive/attain.h"
#include "row_value.h"
#include "table_file.h"

#define ROWS_HEADER "time,asset,point,value,unit,quality\n"
#define PLATE_HEADER "asset,property,value,unit,from\n"

/* What goes in, all but rows may be NULL; rows have their header. */
struct attain_in {
	const char *rows, *plate, *points, *book;
	const char *now;
	bool only, partial, explain;
};

/* One pass; what comes out must be freed.  NULL with err where it failed. */
static inline char *
attain_pass(const struct attain_in *in, struct leat_error *err)
{
	struct table_file rows = table_file_text(in->rows), plate = table_file_text(in->plate != NULL ? in->plate : PLATE_HEADER);
	struct table_file table = table_file_text(in->points != NULL ? in->points : "tag,asset,point,hold\n");
	char *path = rows.path, *text = NULL;
	size_t size = 0;
	FILE *stream = open_memstream(&text, &size);
	static struct leat_out out;
	struct leat_points points;
	struct leat_logbook book;
	struct leat_attain attain = { .explain = in->explain };
	struct leat_nameplate *np = leat_nameplate_read(plate.path, NULL, err);
	struct leat_time now = LEAT_TIME_NONE;
	struct leat_reading r;
	bool absent;
	int kept = 0;

	if (np == NULL || leat_points_read(&points, table.path, &absent, err) != 0 ||
	    leat_logbook_text(&book, "book", leat_span_of(in->book != NULL ? in->book : LEAT_LOGBOOK_HEADER "\n"), NULL,
	    LEAT_TIME_NONE, NULL, err) != 0)
		fail_msg("%s", err->text);
	attain.in = leat_readings_open(&path, 1, err);
	assert_true(stream != NULL && attain.in != NULL);
	leat_out_init(&out, stream);
	attain.np = np;
	attain.points = &points;
	attain.book = &book;
	attain.out = &out;
	assert_int_equal(leat_attain_init(&attain), 0);
	leat_readings_write_header(&out, attain.in);
	while (kept >= 0 && leat_readings_next(attain.in, &r, err) == LEAT_READINGS_ROW) {
		kept = leat_attain_take(&attain, &r, err);
		if (kept > 0 && !in->only)
			leat_readings_copy(&out, attain.in, &r);
	}
	if (in->now != NULL)
		assert_int_equal(leat_time_parse(leat_span_of(in->now), &now), 0);
	if (kept >= 0)
		kept = leat_attain_end(&attain, now, in->partial, err);
	leat_attain_free(&attain);
	leat_readings_close(attain.in);
	leat_logbook_free(&book);
	leat_points_free(&points);
	leat_nameplate_free(np);
	assert_int_equal(leat_out_flush(&out), 0);
	fclose(stream);
	table_file_drop(&rows);
	table_file_drop(&plate);
	table_file_drop(&table);
	if (kept >= 0)
		return text;
	free(text);
	return NULL;
}

#endif
