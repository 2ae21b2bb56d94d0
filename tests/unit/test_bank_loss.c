/* How fast the gas of a bank becomes less: the line through daily amounts, and what leat-leakage makes of it. */
#include "leakage_pass.h"

#include "derive/bank_loss.h"
#include "random.h"

#define MONTH 30.44

/* Nearly normal: the sum of twelve even numbers. */
static double
noise(uint64_t *seed)
{
	double sum = -6;

	for (int i = 0; i < 12; i++)
		sum += random_below(seed, 1 << 20) / (double)(1 << 20);
	return sum;
}

/* Days 0..days-1 of a bank that loses percent a month; one standard deviation of a day is sigma (a share). */
static void
fill(struct leat_bank_loss *loss, int days, double percent, double sigma, uint64_t *seed)
{
	for (int d = 0; d < days; d++)
		leat_bank_loss_add(loss, d, 950 * pow(1 - percent / 100, d / MONTH) * (1 + sigma * noise(seed)));
}

static int
fit(struct leat_bank_loss *loss, struct leat_bank_loss_rate *rate)
{
	struct leat_error err;

	return leat_bank_loss_fit(loss, 28, rate, &err);
}

static void
test_exact(void **state)
{
	struct leat_bank_loss loss = { 0 };
	struct leat_bank_loss_rate rate;
	uint64_t seed = 5;

	(void)state;
	fill(&loss, 60, 1.5, 0, &seed);
	assert_int_equal(fit(&loss, &rate), 1);
	unit_close(rate.percent_month, 1.5, 1e-6);
	/* What nobody reads may change by 0.5 % within the line; without a week that line has 52 days. */
	unit_close(rate.percent_month - rate.low, 0.5 * MONTH / 52, 1e-3);
	unit_close(rate.high - rate.percent_month, 0.5 * MONTH / 52, 1e-3);
	assert_int_equal(rate.n, 60);
}

/* What is too little, and what is forgotten. */
static void
test_least(void **state)
{
	struct leat_bank_loss loss = { 0 };
	struct leat_bank_loss_rate rate;
	uint64_t seed = 5;

	(void)state;
	assert_int_equal(fit(&loss, &rate), 0);
	/* Without a week there must be 28 days. */
	fill(&loss, 35, 1, 0.001, &seed);
	assert_int_equal(fit(&loss, &rate), 0);
	loss.n = 0;
	fill(&loss, 37, 1, 0.001, &seed);
	assert_int_equal(fit(&loss, &rate), 1);
	fill(&loss, 37, 1, 0.001, &seed);
	assert_int_equal(loss.n, 37);
	leat_bank_loss_add(&loss, 40, NAN);
	leat_bank_loss_add(&loss, 41, 0);
	leat_bank_loss_add(&loss, 42, -3);
	assert_int_equal(loss.n, 37);
	leat_bank_loss_add(&loss, 100, 950);
	assert_int_equal(loss.n, 28);
	unit_close(loss.day[0], 10, 0);
	leat_bank_loss_forget(&loss);
	/* More values than there is room for. */
	for (int i = 0; i < 1000; i++)
		leat_bank_loss_add(&loss, i / 20.0, 950);
	assert_int_equal(loss.n, LEAT_BANK_LOSS_KEPT);
	unit_close(loss.day[loss.n - 1], 999 / 20.0, 1e-9);
}

/* A week in which a thermometer is stuck, and a burst bladder, are no loss that goes on. */
static void
test_what_is_none(void **state)
{
	struct leat_bank_loss_rate rate;
	uint64_t seed = 11;

	(void)state;
	for (int when = 30; when <= 53; when++) {
		struct leat_bank_loss loss = { 0 };

		/* As known on day 53: 2 % low for a week from a day on. */
		for (int d = 0; d < 54; d++)
			leat_bank_loss_add(&loss, d, 950 * (d >= when && d < when + 7 ? 0.98 : 1) * (1 + 0.005 * noise(&seed)));
		if (fit(&loss, &rate) == 1 && rate.low > 0.6)
			fail_msg("a week from day %d on told a loss of at least %.2f %%", when, rate.low);
	}
	for (int gone = 20; gone <= 60; gone += 10) {
		struct leat_bank_loss loss = { 0 };

		for (int d = 0; d < 80; d++) {
			leat_bank_loss_add(&loss, d, 950 * (d >= gone ? 5 / 6.0 : 1) * (1 + 0.005 * noise(&seed)));
			if (fit(&loss, &rate) == 1 && d > gone + 7 && rate.low > 0.3)
				fail_msg("day %d: a shell that burst on day %d told a loss of at least %.2f %%", d, gone, rate.low);
		}
		if (loss.n > (size_t)(80 - gone + 3))
			fail_msg("gone on day %d: %zu values are left", gone, loss.n);
	}
}

/* The range holds the loss in more than nine cases of ten, what nobody reads and the weeks being allowed for, and is not
 * idle: a loss of 1.5 % beyond doubt in 80 days. */
static void
test_range(void **state)
{
	uint64_t seed = 17;
	int held = 0, seen = 0, runs = 300;

	(void)state;
	for (int i = 0; i < runs; i++) {
		struct leat_bank_loss loss = { 0 };
		struct leat_bank_loss_rate rate;
		double drift = 0.0025 * (random_below(&seed, 2001) / 1000.0 - 1);

		for (int d = 0; d < 80; d++)
			leat_bank_loss_add(&loss, d, 950 * pow(1 - 0.015, d / MONTH) * (1 + 0.006 * noise(&seed) + drift * d / 80));
		assert_int_equal(fit(&loss, &rate), 1);
		held += rate.low <= 1.5 && rate.high >= 1.5;
		seen += rate.low > 0.9;
		assert_true(rate.low < rate.percent_month && rate.percent_month < rate.high);
	}
	if (held < 0.93 * runs || seen < 0.9 * runs)
		fail_msg("held %d, seen %d of %d", held, seen, runs);
}

/* One shell of six that loses 4.5 %, the others 0.3, makes a bank lose 1.0 %. */
static void
test_of_one(void **state)
{
	(void)state;
	unit_close(leat_bank_loss_of_one((4.5 + 5 * 0.3) / 6, 6, 0.3), 4.5, 1e-9);
	unit_close(leat_bank_loss_of_one(0.3, 6, 0.3), 0.3, 1e-12);
	unit_close(leat_bank_loss_of_one(2, 1, 0.3), 2, 1e-12);
}

#define LOSS_PLATE PLATE ",balance-settling,0,min,\n,day-start,06:00,,\n"

/* A mill that grinds 20 hours a day with a charge an hour, while its gas becomes less by percent a month; the level at its
 * stops is that of a bank that loses level_percent. */
static char *
months(int days, double percent, double level_percent)
{
	struct leat_buf text = { 0 };

	for (int s = 0; s < days * 86400; s += 120) {
		int hour = s % 86400 / 3600;
		double share = pow(1 - percent / 100, s / 86400.0 / MONTH), level = pow(1 - level_percent / 100, s / 86400.0 / MONTH);
		long long sec = 1735711200LL + s;	/* 2025-01-01T06:00:00Z */
		/* Charges that begin on the hour would be taken for ones that are read by the hour. */
		struct leat_time t = { sec, 0 }, open = { sec + s / 3600 * 7 % 53, 0 };
		char at[LEAT_TIME_MAX], begin[LEAT_TIME_MAX], shut[LEAT_TIME_MAX];

		leat_time_write(at, t);
		leat_time_write(begin, open);
		leat_time_write(shut, leat_time_add(open, floor(15.75e3 * share) / 1000));
		/* 95 L of oil at 125 bar; 10 % less gas makes it 20.5 L more (the reference equation; 1.2 m2 of tank). */
		assert_int_equal(leat_buf_printf(&text, "%s,NM,pressure,%s,bar,good\n%s,NM,state,%s,,good\n"
		    "%s,NM,oil-temperature,48,degC,good\n"
		    "%s,NM/pump-a,pump-running,%s,,good\n%s,NM,level,%.3f,mm,good\n", at, hour < 20 ? "125" : hour < 23 ? "0" : "60", at,
		    hour < 20 ? "grinding" : hour < 23 ? "off" : "run-up", at, at, hour < 20 ? "on" : "off", at,
		    hour < 20 ? 500.0 : 500 + (95.6 + 205 * (1 - level)) / 1.2), 0);
		if (hour < 20 && s % 3600 == 0)
			assert_int_equal(leat_buf_printf(&text, "%s,NM,charging,on,,good\n%s,NM,charging,off,,good\n", begin, shut),
			    0);
	}
	assert_int_equal(leat_buf_add(&text, "", 1), 0);
	return text.data;
}

static const char *
last_of(const char *text, const char *point, double *value, char quality[16])
{
	const char *found = NULL, *at = text;

	while ((at = strstr(at, point)) != NULL)
		found = at++;
	*value = NAN;
	quality[0] = '\0';
	if (found != NULL)
		sscanf(found + strlen(point), "%lf,%%,%15[a-z]", value, quality);
	return found;
}

static void
test_stream(void **state)
{
	const struct {
		const char *name, *book;
		int days;
		double percent, level_percent, bank;	/* NaN: no row on the last day */
		const char *quality;
	} cases[] = {
		{ "a valve core", "", 70, 1.0, 1.0, 1.0, "good" },
		{ "a sound bank", "", 70, 0.3, 0.3, 0.3, "good" },
		/* The level stays as it was: the pump delivers less, or the transmitter drifts. */
		{ "the level says otherwise", "", 85, 3.0, 0, 3.0, "uncertain" },
		{ "too few days", "", 34, 1.0, 1.0, NAN, "" },
		{ "filled 30 days ago", "2025-02-09T08:00:00Z,NM/accu-2,gas-fill,,gas-pressure,70,75,bar,,ab,\n", 70, 1.0, 1.0, NAN, "" },
		{ "another mill was filled", "2025-02-09T08:00:00Z,MM/accu-2,gas-fill,,gas-pressure,70,75,bar,,ab,\n", 70, 1.0, 1.0, 1.0,
		    "good" },
		{ "a new transmitter", "2025-02-09T08:00:00Z,NM,meter-change,,pressure,,,,,ab,\n", 70, 1.0, 1.0, NAN, "" },
		{ "a new level gauge", "2025-02-09T08:00:00Z,NM,meter-change,,level,,,,,ab,\n", 70, 1.0, 1.0, 1.0, "good" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		char *rows = months(cases[i].days, cases[i].percent, cases[i].level_percent), quality[16], book[512];
		struct pass p;
		double value, one, low;

		snprintf(book, sizeof(book), BOOK "%s", cases[i].book);
		pass_open(&p, LOSS_PLATE, book, rows);
		pass_run(&p, true);
		if (p.status < 0)
			fail_msg("%s: %s", cases[i].name, p.err.text);
		last_of(p.text, ",NM,gas-loss-one.low,", &low, quality);
		last_of(p.text, ",NM,gas-loss-one,", &one, quality);
		last_of(p.text, ",NM,gas-loss-bank,", &value, quality);
		/* Days before the filling had rows. */
		if (isnan(cases[i].bank) && strstr(p.text, "2025-03-11T06:00:00Z,NM,gas-loss") != NULL)
			fail_msg("%s: a row on the last day", cases[i].name);
		if (!isnan(cases[i].bank) && (strcmp(quality, cases[i].quality) != 0 ||
		    fabs(value - cases[i].bank) > 0.03 + 0.03 * cases[i].bank ||
		    fabs(one - (6 * (value - 0.3) + 0.3)) > 0.05 || !(low < one)))
			fail_msg("%s: %.2f %s, one shell %.2f, at least %.2f\n%.3000s", cases[i].name, value, quality, one,
			    low, p.text);
		pass_close(&p);
		free(rows);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_exact),
		cmocka_unit_test(test_least),
		cmocka_unit_test(test_what_is_none),
		cmocka_unit_test(test_range),
		cmocka_unit_test(test_of_one),
		cmocka_unit_test(test_stream),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
