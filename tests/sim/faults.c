/*
 * The faults of the thirteen months, and what only looks like one.
 */
#include "works.h"

/* How far the faults of another seed are moved, and how much larger they are. */
struct other {
	bool is;
	struct sim_random *random;
	int64_t by;
	double larger;
};

static void
another(struct other *o)
{
	o->by = o->is ? (int64_t)(40 * sim_uniform(o->random) - 20) * DAY_S : 0;
	o->larger = o->is ? 0.8 + 0.5 * sim_uniform(o->random) : 1;
}

static int64_t
at(const struct other *o, int year, int month, int day, int hour, int minute)
{
	return sim_utc(year, month, day, hour, minute) + o->by;
}

static void
oil_side(struct faults *f, struct other *o)
{
	another(o);
	f->wear.from = at(o, 2025, 5, 10, 0, 0);
	f->wear.faster = at(o, 2025, 10, 1, 0, 0);
	f->wear.changed = sim_utc(2026, 1, 14, 10, 0) + (o->by < 0 ? o->by : o->by / 4);
	f->wear.per_hour = 5.9e-5 * o->larger;
	f->wear.factor = 2.2;
	another(o);
	f->seal.from = at(o, 2025, 6, 1, 0, 0);
	f->seal.middle = at(o, 2025, 8, 25, 0, 0);
	f->seal.set = at(o, 2025, 11, 25, 10, 0);
	f->seal.leak_lpm = 1.5 * o->larger;
	f->seal.bore_mm = 0.07 * o->larger;
	another(o);
	f->weep.from = at(o, 2025, 12, 1, 0, 0);
	f->weep.above_bar = 128;
	f->weep.lpm = 0.6 * o->larger;
	another(o);
	f->wrong_oil.at = at(o, 2025, 4, 14, 10, 0);
	f->wrong_oil.litres = 60;
	f->wrong_oil.share = 0.037;
}

static void
gas_side(struct faults *f, struct other *o)
{
	another(o);
	f->gas.from = at(o, 2025, 3, 20, 0, 0);
	f->gas.reading[0] = at(o, 2025, 4, 25, 10, 0);
	f->gas.reading[1] = at(o, 2025, 6, 10, 10, 0);
	f->gas.topped = at(o, 2025, 7, 8, 10, 0);
	f->gas.renewed = at(o, 2025, 9, 30, 10, 0);
	f->gas.month = 0.045 * o->larger;
	f->loaded_gauge = at(o, 2025, 5, 6, 11, 0);
}

static void
cooling_and_filters(struct faults *f, struct other *o)
{
	another(o);
	f->fouling.from = at(o, 2025, 4, 1, 0, 0);
	f->fouling.to = at(o, 2025, 8, 20, 0, 0);
	f->fouling.cleaned = at(o, 2025, 8, 21, 10, 0);
	f->fouling.claimed = at(o, 2025, 8, 22, 10, 0);
	f->fouling.share = 1 - (1 - 0.24 / 0.38) * (o->larger > 1.2 ? 1.2 : o->larger);
	another(o);
	f->ingress.from = at(o, 2025, 9, 1, 0, 0);
	f->ingress.to = at(o, 2025, 9, 29, 0, 0);
	f->ingress.days = 18 / o->larger;
	another(o);
	f->collapse.from = at(o, 2025, 10, 11, 7, 0);
	f->collapse.changed = at(o, 2025, 11, 4, 10, 0);
	f->collapse.dp_bar = 0.12;
	another(o);
	f->tube.from = at(o, 2025, 10, 28, 0, 0);
	f->tube.isolated = at(o, 2025, 11, 6, 10, 0);
	f->tube.dried = at(o, 2025, 11, 20, 10, 0);
	f->tube.ppm_day = 52 * o->larger;
	f->tube.free_l = 26 * o->larger;
	f->hunting.when = (struct sim_span){ at(o, 2025, 3, 1, 0, 0), at(o, 2025, 4, 1, 0, 0) };
	f->hunting.kelvin = 3;
	f->hunting.period_s = 540;
}

static void
instruments_and_people(struct faults *f, struct other *o)
{
	another(o);
	f->frozen.when = (struct sim_span){ at(o, 2025, 2, 11, 3, 20), at(o, 2025, 2, 19, 0, 0) };
	f->frozen.celsius = 48.7;
	f->drift.when = (struct sim_span){ at(o, 2025, 8, 1, 0, 0), at(o, 2025, 11, 1, 0, 0) };
	f->drift.bar = 3 * o->larger;
	another(o);
	f->meter.from = at(o, 2025, 6, 17, 10, 0);
	f->meter.logged = f->meter.from + 7 * DAY_S;
	f->meter.factor = 0.264172;
	another(o);
	f->low_set.when = (struct sim_span){ at(o, 2025, 10, 6, 22, 30), at(o, 2025, 11, 3, 14, 0) };
	f->low_set.bar = 124;
	f->missing_rounds = (struct sim_span){ at(o, 2025, 7, 21, 0, 0), at(o, 2025, 7, 28, 0, 0) };
	f->doubled_export = at(o, 2025, 9, 17, 12, 0);
}

static void
decoys(struct faults *f, struct other *o)
{
	/* Cold mornings need the cold of January. */
	f->cold_morning[0] = sim_utc(2025, 1, 20, 6, 0);
	f->cold_morning[1] = sim_utc(2026, 1, 19, 6, 0);
	another(o);
	f->trial.when = (struct sim_span){ at(o, 2025, 6, 3, 8, 0), at(o, 2025, 6, 5, 8, 0) };
	f->trial.bar = 129;
	f->standby = (struct sim_span){ at(o, 2025, 5, 5, 8, 0), at(o, 2025, 5, 19, 8, 0) };
	f->dirty_valve = at(o, 2025, 4, 15, 0, 0);
}

void
faults_plan(struct works *w, struct sim_random *random)
{
	struct other o = { .is = w->seed != 1, .random = random };

	oil_side(&w->faults, &o);
	gas_side(&w->faults, &o);
	cooling_and_filters(&w->faults, &o);
	instruments_and_people(&w->faults, &o);
	decoys(&w->faults, &o);
}
