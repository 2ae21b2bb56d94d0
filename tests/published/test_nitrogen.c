/*
 * Nitrogen against the reference equation of state: R. Span, E. W. Lemmon, R. T Jacobsen, W. Wagner, A. Yokozeki, "A
 * Reference Equation of State for the Thermodynamic Properties of Nitrogen", J. Phys. Chem. Ref. Data 29 (2000)
 * 1361-1433.  The module states an error of at most 0.3 % in density.
 */
#include "unit.h"

#include "physics/nitrogen.h"

#define SEA_LEVEL_BARA 1.01325
#define STATED_ERROR 0.003

struct state {
	double temp_k, pressure_bara, density_mol_l;
};

/* Densities by the reference equation over the range of the module. */
static const struct state equation[] = {
	{ 260, 1, 0.046287378 },
	{ 260, 50, 2.3688528 },
	{ 260, 100, 4.7631445 },
	{ 260, 150, 7.037255 },
	{ 260, 250, 10.854055 },
	{ 260, 350, 13.675572 },
	{ 273.15, 1, 0.044051215 },
	{ 273.15, 50, 2.2362944 },
	{ 273.15, 100, 4.4709816 },
	{ 273.15, 150, 6.5924991 },
	{ 273.15, 250, 10.215149 },
	{ 273.15, 350, 12.974621 },
	{ 293.15, 1, 0.041037186 },
	{ 293.15, 50, 2.0638129 },
	{ 293.15, 100, 4.0995149 },
	{ 293.15, 150, 6.030383 },
	{ 293.15, 250, 9.3891492 },
	{ 293.15, 350, 12.039421 },
	{ 313.15, 1, 0.038410159 },
	{ 313.15, 50, 1.9184214 },
	{ 313.15, 100, 3.7931782 },
	{ 313.15, 150, 5.5700535 },
	{ 313.15, 250, 8.700739 },
	{ 313.15, 350, 11.236763 },
	{ 333.15, 1, 0.036099922 },
	{ 333.15, 50, 1.7937934 },
	{ 333.15, 100, 3.5349462 },
	{ 333.15, 150, 5.1843938 },
	{ 333.15, 250, 8.1178185 },
	{ 333.15, 350, 10.542149 },
	{ 350, 1, 0.034359236 },
	{ 350, 50, 1.7016248 },
	{ 350, 100, 3.3462804 },
	{ 350, 150, 4.9040015 },
	{ 350, 250, 7.6913354 },
	{ 350, 350, 10.026107 },
};

static void
test_equation(void **state)
{
	(void)state;
	for (size_t i = 0; i < sizeof(equation) / sizeof(equation[0]); i++) {
		const struct state *s = &equation[i];
		double density;

		assert_int_equal(leat_nitrogen_density(s->pressure_bara, s->temp_k, &density), 0);
		unit_close(density / s->density_mol_l, 1, STATED_ERROR);
		/* Newton's density gives the pressure back. */
		unit_close(leat_nitrogen_pressure_bara(density, s->temp_k) / s->pressure_bara, 1, 1e-12);
	}
}

/* Printed densities: B. A. Younglove, J. Phys. Chem. Ref. Data 11 (1982) suppl. 1 (the first also in R. T Jacobsen et
 * al., J. Phys. Chem. Ref. Data 15 (1986) 735); the last in Span et al. 2000, table on p. 1410. */
static void
test_printed(void **state)
{
	static const struct state printed[] = {
		{ 300, 1.01325, 0.04063 },
		{ 350, 8, 0.2746 },
		{ 350, 200, 6.3552 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof(printed) / sizeof(printed[0]); i++) {
		double density;

		assert_int_equal(leat_nitrogen_density(printed[i].pressure_bara, printed[i].temp_k, &density), 0);
		unit_close(density / printed[i].density_mol_l, 1, STATED_ERROR);
	}
}

/* The whole grid of the reference pack, where it is at hand. */
static void
test_grid(void **state)
{
	FILE *file = fopen("../shared/reference/n2-pvt-grid.csv", "r");
	double worst = 0;
	char line[256];
	int tried = 0;

	(void)state;
	if (file == NULL) {
		print_message("skip nitrogen grid: no ../shared/reference/n2-pvt-grid.csv\n");
		skip();
	}
	while (fgets(line, sizeof(line), file) != NULL) {
		double temp_k = strtod(line, NULL), pressure_bara, wanted, density, error;
		const char *comma = strchr(line, ',');

		if (temp_k == 0 || comma == NULL)
			continue;
		pressure_bara = strtod(comma + 1, NULL);
		comma = strchr(comma + 1, ',');
		assert_non_null(comma);
		wanted = strtod(comma + 1, NULL);
		if (leat_nitrogen_density(pressure_bara, temp_k, &density) != 0)
			continue;
		error = density / wanted - 1;
		worst = error > worst ? error : -error > worst ? -error : worst;
		tried++;
	}
	fclose(file);
	assert_true(tried > 300);
	unit_close(worst, 0, STATED_ERROR);
}

/* Compression factors at 20 degC by the reference equation. */
static void
test_compression_factor(void **state)
{
	static const double z[][2] = {
		{ 50, .99397 }, { 100, 1.00079 }, { 150, 1.02052 }, { 200, 1.05179 }, { 250, 1.09241 }, { 300, 1.14005 },
		{ 350, 1.19271 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof(z) / sizeof(z[0]); i++) {
		double density;

		assert_int_equal(leat_nitrogen_density(z[i][0], 293.15, &density), 0);
		unit_close(leat_nitrogen_z(density, 293.15), z[i][1], STATED_ERROR * z[i][1]);
	}
}

/* Constant amount and volume: gauge pressures by the reference equation, air at 1.01325 bar.  0.1 bar is 0.05 to 0.1 %. */
static void
test_warmed(void **state)
{
	static const struct {
		double pressure_bar, from_c, to_c, wanted_bar, tolerance_bar;
	} row[] = {
		{ 90, 40, 20, 83.134, .05 },	/* an ideal gas would show 84.2 */
		{ 75, 8, 20, 78.9, .05 },
		{ 75, 20, 48, 83.55, .05 },
		{ 100, 20, 60, 116.954, .1 },	/* an ideal gas would show 113.8 */
		{ 100, 20, -10, 87.200, .1 },
		{ 200, 20, 60, 238.528, .2 },	/* an ideal gas would show 227.4 */
		{ 250, 20, 60, 300.180, .3 },
		{ 88, 35, 20, 82.867, .05 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof(row) / sizeof(row[0]); i++) {
		double bar;

		assert_int_equal(leat_nitrogen_warmed(row[i].pressure_bar, row[i].from_c, row[i].to_c, SEA_LEVEL_BARA, &bar), 0);
		unit_close(bar, row[i].wanted_bar, row[i].tolerance_bar);
	}
}

/* ISO 2533, International Standard Atmosphere, from memory: 1013.25, 898.75 and 794.95 hPa at 0, 1000 and 2000 m. */
static void
test_atmosphere(void **state)
{
	(void)state;
	unit_close(leat_atmosphere_bara(0), 1.01325, 1e-9);
	unit_close(leat_atmosphere_bara(1000), .89875, 1e-4);
	unit_close(leat_atmosphere_bara(2000), .79495, 1e-4);
}

static void
test_range(void **state)
{
	double out = 7;

	(void)state;
	assert_int_equal(leat_nitrogen_density(0, 293.15, &out), -1);
	assert_int_equal(leat_nitrogen_density(351, 293.15, &out), -1);
	assert_int_equal(leat_nitrogen_density(100, 252, &out), -1);
	assert_int_equal(leat_nitrogen_density(100, 364, &out), -1);
	assert_int_equal(leat_nitrogen_density(0.0 / 0.0, 293.15, &out), -1);
	assert_int_equal(leat_nitrogen_warmed(100, 20, 95, SEA_LEVEL_BARA, &out), -1);
	assert_int_equal(leat_nitrogen_warmed(340, 20, 60, SEA_LEVEL_BARA, &out), -1);
	unit_close(out, 7, 0);
}

int
main(void)
{
	static const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_equation), cmocka_unit_test(test_printed), cmocka_unit_test(test_grid),
		cmocka_unit_test(test_compression_factor), cmocka_unit_test(test_warmed),
		cmocka_unit_test(test_atmosphere), cmocka_unit_test(test_range),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
