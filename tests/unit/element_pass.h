/*
 * leat-element over readings given as text: passes, and days of a filter.
 */
#ifndef LEAT_TESTS_ELEMENT_PASS_H
#define LEAT_TESTS_ELEMENT_PASS_H

#include "derive/element.h"
#include "random.h"
#include "row_value.h"

#define PASS_FILTER struct leat_elements elements
#include "filter_pass.h"

/* entries: lines of the logbook; NULL: none. */
static inline void
pass_open(struct pass *p, const char *plate, const char *entries, const char *rows)
{
	struct leat_buf text = { 0 };

	pass_begin(p, plate, rows);
	assert_int_equal(leat_buf_printf(&text, LEAT_LOGBOOK_HEADER "\n%s", entries != NULL ? entries : ""), 0);
	assert_int_equal(leat_buf_add(&text, "", 1), 0);
	pass_logbook(p, text.data);
	leat_buf_free(&text);
	p->elements = (struct leat_elements){ .in = p->l.in, .np = p->np, .book = &p->book, .out = &p->out };
	leat_elements_init(&p->elements);
}

static inline void
pass_run(struct pass *p, bool only)
{
	struct leat_reading r;

	while (pass_next(p, &r))
		pass_took(p, leat_elements_take(&p->elements, &r, &p->err), &r, !only);
	pass_ended(p, p->status < 0 ? -1 : leat_elements_end(&p->elements, LEAT_TIME_NONE, &p->err));
}

static inline void
pass_close(struct pass *p)
{
	leat_elements_free(&p->elements);
	pass_free(p);
}

#define HEAD "asset,property,value,unit,from\n"
#define OIL ",oil-viscosity-40,46,mm2/s,\n,oil-viscosity-100,6.8,mm2/s,\n"
#define FILTER "NM/filter,clean-dp,0.5,bar,\nNM/filter,housing-share,20,%,\nNM/filter,loop-flow,25,L/min,\n"
#define PLATE HEAD OIL FILTER

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
