/* Coolers: what a works' day says. */
#include <math.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

#include "derive/cooler_private.h"
#include "stats/order.h"

/* More than a tenth of the minutes being uncertain, what comes of them is. */
#define UNCERTAIN_SHARE 10

#define FIELD(name) offsetof(struct leat_coolers_spell, name)

/* Of a day: medians over the spells that serve. */
struct middle {
	double value;
	size_t spells;
	enum leat_quality quality;	/* by how much of base was admitted */
	double percent;
};

static double
field_of(const struct leat_coolers_spell *s, size_t field)
{
	double value;

	memcpy(&value, (const char *)s + field, sizeof(value));
	return value;
}

/* The median of a number over the spells that are of a kind and have it. */
static struct middle
middle_of(const struct leat_coolers_unit *unit, unsigned kind, size_t field, long base_min)
{
	const struct leat_coolers_plate *plate = &unit->plate;
	double x[LEAT_COOLERS_SPELLS], minutes;
	struct middle m = { .spells = 0 };

	for (size_t i = 0; i < unit->spells; i++) {
		const struct leat_coolers_spell *s = &unit->spell[i];
		double value = field_of(s, field);

		if ((s->is & kind) != 0 && isfinite(value))
			x[m.spells++] = value;
	}
	m.value = leat_median(x, m.spells);
	minutes = (double)m.spells * plate->steady_min;
	m.percent = base_min > 0 ? fmin(100, 100 * minutes / (double)base_min) : 0;
	m.quality = m.spells == 0 || minutes < plate->least_min ? LEAT_BAD : m.percent < plate->least_percent ||
	    isnan(plate->open_c) ? LEAT_UNCERTAIN : LEAT_GOOD;
	return m;
}

/* The spell whose number lies nearest to the median, to be redone by hand. */
static const struct leat_coolers_spell *
nearest(const struct leat_coolers_unit *unit, unsigned kind, size_t field, double value)
{
	const struct leat_coolers_spell *best = NULL;
	double off = INFINITY;

	for (size_t i = 0; i < unit->spells; i++) {
		const struct leat_coolers_spell *s = &unit->spell[i];
		double d = fabs(field_of(s, field) - value);

		if ((s->is & kind) != 0 && d < off) {
			off = d;
			best = s;
		}
	}
	return best;
}

static void
put(struct leat_coolers *coolers, const struct leat_coolers_unit *unit, const char *point, const char *unit_name,
    double value, int decimals, enum leat_quality quality, const char *text)
{
	leat_coolers_put(coolers, &(struct leat_coolers_made){ unit->asset, point, unit_name, value, decimals, quality }, "%s",
	    text);
}

/* The minutes of the day and why they were refused. */
static void
say_counts(struct leat_coolers *coolers, const struct leat_coolers_unit *unit)
{
	char words[128];

	leat_coolers_say(coolers, unit->asset, "grinding", "%ld min, in spells of %d min; of them %ld min admitted to the "
	    "conductance", unit->grinding, unit->plate.steady_min, unit->refused[LEAT_COOLERS_ADMITTED]);
	for (int i = 0; i < LEAT_COOLERS_ADMITTED; i++) {
		if (unit->refused[i] == 0)
			continue;
		leat_coolers_reason_words(words, i, &unit->plate);
		leat_coolers_say(coolers, unit->asset, "refused", "%ld min: %s", unit->refused[i], words);
	}
}

/* "52.31", or that nobody read it. */
static const char *
temp_words(char dst[16], double temp_c)
{
	if (isnan(temp_c))
		snprintf(dst, 16, "(not read)");
	else
		snprintf(dst, 16, "%.2f", temp_c);
	return dst;
}

/* "oil 52.31 to 47.92 degC, 1.657 kW/K: 7.27 kW; water ...": what a spell had. */
static void
spell_words(char *dst, size_t size, const struct leat_coolers_spell *s)
{
	char time[LEAT_TIME_MAX], oil[96], water[96], temp[4][16];
	const double *m = s->mean;

	leat_time_write(time, s->end);
	if (isnan(s->oil_kw))
		snprintf(oil, sizeof(oil), isnan(m[LEAT_COOLERS_OIL_OUT]) ? "flow or a temperature not known" : "flow not known");
	else
		snprintf(oil, sizeof(oil), "x %.4f kW/K = %.3f kW", s->oil_kw_k, s->oil_kw);
	if (isnan(s->water_kw))
		snprintf(water, sizeof(water), "flow or a temperature not known");
	else
		snprintf(water, sizeof(water), "x %.4f kW/K = %.3f kW", s->water_kw_k, s->water_kw);
	snprintf(dst, size, "spell to %s: oil %s to %s degC %s; water %s to %s degC %s", time,
	    temp_words(temp[0], m[LEAT_COOLERS_OIL_IN]), temp_words(temp[1], m[LEAT_COOLERS_OIL_OUT]), oil,
	    temp_words(temp[2], m[LEAT_COOLERS_WATER_IN]), temp_words(temp[3], m[LEAT_COOLERS_WATER_OUT]), water);
}

static void
write_duty(struct leat_coolers *coolers, const struct leat_coolers_unit *unit, long base)
{
	struct middle duty = middle_of(unit, LEAT_COOLERS_IS_DUTY, FIELD(duty_kw), unit->grinding);
	struct middle balance = middle_of(unit, LEAT_COOLERS_IS_OPEN, FIELD(balance_percent), base);
	const struct leat_coolers_spell *s = nearest(unit, LEAT_COOLERS_IS_DUTY, FIELD(duty_kw), duty.value);
	char text[512], spell[384] = "no spell with known heat";
	const char *sides = "by both sides";

	if (s != NULL) {
		spell_words(spell, sizeof(spell), s);
		if (isnan(s->oil_kw) || isnan(s->water_kw))
			sides = isnan(s->oil_kw) ? "by the water alone, nothing checks it" : "by the oil alone, nothing checks it";
	}
	snprintf(text, sizeof(text), "median of %zu spells, %s; %s", duty.spells, s != NULL ? sides : "none", spell);
	put(coolers, unit, "cooler-duty", "kW", duty.value, 3, duty.quality, text);
	if (balance.spells == 0)
		return;
	snprintf(text, sizeof(text), "heat by the oil less heat by the water, of their mean: median of %zu spells with the "
	    "thermostat open; beyond +-%.4g %% a spell is refused", balance.spells, unit->plate.balance_percent);
	put(coolers, unit, "cooler-balance", "%", balance.value, 1, balance.quality, text);
}

/* Approach, index and effectiveness, which need no flow. */
static void
write_approach(struct leat_coolers *coolers, const struct leat_coolers_unit *unit, long base)
{
	const struct { const char *point, *unit; size_t field; int decimals; const char *text; } rows[] = {
		{ "cooler-approach", "K", FIELD(approach_k), 2, "oil out less water in" },
		{ "cooler-effectiveness", "%", FIELD(effectiveness_percent), 2,
		    "oil in less oil out, in shares of oil in less water in: no flow is needed" },
		{ "cooler-index", "K/kW", FIELD(index_k_kw), 3, "oil in less water in over the known heat, as no flow is known" }
	};
	char text[256];

	for (size_t i = 0; i < sizeof(rows) / sizeof(rows[0]); i++) {
		struct middle m = middle_of(unit, LEAT_COOLERS_IS_OPEN, rows[i].field, base);

		if (m.spells == 0)
			continue;
		snprintf(text, sizeof(text), "%s; median of %zu spells with the thermostat open", rows[i].text, m.spells);
		put(coolers, unit, rows[i].point, rows[i].unit, m.value, rows[i].decimals, m.quality, text);
	}
}

/* How a spell's conductance comes about. */
static void
ua_words(char *dst, size_t size, const struct leat_coolers_unit *unit, unsigned kind, const struct middle *ua)
{
	const struct leat_coolers_spell *s = nearest(unit, kind, FIELD(ua_kw_k), ua->value);
	const char *how = unit->plate.flow == LEAT_COOLER_COUNTER ? "duty / LMTD" : "by the number of transfer units";
	double a, b, units;
	char spell[384], found[64] = "";

	spell_words(spell, sizeof(spell), s);
	a = s->mean[LEAT_COOLERS_OIL_IN] - s->water_out_c;
	b = s->oil_out_c - s->mean[LEAT_COOLERS_WATER_IN];
	if (isnan(s->mean[LEAT_COOLERS_OIL_OUT]))
		snprintf(found, sizeof(found), "oil out at %.2f degC by %.4f kW/K; ", s->oil_out_c, s->oil_kw_k);
	else if (isnan(s->mean[LEAT_COOLERS_WATER_OUT]))
		snprintf(found, sizeof(found), "water out at %.2f degC by %.4f kW/K; ", s->water_out_c, s->water_kw_k);
	units = s->ua_kw_k / fmin(s->full_kw_k, s->water_kw_k);
	snprintf(dst, size, "%s; %s%s: %.3f kW, ends %.2f and %.2f K, LMTD %.3f K: %.4f kW/K; %.4f transfer units of the smaller "
	    "flow", spell, found, how, s->duty_kw, a, b, leat_lmtd_k(a, b), s->ua_kw_k, units);
}

static struct middle
write_ua(struct leat_coolers *coolers, struct leat_coolers_unit *unit, long base, struct middle *bound)
{
	struct middle ua = middle_of(unit, LEAT_COOLERS_IS_UA, FIELD(ua_kw_k), base);
	long part = unit->refused[LEAT_COOLERS_PART_OPEN];
	char text[768], words[640];

	*bound = middle_of(unit, LEAT_COOLERS_IS_BOUND, FIELD(ua_kw_k), part);
	if (ua.spells > 0) {
		ua_words(words, sizeof(words), unit, LEAT_COOLERS_IS_UA, &ua);
		snprintf(text, sizeof(text), "median of %zu spells; %s%s", ua.spells, words, isnan(unit->plate.open_c) ?
		    "; no thermostat-open in the nameplate: taken as open" : "");
	} else if (part > 0) {
		snprintf(text, sizeof(text), "the thermostat is part open for %ld of %ld min: not observable", part, unit->grinding);
	} else {
		snprintf(text, sizeof(text), "no spell admitted");
	}
	put(coolers, unit, "cooler-ua", "kW/K", ua.value, 4, ua.quality, text);
	snprintf(text, sizeof(text), "%zu spells of %d min of %ld min of grinding with the thermostat not part open", ua.spells,
	    unit->plate.steady_min, base);
	put(coolers, unit, "cooler-ua.coverage", "%", ua.percent, 2, LEAT_GOOD, text);
	if (bound->spells > 0 && bound->quality != LEAT_BAD) {
		ua_words(words, sizeof(words), unit, LEAT_COOLERS_IS_BOUND, bound);
		snprintf(text, sizeof(text), "at least so much: less oil than at full flow, median of %zu spells; %s", bound->spells,
		    words);
		put(coolers, unit, "cooler-ua.low", "kW/K", bound->value, 4, bound->quality, text);
	}
	return ua;
}

/* The warmest water by a conductance; NaN where something is lacking. */
static double
warmest(struct leat_coolers *coolers, const struct leat_coolers_unit *unit, const char *point, double ua,
    enum leat_quality quality, const char *from)
{
	const struct leat_coolers_plate *plate = &unit->plate;
	double oil = middle_of(unit, LEAT_COOLERS_IS_DUTY, FIELD(full_kw_k), unit->grinding).value;
	double water = middle_of(unit, LEAT_COOLERS_IS_DUTY, FIELD(water_kw_k), unit->grinding).value;
	struct middle load = middle_of(unit, LEAT_COOLERS_IS_DUTY, FIELD(load_kw), unit->grinding);
	size_t walls = middle_of(unit, LEAT_COOLERS_IS_DUTY, FIELD(walls_kw), unit->grinding).spells;
	double least = fmin(oil, water), result = leat_cooler_warmest_water(plate->flow, ua, oil, water, plate->limit_c, load.value);
	char text[512];

	if (!isfinite(result) || isnan(oil) || isnan(water))
		return NAN;
	snprintf(text, sizeof(text), "%.4g degC - %.3f kW / (%.4f x %.4f kW/K): load by %zu spells%s, effectiveness of %.4f kW/K "
	    "%s, oil %.4f and water %.4f kW/K", plate->limit_c, load.value,
	    leat_cooler_effectiveness(plate->flow, ua / least, least / fmax(oil, water)), least, load.spells,
	    walls > 0 ? " less the walls' share at that limit" : " as it is", ua, from, oil, water);
	put(coolers, unit, point, "degC", result, 1, quality, text);
	return result;
}

static void
write_summer(struct leat_coolers *coolers, struct leat_coolers_unit *unit, const struct middle *ua,
    const struct middle *bound)
{
	bool observed = ua->quality != LEAT_BAD, bounded = bound->quality != LEAT_BAD;
	double used = observed ? ua->value : unit->seen_ua, result;
	enum leat_quality quality = observed ? ua->quality : LEAT_UNCERTAIN;
	char from[128] = "observed", since[LEAT_TIME_MAX], text[192];

	if (ua->quality == LEAT_GOOD) {
		unit->seen_ua = ua->value;
		unit->seen_at = coolers->minutes.day_end;
	}
	if (!observed && bounded && !(used >= bound->value)) {
		used = bound->value;
		snprintf(from, sizeof(from), "which it has at least");
	} else if (!observed && !isnan(used)) {
		leat_time_write(since, unit->seen_at);
		snprintf(from, sizeof(from), "observed last in the day to %s", since);
	}
	if (isnan(used))
		return;
	result = warmest(coolers, unit, "warmest-water", used, quality, from);
	if (!observed && bounded)
		warmest(coolers, unit, "warmest-water.low", bound->value, bound->quality, "which it has at least");
	if (isnan(result))
		return;
	if (isnan(unit->plate.summer_water_c)) {
		leat_coolers_say(coolers, unit->asset, "summer-headroom", "no summer-water in the nameplate to compare with");
		return;
	}
	snprintf(text, sizeof(text), "warmest-water %.1f less summer-water %.4g degC", result, unit->plate.summer_water_c);
	put(coolers, unit, "summer-headroom", "K", result - unit->plate.summer_water_c, 1, quality, text);
}

/* How much of the oil goes through, and whether the valve sticks. */
static void
write_valve(struct leat_coolers *coolers, const struct leat_coolers_unit *unit)
{
	const struct leat_coolers_plate *plate = &unit->plate;
	struct middle share = middle_of(unit, LEAT_COOLERS_IS_DUTY, FIELD(share_percent), unit->grinding);
	size_t steady = 0, open = 0, shut = 0;
	enum leat_quality quality;
	char text[256];

	if (isnan(plate->opens_c) && isnan(plate->open_c))
		return;
	if (share.spells > 0) {
		snprintf(text, sizeof(text), "heat by the water over that of all the oil cooled as much: median of %zu spells",
		    share.spells);
		put(coolers, unit, "thermostat-share", "%", share.value, 1, share.quality, text);
	}
	/* Where there is no such instrument there is nothing to be told, day by day. */
	if (unit->series[LEAT_COOLERS_OIL_OUT] == LEAT_NAME_NONE) {
		leat_coolers_say(coolers, unit->asset, "thermostat", "whether it sticks is told by oil-out-temperature, which is not read");
		return;
	}
	for (size_t i = 0; i < unit->spells; i++) {
		const struct leat_coolers_spell *s = &unit->spell[i];
		double in_c = s->mean[LEAT_COOLERS_OIL_IN], cooled_k = in_c - s->mean[LEAT_COOLERS_OIL_OUT];

		if ((s->is & LEAT_COOLERS_IS_STEADY) == 0 || isnan(cooled_k))
			continue;
		steady++;
		open += in_c < plate->opens_c && cooled_k > plate->idle_k;
		shut += in_c >= plate->open_c + plate->margin_k && cooled_k < plate->idle_k;
	}
	quality = (double)steady * plate->steady_min >= plate->least_min ? LEAT_GOOD : LEAT_BAD;
	if (!isnan(plate->opens_c)) {
		snprintf(text, sizeof(text), "oil below %.4g degC and cooled by more than %.4g K in %zu of %zu steady spells",
		    plate->opens_c, plate->idle_k, open, steady);
		put(coolers, unit, "thermostat-stuck-open", "%", 100.0 * (double)open / (double)steady, 1, quality, text);
	}
	if (!isnan(plate->open_c)) {
		snprintf(text, sizeof(text), "oil at %.4g + %.4g degC or above and cooled by less than %.4g K in %zu of %zu steady spells",
		    plate->open_c, plate->margin_k, plate->idle_k, shut, steady);
		put(coolers, unit, "thermostat-stuck-shut", "%", 100.0 * (double)shut / (double)steady, 1, quality, text);
	}
}

/* Medians over the hours that swing regularly.  *shared: most of them at the pace of the pump-ups. */
static void
hunting_middle(const struct leat_swing *swing, double *period_min, double *amplitude_k, double *spread_percent, bool *shared)
{
	double period[LEAT_SWING_HOURS], amplitude[LEAT_SWING_HOURS], spread[LEAT_SWING_HOURS];
	size_t with = 0;

	for (size_t i = 0; i < swing->regulars; i++) {
		const struct leat_swing_hour *hour = &swing->regular[i];
		double cycles = 60 / hour->period_min;

		period[i] = hour->period_min;
		amplitude[i] = hour->amplitude_k;
		spread[i] = hour->spread_percent;
		/* A count in an hour is whole. */
		with += hour->pump_ups > 0 && fabs(hour->pump_ups - cycles) <= 1;
	}
	*period_min = leat_median(period, swing->regulars);
	*amplitude_k = leat_median(amplitude, swing->regulars);
	*spread_percent = leat_median(spread, swing->regulars);
	*shared = with * 2 > swing->regulars;
}

static void
write_hunting(struct leat_coolers *coolers, const struct leat_coolers_unit *unit)
{
	const struct leat_swing *swing = &unit->swing;
	const struct leat_swing_rule *rule = &unit->plate.swing;
	double step = leat_swing_step_min(swing), period, amplitude, spread, none;
	bool shared, blind = !(LEAT_SWING_SAMPLES * step <= rule->longest_min);
	enum leat_quality quality = swing->seen == 0 || blind ? LEAT_BAD : LEAT_GOOD;
	char text[512];
	int len;

	if (swing->seen == 0 && leat_coolers_signal(unit) == LEAT_NAME_NONE)
		return;
	hunting_middle(swing, &period, &amplitude, &spread, &shared);
	if (quality == LEAT_GOOD && (shared || unit->swung_uncertain * UNCERTAIN_SHARE > unit->swung))
		quality = LEAT_UNCERTAIN;
	len = snprintf(text, sizeof(text), "%zu of %d hours swing regularly about the median of 2 h by more than %.4g K; ",
	    swing->regulars, swing->seen, rule->band_k);
	len += isnan(step) ? snprintf(text + len, sizeof(text) - (size_t)len, "how often it is read is not known") :
	    snprintf(text + len, sizeof(text) - (size_t)len, "readings every %.4g min: periods under %.4g min cannot be seen", step,
	    LEAT_SWING_SAMPLES * step);
	if (swing->regulars > 0)
		snprintf(text + len, sizeof(text) - (size_t)len, "; medians of these hours: period %.2f min, spread %.0f %%, amplitude "
		    "%.2f K%s", period, spread, amplitude, shared ? "; pump-ups come at that pace too, and may be what swings" : "");
	if (unit->swung_uncertain > 0) {
		len = (int)strlen(text);
		snprintf(text + len, sizeof(text) - (size_t)len, "; %ld of %ld min are of uncertain readings", unit->swung_uncertain,
		    unit->swung);
	}
	/* What cannot be seen is not 0. */
	none = quality == LEAT_BAD ? NAN : 0;
	put(coolers, unit, "hunting-share", "%", none + 100.0 * (double)swing->regulars / swing->seen, 1, quality, text);
	put(coolers, unit, "hunting-cycles", "1/h", swing->regulars > 0 ? 60 / period : none, 2, quality, text);
	if (swing->regulars > 0)
		put(coolers, unit, "hunting-period", "min", period, 2, quality, text);
	put(coolers, unit, "hunting-amplitude", "K", swing->regulars > 0 ? amplitude : none, 2, quality, text);
}

static void
write_heat(struct leat_coolers *coolers, const struct leat_coolers_unit *unit)
{
	const struct leat_coolers_mill *mill = &coolers->mill[unit->mill];
	struct middle known = middle_of(unit, LEAT_COOLERS_IS_DUTY, FIELD(known_kw), unit->grinding);
	struct middle walls = middle_of(unit, LEAT_COOLERS_IS_DUTY, FIELD(walls_kw), unit->grinding);
	struct middle rest = middle_of(unit, LEAT_COOLERS_IS_DUTY, FIELD(rest_kw), unit->grinding);
	const struct leat_coolers_spell *s;
	char text[384];

	if (mill->coolers != 1) {
		leat_coolers_say(coolers, unit->asset, "heat-unexplained", "the mill has %zu coolers, which share its heat", mill->coolers);
		return;
	}
	if (known.spells > 0) {
		snprintf(text, sizeof(text), "case drains of %zu meters and internal leakage%s: L/min times bar over 600, median of %zu "
		    "spells", mill->pumps, mill->leakage == LEAT_NAME_NONE ? " (not known)" : "", known.spells);
		put(coolers, unit, "heat-known", "kW", known.value, 3, known.quality, text);
	}
	if (walls.spells > 0) {
		snprintf(text, sizeof(text), "%.4g W/(m2.K) x %.4g m2 x (tank - air): median of %zu spells", unit->plate.wall_w_m2k,
		    unit->plate.wall_m2, walls.spells);
		put(coolers, unit, "heat-walls", "kW", walls.value, 3, walls.quality, text);
	}
	s = nearest(unit, LEAT_COOLERS_IS_DUTY, FIELD(rest_kw), rest.value);
	if (rest.spells == 0 || s == NULL)
		return;
	snprintf(text, sizeof(text), "median of %zu spells; one of them: cooler %.3f + walls %.3f + warming up %.3f - known %.3f "
	    "= %.3f kW%s", rest.spells, s->duty_kw, isnan(s->walls_kw) ? 0 : s->walls_kw, isnan(s->stored_kw) ? 0 : s->stored_kw,
	    s->known_kw, s->rest_kw, isnan(unit->plate.wall_m2) ? " (no tank-wall-area: the walls are left out)" : "");
	put(coolers, unit, "heat-unexplained", "kW", rest.value, 3, rest.quality, text);
}

/* Does any side have a flow and, if only now and then, both temperatures?  *whole: and the other side its outlet, or a
 * flow to find that by. */
static bool
has_side(const struct leat_coolers_unit *unit, bool *whole)
{
	const uint32_t *series = unit->series;
	bool oil_in = series[LEAT_COOLERS_OIL_IN] != LEAT_NAME_NONE || series[LEAT_COOLERS_TANK] != LEAT_NAME_NONE;
	bool oil_out = series[LEAT_COOLERS_OIL_OUT] != LEAT_NAME_NONE;
	bool water_in = series[LEAT_COOLERS_WATER_IN] != LEAT_NAME_NONE;
	bool water_out = series[LEAT_COOLERS_WATER_OUT] != LEAT_NAME_NONE;
	bool oil_flow = series[LEAT_COOLERS_OIL_FLOW] != LEAT_NAME_NONE || !isnan(unit->plate.oil_flow_lpm);
	bool water_flow = series[LEAT_COOLERS_WATER_FLOW] != LEAT_NAME_NONE || !isnan(unit->plate.water_flow_lpm);
	bool oil = oil_flow && oil_in && oil_out, water = water_flow && water_in && water_out;

	*whole = water_in && ((oil && (water_out || water_flow)) || (water && (oil_out || oil_flow)));
	return oil || water;
}

void
leat_coolers_write_day(struct leat_coolers *coolers, struct leat_coolers_unit *unit)
{
	long base = unit->grinding - unit->refused[LEAT_COOLERS_PART_OPEN];
	struct middle ua, bound;
	bool whole;

	coolers->days++;
	say_counts(coolers, unit);
	if (has_side(unit, &whole))
		write_duty(coolers, unit, base);
	write_approach(coolers, unit, base);
	if (whole) {
		ua = write_ua(coolers, unit, base, &bound);
		write_summer(coolers, unit, &ua, &bound);
	} else {
		leat_coolers_say(coolers, unit->asset, "cooler-ua", "it needs water-in-temperature, of one side a flow and both "
		    "temperatures, and of the other the outlet or a flow");
	}
	write_valve(coolers, unit);
	write_hunting(coolers, unit);
	write_heat(coolers, unit);
}

void
leat_coolers_write_tank(struct leat_coolers *coolers, struct leat_coolers_mill *mill)
{
	enum leat_quality quality = mill->known * 2 < mill->grinding ? LEAT_BAD :
	    mill->uncertain * 2 > mill->known ? LEAT_UNCERTAIN : LEAT_GOOD;
	struct leat_coolers_made made = { mill->asset, "oil-band-share", "%", 100.0 * (double)mill->in_band / (double)mill->known, 2,
		quality };

	leat_coolers_put(coolers, &made, "%.4g to %.4g degC for %ld of %ld min of grinding with a known temperature (of %ld)",
	    mill->band_low_c, mill->band_high_c, mill->in_band, mill->known, mill->grinding);
	made = (struct leat_coolers_made){ mill->asset, "oil-hot-time", "min", (double)mill->above, 0, quality };
	leat_coolers_put(coolers, &made, "above %.4g degC while grinding", mill->limit_c);
	made = (struct leat_coolers_made){ mill->asset, "oil-degree-hours", "K.h", mill->above_k_min / 60, 2, quality };
	leat_coolers_put(coolers, &made, "sum of what lay above %.4g degC in each minute of grinding, over 60", mill->limit_c);
}
