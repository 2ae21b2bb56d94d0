/* Attainment over random streams, against a model that goes through the day by eighths of a second; and what must hold for
 * any stream. */
#include "attain_pass.h"
#include "base/mem.h"
#include "random.h"

#define START 1762142400	/* 2025-11-03T04:00:00Z, two hours before the end of a works' day */
#define HOURS 80
#define SECONDS (HOURS * 3600)
#define ROWS 1400
#define HOLD 900		/* s, of everything here */
#define SETTLING 300
#define EIGHTHS 8

enum what { PRESSURE, SETPOINT, STATE, CYLINDER_1, CYLINDER_2, HEAD, LEVEL, KINDS };

struct random_row {
	int second;
	enum what what;
	double value;		/* of a state: 1 grinding, 0 hold, -1 unknown */
	int quality;		/* 0 bad, 1 uncertain, 2 good */
};

static int
fill(uint64_t *seed, struct random_row *row)
{
	static const double setpoints[] = { 120, 120, 120.2, 120.3, 121, 125 };
	int second = 0, count = 0;

	while (count < ROWS) {
		struct random_row *r = &row[count];
		unsigned kind = random_below(seed, 12);

		if (random_below(seed, 3) > 0)
			second += random_below(seed, 60) == 0 ? 3000 : (int)random_below(seed, 300);
		if (second >= SECONDS)
			break;
		r->second = second;
		r->what = kind >= KINDS ? PRESSURE : (enum what)kind;
		r->quality = random_below(seed, 25) == 0 ? (int)random_below(seed, 2) : 2;
		if (r->what == STATE)
			r->value = random_below(seed, 8) == 0 ? (double)random_below(seed, 2) - 1 : 1;
		else if (r->what == SETPOINT)
			r->value = random_below(seed, 40) == 0 ? 0 : setpoints[random_below(seed, 3) == 0 ? random_below(seed, 6) : 0];
		else
			r->value = 110 + random_below(seed, 200) / 10.0;
		count++;
	}
	return count;
}

static char *
text_of(const struct random_row *row, int count)
{
	static const char *const name[] = { "NM,pressure", "NM,pressure-setpoint", "NM,state", "NM/cyl-1,pressure",
	    "NM/cyl-2,pressure", "NM,head-pressure", "NM,level" };
	static const char *const quality[] = { "bad", "uncertain", "good" };
	struct leat_buf text = { 0 };
	char time[LEAT_TIME_MAX];

	assert_int_equal(leat_buf_printf(&text, ROWS_HEADER), 0);
	for (int i = 0; i < count; i++) {
		leat_time_write(time, (struct leat_time){ START + row[i].second, 0 });
		assert_int_equal(leat_buf_printf(&text, "%s,%s,", time, name[row[i].what]), 0);
		if (row[i].what == STATE)
			assert_int_equal(leat_buf_printf(&text, "%s,,%s\n", row[i].value > 0 ? "grinding" : row[i].value < 0 ? "unknown" :
			    "hold", quality[row[i].quality]), 0);
		else
			assert_int_equal(leat_buf_printf(&text, "%.1f,%s,%s\n", row[i].value, row[i].what == LEVEL ? "mm" : "bar",
			    quality[row[i].quality]), 0);
	}
	assert_int_equal(leat_buf_add(&text, "", 1), 0);
	return text.data;
}

/* The model: what is so from one second to the next. */
struct second {
	bool known, grinding, read, setpoint_good, admitted, cut;
	double setpoint;
};

/* What holds until changed. */
struct latest {
	bool has, good;
	int bad_since;		/* -1: none */
	double value;
};

static bool
valid(const struct latest *l, int mill_seen, int second)
{
	int begins = l->bad_since >= 0 && l->bad_since < mill_seen ? l->bad_since : mill_seen;

	return l->has && second < begins + HOLD;
}

static void
take_latest(struct latest *l, const struct random_row *r)
{
	if (r->quality == 0) {
		l->bad_since = l->bad_since < 0 ? r->second : l->bad_since;
		return;
	}
	*l = (struct latest){ true, r->quality == 2, -1, r->value };
}

static void
model_seconds(const struct random_row *row, int count, struct second *second)
{
	struct latest state = { .bad_since = -1 }, setpoint = { .bad_since = -1 };
	int mill_seen = -HOLD, admit = INT32_MIN, next = 0;
	double anchor = NAN;
	bool begun = false, read = false;

	for (int s = 0; s < SECONDS; s++) {
		struct second *now = &second[s];

		for (; next < count && row[next].second == s; next++) {
			const struct random_row *r = &row[next];

			begun = begun || r->what == PRESSURE;
			read = read || r->what == SETPOINT;
			if (r->what == STATE)
				take_latest(&state, r);
			if (r->what == SETPOINT)
				take_latest(&setpoint, r);
			if (r->quality != 0)
				mill_seen = s;
		}
		*now = (struct second){ .setpoint = NAN, .setpoint_good = true };
		if (!begun)
			continue;
		now->known = valid(&state, mill_seen, s) && state.value >= 0;
		now->grinding = now->known && state.value > 0;
		now->read = read;
		if (!read) {
			now->setpoint = 120;
		} else if (valid(&setpoint, mill_seen, s)) {
			now->setpoint = setpoint.value > 0 ? setpoint.value : NAN;
			now->setpoint_good = setpoint.good;
		}
		/* The tolerance of 3.6 bar and more makes 0.36 bar the least change. */
		if (!isnan(now->setpoint) && !(fabs(now->setpoint - anchor) <= 0.003 * now->setpoint)) {
			if (read || !isnan(anchor))
				admit = s + SETTLING;
			anchor = now->setpoint;
		}
		now->admitted = !isnan(now->setpoint) && s >= admit;
		if (s > 0)
			now->cut = second[s - 1].grinding != now->grinding || second[s - 1].setpoint_good != now->setpoint_good ||
			    !(second[s - 1].setpoint == now->setpoint || (isnan(second[s - 1].setpoint) && isnan(now->setpoint)));
		now->cut = now->cut || s % 86400 == 7200;
	}
}

/* A pressure at an eighth of a second, NaN where it does not count. */
struct trace {
	double *value;
	bool *good;		/* by the second */
};

static void
model_trace(const struct random_row *row, int count, enum what what, const struct second *second, struct trace *t)
{
	int first = 0;

	for (int i = 0; i < SECONDS * EIGHTHS; i++)
		t->value[i] = NAN;
	while (first < count && row[first].what != PRESSURE)
		first++;
	/* Rows of the first instant of the pressure stand before it are not looked at. */
	for (int i = first; i < count; i++) {
		int next = i + 1, end, last_cut = -1;
		bool line, counts = true;

		if (row[i].what != what)
			continue;
		while (next < count && row[next].what != what)
			next++;
		if (next < count && row[next].second == row[i].second)
			continue;
		/* Of several of one instant the last counts. */
		for (int j = next + 1; next < count && j < count && row[j].second == row[next].second; j++)
			next = row[j].what == what ? j : next;
		end = next < count ? row[next].second : SECONDS;
		line = next < count && row[next].quality != 0 && end - row[i].second <= HOLD;
		for (int s = row[i].second + 1; s < end; s++)
			last_cut = second[s].cut ? s : last_cut;
		if (line && second[end - 1].grinding && !second[end].grinding)
			last_cut = end;
		for (int s = row[i].second; row[i].quality != 0 && s < end && s < row[i].second + HOLD; s++) {
			counts = counts && second[s].grinding;
			t->good[s] = row[i].quality == 2 && (!line || s < last_cut || row[next].quality == 2);
			for (int k = 0; counts && second[s].admitted && k < EIGHTHS; k++)
				t->value[s * EIGHTHS + k] = !line || s < last_cut ? row[i].value : row[i].value +
				    (row[next].value - row[i].value) * (s - row[i].second + (k + 0.5) / EIGHTHS) / (end - row[i].second);
		}
	}
}

struct model {
	double grinding_s, known_s, admitted_s, good_s, within_s, longest_s, deviation, p10, shift, shift_s, shift_good_s;
	double mean[KINDS], seconds[KINDS], mean_good_s[KINDS];
};

static int
by_size(const void *a, const void *b)
{
	double x = *(const double *)a, y = *(const double *)b;

	return x < y ? -1 : x > y;
}

/* What a day from one second to another comes to. */
static void
model_day(const struct second *second, const struct trace *trace, int from, int to, struct model *m)
{
	double *deviation = malloc(sizeof(*deviation) * (size_t)(to - from) * EIGHTHS), spell = 0;
	size_t n = 0;

	assert_non_null(deviation);
	memset(m, 0, sizeof(*m));
	for (int s = from; s < to; s++) {
		m->known_s += second[s].known;
		m->grinding_s += second[s].grinding;
		if (second[s].grinding && second[s].read && !isnan(second[s].setpoint)) {
			m->shift += second[s].setpoint - 120;
			m->shift_s++;
			m->shift_good_s += second[s].setpoint_good;
		}
		for (int k = 0; k < EIGHTHS; k++) {
			double value = trace[PRESSURE].value[s * EIGHTHS + k] - second[s].setpoint;
			double tolerance = fmax(3, 0.03 * second[s].setpoint);

			spell = value < -tolerance ? spell + 1.0 / EIGHTHS : 0;
			m->longest_s = fmax(m->longest_s, spell);
			if (isnan(value))
				continue;
			deviation[n++] = value;
			m->deviation += value;
			m->within_s += (fabs(value) <= tolerance) / (double)EIGHTHS;
			m->good_s += (trace[PRESSURE].good[s] && second[s].setpoint_good) / (double)EIGHTHS;
		}
		for (int what = 0; what < KINDS; what++) {
			for (int k = 0; trace[what].value != NULL && k < EIGHTHS; k++) {
				double value = trace[what].value[s * EIGHTHS + k];

				if (isnan(value))
					continue;
				m->mean[what] += value;
				m->seconds[what] += 1.0 / EIGHTHS;
				m->mean_good_s[what] += trace[what].good[s] / (double)EIGHTHS;
			}
		}
	}
	m->admitted_s = (double)n / EIGHTHS;
	m->deviation /= (double)n;
	m->shift /= m->shift_s;
	qsort(deviation, n, sizeof(*deviation), by_size);
	m->p10 = n > 0 ? deviation[n / 10] : NAN;
	for (int what = 0; what < KINDS; what++)
		m->mean[what] /= m->seconds[what] * EIGHTHS;
	free(deviation);
}

static const char *
worth(const struct model *m, double seconds, double good_s)
{
	return seconds < 1800 ? "bad" : good_s < m->grinding_s / 2 ? "uncertain" : "good";
}

static void
compare(const char *text, const char *time, const char *series, double expected, double tolerance, const char *quality)
{
	char key[96], word[16];
	double value;

	snprintf(key, sizeof(key), "%s,%s,", time, series);
	value = value_of(text, key, word);
	if (strcmp(word, quality) != 0)
		fail_msg("%s '%s', expected '%s' %.4f", key, word, quality, expected);
	if (strcmp(quality, "bad") != 0 && quality[0] != '\0' && !(fabs(value - expected) <= tolerance))
		fail_msg("%s %.4f, expected %.4f", key, value, expected);
}

static const char *
worse(const char *a, const char *b)
{
	return strcmp(a, "bad") == 0 || strcmp(b, "bad") == 0 ? "bad" : strcmp(a, "good") == 0 ? b : a;
}

static void
compare_day(const char *text, int end, int last, const struct model *m)
{
	char time[LEAT_TIME_MAX];
	const char *all = worth(m, m->admitted_s, m->good_s), *cylinders;

	leat_time_write(time, (struct leat_time){ START + end, 0 });
	if (end > last) {
		assert_null(strstr(text, time));
		return;
	}
	if (m->known_s > 0)
		compare(text, time, "NM,grinding-hours", m->grinding_s / 3600, 0.0051, m->known_s < 43200 ? "uncertain" : "good");
	if (!(m->grinding_s > 0)) {
		compare(text, time, "NM,pressure-attainment", 0, 0, "");
		return;
	}
	compare(text, time, "NM,pressure-attainment", 100 * m->within_s / m->admitted_s, 0.06, all);
	compare(text, time, "NM,pressure-attainment.coverage", 100 * m->admitted_s / m->grinding_s, 0.0051, "good");
	compare(text, time, "NM,pressure-deviation", m->deviation, 0.0051, all);
	compare(text, time, "NM,pressure-deviation.p10", m->p10, 0.02, all);
	compare(text, time, "NM,pressure-low-spell", m->longest_s / 60, 0.06, all);
	if (m->shift_s > 0)
		compare(text, time, "NM,setpoint-shift", m->shift, 0.0051, worth(m, m->shift_s, m->shift_good_s));
	cylinders = worse(worth(m, m->seconds[CYLINDER_1], m->mean_good_s[CYLINDER_1]),
	    worth(m, m->seconds[CYLINDER_2], m->mean_good_s[CYLINDER_2]));
	compare(text, time, "NM,pressure-spread", fabs(m->mean[CYLINDER_1] - m->mean[CYLINDER_2]), 0.0051, cylinders);
}

#define PLATE PLATE_HEADER "NM,set-pressure,120,bar,\nNM,bore,320,mm,\nNM,rod,200,mm,\nNM/relief,relief-pressure,130,bar,\n"

static void
test_model(void **state)
{
	static struct random_row row[ROWS];
	static struct second second[SECONDS];
	struct trace trace[KINDS] = { { NULL, NULL } };
	static const enum what traced[] = { PRESSURE, CYLINDER_1, CYLINDER_2 };
	uint64_t seed = 5;
	int days = 0;

	(void)state;
	for (size_t i = 0; i < 3; i++) {
		trace[traced[i]].value = malloc(sizeof(double) * SECONDS * EIGHTHS);
		trace[traced[i]].good = calloc(SECONDS, sizeof(bool));
		assert_true(trace[traced[i]].value != NULL && trace[traced[i]].good != NULL);
	}
	for (int run = 0; run < 12; run++) {
		int count = fill(&seed, row), last = row[count - 1].second;
		char *rows = text_of(row, count), *text;
		struct leat_error err = { 0 };
		struct model m;

		text = attain_pass(&(struct attain_in){ .rows = rows, .plate = PLATE, .only = true }, &err);
		assert_non_null(text);
		model_seconds(row, count, second);
		for (size_t i = 0; i < 3; i++)
			model_trace(row, count, traced[i], second, &trace[traced[i]]);
		for (int from = 0, to = 7200; to <= SECONDS; from = to, to += 86400) {
			model_day(second, trace, from, to, &m);
			compare_day(text, to, last, &m);
			days += to <= last && m.admitted_s > 1800;
		}
		free(rows);
		free(text);
	}
	/* The streams must have days to compare. */
	assert_true(days >= 12);
	for (int what = 0; what < KINDS; what++) {
		free(trace[what].value);
		free(trace[what].good);
	}
}

/* A second pass changes nothing. */
static void
test_twice(void **state)
{
	static struct random_row row[ROWS];
	uint64_t seed = 77;

	(void)state;
	for (int run = 0; run < 20; run++) {
		char *rows = text_of(row, fill(&seed, row)), *once, *twice;
		struct leat_error err = { 0 };

		once = attain_pass(&(struct attain_in){ .rows = rows, .plate = PLATE }, &err);
		assert_non_null(once);
		assert_non_null(strstr(once, "NM/relief,relief-time"));
		assert_non_null(strstr(once, "NM/cyl-1,grinding-force"));
		twice = attain_pass(&(struct attain_in){ .rows = once, .plate = PLATE }, &err);
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
		int count = fill(&seed, row), cut = count / 2 + (int)random_below(&seed, (unsigned)count / 2);
		char *whole, *part, *all, *some;
		struct leat_error err = { 0 };

		while (cut < count && row[cut].second == row[cut - 1].second)
			cut++;
		whole = text_of(row, count);
		part = text_of(row, cut);
		all = attain_pass(&(struct attain_in){ .rows = whole, .plate = PLATE, .only = true }, &err);
		some = attain_pass(&(struct attain_in){ .rows = part, .plate = PLATE, .only = true }, &err);
		assert_true(all != NULL && some != NULL);
		if (strncmp(all, some, strlen(some)) != 0)
			fail_msg("run %d: cut at row %d changes what comes before", run, cut);
		free(whole);
		free(part);
		free(all);
		free(some);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_model), cmocka_unit_test(test_twice), cmocka_unit_test(test_cut)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
