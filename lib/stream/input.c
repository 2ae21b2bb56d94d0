/*
 * Bytes from files and memory: gzip is inflated, other encodings become UTF-8.
 *
 * Three layers: raw bytes (raw.c), bytes without gzip (byte_read), text (leat_input_read).  Plain UTF-8 goes from
 * the first to the caller's buffer without being copied on the way.  gzip is inflated in line at first, and by a thread
 * once there is so much of it that this pays (ahead.c).
 */
#include "stream/input.h"

#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/mem.h"
#include "stream/ahead.h"
#include "stream/decode.h"
#include "stream/pipe.h"

#define TEXT_SIZE (64u * 1024u)
/* Inflated bytes from which on a thread inflates: a form that is looked for and a small file come to an end before. */
#define AHEAD_FROM (1024u * 1024u)

struct leat_input {
	char *name;
	enum leat_encoding encoding;
	bool started;			/* gzip or not, and the encoding, are known */
	struct leat_raw raw;

	unsigned char head[2];		/* read ahead to tell gzip by */
	size_t head_at, head_len;

	struct leat_unzip *unzip;	/* NULL: not gzip */
	struct leat_ahead *ahead;	/* NULL: it inflates in line */
	size_t in_line;			/* bytes inflated so; SIZE_MAX: and always will be */
	bool cut;			/* the compressed bytes ended within a member */

	unsigned char mark[4];		/* room for a byte order mark, where no text buffer is needed */
	unsigned char *text;		/* bytes not yet decoded: mark, or owned when larger */
	size_t text_at, text_len, text_cap;
	bool text_end;			/* no more come */
	char carry[4];			/* a character that the caller's buffer had no room for */
	size_t carry_at, carry_len;
};

static ssize_t
gzip_read(struct leat_input *in, void *dst, size_t size, struct leat_error *err)
{
	ssize_t n;

	if (in->ahead == NULL && in->in_line >= AHEAD_FROM && in->in_line != SIZE_MAX) {
		in->ahead = leat_ahead_start(in->unzip, &in->raw);
		in->in_line = SIZE_MAX;
	}
	n = in->ahead != NULL ? leat_ahead_read(in->ahead, dst, size, err) : leat_unzip_read(in->unzip, dst, size, err);
	if (n < 0)
		in->cut = leat_unzip_cut(in->unzip);
	else if (in->in_line < AHEAD_FROM)
		in->in_line += (size_t)n;
	return n;
}

static ssize_t
byte_read(struct leat_input *in, void *dst, size_t size, struct leat_error *err)
{
	size_t n = in->head_len - in->head_at;

	if (in->unzip != NULL)
		return gzip_read(in, dst, size, err);
	if (n == 0)
		return leat_raw_read(&in->raw, dst, size, err);
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
		n = leat_raw_read(&in->raw, in->head + in->head_len, sizeof(in->head) - in->head_len, err);
		if (n < 0)
			return -1;
		in->head_len += (size_t)n;
	}
	if (in->head_len == 0 || in->head[0] != 0x1F || (in->head_len == 2 && in->head[1] != 0x8B))
		return 0;
	in->unzip = leat_unzip_new(&in->raw, in->head, in->head_len);
	return in->unzip != NULL ? 0 : leat_error_memory(err);
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
	in->raw = (struct leat_raw){ .name = in->name, .fd = -1, .wake = -1 };
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
		in->raw.fd = STDIN_FILENO;
	} else {
		do
			in->raw.fd = open(path, O_RDONLY | O_NOCTTY | O_CLOEXEC);
		while (in->raw.fd < 0 && errno == EINTR);
		errnum = in->raw.fd < 0 ? errno : 0;
	}
	if (errnum == 0 && fstat(in->raw.fd, &st) != 0)
		errnum = errno;
	else if (errnum == 0 && S_ISDIR(st.st_mode))
		errnum = EISDIR;
	if (errnum == 0 && S_ISFIFO(st.st_mode))
		leat_pipe_widen(in->raw.fd);
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
	in->raw.mem = bytes;
	in->raw.mem_len = len;
	return in;
}

bool
leat_input_gzip(const struct leat_input *in)
{
	return in->unzip != NULL;
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
	leat_ahead_free(in->ahead);
	leat_unzip_free(in->unzip);
	if (in->raw.fd >= 0 && in->raw.fd != STDIN_FILENO)
		close(in->raw.fd);
	if (in->text != in->mark)
		free(in->text);
	free(in->name);
	free(in);
}
