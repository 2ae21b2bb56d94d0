/*
 * Qualities as exports write them.
 *
 * The ranges of the OPC Data Access numbers (QQSSSSLL: 00 bad, 01 uncertain, 10 reserved, 11 good) and the severity
 * bits of OPC UA status codes (part 4, StatusCode: 00 good, 01 uncertain, 10 bad, 11 reserved) are those of the open
 * standards; the single codes below are quoted from memory.  The words are common practice.
 */
#include "unit.h"

#include "stream/quality_words.h"

#define OPC LEAT_QUALITY_OPC
#define UA LEAT_QUALITY_UA
#define WORDS LEAT_QUALITY_WORDS

static void
check(enum leat_quality_kind kind, const char *text, enum leat_quality expected, bool expect_known)
{
	bool known;
	enum leat_quality got = leat_quality_read(kind, leat_span_of(text), &known);

	if (got != expected || known != expect_known)
		fail_msg("%s '%s': %s%s", leat_quality_kind_name(kind), text, leat_quality_name(got),
		    known ? "" : ", unknown");
}

/* All 256 numbers, so that every border of every range is met. */
static void
test_opc_every_number(void **state)
{
	char text[16];

	(void)state;
	for (int code = 0; code < 256; code++) {
		snprintf(text, sizeof(text), "%d", code);
		check(OPC, text, code >= 192 ? LEAT_GOOD : code >= 64 && code < 128 ? LEAT_UNCERTAIN : LEAT_BAD,
		    true);
	}
}

static void
test_table(void **state)
{
	static const struct {
		enum leat_quality_kind kind;
		const char *text;
		enum leat_quality quality;
		bool known;
	} table[] = {
		{ OPC, "192.0", LEAT_GOOD, true },
		{ OPC, " 216 ", LEAT_GOOD, true },		/* local override */
		{ OPC, "0xC0", LEAT_GOOD, true },
		{ OPC, "1216", LEAT_GOOD, true },		/* 0x04C0: the vendor's byte is passed over */
		{ OPC, "1024", LEAT_BAD, true },		/* 0x0400 */
		{ OPC, "65536", LEAT_UNCERTAIN, false },
		{ OPC, "192.5", LEAT_UNCERTAIN, false },
		{ OPC, "-1", LEAT_UNCERTAIN, false },
		{ OPC, "Good", LEAT_UNCERTAIN, false },
		{ OPC, "", LEAT_GOOD, true },

		{ UA, "0", LEAT_GOOD, true },
		{ UA, "0x00000000", LEAT_GOOD, true },
		{ UA, "9830400", LEAT_GOOD, true },		/* 0x00960000 GoodLocalOverride */
		{ UA, "1073741823", LEAT_GOOD, true },		/* 0x3FFFFFFF, the last good one */
		{ UA, "1073741824", LEAT_UNCERTAIN, true },	/* 0x40000000 Uncertain */
		{ UA, "0x408F0000", LEAT_UNCERTAIN, true },	/* UncertainNoCommunicationLastUsableValue */
		{ UA, "2147483647", LEAT_UNCERTAIN, true },
		{ UA, "2147483648", LEAT_BAD, true },		/* 0x80000000 Bad */
		{ UA, "0x80310000", LEAT_BAD, true },		/* BadNoCommunication */
		{ UA, "0xc0000000", LEAT_BAD, true },		/* reserved */
		{ UA, "4294967295", LEAT_BAD, true },
		{ UA, "-2147483648", LEAT_BAD, true },		/* 0x80000000 in a signed column */
		{ UA, "4294967296", LEAT_UNCERTAIN, false },
		{ UA, "0x800000000", LEAT_UNCERTAIN, false },
		{ UA, "0xG", LEAT_UNCERTAIN, false },
		{ UA, "0x", LEAT_UNCERTAIN, false },

		{ WORDS, "Good", LEAT_GOOD, true },
		{ WORDS, "GOOD", LEAT_GOOD, true },
		{ WORDS, " ok ", LEAT_GOOD, true },
		{ WORDS, "\xc2\xa0" "Bad", LEAT_BAD, true },
		{ WORDS, "Uncertain", LEAT_UNCERTAIN, true },
		{ WORDS, "questionable", LEAT_UNCERTAIN, true },
		{ WORDS, "Substituted", LEAT_UNCERTAIN, true },
		{ WORDS, "Manual", LEAT_UNCERTAIN, true },
		{ WORDS, "No Data", LEAT_BAD, true },
		{ WORDS, "BadNotConnected", LEAT_BAD, true },
		{ WORDS, "Bad_Timeout", LEAT_BAD, true },
		{ WORDS, "GOOD (192)", LEAT_GOOD, true },
		{ WORDS, "Good, non-specific", LEAT_GOOD, true },
		{ WORDS, "UncertainLastUsableValue", LEAT_UNCERTAIN, true },
		{ WORDS, "Badly", LEAT_UNCERTAIN, false },
		{ WORDS, "GOODWILL", LEAT_UNCERTAIN, false },
		{ WORDS, "not good", LEAT_UNCERTAIN, false },
		{ WORDS, "192", LEAT_UNCERTAIN, false },
		{ WORDS, "", LEAT_GOOD, true },
		{ WORDS, "  ", LEAT_GOOD, true },
	};

	(void)state;
	for (size_t i = 0; i < sizeof(table) / sizeof(table[0]); i++)
		check(table[i].kind, table[i].text, table[i].quality, table[i].known);
}

/* Cells of one file, separated by blanks here, and the kind that they speak for. */
static void
test_decide(void **state)
{
	static const struct {
		const char *cells;
		enum leat_quality_kind kind;
	} table[] = {
		{ "", WORDS },
		{ "Good Good Bad", WORDS },
		{ "Good 192 Good", WORDS },
		{ "192 192 0 0 0 0 24", OPC },
		{ "0 0 0 0 0 64", OPC },
		{ "0 0 0 2147483648", UA },
		{ "0x00000000", UA },
		{ "0 1073741824 192 2147483648", UA },
		{ "192 192 Good", OPC },
		{ "0 0 0", LEAT_QUALITY_UNDECIDED },
		{ "192 2147483648", LEAT_QUALITY_UNDECIDED },
		{ "whatever", WORDS },
		{ "300", WORDS },
	};

	(void)state;
	for (size_t i = 0; i < sizeof(table) / sizeof(table[0]); i++) {
		struct leat_quality_evidence evidence = { 0 };
		struct leat_span rest = leat_span_of(table[i].cells), cell;
		struct leat_error err = { .line = 0 };

		while (leat_span_next(&rest, ' ', &cell))
			leat_quality_note(&evidence, cell);
		if (leat_quality_decide(&evidence, &err) != table[i].kind)
			fail_msg("cells '%s': not %s", table[i].cells, leat_quality_kind_name(table[i].kind));
		assert_int_equal(table[i].kind == LEAT_QUALITY_UNDECIDED, strstr(err.text, "--quality opc") != NULL);
	}
}

static void
test_names(void **state)
{
	(void)state;
	assert_int_equal(leat_quality_kind_find(LEAT_SPAN("opc")), OPC);
	assert_int_equal(leat_quality_kind_find(LEAT_SPAN("UA")), UA);
	assert_int_equal(leat_quality_kind_find(LEAT_SPAN("words")), WORDS);
	assert_int_equal(leat_quality_kind_find(LEAT_SPAN("")), LEAT_QUALITY_UNDECIDED);
	assert_int_equal(leat_quality_kind_find(LEAT_SPAN("uncertain")), LEAT_QUALITY_UNDECIDED);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_opc_every_number),
		cmocka_unit_test(test_table),
		cmocka_unit_test(test_decide),
		cmocka_unit_test(test_names),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
