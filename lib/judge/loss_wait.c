/* What waiting costs: the findings of the night, by what each is about. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "judge/loss_private.h"
#include "physics/cost.h"

#define DAY_S 86400.0
/* A trend is not carried on for longer than it was seen. */
#define GROWTH_DAYS LEAT_LOSS_DAYS

/* Which points are about what.  "x-" stands for all that begin so. */
static const struct {
	const char *point;
	enum leat_loss_cost cost;
} about[] = {
	{ "setpoint-shift", LEAT_LOSS_COST_SETPOINT },
	{ "pressure", LEAT_LOSS_COST_PRESSURE }, { "pressure-attainment", LEAT_LOSS_COST_PRESSURE },
	{ "pressure-deviation", LEAT_LOSS_COST_PRESSURE }, { "pressure-low-spell", LEAT_LOSS_COST_PRESSURE },
	{ "grinding-force", LEAT_LOSS_COST_PRESSURE },
	{ "drain-flow", LEAT_LOSS_COST_PUMP }, { "drain-flow-corrected", LEAT_LOSS_COST_PUMP },
	{ "slot-flow", LEAT_LOSS_COST_PUMP },
	{ "internal-leakage", LEAT_LOSS_COST_INTERNAL }, { "leakage-excess", LEAT_LOSS_COST_INTERNAL },
	{ "pump-up-", LEAT_LOSS_COST_INTERNAL }, { "seal-leakage", LEAT_LOSS_COST_INTERNAL },
	{ "seal-leakage-", LEAT_LOSS_COST_INTERNAL }, { "pump-start-frequency", LEAT_LOSS_COST_INTERNAL },
	{ "filter-dp", LEAT_LOSS_COST_FILTER }, { "filter-dp-", LEAT_LOSS_COST_FILTER },
	{ "bypass-", LEAT_LOSS_COST_FILTER },
	{ "cooler-", LEAT_LOSS_COST_COOLER }, { "summer-headroom", LEAT_LOSS_COST_COOLER },
	{ "thermostat-", LEAT_LOSS_COST_COOLER }, { "hunting-", LEAT_LOSS_COST_COOLER },
	{ "oil-temperature", LEAT_LOSS_COST_COOLER }, { "oil-temperature-", LEAT_LOSS_COST_COOLER },
	{ "oil-hot-time", LEAT_LOSS_COST_COOLER },
	{ "gas-", LEAT_LOSS_COST_GAS }, { "precharge-", LEAT_LOSS_COST_GAS }, { "hammer-", LEAT_LOSS_COST_GAS },
	{ "shells-shut", LEAT_LOSS_COST_GAS }, { "lowest-pressure-ratio", LEAT_LOSS_COST_GAS }
};

/* Rules about the readings themselves, or about what was logged: they tell of no cost. */
static const char *const no_cost[] = {
	"stale", "frozen", "gap", "impossible-", "unlogged-work", "drain-meter", "gauge-drift", "cost-of-waiting"
};

const char *
leat_loss_cost_point(enum leat_loss_cost cost)
{
	static const char *const point[LEAT_LOSS_COSTS] = {
		"setpoint-shift", "pressure", "drain-flow-corrected", "internal-leakage", "filter-dp-corrected", "cooler-ua",
		"gas-amount"
	};

	return point[cost];
}

static bool
is_open(const struct leat_loss *loss, const struct leat_finding *f)
{
	if ((f->status != LEAT_STATUS_ALERT && f->status != LEAT_STATUS_ALARM) ||
	    (!leat_time_is_none(f->until) && leat_time_cmp(f->until, loss->now) <= 0))
		return false;
	if (leat_span_ends(f->rule, "-step"))
		return false;
	for (size_t i = 0; i < sizeof(no_cost) / sizeof(no_cost[0]); i++)
		if (leat_span_starts(f->rule, no_cost[i]))
			return false;
	return true;
}

static bool
cost_of(const struct leat_finding *f, enum leat_loss_cost *cost)
{
	struct leat_span point = leat_span_make(f->point.ptr, leat_span_find(f->point, '.'));

	for (size_t i = 0; i < sizeof(about) / sizeof(about[0]); i++) {
		const char *name = about[i].point;

		if (name[strlen(name) - 1] == '-' ? leat_span_starts(point, name) : leat_span_is(point, name)) {
			*cost = about[i].cost;
			return true;
		}
	}
	return false;
}

/* What pressure and the oil of a mill cost is told of the mill, the rest where it is. */
static struct leat_span
place_of(const struct leat_finding *f, enum leat_loss_cost cost)
{
	bool whole = cost == LEAT_LOSS_COST_SETPOINT || cost == LEAT_LOSS_COST_PRESSURE || cost == LEAT_LOSS_COST_INTERNAL;

	return whole ? leat_asset_mill(f->asset) : f->asset;
}

static const struct leat_loss_leak *
leak_of(const struct leat_loss *loss, enum leat_loss_cost cost, struct leat_span asset)
{
	for (size_t i = 0; i < loss->leaks; i++) {
		const struct leat_loss_leak *leak = &loss->leak[i];
		enum leat_loss_cost of = leak->kind == LEAT_LOSS_PUMP ? LEAT_LOSS_COST_PUMP :
		    leak->kind == LEAT_LOSS_INTERNAL ? LEAT_LOSS_COST_INTERNAL : LEAT_LOSS_COST_FILTER;

		if (of == cost && leat_span_eq(leak->asset, asset))
			return leak;
	}
	return NULL;
}

/* Names the finding among those of its kind and place, once however many episodes it has: names holds all that were.  0, or
 * -1 when memory is out. */
static int
add_name(struct leat_loss_wait *w, const struct leat_finding *f, struct leat_names *names)
{
	size_t len = w->explains.len, begin = len > 0 ? len + 1 : 0, count = names->count;

	if ((len > 0 && leat_buf_add(&w->explains, ";", 1) != 0) || leat_finding_name(&w->explains, f) != 0 ||
	    leat_names_put(names, leat_span_make(w->explains.data + begin, w->explains.len - begin)) == LEAT_NAME_NONE)
		return -1;
	if (names->count == count)
		w->explains.len = len;
	return 0;
}

/* Takes a finding to those of its kind and place. */
static void
take(const struct leat_loss *loss, const struct leat_finding *f, struct leat_loss_wait *w)
{
	bool first = w->explains.len == 0;
	const struct leat_unit *unit = f->unit.len > 0 ? leat_unit_find(f->unit) : NULL;

	if (first || leat_time_cmp(f->since, w->since) < 0)
		w->since = f->since;
	if (!leat_time_is_none(f->due) && leat_time_cmp(f->due, loss->now) > 0 &&
	    (leat_time_is_none(w->due) || leat_time_cmp(f->due, w->due) < 0))
		w->due = f->due;
	if (leat_span_is(f->point, leat_loss_cost_point(w->cost)) && !isnan(f->baseline) && unit != NULL) {
		double base = leat_unit_convert(unit, w->cost == LEAT_LOSS_COST_FILTER ? loss->bar : loss->lpm, f->baseline);

		w->baseline = isnan(base) ? w->baseline : base;
	}
}

/* Until when it waits: the mill's next planned stop, else the do-by date. */
static void
find_stop(const struct leat_loss *loss, struct leat_loss_wait *w)
{
	struct leat_span mill = leat_asset_mill(w->asset);

	w->stop = w->due;
	w->planned = false;
	for (size_t i = 0; loss->form.stops != NULL && i < loss->form.stops->count; i++) {
		const struct leat_stop *stop = &loss->form.stops->row[i];

		if (leat_time_cmp(stop->start, loss->now) > 0 && leat_stop_planned(stop, mill)) {
			w->stop = stop->start;
			w->planned = true;
			return;
		}
	}
}

static double
days_to_stop(const struct leat_loss *loss, const struct leat_loss_wait *w)
{
	return leat_time_is_none(w->stop) ? NAN : leat_time_diff(w->stop, loss->now) / DAY_S;
}

static const struct leat_loss_mill *
mill_of(const struct leat_loss *loss, struct leat_span asset)
{
	uint32_t id = leat_names_get(&loss->mill_names, leat_asset_mill(asset));

	return id == LEAT_NAME_NONE ? NULL : &loss->mill[id];
}

/* The last works' days for which it has been open, LEAT_LOSS_RECENT at most. */
static size_t
days_open(const struct leat_loss *loss, const struct leat_loss_wait *w)
{
	size_t days = 1, most = loss->days < LEAT_LOSS_RECENT ? loss->days : LEAT_LOSS_RECENT;

	while (days < most && (leat_time_is_none(w->since) ||
	    leat_time_cmp(loss->end[(loss->days - 1 - days) % LEAT_LOSS_RING], w->since) > 0))
		days++;
	return days;
}

/* The feed that is lost in a day, as the last days had it. */
static void
reckon_feed(struct leat_loss *loss, struct leat_loss_wait *w)
{
	const struct leat_loss_mill *mill = mill_of(loss, w->asset);
	struct leat_loss_prices prices;
	const double *t = w->cost == LEAT_LOSS_COST_SETPOINT ? w->recent.lowered_t : w->recent.unheld_t;

	if (mill == NULL || mill->state == LEAT_NAME_NONE || mill->pressure == LEAT_NAME_NONE || loss->days == 0)
		return;
	w->days = days_open(loss, w);
	leat_loss_of_days(loss, mill, w->days, &w->recent);
	leat_loss_prices_of(loss, w->asset, &prices);
	w->told = (w->recent.low_h == 0 || w->recent.told_h > 0) && !leat_loss_unseen(&w->recent);
	snprintf(w->unit, sizeof(w->unit), "%s", isnan(prices.tonne) ? "t" : prices.currency);
	for (int end = 0; end < LEAT_LOSS_ENDS; end++) {
		double all = leat_loss_tonnes(&w->recent, end), part = all > 0 ? t[end] / all : 0;

		w->per_day[end] = (isnan(prices.tonne) ? all : w->recent.money[end]) * part / (double)w->days;
		w->until[end] = w->per_day[end] * days_to_stop(loss, w);
	}
}

/* The power of a leak now and at the stop: only what is more than as new is saved by mending it.  Where nobody knows what
 * that was, it may be nothing or all. */
static void
reckon_power(const struct leat_loss *loss, struct leat_loss_wait *w)
{
	const struct leat_loss_power *p = &w->power;
	double share[LEAT_LOSS_ENDS], base = isnan(w->baseline) ? leat_loss_as_new(loss, w->leak) : w->baseline;
	double ahead = fmin(days_to_stop(loss, w), GROWTH_DAYS);
	bool grows = p->slope[LEAT_LOSS_LOW] > 0;

	leat_loss_efficiency(loss, w->leak->asset, share);
	w->baseline = base;
	for (int end = 0; end < LEAT_LOSS_ENDS; end++) {
		double more = !grows || isnan(ahead) ? 0 : p->slope[end] * ahead;

		w->excess[end] = isnan(base) ? (end == LEAT_LOSS_LOW ? 0 : p->level) : fmax(0, p->level - base);
		w->kw[end] = leat_cost_power_kw(w->excess[end], p->bar) / share[end];
		w->kw_stop[end] = leat_cost_power_kw(w->excess[end] + more, p->bar) / share[end];
	}
}

static int
reckon_leak(struct leat_loss *loss, struct leat_loss_wait *w)
{
	struct leat_loss_prices prices;
	double days = days_to_stop(loss, w), rate;

	w->leak = leak_of(loss, w->cost, w->asset);
	if (w->leak == NULL)
		return 0;
	if (leat_loss_power_of(loss, w->leak, LEAT_LOSS_DAYS, &w->power) != 0)
		return -1;
	if (isnan(w->power.level) || isnan(w->power.bar) || isnan(w->power.hours_a_day))
		return 0;
	reckon_power(loss, w);
	leat_loss_prices_of(loss, w->asset, &prices);
	rate = isnan(prices.kwh) ? 1 : prices.kwh;
	w->told = true;
	snprintf(w->unit, sizeof(w->unit), "%s", isnan(prices.kwh) ? "kWh" : prices.currency);
	for (int end = 0; end < LEAT_LOSS_ENDS; end++) {
		double grown = fmin(days, GROWTH_DAYS), mean = (w->kw[end] + w->kw_stop[end]) / 2;

		w->per_day[end] = w->kw[end] * w->power.hours_a_day * rate;
		w->until[end] = (mean * grown + w->kw_stop[end] * (days - grown)) * w->power.hours_a_day * rate;
	}
	return 0;
}

static int
reckon(struct leat_loss *loss, struct leat_loss_wait *w)
{
	for (int end = 0; end < LEAT_LOSS_ENDS; end++)
		w->per_day[end] = w->until[end] = w->kw[end] = w->kw_stop[end] = NAN;
	find_stop(loss, w);
	if (w->cost == LEAT_LOSS_COST_SETPOINT || w->cost == LEAT_LOSS_COST_PRESSURE)
		reckon_feed(loss, w);
	else if (w->cost != LEAT_LOSS_COST_COOLER && w->cost != LEAT_LOSS_COST_GAS)
		return reckon_leak(loss, w);
	return 0;
}

/* The findings that wait, while they are gathered. */
struct waits {
	struct leat_loss_wait *wait;
	size_t count, cap;
	struct leat_names places;	/* a number for each kind and place, which is that of its wait */
	struct leat_names named;	/* the findings that explains of any of them names */
};

static struct leat_loss_wait *
wait_of(struct waits *all, enum leat_loss_cost cost, struct leat_span asset)
{
	struct leat_buf key = { 0 };
	struct leat_loss_wait *w;
	uint32_t id = LEAT_NAME_NONE;

	if (leat_buf_printf(&key, "%d ", (int)cost) == 0 && leat_buf_add_span(&key, asset) == 0)
		id = leat_names_put(&all->places, leat_buf_span(&key));
	leat_buf_free(&key);
	if (id == LEAT_NAME_NONE)
		return NULL;
	if (id < all->count)
		return &all->wait[id];
	if (leat_grow(&all->wait, &all->cap, all->count + 1, sizeof(*all->wait)) != 0)
		return NULL;
	w = &all->wait[all->count++];
	w->cost = cost;
	w->asset = asset;
	w->baseline = NAN;
	w->due = w->stop = w->since = LEAT_TIME_NONE;
	return w;
}

static int
gather(struct leat_loss *loss, struct waits *all)
{
	const struct leat_findings *findings = loss->form.findings;

	for (size_t i = 0; findings != NULL && i < findings->count; i++) {
		const struct leat_finding *f = &findings->item[i];
		enum leat_loss_cost cost;
		struct leat_loss_wait *w;

		if (!is_open(loss, f))
			continue;
		if (!cost_of(f, &cost)) {
			loss->count.uncosted++;
			continue;
		}
		loss->count.waiting++;
		w = wait_of(all, cost, place_of(f, cost));
		if (w == NULL)
			return -1;
		take(loss, f, w);
		if (add_name(w, f, &all->named) != 0)
			return -1;
	}
	return 0;
}

int
leat_loss_waits(struct leat_loss *loss, struct leat_loss_wait **wait, size_t *count)
{
	struct waits all = { 0 };
	int status = gather(loss, &all);

	leat_names_free(&all.places);
	leat_names_free(&all.named);
	*wait = all.wait;
	*count = all.count;
	for (size_t i = 0; status == 0 && i < *count; i++)
		status = reckon(loss, &(*wait)[i]);
	return status;
}

void
leat_loss_waits_free(struct leat_loss_wait *wait, size_t count)
{
	for (size_t i = 0; i < count; i++)
		leat_buf_free(&wait[i].explains);
	free(wait);
}
