/*
 * Mails with parts.
 */
#include "mail_decode.h"

#include "tell/mail.h"

static struct leat_zone *zone;

static int
setup(void **state)
{
	struct leat_error err;

	(void)state;
	zone = leat_zone_open(LEAT_SPAN("UTC"), &err);
	return zone != NULL ? 0 : -1;
}

static int
teardown(void **state)
{
	(void)state;
	leat_zone_free(zone);
	return 0;
}

/* A mail with that plain text and an attachment. */
static void
write_mail(struct leat_buf *out, const char *from, const char *text)
{
	const struct leat_mail_part body = { "text/plain; charset=UTF-8", NULL, leat_span_of(text) };
	const struct leat_mail_part attached = { "text/csv; charset=UTF-8", "a.csv", LEAT_SPAN("a,b\n") };
	const struct leat_mail m = { .from = leat_span_of(from), .to = LEAT_SPAN("b@works.example"), .subject = LEAT_SPAN("1 alarm"),
		.zone = zone, .date = { 1738643400, 0 }, .alternative = &body, .alternatives = 1, .attachment = &attached,
		.attachments = 1 };
	struct leat_error err;

	assert_int_equal(leat_mail_write(&m, out, &err), 0);
}

/* Compares with a text in which '#' stands for the 16 digits that the mail itself has in its Message-ID. */
static void
mail_is(struct leat_buf *out, const char *expected)
{
	struct leat_buf want = { 0 };
	const char *digits;

	assert_int_equal(leat_buf_add(out, "", 1), 0);
	digits = strstr(out->data, "Z.") + 2;
	assert_int_equal(strspn(digits, "0123456789abcdef"), 16);
	for (; *expected != '\0'; expected++)
		assert_int_equal(leat_buf_add(&want, *expected == '#' ? digits : expected, *expected == '#' ? 16 : 1), 0);
	out->len--;
	unit_span(leat_buf_span(out), want.data != NULL && leat_buf_add(&want, "", 1) == 0 ? want.data : "");
	leat_buf_free(&want);
}

static void
test_whole(void **state)
{
	struct leat_buf out = { 0 };

	(void)state;
	write_mail(&out, "a@works.example", "one\ntwo\n");
	mail_is(&out,
	    "From: a@works.example\nTo: b@works.example\nSubject: 1 alarm\nDate: Tue, 4 Feb 2025 04:30:00 +0000\n"
	    "Message-ID: <20250204T043000Z.#@works.example>\nAuto-Submitted: auto-generated\nMIME-Version: 1.0\n"
	    "Content-Type: multipart/mixed;\n boundary=\"=_mixed_#\"\n\n"
	    "This mail has parts, after MIME (RFC 2045).\n\n--=_mixed_#\n"
	    "Content-Type: multipart/alternative;\n boundary=\"=_alternative_#\"\n\n"
	    "--=_alternative_#\nContent-Type: text/plain; charset=UTF-8\nContent-Disposition: inline\n"
	    "Content-Transfer-Encoding: quoted-printable\n\none\ntwo\n\n--=_alternative_#--\n\n"
	    "--=_mixed_#\nContent-Type: text/csv; charset=UTF-8\n"
	    "Content-Disposition: attachment; filename=\"a.csv\"\nContent-Transfer-Encoding: quoted-printable\n\na,b\n\n"
	    "--=_mixed_#--\n");
	leat_buf_free(&out);
}

/* The same mail has the same bytes, another one another name. */
static void
test_same_and_other(void **state)
{
	struct leat_buf a = { 0 }, b = { 0 }, c = { 0 };

	(void)state;
	write_mail(&a, "a@works.example", "one\n");
	write_mail(&b, "a@works.example", "one\n");
	write_mail(&c, "a@works.example", "two\n");
	assert_true(leat_span_eq(leat_buf_span(&a), leat_buf_span(&b)));
	assert_int_equal(a.len, c.len);
	assert_int_equal(leat_buf_add(&a, "", 1), 0);
	assert_memory_not_equal(a.data, c.data, (size_t)(strstr(a.data, "Auto-Submitted") - a.data));
	leat_buf_free(&a);
	leat_buf_free(&b);
	leat_buf_free(&c);
}

/* A text with boundaries of its own, as a mail that is quoted in a finding would have. */
static void
test_boundary_within(void **state)
{
	struct leat_buf out = { 0 };
	size_t count = 0;

	(void)state;
	write_mail(&out, "a@works.example", "--=_mixed_0123456789abcdef\n--=_mixed_0123456789abcdef--\n--=_alternative\n");
	assert_int_equal(leat_buf_add(&out, "", 1), 0);
	for (const char *p = out.data; (p = strstr(p, "\n--=_")) != NULL; p++)
		count++;
	assert_int_equal(count, 5);
	leat_buf_free(&out);
}

static void
test_refused(void **state)
{
	const struct leat_mail m = { .from = LEAT_SPAN("a@works.example\nBcc: x@works.example"), .to = LEAT_SPAN("b@works.example"),
		.zone = zone };
	struct leat_buf out = { 0 };
	struct leat_error err;

	(void)state;
	assert_int_equal(leat_mail_write(&m, &out, &err), -1);
	assert_string_equal(err.text, "control character in an address");
	leat_buf_free(&out);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_whole), cmocka_unit_test(test_same_and_other), cmocka_unit_test(test_boundary_within),
		cmocka_unit_test(test_refused)
	};

	return cmocka_run_group_tests(tests, setup, teardown);
}
