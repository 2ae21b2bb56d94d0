/*
 * Assets of oil samples: a sampling point, and the bottles of one sample below it.
 */
#ifndef LEAT_DERIVE_SAMPLING_POINT_H
#define LEAT_DERIVE_SAMPLING_POINT_H

#include "base/span.h"

#define LEAT_BOTTLES_MAX 99

/* Takes "/bottle-2" off an asset and returns 2; 0 where it names no bottle, 1..LEAT_BOTTLES_MAX. */
int leat_sampling_bottle(struct leat_span *asset);

#endif
