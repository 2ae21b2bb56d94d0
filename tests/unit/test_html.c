/* Text of anybody within HTML: the references of the HTML standard (section 13.1.4), writing directions of UAX #9. */
#include "tell/html.h"
#include "unit.h"

static void
text_is(const char *text, const char *expected)
{
	struct leat_buf buf = { 0 };

	assert_int_equal(leat_html_text(&buf, leat_span_of(text)), 0);
	unit_span(leat_buf_span(&buf), expected);
	leat_buf_free(&buf);
}

static void
text_of_anybody(void **state)
{
	(void)state;
	text_is("a&b<c>\"'", "a&amp;b&lt;c&gt;&quot;&#39;");
	text_is("a\tb\r\nc", "a b  c");
	text_is("\001\177\302\205\377\342\200", "??????");
	text_is("\037", "&nbsp;");
	/* U+202E and U+2066 turn what follows them. */
	text_is("\342\200\256x\342\201\246y", "?x?y");
	text_is("M\303\274hle \327\251\327\234", "M\303\274hle \327\251\327\234");
	text_is("\342\202\254 \360\237\230\200", "\342\202\254 \360\237\230\200");
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(text_of_anybody)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
