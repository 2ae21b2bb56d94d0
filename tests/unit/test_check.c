/* The check engine: evidence, gates, kinds, units, and what is kept.  Episodes have their own test. */
#include "latest_of.h"

#include "random.h"
#include "stream/check.h"

#define LIMITS_HEAD \
	"asset,point,when,low_alarm,low_alert,high_alert,high_alarm,unit,deadband,on_delay,off_delay,max_rate,max_age,max_flat,rule\n"

/* One run: limits and points as text, readings as text, findings as lines of asset,point,rule,status,value,since,until. */
struct run {
	struct latest_of l;
	struct table_file limits_file, points_file;
	struct leat_limits limits;
	struct leat_points points;
	struct leat_check *check;
	struct leat_buf lines;
	char warned[1024];
	struct leat_error err;
	int status;
};

static struct run *warned_run;

static void
warn(const char *text)
{
	size_t len = strlen(warned_run->warned);

	snprintf(warned_run->warned + len, sizeof(warned_run->warned) - len, "%s\n", text);
}

/* The time of day, since all runs lie in one day; "-" for none. */
static void
add_clock(struct leat_buf *lines, struct leat_time t)
{
	struct leat_civil c = leat_civil_from_time(t, 0);

	if (leat_time_is_none(t))
		assert_int_equal(leat_buf_printf(lines, ",-"), 0);
	else
		assert_int_equal(leat_buf_printf(lines, ",%02d:%02d:%02d", c.hour, c.minute, c.second), 0);
}

static void
found(void *user, const struct leat_finding *f)
{
	struct leat_buf *lines = user;

	assert_int_equal(leat_buf_printf(lines, "%.*s,%.*s,%.*s,%s,%.*s", (int)f->asset.len, f->asset.ptr, (int)f->point.len,
	    f->point.ptr, (int)f->rule.len, f->rule.ptr, leat_status_name(f->status), (int)f->value.len,
	    f->value.ptr != NULL ? f->value.ptr : ""), 0);
	add_clock(lines, f->since);
	add_clock(lines, f->until);
	assert_int_equal(leat_buf_add(lines, "\n", 1), 0);
	assert_true(f->message.len > 0);
}

/* Judges; r->status is that of the engine. */
static void
judge(struct run *r, const char *limits, const char *points, const char *rows, bool all)
{
	struct leat_check_form form = { .warn = warn, .all = all, .now = LEAT_TIME_NONE, .since_time = LEAT_TIME_NONE };

	memset(r, 0, sizeof(*r));
	warned_run = r;
	r->limits_file = table_file_text(limits);
	r->points_file = table_file_text(points != NULL ? points : "tag,asset,point,unit\n");
	if (leat_limits_read(&r->limits, r->limits_file.path, NULL, &r->err) != 0 ||
	    leat_points_read(&r->points, r->points_file.path, NULL, &r->err) != 0)
		fail_msg("%s", r->err.text);
	latest_open(&r->l, rows, &r->points);
	form.in = r->l.in;
	form.limits = &r->limits;
	form.points = &r->points;
	form.since.days = 1;
	r->check = leat_check_new(&form);
	assert_non_null(r->check);
	while (r->status == 0 && leat_readings_next(r->l.in, &r->l.last, &r->err) == LEAT_READINGS_ROW)
		r->status = leat_check_take(r->check, &r->l.last, &r->err);
	if (r->status == 0)
		r->status = leat_check_end(r->check, &r->err);
	if (r->status == 0)
		r->status = leat_check_findings(r->check, NULL, found, &r->lines, &r->err);
}

static void
done(struct run *r)
{
	leat_check_free(r->check);
	leat_buf_free(&r->lines);
	latest_close(&r->l);
	leat_points_free(&r->points);
	leat_limits_free(&r->limits);
	table_file_drop(&r->limits_file);
	table_file_drop(&r->points_file);
}

/* The lines of one rule only: the shipped rows have findings of their own. */
static void
expect(const char *name, struct run *r, const char *rule, const char *want)
{
	struct leat_span rest = leat_buf_span(&r->lines), line;
	struct leat_buf got = { 0 };
	char middle[64];

	snprintf(middle, sizeof(middle), ",%s,", rule);
	while (leat_span_next(&rest, '\n', &line)) {
		char text[512];

		snprintf(text, sizeof(text), "%.*s", (int)line.len, line.ptr != NULL ? line.ptr : "");
		if (strstr(text, middle) != NULL)
			assert_int_equal(leat_buf_printf(&got, "%s\n", text), 0);
	}
	if (!leat_span_is(leat_buf_span(&got), want)) {
		print_error("%s:\n%.*sexpected:\n%s", name, (int)got.len, got.data != NULL ? got.data : "", want);
		fail();
	}
	leat_buf_free(&got);
}

#define T(clock) "2025-11-03T" clock "Z"
#define P(clock, value) T(clock) ",NM,pressure," value ",bar,good\n"
#define S(clock, value) T(clock) ",NM,state," value ",,good\n"

static void
stories(void **state)
{
	static const struct {
		const char *name, *limits, *rows, *rule, *want;
	} row[] = {
		{ "a low spell", LIMITS_HEAD "NM,pressure,,100,110,,,bar,1,PT10M,PT10M,,,,low\n",
		    P("04:00:00", "120") P("04:10:00", "105.5") P("04:20:00", "99") P("04:30:00", "120") P("04:40:00", "120"), "low",
		    "NM,pressure,low,ok,120,-,-\nNM,pressure,low,alarm,99,04:10:00,04:30:00\n" },
		{ "a limit in another unit", LIMITS_HEAD "NM,pressure,,10,11,,,MPa,0.1,,,,,,low\n",
		    P("04:00:00", "120") P("04:10:00", "105") P("04:20:00", "110.5") P("04:30:00", "111"), "low",
		    "NM,pressure,low,ok,111,-,-\nNM,pressure,low,alert,105,04:10:00,04:30:00\n" },
		{ "a gap clears nothing", LIMITS_HEAD "NM,pressure,,,110,,,bar,,PT10M,PT10M,,,,low\n",
		    P("04:00:00", "105") P("04:10:00", "105") P("06:00:00", "105") P("06:05:00", "105"), "low",
		    "NM,pressure,low,alert,105,04:00:00,-\n" },
		{ "mostly gaps: cannot tell", LIMITS_HEAD "NM,pressure,,,110,,,bar,,PT10M,PT10M,,,,low\n",
		    P("04:00:00", "120") P("05:00:00", "120") P("06:00:00", "120"), "low",
		    "NM,pressure,low,unknown,,04:00:00,-\n" },
		{ "lost before the others: cannot tell", LIMITS_HEAD "NM,pressure,,,110,,,bar,,,,,,,low\n",
		    P("04:00:00", "120") P("04:10:00", "120") P("04:20:00", "120") P("04:30:00", "120")
		    T("04:50:00") ",NM,level,500,mm,good\n", "low", "NM,pressure,low,unknown,,04:30:00,-\n" },
		{ "within its hold at the end", LIMITS_HEAD "NM,pressure,,,110,,,bar,,,,,,,low\n",
		    P("04:00:00", "120") T("04:15:00") ",NM,level,500,mm,good\n", "low", "NM,pressure,low,ok,120,-,-\n" },
		{ "all bad: cannot tell", LIMITS_HEAD "NM,pressure,,,110,,,bar,,,,,,,low\n",
		    T("04:00:00") ",NM,pressure,,bar,bad\n" T("04:01:00") ",NM,pressure,3,bar,bad\n", "low",
		    "NM,pressure,low,unknown,,04:00:00,-\n" },
		{ "bad readings are none", LIMITS_HEAD "NM,pressure,,,110,,,bar,,,,,,,low\n",
		    P("04:00:00", "120") T("04:01:00") ",NM,pressure,3,bar,bad\n" P("04:02:00", "121.5"), "low",
		    "NM,pressure,low,ok,121.5,-,-\n" },
		{ "uncertain ones are judged", LIMITS_HEAD "NM,pressure,,,110,,,bar,,,,,,,low\n",
		    P("04:00:00", "120") T("04:01:00") ",NM,pressure,3,bar,uncertain\n", "low",
		    "NM,pressure,low,alert,3,04:01:00,-\n" },
		{ "the gate keeps a stop out", LIMITS_HEAD "NM,pressure,state=grinding,,110,,,bar,,,,,,,low\n",
		    P("04:00:00", "120") S("04:00:00", "grinding") P("04:10:00", "3") S("04:10:00", "off") P("04:20:00", "3"), "low",
		    "NM,pressure,low,ok,3,-,-\n" },
		{ "a stop does not clear", LIMITS_HEAD "NM,pressure,state=grinding,,110,,,bar,,,,,,,low\n",
		    P("04:00:00", "105") S("04:00:00", "grinding") P("04:05:00", "105") P("04:10:00", "3") S("04:10:00", "off")
		    P("04:20:00", "3"), "low", "NM,pressure,low,alert,105,04:00:00,-\n" },
		{ "a good reading after the stop does", LIMITS_HEAD "NM,pressure,state=grinding,,110,,,bar,,,,,,,low\n",
		    P("04:00:00", "105") S("04:00:00", "grinding") P("04:05:00", "105") P("04:10:00", "3") S("04:10:00", "off")
		    P("04:20:00", "120") S("04:20:00", "grinding"), "low",
		    "NM,pressure,low,ok,120,-,-\nNM,pressure,low,alert,105,04:00:00,04:05:00\n" },
		{ "never to be judged: no word", LIMITS_HEAD "NM,pressure,state=grinding,,110,,,bar,,,,,,,low\n",
		    S("04:00:00", "off") P("04:00:00", "3") P("04:10:00", "3"), "low", "" },
		{ "off, and unknown for a moment: no word either", LIMITS_HEAD "NM,pressure,state=grinding,,110,,,bar,,,,,,,low\n",
		    S("04:00:00", "off") P("04:00:00", "3") P("04:10:00", "3") S("04:12:00", "unknown") P("04:12:00", "3")
		    P("04:13:00", "3") S("04:14:00", "off") P("04:14:00", "3"), "low", "" },
		{ "a word where a number is due is no evidence", LIMITS_HEAD "NM,pressure,,,110,,,bar,,PT10M,PT10M,,,,low\n",
		    P("04:00:00", "105") P("04:06:00", "lost") P("04:12:00", "lost") P("04:14:00", "105"), "low",
		    "NM,pressure,low,ok,105,-,-\n" },
		{ "no state: cannot tell", LIMITS_HEAD "NM,pressure,state=grinding,,110,,,bar,,,,,,,low\n",
		    P("04:00:00", "120") P("04:10:00", "120") P("04:20:00", "120"), "low", "NM,pressure,low,unknown,,04:00:00,-\n" },
		{ "an unknown state freezes", LIMITS_HEAD "NM,pressure,state=grinding,,110,,,bar,,PT10M,,,,,low\n",
		    S("04:00:00", "grinding") P("04:00:00", "105") P("04:08:00", "105") P("04:10:00", "130") S("04:10:00", "unknown")
		    P("04:12:00", "105") S("04:12:00", "grinding") P("04:14:00", "105"), "low",
		    "NM,pressure,low,alert,105,04:00:00,-\n" },
		{ "a state other than off is not unknown", LIMITS_HEAD "NM,pressure,state!=off,,110,,,bar,,,,,,,low\n",
		    S("04:00:00", "unknown") P("04:00:00", "3") P("04:10:00", "3"), "low", "NM,pressure,low,unknown,,04:00:00,-\n" },
		{ "a switch as a number", LIMITS_HEAD "NM,pump-running,,,0.5,,,,,,,,,,pump-off\n",
		    T("04:00:00") ",NM,pump-running,on,,good\n" T("04:10:00") ",NM,pump-running,off,,good\n", "pump-off",
		    "NM,pump-running,pump-off,alert,0,04:10:00,-\n" },
		{ "a rate over the time that passed", LIMITS_HEAD "NM,pressure,,,,,,bar,,,,5/min,,,fast\n",
		    P("04:00:00", "100") P("04:10:00", "149") P("04:12:00", "160") P("04:13:00", "161"), "fast",
		    "NM,pressure,fast,ok,,-,-\nNM,pressure,fast,alert,5.50,04:10:00,04:12:00\n" },
		{ "noise within a minute is no rate", LIMITS_HEAD "NM,pressure,,,,,,bar,,,,5/min,,,fast\n",
		    P("04:00:00", "100") P("04:00:01", "101") P("04:00:02", "100") P("04:00:03", "101") P("04:01:03", "100"), "fast",
		    "NM,pressure,fast,ok,,-,-\n" },
		{ "a step across a gap is no rate", LIMITS_HEAD "NM,pressure,,,,,,bar,,,,1/min,,,fast\n",
		    P("04:00:00", "100") P("04:10:00", "100") P("04:20:00", "100") P("04:35:01", "200") P("04:45:00", "200"), "fast",
		    "NM,pressure,fast,ok,,-,-\n" },
		{ "frozen by the clock", LIMITS_HEAD "NM,pressure,,,,,,,,,,,,PT20M,still\n",
		    P("04:00:00", "100") P("04:10:00", "100.0") P("04:20:00", "100") P("04:21:00", "100"), "still",
		    "NM,pressure,still,alert,0.35,04:00:00,-\n" },
		{ "any change resets", LIMITS_HEAD "NM,pressure,,,,,,,,,,,,PT20M,still\n",
		    P("04:00:00", "100") P("04:10:00", "100.1") P("04:20:00", "100") P("04:29:00", "100"), "still",
		    "NM,pressure,still,ok,,-,-\n" },
		{ "a bad reading is no change", LIMITS_HEAD "NM,pressure,,,,,,,,,,,,PT20M,still\n",
		    P("04:00:00", "100") P("04:10:00", "100") T("04:15:00") ",NM,pressure,3,bar,bad\n" P("04:21:00", "100"), "still",
		    "NM,pressure,still,alert,0.35,04:00:00,-\n" },
		{ "frozen counts gated time only", LIMITS_HEAD "NM,pressure,state=grinding,,,,,,,,,,,PT20M,still\n",
		    S("04:00:00", "grinding") P("04:00:00", "100") P("04:10:00", "100") S("04:20:00", "off") P("04:20:00", "100")
		    P("04:30:00", "100") S("04:40:00", "grinding") P("04:40:00", "100") P("04:49:00", "100"), "still",
		    "NM,pressure,still,ok,,-,-\n" },
		{ "a frozen spell that ended", LIMITS_HEAD "NM,pressure,,,,,,,,,,,,PT20M,still\n",
		    P("04:00:00", "100") P("04:10:00", "100") P("04:20:00", "100") P("04:30:00", "101"), "still",
		    "NM,pressure,still,ok,,-,-\nNM,pressure,still,alert,0.33,04:00:00,04:20:00\n" },
		{ "a word that stands", LIMITS_HEAD "NM,iso4406,,,,,,,,,,,,PT20M,still\n",
		    T("04:00:00") ",NM,iso4406,18/16/13,,good\n" T("04:30:00") ",NM,iso4406,18/16/13,,good\n", "still",
		    "NM,iso4406,still,alert,0.50,04:00:00,-\n" },
		{ "stale at the end", LIMITS_HEAD "NM,pressure,,,,,,,,,,,PT1H,,old\n",
		    P("04:00:00", "100") T("05:30:00") ",NM,level,500,mm,good\n", "old", "NM,pressure,old,alert,1.50,04:00:00,-\n" },
		{ "stale and over", LIMITS_HEAD "NM,pressure,,,,,,,,,,,PT1H,,old\n",
		    P("04:00:00", "100") P("05:30:00", "100"), "old",
		    "NM,pressure,old,ok,,-,-\nNM,pressure,old,alert,1.50,04:00:00,05:30:00\n" },
		{ "kinds of one row", LIMITS_HEAD "NM,pressure,,,110,,,bar,,,,5/min,PT1H,PT1H,all\n",
		    P("04:00:00", "120") P("04:10:00", "120"), "all-stale", "NM,pressure,all-stale,ok,,-,-\n" },
		{ "a row switched off", LIMITS_HEAD "NM,oil-temperature,,,,,,,,,,,,,hot-oil\n",
		    T("04:00:00") ",NM,oil-temperature,99,degC,good\n", "hot-oil", "" },
		{ "a row that matches nothing", LIMITS_HEAD "XM,pressure,,,110,,,bar,,,,,,,low\n", P("04:00:00", "120"), "low",
		    "XM,pressure,low,unknown,,-,-\n" },
		{ "nothing judged", LIMITS_HEAD, T("04:00:00") ",NM,level,500,mm,good\n", "nothing-judged",
		    "*,*,nothing-judged,unknown,,-,-\n" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof(row) / sizeof(row[0]); i++) {
		struct run r;

		judge(&r, row[i].limits, NULL, row[i].rows, true);
		if (r.status != 0)
			fail_msg("%s: %s", row[i].name, r.err.text);
		expect(row[i].name, &r, row[i].rule, row[i].want);
		done(&r);
	}
}

/* A point that points.csv promises and that never came: by age where a row has one, else it cannot be told. */
static void
promised(void **state)
{
	struct run r;

	(void)state;
	judge(&r, LIMITS_HEAD "NM,vibration,,,,8,,mm/s,,,,,,,shaking\n", "tag,asset,point,unit\nV,NM,vibration,mm/s\n,NM,pressure,bar\n"
	    "W,NM,feed-rate,t/h\nX,NM,my-own,\n", T("04:00:00") ",NM,feed-rate,99,t/h,good\n", true);
	assert_int_equal(r.status, 0);
	/* Of a minute nobody knows what comes once a day. */
	expect("pressure", &r, "stale", "NM,feed-rate,stale,ok,,-,-\nNM,pressure,stale,unknown,,-,-\n");
	expect("vibration", &r, "shaking", "NM,vibration,shaking,unknown,,-,-\n");
	done(&r);
	for (int late = 0; late < 2; late++) {
		judge(&r, LIMITS_HEAD, "tag,asset,point,unit\n,NM,pressure,bar\n", late == 0 ?
		    "2025-11-02T04:00:00Z,NM,feed-rate,99,t/h,good\n2025-11-02T16:00:00Z,NM,feed-rate,98,t/h,good\n"
		    T("04:00:00") ",NM,feed-rate,99,t/h,good\n" :
		    "2025-11-02T04:00:00Z,NM,feed-rate,99,t/h,good\n2025-11-02T16:00:00Z,NM,feed-rate,98,t/h,good\n"
		    T("04:00:01") ",NM,feed-rate,99,t/h,good\n", true);
		assert_int_equal(r.status, 0);
		expect("a day", &r, "stale", late == 0 ? "NM,feed-rate,stale,ok,,-,-\nNM,pressure,stale,unknown,,-,-\n" :
		    "NM,feed-rate,stale,ok,,-,-\nNM,pressure,stale,alert,,-,-\n");
		done(&r);
	}
}

static void
units_that_do_not_fit(void **state)
{
	struct run r;
	char text[1024];

	(void)state;
	judge(&r, LIMITS_HEAD "NM,own,,,110,,,bar,,,,,,,low\n", NULL, T("04:00:00") ",NM,own,99,degC,good\n", false);
	assert_int_equal(r.status, -1);
	leat_error_format(&r.err, text, sizeof(text));
	assert_non_null(strstr(text, "'own' of 'NM' cannot be compared with the 'bar' of "));
	assert_non_null(strstr(text, "'degC'"));
	done(&r);
	judge(&r, LIMITS_HEAD "NM,own,,,110,,,bar,,,,,,,low\n", NULL, T("04:00:00") ",NM,own,99,bar,good\n"
	    T("04:01:00") ",NM,own,99,degC,good\n", false);
	assert_int_equal(r.status, -1);
	done(&r);
	/* Without a unit the limit's is taken, and said. */
	judge(&r, LIMITS_HEAD "NM,own,,,110,,,bar,,,,,,,low\n", NULL, T("04:00:00") ",NM,own,99,,good\n", false);
	assert_int_equal(r.status, 0);
	expect("no unit", &r, "low", "NM,own,low,alert,99,04:00:00,-\n");
	assert_non_null(strstr(r.warned, "comes without a unit"));
	done(&r);
	/* Later readings in another unit of the dimension are converted. */
	judge(&r, LIMITS_HEAD "NM,own,,,110,,,bar,,,,,,,low\n", NULL, T("04:00:00") ",NM,own,111,bar,good\n"
	    T("04:01:00") ",NM,own,10.5,MPa,good\n", false);
	assert_int_equal(r.status, 0);
	expect("MPa", &r, "low", "NM,own,low,alert,105.00,04:01:00,-\n");
	done(&r);
}

/* A signal that chatters all day: its episodes are folded into few findings that still add up, and -a keeps all. */
static void
chatter(void **state)
{
	struct leat_buf rows = { 0 };
	struct run r;
	struct leat_check_count count;

	(void)state;
	for (int i = 0; i < 1000; i++)
		assert_int_equal(leat_buf_printf(&rows, "2025-11-03T%02d:%02d:00Z,NM,own,%d,bar,good\n", i / 60, i % 60,
		    i % 2 == 0 ? 100 : 120), 0);
	assert_int_equal(leat_buf_add(&rows, "", 1), 0);
	judge(&r, LIMITS_HEAD "NM,own,,,110,,,bar,,,,,,,low\n", NULL, rows.data, false);
	count = leat_check_counted(r.check);
	assert_int_equal(count.written, LEAT_CHECK_KEPT);
	assert_true(strncmp(r.lines.data, "NM,own,low,alert,100,00:00:00,", 30) == 0);
	done(&r);
	judge(&r, LIMITS_HEAD "NM,own,,,110,,,bar,,,,,,,low\n", NULL, rows.data, true);
	count = leat_check_counted(r.check);
	assert_int_equal(count.written, 500 + 1);
	done(&r);
	leat_buf_free(&rows);
}

/* Gate and judged point in either order within an instant: the findings are the same. */
static void
order_within_an_instant_does_not_matter(void **state)
{
	static const char *const limits = LIMITS_HEAD "NM,pressure,state=grinding,95,100,120,125,bar,2,PT5M,PT7M,5/min,,,band\n";
	uint64_t seed = 3;

	(void)state;
	for (int trial = 0; trial < 20; trial++) {
		struct leat_buf one = { 0 }, other = { 0 };
		struct run a, b;

		for (int i = 0; i < 200; i++) {
			char word[80], value[80];

			snprintf(word, sizeof(word), "2025-11-03T%02d:%02d:00Z,NM,state,%s,,good\n", i / 12, i % 12 * 5,
			    random_below(&seed, 6) == 0 ? "off" : "grinding");
			snprintf(value, sizeof(value), "2025-11-03T%02d:%02d:00Z,NM,pressure,%u,bar,good\n", i / 12, i % 12 * 5,
			    92 + random_below(&seed, 36));
			assert_int_equal(leat_buf_printf(&one, "%s%s", word, value), 0);
			assert_int_equal(leat_buf_printf(&other, "%s%s", value, word), 0);
		}
		judge(&a, limits, NULL, one.data, true);
		judge(&b, limits, NULL, other.data, true);
		assert_int_equal(a.status, 0);
		assert_int_equal(b.status, 0);
		assert_true(leat_span_eq(leat_buf_span(&a.lines), leat_buf_span(&b.lines)));
		assert_non_null(strstr(a.lines.data, ",band,alarm,"));
		done(&a);
		done(&b);
		leat_buf_free(&one);
		leat_buf_free(&other);
	}
}

/* A signal that holds its values, sampled every 10 minutes or also at odd instants between: levels and ages come out the same.
 * (Rates and frozen spells need not: how long a value stood is known better from more readings.) */
static void
density_does_not_matter(void **state)
{
	static const char *const limits = LIMITS_HEAD
	    "NM,pressure,,95,100,120,125,bar,2,PT5M,PT7M,,,,band\nNM,pressure,,,,,,,,,,,PT14M,,other\n";
	uint64_t seed = 11;

	(void)state;
	for (int trial = 0; trial < 20; trial++) {
		struct leat_buf plain = { 0 }, dense = { 0 };
		struct run a, b;
		unsigned value = 110;

		for (int i = 0; i < 120; i++) {
			value = random_below(&seed, 3) == 0 ? 92 + random_below(&seed, 36) : value;
			assert_int_equal(leat_buf_printf(&plain, "2025-11-03T%02d:%02d:00Z,NM,pressure,%u,bar,good\n", i / 6,
			    i % 6 * 10, value), 0);
			for (unsigned at = 0; at < 600 && i < 119; at += 20 + random_below(&seed, 300))
				assert_int_equal(leat_buf_printf(&dense, "2025-11-03T%02d:%02u:%02uZ,NM,pressure,%u,bar,good\n",
				    i / 6, (unsigned)(i % 6 * 10) + at / 60, at % 60, value), 0);
			if (i == 119)
				assert_int_equal(leat_buf_printf(&dense, "2025-11-03T%02d:%02d:00Z,NM,pressure,%u,bar,good\n",
				    i / 6, i % 6 * 10, value), 0);
		}
		judge(&a, limits, NULL, plain.data, false);
		judge(&b, limits, NULL, dense.data, false);
		assert_int_equal(a.status, 0);
		assert_int_equal(b.status, 0);
		if (!leat_span_eq(leat_buf_span(&a.lines), leat_buf_span(&b.lines)))
			fail_msg("plain:\n%.*sdense:\n%.*s", (int)a.lines.len, a.lines.data, (int)b.lines.len, b.lines.data);
		done(&a);
		done(&b);
		leat_buf_free(&plain);
		leat_buf_free(&dense);
	}
}

/* What the engine explains of NM/pressure: each count, sum of time and episode. */
static char *
explained(struct run *r)
{
	struct leat_out *out = malloc(sizeof(*out));
	size_t size;
	char *text;
	FILE *file = open_memstream(&text, &size);

	assert_non_null(out);
	assert_non_null(file);
	leat_out_init(out, file);
	assert_true(leat_check_explain(r->check, out, LEAT_SPAN("NM/pressure")) > 0);
	assert_int_equal(leat_out_flush(out), 0);
	fclose(file);
	/* The table of each run is another file. */
	for (char *row = strstr(text, r->limits_file.path); row != NULL; row = strstr(row, r->limits_file.path))
		memset(row, '.', strlen(r->limits_file.path));
	free(out);
	return text;
}

/* An instant of a mill: seldom its state, mostly a pressure that may stand still, step, come late, be bad or be a word. */
static void
add_instant(struct leat_buf *rows, uint64_t *seed, unsigned *at, double *value)
{
	static const char *const states[] = { "grinding", "grinding", "off", "unknown" };
	unsigned what = random_below(seed, 300);

	*at += what < 4 ? 120 + random_below(seed, 1500) : what < 40 ? 20 : 60;
	if (what >= 290)
		assert_int_equal(leat_buf_printf(rows, "2025-11-03T%02u:%02u:%02uZ,NM,state,%s,,%s\n", *at / 3600, *at / 60 % 60,
		    *at % 60, states[random_below(seed, 4)], random_below(seed, 8) == 0 ? "bad" : "good"), 0);
	if (what % 3 == 0)
		*value += (random_below(seed, 41) - 20.0) / 10 + (110 - *value) / 8;
	if (what == 5)
		*value = 90 + random_below(seed, 40);
	if (what == 6)
		assert_int_equal(leat_buf_printf(rows, "2025-11-03T%02u:%02u:%02uZ,NM,pressure,broken,bar,good\n", *at / 3600,
		    *at / 60 % 60, *at % 60), 0);
	else if (what != 7)
		assert_int_equal(leat_buf_printf(rows, "2025-11-03T%02u:%02u:%02uZ,NM,pressure,%.1f,bar,%s\n", *at / 3600,
		    *at / 60 % 60, *at % 60, *value, what == 8 ? "bad" : "good"), 0);
}

/* What other series do is nothing to a rule: whether its readings go on quietly, or a gate beside it turns at each of them. */
static void
turns_beside_it_do_not_matter(void **state)
{
	static const char *const limits = LIMITS_HEAD
	    "NM,pressure,state=grinding,95,104,116,125,bar,2,PT3M,PT5M,4/min,PT20M,PT10M,band\n"
	    "NM,pressure,state!=off,,,118,,bar,,,,1.5/min,,PT15M,other\nNM,pressure,,,100,,,bar,1,PT2M,,,PT5M,,third\n"
	    "NM,own,ticking,,,110,,,,,,,,,beside\n";
	uint64_t seed = 17;

	(void)state;
	for (int trial = 0; trial < 60; trial++) {
		struct leat_buf quiet = { 0 }, busy = { 0 };
		unsigned at = 0, tick = 0;
		double value = 110;
		struct run a, b;
		char *one, *two;

		for (int i = 0; i < 600; i++) {
			size_t from = quiet.len;

			add_instant(&quiet, &seed, &at, &value);
			assert_int_equal(leat_buf_add(&busy, quiet.data + from, quiet.len - from), 0);
			for (int other = 0; other < 2; other++) {
				struct leat_buf *rows = other ? &busy : &quiet;

				tick = other ? !tick : tick;
				assert_int_equal(leat_buf_printf(rows, "2025-11-03T%02u:%02u:%02uZ,NM,ticking,%u,,good\n", at / 3600,
				    at / 60 % 60, at % 60, other ? tick : 1), 0);
				assert_int_equal(leat_buf_printf(rows, "2025-11-03T%02u:%02u:%02uZ,NM,own,100,,good\n", at / 3600,
				    at / 60 % 60, at % 60), 0);
			}
		}
		judge(&a, limits, NULL, quiet.data, true);
		judge(&b, limits, NULL, busy.data, true);
		one = explained(&a);
		two = explained(&b);
		assert_string_equal(one, two);
		free(one);
		free(two);
		done(&a);
		done(&b);
		leat_buf_free(&quiet);
		leat_buf_free(&busy);
	}
}

int
main(void)
{
	static const struct CMUnitTest tests[] = {
		cmocka_unit_test(stories), cmocka_unit_test(promised), cmocka_unit_test(units_that_do_not_fit),
		cmocka_unit_test(chatter), cmocka_unit_test(order_within_an_instant_does_not_matter),
		cmocka_unit_test(density_does_not_matter), cmocka_unit_test(turns_beside_it_do_not_matter),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
