/*
 * The quick way for a row that is like an earlier one of its series.
 *
 * Most rows differ from the last one of their series in time and value alone.  So the bytes before and behind the value are
 * kept of each series, as they stood in a row that was accepted; and where a row has them again, with the time of the row
 * before it and a plain value, it is known to be right without being split.  Whatever differs in the least goes the long
 * way (reading.c), which alone says what is right, and learns the shape of the row for the next.  fuzz_quick.c holds both
 * ways to each other.
 */
#include "stream/reading_private.h"

#include "base/word.h"
#include "stream/rows_private.h"

/* Longest value that is taken here. */
#define VALUE_LIMIT 64u
/* Bytes from the beginning of a row that may be looked at: one more word, since words are loaded whole. */
#define WINDOW (LEAT_TIME_MAX + LEAT_SHAPE_HEAD + VALUE_LIMIT + LEAT_SHAPE_TAIL + sizeof(uint64_t))

/* Keeps the bytes of a series; where they do not fit, the series has no quick way. */
static void
keep_shape(struct leat_readings_shape *shape, const struct leat_reading *r, struct leat_span head, struct leat_span tail)
{
	if (shape->tail_len == tail.len && leat_word_same(shape->tail, tail.ptr, tail.len))
		return;
	shape->tail_len = 0;
	if (head.len > sizeof(shape->head) || tail.len > sizeof(shape->tail))
		return;
	memcpy(shape->head, head.ptr, head.len);
	memcpy(shape->tail, tail.ptr, tail.len);
	shape->head_len = (uint8_t)head.len;
	shape->tail_len = (uint8_t)tail.len;
	shape->end_len = tail.ptr[tail.len - 2] == '\r' ? 2 : 1;
	shape->asset_len = (uint8_t)r->asset.len;
	shape->unit_len = (uint8_t)r->unit.len;
	shape->asset_id = r->asset_id;
	shape->point_id = r->point_id;
	shape->quality = (uint8_t)r->quality;
}

int
leat_readings_learn(struct leat_readings *in, struct leat_readings_file *file, const struct leat_reading *r)
{
	const char *end = file->row.raw.ptr + file->row.raw.len, *value = r->value.ptr + r->value.len;
	struct leat_span head = leat_span_make(r->asset.ptr, r->asset.len + r->point.len + 2);
	uint32_t id;

	if (!file->quick || file->row.quoted)
		return 0;
	end += *end == '\r' ? 2 : 1;
	if (leat_grow(&in->shape, &in->shape_cap, (size_t)r->series + 1, sizeof(*in->shape)) != 0)
		return -1;
	keep_shape(&in->shape[r->series], r, head, leat_span_make(value, (size_t)(end - value)));
	id = leat_names_put(&in->heads, head);
	if (id == LEAT_NAME_NONE || leat_grow(&in->head_series, &in->head_cap, (size_t)id + 1, sizeof(*in->head_series)) != 0)
		return -1;
	in->head_series[id] = r->series;
	return 0;
}

/* Does the row at p have the time of the row before it? */
static inline bool
has_last_time(const struct leat_readings_file *file, const char *p)
{
	return file->time_len > 0 && leat_word_same(p, file->time_text, file->time_len + 1);
}

/* The length of the time at p, 0 when there is none or it goes back. */
static size_t
read_time(const struct leat_readings *in, const struct leat_readings_file *file, const char *p, struct leat_time *time)
{
	const char *comma = memchr(p, ',', LEAT_TIME_MAX);
	size_t len = comma != NULL ? (size_t)(comma - p) : 0;

	if (len == 0 || leat_time_parse(leat_span_make(p, len), time) != 0)
		return 0;
	return in->any_order || leat_time_is_none(file->last) || leat_time_cmp(*time, file->last) >= 0 ? len : 0;
}

static inline bool
has_head(const struct leat_readings *in, uint32_t series, const char *p)
{
	const struct leat_readings_shape *shape;

	if (series >= in->shape_cap)
		return false;
	shape = &in->shape[series];
	return shape->tail_len > 0 && leat_word_same(p, shape->head, shape->head_len);
}

/* The series by the names at p, LEAT_NAME_NONE when it is none that has a shape. */
static uint32_t
look_up(const struct leat_readings *in, const char *p)
{
	const char *point = memchr(p, ',', LEAT_SHAPE_HEAD), *value;
	uint32_t id;

	point = point != NULL ? point + 1 : p;
	value = memchr(point, ',', LEAT_SHAPE_HEAD);
	if (point == p || value == NULL)
		return LEAT_NAME_NONE;
	id = leat_names_get(&in->heads, leat_span_make(p, (size_t)(value + 1 - p)));
	return id != LEAT_NAME_NONE && in->shape[in->head_series[id]].tail_len > 0 ? in->head_series[id] : LEAT_NAME_NONE;
}

/* Where the series is not the one that came last. */
static LEAT_APART uint32_t
find_other(const struct leat_readings *in, struct leat_readings_next *next, const char *p)
{
	uint32_t series = has_head(in, next->before, p) ? next->before : look_up(in, p);

	if (series != LEAT_NAME_NONE) {
		next->before = next->last;
		next->last = series;
	}
	return series;
}

/* After a series mostly comes the one that came after it the last time, or the time before that. */
static LEAT_INLINE uint32_t
find_series(const struct leat_readings *in, const struct leat_readings_file *file, const char *p)
{
	struct leat_readings_next *next;

	if (file->series >= file->next_cap)
		return LEAT_NAME_NONE;
	next = &file->next[file->series];
	return has_head(in, next->last, p) ? next->last : find_other(in, next, p);
}

/* The length of the value at p: bytes that stand for themselves, up to a comma.  VALUE_LIMIT and more: another. */
static inline size_t
value_length(const char *p)
{
	size_t len;

	for (len = 0; len < VALUE_LIMIT; len += sizeof(uint64_t)) {
		uint64_t word = leat_word_load(p + len);
		uint64_t comma = leat_word_equal(word, ','), odd = leat_word_below(word, LEAT_ROW_PLAIN);

		if (comma != 0)
			return leat_word_before(odd, comma) ? VALUE_LIMIT : len + leat_word_first(comma);
		if (odd != 0)
			break;
	}
	return VALUE_LIMIT;
}

static LEAT_INLINE bool
quick(struct leat_readings *in, struct leat_readings_file *file, struct leat_reading *r)
{
	struct leat_rows *rows = file->rows;
	const char *start = rows->buf + rows->at, *p = start;
	const struct leat_readings_shape *shape;
	size_t time_len = file->time_len, value_len;
	uint32_t series;
	bool new_time;

	if (rows->end - rows->at < WINDOW || !file->quick)
		return false;
	new_time = !has_last_time(file, p);
	r->time = file->last;
	if (new_time)
		time_len = read_time(in, file, p, &r->time);
	p += time_len + 1;
	series = time_len > 0 ? find_series(in, file, p) : LEAT_NAME_NONE;
	if (series == LEAT_NAME_NONE)
		return false;
	shape = &in->shape[series];
	r->asset = leat_span_make(p, shape->asset_len);
	r->point = leat_span_make(p + shape->asset_len + 1, (size_t)shape->head_len - shape->asset_len - 2);
	p += shape->head_len;
	value_len = value_length(p);
	if (value_len >= VALUE_LIMIT || (value_len == 0 && shape->quality != LEAT_BAD) ||
	    !leat_word_same(p + value_len, shape->tail, shape->tail_len))
		return false;
	r->value = leat_span_make(p, value_len);
	r->unit = leat_span_make(p + value_len + 1, shape->unit_len);
	r->quality = (enum leat_quality)shape->quality;
	r->asset_id = shape->asset_id;
	r->point_id = shape->point_id;
	r->series = file->series = series;
	if (new_time)
		leat_readings_keep_time(file, r->time, leat_span_make(start, time_len));
	p += value_len + shape->tail_len;
	file->plain.raw = leat_span_make(start, (size_t)(p - start) - shape->end_len);
	r->line = file->plain.line = ++rows->lines;
	r->row = &file->plain;
	rows->at += (size_t)(p - start);
	return true;
}

bool
leat_readings_quick(struct leat_readings *in, struct leat_readings_file *file, struct leat_reading *r)
{
	return quick(in, file, r);
}

enum leat_readings_status
leat_readings_next(struct leat_readings *in, struct leat_reading *r, struct leat_error *err)
{
	if (in->alone == NULL || !quick(in, in->alone, r))
		return leat_readings_merge(in, r, err);
	r->source = in->due;
	in->counted.rows++;
	return LEAT_READINGS_ROW;
}
