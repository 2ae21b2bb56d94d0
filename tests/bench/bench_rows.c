/*
 * Reads a file and prints how many rows it has, so that the row reader and the readers of both streams can be timed and
 * tried by themselves:
 *
 *	bench_rows rows FILE
 *	bench_rows readings FILE ...
 *	bench_rows copy FILE ...
 *	bench_rows findings FILE
 */
#include <stdlib.h>

#include "stream/finding.h"
#include "stream/reading.h"
#include "stream/rows.h"

static int
complain(const struct leat_error *err)
{
	char text[1024];

	fprintf(stderr, "bench_rows: %s\n", leat_error_format(err, text, sizeof(text)));
	return 2;
}

static int
count_rows(const char *path)
{
	long long good = 0, bad = 0, fields = 0;
	enum leat_rows_status status;
	struct leat_input *in;
	struct leat_rows *rows;
	struct leat_error err = { 0 };
	struct leat_row row;

	in = leat_input_open(path, LEAT_ENCODING_RAW, &err);
	rows = in != NULL ? leat_rows_open(in, ',', &err) : NULL;
	if (rows == NULL)
		return complain(&err);
	while ((status = leat_rows_next(rows, &row, &err)) > LEAT_ROWS_END) {
		good += status == LEAT_ROWS_ROW;
		bad += status == LEAT_ROWS_BAD;
		fields += (long long)row.count;
	}
	leat_rows_close(rows);
	if (status == LEAT_ROWS_FAILED)
		return complain(&err);
	printf("%lld rows, %lld bad, %lld fields\n", good, bad, fields);
	return 0;
}

static int
count_readings(char *const *path, size_t count, struct leat_out *out)
{
	enum leat_readings_status status;
	struct leat_readings_count counted;
	struct leat_error err = { 0 };
	struct leat_readings *in = leat_readings_open(path, count, &err);
	struct leat_reading r;
	size_t series;

	if (in == NULL)
		return complain(&err);
	if (out != NULL)
		leat_readings_write_header(out, in);
	while ((status = leat_readings_next(in, &r, &err)) > LEAT_READINGS_END) {
		if (status == LEAT_READINGS_ROW && out != NULL)
			leat_readings_copy(out, in, &r);
	}
	counted = leat_readings_counted(in);
	series = leat_readings_series(in)->count;
	leat_readings_close(in);
	if (status == LEAT_READINGS_FAILED)
		return complain(&err);
	if (out != NULL && leat_out_flush(out) != 0)
		return 2;
	fprintf(out != NULL ? stderr : stdout, "%lld readings of %zu series, %lld rejected\n", counted.rows, series,
	    counted.rejected);
	return 0;
}

static int
count_findings(const char *path)
{
	struct leat_findings all = { 0 };
	struct leat_error err = { 0 };
	int r = leat_findings_read(&all, path, &err);

	if (r == 0)
		printf("%zu findings, %ld rejected\n", all.count, all.rejected);
	leat_findings_free(&all);
	return r == 0 ? 0 : complain(&err);
}

int
main(int argc, char **argv)
{
	static struct leat_out out;

	if (argc == 3 && strcmp(argv[1], "rows") == 0)
		return count_rows(argv[2]);
	if (argc >= 3 && strcmp(argv[1], "readings") == 0)
		return count_readings(argv + 2, (size_t)argc - 2, NULL);
	if (argc >= 3 && strcmp(argv[1], "copy") == 0) {
		leat_out_init(&out, stdout);
		return count_readings(argv + 2, (size_t)argc - 2, &out);
	}
	if (argc == 3 && strcmp(argv[1], "findings") == 0)
		return count_findings(argv[2]);
	fputs("usage: bench_rows rows FILE | readings FILE ... | copy FILE ... | findings FILE\n", stderr);
	return 2;
}
