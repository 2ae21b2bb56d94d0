/*
 * The first part of a file as cells, and the separator under which they make sense.
 */
#include <stdlib.h>
#include <string.h>

#include "stream/export_private.h"

/* The first part: so many bytes, and more while there are fewer lines, up to a limit. */
#define HEAD_LEAST (256u * 1024u)
#define HEAD_LINES 240
#define HEAD_MOST (2u * 1024u * 1024u)
#define CELLS_MOST 300000	/* a first part with more is not looked at to its end */
#define TRIAL_ROWS 200		/* enough to tell a separator by */
#define KNOWN_CELLS 1024	/* a power of two */

static long
count_lines(const char *p, size_t len)
{
	const char *end = p + len;
	long lines = 0;

	while (p < end && (p = memchr(p, '\n', (size_t)(end - p))) != NULL) {
		lines++;
		p++;
	}
	return lines;
}

int
leat_sniff_head(struct leat_sniff *sniff, struct leat_input *in, struct leat_error *err)
{
	struct leat_buf *head = &sniff->head;
	long lines = 0;
	ssize_t n;

	while (head->len < HEAD_MOST && (head->len < HEAD_LEAST || lines < HEAD_LINES)) {
		if (leat_buf_reserve(head, HEAD_LEAST / 4) != 0)
			return leat_error_memory(err);
		n = leat_input_read(in, head->data + head->len, HEAD_LEAST / 4, err);
		if (n < 0)
			return -1;
		if (n == 0) {
			sniff->whole = true;
			break;
		}
		lines += count_lines(head->data + head->len, (size_t)n);
		head->len += (size_t)n;
	}
	return 0;
}

static size_t
text_hash(struct leat_span text)
{
	uint32_t hash = 2166136261u;	/* FNV-1a, 32 bits */
	size_t i;

	for (i = 0; i < text.len; i++)
		hash = (hash ^ (unsigned char)text.ptr[i]) * 16777619u;
	return (hash ^ hash >> 16) & (KNOWN_CELLS - 1);
}

/* What the text is, from an earlier cell with the same text if it is still known: tags, stamps and quality come again
 * and again. */
static void
judge_cell(struct leat_sniff *sniff, struct leat_sniff_cell *c, unsigned allowed)
{
	struct leat_span text = leat_span_make(sniff->text.data + c->at, c->len);
	size_t *known = &sniff->known[text_hash(text)];
	const struct leat_sniff_cell *earlier = *known < sniff->cells ? &sniff->cell[*known] : NULL;

	if (earlier != NULL && leat_span_eq(leat_span_make(sniff->text.data + earlier->at, earlier->len), text)) {
		c->forms = earlier->forms;
		c->marks = earlier->marks;
	} else {
		c->forms = (uint16_t)(leat_foreign_forms(text) & allowed);
		c->marks = leat_export_marks(text);
	}
	*known = sniff->cells;
}

static int
add_cell(struct leat_sniff *sniff, struct leat_span text, unsigned allowed)
{
	struct leat_sniff_cell *c;

	text = leat_export_trim(text);
	if (leat_grow(&sniff->cell, &sniff->cell_cap, sniff->cells + 1, sizeof(*sniff->cell)) != 0)
		return -1;
	c = &sniff->cell[sniff->cells];
	memset(c, 0, sizeof(*c));
	c->at = (uint32_t)sniff->text.len;
	c->len = (uint32_t)text.len;
	if (text.len > 0) {
		if (leat_buf_add_span(&sniff->text, text) != 0)
			return -1;
		judge_cell(sniff, c, allowed);
	}
	sniff->cells++;
	return 0;
}

static int
add_row(struct leat_sniff *sniff, const struct leat_row *row, unsigned allowed)
{
	struct leat_sniff_row *r;
	size_t i;

	if (leat_grow(&sniff->row, &sniff->row_cap, sniff->rows + 1, sizeof(*sniff->row)) != 0)
		return -1;
	r = &sniff->row[sniff->rows];
	memset(r, 0, sizeof(*r));
	r->first = sniff->cells;
	r->line = row->line;
	r->unended = row->unended;
	r->raw_at = (uint32_t)sniff->text.len;
	r->raw_len = (uint32_t)row->raw.len;
	if (leat_buf_add_span(&sniff->text, row->raw) != 0)
		return -1;
	for (i = 0; i < row->count; i++) {
		if (add_cell(sniff, row->field[i], allowed) != 0)
			return -1;
		r->filled += sniff->cell[sniff->cells - 1].len > 0;
	}
	r->count = row->count;
	if (r->count > sniff->columns)
		sniff->columns = r->count;
	sniff->rows++;
	return 0;
}

/* Cuts the head into at most most rows.  Records that are bad are left to the reading proper to reject. */
static int
cut(struct leat_sniff *sniff, char separator, unsigned allowed, size_t most, struct leat_error *err)
{
	enum leat_rows_status status = LEAT_ROWS_ROW;
	struct leat_rows *rows;
	struct leat_input *in;
	struct leat_row row;

	if (sniff->known == NULL && (sniff->known = calloc(KNOWN_CELLS, sizeof(*sniff->known))) == NULL)
		return leat_error_memory(err);
	leat_buf_reset(&sniff->text);
	sniff->rows = sniff->cells = sniff->columns = 0;
	in = leat_input_memory("", sniff->head.data, sniff->head.len, LEAT_ENCODING_RAW, err);
	rows = in != NULL ? leat_rows_open(in, separator, err) : NULL;
	if (rows == NULL)
		return -1;
	while (sniff->rows < most && sniff->cells < CELLS_MOST &&
	    (status = leat_rows_next(rows, &row, err)) > LEAT_ROWS_END) {
		/* The record at the end of the first part is cut off. */
		if (status == LEAT_ROWS_BAD || (row.unended && !sniff->whole))
			continue;
		if (add_row(sniff, &row, allowed) != 0) {
			status = LEAT_ROWS_FAILED;
			leat_error_memory(err);
			break;
		}
	}
	leat_rows_close(rows);
	return status == LEAT_ROWS_FAILED ? -1 : 0;
}

/* Is the cell what a cell of an export is: empty, a number, a time, or words without a byte that parts cells? */
static bool
is_clean(const struct leat_sniff *sniff, const struct leat_sniff_cell *c)
{
	const char *p = sniff->text.data + c->at;

	if (c->len == 0 || c->marks.number || c->forms != 0)
		return true;
	return memchr(p, ';', c->len) == NULL && memchr(p, '\t', c->len) == NULL && memchr(p, '|', c->len) == NULL &&
	    memchr(p, ',', c->len) == NULL;
}

/* How well a separator serves: the rows that hold a stamp beside another cell, each by its share of clean cells, with
 * dated stamps before bare numbers that could be stamps. */
static double
score(const struct leat_sniff *sniff)
{
	const struct leat_sniff_cell *c;
	size_t row, col, clean;
	bool dated, stamped;
	double sum = 0;

	for (row = 0; row < sniff->rows; row++) {
		dated = stamped = false;
		clean = 0;
		for (col = 0; col < sniff->row[row].count; col++) {
			c = leat_sniff_at(sniff, row, col);
			dated = dated || (c->forms & LEAT_DATED) != 0;
			stamped = stamped || c->forms != 0;
			clean += is_clean(sniff, c);
		}
		if (sniff->row[row].filled < 2 || !stamped)
			continue;
		sum += (dated ? 100 : 1) * (double)clean / (double)sniff->row[row].count;
	}
	return sum;
}

static int
find_separator(struct leat_sniff *sniff, struct leat_export_form *form, unsigned allowed, struct leat_error *err)
{
	static const char candidate[] = ",;\t|";
	double best = 0;
	double s;
	size_t i;

	for (i = 0; candidate[i] != '\0'; i++) {
		if (cut(sniff, candidate[i], allowed, TRIAL_ROWS, err) != 0)
			return -1;
		s = score(sniff);
		if (s > best) {
			best = s;
			form->separator = candidate[i];
		}
	}
	if (form->separator == 0)
		return leat_error_set(err, "no line has a time and a value under any of the separators , ; tab |: "
		    "give --separator, or --dates when the times are of an unusual form");
	return 0;
}

const char *
leat_export_separator(char separator)
{
	switch (separator) {
	case ';':
		return "semicolon";
	case '\t':
		return "tab";
	case '|':
		return "pipe";
	default:
		return "comma";
	}
}

int
leat_sniff_cut(struct leat_sniff *sniff, struct leat_export_form *form, struct leat_error *err)
{
	unsigned allowed = form->dates != 0 ? form->dates | LEAT_FORM_CLOCK : ~0u;
	bool pinned = form->separator != 0;

	if (!pinned && find_separator(sniff, form, allowed, err) != 0)
		return -1;
	if (cut(sniff, form->separator, allowed, SIZE_MAX, err) != 0)
		return -1;
	leat_export_say(form, "separator %s: %s", leat_export_separator(form->separator), pinned ? "given" :
	    "under it lines hold a time and values");
	return 0;
}

void
leat_sniff_free(struct leat_sniff *sniff)
{
	leat_buf_free(&sniff->head);
	leat_buf_free(&sniff->text);
	free(sniff->cell);
	free(sniff->known);
	free(sniff->row);
	memset(sniff, 0, sizeof(*sniff));
}
