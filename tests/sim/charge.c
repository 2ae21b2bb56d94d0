/*
 * The gas spring and its charging valve.
 */
#include "charge.h"
#include "gas.h"

double
charge_pressure(const struct charge *c)
{
	if (c->volume_l >= c->shells_l)
		return 0;
	return gas_quick(c->mol / c->volume_l, c->kelvin).p_bar - CHARGE_ATM_BAR;
}

double
charge_volume(const struct charge *c, double p_bar, double kelvin)
{
	return c->mol / gas_density(p_bar + CHARGE_ATM_BAR, kelvin);
}

double
charge_compliance(const struct charge *c, double p_bar, double kelvin)
{
	return (charge_volume(c, p_bar - 0.5, kelvin) - charge_volume(c, p_bar + 0.5, kelvin)) / 1.0;
}

/* dT/dt, K/s, at a gas volume and temperature while oil flows in. */
static double
heating(const struct charge *c, double volume_l, double kelvin, double lps)
{
	struct gas_state s = gas_quick(c->mol / volume_l, kelvin);

	/* bar times L is 100 J. */
	return kelvin * s.dp_dt * lps * 100 / (c->mol * s.cv) + (c->wall_k - kelvin) / c->lag_s;
}

/* One step of the classical method of Runge and Kutta; the volume is known at all times. */
static void
charge_step(struct charge *c, double lpm, double seconds)
{
	double lps = lpm / 60, half = seconds / 2, v = c->volume_l, t = c->kelvin;
	double a = heating(c, v, t, lps), b = heating(c, v - lps * half, t + a * half, lps);
	double d = heating(c, v - lps * half, t + b * half, lps), e = heating(c, v - lps * seconds, t + d * seconds, lps);

	c->kelvin += seconds * (a + 2 * b + 2 * d + e) / 6;
	c->volume_l -= lps * seconds;
	if (c->volume_l > c->shells_l)
		c->volume_l = c->shells_l;
	c->since_s += seconds;
}

void
charge_flow(struct charge *c, double lpm, double seconds)
{
	while (seconds > 0) {
		double s = seconds < 2 ? seconds : 2;

		if (lpm == 0 && seconds > 15)
			s = seconds < 30 ? seconds : 30;
		charge_step(c, c->volume_l >= c->shells_l && lpm < 0 ? 0 : lpm, s);
		seconds -= s;
	}
}

/* Steps are short while the pump fills and while the gas cools after it, and long later. */
static double
step_length(const struct charge *c)
{
	double s = c->open ? 2 : 4 + c->since_s / 8;

	return s > 30 ? 30 : s;
}

double
charge_to_switch(struct charge *c, double seconds, const struct charge_valve *valve)
{
	double done = 0, p = charge_pressure(c);

	while (done < seconds - 1e-9) {
		struct charge before = *c;
		double s = step_length(c), lpm = (c->open ? valve->pump_lpm : 0) - valve->leak_lpm, next, part;
		double target = c->open ? valve->high_bar : valve->low_bar;

		if (c->open ? p >= target : p <= target)
			break;
		if (s > seconds - done)
			s = seconds - done;
		charge_step(c, lpm, s);
		next = charge_pressure(c);
		if (c->open ? next < target : next > target) {
			done += s;
			p = next;
			continue;
		}
		/* Back, and only as far as the switching point. */
		part = (target - p) / (next - p);
		*c = before;
		charge_step(c, lpm, s * part);
		done += s * part;
		c->open = !c->open;
		c->since_s = 0;
		return done;
	}
	if (done < seconds - 1e-9) {
		c->open = !c->open;
		c->since_s = 0;
	}
	return done;
}

void
charge_run(struct charge *c, double seconds, const struct charge_valve *valve, struct charge_switches *w)
{
	double done = 0;

	w->count = 0;
	while (done < seconds - 1e-6) {
		bool open = c->open;

		done += charge_to_switch(c, seconds - done, valve);
		if (c->open != open && w->count < CHARGE_SWITCHES) {
			w->one[w->count].at_s = done;
			w->one[w->count].open = c->open;
			w->count++;
		}
	}
}
