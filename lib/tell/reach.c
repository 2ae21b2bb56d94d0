/*
 * How far the readings of each mill reach.
 */
#include "tell/reach.h"

#include <stdlib.h>

#include "stream/points.h"
#include "stream/reading.h"

/* The number of the mill of an asset, looked up by name once for each asset. */
static int
mill_of(struct leat_reaches *reaches, const struct leat_reading *r, uint32_t *mill)
{
	if (leat_grow(&reaches->mill_of, &reaches->mill_cap, (size_t)r->asset_id + 1, sizeof(*reaches->mill_of)) != 0)
		return -1;
	if (reaches->mill_of[r->asset_id] == 0) {
		*mill = leat_names_put(&reaches->mills, leat_asset_mill(r->asset));
		if (*mill == LEAT_NAME_NONE)
			return -1;
		if (leat_grow(&reaches->reach, &reaches->cap, (size_t)*mill + 1, sizeof(*reaches->reach)) != 0)
			return -1;
		if (*mill == reaches->count) {
			reaches->reach[*mill] = (struct leat_reach){ reaches->mills.name[*mill], LEAT_TIME_NONE };
			reaches->count++;
		}
		reaches->mill_of[r->asset_id] = *mill + 1;
	}
	*mill = reaches->mill_of[r->asset_id] - 1;
	return 0;
}

static int
take(struct leat_reaches *reaches, const struct leat_reading *r)
{
	uint32_t mill;

	if (mill_of(reaches, r, &mill) != 0)
		return -1;
	reaches->last = r->time;
	if (r->quality != LEAT_BAD && !leat_span_is(r->point, "state"))
		reaches->reach[mill].last = r->time;
	return 0;
}

static int
cmp_mills(const void *a, const void *b)
{
	return leat_span_cmp(((const struct leat_reach *)a)->mill, ((const struct leat_reach *)b)->mill);
}

static int
read_all(struct leat_reaches *reaches, struct leat_readings *in, struct leat_time now, struct leat_error *err)
{
	struct leat_reading r;

	for (;;) {
		switch (leat_readings_next(in, &r, err)) {
		case LEAT_READINGS_FAILED:
			return -1;
		case LEAT_READINGS_END:
			return 0;
		case LEAT_READINGS_BAD:
			reaches->rejected++;
			break;
		case LEAT_READINGS_ROW:
			if ((leat_time_is_none(now) || leat_time_cmp(r.time, now) <= 0) && take(reaches, &r) != 0)
				return leat_error_memory(err);
			break;
		}
	}
}

int
leat_reach_read(struct leat_reaches *reaches, const char *path, struct leat_time now, struct leat_error *err)
{
	char *file = leat_strndup(leat_span_of(path));
	struct leat_readings *in = file != NULL ? leat_readings_open(&file, 1, err) : NULL;
	int result = file != NULL ? -1 : leat_error_memory(err);

	reaches->last = LEAT_TIME_NONE;
	if (in != NULL) {
		result = read_all(reaches, in, now, err);
		leat_readings_close(in);
	}
	free(file);
	if (reaches->count > 0)
		qsort(reaches->reach, reaches->count, sizeof(*reaches->reach), cmp_mills);
	return result;
}

void
leat_reach_free(struct leat_reaches *reaches)
{
	leat_names_free(&reaches->mills);
	free(reaches->reach);
	free(reaches->mill_of);
	*reaches = (struct leat_reaches){ 0 };
}
