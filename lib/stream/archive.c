/*
 * The archive's folder: its months, its lock, what a killed run left.
 */
#include "stream/archive.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>

int
leat_month_of(struct leat_time t)
{
	struct leat_civil c = leat_civil_from_time(t, 0);

	return c.year * 12 + c.month - 1;
}

struct leat_time
leat_month_start(int month)
{
	/* The month after the last there is has no first day. */
	if (month >= 10000 * 12)
		return (struct leat_time){ INT64_MAX, 0 };
	return (struct leat_time){ leat_days_from_civil(month / 12, month % 12 + 1, 1) * 86400, 0 };
}

char *
leat_archive_path(const struct leat_archive *a, int month, const char *ending)
{
	struct leat_buf buf = { 0 };

	if (leat_buf_printf(&buf, "%s/%04d/%02d.csv.gz%s", a->folder, month / 12, month % 12 + 1, ending) != 0 ||
	    leat_buf_add(&buf, "", 1) != 0) {
		leat_buf_free(&buf);
		return NULL;
	}
	return buf.data;
}

int
leat_folder_sync(const char *path, struct leat_error *err)
{
	int fd = open(path, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
	int errnum = 0;

	if (fd < 0 || fsync(fd) != 0)
		errnum = errno;
	if (fd >= 0)
		close(fd);
	/* Some network file systems do not sync folders; there is no more to be done there. */
	if (errnum == 0 || errnum == EINVAL)
		return 0;
	leat_error_errno(err, "bring a folder to the disk", errnum);
	return leat_error_at(err, path, 0);
}

int
leat_archive_open(struct leat_archive *a, const char *folder, struct leat_error *err)
{
	struct stat st;

	memset(a, 0, sizeof(*a));
	a->lock = -1;
	if (stat(folder, &st) != 0 && errno == ENOENT) {
		leat_error_set(err, "there is no archive; leat-archive makes it from the first readings");
		return leat_error_at(err, folder, 0);
	}
	if (stat(folder, &st) == 0 && !S_ISDIR(st.st_mode)) {
		leat_error_set(err, "the archive is not a folder");
		return leat_error_at(err, folder, 0);
	}
	a->folder = leat_strndup(leat_span_of(folder));
	return a->folder != NULL ? 0 : leat_error_memory(err);
}

void
leat_archive_close(struct leat_archive *a)
{
	free(a->folder);
	if (a->lock >= 0)
		close(a->lock);
	a->folder = NULL;
	a->lock = -1;
}

/* Makes the folder and brings its entry in the folder above to the disk. */
static int
make_folder(const char *folder, struct leat_error *err)
{
	struct leat_span path = leat_span_of(folder);
	char *above;
	int result;

	if (mkdir(folder, 0777) != 0) {
		if (errno == EEXIST)
			return 0;
		leat_error_errno(err, "make the archive", errno);
		return leat_error_at(err, folder, 0);
	}
	while (path.len > 1 && path.ptr[path.len - 1] == '/')
		path.len--;
	while (path.len > 0 && path.ptr[path.len - 1] != '/')
		path.len--;
	above = leat_strndup(path.len > 0 ? path : LEAT_SPAN("."));
	if (above == NULL)
		return leat_error_memory(err);
	result = leat_folder_sync(above, err);
	free(above);
	return result;
}

static int
lock(struct leat_archive *a, struct leat_error *err)
{
	struct flock whole = { .l_type = F_WRLCK, .l_whence = SEEK_SET };
	struct leat_buf path = { 0 };

	if (leat_buf_printf(&path, "%s/.lock", a->folder) != 0 || leat_buf_add(&path, "", 1) != 0) {
		leat_buf_free(&path);
		return leat_error_memory(err);
	}
	a->lock = open(path.data, O_RDWR | O_CREAT | O_NOCTTY | O_CLOEXEC, 0666);
	if (a->lock < 0) {
		leat_error_errno(err, "lock the archive", errno);
		leat_error_at(err, path.data, 0);
		leat_buf_free(&path);
		return -1;
	}
	leat_buf_free(&path);
	if (fcntl(a->lock, F_SETLK, &whole) == 0)
		return 0;
	if (errno != EACCES && errno != EAGAIN)
		leat_error_errno(err, "lock the archive", errno);
	else if (fcntl(a->lock, F_GETLK, &whole) == 0 && whole.l_type != F_UNLCK && whole.l_pid > 0)
		leat_error_set(err, "another run is writing to the archive (process %ld); nothing was done: try again when it "
		    "has ended", (long)whole.l_pid);
	else
		leat_error_set(err, "another run is writing to the archive; nothing was done: try again when it has ended");
	return leat_error_at(err, a->folder, 0);
}

/* What a killed run left is never read, but would stay for ever where no later run writes the same month. */
static int
remove_left(const struct leat_archive *a, struct leat_error *err)
{
	struct leat_archive_list list = { 0 };
	int result = leat_archive_list(a, &list, err);

	for (size_t i = 0; result == 0 && i < list.count; i++) {
		if (list.file[i].kind != LEAT_ARCHIVE_LEFT || unlink(list.file[i].path) == 0 || errno == ENOENT)
			continue;
		leat_error_errno(err, "remove what a killed run left", errno);
		result = leat_error_at(err, list.file[i].path, 0);
	}
	leat_archive_list_free(&list);
	return result;
}

int
leat_archive_take(struct leat_archive *a, const char *folder, struct leat_error *err)
{
	memset(a, 0, sizeof(*a));
	a->lock = -1;
	if (make_folder(folder, err) != 0)
		return -1;
	if (leat_archive_open(a, folder, err) == 0 && lock(a, err) == 0 && remove_left(a, err) == 0)
		return 0;
	leat_archive_close(a);
	return -1;
}

static int
list_put(struct leat_archive_list *list, const char *folder, const char *name, enum leat_archive_kind kind, int month)
{
	struct leat_buf path = { 0 };

	if (leat_grow(&list->file, &list->cap, list->count + 1, sizeof(*list->file)) != 0 ||
	    leat_buf_printf(&path, "%s/%s", folder, name) != 0 || leat_buf_add(&path, "", 1) != 0) {
		leat_buf_free(&path);
		return -1;
	}
	list->file[list->count++] = (struct leat_archive_file){ kind, month, path.data };
	return 0;
}

/* So many digits at the start of the name, as a number; -1 when they are not there. */
static int
digits(struct leat_span name, size_t count)
{
	int64_t number;

	if (name.len < count || leat_int_parse(leat_span_make(name.ptr, count), 0, 9999, &number) != 0)
		return -1;
	return name.ptr[0] >= '0' && name.ptr[0] <= '9' ? (int)number : -1;
}

static int
list_name(struct leat_archive_list *list, const char *folder, int year, const char *name)
{
	static const struct {
		const char *ending;
		enum leat_archive_kind kind;
	} table[] = {
		{ ".csv.gz", LEAT_ARCHIVE_MONTH },
		{ ".csv.gz.new", LEAT_ARCHIVE_LEFT },
		{ ".csv.gz.damaged", LEAT_ARCHIVE_ASIDE },
	};
	int month = digits(leat_span_of(name), 2);

	if (year < 1 || month < 1 || month > 12)
		return list_put(list, folder, name, LEAT_ARCHIVE_STRAY, 0);
	for (size_t i = 0; i < sizeof(table) / sizeof(table[0]); i++) {
		if (strcmp(name + 2, table[i].ending) == 0)
			return list_put(list, folder, name, table[i].kind, year * 12 + month - 1);
	}
	return list_put(list, folder, name, LEAT_ARCHIVE_STRAY, 0);
}

/* Lists one folder: the archive (year 0), or that of a year.  Years are listed in turn. */
static int
list_folder(struct leat_archive_list *list, const char *folder, int year, struct leat_error *err)
{
	DIR *dir = opendir(folder);
	const struct dirent *entry;
	struct leat_buf path = { 0 };
	int result = 0;

	if (dir == NULL) {
		leat_error_errno(err, "open", errno);
		return leat_error_at(err, folder, 0);
	}
	while (result == 0 && (errno = 0, entry = readdir(dir)) != NULL) {
		struct leat_span name = leat_span_of(entry->d_name);

		if (name.ptr[0] == '.')
			continue;
		if (year == 0 && name.len == 4 && digits(name, 4) > 0) {
			leat_buf_reset(&path);
			if (leat_buf_printf(&path, "%s/%s", folder, name.ptr) != 0 || leat_buf_add(&path, "", 1) != 0)
				result = leat_error_memory(err);
			else
				result = list_folder(list, path.data, digits(name, 4), err);
		} else if (list_name(list, folder, year, name.ptr) != 0) {
			result = leat_error_memory(err);
		}
	}
	if (result == 0 && errno != 0) {
		leat_error_errno(err, "read", errno);
		result = leat_error_at(err, folder, 0);
	}
	closedir(dir);
	leat_buf_free(&path);
	return result;
}

static int
by_path(const void *a, const void *b)
{
	return strcmp(((const struct leat_archive_file *)a)->path, ((const struct leat_archive_file *)b)->path);
}

int
leat_archive_list(const struct leat_archive *a, struct leat_archive_list *list, struct leat_error *err)
{
	if (list_folder(list, a->folder, 0, err) != 0)
		return -1;
	/* Names have a fixed width, so the order of paths is that of time. */
	if (list->count > 1)
		qsort(list->file, list->count, sizeof(*list->file), by_path);
	return 0;
}

void
leat_archive_list_free(struct leat_archive_list *list)
{
	for (size_t i = 0; i < list->count; i++)
		free(list->file[i].path);
	free(list->file);
	memset(list, 0, sizeof(*list));
}
