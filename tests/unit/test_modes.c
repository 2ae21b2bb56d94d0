/* modes.csv: reading, faults, which rows count, and the shipped rows. */
#include <math.h>

#include "judge/blind.h"
#include "stream/modes.h"
#include "table_file.h"

#define HEAD "mode,symptom,rule,asset,point,says,where,weight,absent,plain,read\n"

static int
read_rows(struct leat_modes *modes, const char *rows, struct leat_error *err)
{
	char text[2048];
	struct table_file f;
	int result;

	snprintf(text, sizeof(text), HEAD "%s", rows);
	f = table_file_text(text);
	*err = (struct leat_error){ 0 };
	result = leat_modes_read(modes, f.path, NULL, err);
	table_file_drop(&f);
	return result;
}

/* Rows of the works make a mode of their own, symptoms in the order in which they are written, alternatives together. */
static void
test_rows(void **state)
{
	struct leat_modes modes;
	struct leat_error err;
	const struct leat_mode *mode;
	size_t at;

	(void)state;
	assert_int_equal(read_rows(&modes, "shaft,noise,noisy,,,,,3,,yes,an ear\nshaft,heat,hot-*,*/pump-*,x,*far*,mill,-1,-1,,\n"
	    "shaft,noise,loud,,,,,3,-0.25,no,\n", &err), 0);
	at = leat_modes_find(&modes, LEAT_SPAN("shaft"));
	assert_true(at < modes.count);
	mode = &modes.mode[at];
	assert_int_equal(mode->symptoms, 2);
	unit_close(mode->whole, 4, 0);
	unit_span(mode->symptom[0].words, "noise");
	unit_span(mode->symptom[0].read, "an ear");
	assert_int_equal(mode->symptom[0].rows, 2);
	unit_span(modes.row[mode->symptom[0].row[1]].rule, "loud");
	unit_close(modes.row[mode->symptom[0].row[0]].absent, -0.5, 0);
	unit_close(modes.row[mode->symptom[0].row[1]].absent, -0.25, 0);
	assert_true(modes.row[mode->symptom[0].row[0]].plain && !modes.row[mode->symptom[0].row[1]].plain);
	assert_true(modes.row[mode->symptom[1].row[0]].mill);
	unit_span(modes.row[mode->symptom[1].row[0]].says, "*far*");
	unit_close(mode->symptom[1].weight, -1, 0);
	leat_modes_free(&modes);
}

static const struct leat_symptom *
symptom_of(const struct leat_modes *modes, const char *mode, const char *words)
{
	size_t at = leat_modes_find(modes, leat_span_of(mode));

	for (size_t i = 0; at < modes->count && i < modes->mode[at].symptoms; i++)
		if (leat_span_is(modes->mode[at].symptom[i].words, words))
			return &modes->mode[at].symptom[i];
	return NULL;
}

/* The works' row stands for the shipped ones of its symptom; one without weight takes it out, and '*' the whole mode. */
static void
test_ranks(void **state)
{
	struct leat_modes modes;
	struct leat_error err;

	(void)state;
	assert_int_equal(read_rows(&modes, "pump-wear,growing drain flow,my-wear,,,,,2,,,\npump-wear,unexplained heat,,,,,,,,,\n"
	    "aeration,*,,,,,,,,,\n", &err), 0);
	assert_non_null(symptom_of(&modes, "pump-wear", "growing drain flow"));
	unit_close(symptom_of(&modes, "pump-wear", "growing drain flow")->weight, 2, 0);
	assert_int_equal(symptom_of(&modes, "pump-wear", "growing drain flow")->rows, 1);
	assert_null(symptom_of(&modes, "pump-wear", "unexplained heat"));
	assert_non_null(symptom_of(&modes, "pump-wear", "hot drain oil"));
	assert_non_null(symptom_of(&modes, "hidden-bypass", "unexplained heat"));
	assert_int_equal(leat_modes_find(&modes, LEAT_SPAN("aeration")), modes.count);
	leat_modes_free(&modes);
}

static void
test_faults(void **state)
{
	static const struct { const char *row, *column, *text; } faults[] = {
		{ "Pump,s,r,,,,,1,,,\n", "mode", "a mode's name has small letters, digits and '-' only, less than 60" },
		{ ",s,r,,,,,1,,,\n", "mode", "a mode's name has small letters, digits and '-' only, less than 60" },
		{ "m,,r,,,,,1,,,\n", "symptom", "empty: say in words what is seen" },
		{ "m,s,,,,,,1,,,\n", "rule", "empty: write the rule of the findings that show it, or a pattern" },
		{ "m,s,r,,,,here,1,,,\n", "where", "'item', 'mill' or nothing is due" },
		{ "m,s,r,,,,,3.1,,,\n", "weight", "from -3 to 3 and not 0 is due; nothing switches the symptom off" },
		{ "m,s,r,,,,,0,,,\n", "weight", "from -3 to 3 and not 0 is due; nothing switches the symptom off" },
		{ "m,s,r,,,,,strong,,,\n", "weight", "not a number" },
		{ "m,*,r,,,,,1,,,\n", "weight", "the symptom '*' switches the mode off and has no weight" },
		{ "m,s,r,,,,,1,0.1,,\n", "absent", "from -1 to 0 is due" },
		{ "m,s,r,,,,,1,,maybe,\n", "plain", "'yes', 'no' or nothing is due" },
		{ "m,s,r,,,,,-1,,yes,\n", "plain", "what speaks against a mode does not name it" },
		{ "m,s,r,,,,,1,,,\nm,s,q,,,,,2,,,\n", "weight", "line 2 gives this symptom another weight" },
		{ "m,s,r,,,,,1,,,\nm,s,r,,,,,1,,,\n", "rule", "line 2 has the same row" }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(faults) / sizeof(faults[0]); i++) {
		struct leat_modes modes;
		struct leat_error err;

		assert_int_equal(read_rows(&modes, faults[i].row, &err), -1);
		assert_string_equal(err.column, faults[i].column);
		assert_string_equal(err.text, faults[i].text);
	}
}

/* Failures of the machine and its instruments that common practice tells apart, and what their strongest symptom is. */
static void
test_shipped(void **state)
{
	static const struct { const char *mode, *symptom, *against; } known[] = {
		{ "pump-wear", "growing drain flow", "leakage of the circuit" },
		{ "drain-meter", "step by a factor between units", "hot drain oil" },
		{ "gas-loss", "stiffer bank", "leakage of the circuit" },
		{ "gas-loss", "low gas in a shell", "shut shell" },
		{ "piston-seal", "leakage of the circuit", "stiffer bank" },
		{ "piston-seal", "seal leakage in the measuring glass", "loss of oil" },
		{ "relief-weep", "pressure near the relief valve", "seal leakage in the measuring glass" },
		{ "check-valve", "fall of pressure with the pump off only", "unexplained heat" },
		{ "compensator", "pump pressure off its setting at no demand", "growing drain flow" },
		{ "cooler-fouling", "low conductance of the cooler", "thermostat at fault" },
		{ "filter-bypass", "far too low differential pressure", NULL },
		{ "cooler-leak", "gain of oil volume", NULL },
		{ "water-ingress", "water in the oil", "sodium in the oil" },
		{ "aeration", "noise or foam", NULL },
		{ "pressure-meter", "difference of gauge and transmitter", "lack of pressure" },
		{ "bore-wear", "wide bore", NULL }
	};
	struct leat_modes modes;
	struct leat_error err;

	(void)state;
	assert_int_equal(leat_modes_make(&modes, NULL, &err), 0);
	assert_true(modes.count >= 20);
	for (size_t i = 0; i < sizeof(known) / sizeof(known[0]); i++) {
		const struct leat_symptom *s = symptom_of(&modes, known[i].mode, known[i].symptom);

		assert_non_null(s);
		assert_true(s->weight >= LEAT_MODE_STRONG);
		if (known[i].against != NULL) {
			s = symptom_of(&modes, known[i].mode, known[i].against);
			assert_non_null(s);
			assert_true(s->weight < 0);
		}
	}
	for (size_t i = 0; i < modes.rows; i++)
		assert_true(modes.row[i].source.len > 0);
	for (size_t m = 0; m < modes.count; m++) {
		double most = 0;

		assert_true(modes.mode[m].advice.len > 0);
		for (size_t s = 0; s < modes.mode[m].symptoms; s++)
			most = fmax(most, modes.mode[m].symptom[s].weight);
		/* Without a strong symptom it could never be told. */
		assert_true(most >= LEAT_MODE_STRONG);
	}
	leat_modes_free(&modes);
}

/* Names that leat-survey has for the same failures are the same. */
static void
test_survey_names(void **state)
{
	static const char *const same[] = {
		"pump-wear", "gas-loss", "bladder-burst", "piston-seal", "bore-wear", "relief-weep", "check-valve", "compensator",
		"cooler-fouling", "thermostat", "hidden-bypass", "water-ingress", "filter-bypass", "element-clogged", "dirt-ingress",
		"external-leak", "oil-oxidation", "wrong-oil", "setpoint-lowered"
	};
	struct leat_modes modes;
	struct leat_error err;

	(void)state;
	assert_int_equal(leat_modes_make(&modes, NULL, &err), 0);
	for (size_t i = 0; i < sizeof(same) / sizeof(same[0]); i++) {
		const struct leat_judgement *q;
		bool seen = false;

		assert_true(leat_modes_find(&modes, leat_span_of(same[i])) < modes.count);
		for (size_t k = 0; (q = leat_judgement_at(k)) != NULL; k++)
			seen = seen || leat_judgement_sees(q, leat_span_of(same[i]));
		if (!seen)
			fail_msg("no judgement of leat-survey sees %s", same[i]);
	}
	leat_modes_free(&modes);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_rows),
		cmocka_unit_test(test_ranks),
		cmocka_unit_test(test_faults),
		cmocka_unit_test(test_shipped),
		cmocka_unit_test(test_survey_names),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
