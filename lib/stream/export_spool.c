/*
 * An input that can be read several times.
 *
 * A regular file is opened again, standard input that is one is wound back.  What a pipe brings is kept in memory as
 * long as it is small, and in an unlinked file beyond that, which no crash leaves behind.
 */
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>

#include "stream/export_private.h"

#define MEMORY_MAX (1024u * 1024u)

enum kind { KIND_FILE, KIND_WIND_BACK, KIND_MEMORY, KIND_SPOOLED };

struct leat_spool {
	enum kind kind;
	char *path;			/* what leat_input_open gets */
	char *name;			/* for messages */
	off_t start;			/* KIND_WIND_BACK */
	struct stat found;		/* KIND_FILE: the file as it was at first */
	enum leat_encoding encoding;	/* asked for; of the original once it was spooled */
	struct leat_buf memory;
	int fd;
};

static int
make_file(struct leat_spool *spool, const char *folder, struct leat_error *err)
{
	struct leat_buf path = { NULL, 0, 0, 0 };

	if (leat_buf_printf(&path, "%s/leat-export-XXXXXX", folder) != 0)
		return leat_error_memory(err);
	spool->fd = mkstemp(path.data);
	if (spool->fd < 0) {
		leat_error_errno(err, "make a temporary file", errno);
		leat_error_at(err, folder, 0);
	} else {
		(void)unlink(path.data);
		(void)fcntl(spool->fd, F_SETFD, FD_CLOEXEC);
	}
	leat_buf_free(&path);
	return spool->fd < 0 ? -1 : 0;
}

static int
write_all(struct leat_spool *spool, const char *bytes, size_t len, const char *folder, struct leat_error *err)
{
	ssize_t n;

	while (len > 0) {
		n = write(spool->fd, bytes, len);
		if (n < 0 && errno == EINTR)
			continue;
		if (n < 0) {
			leat_error_errno(err, "write a temporary file", errno);
			return leat_error_at(err, folder, 0);
		}
		bytes += n;
		len -= (size_t)n;
	}
	return 0;
}

/* Reads all of in, into memory and from there into a file. */
static int
keep(struct leat_spool *spool, struct leat_input *in, const char *folder, struct leat_error *err)
{
	char *chunk = malloc(MEMORY_MAX / 8);
	ssize_t n = 0;

	if (chunk == NULL)
		return leat_error_memory(err);
	while ((n = leat_input_read(in, chunk, MEMORY_MAX / 8, err)) > 0) {
		if (spool->fd < 0 && spool->memory.len + (size_t)n <= MEMORY_MAX) {
			if (leat_buf_add(&spool->memory, chunk, (size_t)n) == 0)
				continue;
			n = leat_error_memory(err);
			break;
		}
		if (spool->fd < 0) {
			if (make_file(spool, folder, err) != 0 ||
			    write_all(spool, spool->memory.data, spool->memory.len, folder, err) != 0) {
				n = -1;
				break;
			}
			leat_buf_free(&spool->memory);
		}
		if (write_all(spool, chunk, (size_t)n, folder, err) != 0) {
			n = -1;
			break;
		}
	}
	free(chunk);
	return n < 0 ? -1 : 0;
}

static int
spool_all(struct leat_spool *spool, const char *folder, struct leat_error *err)
{
	struct leat_input *in = leat_input_open(spool->path, spool->encoding, err);
	char path[32];
	int status;

	if (in == NULL)
		return -1;
	status = keep(spool, in, folder, err);
	spool->encoding = leat_input_encoding(in);
	leat_input_close(in);
	if (status != 0)
		return -1;
	if (spool->fd < 0) {
		spool->kind = KIND_MEMORY;
		return 0;
	}
	/* The file has no name any more; this one leads to it by its descriptor. */
	spool->kind = KIND_SPOOLED;
	snprintf(path, sizeof(path), "/dev/fd/%d", spool->fd);
	free(spool->path);
	spool->path = leat_strndup(leat_span_of(path));
	return spool->path != NULL ? 0 : leat_error_memory(err);
}

struct leat_spool *
leat_spool_open(const char *path, enum leat_encoding encoding, const char *folder, struct leat_error *err)
{
	struct leat_spool *spool = calloc(1, sizeof(*spool));
	bool standard = strcmp(path, "-") == 0;
	struct stat st = { .st_size = 0 };
	bool regular;

	if (spool != NULL) {
		spool->fd = -1;
		spool->encoding = encoding;
		spool->path = leat_strndup(leat_span_of(path));
		spool->name = leat_strndup(leat_span_of(standard ? "standard input" : path));
	}
	if (spool == NULL || spool->path == NULL || spool->name == NULL) {
		leat_error_memory(err);
		leat_spool_close(spool);
		return NULL;
	}
	/* What is not there is left to leat_input_open to say. */
	regular = (standard ? fstat(STDIN_FILENO, &st) : stat(path, &st)) != 0 || S_ISREG(st.st_mode) ||
	    S_ISDIR(st.st_mode);
	spool->kind = KIND_FILE;
	spool->found = st;
	if (regular && standard) {
		spool->kind = KIND_WIND_BACK;
		spool->start = lseek(STDIN_FILENO, 0, SEEK_CUR);
		regular = spool->start >= 0;
	}
	if (!regular && spool_all(spool, folder, err) != 0) {
		leat_spool_close(spool);
		return NULL;
	}
	return spool;
}

struct leat_input *
leat_spool_input(struct leat_spool *spool, struct leat_error *err)
{
	if (spool->kind == KIND_MEMORY)
		return leat_input_memory(spool->name, spool->memory.data, spool->memory.len, LEAT_ENCODING_RAW, err);
	if (spool->kind == KIND_FILE)
		return leat_input_open(spool->path, spool->encoding, err);
	/* On some systems /dev/fd shares its place in the file with the descriptor. */
	if (lseek(spool->kind == KIND_SPOOLED ? spool->fd : STDIN_FILENO, spool->start, SEEK_SET) < 0) {
		leat_error_errno(err, "read again", errno);
		leat_error_at(err, spool->name, 0);
		return NULL;
	}
	return leat_input_open(spool->path, spool->kind == KIND_SPOOLED ? LEAT_ENCODING_RAW : spool->encoding, err);
}

int
leat_spool_same(const struct leat_spool *spool, struct leat_error *err)
{
	struct stat st;

	if (spool->kind != KIND_FILE || (stat(spool->path, &st) == 0 && st.st_dev == spool->found.st_dev &&
	    st.st_ino == spool->found.st_ino && st.st_size >= spool->found.st_size))
		return 0;
	leat_error_set(err, "the file was cut or replaced while it was read: run again once it is complete");
	return leat_error_at(err, spool->name, 0);
}

const char *
leat_spool_name(const struct leat_spool *spool)
{
	return spool->name;
}

enum leat_encoding
leat_spool_encoding(const struct leat_spool *spool, const struct leat_input *in)
{
	if (spool->kind == KIND_MEMORY || spool->kind == KIND_SPOOLED)
		return spool->encoding;
	return leat_input_encoding(in);
}

void
leat_spool_close(struct leat_spool *spool)
{
	if (spool == NULL)
		return;
	if (spool->fd >= 0)
		close(spool->fd);
	leat_buf_free(&spool->memory);
	free(spool->path);
	free(spool->name);
	free(spool);
}
