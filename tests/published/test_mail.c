/*
 * Mail: the examples of its standards.
 */
#include "mail_decode.h"

#include "tell/mail_text.h"

/* RFC 2045, section 6.7: the one example of soft line breaks. */
static void
test_soft_line_breaks(void **state)
{
	struct leat_buf out = { 0 };

	(void)state;
	decode_quoted_printable(&out, LEAT_SPAN("Now's the time =\nfor all folk to come=\n to the aid of their country."));
	unit_span(leat_buf_span(&out), "Now's the time for all folk to come to the aid of their country.");
	leat_buf_free(&out);
}

/* RFC 2047, section 8: as to be displayed, in the bytes of the charset that each names. */
static void
test_encoded_words(void **state)
{
	static const char *const rows[][2] = {
		{ "=?US-ASCII?Q?Keith_Moore?= <moore@cs.utk.example>", "Keith Moore <moore@cs.utk.example>" },
		{ "=?ISO-8859-1?Q?Keld_J=F8rn_Simonsen?= <keld@dkuug.example>", "Keld J\370rn Simonsen <keld@dkuug.example>" },
		{ "=?ISO-8859-1?Q?Andr=E9?= Pirard <PIRARD@vm1.ulg.example>", "Andr\351 Pirard <PIRARD@vm1.ulg.example>" },
		{ "=?ISO-8859-1?B?SWYgeW91IGNhbiByZWFkIHRoaXMgeW8=?=\n =?ISO-8859-2?B?dSB1bmRlcnN0YW5kIHRoZSBleGFtcGxlLg==?=",
		    "If you can read this you understand the example." },
		{ "=?ISO-8859-1?Q?a?=", "a" },
		{ "=?ISO-8859-1?Q?a?= b", "a b" },
		{ "=?ISO-8859-1?Q?a?= =?ISO-8859-1?Q?b?=", "ab" },
		{ "=?ISO-8859-1?Q?a?=  =?ISO-8859-1?Q?b?=", "ab" },
		{ "=?ISO-8859-1?Q?a?=\n    =?ISO-8859-1?Q?b?=", "ab" },
		{ "=?ISO-8859-1?Q?a_b?=", "a b" },
		{ "=?ISO-8859-1?Q?a?= =?ISO-8859-2?Q?_b?=", "a b" }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(rows) / sizeof(rows[0]); i++) {
		struct leat_buf out = { 0 };

		decode_header(&out, leat_span_of(rows[i][0]));
		unit_span(leat_buf_span(&out), rows[i][1]);
		leat_buf_free(&out);
	}
}

/* RFC 4648, section 10, by way of the B encoding of RFC 2047, which is that base64. */
static void
test_base64(void **state)
{
	static const char *const rows[][2] = {
		{ "", "" }, { "Zg==", "f" }, { "Zm8=", "fo" }, { "Zm9v", "foo" }, { "Zm9vYg==", "foob" }, { "Zm9vYmE=", "fooba" },
		{ "Zm9vYmFy", "foobar" }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(rows) / sizeof(rows[0]); i++) {
		struct leat_buf out = { 0 };

		decode_b(&out, leat_span_of(rows[i][0]));
		unit_span(leat_buf_span(&out), rows[i][1]);
		leat_buf_free(&out);
	}
}

/* RFC 5322, appendices A.1.1, A.1.2 and A.5 (its comment and folds taken out): the dates of its example messages. */
static void
test_dates(void **state)
{
	static const struct {
		const char *zone, *time, *date;
	} rows[] = {
		{ "-06:00", "1997-11-21T15:55:06Z", "Fri, 21 Nov 1997 09:55:06 -0600" },
		{ "+02:00", "2003-07-01T08:52:37Z", "Tue, 1 Jul 2003 10:52:37 +0200" },
		{ "-03:30", "1969-02-14T03:02:00Z", "Thu, 13 Feb 1969 23:32:00 -0330" }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(rows) / sizeof(rows[0]); i++) {
		struct leat_buf out = { 0 };
		struct leat_error err;
		struct leat_zone *zone = leat_zone_open(leat_span_of(rows[i].zone), &err);
		struct leat_time t;

		assert_non_null(zone);
		assert_int_equal(leat_time_parse(leat_span_of(rows[i].time), &t), 0);
		assert_int_equal(leat_mail_date(&out, zone, t), 0);
		unit_span(leat_buf_span(&out), rows[i].date);
		leat_buf_free(&out);
		leat_zone_free(zone);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_soft_line_breaks), cmocka_unit_test(test_encoded_words), cmocka_unit_test(test_base64),
		cmocka_unit_test(test_dates)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
