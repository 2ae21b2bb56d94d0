/* The columns of a series: M4 aggregation (Jugel et al., VLDB 2014) over columns that double in width. */
#include <math.h>
#include <stdlib.h>

#include "tell/picture_private.h"

#define NARROWEST (1.0 / 1024)

void
picture_bin_merge(struct picture_bin *into, const struct picture_bin *b)
{
	if (!b->used)
		return;
	if (!into->used) {
		*into = *b;
		return;
	}
	if (b->low.v < into->low.v)
		into->low = b->low;
	if (b->high.v > into->high.v)
		into->high = b->high;
	into->last = b->last;
	into->until = b->until;
	into->words |= b->words;
}

/* Doubles the width of all columns. */
static void
widen(struct picture_bins *b)
{
	int64_t base = (b->base - (b->base & 1)) / 2;
	size_t count = 0;

	for (size_t i = 0; i < b->count; i++) {
		struct picture_bin bin = b->bin[i];
		size_t to = (size_t)((b->base + (int64_t)i - ((b->base + (int64_t)i) & 1)) / 2 - base);

		memset(&b->bin[i], 0, sizeof(b->bin[i]));
		picture_bin_merge(&b->bin[to], &bin);
		count = to + 1;
	}
	b->count = count;
	b->base = base;
	b->width *= 2;
}

/* The column of a time, made where it is new; NULL when memory is out. */
static struct picture_bin *
column(struct picture_bins *b, double t)
{
	int64_t number;

	if (!b->started) {
		b->width = NARROWEST;
		b->base = (int64_t)floor(t / b->width);
		b->started = true;
	}
	while ((number = (int64_t)floor(t / b->width)) - b->base >= (int64_t)b->most)
		widen(b);
	if (number < b->base)
		number = b->base;
	if (leat_grow(&b->bin, &b->cap, (size_t)(number - b->base) + 1, sizeof(*b->bin)) != 0)
		return NULL;
	if ((size_t)(number - b->base) >= b->count)
		b->count = (size_t)(number - b->base) + 1;
	return &b->bin[number - b->base];
}

/* Ends what is known of the last column that is used. */
static void
end_last(struct picture_bins *b, double t)
{
	for (size_t i = b->count; i-- > 0;) {
		if (b->bin[i].used) {
			if (t < b->bin[i].until)
				b->bin[i].until = t < b->bin[i].last.t ? b->bin[i].last.t : t;
			return;
		}
	}
}

void
picture_bins_break(struct picture_bins *b, double t)
{
	if (!b->started || b->cut)
		return;
	b->cut = true;
	b->cut_at = b->hold_s > 0 && t > b->last_t + b->hold_s ? b->last_t + b->hold_s : t;
	end_last(b, b->cut_at);
}

int
picture_bins_put(struct picture_bins *b, double t, double v, bool uncertain, uint32_t words)
{
	struct picture_dot dot = { t, v, uncertain };
	struct picture_bin *bin;

	if (b->started && b->hold_s > 0 && t - b->last_t > b->hold_s)
		picture_bins_break(b, t);
	if ((bin = column(b, t)) == NULL)
		return -1;
	if (!bin->used) {
		*bin = (struct picture_bin){ true, b->cut, INFINITY, dot, dot, dot, dot, words };
	} else {
		bin->last = dot;
		bin->until = INFINITY;
		bin->words |= words;
		if (v < bin->low.v)
			bin->low = dot;
		if (v > bin->high.v)
			bin->high = dot;
	}
	b->cut = false;
	b->last_t = t;
	b->drawn++;
	b->uncertain += uncertain;
	return 0;
}

uint32_t
picture_bins_word(struct picture_bins *b, struct leat_span word)
{
	uint32_t id = leat_names_get(&b->words, word);

	if (id != LEAT_NAME_NONE)
		return id;
	return b->words.count >= PICTURE_WORDS ? PICTURE_WORDS : leat_names_put(&b->words, word);
}

void
picture_bins_free(struct picture_bins *b)
{
	free(b->bin);
	leat_names_free(&b->words);
}
