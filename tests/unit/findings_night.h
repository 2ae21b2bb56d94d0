/*
 * The night on which tests of lib/tell compare findings: Tue 2025-02-04 05:30 UTC, of a works' day that begins at 06:00.
 */
#ifndef LEAT_TESTS_FINDINGS_NIGHT_H
#define LEAT_TESTS_FINDINGS_NIGHT_H

#include "findings.h"

#include "tell/compare.h"

#define NOW 1770

static struct leat_calendar cal;

static int
setup(void **state)
{
	struct leat_error err;

	(void)state;
	cal.zone = leat_zone_open(LEAT_SPAN("UTC"), &err);
	cal.day_start_s = 6 * 3600;
	cal.now = made_time(NOW);
	return cal.zone != NULL ? 0 : -1;
}

static int
teardown(void **state)
{
	(void)state;
	leat_zone_free((struct leat_zone *)(uintptr_t)cal.zone);
	return 0;
}

#endif
