/* The nitrogen of accumulators: how much a shell loses in a month, by its readings since it was filled. */
#include <math.h>

#include "derive/precharge_private.h"
#include "derive/works_day.h"
#include "physics/nitrogen.h"
#include "stats/line.h"

/* In percent of what there is, of a change of the logarithm in so many months. */
static double
percent_lost(double ln_per_month)
{
	return 100 * -expm1(ln_per_month);
}

/* Each gauging lets gas out, which is no leak: it is given back to the readings that come after it. */
static int
fit(const struct leat_precharge_shell *shell, struct leat_precharge_loss *loss, struct leat_error *err)
{
	double months[LEAT_PRECHARGE_KEPT], ln[LEAT_PRECHARGE_KEPT], slope;
	double gauging = -log1p(-loss->gauging_percent / 100);
	size_t n = shell->keeps;

	loss->readings = n;
	loss->percent_month = loss->newest_percent_month = NAN;
	if (n == 0)
		return 0;
	memcpy(loss->kept, shell->kept, n * sizeof(shell->kept[0]));
	loss->from = shell->kept[0].at;
	loss->to = shell->kept[n - 1].at;
	if (n < 2 || leat_time_diff(loss->to, loss->from) < loss->least_d * 86400)
		return 0;
	for (size_t i = 0; i < n; i++) {
		months[i] = leat_time_diff(shell->kept[i].at, loss->from) / LEAT_PRECHARGE_MONTH_S;
		ln[i] = shell->kept[i].ln_mol_l + (double)i * gauging;
	}
	if (leat_line_slope(months, ln, n, &slope, err) != 0)
		return -1;
	loss->percent_month = percent_lost(slope);
	loss->newest_percent_month = percent_lost((ln[n - 1] - ln[n - 2]) / (months[n - 1] - months[n - 2]));
	return 0;
}

/* One reading a works' day: who reads twice has made sure, or an instrument reads for him. */
static void
keep(const struct leat_precharge *gas, struct leat_precharge_shell *shell, struct leat_time at, double ln_mol_l)
{
	struct leat_precharge_kept *newest = shell->keeps > 0 ? &shell->kept[shell->keeps - 1] : NULL;

	if (newest == NULL || leat_time_cmp(newest->at, gas->day_start) <= 0) {
		if (shell->keeps == LEAT_PRECHARGE_KEPT)
			memmove(&shell->kept[0], &shell->kept[1], --shell->keeps * sizeof(shell->kept[0]));
		newest = &shell->kept[shell->keeps++];
	}
	*newest = (struct leat_precharge_kept){ at, ln_mol_l };
	while (leat_time_diff(at, shell->kept[0].at) > LEAT_PRECHARGE_LOSS_S)
		memmove(&shell->kept[0], &shell->kept[1], --shell->keeps * sizeof(shell->kept[0]));
}

static bool
is_of(struct leat_span entry, struct leat_span shell)
{
	return leat_span_eq(entry, shell) || leat_span_eq(entry, leat_asset_mill(shell));
}

/* The last filling since the reading before; NULL: none. */
static const struct leat_log_entry *
find_filling(const struct leat_precharge *gas, struct leat_precharge_shell *shell)
{
	const struct leat_log_entry *found = NULL;

	for (; gas->book != NULL && shell->book_next < gas->book->count; shell->book_next++) {
		const struct leat_log_entry *e = &gas->book->entry[shell->book_next];

		if (leat_time_cmp(e->time, shell->read.at) > 0)
			break;
		if (strcmp(e->event->name, "gas-fill") != 0 || !is_of(e->asset, shell->asset))
			continue;
		/* Of two fillings without a reading between, the second found what the first had left. */
		if (found != NULL)
			shell->keeps = 0;
		found = e;
	}
	return found;
}

/* What a filling found is the last of the gas before it: known by the thermometer of the reading that came with it. */
static void
take_found(const struct leat_precharge *gas, struct leat_precharge_shell *shell, struct leat_precharge_result *result,
    const struct leat_log_entry *e)
{
	struct leat_precharge_loss *loss = &result->loss;
	double bar, mol_l;

	loss->filled = true;
	loss->filled_at = e->time;
	if (e->found.len == 0 || e->unit == NULL || !leat_unit_same_dimension(e->unit, gas->bar) ||
	    !leat_span_is(e->point, "gas-pressure") || leat_double_parse(e->found, &bar) != 0 ||
	    fabs(leat_time_diff(e->time, shell->read.at)) > LEAT_PRECHARGE_TOGETHER_S || result->quality != LEAT_GOOD)
		return;
	bar = leat_unit_convert(e->unit, gas->bar, bar);
	if (leat_nitrogen_density(bar + result->air_bara, result->gas_c + LEAT_ZERO_C_K, &mol_l) != 0 || !(mol_l > 0))
		return;
	loss->found = true;
	loss->found_bar = bar;
	keep(gas, shell, e->time, log(mol_l));
}

int
leat_precharge_follow(struct leat_precharge *gas, struct leat_precharge_shell *shell,
    struct leat_precharge_result *result, struct leat_error *err)
{
	struct leat_precharge_loss *loss = &result->loss;
	const struct leat_log_entry *filling = find_filling(gas, shell);
	double ln_mol_l = log(result->density_mol_l);

	loss->least_d = leat_precharge_plate_number(gas, shell->asset, "gas-loss-least", result->at);
	loss->gauging_percent = leat_precharge_plate_number(gas, shell->asset, "gauging-loss", result->at);
	loss->rise_percent = leat_precharge_plate_number(gas, shell->asset, "gas-rise", result->at);
	loss->percent_month = loss->newest_percent_month = NAN;
	if (filling != NULL) {
		take_found(gas, shell, result, filling);
		if (loss->found && fit(shell, loss, err) != 0)
			return -1;
		shell->keeps = 0;
	}
	/* What is doubtful does not count; a shell without gas has no logarithm. */
	if (result->quality != LEAT_GOOD || !isfinite(ln_mol_l))
		return 0;
	if (shell->keeps > 0 && ln_mol_l - shell->kept[shell->keeps - 1].ln_mol_l > log1p(loss->rise_percent / 100)) {
		loss->rose = true;
		shell->keeps = 0;
	}
	keep(gas, shell, shell->read.at, ln_mol_l);
	return loss->found ? 0 : fit(shell, loss, err);
}
