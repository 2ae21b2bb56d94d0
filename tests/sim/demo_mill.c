/*
 * The machine: grinding pressure between its switching points, gas spring with heat exchange, oil temperature, filter.
 *
 * Gas: ideal with the ratio of specific heats raised to 1.6, near enough to nitrogen at 120 bar for the shape of the
 * curves; a wall that takes heat with a lag of 120 s.
 */
#include <math.h>

#include "demo.h"

#define PI 3.14159265358979323846
#define STEP_S 2
#define GAS_L 300.0		/* six shells of 50 L */
#define PRECHARGE_BAR 75.0	/* gauge, at 20 degC */
#define ATM_BAR 1.013
#define GAMMA 1.6
#define LAG_S 120.0
#define PUMP_LPM 39.2		/* into the system: 41 less the drain */
#define BAND_BAR 5.0
#define HEAT_KW 9.0
#define TANK_KJ_PER_K 2036.0	/* 1200 L of 870 kg/m3 and 1.95 kJ/kgK */
#define WALL_KW_PER_K 0.096
#define COOLER_KW_PER_K 0.38
#define OPENS_C 44.0		/* thermostat opens */
#define OPEN_C 50.0		/* and is fully open */

const struct sim_column sim_columns[SIM_SIGNALS] = {
	[SIM_PGR] = { "PGR", "bar", 1, false, 0.6 },
	[SIM_PSP] = { "PSP", "bar", 1, false, 0.05 },
	[SIM_PHD] = { "PHD", "bar", 1, false, 0.3 },
	[SIM_QDR] = { "QDR", "l/min", 2, false, 0.05 },
	[SIM_TTK] = { "TTK", "\302\260C", 1, false, 0.3 },
	[SIM_TCI] = { "TCI", "\302\260C", 1, false, 0.3 },
	[SIM_TCO] = { "TCO", "\302\260C", 1, false, 0.3 },
	[SIM_TWI] = { "TWI", "\302\260C", 1, false, 0.3 },
	[SIM_TWO] = { "TWO", "\302\260C", 1, false, 0.3 },
	[SIM_DPF] = { "DPF", "bar", 2, false, 0.03 },
	[SIM_LTK] = { "LTK", "mm", 0, false, 1.0 },
	[SIM_VCH] = { "VCH", "", 0, true, 0 },
	[SIM_PMP] = { "PMP", "", 0, true, 0 },
	[SIM_MIL] = { "MIL", "", 0, true, 0 },
	[SIM_MKW] = { "MKW", "kW", 0, false, 8 },
	[SIM_TPH] = { "TPH", "t/h", 1, false, 1.0 },
	[SIM_VIB] = { "VIB", "mm/s", 1, false, 0.1 },
};

static bool
within(const struct sim_span *s, int64_t sec)
{
	return sec >= s->from && sec < s->to;
}

static bool
stopped(const struct sim_mill *m, int64_t sec)
{
	for (int i = 0; i < m->stops; i++)
		if (within(&m->stop[i], sec))
			return true;
	return false;
}

/* The gas volume at a gauge pressure and temperature, L. */
static double
gas_volume(double p_bar, double gas_c)
{
	return GAS_L * (PRECHARGE_BAR + ATM_BAR) / 293.15 * (gas_c + 273.15) / (p_bar + ATM_BAR);
}

static double
ambient(int64_t sec)
{
	double day = (double)(sec % 86400) / 86400, year = (double)sec / 31556952;

	return 12 - 11 * cos(2 * PI * (year - 0.06)) - 4 * cos(2 * PI * (day - 0.1));
}

static double
water(int64_t sec)
{
	double day = (double)(sec % 86400) / 86400, year = (double)sec / 31556952;

	return 17.5 - 9.5 * cos(2 * PI * (year - 0.10)) - 1.0 * cos(2 * PI * (day - 0.15));
}

/* Kinematic viscosity of ISO VG 46 oil relative to 50 degC (constants of ASTM D341 for 46 at 40 and 6.8 at 100 degC). */
static double
viscosity_ratio(double c)
{
	double nu = pow(10, pow(10, 9.41799 - 3.68444 * log10(c + 273.15))) - 0.7;

	return nu / 30.0;
}

/* Pressure, gas and charging valve over one step.  Oil leaves the gas side at the leakage and comes at the pump flow. */
static void
step_pressure(struct sim_mill *m, bool running)
{
	double leak = m->leak * (m->p_bar / 125) / viscosity_ratio(m->tank_c < 20 ? 20 : m->tank_c);
	double flow, volume, next, wall = m->tank_c > 48 ? 48 : m->tank_c, kelvin = m->gas_c + 273.15;

	if (!running)
		m->charging = false;
	else if (m->p_bar <= m->set_point - BAND_BAR)
		m->charging = true;
	else if (m->p_bar >= m->set_point + BAND_BAR)
		m->charging = false;
	if (m->p_bar < PRECHARGE_BAR * (kelvin / 293.15)) {
		/* The shells are empty: only pipes and cylinders are left, and they fill or drain in a moment. */
		m->p_bar = m->charging ? PRECHARGE_BAR * (kelvin / 293.15) + 0.5 : m->p_bar * 0.9;
		return;
	}
	flow = (m->charging ? PUMP_LPM : 0) - leak - (running ? 0 : 12);	/* at standstill the rollers are lifted off */
	volume = gas_volume(m->p_bar, m->gas_c);
	next = volume - flow * STEP_S / 60;
	m->gas_c = kelvin * pow(volume / next, GAMMA - 1) - 273.15;
	m->gas_c += (wall - m->gas_c) * STEP_S / LAG_S;
	m->p_bar = GAS_L * (PRECHARGE_BAR + ATM_BAR) / 293.15 * (m->gas_c + 273.15) / next - ATM_BAR;
}

static double
cooler_share(const struct sim_mill *m, int64_t sec)
{
	double open = (m->tank_c - OPENS_C) / (OPEN_C - OPENS_C);

	open = open < 0 ? 0 : open > 1 ? 1 : open;
	for (int i = 0; i < m->hots; i++)
		if (within(&m->hot[i], sec))
			open *= m->hot_share[i];
	return open;
}

static double
filter_dp(const struct sim_mill *m, int64_t sec, bool running)
{
	double dp, used, age_d = (double)(sec - m->element_new) / 86400;

	if (!running)
		return 0;
	/* The element before this one served its usual 60 days. */
	used = age_d < 0 ? 0.03 * (age_d + 60) : m->dp_growth_per_day * age_d;
	/* The housing takes a fixed tenth; the element goes with viscosity, and the bypass caps what it can show. */
	dp = m->dp_clean * (0.1 + 0.9 * (1 + used) * viscosity_ratio(m->tank_c));
	return dp > 2.8 ? 2.8 : dp;
}

void
sim_mill_start(struct sim_mill *m, int64_t sec, uint64_t seed)
{
	m->random.state = seed;
	m->p_bar = m->set_point;
	m->gas_c = 46;
	m->tank_c = 47;
	m->bed = 0;
	m->frozen_c = 0;
	m->charging = false;
	for (int i = 600; i > 0; i--)
		sim_mill_minute(m, sec - i * 60);
}

/* What the instruments show, with their noise. */
static void
read_instruments(struct sim_mill *m, int64_t sec, bool running, double cooling_kw, bool charged)
{
	struct sim_random *r = &m->random;
	double *v = m->value, t_water = water(sec), flow_kw_per_k = 60.0 / 60 * 0.87 * 1.95, water_kw_per_k = 40.0 / 60 * 4.18;

	m->bed += -m->bed / 20 + 0.5 * sim_normal(r);
	v[SIM_PGR] = running ? m->p_bar + m->bed * 0.4 + 0.4 * sim_normal(r) : m->p_bar + 0.1 * sim_normal(r);
	if (v[SIM_PGR] < 0)
		v[SIM_PGR] = 0;
	v[SIM_PSP] = m->set_point;
	v[SIM_PHD] = running ? 10 + 0.2 * sim_normal(r) : 1 + 0.05 * sim_normal(r);
	v[SIM_QDR] = running ? 0.5 * sqrt(m->p_bar / 160) + 1.3 * (m->p_bar / 160) / viscosity_ratio(m->tank_c) +
	    0.06 * sim_normal(r) : 0;
	v[SIM_TTK] = m->tank_c + 0.15 * sim_normal(r);
	if (within(&m->frozen, sec)) {
		if (m->frozen_c == 0)
			m->frozen_c = v[SIM_TTK];
		v[SIM_TTK] = m->frozen_c;
	}
	v[SIM_TCI] = m->tank_c + 0.3 + 0.15 * sim_normal(r);
	v[SIM_TCO] = m->tank_c + 0.3 - cooling_kw / flow_kw_per_k + 0.15 * sim_normal(r);
	v[SIM_TWI] = t_water + 0.15 * sim_normal(r);
	v[SIM_TWO] = t_water + cooling_kw / water_kw_per_k + 0.15 * sim_normal(r);
	v[SIM_DPF] = filter_dp(m, sec, running) + (running ? 0.03 * sim_normal(r) : 0);
	if (v[SIM_DPF] < 0)
		v[SIM_DPF] = 0;
	v[SIM_LTK] = 640 - (GAS_L - gas_volume(m->p_bar < 76 ? 76 : m->p_bar, m->gas_c)) / 1.2 +
	    0.7 * (m->tank_c - 45) * 1.2 + 0.8 * sim_normal(r);
	v[SIM_VCH] = charged;
	v[SIM_PMP] = running;
	v[SIM_MIL] = running;
	v[SIM_MKW] = running ? 1450 + 12 * (m->p_bar - m->set_point) + 25 * sim_normal(r) : 0;
	v[SIM_TPH] = running ? 182 + 3 * sim_normal(r) : 0;
	v[SIM_VIB] = running ? 2.4 + 0.3 * fabs(m->bed) + 0.2 * sim_normal(r) : 0.1;
}

void
sim_mill_minute(struct sim_mill *m, int64_t sec)
{
	bool running = !stopped(m, sec), charged = false;
	double conductance = running ? COOLER_KW_PER_K * cooler_share(m, sec) : 0;
	/* Counterflow with nearly equal ends: the mean difference is near that of tank and water less half the rises. */
	double cooling = conductance * (m->tank_c - water(sec)) / (1 + conductance * 0.45);

	for (int i = 0; i < 60 / STEP_S; i++) {
		step_pressure(m, running);
		charged |= m->charging;
	}
	m->tank_c += 60 * ((running ? HEAT_KW : 0) - cooling - WALL_KW_PER_K * (m->tank_c - ambient(sec))) / TANK_KJ_PER_K;
	read_instruments(m, sec, running, cooling, charged);
}
