/*
 * Bytes of a file or of memory.
 */
#include "stream/raw.h"

#include <errno.h>
#include <limits.h>
#include <poll.h>
#include <unistd.h>

/* Waits until there is something to read.  False when the wait was broken off. */
static bool
await(const struct leat_raw *raw)
{
	struct pollfd on[2] = { { .fd = raw->fd, .events = POLLIN }, { .fd = raw->wake, .events = POLLIN } };

	while (poll(on, 2, -1) < 0 && errno == EINTR)
		continue;
	/* Where it cannot be waited for, the read itself says why. */
	return on[1].revents == 0;
}

ssize_t
leat_raw_read(struct leat_raw *raw, void *dst, size_t size, struct leat_error *err)
{
	ssize_t n;

	if (raw->fd < 0) {
		if (size > raw->mem_len)
			size = raw->mem_len;
		if (size > 0)
			memcpy(dst, raw->mem, size);
		raw->mem += size;
		raw->mem_len -= size;
		return (ssize_t)size;
	}
	if (size > SSIZE_MAX)
		size = SSIZE_MAX;
	do {
		if (raw->wake >= 0 && !await(raw))
			return 0;
		n = read(raw->fd, dst, size);
	} while (n < 0 && errno == EINTR);
	if (n < 0) {
		leat_error_errno(err, "read", errno);
		return leat_error_at(err, raw->name, 0);
	}
	return n;
}
