/*
 * Between the files of derive/cleanliness.h.
 */
#ifndef LEAT_DERIVE_CLEANLINESS_PRIVATE_H
#define LEAT_DERIVE_CLEANLINESS_PRIVATE_H

#include "derive/cleanliness.h"

/* What a series is to the filter. */
enum leat_clean_role {
	LEAT_CLEAN_ROLE_NEW,
	LEAT_CLEAN_ROLE_OTHER,	/* an instrument of the mill: its switches are valid while such report */
	LEAT_CLEAN_ROLE_SILENT,	/* what others derive, and laboratory values: no sign that instruments report */
	LEAT_CLEAN_ROLE_RUN,
	LEAT_CLEAN_ROLE_FLUSH,
	LEAT_CLEAN_ROLE_COUNT,
	LEAT_CLEAN_ROLE_CODE,	/* iso4406: typed, or made here */
	LEAT_CLEAN_ROLE_MADE,
	LEAT_CLEAN_ROLE_RATIO
};

/* Did the mill run when the sample was taken? */
enum leat_clean_running { LEAT_CLEAN_RAN, LEAT_CLEAN_JUST_STOPPED, LEAT_CLEAN_STOOD, LEAT_CLEAN_RUN_UNKNOWN };

/* Was the sampling valve flushed? */
enum leat_clean_flushing {
	LEAT_CLEAN_LATER_BOTTLE,	/* a bottle was filled before this one */
	LEAT_CLEAN_FLUSHED,
	LEAT_CLEAN_FLUSHED_LITTLE,
	LEAT_CLEAN_FIRST_BOTTLE,	/* and nothing is known of flushing */
	LEAT_CLEAN_FLUSH_UNKNOWN
};

/* What is made of one sample. */
struct leat_clean_result {
	const struct leat_clean_sample *sample;
	const struct leat_clean_bottle *bottle;
	bool counted;			/* from counts, not from a typed code */
	struct leat_iso4406 code, target;
	enum leat_quality validity;	/* of the sample, by flushing, running and rising counts */
	enum leat_quality place[LEAT_ISO4406_PLACES], worst;
	enum leat_clean_running running;
	enum leat_clean_flushing flushing;
	double need_l, after_stop_min;
	bool rises;
	int places, above;		/* places compared with the target, and the worst of them */
	int band[LEAT_NAS1638_BANDS], nas;
};

/* Writes what is due of the instant. */
void leat_clean_finish(struct leat_clean *clean);

/* Works out a sample whose bottle is chosen. */
void leat_clean_work_out(struct leat_clean *clean, struct leat_clean_sample *sample, const struct leat_clean_bottle *bottle,
    struct leat_clean_result *result);

/* Writes its rows, or explains it. */
void leat_clean_write(struct leat_clean *clean, const struct leat_clean_result *result);
void leat_clean_tell(const struct leat_clean *clean, const struct leat_clean_result *result);

/* Writes or explains the ratio of the counts before and behind the filter. */
void leat_clean_ratio(struct leat_clean *clean, const struct leat_clean_sample *before, struct leat_clean_sample *behind);

#endif
