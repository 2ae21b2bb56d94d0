/*
 * Bytes from files and memory: gzip is inflated, other encodings become UTF-8.
 *
 * Three layers: raw bytes (raw_read), bytes without gzip (byte_read), text (leat_input_read).  Plain UTF-8 goes from
 * the first to the caller's buffer without being copied on the way.
 */
#include "stream/input.h"

#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>
#include <zlib.h>

#include "base/mem.h"
#include "stream/decode.h"
#include "stream/pipe.h"

#define ZIP_SIZE (128u * 1024u)
#define TEXT_SIZE (64u * 1024u)

struct leat_input {
	char *name;
	enum leat_encoding encoding;
	bool started;			/* gzip or not, and the encoding, are known */

	int fd;				/* -1: memory */
	const unsigned char *mem;	/* what is left of it */
	size_t mem_len;

	unsigned char head[2];		/* read ahead to tell gzip by */
	size_t head_at, head_len;

	unsigned char *zip;		/* compressed bytes; NULL: not gzip */
	z_stream z;
	bool zip_end;			/* no more compressed bytes come */
	bool between;			/* between two members */
	bool cut;			/* the compressed bytes ended within a member */
	bool padded;			/* zero bytes after the last member were seen */

	unsigned char mark[4];		/* room for a byte order mark, where no text buffer is needed */
	unsigned char *text;		/* bytes not yet decoded: mark, or owned when larger */
	size_t text_at, text_len, text_cap;
	bool text_end;			/* no more come */
	char carry[4];			/* a character that the caller's buffer had no room for */
	size_t carry_at, carry_len;
};

static int
fail(const struct leat_input *in, struct leat_error *err, const char *text, const char *detail)
{
	leat_error_set(err, "%s%s", text, detail != NULL ? detail : "");
	return leat_error_at(err, in->name, 0);
}

static ssize_t
raw_read(struct leat_input *in, void *dst, size_t size, struct leat_error *err)
{
	ssize_t n;

	if (in->fd < 0) {
		if (size > in->mem_len)
			size = in->mem_len;
		if (size > 0)
			memcpy(dst, in->mem, size);
		in->mem += size;
		in->mem_len -= size;
		return (ssize_t)size;
	}
	if (size > SSIZE_MAX)
		size = SSIZE_MAX;
	do
		n = read(in->fd, dst, size);
	while (n < 0 && errno == EINTR);
	if (n < 0) {
		leat_error_errno(err, "read", errno);
		return leat_error_at(err, in->name, 0);
	}
	return n;
}

static int
zip_fill(struct leat_input *in, struct leat_error *err)
{
	ssize_t n;

	if (in->z.avail_in > 0 || in->zip_end)
		return 0;
	n = raw_read(in, in->zip, ZIP_SIZE, err);
	if (n < 0)
		return -1;
	in->zip_end = n == 0;
	in->z.next_in = in->zip;
	in->z.avail_in = (uInt)n;
	return 0;
}

/* After a member comes the end, zero bytes up to the end, or another member.  Returns 1 when there is another, 0 at
 * the end, -1. */
static int
next_member(struct leat_input *in, struct leat_error *err)
{
	for (;;) {
		if (zip_fill(in, err) != 0)
			return -1;
		for (; in->z.avail_in > 0 && *in->z.next_in == 0; in->z.next_in++, in->z.avail_in--)
			in->padded = true;
		if (in->z.avail_in > 0)
			break;
		if (in->zip_end)
			return 0;
	}
	if (in->padded || *in->z.next_in != 0x1F || inflateReset(&in->z) != Z_OK)
		return fail(in, err, "other bytes follow the gzip data: the file is damaged", NULL);
	in->between = false;
	return 1;
}

static ssize_t
gzip_read(struct leat_input *in, void *dst, size_t size, struct leat_error *err)
{
	uInt room = size > UINT_MAX ? UINT_MAX : (uInt)size;
	int r;

	in->z.next_out = dst;
	in->z.avail_out = room;
	/* What came out before a fault is handed out first; inflate meets the same fault again at the next call. */
	while (in->z.avail_out == room) {
		if (in->between) {
			r = next_member(in, err);
			if (r <= 0)
				return r;
		}
		if (zip_fill(in, err) != 0)
			return -1;
		r = inflate(&in->z, Z_NO_FLUSH);
		if (r == Z_STREAM_END)
			in->between = true;
		else if (in->z.avail_out != room || r == Z_OK)
			continue;
		else if (r == Z_BUF_ERROR && in->zip_end) {
			in->cut = true;
			return fail(in, err, "gzip data ends early: the file is cut short", NULL);
		}
		else if (r == Z_MEM_ERROR)
			return leat_error_memory(err);
		else if (r != Z_BUF_ERROR)
			return fail(in, err, "gzip data is damaged: ", in->z.msg != NULL ? in->z.msg : "not deflate");
	}
	return (ssize_t)(room - in->z.avail_out);
}

static ssize_t
byte_read(struct leat_input *in, void *dst, size_t size, struct leat_error *err)
{
	size_t n = in->head_len - in->head_at;

	if (in->zip != NULL)
		return gzip_read(in, dst, size, err);
	if (n == 0)
		return raw_read(in, dst, size, err);
	if (n > size)
		n = size;
	memcpy(dst, in->head + in->head_at, n);
	in->head_at += n;
	return (ssize_t)n;
}

/* gzip is told by its first two bytes (RFC 1952, 2.3.1); a file that has only the first of them is cut. */
static int
start_gzip(struct leat_input *in, struct leat_error *err)
{
	ssize_t n = 1;

	while (in->head_len < sizeof(in->head) && n > 0) {
		n = raw_read(in, in->head + in->head_len, sizeof(in->head) - in->head_len, err);
		if (n < 0)
			return -1;
		in->head_len += (size_t)n;
	}
	if (in->head_len == 0 || in->head[0] != 0x1F || (in->head_len == 2 && in->head[1] != 0x8B))
		return 0;
	in->zip = malloc(ZIP_SIZE);
	if (in->zip == NULL)
		return leat_error_memory(err);
	memcpy(in->zip, in->head, in->head_len);
	in->z.next_in = in->zip;
	in->z.avail_in = (uInt)in->head_len;
	if (inflateInit2(&in->z, 16 + MAX_WBITS) != Z_OK) {
		free(in->zip);
		in->zip = NULL;
		return leat_error_memory(err);
	}
	return 0;
}

/* Reads the first bytes of the text, want of them if there are so many.  A fault behind bytes that did come is met
 * again by the next read. */
static int
text_begin(struct leat_input *in, size_t want, struct leat_error *err)
{
	ssize_t n;

	while (in->text_len < want && !in->text_end) {
		n = byte_read(in, in->text + in->text_len, in->text_cap - in->text_len, err);
		if (n < 0)
			return in->text_len > 0 ? 0 : -1;
		in->text_end = n == 0;
		in->text_len += (size_t)n;
	}
	return 0;
}

static bool
is_utf8(enum leat_encoding encoding)
{
	return encoding == LEAT_ENCODING_RAW || encoding == LEAT_ENCODING_UTF8;
}

static int
start(struct leat_input *in, struct leat_error *err)
{
	bool found = in->encoding == LEAT_ENCODING_AUTO;

	if (start_gzip(in, err) != 0)
		return -1;
	in->text = in->mark;
	in->text_cap = 3;
	if (!is_utf8(in->encoding)) {
		in->text = malloc(TEXT_SIZE);
		if (in->text == NULL)
			return leat_error_memory(err);
		in->text_cap = TEXT_SIZE;
	}
	in->started = true;
	if (found)
		in->encoding = LEAT_ENCODING_UTF8;
	if (text_begin(in, found ? TEXT_SIZE : 3, err) != 0)
		return -1;
	if (found)
		in->encoding = leat_decode_detect(in->text, in->text_len, in->text_end);
	in->text_at = leat_decode_mark(in->encoding, in->text, in->text_len);
	return 0;
}

/* Reads on behind the half character, at most, that is left. */
static int
text_more(struct leat_input *in, struct leat_error *err)
{
	ssize_t n;

	in->text_len -= in->text_at;
	memmove(in->text, in->text + in->text_at, in->text_len);
	in->text_at = 0;
	n = byte_read(in, in->text + in->text_len, in->text_cap - in->text_len, err);
	if (n < 0)
		return -1;
	in->text_end = n == 0;
	in->text_len += (size_t)n;
	return 0;
}

/* The next UTF-8 bytes of a text in another encoding. */
static ssize_t
decode_read(struct leat_input *in, char *dst, size_t size, struct leat_error *err)
{
	size_t used, n;

	for (;;) {
		n = in->carry_len - in->carry_at;
		if (n > 0) {
			if (n > size)
				n = size;
			memcpy(dst, in->carry + in->carry_at, n);
			in->carry_at += n;
			return (ssize_t)n;
		}
		if (size >= sizeof(in->carry)) {
			n = leat_decode(in->encoding, in->text + in->text_at, in->text_len - in->text_at,
			    in->text_end, &used, dst, size);
		} else {
			in->carry_at = 0;
			in->carry_len = leat_decode(in->encoding, in->text + in->text_at, in->text_len - in->text_at,
			    in->text_end, &used, in->carry, sizeof(in->carry));
		}
		in->text_at += used;
		if (size >= sizeof(in->carry) && n > 0)
			return (ssize_t)n;
		if (used > 0)
			continue;
		if (in->text_end)
			return 0;
		if (text_more(in, err) != 0)
			return -1;
	}
}

ssize_t
leat_input_read(struct leat_input *in, void *dst, size_t size, struct leat_error *err)
{
	size_t n;

	if (size == 0)
		return 0;
	if (!in->started && start(in, err) != 0)
		return -1;
	if (!is_utf8(in->encoding))
		return decode_read(in, dst, size, err);
	n = in->text_len - in->text_at;
	if (n == 0)
		return in->text_end ? 0 : byte_read(in, dst, size, err);
	if (n > size)
		n = size;
	memcpy(dst, in->text + in->text_at, n);
	in->text_at += n;
	return (ssize_t)n;
}

static struct leat_input *
input_new(const char *name, enum leat_encoding encoding, struct leat_error *err)
{
	struct leat_input *in = calloc(1, sizeof(*in));

	if (in != NULL)
		in->name = leat_strndup(leat_span_of(name));
	if (in == NULL || in->name == NULL) {
		free(in);
		leat_error_memory(err);
		return NULL;
	}
	in->encoding = encoding;
	in->fd = -1;
	return in;
}

struct leat_input *
leat_input_open(const char *path, enum leat_encoding encoding, struct leat_error *err)
{
	bool standard = strcmp(path, "-") == 0;
	struct leat_input *in = input_new(standard ? "standard input" : path, encoding, err);
	struct stat st;
	int errnum = 0;

	if (in == NULL)
		return NULL;
	if (standard) {
		in->fd = STDIN_FILENO;
	} else {
		do
			in->fd = open(path, O_RDONLY | O_NOCTTY | O_CLOEXEC);
		while (in->fd < 0 && errno == EINTR);
		errnum = in->fd < 0 ? errno : 0;
	}
	if (errnum == 0 && fstat(in->fd, &st) != 0)
		errnum = errno;
	else if (errnum == 0 && S_ISDIR(st.st_mode))
		errnum = EISDIR;
	if (errnum == 0 && S_ISFIFO(st.st_mode))
		leat_pipe_widen(in->fd);
	if (errnum != 0) {
		leat_error_errno(err, "open", errnum);
		leat_error_at(err, in->name, 0);
		leat_input_close(in);
		return NULL;
	}
	return in;
}

struct leat_input *
leat_input_memory(const char *name, const void *bytes, size_t len, enum leat_encoding encoding,
    struct leat_error *err)
{
	struct leat_input *in = input_new(name, encoding, err);

	if (in == NULL)
		return NULL;
	in->mem = bytes;
	in->mem_len = len;
	return in;
}

bool
leat_input_gzip(const struct leat_input *in)
{
	return in->zip != NULL;
}

bool
leat_input_cut(const struct leat_input *in)
{
	return in->cut;
}

enum leat_encoding
leat_input_encoding(const struct leat_input *in)
{
	return in->encoding;
}

const char *
leat_input_name(const struct leat_input *in)
{
	return in->name;
}

void
leat_input_close(struct leat_input *in)
{
	if (in == NULL)
		return;
	if (in->zip != NULL)
		inflateEnd(&in->z);
	if (in->fd >= 0 && in->fd != STDIN_FILENO)
		close(in->fd);
	if (in->text != in->mark)
		free(in->text);
	free(in->zip);
	free(in->name);
	free(in);
}
