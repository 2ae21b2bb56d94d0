/*
 * Between the files that score past diagnoses.
 */
#ifndef LEAT_JUDGE_REPLAY_DIAGNOSIS_H
#define LEAT_JUDGE_REPLAY_DIAGNOSIS_H

#include "judge/replay_private.h"

/* From the best to the worst. */
enum leat_outcome { RIGHT, PLAIN, SECOND, WRONG, UNTOLD, UNSEEN, OUTCOMES };

/* What was diagnosed of one fault. */
struct leat_course {
	size_t nights[OUTCOMES];	/* but UNSEEN */
	struct leat_time first;		/* night that was first right; LEAT_TIME_NONE: none was */
	enum leat_outcome outcome;
	struct leat_names taken;	/* wrong and second: the modes it was taken for ... */
	size_t *count, cap;		/* ... on so many nights */
};

/* Nights on which one mode was told of one asset, a day apart. */
struct leat_spell {
	struct leat_span asset, mode;
	struct leat_time first, last;
	bool told, known, warned;		/* a fault is behind it, be it taken for another; it announced a work */
};

struct leat_replay_scorer {
	struct leat_replay *replay;
	struct leat_names keys;		/* identities, as explains has them -> item */
	struct leat_course *course;		/* by fault */
	struct leat_spell *spell;
	size_t spells, spell_cap;
};


/* Counts a night on which it was taken for that mode.  0, or -1 when memory is out. */
int leat_replay_note_taken(struct leat_names *taken, size_t **count, size_t *cap, struct leat_span mode, size_t nights)
    LEAT_MUST_USE;
/* Is the fault one whose diagnosis is scored? */
bool leat_replay_is_scored(const struct leat_replay *replay, const struct leat_fault *f);
/* Was the diagnosis told without a fault? */
bool leat_replay_is_false(const struct leat_replay *replay, const struct leat_spell *p);

#endif
