/*
 * The folder of nights.
 */
#include "tell/nights.h"

#include <dirent.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/stat.h>

#include "base/instant.h"
#include "base/mem.h"
#include "base/number.h"

/* Reads YYYY-MM-DD of YYYY-MM-DD.csv and YYYY-MM-DD.NAME.csv.  0 with *day, or -1. */
static int
dated(struct leat_span name, int64_t *day)
{
	int64_t part[3];
	static const struct {
		size_t at, len;
		int64_t max;
	} where[] = { { 0, 4, 9999 }, { 5, 2, 12 }, { 8, 2, 31 } };
	size_t i;

	if (name.len < 14 || name.ptr[10] != '.' || !leat_span_ends(name, ".csv") || name.ptr[4] != '-' || name.ptr[7] != '-')
		return -1;
	for (i = 0; i < 3; i++) {
		if (name.ptr[where[i].at] < '0' || name.ptr[where[i].at] > '9' ||
		    leat_int_parse(leat_span_make(name.ptr + where[i].at, where[i].len), 1, where[i].max, &part[i]) != 0)
			return -1;
	}
	if (part[2] > leat_days_in_month((int)part[0], (int)part[1]))
		return -1;
	*day = leat_days_from_civil((int)part[0], (int)part[1], (int)part[2]);
	return 0;
}

/* Reads YYYY-MM-DD.csv alone. */
static int
day_of(struct leat_span name, int64_t *day)
{
	return name.len == 14 ? dated(name, day) : -1;
}

static char *
path_of(const char *folder, int64_t day)
{
	size_t size = strlen(folder) + 32;
	char *path = malloc(size);
	int y, m, d;

	leat_civil_from_days(day, &y, &m, &d);
	if (path != NULL)
		snprintf(path, size, "%s/%04d-%02d-%02d.csv", folder, y, m, d);
	return path;
}

int
leat_nights_before(const char *folder, int64_t before, int64_t *day, char **path, struct leat_error *err)
{
	DIR *dir = opendir(folder);
	struct dirent *entry;
	bool found = false;
	int64_t at;
	int errnum;

	if (dir == NULL && errno == ENOENT)
		return 0;
	if (dir == NULL)
		return leat_error_errno(err, "read the folder of earlier nights", errno);
	errno = 0;
	while ((entry = readdir(dir)) != NULL) {
		if (day_of(leat_span_of(entry->d_name), &at) == 0 && at < before && (!found || at > *day)) {
			*day = at;
			found = true;
		}
		errno = 0;
	}
	errnum = errno;
	closedir(dir);
	if (errnum != 0)
		return leat_error_errno(err, "read the folder of earlier nights", errnum);
	if (!found)
		return 0;
	*path = path_of(folder, *day);
	return *path != NULL ? 1 : leat_error_memory(err);
}

/* Takes path over. */
static int
add(struct leat_night_files *files, int64_t day, char *path, struct leat_error *err)
{
	if (path == NULL || leat_grow(&files->item, &files->cap, files->count + 1, sizeof(*files->item)) != 0) {
		free(path);
		return leat_error_memory(err);
	}
	files->item[files->count++] = (struct leat_night_file){ day, path };
	return 0;
}

static char *
join(const char *folder, const char *name)
{
	size_t size = strlen(folder) + strlen(name) + 2;
	char *path = malloc(size);

	if (path != NULL)
		snprintf(path, size, "%s/%s", folder, name);
	return path;
}

static int
add_folder(struct leat_night_files *files, const char *folder, struct leat_error *err)
{
	DIR *dir = opendir(folder);
	struct dirent *entry;
	int64_t day;
	int result = 0, errnum = 0;

	if (dir == NULL) {
		leat_error_errno(err, "read the folder", errno);
		return leat_error_at(err, folder, 0);
	}
	while (result == 0 && (errno = 0, entry = readdir(dir)) != NULL)
		if (dated(leat_span_of(entry->d_name), &day) == 0)
			result = add(files, day, join(folder, entry->d_name), err);
	if (result == 0)
		errnum = errno;
	closedir(dir);
	if (errnum != 0) {
		leat_error_errno(err, "read the folder", errnum);
		return leat_error_at(err, folder, 0);
	}
	return result;
}

int
leat_night_files_add(struct leat_night_files *files, const char *path, struct leat_error *err)
{
	struct leat_span name = leat_span_of(path), rest = name;
	struct stat st;
	int64_t day;

	if (stat(path, &st) != 0) {
		leat_error_errno(err, "open", errno);
		return leat_error_at(err, path, 0);
	}
	if (S_ISDIR(st.st_mode))
		return add_folder(files, path, err);
	while (leat_span_next(&rest, '/', &name))
		;
	if (dated(name, &day) != 0) {
		leat_error_set(err, "no night: the name of its file begins with its day, such as 2025-12-19.csv");
		return leat_error_value(err, leat_span_of(path));
	}
	return add(files, day, leat_strndup(leat_span_of(path)), err);
}

static int
file_cmp(const void *a, const void *b)
{
	const struct leat_night_file *x = a, *y = b;

	return x->day != y->day ? (x->day > y->day ? 1 : -1) : strcmp(x->path, y->path);
}

void
leat_night_files_sort(struct leat_night_files *files)
{
	if (files->count > 1)
		qsort(files->item, files->count, sizeof(*files->item), file_cmp);
}

void
leat_night_files_free(struct leat_night_files *files)
{
	for (size_t i = 0; i < files->count; i++)
		free(files->item[i].path);
	free(files->item);
	memset(files, 0, sizeof(*files));
}
