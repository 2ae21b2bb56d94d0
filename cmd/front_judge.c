/*
 * The loop and the account of the judges.
 */
#include "front_judge.h"

int
front_judge_read(struct leat_readings *in, front_judge_take *take, void *judge)
{
	struct leat_reading r;
	struct leat_error err;

	while (front_reading(in, &r)) {
		if (take(judge, &r, &err) != 0) {
			front_error(&err);
			return -1;
		}
	}
	return 0;
}

bool
front_judge_dated(struct leat_time now)
{
	if (leat_time_is_none(now))
		front_fail("option '--now data': no reading in the input");
	return !leat_time_is_none(now);
}

void
front_judge_explained(size_t count)
{
	if (count == 0)
		front_warn("nothing to explain: no judgement is of '%s'", front_opt.explain_what != NULL ? front_opt.explain_what : "*");
}

void
front_judge_end(const struct leat_readings *in, long long later, size_t found)
{
	struct leat_readings_count rows = leat_readings_counted(in);

	front_summary("%lld rows read, %lld rejected, %lld repeated headers, %lld later than now left out", rows.rows,
	    rows.rejected, rows.headers, later);
	if (front_opt.exit_status && found > 0)
		front_raise(FRONT_FOUND);
	front_rejects_end(rows.rows + rows.rejected);
}
