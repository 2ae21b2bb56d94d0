/*
 * The readings stream: lib/stream/reading.c, reading_header.c, merge.c and reading_write.c.
 */
#include "unit.h"

#include <unistd.h>

#include "random.h"
#include "stream/reading.h"

#define HEADER "time,asset,point,value,unit,quality\n"

static char folder[64];

static int
make_folder(void **state)
{
	(void)state;
	snprintf(folder, sizeof(folder), "/tmp/leat-reading-XXXXXX");
	return mkdtemp(folder) != NULL ? 0 : -1;
}

static int
remove_folder(void **state)
{
	(void)state;
	return rmdir(folder);
}

/* Files of one test, from their texts. */
#define FILES_MAX 200
static char *paths[FILES_MAX];

static void
write_file(size_t i, const char *text, size_t len)
{
	size_t size = sizeof(folder) + 32;
	FILE *file;

	paths[i] = malloc(size);
	assert_non_null(paths[i]);
	snprintf(paths[i], size, "%s/%zu.csv", folder, i);
	file = fopen(paths[i], "w");
	assert_non_null(file);
	assert_int_equal(fwrite(text, 1, len, file), len);
	assert_int_equal(fclose(file), 0);
}

static struct leat_readings *
open_texts(const char *const *text, size_t count, struct leat_error *err)
{
	size_t i;

	memset(err, 0, sizeof(*err));
	for (i = 0; i < count; i++)
		write_file(i, text[i], strlen(text[i]));
	return leat_readings_open(paths, count, err);
}

static void
close_texts(struct leat_readings *in, size_t count)
{
	leat_readings_close(in);
	for (; count > 0; count--) {
		unlink(paths[count - 1]);
		free(paths[count - 1]);
	}
}

/* Each reading as time/asset/point/value/unit/quality#series@source:line, each rejected row as its error.  Stops at a
 * failure, which is written too. */
static void
show(struct leat_readings *in, struct leat_buf *shown)
{
	enum leat_readings_status status;
	struct leat_reading r;
	struct leat_error err = { 0 };
	char text[1024], time[LEAT_TIME_MAX];

	leat_buf_reset(shown);
	while ((status = leat_readings_next(in, &r, &err)) != LEAT_READINGS_END) {
		if (status != LEAT_READINGS_ROW) {
			leat_error_format(&err, text, sizeof(text));
			/* Without the folder, whose name is another each time. */
			assert_int_equal(leat_buf_printf(shown, "%s%s\n", status == LEAT_READINGS_FAILED ? "failed: " : "",
			    strncmp(text, folder, strlen(folder)) == 0 ? text + strlen(folder) + 1 : text), 0);
			if (status == LEAT_READINGS_FAILED)
				break;
			continue;
		}
		leat_time_write(time, r.time);
		assert_int_equal(leat_buf_printf(shown, "%s/%.*s/%.*s/%.*s/%.*s/%s#%u@%zu:%ld\n", time,
		    (int)r.asset.len, r.asset.ptr, (int)r.point.len, r.point.ptr, (int)r.value.len, r.value.ptr,
		    (int)r.unit.len, r.unit.ptr, leat_quality_name(r.quality), (unsigned)r.series, r.source, r.line), 0);
		assert_true(leat_span_eq(leat_readings_assets(in)->name[r.asset_id], r.asset));
		assert_true(leat_span_eq(leat_readings_points(in)->name[r.point_id], r.point));
		assert_int_equal(leat_readings_series(in)->pair[r.series], (uint64_t)r.asset_id << 32 | r.point_id);
		assert_int_equal(r.row->line, r.line);
	}
}

static void
expect(const char *const *text, size_t count, const char *expected)
{
	struct leat_buf shown = { 0 };
	struct leat_error err;
	struct leat_readings *in = open_texts(text, count, &err);

	if (in == NULL)
		print_error("%s\n", err.text);
	assert_non_null(in);
	show(in, &shown);
	unit_span(leat_buf_span(&shown), expected);
	close_texts(in, count);
	leat_buf_free(&shown);
}

static void
one_file(void **state)
{
	static const char *const text[] = {
		HEADER
		"2025-02-03T04:05:06Z,NM,pressure,101.7,bar,good\n"
		"2025-02-03T04:05:06Z,NM,oil-temperature,41,degC,uncertain\n"
		"2025-02-03T04:05:07.5Z,NM,pressure,,bar,bad\n"
		"2025-02-03T04:05:08Z,MM/pump-a,pump-running,on,,good\n"
		"2025-02-03T04:05:08Z,NM,pressure,101.70,bar,good\n"
	};

	(void)state;
	expect(text, 1,
	    "2025-02-03T04:05:06Z/NM/pressure/101.7/bar/good#0@0:2\n"
	    "2025-02-03T04:05:06Z/NM/oil-temperature/41/degC/uncertain#1@0:3\n"
	    "2025-02-03T04:05:07.5Z/NM/pressure//bar/bad#0@0:4\n"
	    "2025-02-03T04:05:08Z/MM/pump-a/pump-running/on//good#2@0:5\n"
	    "2025-02-03T04:05:08Z/NM/pressure/101.70/bar/good#0@0:6\n");
}

/* Columns in another order with further ones between, CRLF, byte order mark, quotes, an offset. */
static void
foreign_forms_of_the_stream(void **state)
{
	static const char *const text[] = {
		"\xEF\xBB\xBF" "note,quality,unit,value,point,asset,time\r\n"
		"\"a, b\",good,bar,101.7,pressure,NM,2025-02-03T04:05:06Z\r\n"
		"\r\n"
		",bad,bar,,pressure,NM,2025-02-03T05:05:07+01:00\r\n"
	};

	(void)state;
	expect(text, 1,
	    "2025-02-03T04:05:06Z/NM/pressure/101.7/bar/good#0@0:2\n"
	    "2025-02-03T04:05:07Z/NM/pressure//bar/bad#0@0:4\n");
}

static void
bad_rows_are_rejected_one_by_one(void **state)
{
	static const char *const text[] = {
		HEADER
		"2025-02-03T04:05:06Z,NM,pressure,101.7,bar\n"
		"2025-02-03T04:05:06Z,NM,pressure,101.7,bar,good,\n"
		"2025-02-03 04:05,NM,pressure,101.7,bar,good\n"
		",NM,pressure,101.7,bar,good\n"
		"2025-02-30T04:05:06Z,NM,pressure,101.7,bar,good\n"
		"2025-02-03T04:05:06Z,NM,pressure,101.7,bar,Good\n"
		"2025-02-03T04:05:06Z,NM,pressure,101.7,bar,\n"
		"2025-02-03T04:05:06Z,NM,pressure,,bar,good\n"
		"2025-02-03T04:05:06Z,,pressure,101.7,bar,good\n"
		"2025-02-03T04:05:06Z,NM,,101.7,bar,good\n"
		"2025-02-03T04:05:06Z,N\xB0,pressure,101.7,bar,good\n"
		"2025-02-03T04:05:06Z,NM,\"pres\nsure\",101.7,bar,good\n"
		"2025-02-03T04:05:06Z,NM,pres\xC2\x85sure,101.7,bar,good\n"
		"2025-02-03T04:05:06Z,NM,pres\"sure,101.7,bar,good\n"
		"2025-02-03T04:05:06Z,NM,pressure,101.8,bar,good\n"
		"2025-02-03T04:05:07Z,NM,pressure,10\n"
	};
	struct leat_readings_count counted;
	struct leat_buf shown = { 0 };
	struct leat_error err;
	struct leat_readings *in = open_texts(text, 1, &err);

	(void)state;
	assert_non_null(in);
	show(in, &shown);
	unit_span(leat_buf_span(&shown),
	    "0.csv:2: 5 fields where the header has 6\n"
	    "0.csv:3: 7 fields where the header has 6\n"
	    "0.csv:4: column 'time': not a time (RFC 3339, such as 2026-01-31T23:59:59Z): '2025-02-03 04:05'\n"
	    "0.csv:5: column 'time': not a time (RFC 3339, such as 2026-01-31T23:59:59Z): ''\n"
	    "0.csv:6: column 'time': not a time (RFC 3339, such as 2026-01-31T23:59:59Z): '2025-02-30T04:05:06Z'\n"
	    "0.csv:7: column 'quality': not good, uncertain or bad: 'Good'\n"
	    "0.csv:8: column 'quality': not good, uncertain or bad: ''\n"
	    "0.csv:9: column 'value': empty value, but the quality is not bad: ''\n"
	    "0.csv:10: column 'asset': empty name: ''\n"
	    "0.csv:11: column 'point': empty name: ''\n"
	    "0.csv:12: column 'asset': malformed UTF-8: 'N?'\n"
	    "0.csv:13: column 'point': control character: 'pres?sure'\n"
	    "0.csv:15: column 'point': control character: 'pres?sure'\n"
	    "0.csv:16: stray quote: a field with a quote is quoted as a whole and its quotes are doubled\n"
	    "2025-02-03T04:05:06Z/NM/pressure/101.8/bar/good#0@0:17\n"
	    "0.csv:18: 4 fields where the header has 6\n");
	unit_span(leat_readings_rejected(in), "2025-02-03T04:05:07Z,NM,pressure,10");
	counted = leat_readings_counted(in);
	assert_int_equal(counted.rows, 1);
	assert_int_equal(counted.rejected, 15);
	close_texts(in, 1);
	leat_buf_free(&shown);
}

/* A cut 101.7 reads as 10, and what else is lost nobody knows: a stream without its last line end is cut. */
static void
cut_last_line(void **state)
{
	static const char *const text[] = {
		HEADER "2025-02-03T04:05:06Z,NM,pressure,101.7,bar,good\n2025-02-03T04:05:07Z,NM,pressure,101.7,bar,good",
		HEADER "2025-02-03T04:05:06Z,NM,pressure,101.7,bar,good\n2025-02-03T04:05"
	};

	(void)state;
	for (size_t i = 0; i < sizeof(text) / sizeof(text[0]); i++)
		expect(&text[i], 1, "2025-02-03T04:05:06Z/NM/pressure/101.7/bar/good#0@0:2\n"
		    "failed: 0.csv:3: the readings end within a line: the file is cut short\n");
}

static void
repeated_headers_are_skipped(void **state)
{
	static const char *const text[] = {
		HEADER "2025-02-03T04:05:06Z,NM,pressure,1,bar,good\n"
		HEADER "2025-02-03T04:05:07Z,NM,pressure,2,bar,good\n"
		HEADER HEADER
		"time,point,asset,value,unit,quality\n"
	};
	struct leat_readings_count counted;
	struct leat_buf shown = { 0 };
	struct leat_error err;
	struct leat_readings *in = open_texts(text, 1, &err);

	(void)state;
	assert_non_null(in);
	show(in, &shown);
	unit_span(leat_buf_span(&shown),
	    "2025-02-03T04:05:06Z/NM/pressure/1/bar/good#0@0:2\n"
	    "2025-02-03T04:05:07Z/NM/pressure/2/bar/good#0@0:4\n"
	    "0.csv:7: column 'time': not a time (RFC 3339, such as 2026-01-31T23:59:59Z): 'time'\n");
	counted = leat_readings_counted(in);
	assert_int_equal(counted.rows, 2);
	assert_int_equal(counted.headers, 3);
	assert_int_equal(counted.rejected, 1);
	close_texts(in, 1);
	leat_buf_free(&shown);
}

static void
time_going_back_stops(void **state)
{
	static const char *const text[] = {
		HEADER
		"2025-02-03T04:05:06.5Z,NM,pressure,1,bar,good\n"
		"2025-02-03T04:05:06.5Z,NM,pressure,2,bar,good\n"
		"2025-02-03T04:05:06.4Z,NM,pressure,3,bar,good\n"
		"2025-02-03T04:05:07Z,NM,pressure,4,bar,good\n"
	};
	struct leat_buf shown = { 0 };
	struct leat_error err;
	struct leat_readings *in = open_texts(text, 1, &err);
	struct leat_reading r;

	(void)state;
	assert_non_null(in);
	show(in, &shown);
	unit_span(leat_buf_span(&shown),
	    "2025-02-03T04:05:06.5Z/NM/pressure/1/bar/good#0@0:2\n"
	    "2025-02-03T04:05:06.5Z/NM/pressure/2/bar/good#0@0:3\n"
	    "failed: 0.csv:4: time goes back from 2025-02-03T04:05:06.5Z to 2025-02-03T04:05:06.4Z; put the rows in order "
	    "with 'leat-select --sort'\n");
	/* It stays failed. */
	memset(&err, 0, sizeof(err));
	assert_int_equal(leat_readings_next(in, &r, &err), LEAT_READINGS_FAILED);
	assert_int_equal(err.line, 4);
	close_texts(in, 1);
	leat_buf_free(&shown);
}

static void
headers_that_are_none(void **state)
{
	static const struct {
		const char *text, *message;
	} cases[] = {
		{ "", "'0.csv' is empty: a readings stream has at least its header" },
		{ "\n\r\n", "'0.csv' is empty: a readings stream has at least its header" },
		{ "\xEF\xBB\xBF", "'0.csv' is empty: a readings stream has at least its header" },
		{ "time,asset,point,rule,status,value,unit,limit,since,until,due,shelved,message\n",
		    "0.csv:1: a findings stream where readings are due" },
		{ "\ntime,asset,point,value,unit\n",
		    "0.csv:2: no column 'quality'; the header has: time, asset, point, value, unit" },
		{ "2025-02-03T04:05:06Z,NM,pressure,1,bar,good\n",
		    "0.csv:1: no column 'time'; the header has: 2025-02-03T04:05:06Z, NM, pressure, 1, bar, good" },
		{ "time;asset;point;value;unit;quality\n",
		    "0.csv:1: no column 'time'; the header has: time;asset;point;value;unit;quality" },
		{ "time,asset,point,value,unit,quality,value\n", "0.csv:1: column 'value' comes twice in the header" },
		{ "time,asset,point,value,unit,quality,x,y,x\n",
		    "0.csv:1: column 'x': a further column comes twice in the header" },
		{ "time,asset,point,value,unit,quality", "0.csv:1: the header is cut: it has no line end" },
		{ "time,\"asset\n", "0.csv:1: the quote that begins in this line does not end" }
	};
	struct leat_error err;
	char text[1024], *at;
	size_t i;

	(void)state;
	for (i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		assert_null(open_texts(&cases[i].text, 1, &err));
		leat_error_format(&err, text, sizeof(text));
		at = strstr(text, folder);
		assert_non_null(at);
		memmove(at, at + strlen(folder) + 1, strlen(at + strlen(folder) + 1) + 1);
		assert_string_equal(text, cases[i].message);
		close_texts(NULL, 1);
	}
	assert_null(leat_readings_open((char *[]){ (char *)(uintptr_t)"/nowhere/at-all.csv" }, 1, &err));
	assert_string_equal(err.text, "cannot open: no such file or directory");
}

static void
equal_times_keep_the_order_of_files(void **state)
{
	static const char *const text[] = {
		HEADER
		"2025-02-03T04:05:06Z,A,p,1,,good\n"
		"2025-02-03T04:05:08Z,A,p,2,,good\n"
		"2025-02-03T04:05:08Z,A,p,3,,good\n",
		HEADER,
		"quality,time,asset,point,value,unit\n"
		"good,2025-02-03T04:05:07Z,B,p,4,\n"
		"good,2025-02-03T05:05:08+01:00,A,p,5,\n"
		"good,2025-02-03T04:05:08.000000001Z,A,q,6,\n",
		HEADER
		"2025-02-03T04:05:06Z,B,p,7,,good\n"
		"x\n"
		"2025-02-03T04:05:08Z,B,p,8,,good\n"
	};

	(void)state;
	expect(text, 4,
	    "2025-02-03T04:05:06Z/A/p/1//good#0@0:2\n"
	    "2025-02-03T04:05:06Z/B/p/7//good#1@3:2\n"
	    "3.csv:3: 1 field where the header has 6\n"
	    "2025-02-03T04:05:07Z/B/p/4//good#1@2:2\n"
	    "2025-02-03T04:05:08Z/A/p/2//good#0@0:3\n"
	    "2025-02-03T04:05:08Z/A/p/3//good#0@0:4\n"
	    "2025-02-03T04:05:08Z/A/p/5//good#0@2:3\n"
	    "2025-02-03T04:05:08Z/B/p/8//good#1@3:4\n"
	    "2025-02-03T04:05:08.000000001Z/A/q/6//good#2@2:4\n");
}

/* Two hundred files merged, against the rows of all sorted by time, file and line. */
struct sortable {
	long time;
	size_t file;
	long line;
	unsigned asset, point;
};

static int
sortable_cmp(const void *a, const void *b)
{
	const struct sortable *x = a, *y = b;

	if (x->time != y->time)
		return x->time < y->time ? -1 : 1;
	if (x->file != y->file)
		return x->file < y->file ? -1 : 1;
	return x->line < y->line ? -1 : x->line > y->line;
}

static uint32_t
next_random(uint32_t *seed)
{
	*seed = *seed * 1664525u + 1013904223u;
	return *seed >> 16;
}

/* Writes a file of up to 50 rows in time order, its names in no order. */
static size_t
random_file(size_t file, uint32_t *seed, struct sortable *row)
{
	struct leat_buf text = { 0 };
	size_t i, n = next_random(seed) % 50;
	long time = 0;

	assert_int_equal(leat_buf_printf(&text, HEADER), 0);
	for (i = 0; i < n; i++) {
		time += next_random(seed) % 3;
		row[i] = (struct sortable){ time, file, (long)i + 2, next_random(seed) % 3, next_random(seed) % 4 };
		assert_int_equal(leat_buf_printf(&text, "2025-01-01T00:%02ld:%02ldZ,A%u,p%u,1,,good\n", time / 60,
		    time % 60, row[i].asset, row[i].point), 0);
	}
	write_file(file, text.data, text.len);
	leat_buf_free(&text);
	return n;
}

static void
many_files(void **state)
{
	struct sortable *row = calloc(FILES_MAX * 50, sizeof(*row));
	struct leat_readings *in;
	struct leat_error err = { 0 };
	struct leat_reading r;
	size_t i, n = 0, count;
	uint32_t seed = 7;
	char name[16];

	(void)state;
	assert_non_null(row);
	for (i = 0; i < FILES_MAX; i++)
		n += random_file(i, &seed, row + n);
	qsort(row, n, sizeof(*row), sortable_cmp);
	in = leat_readings_open(paths, FILES_MAX, &err);
	assert_non_null(in);
	for (count = 0; leat_readings_next(in, &r, &err) == LEAT_READINGS_ROW; count++) {
		assert_true(count < n);
		assert_int_equal(r.time.sec, 1735689600 + row[count].time);
		assert_int_equal(r.source, row[count].file);
		assert_int_equal(r.line, row[count].line);
		snprintf(name, sizeof(name), "A%u", row[count].asset);
		unit_span(r.asset, name);
		unit_span(leat_readings_assets(in)->name[r.asset_id], name);
		snprintf(name, sizeof(name), "p%u", row[count].point);
		unit_span(r.point, name);
		unit_span(leat_readings_points(in)->name[r.point_id], name);
		assert_int_equal(leat_pairs_get(leat_readings_series(in), r.asset_id, r.point_id), r.series);
	}
	assert_int_equal(count, n);
	assert_int_equal(leat_readings_counted(in).rows, n);
	assert_int_equal(leat_readings_series(in)->count, 12);
	assert_string_equal(leat_readings_source(in, 3), paths[3]);
	close_texts(in, FILES_MAX);
	free(row);
}

static struct leat_span
copied(struct leat_readings *in, bool add)
{
	static struct leat_out out;
	static char text[4096];
	struct leat_reading r;
	struct leat_error err = { 0 };
	FILE *file = tmpfile();
	size_t n;

	assert_non_null(file);
	leat_out_init(&out, file);
	leat_readings_write_header(&out, in);
	while (leat_readings_next(in, &r, &err) == LEAT_READINGS_ROW) {
		leat_readings_copy(&out, in, &r);
		if (add) {
			r.point = LEAT_SPAN("p,2");
			r.value = LEAT_SPAN("9");
			leat_readings_add(&out, in, &r);
		}
	}
	assert_int_equal(leat_out_flush(&out), 0);
	rewind(file);
	n = fread(text, 1, sizeof(text), file);
	fclose(file);
	return leat_span_make(text, n);
}

static void
rows_are_copied_as_they_are(void **state)
{
	static const char *const text[] = {
		"time,asset,point,value,unit,quality,origin\r\n"
		"2025-02-03T05:05:06.500+01:00,NM,pressure, 0101.70,bar,good,x y\r\n"
		"2025-02-03T04:05:07Z,\"NM\",\"pressure\",1,\"a \"\"b\"\"\",good,\"x,y\"\r\n"
	};
	struct leat_error err;
	struct leat_readings *in = open_texts(text, 1, &err);

	(void)state;
	assert_non_null(in);
	unit_span(copied(in, true),
	    "time,asset,point,value,unit,quality,origin\n"
	    "2025-02-03T05:05:06.500+01:00,NM,pressure, 0101.70,bar,good,x y\n"
	    "2025-02-03T04:05:06.5Z,NM,\"p,2\",9,bar,good,\n"
	    "2025-02-03T04:05:07Z,NM,pressure,1,\"a \"\"b\"\"\",good,\"x,y\"\n"
	    "2025-02-03T04:05:07Z,NM,\"p,2\",9,\"a \"\"b\"\"\",good,\n");
	close_texts(in, 1);
}

static void
further_columns_are_united(void **state)
{
	static const char *const text[] = {
		HEADER "2025-02-03T04:05:06Z,NM,p,1,,good\n",
		"y,time,asset,point,value,unit,quality,\"a,b\"\nyy,2025-02-03T04:05:07Z,NM,p,2,,good,ab\n",
		"time,asset,point,value,unit,quality,y,\"a,b\"\n2025-02-03T04:05:08Z,NM,p,3,,good,Y,AB\n",
		"time,asset,point,value,unit,quality,\"a,b\",y\n2025-02-03T04:05:09Z,NM,p,4,,bad,BA,YY\n",
		"time,asset,point,value,unit,quality,y\n2025-02-03T04:05:10Z,NM,p,5,,uncertain,YYY\n"
	};
	struct leat_error err;
	struct leat_readings *in = open_texts(text, 5, &err);

	(void)state;
	assert_non_null(in);
	unit_span(copied(in, false),
	    "time,asset,point,value,unit,quality,y,\"a,b\"\n"
	    "2025-02-03T04:05:06Z,NM,p,1,,good,,\n"
	    "2025-02-03T04:05:07Z,NM,p,2,,good,yy,ab\n"
	    "2025-02-03T04:05:08Z,NM,p,3,,good,Y,AB\n"
	    "2025-02-03T04:05:09Z,NM,p,4,,bad,YY,BA\n"
	    "2025-02-03T04:05:10Z,NM,p,5,,uncertain,YYY,\n");
	close_texts(in, 5);
}

static void
header_alone(void **state)
{
	static const char *const text[] = { HEADER };
	static struct leat_out out;
	struct leat_error err;
	struct leat_readings *in = open_texts(text, 1, &err);
	struct leat_reading r = { .time = { 0, 0 }, .asset = LEAT_SPAN("NM"), .point = LEAT_SPAN("p"),
	    .value = LEAT_SPAN("on"), .quality = LEAT_GOOD };
	FILE *file = tmpfile();
	char got[200];
	size_t n;

	(void)state;
	assert_non_null(in);
	unit_span(copied(in, false), HEADER);
	close_texts(in, 1);
	/* Without an input there are no further columns. */
	assert_non_null(file);
	leat_out_init(&out, file);
	leat_readings_write_header(&out, NULL);
	leat_readings_add(&out, NULL, &r);
	assert_int_equal(leat_out_flush(&out), 0);
	rewind(file);
	n = fread(got, 1, sizeof(got), file);
	unit_span(leat_span_make(got, n), HEADER "1970-01-01T00:00:00Z,NM,p,on,,good\n");
	fclose(file);
}

/* Rows whose names never end, as when a number stands where a name is due, do not fill the memory. */
static void
names_have_a_bound(void **state)
{
	struct leat_buf text = { 0 };
	struct leat_readings *in;
	struct leat_error err = { 0 };
	struct leat_reading r;
	enum leat_readings_status status;
	long i, rows = 0;

	(void)state;
	assert_int_equal(leat_buf_printf(&text, HEADER), 0);
	for (i = 0; i < 70000; i++)
		assert_int_equal(leat_buf_printf(&text, "2025-01-01T00:00:00Z,NM,%ld,1,,good\n", i), 0);
	write_file(0, text.data, text.len);
	in = leat_readings_open(paths, 1, &err);
	assert_non_null(in);
	while ((status = leat_readings_next(in, &r, &err)) == LEAT_READINGS_ROW)
		rows++;
	assert_int_equal(status, LEAT_READINGS_FAILED);
	assert_int_equal(rows, 65536);
	assert_int_equal(err.line, 65538);
	assert_string_equal(err.text, "more than 65536 different pairs of asset and point: are columns mixed up?");
	close_texts(in, 1);
	leat_buf_free(&text);
}

static void
qualities(void **state)
{
	(void)state;
	assert_int_equal(leat_quality_find(LEAT_SPAN("good")), LEAT_GOOD);
	assert_int_equal(leat_quality_find(LEAT_SPAN("uncertain")), LEAT_UNCERTAIN);
	assert_int_equal(leat_quality_find(LEAT_SPAN("bad")), LEAT_BAD);
	assert_int_equal(leat_quality_find(LEAT_SPAN("")), -1);
	assert_int_equal(leat_quality_find(LEAT_SPAN("goof")), -1);
	assert_int_equal(leat_quality_find(LEAT_SPAN("goods")), -1);
	assert_string_equal(leat_quality_name(LEAT_GOOD), "good");
	assert_string_equal(leat_quality_name(LEAT_UNCERTAIN), "uncertain");
	assert_string_equal(leat_quality_name(LEAT_BAD), "bad");
	assert_true(LEAT_GOOD > LEAT_UNCERTAIN && LEAT_UNCERTAIN > LEAT_BAD);
}

/* Random rows of twelve series in three groups, the last half of each group of no use but as a sign. */
static char *
signs_text(uint64_t *seed, int minutes)
{
	static const char *const quality[] = { "good", "good", "good", "good", "uncertain", "bad" };
	char *text = malloc((size_t)minutes * 12 * 64 + 64), *end;

	assert_non_null(text);
	end = text + sprintf(text, HEADER);
	for (int m = 0; m < minutes; m++) {
		unsigned turn = random_below(seed, 20) == 0 ? random_below(seed, 12) : 0;

		for (unsigned i = 0; i < 12; i++) {
			unsigned series = (i + turn) % 12, kind = random_below(seed, 60);

			if (random_below(seed, 9) == 0)
				continue;
			end += sprintf(end, "2025-01-%02dT%02d:%02d:00Z,M%u,%s%u,%u,bar,%s\n", 1 + m / 1440, m / 60 % 24, m % 60, series / 4,
			    series % 4 < 2 ? "value" : "sign", series % 2, random_below(seed, 1000), quality[kind < 6 ? kind : 0]);
		}
	}
	return text;
}

/* What was handed out: every value, and of each group and instant a sign if there was any; what was copied: all. */
static void
check_signs(const char *const *text, size_t count, size_t least_passed)
{
	struct leat_time sign_at[3] = { LEAT_TIME_NONE, LEAT_TIME_NONE, LEAT_TIME_NONE };
	struct leat_readings *in[2];
	struct leat_reading r, s;
	struct leat_error err;
	struct leat_out out;
	struct leat_buf all = { 0 };
	char *copied;
	size_t size;
	FILE *file = open_memstream(&copied, &size);

	assert_non_null(file);
	leat_out_init(&out, file);
	in[0] = open_texts(text, count, &err);
	in[1] = leat_readings_open(paths, count, &err);
	assert_non_null(in[0]);
	assert_non_null(in[1]);
	leat_readings_pass_to(in[0], &out);
	while (leat_readings_next(in[1], &s, &err) == LEAT_READINGS_ROW) {
		bool sign = leat_span_starts(s.point, "sign");
		unsigned group = (unsigned)(s.asset.ptr[1] - '0');

		assert_int_equal(leat_readings_copy_to(&all, in[1], &s), 0);
		/* A sign that nobody needs may be handed out or not, which the line tells. */
		if (sign && s.quality != LEAT_BAD && leat_time_cmp(sign_at[group], s.time) == 0)
			continue;
		do {
			assert_int_equal(leat_readings_next(in[0], &r, &err), LEAT_READINGS_ROW);
			leat_readings_copy(&out, in[0], &r);
			if (leat_span_starts(r.point, "sign"))
				assert_int_equal(leat_readings_pass(in[0], &r, (uint32_t)(r.asset.ptr[1] - '0')), 0);
		} while (r.line != s.line || r.source != s.source);
		assert_int_equal(leat_time_cmp(r.time, s.time), 0);
		assert_true(leat_span_eq(r.asset, s.asset) && leat_span_eq(r.point, s.point) && leat_span_eq(r.value, s.value));
		if (sign && s.quality != LEAT_BAD)
			sign_at[group] = s.time;
	}
	while (leat_readings_next(in[0], &r, &err) == LEAT_READINGS_ROW)
		leat_readings_copy(&out, in[0], &r);
	assert_int_equal(leat_out_flush(&out), 0);
	assert_int_equal(size, all.len);
	assert_memory_equal(copied, all.data, size);
	assert_int_equal(leat_readings_counted(in[0]).rows, leat_readings_counted(in[1]).rows);
	assert_true(leat_readings_passed(in[0]) >= (long long)least_passed);
	assert_int_equal(leat_readings_passed(in[1]), 0);
	leat_readings_close(in[1]);
	close_texts(in[0], count);
	fclose(file);
	free(copied);
	leat_buf_free(&all);
}

static void
what_is_passed_over_is_copied_and_counted(void **state)
{
	uint64_t seed = 11;

	(void)state;
	for (int i = 0; i < 4; i++) {
		char *a = signs_text(&seed, 3000), *b = signs_text(&seed, 1500);

		check_signs(&(const char *){ a }, 1, 3000);
		check_signs((const char *[]){ a, b }, 2, 1000);
		check_signs((const char *[]){ b, a }, 2, 1000);
		free(a);
		free(b);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(one_file),
		cmocka_unit_test(foreign_forms_of_the_stream),
		cmocka_unit_test(bad_rows_are_rejected_one_by_one),
		cmocka_unit_test(cut_last_line),
		cmocka_unit_test(repeated_headers_are_skipped),
		cmocka_unit_test(time_going_back_stops),
		cmocka_unit_test(headers_that_are_none),
		cmocka_unit_test(equal_times_keep_the_order_of_files),
		cmocka_unit_test(many_files),
		cmocka_unit_test(rows_are_copied_as_they_are),
		cmocka_unit_test(further_columns_are_united),
		cmocka_unit_test(header_alone),
		cmocka_unit_test(names_have_a_bound),
		cmocka_unit_test(what_is_passed_over_is_copied_and_counted),
		cmocka_unit_test(qualities)
	};

	return cmocka_run_group_tests(tests, make_folder, remove_folder);
}
