/*
 * What the instruments of a mill show: noise, drift, and what is wrong with them.
 */
#include <math.h>

#include "works.h"

#define PI 3.14159265358979323846
#define DEG "\260C"

const struct works_column works_columns[W_SIGNALS] = {
	[W_PGR] = { "PGR", "bar", 1, false, 0.6 },
	[W_PSP] = { "PSP", "bar", 1, false, 0.05 },
	[W_PHD] = { "PHD", "bar", 1, false, 0.3 },
	[W_PPO] = { "PPO", "bar", 1, false, 0.8 },
	[W_QDR] = { "QDR", "l/min", 2, false, 0.05 },
	[W_TDR] = { "TDR", DEG, 1, false, 0.3 },
	[W_TTK] = { "TTK", DEG, 1, false, 0.3 },
	[W_TCI] = { "TCI", DEG, 1, false, 0.3 },
	[W_TCO] = { "TCO", DEG, 1, false, 0.3 },
	[W_TWI] = { "TWI", DEG, 1, false, 0.3 },
	[W_TWO] = { "TWO", DEG, 1, false, 0.3 },
	[W_TAM] = { "TAM", DEG, 1, false, 0.3 },
	[W_DPF] = { "DPF", "bar", 2, false, 0.02 },
	[W_LTK] = { "LTK", "mm", 0, false, 1.0 },
	[W_VCH] = { "VCH", "", 0, true, 0 },
	[W_PMP] = { "PMP", "", 0, true, 0 },
	[W_PMB] = { "PMB", "", 0, true, 0 },
	[W_MIL] = { "MIL", "", 0, true, 0 },
	[W_MKW] = { "MKW", "kW", 0, false, 8 },
	[W_TPH] = { "TPH", "t/h", 1, false, 1.0 },
	[W_VIB] = { "VIB", "mm/s", 1, false, 0.1 },
};

static double
noisy(struct machine *m, double value, double deviation)
{
	return value + deviation * sim_normal(&m->random);
}

static double
not_negative(double value)
{
	return value > 0 ? value : 0;
}

static void
read_oil_side(struct machine *m, const struct works *w, int64_t sec, double *v)
{
	double p = charge_pressure(&m->charge), drain;

	v[W_PGR] = not_negative(noisy(m, p + condition_offset(w, m->number, sec) + (m->mill_on ? m->bed_bar : 0), 0.4));
	v[W_PSP] = m->set_bar;
	v[W_PHD] = m->mill_on ? noisy(m, 10 + 3.4 * (condition_leak(w, m->number, sec) - m->mill->leak_lpm), 0.2) :
	    noisy(m, 1, 0.05);
	v[W_PPO] = m->pump_on ? noisy(m, m->pump_bar, 0.4) : 0;
	drain = m->pump_on ? not_negative(noisy(m, m->drain_lpm, 0.06)) : 0;
	if (m->number == MM && sec >= w->faults.meter.from)
		drain *= w->faults.meter.factor;
	v[W_QDR] = drain;
	v[W_DPF] = m->pump_on ? not_negative(noisy(m, m->dp_bar, 0.03)) : 0;
	v[W_LTK] = noisy(m, machine_level(m, w, sec) + m->slow_mm, 0.8);
	v[W_VCH] = m->charge.open;
}

static void
read_temperatures(struct machine *m, const struct works *w, int64_t sec, double *v)
{
	const struct faults *f = &w->faults;

	v[W_TDR] = noisy(m, m->drain_c, 0.15);
	v[W_TTK] = noisy(m, m->tank_c, 0.15);
	if (m->number == SM && within(&f->frozen.when, sec))
		v[W_TTK] = f->frozen.celsius;
	v[W_TCI] = noisy(m, m->cooler_in_c, 0.15);
	v[W_TCO] = noisy(m, m->cooler_out_c, 0.15);
	if (m->number == SM && m->pump_on && within(&f->hunting.when, sec))
		v[W_TCO] += f->hunting.kelvin * sin(2 * PI * fmod((double)sec, f->hunting.period_s) / f->hunting.period_s);
	v[W_TWI] = noisy(m, m->water_in_c, 0.15);
	v[W_TWO] = noisy(m, m->water_out_c, 0.15);
	v[W_TAM] = noisy(m, weather_ambient(w, sec), 0.15);
}

static void
read_mill(struct machine *m, const struct works *w, int64_t sec, double *v)
{
	bool standby = m->number == MM && within(&w->faults.standby, sec);
	double force = charge_pressure(&m->charge) / m->mill->set_bar, gas = 0;

	for (int i = 0; i < SHELLS; i++)
		gas += condition_shell(w, m->number, i, sec) / SHELLS;
	v[W_PMP] = m->pump_on && !standby;
	v[W_PMB] = m->pump_on && standby;
	v[W_MIL] = m->mill_on;
	/* The table's power and the feed follow the force, with a stiffer spring the mill shakes more. */
	v[W_MKW] = m->mill_on ? noisy(m, 1450 * (1 + 0.7 * (force - 1)), 25) : 0;
	v[W_TPH] = m->mill_on ? noisy(m, 182 * (1 + 0.7 * (force - 1)), 3) : 0;
	v[W_VIB] = m->mill_on ? not_negative(noisy(m, 2.4 * (1 + 2 * (1 - gas)) + 0.12 * fabs(m->bed_bar), 0.2)) : 0.1;
}

void
instruments_read(struct machine *m, const struct works *w, int64_t sec, double value[W_SIGNALS])
{
	/* The bed of material makes the pressure wander by 1.5 bar; waves in the tank the level by 2 mm. */
	m->bed_bar = 0.6 * m->bed_bar + 1.2 * sim_normal(&m->random);
	m->slow_mm = 0.98 * m->slow_mm + 0.4 * sim_normal(&m->random);
	read_oil_side(m, w, sec, value);
	read_temperatures(m, w, sec, value);
	read_mill(m, w, sec, value);
}
