/* The oil in use, by nameplate and laboratory. */
#include <math.h>
#include <stdio.h>

#include "derive/oil_in_use.h"
#include "stream/quantity.h"

static double
number(const struct leat_nameplate *np, struct leat_span asset, const char *property, struct leat_time at)
{
	double value;

	return leat_nameplate_number(np, asset, property, at, &value) == 0 ? value : NAN;
}

void
leat_fresh_oil_read(struct leat_fresh_oil *fresh, const struct leat_nameplate *np, struct leat_span asset,
    struct leat_time at)
{
	struct leat_oil_grade grade;

	fresh->at_40_mm2_s = number(np, asset, "oil-viscosity-40", at);
	fresh->at_100_mm2_s = number(np, asset, "oil-viscosity-100", at);
	if (isnan(fresh->at_40_mm2_s) &&
	    leat_oil_grade_find(leat_nameplate_word(np, asset, "oil-grade", at), &grade) == 0)
		fresh->at_40_mm2_s = grade.midpoint_mm2_s;
	fresh->known = leat_oil_between(&fresh->curve, 40, fresh->at_40_mm2_s, 100, fresh->at_100_mm2_s) == 0;
}

void
leat_oil_sheet_init(struct leat_oil_sheet *sheet)
{
	*sheet = (struct leat_oil_sheet){ .at_40_mm2_s = NAN, .time = LEAT_TIME_NONE };
}

int
leat_oil_sheet_take(struct leat_oil_sheet *sheet, struct leat_readings *in, const struct leat_reading *r,
    struct leat_error *err)
{
	const struct leat_unit *mm2_s = leat_unit_find(LEAT_SPAN("mm2/s"));
	double value;
	int got = leat_quantity_of(r, mm2_s, &value, err);

	if (got <= 0)
		return got;
	if (r->quality != LEAT_GOOD || !(value >= LEAT_OIL_VISCOSITY_MIN))
		return 0;
	sheet->at_40_mm2_s = value;
	sheet->time = r->time;
	sheet->asset = leat_readings_assets(in)->name[r->asset_id];
	return 0;
}

void
leat_oil_in_use_read(struct leat_oil_in_use *use, const struct leat_nameplate *np, struct leat_span asset,
    struct leat_time at)
{
	leat_fresh_oil_read(&use->fresh, np, asset, at);
	use->curve = use->fresh.curve;
	use->lab = use->seen = LEAT_TIME_NONE;
}

void
leat_oil_in_use_follow(struct leat_oil_in_use *use, const struct leat_nameplate *np, struct leat_span asset,
    const struct leat_oil_sheet *sheet)
{
	struct leat_fresh_oil then;

	if (leat_time_is_none(sheet->time) || leat_time_cmp(sheet->time, use->seen) == 0)
		return;
	use->seen = sheet->time;
	use->lab = LEAT_TIME_NONE;
	use->curve = use->fresh.curve;
	leat_fresh_oil_read(&then, np, asset, sheet->time);
	if (then.at_40_mm2_s != use->fresh.at_40_mm2_s || then.at_100_mm2_s != use->fresh.at_100_mm2_s)
		return;
	if (leat_oil_through(&use->curve, 40, sheet->at_40_mm2_s) == 0)
		use->lab = sheet->time;
}

void
leat_oil_in_use_words(char *dst, size_t size, const struct leat_oil_in_use *use, const struct leat_oil_sheet *sheet)
{
	char time[LEAT_TIME_MAX];

	if (leat_time_is_none(use->lab)) {
		snprintf(dst, size, "fresh, %.2f mm2/s at 40 degC and %.2f at 100: no laboratory value of this oil",
		    use->fresh.at_40_mm2_s, use->fresh.at_100_mm2_s);
		return;
	}
	leat_time_write(time, use->lab);
	snprintf(dst, size, "%.2f mm2/s at 40 degC by %.*s of %s (fresh %.2f, and %.2f at 100)",
	    leat_oil_viscosity(&use->curve, 40), (int)sheet->asset.len, sheet->asset.ptr, time, use->fresh.at_40_mm2_s,
	    use->fresh.at_100_mm2_s);
}

void
leat_oil_in_use_equation(char *dst, size_t size, const struct leat_oil_in_use *use)
{
	snprintf(dst, size, "log10 log10 (nu + 0.7) = %.5f - %.5f log10 T, T in kelvin (ASTM D341)", use->curve.a, use->curve.b);
}
