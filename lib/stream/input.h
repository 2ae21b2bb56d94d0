/*
 * Bytes from files, plain or gzip (RFC 1952, several members too), as UTF-8.
 */
#ifndef LEAT_STREAM_INPUT_H
#define LEAT_STREAM_INPUT_H

#include <sys/types.h>

#include "base/error.h"

struct leat_input;

enum leat_encoding {
	LEAT_ENCODING_RAW,	/* bytes as they are, but a UTF-8 byte order mark at the start is dropped */
	LEAT_ENCODING_AUTO,	/* found from the first 64 KiB: byte order marks, NULs in every other byte (UTF-16), else
				 * UTF-8 when well-formed, else Windows-1252 */
	LEAT_ENCODING_UTF8,	/* as RAW */
	LEAT_ENCODING_UTF16LE,
	LEAT_ENCODING_UTF16BE,
	LEAT_ENCODING_CP1252	/* the five undefined bytes become U+FFFD */
};

/* Opens path ("-" is standard input).  gzip is recognised by its magic bytes, whatever the name.  NULL with err. */
struct leat_input *leat_input_open(const char *path, enum leat_encoding encoding, struct leat_error *err);

/* The same over len bytes of memory, borrowed until close; name is for messages. */
struct leat_input *leat_input_memory(const char *name, const void *bytes, size_t len, enum leat_encoding encoding,
    struct leat_error *err);

/* Reads up to size bytes.  Returns how many, 0 at the end, -1 with err on a read error, a damaged or a cut gzip file. */
ssize_t leat_input_read(struct leat_input *in, void *dst, size_t size, struct leat_error *err) LEAT_MUST_USE;

/* Once the first byte was read: is it gzip?  After a failure: did the gzip data merely end early? */
bool leat_input_gzip(const struct leat_input *in);
bool leat_input_cut(const struct leat_input *in);

/* The encoding in use (AUTO is replaced by what was found, once the first byte was read). */
enum leat_encoding leat_input_encoding(const struct leat_input *in);
/* "utf-8", "utf-16le", "utf-16be", "windows-1252"; find returns -1 for an unknown word, "auto" gives AUTO. */
const char *leat_encoding_name(enum leat_encoding encoding);
int leat_encoding_find(struct leat_span word);

/* The name for messages: the path, or "standard input". */
const char *leat_input_name(const struct leat_input *in);
void leat_input_close(struct leat_input *in);

#endif
