/* Files that are written while others read them. */

/* realpath is POSIX, of its XSI part. */
#define _XOPEN_SOURCE 700

#include <sys/stat.h>

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>
#include <unistd.h>

#include "upkeep/log_file.h"

#define LOCK_NAME ".leat-log.lock"
#define WAIT_MS 20
#define SIZE_LIMIT (64u * 1024u * 1024u)

static int
fail(const char *what, const char *path, int errnum, struct leat_error *err)
{
	leat_error_errno(err, what, errnum);
	leat_error_value(err, leat_span_of(path));
	return -1;
}

/* The text, the folder of path, and tail behind it; the caller frees it. */
static char *
beside(const char *path, const char *tail)
{
	const char *slash = strrchr(path, '/');
	size_t folder = slash != NULL ? (size_t)(slash - path) + 1 : 0, len = strlen(tail);
	char *text = malloc(folder + len + 1);

	if (text == NULL)
		return NULL;
	memcpy(text, path, folder);
	memcpy(text + folder, tail, len + 1);
	return text;
}

/* Waits for the lock; another process holds it for the time of one writing only. */
static int
wait_lock(int fd)
{
	const struct timespec pause = { 0, WAIT_MS * 1000000L };
	struct flock lock = { .l_type = F_WRLCK, .l_whence = SEEK_SET };

	for (int i = 0; fcntl(fd, F_SETLK, &lock) != 0; i++) {
		if (errno != EACCES && errno != EAGAIN && errno != EINTR)
			return -1;
		if (i >= LEAT_LOG_WAIT_S * 1000 / WAIT_MS) {
			errno = EAGAIN;
			return -1;
		}
		nanosleep(&pause, NULL);
	}
	return 0;
}

int
leat_log_file_lock(struct leat_log_file *file, const char *path, struct leat_error *err)
{
	char *lock;

	file->lock = -1;
	file->path = realpath(path, NULL);
	if (file->path == NULL && errno == ENOENT)
		file->path = leat_strndup(leat_span_of(path));
	if (file->path == NULL)
		return fail("open the file", path, errno, err);
	lock = beside(file->path, LOCK_NAME);
	if (lock != NULL)
		file->lock = open(lock, O_RDWR | O_CREAT | O_CLOEXEC, 0666);
	if (lock == NULL || file->lock < 0) {
		fail("open the lock", lock != NULL ? lock : LOCK_NAME, errno, err);
		free(lock);
		leat_log_file_unlock(file);
		return -1;
	}
	if (wait_lock(file->lock) != 0) {
		if (errno == EAGAIN)
			leat_error_set(err, "another program has been writing for longer than %d s: try again", LEAT_LOG_WAIT_S);
		else
			fail("lock", lock, errno, err);
		free(lock);
		leat_log_file_unlock(file);
		return -1;
	}
	free(lock);
	return 0;
}

void
leat_log_file_unlock(struct leat_log_file *file)
{
	if (file->lock >= 0)
		close(file->lock);
	free(file->path);
	file->lock = -1;
	file->path = NULL;
}

int
leat_log_file_read(const struct leat_log_file *file, struct leat_buf *text, struct leat_error *err)
{
	int fd = open(file->path, O_RDONLY | O_CLOEXEC), errnum = 0;
	ssize_t got = 1;

	text->limit = SIZE_LIMIT;
	leat_buf_reset(text);
	if (fd < 0)
		return errno == ENOENT ? 0 : fail("open", file->path, errno, err);
	while (got != 0 && errnum == 0) {
		if (leat_buf_reserve(text, 65536) != 0)
			errnum = EFBIG;
		else if ((got = read(fd, text->data + text->len, 65536)) > 0)
			text->len += (size_t)got;
		else if (got < 0 && errno != EINTR)
			errnum = errno;
	}
	close(fd);
	return errnum == 0 ? 0 : fail("read", file->path, errnum, err);
}

/* Makes sure that a new name in the folder of path is on the disk. */
static int
sync_folder(const char *path)
{
	char *folder = beside(path, ".");
	int fd = folder != NULL ? open(folder, O_RDONLY | O_CLOEXEC) : -1, result = -1;

	free(folder);
	if (fd < 0)
		return -1;
	/* Some file systems cannot sync a folder, and need not. */
	if (fsync(fd) == 0 || errno == EINVAL || errno == ENOTSUP)
		result = 0;
	if (close(fd) != 0)
		result = -1;
	return result;
}

/* One writing; one that was cut short counts as failed, and errno says why. */
static int
write_once(int fd, struct leat_span bytes)
{
	ssize_t done;

	do {
		done = write(fd, bytes.ptr, bytes.len);
	} while (done < 0 && errno == EINTR);
	if (done >= 0 && (size_t)done < bytes.len) {
		errno = ENOSPC;
		return -1;
	}
	return done < 0 ? -1 : 0;
}

int
leat_log_file_append(const struct leat_log_file *file, struct leat_span bytes, struct leat_error *err)
{
	int fd = open(file->path, O_WRONLY | O_APPEND | O_CREAT | O_CLOEXEC, 0666), errnum = 0;
	bool restored = true;
	struct stat st;

	if (fd < 0)
		return fail("open", file->path, errno, err);
	if (fstat(fd, &st) != 0)
		errnum = errno;
	else if (write_once(fd, bytes) != 0 || fsync(fd) != 0 || (st.st_size == 0 && sync_folder(file->path) != 0)) {
		errnum = errno;
		restored = ftruncate(fd, st.st_size) == 0;
	}
	/* What was synced is on the disk, whatever close says. */
	close(fd);
	if (errnum == 0)
		return 0;
	return fail(restored ? "write (nothing was logged)" : "write, nor cut the file back to what it was", file->path,
	    errnum, err);
}

/* Writes all of a new file; 0 or an errno value. */
static int
write_all(int fd, struct leat_span bytes)
{
	while (bytes.len > 0) {
		ssize_t done = write(fd, bytes.ptr, bytes.len);

		if (done < 0 && errno != EINTR)
			return errno;
		if (done == 0)
			return EIO;
		if (done > 0)
			bytes = leat_span_make(bytes.ptr + done, bytes.len - (size_t)done);
	}
	return 0;
}

int
leat_log_file_replace(const struct leat_log_file *file, struct leat_span bytes, struct leat_error *err)
{
	size_t size = strlen(file->path) + 5;
	char *temp = malloc(size);
	struct stat st;
	int fd, errnum = 0;

	if (temp == NULL)
		return leat_error_memory(err);
	/* The lock makes the name ours: what a killed run left under it is overwritten. */
	snprintf(temp, size, "%s.tmp", file->path);
	fd = open(temp, O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0666);
	if (fd < 0) {
		fail("write", temp, errno, err);
		free(temp);
		return -1;
	}
	if (stat(file->path, &st) == 0 && fchmod(fd, st.st_mode & 07777) != 0)
		errnum = errno;
	if (errnum == 0)
		errnum = write_all(fd, bytes);
	if (errnum == 0 && fsync(fd) != 0)
		errnum = errno;
	if (close(fd) != 0 && errnum == 0)
		errnum = errno;
	if (errnum == 0 && rename(temp, file->path) != 0)
		errnum = errno;
	if (errnum != 0)
		unlink(temp);
	free(temp);
	if (errnum == 0 && sync_folder(file->path) != 0)
		return fail("bring to the disk (the file is replaced)", file->path, errno, err);
	return errnum == 0 ? 0 : fail("write (the file is as it was)", file->path, errnum, err);
}
