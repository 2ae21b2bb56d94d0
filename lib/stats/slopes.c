#include "stats/slopes.h"

#include <stdlib.h>
#include <string.h>

#include "stats/order.h"
#include "stats/scatter.h"
#include "stats/slopes_private.h"

/* Up to so many pairs are always listed: all pairs of about 360 points. */
#define FEW_PAIRS 65536

/* Beyond these, products of slopes and x could overflow. */
#define LARGEST 1e100
#define CLOSEST 1e-50
#define STEEPEST 4e150

/* Rounds of sampling before bits are halved instead. */
#define ROUNDS 40

/* A value near the median, so that the keys of most points are small. */
static double
usual(const double *v, size_t n)
{
	double some[101];
	size_t count = n < 101 ? n : 101;

	for (size_t i = 0; i < count; i++)
		some[i] = v[i * n / count];
	return count > 0 ? leat_order_select(some, count, count / 2) : 0;
}

int
leat_slopes_init(struct leat_slopes *s, const double *x, const double *y, size_t n, struct leat_error *err)
{
	bool ordered = true;

	*s = (struct leat_slopes){ .x = x, .y = y, .n = n, .seed = UINT64_C(0x9e3779b97f4a7c15) };
	for (size_t i = 0; i < n; i++) {
		if (fabs(x[i]) > LARGEST || fabs(y[i]) > LARGEST)
			return leat_error_set(err, "point %zu is too large to compute slopes", i + 1);
		if (i > 0 && ordered)
			ordered = x[i - 1] < x[i] || (x[i - 1] == x[i] && y[i - 1] <= y[i]);
	}
	if (!ordered) {
		if ((s->own = malloc(2 * n * sizeof(*s->own))) == NULL ||
		    leat_scatter_order(x, y, n, s->own, s->own + n) < 0) {
			free(s->own);
			return leat_error_memory(err);
		}
		s->x = s->own;
		s->y = s->own + n;
	}
	s->pairs = n > 0 ? (uint64_t)n * (n - 1) / 2 : 0;
	s->x_mid = usual(s->x, n);
	s->y_mid = usual(s->y, n);
	for (size_t i = 0, j; i < n; i = j) {
		for (j = i + 1; j < n && s->x[j] == s->x[i]; j++)
			;
		if (j < n && s->x[j] - s->x[i] < CLOSEST) {
			leat_slopes_free(s);
			return leat_error_set(err, "two x are too close to compute a slope");
		}
		s->pairs -= (uint64_t)(j - i) * (j - i - 1) / 2;
		s->x_ties |= j > i + 1;
		for (size_t k = i, l; k < j; k = l) {
			for (l = k + 1; l < j && s->y[l] == s->y[k]; l++)
				;
			s->both_tied += (uint64_t)(l - k) * (l - k - 1) / 2;
		}
	}
	for (size_t i = 0; i < n; i++) {
		s->x_reach = fmax(s->x_reach, fabs(s->x[i] - s->x_mid));
		s->y_reach = fmax(s->y_reach, fabs(s->y[i] - s->y_mid));
	}
	s->room = n + n / 4 > FEW_PAIRS ? n + n / 4 : FEW_PAIRS;
	return 0;
}

void
leat_slopes_free(struct leat_slopes *s)
{
	free(s->own);
	free(s->list);
	free(s->merge.key);
	free(s->merge.key_work);
	free(s->merge.at);
	free(s->merge.at_work);
	memset(s, 0, sizeof(*s));
}

/* Room to count and list in; nothing where all slopes are listed anyway. */
static int
prepare(struct leat_slopes *s, struct leat_error *err)
{
	size_t n = s->n;

	if (s->list != NULL)
		return 0;
	s->list = malloc((s->pairs < s->room ? (size_t)s->pairs : s->room) * sizeof(*s->list));
	if (s->list != NULL && s->pairs <= s->room)
		return 0;
	s->merge = (struct leat_merge){ malloc(n * sizeof(double)), malloc(n * sizeof(double)),
		malloc(n * sizeof(uint32_t)), malloc(n * sizeof(uint32_t)), n };
	if (s->list == NULL || s->merge.key == NULL || s->merge.key_work == NULL || s->merge.at == NULL ||
	    s->merge.at_work == NULL)
		return leat_error_memory(err);
	return 0;
}

static void
list_all(struct leat_slopes *s)
{
	size_t count = 0;

	for (size_t i = 0; i < s->n; i++)
		for (size_t j = i + 1; j < s->n; j++)
			if (s->x[i] < s->x[j])
				s->list[count++] = leat_slopes_of(s, i, j);
	s->first = 1;
	s->listed = count;
}

/* The search for one rank.  The slope is above low and below high. */
struct search {
	uint64_t rank;
	struct leat_slopes_pivot low, high;
	bool found, stuck;
	double slope;		/* when found; when stuck the best known */
};

/* Computes the slopes in doubt at p->m.  False: too many. */
static bool
tell(struct leat_slopes *s, struct leat_slopes_pivot *p)
{
	struct leat_slopes_found f = { .over = p->m, .under = p->m };

	/* Slopes are 0 for equal y only, and those are in no doubt. */
	if (p->m == 0 || s->rough) {
		p->less = p->below;
		p->equal = p->not_above - p->below;
	} else {
		if (p->not_above - p->below > LEAT_SLOPES_PATIENCE)
			return false;
		leat_slopes_list(s, p->m, p->m, &f);
		p->less = p->below + f.less;
		p->equal = f.equal;
		if (!f.whole)
			return false;
	}
	return p->told = true;
}

static void
place(struct leat_slopes *s, struct search *f, struct leat_slopes_pivot *p)
{
	bool above = f->rank > p->not_above, below = f->rank <= p->below;

	if (f->found || f->stuck)
		return;
	if (!above && !below) {
		f->slope = p->m;
		if (!p->told && !tell(s, p)) {
			f->stuck = true;
			return;
		}
		below = f->rank <= p->less;
		above = f->rank > p->less + p->equal;
	}
	if (above && p->m > f->low.m)
		f->low = *p;
	if (below && p->m < f->high.m)
		f->high = *p;
	f->found = !above && !below;
}

static void
try(struct leat_slopes *s, struct search *f, double m)
{
	struct leat_slopes_pivot p = { .m = m };

	if (f->found || f->stuck || !isfinite(m) || m <= f->low.m || m >= f->high.m)
		return;
	leat_slopes_count(s, &p);
	place(s, f, &p);
	if (s->pivots < LEAT_SLOPES_PIVOTS)
		s->pivot[s->pivots++] = p;
}

/* Halfway between two doubles as they are represented, so that 64 halvings always come to an end. */
static double
halfway(double a, double b)
{
	int64_t i, j;
	uint64_t top = UINT64_C(1) << 63;
	double m;

	memcpy(&i, &a, sizeof(i));
	memcpy(&j, &b, sizeof(j));
	i = i < 0 ? (int64_t)(top - (uint64_t)i) : i;
	j = j < 0 ? (int64_t)(top - (uint64_t)j) : j;
	i = (i & j) + ((i ^ j) >> 1);
	i = i < 0 ? (int64_t)(top - (uint64_t)i) : i;
	memcpy(&m, &i, sizeof(m));
	return m;
}

/* A slope between those at index k and k + 1 of the ascending list, so that it is no pair's own and nothing is in
 * doubt there; where they are equal, that one. */
static double
gap_at(double *list, size_t n, size_t k)
{
	double low = leat_order_select(list, n, k), next = low;

	if (k + 1 < n) {
		next = list[k + 1];
		for (size_t i = k + 2; i < n; i++)
			next = list[i] < next ? list[i] : next;
	}
	return low + (next - low) / 2;
}

/* Tries two slopes that should have the one looked for between them.  drawn slopes are in the list, chosen at
 * random from those of which it is the share-th. */
static bool
narrow(struct leat_slopes *s, struct search *f, size_t drawn, double share)
{
	struct leat_slopes_pivot low = f->low, high = f->high;
	size_t inside = 0, k, margin;
	double first = NAN, last = NAN;

	for (size_t i = 0; i < drawn; i++)
		if (s->list[i] > low.m && s->list[i] < high.m)
			s->list[inside++] = s->list[i];
	if (inside == 0)
		return false;
	share = share > 1 ? 1 : share < 0 ? 0 : share;
	margin = (size_t)(2.5 * sqrt((double)inside * share * (1 - share))) + 1;
	k = (size_t)(share * (double)(inside - 1));
	if (k >= margin)
		first = gap_at(s->list, inside, k - margin);
	if (k + margin < inside)
		last = gap_at(s->list, inside, k + margin);
	if (isnan(first) && isnan(last))
		first = leat_order_select(s->list, inside, k);
	try(s, f, first);
	try(s, f, last);
	return f->found || f->stuck || f->low.m != low.m || f->high.m != high.m;
}

/* Lists what lies between low and high, or chooses from it at random where it is too much. */
static void
list_between(struct leat_slopes *s, const struct search *f, struct leat_slopes_found *found)
{
	*found = (struct leat_slopes_found){ .over = f->low.m, .under = f->high.m };
	if (f->high.below > f->low.not_above + s->room || f->high.not_above - f->low.below > LEAT_SLOPES_PATIENCE)
		return;
	leat_slopes_list(s, f->low.m, f->high.m, found);
	if (!found->whole || found->inside > s->room)
		return;
	s->first = f->low.below + found->less + found->equal + 1;
	s->listed = found->listed;
}

/* Takes the slopes between low and high for evenly spread: tries one where the rank should be, then one beyond it, so
 * that hardly more than fits the list is between.  False where this does little, as with slopes that repeat. */
static bool
interpolate(struct leat_slopes *s, struct search *f)
{
	double low = f->low.m, high = f->high.m, under = (double)f->low.not_above, count = (double)f->high.below - under;
	double at = (double)f->rank - under - 0.5, extra = (double)s->room / 4, m = low + (high - low) * (at / count), per;

	if (isinf(low) || isinf(high) || !(count > 0) || !(at > 0 && at < count))
		return false;
	try(s, f, m);
	if (f->found || f->stuck)
		return true;
	per = (high - low) / count;
	if (f->low.m == m)
		try(s, f, m + per * (1.1 * ((double)f->rank - (double)f->low.not_above) + extra));
	else if (f->high.m == m)
		try(s, f, m - per * (1.1 * ((double)f->high.below - (double)f->rank) + extra));
	return f->found || f->stuck || (double)f->high.below - (double)f->low.not_above < count / 16;
}

/* Narrows by a random choice of what is between, or by halving bits where that is none. */
static void
draw(struct leat_slopes *s, struct search *f, const struct leat_slopes_found *found, int round)
{
	double low = f->low.m, high = f->high.m, rank = (double)f->rank - 0.5;
	bool closer;

	if (found->whole) {
		closer = narrow(s, f, found->listed,
		    (rank - (double)(f->low.below + found->less + found->equal)) / (double)found->inside);
	} else {
		uint64_t count = f->high.not_above - f->low.below;
		size_t drawn = round < ROUNDS ? leat_slopes_sample(s, low, high, count) : 0;

		closer = narrow(s, f, drawn, (rank - (double)f->low.not_above) /
		    ((double)f->high.below - (double)f->low.not_above));
	}
	if (!closer)
		try(s, f, halfway(isinf(low) ? -STEEPEST : low, isinf(high) ? STEEPEST : high));
}

/* One round: lists, or narrows. */
static void
advance(struct leat_slopes *s, struct search *f, int round)
{
	struct leat_slopes_found found;
	double low = f->low.m, high = f->high.m;

	list_between(s, f, &found);
	if (s->listed > 0 && f->rank >= s->first && f->rank - s->first < s->listed) {
		f->found = true;
		f->slope = leat_order_select(s->list, s->listed, (size_t)(f->rank - s->first));
	} else if (halfway(low, high) == low) {
		f->found = true;
		f->slope = high;
	} else if (found.whole || !interpolate(s, f)) {
		/* Narrowed all the same, perhaps: what was listed lies between the old bounds. */
		if (f->low.m == low && f->high.m == high)
			draw(s, f, &found, round);
	}
}

static double
search(struct leat_slopes *s, uint64_t rank)
{
	struct search f = { .rank = rank };

	f.low = (struct leat_slopes_pivot){ .m = -INFINITY };
	f.high = (struct leat_slopes_pivot){ .m = INFINITY, .below = s->pairs, .not_above = s->pairs };
	for (size_t i = 0; i < s->pivots; i++)
		place(s, &f, &s->pivot[i]);
	/* Values with few decimals often repeat: many slopes are 0. */
	try(s, &f, 0);
	for (int round = 0; !f.found && !f.stuck; round++)
		advance(s, &f, round);
	if (f.found || s->rough)
		return f.slope;
	/* Too much is in doubt: one value is larger than the others by far, or almost all points lie on one line. */
	s->rough = true;
	s->pivots = 0;
	s->listed = 0;
	return search(s, rank);
}

int
leat_slopes_select(struct leat_slopes *s, uint64_t rank, double *slope, struct leat_error *err)
{
	if (prepare(s, err) < 0)
		return -1;
	if (s->listed == 0 && s->pairs <= s->room)
		list_all(s);
	if (s->listed > 0 && rank >= s->first && rank - s->first < s->listed)
		*slope = leat_order_select(s->list, s->listed, (size_t)(rank - s->first));
	else
		*slope = search(s, rank);
	return 0;
}
