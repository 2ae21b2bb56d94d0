/* Assets of oil samples. */
#include "derive/sampling_point.h"

#include "base/number.h"

#define BOTTLE "bottle-"

int
leat_sampling_bottle(struct leat_span *asset)
{
	size_t at = asset->len, word = strlen(BOTTLE);
	struct leat_span part;
	int64_t number;

	while (at > 0 && asset->ptr[at - 1] != '/')
		at--;
	if (at < 2)
		return 0;
	part = leat_span_make(asset->ptr + at, asset->len - at);
	if (!leat_span_starts(part, BOTTLE) ||
	    leat_int_parse(leat_span_make(part.ptr + word, part.len - word), 1, LEAT_BOTTLES_MAX, &number) != 0)
		return 0;
	asset->len = at - 1;
	return (int)number;
}
