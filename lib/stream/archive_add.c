/*
 * Adding rows to the archive: each month that rows come for is merged into a new file beside it.
 *
 * Two rounds settle the rows of one time by the rule of settle.h.  The first is among the new rows: those that differ
 * from each other are all set aside.  The second is between the archive and what the first left: where they differ the
 * archived row stays, since what was judged by it must not change under the judgement; unless the new one is a re-issue
 * that supersedes just that value (archive_prefer.c).
 */
#include "stream/archive.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>

#include "stream/archive_private.h"

#define TEXT_SIZE (48u * 1024u)
#define UNITS_MAX 4096u

int
leat_archive_row(struct leat_buf *buf, struct leat_span time, struct leat_span asset, struct leat_span point,
    struct leat_span value, struct leat_span unit, enum leat_quality quality)
{
	static const char comma[] = ",";

	if (leat_buf_add_span(buf, time) != 0 || leat_buf_add(buf, comma, 1) != 0 ||
	    leat_out_field_to(buf, asset) != 0 || leat_buf_add(buf, comma, 1) != 0 ||
	    leat_out_field_to(buf, point) != 0 || leat_buf_add(buf, comma, 1) != 0 ||
	    leat_out_field_to(buf, value) != 0 || leat_buf_add(buf, comma, 1) != 0 ||
	    leat_out_field_to(buf, unit) != 0 || leat_buf_add(buf, comma, 1) != 0 ||
	    leat_buf_add_span(buf, leat_span_of(leat_quality_name(quality))) != 0)
		return -1;
	return leat_buf_add(buf, "\n", 1);
}

static int
send_text(struct leat_archiver *w, struct leat_error *err)
{
	int result = leat_gzip_write(w->gzip, leat_buf_span(&w->text), err);

	leat_buf_reset(&w->text);
	return result;
}

static int
write_row(struct leat_archiver *w, struct leat_time time, struct leat_span asset, struct leat_span point,
    struct leat_span value, struct leat_span unit, enum leat_quality quality, struct leat_error *err)
{
	if (!w->writing)
		return 0;
	if (w->stamp_len == 0 || leat_time_cmp(time, w->stamped) != 0) {
		w->stamp_len = leat_time_write(w->stamp, time);
		w->stamped = time;
	}
	if (leat_archive_row(&w->text, leat_span_make(w->stamp, w->stamp_len), asset, point, value, unit, quality) != 0)
		return leat_error_memory(err);
	return w->text.len >= TEXT_SIZE ? send_text(w, err) : 0;
}

/* Reads the old month on; w->old is NULL once it has ended. */
static int
old_next(struct leat_archiver *w, struct leat_error *err)
{
	switch (leat_readings_next(w->old, &w->old_row, err)) {
	case LEAT_READINGS_ROW:
		return 0;
	case LEAT_READINGS_END:
		leat_readings_close(w->old);
		w->old = NULL;
		return 0;
	default:
		w->old_unsound = true;
		return -1;
	}
}

static int
old_open(struct leat_archiver *w, struct leat_error *err)
{
	char *path = leat_archive_path(w->archive, w->month, "");
	struct stat st;
	int result = 0;

	w->from_old_cap = 0;
	free(w->from_old);
	w->from_old = NULL;
	if (path == NULL)
		return leat_error_memory(err);
	w->had_old = stat(path, &st) == 0 || errno != ENOENT;
	if (w->had_old) {
		w->old = leat_readings_open(&path, 1, err);
		w->old_unsound = w->old == NULL;
		result = w->old != NULL ? old_next(w, err) : -1;
	}
	free(path);
	return result;
}

static int
month_begin(struct leat_archiver *w, struct leat_time time, struct leat_error *err)
{
	w->month = leat_month_of(time);
	w->end = leat_month_start(w->month + 1);
	w->changed = false;
	w->sum.months++;
	return old_open(w, err);
}

/* Makes the folder of the month's year. */
static int
make_year(struct leat_archiver *w, struct leat_error *err)
{
	char *slash = strrchr(w->path, '/');
	int result = 0;

	*slash = '\0';
	if (mkdir(w->path, 0777) == 0) {
		w->made_folder = true;
	} else if (errno != EEXIST) {
		leat_error_errno(err, "make a folder", errno);
		result = leat_error_at(err, w->path, 0);
	}
	*slash = '/';
	return result;
}

/* Writes the archived rows before a time, which were read and found to stay as they are. */
static int
write_again(struct leat_archiver *w, struct leat_time time, struct leat_error *err)
{
	char *path = leat_archive_path(w->archive, w->month, "");
	struct leat_readings *in = path != NULL ? leat_readings_open(&path, 1, err) : NULL;
	enum leat_readings_status status = LEAT_READINGS_FAILED;
	struct leat_reading r;
	int result = 0;

	if (path == NULL)
		leat_error_memory(err);
	if (in != NULL) {
		while ((status = leat_readings_next(in, &r, err)) == LEAT_READINGS_ROW && leat_time_cmp(r.time, time) < 0 &&
		    result == 0)
			result = write_row(w, r.time, r.asset, r.point, r.value, r.unit, r.quality, err);
	}
	w->old_unsound = w->old_unsound || (path != NULL && status != LEAT_READINGS_ROW && status != LEAT_READINGS_END);
	leat_readings_close(in);
	free(path);
	return status == LEAT_READINGS_ROW || status == LEAT_READINGS_END ? result : -1;
}

/* Begins the month's new file with the first row that changes it: a month in which all is known is read alone. */
static int
start_writing(struct leat_archiver *w, struct leat_time time, struct leat_error *err)
{
	w->path = leat_archive_path(w->archive, w->month, ".new");
	if (w->gzip == NULL && (w->gzip = malloc(sizeof(*w->gzip))) != NULL)
		w->gzip->fd = -1;
	if (w->path == NULL || w->gzip == NULL)
		return leat_error_memory(err);
	if (make_year(w, err) != 0 || leat_gzip_open(w->gzip, w->path, err) != 0)
		return -1;
	w->writing = true;
	if (leat_buf_add_span(&w->text, LEAT_SPAN("time,asset,point,value,unit,quality\n")) != 0)
		return leat_error_memory(err);
	return w->had_old ? write_again(w, time, err) : 0;
}

/* Copies archived rows before a time, or all that are left (LEAT_TIME_NONE). */
static int
copy_old(struct leat_archiver *w, struct leat_time time, struct leat_error *err)
{
	const struct leat_reading *r = &w->old_row;

	while (w->old != NULL && (leat_time_is_none(time) || leat_time_cmp(r->time, time) < 0)) {
		if (write_row(w, r->time, r->asset, r->point, r->value, r->unit, r->quality, err) != 0 ||
		    old_next(w, err) != 0)
			return -1;
	}
	return 0;
}

static void
drop_new_file(struct leat_archiver *w)
{
	if (w->gzip != NULL)
		leat_gzip_abandon(w->gzip);
	if (w->path != NULL)
		unlink(w->path);
	free(w->path);
	w->path = NULL;
	leat_readings_close(w->old);
	w->old = NULL;
	leat_buf_reset(&w->text);
	w->writing = false;
	w->month = 0;
}

static int
month_end(struct leat_archiver *w, struct leat_error *err)
{
	if (w->month == 0)
		return 0;
	if (!w->changed) {
		drop_new_file(w);
		return 0;
	}
	if (copy_old(w, LEAT_TIME_NONE, err) != 0 || send_text(w, err) != 0 || leat_gzip_finish(w->gzip, err) != 0)
		return -1;
	if (leat_grow(&w->due, &w->due_cap, w->dues + 1, sizeof(*w->due)) != 0)
		return leat_error_memory(err);
	w->due[w->dues++] = w->month;
	w->sum.changed++;
	free(w->path);
	w->path = NULL;
	w->writing = false;
	w->month = 0;
	return 0;
}

/* The series here of a row; LEAT_NAME_NONE when memory is out. */
static uint32_t
series_of(struct leat_archiver *w, uint32_t **from, size_t *cap, const struct leat_reading *r)
{
	uint32_t asset, point, series;

	if (r->series >= *cap && leat_grow(from, cap, (size_t)r->series + 1, sizeof(**from)) != 0)
		return LEAT_NAME_NONE;
	if ((*from)[r->series] != 0)
		return (*from)[r->series] - 1;
	asset = leat_names_put(&w->assets, r->asset);
	point = leat_names_put(&w->points, r->point);
	if (asset == LEAT_NAME_NONE || point == LEAT_NAME_NONE)
		return LEAT_NAME_NONE;
	series = leat_pairs_put(&w->series, asset, point);
	if (series != LEAT_NAME_NONE)
		(*from)[r->series] = series + 1;
	return series;
}

/* Puts a row among those of its time.  A bad row has no information: only that it is bad is kept. */
static int
settle_row(struct leat_archiver *w, struct leat_settle *group, uint32_t series, const struct leat_reading *r,
    struct leat_origin origin, bool prefer, struct leat_error *err)
{
	struct leat_arrival a = {
		.time = r->time, .series = series, .quality = r->quality, .origin = origin, .prefer_last = prefer
	};

	a.token = series != LEAT_NAME_NONE ? leat_names_put(&w->units, r->unit) : LEAT_NAME_NONE;
	if (a.token == LEAT_NAME_NONE || leat_grow(&w->unit, &w->unit_cap, (size_t)a.token + 1, sizeof(*w->unit)) != 0)
		return leat_error_memory(err);
	if (a.token >= UNITS_MAX)
		return leat_error_set(err, "more than %u different units: are columns mixed up?", UNITS_MAX);
	if (w->unit[a.token] == NULL && (w->unit[a.token] = calloc(1, sizeof(**w->unit))) == NULL)
		return leat_error_memory(err);
	if (r->quality != LEAT_BAD) {
		a.value = r->value;
		a.unit = w->unit[a.token];
	}
	return leat_settle_put(group, &a) == 0 ? 0 : leat_error_memory(err);
}

/* A settled new row as a reading that the second round takes. */
static struct leat_reading
as_reading(const struct leat_archiver *w, const struct leat_settled *item)
{
	return (struct leat_reading){ .time = w->fresh.time, .value = leat_settle_value(&w->fresh, item),
		.unit = w->units.name[item->token], .quality = item->quality };
}

/* The archived rows of the time go into the second round. */
static int
settle_old(struct leat_archiver *w, struct leat_error *err)
{
	size_t rows = 0;
	char *path;

	while (w->old != NULL && leat_time_cmp(w->old_row.time, w->fresh.time) == 0) {
		uint32_t series = series_of(w, &w->from_old, &w->from_old_cap, &w->old_row);

		if (settle_row(w, &w->both, series, &w->old_row, (struct leat_origin){ 0, w->old_row.line }, false, err) != 0 ||
		    old_next(w, err) != 0)
			return -1;
		rows++;
	}
	if (rows == w->both.count)
		return 0;
	w->old_unsound = true;
	leat_error_set(err, "an asset and point come twice at one time in the archive");
	path = leat_archive_path(w->archive, w->month, "");
	leat_error_at(err, path != NULL ? path : "archive", 0);
	free(path);
	return -1;
}

/* The rows of one time, archived and new, go into the second round. */
static int
settle_time(struct leat_archiver *w, struct leat_error *err)
{
	if (settle_old(w, err) != 0)
		return -1;
	for (size_t i = 0; i < w->fresh.count; i++) {
		const struct leat_settled *item = &w->fresh.item[i];
		struct leat_reading r = as_reading(w, item);
		struct leat_origin origin = { item->origin.source + 1, item->origin.line };

		int prefer;

		if (item->conflict) {
			if (leat_archive_set_aside_new(w, item, err) != 0)
				return -1;
			continue;
		}
		prefer = leat_archive_prefer(w, item);
		if (prefer < 0)
			return leat_error_memory(err);
		if (settle_row(w, &w->both, item->series, &r, origin, prefer > 0, err) != 0)
			return -1;
	}
	return 0;
}

/* Counts what became of an item of the second round. */
static int
count_item(struct leat_archiver *w, const struct leat_settled *item, struct leat_error *err)
{
	if (item->conflict && item->other.source > 0)
		return leat_archive_set_aside_old(w, item, err);
	if (item->origin.source > 0) {
		w->changed = true;
		if (item->count == 1)
			w->sum.added++;
		else
			w->sum.replaced++;
	} else if (item->count > 1) {
		w->sum.known++;
	}
	return 0;
}

static int
write_time(struct leat_archiver *w, struct leat_error *err)
{
	if (leat_archive_order(w) != 0)
		return leat_error_memory(err);
	for (size_t i = 0; i < w->both.count; i++) {
		if (count_item(w, &w->both.item[w->order[i].item], err) != 0)
			return -1;
	}
	if (w->changed && !w->writing && start_writing(w, w->both.time, err) != 0)
		return -1;
	for (size_t i = 0; w->writing && i < w->both.count; i++) {
		const struct leat_settled *item = &w->both.item[w->order[i].item];
		uint64_t pair = w->series.pair[item->series];

		if (write_row(w, w->both.time, w->assets.name[pair >> 32], w->points.name[(uint32_t)pair],
		    leat_settle_value(&w->both, item), w->units.name[item->token], item->quality, err) != 0)
			return -1;
	}
	leat_settle_clear(&w->both);
	return 0;
}

static int
end_time(struct leat_archiver *w, struct leat_error *err)
{
	if (w->fresh.count == 0)
		return 0;
	if (w->month != 0 && leat_time_cmp(w->fresh.time, w->end) >= 0 && month_end(w, err) != 0)
		return -1;
	if (w->month == 0 && month_begin(w, w->fresh.time, err) != 0)
		return -1;
	if (copy_old(w, w->fresh.time, err) != 0 || settle_time(w, err) != 0 || write_time(w, err) != 0)
		return -1;
	leat_settle_clear(&w->fresh);
	w->claims = 0;
	leat_buf_reset(&w->claim_text);
	w->sum.repeated = w->fresh.duplicates;
	return 0;
}

int
leat_archiver_put(struct leat_archiver *w, const struct leat_reading *r, struct leat_error *err)
{
	uint32_t series;

	if (w->fresh.count > 0 && leat_time_cmp(r->time, w->fresh.time) != 0 && end_time(w, err) != 0)
		return -1;
	w->sum.rows++;
	series = series_of(w, &w->from_new, &w->from_new_cap, r);
	if (leat_archive_claim(w, series, r) != 0)
		return leat_error_memory(err);
	return settle_row(w, &w->fresh, series, r, (struct leat_origin){ r->source, r->line }, w->prefer_last, err);
}

int
leat_archiver_finish(struct leat_archiver *w, struct leat_error *err)
{
	return end_time(w, err) == 0 ? month_end(w, err) : -1;
}

/* Renames one new month; it is due no more. */
static int
commit_month(struct leat_archiver *w, int month, struct leat_error *err)
{
	char *from = leat_archive_path(w->archive, month, ".new"), *to = leat_archive_path(w->archive, month, "");
	int result = 0;

	if (from == NULL || to == NULL) {
		result = leat_error_memory(err);
	} else if (rename(from, to) != 0) {
		leat_error_errno(err, "put the new month in its place", errno);
		result = leat_error_at(err, to, 0);
	}
	free(from);
	free(to);
	return result;
}

static int
sync_year(const struct leat_archiver *w, int month, struct leat_error *err)
{
	char *path = leat_archive_path(w->archive, month, "");
	int result;

	if (path == NULL)
		return leat_error_memory(err);
	*strrchr(path, '/') = '\0';
	result = leat_folder_sync(path, err);
	free(path);
	return result;
}

int
leat_archiver_commit(struct leat_archiver *w, struct leat_error *err)
{
	size_t done = 0;
	int result = w->made_folder ? leat_folder_sync(w->archive->folder, err) : 0;

	while (result == 0 && done < w->dues) {
		result = commit_month(w, w->due[done], err);
		if (result != 0)
			break;
		done++;
		/* Once a year, after its last month. */
		if (done == w->dues || w->due[done] / 12 != w->due[done - 1] / 12)
			result = sync_year(w, w->due[done - 1], err);
	}
	w->dues -= done;
	if (w->dues > 0)
		memmove(w->due, w->due + done, w->dues * sizeof(*w->due));
	return result;
}

void
leat_archiver_free(struct leat_archiver *w)
{
	drop_new_file(w);
	for (size_t i = 0; i < w->dues; i++) {
		char *path = leat_archive_path(w->archive, w->due[i], ".new");

		if (path != NULL)
			unlink(path);
		free(path);
	}
	for (size_t i = 0; i < w->unit_cap; i++)
		free(w->unit[i]);
	leat_names_free(&w->assets);
	leat_names_free(&w->points);
	leat_names_free(&w->units);
	leat_pairs_free(&w->series);
	leat_settle_free(&w->fresh);
	leat_settle_free(&w->both);
	leat_buf_free(&w->text);
	free(w->unit);
	free(w->from_new);
	free(w->from_old);
	free(w->order);
	free(w->conflict);
	free(w->claim);
	free(w->replaced);
	leat_buf_free(&w->claim_text);
	leat_buf_free(&w->told);
	free(w->gzip);
	free(w->due);
}
