/* Coolers: rows that are made, or how they came about. */
#include <math.h>
#include <stdarg.h>
#include <stdio.h>

#include "derive/cooler_private.h"

#define TEXT_MAX 768

bool
leat_coolers_makes(struct leat_span point, bool mill)
{
	static const char *const cooler[] = {
		"cooler-duty", "cooler-balance", "cooler-ua", "cooler-ua.coverage", "cooler-ua.low", "cooler-approach", "cooler-index",
		"cooler-effectiveness", "thermostat-share", "thermostat-stuck-open", "thermostat-stuck-shut", "warmest-water",
		"warmest-water.low", "summer-headroom", "hunting-share", "hunting-cycles", "hunting-period", "hunting-amplitude",
		"heat-known", "heat-walls", "heat-unexplained"
	};
	static const char *const tank[] = { "oil-band-share", "oil-hot-time", "oil-degree-hours" };
	const char *const *name = mill ? tank : cooler;
	size_t count = mill ? sizeof(tank) / sizeof(tank[0]) : sizeof(cooler) / sizeof(cooler[0]);

	for (size_t i = 0; i < count; i++)
		if (leat_span_is(point, name[i]))
			return true;
	return false;
}

static bool
asked_for(const struct leat_coolers *coolers, struct leat_span asset, const char *point)
{
	struct leat_span what = coolers->what, own = leat_span_make(what.ptr, asset.len);

	if (what.len == 0 || leat_span_eq(what, asset))
		return true;
	if (asset.len > what.len)
		return asset.ptr[what.len] == '/' && leat_span_eq(leat_span_make(asset.ptr, what.len), what);
	return what.len > asset.len && what.ptr[asset.len] == '/' && leat_span_eq(own, asset) &&
	    (point == NULL || leat_span_is(leat_span_make(what.ptr + asset.len + 1, what.len - asset.len - 1), point));
}

static void
line(struct leat_coolers *coolers, struct leat_span asset, const char *point, const char *result, const char *fmt,
    va_list args)
{
	char text[TEXT_MAX];

	vsnprintf(text, sizeof(text), fmt, args);
	leat_out_time(coolers->out, coolers->minutes.day_end);
	leat_out_char(coolers->out, ' ');
	leat_out_span(coolers->out, asset);
	leat_out_char(coolers->out, ' ');
	leat_out_text(coolers->out, point);
	leat_out_text(coolers->out, result);
	leat_out_text(coolers->out, ": ");
	leat_out_text(coolers->out, text);
	leat_out_char(coolers->out, '\n');
}

void
leat_coolers_put(struct leat_coolers *coolers, const struct leat_coolers_made *made, const char *fmt, ...)
{
	bool has = isfinite(made->value) && made->quality != LEAT_BAD;
	char number[LEAT_NUMBER_MAX], result[LEAT_NUMBER_MAX + 32];
	size_t len = has ? leat_number_fixed(number, made->value, made->decimals) : 0;
	va_list args;

	if (!coolers->explain) {
		leat_readings_add(coolers->out, coolers->in, &(struct leat_reading){
			.time = coolers->minutes.day_end, .asset = made->asset, .point = leat_span_of(made->point),
			.value = leat_span_make(number, len), .unit = leat_span_of(made->unit), .quality = has ? made->quality : LEAT_BAD
		});
		coolers->added++;
		return;
	}
	if (!asked_for(coolers, made->asset, made->point))
		return;
	if (has)
		snprintf(result, sizeof(result), " %.*s%s%s%s", (int)len, number, made->unit[0] != '\0' ? " " : "", made->unit,
		    made->quality == LEAT_UNCERTAIN ? ", uncertain" : "");
	else
		snprintf(result, sizeof(result), " cannot be told%s", isfinite(made->value) ? ", of too little time" : "");
	va_start(args, fmt);
	line(coolers, made->asset, made->point, result, fmt, args);
	va_end(args);
}

void
leat_coolers_say(struct leat_coolers *coolers, struct leat_span asset, const char *point, const char *fmt, ...)
{
	va_list args;

	if (!coolers->explain || !asked_for(coolers, asset, leat_coolers_makes(leat_span_of(point), false) ? point : NULL))
		return;
	va_start(args, fmt);
	line(coolers, asset, point, "", fmt, args);
	va_end(args);
}

void
leat_coolers_reason_words(char *dst, enum leat_coolers_reason reason, const struct leat_coolers_plate *plate)
{
	static const char *const words[] = {
		[LEAT_COOLERS_BROKEN] = "not grinding all through the spell",
		[LEAT_COOLERS_UNCERTAIN] = "readings of uncertain quality",
		[LEAT_COOLERS_NO_HEAT] = "a temperature of the oil or of the water at the cooler is not known",
		[LEAT_COOLERS_NO_FLOW] = "neither the oil nor the water has a flow and both temperatures",
		[LEAT_COOLERS_ADMITTED] = "admitted"
	};

	switch (reason) {
	case LEAT_COOLERS_COLD:
		snprintf(dst, 128, "oil below %.4g degC", plate->warm_from_c);
		break;
	case LEAT_COOLERS_UNSTEADY:
		snprintf(dst, 128, "oil changes by %.4g K/h or more, or is not known for so long", plate->warm_rate_k_h);
		break;
	case LEAT_COOLERS_PART_OPEN:
		snprintf(dst, 128, "oil below %.4g + %.4g degC: the thermostat is part open, the oil's flow not known", plate->open_c,
		    plate->margin_k);
		break;
	case LEAT_COOLERS_BALANCE:
		snprintf(dst, 128, "oil and water differ by more than %.4g %% in their heat", plate->balance_percent);
		break;
	case LEAT_COOLERS_IDLE:
		snprintf(dst, 128, "the oil cools by less than %.4g K, or heat flows from cold to hot", plate->idle_k);
		break;
	default:
		snprintf(dst, 128, "%s", words[reason]);
	}
}
