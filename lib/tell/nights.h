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

#endif
