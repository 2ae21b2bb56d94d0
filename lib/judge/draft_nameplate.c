/* A draft of nameplate.csv. */
#include <stdio.h>
#include <string.h>

#include "judge/draft.h"

#define ASSET_MAX 256
#define NOTE_MAX 512

/* The readings that make a property useful: of a kind of asset, and of those properties that fewer can use. */
struct use {
	const char *name, *points;
};

static const struct use kinds[] = {
	{ "mill", "pressure" },
	{ "pump", "drain-flow|pump-running" },
	{ "relief valve", "pressure|pump-pressure" },
	{ "accumulator", "pressure|gas-pressure" },
	{ "cylinder", "pressure|head-pressure" },
	{ "cooler", "oil-in-temperature|oil-out-temperature" },
	{ "element", "filter-dp" },
	{ "sampling point", "count-4um|count-6um|count-14um|water-content|iron" }
};

static const struct use properties[] = {
	{ "rated-power", "mill-power" },
	{ "rated-feed", "feed-rate" },
	{ "energy-price", "feed-rate" },
	{ "margin", "feed-rate" },
	{ "currency", "feed-rate" },
	{ "feed-force-slope", "feed-rate" },
	{ "feed-force-slope-low", "feed-rate" },
	{ "feed-force-slope-high", "feed-rate" },
	{ "equal-feed-days", "feed-rate" },
	{ "auxiliaries-power", "feed-rate" },
	{ "set-head-pressure", "head-pressure" },
	{ "pump-unit-efficiency", "drain-flow" },
	{ "warm-from", "oil-temperature" },
	{ "warm-rate", "oil-temperature" },
	{ "tank-volume", "level" },
	{ "tank-area", "level" },
	{ "oil-grade", "oil-temperature|viscosity-40" },
	{ "oil-viscosity-40", "oil-temperature|viscosity-40" },
	{ "oil-viscosity-100", "oil-temperature|viscosity-40" },
	{ "oil-density-15", "oil-in-temperature|water-content|level" },
	{ "oil-acid-number", "acid-number" },
	{ "oil-zinc", "zinc" },
	{ "target-code", "count-4um|count-6um|count-14um|iso4406" },
	{ "sample-before-filter", "count-6um" },
	{ "sample-behind-filter", "count-6um" },
	{ "drain-meter", "drain-flow" },
	{ "drain-pressure-band", "drain-flow" },
	{ "drain-viscosity-min", "drain-flow" },
	{ "drain-viscosity-max", "drain-flow" },
	{ "pump-settling", "drain-flow" },
	{ "reference-pressure", "drain-flow" },
	{ "reference-temperature", "drain-flow" },
	{ "control-bleed", "drain-flow" },
	{ "as-new-drain-flow", "drain-flow" },
	{ "starts-per-hour", "pump-running|start-counter" },
	{ "as-new-leakage", "seal-leakage" },
	{ "as-new-bore", "bore-diameter" },
	{ "bore-planes", "bore-diameter" },
	{ "bore-wear-most", "bore-diameter" },
	{ "bore-hours-least", "bore-diameter" },
	{ "gauge-uncertainty", "bore-diameter" },
	{ "leak-test-coldest", "seal-leakage" },
	{ "leak-test-warmest", "seal-leakage" },
	{ "leak-test-pause", "seal-leakage" }
};

static const char *
find_use(const struct use *use, size_t count, const char *name)
{
	for (size_t i = 0; i < count; i++)
		if (strcmp(use[i].name, name) == 0)
			return use[i].points;
	return NULL;
}

static const char *
points_of(const struct leat_property *p)
{
	const char *points = find_use(properties, sizeof(properties) / sizeof(properties[0]), p->name);

	return points != NULL ? points : find_use(kinds, sizeof(kinds) / sizeof(kinds[0]), p->belongs);
}

static void
write_row(struct leat_out *out, const char *asset, const struct leat_property *p, const char *value, bool shipped,
    struct leat_draft_rows *done)
{
	char note[NOTE_MAX];

	leat_out_field(out, leat_span_of(asset));
	leat_out_char(out, ',');
	leat_out_text(out, p->name);
	leat_out_char(out, ',');
	leat_out_field(out, leat_span_of(value));
	leat_out_char(out, ',');
	leat_out_text(out, p->unit);
	leat_out_text(out, shipped ? ",,shipped default," : ",,,");
	snprintf(note, sizeof(note), "%s%s", value[0] == '\0' ? "fill in: " : "", p->meaning);
	leat_out_field(out, leat_span_of(note));
	leat_out_char(out, '\n');
	done->rows++;
	done->empty += value[0] == '\0';
}

struct leat_draft_rows
leat_draft_nameplate(struct leat_out *out, const struct leat_holdings *h, const struct leat_nameplate *np,
    const char *zone)
{
	struct leat_draft_rows done = { 0, 0 };
	const struct leat_property *p;
	const char *points, *value;
	char asset[ASSET_MAX];
	size_t at;

	for (size_t i = 0; (p = leat_property_at(i)) != NULL; i++) {
		if (strcmp(p->belongs, "works") != 0 || leat_nameplate_below(np, leat_span_of(""), leat_span_of(p->name)))
			continue;
		at = 0;
		points = find_use(properties, sizeof(properties) / sizeof(properties[0]), p->name);
		/* What nothing is reckoned with, such as a name, is no row to be filled in first. */
		if (points == NULL ? p->fallback == NULL : !leat_draft_asset(h, "mill", points, &at, asset, sizeof(asset)))
			continue;
		/* Nobody's zone is UTC by default. */
		value = strcmp(p->name, "zone") == 0 ? zone : p->fallback != NULL ? p->fallback : "";
		write_row(out, "", p, value, p->fallback != NULL && value == p->fallback, &done);
	}
	for (size_t i = 0; (p = leat_property_at(i)) != NULL; i++) {
		points = points_of(p);
		at = 0;
		while (points != NULL && leat_draft_asset(h, p->belongs, points, &at, asset, sizeof(asset)))
			if (!leat_nameplate_below(np, leat_span_of(asset), leat_span_of(p->name)))
				write_row(out, asset, p, p->fallback != NULL ? p->fallback : "", p->fallback != NULL, &done);
	}
	return done;
}
