/* Rows that are made, held back and explained. */
#include "derive/made.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>

#define TEXT_MAX 4096

static bool
asked_for(const struct leat_made *made, struct leat_span asset, const char *point)
{
	struct leat_span what = made->what;

	if (what.len == 0 || leat_span_eq(what, asset))
		return true;
	if (asset.len > what.len)
		return asset.ptr[what.len] == '/' && leat_span_eq(leat_span_make(asset.ptr, what.len), what);
	return what.len > asset.len && what.ptr[asset.len] == '/' &&
	    leat_span_eq(leat_span_make(what.ptr, asset.len), asset) &&
	    leat_span_is(leat_span_make(what.ptr + asset.len + 1, what.len - asset.len - 1), point);
}

static void
say(struct leat_made *made, struct leat_span asset, const char *point, const char *result, const char *fmt, va_list args)
{
	char text[TEXT_MAX];

	vsnprintf(text, sizeof(text), fmt, args);
	leat_out_time(made->out, made->time);
	leat_out_char(made->out, ' ');
	leat_out_span(made->out, asset);
	leat_out_char(made->out, ' ');
	leat_out_text(made->out, point);
	leat_out_text(made->out, result);
	leat_out_text(made->out, ": ");
	leat_out_text(made->out, text);
	leat_out_char(made->out, '\n');
}

void
leat_made_put(struct leat_made *made, const struct leat_made_row *row, const char *fmt, ...)
{
	char number[LEAT_NUMBER_MAX], result[LEAT_NUMBER_MAX + 32];
	va_list args;

	if (!made->explain) {
		if (leat_grow(&made->row, &made->row_cap, made->rows + 1, sizeof(*made->row)) != 0)
			made->no_memory = true;
		else
			made->row[made->rows++] = *row;
		return;
	}
	if (!asked_for(made, row->asset, row->point))
		return;
	if (isfinite(row->value)) {
		leat_number_fixed(number, row->value, row->decimals);
		snprintf(result, sizeof(result), " %s%s%s%s", number, strcmp(row->unit, "1") == 0 ? "" : " ",
		    strcmp(row->unit, "1") == 0 ? "" : row->unit, row->quality == LEAT_UNCERTAIN ? ", uncertain" : "");
	} else {
		snprintf(result, sizeof(result), " has no value");
	}
	va_start(args, fmt);
	say(made, row->asset, row->point, result, fmt, args);
	va_end(args);
}

void
leat_made_refuse(struct leat_made *made, struct leat_span asset, const char *point, const char *fmt, ...)
{
	va_list args;

	if (!made->explain || !asked_for(made, asset, point))
		return;
	va_start(args, fmt);
	say(made, asset, point, " not made", fmt, args);
	va_end(args);
}

int
leat_made_hold(struct leat_made *made, const struct leat_reading *r)
{
	if (leat_grow(&made->held, &made->held_cap, made->helds + 1, sizeof(*made->held)) != 0 ||
	    leat_readings_copy_to(&made->text, made->in, r) != 0)
		return -1;
	made->held[made->helds++] = (struct leat_made_held){
		leat_readings_assets(made->in)->name[r->asset_id], leat_readings_points(made->in)->name[r->point_id],
		made->text.len
	};
	return 0;
}

static bool
is_made(const struct leat_made *made, const struct leat_made_held *held)
{
	for (size_t i = 0; i < made->rows; i++)
		if (leat_span_is(held->point, made->row[i].point) && leat_span_eq(held->asset, made->row[i].asset))
			return true;
	return false;
}

static void
write_row(struct leat_made *made, const struct leat_made_row *row)
{
	char text[LEAT_NUMBER_MAX];
	size_t len = isfinite(row->value) ? leat_number_fixed(text, row->value, row->decimals) : 0;

	leat_readings_add(made->out, made->in, &(struct leat_reading){
		.time = made->time, .asset = row->asset, .point = leat_span_of(row->point), .value = leat_span_make(text, len),
		.unit = leat_span_of(row->unit), .quality = len > 0 ? row->quality : LEAT_BAD
	});
	made->added++;
}

void
leat_made_flush(struct leat_made *made)
{
	size_t start = 0;

	for (size_t i = 0; i < made->helds; i++) {
		if (is_made(made, &made->held[i]))
			made->replaced++;
		else if (made->copy)
			leat_out_bytes(made->out, made->text.data + start, made->held[i].end - start);
		start = made->held[i].end;
	}
	for (size_t i = 0; i < made->rows; i++)
		write_row(made, &made->row[i]);
	made->helds = made->rows = 0;
	leat_buf_reset(&made->text);
}

void
leat_made_free(struct leat_made *made)
{
	free(made->held);
	free(made->row);
	leat_buf_free(&made->text);
}
