/* The nitrogen of accumulators: how a result came about, for a person to redo. */
#include <math.h>
#include <stdio.h>

#include "derive/precharge_private.h"
#include "physics/accumulator.h"
#include "physics/mill_state.h"
#include "physics/nitrogen.h"

#define LINE 512

static void
line(struct leat_precharge *gas, const char *label, const char *text)
{
	char head[20];

	snprintf(head, sizeof(head), "  %-12s", label);
	leat_out_text(gas->out, head);
	leat_out_text(gas->out, text);
	leat_out_char(gas->out, '\n');
}

/* Without a minus sign where nothing is left behind the point. */
static double
flat(double value)
{
	return fabs(value) < 0.005 ? 0 : value;
}

static const char *
quality_words(enum leat_quality quality)
{
	return quality == LEAT_BAD ? "bad" : quality == LEAT_UNCERTAIN ? "uncertain" : "good";
}

/* Is it asked for: itself, its mill, or a point of it? */
static bool
is_asked(const struct leat_precharge *gas, struct leat_span asset)
{
	struct leat_span what = gas->what, parent;

	if (what.len == 0 || leat_span_eq(what, leat_asset_mill(asset)) || leat_span_eq(what, asset))
		return true;
	return leat_asset_parent(what, &parent) && leat_span_eq(parent, asset);
}

/* Of a mill's days: none, the mill, or a point of it. */
static bool
is_day_asked(const struct leat_precharge *gas, struct leat_span mill)
{
	struct leat_span what = gas->what, parent;

	return what.len == 0 || leat_span_eq(what, mill) || (leat_asset_parent(what, &parent) && leat_span_eq(parent, mill) &&
	    leat_point_find(leat_span_make(what.ptr + mill.len + 1, what.len - mill.len - 1)) != NULL);
}

static void
head(struct leat_precharge *gas, struct leat_span asset, const char *point)
{
	leat_out_span(gas->out, asset);
	leat_out_char(gas->out, '/');
	leat_out_text(gas->out, point);
	leat_out_char(gas->out, ' ');
}

static void
explain_gate(struct leat_precharge *gas, const struct leat_precharge_reading *read)
{
	char text[LINE], state[96] = "not known", oil[64] = "not known", since[64] = "";

	if (read->state != LEAT_NAME_NONE)
		snprintf(state, sizeof(state), "%.*s", (int)gas->current.words.name[read->state].len,
		    gas->current.words.name[read->state].ptr);
	if (!isnan(read->off_s))
		snprintf(since, sizeof(since), " for %.0f min", read->off_s / 60);
	if (!isnan(read->oil_bar))
		snprintf(oil, sizeof(oil), "%.2f bar", read->oil_bar);
	snprintf(text, sizeof(text), "state %s%s, oil pressure %s", state, since, oil);
	line(gas, "gate", text);
	if (read->gate == LEAT_PRECHARGE_GATE_NEAR)
		snprintf(text, sizeof(text), "read under load: %.2f bar lies within %.0f %% of the oil pressure, so it is the oil "
		    "pressure", read->bar, 100 * LEAT_PRECHARGE_NEAR_SHARE);
	else if (read->gate == LEAT_PRECHARGE_GATE_PRESSURE)
		snprintf(text, sizeof(text), "read under load: the oil pressure was not below %.0f bar", LEAT_MILL_OFF_BELOW_BAR);
	else if (read->gate == LEAT_PRECHARGE_GATE_STATE)
		snprintf(text, sizeof(text), "read under load: a precharge is read in state off only");
	else if (read->gate == LEAT_PRECHARGE_GATE_UNKNOWN)
		snprintf(text, sizeof(text), "neither state nor pressure of the mill is known");
	else if (read->gate == LEAT_PRECHARGE_GATE_FRESH)
		snprintf(text, sizeof(text), "off for less than gas-settling: the gas may be colder than its shell");
	else
		return;
	line(gas, read->gate >= LEAT_PRECHARGE_GATE_NEAR ? "refused" : "doubtful", text);
}

static void
explain_heat(struct leat_precharge *gas, const struct leat_precharge_result *result)
{
	char text[LINE];
	struct leat_span by = result->heat_of != NULL ? result->heat_of->asset : leat_asset_mill(result->shell->asset);

	if (result->heat == LEAT_PRECHARGE_HEAT_NONE)
		snprintf(text, sizeof(text), "%.2f bar, without a temperature of the shell within an hour, nor of oil or air",
		    result->read->bar);
	else
		snprintf(text, sizeof(text), "%.2f bar at %.1f degC (%s of %.*s%s)", result->read->bar, result->gas_c,
		    result->heat <= LEAT_PRECHARGE_HEAT_BANK ? "gas-temperature" :
		    result->heat == LEAT_PRECHARGE_HEAT_OIL ? "oil-temperature" : "ambient-temperature", (int)by.len, by.ptr,
		    result->heat <= LEAT_PRECHARGE_HEAT_BANK ? "" : ", for want of the shell's");
	line(gas, "read", text);
}

static void
explain_gas(struct leat_precharge *gas, const struct leat_precharge_result *result)
{
	double warm_k = result->gas_c + LEAT_ZERO_C_K, cold_k = LEAT_PRECHARGE_REFERENCE_C + LEAT_ZERO_C_K;
	double r = result->density_mol_l;
	char text[LINE];

	snprintf(text, sizeof(text), "%.2f + %.4f bar of air at %.0f m = %.3f bar absolute", result->read->bar, result->air_bara,
	    result->altitude_m, result->read->bar + result->air_bara);
	line(gas, "absolute", text);
	snprintf(text, sizeof(text), "%.5f mol/L, since %.5f x %.7f x %.2f K x Z %.5f = %.3f bar", r, r, LEAT_GAS_CONSTANT_BAR_L,
	    warm_k, leat_nitrogen_z(r, warm_k), leat_nitrogen_pressure_bara(r, warm_k));
	line(gas, "density", text);
	snprintf(text, sizeof(text), "%.5f x %.7f x %.2f K x Z %.5f = %.3f bar absolute, less the air %.2f bar", r,
	    LEAT_GAS_CONSTANT_BAR_L, cold_k, leat_nitrogen_z(r, cold_k), leat_nitrogen_pressure_bara(r, cold_k),
	    result->precharge_bar);
	line(gas, "at 20 degC", text);
	snprintf(text, sizeof(text), "1 K of the temperature makes %.2f bar, 1 bar of the gauge %.2f bar",
	    fabs(result->per_kelvin_bar), result->per_bar_bar);
	line(gas, "sensitive", text);
	if (isnan(result->amount_mol))
		return;
	snprintf(text, sizeof(text), "%.5f mol/L x %.1f L = %.2f mol = %.3f kg", r, result->volume_l, result->amount_mol,
	    result->amount_mol * LEAT_NITROGEN_KG_PER_MOL);
	line(gas, "amount", text);
}

static void
explain_aim(struct leat_precharge *gas, const struct leat_precharge_result *result)
{
	const struct leat_precharge_row *low = result->curve.lower, *high = result->curve.upper;
	char text[LINE], set[128], time[LEAT_TIME_MAX];

	snprintf(set, sizeof(set), "%.2f bar by set-pressure", result->set_bar);
	if (result->set_read) {
		leat_time_write(time, result->set_at);
		snprintf(set, sizeof(set), "%.2f bar by pressure-setpoint since %s", result->set_bar, time);
	}
	if (result->aim == LEAT_PRECHARGE_AIM_CURVE)
		snprintf(text, sizeof(text), "%.2f bar for %s: precharge.csv, lines %ld and %ld, from %.2f bar for %.2f to %.2f for "
		    "%.2f", result->target_bar, set, low->line, high->line, low->precharge_bar, low->grinding_bar,
		    high->precharge_bar, high->grinding_bar);
	else if (result->aim == LEAT_PRECHARGE_AIM_PLATE)
		snprintf(text, sizeof(text), "%.2f bar by precharge of the nameplate", result->target_bar);
	else if (result->aim == LEAT_PRECHARGE_AIM_OUTSIDE)
		snprintf(text, sizeof(text), "none: precharge.csv goes from %.2f to %.2f bar, which leaves out %s", low->grinding_bar,
		    high->grinding_bar, set);
	else
		snprintf(text, sizeof(text), result->aim == LEAT_PRECHARGE_AIM_UNSET ?
		    "none: precharge.csv has a curve, but no set pressure is known" :
		    "none: neither a curve in precharge.csv nor a precharge in nameplate.csv");
	line(gas, "target", text);
	if (isnan(result->target_bar))
		return;
	snprintf(text, sizeof(text), "%.2f - %.2f = %.2f bar", result->precharge_bar, result->target_bar,
	    flat(result->precharge_bar - result->target_bar));
	line(gas, "deviation", text);
}

static void
explain_share(struct leat_precharge *gas, const struct leat_precharge_result *result)
{
	char text[LINE];

	if (isnan(result->share_percent))
		return;
	snprintf(text, sizeof(text), "%.5f mol/L is %.1f %% of %.5f, which is %.2f bar at 20 degC by precharge of the nameplate",
	    result->density_mol_l, result->share_percent, 100 * result->density_mol_l / result->share_percent, result->plate_bar);
	line(gas, "share", text);
}

/* What a gauge and a thermometer make of the loss, in per cent of the amount a month: half a bar and one kelvin each way. */
static double
loss_error(const struct leat_precharge_result *result, double months)
{
	double bar = result->read->bar + result->air_bara;

	return 100 * sqrt(2 * (0.25 + result->per_kelvin_bar * result->per_kelvin_bar)) / bar / months;
}

/* The readings that the loss comes from, each with what the gaugings before it have let out. */
static void
explain_kept(struct leat_precharge *gas, const struct leat_precharge_loss *loss)
{
	double left = 1 - loss->gauging_percent / 100;
	char text[LINE], time[LEAT_TIME_MAX];

	for (size_t i = 0; i < loss->readings; i++) {
		double mol_l = exp(loss->kept[i].ln_mol_l);

		leat_time_write(time, loss->kept[i].at);
		snprintf(text, sizeof(text), "%s %.5f mol/L / %.4f^%zu, for the gaugings since the first = %.5f", time, mol_l, left, i,
		    mol_l / pow(left, (double)i));
		line(gas, "loss by", text);
	}
}

static void
explain_loss(struct leat_precharge *gas, const struct leat_precharge_result *result)
{
	const struct leat_precharge_loss *loss = &result->loss;
	char text[LINE], from[LEAT_TIME_MAX];
	double months = leat_time_diff(loss->to, loss->from) / LEAT_PRECHARGE_MONTH_S;

	if (loss->filled) {
		leat_time_write(from, loss->filled_at);
		if (loss->found)
			snprintf(text, sizeof(text), "at %s by the logbook, found at %.2f bar: the loss is that up to then", from,
			    loss->found_bar);
		else
			snprintf(text, sizeof(text), "at %s by the logbook: the loss counts anew", from);
		line(gas, "filled", text);
	}
	if (loss->rose) {
		snprintf(text, sizeof(text), "the amount rose by more than %.1f %%, so it was filled, though the logbook does not say so: "
		    "the loss counts anew", loss->rise_percent);
		line(gas, "filled", text);
	}
	if (loss->readings == 0)
		return;
	leat_time_write(from, loss->from);
	if (isnan(loss->percent_month)) {
		snprintf(text, sizeof(text), "cannot be told: %zu sound reading%s since %s, over less than %.0f d", loss->readings,
		    loss->readings == 1 ? "" : "s", from, loss->least_d);
		line(gas, "loss", text);
		return;
	}
	explain_kept(gas, loss);
	snprintf(text, sizeof(text), "%.1f %% a month by the median slope of ln(mol/L) over %.2f months of 30.44 d; by the newest "
	    "two %.1f %%; 0.5 bar and 1 K a reading make %.1f %%", loss->percent_month, months, loss->newest_percent_month,
	    loss_error(result, months));
	line(gas, "loss", text);
}

static void
explain_filling(struct leat_precharge *gas, const struct leat_precharge_result *result)
{
	double mol = fabs(result->fill_mol);
	char text[LINE];
	int len;

	if (isnan(result->fill_mol))
		return;
	len = snprintf(text, sizeof(text), "%.2f mol = %.3f kg", mol, mol * LEAT_NITROGEN_KG_PER_MOL);
	if (result->fill_mol > 0 && result->bottle_mol > 0)
		len += snprintf(text + len, sizeof(text) - (size_t)len, " = %.2f bottles, one of %.0f L giving %.1f mol from %.0f to "
		    "%.0f bar", mol / result->bottle_mol, result->bottle_l, result->bottle_mol, result->full_bar, result->left_bar);
	if (!isnan(result->shows_bar) && len < LINE)
		snprintf(text + len, sizeof(text) - (size_t)len, "; the gauge then shows %.1f bar at %.1f degC", result->shows_bar,
		    result->gas_c);
	line(gas, result->fill_mol > 0 ? "to fill" : "to let off", text);
}

void
leat_precharge_explain_shell(struct leat_precharge *gas, const struct leat_precharge_result *result)
{
	if (!is_asked(gas, result->shell->asset))
		return;
	head(gas, result->shell->asset, "precharge-20");
	leat_out_time(gas->out, result->at);
	leat_out_char(gas->out, '\n');
	explain_heat(gas, result);
	explain_gate(gas, result->read);
	if (result->outside)
		line(gas, "refused", "outside -20..90 degC or 0..350 bar absolute, where the equation of state is known to hold");
	if (!isnan(result->precharge_bar)) {
		explain_gas(gas, result);
		explain_share(gas, result);
		explain_loss(gas, result);
		explain_aim(gas, result);
		explain_filling(gas, result);
	}
	line(gas, "quality", quality_words(result->quality));
}

void
leat_precharge_explain_target(struct leat_precharge *gas, const struct leat_precharge_result *result)
{
	if (!is_asked(gas, result->shell->asset))
		return;
	head(gas, result->shell->asset, "precharge-target");
	leat_out_time(gas->out, result->at);
	leat_out_char(gas->out, '\n');
	explain_aim(gas, result);
	line(gas, "quality", quality_words(result->quality));
}

void
leat_precharge_explain_spread(struct leat_precharge *gas, size_t mill, double median_bar, size_t count,
    size_t read)
{
	for (size_t i = 0; i < gas->shells; i++) {
		const struct leat_precharge_shell *shell = &gas->shell[gas->order[i]];
		char text[LINE];

		if (shell->mill != mill || shell->day_quality == LEAT_BAD || !is_asked(gas, shell->asset))
			continue;
		head(gas, shell->asset, "precharge-spread");
		leat_out_time(gas->out, gas->day_end);
		leat_out_char(gas->out, '\n');
		snprintf(text, sizeof(text), "%.2f - %.2f bar, the median of %zu shells, %zu of them read in the day = %.2f "
		    "bar", shell->day_bar, median_bar, count, read, flat(shell->day_bar - median_bar));
		line(gas, "spread", text);
	}
}

static void
explain_extreme(struct leat_precharge *gas, const char *label, const char *shell,
    const struct leat_precharge_extreme *extreme)
{
	char text[LINE], time[LEAT_TIME_MAX];

	if (isnan(extreme->ratio))
		return;
	leat_time_write(time, extreme->at);
	snprintf(text, sizeof(text), "%.2f bar at %s / precharge %.2f bar of the %s shell = %.3f", extreme->bar, time,
	    extreme->precharge_bar, shell, extreme->ratio);
	line(gas, label, text);
}

static void
explain_bank(struct leat_precharge *gas, size_t mill)
{
	struct leat_precharge_bank bank = leat_precharge_bank_of(gas, mill);
	char text[LINE];
	int len = snprintf(text, sizeof(text), "at the end of the day %.2f bar at 20 degC, the mean of", bank.bar);

	if (bank.read > 0)
		len += snprintf(text + len, sizeof(text) - (size_t)len, " %zu shells as read last", bank.read);
	if (bank.others > 0)
		len += snprintf(text + len, sizeof(text) - (size_t)len, "%s %.0f by the %s %.2f bar", bank.read > 0 ? " and" : "",
		    bank.others, bank.gauged ? "gauge of the bank," : "nameplate's", bank.others_bar);
	if (bank.highest_bar > bank.lowest_bar)
		snprintf(text + len, sizeof(text) - (size_t)len, "; the fullest %.2f, the emptiest %.2f", bank.highest_bar,
		    bank.lowest_bar);
	line(gas, "precharge", text);
}

static void
explain_fall(struct leat_precharge *gas, const struct leat_precharge_event *event)
{
	char text[LINE], from[LEAT_TIME_MAX], known[LEAT_TIME_MAX];

	leat_time_write(from, event->from);
	leat_time_write(known, event->known);
	snprintf(text, sizeof(text), "read below from %s, down to %.2f bar, known for hammer at %s", from, event->bar, known);
	line(gas, "fall", text);
}

static void
explain_hammer(struct leat_precharge *gas, const struct leat_precharge_mill *own)
{
	const struct leat_precharge_day *day = &own->day;
	char text[LINE];
	int len;

	snprintf(text, sizeof(text), "%d times below %.1f of the precharge, and back within %.0f min or grinding so for %.0f: "
	    "%.1f min, of them grinding %.1f; in seven days %d times", day->hammers, LEAT_PRECHARGE_HAMMER_SHARE,
	    LEAT_PRECHARGE_HAMMER_S / 60, LEAT_PRECHARGE_HAMMER_S / 60, day->hammer_s / 60, day->hammer_grinding_s / 60,
	    leat_precharge_week(own, gas->day_end));
	line(gas, "hammer", text);
	for (int i = 0; i < day->hammers && i < LEAT_PRECHARGE_EVENTS; i++)
		explain_fall(gas, &day->event[i]);
	len = snprintf(text, sizeof(text), "%.1f min of %.1f not off", day->watched_s / 60, day->working_s / 60);
	if (day->readings > 0 && len > 0)
		snprintf(text + len, sizeof(text) - (size_t)len, ", by a reading each %.0f s in the mean: shorter falls are missed",
		    day->watched_s / (double)day->readings);
	line(gas, "watched", text);
}

void
leat_precharge_explain_day(struct leat_precharge *gas, size_t mill)
{
	const struct leat_precharge_mill *own = &gas->own[mill];
	const struct leat_precharge_day *day = &own->day;
	struct leat_span asset = gas->mills.mill[mill].asset;
	char text[LINE];

	if (!is_day_asked(gas, asset))
		return;
	head(gas, asset, "precharge-ratio");
	leat_out_time(gas->out, gas->day_start);
	leat_out_char(gas->out, ' ');
	leat_out_time(gas->out, gas->day_end);
	leat_out_char(gas->out, '\n');
	snprintf(text, sizeof(text), "%.1f min; state known %.1f min of the day's %.0f", day->grinding_s / 60, day->known_s / 60,
	    leat_time_diff(gas->day_end, gas->day_start) / 60);
	line(gas, "grinding", text);
	explain_bank(gas, mill);
	if (gas->mills.mill[mill].series[LEAT_PRECHARGE_SLOT_OIL] == LEAT_NAME_NONE && isnan(own->plate.working_c))
		line(gas, "gas", "nobody knows how warm: no oil-temperature is read, no working-temperature given; no ratios, no hammer");
	if (day->admitted_s > 0) {
		snprintf(text, sizeof(text), "%.1f min with pressure and oil temperature, of them by good readings %.1f min",
		    day->admitted_s / 60, day->good_s / 60);
		line(gas, "admitted", text);
		snprintf(text, sizeof(text), "%.2f bar in the mean, with gas as warm as the oil, %.1f degC",
		    day->precharge_sum / day->admitted_s, day->gas_sum / day->admitted_s);
		line(gas, "working", text);
		snprintf(text, sizeof(text), "%.2f / %.2f bar, the mean pressure = %.3f", day->precharge_sum / day->admitted_s,
		    day->pressure_sum / day->admitted_s, day->precharge_sum / day->pressure_sum);
		line(gas, "ratio", text);
		explain_extreme(gas, "lowest", "fullest", &day->lowest);
		explain_extreme(gas, "highest", "emptiest", &day->highest);
	}
	explain_hammer(gas, own);
	if (!isnan(own->plate.minimum_bar) && day->fullest_bar > 0) {
		snprintf(text, sizeof(text), "set to %.2f bar / precharge %.2f bar of the fullest shell at its warmest = %.3f",
		    own->plate.minimum_bar, day->fullest_bar, own->plate.minimum_bar / day->fullest_bar);
		line(gas, "valve", text);
	}
	if (!isnan(own->plate.minimum_bar) && !isnan(day->unloaded_bar)) {
		snprintf(text, sizeof(text), "%.2f - %.2f = %.2f bar", day->unloaded_bar, own->plate.minimum_bar,
		    day->unloaded_bar - own->plate.minimum_bar);
		line(gas, "unloaded", text);
	}
	line(gas, "quality", quality_words(leat_precharge_worth(own, day->admitted_s, day->good_s, day->grinding_s)));
}
