/*
 * Merging readings files by time: a binary heap of files, each with one row read ahead.
 *
 * The row handed out stays as it is until the next call, so the file it came from is read on only then.
 */
#include "stream/reading_private.h"

void
leat_readings_any_order(struct leat_readings *in)
{
	in->any_order = true;
}

/* Earlier rows first; at equal times, or where time does not count, the order of the files. */
static bool
before(const struct leat_readings *in, size_t a, size_t b)
{
	int order = in->any_order ? 0 : leat_time_cmp(in->file[a].reading.time, in->file[b].reading.time);

	return order != 0 ? order < 0 : a < b;
}

static void
sift_up(struct leat_readings *in, size_t at)
{
	size_t parent, file = in->heap[at];

	for (; at > 0; at = parent) {
		parent = (at - 1) / 2;
		if (!before(in, file, in->heap[parent]))
			break;
		in->heap[at] = in->heap[parent];
	}
	in->heap[at] = file;
}

static void
sift_down(struct leat_readings *in, size_t at)
{
	size_t child, file = in->heap[at];

	for (; 2 * at + 1 < in->heap_len; at = child) {
		child = 2 * at + 1;
		if (child + 1 < in->heap_len && before(in, in->heap[child + 1], in->heap[child]))
			child++;
		if (!before(in, in->heap[child], file))
			break;
		in->heap[at] = in->heap[child];
	}
	in->heap[at] = file;
}

/* Reads the file on whose row was handed out; it is the first of the heap. */
static enum leat_readings_status
read_on(struct leat_readings *in, struct leat_error *err)
{
	enum leat_readings_status status = leat_readings_file_next(in, in->due, err);

	if (status == LEAT_READINGS_FAILED || status == LEAT_READINGS_BAD)
		return status;
	if (status == LEAT_READINGS_END)
		in->heap[0] = in->heap[--in->heap_len];
	if (in->heap_len > 1)
		sift_down(in, 0);
	in->due = in->count;
	return status;
}

/* Reads the first row of each file. */
static enum leat_readings_status
prime(struct leat_readings *in, struct leat_error *err)
{
	enum leat_readings_status status;

	while (in->primed < in->count) {
		status = leat_readings_file_next(in, in->primed, err);
		if (status == LEAT_READINGS_FAILED || status == LEAT_READINGS_BAD)
			return status;
		if (status == LEAT_READINGS_ROW) {
			in->heap[in->heap_len++] = in->primed;
			sift_up(in, in->heap_len - 1);
		}
		in->primed++;
	}
	return LEAT_READINGS_ROW;
}

/* Reads on and takes the earliest row out of the heap. */
enum leat_readings_status
leat_readings_merge(struct leat_readings *in, struct leat_reading *r, struct leat_error *err)
{
	enum leat_readings_status status = LEAT_READINGS_ROW;

	if (in->failed) {
		if (err != NULL)
			*err = in->failure;
		return LEAT_READINGS_FAILED;
	}
	in->alone = NULL;
	if (in->primed < in->count)
		status = prime(in, err);
	else if (in->due < in->count)
		status = read_on(in, err);
	if (status == LEAT_READINGS_FAILED) {
		in->failed = true;
		if (err != NULL)
			in->failure = *err;
		return status;
	}
	if (status == LEAT_READINGS_BAD)
		return status;
	if (in->heap_len == 0)
		return LEAT_READINGS_END;
	in->due = in->heap[0];
	*r = in->file[in->due].reading;
	in->counted.rows++;
	/* A file that is alone, or is the last, has nothing to be merged with: its rows need not be read ahead. */
	if (in->heap_len == 1)
		in->alone = &in->file[in->due];
	return LEAT_READINGS_ROW;
}

struct leat_span
leat_readings_rejected(const struct leat_readings *in)
{
	return in->rejected;
}

bool
leat_readings_cut(const struct leat_readings *in)
{
	for (size_t i = 0; in->failed && i < in->count; i++) {
		if (leat_input_cut(leat_rows_input(in->file[i].rows)))
			return true;
	}
	return false;
}

struct leat_names *
leat_readings_assets(struct leat_readings *in)
{
	return &in->assets;
}

struct leat_names *
leat_readings_points(struct leat_readings *in)
{
	return &in->points;
}

struct leat_pairs *
leat_readings_series(struct leat_readings *in)
{
	return &in->series;
}

const char *
leat_readings_source(const struct leat_readings *in, size_t source)
{
	return leat_rows_name(in->file[source].rows);
}

struct leat_readings_count
leat_readings_counted(const struct leat_readings *in)
{
	struct leat_readings_count counted = in->counted;
	size_t i;

	counted.rows += in->passed;
	for (i = 0; i < in->count; i++)
		counted.blank += leat_rows_blank(in->file[i].rows);
	return counted;
}
