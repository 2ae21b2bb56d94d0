/* The oil verdict: what is decided by which results, what makes sure of it, mixtures, own limits, age, episodes. */
#include "verdict_pass.h"

#include "physics/oil.h"
#include "random.h"

#define T(day) "2025-" day "T08:00:00Z,NM/sample-return,"
#define ACID "*,acid-number-rise,,,,0.5,1.0,mgKOH/g,,,0,renew,2,yes,,acid-number,Plan it.,\n"
#define WATER "*,water-content,,,,200,500,mg/kg,,,,dry,1,yes,,wet-oil,Find the source.,\n"
#define DIRT "*,iso4406-above-target,,,,0.5,1.5,1,,,,clean,2,yes,,dirty-oil,Clean it.,\n"
#define LOOK "*,viscosity-shift,acid-number-rise<0.3,,-2.5,2.5,,%,,,,look,2,,,other-oil,Find the drum.,\n"
#define VISCOSITY "*,viscosity-shift,,-20,-10,10,20,%,,,0,renew,2,yes,,viscosity,Compare.,\n"
#define PLATE "NM,tank-volume,1200,L,\nNM,oil-viscosity-40,46,mm2/s,\n"

struct decided {
	const char *name;
	const char *oil, *rows, *now;
	enum leat_oil_verdict verdict;
	enum leat_status status;
	bool confirmed;
};

static void
test_decisions(void **state)
{
	static const struct decided cases[] = {
		{ "within", ACID WATER, T("10-12") "water-content,120,mg/kg,good\n" T("10-12") "acid-number-rise,0.1,mgKOH/g,good\n",
		    NULL, LEAT_VERDICT_KEEP, LEAT_STATUS_OK, false },
		{ "at a limit is not beyond", WATER, T("10-12") "water-content,200,mg/kg,good\n", NULL, LEAT_VERDICT_KEEP,
		    LEAT_STATUS_OK, false },
		{ "water", WATER, T("10-12") "water-content,201,mg/kg,good\n", NULL, LEAT_VERDICT_DRY, LEAT_STATUS_ALERT, true },
		{ "much water", WATER, T("10-12") "water-content,501,mg/kg,good\n", NULL, LEAT_VERDICT_DRY, LEAT_STATUS_ALARM, true },
		{ "another unit", "*,free-water,,,,0.1,1,L,,,,dry,1,yes,,free,,\n", T("10-12") "free-water,120,mL,good\n", NULL,
		    LEAT_VERDICT_DRY, LEAT_STATUS_ALERT, true },
		{ "uncertain water", WATER, T("10-12") "water-content,501,mg/kg,uncertain\n", NULL, LEAT_VERDICT_RESAMPLE,
		    LEAT_STATUS_ALERT, false },
		{ "bad is no result", WATER, T("10-12") "water-content,150,mg/kg,good\n" T("10-20") "water-content,,mg/kg,bad\n",
		    NULL, LEAT_VERDICT_KEEP, LEAT_STATUS_OK, false },
		{ "one acid number", ACID, T("10-12") "acid-number-rise,1.2,mgKOH/g,good\n", NULL, LEAT_VERDICT_RESAMPLE,
		    LEAT_STATUS_ALERT, false },
		{ "two acid numbers", ACID, T("10-12") "acid-number-rise,0.6,mgKOH/g,good\n" T("11-12")
		    "acid-number-rise,0.6,mgKOH/g,good\n", NULL, LEAT_VERDICT_RENEW, LEAT_STATUS_ALERT, true },
		{ "an alarm is confirmed too", ACID, T("10-12") "acid-number-rise,0.6,mgKOH/g,good\n" T("11-12")
		    "acid-number-rise,1.2,mgKOH/g,good\n", NULL, LEAT_VERDICT_CHANGE, LEAT_STATUS_ALERT, true },
		{ "two alarms", ACID, T("10-12") "acid-number-rise,1.1,mgKOH/g,good\n" T("11-12")
		    "acid-number-rise,1.2,mgKOH/g,good\n", NULL, LEAT_VERDICT_CHANGE, LEAT_STATUS_ALARM, true },
		{ "a resample on the next day", ACID, T("10-12") "acid-number-rise,0.6,mgKOH/g,good\n" T("10-13")
		    "acid-number-rise,0.62,mgKOH/g,good\n", NULL, LEAT_VERDICT_RENEW, LEAT_STATUS_ALERT, true },
		{ "a resample that is well", ACID, T("10-12") "acid-number-rise,1.6,mgKOH/g,good\n" T("10-13")
		    "acid-number-rise,0.12,mgKOH/g,good\n", NULL, LEAT_VERDICT_KEEP, LEAT_STATUS_OK, false },
		{ "not one after the other", ACID, T("09-12") "acid-number-rise,0.6,mgKOH/g,good\n" T("10-12")
		    "acid-number-rise,0.1,mgKOH/g,good\n" T("11-12") "acid-number-rise,0.6,mgKOH/g,good\n", NULL,
		    LEAT_VERDICT_RESAMPLE, LEAT_STATUS_ALERT, false },
		{ "an uncertain one between", ACID, T("09-12") "acid-number-rise,0.6,mgKOH/g,good\n" T("10-12")
		    "acid-number-rise,0.6,mgKOH/g,uncertain\n" T("11-12") "acid-number-rise,0.6,mgKOH/g,good\n", NULL,
		    LEAT_VERDICT_RENEW, LEAT_STATUS_ALERT, true },
		{ "two points at once are one sampling", ACID, T("10-12") "acid-number-rise,0.6,mgKOH/g,good\n"
		    "2025-10-12T08:05:00Z,NM/sample-off-line,acid-number-rise,0.6,mgKOH/g,good\n", NULL, LEAT_VERDICT_RESAMPLE,
		    LEAT_STATUS_ALERT, false },
		{ "the higher bottle", WATER, "2025-10-12T08:00:00Z,NM/sample-return/bottle-1,water-content,900,mg/kg,good\n"
		    "2025-10-12T08:00:00Z,NM/sample-return/bottle-2,water-content,120,mg/kg,good\n", NULL, LEAT_VERDICT_KEEP,
		    LEAT_STATUS_OK, false },
		{ "fresh oil in its drum", WATER, T("10-12") "water-content,120,mg/kg,good\n"
		    "2025-10-12T08:00:00Z,NM/new-oil,water-content,900,mg/kg,good\n", NULL, LEAT_VERDICT_KEEP, LEAT_STATUS_OK, false },
		{ "water before dirt", WATER DIRT, T("10-12") "water-content,300,mg/kg,good\n" T("10-12")
		    "iso4406-above-target,2,1,good\n" T("10-13") "water-content,300,mg/kg,good\n" T("10-13")
		    "iso4406-above-target,2,1,good\n", NULL, LEAT_VERDICT_DRY, LEAT_STATUS_ALARM, true },
		{ "dirt", DIRT, T("10-12") "iso4406-above-target,1,1,good\n" T("10-13") "iso4406-above-target,1,1,good\n", NULL,
		    LEAT_VERDICT_CLEAN, LEAT_STATUS_ALERT, true },
		{ "what is wet and worn out", WATER ACID, T("10-12") "water-content,300,mg/kg,good\n" T("10-12")
		    "acid-number-rise,1.6,mgKOH/g,good\n" T("10-13") "acid-number-rise,1.6,mgKOH/g,good\n", NULL, LEAT_VERDICT_CHANGE,
		    LEAT_STATUS_ALARM, true },
		{ "wet, and an acid number that is not sure", WATER ACID, T("10-12") "water-content,300,mg/kg,good\n" T("10-12")
		    "acid-number-rise,1.6,mgKOH/g,good\n", NULL, LEAT_VERDICT_DRY, LEAT_STATUS_ALERT, true },
		{ "too old", WATER, T("10-12") "water-content,120,mg/kg,good\n", "2025-11-26T08:00:01Z", LEAT_VERDICT_UNKNOWN,
		    LEAT_STATUS_UNKNOWN, false },
		{ "just fresh", WATER, T("10-12") "water-content,120,mg/kg,good\n", "2025-11-26T08:00:00Z", LEAT_VERDICT_KEEP,
		    LEAT_STATUS_OK, false },
		{ "what was wet is too old", WATER, T("10-12") "water-content,620,mg/kg,good\n", "2025-12-26T08:00:00Z",
		    LEAT_VERDICT_UNKNOWN, LEAT_STATUS_UNKNOWN, false },
		{ "what is needed never came", WATER ACID, T("10-12") "water-content,120,mg/kg,good\n", NULL, LEAT_VERDICT_UNKNOWN,
		    LEAT_STATUS_UNKNOWN, false },
		{ "wet, and what is needed never came", WATER ACID, T("10-12") "water-content,620,mg/kg,good\n", NULL,
		    LEAT_VERDICT_DRY, LEAT_STATUS_ALARM, true },
		{ "another oil is no reason", LOOK WATER, T("10-12") "water-content,120,mg/kg,good\n" T("10-12")
		    "acid-number-rise,0.1,mgKOH/g,good\n" T("10-12") "viscosity-shift,3.7,%,good\n" T("11-12")
		    "acid-number-rise,0.1,mgKOH/g,good\n" T("11-12") "viscosity-shift,3.7,%,good\n", NULL, LEAT_VERDICT_KEEP,
		    LEAT_STATUS_OK, false },
		{ "no value of fresh oil", "*,acid-number-rise,,,,0.5,,mgKOH/g,,,,renew,1,yes,,acid-number,,\n",
		    T("10-12") "acid-number-rise,0.51,mgKOH/g,good\n", NULL, LEAT_VERDICT_CHANGE, LEAT_STATUS_ALERT, true }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		const struct decided *d = &cases[i];
		struct verdict_made made = { .oil = d->oil, .plate = PLATE, .rows = d->rows, .now = d->now };
		const struct leat_verdict_case *c;
		struct verdict_pass p;

		print_message("%s\n", d->name);
		verdict_pass_run(&p, &made);
		assert_int_equal(p.status, 0);
		c = verdict_pass_case(&p, "NM");
		assert_string_equal(leat_oil_verdict_name(c->verdict), leat_oil_verdict_name(d->verdict));
		assert_string_equal(leat_status_name(c->status), leat_status_name(d->status));
		assert_int_equal(c->confirmed, d->confirmed);
		assert_int_equal(verdict_pass_find(&p, "NM", LEAT_VERDICT_RULE, false)->status, d->status);
		verdict_pass_close(&p);
	}
}

/* One random history of water: each result within, over the alert or over the alarm limit, certain or not. */
struct history {
	int n;
	double value[12];
	bool certain[12];
};

/* What is decided, as verdict * 4 + status; results before first and, where sure is set, uncertain ones but the last are left
 * out. */
static int
decide_history(const struct history *h, int confirm, int first, bool sure)
{
	char oil[128];
	struct leat_buf rows = { 0 };
	struct verdict_made made = { .oil = oil };
	struct verdict_pass p;
	int result;

	snprintf(oil, sizeof(oil), "*,water-content,,,,200,500,mg/kg,,,,dry,%d,yes,P90D,wet-oil,,\n", confirm);
	for (int i = first; i < h->n; i++) {
		char stamp[LEAT_TIME_MAX];

		if (sure && !h->certain[i] && i < h->n - 1)
			continue;
		leat_time_write(stamp, leat_time_add(time_of("2025-01-01T00:00:00Z"), i * 10 * 86400.0));
		assert_int_equal(leat_buf_printf(&rows, "%s,NM/sample-return,water-content,%.0f,mg/kg,%s\n", stamp, h->value[i],
		    h->certain[i] ? "good" : "uncertain"), 0);
	}
	assert_int_equal(leat_buf_printf(&rows, "%c", '\0'), 0);
	made.rows = rows.data;
	verdict_pass_run(&p, &made);
	assert_int_equal(p.status, 0);
	result = (int)verdict_pass_case(&p, "NM")->verdict * 4 + (int)verdict_pass_case(&p, "NM")->status;
	verdict_pass_close(&p);
	leat_buf_free(&rows);
	return result;
}

/* Whatever the history: what lies before a result that was certain and within changes nothing, nor do uncertain results that
 * are beyond; one that asks for no confirmation is never told to be taken again; and a worse last result never makes the
 * status better. */
static void
test_histories(void **state)
{
	static const double values[] = { 120, 300, 620 };
	uint64_t seed = 20251106;

	(void)state;
	for (int round = 0; round < 400; round++) {
		struct history h = { .n = 1 + (int)(random_next(&seed) % 12) };
		int confirm = 1 + (int)(random_next(&seed) % 3), first = 0, whole, worse;

		for (int i = 0; i < h.n; i++) {
			h.value[i] = values[random_next(&seed) % 3];
			/* An uncertain result that is within breaks a row as a certain one does. */
			h.certain[i] = h.value[i] < 200 || random_next(&seed) % 4 > 0;
			if (h.value[i] < 200)
				first = i;
		}
		whole = decide_history(&h, confirm, 0, false);
		assert_int_equal(decide_history(&h, confirm, first, false), whole);
		assert_int_equal(decide_history(&h, confirm, 0, true), whole);
		if (confirm == 1 && h.certain[h.n - 1])
			assert_int_not_equal(whole / 4, LEAT_VERDICT_RESAMPLE);
		if (h.value[h.n - 1] < 200)
			assert_int_equal(whole, LEAT_VERDICT_KEEP * 4 + LEAT_STATUS_OK);
		h.value[h.n - 1] = 900;
		worse = decide_history(&h, confirm, 0, false);
		assert_true(worse % 4 >= whole % 4 && worse / 4 >= whole / 4);
	}
}

/* The mixture of the share that is named holds the balance, and is the margin of 20 % away from the limit. */
static void
test_mixtures(void **state)
{
	(void)state;
	for (double rise = 0.501; rise < 1.5; rise *= 1.07) {
		char rows[256];
		struct verdict_made made = { .oil = ACID, .plate = PLATE, .rows = rows };
		const struct leat_verdict_case *c;
		struct verdict_pass p;

		snprintf(rows, sizeof(rows), T("10-12") "acid-number-rise,%.9f,mgKOH/g,good\n" T("11-12")
		    "acid-number-rise,%.9f,mgKOH/g,good\n", rise, rise);
		verdict_pass_run(&p, &made);
		c = verdict_pass_case(&p, "NM");
		unit_close(rise * (1 - c->share), 0.4, 1e-9);
		assert_int_equal(c->verdict, c->share > 0.5 ? LEAT_VERDICT_CHANGE : LEAT_VERDICT_RENEW);
		verdict_pass_close(&p);
	}
	for (double shift = -18; shift < 30; shift += 3.5) {
		char rows[256];
		struct verdict_made made = { .oil = VISCOSITY, .plate = PLATE, .rows = rows };
		const struct leat_verdict_case *c;
		struct verdict_pass p;
		double nu[2] = { 46 * (1 + shift / 100), 46 }, share[2];

		if (fabs(shift) <= 10)
			continue;
		snprintf(rows, sizeof(rows), T("10-12") "viscosity-shift,%.6f,%%,good\n" T("11-12") "viscosity-shift,%.6f,%%,good\n",
		    shift, shift);
		verdict_pass_run(&p, &made);
		c = verdict_pass_case(&p, "NM");
		share[0] = 1 - c->share;
		share[1] = c->share;
		unit_close(leat_oil_blend(nu, share, 2), 46 * (shift > 0 ? 1.08 : 0.92), 1e-4);
		verdict_pass_close(&p);
	}
}

/* Eight results make limits: by hand, the median of 10 12 11 10 13 11 10 12 is 11, the median distance 1, so 1.4826 a spread;
 * alert 2.9652, alarm 4.4478 above it.  The least distance widens that. */
static void
test_own_limits(void **state)
{
	static const char eight[] = T("01-12") "iron,10,mg/kg,good\n" T("02-12") "iron,12,mg/kg,good\n" T("03-12")
	    "iron,11,mg/kg,good\n" T("04-12") "iron,10,mg/kg,good\n" T("05-12") "iron,13,mg/kg,good\n" T("06-12")
	    "iron,11,mg/kg,good\n" T("07-12") "iron,10,mg/kg,good\n" T("08-12") "iron,12,mg/kg,good\n";
	static const struct {
		const char *ninth, *least, *limit;
		enum leat_status status;
		double passed;
	} cases[] = {
		{ "13.96", "0.5", "", LEAT_STATUS_OK, NAN }, { "13.97", "0.5", "", LEAT_STATUS_ALERT, 13.9652 },
		{ "15.44", "0.5", "", LEAT_STATUS_ALERT, 13.9652 }, { "15.45", "0.5", "", LEAT_STATUS_ALARM, 15.4478 },
		{ "15.9", "5", "", LEAT_STATUS_OK, NAN }, { "16.1", "5", "", LEAT_STATUS_ALERT, 16 },
		{ "18.6", "5", "", LEAT_STATUS_ALARM, 18.5 }, { "8", "0.5", "", LEAT_STATUS_OK, NAN },
		/* The nearer of both counts. */
		{ "13.5", "0.5", "13", LEAT_STATUS_ALERT, 13 }, { "14.5", "5", "14", LEAT_STATUS_ALERT, 14 },
		{ "16.1", "5", "17", LEAT_STATUS_ALERT, 16 }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		char oil[256], rows[1024];
		struct verdict_made made = { .oil = oil, .rows = rows };
		const struct leat_verdict_case *c;
		struct verdict_pass p;

		print_message("%s, least %s\n", cases[i].ninth, cases[i].least);
		snprintf(oil, sizeof(oil), "*,iron,,,,%s,,mg/kg,high,%s,,look,1,,,iron,,\n", cases[i].limit, cases[i].least);
		snprintf(rows, sizeof(rows), "%s" T("09-12") "iron,%s,mg/kg,good\n", eight, cases[i].ninth);
		verdict_pass_run(&p, &made);
		c = verdict_pass_case(&p, "NM");
		assert_int_equal(c->evidence[0].result->own_n, 8);
		assert_int_equal(c->evidence[0].result->status, cases[i].status);
		if (!isnan(cases[i].passed))
			unit_close(c->evidence[0].result->limit, cases[i].passed, 1e-4);
		verdict_pass_close(&p);
	}
}

/* Seven results, uncertain ones and those of the oil before make none. */
static void
test_too_few(void **state)
{
	static const char oil[] = "*,iron,,,,,,mg/kg,high,0.5,,look,1,,,iron,,\n";
	struct leat_buf rows = { 0 };
	struct verdict_made made = { .oil = oil, .book = "2025-06-01T00:00:00Z,NM,oil-change,,,,,,,ab,\n" };
	struct verdict_pass p;

	(void)state;
	for (int month = 1; month <= 12; month++)
		assert_int_equal(leat_buf_printf(&rows, "2025-%02d-12T08:00:00Z,NM/sample-return,iron,%d,mg/kg,%s\n", month,
		    month < 12 ? 10 : 40, month == 8 ? "uncertain" : "good"), 0);
	assert_int_equal(leat_buf_printf(&rows, "%c", '\0'), 0);
	made.rows = rows.data;
	verdict_pass_run(&p, &made);
	assert_int_equal(verdict_pass_case(&p, "NM")->evidence[0].result->own_n, 5);
	/* What has no limits is not ok: nothing is said of it, unless the works needs it. */
	assert_null(verdict_pass_find(&p, "NM", "iron", false));
	verdict_pass_close(&p);
	made.oil = "*,iron,,,,,,mg/kg,high,0.5,,look,1,yes,,iron,,\n";
	verdict_pass_run(&p, &made);
	assert_int_equal(verdict_pass_find(&p, "NM", "iron", false)->status, LEAT_STATUS_UNKNOWN);
	assert_non_null(strstr(p.text, "cannot tell: iron has no limits of its own yet, by 5 results before it of 8 that are needed"));
	verdict_pass_close(&p);
	/* A limit of the row judges from the first on. */
	made.oil = "*,iron,,,,50,,mg/kg,high,0.5,,look,1,,,iron,,\n";
	verdict_pass_run(&p, &made);
	assert_int_equal(verdict_pass_find(&p, "NM", "iron", false)->status, LEAT_STATUS_OK);
	verdict_pass_close(&p);
	made.oil = oil;
	made.book = NULL;
	verdict_pass_run(&p, &made);
	assert_int_equal(verdict_pass_case(&p, "NM")->evidence[0].result->own_n, 10);
	assert_int_equal(verdict_pass_find(&p, "NM", "iron", false)->status, LEAT_STATUS_ALARM);
	verdict_pass_close(&p);
	leat_buf_free(&rows);
}

/* Own results that drift evenly never pass a limit made of the range they had: half the range is less than 2 x 1.4826
 * quarters of it.  The next step of the drift may, where the steps are as wide as that; with 24 results they are not. */
static void
test_drift(void **state)
{
	struct leat_buf rows = { 0 };
	struct verdict_made made = { .oil = "*,iron,,,,,,mg/kg,high,0.001,,look,1,,,iron,,\n", .since = "2020-01-01T00:00:00Z" };
	struct verdict_pass p;

	(void)state;
	for (int week = 0; week < 120; week++) {
		char stamp[LEAT_TIME_MAX];

		leat_time_write(stamp, leat_time_add(time_of("2022-01-01T00:00:00Z"), week * 7 * 86400.0));
		assert_int_equal(leat_buf_printf(&rows, "%s,NM/sample-return,iron,%.3f,mg/kg,good\n", stamp, 10 + 0.1 * week), 0);
	}
	assert_int_equal(leat_buf_printf(&rows, "%c", '\0'), 0);
	made.rows = rows.data;
	verdict_pass_run(&p, &made);
	assert_null(verdict_pass_find(&p, "NM", "iron", true));
	assert_int_equal(verdict_pass_find(&p, "NM", "iron", false)->status, LEAT_STATUS_OK);
	verdict_pass_close(&p);
	leat_buf_free(&rows);
}

static void
unit_time(struct leat_time actual, const char *expected)
{
	char text[LEAT_TIME_MAX] = "none";

	if (!leat_time_is_none(actual))
		leat_time_write(text, actual);
	assert_string_equal(text, expected);
}

/* An episode begins with the first sampling beyond, worsens, and ends with the first that is in order; its verdict is that
 * of its worst.  A later night tells the same. */
static void
test_episodes(void **state)
{
	static const char rows[] = T("10-12") "water-content,120,mg/kg,good\n" T("11-06") "water-content,250,mg/kg,good\n"
	    T("11-09") "water-content,622,mg/kg,good\n" T("11-12") "water-content,408,mg/kg,good\n" T("12-12")
	    "water-content,123,mg/kg,good\n";
	struct verdict_made made = { .oil = WATER, .plate = PLATE, .rows = rows, .now = "2025-11-13T00:00:00Z" };
	const struct leat_finding *f;
	struct verdict_pass p;

	(void)state;
	verdict_pass_run(&p, &made);
	f = verdict_pass_find(&p, "NM", LEAT_VERDICT_RULE, false);
	assert_int_equal(f->status, LEAT_STATUS_ALERT);
	unit_time(f->since, "2025-11-06T08:00:00Z");
	unit_time(f->time, "2025-11-12T08:00:00Z");
	verdict_pass_close(&p);
	made.now = "2025-12-13T00:00:00Z";
	verdict_pass_run(&p, &made);
	f = verdict_pass_find(&p, "NM", LEAT_VERDICT_RULE, true);
	assert_int_equal(f->status, LEAT_STATUS_ALARM);
	unit_time(f->since, "2025-11-06T08:00:00Z");
	unit_time(f->time, "2025-11-09T08:00:00Z");
	unit_time(f->until, "2025-12-12T08:00:00Z");
	assert_non_null(strstr(p.text, "622 mg/kg, over 500"));
	assert_int_equal(verdict_pass_find(&p, "NM", LEAT_VERDICT_RULE, false)->status, LEAT_STATUS_OK);
	verdict_pass_close(&p);
	/* Of two alarms the later is told. */
	made.rows = T("11-06") "water-content,622,mg/kg,good\n" T("11-09") "water-content,530,mg/kg,good\n" T("12-12")
	    "water-content,123,mg/kg,good\n";
	verdict_pass_run(&p, &made);
	assert_non_null(strstr(p.text, "530 mg/kg, over 500"));
	verdict_pass_close(&p);
	made.now = "2025-12-14T08:00:01Z";
	made.rows = rows;
	verdict_pass_run(&p, &made);
	assert_null(verdict_pass_find(&p, "NM", LEAT_VERDICT_RULE, true));
	verdict_pass_close(&p);
}

/* New oil ends what was, and until its first sample nothing is known of it. */
static void
test_change(void **state)
{
	struct verdict_made made = {
		.oil = ACID, .plate = PLATE, .rows = T("10-12") "acid-number-rise,1.1,mgKOH/g,good\n" T("11-12")
		    "acid-number-rise,1.2,mgKOH/g,good\n" T("12-12") "acid-number-rise,0.02,mgKOH/g,good\n",
		.book = "2025-12-01T08:00:00Z,NM,oil-change,,,,,,,ab,\n", .now = "2025-12-02T00:00:00Z"
	};
	const struct leat_finding *f;
	struct verdict_pass p;

	(void)state;
	verdict_pass_run(&p, &made);
	f = verdict_pass_find(&p, "NM", LEAT_VERDICT_RULE, true);
	assert_int_equal(f->status, LEAT_STATUS_ALARM);
	unit_time(f->until, "2025-12-01T08:00:00Z");
	f = verdict_pass_find(&p, "NM", LEAT_VERDICT_RULE, false);
	assert_int_equal(f->status, LEAT_STATUS_UNKNOWN);
	assert_non_null(strstr(p.text, "no sample since it was changed on 2025-12-01"));
	verdict_pass_close(&p);
	made.now = "2025-12-13T00:00:00Z";
	verdict_pass_run(&p, &made);
	assert_int_equal(verdict_pass_find(&p, "NM", LEAT_VERDICT_RULE, false)->status, LEAT_STATUS_OK);
	verdict_pass_close(&p);
}

static void
test_look(void **state)
{
	struct verdict_made made = {
		.oil = LOOK, .plate = PLATE "NM,other-oil-grade,VG 100,,\n",
		.rows = T("05-12") "acid-number-rise,0.04,mgKOH/g,good\n" T("05-12") "viscosity-shift,3.9,%,good\n"
		    T("06-12") "acid-number-rise,0.05,mgKOH/g,good\n" T("06-12") "viscosity-shift,3.7,%,good\n"
		    T("06-12") "wrong-oil-share,4.8,%,good\n", .now = "2025-05-13T00:00:00Z"
	};
	const struct leat_finding *f;
	struct verdict_pass p;

	(void)state;
	verdict_pass_run(&p, &made);
	assert_int_equal(verdict_pass_find(&p, "NM", "other-oil", false)->status, LEAT_STATUS_OK);
	verdict_pass_close(&p);
	made.now = NULL;
	verdict_pass_run(&p, &made);
	f = verdict_pass_find(&p, "NM", "other-oil", false);
	assert_int_equal(f->status, LEAT_STATUS_ALERT);
	unit_span(f->point, "viscosity-shift");
	unit_span(f->value, "3.7");
	unit_span(f->limit, "2.5");
	unit_span(f->unit, "%");
	/* 4.8 % of 1200 L. */
	assert_non_null(strstr(p.text, "4.8 %, 58 L, of VG 100"));
	verdict_pass_close(&p);
	/* A viscosity that rises with the acid number is oxidation, and no other oil: the row says nothing of it. */
	made.rows = T("05-12") "acid-number-rise,0.4,mgKOH/g,good\n" T("05-12") "viscosity-shift,3.9,%,good\n"
	    T("06-12") "acid-number-rise,0.4,mgKOH/g,good\n" T("06-12") "viscosity-shift,3.7,%,good\n";
	verdict_pass_run(&p, &made);
	assert_null(verdict_pass_find(&p, "NM", "other-oil", false));
	verdict_pass_close(&p);
}

/* What leat-oil says of the times, and never. */
static void
test_hours(void **state)
{
	struct verdict_made made = {
		.oil = WATER, .plate = PLATE, .rows = T("10-12") "water-content,300,mg/kg,good\n" T("10-12") "drying-time,31.5,h,good\n"
	};
	struct verdict_pass p;

	(void)state;
	verdict_pass_run(&p, &made);
	unit_close(verdict_pass_case(&p, "NM")->dry_h, 31.5, 0);
	assert_non_null(strstr(p.text, "drying takes 32 h"));
	verdict_pass_close(&p);
	made.rows = T("10-12") "water-content,300,mg/kg,good\n" T("10-12") "drying-time,,h,bad\n";
	verdict_pass_run(&p, &made);
	assert_true(isinf(verdict_pass_case(&p, "NM")->dry_h));
	assert_non_null(strstr(p.text, ",never,"));
	verdict_pass_close(&p);
	/* That of an older sample says nothing of this one. */
	made.rows = T("09-12") "drying-time,31.5,h,good\n" T("10-12") "water-content,300,mg/kg,good\n";
	verdict_pass_run(&p, &made);
	assert_true(isnan(verdict_pass_case(&p, "NM")->dry_h));
	verdict_pass_close(&p);
}

static void
test_units(void **state)
{
	struct verdict_made made = { .oil = WATER, .rows = T("10-12") "water-content,300,bar,good\n" };
	struct verdict_pass p;

	(void)state;
	verdict_pass_run(&p, &made);
	assert_int_equal(p.status, -1);
	assert_non_null(strstr(p.err.text, "cannot be compared"));
	verdict_pass_close(&p);
	/* Nothing of a sampling point: one finding that says so. */
	made.rows = "2025-10-12T08:00:00Z,NM,water-content,300,mg/kg,good\n";
	made.shipped = true;
	made.oil = NULL;
	verdict_pass_run(&p, &made);
	assert_int_equal(verdict_pass_find(&p, "*", "no-oil-judged", false)->status, LEAT_STATUS_UNKNOWN);
	assert_int_equal(p.found.count, 1);
	verdict_pass_close(&p);
}

/* More results than are kept: the newest stay, and the verdict is theirs. */
static void
test_many(void **state)
{
	struct leat_buf rows = { 0 };
	struct verdict_made made = { .oil = WATER, .plate = PLATE };
	struct verdict_pass p;

	(void)state;
	for (int hour = 0; hour < 1100; hour++) {
		char stamp[LEAT_TIME_MAX];

		leat_time_write(stamp, leat_time_add(time_of("2025-01-01T00:00:00Z"), hour * 3.0 * 3600));
		assert_int_equal(leat_buf_printf(&rows, "%s,NM/sensor,water-content,%d,mg/kg,good\n", stamp, hour < 1099 ? 100 : 501),
		    0);
	}
	assert_int_equal(leat_buf_printf(&rows, "%c", '\0'), 0);
	made.rows = rows.data;
	verdict_pass_run(&p, &made);
	assert_true(p.verdict->watch[0].results <= LEAT_VERDICT_KEPT);
	assert_int_equal(verdict_pass_case(&p, "NM")->verdict, LEAT_VERDICT_DRY);
	assert_int_equal(p.verdict->count.results, 1100);
	verdict_pass_close(&p);
	leat_buf_free(&rows);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_decisions), cmocka_unit_test(test_histories), cmocka_unit_test(test_mixtures), cmocka_unit_test(test_own_limits),
		cmocka_unit_test(test_too_few), cmocka_unit_test(test_drift), cmocka_unit_test(test_episodes),
		cmocka_unit_test(test_change), cmocka_unit_test(test_look), cmocka_unit_test(test_hours),
		cmocka_unit_test(test_units), cmocka_unit_test(test_many)
	};

	return cmocka_run_group_tests_name("verdict", tests, NULL, NULL);
}
