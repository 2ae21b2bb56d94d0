/* Leakage and gas of a mill: holding tests, and the level of the tank at stops. */
#include <math.h>
#include <stdlib.h>

#include "derive/leakage_private.h"
#include "physics/accumulator.h"
#include "physics/leakage.h"
#include "stats/line.h"
#include "stats/order.h"

#define HOLD_LEAST_MIN 30.0	/* of settled gas (common practice) */
#define HOLD_LEAST 10		/* samples */
#define FIRST_LEAST 5		/* readings of the first quarter of an hour, or beyond it */
#define BLEED_BAR 2.0		/* nothing but a bleed-down is so far below the line, and half of its fall */
/* Shells whose temperature is not read cool no faster than this: by a time constant of three hours, in a hall at 20 degC
 * (common practice: 50 L of steel in still air, three to five). */
#define SHELL_LAG_H 3.0
#define HALL_C 20.0
#define SMOOTH_S 3600.0		/* the tank before a stop is smoothed over so long */
#define DRAINED_S 1200.0	/* after which a tank is still again, all oil that was under pressure in it */
#define KNEE_S 604800.0		/* a knee of the same stop, or of one not long ago */
#define LEVEL_LEAST 10		/* readings after that */

static const char *const hold_points[] = { "hold-leakage", "hold-leakage.low", "hold-leakage.high" };
static const char *const stop_points[] = { "accumulator-oil", "gas-amount-level", "gas-amount-spread", "shells-shut" };

/* How many readings there are before the oil was let off: up to where two of them lie far below the line of the first.
 * SIZE_MAX when there are too few for that line. */
static size_t
before_bleed(const struct leat_leak_hold *h)
{
	struct leat_error err;
	double slope;
	size_t first = 0;

	while (first < h->n && (first < FIRST_LEAST || h->minute[first] - h->minute[0] <= HOLD_LEAST_MIN / 2))
		first++;
	if (first < FIRST_LEAST || leat_line_slope(h->minute, h->bar, first, &slope, &err) != 0)
		return SIZE_MAX;
	for (size_t i = first; i < h->n; i++) {
		double far = BLEED_BAR + fabs(slope) * h->minute[i] / 2;
		bool low = h->bar[i] < h->bar[0] + slope * (h->minute[i] - h->minute[0]) - far;

		if (low && (i + 1 == h->n || h->bar[i + 1] <= h->bar[i]))
			return i;
	}
	return h->n;
}

/* How fast the temperature changed over the test, K/h; 0 where it is not known. */
static double
warming(const struct leat_leak_hold *h, size_t n)
{
	double x[LEAT_LEAK_SAMPLES], y[LEAT_LEAK_SAMPLES], slope;
	struct leat_error err;
	size_t known = 0;

	for (size_t i = 0; i < n; i++) {
		if (isnan(h->temp_c[i]))
			continue;
		x[known] = h->minute[i] / 60;
		y[known++] = h->temp_c[i];
	}
	return known >= HOLD_LEAST && leat_line_slope(x, y, known, &slope, &err) == 0 ? slope : 0;
}

static double
middle(const double *values, size_t n)
{
	double work[LEAT_LEAK_SAMPLES];
	size_t known = 0;

	for (size_t i = 0; i < n; i++)
		if (!isnan(values[i]))
			work[known++] = values[i];
	return leat_median(work, known);
}

/* What a test found. */
struct found {
	struct leat_holding h;
	struct leat_line line;
	double leakage_lpm, reference_lpm, viscosity_mm2_s, compliance, heat_lpm, minutes;
	double low_lpm, high_lpm, fast_k_h;	/* the range, and how fast the shells may warm at the least */
	bool as_set;
	size_t n;
	enum leat_quality quality;
};

/* The leakage at the reference for another fall and warming; NaN: none. */
static double
otherwise(const struct leat_leak_mill *own, const struct leat_holding *h, double fall_bar_min, double warming_k_h,
    double temp_c)
{
	struct leat_holding other = *h;
	double lpm, viscosity;

	other.fall_bar_min = fall_bar_min;
	other.warming_k_h = warming_k_h;
	return leat_leakage_holding(&other, &lpm, NULL, NULL) == 0 ?
	    leat_leak_reference(own, lpm, h->pressure_bar, temp_c, &viscosity) : NAN;
}

/* What the scatter of the fall makes of it, and shells that cool faster than the tank whose temperature is read. */
static void
find_range(const struct leat_leak_mill *own, struct found *f, double temp_c)
{
	double fast = own->hold.by_shell ? INFINITY : -(f->h.temp_c - HALL_C) / SHELL_LAG_H;

	f->fast_k_h = fmin(f->h.warming_k_h, fast);
	f->low_lpm = otherwise(own, &f->h, -f->line.slope_high, f->fast_k_h, temp_c);
	f->high_lpm = otherwise(own, &f->h, -f->line.slope_low, f->h.warming_k_h, temp_c);
}

/* 1: it tells something; 0: not; -1: memory is out. */
static int
evaluate(struct leat_leak_mill *own, struct found *f)
{
	struct leat_leak_hold *h = &own->hold;
	double temp_c;
	struct leat_error err;

	f->n = before_bleed(h);
	if (f->n == SIZE_MAX || f->n < HOLD_LEAST)
		return 0;
	f->minutes = h->minute[f->n - 1] - h->minute[0];
	if (f->n < HOLD_LEAST || f->minutes < HOLD_LEAST_MIN ||
	    leat_line_fit(h->minute, h->bar, f->n, 0.95, 1, &f->line, &err) != 0)
		return 0;
	temp_c = middle(h->temp_c, f->n);
	f->as_set = isnan(own->amount_mol);
	f->h = (struct leat_holding){ .amount_mol = f->as_set ? leat_leak_amount_as_set(own) : own->amount_mol,
		.oil_l = own->plate.pressed_oil_l, .pressure_bar = middle(h->bar, f->n),
		.temp_c = isnan(temp_c) ? own->plate.reference_c : temp_c, .air_bara = own->plate.air_bara,
		.fall_bar_min = -f->line.slope, .warming_k_h = warming(h, f->n) };
	if (leat_leak_is_shut(own->line_up, "accu"))
		f->h.amount_mol = 0;
	if (isnan(f->h.amount_mol) ||
	    leat_leakage_holding(&f->h, &f->leakage_lpm, &f->compliance, &f->heat_lpm) != 0)
		return 0;
	f->reference_lpm = leat_leak_reference(own, f->leakage_lpm, f->h.pressure_bar, temp_c, &f->viscosity_mm2_s);
	find_range(own, f, temp_c);
	/* The shells cool faster than the tank: without their own temperature the test cannot be better. */
	f->quality = h->uncertain || f->as_set || !h->by_shell || isnan(f->viscosity_mm2_s) ? LEAT_UNCERTAIN : LEAT_GOOD;
	return isfinite(f->reference_lpm);
}

static void
explain_hold(struct leat_leaks *leaks, const struct leat_leak_mill *own, const struct leat_mill *mill,
    const struct found *f, struct leat_time at)
{
	struct leat_holding one = f->h;
	double leakage, per_kelvin;

	leat_out_span(leaks->out, mill->asset);
	leat_out_text(leaks->out, "/hold-leakage ");
	leat_out_time(leaks->out, own->hold.from);
	leat_out_char(leaks->out, ' ');
	leat_out_time(leaks->out, at);
	leat_out_char(leaks->out, '\n');
	if (own->line_up.len > 0)
		leat_leak_line(leaks, "shut off", "%.*s", (int)own->line_up.len, own->line_up.ptr);
	else
		leat_leak_line(leaks, "shut off", "nothing, as far as the logbook tells");
	leat_leak_line(leaks, "readings", "%zu over %.1f min, the gas settled for %.3g time constants of %.4g s", f->n, f->minutes,
	    LEAT_GAS_SETTLED_LAGS, own->plate.lag_s);
	leat_leak_line(leaks, "fall", "%.4f bar/min, 95 %% of slopes between %.4f and %.4f, about %.1f bar", f->h.fall_bar_min,
	    -f->line.slope_high, -f->line.slope_low, f->h.pressure_bar);
	leat_leak_line(leaks, "gas", "%.1f mol%s at %.1f degC: with %.4g L of oil %.3f L/bar", f->h.amount_mol,
	    f->as_set ? " as set" : f->h.amount_mol > 0 ? " by the last day's filling" : ", the accumulators are shut off",
	    f->h.temp_c, f->h.oil_l, f->compliance);
	leat_leak_line(leaks, "leakage", "%.3f x %.4f + %.4f by %.2f K/h = %.3f L/min", f->compliance, f->h.fall_bar_min,
	    f->heat_lpm, f->h.warming_k_h, f->leakage_lpm);
	leat_leak_line(leaks, "reference", "%.3f L/min at %.1f bar and %.2f mm2/s", f->reference_lpm, own->plate.set_bar,
	    own->plate.reference_mm2_s);
	leat_leak_line(leaks, "range", "%.3f to %.3f L/min, by the slopes%s", f->low_lpm, f->high_lpm, own->hold.by_shell ? "" :
	    " and shells that cool as the tank or faster");
	one.warming_k_h = 1;
	if (!own->hold.by_shell && leat_leakage_holding(&one, &leakage, NULL, &per_kelvin) == 0)
		leat_leak_line(leaks, "beware", "shells may cool faster than the tank, whose temperature this is: 1 K/h makes %.4f L/min, "
		    "up to %.2f K/h in all", per_kelvin, -f->fast_k_h);
	leat_leak_line(leaks, "quality", "%s", f->quality == LEAT_GOOD ? "good" : own->hold.by_shell ?
	    "uncertain: gas as set, viscosity not known, or an uncertain reading" :
	    "uncertain: no gas-temperature of the shells is read");
}

static void
write_hold(struct leat_leaks *leaks, const struct leat_mill *mill, struct leat_time at, const struct found *f)
{
	leat_leak_row(leaks, mill->asset, at, hold_points[0], f->reference_lpm, 3, "L/min", f->quality);
	if (isfinite(f->low_lpm) && isfinite(f->high_lpm)) {
		leat_leak_row(leaks, mill->asset, at, hold_points[1], f->low_lpm, 3, "L/min", f->quality);
		leat_leak_row(leaks, mill->asset, at, hold_points[2], f->high_lpm, 3, "L/min", f->quality);
	}
}

static void
end_hold(struct leat_leaks *leaks, struct leat_leak_mill *own, const struct leat_mill *mill, struct leat_time at)
{
	struct found f = { .n = 0 };
	int status = own->hold.on ? evaluate(own, &f) : 0;

	own->hold.on = false;
	own->hold.n = 0;
	if (status <= 0)
		return;
	leaks->tests++;
	if (!leaks->explain)
		write_hold(leaks, mill, at, &f);
	else if (leat_leak_asked(leaks, mill->asset, hold_points, sizeof(hold_points) / sizeof(hold_points[0])))
		explain_hold(leaks, own, mill, &f, at);
	leat_leak_locate(leaks, own, mill, at, f.reference_lpm, f.quality);
}

/* The line-up that was logged last.  A new one begins a new test; a mill that grinds has all its parts. */
static void
follow_line_up(struct leat_leaks *leaks, struct leat_leak_mill *own, const struct leat_mill *mill,
    const struct leat_leak_instant *now)
{
	const struct leat_logbook *book = leaks->book;

	if (now->state == LEAT_LEAK_GRINDING)
		own->line_up = leat_span_make("", 0);
	for (; book != NULL && own->next_line_up < book->count; own->next_line_up++) {
		const struct leat_log_entry *e = &book->entry[own->next_line_up];

		if (leat_time_cmp(e->time, now->at) > 0)
			return;
		own->gas_filled = own->gas_filled || (strcmp(e->event->name, "gas-fill") == 0 &&
		    leat_span_eq(leat_asset_mill(e->asset), mill->asset));
		if (strcmp(e->event->name, "line-up") != 0 || !leat_span_eq(e->asset, mill->asset))
			continue;
		end_hold(leaks, own, mill, now->at);
		own->line_up = e->item;
	}
}

/* When the store is full every second sample goes, and only every second is taken from then on. */
static void
store(struct leat_leak_hold *h, double minute, double bar, double temp_c)
{
	if (h->skip++ % h->stride != 0)
		return;
	if (h->n == LEAT_LEAK_SAMPLES) {
		h->n /= 2;
		for (size_t i = 0; i < h->n; i++) {
			h->minute[i] = h->minute[2 * i];
			h->bar[i] = h->bar[2 * i];
			h->temp_c[i] = h->temp_c[2 * i];
		}
		h->stride *= 2;
	}
	h->minute[h->n] = minute;
	h->bar[h->n] = bar;
	h->temp_c[h->n++] = temp_c;
}

static void
follow_hold(struct leat_leaks *leaks, struct leat_leak_mill *own, const struct leat_mill *mill,
    const struct leat_leak_instant *now)
{
	struct leat_leak_hold *h = &own->hold;
	bool holds = now->state == LEAT_LEAK_HOLD && now->charge != 1;

	/* A bad reading makes the state unknown for a moment. */
	if (h->on && !holds && !(now->state == LEAT_LEAK_UNKNOWN && leat_time_is_none(own->state_lost)))
		if (now->state != LEAT_LEAK_UNKNOWN || leat_time_diff(now->at, own->state_lost) > 120)
			end_hold(leaks, own, mill, now->at);
	if (!holds)
		return;
	if (!h->on) {
		h->on = true;
		h->n = h->skip = 0;
		h->stride = 1;
		h->uncertain = false;
		h->by_shell = true;
		h->from = now->at;
	}
	if (!now->bar_fresh || (!leat_time_is_none(own->settled_from) && leat_time_cmp(now->at, own->settled_from) < 0))
		return;
	h->uncertain = h->uncertain || now->uncertain || now->heat_uncertain;
	h->by_shell = h->by_shell && !isnan(now->gas_c);
	store(h, leat_time_diff(now->at, h->from) / 60, now->bar, isnan(now->gas_c) ? now->temp_c : now->gas_c);
}

/* Oil in the tank above its bottom, in litres at 20 degC. */
static double
tank_l(const struct leat_leak_mill *own, double level_mm, double temp_c)
{
	return own->plate.tank_m2 * level_mm / (1 + LEAT_OIL_EXPANSION_PER_K * (temp_c - 20));
}

/* Oil came or went otherwise: top-ups, drains and changes of the log between two times. */
static bool
oil_moved(const struct leat_leaks *leaks, struct leat_span mill, struct leat_time from, struct leat_time to)
{
	static const char *const moves[] = { "top-up", "drained", "oil-change", "filter-change", "seal-change" };

	for (size_t i = 0; leaks->book != NULL && i < leaks->book->count; i++) {
		const struct leat_log_entry *e = &leaks->book->entry[i];

		if (leat_time_cmp(e->time, from) < 0 || leat_time_cmp(e->time, to) > 0 ||
		    !leat_span_eq(leat_asset_mill(e->asset), mill))
			continue;
		for (size_t k = 0; k < sizeof(moves) / sizeof(moves[0]); k++)
			if (strcmp(e->event->name, moves[k]) == 0)
				return true;
	}
	return false;
}

/* Was there a knee at this stop, or not long ago? */
static bool
has_knee(const struct leat_leak_mill *own, struct leat_time at)
{
	return !leat_time_is_none(own->knee_time) && leat_time_diff(at, own->knee_time) < KNEE_S;
}

/* How far the estimates lie apart, in percent of their mean; NaN where there is but one. */
static double
spread_of(const struct leat_leak_mill *own, double level_mol, struct leat_time at)
{
	const double by[] = { level_mol, own->amount_mol, has_knee(own, at) ? own->knee_mol : NAN };
	double low = INFINITY, high = -INFINITY, sum = 0;
	int n = 0;

	for (size_t i = 0; i < sizeof(by) / sizeof(by[0]); i++) {
		if (isnan(by[i]))
			continue;
		low = fmin(low, by[i]);
		high = fmax(high, by[i]);
		sum += by[i];
		n++;
	}
	return n > 1 ? 100 * (high - low) * n / sum : NAN;
}

static void
explain_stop(struct leat_leaks *leaks, const struct leat_leak_mill *own, const struct leat_mill *mill, struct leat_time at,
    double oil_l, double amount_mol, double shut)
{
	const struct leat_leak_stop *s = &own->stop;
	const struct leat_leak_plate *plate = &own->plate;

	leat_out_span(leaks->out, mill->asset);
	leat_out_text(leaks->out, "/gas-amount-level ");
	leat_out_time(leaks->out, s->off_since);
	leat_out_char(leaks->out, ' ');
	leat_out_time(leaks->out, at);
	leat_out_char(leaks->out, '\n');
	leat_leak_line(leaks, "before", "%.1f L of oil in the tank at 20 degC, at %.1f bar and %.1f degC, over an hour of grinding",
	    s->before_l, s->before_bar, s->before_c);
	leat_leak_line(leaks, "without", "%.1f L at 20 degC, no pressure, by %ld readings, tank at %.1f degC",
	    s->off_l / (double)s->off_n, s->off_n, s->off_c / (double)s->off_n);
	leat_leak_line(leaks, "held", "the difference at %.1f degC: %.1f L of oil in %.4g shells of %.4g L", s->before_c, oil_l,
	    plate->shells, plate->shell_l);
	leat_leak_line(leaks, "gas", "%.1f mol leave room for it, %.1f as set: %.1f %%", amount_mol, leat_leak_amount_as_set(own),
	    100 * amount_mol / leat_leak_amount_as_set(own));
	if (isnan(shut))
		return;
	leat_leak_line(leaks, "by filling", "%.1f mol: %.1f %% of the gas as set", own->amount_mol,
	    100 * own->amount_mol / leat_leak_amount_as_set(own));
	leat_leak_line(leaks, "agreement", "estimates lie %.1f %% apart: the level's, the fillings'%s",
	    spread_of(own, amount_mol, at), has_knee(own, at) ? ", the knee's" : "; no knee was seen");
	leat_leak_line(leaks, "shells", "that gas and the oil fill %.2f shells: %.2f of %.4g are shut off (lost gas makes a bank "
	    "hold more oil, a shut shell less)", plate->shells - shut, shut, plate->shells);
}

static void
end_stop(struct leat_leaks *leaks, struct leat_leak_mill *own, const struct leat_mill *mill, struct leat_time at)
{
	struct leat_leak_stop *s = &own->stop;
	const struct leat_leak_plate *plate = &own->plate;
	double oil_l, amount, shells, shut = NAN;

	if (s->off_n < LEVEL_LEAST || !(s->before_s >= plate->settled_s) ||
	    oil_moved(leaks, mill->asset, leat_time_add(s->before_at, -SMOOTH_S), at))
		return;
	oil_l = (s->off_l / (double)s->off_n - s->before_l) * (1 + LEAT_OIL_EXPANSION_PER_K * (s->before_c - 20));
	if (leat_gas_amount_of_oil(oil_l, plate->shells * plate->shell_l, s->before_bar, s->before_c, plate->air_bara,
	    &amount) != 0)
		return;
	if (!isnan(own->amount_mol) && leat_gas_shells_open(oil_l, own->amount_mol, plate->shell_l, s->before_bar, s->before_c,
	    plate->air_bara, &shells) == 0)
		shut = plate->shells - shells;
	leaks->stops++;
	leat_leak_note_level(leaks, own, mill, s->before_at, at, amount);
	if (!leaks->explain) {
		leat_leak_row(leaks, mill->asset, at, "accumulator-oil", oil_l, 1, "L", LEAT_GOOD);
		leat_leak_row(leaks, mill->asset, at, "gas-amount-level", amount, 1, "mol", LEAT_GOOD);
		if (!isnan(spread_of(own, amount, at)))
			leat_leak_row(leaks, mill->asset, at, "gas-amount-spread", spread_of(own, amount, at), 1, "%", LEAT_GOOD);
		if (!isnan(shut))
			leat_leak_row(leaks, mill->asset, at, "shells-shut", shut, 2, "1", LEAT_GOOD);
	} else if (leat_leak_asked(leaks, mill->asset, stop_points, sizeof(stop_points) / sizeof(stop_points[0]))) {
		explain_stop(leaks, own, mill, at, oil_l, amount, shut);
	}
}

/* The tank while the mill grinds. */
static void
before_stop(struct leat_leak_mill *own, const struct leat_leak_instant *now)
{
	struct leat_leak_stop *s = &own->stop;
	double litres = tank_l(own, now->level_mm, now->temp_c), passed, share;

	if (leat_time_is_none(s->grinding_since)) {
		/* From here on the gas is another amount than that of earlier days. */
		if (own->gas_filled)
			own->amount_mol = own->knee_mol = NAN;
		own->gas_filled = false;
		s->grinding_since = now->at;
		s->before_s = 0;
		s->before_at = LEAT_TIME_NONE;
	}
	if (!now->level_fresh || now->level_uncertain || now->uncertain || now->heat_uncertain || isnan(litres) || isnan(now->bar))
		return;
	passed = leat_time_is_none(s->before_at) ? INFINITY : leat_time_diff(now->at, s->before_at);
	s->before_s = leat_time_diff(now->at, s->grinding_since);
	/* At first the plain mean, then a mean that forgets. */
	share = passed == INFINITY ? 1 : fmax(-expm1(-passed / SMOOTH_S), passed / (passed + s->before_s));
	if (passed == INFINITY)
		s->before_l = s->before_bar = s->before_c = 0;
	s->before_l += (litres - s->before_l) * share;
	s->before_bar += (now->bar - s->before_bar) * share;
	s->before_c += (now->temp_c - s->before_c) * share;
	s->before_at = now->at;
}

static void
follow_stop(struct leat_leaks *leaks, struct leat_leak_mill *own, const struct leat_mill *mill,
    const struct leat_leak_instant *now)
{
	struct leat_leak_stop *s = &own->stop;
	double litres;

	if (now->state == LEAT_LEAK_UNKNOWN)
		return;
	/* One stop tells once, whether the mill pumps up first or, as far as anyone saw, grinds at once. */
	if (s->off && now->state != LEAT_LEAK_OFF) {
		end_stop(leaks, own, mill, now->at);
		s->before_at = LEAT_TIME_NONE;
		s->off = false;
	}
	if (now->state == LEAT_LEAK_GRINDING) {
		before_stop(own, now);
		return;
	}
	s->grinding_since = LEAT_TIME_NONE;
	if (now->state != LEAT_LEAK_OFF)
		return;
	if (!s->off) {
		s->off = true;
		s->off_since = now->at;
		s->off_l = s->off_c = 0;
		s->off_n = 0;
	}
	litres = tank_l(own, now->level_mm, now->temp_c);
	if (leat_time_is_none(s->before_at) || !now->level_fresh || now->level_uncertain || now->heat_uncertain || isnan(litres) ||
	    leat_time_diff(now->at, s->off_since) < DRAINED_S)
		return;
	s->off_l += litres;
	s->off_c += now->temp_c;
	s->off_n++;
}

int
leat_leak_stops(struct leat_leaks *leaks, struct leat_leak_mill *own, const struct leat_mill *mill,
    const struct leat_leak_instant *now)
{
	follow_line_up(leaks, own, mill, now);
	follow_hold(leaks, own, mill, now);
	leat_leak_knee(leaks, own, mill, now);
	follow_stop(leaks, own, mill, now);
	return 0;
}
