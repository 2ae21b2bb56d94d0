/* How fast a tank warms or cools. */
#include <math.h>

#include "derive/warmth.h"

#define SLOTS (LEAT_WARMTH_MIN + 1)

void
leat_warmth_keep(struct leat_warmth *w, int64_t minute, double temp_c)
{
	size_t before = (w->next + SLOTS - 1) % SLOTS;

	if (isnan(temp_c) || (w->count > 0 && w->minute[before] == minute))
		return;
	w->minute[w->next] = minute;
	w->temp_c[w->next] = temp_c;
	w->next = (w->next + 1) % SLOTS;
	w->count += w->count < SLOTS;
}

double
leat_warmth_k_h(const struct leat_warmth *w, int64_t minute)
{
	double x = 0, y = 0, xx = 0, xy = 0, base = w->temp_c[0];
	int n = 0;

	for (size_t i = 0; i < w->count; i++) {
		double age = (double)(w->minute[i] - minute), temp = w->temp_c[i] - base;

		if (age < -LEAT_WARMTH_MIN)
			continue;
		x += age;
		y += temp;
		xx += age * age;
		xy += age * temp;
		n++;
	}
	return n >= LEAT_WARMTH_KNOWN ? 60 * (n * xy - x * y) / (n * xx - x * x) : NAN;
}
