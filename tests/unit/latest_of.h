/*
 * The latest readings of a readings text, for tests of what looks at them.
 */
#ifndef LEAT_TESTS_LATEST_OF_H
#define LEAT_TESTS_LATEST_OF_H

#include "stream/current.h"
#include "table_file.h"

struct latest_of {
	struct table_file file;
	struct leat_readings *in;
	struct leat_current current;
	struct leat_reading last;	/* the reading taken in last; its spans are gone */
};

static inline void
latest_open(struct latest_of *l, const char *rows, const struct leat_points *points)
{
	struct leat_error err = { 0 };
	struct leat_buf text = { 0 };
	char *path;

	assert_int_equal(leat_buf_printf(&text, "time,asset,point,value,unit,quality\n%s", rows), 0);
	l->file = table_file_bytes(text.data, text.len);
	leat_buf_free(&text);
	path = l->file.path;
	l->in = leat_readings_open(&path, 1, &err);
	if (l->in == NULL)
		fail_msg("%s", err.text);
	leat_current_init(&l->current, l->in, points);
}

/* Takes in the next reading; false at the end. */
static inline bool
latest_next(struct latest_of *l)
{
	struct leat_error err = { 0 };
	enum leat_readings_status status = leat_readings_next(l->in, &l->last, &err);

	if (status == LEAT_READINGS_END)
		return false;
	if (status != LEAT_READINGS_ROW)
		fail_msg("line %ld: %s", err.line, err.text);
	assert_int_equal(leat_current_put(&l->current, &l->last), 0);
	return true;
}

static inline void
latest_all(struct latest_of *l, const char *rows, const struct leat_points *points)
{
	latest_open(l, rows, points);
	while (latest_next(l))
		continue;
}

static inline void
latest_close(struct latest_of *l)
{
	leat_current_free(&l->current);
	leat_readings_close(l->in);
	table_file_drop(&l->file);
}

static inline struct leat_time
time_of(const char *text)
{
	struct leat_time t = LEAT_TIME_NONE;

	assert_int_equal(leat_time_parse(leat_span_of(text), &t), 0);
	return t;
}

#endif
