/*
 * Sorted runs in an unlinked file.
 *
 * Runs that are too many to be read at once are merged, neighbours together so that equal times keep their order,
 * into longer runs of a second file, which then takes the first one's place: never more than twice the rows lie on
 * disk.
 */
#include "stream/spill.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

static int
spill_error(const struct leat_spill *s, const char *verb, int errnum, struct leat_error *err)
{
	char what[200];

	snprintf(what, sizeof(what), "%s a temporary file in '%.150s'", verb, s->folder);
	return leat_error_errno(err, what, errnum);
}

/* A new file, or -1 with err. */
static int
open_file(const struct leat_spill *s, struct leat_error *err)
{
	size_t size = strlen(s->folder) + sizeof("/leat-XXXXXX");
	char *path = malloc(size);
	int fd;

	if (path == NULL)
		return leat_error_memory(err);
	snprintf(path, size, "%s/leat-XXXXXX", s->folder);
	fd = mkstemp(path);
	if (fd < 0)
		spill_error(s, "make", errno, err);
	else
		unlink(path);
	free(path);
	return fd;
}

static int
write_all(const struct leat_spill *s, struct leat_spill_writer *w, const char *bytes, size_t len,
    struct leat_error *err)
{
	while (len > 0) {
		ssize_t n = pwrite(w->fd, bytes, len, w->end);

		if (n < 0 && errno == EINTR)
			continue;
		if (n <= 0)
			return spill_error(s, "write", n < 0 ? errno : ENOSPC, err);
		bytes += n;
		len -= (size_t)n;
		w->end += n;
	}
	return 0;
}

static int
flush(const struct leat_spill *s, struct leat_spill_writer *w, struct leat_error *err)
{
	size_t len = w->len;

	w->len = 0;
	return write_all(s, w, w->buf, len, err);
}

static int
put_bytes(const struct leat_spill *s, struct leat_spill_writer *w, const void *bytes, size_t len,
    struct leat_error *err)
{
	if (len == 0)
		return 0;
	if (len > sizeof(w->buf) - w->len && flush(s, w, err) != 0)
		return -1;
	if (len > sizeof(w->buf))
		return write_all(s, w, bytes, len, err);
	memcpy(w->buf + w->len, bytes, len);
	w->len += len;
	return 0;
}

static void
start_run(struct leat_spill_writer *w, int fd, off_t at)
{
	w->fd = fd;
	w->start = w->end = at;
	w->len = 0;
}

int
leat_spill_begin(struct leat_spill *s, struct leat_spill_writer *w, struct leat_error *err)
{
	if (s->fd < 0 && (s->fd = open_file(s, err)) < 0)
		return -1;
	start_run(w, s->fd, s->size);
	return 0;
}

int
leat_spill_put(const struct leat_spill *s, struct leat_spill_writer *w, struct leat_spill_head head, const void *row,
    struct leat_error *err)
{
	if (put_bytes(s, w, &head, sizeof(head), err) != 0)
		return -1;
	return put_bytes(s, w, row, head.len, err);
}

int
leat_spill_end(struct leat_spill *s, struct leat_spill_writer *w, struct leat_error *err)
{
	if (flush(s, w, err) != 0)
		return -1;
	if (leat_grow(&s->run, &s->run_cap, s->runs + 1, sizeof(*s->run)) != 0)
		return leat_error_memory(err);
	s->run[s->runs++] = (struct leat_spill_run){ w->start, w->end };
	s->size = w->end;
	s->written++;
	return 0;
}

/* Gives a reader whose row is longer than its share of the block a buffer of its own. */
static int
reader_grow(struct leat_spill_reader *r, size_t need, struct leat_error *err)
{
	char *buf = malloc(need);

	if (buf == NULL)
		return leat_error_memory(err);
	memcpy(buf, r->buf + r->at, r->len - r->at);
	r->len -= r->at;
	r->at = 0;
	if (r->owned)
		free(r->buf);
	r->buf = buf;
	r->cap = need;
	r->owned = true;
	return 0;
}

/* Brings at least need bytes from r->at on into the buffer.  1, 0 when the run has ended, -1 with err. */
static int
reader_need(const struct leat_spill *s, struct leat_spill_reader *r, size_t need, struct leat_error *err)
{
	if (r->len - r->at >= need)
		return 1;
	if (r->len == r->at && r->left.start == r->left.end)
		return 0;
	if (need > r->cap && reader_grow(r, need, err) != 0)
		return -1;
	memmove(r->buf, r->buf + r->at, r->len - r->at);
	r->len -= r->at;
	r->at = 0;
	while (r->len < need) {
		size_t room = r->cap - r->len;
		ssize_t n;

		if ((off_t)room > r->left.end - r->left.start)
			room = (size_t)(r->left.end - r->left.start);
		n = pread(s->fd, r->buf + r->len, room, r->left.start);
		if (n < 0 && errno == EINTR)
			continue;
		if (n <= 0)
			return spill_error(s, "read", n < 0 ? errno : EIO, err);
		r->len += (size_t)n;
		r->left.start += n;
	}
	return 1;
}

/* Makes the next row of the run current.  1, 0 at its end, -1 with err. */
static int
reader_row(const struct leat_spill *s, struct leat_spill_reader *r, struct leat_error *err)
{
	int got = reader_need(s, r, sizeof(r->head), err);

	if (got != 1)
		return got;
	memcpy(&r->head, r->buf + r->at, sizeof(r->head));
	return reader_need(s, r, sizeof(r->head) + r->head.len, err);
}

static bool
reader_before(const struct leat_spill *s, size_t a, size_t b)
{
	const struct leat_spill_head *x = &s->reader[a].head, *y = &s->reader[b].head;

	if (x->sec != y->sec)
		return x->sec < y->sec;
	if (x->nsec != y->nsec)
		return x->nsec < y->nsec;
	return a < b;
}

static void
sift_down(struct leat_spill *s, size_t i)
{
	for (;;) {
		size_t child = 2 * i + 1, top = s->heap[i];

		if (child >= s->heaped)
			return;
		if (child + 1 < s->heaped && reader_before(s, s->heap[child + 1], s->heap[child]))
			child++;
		if (reader_before(s, top, s->heap[child]))
			return;
		s->heap[i] = s->heap[child];
		s->heap[child] = top;
		i = child;
	}
}

static void
close_readers(struct leat_spill *s)
{
	for (size_t i = 0; i < LEAT_SPILL_AT_ONCE; i++) {
		if (s->reader[i].owned)
			free(s->reader[i].buf);
		s->reader[i] = (struct leat_spill_reader){ .owned = false };
	}
	s->heaped = 0;
	s->taken = false;
}

/* Starts reading count runs at once, the block shared out among them. */
static int
open_readers(struct leat_spill *s, const struct leat_spill_run *run, size_t count, char *block, size_t size,
    struct leat_error *err)
{
	size_t share = size / count;

	close_readers(s);
	for (size_t i = 0; i < count; i++) {
		struct leat_spill_reader *r = &s->reader[i];

		*r = (struct leat_spill_reader){ .left = run[i], .buf = block + i * share, .cap = share };
		if (reader_row(s, r, err) < 0)
			return -1;
		s->heap[i] = i;
	}
	s->heaped = count;
	for (size_t i = count / 2; i-- > 0;)
		sift_down(s, i);
	return 0;
}

/* Passes over the row that was handed out. */
static int
pass_over(struct leat_spill *s, struct leat_error *err)
{
	struct leat_spill_reader *r = &s->reader[s->heap[0]];
	int got;

	r->at += sizeof(r->head) + r->head.len;
	got = reader_row(s, r, err);
	if (got < 0)
		return -1;
	if (got == 0)
		s->heap[0] = s->heap[--s->heaped];
	sift_down(s, 0);
	s->taken = false;
	return 0;
}

int
leat_spill_next(struct leat_spill *s, struct leat_time *time, struct leat_span *row, struct leat_error *err)
{
	const struct leat_spill_reader *r;

	if (s->taken && pass_over(s, err) != 0)
		return -1;
	if (s->heaped == 0)
		return 0;
	s->taken = true;
	r = &s->reader[s->heap[0]];
	*time = (struct leat_time){ r->head.sec, r->head.nsec };
	*row = leat_span_make(r->buf + r->at + sizeof(r->head), r->head.len);
	return 1;
}

/* Merges the runs that are open into one at the end of w. */
static int
merge_open(struct leat_spill *s, struct leat_spill_writer *w, struct leat_error *err)
{
	struct leat_time time;
	struct leat_span row;
	int got;

	while ((got = leat_spill_next(s, &time, &row, err)) == 1) {
		struct leat_spill_head head = { time.sec, time.nsec, (uint32_t)row.len };

		if (leat_spill_put(s, w, head, row.ptr, err) != 0)
			return -1;
	}
	return got < 0 ? -1 : flush(s, w, err);
}

/* One pass over all runs: neighbours are merged into longer runs in a new file. */
static int
merge_pass(struct leat_spill *s, size_t at_once, char *block, size_t size, struct leat_error *err)
{
	struct leat_spill_writer w;
	size_t done = 0, made = 0;

	start_run(&w, open_file(s, err), 0);
	if (w.fd < 0)
		return -1;
	while (done < s->runs) {
		size_t count = s->runs - done < at_once ? s->runs - done : at_once;

		if (open_readers(s, s->run + done, count, block, size, err) != 0 || merge_open(s, &w, err) != 0) {
			close(w.fd);
			return -1;
		}
		s->run[made++] = (struct leat_spill_run){ w.start, w.end };
		start_run(&w, w.fd, w.end);
		done += count;
	}
	close(s->fd);
	s->fd = w.fd;
	s->size = w.end;
	s->runs = made;
	return 0;
}

int
leat_spill_rewind(struct leat_spill *s, char *block, size_t size, struct leat_error *err)
{
	size_t at_once = size / LEAT_SPILL_BUFFER_MIN;

	if (at_once > LEAT_SPILL_AT_ONCE)
		at_once = LEAT_SPILL_AT_ONCE;
	while (s->runs > at_once) {
		if (merge_pass(s, at_once, block, size, err) != 0)
			return -1;
	}
	if (s->runs == 0)
		return 0;
	return open_readers(s, s->run, s->runs, block, size, err);
}

void
leat_spill_close(struct leat_spill *s)
{
	close_readers(s);
	if (s->fd >= 0)
		close(s->fd);
	free(s->run);
	s->fd = -1;
	s->run = NULL;
	s->runs = s->run_cap = 0;
}
