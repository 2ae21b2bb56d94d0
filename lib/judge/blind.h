/*
 * Which judgements a works' data allows, which stay blind, and what reading would open them.
 *
 * Every judgement needs readings, at a least rate (common practice; what a historian, a round, a sample and a stop can
 * give).  One whose readings are not there is blind; one is coarse when a rate is too low, compression may have taken its
 * cycles away, or the span is too short for a baseline (fewer than 50 hours with values and fewer than 10 daily values,
 * common practice); otherwise it is possible.
 */
#ifndef LEAT_JUDGE_BLIND_H
#define LEAT_JUDGE_BLIND_H

#include "judge/holdings.h"
#include "stream/nameplate.h"
#include "stream/out.h"

/*
 * needs: groups separated by blanks, all of which are needed; one in brackets only helps.  A group is points of
 * leat-points(7) with '|' between them, one of which is enough; '@60s' after one is the longest interval between its values;
 * '=name' is a property of leat-nameplate(7).
 */
struct leat_judgement {
	const char *name;
	const char *needs;
	const char *modes;	/* failure modes that it sees, separated by blanks; "" when others rest on it */
	double least_hours;	/* with values of the first point; 0: none needed */
	int least_days;		/* with values; either is enough */
	bool cycles;		/* counts pump-ups: rate and compression against their length and height */
};

#define LEAT_JUDGEMENTS_MAX 64
const struct leat_judgement *leat_judgement_at(size_t index);	/* NULL past the end */

/* Is that failure mode among those that it sees? */
bool leat_judgement_sees(const struct leat_judgement *judgement, struct leat_span mode);

enum leat_blind { LEAT_BLIND, LEAT_BLIND_COARSE, LEAT_BLIND_POSSIBLE };

struct leat_blind_row {
	enum leat_blind state;
	struct leat_buf has, reason, opens;	/* owned; leat_blind_row_free */
};

/* Judges one judgement for a mill over holdings that are judged and mapped.  0, or -1 when memory is out. */
int leat_blind_judge(const struct leat_judgement *judgement, const struct leat_holdings *h,
    const struct leat_nameplate *np, struct leat_span mill, struct leat_blind_row *row) LEAT_MUST_USE;
void leat_blind_row_free(struct leat_blind_row *row);

#define LEAT_BLIND_HEADER "mill,judgement,state,needs,has,reason,opens,failure_modes\n"

void leat_blind_write(struct leat_out *out, struct leat_span mill, const struct leat_judgement *judgement,
    const struct leat_blind_row *row);

/* "blind", "coarse", "possible". */
const char *leat_blind_name(enum leat_blind state);

/* Appends the failure modes that no judgement sees of those in seen (as many as leat_judgement_at has: the state of each),
 * with ", " between them.  0, or -1 when memory is out. */
int leat_blind_modes(const enum leat_blind *seen, struct leat_buf *modes) LEAT_MUST_USE;

#endif
