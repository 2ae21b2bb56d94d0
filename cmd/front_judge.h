/*
 * What every judge of readings does alike: reads to the end, says what there was, and sets the exit status.
 */
#ifndef LEAT_CMD_FRONT_JUDGE_H
#define LEAT_CMD_FRONT_JUDGE_H

#include "front.h"

/* What the judge does with one reading: 0, or -1 with err. */
typedef int front_judge_take(void *judge, const struct leat_reading *r, struct leat_error *err);

/* Reads in to its end.  0, or -1 when take failed (reported). */
int front_judge_read(struct leat_readings *in, front_judge_take *take, void *judge);

/* Is now known?  Under --now data it is not where no reading came, which is said, as a failure. */
bool front_judge_dated(struct leat_time now);

/* After an explanation of so many judgements: warns when there was none. */
void front_judge_explained(size_t count);

/* At the end: says under --summary what was read and how much of it was later than now, compares the rejects with what
 * is allowed, and under -e raises the status where something was found that is neither ok nor shelved. */
void front_judge_end(const struct leat_readings *in, long long later, size_t found);

#endif
