#include "tell/tabular.h"

#include <math.h>
#include <stdlib.h>

#include "base/number.h"

void
leat_tabular_span(struct leat_tabular *g, struct leat_span text)
{
	if (g->failed || leat_grow(&g->at, &g->cap, g->cells + 1, sizeof(*g->at)) != 0 ||
	    leat_buf_add_span(&g->text, text) != 0) {
		g->failed = true;
		return;
	}
	g->at[g->cells++] = g->text.len;
}

void
leat_tabular_begin(struct leat_tabular *g, const char *header)
{
	struct leat_span rest = leat_span_of(header), name;

	while (leat_span_next(&rest, ',', &name)) {
		leat_tabular_span(g, name);
		g->columns++;
	}
}

void
leat_tabular_text(struct leat_tabular *g, const char *text)
{
	leat_tabular_span(g, leat_span_of(text));
}

void
leat_tabular_count(struct leat_tabular *g, long long count)
{
	char text[32];

	snprintf(text, sizeof(text), "%lld", count);
	leat_tabular_text(g, text);
}

void
leat_tabular_number(struct leat_tabular *g, double value, int decimals)
{
	char text[LEAT_NUMBER_MAX];

	if (!isfinite(value)) {
		leat_tabular_text(g, "");
		return;
	}
	leat_tabular_span(g, leat_span_make(text, leat_number_fixed(text, value, decimals)));
}

void
leat_tabular_time(struct leat_tabular *g, struct leat_time t)
{
	char text[LEAT_TIME_MAX];

	if (leat_time_is_none(t)) {
		leat_tabular_text(g, "");
		return;
	}
	leat_tabular_span(g, leat_span_make(text, leat_time_write(text, t)));
}

static struct leat_span
cell(const struct leat_tabular *g, size_t i)
{
	size_t from = i > 0 ? g->at[i - 1] : 0;

	return leat_span_make(g->text.data + from, g->at[i] - from);
}

/* Does row a come before row b? */
static int
row_cmp(const struct leat_tabular *g, size_t a, size_t b, size_t from, size_t to)
{
	int order = 0;

	for (size_t k = from; k < to && order == 0; k++)
		order = leat_span_cmp(cell(g, a * g->columns + k), cell(g, b * g->columns + k));
	return order;
}

int
leat_tabular_sort(struct leat_tabular *g, size_t from, size_t to)
{
	size_t rows = g->columns > 0 ? g->cells / g->columns : 0;
	size_t *row = malloc((rows + 1) * sizeof(*row));
	struct leat_tabular sorted = { .columns = g->columns };

	if (row == NULL)
		return -1;
	for (size_t i = 0; i < rows; i++) {
		size_t at = i;

		/* Rows that are nearly in order, and few: those of some sets of nights. */
		for (; i > 0 && at > 1 && row_cmp(g, row[at - 1], i, from, to) > 0; at--)
			row[at] = row[at - 1];
		row[at] = i;
	}
	for (size_t i = 0; i < rows; i++)
		for (size_t k = 0; k < g->columns; k++)
			leat_tabular_span(&sorted, cell(g, row[i] * g->columns + k));
	free(row);
	sorted.failed = sorted.failed || g->failed;
	leat_tabular_free(g);
	*g = sorted;
	return g->failed ? -1 : 0;
}

int
leat_tabular_keep_differing(struct leat_tabular *g, size_t from, size_t to, size_t alike)
{
	size_t rows = g->columns > 0 ? g->cells / g->columns : 0, end;
	struct leat_tabular kept = { .columns = g->columns };

	for (size_t i = 0; i < rows; i = end) {
		bool keep = i == 0;

		for (end = i + 1; end < rows && row_cmp(g, i, end, from, to) == 0; end++)
			keep = keep || row_cmp(g, i, end, alike, g->columns) != 0;
		keep = keep || end == i + 1;
		for (size_t k = i * g->columns; keep && k < end * g->columns; k++)
			leat_tabular_span(&kept, cell(g, k));
	}
	kept.failed = kept.failed || g->failed;
	leat_tabular_free(g);
	*g = kept;
	return g->failed ? -1 : 0;
}

/* As people read it. */
static struct leat_span
short_cell(const struct leat_tabular *g, size_t i)
{
	struct leat_span s = cell(g, i);
	struct leat_time t;

	/* YYYY-MM-DDTHH:MM */
	if (s.len >= 20 && s.ptr[4] == '-' && s.ptr[10] == 'T' && leat_time_parse(s, &t) == 0)
		s.len = 16;
	return s;
}

static size_t
characters(struct leat_span s)
{
	size_t count = 0;

	for (size_t i = 0; i < s.len; i++)
		count += ((unsigned char)s.ptr[i] & 0xC0) != 0x80;
	return count;
}

/* The width of a column, 0: nothing stands below its header.  *right: numbers alone do. */
static size_t
width_of(const struct leat_tabular *g, size_t column, bool *right)
{
	size_t width = 0;
	double number;

	*right = true;
	for (size_t i = g->columns + column; i < g->cells; i += g->columns) {
		struct leat_span s = short_cell(g, i);

		width = characters(s) > width ? characters(s) : width;
		*right = *right && (s.len == 0 || leat_double_parse(s, &number) == 0);
	}
	if (width > 0 && characters(cell(g, column)) > width)
		width = characters(cell(g, column));
	return width;
}

static void
write_people(const struct leat_tabular *g, struct leat_out *out, const size_t *width, const bool *right)
{
	for (size_t i = 0; i < g->cells; i += g->columns) {
		size_t owed = 0;

		for (size_t k = 0; k < g->columns && i + k < g->cells; k++) {
			struct leat_span s = short_cell(g, i + k);
			size_t pad = width[k] - (width[k] > 0 ? characters(s) : 0);

			if (width[k] == 0)
				continue;
			owed += right[k] ? pad : 0;
			if (s.len > 0) {
				for (; owed > 0; owed--)
					leat_out_char(out, ' ');
				leat_out_span(out, s);
			}
			owed += (right[k] ? 0 : pad) + 2;
		}
		leat_out_char(out, '\n');
	}
}

void
leat_tabular_write(const struct leat_tabular *g, struct leat_out *out, bool people)
{
	size_t *width = people ? calloc(g->columns + 1, sizeof(*width)) : NULL;
	bool *right = people ? calloc(g->columns + 1, sizeof(*right)) : NULL;

	if (people && width != NULL && right != NULL) {
		for (size_t k = 0; k < g->columns; k++)
			width[k] = width_of(g, k, &right[k]);
		/* Of a table without rows the header remains. */
		for (size_t k = 0; k < g->columns && g->cells == g->columns; k++)
			width[k] = characters(cell(g, k));
		write_people(g, out, width, right);
	} else {
		for (size_t i = 0; i < g->cells; i++) {
			leat_out_field(out, cell(g, i));
			leat_out_char(out, (i + 1) % g->columns == 0 ? '\n' : ',');
		}
	}
	free(width);
	free(right);
}

void
leat_tabular_free(struct leat_tabular *g)
{
	free(g->at);
	leat_buf_free(&g->text);
	memset(g, 0, sizeof(*g));
}
