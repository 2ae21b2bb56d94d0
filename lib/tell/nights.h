/*
 * The folder of nights: findings/YYYY-MM-DD.csv, one file a works' day.
 */
#ifndef LEAT_TELL_NIGHTS_H
#define LEAT_TELL_NIGHTS_H

#include <stdint.h>

#include "base/error.h"

/* Finds the newest night before a works' day (days since 1970-01-01).  Returns 1 with *day and *path (the caller frees
 * it), 0 when there is none or the folder does not exist, -1 with err when the folder cannot be read.  Other files in the
 * folder are not looked at. */
int leat_nights_before(const char *folder, int64_t before, int64_t *day, char **path, struct leat_error *err)
    LEAT_MUST_USE;

/* A file of a night: YYYY-MM-DD.csv, or YYYY-MM-DD.NAME.csv where each judge has its own. */
struct leat_night_file {
	int64_t day;		/* its works' day, days since 1970-01-01 */
	char *path;		/* owned by the list */
};

struct leat_night_files {
	struct leat_night_file *item;	/* by day, then by name, once leat_night_files_sort was called */
	size_t count, cap;
};

/* Adds one file, whose name must be that of a night, or all such files of a folder.  0, or -1 with err. */
int leat_night_files_add(struct leat_night_files *files, const char *path, struct leat_error *err) LEAT_MUST_USE;
void leat_night_files_sort(struct leat_night_files *files);
void leat_night_files_free(struct leat_night_files *files);

#endif
