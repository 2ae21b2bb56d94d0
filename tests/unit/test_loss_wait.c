/*
 * Leaks, findings that wait, and the fit of leat-loss, against numbers that are worked out beside each case.
 */
#include "loss_pass.h"

#define FINDINGS_HEAD "time,asset,point,rule,status,value,unit,limit,since,until,due,shelved,message,baseline\n"

static const struct loss_plan steady = {
	.days = 25, .from = 20, .set = 125, .bar = 125, .head = 10, .feed = 180, .then_set = 125, .then_bar = 125,
	.then_feed = 180
};

static int last_value = 1000;	/* works' day after which no daily value comes */

/* The rows of the plan with those of a pump that runs all the time, and a daily value of its drain and of the mill's leakage,
 * at the end of each works' day, in order of time. */
static void
rows_with_leaks(struct leat_buf *rows, const struct loss_plan *plan, double drain, double drain_a_day, double leakage)
{
	struct leat_buf plain = { 0 };
	struct leat_span rest, line;
	int day = 0;

	loss_rows(&plain, plan);
	rest = leat_buf_span(&plain);
	while (leat_span_next(&rest, '\n', &line)) {
		if (line.len == 0)
			continue;
		assert_int_equal(leat_buf_printf(rows, "%.*s\n", (int)line.len, line.ptr), 0);
		if (!leat_span_ends(line, "state,grinding,,good"))
			continue;
		assert_int_equal(leat_buf_printf(rows, "%.20s,NM/pump-a,pump-running,on,,good\n", line.ptr), 0);
		if (memcmp(line.ptr + 10, "T06:00:00Z", 10) != 0 || day++ == 0 ||
		    day > last_value)
			continue;
		if (!isnan(drain))
			assert_int_equal(leat_buf_printf(rows, "%.20s,NM/pump-a,drain-flow-corrected,%.4f,L/min,good\n", line.ptr,
			    drain + drain_a_day * day), 0);
		if (!isnan(leakage))
			assert_int_equal(leat_buf_printf(rows, "%.20s,NM,internal-leakage,%.4f,L/min,good\n", line.ptr, leakage), 0);
	}
	leat_buf_free(&plain);
}

static void
run_leaks(struct loss_pass *p, const struct loss_plan *plan, double drain, double drain_a_day, double leakage)
{
	struct leat_buf rows = { 0 };

	rows_with_leaks(&rows, plan, drain, drain_a_day, leakage);
	loss_run_rows(p, plan, rows.data);
	leat_buf_free(&rows);
	assert_int_equal(p->status, 0);
}

static struct leat_loss_power
power_of(const struct loss_pass *p, enum leat_loss_kind kind, size_t days)
{
	struct leat_loss_power power = { 0 };

	for (size_t i = 0; i < p->loss->leaks; i++) {
		if (p->loss->leak[i].kind == kind) {
			assert_int_equal(leat_loss_power_of(p->loss, &p->loss->leak[i], days, &power), 0);
			return power;
		}
	}
	fail_msg("no such leak");
	return power;
}

/* 2 L/min at 160 bar are 0.533 kW: 12.8 kWh a day in oil. */
static void
test_leaks(void **state)
{
	struct loss_plan plan = steady;
	struct leat_loss_power power;
	struct loss_pass p;

	(void)state;
	plan.plate = "NM/pump-a,reference-pressure,160,bar,\n";
	run_leaks(&p, &plan, 2, 0, 0.6);
	power = power_of(&p, LEAT_LOSS_PUMP, 10);
	assert_int_equal(power.days, 10);
	unit_close(power.kwh[LEAT_LOSS_LOW], 10 * 12.8 / 0.9, 0.1);
	unit_close(power.kwh[LEAT_LOSS_MIDDLE], 10 * 12.8 / 0.8, 0.1);
	unit_close(power.kwh[LEAT_LOSS_HIGH], 10 * 12.8 / 0.7, 0.1);
	unit_close(power.level, 2, 1e-9);
	/* 0.6 L/min from 125 bar: 0.125 kW. */
	power = power_of(&p, LEAT_LOSS_INTERNAL, 10);
	unit_close(power.kwh[LEAT_LOSS_MIDDLE], 10 * 24 * 0.125 / 0.8, 0.05);
	/* The days are the sum of each. */
	unit_close(power.hours, 240, 0.1);
	loss_stop(&p);

	plan.plate = "NM/pump-a,reference-pressure,160,bar,\nNM/pump-a,pump-unit-efficiency,80,%,\n";
	run_leaks(&p, &plan, 2, 0, NAN);
	power = power_of(&p, LEAT_LOSS_PUMP, 1);
	unit_close(power.kwh[LEAT_LOSS_LOW], 16, 0.02);
	unit_close(power.kwh[LEAT_LOSS_HIGH], 16, 0.02);
	loss_stop(&p);

	/* Without a pressure there is no power. */
	plan.plate = "";
	run_leaks(&p, &plan, 2, 0, NAN);
	assert_int_equal(power_of(&p, LEAT_LOSS_PUMP, 10).days, 0);
	loss_stop(&p);

	/* A value that is still valid, but of an earlier day, tells nothing of a day: the last three have none. */
	plan.plate = "NM/pump-a,reference-pressure,160,bar,\n";
	last_value = 23;
	run_leaks(&p, &plan, 2, 0, NAN);
	last_value = 1000;
	assert_int_equal(power_of(&p, LEAT_LOSS_PUMP, 10).days, 7);
	loss_stop(&p);
}

static void
read_findings(struct leat_findings *all, const char *rows)
{
	struct leat_buf text = { 0 };
	struct table_file f;
	struct leat_error err;

	memset(all, 0, sizeof(*all));
	assert_int_equal(leat_buf_printf(&text, FINDINGS_HEAD "%s", rows), 0);
	f = table_file_bytes(text.data, text.len);
	if (leat_findings_read(all, f.path, &err) != 0)
		fail_msg("%s", err.text);
	table_file_drop(&f);
	leat_buf_free(&text);
}

static const struct leat_loss_wait *
wait_for(const struct leat_loss_wait *wait, size_t count, enum leat_loss_cost cost)
{
	for (size_t i = 0; i < count; i++)
		if (wait[i].cost == cost)
			return &wait[i];
	return NULL;
}

#define OPEN(asset, point, rule, status, unit, baseline) \
	"2025-01-26T06:00:00Z," asset "," point "," rule "," status ",1," unit ",,2025-01-20T06:00:00Z,,,,m," baseline "\n"

/* A pump whose drain grows by 0.02 L/min a day from 1.8 as new; ten days to the stop. */
static void
test_pump_waits(void **state)
{
	struct leat_stop stop = { .start = time_of("2025-02-05T06:00:00Z"), .end = time_of("2025-02-05T14:00:00Z"),
		.asset = LEAT_SPAN("NM"), .kind = LEAT_SPAN("planned") };
	struct leat_stops stops = { .row = &stop, .count = 1 };
	struct loss_plan plan = steady;
	const struct leat_loss_wait *w;
	struct leat_loss_wait *wait;
	struct leat_findings all;
	struct loss_pass p;
	size_t count;
	double now, then;

	(void)state;
	read_findings(&all, OPEN("NM/pump-a", "drain-flow-corrected", "pump-wear", "alert", "L/min", "1.8")
	    OPEN("NM/pump-a", "drain-flow-corrected", "high-drain", "alarm", "L/min", ""));
	plan.plate = "NM/pump-a,reference-pressure,160,bar,\n";
	plan.findings = &all;
	plan.stops = &stops;
	run_leaks(&p, &plan, 1.8, 0.02, NAN);
	assert_int_equal(leat_loss_waits(p.loss, &wait, &count), 0);
	assert_int_equal(count, 1);
	w = wait_for(wait, count, LEAT_LOSS_COST_PUMP);
	assert_non_null(w);
	unit_span(leat_buf_span(&w->explains),
	    "NM/pump-a drain-flow-corrected pump-wear;NM/pump-a drain-flow-corrected high-drain");
	/* Days 2 to 26 of the works had a value; the median of the last five is that of day 24. */
	now = 0.02 * 24 * 160 / 600;
	unit_close(w->power.slope[LEAT_LOSS_MIDDLE], 0.02, 1e-6);
	unit_close(w->kw[LEAT_LOSS_LOW], now / 0.9, 1e-3);
	unit_close(w->per_day[LEAT_LOSS_HIGH], 24 * now / 0.7, 0.02);
	then = now + 0.02 * 10 * 160 / 600;
	unit_close(w->kw_stop[LEAT_LOSS_HIGH], then / 0.7, 1e-3);
	unit_close(w->until[LEAT_LOSS_HIGH], 10 * 24 * (now + then) / 2 / 0.7, 0.2);
	assert_string_equal(w->unit, "kWh");
	leat_loss_waits_free(wait, count);
	loss_stop(&p);

	/* A hundred days to the stop: it grows for thirty of them. */
	stop.start = time_of("2025-05-06T06:00:00Z");
	stop.end = time_of("2025-05-06T14:00:00Z");
	run_leaks(&p, &plan, 1.8, 0.02, NAN);
	assert_int_equal(leat_loss_waits(p.loss, &wait, &count), 0);
	w = wait_for(wait, count, LEAT_LOSS_COST_PUMP);
	then = now + 0.02 * 30 * 160 / 600;
	unit_close(w->kw_stop[LEAT_LOSS_HIGH], then / 0.7, 1e-3);
	unit_close(w->until[LEAT_LOSS_HIGH], (30 * 24 * (now + then) / 2 + 70 * 24 * then) / 0.7, 2);
	leat_loss_waits_free(wait, count);
	loss_stop(&p);
	leat_findings_free(&all);
}

/* What is not known as usual may be nothing or all; with a price it is money; no stop, no sum. */
static void
test_unknown_usual(void **state)
{
	struct loss_plan plan = steady;
	const struct leat_loss_wait *w;
	struct leat_loss_wait *wait;
	struct leat_findings all;
	struct loss_pass p;
	size_t count;

	(void)state;
	read_findings(&all, OPEN("NM/cyl-1", "seal-leakage-ratio", "seal-worn", "alert", "1", ""));
	plan.plate = ",energy-price,0.25,,\n,currency,EUR,,\n";
	plan.findings = &all;
	run_leaks(&p, &plan, NAN, 0, 0.6);
	assert_int_equal(leat_loss_waits(p.loss, &wait, &count), 0);
	w = wait_for(wait, count, LEAT_LOSS_COST_INTERNAL);
	assert_non_null(w);
	/* Told of the mill, whose oil it is. */
	unit_span(w->asset, "NM");
	unit_close(w->per_day[LEAT_LOSS_LOW], 0, 0);
	unit_close(w->per_day[LEAT_LOSS_HIGH], 24 * 0.125 / 0.7 * 0.25, 0.01);
	assert_string_equal(w->unit, "EUR");
	assert_true(isnan(w->until[LEAT_LOSS_HIGH]));
	leat_loss_waits_free(wait, count);
	loss_stop(&p);
	leat_findings_free(&all);
}

/* The set point and the pressure cost by themselves; what is about the data, over, or ok costs nothing. */
static void
test_pressure_waits(void **state)
{
	static const char findings[] = OPEN("NM", "setpoint-shift", "low-setpoint", "alert", "bar", "")
	    OPEN("NM", "pressure", "low-pressure", "alarm", "bar", "") OPEN("NM", "pressure", "stale", "alert", "", "")
	    OPEN("NM", "pressure-attainment", "attainment", "ok", "%", "")
	    OPEN("NM/cooler", "cooler-ua", "fouling", "alert", "kW/K", "")
	    OPEN("NM/accu-1", "gas-share", "gas-low", "alarm", "%", "")
	    OPEN("NM", "vibration", "shakes", "alert", "mm/s", "");
	struct loss_plan plan = steady;
	const struct leat_loss_wait *w;
	struct leat_loss_wait *wait;
	struct leat_findings all;
	struct loss_pass p;
	size_t count;
	double t;

	(void)state;
	read_findings(&all, findings);
	plan.findings = &all;
	plan.then_set = plan.then_bar = 115;
	plan.then_feed = 170;
	loss_run(&p, &plan);
	assert_int_equal(leat_loss_waits(p.loss, &wait, &count), 0);
	assert_int_equal(count, 4);
	w = wait_for(wait, count, LEAT_LOSS_COST_SETPOINT);
	assert_non_null(w);
	/* It has been open for six days; five of them were low. */
	assert_int_equal(w->days, 6);
	t = leat_loss_tonnes(&w->recent, LEAT_LOSS_HIGH);
	assert_true(t > 1000);
	unit_close(w->per_day[LEAT_LOSS_HIGH], t / 6, 1e-6);
	assert_string_equal(w->unit, "t");
	w = wait_for(wait, count, LEAT_LOSS_COST_PRESSURE);
	assert_non_null(w);
	unit_close(w->per_day[LEAT_LOSS_HIGH], 0, 0);
	unit_span(leat_buf_span(&w->explains), "NM pressure low-pressure");
	assert_false(wait_for(wait, count, LEAT_LOSS_COST_COOLER)->told);
	assert_false(wait_for(wait, count, LEAT_LOSS_COST_GAS)->told);
	assert_int_equal(leat_loss_counted(p.loss).uncosted, 1);
	leat_loss_waits_free(wait, count);
	loss_stop(&p);
	leat_findings_free(&all);
}

/* A finding is named once however many rows it has, and a name that bears what stands between names is still one name.  What
 * ends after now is open now. */
static void
test_names(void **state)
{
	static const char findings[] = OPEN("NM/filter", "bypass-share", "element-loading", "alert", "%", "")
	    OPEN("NM/filter", "bypass-share", "works'; own", "alarm", "%", "")
	    OPEN("NM/filter", "bypass-share", "element-loading", "alarm", "%", "")
	    OPEN("NM/filter-b", "bypass-share", "element-loading", "alarm", "%", "")
	    "2025-01-26T06:00:00Z,NM/filter,filter-dp-corrected,clogged,alert,1,bar,,2025-01-20T06:00:00Z,"
	    "2025-01-27T06:00:00Z,,,m,\n"
	    "2025-01-24T06:00:00Z,NM/filter,filter-dp-corrected,ended,alert,1,bar,,2025-01-20T06:00:00Z,"
	    "2025-01-25T06:00:00Z,,,m,\n";
	struct loss_plan plan = steady;
	struct leat_loss_wait *wait;
	struct leat_findings all;
	struct loss_pass p;
	size_t count;

	(void)state;
	read_findings(&all, findings);
	plan.findings = &all;
	loss_run(&p, &plan);
	assert_int_equal(leat_loss_waits(p.loss, &wait, &count), 0);
	assert_int_equal(count, 2);
	unit_span(leat_buf_span(&wait[0].explains), "NM/filter bypass-share element-loading;NM/filter bypass-share works'%3B own;"
	    "NM/filter filter-dp-corrected clogged");
	unit_span(leat_buf_span(&wait[1].explains), "NM/filter-b bypass-share element-loading");
	leat_loss_waits_free(wait, count);
	loss_stop(&p);
	leat_findings_free(&all);
}

/* Rows each ten minutes of a drain that has a part of its own, 2 L/min from 160 bar; the pump runs each second hour, which is
 * known from one hour to before another. */
static void
rows_of_part(struct leat_buf *rows, int hours, int known_from, int known_to)
{
	for (int ten = 0; ten <= hours * 6; ten++) {
		char stamp[LEAT_TIME_MAX];
		int h = ten / 6;

		leat_time_write(stamp, leat_time_add(time_of("2025-01-01T06:00:00Z"), ten * 600.0));
		assert_int_equal(leat_buf_printf(rows, "%s,NM,state,grinding,,good\n%s,NM,pressure,125,bar,good\n", stamp, stamp), 0);
		if (h >= known_from && h < known_to)
			assert_int_equal(leat_buf_printf(rows, "%s,NM/pump-a,pump-running,%s,,good\n", stamp, h % 2 ? "off" : "on"), 0);
		if (h == known_to)
			assert_int_equal(leat_buf_printf(rows, "%s,NM/pump-a,pump-running,,,bad\n", stamp), 0);
		if (ten % 144 == 0)
			assert_int_equal(leat_buf_printf(rows, "%s,NM/pump-a/drain,drain-flow-corrected,2,L/min,good\n", stamp), 0);
	}
}

/* The drain of a part below the pump flows while the pump runs; hours of which nobody knows are neither.  Where no hour is
 * known, nor is what waiting costs: it is not nothing. */
static void
test_known_hours(void **state)
{
	struct loss_plan plan = steady;
	struct leat_loss_wait *wait;
	struct leat_findings all;
	struct leat_buf rows = { 0 };
	struct loss_pass p;
	size_t count;

	(void)state;
	read_findings(&all, OPEN("NM/pump-a/drain", "drain-flow-corrected", "pump-wear", "alert", "L/min", "1"));
	plan.findings = &all;
	plan.plate = "NM/pump-a,reference-pressure,160,bar,\n";
	/* Ten days, and the pump is known for 84 hours of the fourth to the seventh. */
	rows_of_part(&rows, 240, 78, 162);
	loss_run_rows(&p, &plan, rows.data);
	assert_int_equal(leat_loss_waits(p.loss, &wait, &count), 0);
	assert_int_equal(count, 1);
	assert_true(wait[0].told);
	unit_close(wait[0].power.hours_a_day, 12, 0.2);
	/* 1 L/min more than usual: 0.2667 kW. */
	unit_close(wait[0].per_day[LEAT_LOSS_LOW], 12 * 160.0 / 600 / 0.9, 0.06);
	assert_int_equal(wait[0].power.days, 4);
	unit_close(wait[0].power.kwh[LEAT_LOSS_LOW], 42 * 2 * 160.0 / 600 / 0.9, 0.6);
	leat_loss_waits_free(wait, count);
	loss_stop(&p);
	leat_buf_reset(&rows);
	rows_of_part(&rows, 240, 0, 0);
	loss_run_rows(&p, &plan, rows.data);
	assert_int_equal(leat_loss_waits(p.loss, &wait, &count), 0);
	assert_false(wait[0].told);
	assert_int_equal(wait[0].power.days, 0);
	leat_loss_waits_free(wait, count);
	loss_stop(&p);
	leat_buf_free(&rows);
	leat_findings_free(&all);
}

/* Three days of grinding of which no pressure is known, or that stand still. */
static void
rows_of_state(struct leat_buf *rows, const char *state, const char *quality)
{
	for (int ten = 0; ten <= 72 * 6; ten++) {
		char stamp[LEAT_TIME_MAX];

		leat_time_write(stamp, leat_time_add(time_of("2025-01-01T06:00:00Z"), ten * 600.0));
		assert_int_equal(leat_buf_printf(rows, "%s,NM,state,%s,,good\n%s,NM,pressure,125,bar,%s\n", stamp, state, stamp,
		    quality), 0);
	}
}

/* A pressure that nobody knows was not held, and its mill is not said to have lost nothing. */
static void
test_unseen(void **state)
{
	static const struct {
		const char *state, *quality, *asset, *says;
		bool told;
	} is[] = {
		{ "grinding", "bad", "NM", "not known: pressure or set point was not known in the last", false },
		{ "stopped", "good", "NM", "no feed was lost by it in the last 3 days: the mill did not grind", true },
		{ "grinding", "good", "NM", "no feed was lost by it in the last 3 days", true },
		{ "grinding", "good", "XM", "not known: the mill has no readings named state and pressure", false }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(is) / sizeof(is[0]); i++) {
		struct loss_plan plan = steady;
		struct leat_loss_result r;
		struct leat_loss_wait *wait;
		struct leat_findings all;
		struct leat_buf rows = { 0 }, row = { 0 };
		struct loss_pass p;
		char text[LEAT_LOSS_TEXT];
		size_t count;

		assert_int_equal(leat_buf_printf(&row, "2025-01-03T06:00:00Z,%s,pressure,low-pressure,alert,1,bar,,"
		    "2025-01-01T06:00:00Z,,,,m,\n", is[i].asset), 0);
		read_findings(&all, row.data);
		plan.findings = &all;
		rows_of_state(&rows, is[i].state, is[i].quality);
		loss_run_rows(&p, &plan, rows.data);
		assert_int_equal(leat_loss_waits(p.loss, &wait, &count), 0);
		assert_int_equal(wait[0].told, is[i].told);
		leat_loss_wait_words(text, p.loss, &wait[0]);
		if (strstr(text, is[i].says) == NULL)
			fail_msg("%s", text);
		leat_loss_of_days(p.loss, &p.loss->mill[0], 3, &r);
		assert_int_equal(leat_loss_unseen(&r), strcmp(is[i].quality, "bad") == 0);
		leat_loss_waits_free(wait, count);
		loss_stop(&p);
		leat_buf_free(&rows);
		leat_buf_free(&row);
		leat_findings_free(&all);
	}
}

static char told[256];

static void
tell(const char *text)
{
	snprintf(told, sizeof(told), "%s", text);
}

/* The m of the first row, NaN where there is none. */
static double
fitted(const struct loss_plan *plan)
{
	struct leat_out *out = malloc(sizeof(*out));
	FILE *file = tmpfile();
	char text[1024] = "";
	struct loss_pass p;
	const char *row;
	double m = NAN;

	assert_non_null(out);
	assert_non_null(file);
	told[0] = '\0';
	loss_run(&p, plan);
	leat_out_init(out, file);
	assert_int_equal(leat_loss_fit(p.loss, out, tell), 0);
	assert_int_equal(leat_out_flush(out), 0);
	rewind(file);
	text[fread(text, 1, sizeof(text) - 1, file)] = '\0';
	fclose(file);
	free(out);
	row = strstr(text, "NM,feed-force-slope,");
	if (row != NULL)
		m = strtod(row + strlen("NM,feed-force-slope,"), NULL);
	loss_stop(&p);
	return m;
}

static void
test_fit(void **state)
{
	struct loss_plan plan = { .days = 30, .from = 5, .set = 125, .bar = 125, .head = 10, .feed = 180, .seed = 3, .fit = true };

	(void)state;
	/* The feed is linear in the force with 0.7 at the agreed pressure: ln 0.93 / ln 0.9 is 0.689. */
	unit_close(fitted(&plan), 0.689, 0.015);
	/* A slow drift of the material keeps out of it; a fast one is seen. */
	plan.drift = 0.15;
	unit_close(fitted(&plan), 0.689, 0.03);
	plan.drift = 3;
	assert_true(isnan(fitted(&plan)));
	assert_non_null(strstr(told, "by itself"));
	/* Nor does the noise of a transmitter, which the feed knows nothing of, draw it down. */
	plan.drift = 0;
	plan.noise = 2.5;
	unit_close(fitted(&plan), 0.689, 0.04);
	plan.noise = 0;
	/* Too few hours. */
	plan.drift = 0;
	plan.days = 6;
	assert_true(isnan(fitted(&plan)));
	assert_non_null(strstr(told, "are needed"));
	/* The force only fell. */
	plan = steady;
	plan.fit = true;
	plan.then_set = plan.then_bar = 115;
	plan.then_feed = 168;
	assert_true(isnan(fitted(&plan)));
	assert_non_null(strstr(told, "only fell"));
	/* It never moved. */
	plan.then_set = plan.then_bar = 125;
	assert_true(isnan(fitted(&plan)));
	assert_non_null(strstr(told, "are needed"));
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_leaks), cmocka_unit_test(test_pump_waits), cmocka_unit_test(test_unknown_usual),
		cmocka_unit_test(test_pressure_waits), cmocka_unit_test(test_names), cmocka_unit_test(test_known_hours), cmocka_unit_test(test_unseen),
		 cmocka_unit_test(test_fit)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
