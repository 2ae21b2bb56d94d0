/* The nitrogen of accumulators over random streams: hammer against a model that goes through the days second by second and looks
 * back from each return, loss against the plain definition, and what must hold for any stream. */
#include "base/mem.h"
#include "physics/nitrogen.h"
#include "precharge_pass.h"
#include "random.h"

#define START 1762149600	/* 2025-11-03T06:00:00Z, the beginning of a works' day */
#define DAYS 3
#define SECONDS (DAYS * 86400)
#define ROWS 3000
#define HOLD 900		/* s, of everything here */

enum what { PRESSURE, STATE, GAS, HEAT, LEVEL };
enum { UNKNOWN, OFF, NO_LOAD, HELD, GRINDING, RUN_UP, PUMP_UP };

static const char *const words[] = { "unknown", "off", "no-load", "hold", "grinding", "run-up", "pump-up" };

struct random_row {
	int second;
	enum what what;
	double value;
};

/* Mostly minutes, now and then a gap; pressures around the limit and far from it. */
static int
fill(uint64_t *seed, struct random_row *row, bool gas)
{
	static const double levels[] = { 125, 125, 125, 120, 118, 95, 92.5, 90, 85, 60, 0.1 };
	static const int states[] = { GRINDING, GRINDING, GRINDING, GRINDING, RUN_UP, NO_LOAD, HELD, PUMP_UP, OFF, UNKNOWN };
	int second = 0, count = 0;

	while (count < ROWS) {
		unsigned kind = random_below(seed, 40);
		struct random_row *r = &row[count];

		second += random_below(seed, 200) == 0 ? 2000 : 10 + (int)random_below(seed, 150);
		if (second >= SECONDS - 7200)
			break;
		r->second = second;
		r->what = kind == 0 ? STATE : kind == 1 && gas ? GAS : kind == 2 && gas ? HEAT : kind == 3 ? LEVEL : PRESSURE;
		r->value = r->what == STATE ? states[random_below(seed, 10)] : r->what == GAS ? 60 + random_below(seed, 300) / 10.0 :
		    r->what == HEAT ? 20 + random_below(seed, 20) :
		    levels[random_below(seed, 3) > 0 ? 0 : random_below(seed, 11)];
		count++;
	}
	return count;
}

static char *
text_of(const struct random_row *row, int count)
{
	static const char *const name[] = { "NM,pressure", "NM,state", "NM/accu-1,gas-pressure", "NM/accu-1,gas-temperature",
	    "NM,level" };
	static const char *const unit[] = { "bar", "", "bar", "degC", "mm" };
	struct leat_buf text = { 0 };
	char time[LEAT_TIME_MAX];

	assert_int_equal(leat_buf_printf(&text, ROWS_HEADER), 0);
	for (int i = 0; i < count; i++) {
		leat_time_write(time, (struct leat_time){ START + row[i].second, 0 });
		if (row[i].what == STATE)
			assert_int_equal(leat_buf_printf(&text, "%s,%s,%s,,good\n", time, name[STATE], words[(int)row[i].value]), 0);
		else
			assert_int_equal(leat_buf_printf(&text, "%s,%s,%.1f,%s,good\n", time, name[row[i].what], row[i].value,
			    unit[row[i].what]), 0);
	}
	assert_int_equal(leat_buf_add(&text, "", 1), 0);
	return text.data;
}

/* What is so in the second that begins, and the pressure along it. */
struct second {
	int state;
	bool read, has;
	double bar, from, to;
};

static void
model_seconds(const struct random_row *row, int count, struct second *second)
{
	int seen = -HOLD, state = UNKNOWN, read = -HOLD, next = 0;
	double bar = NAN;

	for (int s = 0; s < SECONDS; s++) {
		struct second *now = &second[s];

		*now = (struct second){ .read = false };
		for (; next < count && row[next].second == s; next++) {
			seen = s;
			if (row[next].what == STATE)
				state = (int)row[next].value;
			if (row[next].what != PRESSURE)
				continue;
			now->read = true;
			read = s;
			bar = row[next].value;
		}
		/* A value is valid for its hold, both ends included. */
		now->state = s <= seen + HOLD ? state : UNKNOWN;
		now->has = s <= read + HOLD && !isnan(bar);
		now->bar = now->from = now->to = bar;
	}
	/* Between two readings the pressure goes straight, from the last change of the state or day on: before, nobody knew. */
	for (int s = 0, before = -1; s < SECONDS; s++) {
		int from;

		if (!second[s].read)
			continue;
		from = before;
		before = s;
		if (from < 0 || s - from > HOLD || second[s - 1].state != second[s].state || second[s - 1].state == UNKNOWN)
			continue;
		for (int i = s - 1; i >= from && second[i].state == second[s].state; i--) {
			second[i].from = second[from].bar + (second[s].bar - second[from].bar) * (i - from) / (s - from);
			second[i].to = second[from].bar + (second[s].bar - second[from].bar) * (i + 1 - from) / (s - from);
			if (i % 86400 == 0)
				break;
		}
	}
}

static double
share_below(const struct second *now, double limit)
{
	double low = fmin(now->from, now->to), high = fmax(now->from, now->to);

	return high < limit ? 1 : low >= limit ? 0 : (limit - low) / (high - low);
}

/* Events of each day, and the time of all of them, by looking back from each second. */
static void
model_hammer(const struct second *second, double limit, int events[DAYS + 1], double *below_s, double *grinding_s)
{
	int begin = 0, opened = -1;	/* nothing before begin counts; the first second below since */
	bool armed = false, counted = false;

	*below_s = *grinding_s = 0;
	for (int s = 0; s < SECONDS; s++) {
		double below = 0, grinding = 0;
		bool known = second[s].has && second[s].state != UNKNOWN, ends = false;
		bool moves = !known || second[s].read || (s > 0 && second[s].state != second[s - 1].state);

		/* The time from when it was well above, up to now. */
		for (int i = begin; i < s && (opened >= 0 || counted); i++) {
			if (second[i].state > OFF)
				below += share_below(&second[i], limit);
			if (second[i].state == GRINDING)
				grinding += share_below(&second[i], limit);
		}
		if (!known || second[s].state == OFF) {
			ends = true;
			armed = false;
		} else if (second[s].bar >= LEAT_PRECHARGE_HAMMER_BACK * limit) {
			if (opened >= 0 && !counted && (s - opened <= 600 || grinding >= 600)) {
				counted = true;
				events[(s - 1) / 86400]++;
			}
			ends = true;
			armed = true;
		} else if (opened < 0 && second[s].bar < limit && (armed || second[s].state == GRINDING)) {
			opened = s;
		} else if (opened >= 0 && !counted && second[s].read && grinding >= 600) {
			counted = true;
			events[(s - 1) / 86400]++;
		}
		/* What came before a fall that is none yet belongs to none, but the way down to its first reading. */
		if (!ends && opened < 0 && moves)
			begin = s;
		if (!ends)
			continue;
		if (counted) {
			*below_s += below;
			*grinding_s += grinding;
		}
		if (moves)
			begin = s;
		opened = -1;
		counted = false;
	}
}

#define PLATE PLATE_HEADER "NM,precharge,75,bar,\nNM,working-temperature,48,degC,\nNM,shell-volume,50,L,\nNM,shells,1,,\n"

static double
sum_of(const char *text, const char *point)
{
	double sum = 0, value;
	size_t len = strlen(point);

	for (const char *at = text; (at = strstr(at, point)) != NULL; at += len)
		if (sscanf(at + len, "%lf", &value) == 1)
			sum += value;
	return sum;
}

static void
test_hammer(void **state)
{
	static struct random_row row[ROWS];
	static struct second second[SECONDS];
	uint64_t seed = 11;
	double warm;
	int all = 0;

	(void)state;
	assert_int_equal(leat_nitrogen_warmed(75, 20, 48, leat_atmosphere_bara(0), &warm), 0);
	for (int run = 0; run < 12; run++) {
		int count = fill(&seed, row, false), events[DAYS + 1] = { 0 };
		char *rows = text_of(row, count), *text, quality[16], key[96], time[LEAT_TIME_MAX];
		struct leat_error err = { 0 };
		double below_s, grinding_s;

		text = gas_pass(&(struct gas_in){ .rows = rows, .plate = PLATE, .only = true, .now = "2025-11-09T06:00:00Z" }, &err);
		assert_non_null(text);
		model_seconds(row, count, second);
		model_hammer(second, LEAT_PRECHARGE_HAMMER_SHARE * warm, events, &below_s, &grinding_s);
		for (int day = 0, week = 0; day < DAYS; day++) {
			leat_time_write(time, (struct leat_time){ START + (day + 1) * 86400, 0 });
			snprintf(key, sizeof(key), "%s,NM,hammer-events,", time);
			week += events[day];
			all += events[day];
			if (fabs(value_of(text, key, quality) - events[day]) > 0.1)
				fail_msg("run %d: %s %.0f, expected %d", run, key, value_of(text, key, quality), events[day]);
			snprintf(key, sizeof(key), "%s,NM,hammer-week,", time);
			unit_close(value_of(text, key, quality), week, 0.1);
		}
		/* A tenth of a minute a day is rounding. */
		unit_close(sum_of(text, "NM,hammer-time,"), below_s / 60, 0.05 * DAYS + 0.01);
		unit_close(sum_of(text, "NM,hammer-grinding,"), grinding_s / 60, 0.05 * DAYS + 0.01);
		free(rows);
		free(text);
	}
	/* The streams must have something to compare. */
	assert_true(all > 500);
}

/* The median of all slopes, by its definition. */
static double
plain_slope(const double *x, const double *y, int n)
{
	double slope[500];
	int count = 0;

	for (int i = 0; i < n; i++)
		for (int j = i + 1; j < n; j++)
			slope[count++] = (y[j] - y[i]) / (x[j] - x[i]);
	for (int i = 1; i < count; i++)
		for (int j = i; j > 0 && slope[j - 1] > slope[j]; j--) {
			double swap = slope[j];

			slope[j] = slope[j - 1];
			slope[j - 1] = swap;
		}
	return (slope[(count - 1) / 2] + slope[count / 2]) / 2;
}

/* A shell that is read once in one to sixty days and loses gas, now and then filled with a word in the logbook. */
static void
test_loss(void **state)
{
	uint64_t seed = 23;
	int told = 0;

	(void)state;
	for (int run = 0; run < 40; run++) {
		struct leat_buf rows = { 0 }, book = { 0 };
		double x[30], y[30], bar = 75, loss = random_below(&seed, 60) / 1000.0;
		int day = 0, n = 0;
		struct leat_error err = { 0 };
		char *text, key[96], quality[16], time[LEAT_TIME_MAX];

		assert_int_equal(leat_buf_printf(&rows, ROWS_HEADER), 0);
		assert_int_equal(leat_buf_printf(&book, LEAT_LOGBOOK_HEADER "\n"), 0);
		for (int i = 0; i < 8; i++) {
			double mol_l, shown;
			int days = 1 + (int)random_below(&seed, 60);

			day += days;
			bar *= 1 - loss * days / 30.4375;
			leat_time_write(time, (struct leat_time){ START + day * 86400 + 3600, 0 });
			if (random_below(&seed, 5) == 0) {
				bar = 75;
				n = 0;
				assert_int_equal(leat_buf_printf(&book, "%s,NM/accu-1,gas-fill,,gas-pressure,,%.1f,bar,,me,\n", time, bar), 0);
			}
			shown = round(bar * 100) / 100;
			assert_int_equal(leat_buf_printf(&rows, "%s,NM,pressure,0,bar,good\n%s,NM/accu-1,gas-temperature,20,degC,good\n"
			    "%s,NM/accu-1,gas-pressure,%.2f,bar,good\n", time, time, time, shown), 0);
			assert_int_equal(leat_nitrogen_density(shown + leat_atmosphere_bara(0), 293.15, &mol_l), 0);
			x[n] = day / 30.4375;
			y[n] = log(mol_l / pow(0.997, n));
			n++;
		}
		assert_int_equal(leat_buf_add(&rows, "", 1) | leat_buf_add(&book, "", 1), 0);
		text = gas_pass(&(struct gas_in){ .rows = rows.data, .book = book.data, .only = true }, &err);
		assert_non_null(text);
		snprintf(key, sizeof(key), "%s,NM/accu-1,gas-loss-month,", time);
		while (n > 0 && x[n - 1] - x[0] > 12) {
			memmove(x, x + 1, (size_t)(n - 1) * sizeof(x[0]));
			memmove(y, y + 1, (size_t)(n - 1) * sizeof(y[0]));
			n--;
		}
		if (n > 1 && x[n - 1] - x[0] >= 28 / 30.4375) {
			unit_close(value_of(text, key, quality), 100 * (1 - exp(plain_slope(x, y, n))), 0.0501);
			assert_string_equal(quality, "good");
			told++;
		} else {
			assert_true(isnan(value_of(text, key, quality)));
			assert_string_equal(quality, "");
		}
		leat_buf_free(&rows);
		leat_buf_free(&book);
		free(text);
	}
	assert_true(told > 25);
}

/* A second pass changes nothing. */
static void
test_twice(void **state)
{
	static struct random_row row[ROWS];
	uint64_t seed = 77;

	(void)state;
	for (int run = 0; run < 20; run++) {
		char *rows = text_of(row, fill(&seed, row, true)), *once, *twice;
		struct leat_error err = { 0 };

		once = gas_pass(&(struct gas_in){ .rows = rows, .plate = PLATE }, &err);
		assert_non_null(once);
		assert_non_null(strstr(once, "NM/accu-1,precharge-20"));
		assert_non_null(strstr(once, "NM,hammer-week"));
		twice = gas_pass(&(struct gas_in){ .rows = once, .plate = PLATE }, &err);
		assert_non_null(twice);
		assert_string_equal(once, twice);
		free(rows);
		free(once);
		free(twice);
	}
}

/* Nothing looks into the future: cut after any row, the same comes out up to there. */
static void
test_cut(void **state)
{
	static struct random_row row[ROWS];
	uint64_t seed = 99;

	(void)state;
	for (int run = 0; run < 20; run++) {
		int count = fill(&seed, row, true), cut = count / 2 + (int)random_below(&seed, (unsigned)count / 2);
		char *whole = text_of(row, count), *part = text_of(row, cut), *all, *some;
		struct leat_error err = { 0 };

		all = gas_pass(&(struct gas_in){ .rows = whole, .plate = PLATE, .only = true }, &err);
		some = gas_pass(&(struct gas_in){ .rows = part, .plate = PLATE, .only = true }, &err);
		assert_true(all != NULL && some != NULL);
		if (strncmp(all, some, strlen(some)) != 0)
			fail_msg("run %d: cut at row %d changes what comes before", run, cut);
		free(whole);
		free(part);
		free(all);
		free(some);
	}
}

/* The more is read, the more there is; what is to be filled and what there is make the target; never a nan or inf. */
static void
test_order(void **state)
{
	double before = -1;

	(void)state;
	for (int bar = 0; bar <= 340; bar += 20) {
		char rows[512], quality[16], *text;
		struct leat_error err = { 0 };
		double amount, lacks, target;

		snprintf(rows, sizeof(rows), ROWS_HEADER "2025-11-03T07:00:00Z,NM,pressure,0,bar,good\n2025-11-03T07:00:00Z,NM/accu-1,"
		    "gas-temperature,35,degC,good\n2025-11-03T07:00:00Z,NM/accu-1,gas-pressure,%d,bar,good\n", bar);
		text = gas_pass(&(struct gas_in){ .rows = rows, .plate = PLATE, .only = true }, &err);
		assert_non_null(text);
		assert_null(strstr(text, "nan"));
		assert_null(strstr(text, "inf"));
		amount = value_of(text, "NM/accu-1,gas-amount,", quality);
		lacks = value_of(text, "NM/accu-1,gas-to-fill,", quality);
		assert_int_equal(leat_nitrogen_density(75 + leat_atmosphere_bara(0), 293.15, &target), 0);
		unit_close(amount + lacks, 50 * target, 0.011);
		assert_true(amount > before);
		before = amount;
		free(text);
		text = gas_pass(&(struct gas_in){ .rows = rows, .plate = PLATE, .only = true, .explain = true }, &err);
		assert_non_null(text);
		assert_null(strstr(text, " nan"));
		assert_null(strstr(text, "inf"));
		free(text);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_hammer), cmocka_unit_test(test_loss), cmocka_unit_test(test_twice), cmocka_unit_test(test_cut),
		cmocka_unit_test(test_order)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
