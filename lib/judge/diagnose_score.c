/* Evidence of symptoms, and the score of a mode at an item. */
#include <math.h>

#include "judge/diagnose_private.h"
#include "stream/points.h"

bool
diagnose_shows(const struct leat_mode_row *row, const struct fact *fact)
{
	return fact->grade > 0 && (row->says.len == 0 || leat_glob(row->says, fact->row->message));
}

/* How a fact's asset stands to the prefix of len bytes: by bytes, where it is shorter than that as if it ended in nothing. */
static int
cmp_prefix(struct leat_span asset, struct leat_span prefix)
{
	return leat_span_cmp(leat_span_make(asset.ptr, asset.len < prefix.len ? asset.len : prefix.len), prefix);
}

/* The first hit whose asset is not before the text; with whole, that of which the text is not a prefix. */
static size_t
lower(const struct leat_diagnose *d, const struct hits *h, struct leat_span text, bool whole)
{
	size_t from = 0, to = h->count;

	while (from < to) {
		size_t middle = from + (to - from) / 2;
		struct leat_span asset = d->fact[h->fact[middle]].asset;

		if ((whole ? leat_span_cmp(asset, text) : cmp_prefix(asset, text)) < 0)
			from = middle + 1;
		else
			to = middle;
	}
	return from;
}

/* Those of one asset; false where each ended it. */
static bool
walk_asset(struct leat_diagnose *d, const struct hits *h, struct leat_span asset, diagnose_each *each, void *user)
{
	for (size_t i = lower(d, h, asset, true); i < h->count && leat_span_eq(d->fact[h->fact[i]].asset, asset); i++)
		if (!each(user, h->fact[i]))
			return false;
	return true;
}

/* Facts are in the order of their assets' bytes within a mill, so those below one asset lie together: they begin with it and
 * '/'. */
void
diagnose_walk(struct leat_diagnose *d, size_t row, struct leat_span item, diagnose_each *each, void *user)
{
	const struct hits *h = &d->hits[row];
	char below[1024];
	struct leat_span prefix = leat_span_make(below, item.len + 1), asset = item;

	if (h->count == 0)
		return;
	do {
		if (!walk_asset(d, h, asset, each, user))
			return;
	} while (leat_asset_parent(asset, &asset));
	if (prefix.len > sizeof(below))
		return;
	memcpy(below, item.ptr, item.len);
	below[item.len] = '/';
	for (size_t i = lower(d, h, prefix, false); i < h->count && cmp_prefix(d->fact[h->fact[i]].asset, prefix) == 0; i++)
		if (!each(user, h->fact[i]))
			return;
}

struct look {
	struct leat_diagnose *d;
	const struct leat_mode_row *row;
	struct evidence best;
};

/* Of evidence that is there the gravest, else that of absence which tells most; the first among equals. */
static bool
better(const struct evidence *a, const struct evidence *b)
{
	if (a->standing != b->standing)
		return a->standing > b->standing;
	return fabs(a->value) > fabs(b->value);
}

static bool
look_at(void *user, size_t index)
{
	struct look *look = user;
	const struct fact *fact = &look->d->fact[index];
	struct evidence e = { STANDING_ABSENT, look->row->absent, fact };

	if (diagnose_shows(look->row, fact))
		e = (struct evidence){ fact->taken ? STANDING_TAKEN : STANDING_PRESENT, fact->taken ? 0 : fact->grade, fact };
	else if (look->row->absent == 0)
		e.standing = STANDING_MUTE;
	if (look->best.fact == NULL || better(&e, &look->best))
		look->best = e;
	return !(e.standing == STANDING_PRESENT && e.value >= 1);
}

/* What one row says of the item. */
static struct evidence
look_row(struct leat_diagnose *d, size_t index, struct leat_span item)
{
	struct look look = { d, &d->form.modes->row[index], { STANDING_MISSING, 0, NULL } };
	struct hits *h = &d->hits[index];

	if (!look.row->mill) {
		diagnose_walk(d, index, item, look_at, &look);
		return look.best;
	}
	/* Anywhere in the mill: the same for all its items until something more is explained. */
	if (h->epoch != d->epoch) {
		for (size_t i = 0; i < h->count && look_at(&look, h->fact[i]); i++)
			;
		h->best = look.best;
		h->epoch = d->epoch;
	}
	return h->best;
}

/* When the trouble began: the first of what shows it, as far as that is known. */
static struct leat_time
begun(const struct candidate *c)
{
	struct leat_time first = LEAT_TIME_NONE;

	for (size_t s = 0; s < c->mode->symptoms; s++) {
		const struct evidence *e = &c->evidence[s];

		if (e->standing == STANDING_PRESENT && c->mode->symptom[s].weight > 0 && !leat_time_is_none(e->fact->row->since) &&
		    (leat_time_is_none(first) || leat_time_cmp(e->fact->row->since, first) < 0))
			first = e->fact->row->since;
	}
	return first;
}

/* What was last read before that does not tell whether it is there. */
static void
drop_old(struct candidate *c)
{
	struct leat_time first = begun(c);

	for (size_t s = 0; s < c->mode->symptoms && !leat_time_is_none(first); s++) {
		struct evidence *e = &c->evidence[s];

		if ((e->standing == STANDING_ABSENT || e->standing == STANDING_MUTE) && !leat_time_is_none(e->fact->last) &&
		    leat_time_cmp(e->fact->last, first) < 0)
			e->standing = STANDING_OLD;
	}
}

void
diagnose_score(struct leat_diagnose *d, struct candidate *c)
{
	c->sum = c->weight = 0;
	c->strong = false;
	for (size_t s = 0; s < c->mode->symptoms; s++) {
		const struct leat_symptom *symptom = &c->mode->symptom[s];
		struct evidence *e = &c->evidence[s];

		*e = (struct evidence){ STANDING_MISSING, 0, NULL };
		for (size_t k = 0; k < symptom->rows; k++) {
			struct evidence one = look_row(d, symptom->row[k], c->item);

			if (one.fact != NULL && (e->fact == NULL || better(&one, e)))
				*e = one;
		}
	}
	drop_old(c);
	for (size_t s = 0; s < c->mode->symptoms; s++) {
		const struct leat_symptom *symptom = &c->mode->symptom[s];
		const struct evidence *e = &c->evidence[s];

		if (e->standing != STANDING_ABSENT && e->standing != STANDING_PRESENT)
			continue;
		c->sum += symptom->weight * e->value;
		c->weight += fabs(symptom->weight);
		c->strong = c->strong || (e->standing == STANDING_PRESENT && symptom->weight >= LEAT_MODE_STRONG);
	}
	c->score = c->weight > 0 ? c->sum / c->weight : 0;
	c->strength = c->sum / (c->weight + LEAT_DIAGNOSE_HELD);
	c->coverage = c->mode->whole > 0 ? c->weight / c->mode->whole : 0;
}
