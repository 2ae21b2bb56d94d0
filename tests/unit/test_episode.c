/* Episodes: delays in time, deadband, escalation, gaps.  The rules are those of common alarm practice: deadband and on- and
 * off-delay as in ISA-18.2 and IEC 62682, from memory. */
#include "unit.h"

#include "random.h"
#include "stream/episode.h"

#define MINUTE 60
#define FULL LEAT_EVIDENCE_FULL
#define NONE LEAT_EVIDENCE_NONE
#define BROKEN LEAT_EVIDENCE_BROKEN

/* One sample: minute, value, and what the stretch before it is worth; judged false suspends. */
struct sample {
	double minute, value;
	enum leat_evidence evidence;
	bool unjudged;
};

#define SAMPLES 12

struct outcome {
	struct leat_episode ep;
	struct leat_episode_record closed[8];
	int count;
};

static struct leat_time
at(double minute)
{
	return leat_time_add((struct leat_time){ 1000000, 0 }, minute * MINUTE);
}

static void
feed(struct outcome *o, const struct leat_episode_form *form, struct leat_time time, double value,
    enum leat_evidence evidence, bool unjudged)
{
	struct leat_episode_record closed;

	if (leat_episode_pass(&o->ep, form, time, evidence, &closed) && o->count < 8)
		o->closed[o->count++] = closed;
	if (unjudged)
		leat_episode_suspend(&o->ep);
	else if (leat_episode_take(&o->ep, form, value, value, 1, &closed) && o->count < 8)
		o->closed[o->count++] = closed;
}

static const struct leat_episode_form high = {
	.side = 1, .has_alert = true, .has_alarm = true, .alert = 60, .alarm = 65, .deadband = 1, .on_delay_s = 10 * MINUTE,
	.off_delay_s = 10 * MINUTE
};

static const struct leat_episode_form low = {
	.side = -1, .has_alert = true, .has_alarm = true, .alert = 60, .alarm = 55, .deadband = 1,
	.on_delay_s = 10 * MINUTE, .off_delay_s = 10 * MINUTE
};

static const struct leat_episode_form sudden = { .side = 1, .has_alarm = true, .alarm = 65 };

static void
expect_minute(const char *name, const char *what, struct leat_time got, double minute)
{
	double gap = leat_time_diff(got, at(minute));

	if (gap < 1e-6 && gap > -1e-6)
		return;
	print_error("%s: %s at minute %g, expected %g\n", name, what, leat_time_diff(got, at(0)) / MINUTE, minute);
	fail();
}

/* closed_or_open: 'n' no episode, 'o' an open one, 'c' one that is over. */
static void
stories(void **state)
{
	static const struct {
		const char *name;
		const struct leat_episode_form *form;
		struct sample sample[SAMPLES];
		int samples;
		char end;
		enum leat_status status;
		double since, reached, until, held, worst;
	} row[] = {
		{ "never over", &high, { { 0, 50, BROKEN, 0 }, { 5, 60, FULL, 0 }, { 20, 60, FULL, 0 } }, 3, 'n', 0, 0, 0, 0, 0, 0 },
		{ "over for less than the delay", &high, { { 0, 61, BROKEN, 0 }, { 9, 50, FULL, 0 }, { 30, 50, FULL, 0 } }, 3, 'n',
		    0, 0, 0, 0, 0, 0 },
		{ "over for the delay", &high, { { 0, 61, BROKEN, 0 }, { 10, 61, FULL, 0 } }, 2, 'o', LEAT_STATUS_ALERT, 0, 10, 10,
		    10, 61 },
		{ "the delay ends between two samples", &high, { { 0, 61, BROKEN, 0 }, { 7, 62, FULL, 0 }, { 14, 50, FULL, 0 } }, 3,
		    'o', LEAT_STATUS_ALERT, 0, 10, 14, 14, 62 },
		{ "back for less than the off-delay", &high, { { 0, 61, BROKEN, 0 }, { 12, 50, FULL, 0 }, { 20, 61, FULL, 0 },
		    { 22, 61, FULL, 0 } }, 4, 'o', LEAT_STATUS_ALERT, 0, 10, 22, 22, 61 },
		{ "back for the off-delay", &high, { { 0, 61, BROKEN, 0 }, { 12, 50, FULL, 0 }, { 25, 50, FULL, 0 } }, 3, 'c',
		    LEAT_STATUS_ALERT, 0, 10, 12, 12, 61 },
		{ "within the deadband is not back", &high, { { 0, 61, BROKEN, 0 }, { 12, 59.5, FULL, 0 }, { 40, 59.5, FULL, 0 } },
		    3, 'o', LEAT_STATUS_ALERT, 0, 10, 40, 40, 61 },
		{ "at the deadband's end is back", &high, { { 0, 61, BROKEN, 0 }, { 12, 59, FULL, 0 }, { 22, 59, FULL, 0 } }, 3,
		    'c', LEAT_STATUS_ALERT, 0, 10, 12, 12, 61 },
		{ "an alert becomes an alarm", &high, { { 0, 61, BROKEN, 0 }, { 12, 66, FULL, 0 }, { 25, 66.5, FULL, 0 },
		    { 26, 62, FULL, 0 } }, 4, 'o', LEAT_STATUS_ALARM, 0, 22, 26, 26, 66.5 },
		{ "too short for an alarm", &high, { { 0, 61, BROKEN, 0 }, { 12, 66, FULL, 0 }, { 21, 62, FULL, 0 } }, 3, 'o',
		    LEAT_STATUS_ALERT, 0, 10, 21, 21, 66 },
		{ "alarm at once", &high, { { 0, 70, BROKEN, 0 }, { 10, 70, FULL, 0 } }, 2, 'o', LEAT_STATUS_ALARM, 0, 10, 10, 10,
		    70 },
		{ "low side", &low, { { 0, 59, BROKEN, 0 }, { 10, 54, FULL, 0 }, { 20, 60.5, FULL, 0 }, { 30, 61, FULL, 0 },
		    { 41, 61, FULL, 0 } }, 5, 'c', LEAT_STATUS_ALARM, 0, 20, 30, 30, 54 },
		{ "a gap is no evidence", &high, { { 0, 61, BROKEN, 0 }, { 30, 61, BROKEN, 0 }, { 35, 61, FULL, 0 } }, 3, 'n', 0, 0,
		    0, 0, 0, 0 },
		{ "after the gap the delay begins anew", &high, { { 0, 61, BROKEN, 0 }, { 30, 61, BROKEN, 0 }, { 40, 61, FULL, 0 } },
		    3, 'o', LEAT_STATUS_ALERT, 30, 40, 40, 10, 61 },
		{ "an episode outlasts a gap", &high, { { 0, 61, BROKEN, 0 }, { 10, 61, FULL, 0 }, { 90, 61, BROKEN, 0 },
		    { 95, 61, FULL, 0 } }, 4, 'o', LEAT_STATUS_ALERT, 0, 10, 95, 15, 61 },
		{ "back after a gap: over since the last evidence", &high, { { 0, 61, BROKEN, 0 }, { 10, 61, FULL, 0 },
		    { 90, 50, BROKEN, 0 }, { 100, 50, FULL, 0 } }, 4, 'c', LEAT_STATUS_ALERT, 0, 10, 10, 10, 61 },
		{ "the off-delay begins anew after a gap", &high, { { 0, 61, BROKEN, 0 }, { 10, 50, FULL, 0 }, { 18, 50, FULL, 0 },
		    { 60, 50, BROKEN, 0 }, { 69, 50, FULL, 0 } }, 5, 'o', LEAT_STATUS_ALERT, 0, 10, 10, 10, 61 },
		{ "what cannot be told stands still", &high, { { 0, 61, BROKEN, 0 }, { 6, 61, FULL, 0 }, { 26, 61, NONE, 0 },
		    { 30, 61, FULL, 0 } }, 4, 'o', LEAT_STATUS_ALERT, 0, 30, 30, 10, 61 },
		{ "not judged: the delay begins anew", &high, { { 0, 61, BROKEN, 0 }, { 6, 61, FULL, 0 }, { 7, 61, BROKEN, 1 },
		    { 8, 61, BROKEN, 0 }, { 17, 61, FULL, 0 } }, 5, 'n', 0, 0, 0, 0, 0, 0 },
		{ "not judged: an episode stays open", &high, { { 0, 61, BROKEN, 0 }, { 12, 61, FULL, 0 }, { 13, 20, BROKEN, 1 },
		    { 90, 20, BROKEN, 1 }, { 91, 61, BROKEN, 0 }, { 92, 61, FULL, 0 } }, 6, 'o', LEAT_STATUS_ALERT, 0, 10, 92, 13,
		    61 },
		{ "without delays a sample is enough", &sudden, { { 0, 50, BROKEN, 0 }, { 600, 66, BROKEN, 0 } }, 2, 'o',
		    LEAT_STATUS_ALARM, 600, 600, 600, 0, 66 },
		{ "and one sample ends it", &sudden, { { 0, 50, BROKEN, 0 }, { 600, 66, BROKEN, 0 }, { 900, 65, BROKEN, 0 } }, 3,
		    'c', LEAT_STATUS_ALARM, 600, 600, 600, 0, 66 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof(row) / sizeof(row[0]); i++) {
		struct outcome o = { .count = 0 };
		const struct leat_episode_record *got;
		char end;

		for (int s = 0; s < row[i].samples; s++)
			feed(&o, row[i].form, at(row[i].sample[s].minute), row[i].sample[s].value, row[i].sample[s].evidence,
			    row[i].sample[s].unjudged);
		end = o.ep.open ? 'o' : o.count > 0 ? 'c' : 'n';
		if (end != row[i].end || o.count > 1) {
			print_error("%s: ends '%c' with %d episodes, expected '%c'\n", row[i].name, end, o.count, row[i].end);
			fail();
		}
		if (end == 'n')
			continue;
		got = o.ep.open ? &o.ep.now : &o.closed[0];
		if (got->status != row[i].status) {
			print_error("%s: status %d\n", row[i].name, got->status);
			fail();
		}
		expect_minute(row[i].name, "since", got->since, row[i].since);
		expect_minute(row[i].name, "reached", got->reached, row[i].reached);
		expect_minute(row[i].name, "until", got->until, row[i].until);
		unit_close(got->held_s / MINUTE, row[i].held, 1e-9);
		unit_close(got->worst, row[i].worst, 0);
	}
}

/* When an end was known: the off-delay after the return, whenever the sample that shows it comes. */
static void
closing_time(void **state)
{
	struct outcome o = { .count = 0 };

	(void)state;
	feed(&o, &high, at(0), 61, BROKEN, false);
	feed(&o, &high, at(12), 50, FULL, false);
	feed(&o, &high, at(27), 50, FULL, false);
	assert_int_equal(o.count, 1);
	expect_minute("closed", "closed", o.closed[0].closed, 22);
}

static bool
same_record(const struct leat_episode_record *a, const struct leat_episode_record *b)
{
	double held = a->held_s - b->held_s;

	return a->status == b->status && leat_time_cmp(a->since, b->since) == 0 &&
	    leat_time_cmp(a->reached, b->reached) == 0 && leat_time_cmp(a->until, b->until) == 0 &&
	    leat_time_cmp(a->closed, b->closed) == 0 && held < 1e-6 && held > -1e-6 && a->worst == b->worst;
}

#define HOURS 48

/* A random signal that holds each value for whole hours, sampled every so many minutes: the episodes must not differ. */
static void
rate_of_sampling_does_not_matter(void **state)
{
	static const int minutes[] = { 60, 30, 20, 15, 12, 10, 5, 3, 2, 1 };
	uint64_t seed = 42;

	(void)state;
	for (int trial = 0; trial < 200; trial++) {
		struct leat_episode_form form = high;
		struct outcome first = { .count = 0 };
		double hour[HOURS];

		form.on_delay_s = (double)random_below(&seed, 200) * MINUTE;
		form.off_delay_s = (double)random_below(&seed, 200) * MINUTE;
		for (int h = 0; h < HOURS; h++)
			hour[h] = 55 + (double)random_below(&seed, 14);
		for (size_t m = 0; m < sizeof(minutes) / sizeof(minutes[0]); m++) {
			struct outcome o = { .count = 0 };

			for (int t = 0; t < HOURS * 60; t += minutes[m])
				feed(&o, &form, at(t), hour[t / 60], t == 0 ? BROKEN : FULL, false);
			feed(&o, &form, at(HOURS * 60), hour[HOURS - 1], FULL, false);
			if (m == 0)
				first = o;
			assert_int_equal(o.count, first.count);
			assert_int_equal(o.ep.open, first.ep.open);
			for (int i = 0; i < o.count; i++)
				assert_true(same_record(&o.closed[i], &first.closed[i]));
			if (o.ep.open)
				assert_true(same_record(&o.ep.now, &first.ep.now));
		}
	}
}

/* Samples that repeat the value at odd instants change nothing either, nor does cutting the run in two anywhere. */
static void
extra_samples_do_not_matter(void **state)
{
	uint64_t seed = 7;

	(void)state;
	for (int trial = 0; trial < 300; trial++) {
		struct outcome plain = { .count = 0 }, dense = { .count = 0 };
		double value = 50;

		for (int i = 0; i < 60; i++) {
			double next = 54 + (double)random_below(&seed, 14);
			enum leat_evidence evidence = i == 0 ? BROKEN : (enum leat_evidence)(random_below(&seed, 18) / 6 % 3);
			bool unjudged = random_below(&seed, 10) == 0;

			/* Within a full stretch only: a repeat in a gap would be no gap. */
			for (uint64_t n = evidence == FULL ? random_below(&seed, 4) : 0; n > 0; n--)
				feed(&dense, &high, leat_time_add(at(i * 7), -60.0 * (double)n), value, FULL, false);
			feed(&plain, &high, at(i * 7), next, evidence, unjudged);
			feed(&dense, &high, at(i * 7), next, evidence, unjudged);
			value = next;
			if (unjudged) {
				feed(&plain, &high, leat_time_add(at(i * 7), 1), value, BROKEN, false);
				feed(&dense, &high, leat_time_add(at(i * 7), 1), value, BROKEN, false);
			}
		}
		assert_int_equal(plain.count, dense.count);
		assert_int_equal(plain.ep.open, dense.ep.open);
		for (int i = 0; i < plain.count; i++)
			assert_true(same_record(&plain.closed[i], &dense.closed[i]));
	}
}

/* The short way for a signal within its limits ends where the long way does. */
static void
idling_changes_nothing(void **state)
{
	uint64_t seed = 4;

	(void)state;
	for (int trial = 0; trial < 300; trial++) {
		struct outcome longer = { .count = 0 }, shorter = { .count = 0 };

		for (int i = 0; i < 60; i++) {
			double value = 50 + (double)random_below(&seed, 18);
			enum leat_evidence evidence = i == 0 ? BROKEN : (enum leat_evidence)(random_below(&seed, 18) / 6 % 3);
			bool unjudged = random_below(&seed, 10) == 0;

			feed(&longer, &high, at(i * 7), value, evidence, unjudged);
			if (unjudged || !leat_episode_idles(&shorter.ep, &high, at(i * 7), value))
				feed(&shorter, &high, at(i * 7), value, evidence, unjudged);
			assert_int_equal(longer.ep.open, shorter.ep.open);
			assert_int_equal(longer.ep.pending_alert, shorter.ep.pending_alert);
		}
		assert_int_equal(longer.count, shorter.count);
		for (int i = 0; i < longer.count; i++)
			assert_true(same_record(&longer.closed[i], &shorter.closed[i]));
	}
}

static void
folded(void **state)
{
	struct leat_episode_record a = { LEAT_STATUS_ALERT, at(0), at(10), at(12), at(22), 720, 61.5, 1, 1 };
	struct leat_episode_record b = { LEAT_STATUS_ALARM, at(60), at(70), at(80), at(90), 1200, 66.25, 2, 3 };

	(void)state;
	leat_episode_fold(&a, &b, 1);
	assert_int_equal(a.status, LEAT_STATUS_ALARM);
	assert_int_equal(a.count, 4);
	assert_int_equal(a.decimals, 2);
	unit_close(a.worst, 66.25, 0);
	unit_close(a.held_s, 1920, 0);
	expect_minute("folded", "since", a.since, 0);
	expect_minute("folded", "reached", a.reached, 70);
	expect_minute("folded", "until", a.until, 80);
}

int
main(void)
{
	static const struct CMUnitTest tests[] = {
		cmocka_unit_test(stories), cmocka_unit_test(closing_time),
		cmocka_unit_test(rate_of_sampling_does_not_matter), cmocka_unit_test(extra_samples_do_not_matter),
		cmocka_unit_test(idling_changes_nothing), cmocka_unit_test(folded),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
