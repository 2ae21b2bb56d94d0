/* Thinning readings. */
#include "stream/thin.h"

#include <stdlib.h>

enum { FIRST, LOW, HIGH, LAST, SLOTS };

/* A row that is kept for now. */
struct slot {
	long long number;		/* of the row; 0: none */
	double value;
	struct leat_buf row;
};

struct series {
	struct slot slot[SLOTS];	/* numbers use all, words the last one only */
	struct leat_buf unit, word;	/* of the readings in the slots; of the run */
	bool touched;			/* in this period */
	bool in_word, in_bad;		/* the run that goes on */
};

/* A row whose place is certain; its bytes are in text. */
struct kept {
	long long number;
	size_t at, len;
};

struct leat_thin {
	struct leat_grid grid;
	struct leat_time end;		/* of the period; LEAT_TIME_NONE before the first reading */
	struct leat_names names;	/* assets and points */
	struct leat_pairs pairs;
	struct series **series;		/* by number of the pair; each owned */
	size_t series_cap;
	uint32_t *own;			/* by the stream's number of a series: the pair's + 1 */
	size_t own_cap;
	uint32_t *touched;		/* series of this period */
	size_t touches, touched_cap;
	struct kept *kept;
	size_t count, cap;
	struct leat_buf text;
	long long row, written, divided;
};

struct leat_thin *
leat_thin_new(const struct leat_grid *grid)
{
	struct leat_thin *thin = calloc(1, sizeof(*thin));

	if (thin == NULL)
		return NULL;
	thin->grid = *grid;
	thin->end = LEAT_TIME_NONE;
	return thin;
}

void
leat_thin_free(struct leat_thin *thin)
{
	if (thin == NULL)
		return;
	for (size_t i = 0; i < thin->pairs.count && i < thin->series_cap; i++) {
		if (thin->series[i] == NULL)
			continue;
		for (int k = 0; k < SLOTS; k++)
			leat_buf_free(&thin->series[i]->slot[k].row);
		leat_buf_free(&thin->series[i]->unit);
		leat_buf_free(&thin->series[i]->word);
		free(thin->series[i]);
	}
	leat_names_free(&thin->names);
	leat_pairs_free(&thin->pairs);
	leat_buf_free(&thin->text);
	free(thin->series);
	free(thin->own);
	free(thin->touched);
	free(thin->kept);
	free(thin);
}

void
leat_thin_renew(struct leat_thin *thin)
{
	if (thin->own_cap > 0)
		memset(thin->own, 0, thin->own_cap * sizeof(*thin->own));
}

static struct series *
meet(struct leat_thin *thin, const struct leat_reading *r)
{
	uint32_t asset = leat_names_put(&thin->names, r->asset), point = leat_names_put(&thin->names, r->point), pair;

	if (asset == LEAT_NAME_NONE || point == LEAT_NAME_NONE ||
	    (pair = leat_pairs_put(&thin->pairs, asset, point)) == LEAT_NAME_NONE ||
	    leat_grow(&thin->own, &thin->own_cap, (size_t)r->series + 1, sizeof(*thin->own)) != 0 ||
	    leat_grow(&thin->series, &thin->series_cap, (size_t)pair + 1, sizeof(*thin->series)) != 0)
		return NULL;
	if (thin->series[pair] == NULL && (thin->series[pair] = calloc(1, sizeof(struct series))) == NULL)
		return NULL;
	thin->own[r->series] = pair + 1;
	return thin->series[pair];
}

/* The series of a reading, which is noted as one of this period. */
static struct series *
series_of(struct leat_thin *thin, const struct leat_reading *r)
{
	struct series *s;

	if (r->series < thin->own_cap && thin->own[r->series] > 0)
		s = thin->series[thin->own[r->series] - 1];
	else if ((s = meet(thin, r)) == NULL)
		return NULL;
	if (!s->touched) {
		if (leat_grow(&thin->touched, &thin->touched_cap, thin->touches + 1, sizeof(*thin->touched)) != 0)
			return NULL;
		thin->touched[thin->touches++] = thin->own[r->series] - 1;
		s->touched = true;
	}
	return s;
}

static int
keep_bytes(struct leat_thin *thin, long long number, struct leat_span row)
{
	if (leat_grow(&thin->kept, &thin->cap, thin->count + 1, sizeof(*thin->kept)) != 0)
		return -1;
	thin->kept[thin->count++] = (struct kept){ number, thin->text.len, row.len };
	return leat_buf_add_span(&thin->text, row);
}

/* What the slots hold is certain: each row once. */
static int
settle(struct leat_thin *thin, struct series *s)
{
	for (int i = 0; i < SLOTS; i++) {
		bool again = s->slot[i].number == 0;

		for (int k = 0; k < i; k++)
			again = again || s->slot[k].number == s->slot[i].number;
		if (!again && keep_bytes(thin, s->slot[i].number, leat_buf_span(&s->slot[i].row)) != 0)
			return -1;
	}
	for (int i = 0; i < SLOTS; i++)
		s->slot[i].number = 0;
	return 0;
}

static int
by_number(const void *a, const void *b)
{
	long long x = ((const struct kept *)a)->number, y = ((const struct kept *)b)->number;

	return (x > y) - (x < y);
}

/* The period is over. */
static int
flush(struct leat_thin *thin, struct leat_out *out)
{
	for (size_t i = 0; i < thin->touches; i++) {
		struct series *s = thin->series[thin->touched[i]];

		if (settle(thin, s) != 0)
			return -1;
		s->touched = s->in_word = s->in_bad = false;
	}
	if (thin->count > 0)
		qsort(thin->kept, thin->count, sizeof(*thin->kept), by_number);
	for (size_t i = 0; i < thin->count; i++) {
		/* The last of a run may be a change too. */
		if (i > 0 && thin->kept[i].number == thin->kept[i - 1].number)
			continue;
		leat_out_bytes(out, thin->text.data + thin->kept[i].at, thin->kept[i].len);
		thin->written++;
	}
	thin->touches = thin->count = 0;
	leat_buf_reset(&thin->text);
	return 0;
}

static int
hold(struct leat_thin *thin, struct slot *slot, const struct leat_readings *in, const struct leat_reading *r, double value)
{
	slot->number = thin->row;
	slot->value = value;
	leat_buf_reset(&slot->row);
	return leat_readings_copy_to(&slot->row, in, r);
}

static int
keep_row(struct leat_thin *thin, const struct leat_readings *in, const struct leat_reading *r)
{
	size_t at = thin->text.len;

	if (leat_grow(&thin->kept, &thin->cap, thin->count + 1, sizeof(*thin->kept)) != 0 ||
	    leat_readings_copy_to(&thin->text, in, r) != 0)
		return -1;
	thin->kept[thin->count++] = (struct kept){ thin->row, at, thin->text.len - at };
	return 0;
}

static int
set_text(struct leat_buf *buf, struct leat_span text)
{
	leat_buf_reset(buf);
	return leat_buf_add_span(buf, text);
}

static int
take_number(struct leat_thin *thin, struct series *s, const struct leat_readings *in, const struct leat_reading *r,
    double value)
{
	s->in_word = false;
	/* Values of two units cannot be compared, nor does a last word give way to a number. */
	if (!leat_span_eq(leat_buf_span(&s->unit), r->unit) || (s->slot[FIRST].number == 0 && s->slot[LAST].number != 0)) {
		if (settle(thin, s) != 0 || set_text(&s->unit, r->unit) != 0)
			return -1;
	}
	if (s->slot[FIRST].number == 0 && hold(thin, &s->slot[FIRST], in, r, value) != 0)
		return -1;
	if ((s->slot[LOW].number == 0 || value < s->slot[LOW].value) && hold(thin, &s->slot[LOW], in, r, value) != 0)
		return -1;
	if ((s->slot[HIGH].number == 0 || value > s->slot[HIGH].value) && hold(thin, &s->slot[HIGH], in, r, value) != 0)
		return -1;
	return hold(thin, &s->slot[LAST], in, r, value);
}

static int
take_word(struct leat_thin *thin, struct series *s, const struct leat_readings *in, const struct leat_reading *r)
{
	if (s->slot[FIRST].number != 0 && settle(thin, s) != 0)
		return -1;
	if (!s->in_word || !leat_span_eq(leat_buf_span(&s->word), r->value)) {
		if (keep_row(thin, in, r) != 0 || set_text(&s->word, r->value) != 0)
			return -1;
		s->in_word = true;
	}
	return hold(thin, &s->slot[LAST], in, r, 0);
}

int
leat_thin_take(struct leat_thin *thin, const struct leat_readings *in, const struct leat_reading *r, struct leat_out *out)
{
	struct leat_time start;
	struct series *s;
	double value;

	if (leat_time_is_none(thin->end) || leat_time_cmp(r->time, thin->end) >= 0) {
		if (flush(thin, out) != 0)
			return -1;
		leat_grid_period(&thin->grid, r->time, &start, &thin->end);
	} else if (thin->text.len > LEAT_THIN_MEMORY) {
		thin->divided++;
		if (flush(thin, out) != 0)
			return -1;
	}
	thin->row++;
	s = series_of(thin, r);
	if (s == NULL)
		return -1;
	if (r->quality == LEAT_BAD) {
		if (s->in_bad)
			return 0;
		s->in_bad = true;
		s->in_word = false;
		return keep_row(thin, in, r);
	}
	s->in_bad = false;
	return leat_reading_number(r, &value) == 0 ? take_number(thin, s, in, r, value) : take_word(thin, s, in, r);
}

int
leat_thin_end(struct leat_thin *thin, struct leat_out *out)
{
	thin->end = LEAT_TIME_NONE;
	return flush(thin, out);
}

long long
leat_thin_written(const struct leat_thin *thin)
{
	return thin->written;
}

long long
leat_thin_divided(const struct leat_thin *thin)
{
	return thin->divided;
}
