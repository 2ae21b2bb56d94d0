/*
 * mutate: normalises thousands of damaged exports in one process and proves what must hold of each.
 *
 *	mutate run COUNT SCRATCH POINTS FILE ...	COUNT damaged versions of each file, every third with the
 *						points.csv POINTS; prints 'ok' or 'FAIL' lines
 *	mutate write SEED FILE				one damaged version on standard output
 *
 * Of each version: it is read to its end or refused with a reason; where it is read, every line and cell stands in
 * one place of the account, the output is a valid readings stream in order of time, and it has as many rows as the
 * account says.  A version that fails is kept in SCRATCH under its seed.
 */
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

#include "stream/intake.h"
#include "stream/reading.h"

/* The generator of Numerical Recipes: the versions are the same in every run. */
static uint32_t seed;

static size_t
chance(size_t below)
{
	seed = seed * 1664525u + 1013904223u;
	return below == 0 ? 0 : (size_t)(seed >> 8) % below;
}

static void
must(bool good, const char *what)
{
	if (good)
		return;
	fprintf(stderr, "mutate: %s\n", what);
	exit(2);
}

static void
read_file(const char *path, struct leat_buf *text)
{
	FILE *file = fopen(path, "rb");
	char block[4096];
	size_t n;

	must(file != NULL, path);
	leat_buf_reset(text);
	while ((n = fread(block, 1, sizeof(block), file)) > 0)
		must(leat_buf_add(text, block, n) == 0, "out of memory");
	fclose(file);
}

static void
write_file(const char *path, const struct leat_buf *text)
{
	FILE *file = fopen(path, "wb");

	must(file != NULL, path);
	must(fwrite(text->data, 1, text->len, file) == text->len, path);
	must(fclose(file) == 0, path);
}

static void
insert(struct leat_buf *text, size_t at, const char *bytes, size_t len)
{
	char *copy = malloc(len + 1);

	must(copy != NULL, "out of memory");
	memcpy(copy, bytes, len);
	must(leat_buf_reserve(text, len) == 0, "out of memory");
	memmove(text->data + at + len, text->data + at, text->len - at);
	memcpy(text->data + at, copy, len);
	text->len += len;
	free(copy);
}

static void
delete(struct leat_buf *text, size_t at, size_t len)
{
	memmove(text->data + at, text->data + at + len, text->len - at - len);
	text->len -= len;
}

/* The line around a byte, with its line end. */
static struct leat_span
line_at(const struct leat_buf *text, size_t at)
{
	size_t start = at, end = at;

	while (start > 0 && text->data[start - 1] != '\n')
		start--;
	while (end < text->len && text->data[end] != '\n')
		end++;
	return leat_span_make(text->data + start, end - start + (end < text->len));
}

static size_t
line_start(const struct leat_buf *text)
{
	return text->len == 0 ? 0 : (size_t)(line_at(text, chance(text->len)).ptr - text->data);
}

/* Exchanges two neighbouring cells of a line. */
static void
swap_cells(struct leat_buf *text, size_t at)
{
	struct leat_span line = line_at(text, at);
	char separator = memchr(line.ptr, ';', line.len) != NULL ? ';' :
	    memchr(line.ptr, '\t', line.len) != NULL ? '\t' : ',';
	size_t first = leat_span_find(line, separator), second;
	char copy[256];

	if (first == line.len)
		return;
	second = first + 1;
	while (second < line.len && line.ptr[second] != separator && line.ptr[second] != '\n')
		second++;
	if (second > sizeof(copy))
		return;
	memcpy(copy, line.ptr, second);
	at = (size_t)(line.ptr - text->data);
	memcpy(text->data + at, copy + first + 1, second - first - 1);
	text->data[at + second - first - 1] = separator;
	memcpy(text->data + at + second - first, copy, first);
}

static void
insert_something(struct leat_buf *text)
{
	static const char *const piece[] = {
		"\n", "\r\n", ";;;;\n", ",,,\n", "\"", "\"\"", "\"a\nb\"", "Report of the night;\n", "rows: 3\n",
		"No Data", "nan", "1e99", "-", "<", "2025-02-03 04:05:00", "31.12.2099 00:00:00",
		"26.10.2025 02:30:00", "30.03.2025 02:30:00", "1.234", "\xff\xfe", "\xc3", "\xef\xbb\xbf", "Good",
		"192", "2147483648", "bar", "99999999999999999999", " ", "\t",
	};
	const char *p = piece[chance(sizeof(piece) / sizeof(piece[0]))];

	insert(text, chance(2) == 0 ? line_start(text) : chance(text->len + 1), p, strlen(p));
}

static void
damage_once(struct leat_buf *text)
{
	struct leat_span line;
	size_t at;

	if (text->len == 0) {
		insert_something(text);
		return;
	}
	at = chance(text->len);
	switch (chance(12)) {
	case 0:
		text->data[at] ^= (char)(1u << chance(8));
		break;
	case 1:
		text->data[at] = (char)chance(256);
		break;
	case 2:
		text->len = at;
		break;
	case 3:
		delete(text, at, chance(text->len - at + 1) % 40);
		break;
	case 4:		/* a line again, elsewhere */
	case 5:
		line = line_at(text, at);
		insert(text, line_start(text), line.ptr, line.len);
		break;
	case 6:		/* the header again */
		line = line_at(text, 0);
		insert(text, line_start(text), line.ptr, line.len);
		break;
	case 7:
		swap_cells(text, at);
		break;
	case 8:		/* a digit changed: a duplicate that differs, a time that goes back */
		while (at < text->len && (text->data[at] < '0' || text->data[at] > '9'))
			at++;
		if (at < text->len)
			text->data[at] = (char)('0' + chance(10));
		break;
	case 9:		/* a line lost */
		line = line_at(text, at);
		delete(text, (size_t)(line.ptr - text->data), line.len);
		break;
	default:
		insert_something(text);
	}
}

static void
damage(struct leat_buf *text)
{
	for (size_t n = 1 + chance(4); n > 0; n--)
		damage_once(text);
}

/* What one run over some files did. */
struct outcome {
	bool read;			/* to the end; else err says why not */
	struct leat_error err;
	long long rows, bad;
	const char *fault;		/* what must not be, or NULL */
};

/* Reads the stream that was written and compares it with the account. */
static const char *
check_output(const char *path, const struct leat_settle *group, struct leat_error *why)
{
	char *file[] = { (char *)(uintptr_t)path };
	struct leat_time last = LEAT_TIME_NONE;
	struct leat_readings *in;
	enum leat_readings_status status;
	struct leat_reading r;
	const char *fault = NULL;
	long long rows = 0;

	in = leat_readings_open(file, 1, why);
	if (in == NULL)
		return "the output is no readings stream";
	while (fault == NULL && (status = leat_readings_next(in, &r, why)) != LEAT_READINGS_END) {
		if (status == LEAT_READINGS_FAILED)
			fault = "the output cannot be read to its end";
		else if (status == LEAT_READINGS_BAD)
			fault = "a row of the output is no reading";
		else if (leat_time_cmp(r.time, last) < 0)
			fault = "the output is not in order of time";
		else if (r.quality == LEAT_BAD && r.value.len > 0)
			fault = "a bad reading has a value";
		last = r.time;
		rows++;
	}
	leat_readings_close(in);
	return fault != NULL || rows == group->readings ? fault : "the output has other rows than the account";
}

static enum leat_intake_status
pump(struct leat_intake *in, struct leat_settle *group, struct leat_out *out, struct outcome *o)
{
	const struct leat_arrival *a;
	enum leat_intake_status status;

	while ((status = leat_intake_next(in, &a, &o->err)) > LEAT_INTAKE_END) {
		o->bad += status == LEAT_INTAKE_BAD;
		if (status != LEAT_INTAKE_READING)
			continue;
		if (group->count > 0 && leat_time_cmp(a->time, group->time) != 0) {
			leat_intake_write(in, group, true, out);
			leat_settle_clear(group);
		}
		must(leat_settle_put(group, a) == 0, "out of memory");
	}
	leat_intake_write(in, group, true, out);
	leat_settle_clear(group);
	return status;
}

static struct outcome
normalise(const struct leat_intake_plan *plan, char *const *path, size_t count, const char *to)
{
	static struct leat_out out;
	struct outcome o = { .read = false };
	struct leat_settle group = { .count = 0 };
	struct leat_intake *in = leat_intake_open(plan, path, count, &o.err);
	FILE *file;

	if (in == NULL) {
		if (o.err.text[0] == '\0')
			o.fault = "refused without a reason";
		return o;
	}
	must((file = fopen(to, "wb")) != NULL, to);
	leat_out_init(&out, file);
	leat_out_text(&out, "time,asset,point,value,unit,quality,origin\n");
	o.read = pump(in, &group, &out, &o) == LEAT_INTAKE_END;
	must(leat_out_flush(&out) == 0 && fclose(file) == 0, to);
	if (!o.read && o.err.text[0] == '\0')
		o.fault = "given up without a reason";
	else if (o.read && !leat_intake_balances(in, &group))
		o.fault = "lines and cells do not balance";
	else if (o.read)
		o.fault = check_output(to, &group, &o.err);
	leat_settle_free(&group);
	leat_intake_close(in);
	return o;
}

/* Some versions are read under pins, so that those that would stay ambiguous are read too. */
static void
choose_pins(struct leat_intake_plan *plan)
{
	plan->pinned.shape = (enum leat_shape)(chance(3) == 0 ? chance(4) : 0);
	plan->pinned.decimal = "\0\0.,"[chance(4)];
	plan->pinned.dates = chance(3) == 0 ? LEAT_FORM_DMY : (enum leat_form)0;
	plan->quality = (enum leat_quality_kind)chance(4);
}

static bool
run_file(struct leat_intake_plan *plan, const struct leat_points *points, const char *path, long count,
    const char *scratch)
{
	static const struct leat_points none;
	struct leat_buf original = { .data = NULL }, text = { .data = NULL };
	char in[2][512], out[512], kept[512], why[1024];
	char *files[] = { in[0], in[1] };
	long long read = 0, rejected = 0;
	bool good = true;

	snprintf(in[0], sizeof(in[0]), "%s/mutated-0.csv", scratch);
	snprintf(in[1], sizeof(in[1]), "%s/mutated-1.csv", scratch);
	snprintf(out, sizeof(out), "%s/readings.csv", scratch);
	read_file(path, &original);
	for (long i = 0; i < count; i++) {
		size_t given = 1 + (i % 4 == 3);
		struct outcome o;

		for (size_t j = 0; j < given; j++) {
			seed = (uint32_t)(i * 2 + (long)j);
			leat_buf_reset(&text);
			must(leat_buf_add_span(&text, leat_buf_span(&original)) == 0, "out of memory");
			damage(&text);
			write_file(in[j], &text);
		}
		choose_pins(plan);
		plan->points = i % 3 == 2 ? points : &none;
		/* A version that never ends is ended here, with the status of a failure. */
		alarm(20);
		o = normalise(plan, files, given, out);
		alarm(0);
		read += o.read;
		rejected += o.bad;
		if (o.fault == NULL)
			continue;
		good = false;
		snprintf(kept, sizeof(kept), "%s/failed-%ld.csv", scratch, i);
		write_file(kept, &text);
		printf("FAIL %s version %ld: %s: %s\n", path, i, o.fault,
		    leat_error_format(&o.err, why, sizeof(why)));
	}
	if (good)
		printf("ok %s: %ld versions, %lld read, %lld rows rejected\n", path, count, read, rejected);
	leat_buf_free(&original);
	leat_buf_free(&text);
	return good;
}

static int
run(int argc, char *argv[])
{
	struct leat_sources sources = { .count = 0 };
	struct leat_points points;
	struct leat_error err = { .line = 0 };
	struct leat_intake_plan plan = {
		.pinned = { .encoding = LEAT_ENCODING_AUTO }, .sources = &sources,
		.now = { INT64_C(1767225600), 0 }, .folder = argv[3],	/* 2026-01-01T00:00:00Z */
	};
	struct leat_zone *zone = leat_zone_open(LEAT_SPAN("CET-1CEST,M3.5.0,M10.5.0/3"), &err);
	bool good = true;

	must(zone != NULL, "cannot open the zone");
	must(leat_points_read(&points, argv[4], NULL, &err) == 0 && points.count > 0, "cannot read the points");
	plan.zone = zone;
	for (int i = 5; i < argc; i++)
		good = run_file(&plan, &points, argv[i], strtol(argv[2], NULL, 10), argv[3]) && good;
	leat_points_free(&points);
	leat_zone_free(zone);
	return good ? 0 : 1;
}

int
main(int argc, char *argv[])
{
	struct leat_buf text = { .data = NULL };

	if (argc >= 6 && strcmp(argv[1], "run") == 0)
		return run(argc, argv);
	if (argc != 4 || strcmp(argv[1], "write") != 0) {
		fputs("usage: mutate run COUNT SCRATCH POINTS FILE ... | mutate write SEED FILE\n", stderr);
		return 2;
	}
	read_file(argv[3], &text);
	seed = (uint32_t)strtoul(argv[2], NULL, 10);
	damage(&text);
	fwrite(text.data, 1, text.len, stdout);
	leat_buf_free(&text);
	return fflush(stdout) == 0 ? 0 : 2;
}
