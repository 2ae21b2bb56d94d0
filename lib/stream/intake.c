/*
 * Foreign exports merged by time.
 *
 * Every lane of the merge, a file in order or the sorter, stands in a heap under the time of its next reading.  A
 * lane whose next reading is not known yet stands under a time that is no later: the beginning of time at first, the
 * time of the last reading afterwards, the first stamp of a sleeping file.  So it is on top when it must be fetched
 * from, and no second mechanism is needed to start.
 */
#include "stream/intake.h"

#include <stdlib.h>

#include "stream/intake_private.h"

/* How a reading lies in the sorter: this, then the bytes of its value. */
struct packed {
	int64_t line;
	double step;
	uint32_t token;
	uint32_t file_and_quality;	/* file * 4 + quality */
};

static const struct leat_time beginning = { INT64_MIN + 1, 0 };

static void
add_lane(struct leat_intake_merge *m, struct leat_time time, size_t file, bool sorter)
{
	/* Room for all files and the sorter was made at the start. */
	m->lane[m->lanes++] = (struct leat_intake_lane){ .time = time, .file = file, .sorter = sorter, .due = true };
}

static bool
lane_before(const struct leat_intake_lane *a, const struct leat_intake_lane *b)
{
	int cmp = leat_time_cmp(a->time, b->time);

	return cmp != 0 ? cmp < 0 : a->file < b->file;
}

static void
sift_down(struct leat_intake_merge *m, size_t i)
{
	for (;;) {
		size_t child = 2 * i + 1;
		struct leat_intake_lane swap;

		if (child >= m->lanes)
			return;
		if (child + 1 < m->lanes && lane_before(&m->lane[child + 1], &m->lane[child]))
			child++;
		if (!lane_before(&m->lane[child], &m->lane[i]))
			return;
		swap = m->lane[i];
		m->lane[i] = m->lane[child];
		m->lane[child] = swap;
		i = child;
	}
}

/* A first look at one of many files: when its time comes, and then it is closed again. */
static int
look(struct leat_intake *in, size_t file, struct leat_time *first, struct leat_error *err)
{
	struct leat_intake_file *f = &in->file[file];
	enum leat_export_status status;
	struct leat_sample s;

	*first = beginning;
	do
		status = leat_export_next(f->export, &s, err);
	while (status == LEAT_EXPORT_BAD);
	if (status == LEAT_EXPORT_SAMPLE)
		*first = s.time;
	leat_export_close(f->export);
	f->export = NULL;
	return status == LEAT_EXPORT_FAILED ? -1 : 0;
}

static int
open_file(struct leat_intake *in, size_t file, struct leat_error *err)
{
	struct leat_intake_merge *m = in->merge;
	struct leat_intake_file *f = &in->file[file];
	struct leat_time first = beginning;
	bool sleeps = in->files > LEAT_INTAKE_AWAKE && strcmp(f->path, "-") != 0;

	if (leat_intake_wake(in, file, err) != 0)
		return -1;
	if (!f->form.in_order) {
		m->unordered[m->unordered_count++] = file;
		if (sleeps) {
			leat_export_close(f->export);
			f->export = NULL;
		}
		return 0;
	}
	if (sleeps && look(in, file, &first, err) != 0)
		return -1;
	add_lane(m, first, file, false);
	return 0;
}

static int
allocate(struct leat_intake *in, size_t count, struct leat_error *err)
{
	struct leat_intake_merge *m = in->merge;

	in->file = calloc(count, sizeof(*in->file));
	in->came = calloc(in->plan.points->count + 1, sizeof(*in->came));
	m->lane = calloc(count + 1, sizeof(*m->lane));
	m->unordered = calloc(count, sizeof(*m->unordered));
	if (in->file == NULL || in->came == NULL || m->lane == NULL || m->unordered == NULL)
		return leat_error_memory(err);
	in->files = count;
	return 0;
}

static int
make_origin(struct leat_intake_file *f, const char *name)
{
	if (leat_buf_add(&f->origin, ",", 1) != 0 || leat_out_field_to(&f->origin, leat_span_of(name)) != 0)
		return -1;
	f->origin_quoted = f->origin.data[1] == '"';
	f->origin.len -= f->origin_quoted;
	return leat_buf_add(&f->origin, ":", 1);
}

static int
open_all(struct leat_intake *in, char *const *path, size_t count, struct leat_error *err)
{
	struct leat_intake_merge *m = in->merge;

	if (allocate(in, count > 0 ? count : 1, err) != 0)
		return -1;
	for (size_t i = 0; i < in->files; i++) {
		in->file[i].path = count > 0 ? path[i] : "-";
		in->file[i].source = in->plan.source != NULL ? in->plan.source :
		    leat_sources_for(in->plan.sources, in->file[i].path);
		in->supersedes = in->supersedes || (in->file[i].source != NULL && in->file[i].source->prefer_last);
		if (make_origin(&in->file[i], leat_intake_name(in, i)) != 0)
			return leat_error_memory(err);
	}
	for (size_t i = 0; i < in->files; i++) {
		if (open_file(in, i, err) != 0)
			return -1;
	}
	if (m->unordered_count > 0) {
		m->sorter = leat_sorter_new(LEAT_INTAKE_SORTER, in->plan.folder, err);
		if (m->sorter == NULL)
			return -1;
		add_lane(m, beginning, 0, true);
	}
	for (size_t i = m->lanes / 2; i-- > 0;)
		sift_down(m, i);
	return 0;
}

struct leat_intake *
leat_intake_open(const struct leat_intake_plan *plan, char *const *path, size_t count, struct leat_error *err)
{
	struct leat_intake *in = calloc(1, sizeof(*in));

	if (in != NULL && (in->merge = calloc(1, sizeof(*in->merge))) == NULL) {
		free(in);
		in = NULL;
	}
	if (in == NULL) {
		leat_error_memory(err);
		return NULL;
	}
	in->plan = *plan;
	in->last = LEAT_TIME_NONE;
	if (open_all(in, path, count, err) != 0) {
		leat_intake_close(in);
		return NULL;
	}
	return in;
}

static int
put_sorted(struct leat_intake_merge *m, const struct leat_arrival *a, struct leat_error *err)
{
	char row[sizeof(struct packed) + LEAT_NUMBER_MAX + LEAT_CONVERT_WORD_MAX];
	struct packed head = { a->origin.line, a->step, a->token, (uint32_t)a->origin.source * 4 + a->quality };

	if (a->value.len > sizeof(row) - sizeof(head))
		return leat_error_set(err, "a value of %zu bytes is too long to be sorted", a->value.len);
	memcpy(row, &head, sizeof(head));
	if (a->value.len > 0)
		memcpy(row + sizeof(head), a->value.ptr, a->value.len);
	return leat_sorter_put(m->sorter, a->time, row, sizeof(head) + a->value.len, err);
}

/* Takes the files that are not in order into the sorter.  LEAT_INTAKE_END when all are in. */
static enum leat_intake_status
drain(struct leat_intake *in, struct leat_error *err)
{
	struct leat_intake_merge *m = in->merge;
	enum leat_intake_status status;

	while (m->drained < m->unordered_count) {
		size_t file = m->unordered[m->drained];

		if (in->file[file].export == NULL && leat_intake_wake(in, file, err) != 0)
			return LEAT_INTAKE_FAILED;
		status = leat_intake_fetch(in, file, err);
		if (status == LEAT_INTAKE_END)
			m->drained++;
		else if (status != LEAT_INTAKE_READING)
			return status;
		else if (put_sorted(m, &in->file[file].arrival, err) != 0)
			return LEAT_INTAKE_FAILED;
		else if (m->has_note)
			return LEAT_INTAKE_NOTE;
	}
	return LEAT_INTAKE_END;
}

/* The sorter's next reading, into m->sorted. */
static enum leat_intake_status
fetch_sorted(struct leat_intake *in, struct leat_error *err)
{
	struct leat_intake_merge *m = in->merge;
	struct leat_arrival *a = &m->sorted;
	struct leat_span row;
	struct packed head;
	int got = leat_sorter_next(m->sorter, &a->time, &row, err);

	in->spilled = leat_sorter_spilled(m->sorter);
	if (got <= 0)
		return got < 0 ? LEAT_INTAKE_FAILED : LEAT_INTAKE_END;
	memcpy(&head, row.ptr, sizeof(head));
	a->value = leat_span_make(row.ptr + sizeof(head), row.len - sizeof(head));
	a->quality = (enum leat_quality)(head.file_and_quality % 4);
	a->origin = (struct leat_origin){ head.file_and_quality / 4, (long)head.line };
	a->token = head.token;
	a->step = head.step;
	a->series = in->tag[head.token].series;
	a->unit = in->tag[head.token].convert.unit;
	a->issuer = in->file[a->origin.source].source;
	a->prefer_last = in->file[a->origin.source].source != NULL && in->file[a->origin.source].source->prefer_last;
	return LEAT_INTAKE_READING;
}

/* The next reading of the lane on top. */
static enum leat_intake_status
fetch_lane(struct leat_intake *in, struct leat_intake_lane *lane, struct leat_error *err)
{
	struct leat_intake_file *f = &in->file[lane->file];
	enum leat_intake_status status;

	if (lane->sorter) {
		status = drain(in, err);
		if (status != LEAT_INTAKE_END)
			return status;
		status = fetch_sorted(in, err);
		lane->time = in->merge->sorted.time;
		lane->file = in->merge->sorted.origin.source;
		return status;
	}
	if (f->export == NULL && leat_intake_wake(in, lane->file, err) != 0)
		return LEAT_INTAKE_FAILED;
	status = leat_intake_fetch(in, lane->file, err);
	if (status != LEAT_INTAKE_READING)
		return status;
	if (leat_time_cmp(f->arrival.time, lane->time) < 0) {
		leat_error_set(err, "the file was changed while it was read: its stamps were in order before");
		leat_error_at(err, leat_intake_name(in, lane->file), f->arrival.origin.line);
		return LEAT_INTAKE_FAILED;
	}
	lane->time = f->arrival.time;
	return status;
}

/* Fetches from the lane on top until the lane on top has its next reading. */
static enum leat_intake_status
settle_top(struct leat_intake *in, struct leat_error *err)
{
	struct leat_intake_merge *m = in->merge;
	enum leat_intake_status status;

	while (m->lanes > 0 && m->lane[0].due) {
		status = fetch_lane(in, &m->lane[0], err);
		if (status == LEAT_INTAKE_END)
			m->lane[0] = m->lane[--m->lanes];
		else if (status == LEAT_INTAKE_READING)
			m->lane[0].due = false;
		else
			return status;
		if (m->lanes > 1)
			sift_down(m, 0);
	}
	return m->lanes > 0 ? LEAT_INTAKE_READING : LEAT_INTAKE_END;
}

enum leat_intake_status
leat_intake_next(struct leat_intake *in, const struct leat_arrival **arrival, struct leat_error *err)
{
	struct leat_intake_merge *m = in->merge;
	enum leat_intake_status status = settle_top(in, err);

	if (m->has_note && status != LEAT_INTAKE_FAILED && status != LEAT_INTAKE_BAD) {
		*err = m->note;
		m->has_note = false;
		return LEAT_INTAKE_NOTE;
	}
	if (status != LEAT_INTAKE_READING)
		return status;
	*arrival = m->lane[0].sorter ? &m->sorted : &in->file[m->lane[0].file].arrival;
	m->lane[0].due = true;
	in->readings++;
	in->last = (*arrival)->time;
	return LEAT_INTAKE_READING;
}

struct leat_span
leat_intake_rejected(const struct leat_intake *in)
{
	return leat_buf_span(&in->merge->rejected);
}

const char *
leat_intake_name(const struct leat_intake *in, size_t file)
{
	return strcmp(in->file[file].path, "-") == 0 ? "standard input" : in->file[file].path;
}

struct leat_span
leat_intake_source(const struct leat_intake *in, size_t file)
{
	return in->file[file].source != NULL ? in->file[file].source->source : LEAT_SPAN("-");
}

void
leat_intake_close(struct leat_intake *in)
{
	if (in == NULL)
		return;
	for (size_t i = 0; i < in->files; i++) {
		leat_export_close(in->file[i].export);
		free(in->file[i].token);
		leat_buf_free(&in->file[i].origin);
	}
	/* One tag more may have been begun. */
	for (size_t i = 0; i < in->tag_cap; i++) {
		leat_buf_free(&in->tag[i].name);
		leat_buf_free(&in->tag[i].head);
		leat_buf_free(&in->tag[i].tail);
	}
	free(in->file);
	free(in->tag);
	free(in->came);
	free(in->conflict);
	leat_names_free(&in->assets);
	leat_names_free(&in->points);
	leat_pairs_free(&in->series);
	leat_tally_free(&in->unknown);
	leat_tally_free(&in->silent);
	leat_tally_free(&in->text);
	leat_tally_free(&in->quality);
	leat_sorter_free(in->merge->sorter);
	leat_buf_free(&in->merge->rejected);
	free(in->merge->lane);
	free(in->merge->unordered);
	free(in->merge);
	free(in);
}
