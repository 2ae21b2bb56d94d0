/*
 * A mill's hydraulics, minute by minute.
 */
#include <math.h>
#include <stdio.h>

#include "gas.h"
#include "works.h"

#define BAND_BAR 5.0
#define BLEED_LPM 40.0		/* the rollers are lifted off and the accumulators empty into the tank */
#define TANK_KJ_PER_K 2036.0	/* 1200 L of 870 kg/m3 and 1.95 kJ/(kg K) */
#define WALL_KW_PER_K 0.067	/* 12 W/(m2 K) over 5.6 m2 of tank wall */
#define OIL_KW_PER_K 1.6965	/* 60 L/min of oil */
#define WATER_KW_PER_K 2.786	/* 40 L/min of water */
#define OPENS_C 42.0		/* the thermostat opens to the cooler */
#define OPEN_C 47.0		/* and is fully open */
#define BYPASS_BAR 2.8		/* of the filter */
#define HOUSING 0.1		/* share of the housing in the clean dp */
#define CHANGE_AT 4.6		/* element changed when its dp is that many times the clean one */
#define TANK_M2 1.2
#define EXPANSION 7e-4		/* of oil, 1/K */

static double
moles(const struct works *w, int mill, int64_t sec)
{
	double shares = 0;

	for (int i = 0; i < SHELLS; i++)
		shares += condition_shell(w, mill, i, sec);
	return shares * SHELLS_L / SHELLS * w->precharge_density;
}

static void
new_element(struct machine *m, double days)
{
	m->loading = 0;
	/* 82 % of the day. */
	m->loading_per_h = log(CHANGE_AT) / (days * 19.7);
}

void
machine_start(struct machine *m, const struct works *w, int mill)
{
	*m = (struct machine){ .mill = &w->mill[mill], .number = mill, .tank_c = 45, .wall_c = 44, .oil_l = 800 };
	m->random.state = w->seed * 31 + 1000 + (uint64_t)mill;
	m->slot_root = cbrt(m->mill->slot_lpm);
	new_element(m, 58 + 14 * sim_uniform(&m->random));
	m->loading = log(CHANGE_AT) * (0.2 + 0.5 * sim_uniform(&m->random));
	m->charge = (struct charge){ .shells_l = SHELLS_L, .lag_s = 120, .wall_k = 317.15, .kelvin = 317.15, .since_s = 1000 };
	m->charge.mol = moles(w, mill, w->begin);
	m->charge.volume_l = charge_volume(&m->charge, m->mill->set_bar, 317.15);
	m->cooler_in_c = 45;
	m->cooler_out_c = 35;
	m->water_in_c = weather_water(w, w->begin);
	m->water_out_c = m->water_in_c + 3;
}

/* What the control does at this instant. */
static void
control(struct machine *m, int64_t sec)
{
	const struct mill *mill = m->mill;
	int64_t since, to_go;

	while (m->stop < mill->stops && mill->stop[m->stop].to <= sec)
		m->stop++;
	m->mill_on = m->pump_on = m->pressing = true;
	m->bleeding = false;
	if (m->stop == mill->stops || sec < mill->stop[m->stop].from)
		return;
	since = sec - mill->stop[m->stop].from;
	to_go = mill->stop[m->stop].to - sec;
	m->mill_on = false;
	/* The pump runs on for three minutes and starts twelve before the mill; the rollers press four before it. */
	m->pump_on = since < 180 || to_go <= 720;
	m->pressing = to_go <= 240;
	/* At planned stops the pressure is held for an hour before it is let off. */
	m->bleeding = !m->pressing && since >= (mill->planned[m->stop] ? 3780 : 180);
}

static double
drain(const struct machine *m, const struct works *w, int64_t sec)
{
	double slot = m->slot_root * m->slot_root * m->slot_root;
	double thinner = condition_viscosity(w, NM, w->begin, 50) / condition_viscosity(w, m->number, sec, m->drain_c);

	if (m->number == MM && within(&w->faults.standby, sec))
		slot = m->mill->slot_b_lpm;
	return m->mill->control_lpm * sqrt(m->pump_bar / COMPENSATOR_BAR) + slot * m->pump_bar / COMPENSATOR_BAR * thinner;
}

static double
filter_dp(const struct machine *m, const struct works *w, int64_t sec)
{
	double thicker = condition_viscosity(w, m->number, sec, m->tank_c) / condition_viscosity(w, NM, w->begin, 50);
	double dp;

	dp = m->mill->dp_clean * (HOUSING + (1 - HOUSING) * exp(m->loading) * thicker);
	if (m->number == NM && sec >= w->faults.collapse.from && sec < w->faults.collapse.changed)
		dp = w->faults.collapse.dp_bar;
	return dp > BYPASS_BAR ? BYPASS_BAR : dp;
}

void
machine_begin(struct machine *m, const struct works *w, int64_t sec)
{
	m->set_bar = condition_set(w, m->number, sec);
	m->switches.count = 0;
	control(m, sec);
	if (!m->pressing && !(m->mill_on && m->pump_on) && m->charge.open) {
		m->charge.open = false;
		m->switches.one[m->switches.count].at_s = -1;
		m->switches.one[m->switches.count++].open = false;
	}
	m->pump_bar = !m->pump_on ? 0 : m->charge.open ? charge_pressure(&m->charge) + 8 : COMPENSATOR_BAR;
	/* Oil throttled from 100 bar warms by 5.9 K. */
	m->drain_c = m->tank_c + 0.059 * m->pump_bar;
	m->drain_lpm = m->pump_on ? drain(m, w, sec) : 0;
	m->dp_bar = m->pump_on ? filter_dp(m, w, sec) : 0;
}

/* Counterflow cooler by effectiveness and number of transfer units; a three-way valve sends a share of the oil to it. */
static double
cool(struct machine *m, const struct works *w, int64_t sec)
{
	double share = (m->tank_c - OPENS_C) / (OPEN_C - OPENS_C), ua = condition_ua(w, m->number, sec);
	double oil, ratio, units, e, effect, kw;

	m->water_in_c = weather_water(w, sec);
	m->cooler_in_c = m->tank_c;
	if (!m->pump_on) {
		m->cooler_out_c += (m->tank_c - m->cooler_out_c) / 60;
		m->water_out_c = m->water_in_c;
		return 0;
	}
	share = share < 0.04 ? 0.04 : share > 1 ? 1 : share;
	oil = share * OIL_KW_PER_K;
	ratio = oil / WATER_KW_PER_K;
	units = ua / oil;
	e = exp(-units * (1 - ratio));
	effect = (1 - e) / (1 - ratio * e);
	kw = effect * oil * (m->tank_c - m->water_in_c);
	m->cooler_out_c = m->tank_c - kw / oil;
	m->water_out_c = m->water_in_c + kw / WATER_KW_PER_K;
	return kw;
}

static void
temperatures(struct machine *m, const struct works *w, int64_t sec)
{
	double hall = condition_hall(w, sec), healthy = m->mill->leak_lpm, kw = 0;

	if (m->pump_on) {
		double worn = m->drain_lpm - m->mill->control_lpm - m->mill->slot_lpm;

		kw = m->mill_on ? m->mill->heat_kw : 3;
		kw += (m->leak_lpm - healthy) * m->set_bar / 600 + (worn > 0 ? worn : 0) * m->pump_bar / 600;
	}
	kw -= cool(m, w, sec) + WALL_KW_PER_K * (m->tank_c - hall);
	m->tank_c += 60 * kw / TANK_KJ_PER_K;
	if (m->mill_on)
		m->wall_c += (m->tank_c - m->wall_c) / 120;
	else
		m->wall_c += (hall + 2 - m->wall_c) / 300;
	m->charge.wall_k = m->wall_c + 273.15;
}

static void
pressure(struct machine *m, const struct works *w, int64_t sec)
{
	const struct faults *f = &w->faults;
	double p = charge_pressure(&m->charge), offset = condition_offset(w, m->number, sec);
	double thinner = condition_viscosity(w, NM, w->begin, 48) / condition_viscosity(w, m->number, sec, m->tank_c);
	struct charge_switches more = { 0 };

	m->charge.mol = moles(w, m->number, sec);
	m->leak_lpm = condition_leak(w, m->number, sec) * p / m->mill->set_bar * thinner;
	if (m->number == NM && sec >= f->weep.from && p > f->weep.above_bar)
		m->leak_lpm += f->weep.lpm * (p - f->weep.above_bar) / 2;
	if (m->mill_on || m->pressing) {
		/* The control sees what the transmitter shows. */
		struct charge_valve valve = { .pump_lpm = PUMP_LPM - m->drain_lpm, .leak_lpm = m->leak_lpm,
			.low_bar = m->set_bar - BAND_BAR - offset, .high_bar = m->set_bar + BAND_BAR - offset };

		charge_run(&m->charge, 60, &valve, &more);
	} else
		charge_flow(&m->charge, -m->leak_lpm - (m->bleeding ? BLEED_LPM : 0), 60);
	for (int i = 0; i < more.count && m->switches.count < CHARGE_SWITCHES; i++)
		m->switches.one[m->switches.count++] = more.one[i];
}

/* The people of the works change elements and top up oil at ten in the morning. */
static void
upkeep(struct machine *m, struct works *w, int64_t sec)
{
	struct sim_clock c;
	struct entry *e;
	char asset[24];
	double litres = 0;

	if (sec % 3600 != 0 || (c = sim_local(sec)).hour != 10)
		return;
	snprintf(asset, sizeof(asset), "%s/filter", m->mill->name);
	/* A collapsed element shows no loading and stays in until its day. */
	if (m->number == NM && sec >= w->faults.collapse.from && sec < w->faults.collapse.changed + DAY_S ?
	    sec >= w->faults.collapse.changed : exp(m->loading) >= CHANGE_AT * 0.97) {
		bool dusty = m->number == SM && sec >= w->faults.ingress.from && sec < w->faults.ingress.to - 7 * DAY_S;

		new_element(m, dusty ? w->faults.ingress.days : 57 + 16 * sim_uniform(&m->random));
		m->oil_l -= 3;
		log_add(w, sec, asset, "filter-change", "change-element", "element changed over, running");
	}
	if (m->number == MM && sec >= w->faults.wrong_oil.at && sec < w->faults.wrong_oil.at + DAY_S)
		litres = w->faults.wrong_oil.litres;
	else if (m->oil_l < 782 && c.day % 7 == 2)
		litres = 18;
	if (litres > 0) {
		m->oil_l += litres;
		e = log_add(w, sec, m->mill->name, "top-up", "top-up", "through the filling filter");
		log_value(e, "top-up", NAN, litres, 0, "L");
	}
}

void
machine_run(struct machine *m, struct works *w, int64_t sec)
{
	upkeep(m, w, sec);
	pressure(m, w, sec);
	temperatures(m, w, sec);
	if (m->pump_on) {
		const struct faults *f = &w->faults;
		bool standby = m->number == MM && within(&f->standby, sec);

		m->loading += m->loading_per_h / 60;
		if (m->number == SM && sec >= f->ingress.from && sec < f->ingress.to - 7 * DAY_S)
			m->loading_per_h = log(CHANGE_AT) / (f->ingress.days * 19.7);
		if (!standby && m->number == NM && sec >= f->wear.from && sec < f->wear.changed)
			m->slot_root += f->wear.per_hour * (sec >= f->wear.faster ? f->wear.factor : 1) / 60;
	}
	if (m->number == NM && sec == w->faults.wear.changed)
		m->slot_root = cbrt(m->mill->slot_lpm * 0.97);
	m->oil_l -= m->mill->lost_l_per_day / 1440;
}

double
machine_level(const struct machine *m, const struct works *w, int64_t sec)
{
	double held = SHELLS_L - m->charge.volume_l;

	return (m->oil_l * (1 + EXPANSION * (m->tank_c - 20)) - held + condition_free_water(w, m->number, sec)) / TANK_M2;
}
