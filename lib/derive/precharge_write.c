/* The nitrogen of accumulators: results as rows. */
#include <math.h>

#include "derive/precharge_private.h"

static void
row(struct leat_precharge *gas, struct leat_time at, struct leat_span asset, const char *point, double value, int decimals,
    const char *unit, enum leat_quality quality)
{
	char text[LEAT_NUMBER_MAX];
	bool none = quality == LEAT_BAD || !isfinite(value);
	size_t len = none ? 0 : leat_number_fixed(text, value, decimals);

	leat_readings_add(gas->out, gas->in, &(struct leat_reading){
		.time = at, .asset = asset, .point = leat_span_of(point), .value = leat_span_make(text, len),
		.unit = leat_span_of(unit), .quality = none ? LEAT_BAD : quality
	});
	gas->added++;
}

void
leat_precharge_write_target(struct leat_precharge *gas, const struct leat_precharge_result *result)
{
	struct leat_span asset = result->shell->asset;

	row(gas, result->at, asset, "precharge-target", result->target_bar, 2, "bar", LEAT_GOOD);
	row(gas, result->at, asset, "precharge-deviation", result->precharge_bar - result->target_bar, 2, "bar",
	    result->quality);
}

void
leat_precharge_write_shell(struct leat_precharge *gas, const struct leat_precharge_result *result)
{
	struct leat_span asset = result->shell->asset;
	enum leat_quality quality = result->quality;

	row(gas, result->at, asset, "precharge-20", result->precharge_bar, 2, "bar", quality);
	/* What was refused is refused once. */
	if (quality == LEAT_BAD)
		return;
	if (!isnan(result->amount_mol))
		row(gas, result->at, asset, "gas-amount", result->amount_mol, 2, "mol", quality);
	if (!isnan(result->share_percent))
		row(gas, result->at, asset, "gas-share", result->share_percent, 1, "%", quality);
	if (!isnan(result->loss.percent_month))
		row(gas, result->at, asset, "gas-loss-month", result->loss.percent_month, 1, "%", quality);
	if (result->aim == LEAT_PRECHARGE_AIM_NONE)
		return;
	leat_precharge_write_target(gas, result);
	if (!isnan(result->amount_mol))
		row(gas, result->at, asset, "gas-to-fill", result->fill_mol, 2, "mol", quality);
}

/* What a shell is compared by: what was read in the day, else what was read last, unless that is too long ago. */
static enum leat_quality
compared(const struct leat_precharge *gas, const struct leat_precharge_shell *shell, double *bar)
{
	*bar = shell->day_bar;
	if (shell->day_quality != LEAT_BAD)
		return shell->day_quality;
	*bar = shell->latest_bar;
	return shell->latest_quality != LEAT_BAD &&
	    leat_time_diff(gas->day_end, shell->latest_at) <= LEAT_PRECHARGE_COMPARED_S ? shell->latest_quality : LEAT_BAD;
}

/* How many shells of the bank stand below one, equal ones in their order. */
static size_t
rank_of(const struct leat_precharge *gas, size_t which)
{
	double one, bar;
	size_t rank = 0;

	compared(gas, &gas->shell[which], &one);
	for (size_t i = 0; i < gas->shells; i++)
		if (gas->shell[i].mill == gas->shell[which].mill && compared(gas, &gas->shell[i], &bar) != LEAT_BAD)
			rank += bar < one || (bar == one && i < which);
	return rank;
}

size_t
leat_precharge_median(const struct leat_precharge *gas, size_t mill, double *bar, enum leat_quality *quality)
{
	double lower = NAN, upper = NAN, one;
	size_t count = 0;

	*quality = LEAT_GOOD;
	for (size_t i = 0; i < gas->shells; i++) {
		enum leat_quality own = compared(gas, &gas->shell[i], &one);

		if (gas->shell[i].mill != mill || own == LEAT_BAD)
			continue;
		count++;
		if (own < *quality)
			*quality = own;
	}
	for (size_t i = 0; i < gas->shells && count > 0; i++) {
		size_t rank;

		if (gas->shell[i].mill != mill || compared(gas, &gas->shell[i], &one) == LEAT_BAD)
			continue;
		rank = rank_of(gas, i);
		if (rank == (count - 1) / 2)
			lower = one;
		if (rank == count / 2)
			upper = one;
	}
	*bar = (lower + upper) / 2;
	return count;
}

void
leat_precharge_write_spread(struct leat_precharge *gas, size_t mill)
{
	enum leat_quality quality;
	size_t count, read = 0;
	double median;

	for (size_t i = 0; i < gas->shells; i++)
		read += gas->shell[i].mill == mill && gas->shell[i].day_quality != LEAT_BAD;
	if (read == 0)
		return;
	count = leat_precharge_median(gas, mill, &median, &quality);
	if (count < LEAT_PRECHARGE_BANK_LEAST)
		return;
	if (gas->explain) {
		leat_precharge_explain_spread(gas, mill, median, count, read);
		return;
	}
	for (size_t i = 0; i < gas->shells; i++) {
		const struct leat_precharge_shell *shell = &gas->shell[gas->order[i]];

		if (shell->mill == mill && shell->day_quality != LEAT_BAD)
			row(gas, gas->day_end, shell->asset, "precharge-spread", shell->day_bar - median, 2, "bar", quality);
	}
}

enum leat_quality
leat_precharge_worth(const struct leat_precharge_mill *own, double seconds, double good_s, double of_s)
{
	if (!(seconds > 0) || seconds < own->plate.least_s)
		return LEAT_BAD;
	return good_s < own->plate.least_percent / 100 * of_s || own->day.uncertain ? LEAT_UNCERTAIN : LEAT_GOOD;
}

static void
write_hammer(struct leat_precharge *gas, const struct leat_precharge_mill *own, struct leat_span mill, int week)
{
	const struct leat_precharge_day *day = &own->day;
	enum leat_quality quality = LEAT_GOOD;

	/* A mill that was off all day had none. */
	if (day->working_s > 0)
		quality = !(day->watched_s > 0) ? LEAT_BAD : leat_precharge_worth(own, INFINITY, day->watched_good_s,
		    day->working_s);
	row(gas, gas->day_end, mill, "hammer-events", day->hammers, 0, "1", quality);
	row(gas, gas->day_end, mill, "hammer-week", week, 0, "1", quality);
	row(gas, gas->day_end, mill, "hammer-time", day->hammer_s / 60, 1, "min", quality);
	row(gas, gas->day_end, mill, "hammer-grinding", day->hammer_grinding_s / 60, 1, "min", quality);
}

/* The valve that keeps oil in the shells: whether it is set high enough for the gas, and what it holds. */
static void
write_valve(struct leat_precharge *gas, const struct leat_precharge_mill *own, struct leat_span mill)
{
	const struct leat_precharge_day *day = &own->day;
	double set_bar = own->plate.minimum_bar;
	enum leat_quality quality;

	if (isnan(set_bar))
		return;
	if (day->fullest_bar > 0)
		row(gas, gas->day_end, mill, "minimum-pressure-ratio", set_bar / day->fullest_bar, 3, "1",
		    day->uncertain || !day->fullest_good ? LEAT_UNCERTAIN : LEAT_GOOD);
	if (isnan(day->unloaded_bar))
		return;
	quality = day->unloaded_good ? LEAT_GOOD : LEAT_UNCERTAIN;
	row(gas, gas->day_end, mill, "unloaded-pressure", day->unloaded_bar, 2, "bar", quality);
	row(gas, gas->day_end, mill, "minimum-pressure-shift", day->unloaded_bar - set_bar, 2, "bar", quality);
}

void
leat_precharge_write_day(struct leat_precharge *gas, size_t mill)
{
	struct leat_precharge_mill *own = &gas->own[mill];
	const struct leat_mill *of = &gas->mills.mill[mill];
	const struct leat_precharge_day *day = &own->day;
	struct leat_precharge_bank bank = leat_precharge_bank_of(gas, mill);
	double share = day->precharge_sum / day->admitted_s;
	/* Gas of which nobody ever knows how warm it is needs no word of it each day. */
	bool heated = of->series[LEAT_PRECHARGE_SLOT_OIL] != LEAT_NAME_NONE || !isnan(own->plate.working_c);
	enum leat_quality quality;

	if (of->series[LEAT_PRECHARGE_SLOT_STATE] == LEAT_NAME_NONE ||
	    of->series[LEAT_PRECHARGE_SLOT_PRESSURE] == LEAT_NAME_NONE || !(day->known_s > 0) || isnan(bank.bar))
		return;
	own->day.uncertain = bank.uncertain;
	gas->days++;
	if (gas->explain) {
		leat_precharge_explain_day(gas, mill);
		return;
	}
	quality = leat_precharge_worth(own, day->admitted_s, day->good_s, day->grinding_s);
	if (heated && day->grinding_s > 0) {
		row(gas, gas->day_end, of->asset, "precharge-working", share, 2, "bar", quality);
		row(gas, gas->day_end, of->asset, "precharge-ratio", day->precharge_sum / day->pressure_sum, 3, "1", quality);
		row(gas, gas->day_end, of->asset, "lowest-pressure-ratio", day->lowest.ratio, 3, "1", quality);
		row(gas, gas->day_end, of->asset, "highest-pressure-ratio", day->highest.ratio, 3, "1", quality);
	}
	if (heated)
		write_hammer(gas, own, of->asset, leat_precharge_week(own, gas->day_end));
	write_valve(gas, own, of->asset);
}
