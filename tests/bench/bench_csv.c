/*
 * bench_csv FILE: libcsv alone over a file, counting rows: the floor below which no reader through libcsv can go.
 */
#include <csv.h>
#include <stdio.h>

static void
field(void *text, size_t len, void *data)
{
	(void)text;
	*(size_t *)data += len != 0;
}

static long rows;

static void
row(int c, void *data)
{
	(void)c;
	(void)data;
	rows++;
}

int
main(int argc, char *argv[])
{
	static char buf[65536];
	struct csv_parser parser;
	size_t fields = 0, n;
	FILE *file = argc == 2 ? fopen(argv[1], "r") : NULL;

	if (file == NULL || csv_init(&parser, 0) != 0) {
		fprintf(stderr, "usage: bench_csv FILE\n");
		return 2;
	}
	while ((n = fread(buf, 1, sizeof(buf), file)) > 0)
		if (csv_parse(&parser, buf, n, field, row, &fields) != n)
			return 2;
	csv_fini(&parser, field, row, &fields);
	csv_free(&parser);
	fclose(file);
	printf("%ld\n", rows);
	return 0;
}
