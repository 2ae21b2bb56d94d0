/*
 * Differential pressure of a filter element against published values.
 *
 * The element's part goes with the viscosity, the housing's does not: Schroeder, Hydraulic and Lube Filtration, page 21
 * (curves for 32 mm2/s, which is 150 SUS), with the example 0.20 bar at 32 mm2/s and 0.60 bar at 96; that the part of the
 * housing is turbulent and goes with the square of the flow is said there too, and is the form of ISO 3968 (from memory).
 */
#include "unit.h"

#include "physics/element.h"
#include "reference_rows.h"

static void
test_viscosity(void **state)
{
	struct leat_element_reference at = { .flow_lpm = 25, .viscosity_mm2_s = 32, .housing_bar = 0 };

	(void)state;
	/* L21: an element alone. */
	unit_close(leat_element_shown_bar(&at, 0.20, 25, 96), 0.60, 1e-12);
	unit_close(leat_element_dp_bar(&at, 0.60, 25, 96), 0.20, 1e-12);
	/* A housing of 0.05 bar is unchanged by it. */
	at.housing_bar = 0.05;
	unit_close(leat_element_shown_bar(&at, 0.20, 25, 96), 0.65, 1e-12);
	unit_close(leat_element_dp_bar(&at, 0.65, 25, 96), 0.20, 1e-12);
}

/* Half the flow leaves half of the element's part and a quarter of the housing's. */
static void
test_flow(void **state)
{
	struct leat_element_reference at = { .flow_lpm = 60, .viscosity_mm2_s = 32, .housing_bar = 0.08 };

	(void)state;
	unit_close(leat_element_shown_bar(&at, 0.20, 30, 32), 0.08 / 4 + 0.20 / 2, 1e-12);
	unit_close(leat_element_dp_bar(&at, 0.12, 30, 32), 0.20, 1e-12);
	unit_close(leat_element_shown_bar(&at, 0, 120, 500), 0.32, 1e-12);
}

/* The row of the reference pack, where it is at hand. */
static void
test_file(void **state)
{
	struct reference_rows rows;
	struct leat_element_reference at = { .flow_lpm = 1, .housing_bar = 0 };
	double dp, viscosity;
	int tried = 0;

	(void)state;
	if (!reference_open(&rows, "leakage-filtration-examples.csv"))
		skip();
	while (reference_next(&rows)) {
		if (sscanf(rows.field[2], "element dp %lf bar at %lf cSt (150 SUS); oil at %lf cSt, same flow", &dp,
		    &at.viscosity_mm2_s, &viscosity) != 3)
			continue;
		unit_close(leat_element_shown_bar(&at, dp, 1, viscosity), strtod(rows.field[3], NULL), 0.0051);
		tried++;
	}
	reference_close(&rows);
	assert_int_equal(tried, 1);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_viscosity),
		cmocka_unit_test(test_flow),
		cmocka_unit_test(test_file),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
