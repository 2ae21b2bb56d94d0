/* Which modes at which items may be behind the findings of a mill, and which of them are likely. */
#include <math.h>
#include <stdlib.h>

#include "judge/diagnose_private.h"
#include "stream/points.h"

#define SPEAKS 1e-9	/* weight of whatever speaks for a mode */

/* Assets at which a mode shows itself. */
struct places {
	struct leat_span *asset;
	size_t count, cap;
};

static int
cmp_assets(const void *a, const void *b)
{
	return leat_span_cmp(*(const struct leat_span *)a, *(const struct leat_span *)b);
}

/* Adds the assets of the facts that show the symptoms of the mode at an item.  *elsewhere: does any show it that may stand
 * anywhere in the mill? */
static int
find_places(struct leat_diagnose *d, const struct leat_mode *mode, struct places *p, bool *elsewhere)
{
	const struct leat_modes *modes = d->form.modes;

	*elsewhere = false;
	for (size_t s = 0; s < mode->symptoms; s++)
		for (size_t k = 0; mode->symptom[s].weight > 0 && k < mode->symptom[s].rows; k++) {
			const struct leat_mode_row *row = &modes->row[mode->symptom[s].row[k]];
			const struct hits *h = &d->hits[mode->symptom[s].row[k]];

			for (size_t i = 0; i < h->count; i++) {
				if (!diagnose_shows(row, &d->fact[h->fact[i]]))
					continue;
				*elsewhere = *elsewhere || row->mill;
				if (row->mill)
					break;
				if (leat_grow(&p->asset, &p->cap, p->count + 1, sizeof(*p->asset)) != 0)
					return -1;
				p->asset[p->count++] = d->fact[h->fact[i]].asset;
			}
		}
	return 0;
}

/* Leaves each asset once, and none of which a part is there too: the deeper one takes the evidence of both.  A part comes
 * right behind its whole but for names that differ after it, so it is looked for. */
static void
deepest(struct places *p)
{
	size_t n = 0;

	if (p->count == 0)
		return;
	qsort(p->asset, p->count, sizeof(*p->asset), cmp_assets);
	for (size_t i = 0; i < p->count; i++)
		if (i == 0 || !leat_span_eq(p->asset[i], p->asset[n - 1]))
			p->asset[n++] = p->asset[i];
	p->count = n;
	n = 0;
	for (size_t i = 0; i < p->count; i++) {
		bool whole = false;

		/* What begins with it lies behind it without a gap. */
		for (size_t j = i + 1; j < p->count && !whole && p->asset[j].len > p->asset[i].len &&
		    memcmp(p->asset[j].ptr, p->asset[i].ptr, p->asset[i].len) == 0; j++)
			whole = leat_asset_within(p->asset[j], p->asset[i]);
		if (!whole)
			p->asset[n++] = p->asset[i];
	}
	p->count = n;
}

static int
add_candidate(struct leat_diagnose *d, struct mill *mill, const struct leat_mode *mode, struct leat_span item)
{
	struct candidate *c;

	if (leat_grow(&mill->candidate, &mill->cap, mill->candidates + 1, sizeof(*mill->candidate)) != 0)
		return -1;
	c = &mill->candidate[mill->candidates];
	*c = (struct candidate){ .mode = mode, .item = item, .evidence = calloc(mode->symptoms, sizeof(*c->evidence)) };
	if (c->evidence == NULL)
		return -1;
	mill->candidates++;
	d->count.candidates++;
	diagnose_score(d, c);
	return 0;
}

static int
find_candidates(struct leat_diagnose *d, struct mill *mill)
{
	const struct leat_modes *modes = d->form.modes;
	struct places p = { 0 };
	bool elsewhere;
	int result = 0;

	for (size_t m = 0; result == 0 && m < modes->count; m++) {
		p.count = 0;
		result = find_places(d, &modes->mode[m], &p, &elsewhere);
		deepest(&p);
		if (result == 0 && p.count == 0 && elsewhere)
			result = add_candidate(d, mill, &modes->mode[m], mill->name);
		for (size_t i = 0; result == 0 && i < p.count; i++)
			result = add_candidate(d, mill, &modes->mode[m], p.asset[i]);
	}
	free(p.asset);
	return result;
}

/* The order in which candidates are thought of: chosen ones as they were chosen, then the strongest, then by name. */
static int
cmp_candidates(const void *a, const void *b)
{
	const struct candidate *x = a, *y = b;
	int order;

	if (x->rank != y->rank)
		return x->rank == 0 ? 1 : y->rank == 0 ? -1 : x->rank < y->rank ? -1 : 1;
	if (x->strong != y->strong)
		return x->strong ? -1 : 1;
	if (x->strength != y->strength)
		return x->strength > y->strength ? -1 : 1;
	order = leat_span_cmp(x->mode->name, y->mode->name);
	return order != 0 ? order : leat_span_cmp(x->item, y->item);
}

static void
keep_strongest(struct leat_diagnose *d, struct mill *mill)
{
	if (mill->candidates > 0)
		qsort(mill->candidate, mill->candidates, sizeof(*mill->candidate), cmp_candidates);
	while (mill->candidates > CANDIDATES_MAX) {
		free(mill->candidate[--mill->candidates].evidence);
		d->count.crowded++;
	}
}

static struct candidate *
strongest(struct mill *mill)
{
	struct candidate *best = NULL;

	for (size_t i = 0; i < mill->candidates; i++) {
		struct candidate *c = &mill->candidate[i];

		if (!c->chosen && c->strong && c->score >= LEAT_DIAGNOSE_LEAST && (best == NULL || cmp_candidates(c, best) < 0))
			best = c;
	}
	return best;
}

/* Calls each for every fact that shows a symptom which speaks for the candidate with at least that weight; one may come
 * twice. */
struct showing {
	struct leat_diagnose *d;
	const struct leat_mode_row *row;
	diagnose_each *each;
	void *user;
	bool more;
};

static bool
show_one(void *user, size_t fact)
{
	struct showing *s = user;

	if (diagnose_shows(s->row, &s->d->fact[fact]) && !s->d->fact[fact].taken)
		s->more = s->each(s->user, fact);
	return s->more;
}

static void
walk_for(struct leat_diagnose *d, const struct candidate *c, double least, diagnose_each *each, void *user)
{
	struct showing s = { d, NULL, each, user, true };

	for (size_t i = 0; s.more && i < c->mode->symptoms; i++)
		for (size_t k = 0; s.more && c->mode->symptom[i].weight >= least && k < c->mode->symptom[i].rows; k++) {
			size_t index = c->mode->symptom[i].row[k];
			const struct hits *h = &d->hits[index];

			s.row = &d->form.modes->row[index];
			if (!s.row->mill)
				diagnose_walk(d, index, c->item, show_one, &s);
			for (size_t n = 0; s.row->mill && n < h->count && show_one(&s, h->fact[n]); n++)
				;
		}
}

struct taking {
	struct leat_diagnose *d;
	struct candidate *c;
	bool failed;
};

static bool
take_fact(void *user, size_t index)
{
	struct taking *t = user;
	struct fact *fact = &t->d->fact[index];

	if (fact->mark == t->d->marks)
		return true;
	fact->mark = t->d->marks;
	if (leat_grow(&t->c->explains, &t->c->explains_cap, t->c->explained + 1, sizeof(*t->c->explains)) != 0) {
		t->failed = true;
		return false;
	}
	t->c->explains[t->c->explained++] = index;
	return true;
}

static bool
mark_fact(void *user, size_t index)
{
	struct taking *t = user;

	t->d->fact[index].mark = t->d->marks;
	return true;
}

static bool
is_shared(void *user, size_t index)
{
	struct taking *t = user;

	t->failed = t->d->fact[index].mark == t->d->marks;
	return !t->failed;
}

/* Does it show in a finding that is a strong symptom of the chosen one, and does more speak for it than against it? */
static bool
rivals(struct leat_diagnose *d, const struct candidate *c, const struct candidate *other)
{
	struct taking t = { d, NULL, false };

	if (other->chosen || other->mode == c->mode || other->sum <= 0)
		return false;
	walk_for(d, other, SPEAKS, is_shared, &t);
	return t.failed;
}

double
diagnose_pull(double strength)
{
	return exp(LEAT_DIAGNOSE_STEEP * strength);
}

/* Of the symptoms that are not judged, that by whose weight the two differ most. */
static const struct leat_symptom *
find_decider(const struct candidate *c, const struct candidate *other)
{
	const struct leat_symptom *best = NULL;
	double most = 0;

	for (int side = 0; side < 2; side++) {
		const struct candidate *a = side == 0 ? c : other, *b = side == 0 ? other : c;

		for (size_t s = 0; s < a->mode->symptoms; s++) {
			const struct leat_symptom *symptom = &a->mode->symptom[s];
			double weight = symptom->weight;

			if (a->evidence[s].standing > STANDING_OLD || symptom->read.len == 0)
				continue;
			for (size_t k = 0; k < b->mode->symptoms; k++)
				if (leat_span_eq(b->mode->symptom[k].words, symptom->words))
					weight -= b->mode->symptom[k].weight;
			if (fabs(weight) > most) {
				most = fabs(weight);
				best = symptom;
			}
		}
	}
	return best;
}

/* Is there a stronger one of the same mode that shares its findings with the one that was chosen?  One of a mode counts. */
static bool
is_lesser(const struct mill *mill, const bool *shares, size_t i)
{
	for (size_t k = 0; k < mill->candidates; k++)
		if (k != i && shares[k] && mill->candidate[k].mode == mill->candidate[i].mode &&
		    cmp_candidates(&mill->candidate[k], &mill->candidate[i]) < 0)
			return true;
	return false;
}

/* How sure it is, against all that may be behind the same findings. */
static void
set_confidence(struct leat_diagnose *d, struct mill *mill, struct candidate *c)
{
	double sum;
	const struct candidate *first = NULL;
	bool shares[CANDIDATES_MAX];

	c->pull = diagnose_pull(c->strength);
	c->rivals = 0;
	for (size_t i = 0; i < mill->candidates; i++)
		shares[i] = rivals(d, c, &mill->candidate[i]);
	for (size_t i = 0; i < mill->candidates; i++) {
		const struct candidate *other = &mill->candidate[i];

		if (!shares[i] || is_lesser(mill, shares, i))
			continue;
		c->rivals += diagnose_pull(other->strength);
		if (first == NULL || other->strength > first->strength ||
		    (other->strength == first->strength && cmp_candidates(other, first) < 0))
			first = other;
	}
	sum = c->pull + c->rivals + diagnose_pull(LEAT_DIAGNOSE_ELSE);
	c->confidence = fmin(LEAT_DIAGNOSE_SUREST, c->pull / sum);
	if (first == NULL)
		return;
	c->rival = first->mode;
	c->rival_strength = first->strength;
	c->rival_confidence = diagnose_pull(first->strength) / sum;
	c->decider = find_decider(c, first);
}

/* Is the finding its plain name? */
static bool
is_plain(struct leat_diagnose *d, const struct candidate *c, const struct fact *fact)
{
	for (size_t s = 0; s < c->mode->symptoms; s++)
		for (size_t k = 0; k < c->mode->symptom[s].rows; k++) {
			const struct leat_mode_row *row = &d->form.modes->row[c->mode->symptom[s].row[k]];

			if (row->plain && leat_glob(row->rule, fact->rule) && leat_glob(row->point, fact->point) &&
			    leat_glob(row->asset, fact->asset) && diagnose_shows(row, fact))
				return true;
		}
	return false;
}

static int
cmp_sizes(const void *a, const void *b)
{
	size_t x = *(const size_t *)a, y = *(const size_t *)b;

	return x < y ? -1 : x > y;
}

static int
choose(struct leat_diagnose *d, struct mill *mill, struct candidate *c, size_t rank)
{
	struct taking t = { d, c, false };
	const struct fact *one = NULL;
	size_t open = 0, rows = 0;

	d->marks++;
	walk_for(d, c, SPEAKS, take_fact, &t);
	if (t.failed)
		return -1;
	/* It has a strong symptom, so there is one. */
	qsort(c->explains, c->explained, sizeof(*c->explains), cmp_sizes);
	d->marks++;
	walk_for(d, c, LEAT_MODE_STRONG, mark_fact, &t);
	set_confidence(d, mill, c);
	c->chosen = true;
	c->rank = rank;
	for (size_t i = 0; i < c->explained; i++) {
		struct fact *fact = &d->fact[c->explains[i]];

		fact->taken = true;
		open += fact->open && !fact->own;
		/* What is not printed needs no line to stand under. */
		if (!fact->own || d->form.all) {
			one = fact;
			rows++;
		}
	}
	c->plain = rows == 1 && is_plain(d, c, one);
	c->told = open > 0 && !c->plain && c->confidence >= LEAT_DIAGNOSE_TOLD;
	for (size_t i = 0; i < c->explained && c->told; i++) {
		d->fact[c->explains[i]].told = true;
		d->count.explained += d->fact[c->explains[i]].open;
	}
	d->count.diagnoses += open > 0;
	d->count.plain += open > 0 && c->plain;
	d->epoch++;
	return 0;
}

int
diagnose_mill(struct leat_diagnose *d, struct mill *mill)
{
	struct candidate *c;
	size_t rank = 0;

	if (find_candidates(d, mill) != 0)
		return -1;
	keep_strongest(d, mill);
	while ((c = strongest(mill)) != NULL) {
		if (choose(d, mill, c, ++rank) != 0)
			return -1;
		for (size_t i = 0; i < mill->candidates; i++)
			if (!mill->candidate[i].chosen)
				diagnose_score(d, &mill->candidate[i]);
	}
	if (mill->candidates > 0)
		qsort(mill->candidate, mill->candidates, sizeof(*mill->candidate), cmp_candidates);
	return 0;
}
