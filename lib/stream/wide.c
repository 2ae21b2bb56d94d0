/*
 * Readings as a table for notebooks.
 */
#include "stream/wide.h"

#include <stdlib.h>

/* The number of the column of the key, new if need be. */
static uint32_t
column_of(struct leat_wide *w, const struct leat_reading *r, uint32_t unit)
{
	uint32_t asset = leat_names_put(&w->assets, r->asset), point = leat_names_put(&w->points, r->point);
	uint32_t series, column;

	if (asset == LEAT_NAME_NONE || point == LEAT_NAME_NONE)
		return LEAT_NAME_NONE;
	series = leat_pairs_put(&w->series, asset, point);
	column = series != LEAT_NAME_NONE ? leat_pairs_put(&w->keys, series, unit) : LEAT_NAME_NONE;
	if (column == LEAT_NAME_NONE || leat_grow(&w->column, &w->cap, (size_t)column + 1, sizeof(*w->column)) != 0)
		return LEAT_NAME_NONE;
	if (column == w->columns) {
		w->column[column].asset = w->assets.name[asset];
		w->column[column].point = w->points.name[point];
		w->column[column].unit = w->units.name[unit];
		w->columns++;
	}
	return column;
}

int
leat_wide_learn(struct leat_wide *w, const struct leat_reading *r, uint32_t *column, struct leat_error *err)
{
	struct leat_wide_guess *guess;

	if (r->series >= w->guesses && leat_grow(&w->guess, &w->guesses, (size_t)r->series + 1, sizeof(*w->guess)) != 0)
		return leat_error_memory(err);
	/* A series mostly has one unit. */
	guess = &w->guess[r->series];
	if (guess->column == 0 || !leat_span_eq(w->units.name[guess->unit], r->unit)) {
		guess->unit = leat_names_put(&w->units, r->unit);
		*column = guess->unit != LEAT_NAME_NONE ? column_of(w, r, guess->unit) : LEAT_NAME_NONE;
		if (*column == LEAT_NAME_NONE)
			return leat_error_memory(err);
		if (w->columns > LEAT_WIDE_LIMIT)
			return leat_error_set(err, "more than %u columns: choose with --asset and --point", LEAT_WIDE_LIMIT);
		guess->column = *column + 1;
	}
	*column = guess->column - 1;
	return 0;
}

void
leat_wide_renew(struct leat_wide *w)
{
	if (w->guesses > 0)
		memset(w->guess, 0, w->guesses * sizeof(*w->guess));
}

struct key {
	const struct leat_wide_column *column;
	size_t number;
};

static int
by_key(const void *va, const void *vb)
{
	const struct leat_wide_column *a = ((const struct key *)va)->column, *b = ((const struct key *)vb)->column;
	int order = leat_span_cmp(a->asset, b->asset);

	if (order == 0)
		order = leat_span_cmp(a->point, b->point);
	return order != 0 ? order : leat_span_cmp(a->unit, b->unit);
}

static int
put_in_order(struct leat_wide *w)
{
	struct key *key = calloc(w->columns + 1, sizeof(*key));

	w->order = calloc(w->columns + 1, sizeof(*w->order));
	if (key == NULL || w->order == NULL) {
		free(key);
		return -1;
	}
	for (size_t i = 0; i < w->columns; i++)
		key[i] = (struct key){ &w->column[i], i };
	qsort(key, w->columns, sizeof(*key), by_key);
	for (size_t i = 0; i < w->columns; i++)
		w->order[i] = key[i].number;
	free(key);
	return 0;
}

int
leat_wide_header(struct leat_wide *w, struct leat_out *out)
{
	struct leat_buf name = { 0 };
	int result = put_in_order(w);

	leat_out_text(out, "time");
	for (size_t i = 0; result == 0 && i < w->columns; i++) {
		const struct leat_wide_column *c = &w->column[w->order[i]];

		leat_buf_reset(&name);
		if (leat_buf_add_span(&name, c->asset) != 0 || leat_buf_add(&name, ":", 1) != 0 ||
		    leat_buf_add_span(&name, c->point) != 0 || (c->unit.len > 0 && (leat_buf_add(&name, " [", 2) != 0 ||
		    leat_buf_add_span(&name, c->unit) != 0 || leat_buf_add(&name, "]", 1) != 0)))
			result = -1;
		leat_out_char(out, ',');
		leat_out_field(out, leat_buf_span(&name));
	}
	leat_out_char(out, '\n');
	leat_buf_free(&name);
	return result;
}

static void
write_row(struct leat_wide *w, struct leat_out *out)
{
	leat_out_time(out, w->time);
	for (size_t i = 0; i < w->columns; i++) {
		struct leat_buf *value = &w->column[w->order[i]].value;

		leat_out_char(out, ',');
		if (value->len > 0)
			leat_out_field(out, leat_buf_span(value));
		leat_buf_reset(value);
	}
	leat_out_char(out, '\n');
	w->rows++;
}

int
leat_wide_put(struct leat_wide *w, struct leat_out *out, uint32_t column, struct leat_time time, struct leat_span value)
{
	struct leat_buf *cell = &w->column[column].value;

	if (w->pending && leat_time_cmp(time, w->time) != 0)
		write_row(w, out);
	w->pending = true;
	w->time = time;
	if (value.len == 0)
		return 0;
	w->overwritten += cell->len > 0 && !leat_span_eq(leat_buf_span(cell), value);
	leat_buf_reset(cell);
	return leat_buf_add_span(cell, value);
}

void
leat_wide_end(struct leat_wide *w, struct leat_out *out)
{
	if (w->pending)
		write_row(w, out);
	w->pending = false;
}

void
leat_wide_free(struct leat_wide *w)
{
	for (size_t i = 0; i < w->columns; i++)
		leat_buf_free(&w->column[i].value);
	leat_names_free(&w->assets);
	leat_names_free(&w->points);
	leat_names_free(&w->units);
	leat_pairs_free(&w->series);
	leat_pairs_free(&w->keys);
	free(w->column);
	free(w->order);
	free(w->guess);
	memset(w, 0, sizeof(*w));
}
