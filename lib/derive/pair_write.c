/* Two points beside each other: difference and ratio of two values that met. */
#include <math.h>

#include "derive/pair_private.h"

/* Digits of a ratio that mean something: no gauge of the trade is better than 1 in 10 000. */
#define RATIO_DIGITS 5

struct result {
	double difference, ratio;
	bool has_ratio;
	int decimals;
	char unit[16];			/* of the difference */
	enum leat_quality quality;
};

static int
other_dimension(const struct leat_couple *couple, const struct leat_pair_value *a, const struct leat_pair_value *b,
    struct leat_error *err)
{
	return leat_error_set(err, "'%.*s/%.*s' in '%s' and '%.*s/%.*s' in '%s' cannot be set beside each other",
	    (int)couple->asset_of[0].len, couple->asset_of[0].ptr, (int)couple->point_of[0].len, couple->point_of[0].ptr,
	    a->unit_text, (int)couple->asset_of[1].len, couple->asset_of[1].ptr, (int)couple->point_of[1].len,
	    couple->point_of[1].ptr, b->unit_text);
}

/* The unit of a difference is that of the first; but two temperatures differ by kelvins, and two absolute pressures by a
 * plain one. */
static void
difference_unit(struct result *result, const struct leat_pair_value *a)
{
	size_t len = strlen(a->unit_text);

	memcpy(result->unit, a->unit_text, len + 1);
	if (a->unit == NULL)
		return;
	if (a->unit->offset_num != 0)
		memcpy(result->unit, "K", 2);
	else if (strcmp(a->unit->dimension, "pressure-absolute") == 0 && len > 1 &&
	    leat_unit_find(leat_span_make(a->unit_text, len - 1)) != NULL)
		result->unit[len - 1] = '\0';
}

/* Both in the unit of the first, or temperatures in degC. */
static int
compare(const struct leat_couple *couple, const struct leat_pair_value *a, const struct leat_pair_value *b,
    struct result *result, struct leat_error *err)
{
	double first = a->number, second = b->number;
	bool same = strcmp(a->unit_text, b->unit_text) == 0, heat = a->unit != NULL && a->unit->offset_num != 0;
	const struct leat_unit *to = heat ? leat_unit_find(LEAT_SPAN("degC")) : a->unit;

	if (!same && (a->unit == NULL || b->unit == NULL ||
	    (a->unit != b->unit && !leat_unit_same_dimension(a->unit, b->unit))))
		return other_dimension(couple, a, b, err);
	result->decimals = a->decimals > b->decimals ? a->decimals : b->decimals;
	if (a->unit != to || (!same && b->unit != to)) {
		first = leat_unit_convert(a->unit, to, first);
		second = leat_unit_convert(b->unit, to, second);
		result->decimals += 2;
	}
	result->difference = first - second;
	result->ratio = first / second;
	result->has_ratio = !heat && second != 0 && isfinite(result->ratio) && fabs(result->ratio) < 1e299;
	result->quality = a->quality < b->quality ? a->quality : b->quality;
	difference_unit(result, a);
	return 0;
}

static int
add(struct leat_pairing *pairing, const struct leat_couple *couple, struct leat_time stamp, const char *suffix,
    struct leat_span value, const char *unit, enum leat_quality quality)
{
	leat_buf_reset(&pairing->name);
	if (leat_buf_add_span(&pairing->name, couple->point) != 0 ||
	    leat_buf_add(&pairing->name, suffix, strlen(suffix)) != 0)
		return -1;
	leat_readings_add(pairing->out, pairing->in, &(struct leat_reading){
		.time = stamp, .asset = couple->asset, .point = leat_buf_span(&pairing->name), .value = value,
		.unit = leat_span_of(unit), .quality = quality
	});
	pairing->added++;
	return 0;
}

static void
say_value(struct leat_out *out, const struct leat_couple *couple, size_t operand, const struct leat_pair_value *v)
{
	char text[LEAT_NUMBER_MAX];

	leat_out_span(out, couple->asset_of[operand]);
	leat_out_char(out, '/');
	leat_out_span(out, couple->point_of[operand]);
	leat_out_char(out, ' ');
	leat_number_fixed(text, v->number, v->decimals);
	leat_out_text(out, text);
	if (v->unit_text[0] != '\0')
		leat_out_char(out, ' ');
	leat_out_text(out, v->unit_text);
	leat_out_text(out, " (");
	leat_out_text(out, leat_quality_name(v->quality));
	leat_out_text(out, ") ");
}

static bool
asked_for(const struct leat_pairing *pairing, const struct leat_couple *couple)
{
	struct leat_span what = pairing->what, asset = couple->asset, point = couple->point;

	if (what.len == 0 || leat_span_eq(what, asset))
		return true;
	return what.len == asset.len + 1 + point.len && what.ptr[asset.len] == '/' &&
	    leat_span_eq(leat_span_make(what.ptr, asset.len), asset) &&
	    leat_span_eq(leat_span_make(what.ptr + asset.len + 1, point.len), point);
}

static void
explain(struct leat_pairing *pairing, const struct leat_couple *couple, const struct leat_pair_value *a,
    const struct leat_pair_value *b, enum leat_pair_way way, struct leat_time stamp, const struct result *result)
{
	static const char *const words[] = {
		[LEAT_PAIR_EQUAL] = "at the same time", [LEAT_PAIR_HELD] = "as it was read at ",
		[LEAT_PAIR_NEXT] = "as it was read next at ", [LEAT_PAIR_LINE] = "on a line up to the reading of "
	};
	struct leat_out *out = pairing->out;
	char text[LEAT_NUMBER_MAX];

	leat_out_time(out, stamp);
	leat_out_char(out, ' ');
	leat_out_span(out, couple->asset);
	leat_out_char(out, '/');
	leat_out_span(out, couple->point);
	leat_out_text(out, ": ");
	say_value(out, couple, 0, a);
	leat_out_text(out, "at ");
	leat_out_time(out, a->time);
	leat_out_text(out, "; ");
	say_value(out, couple, 1, b);
	leat_out_text(out, words[way]);
	if (way != LEAT_PAIR_EQUAL)
		leat_out_time(out, b->time);
	leat_number_fixed(text, result->difference, result->decimals);
	leat_out_text(out, "; difference ");
	leat_out_text(out, text);
	leat_out_char(out, ' ');
	leat_out_text(out, result->unit);
	if (result->has_ratio) {
		leat_number_significant(text, result->ratio, RATIO_DIGITS);
		leat_out_text(out, ", ratio ");
		leat_out_text(out, text);
	}
	leat_out_char(out, '\n');
}

int
leat_pairing_write(struct leat_pairing *pairing, struct leat_pair_state *state, const struct leat_pair_value *first,
    const struct leat_pair_value *second, enum leat_pair_way way, struct leat_time stamp, struct leat_error *err)
{
	const struct leat_couple *couple = state->couple;
	char text[LEAT_NUMBER_MAX];
	struct result result;
	size_t len;

	if (compare(couple, first, second, &result, err) != 0)
		return -1;
	state->made++;
	state->undefined += !result.has_ratio;
	if (pairing->explain) {
		if (asked_for(pairing, couple))
			explain(pairing, couple, first, second, way, stamp, &result);
		return 0;
	}
	len = leat_number_fixed(text, result.difference, result.decimals);
	if (add(pairing, couple, stamp, ".difference", leat_span_make(text, len), result.unit, result.quality) != 0)
		return leat_error_memory(err);
	if (!result.has_ratio)
		return 0;
	len = leat_number_significant(text, result.ratio, RATIO_DIGITS);
	if (add(pairing, couple, stamp, ".ratio", leat_span_make(text, len), "1", result.quality) != 0)
		return leat_error_memory(err);
	return 0;
}
