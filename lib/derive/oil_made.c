/* The oil: rows that are made, held back and explained. */
#include <math.h>
#include <stdarg.h>
#include <stdio.h>

#include "derive/oil_private.h"

#define TEXT_MAX 768

double
leat_oils_plate(const struct leat_oils *oil, struct leat_span asset, const char *property)
{
	double value;

	return leat_nameplate_number(oil->np, asset, property, oil->time, &value) == 0 ? value : NAN;
}

static bool
asked_for(const struct leat_oils *oil, struct leat_span asset, const char *point)
{
	struct leat_span what = oil->what, own = leat_span_make(what.ptr, asset.len);

	if (what.len == 0 || leat_span_eq(what, asset))
		return true;
	if (asset.len > what.len)
		return asset.ptr[what.len] == '/' && leat_span_eq(leat_span_make(asset.ptr, what.len), what);
	return what.ptr[asset.len] == '/' && leat_span_eq(own, asset) &&
	    leat_span_is(leat_span_make(what.ptr + asset.len + 1, what.len - asset.len - 1), point);
}

static void
say(struct leat_oils *oil, struct leat_span asset, const char *point, const char *result, const char *fmt, va_list args)
{
	char text[TEXT_MAX];

	vsnprintf(text, sizeof(text), fmt, args);
	leat_out_time(oil->out, oil->time);
	leat_out_char(oil->out, ' ');
	leat_out_span(oil->out, asset);
	leat_out_char(oil->out, ' ');
	leat_out_text(oil->out, point);
	leat_out_text(oil->out, result);
	leat_out_text(oil->out, ": ");
	leat_out_text(oil->out, text);
	leat_out_char(oil->out, '\n');
}

void
leat_oils_put(struct leat_oils *oil, const struct leat_oils_made *made, const char *fmt, ...)
{
	char number[LEAT_NUMBER_MAX], result[LEAT_NUMBER_MAX + 32];
	va_list args;

	if (!oil->explain) {
		if (leat_grow(&oil->made, &oil->made_cap, oil->mades + 1, sizeof(*oil->made)) != 0)
			oil->no_memory = true;
		else
			oil->made[oil->mades++] = *made;
		return;
	}
	if (!asked_for(oil, made->asset, made->point))
		return;
	if (isfinite(made->value)) {
		leat_number_fixed(number, made->value, made->decimals);
		snprintf(result, sizeof(result), " %s %s%s", number, made->unit,
		    made->quality == LEAT_UNCERTAIN ? ", uncertain" : "");
	} else {
		snprintf(result, sizeof(result), " has no value");
	}
	va_start(args, fmt);
	say(oil, made->asset, made->point, result, fmt, args);
	va_end(args);
}

void
leat_oils_refuse(struct leat_oils *oil, struct leat_span asset, const char *point, const char *fmt, ...)
{
	va_list args;

	if (!oil->explain || !asked_for(oil, asset, point))
		return;
	va_start(args, fmt);
	say(oil, asset, point, " not made", fmt, args);
	va_end(args);
}

int
leat_oils_hold(struct leat_oils *oil, const struct leat_reading *r)
{
	if (leat_grow(&oil->held, &oil->held_cap, oil->helds + 1, sizeof(*oil->held)) != 0 ||
	    leat_readings_copy_to(&oil->text, oil->in, r) != 0)
		return -1;
	oil->held[oil->helds++] = (struct leat_oils_held){
		leat_readings_assets(oil->in)->name[r->asset_id], leat_readings_points(oil->in)->name[r->point_id],
		oil->text.len
	};
	return 0;
}

static bool
is_made(const struct leat_oils *oil, const struct leat_oils_held *held)
{
	for (size_t i = 0; i < oil->mades; i++)
		if (leat_span_is(held->point, oil->made[i].point) && leat_span_eq(held->asset, oil->made[i].asset))
			return true;
	return false;
}

static void
write_row(struct leat_oils *oil, const struct leat_oils_made *made)
{
	char text[LEAT_NUMBER_MAX];
	size_t len = isfinite(made->value) ? leat_number_fixed(text, made->value, made->decimals) : 0;

	leat_readings_add(oil->out, oil->in, &(struct leat_reading){
		.time = oil->time, .asset = made->asset, .point = leat_span_of(made->point), .value = leat_span_make(text, len),
		.unit = leat_span_of(made->unit), .quality = len > 0 ? made->quality : LEAT_BAD
	});
	oil->added++;
}

void
leat_oils_flush(struct leat_oils *oil)
{
	size_t start = 0;

	for (size_t i = 0; i < oil->helds; i++) {
		if (is_made(oil, &oil->held[i]))
			oil->replaced++;
		else if (oil->copy)
			leat_out_bytes(oil->out, oil->text.data + start, oil->held[i].end - start);
		start = oil->held[i].end;
	}
	for (size_t i = 0; i < oil->mades; i++)
		write_row(oil, &oil->made[i]);
	oil->helds = oil->mades = 0;
	leat_buf_reset(&oil->text);
}

void
leat_oils_want(struct leat_oils_mill *mill, enum leat_oils_want want)
{
	mill->wanted |= 1u << want;
}

void
leat_oils_tell_wanted(const struct leat_oils *oil, const struct leat_oils_mill *mill)
{
	static const char *const words[LEAT_OILS_WANTS] = {
		[LEAT_OILS_WANT_TEMPERATURE] = "water-saturation (no oil-temperature in 30 days, no working-temperature)",
		[LEAT_OILS_WANT_COLDEST] = "water-saturation-coldest (no oil-temperature in 30 days, no coldest-temperature)",
		[LEAT_OILS_WANT_VOLUME] = "free-water (no tank-volume)",
		[LEAT_OILS_WANT_VISCOSITY] = "viscosity-shift (no oil-viscosity-40)",
		[LEAT_OILS_WANT_ACID] = "acid-number-rise (no oil-acid-number)",
		[LEAT_OILS_WANT_ZINC] = "zinc-share (no oil-zinc)",
		[LEAT_OILS_WANT_HOURS] = "rates of metals (no running-hours of the mill: put leat-hours before)",
		[LEAT_OILS_WANT_DILUTION] = "rates of metals over top-ups (no tank-volume, or no oil-zinc)",
		[LEAT_OILS_WANT_LOOP] = "clean-up-time (no tank-volume, or no loop-flow or beta of the off-line filter)",
		[LEAT_OILS_WANT_AREA] = "oil-volume-20 (no tank-area)",
		[LEAT_OILS_WANT_STATE] = "oil-volume-20 (no state: put leat-state before)",
		[LEAT_OILS_WANT_PRESSURE] = "oil-volume-20 with accumulators (no pressure read)"
	};
	char text[1024];
	int len;

	if (mill->wanted == 0 || oil->warn == NULL)
		return;
	len = snprintf(text, sizeof(text), "'%.*s': not made:", (int)(mill->asset.len < 128 ? mill->asset.len : 128),
	    mill->asset.ptr);
	for (int i = 0, any = 0; i < LEAT_OILS_WANTS; i++)
		if ((mill->wanted & 1u << i) != 0 && len < (int)sizeof(text))
			len += snprintf(text + len, sizeof(text) - (size_t)len, "%s %s", any++ > 0 ? "," : "", words[i]);
	oil->warn(text);
}
