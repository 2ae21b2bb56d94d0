/*
 * leat-element over readings given as text: passes, and days of a filter.
 */
#ifndef LEAT_TESTS_ELEMENT_PASS_H
#define LEAT_TESTS_ELEMENT_PASS_H

#include "latest_of.h"

#include <math.h>

#include "derive/element.h"
#include "random.h"

/* One pass: readings as text in, the readings with the added rows out. */
struct pass {
	struct table_file plate_file;
	struct latest_of l;		/* for its readings only */
	struct leat_nameplate *np;
	struct leat_logbook book;
	struct leat_elements elements;
	struct leat_out out;
	FILE *file;
	char *text;
	size_t size;
	int status;
	struct leat_error err;
};

/* entries: lines of the logbook; NULL: none. */
static inline void
pass_open(struct pass *p, const char *plate, const char *entries, const char *rows)
{
	struct leat_buf text = { 0 };

	memset(p, 0, sizeof(*p));
	p->plate_file = table_file_text(plate);
	p->np = leat_nameplate_read(p->plate_file.path, NULL, &p->err);
	if (p->np == NULL)
		fail_msg("%s", p->err.text);
	assert_int_equal(leat_buf_printf(&text, LEAT_LOGBOOK_HEADER "\n%s", entries != NULL ? entries : ""), 0);
	if (leat_logbook_text(&p->book, "book", leat_buf_span(&text), NULL, LEAT_TIME_NONE, NULL, &p->err) != 0)
		fail_msg("%s", p->err.text);
	leat_buf_free(&text);
	latest_open(&p->l, rows, NULL);
	p->file = open_memstream(&p->text, &p->size);
	assert_non_null(p->file);
	leat_out_init(&p->out, p->file);
	p->elements = (struct leat_elements){ .in = p->l.in, .np = p->np, .book = &p->book, .out = &p->out };
	leat_elements_init(&p->elements);
}

static inline void
pass_run(struct pass *p, bool only)
{
	struct leat_reading r;

	while (p->status >= 0 && leat_readings_next(p->l.in, &r, &p->err) == LEAT_READINGS_ROW) {
		p->status = leat_elements_take(&p->elements, &r, &p->err);
		if (p->status > 0 && !only)
			leat_readings_copy(&p->out, p->l.in, &r);
	}
	if (p->status >= 0)
		p->status = leat_elements_end(&p->elements, LEAT_TIME_NONE, &p->err);
	assert_int_equal(leat_out_flush(&p->out), 0);
}

static inline void
pass_close(struct pass *p)
{
	leat_elements_free(&p->elements);
	leat_nameplate_free(p->np);
	leat_logbook_free(&p->book);
	latest_close(&p->l);
	table_file_drop(&p->plate_file);
	fclose(p->file);
	free(p->text);
}

#define HEAD "asset,property,value,unit,from\n"
#define OIL ",oil-viscosity-40,46,mm2/s,\n,oil-viscosity-100,6.8,mm2/s,\n"
#define FILTER "NM/filter,clean-dp,0.5,bar,\nNM/filter,housing-share,20,%,\nNM/filter,loop-flow,25,L/min,\n"
#define PLATE HEAD OIL FILTER

/* The value of the n-th row, from 0 on, of a series such as "NM/filter,filter-dp-corrected,"; NaN when there is none or it has
 * no value.  *quality its word. */
static inline double
value_of(const char *text, const char *series, int n, char quality[16])
{
	const char *row = text, *end;
	double value;

	quality[0] = '\0';
	for (int i = 0; i <= n && row != NULL; i++)
		row = strstr(i > 0 ? row + 1 : row, series);
	if (row == NULL)
		return NAN;
	row += strlen(series);
	for (end = strchr(row, '\n'); end[-1] != ','; end--)
		continue;
	sscanf(end, "%15[a-z]", quality);
	return sscanf(row, "%lf", &value) == 1 ? value : NAN;
}

#define DP "NM/filter,filter-dp-corrected,"
#define COVERAGE "NM/filter,filter-dp-corrected.coverage,"
#define RATIO "NM/filter,filter-dp-corrected.ratio,"
#define SHARE "NM/filter,bypass-share,"
#define BYPASS "NM/filter,bypass-time,"

/* The viscosity of the fresh oil. */
static inline double
nu(double temp_c)
{
	struct leat_oil oil;

	assert_int_equal(leat_oil_between(&oil, 40, 46, 100, 6.8), 0);
	return leat_oil_viscosity(&oil, temp_c);
}

/* What a filter of that plate shows: by the two parts of ISO 3968, worked out here and not by what is tested. */
static inline double
shown(double element_bar, double flow_lpm, double nu_mm2_s)
{
	double q = flow_lpm / 25;

	return 0.1 * q * q + element_bar * q * nu_mm2_s / nu(50);
}

#endif
