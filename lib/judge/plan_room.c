/*
 * What accumulators give back to the tank when the pressure is let off, and whether the tank has the room for it.
 *
 * Oil in tank and accumulators together stays what it is, whatever the pressure: it is reckoned from a level and the pressure
 * of the same moment, and all of it must go into the tank.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "judge/plan_private.h"
#include "physics/accumulator.h"
#include "physics/fill_plan.h"
#include "stats/order.h"

/* The shells of a mill, with the gas that each was last read to have. */
struct bank {
	double *amount_mol;
	size_t shells, read;
	double shell_l, precharge_bar, air_bara;
};

static bool
add_shell(struct bank *bank, double precharge_bar)
{
	return leat_gas_amount(precharge_bar, 20, bank->shell_l, bank->air_bara, &bank->amount_mol[bank->shells++]) == 0;
}

/* The shells of the mill that were ever read, each once, up to as many as there are; then those of which nothing is known
 * but their precharge. */
static bool
fill_bank(const struct leat_plan *plan, struct leat_span mill, size_t shells, struct bank *bank)
{
	const struct leat_logbook *book = plan->form.of->book;
	struct leat_names seen = { 0 };
	bool good = true;

	for (size_t i = 0; i < book->count && bank->shells < shells; i++) {
		const struct leat_log_entry *e = &book->entry[i];
		size_t before = seen.count;
		double bar;

		if (!leat_span_is(e->point, "gas-pressure") || !leat_asset_within(e->asset, mill) ||
		    leat_names_put(&seen, e->asset) == LEAT_NAME_NONE || seen.count == before ||
		    !leat_plan_precharge(plan, e->asset, bank->precharge_bar, &bar))
			continue;
		good = add_shell(bank, bar) && good;
		bank->read++;
	}
	while (bank->shells < shells)
		good = add_shell(bank, bank->precharge_bar) && good;
	leat_names_free(&seen);
	return good;
}

/* The oil in the shells at that pressure, with the gas as warm as at work; NaN beyond the equation of state. */
static double
held_l(const struct bank *bank, double pressure_bar)
{
	double litres = 0, gas_l;

	for (size_t i = 0; i < bank->shells; i++) {
		/* At no pressure the gas has its shell to itself, and the equation of state no need to say so. */
		if (pressure_bar <= 0)
			continue;
		if (leat_gas_volume(bank->amount_mol[i], pressure_bar, LEAT_PLAN_WARM_C, bank->air_bara, &gas_l) != 0)
			return NAN;
		litres += fmax(0, bank->shell_l - gas_l);
	}
	return litres;
}

static bool
bank_of(const struct leat_plan *plan, struct leat_span mill, struct bank *bank)
{
	double shells;

	*bank = (struct bank){ .air_bara = leat_plan_air_bara(plan) };
	if (!leat_plan_property(plan, mill, "shell-volume", &bank->shell_l) || !leat_plan_property(plan, mill, "shells", &shells) ||
	    !leat_plan_property(plan, mill, "precharge", &bank->precharge_bar) || !(shells >= 0 && shells < 1000))
		return false;
	bank->amount_mol = calloc((size_t)shells + 1, sizeof(*bank->amount_mol));
	return bank->amount_mol != NULL && fill_bank(plan, mill, (size_t)shells, bank);
}

/* What is known of the tank: all oil that must go into it, and how much it takes. */
struct room {
	size_t readings;
	bool pressed;			/* the pressure at the readings is known */
	struct leat_time time, last;	/* of the newest used; of any */
	double level_mm, pressure_bar;	/* their medians */
	double over_l;			/* what the tank does not take; below zero: what is left over of its room */
	const char *lack;		/* why it cannot be told; NULL: it can */
};

static struct room
room_of(const struct leat_plan *plan, struct leat_span mill, const struct bank *bank, double set_bar)
{
	double full_mm, area_m2, over[LEAT_LEVELS_KEPT], level[LEAT_LEVELS_KEPT], pressure[LEAT_LEVELS_KEPT];
	struct room r = { .over_l = NAN, .last = LEAT_TIME_NONE };
	struct leat_level list[LEAT_LEVELS_KEPT];

	if (!leat_plan_property(plan, mill, "tank-full-level", &full_mm) || !leat_plan_property(plan, mill, "tank-area", &area_m2)) {
		r.lack = "the nameplate has no tank-full-level or no tank-area";
		return r;
	}
	if (plan->form.levels != NULL)
		r.readings = leat_levels_of(plan->form.levels, mill, plan->now, list, &r.last);
	if (r.readings == 0) {
		r.lack = leat_time_is_none(r.last) ? "no level of its tank is among the readings" : "its level was not read of late";
		return r;
	}
	r.time = list[r.readings - 1].time;
	r.pressed = true;
	for (size_t i = 0; i < r.readings; i++) {
		r.pressed = r.pressed && !isnan(list[i].pressure_bar);
		level[i] = list[i].level_mm;
		pressure[i] = list[i].pressure_bar;
		/* mm m2 are litres.  Without a pressure the shells may be as full as they come. */
		over[i] = (level[i] - full_mm) * area_m2 + held_l(bank, isnan(pressure[i]) ? set_bar : pressure[i]);
	}
	r.level_mm = leat_median(level, r.readings);
	r.pressure_bar = r.pressed ? leat_median(pressure, r.readings) : NAN;
	r.over_l = leat_median(over, r.readings);
	if (isnan(r.over_l))
		r.lack = "its pressure lies beyond the equation of state";
	return r;
}

static void
add_source(char *dst, size_t size, const struct leat_plan *plan, const struct room *r)
{
	struct leat_civil c = leat_zone_civil(leat_nameplate_zone(plan->form.of->np), r->time);
	size_t len = strlen(dst);

	len += (size_t)snprintf(dst + len, size - len, "level %.0f mm", r->level_mm);
	if (r->pressed)
		len += (size_t)snprintf(dst + len, size - len, " at %.1f bar", r->pressure_bar);
	else
		len += (size_t)snprintf(dst + len, size - len, ", its pressure not known and taken to be the set one");
	snprintf(dst + len, size - len, ", %s%zu reading%s to %04d-%02d-%02d %02d:%02d", r->readings > 1 ? "median of " : "",
	    r->readings, r->readings == 1 ? "" : "s", c.year, c.month, c.day, c.hour, c.minute);
}

/* Does it fit, and if not, what must go first?  litres: what comes back at the set pressure. */
static void
tell_room(const struct leat_plan *plan, const struct room *r, double litres, double drain_l, leat_plan_needed *needed,
    void *user)
{
	struct leat_plan_need n = { .row = "oil", .name = LEAT_SPAN("room"), .quantity = litres - r->over_l, .decimals = 1,
		.unit = "L", .by = LEAT_DAY_NONE };
	size_t size = sizeof(n.message);
	double drain_first_l = ceil(r->over_l - 1e-9);

	if (r->lack != NULL) {
		n.quantity = NAN;
		n.choice = "unknown";
		snprintf(n.message, size, "cannot tell whether it fits: %s; read the level before the pressure is let off and see "
		    "that the tank has the room", r->lack);
		needed(user, &n);
		return;
	}
	n.choice = r->over_l <= 0 ? "fits" : "lacks";
	snprintf(n.message, size, r->over_l <= 0 ? "it fits, %.0f L are left over: " : "it does not fit, %.0f L too much: ",
	    r->over_l <= 0 ? floor(-r->over_l) : drain_first_l);
	add_source(n.message, size, plan, r);
	needed(user, &n);
	if (r->over_l <= 0)
		return;
	snprintf(n.message, size, "let it off the tank into clean, dry drums (%.0f) before the pressure is let off, then that "
	    "slowly, with an eye on the level", leat_drums(drain_first_l, plan->form.drum_l, LEAT_WASTE_SHARE));
	if (drain_l > 0)
		snprintf(n.message + strlen(n.message), size - strlen(n.message), "; it is part of what is drained at this stop");
	n.name = LEAT_SPAN("drained-first");
	n.choice = "";
	n.quantity = drain_first_l;
	n.decimals = 0;
	needed(user, &n);
}

static void
tell_returned(const struct leat_plan *plan, struct leat_span mill, double drain_l, leat_plan_needed *needed, void *user)
{
	char message[300];
	double litres = NAN, area_m2, set_bar;
	struct bank bank;
	struct room room;
	bool known = bank_of(plan, mill, &bank) && leat_plan_property(plan, mill, "set-pressure", &set_bar);

	if (known)
		litres = held_l(&bank, set_bar);
	if (isnan(litres)) {
		leat_plan_tell(needed, user, "oil", "returned", NAN, 0, "L", "the accumulators give oil back to the tank first; how "
		    "much cannot be told without shell-volume, shells, precharge and set-pressure of the nameplate");
		free(bank.amount_mol);
		return;
	}
	snprintf(message, sizeof(message), "the accumulators give it back to the tank first");
	if (leat_plan_property(plan, mill, "tank-area", &area_m2) && area_m2 > 0)
		snprintf(message + strlen(message), sizeof(message) - strlen(message), ", %.0f mm of level", litres / area_m2);
	snprintf(message + strlen(message), sizeof(message) - strlen(message), "; gas of %zu of %zu shells as last read%s",
	    bank.read, bank.shells, bank.read < bank.shells ? ", of the rest as their precharge" : "");
	leat_plan_tell(needed, user, "oil", "returned", litres, 1, "L", message);
	room = room_of(plan, mill, &bank, set_bar);
	tell_room(plan, &room, litres, drain_l, needed, user);
	free(bank.amount_mol);
}

void
leat_plan_room(const struct leat_plan *plan, const struct leat_plan_stop *s, double drain_l, leat_plan_needed *needed,
    void *user)
{
	for (size_t bit = 0; bit < ISOLATIONS; bit++)
		if ((s->isolations >> bit & 1) != 0 && leat_span_is(leat_plan_isolation(plan, bit), "pressure")) {
			tell_returned(plan, s->mill, drain_l, needed, user);
			return;
		}
}
