/*
 * gzip members, one after the other, by zlib's inflate, straight into the reader's memory.
 */
#include "stream/unzip.h"

#include <limits.h>
#include <stdlib.h>
#include <zlib.h>

#define ZIP_SIZE (128u * 1024u)

struct leat_unzip {
	struct leat_raw *raw;
	z_stream z;
	bool end;		/* no more compressed bytes come */
	bool between;		/* between two members */
	bool cut;
	bool padded;		/* zero bytes after the last member were seen */
	unsigned char zip[ZIP_SIZE];
};

static int
fail(const struct leat_unzip *u, struct leat_error *err, const char *text, const char *detail)
{
	leat_error_set(err, "%s%s", text, detail != NULL ? detail : "");
	return leat_error_at(err, u->raw->name, 0);
}

struct leat_unzip *
leat_unzip_new(struct leat_raw *raw, const unsigned char *head, size_t len)
{
	struct leat_unzip *u = malloc(sizeof(*u));

	if (u == NULL)
		return NULL;
	u->raw = raw;
	memset(&u->z, 0, sizeof(u->z));
	u->end = u->between = u->cut = u->padded = false;
	memcpy(u->zip, head, len);
	u->z.next_in = u->zip;
	u->z.avail_in = (uInt)len;
	if (inflateInit2(&u->z, 16 + MAX_WBITS) != Z_OK) {
		free(u);
		return NULL;
	}
	return u;
}

static int
fill(struct leat_unzip *u, struct leat_error *err)
{
	ssize_t n;

	if (u->z.avail_in > 0 || u->end)
		return 0;
	n = leat_raw_read(u->raw, u->zip, ZIP_SIZE, err);
	if (n < 0)
		return -1;
	u->end = n == 0;
	u->z.next_in = u->zip;
	u->z.avail_in = (uInt)n;
	return 0;
}

/* After a member comes the end, zero bytes up to the end, or another member.  Returns 1 when there is another, 0 at
 * the end, -1. */
static int
next_member(struct leat_unzip *u, struct leat_error *err)
{
	for (;;) {
		if (fill(u, err) != 0)
			return -1;
		for (; u->z.avail_in > 0 && *u->z.next_in == 0; u->z.next_in++, u->z.avail_in--)
			u->padded = true;
		if (u->z.avail_in > 0)
			break;
		if (u->end)
			return 0;
	}
	if (u->padded || *u->z.next_in != 0x1F || inflateReset(&u->z) != Z_OK)
		return fail(u, err, "other bytes follow the gzip data: the file is damaged", NULL);
	u->between = false;
	return 1;
}

ssize_t
leat_unzip_read(struct leat_unzip *u, void *dst, size_t size, struct leat_error *err)
{
	uInt room = size > UINT_MAX ? UINT_MAX : (uInt)size;
	int r;

	u->z.next_out = dst;
	u->z.avail_out = room;
	/* What came out before a fault is handed out first; inflate meets the same fault again at the next call. */
	while (u->z.avail_out == room) {
		if (u->between) {
			r = next_member(u, err);
			if (r <= 0)
				return r;
		}
		if (fill(u, err) != 0)
			return -1;
		r = inflate(&u->z, Z_NO_FLUSH);
		if (r == Z_STREAM_END)
			u->between = true;
		else if (u->z.avail_out != room || r == Z_OK)
			continue;
		else if (r == Z_BUF_ERROR && u->end) {
			u->cut = true;
			return fail(u, err, "gzip data ends early: the file is cut short", NULL);
		}
		else if (r == Z_MEM_ERROR)
			return leat_error_memory(err);
		else if (r != Z_BUF_ERROR)
			return fail(u, err, "gzip data is damaged: ", u->z.msg != NULL ? u->z.msg : "not deflate");
	}
	return (ssize_t)(room - u->z.avail_out);
}

bool
leat_unzip_cut(const struct leat_unzip *u)
{
	return u->cut;
}

void
leat_unzip_free(struct leat_unzip *u)
{
	if (u == NULL)
		return;
	inflateEnd(&u->z);
	free(u);
}
