/*
 * bench_line <POINTS: the Theil-Sen slope, with its interval at 90 %, of points x,y a line.
 */
#include <stdio.h>
#include <stdlib.h>

#include "base/mem.h"
#include "stats/line.h"

int
main(void)
{
	double *x = NULL, *y = NULL;
	size_t n = 0, x_cap = 0, y_cap = 0;
	struct leat_line line;
	struct leat_error err;
	char text[128], *end;

	while (fgets(text, sizeof(text), stdin) != NULL) {
		if (leat_grow(&x, &x_cap, n + 1, sizeof(*x)) < 0 || leat_grow(&y, &y_cap, n + 1, sizeof(*y)) < 0) {
			fprintf(stderr, "bench_line: out of memory\n");
			return 2;
		}
		x[n] = strtod(text, &end);
		y[n++] = strtod(end + 1, NULL);
	}
	if (leat_line_fit(x, y, n, 0.9, 1, &line, &err) < 0) {
		fprintf(stderr, "bench_line: %s\n", err.text);
		return 2;
	}
	printf("%.17g %.17g %.17g\n", line.slope, line.slope_low, line.slope_high);
	free(x);
	free(y);
	return fflush(stdout) != 0;
}
