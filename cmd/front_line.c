/*
 * The line through two columns of numbers.
 */
#include <math.h>
#include <stdio.h>

#include "front.h"
#include "front_line.h"
#include "stats/kendall.h"
#include "stats/line.h"
#include "stream/xy.h"

#define CONFIDENCE 0.90
#define DIGITS 10

/* Reads one file.  Returns the rows seen, or -1 after a message. */
static long long
read_file(const char *path, const char *const name[2], struct leat_xy *xy)
{
	struct leat_error err;
	struct leat_input *in = leat_input_open(path, LEAT_ENCODING_RAW, &err);
	struct leat_rows *rows = in != NULL ? leat_rows_open(in, ',', &err) : NULL;
	enum leat_rows_status status = LEAT_ROWS_FAILED;
	struct leat_row row;
	long long seen = 0;
	int column[2], taken = 0;

	if (rows != NULL && (status = leat_rows_next(rows, &row, &err)) == LEAT_ROWS_END)
		leat_error_set(&err, "'%s' is empty: its header is missing", leat_rows_name(rows));
	if (status != LEAT_ROWS_ROW || leat_columns_find(&row, name, 2, 2, column, &err) != 0) {
		front_error(&err);
		leat_rows_close(rows);
		return -1;
	}
	while (taken >= 0 && (status = leat_rows_next(rows, &row, &err)) > LEAT_ROWS_END) {
		seen++;
		taken = status == LEAT_ROWS_ROW ? leat_xy_take(xy, &row, column, &err) : 0;
		if (taken == 0) {
			leat_error_at(&err, leat_rows_name(rows), row.line);
			front_reject(&err, row.raw);
		}
	}
	leat_rows_close(rows);
	if (taken >= 0 && status == LEAT_ROWS_END)
		return seen;
	front_error(&err);
	return -1;
}

static void
put(struct leat_out *out, double value, int digits)
{
	char text[LEAT_NUMBER_MAX];

	if (isfinite(value))
		leat_out_bytes(out, text, leat_number_significant(text, value, digits));
	leat_out_char(out, ',');
}

static void
print_line(const struct leat_xy *xy)
{
	struct leat_out *out = front_stdout();
	struct leat_kendall kendall;
	struct leat_line line;
	struct leat_error err;
	char n[32];

	if (leat_kendall(xy->x, xy->y, xy->count, false, &kendall, &err) != 0 ||
	    leat_line_fit(xy->x, xy->y, xy->count, CONFIDENCE, 1, &line, &err) != 0) {
		front_error(&err);
		return;
	}
	leat_out_text(out, "slope,slope_low,slope_high,intercept,tau,p_value,n\n");
	put(out, line.slope, DIGITS);
	put(out, line.slope_low, DIGITS);
	put(out, line.slope_high, DIGITS);
	put(out, line.intercept, DIGITS);
	put(out, kendall.tau, 6);
	put(out, kendall.p, 6);
	snprintf(n, sizeof(n), "%zu\n", xy->count);
	leat_out_text(out, n);
}

void
front_line(const char *x, const char *y, int count, char *const file[])
{
	const char *const name[2] = { x, y };
	struct leat_xy xy = { 0 };
	long long all = 0, seen = 0;

	for (int i = 0; i < count && seen >= 0; i++, all += seen)
		seen = read_file(file[i], name, &xy);
	if (count == 0)
		all = seen = read_file("-", name, &xy);
	if (seen >= 0) {
		front_summary("%lld rows read, %lld rejected", all, front_rejected());
		front_rejects_end(all);
		if (!front_failed())
			print_line(&xy);
	}
	leat_xy_free(&xy);
}
