/*
 * Writing one gzip file.
 */
#include "stream/gzip_out.h"

#include <errno.h>
#include <fcntl.h>
#include <stdint.h>
#include <unistd.h>

#define LEVEL 6
#define OS_UNKNOWN 255	/* RFC 1952, 2.3.1 */

static int
fail(const struct leat_gzip *gzip, struct leat_error *err, int errnum)
{
	leat_error_errno(err, "write", errnum);
	return leat_error_at(err, gzip->path, 0);
}

int
leat_gzip_open(struct leat_gzip *gzip, const char *path, struct leat_error *err)
{
	memset(&gzip->z, 0, sizeof(gzip->z));
	memset(&gzip->header, 0, sizeof(gzip->header));
	gzip->path = path;
	gzip->header.os = OS_UNKNOWN;
	do
		gzip->fd = open(path, O_WRONLY | O_CREAT | O_TRUNC | O_NOCTTY | O_CLOEXEC, 0666);
	while (gzip->fd < 0 && errno == EINTR);
	if (gzip->fd < 0)
		return fail(gzip, err, errno);
	if (deflateInit2(&gzip->z, LEVEL, Z_DEFLATED, 16 + MAX_WBITS, 8, Z_DEFAULT_STRATEGY) != Z_OK) {
		close(gzip->fd);
		gzip->fd = -1;
		return leat_error_memory(err);
	}
	deflateSetHeader(&gzip->z, &gzip->header);
	gzip->z.next_out = gzip->out;
	gzip->z.avail_out = sizeof(gzip->out);
	return 0;
}

static int
send(struct leat_gzip *gzip, struct leat_error *err)
{
	size_t len = sizeof(gzip->out) - gzip->z.avail_out;
	const unsigned char *at = gzip->out;

	while (len > 0) {
		ssize_t n = write(gzip->fd, at, len);

		if (n < 0 && errno == EINTR)
			continue;
		if (n < 0)
			return fail(gzip, err, errno);
		at += n;
		len -= (size_t)n;
	}
	gzip->z.next_out = gzip->out;
	gzip->z.avail_out = sizeof(gzip->out);
	return 0;
}

int
leat_gzip_write(struct leat_gzip *gzip, struct leat_span bytes, struct leat_error *err)
{
	/* zlib counts in unsigned int; callers hand over buffers of some KiB. */
	gzip->z.next_in = (Bytef *)(void *)(uintptr_t)bytes.ptr;
	gzip->z.avail_in = (uInt)bytes.len;
	while (gzip->z.avail_in > 0) {
		if (deflate(&gzip->z, Z_NO_FLUSH) == Z_STREAM_ERROR)
			return leat_error_set(err, "cannot compress: the state of zlib is not sound");
		if (gzip->z.avail_out == 0 && send(gzip, err) != 0)
			return -1;
	}
	return 0;
}

int
leat_gzip_finish(struct leat_gzip *gzip, struct leat_error *err)
{
	int r, result = 0;

	do {
		r = deflate(&gzip->z, Z_FINISH);
		result = send(gzip, err);
	} while (result == 0 && (r == Z_OK || r == Z_BUF_ERROR));
	if (result == 0 && r != Z_STREAM_END)
		result = leat_error_set(err, "cannot compress: the state of zlib is not sound");
	if (result == 0 && fsync(gzip->fd) != 0)
		result = fail(gzip, err, errno);
	deflateEnd(&gzip->z);
	if (close(gzip->fd) != 0 && result == 0)
		result = fail(gzip, err, errno);
	gzip->fd = -1;
	return result;
}

void
leat_gzip_abandon(struct leat_gzip *gzip)
{
	if (gzip->fd < 0)
		return;
	deflateEnd(&gzip->z);
	close(gzip->fd);
	gzip->fd = -1;
}
