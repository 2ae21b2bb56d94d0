#include "stats/slopes_private.h"

struct tally {
	double doubt;
	uint64_t below, not_above;
};

/* For i of the left run and j of the right one: the slope is below for certain where key i > key j + doubt, and
 * above for certain where key j > key i + doubt. */
static int
add_runs(void *user, const struct leat_merge_runs *r)
{
	struct tally *t = user;
	size_t p = 0, q = 0;

	for (size_t j = 0; j < r->rights; j++) {
		while (p < r->lefts && r->left[p] <= r->right[j] + t->doubt)
			p++;
		while (q < r->lefts && r->right[j] > r->left[q] + t->doubt)
			q++;
		t->below += r->lefts - p;
		t->not_above += r->lefts - q;
	}
	return 0;
}

/* Pairs with equal x that add_runs took for slopes: those whose keys are within doubt.  In a group of equal x the
 * keys ascend with y. */
static uint64_t
tied_within(const struct leat_slopes *s, double m, double doubt)
{
	uint64_t count = 0;

	if (!s->x_ties)
		return 0;
	for (size_t i = 0, j; i < s->n; i = j) {
		for (j = i + 1; j < s->n && s->x[j] == s->x[i]; j++)
			;
		for (size_t k = i, l = i; l < j; l++) {
			while (leat_slopes_key(s, m, l) > leat_slopes_key(s, m, k) + doubt)
				k++;
			count += l - k;
		}
	}
	return count;
}

static void
count_doubtful(struct leat_slopes *s, struct leat_slopes_pivot *p, double doubt)
{
	struct tally t = { doubt, 0, 0 };

	for (size_t i = 0; i < s->n; i++) {
		s->merge.key[i] = leat_slopes_key(s, p->m, i);
		s->merge.at[i] = (uint32_t)i;
	}
	(void)leat_merge_show(&s->merge, add_runs, &t);
	p->below = t.below;
	p->not_above = t.not_above - tied_within(s, p->m, doubt);
}

/* Pairs of equal numbers in ascending key. */
static uint64_t
equal_pairs(const double *key, size_t n)
{
	uint64_t count = 0;

	for (size_t i = 0, j; i < n; i = j) {
		for (j = i + 1; j < n && key[j] == key[i]; j++)
			;
		count += (uint64_t)(j - i) * (j - i - 1) / 2;
	}
	return count;
}

void
leat_slopes_count(struct leat_slopes *s, struct leat_slopes_pivot *p)
{
	double doubt = leat_slopes_doubt(s, p->m), *key = s->merge.key;
	bool near = false;

	for (size_t i = 0; i < s->n; i++)
		key[i] = leat_slopes_key(s, p->m, i);
	p->below = leat_merge_count(key, s->merge.key_work, s->n);
	p->not_above = p->below;
	if (doubt == 0) {
		p->not_above += equal_pairs(key, s->n) - s->both_tied;
		return;
	}
	/* Where no two keys are close, nothing is in doubt.  That is the common case, and the fast one. */
	for (size_t i = 1; i < s->n && !near; i++)
		near = key[i] <= key[i - 1] + doubt;
	if (near)
		count_doubtful(s, p, doubt);
}
