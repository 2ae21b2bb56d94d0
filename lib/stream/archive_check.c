/*
 * Checking and repairing the months of an archive.
 */
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>

#include "stream/archive_private.h"

/* A month on its way through the reader. */
struct walk {
	const struct leat_archive_file *file;
	struct leat_archive_check *check;	/* NULL: faults are not told */
	struct leat_gzip *copy;			/* NULL, or where sound rows go */
	long long lines;			/* that can be read, when rows are copied */
	struct leat_buf text;
	struct leat_time start, end;
	long long rows, faults;
	struct leat_time last;			/* of the last sound row */
	char *asset, *point;			/* owned: of that row */
};

static void
fault(struct walk *w, struct leat_error *err)
{
	w->faults++;
	if (w->check == NULL)
		return;
	w->check->faults++;
	if (err->file[0] == '\0')
		leat_error_at(err, w->file->path, 0);
	if (w->faults <= LEAT_ARCHIVE_FAULTS)
		w->check->fault(err);
}

static void
row_fault(struct walk *w, long line, const char *text)
{
	struct leat_error err = { 0 };

	leat_error_set(&err, "%s", text);
	leat_error_at(&err, w->file->path, line);
	fault(w, &err);
}

/* Is the row one of this month, and in its place? */
static const char *
place_fault(const struct walk *w, const struct leat_reading *r)
{
	int order;

	if (leat_time_cmp(r->time, w->start) < 0 || leat_time_cmp(r->time, w->end) >= 0)
		return "a row of another month";
	if (w->rows == 0 || leat_time_cmp(r->time, w->last) != 0)
		return NULL;
	order = leat_span_cmp(leat_span_of(w->asset), r->asset);
	if (order == 0)
		order = leat_span_cmp(leat_span_of(w->point), r->point);
	return order == 0 ? "this asset and point come twice at one time" :
	    order > 0 ? "rows of one time are not in order of asset and point" : NULL;
}

static int
keep_name(char **name, struct leat_span text)
{
	if (*name != NULL && leat_span_is(text, *name))
		return 0;
	free(*name);
	*name = leat_strndup(text);
	return *name != NULL ? 0 : -1;
}

static int
keep_row(struct walk *w, const struct leat_reading *r, struct leat_error *err)
{
	char stamp[LEAT_TIME_MAX];
	int result = 0;

	w->rows++;
	w->last = r->time;
	if (keep_name(&w->asset, r->asset) != 0 || keep_name(&w->point, r->point) != 0)
		return leat_error_memory(err);
	if (w->copy == NULL)
		return 0;
	if (leat_archive_row(&w->text, leat_span_make(stamp, leat_time_write(stamp, r->time)), r->asset, r->point, r->value,
	    r->unit, r->quality) != 0)
		return leat_error_memory(err);
	if (w->text.len > 32768) {
		result = leat_gzip_write(w->copy, leat_buf_span(&w->text), err);
		leat_buf_reset(&w->text);
	}
	return result;
}

/* Reads on to the end or to where nothing can be read any more.  0, or -1 with err when the copy failed. */
static int
walk_rows(struct walk *w, struct leat_readings *in, struct leat_error *err)
{
	struct leat_reading r;
	struct leat_error bad;
	const char *text;

	for (;;) {
		switch (leat_readings_next(in, &r, &bad)) {
		case LEAT_READINGS_ROW:
			text = place_fault(w, &r);
			if (text != NULL)
				row_fault(w, r.line, text);
			else if (keep_row(w, &r, err) != 0)
				return -1;
			break;
		case LEAT_READINGS_BAD:
			fault(w, &bad);
			break;
		case LEAT_READINGS_FAILED:
			fault(w, &bad);
			/* A copy may end where the file was cut, and nowhere else. */
			if (w->copy == NULL || leat_readings_cut(in))
				return 0;
			*err = bad;
			return -1;
		case LEAT_READINGS_END:
			if (leat_readings_counted(in).headers > 0)
				row_fault(w, 0, "the header comes again among the rows");
			if (leat_readings_counted(in).blank > 0)
				row_fault(w, 0, "there are blank lines among the rows");
			return 0;
		}
	}
}

static int
walk(struct walk *w, struct leat_error *err)
{
	static const char header[] = "time,asset,point,value,unit,quality\n";
	struct leat_readings *in;
	struct leat_error bad = { 0 };
	int result;

	w->start = leat_month_start(w->file->month);
	w->end = leat_month_start(w->file->month + 1);
	w->last = LEAT_TIME_NONE;
	if (w->copy != NULL && leat_buf_add_span(&w->text, LEAT_SPAN(header)) != 0)
		return leat_error_memory(err);
	in = leat_readings_open(&w->file->path, 1, &bad);
	if (in == NULL) {
		fault(w, &bad);
		*err = bad;
		return w->copy == NULL || w->lines == 0 ? 0 : -1;
	}
	if (leat_readings_columns(in) != 6)
		row_fault(w, 1, "the header is not that of an archive: time,asset,point,value,unit,quality");
	result = walk_rows(w, in, err);
	leat_readings_close(in);
	if (result == 0 && w->copy != NULL)
		result = leat_gzip_write(w->copy, leat_buf_span(&w->text), err);
	return result;
}

static void
walk_free(struct walk *w)
{
	free(w->asset);
	free(w->point);
	leat_buf_free(&w->text);
}

enum form { SOUND, CUT, PLAIN, OTHER };

/* What the file is as a whole, and how many lines of it can be read. */
static enum form
form_of(const char *path, long long *lines)
{
	struct leat_input *in = leat_input_open(path, LEAT_ENCODING_RAW, NULL);
	char text[8192];
	enum form form = OTHER;
	struct leat_error err;
	long long size = 0;
	ssize_t n;

	*lines = 0;
	if (in == NULL)
		return OTHER;
	while ((n = leat_input_read(in, text, sizeof(text), &err)) > 0) {
		size += n;
		for (ssize_t i = 0; i < n; i++)
			*lines += text[i] == '\n';
	}
	if (n == 0)
		form = leat_input_gzip(in) ? SOUND : size == 0 ? CUT : PLAIN;
	else if (leat_input_cut(in))
		form = CUT;
	leat_input_close(in);
	return form;
}

int
leat_archive_verify(const struct leat_archive_file *file, struct leat_archive_check *check)
{
	struct walk w = { .file = file, .check = check };
	struct leat_error err = { 0 };
	enum form form = form_of(file->path, &w.lines);

	if (form == PLAIN)
		row_fault(&w, 0, "not a gzip file");
	if (walk(&w, &err) != 0)
		fault(&w, &err);
	if (w.faults > LEAT_ARCHIVE_FAULTS) {
		leat_error_set(&err, "%lld more faults in this month", w.faults - LEAT_ARCHIVE_FAULTS);
		leat_error_at(&err, file->path, 0);
		check->fault(&err);
	}
	check->rows += w.rows;
	walk_free(&w);
	return w.faults == 0 ? 0 : -1;
}

/* Gives the damaged file its second name.  A run that was killed after that may have done it already. */
static int
set_beside(const char *path, const char *aside, struct leat_error *err)
{
	struct stat a, b;

	if (link(path, aside) == 0)
		return 0;
	if (errno == EEXIST && stat(path, &a) == 0 && stat(aside, &b) == 0) {
		if (a.st_dev == b.st_dev && a.st_ino == b.st_ino)
			return 0;
		leat_error_set(err, "an earlier repair left this file: look at it and move it away first");
		return leat_error_at(err, aside, 0);
	}
	leat_error_errno(err, "put the damaged month beside", errno);
	return leat_error_at(err, aside, 0);
}

/* Writes the sound rows of the walk's file to path. */
static int
copy_sound(struct walk *w, const char *path, struct leat_error *err)
{
	int result;

	w->copy = malloc(sizeof(*w->copy));
	if (w->copy == NULL)
		return leat_error_memory(err);
	result = leat_gzip_open(w->copy, path, err);
	if (result == 0) {
		result = walk(w, err);
		if (result == 0)
			result = leat_gzip_finish(w->copy, err);
		else
			leat_gzip_abandon(w->copy);
	}
	free(w->copy);
	return result;
}

int
leat_archive_repair(const struct leat_archive *a, const struct leat_archive_file *file, long long *kept,
    struct leat_time *last, struct leat_error *err)
{
	struct walk w = { .file = file };
	char *fresh = leat_archive_path(a, file->month, ".new"), *aside = leat_archive_path(a, file->month, ".damaged");
	int result = 0;

	if (fresh == NULL || aside == NULL)
		result = leat_error_memory(err);
	else if (form_of(file->path, &w.lines) == CUT) {
		result = copy_sound(&w, fresh, err) == 0 && set_beside(file->path, aside, err) == 0 ? 1 : -1;
		/* Without one row there is no month; else the new file takes the place of the old in one step. */
		if (result > 0 && (w.rows > 0 ? rename(fresh, file->path) : unlink(file->path)) != 0) {
			leat_error_errno(err, "put the repaired month in its place", errno);
			result = leat_error_at(err, file->path, 0);
		}
		if (result < 0 || w.rows == 0)
			unlink(fresh);
	}
	if (result > 0) {
		*strrchr(fresh, '/') = '\0';
		if (leat_folder_sync(fresh, err) != 0)
			result = -1;
	}
	*kept = w.rows;
	*last = w.last;
	walk_free(&w);
	free(fresh);
	free(aside);
	return result;
}
