/*
 * What the works is and when its mills stand still.
 */
#include <string.h>

#include "gas.h"
#include "works.h"

bool
within(const struct sim_span *s, int64_t sec)
{
	return sec >= s->from && sec < s->to;
}

static bool
overlap(const struct sim_span *a, int64_t from, int64_t to)
{
	return a->from < to && from < a->to;
}

/* Puts a stop in its place by time; what overlaps it within a margin goes away. */
static void
stop_insert(struct mill *m, int64_t from, int64_t to, bool planned, int64_t margin)
{
	int n = 0, at;

	for (int i = 0; i < m->stops; i++)
		if (!overlap(&m->stop[i], from - margin, to + margin)) {
			m->stop[n] = m->stop[i];
			m->planned[n++] = m->planned[i];
		}
	m->stops = n;
	if (n == STOPS)
		return;
	for (at = n; at > 0 && m->stop[at - 1].from > from; at--) {
		m->stop[at] = m->stop[at - 1];
		m->planned[at] = m->planned[at - 1];
	}
	m->stop[at] = (struct sim_span){ from, to };
	m->planned[at] = planned;
	m->stops++;
}

static int64_t
whole_minutes(double seconds)
{
	return (int64_t)(seconds / 60) * 60;
}

/* One or two stops a week, so that with the planned ones a mill runs 82 % of the time. */
static void
unplanned(const struct works *w, struct mill *m, struct sim_random *r)
{
	for (int64_t week = w->begin; week + 7 * DAY_S < w->end; week += 7 * DAY_S) {
		int n = sim_uniform(r) < 0.5 ? 1 : 2;
		double hours = 28.0 * (0.55 + 0.9 * sim_uniform(r));

		for (int i = 0; i < n; i++) {
			double part = n == 1 ? 1 : i == 0 ? 0.35 : 0.65;
			double room = 7.0 / n * DAY_S - hours * part * 3600 - 6 * 3600;
			int64_t from = week + i * 7 * DAY_S / n + 7200 + whole_minutes(room * sim_uniform(r));

			stop_insert(m, from, from + whole_minutes(hours * part * 3600), false, 0);
		}
	}
}

static void
drop_stops(struct mill *m, int64_t from, int64_t to)
{
	int n = 0;

	for (int i = 0; i < m->stops; i++)
		if (!overlap(&m->stop[i], from, to)) {
			m->stop[n] = m->stop[i];
			m->planned[n++] = m->planned[i];
		}
	m->stops = n;
}

/* Eight hours from the local morning of a day. */
static void
plan_stop(struct mill *m, int64_t day)
{
	struct sim_clock c = sim_local(day);
	int64_t from = sim_utc(c.year, c.month, c.day, 6, 0);

	stop_insert(m, from, from + 8 * 3600, true, 6 * 3600);
}

/* The work that needs a stop has one. */
static void
stops_for_work(struct works *w)
{
	struct faults *f = &w->faults;
	struct mill *nm = &w->mill[NM], *mm = &w->mill[MM], *sm = &w->mill[SM];

	plan_stop(nm, f->fouling.cleaned);
	plan_stop(nm, f->wear.changed);
	plan_stop(mm, f->gas.reading[0]);
	plan_stop(mm, f->gas.reading[1]);
	plan_stop(mm, f->gas.topped);
	plan_stop(mm, f->gas.renewed);
	plan_stop(mm, f->fouling.claimed);
	plan_stop(mm, f->tube.isolated);
	plan_stop(sm, f->seal.set);
	/* One stop within the frozen spell of the thermometer. */
	drop_stops(sm, f->frozen.when.from - 3600, f->frozen.when.to + 3600);
	plan_stop(sm, f->frozen.when.from + 4 * DAY_S);
	stop_insert(mm, f->cold_morning[0] - 10 * 3600, f->cold_morning[0], false, 12 * 3600);
	stop_insert(sm, f->cold_morning[1] - 10 * 3600, f->cold_morning[1], false, 12 * 3600);
}

static void
plan_mill(struct works *w, int number, struct sim_random *r, double first_day)
{
	struct mill *m = &w->mill[number];

	unplanned(w, m, r);
	for (double day = first_day; day < 392; day += 42)
		plan_stop(m, w->begin + (int64_t)(day * DAY_S) + 12 * 3600);
	/* Outages of the historian, away from the nights on which the clock is set. */
	for (int i = 0; i < OUTAGES; i++) {
		double day = 12 + 64 * i + 50 * sim_uniform(r);
		int64_t from = w->begin + whole_minutes(day * DAY_S);

		m->outage[i] = (struct sim_span){ from, from + 3600 + whole_minutes(8 * 3600 * sim_uniform(r)) };
	}
}

void
works_plan(struct works *w, uint64_t seed)
{
	static const char *const names[MILLS] = { "NM", "MM", "SM" };
	static const double set[MILLS] = { 125, 118, 132 }, first[MILLS] = { 34, 30, 13 };
	struct sim_random r = { seed * 0x9e37u + 77 };

	memset(w, 0, sizeof(*w));
	w->seed = seed;
	w->precharge_density = gas_density(PRECHARGE_BAR + CHARGE_ATM_BAR, 293.15);
	w->begin = sim_utc(2025, 1, 1, 0, 0);
	w->end = sim_utc(2026, 2, 1, 0, 0);
	for (int i = 0; i < MILLS; i++) {
		/* Other works differ by a tenth or so. */
		double other = seed == 1 ? 0 : 1;
#define ABOUT(value, share) ((value) * (1 + other * (share) * (2 * sim_uniform(&r) - 1)))
		w->mill[i] = (struct mill){
			.name = names[i], .set_bar = set[i], .control_lpm = ABOUT(0.5, 0.2), .slot_lpm = ABOUT(1.3, 0.15),
			.slot_b_lpm = ABOUT(1.1, 0.15), .leak_lpm = ABOUT(0.34, 0.2), .ua = ABOUT(0.38, 0.08),
			.dp_clean = ABOUT(0.45, 0.1), .heat_kw = ABOUT(10.5, 0.05), .lost_l_per_day = ABOUT(0.1, 0.3),
		};
#undef ABOUT
	}
	faults_plan(w, &r);
	for (int i = 0; i < MILLS; i++)
		plan_mill(w, i, &r, first[i]);
	stops_for_work(w);
	for (int i = 0; i < MILLS; i++) {
		/* Both nights on which the clock is set have pump-ups in them. */
		drop_stops(&w->mill[i], sim_utc(2025, 3, 29, 22, 0), sim_utc(2025, 3, 30, 6, 0));
		drop_stops(&w->mill[i], sim_utc(2025, 10, 25, 22, 0), sim_utc(2025, 10, 26, 6, 0));
	}
}
