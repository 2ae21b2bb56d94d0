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

int
leat_readings_pass(struct leat_readings *in, const struct leat_reading *r, uint32_t group)
{
	size_t number = (size_t)group + 1;

	if (in->any_order || r->series >= in->shape_cap)
		return 0;
	if (leat_grow(&in->heard, &in->heard_cap, number + 1, sizeof(*in->heard)) != 0)
		return -1;
	in->shape[r->series].group = (uint32_t)number;
	if (r->quality != LEAT_BAD)
		in->heard[number] = r->time;
	return 0;
}

long long
leat_readings_passed(const struct leat_readings *in)
{
	return in->passed;
}

void
leat_readings_pass_to(struct leat_readings *in, struct leat_out *out)
{
	in->pass_to = out;
}

/* A row of a known shape at the beginning of the buffer. */
struct match {
	const struct leat_readings_shape *shape;
	const char *names, *value;	/* where they begin */
	size_t value_len;
	uint32_t series;
};

/* Is the row at p, behind its time, like an earlier one of its series? */
static LEAT_INLINE bool
match_row(const struct leat_readings *in, struct leat_readings_file *file, const char *p, struct match *m)
{
	m->series = find_series(in, file, p);
	if (m->series == LEAT_NAME_NONE)
		return false;
	m->shape = &in->shape[m->series];
	m->names = p;
	m->value = p + m->shape->head_len;
	m->value_len = value_length(m->value);
	return m->value_len < VALUE_LIMIT && (m->value_len > 0 || m->shape->quality == LEAT_BAD) &&
	    leat_word_same(m->value + m->value_len, m->shape->tail, m->shape->tail_len);
}

/* May the row, which has the time of the row before it, be passed over? */
static inline bool
passes(const struct leat_readings *in, const struct leat_readings_file *file, const struct leat_readings_shape *shape)
{
	if (shape->group == 0 || shape->quality == LEAT_BAD || leat_time_cmp(in->heard[shape->group], file->last) != 0)
		return false;
	return in->pass_to == NULL || (file->direct && shape->end_len == 1);
}

/* Passes over the rows up to the first that is to be handed out, has another time or is not known.  True: it is a row of that
 * time and known, m. */
static bool
pass_over(struct leat_readings *in, struct leat_readings_file *file, struct match *m)
{
	struct leat_rows *rows = file->rows;
	const char *from = rows->buf + rows->at, *p = from, *end = rows->buf + rows->end;
	long passed = 0;
	bool found = false;

	while ((size_t)(end - p) >= WINDOW && has_last_time(file, p) && match_row(in, file, p + file->time_len + 1, m)) {
		found = !passes(in, file, m->shape);
		if (found)
			break;
		file->series = m->series;
		passed++;
		p = m->value + m->value_len + m->shape->tail_len;
	}
	if (passed == 0)
		return found;
	if (in->pass_to != NULL)
		leat_out_lend(in->pass_to, leat_span_make(from, (size_t)(p - from)), &rows->loan);
	rows->at += (size_t)(p - from);
	rows->lines += passed;
	in->passed += passed;
	return found;
}

/* Is the row at p like an earlier one?  For one with another time than the one before it, which is rare: out of the way. */
static LEAT_APART bool
match_new(const struct leat_readings *in, struct leat_readings_file *file, const char *p, struct match *m)
{
	return match_row(in, file, p, m);
}

/* Makes the reading of a row that is known. */
static void
give(struct leat_readings_file *file, const struct match *m, struct leat_reading *r)
{
	const struct leat_readings_shape *shape = m->shape;
	struct leat_rows *rows = file->rows;
	const char *start = rows->buf + rows->at, *end = m->value + m->value_len;
	size_t len;

	r->asset = leat_span_make(m->names, shape->asset_len);
	r->point = leat_span_make(m->names + shape->asset_len + 1, (size_t)shape->head_len - shape->asset_len - 2);
	r->value = leat_span_make(m->value, m->value_len);
	r->unit = leat_span_make(end + 1, shape->unit_len);
	r->quality = (enum leat_quality)shape->quality;
	r->asset_id = shape->asset_id;
	r->point_id = shape->point_id;
	r->series = file->series = m->series;
	len = (size_t)(end - start) + shape->tail_len;
	file->plain.raw = leat_span_make(start, len - shape->end_len);
	r->line = file->plain.line = ++rows->lines;
	r->row = &file->plain;
	rows->at += len;
}

static LEAT_INLINE bool
quick(struct leat_readings *in, struct leat_readings_file *file, struct leat_reading *r)
{
	struct leat_rows *rows = file->rows;
	struct match m;
	const char *start;
	size_t time_len;

	if (!file->quick)
		return false;
	if (pass_over(in, file, &m)) {
		r->time = file->last;
		give(file, &m, r);
		return true;
	}
	start = rows->buf + rows->at;
	if (rows->end - rows->at < WINDOW || has_last_time(file, start))
		return false;
	time_len = read_time(in, file, start, &r->time);
	if (time_len == 0 || !match_new(in, file, start + time_len + 1, &m))
		return false;
	leat_readings_keep_time(file, r->time, leat_span_make(start, time_len));
	give(file, &m, r);
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
