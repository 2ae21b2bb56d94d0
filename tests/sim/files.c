/*
 * Files of the simulator, and numbers written fast.
 */
#include <errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "files.h"

FILE *
file_create(const char *folder, const char *name)
{
	char path[4096];
	FILE *file;

	snprintf(path, sizeof(path), "%s/%s", folder, name);
	file = fopen(path, "w");
	if (file == NULL) {
		fprintf(stderr, "simulate: %s: %s\n", path, strerror(errno));
		exit(2);
	}
	return file;
}

void
file_finish(FILE *file)
{
	if (fflush(file) != 0 || ferror(file) || fclose(file) != 0) {
		fprintf(stderr, "simulate: cannot write: %s\n", strerror(errno));
		exit(2);
	}
}

char *
put_text(char *to, const char *text)
{
	while (*text != '\0')
		*to++ = *text++;
	return to;
}

char *
put_whole(char *to, long value, int digits)
{
	char text[24];
	int n = 0;

	do {
		text[n++] = (char)('0' + value % 10);
		value /= 10;
	} while (value > 0);
	while (n < digits)
		text[n++] = '0';
	while (n > 0)
		*to++ = text[--n];
	return to;
}

char *
put_number(char *to, double value, int decimals, char mark)
{
	static const long scales[] = { 1, 10, 100, 1000 };
	long scale = scales[decimals], all = lround(fabs(value) * (double)scale);

	if (value < 0 && all > 0)
		*to++ = '-';
	to = put_whole(to, all / scale, 1);
	if (decimals > 0) {
		*to++ = mark;
		to = put_whole(to, all % scale, decimals);
	}
	return to;
}
