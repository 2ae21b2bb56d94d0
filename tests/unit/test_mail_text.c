/*
 * Encodings, headers and addresses of mail.
 */
#include "mail_decode.h"
#include "random.h"

#include "tell/mail_text.h"

static void
quoted_is(const char *text, const char *expected)
{
	struct leat_buf out = { 0 };

	assert_int_equal(leat_mail_quoted_printable(&out, leat_span_of(text)), 0);
	unit_span(leat_buf_span(&out), expected);
	leat_buf_free(&out);
}

static void
test_quoted_printable(void **state)
{
	(void)state;
	quoted_is("", "");
	quoted_is("a = b\n", "a =3D b\n");
	quoted_is("caf\303\251\n", "caf=C3=A9\n");
	quoted_is("blank \ntab\t\nend \n", "blank=20\ntab=09\nend=20\n");
	quoted_is("no end", "no end=\n");
	/* Alone on its line a full stop would end the input of a mail program; 'From ' begins a mail in some mail boxes. */
	quoted_is(".\n..\nFrom here\nFrom\n", "=2E\n=2E.\n=46rom here\nFrom\n");
	quoted_is("a\r\nb\0017f\n", "a=0D\nb=017f\n");
	/* 76 columns fit, 77 are broken. */
	quoted_is("1234567890123456789012345678901234567890123456789012345678901234567890123456\n",
	    "1234567890123456789012345678901234567890123456789012345678901234567890123456\n");
	quoted_is("12345678901234567890123456789012345678901234567890123456789012345678901234567\n",
	    "123456789012345678901234567890123456789012345678901234567890123456789012345=\n67\n");
	/* A full stop that a soft line break puts first. */
	quoted_is("123456789012345678901234567890123456789012345678901234567890123456789012345.7\n",
	    "123456789012345678901234567890123456789012345678901234567890123456789012345=\n=2E7\n");
}

/* Anything comes back as it was, within the rules, and no boundary can be in it. */
static void
test_quoted_printable_random(void **state)
{
	static const char bytes[] = "=_. \t\nFrom abc\303\251\001\r-";
	uint64_t seed = 5;

	(void)state;
	for (int round = 0; round < 3000; round++) {
		struct leat_buf in = { 0 }, coded = { 0 }, out = { 0 };
		struct leat_span rest, line;

		for (unsigned n = random_below(&seed, 400); n > 0; n--)
			decode_add(&in, random_below(&seed, 20) == 0 ? (int)random_below(&seed, 256) :
			    bytes[random_below(&seed, sizeof(bytes) - 1)]);
		assert_int_equal(leat_mail_quoted_printable(&coded, leat_buf_span(&in)), 0);
		decode_quoted_printable(&out, leat_buf_span(&coded));
		assert_true(leat_span_eq(leat_buf_span(&out), leat_buf_span(&in)));
		assert_true(coded.len == 0 || coded.data[coded.len - 1] == '\n');
		for (size_t i = 0; i + 1 < coded.len; i++)
			assert_false(coded.data[i] == '=' && coded.data[i + 1] == '_');
		rest = leat_buf_span(&coded);
		while (leat_span_next(&rest, '\n', &line))
			assert_false(leat_span_starts(line, ".") || leat_span_starts(line, "From "));
		leat_buf_free(&in);
		leat_buf_free(&coded);
		leat_buf_free(&out);
	}
}

static void
header_is(const char *text, const char *expected)
{
	struct leat_buf out = { 0 };

	assert_int_equal(leat_mail_header(&out, "Subject", leat_span_of(text)), 0);
	unit_span(leat_buf_span(&out), expected);
	leat_buf_free(&out);
}

static void
test_header(void **state)
{
	(void)state;
	header_is("", "Subject: \n");
	header_is("Fri 19 Dec 2025: 5 alarms", "Subject: Fri 19 Dec 2025: 5 alarms\n");
	/* 78 columns fit; the word that would end beyond them goes on the next line. */
	header_is("Fri 19 Dec 2025: 105 alarms, 111 alerts, 45 cannot tell, 12 overdue ab",
	    "Subject: Fri 19 Dec 2025: 105 alarms, 111 alerts, 45 cannot tell, 12 overdue\n ab\n");
	header_is("Fri 19 Dec 2025: 105 alarms, 111 alerts, 45 cannot tell, 12 overdue a",
	    "Subject: Fri 19 Dec 2025: 105 alarms, 111 alerts, 45 cannot tell, 12 overdue a\n");
	header_is("M\303\274hle: 1 alarm", "Subject: =?UTF-8?Q?M=C3=BChle=3A_1_alarm?=\n");
	header_is("\320\234\320\265\320\273\321\214", "Subject: =?UTF-8?B?0JzQtdC70Yw=?=\n");
	/* A line end within would begin a header of somebody's own. */
	header_is("a\nBcc: b@c.example", "Subject: =?UTF-8?Q?a=3FBcc=3A_b=40c=2Eexample?=\n");
	header_is("a\r\n\r\nbody", "Subject: =?UTF-8?Q?a=3F=3F=3F=3Fbody?=\n");
	/* What looks like an encoded word is not to be taken for one. */
	header_is("=?UTF-8?Q?x?=", "Subject: =?UTF-8?Q?=3D=3FUTF-8=3FQ=3Fx=3F=3D?=\n");
	/* Blanks that a fold would lose. */
	header_is(" a", "Subject: =?UTF-8?Q?_a?=\n");
	header_is("a  b", "Subject: =?UTF-8?Q?a__b?=\n");
	header_is("bad \377", "Subject: =?UTF-8?Q?bad_=3F?=\n");
}

static void
test_header_random(void **state)
{
	static const char *const pieces[] = { "a", " ", "bc", "\303\274", "\342\202\254", "\360\237\224\247", "=?", "?=", "_", ":", "  ",
		"ABCDEFGHIJKLMNOPQRSTUVWXYZABCDEFGHIJKLMNOPQRSTUVWXYZABCDEFGHIJKLMNOPQRSTUVWXYZABCDEFGHIJKLMNOPQRSTUVWXYZ" };
	uint64_t seed = 9;

	(void)state;
	for (int round = 0; round < 3000; round++) {
		struct leat_buf in = { 0 }, coded = { 0 }, out = { 0 };
		struct leat_span rest, line;

		for (unsigned n = random_below(&seed, 60); n > 0; n--) {
			const char *piece = pieces[random_below(&seed, sizeof(pieces) / sizeof(pieces[0]))];

			assert_int_equal(leat_buf_add(&in, piece, strlen(piece)), 0);
		}
		assert_int_equal(leat_mail_header(&coded, "Subject", leat_buf_span(&in)), 0);
		rest = leat_buf_span(&coded);
		assert_true(leat_span_starts(rest, "Subject: ") && leat_span_ends(rest, "\n"));
		rest = leat_span_make(rest.ptr, rest.len - 1);
		while (leat_span_next(&rest, '\n', &line)) {
			assert_true(line.len <= (coded.len > 11 && coded.data[9] == '=' ? 76 : 78));
			assert_true(line.ptr == coded.data || line.ptr[0] == ' ');
			for (size_t i = 0; i < line.len; i++)
				assert_true(line.ptr[i] >= ' ' && line.ptr[i] <= '~');
		}
		decode_header(&out, leat_span_make(coded.data + 9, coded.len - 10));
		assert_true(leat_span_eq(leat_buf_span(&out), leat_buf_span(&in)));
		leat_buf_free(&in);
		leat_buf_free(&coded);
		leat_buf_free(&out);
	}
}

static void
addresses_are(const char *list, const char *expected)
{
	struct leat_buf out = { 0 };
	struct leat_error err;

	assert_int_equal(leat_mail_addresses(&out, "To", leat_span_of(list), 10, &err), 0);
	unit_span(leat_buf_span(&out), expected);
	leat_buf_free(&out);
}

static void
test_addresses(void **state)
{
	(void)state;
	addresses_are("a@b.example", "To: a@b.example\n");
	addresses_are(" a@b.example , c.d+e@[192.0.2.1] ", "To: a@b.example, c.d+e@[192.0.2.1]\n");
	addresses_are("Night Shift <night@works.example>", "To: \"Night Shift\" <night@works.example>\n");
	addresses_are("\"Shift, \\\"Night\\\"\" <night@works.example>, a@b.example",
	    "To: \"Shift, \\\"Night\\\"\" <night@works.example>, a@b.example\n");
	addresses_are("M\303\274ller <m@works.example>", "To: =?UTF-8?Q?M=C3=BCller?= <m@works.example>\n");
	addresses_are("<a@b.example>", "To: a@b.example\n");
	addresses_are("=?UTF-8?Q?x?= <a@b.example>", "To: =?UTF-8?Q?=3D=3FUTF-8=3FQ=3Fx=3F=3D?= <a@b.example>\n");
	addresses_are("one.of.the.longer.names@hydraulics.works.example, another.long.name@hydraulics.works.example",
	    "To: one.of.the.longer.names@hydraulics.works.example,\n another.long.name@hydraulics.works.example\n");
	unit_span(leat_mail_domain(LEAT_SPAN("Night <n@works.example>, b@other.example")), "works.example");
}

/* Whatever could begin a header, a body or another address is refused. */
static void
test_addresses_refused(void **state)
{
	static const char *const bad[] = {
		"", " ", ",", "a", "a@", "@b", "a@b@c", "a b@c.example", "a@b.example,", ",a@b.example", "a@b..example", ".a@b.example",
		"a.@b.example", "a@b.example\nBcc: c@d.example", "a@b.example\r\n\r\nbody", "a@b.example\r", "\ta@b.example",
		"N\nBcc: x <a@b.example>", "N\302\205 <a@b.example>", "N\377 <a@b.example>", "a@b.example c@d.example", "N <a@b.example",
		"N a@b.example>", "N <a@b.example> x", "\"N <a@b.example>", "\"N\" x <a@b.example>", "N \"x\" <a@b.example>", "\"N\"",
		"\303\274@b.example", "a@b\303\274.example", "a@[192.0.2.1", "a@[]", "<a@b.example>, <>", "a@b.example\177", "(c) a@b.example"
	};

	(void)state;
	for (size_t i = 0; i < sizeof(bad) / sizeof(bad[0]); i++) {
		struct leat_buf out = { 0 };
		struct leat_error err;

		if (leat_mail_addresses(&out, "To", leat_span_of(bad[i]), 10, &err) == 0)
			fail_msg("taken: '%s' as '%.*s'", bad[i], (int)out.len, out.data);
		assert_true(strlen(err.text) > 0);
		leat_buf_free(&out);
	}
}

static void
test_addresses_too_many(void **state)
{
	struct leat_buf out = { 0 };
	struct leat_error err;

	(void)state;
	assert_int_equal(leat_mail_addresses(&out, "From", LEAT_SPAN("a@b.example, c@d.example"), 1, &err), -1);
	assert_string_equal(err.text, "more than 1 address");
	leat_buf_free(&out);
}

/* The clock of the works, on both sides of the change of clocks. */
static void
test_date(void **state)
{
	static const char *const rows[][2] = {
		{ "2025-12-20T04:30:00Z", "Sat, 20 Dec 2025 05:30:00 +0100" },
		{ "2025-10-26T00:30:00Z", "Sun, 26 Oct 2025 02:30:00 +0200" },
		{ "2025-10-26T01:30:00Z", "Sun, 26 Oct 2025 02:30:00 +0100" }
	};
	struct leat_error err;
	struct leat_zone *zone = leat_zone_open(LEAT_SPAN("CET-1CEST,M3.5.0,M10.5.0/3"), &err);

	(void)state;
	assert_non_null(zone);
	for (size_t i = 0; i < 3; i++) {
		struct leat_buf out = { 0 };
		struct leat_time t;

		assert_int_equal(leat_time_parse(leat_span_of(rows[i][0]), &t), 0);
		assert_int_equal(leat_mail_date(&out, zone, t), 0);
		unit_span(leat_buf_span(&out), rows[i][1]);
		leat_buf_free(&out);
	}
	leat_zone_free(zone);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_quoted_printable), cmocka_unit_test(test_quoted_printable_random), cmocka_unit_test(test_header),
		cmocka_unit_test(test_header_random), cmocka_unit_test(test_addresses), cmocka_unit_test(test_addresses_refused),
		cmocka_unit_test(test_addresses_too_many), cmocka_unit_test(test_date)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
