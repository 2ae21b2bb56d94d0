/* The nitrogen of accumulators: a gas reading, what it is worth, and what becomes of it. */
#include <math.h>

#include "derive/precharge_private.h"
#include "physics/accumulator.h"
#include "physics/mill_state.h"
#include "physics/nitrogen.h"

int
leat_precharge_gate_of(struct leat_precharge *gas, struct leat_precharge_shell *shell, struct leat_error *err)
{
	const struct leat_mill *mill = &gas->mills.mill[shell->mill];
	const struct leat_precharge_mill *own = &gas->own[shell->mill];
	struct leat_precharge_reading *read = &shell->read;
	struct leat_time seen = leat_time_add(gas->last, 1e-9);
	const struct leat_latest *state = leat_mills_latest(&gas->mills, mill, LEAT_PRECHARGE_SLOT_STATE, seen);
	enum leat_quality quality;
	double ambient_c;

	if (leat_precharge_slot(gas, mill, LEAT_PRECHARGE_SLOT_PRESSURE, seen, &read->oil_bar, &quality, err) != 0 ||
	    leat_precharge_slot(gas, mill, LEAT_PRECHARGE_SLOT_OIL, seen, &read->stand_in_c, &quality, err) != 0 ||
	    leat_precharge_slot(gas, mill, LEAT_PRECHARGE_SLOT_AMBIENT, seen, &ambient_c, &quality, err) != 0)
		return -1;
	read->stand_in_oil = !isnan(read->stand_in_c);
	if (!read->stand_in_oil)
		read->stand_in_c = ambient_c;
	read->state = state != NULL && !state->is_number ? state->word : LEAT_NAME_NONE;
	if (read->state != LEAT_NAME_NONE && leat_span_is(gas->current.words.name[read->state], "unknown"))
		read->state = LEAT_NAME_NONE;
	read->off_s = own->begun && own->doing == LEAT_PRECHARGE_OFF && own->off_known && !leat_time_is_none(own->off_since) ?
	    leat_time_diff(gas->last, own->off_since) : NAN;
	if (read->oil_bar >= LEAT_MILL_OFF_BELOW_BAR)
		read->gate = fabs(read->bar - read->oil_bar) <= LEAT_PRECHARGE_NEAR_SHARE * read->oil_bar ?
		    LEAT_PRECHARGE_GATE_NEAR : LEAT_PRECHARGE_GATE_PRESSURE;
	else if (read->state != LEAT_NAME_NONE && !leat_span_is(gas->current.words.name[read->state], "off"))
		read->gate = LEAT_PRECHARGE_GATE_STATE;
	else if (read->state == LEAT_NAME_NONE && isnan(read->oil_bar))
		read->gate = LEAT_PRECHARGE_GATE_UNKNOWN;
	else
		read->gate = own->begun && read->off_s < own->plate.settling_s ? LEAT_PRECHARGE_GATE_FRESH :
		    LEAT_PRECHARGE_GATE_OFF;
	return 0;
}

static bool
is_warm_with(const struct leat_precharge_shell *shell, const struct leat_precharge_reading *read)
{
	return shell->has_heat && fabs(leat_time_diff(shell->heat_at, read->at)) <= LEAT_PRECHARGE_TOGETHER_S;
}

/* The temperature of the gas: the shell's own, else that of the shell of the bank that was read nearest in time. */
static enum leat_quality
find_heat(const struct leat_precharge *gas, struct leat_precharge_result *result)
{
	const struct leat_precharge_shell *best = NULL, *shell = result->shell;
	double apart, nearest = INFINITY;

	result->heat = LEAT_PRECHARGE_HEAT_BANK;
	if (is_warm_with(shell, result->read)) {
		best = shell;
		result->heat = LEAT_PRECHARGE_HEAT_OWN;
	}
	for (size_t i = 0; i < gas->shells && result->heat == LEAT_PRECHARGE_HEAT_BANK; i++) {
		const struct leat_precharge_shell *other = &gas->shell[gas->order[i]];

		if (other->mill != shell->mill || !is_warm_with(other, result->read))
			continue;
		apart = fabs(leat_time_diff(other->heat_at, result->read->at));
		if (apart < nearest) {
			nearest = apart;
			best = other;
		}
	}
	result->heat_of = best;
	if (best != NULL) {
		result->gas_c = best->heat_c;
		return best->heat_quality;
	}
	result->gas_c = result->read->stand_in_c;
	result->heat = isnan(result->gas_c) ? LEAT_PRECHARGE_HEAT_NONE :
	    result->read->stand_in_oil ? LEAT_PRECHARGE_HEAT_OIL : LEAT_PRECHARGE_HEAT_AMBIENT;
	return result->heat == LEAT_PRECHARGE_HEAT_NONE ? LEAT_BAD : LEAT_UNCERTAIN;
}

static enum leat_quality
worse(enum leat_quality a, enum leat_quality b)
{
	return a < b ? a : b;
}

/* The gas itself: its density, and what it shows at 20 degC. */
static void
reduce(struct leat_precharge_result *result)
{
	double bar = result->read->bar, reference = LEAT_PRECHARGE_REFERENCE_C, warmer;

	/* A shell without gas shows 0 bar: so it is said, and not that it lies outside a range. */
	result->outside = leat_nitrogen_density(bar + result->air_bara, result->gas_c + LEAT_ZERO_C_K,
	    &result->density_mol_l) != 0 ||
	    leat_nitrogen_warmed(bar, result->gas_c, reference, result->air_bara, &result->precharge_bar) != 0;
	if (result->outside) {
		result->precharge_bar = NAN;
		return;
	}
	if (leat_nitrogen_warmed(bar, result->gas_c + 1, reference, result->air_bara, &warmer) == 0)
		result->per_kelvin_bar = result->precharge_bar - warmer;
	if (leat_nitrogen_warmed(bar + 1, result->gas_c, reference, result->air_bara, &warmer) == 0)
		result->per_bar_bar = warmer - result->precharge_bar;
	if (result->volume_l > 0)
		result->amount_mol = result->density_mol_l * result->volume_l;
}

static void
find_set_pressure(const struct leat_precharge *gas, struct leat_precharge_result *result)
{
	const struct leat_precharge_mill *own = &gas->own[result->shell->mill];

	result->set_read = own->begun && !isnan(own->setpoint_bar);
	result->set_bar = result->set_read ? own->setpoint_bar :
	    leat_precharge_plate_number(gas, leat_asset_mill(result->shell->asset), "set-pressure", result->at);
	result->set_at = result->set_read ? own->setpoint_at : LEAT_TIME_NONE;
}

/* Where the precharge should be. */
static void
find_target(const struct leat_precharge *gas, struct leat_precharge_result *result)
{
	enum leat_precharge_found found;

	find_set_pressure(gas, result);
	found = leat_precharges_at(gas->curves, result->shell->asset, isnan(result->set_bar) ? 0 : result->set_bar,
	    &result->curve);
	if (found == LEAT_PRECHARGE_FOUND) {
		result->aim = LEAT_PRECHARGE_AIM_CURVE;
		result->target_bar = result->curve.precharge_bar;
	} else if (found == LEAT_PRECHARGE_OUTSIDE) {
		result->aim = isnan(result->set_bar) ? LEAT_PRECHARGE_AIM_UNSET : LEAT_PRECHARGE_AIM_OUTSIDE;
	} else {
		result->target_bar = leat_precharge_plate_number(gas, result->shell->asset, "precharge", result->at);
		result->aim = isnan(result->target_bar) ? LEAT_PRECHARGE_AIM_NONE : LEAT_PRECHARGE_AIM_PLATE;
	}
}

/* How much of what was set there is: the precharge as set stays, whatever the curve asks for today. */
static void
find_share(const struct leat_precharge *gas, struct leat_precharge_result *result)
{
	double set_mol_l;

	result->plate_bar = leat_precharge_plate_number(gas, result->shell->asset, "precharge", result->at);
	if (!isnan(result->precharge_bar) && result->plate_bar > 0 && leat_nitrogen_density(result->plate_bar + result->air_bara,
	    LEAT_PRECHARGE_REFERENCE_C + LEAT_ZERO_C_K, &set_mol_l) == 0)
		result->share_percent = 100 * result->density_mol_l / set_mol_l;
}

/* What it takes to get there. */
static void
find_filling(const struct leat_precharge *gas, struct leat_precharge_result *result)
{
	struct leat_span asset = result->shell->asset;
	double target_mol;

	result->bottle_l = leat_precharge_plate_number(gas, asset, "bottle-volume", result->at);
	result->full_bar = leat_precharge_plate_number(gas, asset, "bottle-full", result->at);
	result->left_bar = leat_precharge_plate_number(gas, asset, "bottle-left", result->at);
	/* A bottle fills up to its own pressure. */
	if (result->target_bar > result->left_bar)
		result->left_bar = result->target_bar;
	if (leat_gas_bottle(result->bottle_l, result->full_bar, result->left_bar, LEAT_PRECHARGE_REFERENCE_C, result->air_bara,
	    &result->bottle_mol) != 0)
		result->bottle_mol = NAN;
	if (isnan(result->amount_mol) || isnan(result->target_bar) || leat_gas_amount(result->target_bar,
	    LEAT_PRECHARGE_REFERENCE_C, result->volume_l, result->air_bara, &target_mol) != 0)
		return;
	result->fill_mol = target_mol - result->amount_mol;
	if (leat_nitrogen_warmed(result->target_bar, LEAT_PRECHARGE_REFERENCE_C, result->gas_c, result->air_bara,
	    &result->shows_bar) != 0)
		result->shows_bar = NAN;
}

void
leat_precharge_work_out(const struct leat_precharge *gas, const struct leat_precharge_shell *shell, struct leat_time at,
    struct leat_precharge_result *result)
{
	enum leat_precharge_gate gate = shell->read.gate;
	enum leat_quality heat;

	*result = (struct leat_precharge_result){ .shell = shell, .read = &shell->read, .at = at };
	result->precharge_bar = result->per_kelvin_bar = result->amount_mol = result->target_bar = result->fill_mol =
	    result->shows_bar = result->density_mol_l = result->plate_bar = result->share_percent = NAN;
	result->loss.percent_month = result->loss.newest_percent_month = NAN;
	result->altitude_m = leat_precharge_plate_number(gas, shell->asset, "altitude", at);
	result->air_bara = leat_atmosphere_bara(result->altitude_m);
	result->volume_l = leat_precharge_plate_number(gas, shell->asset, "shell-volume", at);
	/* A gauge of the whole bank reads all of its shells. */
	if (leat_span_eq(shell->asset, leat_asset_mill(shell->asset)))
		result->volume_l *= leat_precharge_plate_number(gas, shell->asset, "shells", at);
	heat = find_heat(gas, result);
	result->quality = worse(shell->read.quality, heat);
	if (gate == LEAT_PRECHARGE_GATE_UNKNOWN || gate == LEAT_PRECHARGE_GATE_FRESH)
		result->quality = worse(result->quality, LEAT_UNCERTAIN);
	if (gate >= LEAT_PRECHARGE_GATE_NEAR)
		result->quality = LEAT_BAD;
	if (result->quality == LEAT_BAD)
		return;
	reduce(result);
	if (result->outside)
		result->quality = LEAT_BAD;
	find_share(gas, result);
	find_target(gas, result);
	find_filling(gas, result);
}

/* Less is the noise of an analogue set point. */
#define MOVED_BAR 0.1

void
leat_precharge_retarget(struct leat_precharge *gas, size_t mill)
{
	for (size_t i = 0; i < gas->shells; i++) {
		struct leat_precharge_shell *shell = &gas->shell[gas->order[i]];
		struct leat_precharge_result result = { .shell = shell, .read = &shell->read, .at = gas->day_end };

		if (shell->mill != mill || !shell->aimed)
			continue;
		result.precharge_bar = shell->latest_bar;
		result.quality = shell->latest_quality;
		result.target_bar = NAN;
		find_target(gas, &result);
		if (isnan(result.target_bar) ? isnan(shell->target_bar) : fabs(result.target_bar - shell->target_bar) < MOVED_BAR)
			continue;
		shell->target_bar = result.target_bar;
		if (gas->explain)
			leat_precharge_explain_target(gas, &result);
		else
			leat_precharge_write_target(gas, &result);
	}
}
