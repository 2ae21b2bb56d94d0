/* The known name nearest to a mistyped one: edit distance with swaps of neighbours (optimal string alignment). */
#include "stream/nearest.h"

/* Longer texts are nobody's slip of the finger, and the rows below stay on the stack. */
#define LENGTH_MAX 64

static char
fold(char c)
{
	if (c >= 'A' && c <= 'Z')
		return (char)(c - 'A' + 'a');
	return c == '_' ? '-' : c;
}

static size_t
least(size_t a, size_t b)
{
	return a < b ? a : b;
}

/* Both texts have 1..LENGTH_MAX bytes. */
static size_t
distance(struct leat_span a, struct leat_span b)
{
	size_t row[3][LENGTH_MAX + 1];
	size_t *before = row[0], *above = row[1], *now = row[2];

	for (size_t j = 0; j <= b.len; j++)
		above[j] = j;
	for (size_t i = 1; i <= a.len; i++) {
		now[0] = i;
		for (size_t j = 1; j <= b.len; j++) {
			char x = fold(a.ptr[i - 1]), y = fold(b.ptr[j - 1]);

			now[j] = least(least(above[j], now[j - 1]) + 1, above[j - 1] + (x != y));
			if (i > 1 && j > 1 && x == fold(b.ptr[j - 2]) && y == fold(a.ptr[i - 2]))
				now[j] = least(now[j], before[j - 2] + 1);
		}
		size_t *spare = before;
		before = above;
		above = now;
		now = spare;
	}
	return above[b.len];
}

void
leat_nearest_offer(struct leat_nearest *nearest, const char *name)
{
	struct leat_span known = leat_span_of(name);
	size_t longer = nearest->word.len > known.len ? nearest->word.len : known.len;
	size_t d;

	if (nearest->word.len == 0 || known.len == 0 || longer > LENGTH_MAX)
		return;
	d = distance(nearest->word, known);
	if (d * 3 > longer || (nearest->name != NULL && d >= nearest->distance))
		return;
	nearest->name = name;
	nearest->distance = d;
}
