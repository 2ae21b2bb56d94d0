/*
 * Files that are written while others read them: appending a line, and replacing a whole file, so that a kill at any
 * instant and a full disk harm nothing that was there.
 *
 * All writers of one folder take turns by a lock (fcntl) on the file .leat-log.lock in it, which stays.  A lock on the file
 * itself would be lost whenever the same process closes the file after reading it, and with it when it is replaced.
 */
#ifndef LEAT_UPKEEP_LOG_FILE_H
#define LEAT_UPKEEP_LOG_FILE_H

#include <sys/types.h>

#include "base/error.h"
#include "base/mem.h"

/* How long to wait for another writer. */
#define LEAT_LOG_WAIT_S 30

struct leat_log_file {
	char *path;		/* of the file itself, symbolic links followed */
	int lock;		/* descriptor that holds the lock, -1: none */
};

/* Waits for the turn to write path, whose folder must exist.  0, or -1 with err. */
int leat_log_file_lock(struct leat_log_file *file, const char *path, struct leat_error *err) LEAT_MUST_USE;
void leat_log_file_unlock(struct leat_log_file *file);

/* Reads all bytes into text; none for a file that is absent.  0, or -1 with err. */
int leat_log_file_read(const struct leat_log_file *file, struct leat_buf *text, struct leat_error *err) LEAT_MUST_USE;

/* Appends bytes in one writing, and makes sure that they are on the disk.  On failure the file is cut back to what it was:
 * -1 with err, which says so where even that failed. */
int leat_log_file_append(const struct leat_log_file *file, struct leat_span bytes, struct leat_error *err) LEAT_MUST_USE;

/* Replaces the whole file: written beside it, brought to the disk, renamed.  0, or -1 with err and the old file as it
 * was. */
int leat_log_file_replace(const struct leat_log_file *file, struct leat_span bytes, struct leat_error *err) LEAT_MUST_USE;

#endif
