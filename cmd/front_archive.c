/*
 * Where readings come from.
 */
#include "front_archive.h"

#include <stdlib.h>
#include <sys/stat.h>

#include "front.h"

const char *
front_archive(const char *given)
{
	static struct leat_buf path;

	if (given != NULL || front_opt.works == NULL)
		return given;
	if (path.len == 0 && (leat_buf_printf(&path, "%s/archive", front_opt.works) != 0 || leat_buf_add(&path, "", 1) != 0))
		front_misuse("out of memory");
	return path.data;
}

struct leat_time
front_time(const char *option, const char *text)
{
	struct leat_buf full = { 0 };
	struct leat_time time;
	int result;

	if (leat_buf_printf(&full, strlen(text) == 10 ? "%sT00:00:00Z" : "%s", text) != 0)
		front_misuse("out of memory");
	result = leat_time_parse(leat_buf_span(&full), &time);
	leat_buf_free(&full);
	if (result != 0)
		front_misuse("option '%s': not an RFC 3339 time such as 2025-12-20T05:30:00Z, nor a date: '%s'", option, text);
	return time;
}

void
front_glob(const char ***list, size_t *count, int argc)
{
	if (*list == NULL && (*list = calloc((size_t)argc, sizeof(**list))) == NULL)
		front_misuse("out of memory");
	(*list)[(*count)++] = optarg;
}

static void
add_stream(struct front_streams *from, char *const *file, size_t count)
{
	if (leat_grow(&from->stream, &from->cap, from->streams + 1, sizeof(*from->stream)) != 0)
		front_misuse("out of memory");
	from->stream[from->streams++] = (struct front_stream){ file, count };
}

void
front_streams_months(struct front_streams *from, struct leat_time start, struct leat_time end)
{
	if (!from->archive)
		return;
	from->streams = 0;
	for (size_t i = 0; i < from->list.count; i++) {
		const struct leat_archive_file *f = &from->list.file[i];

		if (f->kind != LEAT_ARCHIVE_MONTH)
			continue;
		if (!leat_time_is_none(end) && leat_time_cmp(leat_month_start(f->month), end) > 0)
			continue;
		if (!leat_time_is_none(start) && leat_time_cmp(leat_month_start(f->month + 1), start) <= 0)
			continue;
		add_stream(from, &f->path, 1);
	}
}

static bool
is_file(const char *path)
{
	struct stat st;

	return strcmp(path, "-") != 0 && stat(path, &st) == 0 && S_ISREG(st.st_mode);
}

static bool
open_archive(struct front_streams *from, const char *folder)
{
	struct leat_archive archive;
	struct leat_error err;
	bool good = leat_archive_open(&archive, folder, &err) == 0;

	from->archive = from->again = true;
	if (good) {
		good = leat_archive_list(&archive, &from->list, &err) == 0;
		leat_archive_close(&archive);
	}
	if (!good)
		front_error(&err);
	else
		front_streams_months(from, LEAT_TIME_NONE, LEAT_TIME_NONE);
	return good;
}

bool
front_streams_open(struct front_streams *from, const char *given, int count, char *const file[])
{
	const char *folder = count > 0 ? NULL : front_archive(given);

	if (count > 0 && given != NULL)
		front_misuse("give either an archive or FILEs: '%s'", file[0]);
	if (folder != NULL)
		return open_archive(from, folder);
	add_stream(from, file, (size_t)count);
	from->again = count > 0;
	for (int i = 0; i < count; i++)
		from->again = from->again && is_file(file[i]);
	return true;
}

/* The same rows come again, so that nothing is rejected here. */
static bool
last_of(const struct front_stream *stream, bool any_order, struct leat_time *last)
{
	struct leat_error err;
	struct leat_readings *in = leat_readings_open(stream->file, stream->count, &err);
	enum leat_readings_status status = LEAT_READINGS_FAILED;
	struct leat_reading r;

	if (in != NULL && any_order)
		leat_readings_any_order(in);
	while (in != NULL && (status = leat_readings_next(in, &r, &err)) != LEAT_READINGS_END && status != LEAT_READINGS_FAILED)
		if (status == LEAT_READINGS_ROW && (leat_time_is_none(*last) || leat_time_cmp(r.time, *last) > 0))
			*last = r.time;
	if (status == LEAT_READINGS_FAILED)
		front_error(&err);
	leat_readings_close(in);
	return !front_failed();
}

bool
front_streams_last(const struct front_streams *from, bool any_order, struct leat_time *last)
{
	*last = LEAT_TIME_NONE;
	if (!from->again)
		front_misuse("option '--last' with '--now data' needs FILEs or an archive: a stream comes once");
	for (size_t i = from->archive && from->streams > 1 ? from->streams - 1 : 0; i < from->streams; i++)
		if (!last_of(&from->stream[i], any_order, last))
			return false;
	return true;
}

void
front_streams_free(struct front_streams *from)
{
	leat_archive_list_free(&from->list);
	free(from->stream);
}
