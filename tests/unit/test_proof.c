/* The proof of a works folder: patterns that share files, and what is kept of many remarks. */
#include "base/mem.h"
#include "judge/proof.h"
#include "table_file.h"
#include "unit.h"

static struct leat_proof *
proof_of(const char *table, const struct table_file *f)
{
	struct leat_proof *proof = leat_proof_new(NULL, (struct leat_time){ 1762300800, 0 });
	struct leat_error err = { 0 };

	assert_non_null(proof);
	leat_proof_instead(proof, table, f->path);
	assert_int_equal(leat_proof_run(proof, &err), 0);
	return proof;
}

/* Checked by hand: the text beside each pair fits both.  A special case before the general one is not told. */
static void
test_patterns(void **state)
{
	static const struct {
		const char *first, *second;
		bool told;
	} cases[] = {
		{ "NM_*.csv", "NM_*.csv", true },
		{ "NM_*.csv", "MM_*.csv", false },
		{ "*_day.csv", "NM_*.csv", true },		/* NM_day.csv */
		{ "*.csv", "NM_1.csv", true },
		{ "?M.csv", "N?.csv", true },			/* NM.csv */
		{ "?M.csv", "N?.txt", false },
		{ "a*b*c", "*x*", true },			/* axbc */
		{ "ab*", "*ba", true },				/* aba */
		{ "ab", "ab?", false },
		{ "lab_codes_*.csv", "lab_*.csv", false },
		{ "lab_*.csv", "lab_codes_*.csv", true },
		{ "**", "x", true },
		{ "a?", "*b?", false },				/* b would have to be a */
		{ "in/*.csv", "NM_*.csv", false }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		char text[256];
		struct table_file f;
		struct leat_proof *proof;

		snprintf(text, sizeof(text), "source,files\none,%s\ntwo,%s\n", cases[i].first, cases[i].second);
		f = table_file_text(text);
		proof = proof_of("sources", &f);
		assert_string_equal(leat_proof_table_at(proof, 1)->name, "sources.csv");
		if (leat_proof_table_at(proof, 1)->warnings != cases[i].told)
			fail_msg("'%s' and '%s'", cases[i].first, cases[i].second);
		leat_proof_free(proof);
		table_file_drop(&f);
	}
}

static void
test_many(void **state)
{
	struct leat_buf text = { 0 };
	struct table_file f;
	struct leat_proof *proof;
	const struct leat_proof_remark *remark;
	size_t kept = 0;
	long line = 0;

	(void)state;
	assert_int_equal(leat_buf_printf(&text, "first,second,within\n"), 0);
	for (int i = 0; i < 1000; i++)
		assert_int_equal(leat_buf_printf(&text, "M%d/pressure,N/pressure,soon\n", i), 0);
	f = table_file_bytes(text.data, text.len);
	proof = proof_of("pairs", &f);
	for (; (remark = leat_proof_remark_at(proof, kept)) != NULL; kept++) {
		assert_true(remark->fault);
		assert_true(remark->what.line > line);
		line = remark->what.line;
	}
	assert_int_equal(kept, LEAT_PROOF_KEPT);
	for (size_t i = 0; leat_proof_table_at(proof, i) != NULL; i++) {
		bool this = strcmp(leat_proof_table_at(proof, i)->name, "pairs.csv") == 0;

		assert_int_equal(leat_proof_table_at(proof, i)->faults, this ? 1000 : 0);
		assert_int_equal(leat_proof_table_at(proof, i)->absent, !this);
	}
	leat_proof_free(proof);
	table_file_drop(&f);
	leat_buf_free(&text);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_patterns),
		cmocka_unit_test(test_many)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
