/*
 * The folder of nights.
 */
#include "tell/nights.h"

#include <dirent.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/instant.h"
#include "base/number.h"

/* Reads YYYY-MM-DD.csv.  0 with *day, or -1. */
static int
day_of(struct leat_span name, int64_t *day)
{
	int64_t part[3];
	static const struct {
		size_t at, len;
		int64_t max;
	} where[] = { { 0, 4, 9999 }, { 5, 2, 12 }, { 8, 2, 31 } };
	size_t i;

	if (name.len != 14 || !leat_span_ends(name, ".csv") || name.ptr[4] != '-' || name.ptr[7] != '-')
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
