/* Slot flow: a pump of known wear, read at any pressure and temperature, shows that wear. */
#include "unit.h"

#include <math.h>

#include "physics/oil.h"
#include "physics/slot_flow.h"
#include "random.h"

static double
between(uint64_t *seed, double low, double high)
{
	return low + (high - low) * random_below(seed, 1000001) / 1e6;
}

/* The flow of a pump in words of hydraulics: an orifice and a slot side by side. */
static double
pump_lpm(double bleed, double slot, double p, double p_ref, double nu, double nu_ref)
{
	double orifice = bleed / sqrt(p_ref), conductance = slot * nu_ref / p_ref;

	return orifice * sqrt(p) + conductance * p / nu;
}

static void
test_wear_comes_back(void **state)
{
	uint64_t seed = 1;
	struct leat_oil oil;

	(void)state;
	assert_int_equal(leat_oil_between(&oil, 40, 46, 100, 6.8), 0);
	for (int i = 0; i < 20000; i++) {
		double bleed = between(&seed, 0, 1), slot = between(&seed, 0.2, 10), p = between(&seed, 20, 350);
		double nu = leat_oil_viscosity(&oil, between(&seed, 10, 90));
		struct leat_drain_reference ref = { between(&seed, 50, 300), leat_oil_viscosity(&oil, 50), bleed };
		double read = pump_lpm(bleed, slot, p, ref.pressure_bar, nu, ref.viscosity_mm2_s);

		unit_close(leat_slot_flow_lpm(&ref, read, p, nu) / slot, 1, 1e-9);
		unit_close(leat_drain_corrected_lpm(&ref, read, p, nu) / (bleed + slot), 1, 1e-9);
	}
}

/* More flow is more wear; at the reference itself the reading is the result. */
static void
test_monotone(void **state)
{
	uint64_t seed = 2;

	(void)state;
	for (int i = 0; i < 20000; i++) {
		struct leat_drain_reference ref = { between(&seed, 50, 300), between(&seed, 10, 100), between(&seed, 0, 1) };
		double p = between(&seed, 20, 350), nu = between(&seed, 8, 200), flow = between(&seed, 0, 10);

		assert_true(leat_drain_corrected_lpm(&ref, flow + 0.01, p, nu) > leat_drain_corrected_lpm(&ref, flow, p, nu));
		assert_true(leat_slot_flow_lpm(&ref, 2 + flow, p, nu * 1.01) > leat_slot_flow_lpm(&ref, 2 + flow, p, nu));
		unit_close(leat_drain_corrected_lpm(&ref, flow, ref.pressure_bar, ref.viscosity_mm2_s), flow, 1e-9);
		/* Without a bleed twice the pressure is twice the flow. */
		ref.bleed_lpm = 0;
		unit_close(leat_drain_corrected_lpm(&ref, 2 * flow, 2 * p, nu), leat_drain_corrected_lpm(&ref, flow, p, nu), 1e-6);
	}
}

/* Less flow than the bleed is a slot flow below 0, and not hidden. */
static void
test_less_than_the_bleed(void **state)
{
	struct leat_drain_reference ref = { 160, 30, 0.5 };

	(void)state;
	unit_close(leat_slot_flow_lpm(&ref, 0.4, 160, 30), -0.1, 1e-12);
	unit_close(leat_drain_corrected_lpm(&ref, 0.4, 160, 30), 0.4, 1e-12);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_wear_comes_back),
		cmocka_unit_test(test_monotone),
		cmocka_unit_test(test_less_than_the_bleed),
	};

	return cmocka_run_group_tests_name("slot flow", tests, NULL, NULL);
}
