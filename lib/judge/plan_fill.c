/* Oil and nitrogen that the tasks of a stop take. */
#include <math.h>
#include <stdio.h>

#include "judge/plan_private.h"
#include "physics/accumulator.h"
#include "physics/fill_plan.h"
#include "physics/nitrogen.h"
#include "upkeep/needs.h"

/* A gauge that shows more than this many times the precharge was read under oil pressure: common practice. */
#define UNDER_LOAD 1.2

bool
leat_plan_property(const struct leat_plan *plan, struct leat_span asset, const char *name, double *out)
{
	return leat_nameplate_number(plan->form.of->np, asset, name, plan->now, out) == 0;
}

double
leat_plan_air_bara(const struct leat_plan *plan)
{
	double altitude_m = 0;

	if (!leat_plan_property(plan, leat_span_make("", 0), "altitude", &altitude_m))
		altitude_m = 0;
	return leat_atmosphere_bara(altitude_m);
}

void
leat_plan_tell(leat_plan_needed *needed, void *user, const char *row, const char *name, double quantity, int decimals,
    const char *unit, const char *message)
{
	struct leat_plan_need n = { .row = row, .name = leat_span_of(name), .choice = "", .quantity = quantity,
		.decimals = decimals, .unit = unit, .by = LEAT_DAY_NONE };

	snprintf(n.message, sizeof(n.message), "%s", message);
	needed(user, &n);
}

/* The litres of all tasks that drain, or renew; NaN where one means the tank and the nameplate has no volume. */
static double
litres_of(const struct leat_plan *plan, const struct leat_plan_stop *s, enum leat_need wanted)
{
	double total = 0, litres, tank_l;

	for (size_t i = 0; i < s->taken; i++) {
		struct leat_span rest = s->task[i].item->task->needs, word, more;
		enum leat_need need;

		while (leat_needs_next(&rest, &word)) {
			if (leat_need_word(word, &need, &more, &litres) != 0 || need != wanted)
				continue;
			if (litres <= 0)
				litres = leat_plan_property(plan, s->task[i].item->asset, "tank-volume", &tank_l) ? tank_l : NAN;
			total += litres;
		}
	}
	return total;
}

void
leat_plan_oil(const struct leat_plan *plan, const struct leat_plan_stop *s, leat_plan_needed *needed, void *user)
{
	double drain_l = litres_of(plan, s, LEAT_NEED_DRAIN), renew_l = litres_of(plan, s, LEAT_NEED_RENEW);
	double drum_l = plan->form.drum_l;

	leat_plan_room(plan, s, drain_l, needed, user);
	if (isnan(drain_l) || isnan(renew_l)) {
		leat_plan_tell(needed, user, "oil", "drained", NAN, 0, "L", "cannot be told: the nameplate has no tank-volume");
		return;
	}
	if (drain_l > 0) {
		leat_plan_tell(needed, user, "oil", "drained", drain_l, 1, "L", "let out and filled in again, through the filling filter");
		leat_plan_tell(needed, user, "oil", "clean-drums", leat_drums(drain_l, drum_l, LEAT_WASTE_SHARE), 0, "1",
		    "clean and dry, to keep it; filled to 95 %");
	}
	if (renew_l > 0) {
		leat_plan_tell(needed, user, "oil", "renewed", renew_l, 1, "L", "10 to 20 % of the old oil stays in lines and cylinders");
		leat_plan_tell(needed, user, "oil", "new-oil", leat_new_oil_l(renew_l), 1, "L", "with a tenth for flushing");
		leat_plan_tell(needed, user, "oil", "new-drums", leat_drums(leat_new_oil_l(renew_l), drum_l, 1), 0, "1",
		    "to be filled in through the filling filter");
		leat_plan_tell(needed, user, "oil", "waste-drums", leat_drums(renew_l, drum_l, LEAT_WASTE_SHARE), 0, "1", "filled to 95 %");
	}
}

bool
leat_plan_precharge(const struct leat_plan *plan, struct leat_span asset, double precharge_bar, double *bar)
{
	const struct leat_logbook *book = plan->form.of->book;
	const struct leat_unit *unit = leat_unit_find(LEAT_SPAN("bar")), *degree = leat_unit_find(LEAT_SPAN("degC"));

	for (size_t i = book->count; i > 0; i--) {
		const struct leat_log_entry *e = &book->entry[i - 1];
		double gas_bar, temp_c = 20, value;

		if (!leat_span_eq(e->asset, asset) || !leat_span_is(e->point, "gas-pressure") || e->unit == NULL ||
		    !leat_unit_same_dimension(e->unit, unit) || leat_double_parse(leat_log_entry_value(e), &value) != 0)
			continue;
		gas_bar = leat_unit_convert(e->unit, unit, value);
		for (size_t k = 0; k < book->count; k++) {
			const struct leat_log_entry *t = &book->entry[k];

			if (leat_time_cmp(t->time, e->time) == 0 && leat_span_eq(t->asset, asset) &&
			    leat_span_is(t->point, "gas-temperature") && t->unit != NULL && leat_unit_same_dimension(t->unit, degree) &&
			    leat_double_parse(leat_log_entry_value(t), &value) == 0)
				temp_c = leat_unit_convert(t->unit, degree, value);
		}
		if (gas_bar <= precharge_bar * UNDER_LOAD && leat_nitrogen_warmed(gas_bar, temp_c, 20, leat_plan_air_bara(plan), bar) == 0)
			return true;
	}
	return false;
}

struct gas {
	double amount_mol;
	size_t shells, unread;
	bool failed;
};

static void
add_shell(const struct leat_plan *plan, struct leat_span asset, bool empty, double precharge_bar, double shell_l,
    struct gas *gas)
{
	double full_mol = 0, there_mol = 0, bar = 0, air = leat_plan_air_bara(plan);

	if (!empty && !leat_plan_precharge(plan, asset, precharge_bar, &bar)) {
		gas->unread++;
		bar = 0;
	}
	/* An empty shell holds gas at the pressure of the air. */
	gas->failed = gas->failed || leat_gas_amount(precharge_bar, 20, shell_l, air, &full_mol) != 0 ||
	    leat_gas_amount(bar, 20, shell_l, air, &there_mol) != 0;
	gas->amount_mol += fmax(0, full_mol - there_mol);
	gas->shells++;
}

/* The accumulators of a task: the asset itself, or those of its mill that were ever read. */
static void
add_shells(const struct leat_plan *plan, const struct leat_due_item *item, bool empty, double precharge_bar, double shell_l,
    struct gas *gas)
{
	const struct leat_logbook *book = plan->form.of->book;
	struct leat_names seen = { 0 };
	double shells;

	for (size_t i = 0; i < book->count; i++) {
		const struct leat_log_entry *e = &book->entry[i];
		size_t before = seen.count;

		if (leat_span_is(e->point, "gas-pressure") && leat_asset_within(e->asset, item->asset) &&
		    leat_names_put(&seen, e->asset) != LEAT_NAME_NONE && seen.count > before)
			add_shell(plan, e->asset, empty, precharge_bar, shell_l, gas);
	}
	/* Of shells that nobody ever read nothing is known: they are taken as empty. */
	if (!leat_plan_property(plan, item->asset, "shells", &shells) || leat_span_find(item->asset, '/') < item->asset.len)
		shells = 1;
	while (!gas->failed && (double)gas->shells < shells)
		add_shell(plan, leat_span_make("", 0), empty, precharge_bar, shell_l, gas);
	leat_names_free(&seen);
}

static void
tell_nitrogen(const struct leat_plan *plan, const struct leat_due_item *item, bool empty, leat_plan_needed *needed,
    void *user)
{
	struct gas gas = { 0 };
	double precharge_bar, shell_l, bottles;
	char message[240];

	if (!leat_plan_property(plan, item->asset, "precharge", &precharge_bar) ||
	    !leat_plan_property(plan, item->asset, "shell-volume", &shell_l)) {
		leat_plan_tell(needed, user, "nitrogen", "bottles", NAN, 0, "1", "cannot be told: the nameplate has no precharge or no "
		    "shell-volume");
		return;
	}
	add_shells(plan, item, empty, precharge_bar, shell_l, &gas);
	if (gas.failed || leat_bottles(gas.amount_mol, precharge_bar, leat_plan_air_bara(plan), &bottles) != 0) {
		leat_plan_tell(needed, user, "nitrogen", "bottles", NAN, 0, "1", "cannot be told: beyond the equation of state, or no "
		    "bottle of 200 bar fills so high");
		return;
	}
	snprintf(message, sizeof(message), "dry nitrogen, %zu shells of %.0f L to %.0f bar at 20 degC%s", gas.shells, shell_l,
	    precharge_bar, empty ? ", from nothing" : ", from what was last logged");
	if (gas.unread > 0)
		snprintf(message + strlen(message), sizeof(message) - strlen(message), "; %zu never read, taken as empty", gas.unread);
	leat_plan_tell(needed, user, "nitrogen", "amount", gas.amount_mol, 0, "mol", message);
	snprintf(message, sizeof(message), "of 50 L, from 200 bar down to %.0f bar: %.2f of them",
	    fmax(LEAT_BOTTLE_LEFT_BAR, precharge_bar + LEAT_BOTTLE_ABOVE_BAR), bottles);
	leat_plan_tell(needed, user, "nitrogen", "bottles", ceil(bottles - 1e-9), 0, "1", message);
}

void
leat_plan_nitrogen(const struct leat_plan *plan, const struct leat_plan_stop *s, leat_plan_needed *needed, void *user)
{
	for (size_t i = 0; i < s->taken; i++) {
		struct leat_span rest = s->task[i].item->task->needs, word, more;
		enum leat_need need;
		double litres;

		while (leat_needs_next(&rest, &word))
			if (leat_need_word(word, &need, &more, &litres) == 0 && need == LEAT_NEED_NITROGEN)
				tell_nitrogen(plan, s->task[i].item, more.len > 0, needed, user);
	}
}
