/*
 * The loop of the derive filters.
 */
#include "front_derive.h"

static long long later;

int
front_derive(struct leat_readings *in, front_take *take, void *filter, bool copy)
{
	struct leat_time now = front_opt.now_data ? LEAT_TIME_NONE : front_now();
	struct leat_reading r;
	struct leat_error err;
	int kept = 0;

	leat_readings_pass_to(in, copy ? front_stdout() : NULL);
	while (kept >= 0 && front_reading(in, &r)) {
		if (!leat_time_is_none(now) && leat_time_cmp(r.time, now) > 0) {
			later++;
			continue;
		}
		kept = take(filter, &r, &err);
		if (kept > 0 && copy)
			leat_readings_copy(front_stdout(), in, &r);
	}
	if (kept >= 0)
		return 0;
	front_error(&err);
	return -1;
}

void
front_derive_end(const struct leat_readings *in)
{
	struct leat_readings_count count = leat_readings_counted(in);

	front_summary("%lld rows read, %lld rejected, %lld repeated headers, %lld later than now left out", count.rows,
	    count.rejected, count.headers, later);
	front_rejects_end(count.rows + count.rejected);
}
