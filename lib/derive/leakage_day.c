/* Leakage and gas of a mill: what a day of charging cycles comes to. */
#include <math.h>
#include <stdlib.h>

#include "derive/leakage_private.h"
#include "physics/accumulator.h"
#include "physics/leakage.h"
#include "stats/order.h"

/* What a cycle needs of the steps in which its switching times are known (common practice). */
#define STEPS_ON 2
#define STEPS_CYCLE 4

/* A cycle with so much less or more flow than the median of the day has a charge too few or too many in it. */
#define ODD_BELOW 0.6
#define ODD_ABOVE 1.7
#define ODD_CYCLES 8
#define CYCLE_LEAST_S 10.0	/* no valve opens more often */
#define LOST_MOST 0.05		/* of the grinding that a counter's difference stands for */
#define EXCESS_ERROR 30.0	/* percent at 95 %: a late fall that is known worse tells nothing sure */
#define EARLY_LEAST 5		/* cycles of a day */
#define WILD_MADS 6
#define WILD_LEAST 0.25		/* nothing nearer to the median is wild: times by whole seconds make many values equal */

/* Are the steps in which switching times are known short enough for the cycles that are known so?  All of them are asked
 * together: to keep those that happen to look long would make the pump run longer than it did. */
static bool
resolves(const struct leat_leak_day *day, double step)
{
	double on = 0, whole = 0, n = 0;

	for (size_t i = 0; i < day->cycles; i++) {
		if (day->cycle[i].doubt_s < step)
			continue;
		on += day->cycle[i].on_s;
		whole += day->cycle[i].cycle_s;
		n++;
	}
	return on >= STEPS_ON * step * n && whole >= STEPS_CYCLE * step * n;
}

/* Refuses cycles whose times are no better known than the day's steps, or which are far from the others. */
static void
refuse(struct leat_leak_day *day, double *work)
{
	double step = day->edges >= 3 && day->common_s > 1 ? day->common_s : 0, read_s = 0, median = NAN;
	bool fine, read_fine;
	size_t kept = 0;

	for (size_t i = 0; i < day->cycles; i++) {
		day->cycle[i].doubt_s = fmax(day->cycle[i].doubt_s, step);
		read_s = fmax(read_s, day->cycle[i].doubt_s);
	}
	fine = resolves(day, step);
	read_fine = resolves(day, read_s);
	for (size_t i = 0; i < day->cycles; i++) {
		const struct leat_leak_cycle *c = &day->cycle[i];

		if (c->doubt_s > step ? !read_fine : !fine) {
			day->refused[LEAT_LEAK_SHORT]++;
			continue;
		}
		day->cycle[kept] = *c;
		work[kept++] = c->reference_lpm;
	}
	day->cycles = kept;
	if (kept < ODD_CYCLES)
		return;
	median = leat_median(work, kept);
	kept = 0;
	for (size_t i = 0; i < day->cycles; i++) {
		double share = day->cycle[i].reference_lpm / median;

		if (share < ODD_BELOW || share > ODD_ABOVE)
			day->refused[LEAT_LEAK_ODD]++;
		else
			day->cycle[kept++] = day->cycle[i];
	}
	day->cycles = kept;
}

static void
sum_leakage(const struct leat_leak_day *day, struct leat_leak_result *r)
{
	double volume = 0, reference = 0, bar = 0, heat = 0, squares = 0;
	double n = (double)day->cycles;

	r->viscosity_mm2_s = 0;
	for (size_t i = 0; i < day->cycles; i++) {
		const struct leat_leak_cycle *c = &day->cycle[i];

		r->on_s += c->on_s;
		r->cycle_s += c->cycle_s;
		volume += c->leakage_lpm * c->cycle_s;
		reference += c->reference_lpm * c->cycle_s;
		bar += c->bar * c->cycle_s;
		heat += c->temp_c * c->cycle_s;
		r->viscosity_mm2_s += c->viscosity_mm2_s / n;
	}
	r->leakage_lpm = volume / r->cycle_s;
	r->reference_lpm = reference / r->cycle_s;
	r->bar = bar / r->cycle_s;
	r->temp_c = heat / r->cycle_s;
	for (size_t i = 0; i < day->cycles; i++)
		squares += pow(day->cycle[i].reference_lpm - r->reference_lpm, 2);
	r->error_lpm = day->cycles > 1 ? 1.96 * sqrt(squares / (n - 1) / n) : NAN;
}

/* The mean of the cycles' gas, wild ones left out. */
static void
sum_gas(const struct leat_leak_day *day, double *work, struct leat_leak_result *r)
{
	double median, mad, sum = 0, squares = 0, rise = 0, on = 0;
	size_t n = 0, used = 0;

	for (size_t i = 0; i < day->cycles; i++)
		if (!isnan(day->cycle[i].amount_mol))
			work[n++] = day->cycle[i].amount_mol;
	median = leat_median(work, n);
	mad = n > 0 ? leat_mad(work, n, work + day->cycles) : 0;
	for (size_t i = 0; i < day->cycles; i++) {
		const struct leat_leak_cycle *c = &day->cycle[i];

		if (isnan(c->amount_mol) || fabs(c->amount_mol - median) > fmax(WILD_MADS * mad, WILD_LEAST * median))
			continue;
		sum += c->amount_mol;
		squares += pow(c->amount_mol - median, 2);
		rise += c->rise_bar;
		on += c->on_s;
		used++;
	}
	r->filled = used;
	r->amount_mol = used > 0 ? sum / (double)used : NAN;
	r->rate_bar_min = on > 0 ? 60 * rise / on : NAN;
	r->amount_error_mol = used > 1 ? 1.96 * sqrt(squares / (double)(used - 1) / (double)used) : NAN;
}

/* The mean of the late slopes, each by how well it is known, wild ones left out. */
static void
sum_slopes(const struct leat_leak_day *day, double *work, struct leat_leak_result *r)
{
	double median, mad, sum = 0, weight = 0, leakage = 0, bar = 0, squares = 0;
	size_t n = 0;

	for (size_t i = 0; i < day->cycles; i++)
		if (day->cycle[i].fall_weight > 0)
			work[n++] = day->cycle[i].fall_bar_min;
	median = leat_median(work, n);
	mad = n > 0 ? leat_mad(work, n, work + day->cycles) : 0;
	for (size_t i = 0; i < day->cycles; i++) {
		const struct leat_leak_cycle *c = &day->cycle[i];

		if (!(c->fall_weight > 0) || fabs(c->fall_bar_min - median) > WILD_MADS * mad)
			continue;
		sum += c->fall_bar_min * c->fall_weight;
		leakage += c->leakage_lpm * c->fall_weight;
		weight += c->fall_weight;
		bar += c->fall_bar * c->fall_weight;
		squares += c->fall_weight * pow(c->fall_bar_min - median, 2);
		r->slow++;
	}
	r->slope_bar_min = weight > 0 ? sum / weight : NAN;
	r->slope_compliance = weight > 0 && r->slope_bar_min >= LEAT_LEAK_FALL_LEAST ? leakage / sum : NAN;
	r->slope_bar = weight > 0 ? bar / weight : NAN;
	r->slope_error = r->slow > 1 ? 1.96 * sqrt(squares / weight / (double)(r->slow - 1)) : NAN;
}

/* By how much the pressure settled after the fillings, each by how well it is known, wild ones left out; and what of that the
 * cooling gas does not explain: oil that flowed out while the pressure was high. */
static void
sum_drops(const struct leat_leak_mill *own, const struct leat_leak_day *day, double *work, struct leat_leak_result *r)
{
	double median, mad, drop = 0, settling = 0, upper = 0, weight = 0, squares = 0, compliance;
	size_t n = 0;

	for (size_t i = 0; i < day->cycles; i++)
		if (day->cycle[i].drop_weight > 0)
			work[n++] = day->cycle[i].drop_bar - day->cycle[i].settling_bar;
	median = leat_median(work, n);
	mad = n > 0 ? leat_mad(work, n, work + day->cycles) : 0;
	for (size_t i = 0; i < day->cycles; i++) {
		const struct leat_leak_cycle *c = &day->cycle[i];

		if (!(c->drop_weight > 0) || fabs(c->drop_bar - c->settling_bar - median) > WILD_MADS * mad)
			continue;
		drop += c->drop_weight * c->drop_bar;
		settling += c->drop_weight * c->settling_bar;
		upper += c->drop_weight * (c->middle_bar + c->rise_bar / 2 - c->drop_bar);
		squares += c->drop_weight * pow(c->drop_bar - c->settling_bar - median, 2);
		weight += c->drop_weight;
		r->early++;
	}
	r->drop_bar = drop / weight;
	r->settling_bar = settling / weight;
	r->drop_error_bar = r->early > 1 ? 1.96 * sqrt(squares / weight / (double)(r->early - 1)) : NAN;
	r->early_weight = weight;
	r->early_l = NAN;
	if (r->early >= EARLY_LEAST && 2 * r->early >= day->cycles && leat_gas_compliance(r->amount_mol, upper / weight,
	    isnan(r->temp_c) ? own->plate.reference_c : r->temp_c, own->plate.air_bara, &compliance) == 0)
		r->early_l = compliance * (r->drop_bar - r->settling_bar);
}

/* Leakage through slots goes with the pressure, and is the same near the lower switching pressure as over the whole
 * cycle, once both are brought to one pressure.  What only the whole cycle shows flows near the upper one: past a relief
 * valve. */
static void
find_excess(const struct leat_leak_mill *own, struct leat_leak_result *r)
{
	struct leat_holding h = { .amount_mol = r->amount_mol, .oil_l = own->plate.pressed_oil_l, .pressure_bar = r->slope_bar,
		.temp_c = isnan(r->temp_c) ? own->plate.reference_c : r->temp_c, .air_bara = own->plate.air_bara,
		.fall_bar_min = r->slope_bar_min };
	double viscosity;

	r->late_lpm = r->late_reference_lpm = r->excess_percent = r->excess_error_percent = NAN;
	r->excess_quality = LEAT_BAD;
	/* The few slow cycles of a day of quick ones are its odd ones. */
	if (2 * r->slow < r->cycles || isnan(r->amount_mol) || isnan(r->slope_bar) || isnan(r->slope_compliance) ||
	    leat_leakage_holding(&h, &r->late_lpm, NULL, NULL) != 0)
		return;
	r->late_reference_lpm = leat_leak_reference(own, r->late_lpm, r->slope_bar, r->temp_c, &viscosity);
	r->excess_percent = 100 * (r->reference_lpm / r->late_reference_lpm - 1);
	r->excess_error_percent = 100 * r->slope_error / r->slope_bar_min;
	r->excess_quality = isfinite(r->excess_percent) ? r->gas_quality : LEAT_BAD;
	if (r->excess_quality == LEAT_GOOD && !(r->excess_error_percent <= EXCESS_ERROR))
		r->excess_quality = LEAT_UNCERTAIN;
}

static enum leat_quality
worth(const struct leat_leak_mill *own, double seconds, double of_s)
{
	if (!(seconds >= own->plate.least_s) || !(seconds > 0))
		return LEAT_BAD;
	return 100 * seconds < own->plate.least_percent * of_s ? LEAT_UNCERTAIN : LEAT_GOOD;
}

int
leat_leak_sum_up(struct leat_leak_mill *own, struct leat_leak_result *r)
{
	struct leat_leak_day *day = &own->day;
	double *work = calloc(2 * day->cycles + 1, sizeof(*work)), pressed_s = day->grinding_s + day->hold_s;

	if (work == NULL)
		return -1;
	*r = (struct leat_leak_result){ .resolvable_on_s = fmax(1, fmax(own->repeat_votes > 0 ? own->repeat_s : 0,
	    day->edges >= 3 ? day->common_s : 0)) * STEPS_ON };
	r->resolvable_cycle_s = r->resolvable_on_s / STEPS_ON * STEPS_CYCLE;
	refuse(day, work);
	r->cycles = day->cycles;
	sum_leakage(day, r);
	sum_gas(day, work, r);
	sum_slopes(day, work, r);
	sum_drops(own, day, work, r);
	free(work);
	r->coverage = pressed_s > 0 ? fmin(100, 100 * r->cycle_s / pressed_s) : 0;
	r->quality = worth(own, r->cycle_s, pressed_s);
	/* Without viscosity the flow of a cold day is another than that of a warm one. */
	if (r->quality == LEAT_GOOD && isnan(r->viscosity_mm2_s))
		r->quality = LEAT_UNCERTAIN;
	r->compliance = leat_leak_compliance(own, r->amount_mol);
	r->gas_quality = r->filled == 0 || isnan(r->compliance) ? LEAT_BAD : isnan(r->temp_c) ? LEAT_UNCERTAIN : r->quality;
	find_excess(own, r);
	r->duty = r->cycle_s > 0 ? 100 * r->on_s / r->cycle_s : NAN;
	r->frequency = day->counted_s > 0 ? (double)day->openings * 3600 / day->counted_s : NAN;
	r->frequency_quality = worth(own, day->counted_s, day->grinding_s);
	/* Openings that are shorter than the steps in which they are looked for are missed. */
	if (day->refused[LEAT_LEAK_SHORT] > (long)day->cycles || (own->repeat_votes > 0 && !own->exact && day->cycles == 0))
		r->frequency_quality = LEAT_BAD;
	return 0;
}

void
leat_leak_count(struct leat_leak_mill *own, const struct leat_leak_instant *now)
{
	struct leat_leak_day *day = &own->day;

	if (!now->counter_fresh)
		return;
	/* One that shows less than before is another, or has wrapped around; one that shows far more is another too.  What it
	 * counted while the state was not known belongs to no known time: a few minutes do not matter, a gap would make each
	 * hour's openings many. */
	if (!isnan(own->counter) && now->counter >= own->counter && own->counter_lost_s <= LOST_MOST * own->counter_s &&
	    (now->counter - own->counter - 1) * CYCLE_LEAST_S <= own->counter_s) {
		day->starts += now->counter - own->counter;
		day->starts_s += own->counter_s;
	}
	own->counter = now->counter;
	own->counter_s = own->counter_lost_s = 0;
}

bool
leat_leak_by_counter(struct leat_leaks *leaks, struct leat_leak_mill *own, const struct leat_mill *mill,
    struct leat_leak_result *r)
{
	const struct leat_leak_plate *plate = &own->plate;
	struct leat_leak_day *day = &own->day;
	double rise = plate->above_bar + plate->below_bar, drain, viscosity, amount, pump_lpm;
	double temp_c = isnan(own->temp_c) ? plate->reference_c : own->temp_c, middle;
	struct leat_filling f;

	if (!(day->starts_s >= plate->least_s) || !(day->starts > 0))
		return false;
	middle = isnan(own->setpoint_bar) ? plate->set_bar : own->setpoint_bar + (plate->above_bar - plate->below_bar) / 2;
	amount = isnan(own->amount_mol) ? leat_leak_amount_as_set(own) : own->amount_mol;
	pump_lpm = leat_leak_pump_flow(leaks, own, mill, own->pumps > 0 ? 0 : SIZE_MAX, middle, leaks->day_end, &drain);
	r->frequency = day->starts * 3600 / day->starts_s;
	r->frequency_quality = LEAT_GOOD;
	f = (struct leat_filling){ 1, middle - rise / 2, middle + rise / 2, 1, 3600 / r->frequency, 0, temp_c, plate->lag_s,
		plate->air_bara };
	/* How long it takes follows from how much it takes. */
	for (int i = 0; i < 4; i++) {
		if (leat_gas_filling_of_amount(&f, amount, &r->filling_l) != 0 || !(pump_lpm > 0))
			return false;
		f.leakage_lpm = r->filling_l * r->frequency / 60;
		if (!(f.leakage_lpm < pump_lpm))
			return false;
		f.on_s = 60 * r->filling_l / (pump_lpm - f.leakage_lpm);
	}
	/* While it fills it leaks besides. */
	r->leakage_lpm = pump_lpm * f.on_s / f.cycle_s;
	r->reference_lpm = leat_leak_reference(own, r->leakage_lpm, middle, own->temp_c, &viscosity);
	r->viscosity_mm2_s = viscosity;
	r->quality = isfinite(r->reference_lpm) ? LEAT_UNCERTAIN : LEAT_BAD;
	return r->quality == LEAT_UNCERTAIN;
}
