#include "stats/merge.h"

#include <string.h>

/* Runs up to this length are sorted by insertion. */
#define FEW 12

/* Sorts n <= FEW keys from in to out and counts inversions. */
static uint64_t
insertion(const double *in, double *out, size_t n)
{
	uint64_t count = 0;

	for (size_t i = 0; i < n; i++) {
		double v = in[i];
		size_t j = i;

		for (; j > 0 && out[j - 1] > v; j--)
			out[j] = out[j - 1];
		count += i - j;
		out[j] = v;
	}
	return count;
}

/*
 * Merges runs of h and h (or h and h + 1) keys that lie one behind the other.  The front and the back are merged at
 * the same time, h steps each: neither can pass the end of a run, so no step asks, and none branches on the data.
 * A key of the right run is in inversion with the keys of the left one that are still to come (from the front) or
 * have gone (from the back).
 */
static uint64_t
merge(const double *in, double *out, size_t n)
{
	size_t h = n / 2;
	const double *p = in, *q = in + h, *pe = q - 1, *qe = in + n - 1;
	double *to = out, *toe = out + n - 1;
	uint64_t count = 0;

	for (size_t i = 0; i < h; i++) {
		double a = *p, b = *q, c = *pe, d = *qe;
		size_t right = b < a, left = c > d;

		*to++ = right ? b : a;
		count += (0 - (uint64_t)right) & (uint64_t)(in + h - p);
		q += right;
		p += 1 - right;
		*toe-- = left ? c : d;
		count += (0 - (uint64_t)(1 - left)) & (uint64_t)(in + h - 1 - pe);
		pe -= left;
		qe -= 1 - left;
	}
	if (n % 2 == 1) {
		if (q <= qe)
			count += (uint64_t)(in + h - p);
		*to = q <= qe ? *q : *p;
	}
	return count;
}

/* Sorts a into a, or into b where to_b. */
static uint64_t
count_runs(double *a, double *b, size_t n, int to_b)
{
	size_t h = n / 2;
	uint64_t count;

	if (n <= FEW) {
		double few[FEW];

		count = insertion(a, few, n);
		memcpy(to_b ? b : a, few, n * sizeof(*a));
		return count;
	}
	count = count_runs(a, b, h, !to_b) + count_runs(a + h, b + h, n - h, !to_b);
	return count + (to_b ? merge(a, b, n) : merge(b, a, n));
}

uint64_t
leat_merge_count(double *key, double *work, size_t n)
{
	return count_runs(key, work, n, 0);
}

struct shower {
	int (*show)(void *user, const struct leat_merge_runs *runs);
	void *user;
};

/* As merge(), with the numbers of the points.  in and out begin at the same place of their arrays. */
static void
merge_at(const double *in, const uint32_t *in_at, double *out, uint32_t *out_at, size_t n)
{
	size_t h = n / 2, p = 0, q = h, pe = h, qe = n, to = 0, toe = n;

	for (size_t i = 0; i < h; i++) {
		size_t right = in[q] < in[p], left = in[pe - 1] > in[qe - 1];
		/* Written so that no compiler makes branches of it. */
		size_t first = p ^ ((p ^ q) & (0 - right)), last = ((pe ^ qe) & (0 - left)) ^ qe;

		out[to] = in[first];
		out_at[to++] = in_at[first];
		q += right;
		p += 1 - right;
		out[--toe] = in[last - 1];
		out_at[toe] = in_at[last - 1];
		pe -= left;
		qe -= 1 - left;
	}
	if (n % 2 == 1) {
		size_t rest = q < qe ? q : p;

		out[to] = in[rest];
		out_at[to] = in_at[rest];
	}
}

static int
sort_runs(struct leat_merge m, int to_work, const struct shower *s)
{
	size_t h = m.n / 2;
	struct leat_merge left = m, right = m;
	const double *key;
	const uint32_t *at;
	int end;

	if (m.n <= 1) {
		if (m.n == 1 && to_work) {
			m.key_work[0] = m.key[0];
			m.at_work[0] = m.at[0];
		}
		return 0;
	}
	left.n = h;
	right = (struct leat_merge){ m.key + h, m.key_work + h, m.at + h, m.at_work + h, m.n - h };
	if ((end = sort_runs(left, !to_work, s)) != 0 || (end = sort_runs(right, !to_work, s)) != 0)
		return end;
	key = to_work ? m.key : m.key_work;
	at = to_work ? m.at : m.at_work;
	if (s->show != NULL) {
		struct leat_merge_runs runs = { key, key + h, at, at + h, h, m.n - h };

		if ((end = s->show(s->user, &runs)) != 0)
			return end;
	}
	if (to_work)
		merge_at(m.key, m.at, m.key_work, m.at_work, m.n);
	else
		merge_at(m.key_work, m.at_work, m.key, m.at, m.n);
	return 0;
}

void
leat_merge_sort(struct leat_merge *m)
{
	struct shower none = { NULL, NULL };

	(void)sort_runs(*m, 0, &none);
}

int
leat_merge_show(struct leat_merge *m, int (*show)(void *user, const struct leat_merge_runs *runs), void *user)
{
	struct shower s = { show, user };

	return sort_runs(*m, 0, &s);
}
