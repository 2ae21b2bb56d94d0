#include "stats/slopes_private.h"

/* Pairs drawn from all: they narrow the search to about a hundredth of them. */
#define ENOUGH 131072

/* Going through pairs. */
struct walk {
	struct leat_slopes *s;
	struct leat_slopes_found *found;
	double doubt;			/* of the keys that are being merged */
	uint64_t steps;
	uint64_t next, gap;		/* sampling: pairs to pass before the next is taken; mean distance */
};

/* Takes the slope of points i and j, i before j in the order of x. */
static void
take(struct walk *w, size_t i, size_t j)
{
	struct leat_slopes_found *f = w->found;
	double m = leat_slopes_of(w->s, i, j);

	if (m < f->over) {
		f->less++;
	} else if (m == f->over) {
		f->equal++;
	} else if (m < f->under) {
		f->inside++;
		if (f->listed < w->s->room) {
			w->s->list[f->listed++] = m;
		} else {
			uint64_t at = leat_slopes_random(w->s, f->inside);

			if (at < f->listed)
				w->s->list[at] = m;
		}
	}
}

/* Brings the points into the order for slope m, those with equal keys in the order of x. */
static void
order(struct leat_slopes *s, double m)
{
	for (size_t i = 0; i < s->n; i++) {
		s->merge.key[i] = leat_slopes_key(s, m, i);
		s->merge.at[i] = (uint32_t)i;
	}
	if (!isinf(m))
		leat_merge_sort(&s->merge);
}

/* Pairs that stand the wrong way round for low, by so little that it is in doubt, and are not above high for
 * certain. */
static bool
walk_doubtful(struct walk *w, double low, double high)
{
	struct leat_slopes *s = w->s;
	const double *key = s->merge.key;
	const uint32_t *at = s->merge.at;
	double doubt = leat_slopes_doubt(s, low), high_doubt = leat_slopes_doubt(s, high);

	if (doubt == 0)
		return true;
	for (size_t p = 0; p < s->n; p++)
		for (size_t q = p + 1; q < s->n && key[q] <= key[p] + doubt; q++) {
			size_t i = at[q], j = at[p];

			if (++w->steps > LEAT_SLOPES_PATIENCE)
				return false;
			if (s->x[i] < s->x[j] &&
			    leat_slopes_key(s, high, j) <= leat_slopes_key(s, high, i) + high_doubt)
				take(w, i, j);
		}
	return true;
}

/* The points stand in the order for low, so slopes with those before are not below low.  They are not above high
 * for certain where key j <= key i + doubt: those that j passes on its way to its place in the order for high, and
 * some more. The way is short, since hardly more slopes are between than fit the list. */
static bool
walk_between(struct walk *w)
{
	struct leat_slopes *s = w->s;
	double *key = s->merge.key;
	uint32_t *at = s->merge.at;

	for (size_t q = 1; q < s->n; q++) {
		double k = key[q];
		uint32_t j = at[q];
		size_t p = q, to;

		for (; p > 0 && key[p - 1] > k; p--) {
			key[p] = key[p - 1];
			at[p] = at[p - 1];
			if (s->x[at[p]] < s->x[j])
				take(w, at[p], j);
		}
		to = p;
		for (; p > 0 && k <= key[p - 1] + w->doubt; p--)
			if (s->x[at[p - 1]] < s->x[j])
				take(w, at[p - 1], j);
		key[to] = k;
		at[to] = j;
		w->steps += q - p;
		if (w->steps > LEAT_SLOPES_PATIENCE)
			return false;
	}
	return true;
}

/* Slope 0 has a key of its own, so pairs of equal y are in doubt at 0 but stand in the order of x: seen by
 * walk_between. */
void
leat_slopes_list(struct leat_slopes *s, double low, double high, struct leat_slopes_found *f)
{
	struct walk w = { s, f, leat_slopes_doubt(s, high), 0, 0, 0 };

	f->less = f->equal = f->inside = 0;
	f->listed = 0;
	s->listed = 0;
	order(s, low);
	f->whole = walk_doubtful(&w, low, high);
	if (!f->whole)
		return;
	for (size_t i = 0; i < s->n; i++)
		s->merge.key[i] = leat_slopes_key(s, high, s->merge.at[i]);
	f->whole = walk_between(&w);
}

static int
sample_runs(void *user, const struct leat_merge_runs *r)
{
	struct walk *w = user;
	struct leat_slopes *s = w->s;

	for (size_t j = 0, p = 0; j < r->rights; j++) {
		uint64_t more;

		while (p < r->lefts && r->left[p] <= r->right[j])
			p++;
		more = r->lefts - p;
		for (; w->next < more; w->next += 1 + leat_slopes_random(s, 2 * w->gap - 1)) {
			size_t a = r->left_at[p + w->next], b = r->right_at[j];

			if (s->x[a] >= s->x[b])
				continue;
			s->list[w->found->listed++] = leat_slopes_of(s, a, b);
			if (w->found->listed == s->room)
				return 1;
		}
		w->next -= more;
	}
	return 0;
}

/* Pairs drawn from all, those with equal x left out. */
static size_t
sample_all(struct leat_slopes *s)
{
	size_t count = 0, most = s->room < ENOUGH ? s->room : ENOUGH;

	for (size_t i = 0; i < most; i++) {
		size_t a = leat_slopes_random(s, s->n), b = leat_slopes_random(s, s->n);

		if (s->x[a] < s->x[b])
			s->list[count++] = leat_slopes_of(s, a, b);
		else if (s->x[a] > s->x[b])
			s->list[count++] = leat_slopes_of(s, b, a);
	}
	return count;
}

size_t
leat_slopes_sample(struct leat_slopes *s, double low, double high, uint64_t count)
{
	struct leat_slopes_found f = { .listed = 0 };
	struct walk w = { s, &f, 0, 0, 0, 0 };

	s->listed = 0;
	if (count >= s->pairs / 16)
		return sample_all(s);
	/* A little wider, so that the room lasts to the end. */
	w.gap = 1 + count / s->room + count / s->room / 64;
	w.next = leat_slopes_random(s, w.gap);
	order(s, low);
	for (size_t i = 0; i < s->n; i++)
		s->merge.key[i] = leat_slopes_key(s, high, s->merge.at[i]);
	(void)leat_merge_show(&s->merge, sample_runs, &w);
	return f.listed;
}
