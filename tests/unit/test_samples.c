/* Oil samples of a stream: which bottle counts, whether the sample does, what is made of it, and what must not matter. */
#include "derive/cleanliness.h"
#include "random.h"

#define PASS_FILTER struct leat_clean clean
#include "filter_pass.h"

static char rejected[512];

static void
note_reject(const struct leat_error *err, struct leat_span row)
{
	snprintf(rejected, sizeof(rejected), "%ld %s: %s: %.*s", err->line, err->column, err->text, (int)row.len, row.ptr);
}

static void
pass_open(struct pass *p, const char *plate, const char *rows, bool copy, bool explain)
{
	pass_begin(p, plate, rows);
	p->clean = (struct leat_clean){
		.in = p->l.in, .np = p->np, .out = &p->out, .copy = copy, .explain = explain, .reject = note_reject
	};
	leat_clean_init(&p->clean);
	rejected[0] = '\0';
}

static void
pass_run(struct pass *p)
{
	struct leat_reading r;

	leat_readings_pass_to(p->l.in, p->clean.copy ? &p->out : NULL);
	while (pass_next(p, &r))
		pass_took(p, leat_clean_take(&p->clean, &r, &p->err), &r, p->clean.copy);
	if (p->status >= 0)
		leat_clean_end(&p->clean);
	pass_ended(p, p->status);
}

static void
pass_close(struct pass *p)
{
	leat_clean_free(&p->clean);
	pass_free(p);
}

#define PLATE "asset,property,value,unit,from\n"
#define D "2025-11-12T"
#define T1 D "09:30:00Z,"
#define C(asset, um, v) T1 "NM/" asset ",count-" um "um," v ",1/mL,good\n"
#define THREE(asset, a, b, c) C(asset, "4", a) C(asset, "6", b) C(asset, "14", c)
#define RUN(t, v) D t "Z,NM/pump-a,pump-running," v ",,good\n"

/* The rows made whose point begins so, as "asset point value quality;". */
static void
expect(const char *name, const char *plate, const char *rows, const char *points, const char *want)
{
	struct leat_buf got = { 0 };
	struct pass p;
	char *line, *rest;

	pass_open(&p, plate, rows, false, false);
	pass_run(&p);
	if (p.status < 0)
		fail_msg("%s: %s", name, p.err.text);
	for (rest = p.text; (line = rest) != NULL && *line != '\0';) {
		char *field[6];

		rest = strchr(line, '\n');
		*rest++ = '\0';
		for (int i = 0; i < 6; i++) {
			field[i] = line;
			line += strcspn(line, ",");
			if (*line != '\0')
				*line++ = '\0';
		}
		if (strncmp(field[2], points, strlen(points)) == 0)
			assert_int_equal(leat_buf_printf(&got, "%s %s %s %s;", field[1], field[2], field[3], field[5]), 0);
	}
	assert_int_equal(leat_buf_add(&got, "", 1), 0);
	if (strcmp(got.data, want) != 0) {
		print_error("%s:\n%s\nexpected:\n%s\n", name, got.data, want);
		fail();
	}
	leat_buf_free(&got);
	pass_close(&p);
}

static void
what_is_made(void **state)
{
	(void)state;
	expect("three counts", PLATE, THREE("s", "2500", "640", "80"), "",
	    "NM/s iso4406 18/16/13 good;NM/s iso4406-4um 18 good;NM/s iso4406-6um 16 good;NM/s iso4406-14um 13 good;"
	    "NM/s iso4406-above-target 0 good;NM/s count-4um.log2 11.288 good;NM/s count-6um.log2 9.322 good;"
	    "NM/s count-14um.log2 6.322 good;NM/s as4059 9A/8B/8C good;NM/s nas1638 8 good;");
	expect("microscope", PLATE, C("s", "6", "244") C("s", "14", "26"), "",
	    "NM/s iso4406 -/15/12 good;NM/s iso4406-6um 15 good;NM/s iso4406-14um 12 good;NM/s iso4406-above-target -1 good;"
	    "NM/s count-6um.log2 7.931 good;NM/s count-14um.log2 4.700 good;NM/s as4059 7B/6C good;NM/s nas1638 7 good;");
	expect("no logarithm of nothing", PLATE, C("s", "6", "0"), "count", "");
	expect("other units", PLATE, T1 "NM/s,count-6um,64000,1/100mL,good\n" T1 "NM/s,count-14um,80000,1/L,good\n", "iso4406-6um",
	    "NM/s iso4406-6um 16 good;");
	expect("few counted", PLATE "NM,counted-volume,10,mL,\n", THREE("s", "160", "40", "1.3"), "iso4406",
	    "NM/s iso4406 14/12/>=7 good;NM/s iso4406-4um 14 good;NM/s iso4406-6um 12 good;NM/s iso4406-14um 7 good;"
	    "NM/s iso4406-above-target -4 good;");
	expect("exactly 20 counted", PLATE "NM,counted-volume,10,mL,\n", THREE("s", "160", "40", "2"), "iso4406-14",
	    "NM/s iso4406-14um 8 good;");
	expect("over the end", PLATE, C("s", "4", "2600000"), "iso4406",
	    "NM/s iso4406 >28/-/- uncertain;NM/s iso4406-4um 29 uncertain;NM/s iso4406-above-target 11 uncertain;");
	expect("a target of its own", PLATE "NM/new-oil,target-code,20/18/15,,\n", THREE("new-oil", "9000", "2000", "300"),
	    "iso4406-above", "NM/new-oil iso4406-above-target 0 good;");
}

static void
which_bottle(void **state)
{
	(void)state;
	expect("the last bottle", PLATE, THREE("s/bottle-1", "9565", "1460", "157.9") THREE("s/bottle-2", "1084", "182", "19.1"),
	    "iso4406", "NM/s iso4406 17/15/11 good;NM/s iso4406-4um 17 good;NM/s iso4406-6um 15 good;NM/s iso4406-14um 11 good;"
	    "NM/s iso4406-above-target -1 good;");
	expect("in any order", PLATE, C("s/bottle-2", "6", "100") C("s/bottle-1", "6", "9000"), "iso4406-6",
	    "NM/s iso4406-6um 14 good;");
	expect("a first one alone", PLATE, C("s/bottle-1", "6", "100"), "iso4406-6", "NM/s iso4406-6um 14 uncertain;");
	expect("the second without counts", PLATE, C("s/bottle-1", "6", "100") T1 "NM/s/bottle-2,count-6um,,1/mL,bad\n",
	    "iso4406-6", "NM/s iso4406-6um 14 uncertain;");
	expect("no bottle, but a name like one", PLATE, C("bottle-x", "6", "100"), "iso4406-6", "NM/bottle-x iso4406-6um 14 good;");
}

static void
whether_it_counts(void **state)
{
	const char *name = "iso4406-6", *good = "NM/s iso4406-6um 14 good;", *doubtful = "NM/s iso4406-6um 14 uncertain;";
	const char *bottle_1 = "NM/s iso4406-6um 14 uncertain;";

	(void)state;
	expect("running", PLATE, RUN("09:29:00", "on") C("s", "6", "100"), name, good);
	expect("said at the same instant", PLATE, RUN("08:29:00", "off") C("s", "6", "100") RUN("09:30:00", "on"), name, good);
	expect("just stopped", PLATE, RUN("08:59:00", "on") RUN("09:00:00", "off") RUN("09:29:00", "off") C("s", "6", "100"), name, good);
	expect("stopped for longer", PLATE, RUN("08:58:00", "on") RUN("08:59:00", "off") RUN("09:29:00", "off") C("s", "6", "100"),
	    name, doubtful);
	expect("longer by the nameplate", PLATE "NM,sample-after-stop,60,min,\n",
	    RUN("08:58:00", "on") RUN("08:59:00", "off") RUN("09:29:00", "off") C("s", "6", "100"), name, good);
	expect("never seen running", PLATE, RUN("08:59:00", "off") RUN("09:29:00", "off") C("s", "6", "100"), name, doubtful);
	expect("not seen for so long: it may have stopped just before", PLATE, RUN("09:00:00", "off") RUN("09:29:00", "off")
	    C("s", "6", "100"), name, good);
	expect("nobody looked", PLATE, RUN("08:00:00", "off") C("s", "6", "100"), name, good);
	expect("a sheet is no sign that instruments report", PLATE,
	    RUN("08:00:00", "off") T1 "NM/s,water-content,100,mg/kg,good\n" C("s", "6", "100"), name, good);
	expect("an instrument is", PLATE, RUN("08:00:00", "off") T1 "NM,pressure,0,bar,good\n" C("s", "6", "100"), name, doubtful);
	expect("one pump of two", PLATE, RUN("09:29:00", "off") D "09:29:00Z,NM/pump-b,pump-running,on,,good\n" C("s", "6", "100"), name,
	    good);
	expect("by the state", PLATE, D "08:29:00Z,NM,state,off,,good\n" D "09:29:00Z,NM,state,off,,good\n" C("s", "6", "100"), name,
	    doubtful);
	expect("grinding", PLATE, D "09:29:00Z,NM,state,grinding,,good\n" C("s", "6", "100"), name, good);
	expect("flushed", PLATE, T1 "NM/s,flushed-volume,2,L,good\n" C("s/bottle-1", "6", "100"), name, good);
	expect("flushed after the counts", PLATE, C("s/bottle-1", "6", "100") T1 "NM/s,flushed-volume,2000,mL,good\n", name, good);
	expect("flushed with little", PLATE, T1 "NM/s,flushed-volume,1.9,L,good\n" C("s", "6", "100"), name, doubtful);
	expect("enough for a small valve", PLATE "NM/s,dead-volume,0.1,L,\n", T1 "NM/s,flushed-volume,0.5,L,good\n"
	    C("s/bottle-1", "6", "100"), name, good);
	expect("little, but a second bottle", PLATE, T1 "NM/s,flushed-volume,0.5,L,good\n" C("s/bottle-2", "6", "100"), name, good);
	expect("flushed the day before yesterday", PLATE,
	    "2025-11-10T09:30:00Z,NM/s,flushed-volume,2,L,good\n" C("s/bottle-1", "6", "100"), name, bottle_1);
	expect("below a detection limit", PLATE, T1 "NM/s,count-6um,5,1/mL,uncertain\n" C("s", "4", "50"), "iso4406",
	    "NM/s iso4406 13/9/- uncertain;NM/s iso4406-4um 13 good;NM/s iso4406-6um 9 uncertain;"
	    "NM/s iso4406-above-target -5 uncertain;");
	expect("bad, negative, a word", PLATE, T1 "NM/s,count-6um,5,1/mL,bad\n" T1 "NM/s,count-4um,-5,1/mL,good\n"
	    T1 "NM/s,count-14um,many,1/mL,good\n", "", "");
	expect("the better of two, then the later", PLATE, C("s", "6", "5000") T1 "NM/s,count-6um,9,1/mL,uncertain\n" C("s", "6", "100"),
	    name, good);
	expect("counts that rise", PLATE, THREE("s", "100", "1000", "10"), "iso4406-a", "NM/s iso4406-above-target 1 uncertain;");
	expect("counts that rise within a number", PLATE, C("s", "6", "100") C("s", "14", "110") C("s", "21", "10"), "count",
	    "NM/s count-6um.log2 6.644 uncertain;NM/s count-14um.log2 6.781 uncertain;NM/s count-21um.log2 3.322 uncertain;");
}

static void
typed_codes(void **state)
{
	(void)state;
	expect("alone", PLATE, T1 "NM/s,iso4406,18/15/12,,good\n", "iso4406",
	    "NM/s iso4406-4um 18 good;NM/s iso4406-6um 15 good;NM/s iso4406-14um 12 good;NM/s iso4406-above-target 0 good;");
	expect("of a bottle", PLATE, T1 "NM/s/bottle-2,iso4406,-/15/08,,uncertain\n", "iso4406",
	    "NM/s iso4406 -/15/8 uncertain;NM/s iso4406-6um 15 uncertain;NM/s iso4406-14um 8 uncertain;"
	    "NM/s iso4406-above-target -1 uncertain;");
	expect("counts are better", PLATE, T1 "NM/s,iso4406,20/20/20,,good\n" C("s", "6", "100"), "iso4406",
	    "NM/s iso4406 -/14/- good;NM/s iso4406-6um 14 good;NM/s iso4406-above-target -2 good;");
	expect("too many to count", PLATE, T1 "NM/s,iso4406,*/15/12,,good\n", "iso4406",
	    "NM/s iso4406-6um 15 good;NM/s iso4406-14um 12 good;NM/s iso4406-above-target -1 uncertain;");
	expect("a date", PLATE, T1 "NM/s,iso4406,12.10.2008,,good\n", "", "");
	assert_non_null(strstr(rejected, "2 value: a date: a spreadsheet"));
	assert_non_null(strstr(rejected, ": " T1 "NM/s,iso4406,12.10.2008,,good"));
	expect("a date beside counts", PLATE, T1 "NM/s,iso4406,45931,,good\n" C("s", "6", "100"), "iso4406-6",
	    "NM/s iso4406-6um 14 good;");
	assert_non_null(strstr(rejected, "a date"));
	expect("no code", PLATE, T1 "NM/s,iso4406,clean,,good\n", "", "");
	assert_non_null(strstr(rejected, "not a cleanliness code"));
}

#define AT(t, asset, v) D t "Z,NM/" asset ",count-6um," v ",1/mL,good\n"

static void
ratios(void **state)
{
	(void)state;
	expect("at one time", PLATE, AT("09:30:00", "sample-return", "112") AT("09:30:00", "sample-off-line", "44"), "count-6um.r",
	    "NM/sample-off-line count-6um.ratio 2.55 good;");
	expect("one after the other", PLATE, AT("09:30:00", "sample-off-line", "44") AT("09:40:00", "sample-return", "112"),
	    "count-6um.r", "NM/sample-off-line count-6um.ratio 2.55 good;");
	expect("once a pair", PLATE, AT("09:30:00", "sample-off-line", "44") AT("09:40:00", "sample-return", "112")
	    AT("09:50:00", "sample-return", "112"), "count-6um.r", "NM/sample-off-line count-6um.ratio 2.55 good;");
	expect("days apart", PLATE, "2025-11-10T09:30:00Z,NM/sample-return,count-6um,112,1/mL,good\n"
	    AT("09:40:00", "sample-off-line", "44"), "count-6um.r", "");
	expect("named by the nameplate", PLATE "NM,sample-before-filter,a,,\nNM,sample-behind-filter,b,,\n",
	    AT("09:30:00", "a", "112") AT("09:30:00", "b", "44"), "count-6um.r", "NM/b count-6um.ratio 2.55 good;");
	expect("none behind", PLATE, AT("09:30:00", "sample-return", "112") AT("09:30:00", "sample-off-line", "0"), "count-6um.r", "");
	expect("a doubtful one", PLATE, AT("09:30:00", "sample-return/bottle-1", "112")
	    AT("09:30:00", "sample-off-line/bottle-2", "44"), "count-6um.r", "NM/sample-off-line count-6um.ratio 2.55 uncertain;");
	expect("of counts that rise", PLATE, AT("09:30:00", "sample-return", "112") T1 "NM/sample-return,count-14um,120,1/mL,good\n"
	    AT("09:30:00", "sample-off-line", "44"), "count-6um.r", "NM/sample-off-line count-6um.ratio 2.55 uncertain;");
	expect("of another mill", PLATE, AT("09:30:00", "sample-return", "112")
	    T1 "MM/sample-off-line,count-6um,44,1/mL,good\n", "count-6um.r", "");
}

static void
wrong_units(void **state)
{
	struct pass p;

	(void)state;
	pass_open(&p, PLATE, T1 "NM/s,count-6um,100,bar,good\n", true, false);
	pass_run(&p);
	assert_int_equal(p.status, -1);
	unit_error(&p.err, "'count-6um' of 'NM/s' comes in 'bar', where '1/mL' or a unit of its dimension is due");
	pass_close(&p);
	pass_open(&p, PLATE, T1 "NM/s,flushed-volume,100,1/mL,good\n", true, false);
	pass_run(&p);
	assert_int_equal(p.status, -1);
	pass_close(&p);
}

/* Samples, typed codes, rows as of an earlier run, switches; several at one instant. */
static char *
random_samples(uint64_t *seed)
{
	static const char *const series[] = {
		"NM/sample-return/bottle-1,count-4um,%u,1/mL", "NM/sample-return/bottle-2,count-4um,%u,1/mL",
		"NM/sample-return/bottle-2,count-6um,%u,1/100mL", "NM/sample-return,iso4406,%u/12/9,",
		"NM/sample-off-line,count-6um,%u,1/mL", "NM/sample-off-line,iso4406,%u/10/08,", "NM/sample-off-line,iso4406,12.%u.2008,",
		"NM/sample-off-line,count-6um.ratio,%u,1", "NM/sample-return,iso4406-4um,%u,1", "NM/x,iso4406-4um,%u,1",
		"NM/sample-return/bottle-2,iso4406,%u/12/9,", "NM,pressure,%u,bar", "NM/sample-return,flushed-volume,%u,L"
	};
	static const char *const quality[] = { "good", "good", "good", "uncertain", "bad" };
	struct leat_buf text = { 0 };
	struct leat_time t = { 1762939800, 0 };
	char time[LEAT_TIME_MAX], row[128];

	for (int i = 0; i < 60; i++) {
		if (random_below(seed, 4) == 0)
			t.sec += random_below(seed, 5) == 0 ? 90000 : random_below(seed, 900);
		leat_time_write(time, t);
		if (random_below(seed, 8) == 0)
			snprintf(row, sizeof(row), "NM/pump-a,pump-running,%s,", random_below(seed, 2) ? "on" : "off");
		else
			snprintf(row, sizeof(row), series[random_below(seed, sizeof(series) / sizeof(series[0]))],
			    10 + random_below(seed, 15));
		assert_int_equal(leat_buf_printf(&text, "%s,%s,%s\n", time, row, quality[random_below(seed, 5)]), 0);
	}
	assert_int_equal(leat_buf_add(&text, "", 1), 0);
	return text.data;
}

/* Over its own output it changes nothing, no row goes back in time, and what it says of the beginning does not hang on the
 * rest. */
static void
random_streams(void **state)
{
	uint64_t seed = 6;

	(void)state;
	for (int i = 0; i < 300; i++) {
		char *rows = random_samples(&seed), *cut;
		struct pass once, twice, part;
		const char *row, *next;

		pass_open(&once, PLATE, rows, true, false);
		pass_run(&once);
		assert_int_equal(once.status >= 0, 1);
		pass_open(&twice, PLATE, once.text, true, false);
		pass_run(&twice);
		if (strcmp(twice.text, once.text) != 0) {
			size_t same = 0;

			while (twice.text[same] == once.text[same])
				same++;
			while (same > 0 && once.text[same - 1] != '\n')
				same--;
			print_error("%.300s\nover its output:\n%.300s\n", once.text + same, twice.text + same);
			fail();
		}
		assert_int_equal(twice.clean.rejected, 0);
		for (row = once.text; (next = strchr(row, '\n') + 1) != NULL && *next != '\0'; row = next)
			assert_true(strncmp(row, next, 20) <= 0);
		/* Cut where an instant ends. */
		cut = strchr(rows + strlen(rows) / 2, '\n') + 1;
		for (row = cut; *row != '\0' && strncmp(row, cut, 20) == 0; row = strchr(row, '\n') + 1)
			;
		cut = rows + (row - rows);
		*cut = '\0';
		pass_open(&part, PLATE, rows, true, false);
		pass_run(&part);
		assert_int_equal(strncmp(part.text, once.text, part.size), 0);
		pass_close(&part);
		pass_close(&twice);
		pass_close(&once);
		free(rows);
	}
}

int
main(void)
{
	static const struct CMUnitTest tests[] = {
		cmocka_unit_test(what_is_made),
		cmocka_unit_test(which_bottle),
		cmocka_unit_test(whether_it_counts),
		cmocka_unit_test(typed_codes),
		cmocka_unit_test(ratios),
		cmocka_unit_test(wrong_units),
		cmocka_unit_test(random_streams),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
