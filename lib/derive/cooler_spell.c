/* Coolers: one minute, and the spell that it belongs to. */
#include <math.h>

#include "derive/cooler_private.h"
#include "physics/oil.h"
#include "stream/quantity.h"

#define KNOWN_SHARE 0.9		/* of a spell's minutes, or a mean is not known */

int
leat_coolers_grinds(const struct leat_coolers *coolers, const struct leat_coolers_mill *mill, bool *uncertain)
{
	const struct leat_latest *state = leat_current_series(&coolers->current, mill->state, coolers->minutes.at);

	if (state == NULL || state->is_number)
		return -1;
	*uncertain = state->quality != LEAT_GOOD;
	return state->word == coolers->grinding_word;
}

int
leat_coolers_look_tank(struct leat_coolers *coolers, struct leat_coolers_mill *mill, struct leat_error *err)
{
	double temp_c;
	bool uncertain = false;

	leat_coolers_read_mill(coolers, mill);
	mill->grinding++;
	if (leat_quantity_valid(&coolers->current, mill->tank, coolers->degc, coolers->minutes.at, &temp_c, &uncertain, err) != 0)
		return -1;
	if (isnan(temp_c))
		return 0;
	mill->known++;
	mill->uncertain += uncertain;
	mill->in_band += temp_c >= mill->band_low_c && temp_c <= mill->band_high_c;
	if (temp_c > mill->limit_c) {
		mill->above++;
		mill->above_k_min += temp_c - mill->limit_c;
	}
	return 0;
}

/* Heat of all that is known to be throttled: case drains and internal leakage; NaN where nothing is. */
static int
known_heat(const struct leat_coolers *coolers, const struct leat_coolers_mill *mill, double *kw, struct leat_error *err)
{
	const struct leat_current *current = &coolers->current;
	struct leat_time at = coolers->minutes.at;
	double flow, pressure, sum = 0;
	bool uncertain = false;

	*kw = NAN;
	for (size_t i = 0; i < mill->pumps; i++) {
		if (leat_quantity_valid(current, mill->pump[i].flow, coolers->lpm, at, &flow, &uncertain, err) != 0 ||
		    leat_quantity_valid(current, mill->pump[i].pressure, coolers->bar, at, &pressure, &uncertain, err) != 0)
			return -1;
		sum += leat_throttled_kw(flow, pressure);
	}
	if (leat_quantity_valid(current, mill->leakage, coolers->lpm, at, &flow, &uncertain, err) != 0 ||
	    leat_quantity_valid(current, mill->press, coolers->bar, at, &pressure, &uncertain, err) != 0)
		return -1;
	if (!isnan(flow))
		sum += leat_throttled_kw(flow, pressure);
	if ((mill->pumps > 0 || !isnan(flow)) && !uncertain)
		*kw = sum;
	return 0;
}

static int
read_slots(const struct leat_coolers *coolers, const struct leat_coolers_unit *unit, double *value, bool *uncertain,
    struct leat_error *err)
{
	for (size_t i = 0; i < LEAT_COOLERS_SLOTS; i++) {
		bool flow = i == LEAT_COOLERS_OIL_FLOW || i == LEAT_COOLERS_WATER_FLOW, doubt = false;

		if (leat_quantity_valid(&coolers->current, unit->series[i], flow ? coolers->lpm : coolers->degc,
		    coolers->minutes.at, &value[i], &doubt, err) != 0)
			return -1;
		/* Tank and air are needed for the heat balance alone. */
		if (doubt && i >= LEAT_COOLERS_OWN)
			value[i] = NAN;
		*uncertain = *uncertain || (doubt && i < LEAT_COOLERS_OWN);
	}
	/* Where nothing is read in the pipe to the cooler, it is the tank's oil. */
	if (unit->series[LEAT_COOLERS_OIL_IN] == LEAT_NAME_NONE)
		value[LEAT_COOLERS_OIL_IN] = value[LEAT_COOLERS_TANK];
	return 0;
}

static void
add(struct leat_coolers_sum *run, const double *value)
{
	double x = run->minutes, y = value[LEAT_COOLERS_OIL_IN] - run->base_c;

	for (size_t i = 0; i < LEAT_COOLERS_SLOTS; i++) {
		if (isnan(value[i]))
			continue;
		run->sum[i] += value[i];
		run->count[i]++;
	}
	if (isnan(y))
		return;
	run->x += x;
	run->y += y;
	run->xx += x * x;
	run->xy += x * y;
}

/* Hunting is looked for in one temperature, whose quality and that of the state alone count. */
static void
follow_swing(const struct leat_coolers *coolers, struct leat_coolers_unit *unit, const double *value, bool uncertain)
{
	uint32_t series = leat_coolers_signal(unit);
	const struct leat_latest *latest = leat_current_series(&coolers->current, series, coolers->minutes.at);
	double temp_c = value[series == unit->series[LEAT_COOLERS_OIL_OUT] ? LEAT_COOLERS_OIL_OUT : LEAT_COOLERS_OIL_IN];

	if (latest == NULL || isnan(temp_c))
		return;
	unit->swung++;
	unit->swung_uncertain += uncertain || latest->quality != LEAT_GOOD;
	leat_swing_put(&unit->swing, &unit->plate.swing, coolers->minutes.at.sec / LEAT_MINUTE_S, temp_c);
}

int
leat_coolers_look(struct leat_coolers *coolers, struct leat_coolers_unit *unit, bool grinds, bool uncertain,
    struct leat_error *err)
{
	int64_t minute = coolers->minutes.at.sec / LEAT_MINUTE_S, number;
	struct leat_coolers_sum *run = &unit->run;
	double value[LEAT_COOLERS_SLOTS], kw;
	bool doubtful = uncertain;

	/* A spell has one nameplate. */
	if (unit->begun && !leat_time_is_none(unit->plate.until) && leat_time_cmp(coolers->minutes.at, unit->plate.until) >= 0)
		leat_coolers_end_spell(coolers, unit);
	leat_coolers_read_plate(coolers, unit);
	/* The minute that ends a works' day ends a spell too. */
	number = (minute - 1) / unit->plate.steady_min;
	if (number != run->number) {
		leat_coolers_end_spell(coolers, unit);
		*run = (struct leat_coolers_sum){ .number = number, .base_c = NAN };
	}
	run->minutes++;
	if (!grinds)
		return 0;
	unit->grinding++;
	run->grinding++;
	if (read_slots(coolers, unit, value, &uncertain, err) != 0 ||
	    known_heat(coolers, &coolers->mill[unit->mill], &kw, err) != 0)
		return -1;
	follow_swing(coolers, unit, value, doubtful);
	if (uncertain) {
		run->uncertain++;
		return 0;
	}
	if (isnan(run->base_c))
		run->base_c = value[LEAT_COOLERS_OIL_IN];
	add(run, value);
	if (!isnan(kw)) {
		run->known_kw += kw;
		run->knowns++;
	}
	return 0;
}

/* Means, and how fast the oil warms. */
static void
take_means(const struct leat_coolers_sum *run, const struct leat_coolers_plate *plate, struct leat_coolers_spell *s)
{
	double n = run->count[LEAT_COOLERS_OIL_IN];

	for (size_t i = 0; i < LEAT_COOLERS_SLOTS; i++)
		s->mean[i] = run->count[i] >= KNOWN_SHARE * plate->steady_min ? run->sum[i] / run->count[i] : NAN;
	s->known_kw = run->knowns >= KNOWN_SHARE * plate->steady_min ? run->known_kw / run->knowns : NAN;
	s->warming_k_h = n >= KNOWN_SHARE * plate->steady_min ?
	    60 * (n * run->xy - run->x * run->y) / (n * run->xx - run->x * run->x) : NAN;
}

/* Both capacity flows and duties. */
static void
find_duty(const struct leat_coolers_plate *plate, struct leat_coolers_spell *s)
{
	double *m = s->mean, oil_k = m[LEAT_COOLERS_OIL_IN] - m[LEAT_COOLERS_OIL_OUT];
	double water_k = m[LEAT_COOLERS_WATER_OUT] - m[LEAT_COOLERS_WATER_IN];
	double density = leat_oil_density(plate->density_kg_m3, m[LEAT_COOLERS_OIL_IN]), read = m[LEAT_COOLERS_OIL_FLOW];
	double water_lpm = isnan(m[LEAT_COOLERS_WATER_FLOW]) ? plate->water_flow_lpm : m[LEAT_COOLERS_WATER_FLOW];

	s->full_kw_k = leat_stream_kw_k(!isnan(read) && s->valve != LEAT_COOLERS_PART ? read : plate->oil_flow_lpm, density,
	    LEAT_OIL_HEAT_KJ_KGK);
	s->oil_kw_k = !isnan(read) ? leat_stream_kw_k(read, density, LEAT_OIL_HEAT_KJ_KGK) :
	    s->valve == LEAT_COOLERS_PART ? NAN : s->full_kw_k;
	s->water_kw_k = leat_stream_kw_k(water_lpm, leat_water_density(m[LEAT_COOLERS_WATER_IN]), LEAT_WATER_HEAT_KJ_KGK);
	s->oil_kw = s->oil_kw_k * oil_k;
	s->water_kw = s->water_kw_k * water_k;
	s->duty_kw = isnan(s->oil_kw) ? s->water_kw : isnan(s->water_kw) ? s->oil_kw : (s->oil_kw + s->water_kw) / 2;
	s->balance_percent = 100 * (s->oil_kw - s->water_kw) / s->duty_kw;
	/* What one side lacks the other tells. */
	if (isnan(s->water_kw_k))
		s->water_kw_k = s->oil_kw / water_k;
	if (isnan(s->full_kw_k) && s->valve != LEAT_COOLERS_PART)
		s->full_kw_k = s->water_kw / oil_k;
	s->share_percent = 100 * s->water_kw / (s->full_kw_k * oil_k);
}

static double
find_ua(const struct leat_coolers_plate *plate, struct leat_coolers_spell *s)
{
	struct leat_cooler_ends ends = { s->mean[LEAT_COOLERS_OIL_IN], s->mean[LEAT_COOLERS_OIL_OUT],
		s->mean[LEAT_COOLERS_WATER_IN], s->mean[LEAT_COOLERS_WATER_OUT] };

	if (isnan(ends.oil_out_c))
		ends.oil_out_c = ends.oil_in_c - s->duty_kw / s->oil_kw_k;
	if (isnan(ends.water_out_c))
		ends.water_out_c = ends.water_in_c + s->duty_kw / s->water_kw_k;
	s->oil_out_c = ends.oil_out_c;
	s->water_out_c = ends.water_out_c;
	return ends.oil_in_c - ends.oil_out_c < plate->idle_k ? NAN : leat_cooler_ua(plate->flow, &ends, s->duty_kw);
}

/* The heat balance of the tank, and what the cooler must take in the summer. */
static void
find_heat(const struct leat_coolers_plate *plate, struct leat_coolers_spell *s)
{
	double tank_c = isnan(s->mean[LEAT_COOLERS_TANK]) ? s->mean[LEAT_COOLERS_OIL_IN] : s->mean[LEAT_COOLERS_TANK];
	double wall_kw_k = plate->wall_w_m2k * plate->wall_m2 / 1000;

	s->walls_kw = wall_kw_k * (tank_c - s->mean[LEAT_COOLERS_AMBIENT]);
	s->stored_kw = plate->tank_l / 1000 * leat_oil_density(plate->density_kg_m3, tank_c) * LEAT_OIL_HEAT_KJ_KGK *
	    s->warming_k_h / 3600;
	s->rest_kw = s->duty_kw + (isnan(wall_kw_k) ? 0 : s->walls_kw) + (isnan(plate->tank_l) ? 0 : s->stored_kw) - s->known_kw;
	s->load_kw = s->duty_kw + (isnan(s->stored_kw) ? 0 : s->stored_kw);
	if (!isnan(s->walls_kw))
		s->load_kw += s->walls_kw - wall_kw_k * fmax(0, plate->limit_c - plate->summer_air_c);
}

/* What the spell tells, and the reason where it tells nothing of the conductance. */
static enum leat_coolers_reason
judge(const struct leat_coolers_plate *plate, const struct leat_coolers_sum *run, struct leat_coolers_spell *s)
{
	const double *m = s->mean;
	bool part;

	if (run->grinding < KNOWN_SHARE * plate->steady_min)
		return LEAT_COOLERS_BROKEN;
	if (run->uncertain > (1 - KNOWN_SHARE) * plate->steady_min)
		return LEAT_COOLERS_UNCERTAIN;
	if (isnan(m[LEAT_COOLERS_OIL_IN]))
		return LEAT_COOLERS_NO_HEAT;
	if (fabs(s->warming_k_h) < plate->warm_rate_k_h)
		s->is |= LEAT_COOLERS_IS_STEADY;
	if (!(m[LEAT_COOLERS_OIL_IN] >= plate->warm_from_c))
		return LEAT_COOLERS_COLD;
	if (!(s->is & LEAT_COOLERS_IS_STEADY))
		return LEAT_COOLERS_UNSTEADY;
	part = s->valve == LEAT_COOLERS_PART;
	s->approach_k = m[LEAT_COOLERS_OIL_OUT] - m[LEAT_COOLERS_WATER_IN];
	s->effectiveness_percent = 100 * (m[LEAT_COOLERS_OIL_IN] - m[LEAT_COOLERS_OIL_OUT]) /
	    (m[LEAT_COOLERS_OIL_IN] - m[LEAT_COOLERS_WATER_IN]);
	/* Where there is a duty there is a conductance, which tells more. */
	if (isnan(s->duty_kw))
		s->index_k_kw = (m[LEAT_COOLERS_OIL_IN] - m[LEAT_COOLERS_WATER_IN]) / s->known_kw;
	s->is |= part ? 0 : LEAT_COOLERS_IS_OPEN;
	if (fabs(s->balance_percent) > plate->balance_percent)
		return part ? LEAT_COOLERS_PART_OPEN : LEAT_COOLERS_BALANCE;
	s->is |= isnan(s->duty_kw) ? 0 : LEAT_COOLERS_IS_DUTY;
	s->ua_kw_k = find_ua(plate, s);
	s->is |= isnan(s->ua_kw_k) ? 0 : part ? LEAT_COOLERS_IS_BOUND : LEAT_COOLERS_IS_UA;
	if (part)
		return LEAT_COOLERS_PART_OPEN;
	if (isnan(m[LEAT_COOLERS_WATER_IN]))
		return LEAT_COOLERS_NO_HEAT;
	if (isnan(s->duty_kw))
		return LEAT_COOLERS_NO_FLOW;
	if (isnan(s->oil_out_c) || isnan(s->water_out_c))
		return LEAT_COOLERS_NO_HEAT;
	return isnan(s->ua_kw_k) ? LEAT_COOLERS_IDLE : LEAT_COOLERS_ADMITTED;
}

void
leat_coolers_end_spell(struct leat_coolers *coolers, struct leat_coolers_unit *unit)
{
	struct leat_coolers_sum *run = &unit->run;
	struct leat_coolers_spell *s = &unit->spell[unit->spells];
	const struct leat_coolers_plate *plate = &unit->plate;

	if (run->number == INT64_MIN || run->grinding == 0 || unit->spells == LEAT_COOLERS_SPELLS) {
		run->number = INT64_MIN;
		return;
	}
	*s = (struct leat_coolers_spell){ .ua_kw_k = NAN, .approach_k = NAN, .index_k_kw = NAN, .effectiveness_percent = NAN };
	/* It is looked at in the minute after its last, or at the end of the day. */
	s->end.sec = ((run->number + 1) * plate->steady_min) * LEAT_MINUTE_S;
	if (leat_time_cmp(coolers->minutes.at, s->end) < 0)
		s->end = coolers->minutes.at;
	take_means(run, plate, s);
	s->valve = isnan(plate->open_c) ? LEAT_COOLERS_NO_VALVE :
	    s->mean[LEAT_COOLERS_OIL_IN] >= plate->open_c + plate->margin_k ? LEAT_COOLERS_OPEN : LEAT_COOLERS_PART;
	find_duty(plate, s);
	find_heat(plate, s);
	s->reason = judge(plate, run, s);
	unit->refused[s->reason] += run->grinding;
	unit->spells++;
	run->number = INT64_MIN;
}
