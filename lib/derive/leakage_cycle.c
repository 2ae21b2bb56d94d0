/* Leakage and gas of a mill: its charging cycles. */
#include <math.h>
#include <stdlib.h>

#include "derive/leakage_private.h"
#include "physics/accumulator.h"
#include "physics/leakage.h"

#define BLINK_S 120.0		/* a bad reading or two do not break a cycle */
#define STILL_BAR 0.3		/* a tenth of the usual tolerance: less is the noise of an analogue set point */
#define GRID_S 0.5
#define KNOWN_SHARE 0.8		/* of a cycle in which pressure and temperature must be known */
#define CYCLES_MAX 8192		/* a works' day of cycles of 10 s */

#define FILLING_LAGS 3		/* a shorter cycle finds the gas still hot from the last filling */
#define RISE_SAMPLES 4
#define FALL_SAMPLES 5

static void
break_run(struct leat_leak_mill *own, enum leat_leak_reason reason)
{
	if (own->run.phase != 0)
		own->run.broken[reason] = true;
}

/* How well the time of an edge is known: where rows repeat the value in steps, a change at a step is known to the step. */
static double
doubt_of(const struct leat_leak_mill *own, struct leat_time row)
{
	double off;

	if (!(own->repeat_s > 0) || leat_time_is_none(own->repeat_at))
		return 0;
	off = fabs(remainder(leat_time_diff(row, own->repeat_at), own->repeat_s));
	return off < GRID_S ? own->repeat_s : 0;
}

/* Learns the step in which rows repeat the switch's value: the interval that comes most, by majority vote. */
static void
learn_rhythm(struct leat_leak_mill *own, const struct leat_leak_instant *now)
{
	bool repeats = now->charge == own->charge && !leat_time_is_none(own->row_last);

	if (repeats && own->row_repeated) {
		double step = leat_time_diff(now->charge_row, own->row_last);

		if (own->repeat_votes == 0) {
			own->repeat_s = step;
			own->repeat_votes = 1;
		} else {
			own->repeat_votes += fabs(step - own->repeat_s) < GRID_S ? own->repeat_votes < 100 : -1;
		}
		own->repeat_at = now->charge_row;
	}
	own->row_repeated = repeats;
	own->row_last = now->charge_row;
}

static long long
common_divisor(long long a, long long b)
{
	while (b != 0) {
		long long rest = a % b;

		a = b;
		b = rest;
	}
	return a;
}

/* All edges of the day on multiples of a step: they are read in that step, though nothing repeats. */
static void
note_edge(struct leat_leak_day *day, struct leat_time row)
{
	if (day->edges++ == 0)
		day->edge_first = row.sec;
	else
		day->common_s = (int)common_divisor(llabs((long long)row.sec - day->edge_first), day->common_s);
}

static void
add(struct leat_leak_line *line, double x, double y)
{
	line->n++;
	line->x += x;
	line->y += y;
	line->xx += x * x;
	line->xy += x * y;
}

/* The slope of the least-squares line, and the spread of its x, which says how well it is known. */
static double
slope_of(const struct leat_leak_line *line, double *spread)
{
	double n = (double)line->n;

	*spread = line->n > 0 ? line->xx - line->x * line->x / n : 0;
	return *spread > 0 ? (line->xy - line->x * line->y / n) / *spread : NAN;
}

/* The gas by the filling of the cycle. */
static void
find_gas(const struct leat_leak_mill *own, const struct leat_leak_run *run, struct leat_leak_cycle *c)
{
	const struct leat_leak_plate *plate = &own->plate;
	double temp_c = !isnan(own->gas_c) ? own->gas_c : isnan(c->temp_c) ? plate->reference_c : c->temp_c, spread;
	double slope = slope_of(&run->rise, &spread);
	struct leat_filling filling;

	if (plate->above_bar + plate->below_bar > 0) {
		c->rise_bar = plate->above_bar + plate->below_bar;
		c->middle_bar = (isnan(run->setpoint_bar) ? plate->set_bar : run->setpoint_bar) +
		    (plate->above_bar - plate->below_bar) / 2;
	} else if (run->rise.n >= RISE_SAMPLES && slope > 0) {
		c->rise_bar = slope * c->on_s / 60;
		c->middle_bar = run->rise.y / (double)run->rise.n;
	}
	filling = (struct leat_filling){ (c->pump_lpm - c->leakage_lpm) * c->on_s / 60, c->middle_bar - c->rise_bar / 2,
		c->middle_bar + c->rise_bar / 2, c->on_s, c->cycle_s, c->leakage_lpm, temp_c, plate->lag_s, plate->air_bara };
	if (isnan(c->rise_bar) || c->cycle_s < FILLING_LAGS * plate->lag_s ||
	    leat_gas_stiffer(c->middle_bar, temp_c, plate->air_bara, c->on_s, plate->lag_s, &c->n) != 0 ||
	    leat_gas_amount_of_filling(&filling, &c->amount_mol) != 0)
		c->amount_mol = NAN;
	if (isnan(c->amount_mol) || leat_gas_settling(&filling, c->amount_mol, &c->settling_bar) != 0)
		c->settling_bar = NAN;
}

/* A leakage that goes with the pressure, from a gas whose compliance goes with the inverse of its square, makes one over the
 * square of the pressure go in a straight line. */
static double
straight(const struct leat_leak_mill *own, double bar)
{
	return 1 / pow(bar + own->plate.air_bara, 2);
}

/* How far the pressure settled: from where the valve shut down to where the late line comes from.  Its weight is by how well
 * that line is known there. */
static void
find_drop(const struct leat_leak_mill *own, const struct leat_leak_run *run, struct leat_leak_cycle *c)
{
	double n = (double)run->bent.n, spread, slope = slope_of(&run->bent, &spread);
	double back_min = n > 0 ? run->bent.x / n - c->on_s / 60 : NAN, y;

	if (!(c->fall_weight > 0) || isnan(c->settling_bar) || !(spread > 0))
		return;
	y = run->bent.y / n - slope * back_min;
	if (!(y > 0))
		return;
	c->drop_bar = c->middle_bar + c->rise_bar / 2 - (sqrt(1 / y) - own->plate.air_bara);
	c->drop_weight = 1 / (1 / n + back_min * back_min / spread);
}

/* The first reason to refuse the cycle that ends; LEAT_LEAK_ADMITTED: none, and c is filled in. */
static enum leat_leak_reason
judge(struct leat_leaks *leaks, struct leat_leak_mill *own, const struct leat_mill *mill, struct leat_time end,
    struct leat_leak_cycle *c)
{
	struct leat_leak_run *run = &own->run;
	double spread, drain;

	*c = (struct leat_leak_cycle){ .on_s = leat_time_diff(run->shut, run->opened),
		.cycle_s = leat_time_diff(end, run->opened), .doubt_s = run->doubt_s,
		.temp_c = NAN, .rise_bar = NAN, .middle_bar = NAN, .n = NAN, .amount_mol = NAN,
		.settling_bar = NAN };
	for (int i = 0; i < LEAT_LEAK_SHORT; i++)
		if (run->broken[i])
			return (enum leat_leak_reason)i;
	if (!(c->on_s > 0))
		return LEAT_LEAK_SHORT;
	if (!(run->bar_known_s >= KNOWN_SHARE * c->cycle_s) || !(run->bar_s > 0))
		return LEAT_LEAK_GAP;
	c->bar = run->bar_s / run->bar_known_s;
	if (mill->series[LEAT_LEAK_TANK] != LEAT_NAME_NONE) {
		if (!(run->heat_known_s >= KNOWN_SHARE * c->cycle_s))
			return LEAT_LEAK_HEAT;
		c->temp_c = run->heat_s / run->heat_known_s;
	}
	c->pump_lpm = run->pump_known ? leat_leak_pump_flow(leaks, own, mill, run->pump, c->bar, end, &drain) : NAN;
	if (!(c->pump_lpm > 0))
		return LEAT_LEAK_PUMP;
	own->day.drain_lpm = drain;
	c->leakage_lpm = leat_leakage_balance(c->pump_lpm, c->on_s, c->cycle_s - c->on_s);
	c->reference_lpm = leat_leak_reference(own, c->leakage_lpm, c->bar, c->temp_c, &c->viscosity_mm2_s);
	if (!isfinite(c->reference_lpm))
		return LEAT_LEAK_SHORT;
	find_gas(own, run, c);
	c->fall_bar_min = -slope_of(&run->fall, &spread);
	c->fall_bar = run->fall.n > 0 ? run->fall.y / (double)run->fall.n : NAN;
	c->fall_weight = run->fall.n >= FALL_SAMPLES && c->cycle_s >= LEAT_GAS_SLOW_CYCLE_LAGS * own->plate.lag_s ? spread : 0;
	find_drop(own, run, c);
	return LEAT_LEAK_ADMITTED;
}

static int
finish(struct leat_leaks *leaks, struct leat_leak_mill *own, const struct leat_mill *mill, struct leat_time end)
{
	struct leat_leak_day *day = &own->day;
	struct leat_leak_cycle c;
	enum leat_leak_reason reason = judge(leaks, own, mill, end, &c);

	if (reason != LEAT_LEAK_ADMITTED) {
		day->refused[reason]++;
		return 0;
	}
	if (day->cycles == CYCLES_MAX)
		return 0;
	if (leat_grow(&day->cycle, &day->cap, day->cycles + 1, sizeof(*day->cycle)) != 0)
		return -1;
	day->cycle[day->cycles++] = c;
	return 0;
}

/* Which pump feeds: the only one that runs. */
static void
find_pump(const struct leat_leaks *leaks, struct leat_leak_mill *own, struct leat_time seen)
{
	struct leat_leak_run *run = &own->run;
	size_t on = 0;

	run->pump = SIZE_MAX;
	for (size_t i = 0; i < own->pumps; i++) {
		const struct leat_latest *latest = leat_current_series(&leaks->current, own->pump[i].running, seen);

		if (latest == NULL || leat_latest_switch(&leaks->current, latest) != 1)
			continue;
		on++;
		run->pump = i;
	}
	run->pump_known = own->pumps == 0 || on == 1;
}

/* The valve opened or shut. */
static int
edge(struct leat_leaks *leaks, struct leat_leak_mill *own, const struct leat_mill *mill,
    const struct leat_leak_instant *now, struct leat_time seen)
{
	struct leat_leak_run *run = &own->run;
	double doubt = doubt_of(own, now->charge_row);

	note_edge(&own->day, now->charge_row);
	own->exact = own->exact || (doubt == 0 && own->repeat_votes > 0);
	if (run->phase != 0)
		run->doubt_s = fmax(run->doubt_s, doubt);
	own->settled_from = leat_time_add(now->charge_row, LEAT_GAS_SETTLED_LAGS * own->plate.lag_s);
	if (now->charge == 0) {
		if (run->phase == 1) {
			run->phase = 2;
			run->shut = now->charge_row;
		}
		return 0;
	}
	own->day.openings += now->state == LEAT_LEAK_GRINDING;
	own->restarts += now->state == LEAT_LEAK_GRINDING && run->phase == 2 &&
	    leat_time_diff(now->charge_row, run->shut) > BLINK_S;
	if (run->phase == 2 && finish(leaks, own, mill, now->charge_row) != 0)
		return -1;
	*run = (struct leat_leak_run){ .phase = 1, .opened = now->charge_row, .last = now->charge_row, .doubt_s = doubt,
		.setpoint_bar = now->setpoint_bar };
	find_pump(leaks, own, seen);
	return 0;
}

/* Takes pressure and temperature up to the instant into the cycle that is running. */
static void
pass(struct leat_leak_mill *own, struct leat_time at)
{
	struct leat_leak_run *run = &own->run;
	double s = run->phase != 0 ? leat_time_diff(at, run->last) : 0;

	if (!(s > 0))
		return;
	run->last = at;
	if (!isnan(own->bar)) {
		run->bar_s += own->bar * s;
		run->bar_known_s += s;
	}
	if (!isnan(own->temp_c)) {
		run->heat_s += own->temp_c * s;
		run->heat_known_s += s;
	}
}

/* True when something has been unknown for longer than a bad reading or two. */
static bool
is_lost(struct leat_time *since, bool known, struct leat_time at)
{
	bool lost = !leat_time_is_none(*since) && leat_time_diff(at, *since) > BLINK_S;

	if (known)
		*since = LEAT_TIME_NONE;
	else if (leat_time_is_none(*since))
		*since = at;
	return lost;
}

static void
check(struct leat_leak_mill *own, const struct leat_leak_instant *now)
{
	if (is_lost(&own->state_lost, now->state != LEAT_LEAK_UNKNOWN, now->at) ||
	    is_lost(&own->charge_lost, now->charge >= 0, now->at))
		break_run(own, LEAT_LEAK_GAP);
	if (now->state == LEAT_LEAK_OFF || now->state == LEAT_LEAK_OTHER)
		break_run(own, LEAT_LEAK_STATE);
	if (now->uncertain || now->heat_uncertain)
		break_run(own, LEAT_LEAK_UNCERTAIN);
	if (now->state == LEAT_LEAK_GRINDING && (leat_time_is_none(own->stop.grinding_since) ||
	    leat_time_diff(now->at, own->stop.grinding_since) < own->plate.settled_s))
		break_run(own, LEAT_LEAK_WARMING);
	if (!isnan(now->setpoint_bar) && !(fabs(now->setpoint_bar - own->run.setpoint_bar) <= STILL_BAR)) {
		if (!isnan(own->run.setpoint_bar))
			break_run(own, LEAT_LEAK_SETPOINT);
		own->run.setpoint_bar = now->setpoint_bar;
	}
}

static void
add_late(struct leat_leak_mill *own, double minute, double bar)
{
	add(&own->run.fall, minute, bar);
	if (bar > 0)
		add(&own->run.bent, minute, straight(own, bar));
}

int
leat_leak_cycle(struct leat_leaks *leaks, struct leat_leak_mill *own, const struct leat_mill *mill,
    const struct leat_leak_instant *now, struct leat_time seen)
{
	struct leat_leak_run *run = &own->run;
	bool changed = now->charge >= 0 && own->charge >= 0 && now->charge != own->charge;

	pass(own, now->at);
	check(own, now);
	if (now->charge_fresh)
		learn_rhythm(own, now);
	if (changed && edge(leaks, own, mill, now, seen) != 0)
		return -1;
	/* The instant of an opening belongs to the new cycle. */
	if (changed)
		check(own, now);
	if (now->charge >= 0)
		own->charge = now->charge;
	if (now->bar_fresh && run->phase == 1)
		add(&run->rise, leat_time_diff(now->at, run->opened) / 60, now->bar);
	if (now->bar_fresh && run->phase == 2 && leat_time_cmp(now->at, own->settled_from) >= 0)
		add_late(own, leat_time_diff(now->at, run->opened) / 60, now->bar);
	return 0;
}
