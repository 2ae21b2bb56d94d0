/*
 * How clean the oil of each sample is: lib/physics/cleanliness.h fed with readings and the nameplate.
 *
 * A sampling point is an asset with readings of count-4um and so on, or of a typed iso4406; a last part bottle-N of its
 * path is one bottle of it.  All readings of a sampling point at one instant are one sample, and the bottle with the
 * highest number counts: dirt of the valve is in the first one only.  What is made carries the asset of the sampling point.
 *
 * Memory: one record for each sampling point and bottle, and the rows of one instant that may have to be replaced.
 */
#ifndef LEAT_DERIVE_CLEANLINESS_H
#define LEAT_DERIVE_CLEANLINESS_H

#include "physics/cleanliness.h"
#include "stream/current.h"
#include "stream/nameplate.h"

#define LEAT_CLEAN_FLUSH_S 86400.0	/* a flushed-volume is that of samples up to a day later */
#define LEAT_CLEAN_PAIR_S 86400.0	/* samples before and behind the filter are a pair within a day */
#define LEAT_CLEAN_FLUSHES 5.0		/* dead volumes to be let off (common practice) */

/* Private: one bottle of a sample. */
struct leat_clean_bottle {
	int number;			/* 0: the asset names none */
	unsigned has;			/* bits 1 << size of the counts */
	double per_ml[LEAT_PARTICLES];
	enum leat_quality quality[LEAT_PARTICLES];
	bool has_code;
	struct leat_iso4406 code;	/* as typed */
	enum leat_quality code_quality;
};

/* Private: a sampling point. */
struct leat_clean_sample {
	struct leat_span asset;
	uint32_t mill;
	struct leat_clean_bottle *bottle;
	size_t bottles, cap;
	bool touched;			/* it has readings at the instant */
	bool source;			/* something is made of it at the instant, ... */
	bool typed;			/* ... of the code typed under its own asset */
	bool ratio;			/* a ratio is made of it at the instant */
	bool warned;
	double flushed_l;
	struct leat_time flushed_at;	/* LEAT_TIME_NONE: never */
	struct leat_time taken;		/* its last sample with counts, LEAT_TIME_NONE: none; ... */
	unsigned has;			/* ... these, of this quality */
	double per_ml[LEAT_PARTICLES];
	enum leat_quality quality[LEAT_PARTICLES];
	bool paired;			/* its ratio was made */
};

/* Private: a mill, for whether it ran. */
struct leat_clean_mill {
	struct leat_span asset;
	uint32_t *run;			/* series that say so */
	size_t runs, cap;
	struct leat_time last_on;		/* LEAT_TIME_NONE: never seen to run */
	struct leat_time known;			/* its first reading that says whether it runs; LEAT_TIME_NONE: none */
	struct leat_clean_sample *before, *behind;	/* whose ratio is due at the end of the instant */
};

/* Private: what a series is. */
struct leat_clean_series {
	uint8_t role, size;
	int8_t on;			/* 1, 0, -1 not known */
	int bottle;
	uint32_t sample, mill;
};

/* Private: a row of an earlier run, or a typed code, until the instant is over. */
struct leat_clean_held {
	uint32_t sample;
	uint8_t role;
	size_t end;			/* in the buffer */
};

struct leat_clean {
	/* The user sets these before leat_clean_init; all are borrowed. */
	struct leat_readings *in;
	const struct leat_nameplate *np;
	const struct leat_points *points;
	struct leat_out *out;			/* takes the rows or explanations */
	bool copy;				/* rows of the stream are written, so those that are held here too */
	bool explain;				/* explanations in place of rows */
	struct leat_span what;			/* explain this asset or what lies below it only; empty: all */
	void (*warn)(const char *text);		/* is told of what the user should mend; may be NULL */
	/* Is told of a typed code that is none, with the row as it stands; may be NULL. */
	void (*reject)(const struct leat_error *err, struct leat_span row);

	/* What was done. */
	long long samples, uncertain, ratios, added, replaced, rejected;

	/* Private. */
	struct leat_current current;
	struct leat_time time;
	struct leat_clean_series *series;
	size_t series_cap;
	struct leat_names sample_names, mill_names;
	struct leat_clean_sample *sample;
	struct leat_clean_mill *mill;
	size_t sample_cap, mill_cap;
	uint32_t *touched;			/* sampling points with readings at time */
	size_t touches, touch_cap;
	struct leat_clean_held *held;
	size_t helds, held_cap;
	struct leat_buf text;			/* of the held rows */
};

void leat_clean_init(struct leat_clean *clean);

/* Takes a reading in, after writing what belongs before it.  1: the reading stays in the stream; 0: it is replaced, kept
 * back until its instant is over, or rejected; -1 with err: out of memory, or a unit of another dimension. */
int leat_clean_take(struct leat_clean *clean, const struct leat_reading *r, struct leat_error *err) LEAT_MUST_USE;

/* Writes what is due at the end of the stream. */
void leat_clean_end(struct leat_clean *clean);

void leat_clean_free(struct leat_clean *clean);

#endif
