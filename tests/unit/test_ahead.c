/*
 * Reading ahead: lib/stream/ahead.c behind leat_input.
 *
 * The bytes are compressed by zlib's deflate and compared with what went in.
 */
#include "unit.h"

#include <signal.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>
#include <zlib.h>

#include "base/mem.h"
#include "random.h"
#include "stream/input.h"

#define TEXT ((size_t)5 * 1024 * 1024)	/* well beyond what is inflated in line, and beyond the ring */
#define FILES 7				/* more than there are threads */

static unsigned char *text;
static struct leat_buf zipped;		/* of text, in one member */
static char folder[] = "/tmp/leat-ahead-XXXXXX";

static const char *
path_in_folder(const char *name)
{
	static char path[sizeof(folder) + 32];

	snprintf(path, sizeof(path), "%s/%s", folder, name);
	return path;
}

static void
add_gzip(struct leat_buf *to, const unsigned char *bytes, size_t len)
{
	z_stream z = { 0 };

	assert_int_equal(leat_buf_reserve(to, len + len / 100 + 256), 0);
	assert_int_equal(deflateInit2(&z, 1, Z_DEFLATED, 16 + MAX_WBITS, 8, Z_DEFAULT_STRATEGY), Z_OK);
	z.next_in = (Bytef *)(uintptr_t)bytes;
	z.avail_in = (uInt)len;
	z.next_out = (Bytef *)to->data + to->len;
	z.avail_out = (uInt)(to->cap - to->len);
	assert_int_equal(deflate(&z, Z_FINISH), Z_STREAM_END);
	to->len += z.total_out;
	deflateEnd(&z);
}

static int
set_up(void **state)
{
	uint64_t seed = 11;

	(void)state;
	text = malloc(TEXT);
	if (text == NULL || mkdtemp(folder) == NULL)
		return -1;
	/* Some of it can be compressed, some not. */
	for (size_t i = 0; i < TEXT; i++)
		text[i] = i / 65536 % 3 == 0 ? (unsigned char)random_next(&seed) : (unsigned char)('0' + random_below(&seed, 10));
	add_gzip(&zipped, text, TEXT);
	return mkfifo(path_in_folder("fifo"), 0600);
}

static int
tear_down(void **state)
{
	(void)state;
	free(text);
	leat_buf_free(&zipped);
	unlink(path_in_folder("fifo"));
	unlink(path_in_folder("file"));
	return rmdir(folder);
}

static struct leat_input *
open_memory(const struct leat_buf *bytes, size_t len)
{
	struct leat_error err;
	struct leat_input *in = leat_input_memory("mem", bytes->data, len, LEAT_ENCODING_RAW, &err);

	assert_non_null(in);
	return in;
}

static struct leat_input *
open_path(const char *name)
{
	struct leat_error err;
	struct leat_input *in = leat_input_open(path_in_folder(name), LEAT_ENCODING_RAW, &err);

	assert_non_null(in);
	return in;
}

static void
make_file(const char *bytes, size_t len)
{
	FILE *f = fopen(path_in_folder("file"), "w");

	assert_non_null(f);
	assert_int_equal(fwrite(bytes, 1, len, f), len);
	assert_int_equal(fclose(f), 0);
}

/* Reads up to want bytes, in pieces of random length, which must be those of text over and over.  Returns how many came. */
static size_t
read_text(struct leat_input *in, size_t want, struct leat_error *err, ssize_t *last)
{
	static unsigned char piece[300000];
	uint64_t seed = 5;
	size_t got = 0;

	do {
		size_t size = 1 + random_below(&seed, random_below(&seed, 2) ? 100 : sizeof(piece));

		*last = leat_input_read(in, piece, size < want - got ? size : want - got, err);
		for (ssize_t i = 0; i < *last; i++, got++)
			if (piece[i] != text[got % TEXT])
				fail_msg("byte %zu differs", got);
	} while (*last > 0 && got < want);
	return got;
}

/* Reads all.  What came, and the end or the fault, which stay. */
static size_t
read_all(struct leat_input *in, int end, struct leat_error *err)
{
	struct leat_error again = { 0 };
	ssize_t last;
	size_t got = read_text(in, SIZE_MAX, err, &last);

	assert_int_equal(last, end);
	for (int i = 0; i < 3; i++) {
		assert_int_equal(read_text(in, SIZE_MAX, &again, &last), 0);
		assert_int_equal(last, end);
		if (end < 0)
			assert_string_equal(again.text, err->text);
	}
	return got;
}

static void
all_bytes_come(void **state)
{
	struct leat_buf members = { 0 };
	struct leat_error err = { 0 };
	struct leat_input *in = open_memory(&zipped, zipped.len);

	(void)state;
	assert_int_equal(read_all(in, 0, &err), TEXT);
	leat_input_close(in);
	make_file(zipped.data, zipped.len);
	in = open_path("file");
	assert_int_equal(read_all(in, 0, &err), TEXT);
	leat_input_close(in);
	/* Members of any size, and zero bytes at the end. */
	for (size_t at = 0, step = 1; at < 2 * TEXT; at += step) {
		step = step * 3 / 2 + 1;
		if (step > TEXT - at % TEXT)
			step = TEXT - at % TEXT;
		add_gzip(&members, text + at % TEXT, step);
	}
	assert_int_equal(leat_buf_add(&members, "\0\0\0", 3), 0);
	in = open_memory(&members, members.len);
	assert_int_equal(read_all(in, 0, &err), 2 * TEXT);
	leat_input_close(in);
	leat_buf_free(&members);
}

/* The same words as in line, and all that came before. */
static void
faults_come_in_their_place(void **state)
{
	struct leat_buf bytes = { 0 };
	struct leat_error err = { 0 };
	struct leat_input *in;
	size_t cut;

	(void)state;
	for (cut = zipped.len / 2; cut < zipped.len; cut += 1 + (zipped.len - cut) / 2) {
		memset(&err, 0, sizeof(err));
		in = open_memory(&zipped, cut);
		assert_true(read_all(in, -1, &err) > TEXT / 4);
		assert_string_equal(err.text, "gzip data ends early: the file is cut short");
		assert_string_equal(err.file, "mem");
		assert_true(leat_input_cut(in));
		leat_input_close(in);
	}
	assert_int_equal(leat_buf_add_span(&bytes, leat_buf_span(&zipped)), 0);
	bytes.data[bytes.len - 5] ^= 1;	/* of the checksum (RFC 1952, 2.3.1) */
	in = open_memory(&bytes, bytes.len);
	assert_int_equal(read_all(in, -1, &err), TEXT);
	assert_string_equal(err.text, "gzip data is damaged: incorrect data check");
	assert_false(leat_input_cut(in));
	leat_input_close(in);
	bytes.data[bytes.len - 5] ^= 1;
	assert_int_equal(leat_buf_add(&bytes, "garbage", 7), 0);
	in = open_memory(&bytes, bytes.len);
	assert_int_equal(read_all(in, -1, &err), TEXT);
	assert_string_equal(err.text, "other bytes follow the gzip data: the file is damaged");
	assert_false(leat_input_cut(in));
	leat_input_close(in);
	leat_buf_free(&bytes);
}

/* Whoever reads may leave at any place: before the thread begins, while it runs, when the ring is full, at the end. */
static void
reader_may_leave_early(void **state)
{
	const struct timespec pause = { 0, 3000000 };
	struct leat_error err = { 0 };
	struct leat_input *in;
	ssize_t last;

	(void)state;
	for (size_t want = 0; want <= TEXT; want += TEXT / 40) {
		in = open_memory(&zipped, zipped.len);
		if (want > 0)
			assert_int_equal(read_text(in, want, &err, &last), want);
		if (want / (TEXT / 40) % 3 == 0)
			nanosleep(&pause, NULL);
		leat_input_close(in);
	}
}

/* More files at a time than there are threads: the others are inflated in line. */
static void
many_files_at_a_time(void **state)
{
	struct leat_input *in[FILES];
	size_t got[FILES] = { 0 };
	unsigned char piece[9000];
	struct leat_error err = { 0 };
	ssize_t n;

	(void)state;
	for (int i = 0; i < FILES; i++)
		in[i] = open_memory(&zipped, zipped.len);
	for (bool any = true; any;) {
		any = false;
		for (int i = 0; i < FILES; i++) {
			n = leat_input_read(in[i], piece, sizeof(piece) - (size_t)i * 1000, &err);
			assert_true(n >= 0);
			assert_true(n == 0 || memcmp(piece, text + got[i], (size_t)n) == 0);
			got[i] += (size_t)n;
			any = any || n > 0;
		}
	}
	for (int i = 0; i < FILES; i++) {
		assert_int_equal(got[i], TEXT);
		leat_input_close(in[i]);
	}
}

/* Opens the FIFO, into which another process writes the first len compressed bytes and then nothing for a long time. */
static struct leat_input *
open_silent(size_t len, pid_t *pid)
{
	*pid = fork();
	assert_true(*pid >= 0);
	if (*pid == 0) {
		FILE *f = fopen(path_in_folder("fifo"), "w");

		if (f == NULL || fwrite(zipped.data, 1, len, f) != len || fflush(f) != 0)
			_exit(1);
		sleep(60);
		_exit(0);
	}
	return open_path("fifo");
}

static void
end_silent(pid_t pid)
{
	int status;

	assert_int_equal(kill(pid, SIGKILL), 0);
	assert_int_equal(waitpid(pid, &status, 0), pid);
	/* The other end was still open. */
	assert_true(WIFSIGNALED(status));
}

/* Bytes that came are handed out though no more come, and closing does not wait for more. */
static void
silence_holds_nothing_up(void **state)
{
	struct leat_error err = { 0 };
	struct leat_input *in;
	ssize_t last;
	pid_t pid;

	(void)state;
	in = open_silent(zipped.len / 2, &pid);
	assert_int_equal(read_text(in, TEXT / 3, &err, &last), TEXT / 3);
	leat_input_close(in);
	end_silent(pid);
	/* As many descriptors as before. */
	last = dup(0);
	close((int)last);
	for (int i = 0; i < 3; i++) {
		in = open_silent(zipped.len / 2, &pid);
		assert_int_equal(read_text(in, TEXT / 3, &err, &(ssize_t){ 0 }), TEXT / 3);
		leat_input_close(in);
		end_silent(pid);
		assert_int_equal(dup(0), last);
		close((int)last);
	}
}

/* Without a descriptor for the pipe it goes on in line, as it would without memory for a stack. */
static void
without_a_thread(void **state)
{
	struct leat_error err = { 0 };
	struct rlimit before, none;
	struct leat_input *in;
	pid_t pid;

	(void)state;
	assert_int_equal(getrlimit(RLIMIT_NOFILE, &before), 0);
	none = before;
	in = open_silent(zipped.len, &pid);
	none.rlim_cur = (rlim_t)dup(0);
	close((int)none.rlim_cur);
	assert_int_equal(setrlimit(RLIMIT_NOFILE, &none), 0);
	assert_int_equal(read_text(in, TEXT, &err, &(ssize_t){ 0 }), TEXT);
	leat_input_close(in);
	assert_int_equal(setrlimit(RLIMIT_NOFILE, &before), 0);
	end_silent(pid);
}

/* A child has no thread: it can close what its parent reads, which goes on. */
static void
a_child_lets_go(void **state)
{
	struct leat_error err = { 0 };
	struct leat_input *in;
	int status;
	pid_t pid;

	(void)state;
	make_file(zipped.data, zipped.len);
	in = open_path("file");
	assert_int_equal(read_text(in, TEXT / 2, &err, &(ssize_t){ 0 }), TEXT / 2);
	pid = fork();
	assert_true(pid >= 0);
	if (pid == 0) {
		alarm(10);
		leat_input_close(in);
		_exit(0);
	}
	assert_int_equal(waitpid(pid, &status, 0), pid);
	assert_true(WIFEXITED(status) && WEXITSTATUS(status) == 0);
	/* From TEXT / 2 on. */
	for (size_t got = TEXT / 2; got < TEXT;) {
		unsigned char piece[5000];
		ssize_t n = leat_input_read(in, piece, sizeof(piece), &err);

		assert_true(n > 0);
		assert_memory_equal(piece, text + got, (size_t)n);
		got += (size_t)n;
	}
	leat_input_close(in);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(all_bytes_come),
		cmocka_unit_test(faults_come_in_their_place),
		cmocka_unit_test(reader_may_leave_early),
		cmocka_unit_test(many_files_at_a_time),
		cmocka_unit_test(silence_holds_nothing_up),
		cmocka_unit_test(without_a_thread),
		cmocka_unit_test(a_child_lets_go)
	};

	alarm(120);
	return cmocka_run_group_tests(tests, set_up, tear_down);
}
