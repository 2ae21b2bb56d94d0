/*
 * Weather, wear, leaks and dirt as functions of time.
 */
#include <math.h>

#include "works.h"

#define PI 3.14159265358979323846
#define MONTH_S (30.4375 * DAY_S)

/* A smooth random course: one draw a day, straight between them. */
static double
spell(const struct works *w, int64_t sec, unsigned salt)
{
	int64_t day = sec / DAY_S;
	double part = (double)(sec % DAY_S) / DAY_S;
	struct sim_random a = { w->seed * 1000003u + (uint64_t)day * 7919u + salt };
	struct sim_random b = { w->seed * 1000003u + (uint64_t)(day + 1) * 7919u + salt };

	return sim_normal(&a) * (1 - part) + sim_normal(&b) * part;
}

static double
season(int64_t sec, double coldest_year_part)
{
	return -cos(2 * PI * ((double)(sec - 1735689600) / 31556952 - coldest_year_part));
}

static double
time_of_day(int64_t sec, double coldest_part)
{
	return -cos(2 * PI * ((double)(sec % DAY_S) / DAY_S - coldest_part));
}

double
weather_ambient(const struct works *w, int64_t sec)
{
	double c = 13 + 11.5 * season(sec, 0.055) + (4.5 + 2 * season(sec, 0.055)) * time_of_day(sec, 0.14) +
	    1.6 * spell(w, sec, 1);

	/* Two cold nights, before the mornings on which filters show much and nothing is wrong. */
	for (int i = 0; i < 2; i++) {
		double hours = fabs((double)(sec - w->faults.cold_morning[i])) / 3600;

		if (hours < 30)
			c += (-6 - c) * (hours < 18 ? 1 : (30 - hours) / 12);
	}
	return c < -6 ? -6 : c > 34 ? 34 : c;
}

double
weather_water(const struct works *w, int64_t sec)
{
	return 17.5 + 8.5 * season(sec, 0.09) + 1.0 * time_of_day(sec, 0.2) + 0.4 * spell(w, sec, 2);
}

double
condition_hall(const struct works *w, int64_t sec)
{
	return 4 + weather_ambient(w, sec);
}

double
condition_set(const struct works *w, int mill, int64_t sec)
{
	const struct faults *f = &w->faults;

	if (mill == SM && within(&f->low_set.when, sec))
		return f->low_set.bar;
	if (mill == NM && within(&f->trial.when, sec))
		return f->trial.bar;
	return w->mill[mill].set_bar;
}

double
condition_leak(const struct works *w, int mill, int64_t sec)
{
	const struct faults *f = &w->faults;
	double leak = w->mill[mill].leak_lpm;

	if (mill == SM && sec >= f->seal.from && sec < f->seal.set)
		leak += (f->seal.leak_lpm - leak) / (1 + exp(-(double)(sec - f->seal.middle) / (18.0 * DAY_S)));
	return leak;
}

double
condition_shell(const struct works *w, int mill, int shell, int64_t sec)
{
	const struct faults *f = &w->faults;
	double months = (double)(sec - w->begin) / MONTH_S;

	if (mill != MM || shell != 3)
		return exp(-0.003 * months);
	/* Accumulator 4 of MM has just what the sheet says when it begins to lose gas. */
	if (sec < f->gas.from)
		return exp(0.003 * (double)(f->gas.from - sec) / MONTH_S);
	if (sec >= f->gas.renewed)
		return exp(-0.003 * (double)(sec - f->gas.renewed) / MONTH_S);
	if (sec >= f->gas.topped)
		return exp(log(1 - f->gas.month) * (double)(sec - f->gas.topped) / MONTH_S);
	return exp(log(1 - f->gas.month) * (double)(sec - f->gas.from) / MONTH_S);
}

double
condition_ua(const struct works *w, int mill, int64_t sec)
{
	const struct faults *f = &w->faults;
	double ua = w->mill[mill].ua, part = (double)(sec - f->fouling.from) / (double)(f->fouling.to - f->fouling.from);

	if (mill == SM || part <= 0 || (mill == NM && sec >= f->fouling.cleaned))
		return ua;
	return ua * (1 - (1 - f->fouling.share) * (part > 1 ? 1 : part));
}

double
condition_viscosity(const struct works *w, int mill, int64_t sec, double celsius)
{
	/* ASTM D341 with the constants of 46 mm2/s at 40 degC and 6.8 at 100 degC. */
	double nu = pow(10, pow(10, 9.41799 - 3.68444 * log10(celsius + 273.15))) - 0.7;

	return mill == MM && sec >= w->faults.wrong_oil.at ? nu * (1 + w->faults.wrong_oil.share) : nu;
}

double
condition_water_ppm(const struct works *w, int mill, int64_t sec)
{
	const struct faults *f = &w->faults;
	double ppm = 112 + 14 * season(sec, 0.55) + 4 * spell(w, sec, 10 + (unsigned)mill), wet;

	if (mill != MM || sec < f->tube.from || sec >= f->tube.dried + 20 * DAY_S)
		return ppm;
	wet = ppm + f->tube.ppm_day * (double)((sec < f->tube.isolated ? sec : f->tube.isolated) - f->tube.from) / DAY_S;
	if (sec >= f->tube.isolated) {
		double part = (double)(sec - f->tube.isolated) / (double)(f->tube.dried - f->tube.isolated);

		wet += (130 - wet) * (part > 1 ? 1 : part);
	}
	return wet;
}

double
condition_free_water(const struct works *w, int mill, int64_t sec)
{
	const struct faults *f = &w->faults;
	double part = (double)(sec - f->tube.from) / (double)(f->tube.isolated - f->tube.from);

	/* From 1 to 5 L a day, until it is drained when the tube is shut off. */
	if (mill != MM || part <= 0 || part >= 1)
		return 0;
	return f->tube.free_l * (part + 2 * part * part) / 3;
}

double
condition_offset(const struct works *w, int mill, int64_t sec)
{
	const struct faults *f = &w->faults;

	if (mill != NM || !within(&f->drift.when, sec))
		return 0;
	return f->drift.bar * (double)(sec - f->drift.when.from) / (double)(f->drift.when.to - f->drift.when.from);
}
