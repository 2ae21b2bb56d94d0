/*
 * stream/export_shape.c and the rest of an open export: rows to samples, rejects, accounts.  The exports are those of
 * testdata/exports; other encodings and pipes are made from them here.
 *
 * Local times of Europe/Berlin around 2025-10-26 and 2025-03-30 are checked against the tz database (summer time
 * ended and began at 01:00 UTC on those days).
 */
#include <fcntl.h>
#include <sys/stat.h>
#include <sys/wait.h>

#include "random.h"
#include "stream/export.h"
#include "table_file.h"
#include "unit.h"

#define FOLDER "testdata/exports/"

/* Every line of an export as text: samples "tag|time|value[|quality][ unit][ cut][ guessed]", rejects "! line
 * text". */
static void
render(struct leat_export *ex, struct leat_buf *out)
{
	enum leat_export_status status;
	struct leat_error err = { .line = 0 };
	struct leat_sample s;
	char time[LEAT_TIME_MAX];

	while ((status = leat_export_next(ex, &s, &err)) > LEAT_EXPORT_END) {
		if (status == LEAT_EXPORT_BAD) {
			assert_true(leat_export_rejected(ex).len <= 4096);
			assert_int_equal(leat_buf_printf(out, "! %ld %s\n", err.line, err.text), 0);
			continue;
		}
		assert_true(s.value.len > 0 && s.tag.len > 0);
		assert_true(leat_span_eq(leat_export_tags(ex)->name[s.tag_id], s.tag));
		leat_time_write(time, s.time);
		assert_int_equal(leat_buf_printf(out, "%.*s|%s|%.*s", (int)s.tag.len, s.tag.ptr, time, (int)s.value.len,
		    s.value.ptr), 0);
		if (s.quality.len > 0)
			assert_int_equal(leat_buf_printf(out, "|%.*s", (int)s.quality.len, s.quality.ptr), 0);
		if (s.unit.len > 0)
			assert_int_equal(leat_buf_printf(out, " %.*s", (int)s.unit.len, s.unit.ptr), 0);
		assert_int_equal(leat_buf_printf(out, "%s%s\n", s.cut ? " cut" : "", s.guessed ? " guessed" : ""), 0);
	}
	if (status == LEAT_EXPORT_FAILED)
		assert_int_equal(leat_buf_printf(out, "failed: %s\n", err.text), 0);
	assert_int_equal(leat_buf_printf(out, "%s", ""), 0);
}

static void
balance(const struct leat_export *ex, const char *name)
{
	struct leat_export_count c = leat_export_counted(ex);

	if (c.lines != c.header + c.preamble + c.unit + c.data + c.footer + c.blank + c.rejected ||
	    c.cells != c.samples + c.blank_cells + c.rejected_cells)
		fail_msg("%s: the accounts do not balance", name);
}

static const struct shape_case {
	const char *file;
	const char *expected;
	long long header, preamble, unit, data, footer, blank, rejected;
	long long blank_cells, rejected_cells;
} shape_cases[] = {
	{ "good-wide-semicolon.csv",
	    "NM_P01|2025-01-31T22:58:00Z|101,7 bar\nNM_T01|2025-01-31T22:58:00Z|45,0 degC\nNM_RUN|2025-01-31T22:58:00Z|Ein\n"
	    "NM_P01|2025-01-31T22:59:00Z|1.101,9 bar\nNM_RUN|2025-01-31T22:59:00Z|Ein\n"
	    "NM_P01|2025-01-31T23:00:00Z|102,3 bar\nNM_T01|2025-01-31T23:00:00Z|45,2 degC\nNM_RUN|2025-01-31T23:00:00Z|Aus\n",
	    1, 2, 1, 3, 1, 2, 0, 1, 0 },
	{ "good-wide-quoted.csv",
	    "Grinding pressure\n[bar]|2025-02-03T03:05:06Z|101.5 bar\nDrain flow|2025-02-03T03:05:06Z|1.25\n"
	    "Note, shift|2025-02-03T03:05:06Z|a \"good\" hour\nGrinding pressure\n[bar]|2025-02-03T03:06:06Z|1,101.6 bar\n"
	    "Drain flow|2025-02-03T03:06:06Z|1.5\nNote, shift|2025-02-03T03:06:06Z|two\nlines, one cell\n",
	    2, 0, 0, 3, 0, 0, 0, 0, 0 },
	{ "good-wide-quality.csv",
	    "P1|2025-02-03T03:05:00Z|101,7|Good\nT1|2025-02-03T03:05:00Z|45,5|Good\n"
	    "P1|2025-02-03T03:06:00Z|101,8|Bad\nT1|2025-02-03T03:06:00Z|45,6|Good\n"
	    "P1|2025-02-03T03:07:00Z|101,9|Good\nT1|2025-02-03T03:07:00Z|45,7|Uncertain\n"
	    "T1|2025-02-03T03:08:00Z|45,7|Good\n"
	    "P1|2025-02-03T03:09:00Z|102,0\nT1|2025-02-03T03:09:00Z|45,8|Good\n",
	    1, 0, 0, 5, 0, 0, 0, 1, 0 },
	{ "good-wide-no-header.csv",
	    "c2|2025-02-03T03:05:00Z|1\nc3|2025-02-03T03:05:00Z|3.5\nc2|2025-02-03T03:06:00Z|2\nc3|2025-02-03T03:06:00Z|4\n",
	    0, 0, 0, 2, 0, 0, 0, 0, 0 },
	{ "good-description.csv",
	    "P1|2025-02-03T03:05:00Z|101.5 bar\nT1|2025-02-03T03:05:00Z|44.5 degC\nF1|2025-02-03T03:05:00Z|1.2 l/min\n"
	    "L1|2025-02-03T03:05:00Z|80 %\nP1|2025-02-03T03:06:00Z|101.6 bar\nT1|2025-02-03T03:06:00Z|44.5 degC\n"
	    "F1|2025-02-03T03:06:00Z|1.2 l/min\nL1|2025-02-03T03:06:00Z|80 %\n",
	    1, 0, 2, 2, 2, 0, 0, 0, 0 },
	{ "good-ragged.csv",
	    "P1|2025-02-03T03:05:00Z|101.5\nT1|2025-02-03T03:05:00Z|44.5\nF1|2025-02-03T03:05:00Z|1.2\n"
	    "P1|2025-02-03T03:06:00Z|101.6\nP1|2025-02-03T03:07:00Z|101.6\nT1|2025-02-03T03:07:00Z|44.5\n"
	    "P1|2025-02-03T03:08:00Z|101.6\nT1|2025-02-03T03:08:00Z|44.5\nF1|2025-02-03T03:08:00Z|1.3\n",
	    1, 0, 0, 4, 0, 0, 0, 3, 0 },
	{ "good-concatenated.csv",
	    "P1|2025-02-03T03:05:00Z|101,5 bar\nT1|2025-02-03T03:05:00Z|44,5 degC\nP1|2025-02-03T03:06:00Z|101,6 bar\n"
	    "T1|2025-02-03T03:06:00Z|44,6 degC\nP1|2025-02-03T03:07:00Z|101,5 bar\nT1|2025-02-03T03:07:00Z|44,5 degC\n"
	    "P1|2025-02-03T03:08:00Z|101,6 bar\n",
	    2, 2, 2, 4, 2, 0, 0, 1, 0 },
	{ "good-odd-lines.csv",
	    "P1|2025-02-03T03:05:00Z|1.5\nP1|2025-02-03T03:05:00Z|2.5\nP1|2025-02-03T03:06:00Z|1.5\n"
	    "P1|2025-02-03T03:06:00Z|2.5\n",
	    1, 1, 1, 2, 1, 1, 0, 0, 0 },
	{ "good-long-quality.csv",
	    "A.P1|2025-02-03T04:05:06Z|101.5|192\nA.T1|2025-02-03T04:05:06Z|45.5|192\nA.P1|2025-02-03T04:06:06Z|101.6|192\n"
	    "A.T1|2025-02-03T04:06:06Z|45.6|0\n",
	    1, 0, 0, 4, 0, 0, 0, 0, 0 },
	{ "good-long-words.csv",
	    "NM-P1|2025-02-03T03:05:00Z|101.5|Good bar\nNM-T1|2025-02-03T03:05:00Z|44.5|Good \302\260C\n"
	    "NM-P1|2025-02-03T03:06:00Z|101.7|Good bar\nNM-P1|2025-02-03T03:07:00Z|101.6|Uncertain bar\n",
	    1, 0, 0, 5, 0, 0, 0, 1, 0 },
	{ "good-long-no-header.csv",
	    "P1|2025-02-03T03:05:00Z|101.5\nP2|2025-02-03T03:05:00Z|98.25\nP1|2025-02-03T03:06:00Z|101.4\n"
	    "P2|2025-02-03T03:06:00Z|98.5\n",
	    0, 0, 0, 4, 0, 0, 0, 0, 0 },
	{ "good-long-blocks.csv",
	    "NM/P1|2025-02-03T03:05:00Z|101,5\nNM/P1|2025-02-03T03:06:00Z|101,6\nNM/P1|2025-02-03T03:07:00Z|101,8\n"
	    "NM/T1|2025-02-03T03:05:00Z|44,5\nNM/T1|2025-02-03T03:06:00Z|44,6\nNM/RUN|2025-02-03T03:05:30Z|Running\n",
	    1, 0, 0, 6, 0, 0, 0, 0, 0 },
	{ "good-paired.csv",
	    "NM P1 [bar]|2025-02-03T03:05:00Z|101,5 bar\nNM T1 [degC]|2025-02-03T03:00:00Z|44,5 degC\n"
	    "NM P1 [bar]|2025-02-03T03:06:00Z|101,6 bar\nNM T1 [degC]|2025-02-03T03:10:00Z|44,6 degC\n"
	    "NM P1 [bar]|2025-02-03T03:07:00Z|101,8 bar\n",
	    1, 0, 0, 3, 0, 0, 0, 1, 0 },
	{ "good-paired-tags-above.csv",
	    "NM-P1|2025-02-13T12:05:00Z|1.5\nNM-T1|2025-02-13T12:06:00Z|2.5\nNM-P1|2025-02-13T12:07:00Z|1.6\n"
	    "! 6 not a time of the form found (mdy)\nNM-T1|2025-02-13T12:09:00Z|3\n",
	    1, 1, 0, 4, 0, 0, 0, 3, 1 },
	{ "good-paired-time-title.csv",
	    "P1|2025-02-03T03:05:00Z|101.5\nT1|2025-02-03T03:00:00Z|44.5\nP1|2025-02-03T03:06:00Z|101.6\n"
	    "T1|2025-02-03T03:10:00Z|44.6\n",
	    1, 0, 0, 2, 0, 0, 0, 0, 0 },
	{ "good-two-columns.csv",
	    "P1|2025-02-03T22:58:00Z|101,5\nT1|2025-02-03T22:58:00Z|44,5\nP1|2025-02-03T22:59:00Z|101,6\n"
	    "T1|2025-02-03T22:59:00Z|44,5\nP1|2025-02-03T23:00:00Z|101,6\nT1|2025-02-03T23:00:00Z|44,5\n"
	    "P1|2025-02-03T23:01:00Z|101,7\nT1|2025-02-03T23:01:00Z|44,6\n",
	    1, 0, 0, 4, 0, 0, 0, 0, 0 },
	{ "good-autumn.csv",
	    "P1|2025-10-25T23:30:00Z|1,5\nP1|2025-10-26T00:00:00Z|2,5\nP1|2025-10-26T00:30:00Z|3,5\n"
	    "P1|2025-10-26T01:00:00Z|4,5\nP1|2025-10-26T01:30:00Z|5,5\nP1|2025-10-26T02:00:00Z|6,5\n",
	    1, 0, 0, 6, 0, 0, 0, 0, 0 },
	{ "bad-spring.csv",
	    "P1|2025-03-30T00:59:00Z|1,5\n! 3 a local time that never was: the clocks were put forward\n"
	    "P1|2025-03-30T01:00:00Z|3,5\n",
	    1, 0, 0, 2, 0, 0, 1, 0, 0 },
	{ "bad-rows.csv",
	    "P1|2025-02-03T03:05:00Z|1.5\nT1|2025-02-03T03:05:00Z|2.5\n! 3 more cells than the 3 columns\n"
	    "! 4 too few cells: 2 of 3\n! 5 a line without a time among the data\nP1|2025-02-03T03:08:00Z|1.5\n"
	    "T1|2025-02-03T03:08:00Z|2.5\n! 7 not a time of the form found (iso)\n! 8 no time\n"
	    "! 9 the quote that begins in this line does not end\nP1|2025-02-03T03:10:00Z|1.5\nT1|2025-02-03T03:10:00Z|2.5\n",
	    1, 0, 0, 3, 0, 0, 6, 0, 0 },
	{ "bad-cut-cell.csv",
	    "P1|2025-02-03T03:05:00Z|101.7\nT1|2025-02-03T03:05:00Z|44.5\nP1|2025-02-03T03:06:00Z|101.7\n"
	    "T1|2025-02-03T03:06:00Z|4 cut\n",
	    1, 0, 0, 2, 0, 0, 0, 0, 0 },
	{ "bad-cut-line.csv",
	    "P1|2025-02-03T03:05:00Z|101.7\nT1|2025-02-03T03:05:00Z|44.5\n! 3 too few cells: 2 of 3, the last line is cut\n",
	    1, 0, 0, 1, 0, 0, 1, 0, 0 },
	{ "bad-cut-time.csv",
	    "P1|2025-02-03T03:05:00Z|101.7\n! 3 the last line is cut in its time or tag\n",
	    1, 0, 0, 1, 0, 0, 1, 0, 0 },
};

static struct leat_export *
open_file(const char *path, const struct leat_zone *zone, struct leat_export_form *form)
{
	struct leat_error err = { .line = 0 };
	struct leat_export *ex;
	char text[1024];

	*form = (struct leat_export_form){ .encoding = LEAT_ENCODING_AUTO, .zone = zone };
	ex = leat_export_open(path, form, LEAT_TIME_NONE, "/tmp", &err);
	if (ex == NULL)
		fail_msg("%s", leat_error_format(&err, text, sizeof(text)));
	return ex;
}

static void
test_shapes(void **state)
{
	struct leat_zone *zone = leat_zone_open(LEAT_SPAN("Europe/Berlin"), NULL);
	size_t i;

	(void)state;
	assert_non_null(zone);
	for (i = 0; i < sizeof(shape_cases) / sizeof(shape_cases[0]); i++) {
		const struct shape_case *c = &shape_cases[i];
		struct leat_export_form form;
		struct leat_buf out = { NULL, 0, 0, 0 };
		struct leat_export_count n;
		struct leat_export *ex;
		char path[128];

		snprintf(path, sizeof(path), FOLDER "%s", c->file);
		ex = open_file(path, zone, &form);
		render(ex, &out);
		if (!leat_span_is(leat_buf_span(&out), c->expected))
			fail_msg("%s:\n%.*s", c->file, (int)out.len, out.data);
		balance(ex, c->file);
		n = leat_export_counted(ex);
		if (n.header != c->header || n.preamble != c->preamble || n.unit != c->unit || n.data != c->data ||
		    n.footer != c->footer || n.blank != c->blank || n.rejected != c->rejected ||
		    n.blank_cells != c->blank_cells || n.rejected_cells != c->rejected_cells)
			fail_msg("%s: accounts: header %lld preamble %lld unit %lld data %lld footer %lld blank %lld "
			    "rejected %lld, blank cells %lld, rejected cells %lld", c->file, n.header, n.preamble, n.unit,
			    n.data, n.footer, n.blank, n.rejected, n.blank_cells, n.rejected_cells);
		leat_buf_free(&out);
		leat_export_close(ex);
	}
	leat_zone_free(zone);
}

static char *
slurp(const char *path, size_t *len)
{
	FILE *f = fopen(path, "rb");
	char *bytes = malloc(65536);

	assert_non_null(f);
	assert_non_null(bytes);
	*len = fread(bytes, 1, 65536, f);
	fclose(f);
	return bytes;
}

/* The same samples from UTF-16 of both kinds, from Windows-1252 and with CRLF. */
static void
test_encodings(void **state)
{
	static const struct {
		const char *name;
		enum leat_encoding encoding;
	} cases[] = {
		{ "little end first", LEAT_ENCODING_UTF16LE },
		{ "big end first", LEAT_ENCODING_UTF16BE },
		{ "one byte", LEAT_ENCODING_CP1252 },
	};
	struct leat_zone *zone = leat_zone_open(LEAT_SPAN("Europe/Berlin"), NULL);
	struct leat_export_form form;
	struct leat_buf expected = { NULL, 0, 0, 0 };
	struct leat_export *ex = open_file(FOLDER "good-long-words.csv", zone, &form);
	size_t len, i, j;
	char *bytes = slurp(FOLDER "good-long-words.csv", &len);

	(void)state;
	render(ex, &expected);
	leat_export_close(ex);
	for (i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct leat_buf coded = { NULL, 0, 0, 0 };
		struct leat_buf out = { NULL, 0, 0, 0 };
		struct table_file f;

		for (j = 0; j < len; j++) {
			unsigned code = (unsigned char)bytes[j];
			char two[2];

			/* The only other character is the degree sign. */
			if (code == 0xC2)
				code = (unsigned char)bytes[++j];
			two[0] = (char)(cases[i].encoding == LEAT_ENCODING_UTF16BE ? 0 : code);
			two[1] = (char)(cases[i].encoding == LEAT_ENCODING_UTF16BE ? code : 0);
			if (code == '\n' && cases[i].encoding == LEAT_ENCODING_CP1252)
				assert_int_equal(leat_buf_add(&coded, "\r", 1), 0);
			assert_int_equal(leat_buf_add(&coded, two, cases[i].encoding == LEAT_ENCODING_CP1252 ? 1 : 2), 0);
		}
		f = table_file_bytes(coded.data, coded.len);
		ex = open_file(f.path, zone, &form);
		assert_int_equal(form.encoding, cases[i].encoding);
		render(ex, &out);
		unit_span(leat_buf_span(&out), expected.data);
		balance(ex, cases[i].name);
		leat_export_close(ex);
		table_file_drop(&f);
		leat_buf_free(&out);
		leat_buf_free(&coded);
	}
	leat_buf_free(&expected);
	free(bytes);
	leat_zone_free(zone);
}

/* Writes rows of an export into a pipe from a process of its own. */
static pid_t
write_pipe(const char *path, int rows)
{
	pid_t pid;
	FILE *f;
	int i;

	assert_int_equal(mkfifo(path, 0600), 0);
	pid = fork();
	assert_true(pid >= 0);
	if (pid > 0)
		return pid;
	f = fopen(path, "w");
	fprintf(f, "t;a\n");
	for (i = 0; i < rows; i++)
		fprintf(f, "%d;%d,5\n", 1738555506 + i, i % 100);
	_exit(fclose(f) == 0 ? 0 : 1);
}

/* A pipe is read as often as needed: a short one from memory, a long one from a file that leaves no name behind. */
static void
test_pipe(void **state)
{
	static const int rows[] = { 10, 200000 };
	char folder[] = "/tmp/leat-pipe-XXXXXX";
	char path[64];
	size_t i;

	(void)state;
	assert_non_null(mkdtemp(folder));
	snprintf(path, sizeof(path), "%s/pipe", folder);
	for (i = 0; i < 2; i++) {
		struct leat_export_form form = { .encoding = LEAT_ENCODING_AUTO };
		struct leat_error err = { .line = 0 };
		struct leat_sample s;
		struct leat_export *ex;
		pid_t pid = write_pipe(path, rows[i]);
		int status;

		ex = leat_export_open(path, &form, LEAT_TIME_NONE, folder, &err);
		assert_int_equal(waitpid(pid, &status, 0), pid);
		assert_int_equal(status, 0);
		assert_int_equal(unlink(path), 0);
		/* Only an empty folder can be removed. */
		assert_int_equal(rmdir(folder), 0);
		assert_int_equal(mkdir(folder, 0700), 0);
		assert_non_null(ex);
		assert_true(form.in_order);
		while (leat_export_next(ex, &s, &err) == LEAT_EXPORT_SAMPLE)
			continue;
		assert_int_equal(leat_export_counted(ex).samples, rows[i]);
		balance(ex, "pipe");
		leat_export_close(ex);
	}
	assert_int_equal(rmdir(folder), 0);
}

/* Stamps beyond now and a day are clock faults, and do not count against the order. */
static void
test_future(void **state)
{
	struct table_file f = table_file_text("t,a\n2025-02-03T00:00:00Z,1\n2025-02-04T00:00:01Z,2\n2025-02-04T00:00:00Z,3\n");
	struct leat_export_form form = { .encoding = LEAT_ENCODING_AUTO };
	struct leat_buf out = { NULL, 0, 0, 0 };
	struct leat_error err = { .line = 0 };
	struct leat_export *ex;

	(void)state;
	ex = leat_export_open(f.path, &form, (struct leat_time){ 1738540800, 0 }, "/tmp", &err);
	assert_non_null(ex);
	assert_true(form.in_order);
	render(ex, &out);
	unit_span(leat_buf_span(&out), "a|2025-02-03T00:00:00Z|1\n"
	    "! 3 clock fault: the time lies more than a day in the future\na|2025-02-04T00:00:00Z|3\n");
	assert_int_equal(leat_export_counted(ex).future, 1);
	leat_export_close(ex);
	leat_buf_free(&out);
	table_file_drop(&f);
}

/* What is odd about the columns is said. */
static void
test_oddities(void **state)
{
	static const struct {
		const char *text;
		const char *shape;
	} cases[] = {
		{ "2025-02-03T04:05:00Z,1\n", "shape wide: times in 'column 1', values in 1 column, no header, so columns are "
		    "named by their place (c2);" },
		{ "t,,A\n2025-02-03T04:05:00Z,1,2\n", "shape wide: times in 't', values in 2 columns, those without a name are "
		    "named by their place (c2);" },
		{ "t,A,A\n2025-02-03T04:05:00Z,1,2\n", "shape wide: times in 't', values in 2 columns, 1 with the name of "
		    "another;" },
		{ "from,to,A\n2025-02-03T04:05:00Z,2025-02-03T04:06:00Z,2\n", "shape wide: times in 'from', values in 1 "
		    "column, 1 other column left out;" },
	};
	size_t i;

	(void)state;
	for (i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct table_file f = table_file_text(cases[i].text);
		struct leat_export_form form;

		leat_export_close(open_file(f.path, NULL, &form));
		if (strstr(form.evidence, cases[i].shape) == NULL)
			fail_msg("'%s', expected '%s'", form.evidence, cases[i].shape);
		table_file_drop(&f);
	}
}

/* In the hour that comes twice each tag of a long shape has a sequence of its own. */
static void
test_twice(void **state)
{
	struct leat_zone *zone = leat_zone_open(LEAT_SPAN("Europe/Berlin"), NULL);
	struct table_file f = table_file_text("tag,t,v\n"
	    "A1,2025-10-26 02:30:00,1\nA1,2025-10-26 02:10:00,2\nB1,2025-10-26 02:30:00,3\nB1,2025-10-26 02:10:00,4\n");
	struct leat_export_form form = { .encoding = LEAT_ENCODING_AUTO, .zone = zone, .shape = LEAT_SHAPE_LONG };
	struct leat_buf out = { NULL, 0, 0, 0 };
	struct leat_error err = { .line = 0 };
	struct leat_export *ex = leat_export_open(f.path, &form, LEAT_TIME_NONE, "/tmp", &err);

	(void)state;
	assert_non_null(ex);
	assert_false(form.in_order);
	render(ex, &out);
	unit_span(leat_buf_span(&out), "A1|2025-10-26T00:30:00Z|1 guessed\nA1|2025-10-26T01:10:00Z|2\n"
	    "B1|2025-10-26T00:30:00Z|3 guessed\nB1|2025-10-26T01:10:00Z|4\n");
	assert_int_equal(leat_export_counted(ex).guessed, 2);
	leat_export_close(ex);
	leat_buf_free(&out);
	table_file_drop(&f);
	leat_zone_free(zone);
}

static const struct order_case {
	const char *name;
	const char *text;
	bool in_order;
} order_cases[] = {
	{ "forward", "t,a\n1738555506,1\n1738555507,2\n", true },
	{ "standing still", "t,a\n1738555506,1\n1738555506,2\n", true },
	{ "back", "t,a\n1738555506,1\n1738555505,2\n", false },
	{ "back in the last line, which has no end", "t,a\n1738555506,1\n1738555506,2\n1738555505,2", false },
	{ "back behind a quote", "t,a\n1738555506,1\n\"1738555505\",2\n", false },
	{ "forward behind a quote", "t,a\n1738555506,1\n1738555507,\"a\n1\"\n1738555508,2\n", true },
	{ "over two summers", "t,a\n2025-10-26 02:30,1\n2025-10-26 02:59,1\n2025-10-26 02:00,1\n2025-10-26 03:00,1\n", true },
	{ "pairs abreast", "t,A,t,B\n1738555506,1,1738555506,1\n1738555507,1,1738555507,1\n", true },
	{ "pairs apart", "t,A,t,B\n1738555506,1,1738555507,1\n1738555506,1,1738555507,1\n", false },
	{ "no time in between", "t,a\n1738555506,1\nlost,1\n1738555507,2\n", true },
};

static void
test_order(void **state)
{
	struct leat_zone *zone = leat_zone_open(LEAT_SPAN("Europe/Berlin"), NULL);
	size_t i;

	(void)state;
	for (i = 0; i < sizeof(order_cases) / sizeof(order_cases[0]); i++) {
		struct table_file f = table_file_text(order_cases[i].text);
		struct leat_export_form form;

		leat_export_close(open_file(f.path, zone, &form));
		if (form.in_order != order_cases[i].in_order)
			fail_msg("%s", order_cases[i].name);
		table_file_drop(&f);
	}
	leat_zone_free(zone);
}

/* Changes an export at random: bytes changed, taken out, put in, lines doubled, the end cut off. */
static void
mutate(struct leat_buf *text, uint64_t *seed)
{
	static const char bytes[] = "0123456789,;\t|.\"\n\r :-/aZ\0\303<";
	size_t changes = 1 + random_below(seed, 6);
	size_t at, n;

	while (changes-- > 0 && text->len > 4) {
		at = random_below(seed, (unsigned)text->len);
		switch (random_below(seed, 5)) {
		case 0:
			text->data[at] = bytes[random_below(seed, sizeof(bytes) - 1)];
			break;
		case 1:
			n = 1 + random_below(seed, 20);
			if (n > text->len - at)
				n = text->len - at;
			memmove(text->data + at, text->data + at + n, text->len - at - n);
			text->len -= n;
			break;
		case 2:
			assert_int_equal(leat_buf_reserve(text, 1), 0);
			memmove(text->data + at + 1, text->data + at, text->len - at);
			text->data[at] = bytes[random_below(seed, sizeof(bytes) - 1)];
			text->len++;
			break;
		case 3:
			n = random_below(seed, (unsigned)(text->len - at));
			assert_int_equal(leat_buf_reserve(text, n), 0);
			memcpy(text->data + text->len, text->data + at, n);
			text->len += n;
			break;
		default:
			text->len -= random_below(seed, (unsigned)(text->len / 4));
			break;
		}
	}
}

/* Whatever is done to an export: the accounts balance, and the order was foreseen.  Only where a header came again
 * and was changed is the export not read to its end. */
static void
test_mutations(void **state)
{
	struct leat_zone *zone = leat_zone_open(LEAT_SPAN("Europe/Berlin"), NULL);
	uint64_t seed = 20250203;
	size_t i, round, len;
	int opened = 0, stopped = 0;

	(void)state;
	for (i = 0; i < sizeof(shape_cases) / sizeof(shape_cases[0]); i++) {
		char path[128];
		char *bytes;

		snprintf(path, sizeof(path), FOLDER "%s", shape_cases[i].file);
		bytes = slurp(path, &len);
		for (round = 0; round < 200; round++) {
			struct leat_export_form form = { .encoding = LEAT_ENCODING_AUTO, .zone = zone };
			struct leat_buf text = { NULL, 0, 0, 0 };
			struct leat_error err = { .line = 0 };
			struct leat_time last = LEAT_TIME_NONE;
			enum leat_export_status status;
			struct leat_sample s;
			struct leat_export *ex;
			struct table_file f;

			assert_int_equal(leat_buf_add(&text, bytes, len), 0);
			mutate(&text, &seed);
			f = table_file_bytes(text.data, text.len);
			ex = leat_export_open(f.path, &form, LEAT_TIME_NONE, "/tmp", &err);
			opened += ex != NULL;
			while (ex != NULL && (status = leat_export_next(ex, &s, &err)) != LEAT_EXPORT_END) {
				if (status == LEAT_EXPORT_FAILED) {
					assert_non_null(strstr(err.text, "give each export as a FILE of its own"));
					leat_export_close(ex);
					ex = NULL;
					stopped++;
					break;
				}
				if (status != LEAT_EXPORT_SAMPLE)
					continue;
				if (form.in_order && !leat_time_is_none(last) && leat_time_cmp(s.time, last) < 0)
					fail_msg("%.*s\ngoes back in line %ld", (int)text.len, text.data, s.line);
				last = s.time;
			}
			if (ex != NULL)
				balance(ex, text.data);
			leat_export_close(ex);
			table_file_drop(&f);
			leat_buf_free(&text);
		}
		free(bytes);
	}
	/* Most mutations leave an export that can still be read. */
	assert_true(opened > 2000);
	assert_true(stopped < opened / 20);
	leat_zone_free(zone);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_shapes),
		cmocka_unit_test(test_encodings),
		cmocka_unit_test(test_pipe),
		cmocka_unit_test(test_future),
		cmocka_unit_test(test_oddities),
		cmocka_unit_test(test_twice),
		cmocka_unit_test(test_order),
		cmocka_unit_test(test_mutations),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
