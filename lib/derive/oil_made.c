/* The oil: the nameplate, and what is told of what was missing. */
#include <math.h>
#include <stdio.h>

#include "derive/oil_private.h"

double
leat_oils_plate(const struct leat_oils *oil, struct leat_span asset, const char *property)
{
	double value;

	return leat_nameplate_number(oil->np, asset, property, oil->time, &value) == 0 ? value : NAN;
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
