/*
 * Input: lib/stream/input.c and decode.c.
 *
 * Compressed data is made by zlib, the reference implementation of RFC 1952.  Encodings are compared with iconv(3) of
 * the system over every byte of Windows-1252 and every code point of UTF-16.
 */
#include "unit.h"

#include <errno.h>
#include <iconv.h>
#include <signal.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>
#include <zlib.h>

#include "base/mem.h"
#include "stream/input.h"

static const char sample[] =
    "time,asset,point,value,unit,quality\n"
    "2025-02-03T04:05:06Z,NM,pressure,101.7,bar,good\n"
    "2025-02-03T04:05:16Z,NM,pressure,101.9,bar,good\n";

/* Reads all in pieces of size bytes.  0 at the end, -1 at a fault. */
static int
slurp(struct leat_input *in, size_t size, struct leat_buf *got, struct leat_error *err)
{
	char piece[4096];
	ssize_t n;

	assert_true(size <= sizeof(piece));
	leat_buf_reset(got);
	while ((n = leat_input_read(in, piece, size, err)) > 0) {
		assert_true((size_t)n <= size);
		assert_int_equal(leat_buf_add(got, piece, (size_t)n), 0);
	}
	return (int)n;
}

static int
slurp_bytes(const void *bytes, size_t len, enum leat_encoding encoding, size_t size, struct leat_buf *got,
    enum leat_encoding *found, struct leat_error *err)
{
	struct leat_input *in = leat_input_memory("mem", bytes, len, encoding, err);
	int r;

	assert_non_null(in);
	r = slurp(in, size, got, err);
	if (found != NULL)
		*found = leat_input_encoding(in);
	leat_input_close(in);
	return r;
}

static void
add_gzip(struct leat_buf *zipped, const char *bytes, size_t len)
{
	z_stream z = { 0 };

	assert_int_equal(leat_buf_reserve(zipped, len + 256), 0);
	assert_int_equal(deflateInit2(&z, 6, Z_DEFLATED, 16 + MAX_WBITS, 8, Z_DEFAULT_STRATEGY), Z_OK);
	z.next_in = (Bytef *)(uintptr_t)bytes;
	z.avail_in = (uInt)len;
	z.next_out = (Bytef *)zipped->data + zipped->len;
	z.avail_out = (uInt)(zipped->cap - zipped->len);
	assert_int_equal(deflate(&z, Z_FINISH), Z_STREAM_END);
	zipped->len += z.total_out;
	deflateEnd(&z);
}

static void
plain_bytes_pass(void **state)
{
	static const size_t sizes[] = { 1, 2, 3, 7, 4096 };
	struct leat_buf got = { 0 };
	struct leat_error err = { 0 };
	size_t i;

	(void)state;
	for (i = 0; i < sizeof(sizes) / sizeof(sizes[0]); i++) {
		assert_int_equal(slurp_bytes(sample, sizeof(sample) - 1, LEAT_ENCODING_RAW, sizes[i], &got, NULL, &err), 0);
		unit_span(leat_buf_span(&got), sample);
	}
	assert_int_equal(slurp_bytes("", 0, LEAT_ENCODING_RAW, 10, &got, NULL, &err), 0);
	assert_int_equal(got.len, 0);
	assert_int_equal(slurp_bytes("", 0, LEAT_ENCODING_AUTO, 10, &got, NULL, &err), 0);
	assert_int_equal(got.len, 0);
	/* Whatever is no byte order mark stays, malformed or not. */
	assert_int_equal(slurp_bytes("\xEF\xBB", 2, LEAT_ENCODING_RAW, 10, &got, NULL, &err), 0);
	unit_span(leat_buf_span(&got), "\xEF\xBB");
	assert_int_equal(slurp_bytes("\xEF\xBB\xBF\xEF\xBB\xBFx", 7, LEAT_ENCODING_UTF8, 10, &got, NULL, &err), 0);
	unit_span(leat_buf_span(&got), "\xEF\xBB\xBFx");
	leat_buf_free(&got);
}

static void
gzip_members_are_joined(void **state)
{
	struct leat_buf zipped = { 0 }, got = { 0 };
	struct leat_error err = { 0 };
	size_t len = sizeof(sample) - 1;

	(void)state;
	add_gzip(&zipped, sample, len);
	assert_int_equal(slurp_bytes(zipped.data, zipped.len, LEAT_ENCODING_RAW, 5, &got, NULL, &err), 0);
	unit_span(leat_buf_span(&got), sample);
	/* A second member and an empty one. */
	add_gzip(&zipped, "second\n", 7);
	add_gzip(&zipped, "", 0);
	assert_int_equal(slurp_bytes(zipped.data, zipped.len, LEAT_ENCODING_RAW, 4096, &got, NULL, &err), 0);
	assert_int_equal(got.len, len + 7);
	assert_memory_equal(got.data + len, "second\n", 7);
	/* Tapes pad with zero bytes, and nothing follows them. */
	assert_int_equal(leat_buf_add(&zipped, "\0\0\0\0\0", 5), 0);
	assert_int_equal(slurp_bytes(zipped.data, zipped.len, LEAT_ENCODING_RAW, 4096, &got, NULL, &err), 0);
	assert_int_equal(got.len, len + 7);
	leat_buf_free(&zipped);
	leat_buf_free(&got);
}

static void
gzip_cut_anywhere_is_told(void **state)
{
	struct leat_buf zipped = { 0 }, got = { 0 };
	struct leat_error err;
	size_t cut, first;

	(void)state;
	add_gzip(&zipped, sample, sizeof(sample) - 1);
	first = zipped.len;
	add_gzip(&zipped, "second\n", 7);
	for (cut = 1; cut < zipped.len; cut++) {
		char *copy;

		/* A cut between two members cannot be seen. */
		if (cut == first)
			continue;
		memset(&err, 0, sizeof(err));
		/* A copy, so that the sanitizers see a read past its end. */
		copy = malloc(cut);
		assert_non_null(copy);
		memcpy(copy, zipped.data, cut);
		assert_int_equal(slurp_bytes(copy, cut, LEAT_ENCODING_RAW, 64, &got, NULL, &err), -1);
		assert_string_equal(err.text, "gzip data ends early: the file is cut short");
		assert_string_equal(err.file, "mem");
		/* What did come was handed out before. */
		assert_memory_equal(got.data != NULL ? got.data : "", sample, got.len < first ? got.len : 0);
		free(copy);
	}
	leat_buf_free(&zipped);
	leat_buf_free(&got);
}

static void
gzip_damage_is_told(void **state)
{
	struct leat_buf zipped = { 0 }, got = { 0 };
	struct leat_error err = { 0 };
	size_t i;

	(void)state;
	add_gzip(&zipped, sample, sizeof(sample) - 1);
	/* Any changed byte of the checksum or the length (RFC 1952, 2.3.1: CRC32, ISIZE). */
	for (i = zipped.len - 8; i < zipped.len; i++) {
		zipped.data[i] ^= 0x20;
		assert_int_equal(slurp_bytes(zipped.data, zipped.len, LEAT_ENCODING_RAW, 64, &got, NULL, &err), -1);
		assert_non_null(strstr(err.text, "gzip data is damaged"));
		zipped.data[i] ^= 0x20;
	}
	assert_int_equal(leat_buf_add(&zipped, "garbage", 7), 0);
	assert_int_equal(slurp_bytes(zipped.data, zipped.len, LEAT_ENCODING_RAW, 64, &got, NULL, &err), -1);
	assert_string_equal(err.text, "other bytes follow the gzip data: the file is damaged");
	unit_span(leat_buf_span(&got), sample);
	zipped.len -= 7;
	assert_int_equal(leat_buf_add(&zipped, "\0\0", 2), 0);
	add_gzip(&zipped, "x", 1);
	assert_int_equal(slurp_bytes(zipped.data, zipped.len, LEAT_ENCODING_RAW, 64, &got, NULL, &err), -1);
	assert_string_equal(err.text, "other bytes follow the gzip data: the file is damaged");
	assert_int_equal(slurp_bytes("\x1F\x8Bnot gzip at all", 17, LEAT_ENCODING_AUTO, 64, &got, NULL, &err), -1);
	assert_non_null(strstr(err.text, "gzip data is damaged"));
	leat_buf_free(&zipped);
	leat_buf_free(&got);
}

/* Some bytes, how to read them, and what must come out. */
static const struct {
	const char *name;
	const char *bytes;
	size_t len;
	enum leat_encoding encoding, found;
	const char *text;
} texts[] = {
	{ "ascii", "a;b\n", 4, LEAT_ENCODING_AUTO, LEAT_ENCODING_UTF8, "a;b\n" },
	{ "utf-8", "20 \xC2\xB0" "C", 6, LEAT_ENCODING_AUTO, LEAT_ENCODING_UTF8, "20 \xC2\xB0" "C" },
	{ "utf-8 with mark", "\xEF\xBB\xBFx", 4, LEAT_ENCODING_AUTO, LEAT_ENCODING_UTF8, "x" },
	{ "mark alone", "\xEF\xBB\xBF", 3, LEAT_ENCODING_AUTO, LEAT_ENCODING_UTF8, "" },
	{ "cp1252", "20 \xB0" "C \x96", 7, LEAT_ENCODING_AUTO, LEAT_ENCODING_CP1252, "20 \xC2\xB0" "C \xE2\x80\x93" },
	{ "cp1252 undefined", "\x81\x8D\x8F\x90\x9D", 5, LEAT_ENCODING_CP1252, LEAT_ENCODING_CP1252,
	    "\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD" },
	{ "utf-16le with mark", "\xFF\xFE" "a\0\xB0\0", 6, LEAT_ENCODING_AUTO, LEAT_ENCODING_UTF16LE, "a\xC2\xB0" },
	{ "utf-16be with mark", "\xFE\xFF\0a\0\xB0", 6, LEAT_ENCODING_AUTO, LEAT_ENCODING_UTF16BE, "a\xC2\xB0" },
	{ "utf-16le without", "t\0i\0m\0e\0;\0\xAC\x20", 12, LEAT_ENCODING_AUTO, LEAT_ENCODING_UTF16LE, "time;\xE2\x82\xAC" },
	{ "utf-16be without", "\0t\0i\0m\0e\0;\x20\xAC", 12, LEAT_ENCODING_AUTO, LEAT_ENCODING_UTF16BE, "time;\xE2\x82\xAC" },
	{ "utf-16le pinned", "a\0b\0", 4, LEAT_ENCODING_UTF16LE, LEAT_ENCODING_UTF16LE, "ab" },
	{ "utf-16 surrogates", "\x3D\xD8\x00\xDE", 4, LEAT_ENCODING_UTF16LE, LEAT_ENCODING_UTF16LE, "\xF0\x9F\x98\x80" },
	{ "utf-16 lone high", "\x3D\xD8" "a\0", 4, LEAT_ENCODING_UTF16LE, LEAT_ENCODING_UTF16LE, "\xEF\xBF\xBD" "a" },
	{ "utf-16 lone low", "\x00\xDE" "a\0", 4, LEAT_ENCODING_UTF16LE, LEAT_ENCODING_UTF16LE, "\xEF\xBF\xBD" "a" },
	{ "utf-16 high at end", "a\0\x3D\xD8", 4, LEAT_ENCODING_UTF16LE, LEAT_ENCODING_UTF16LE, "a\xEF\xBF\xBD" },
	{ "utf-16 odd byte", "a\0b", 3, LEAT_ENCODING_UTF16LE, LEAT_ENCODING_UTF16LE, "a\xEF\xBF\xBD" },
	{ "utf-16 mark alone", "\xFF\xFE", 2, LEAT_ENCODING_AUTO, LEAT_ENCODING_UTF16LE, "" }
};

static void
encodings(void **state)
{
	static const size_t sizes[] = { 1, 2, 3, 4, 5, 4096 };
	struct leat_buf got = { 0 };
	struct leat_error err = { 0 };
	enum leat_encoding found;
	size_t i, j;

	(void)state;
	for (i = 0; i < sizeof(texts) / sizeof(texts[0]); i++) {
		for (j = 0; j < sizeof(sizes) / sizeof(sizes[0]); j++) {
			assert_int_equal(slurp_bytes(texts[i].bytes, texts[i].len, texts[i].encoding, sizes[j], &got, &found,
			    &err), 0);
			if (!leat_span_is(leat_buf_span(&got), texts[i].text) || found != texts[i].found)
				print_error("case '%s'\n", texts[i].name);
			unit_span(leat_buf_span(&got), texts[i].text);
			assert_int_equal(found, texts[i].found);
		}
	}
	leat_buf_free(&got);
}

/* A lone NUL, or a UTF-8 character across the end of what is looked at, makes nothing else of a UTF-8 text. */
static void
detection_looks_at_64_kib(void **state)
{
	struct leat_buf text = { 0 }, got = { 0 };
	struct leat_error err = { 0 };
	enum leat_encoding found;
	size_t shift;

	(void)state;
	assert_int_equal(slurp_bytes("a\0b,c\xC2\xB0 d", 9, LEAT_ENCODING_AUTO, 64, &got, &found, &err), 0);
	assert_int_equal(found, LEAT_ENCODING_UTF8);
	assert_int_equal(got.len, 9);
	for (shift = 0; shift < 4; shift++) {
		leat_buf_reset(&text);
		while (text.len < 65536 - shift)
			assert_int_equal(leat_buf_add(&text, "x", 1), 0);
		assert_int_equal(leat_buf_add(&text, "\xF0\x9F\x98\x80 \xE2\x82\xAC", 8), 0);
		assert_int_equal(slurp_bytes(text.data, text.len, LEAT_ENCODING_AUTO, 4096, &got, &found, &err), 0);
		assert_int_equal(found, LEAT_ENCODING_UTF8);
		assert_int_equal(got.len, text.len);
		assert_memory_equal(got.data, text.data, text.len);
	}
	leat_buf_free(&text);
	leat_buf_free(&got);
}

static size_t
by_iconv(const char *from, const void *bytes, size_t len, char *dst, size_t size)
{
	iconv_t cd = iconv_open("UTF-8", from);
	char *in = (char *)(uintptr_t)bytes, *out = dst;
	size_t r, left = size;

	assert_true(cd != (iconv_t)-1);
	r = iconv(cd, &in, &len, &out, &left);
	iconv_close(cd);
	return r == (size_t)-1 ? 0 : size - left;
}

static void
cp1252_equals_iconv(void **state)
{
	struct leat_buf got = { 0 };
	struct leat_error err = { 0 };
	char expected[8];
	int c, undefined = 0;
	size_t n;

	(void)state;
	for (c = 0; c < 256; c++) {
		/* Not the first byte, since 0x1F there begins gzip. */
		char bytes[2] = { 'x', (char)c };

		n = by_iconv("CP1252", bytes, 2, expected, sizeof(expected));
		assert_int_equal(slurp_bytes(bytes, 2, LEAT_ENCODING_CP1252, 64, &got, NULL, &err), 0);
		if (n == 0) {
			undefined++;
			unit_span(leat_buf_span(&got), "x\xEF\xBF\xBD");
			continue;
		}
		assert_int_equal(got.len, n);
		assert_memory_equal(got.data, expected, n);
	}
	assert_int_equal(undefined, 5);
	leat_buf_free(&got);
}

/* All code points that are no surrogates, both byte orders, through reads that cut characters. */
static void
utf16_equals_iconv(void **state)
{
	static const struct {
		const char *name;
		enum leat_encoding encoding;
	} orders[] = { { "UTF-16LE", LEAT_ENCODING_UTF16LE }, { "UTF-16BE", LEAT_ENCODING_UTF16BE } };
	size_t o, n, len, size = 4 * 0x110000;
	struct leat_buf got = { 0 };
	struct leat_error err = { 0 };
	unsigned char *units = malloc(size);
	char *expected = malloc(size);
	uint32_t c;

	(void)state;
	assert_non_null(units);
	assert_non_null(expected);
	for (o = 0; o < 2; o++) {
		len = 0;
		for (c = 1; c < 0x110000; c++) {
			uint32_t pair[2] = { c, 0 };
			int i, count = c >= 0x10000 ? 2 : 1;

			if (c >= 0xD800 && c < 0xE000)
				continue;
			if (count == 2) {
				pair[0] = 0xD800 + ((c - 0x10000) >> 10);
				pair[1] = 0xDC00 + ((c - 0x10000) & 0x3FF);
			}
			for (i = 0; i < count; i++) {
				units[len + (o == 0)] = (unsigned char)(pair[i] >> 8);
				units[len + (o == 1)] = (unsigned char)pair[i];
				len += 2;
			}
		}
		n = by_iconv(orders[o].name, units, len, expected, size);
		assert_true(n > 0x110000);
		assert_int_equal(slurp_bytes(units, len, orders[o].encoding, 61, &got, NULL, &err), 0);
		assert_int_equal(got.len, n);
		assert_true(memcmp(got.data, expected, n) == 0);
	}
	free(units);
	free(expected);
	leat_buf_free(&got);
}

static void
names_of_encodings(void **state)
{
	static const enum leat_encoding all[] = {
		LEAT_ENCODING_AUTO, LEAT_ENCODING_UTF8, LEAT_ENCODING_UTF16LE, LEAT_ENCODING_UTF16BE, LEAT_ENCODING_CP1252
	};
	size_t i;

	(void)state;
	for (i = 0; i < sizeof(all) / sizeof(all[0]); i++)
		assert_int_equal(leat_encoding_find(leat_span_of(leat_encoding_name(all[i]))), all[i]);
	assert_string_equal(leat_encoding_name(LEAT_ENCODING_RAW), "utf-8");
	assert_string_equal(leat_encoding_name(LEAT_ENCODING_CP1252), "windows-1252");
	assert_int_equal(leat_encoding_find(LEAT_SPAN("latin-9")), -1);
	assert_int_equal(leat_encoding_find(LEAT_SPAN("")), -1);
}

/* A folder of its own for files that a test makes. */
static char folder[64];

static const char *
path_in_folder(const char *name)
{
	static char path[128];

	snprintf(path, sizeof(path), "%s/%s", folder, name);
	return path;
}

static int
make_folder(void **state)
{
	(void)state;
	snprintf(folder, sizeof(folder), "/tmp/leat-input-XXXXXX");
	return mkdtemp(folder) != NULL ? 0 : -1;
}

static int
remove_folder(void **state)
{
	(void)state;
	unlink(path_in_folder("fifo"));
	unlink(path_in_folder("file"));
	return rmdir(folder);
}

static void
files_that_cannot_be_read(void **state)
{
	struct leat_error err = { 0 };
	char text[1024];

	(void)state;
	assert_null(leat_input_open(path_in_folder("absent"), LEAT_ENCODING_RAW, &err));
	assert_string_equal(err.text, "cannot open: no such file or directory");
	assert_string_equal(err.file, path_in_folder("absent"));
	assert_null(leat_input_open(folder, LEAT_ENCODING_RAW, &err));
	assert_string_equal(err.text, "cannot open: is a directory");
	leat_error_format(&err, text, sizeof(text));
	assert_non_null(strstr(text, folder));
}

static void
files_of_any_length(void **state)
{
	static const size_t lens[] = { 0, 1, 2, 3, 4, 65535, 65536, 65537, 200000 };
	struct leat_buf text = { 0 }, zipped = { 0 }, got = { 0 };
	struct leat_error err = { 0 };
	size_t i, zip;

	(void)state;
	for (i = 0; i < sizeof(lens) / sizeof(lens[0]); i++) {
		leat_buf_reset(&text);
		while (text.len < lens[i]) {
			char c = (char)(' ' + (text.len * text.len / 7) % 90);

			assert_int_equal(leat_buf_add(&text, &c, 1), 0);
		}
		leat_buf_reset(&zipped);
		add_gzip(&zipped, text.data != NULL ? text.data : "", text.len);
		for (zip = 0; zip < 2; zip++) {
			const struct leat_buf *from = zip ? &zipped : &text;
			FILE *f = fopen(path_in_folder("file"), "w");
			struct leat_input *in;

			assert_non_null(f);
			assert_int_equal(fwrite(from->data != NULL ? from->data : "", 1, from->len, f), from->len);
			assert_int_equal(fclose(f), 0);
			in = leat_input_open(path_in_folder("file"), i % 2 ? LEAT_ENCODING_RAW : LEAT_ENCODING_AUTO, &err);
			assert_non_null(in);
			assert_string_equal(leat_input_name(in), path_in_folder("file"));
			assert_int_equal(slurp(in, 4096, &got, &err), 0);
			leat_input_close(in);
			assert_int_equal(got.len, text.len);
			assert_true(text.len == 0 || memcmp(got.data, text.data, text.len) == 0);
		}
	}
	leat_buf_free(&text);
	leat_buf_free(&zipped);
	leat_buf_free(&got);
}

/* Writes bytes into the FIFO one at a time with a pause after each, from another process. */
static pid_t
drip(const char *bytes, size_t len)
{
	const struct timespec pause = { 0, 2000000 };
	pid_t pid = fork();
	FILE *f;
	size_t i;

	if (pid != 0)
		return pid;
	f = fopen(path_in_folder("fifo"), "w");
	for (i = 0; f != NULL && i < len; i++) {
		fputc(bytes[i], f);
		fflush(f);
		nanosleep(&pause, NULL);
	}
	_exit(0);
}

/* Magic bytes, a byte order mark and a character may come one byte at a time. */
static void
bytes_that_drip(void **state)
{
	struct leat_buf zipped = { 0 }, got = { 0 };
	struct leat_error err = { 0 };
	size_t i;

	(void)state;
	assert_int_equal(mkfifo(path_in_folder("fifo"), 0600), 0);
	add_gzip(&zipped, "\xEF\xBB\xBF" "abc", 6);
	for (i = 0; i < 3; i++) {
		static const char utf16[] = "\xFF\xFE" "a\0\x3D\xD8\x00\xDE";
		const char *bytes = i == 0 ? "\xEF\xBB\xBF" "abc" : i == 1 ? zipped.data : utf16;
		size_t len = i == 0 ? 6 : i == 1 ? zipped.len : 8;
		pid_t pid = drip(bytes, len);
		struct leat_input *in;
		int status;

		assert_true(pid > 0);
		in = leat_input_open(path_in_folder("fifo"), i == 2 ? LEAT_ENCODING_UTF16LE : LEAT_ENCODING_RAW, &err);
		assert_non_null(in);
		assert_int_equal(slurp(in, 4096, &got, &err), 0);
		leat_input_close(in);
		unit_span(leat_buf_span(&got), i == 2 ? "a\xF0\x9F\x98\x80" : "abc");
		assert_int_equal(waitpid(pid, &status, 0), pid);
	}
	leat_buf_free(&zipped);
	leat_buf_free(&got);
}

static void
on_alarm(int number)
{
	(void)number;
}

/* A signal during a read is no reason to stop. */
static void
reads_go_on_after_a_signal(void **state)
{
	struct sigaction act = { .sa_handler = on_alarm };	/* without SA_RESTART */
	struct leat_buf got = { 0 };
	struct leat_error err = { 0 };
	struct leat_input *in;
	pid_t pid;
	int i;

	(void)state;
	assert_int_equal(sigaction(SIGUSR1, &act, NULL), 0);
	pid = fork();
	assert_true(pid >= 0);
	if (pid == 0) {
		const struct timespec pause = { 0, 20000000 };
		FILE *f = fopen(path_in_folder("fifo"), "w");

		for (i = 0; i < 3; i++) {
			nanosleep(&pause, NULL);
			kill(getppid(), SIGUSR1);
		}
		if (f != NULL)
			fputs("after", f);
		_exit(f == NULL || fclose(f) != 0);
	}
	in = leat_input_open(path_in_folder("fifo"), LEAT_ENCODING_RAW, &err);
	assert_non_null(in);
	assert_int_equal(slurp(in, 64, &got, &err), 0);
	unit_span(leat_buf_span(&got), "after");
	leat_input_close(in);
	assert_int_equal(waitpid(pid, &i, 0), pid);
	leat_buf_free(&got);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(plain_bytes_pass),
		cmocka_unit_test(gzip_members_are_joined),
		cmocka_unit_test(gzip_cut_anywhere_is_told),
		cmocka_unit_test(gzip_damage_is_told),
		cmocka_unit_test(encodings),
		cmocka_unit_test(detection_looks_at_64_kib),
		cmocka_unit_test(cp1252_equals_iconv),
		cmocka_unit_test(utf16_equals_iconv),
		cmocka_unit_test(names_of_encodings),
		cmocka_unit_test(files_that_cannot_be_read),
		cmocka_unit_test(files_of_any_length),
		cmocka_unit_test(bytes_that_drip),
		cmocka_unit_test(reads_go_on_after_a_signal)
	};

	return cmocka_run_group_tests(tests, make_folder, remove_folder);
}
