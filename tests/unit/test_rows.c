/*
 * CSV rows: lib/stream/rows.c, rows_split.c and columns.c.
 *
 * What a case must give is written as one line: each record as its line number and [field|field], a bad one as its line
 * number and '!' with the first words of the reason.  "+N" tells that it spans N lines, "~" that no line end followed.
 */
#include "unit.h"

#include <sys/resource.h>
#include <unistd.h>
#include <zlib.h>

#include "stream/out.h"
#include "stream/rows.h"

static struct leat_rows *
open_text(const char *text, size_t len, char separator)
{
	struct leat_error err = { 0 };
	struct leat_input *in = leat_input_memory("mem", text, len, LEAT_ENCODING_RAW, &err);
	struct leat_rows *rows;

	assert_non_null(in);
	rows = leat_rows_open(in, separator, &err);
	assert_non_null(rows);
	return rows;
}

/* Writes the rows as told above.  The first skip records are left out and line numbers are counted from the line after
 * them. */
static void
show(struct leat_rows *rows, struct leat_buf *shown, long skip)
{
	enum leat_rows_status status;
	struct leat_error err = { 0 };
	struct leat_row row;
	size_t i;
	long n;

	leat_buf_reset(shown);
	for (n = 0; (status = leat_rows_next(rows, &row, &err)) > LEAT_ROWS_END; n++) {
		if (n < skip)
			continue;
		assert_int_equal(leat_buf_printf(shown, "%s%ld", n > skip ? " " : "", row.line - skip), 0);
		if (row.lines > 1)
			assert_int_equal(leat_buf_printf(shown, "+%ld", row.lines), 0);
		if (status == LEAT_ROWS_BAD) {
			/* One word is enough to tell the reasons apart. */
			assert_int_equal(err.line, row.line);
			assert_string_equal(err.file, "mem");
			assert_int_equal(leat_buf_printf(shown, "!%s", strncmp(err.text, "stray quote", 11) == 0 ? "stray" :
			    strncmp(err.text, "the quote", 9) == 0 ? "unended" : strncmp(err.text, "NUL", 3) == 0 ? "nul" :
			    strncmp(err.text, "stray carriage", 14) == 0 ? "cr" :
			    strncmp(err.text, "the line is longer", 18) == 0 ? "long" :
			    strncmp(err.text, "too many", 8) == 0 ? "many" : err.text), 0);
		} else {
			assert_true(row.count >= 1);
			for (i = 0; i < row.count; i++) {
				assert_int_equal(leat_buf_printf(shown, "%c", i == 0 ? '[' : '|'), 0);
				assert_int_equal(leat_buf_add_span(shown, row.field[i]), 0);
			}
			assert_int_equal(leat_buf_printf(shown, "]"), 0);
		}
		if (row.unended)
			assert_int_equal(leat_buf_printf(shown, "~"), 0);
	}
	assert_int_equal(status, LEAT_ROWS_END);
}

#define TEXT(lit) (lit), sizeof(lit) - 1

static const struct {
	const char *name;
	const char *text;
	size_t len;
	const char *shown;
} cases[] = {
	{ "empty", TEXT(""), "" },
	{ "one row", TEXT("a,b\n"), "1[a|b]" },
	{ "no last line end", TEXT("a,b\nc,d"), "1[a|b] 2[c|d]~" },
	{ "crlf", TEXT("a,b\r\nc,d\r\n"), "1[a|b] 2[c|d]" },
	{ "crlf and lf", TEXT("a\r\nb\nc\r\n"), "1[a] 2[b] 3[c]" },
	{ "cr at the end", TEXT("a\r\nb\r"), "1[a] 2[b]~" },
	{ "empty fields", TEXT(",\n,,\nx,,\n"), "1[|] 2[||] 3[x||]" },
	{ "blank lines are counted", TEXT("\n\r\na\n\n\nb\n\n"), "3[a] 6[b]" },
	{ "blanks are data", TEXT(" a , b\t\n\t\n \n"), "1[ a | b\t] 2[\t] 3[ ]" },
	{ "one empty quoted field", TEXT("\"\"\n"), "1[]" },
	{ "quoted", TEXT("\"a\",\"b\"\n"), "1[a|b]" },
	{ "quoted separator", TEXT("\"a,b\",c\n"), "1[a,b|c]" },
	{ "doubled quotes", TEXT("\"a \"\"b\"\" c\",\"\"\"\"\n"), "1[a \"b\" c|\"]" },
	{ "quoted blanks stay", TEXT("\" a \",x\n"), "1[ a |x]" },
	{ "lf in quotes", TEXT("\"a\nb\",c\nd\n"), "1+2[a\nb|c] 3[d]" },
	{ "crlf in quotes", TEXT("\"a\r\nb\",c\r\nd\r\n"), "1+2[a\r\nb|c] 3[d]" },
	{ "blank lines in quotes", TEXT("\"\n\n\"\nd\n"), "1+3[\n\n] 4[d]" },
	{ "cr in quotes", TEXT("\"a\rb\",c\n"), "1[a\rb|c]" },
	{ "quote last, no line end", TEXT("a,\"b\""), "1[a|b]~" },
	{ "quote, cr at the end", TEXT("a,\"b\"\r"), "1[a|b]~" },
	{ "utf-8", TEXT("\xC3\xA4,\"\xE2\x82\xAC\"\n"), "1[\xC3\xA4|\xE2\x82\xAC]" },
	{ "not utf-8", TEXT("\xB0" "C,\xFF\n"), "1[\xB0" "C|\xFF]" },
	{ "stray quote in a bare field", TEXT("a,b\"c\nd,e\n"), "1!stray 2[d|e]" },
	{ "stray quotes around a word", TEXT("a,b \"c\" d\ne\n"), "1!stray 2[e]" },
	{ "blank before a quote", TEXT("a, \"b\"\nc\n"), "1!stray 2[c]" },
	{ "blank after a quote", TEXT("\"a\" ,b\nc\n"), "1!stray 2[c]" },
	{ "text after a quote", TEXT("\"a\"b,c\nd\n"), "1!stray 2[d]" },
	{ "stray quote, no line end", TEXT("x\na\"b"), "1[x] 2!stray~" },
	{ "unended quote", TEXT("a,\"b\nc,d\ne,f\n"), "1!unended 2[c|d] 3[e|f]" },
	{ "unended quote in the last line", TEXT("a,b\nc,\"d\n"), "1[a|b] 2!unended" },
	{ "unended quote, no line end", TEXT("a,b\nc,\"d"), "1[a|b] 2!unended~" },
	{ "only a quote", TEXT("\""), "1!unended~" },
	{ "only a quote and a line end", TEXT("\"\n"), "1!unended" },
	{ "unended before quoted rows", TEXT("a,\"b\n\"c\",d\n\"e\",f\n"), "1!unended 2[c|d] 3[e|f]" },
	{ "two unended quotes", TEXT("a,\"b\nc\nd,\"e\nf\n"), "1!unended 2[c] 3!unended 4[f]" },
	{ "quote opened in a second line", TEXT("\"a\nb\",\"c\nd\n"), "1!unended 2!stray 3[d]" },
	{ "odd run of quotes", TEXT("\"\"\"\nx\n"), "1!unended 2[x]" },
	{ "nul", TEXT("a,\0b\nc\n"), "1!nul 2[c]" },
	{ "nul in quotes", TEXT("\"a\n\0\",b\nc\n"), "1+2!nul 3[c]" },
	{ "nul alone", TEXT("\0"), "1!nul~" },
	{ "stray cr", TEXT("a\rb,c\nd\n"), "1!cr 2[d]" },
	{ "cr cr lf", TEXT("a,b\r\r\nc\n"), "1!cr 2[c]" },
	{ "stray cr beside quotes", TEXT("\"a\"\r,b\nc\n"), "1!cr 2[c]" },
	{ "cr only line ends", TEXT("a,b\rc,d\r"), "1!cr~" },
	{ "other control bytes are data", TEXT("\x01,\x1F,\x7F!\n"), "1[\x01|\x1F|\x7F!]" }
};

static void
named_cases(void **state)
{
	struct leat_buf shown = { 0 };
	struct leat_rows *rows;
	size_t i;

	(void)state;
	for (i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		rows = open_text(cases[i].text, cases[i].len, ',');
		show(rows, &shown, 0);
		leat_rows_close(rows);
		if (!leat_span_is(leat_buf_span(&shown), cases[i].shown))
			print_error("case '%s'\n", cases[i].name);
		unit_span(leat_buf_span(&shown), cases[i].shown);
	}
	leat_buf_free(&shown);
}

/* Every case again behind a line so long that the end of the first buffer falls on each of its bytes. */
static void
named_cases_across_buffers(void **state)
{
	struct leat_buf text = { 0 }, shown = { 0 };
	struct leat_rows *rows;
	size_t i, shift;

	(void)state;
	assert_int_equal(leat_buf_reserve(&text, 66000), 0);
	for (i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		for (shift = 0; shift <= cases[i].len + 1; shift++) {
			memset(text.data, 'x', 65536);
			text.len = 65536 - shift;
			text.data[text.len++] = '\n';
			assert_int_equal(leat_buf_add(&text, cases[i].text, cases[i].len), 0);
			rows = open_text(text.data, text.len, ',');
			show(rows, &shown, 1);
			leat_rows_close(rows);
			if (!leat_span_is(leat_buf_span(&shown), cases[i].shown))
				print_error("case '%s', shift %zu\n", cases[i].name, shift);
			unit_span(leat_buf_span(&shown), cases[i].shown);
		}
	}
	leat_buf_free(&text);
	leat_buf_free(&shown);
}

static void
other_separators(void **state)
{
	struct leat_buf shown = { 0 };
	struct leat_rows *rows;

	(void)state;
	rows = open_text(TEXT("a;1,5;\"x;y\"\n"), ';');
	show(rows, &shown, 0);
	unit_span(leat_buf_span(&shown), "1[a|1,5|x;y]");
	leat_rows_close(rows);
	rows = open_text(TEXT("\ta b\t c\t\"d\te\"\t\n\t\n"), '\t');
	show(rows, &shown, 0);
	unit_span(leat_buf_span(&shown), "1[|a b| c|d\te|] 2[|]");
	leat_rows_close(rows);
	rows = open_text(TEXT("a|b c\n"), '|');
	show(rows, &shown, 0);
	unit_span(leat_buf_span(&shown), "1[a|b c]");
	leat_rows_close(rows);
	leat_buf_free(&shown);
}

static void
what_a_row_tells(void **state)
{
	struct leat_rows *rows = open_text(TEXT("\na,b\r\n\"c\nd\",\"e\"\r\n\nlast"), ',');
	struct leat_error err = { 0 };
	struct leat_row row;

	(void)state;
	assert_string_equal(leat_rows_name(rows), "mem");
	assert_int_equal(leat_input_encoding(leat_rows_input(rows)), LEAT_ENCODING_RAW);
	assert_int_equal(leat_rows_next(rows, &row, &err), LEAT_ROWS_ROW);
	unit_span(row.raw, "a,b");
	assert_false(row.quoted);
	assert_false(row.unended);
	assert_int_equal(row.lines, 1);
	assert_int_equal(leat_rows_blank(rows), 1);
	assert_int_equal(leat_rows_lines(rows), 2);
	assert_int_equal(leat_rows_next(rows, &row, &err), LEAT_ROWS_ROW);
	unit_span(row.raw, "\"c\nd\",\"e\"");
	assert_true(row.quoted);
	assert_int_equal(row.lines, 2);
	assert_int_equal(leat_rows_lines(rows), 4);
	assert_int_equal(leat_rows_next(rows, &row, &err), LEAT_ROWS_ROW);
	unit_span(row.raw, "last");
	assert_true(row.unended);
	assert_false(row.quoted);
	assert_int_equal(leat_rows_blank(rows), 2);
	assert_int_equal(leat_rows_lines(rows), 6);
	assert_int_equal(leat_rows_next(rows, &row, &err), LEAT_ROWS_END);
	assert_int_equal(leat_rows_next(rows, &row, &err), LEAT_ROWS_END);
	leat_rows_close(rows);
}

static void
repeat(struct leat_buf *text, const char *bytes, size_t times)
{
	size_t len = strlen(bytes);

	while (times-- > 0)
		assert_int_equal(leat_buf_add(text, bytes, len), 0);
}

/* The limits, one byte under and one over each. */
static void
limits(void **state)
{
	struct leat_buf text = { 0 }, shown = { 0 };
	struct leat_rows *rows;
	struct leat_error err = { 0 };
	struct leat_row row;
	size_t quoted, over;

	(void)state;
	for (quoted = 0; quoted < 2; quoted++) {
		for (over = 0; over < 2; over++) {
			leat_buf_reset(&text);
			repeat(&text, quoted ? "\"" : "x", 1);
			repeat(&text, "x", LEAT_ROW_LIMIT - 4 + over);
			repeat(&text, quoted ? "\",y\nz\n" : "x,y\nz\n", 1);
			rows = open_text(text.data, text.len, ',');
			assert_int_equal(leat_rows_next(rows, &row, &err), over ? LEAT_ROWS_BAD : LEAT_ROWS_ROW);
			assert_int_equal(row.line, 1);
			if (!over) {
				assert_int_equal(row.count, 2);
				assert_int_equal(row.field[0].len, LEAT_ROW_LIMIT - 2 - 2 * quoted);
				unit_span(row.field[1], "y");
			} else {
				assert_int_equal(row.raw.len, 4096);
				assert_memory_equal(row.raw.ptr, text.data, 4096);
			}
			assert_int_equal(leat_rows_next(rows, &row, &err), LEAT_ROWS_ROW);
			unit_span(row.raw, "z");
			assert_int_equal(row.line, 2);
			leat_rows_close(rows);
		}
	}
	for (over = 0; over < 2; over++) {
		leat_buf_reset(&text);
		repeat(&text, ",", LEAT_FIELD_LIMIT - 1 + over);
		repeat(&text, "\nz\n", 1);
		rows = open_text(text.data, text.len, ',');
		assert_int_equal(leat_rows_next(rows, &row, &err), over ? LEAT_ROWS_BAD : LEAT_ROWS_ROW);
		assert_int_equal(row.count, over ? 0 : LEAT_FIELD_LIMIT);
		assert_int_equal(leat_rows_next(rows, &row, &err), LEAT_ROWS_ROW);
		unit_span(row.field[0], "z");
		leat_rows_close(rows);
		/* Line breaks in one field. */
		leat_buf_reset(&text);
		repeat(&text, "\"", 1);
		repeat(&text, "\n", 1000 + over);
		repeat(&text, "\"\nz\n", 1);
		rows = open_text(text.data, text.len, ',');
		assert_int_equal(leat_rows_next(rows, &row, &err), over ? LEAT_ROWS_BAD : LEAT_ROWS_ROW);
		assert_int_equal(row.lines, over ? 1 : 1001);
		leat_rows_close(rows);
	}
	/* Breaks are counted by field: many such fields make a long record, not a bad one. */
	leat_buf_reset(&text);
	repeat(&text, "\"\n\n\n\",", 900);
	repeat(&text, "z\n", 1);
	rows = open_text(text.data, text.len, ',');
	assert_int_equal(leat_rows_next(rows, &row, &err), LEAT_ROWS_ROW);
	assert_int_equal(row.count, 901);
	assert_int_equal(row.lines, 2701);
	leat_rows_close(rows);
	leat_buf_free(&text);
	leat_buf_free(&shown);
}

/* An unended quote before more rows than the limit has room for costs its own line and no other. */
static void
unended_quote_costs_one_line(void **state)
{
	struct leat_buf text = { 0 };
	struct leat_rows *rows;
	struct leat_error err = { 0 };
	struct leat_row row;
	enum leat_rows_status status;
	long good = 0, bad = 0, i;

	(void)state;
	repeat(&text, "a,\"b\n", 1);
	for (i = 0; i < 300000; i++)
		assert_int_equal(leat_buf_printf(&text, "%ld,x\n", i), 0);
	rows = open_text(text.data, text.len, ',');
	while ((status = leat_rows_next(rows, &row, &err)) > LEAT_ROWS_END) {
		bad += status == LEAT_ROWS_BAD;
		good += status == LEAT_ROWS_ROW;
		assert_int_equal(row.line, good + bad);
	}
	assert_int_equal(status, LEAT_ROWS_END);
	assert_int_equal(bad, 1);
	assert_int_equal(good, 300000);
	leat_rows_close(rows);
	leat_buf_free(&text);
}

static long
peak_kib(void)
{
	struct rusage usage;

	assert_int_equal(getrusage(RUSAGE_SELF, &usage), 0);
	return usage.ru_maxrss;
}

/* A field of 64 MiB from a small gzip file, with and without a quote before it.  Memory of the sanitizers is not that
 * of the program, so they do not measure it. */
static void
huge_fields_take_no_memory(void **state)
{
	struct leat_buf zipped = { 0 };
	struct leat_error err = { 0 };
	struct leat_row row;
	struct leat_rows *rows;
	struct leat_input *in;
	z_stream z = { 0 };
	static char block[65536];
	long before;
	int i, quoted;

	(void)state;
	for (quoted = 0; quoted < 2; quoted++) {
		leat_buf_reset(&zipped);
		assert_int_equal(leat_buf_reserve(&zipped, 1024 * 1024), 0);
		memset(&z, 0, sizeof(z));
		assert_int_equal(deflateInit2(&z, 1, Z_DEFLATED, 16 + MAX_WBITS, 8, Z_DEFAULT_STRATEGY), Z_OK);
		z.next_out = (Bytef *)zipped.data;
		z.avail_out = 1024 * 1024;
		for (i = 0; i <= 1024; i++) {
			memset(block, 'x', sizeof(block));
			if (i == 0)
				memcpy(block, quoted ? "a,b\nc,\"" : "a,b\nc,x", 7);
			if (i == 1024)
				memcpy(block + sizeof(block) - 5, "\nd,e\n", 5);
			z.next_in = (Bytef *)block;
			z.avail_in = sizeof(block);
			assert_int_equal(deflate(&z, i == 1024 ? Z_FINISH : Z_NO_FLUSH), i == 1024 ? Z_STREAM_END : Z_OK);
		}
		zipped.len = z.total_out;
		deflateEnd(&z);
		before = peak_kib();
		in = leat_input_memory("mem", zipped.data, zipped.len, LEAT_ENCODING_RAW, &err);
		assert_non_null(in);
		rows = leat_rows_open(in, ',', &err);
		assert_non_null(rows);
		assert_int_equal(leat_rows_next(rows, &row, &err), LEAT_ROWS_ROW);
		assert_int_equal(leat_rows_next(rows, &row, &err), LEAT_ROWS_BAD);
		assert_int_equal(row.line, 2);
		assert_int_equal(err.line, 2);
		assert_int_equal(row.raw.len, 4096);
		assert_string_equal(err.text, "the line is longer than 1048576 bytes");
		assert_int_equal(leat_rows_next(rows, &row, &err), LEAT_ROWS_ROW);
		assert_int_equal(row.line, 3);
		unit_span(row.raw, "d,e");
		assert_int_equal(leat_rows_next(rows, &row, &err), LEAT_ROWS_END);
		leat_rows_close(rows);
#ifndef __SANITIZE_ADDRESS__
		assert_true(peak_kib() - before <= 3 * 1024);
#else
		(void)before;
#endif
	}
	leat_buf_free(&zipped);
}

static void
faults_of_the_input_are_handed_on(void **state)
{
	static const unsigned char cut[] = { 0x1F, 0x8B, 8, 0, 0, 0, 0, 0, 0, 3 };
	struct leat_error err = { 0 };
	struct leat_input *in = leat_input_memory("cut.gz", cut, sizeof(cut), LEAT_ENCODING_RAW, &err);
	struct leat_rows *rows;
	struct leat_row row;

	(void)state;
	assert_non_null(in);
	rows = leat_rows_open(in, ',', &err);
	assert_non_null(rows);
	assert_int_equal(leat_rows_next(rows, &row, &err), LEAT_ROWS_FAILED);
	assert_string_equal(err.text, "gzip data ends early: the file is cut short");
	assert_string_equal(err.file, "cut.gz");
	assert_int_equal(err.line, 1);
	assert_int_equal(leat_rows_next(rows, &row, &err), LEAT_ROWS_FAILED);
	leat_rows_close(rows);
	leat_rows_close(NULL);
}

static void
columns(void **state)
{
	static const char *const wanted[] = { "time", "value", "unit" };
	struct leat_rows *rows = open_text(TEXT("unit,x,time,value,x\ntime,value\nvalue,x\ntime,unit,value,unit\n"), ',');
	struct leat_error err = { 0 };
	struct leat_row row;
	int index[3];

	(void)state;
	assert_int_equal(leat_rows_next(rows, &row, &err), LEAT_ROWS_ROW);
	assert_int_equal(leat_columns_find(&row, wanted, 3, 3, index, &err), 0);
	assert_int_equal(index[0], 2);
	assert_int_equal(index[1], 3);
	assert_int_equal(index[2], 0);
	assert_int_equal(leat_rows_next(rows, &row, &err), LEAT_ROWS_ROW);
	assert_int_equal(leat_columns_find(&row, wanted, 3, 2, index, &err), 0);
	assert_int_equal(index[2], -1);
	assert_int_equal(leat_columns_find(&row, wanted, 3, 3, index, &err), -1);
	assert_string_equal(err.text, "no column 'unit'; the header has: time, value");
	assert_int_equal(leat_rows_next(rows, &row, &err), LEAT_ROWS_ROW);
	assert_int_equal(leat_columns_find(&row, wanted, 3, 2, index, &err), -1);
	assert_string_equal(err.text, "no column 'time'; the header has: value, x");
	assert_int_equal(leat_rows_next(rows, &row, &err), LEAT_ROWS_ROW);
	assert_int_equal(leat_columns_find(&row, wanted, 3, 2, index, &err), -1);
	assert_string_equal(err.text, "column 'unit' comes twice in the header");
	leat_rows_close(rows);
}

/* Small numbers that are the same on every machine. */
static uint32_t
next_random(uint32_t *seed)
{
	*seed = *seed * 1664525u + 1013904223u;
	return *seed >> 16;
}

static void
random_field(uint32_t *seed, struct leat_buf *field)
{
	static const char *const piece[] = {
		"\"", ",", "\n", "\r", "\r\n", " ", "\t", "a", "1.5", "\xC3\xA4", "\xE2\x82\xAC", ";", "\"\"", "x y", "!", "#"
	};
	uint32_t n = next_random(seed) % 6;

	leat_buf_reset(field);
	while (n-- > 0)
		repeat(field, piece[next_random(seed) % (sizeof(piece) / sizeof(piece[0]))], 1);
}

/* What leat_out_field writes is read back as it was, in any table. */
static void
written_tables_come_back(void **state)
{
	struct leat_buf field[60] = { { 0 } };
	struct leat_error err = { 0 };
	struct leat_input *in;
	struct leat_rows *rows;
	struct leat_row row;
	static struct leat_out out;
	uint32_t seed = 1;
	size_t table, width, height, i;
	char name[] = "/tmp/leat-rows-XXXXXX";
	int fd = mkstemp(name);
	FILE *file = fd >= 0 ? fdopen(fd, "w+") : NULL;

	(void)state;
	assert_non_null(file);
	for (table = 0; table < 3000; table++) {
		/* A line with nothing on it is no row, so one empty field alone cannot be written. */
		width = 2 + next_random(&seed) % 4;
		height = 1 + next_random(&seed) % 10;
		rewind(file);
		assert_int_equal(ftruncate(fileno(file), 0), 0);
		leat_out_init(&out, file);
		for (i = 0; i < width * height; i++) {
			random_field(&seed, &field[i]);
			leat_out_field(&out, leat_buf_span(&field[i]));
			leat_out_char(&out, (i + 1) % width == 0 ? '\n' : ',');
		}
		assert_int_equal(leat_out_flush(&out), 0);
		in = leat_input_open(name, LEAT_ENCODING_RAW, &err);
		assert_non_null(in);
		rows = leat_rows_open(in, ',', &err);
		assert_non_null(rows);
		for (i = 0; i < width * height; i++) {
			if (i % width == 0) {
				assert_int_equal(leat_rows_next(rows, &row, &err), LEAT_ROWS_ROW);
				assert_int_equal(row.count, width);
			}
			assert_true(leat_span_eq(row.field[i % width], leat_buf_span(&field[i])));
		}
		assert_int_equal(leat_rows_next(rows, &row, &err), LEAT_ROWS_END);
		leat_rows_close(rows);
	}
	for (i = 0; i < sizeof(field) / sizeof(field[0]); i++)
		leat_buf_free(&field[i]);
	fclose(file);
	remove(name);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(huge_fields_take_no_memory),	/* first, while the peak is still low */
		cmocka_unit_test(named_cases),
		cmocka_unit_test(named_cases_across_buffers),
		cmocka_unit_test(other_separators),
		cmocka_unit_test(what_a_row_tells),
		cmocka_unit_test(limits),
		cmocka_unit_test(unended_quote_costs_one_line),
		cmocka_unit_test(faults_of_the_input_are_handed_on),
		cmocka_unit_test(columns),
		cmocka_unit_test(written_tables_come_back)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
