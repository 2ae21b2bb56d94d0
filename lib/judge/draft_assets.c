/* Drafts: the assets that readings speak of. */
#include <stdio.h>
#include <string.h>

#include "judge/draft.h"

/* What is read more seldom is typed by hand. */
#define BY_INSTRUMENT_S 3600.0

static bool
is_one_of(struct leat_span point, const char *points)
{
	struct leat_span rest = leat_span_of(points), word;

	while (leat_span_next(&rest, '|', &word))
		if (leat_span_eq(word, point))
			return true;
	return false;
}

static bool
is_part(const char *belongs)
{
	return strcmp(belongs, "pump") == 0 || strcmp(belongs, "cooler") == 0 || strcmp(belongs, "element") == 0 ||
	    strcmp(belongs, "sampling point") == 0;
}

static bool
by_instrument(const struct leat_holding *r)
{
	return r->logged == 0 && r->found.sample_s >= 0 && r->found.sample_s <= BY_INSTRUMENT_S;
}

/* Is the reading typed by hand, while the mill has the point by instrument? */
static bool
is_copy(const struct leat_holdings *h, const struct leat_holding *r)
{
	const struct leat_holding *other;

	if (by_instrument(r))
		return false;
	for (size_t i = 0; i < h->count; i++) {
		other = &h->row[i];
		if (by_instrument(other) && leat_span_eq(other->mill, r->mill) && leat_span_eq(other->point, r->point))
			return true;
	}
	return false;
}

/* Was the asset found already, by an earlier row? */
static bool
seen_before(const struct leat_holdings *h, size_t at, const char *points, bool part)
{
	const struct leat_holding *r = &h->row[at], *other;

	for (size_t i = 0; i < at; i++) {
		other = &h->row[i];
		if (other->point.len == 0 || !is_one_of(other->point, points) || (part && is_copy(h, other)))
			continue;
		if (leat_span_eq(part ? other->asset : other->mill, part ? r->asset : r->mill))
			return true;
	}
	return false;
}

bool
leat_draft_asset(const struct leat_holdings *h, const char *belongs, const char *points, size_t *at, char *asset,
    size_t size)
{
	const struct leat_holding *r;
	struct leat_span name;
	bool part = is_part(belongs);

	for (; *at < h->count; (*at)++) {
		r = &h->row[*at];
		if (r->point.len == 0 || leat_span_is(r->mill, "-") || !is_one_of(r->point, points) ||
		    (part && is_copy(h, r)) || seen_before(h, *at, points, part))
			continue;
		name = part ? r->asset : r->mill;
		snprintf(asset, size, "%.*s%s", (int)name.len, name.ptr, strcmp(belongs, "relief valve") == 0 ? "/relief" : "");
		(*at)++;
		return true;
	}
	return false;
}
