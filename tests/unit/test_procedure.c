/* Procedures: headings, items, marks, blanks; every fault with its line. */
#include "unit.h"
#include "upkeep/procedure.h"

#define HEAD "Purpose: why\nState: stopped\nCautions: oil\n"
#define TAIL "After work:\n  - look\nConfirmed by: a number\n"

struct told {
	int count;
	long line[8];
	char text[8][256];
};

static void
note(void *user, const struct leat_error *err)
{
	struct told *told = user;

	assert_true(told->count < 8);
	told->line[told->count] = err->line;
	snprintf(told->text[told->count++], sizeof(told->text[0]), "%s", err->text);
}

static int
parse(struct leat_procedure *p, const char *text, struct told *told)
{
	struct leat_procedure_faults faults = { note, told };

	memset(told, 0, sizeof(*told));
	return leat_procedure_text(p, "x.txt", leat_span_of(text), NULL, &faults);
}

static struct leat_procedure_items *
steps(struct leat_procedure *p)
{
	return &p->section[LEAT_PROCEDURE_STEPS];
}

static void
items(void **state)
{
	static const char text[] = "# a remark\r\n" HEAD "\nSteps:\n"
	    "  - one\n# within\n    goes on [accept: 0 bar at\n    {nameplate:precharge 95%}] to the end\n"
	    "\n  - two [by: electrician]\n\ttext of its own\n" TAIL;
	struct leat_procedure p;
	struct told told;
	struct leat_procedure_item *item;

	(void)state;
	assert_int_equal(parse(&p, text, &told), 0);
	assert_int_equal(told.count, 0);
	assert_int_equal(steps(&p)->count, 2);
	item = steps(&p)->item;
	assert_int_equal(item[0].line, 7);
	assert_int_equal(item[0].accept.count, 2);
	assert_int_equal(item[0].accept.piece[1].kind, LEAT_PIECE_NAMEPLATE);
	unit_span(item[0].accept.piece[1].text, "precharge");
	unit_close(item[0].accept.piece[1].share, 0.95, 1e-12);
	assert_int_equal(item[0].words.count, 2);
	unit_span(item[1].by, "electrician");
	assert_int_equal(p.section[LEAT_PROCEDURE_PURPOSE].count, 1);
	unit_span(p.section[LEAT_PROCEDURE_PURPOSE].item[0].words.piece[0].text, "why");
	leat_procedure_free(&p);
}

/* What leat-log asks of an event is asked of the step that logs it. */
static void
blanks(void **state)
{
	struct leat_procedure p;
	struct told told;
	struct leat_procedure_item *item;

	(void)state;
	assert_int_equal(parse(&p, HEAD "Steps:\n"
	    "  - a [log: gas-reading] {gas-pressure bar} {gas-temperature degC}\n"
	    "  - b [log: top-up] {top-up L}\n"
	    "  - c [log: pressure-setting] {found pressure-setpoint} {left pressure-setpoint bar}\n"
	    "  - d [log: pump-change] {item} {note}\n"
	    "  - e [log: filter-change]\n" TAIL, &told), 0);
	item = steps(&p)->item;
	assert_int_equal(item[0].blanks, 2);
	assert_true(item[0].blank[0].found && !item[0].blank[0].left);
	assert_true(!item[1].blank[0].found && item[1].blank[0].left);
	assert_int_equal(item[2].blanks, 1);
	assert_true(item[2].blank[0].found && item[2].blank[0].left);
	assert_true(leat_procedure_asks(&item[3], LEAT_BLANK_ITEM) && leat_procedure_asks(&item[3], LEAT_BLANK_NOTE));
	assert_int_equal(item[4].blanks, 0);
	leat_procedure_free(&p);
}

static void
faults(void **state)
{
	static const struct {
		const char *name, *text;
		long line;
		const char *what;
	} cases[] = {
		{ "no heading", "words\n" HEAD "Steps:\n  - a\n" TAIL, 1, "neither a heading" },
		{ "mistyped heading", HEAD "Step:\n  - a\nSteps:\n  - a\n" TAIL, 4, "did you mean 'Steps'" },
		{ "twice", HEAD "Steps:\n  - a\nState: b\n" TAIL, 6, "comes twice" },
		{ "indented first", "  - a\n" HEAD "Steps:\n  - a\n" TAIL, 1, "before the first heading" },
		{ "nothing to do", HEAD TAIL, 0, "'Steps:'" },
		{ "no confirmation", HEAD "Steps:\n  - a\nAfter work: b\n", 0, "'Confirmed by:'" },
		{ "open bracket", HEAD "Steps:\n  - a\n    [accept: 0\n" TAIL, 6, "bracket that does not close" },
		{ "open brace", HEAD "Steps:\n  - a {asset\n" TAIL, 5, "brace that does not close" },
		{ "closed only", HEAD "Steps:\n  - a]\n" TAIL, 5, "never opened" },
		{ "unknown mark", HEAD "Steps:\n  - a [acept: 0]\n" TAIL, 5, "unknown mark" },
		{ "unknown event", HEAD "Steps:\n  - a [log: gas-readin] {gas-pressure bar}\n" TAIL, 5, "did you mean 'gas-reading'" },
		{ "unknown property", HEAD "Steps:\n  - a\n    {nameplate:prechage}\n" TAIL, 6, "did you mean 'precharge'" },
		{ "share of words", HEAD "Steps:\n  - {nameplate:oil-grade 5%} a\n" TAIL, 5, "no number" },
		{ "no event", HEAD "Steps:\n  - a {gas-pressure bar}\n" TAIL, 5, "[log: EVENT] is missing" },
		{ "unknown point", HEAD "Steps:\n  - a [log: gas-reading] {gas-presure bar}\n" TAIL, 5, "unknown point" },
		{ "unknown unit", HEAD "Steps:\n  - a [log: gas-reading] {gas-pressure bra}\n" TAIL, 5, "unknown unit" },
		{ "other dimension", HEAD "Steps:\n  - a [log: gas-reading] {gas-pressure L}\n" TAIL, 5, "another dimension" },
		{ "value missing", HEAD "Steps:\n  - a [log: gas-fill]\n" TAIL, 5, "the value as left" },
		{ "found where left is due", HEAD "Steps:\n  - a [log: top-up] {found top-up L}\n" TAIL, 5, "the value as left" },
		{ "serial missing", HEAD "Steps:\n  - a [log: pump-change]\n" TAIL, 5, "serial number" },
		{ "note missing", HEAD "Steps:\n  - a [log: note] {drain-flow L/min}\n" TAIL, 5, "its text" },
		{ "each without log", HEAD "Steps:\n  - a [each: accu-1..6]\n" TAIL, 5, "[log: EVENT] is missing" },
		{ "each backwards", HEAD "Steps:\n  - a [log: cleaning] [each: accu-6..1]\n" TAIL, 5, "accu-1..6" },
		{ "each of a pattern", HEAD "Steps:\n  - a [log: cleaning] [each: accu-*]\n" TAIL, 5, "accu-1..6" },
		{ "a blank elsewhere", HEAD "Tools:\n  - {item}\nSteps:\n  - a\n" TAIL, 5, "belongs to Steps" },
		{ "a mark elsewhere", HEAD "Tools:\n  - b [accept: c]\nSteps:\n  - a\n" TAIL, 5, "belongs to Steps" },
		{ "a control", HEAD "Steps:\n  - a\x01\n" TAIL, 5, "control character" }
	};
	struct leat_procedure p;
	struct told told;

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		int result = parse(&p, cases[i].text, &told);

		if (result == 0 || told.count != 1 || told.line[0] != cases[i].line ||
		    strstr(told.text[0], cases[i].what) == NULL)
			fail_msg("%s: %d told, line %ld: %s", cases[i].name, told.count, told.line[0], told.text[0]);
		leat_procedure_free(&p);
	}
}

static void
each(void **state)
{
	static const struct {
		const char *text, *names;
		int result;
	} cases[] = {
		{ "accu-1..3", "accu-1 accu-2 accu-3 ", 0 }, { "a b", "a b ", 0 }, { "plane-9..11/x z", "plane-9/x plane-10/x plane-11/x z ", 0 },
		{ "a-1..100", "", -1 }, { "a-2..1", "", -1 }, { "a..b", "", -1 }, { "a-1..", "", -1 }, { "", "", 0 }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct leat_each e = { .rest = leat_span_of(cases[i].text) };
		char name[64], all[256] = "";
		int got;

		while ((got = leat_each_next(&e, name, sizeof(name))) == 1) {
			strcat(all, name);
			strcat(all, " ");
		}
		assert_int_equal(got, cases[i].result);
		assert_string_equal(all, cases[i].names);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(items), cmocka_unit_test(blanks), cmocka_unit_test(faults), cmocka_unit_test(each)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
