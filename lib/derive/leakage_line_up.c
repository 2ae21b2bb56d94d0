/* Leakage of a mill: which part leaks, by holding tests with different parts shut off. */
#include <math.h>
#include <stdio.h>

#include "derive/leakage_private.h"
#include "stats/nonnegative.h"

#define TOGETHER_S (30 * 86400.0)	/* tests further apart meet another state of wear (common practice) */
#define NAME 160

static const char *const points[] = { "hold-leakage" };

/* The next name of a list with blanks between; false when there is none. */
static bool
next_part(struct leat_span *list, struct leat_span *part)
{
	size_t end;

	while (list->len > 0 && list->ptr[0] == ' ') {
		list->ptr++;
		list->len--;
	}
	end = leat_span_find(*list, ' ');
	*part = leat_span_make(list->ptr, end);
	list->ptr += end;
	list->len -= end;
	return end > 0;
}

bool
leat_leak_is_shut(struct leat_span line_up, const char *name)
{
	struct leat_span part;

	while (next_part(&line_up, &part))
		if (leat_span_starts(part, name))
			return true;
	return false;
}

/* The parts of a line-up as bits, new ones remembered.  -1: too many. */
static int
shut_parts(struct leat_leak_tests *t, struct leat_span line_up, uint32_t *shut)
{
	struct leat_span part;

	*shut = 0;
	while (next_part(&line_up, &part)) {
		size_t i = 0;

		/* Shut accumulators change what gives way and not what leaks. */
		if (leat_span_starts(part, "accu"))
			continue;
		while (i < t->parts && !leat_span_eq(t->part[i], part))
			i++;
		if (i == LEAT_LEAK_PARTS)
			return -1;
		if (i == t->parts)
			t->part[t->parts++] = part;
		*shut |= 1u << i;
	}
	return 0;
}

/* The last column is all that is never shut off. */
static void
columns(const struct leat_leak_tests *t, double *column, double *lpm)
{
	for (size_t i = 0; i < t->tests; i++) {
		for (size_t p = 0; p < t->parts; p++)
			column[p * t->tests + i] = (t->test[i].shut >> p & 1) == 0;
		column[t->parts * t->tests + i] = 1;
		lpm[i] = t->test[i].lpm;
	}
}

/* The test with one part shut alone that would tell more; SIZE_MAX: none. */
static size_t
next_test(const struct leat_leak_tests *t, const double *column, const struct leat_nonnegative *fit)
{
	for (size_t p = 0; p < t->parts; p++) {
		double row[LEAT_LEAK_PARTS + 1];

		for (size_t i = 0; i <= t->parts; i++)
			row[i] = i != p;
		if (!fit->told[p] && leat_nonnegative_new(column, t->tests, t->parts + 1, row))
			return p;
	}
	return SIZE_MAX;
}

static void
explain(struct leat_leaks *leaks, const struct leat_leak_tests *t, const struct leat_mill *mill, struct leat_time at,
    const double *column, const struct leat_nonnegative *fit)
{
	char time[LEAT_TIME_MAX];
	size_t next = next_test(t, column, fit);

	leat_out_span(leaks->out, mill->asset);
	leat_out_text(leaks->out, "/hold-leakage by parts ");
	leat_out_time(leaks->out, at);
	leat_out_char(leaks->out, '\n');
	for (size_t i = 0; i < t->tests; i++) {
		char names[LEAT_LEAK_PARTS * 24] = "nothing";
		size_t len = 0;

		for (size_t p = 0; p < t->parts; p++)
			if (t->test[i].shut >> p & 1 && len < sizeof(names))
				len += (size_t)snprintf(names + len, sizeof(names) - len, "%s%.*s", len > 0 ? " " : "",
				    (int)(t->part[p].len < 20 ? t->part[p].len : 20), t->part[p].ptr);
		leat_time_write(time, t->test[i].at);
		leat_leak_line(leaks, "test", "%s: %.3f L/min with %s shut off", time, t->test[i].lpm, names);
	}
	for (size_t p = 0; p <= t->parts; p++) {
		struct leat_span name = p < t->parts ? t->part[p] : LEAT_SPAN("the rest");

		if (fit->told[p])
			leat_leak_line(leaks, "leaks", "%.*s: %.3f L/min", (int)name.len, name.ptr, fit->coefficient[p]);
		else
			leat_leak_line(leaks, "not told", "%.*s: no two tests differ by it alone", (int)name.len, name.ptr);
	}
	if (next != SIZE_MAX)
		leat_leak_line(leaks, "next test", "with %.*s shut off alone: it would tell more apart", (int)t->part[next].len,
		    t->part[next].ptr);
	leat_leak_line(leaks, "fit", "least squares, no part below 0: tests missed by %.3f L/min",
	    sqrt(fit->squares / (double)t->tests));
}

static void
write(struct leat_leaks *leaks, const struct leat_leak_tests *t, const struct leat_mill *mill, struct leat_time at,
    const struct leat_nonnegative *fit)
{
	enum leat_quality quality = LEAT_GOOD;

	for (size_t i = 0; i < t->tests; i++)
		if (t->test[i].quality != LEAT_GOOD)
			quality = LEAT_UNCERTAIN;
	for (size_t p = 0; p < t->parts; p++) {
		char name[NAME];
		int len = snprintf(name, sizeof(name), "%.*s/%.*s", (int)mill->asset.len, mill->asset.ptr, (int)t->part[p].len,
		    t->part[p].ptr);

		if (len < (int)sizeof(name))
			leat_leak_row(leaks, leat_span_make(name, (size_t)len), at, points[0], fit->coefficient[p], 3, "L/min",
			    fit->told[p] ? quality : LEAT_BAD);
	}
}

/* Old tests go, and the oldest where there is no room. */
static void
forget(struct leat_leak_tests *t, struct leat_time at)
{
	size_t kept = 0;

	for (size_t i = 0; i < t->tests; i++)
		if (leat_time_diff(at, t->test[i].at) <= TOGETHER_S && (t->tests < LEAT_LEAK_TESTS || i > 0))
			t->test[kept++] = t->test[i];
	t->tests = kept;
	if (kept == 0)
		t->parts = 0;
}

void
leat_leak_locate(struct leat_leaks *leaks, struct leat_leak_mill *own, const struct leat_mill *mill, struct leat_time at,
    double lpm, enum leat_quality quality)
{
	struct leat_leak_tests *t = &own->tests;
	double column[(LEAT_LEAK_PARTS + 1) * LEAT_LEAK_TESTS], y[LEAT_LEAK_TESTS];
	struct leat_nonnegative fit;
	struct leat_error err;
	uint32_t shut;

	forget(t, at);
	if (shut_parts(t, own->line_up, &shut) != 0)
		return;
	t->test[t->tests].at = at;
	t->test[t->tests].shut = shut;
	t->test[t->tests].quality = quality;
	t->test[t->tests++].lpm = lpm;
	if (t->parts == 0 || t->tests < 2)
		return;
	columns(t, column, y);
	/* A part that is shut in all tests is no part of any. */
	if (leat_nonnegative_fit(column, y, t->tests, t->parts + 1, &fit, &err) != 0)
		return;
	if (!leaks->explain)
		write(leaks, t, mill, at, &fit);
	else if (leat_leak_asked(leaks, mill->asset, points, 1))
		explain(leaks, t, mill, at, column, &fit);
}
