/*
 * dump_statistics WHAT [NUMBER ...] <POINTS: statistics of points, two numbers a line, for scripts that compare them.
 *
 *	line CONFIDENCE		slope, its interval, intercept
 *	kendall			S, tau, variance, p
 *	least			intercept and slope of y over x by least squares, their errors, deviation
 *	order Q ...		of the y alone: median, MAD, and the quantiles
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "stats/kendall.h"
#include "stats/least.h"
#include "stats/line.h"
#include "stats/order.h"

struct points {
	double *x, *y;
	size_t n, x_cap, y_cap;
};

static int
line(const struct points *p, double confidence, struct leat_error *err)
{
	struct leat_line l;

	if (leat_line_fit(p->x, p->y, p->n, confidence, 1, &l, err) < 0)
		return -1;
	printf("%.17g %.17g %.17g %.17g\n", l.slope, l.slope_low, l.slope_high, l.intercept);
	return 0;
}

static int
kendall(const struct points *p, struct leat_error *err)
{
	struct leat_kendall k;

	if (leat_kendall(p->x, p->y, p->n, false, &k, err) < 0)
		return -1;
	printf("%.17g %.17g %.17g %.17g\n", k.s, k.tau, k.variance, k.p);
	return 0;
}

static int
least(const struct points *p, struct leat_error *err)
{
	struct leat_least l;
	double *column = malloc(2 * p->n * sizeof(*column));
	int status = column != NULL ? 0 : leat_error_memory(err);

	for (size_t i = 0; i < p->n && status == 0; i++) {
		column[i] = 1;
		column[p->n + i] = p->x[i];
	}
	if (status == 0 && (status = leat_least_fit(column, p->y, p->n, 2, NULL, &l, err)) == 0)
		printf("%.17g %.17g %.17g %.17g %.17g\n", l.coefficient[0], l.coefficient[1], l.error[0], l.error[1],
		    l.deviation);
	free(column);
	return status;
}

static int
order(const struct points *p, int argc, char **argv, struct leat_error *err)
{
	double *work = malloc(p->n * sizeof(*work));

	if (work == NULL)
		return leat_error_memory(err);
	printf("%.17g", leat_mad(p->y, p->n, work));
	printf(" %.17g", leat_median(p->y, p->n));
	for (int i = 0; i < argc; i++)
		printf(" %.17g", leat_quantile(p->y, p->n, strtod(argv[i], NULL)));
	putchar('\n');
	free(work);
	return 0;
}

int
main(int argc, char **argv)
{
	struct points p = { 0 };
	struct leat_error err = { 0 };
	const char *what = argc > 1 ? argv[1] : "";
	double x, y;
	int status = 0;

	while (status == 0 && fscanf(stdin, "%lf %lf", &x, &y) == 2) {
		if (leat_grow(&p.x, &p.x_cap, p.n + 1, sizeof(*p.x)) < 0 || leat_grow(&p.y, &p.y_cap, p.n + 1, sizeof(*p.y)) < 0)
			status = leat_error_memory(&err);
		else {
			p.x[p.n] = x;
			p.y[p.n++] = y;
		}
	}
	if (status == 0) {
		if (strcmp(what, "line") == 0)
			status = line(&p, argc > 2 ? strtod(argv[2], NULL) : 0.9, &err);
		else if (strcmp(what, "kendall") == 0)
			status = kendall(&p, &err);
		else if (strcmp(what, "least") == 0)
			status = least(&p, &err);
		else
			status = order(&p, argc - 2, argv + 2, &err);
	}
	free(p.x);
	free(p.y);
	if (status < 0)
		fprintf(stderr, "%s\n", err.text);
	return status < 0 || fflush(stdout) != 0;
}
