/* What the files of leat-diagnose share. */
#ifndef LEAT_JUDGE_DIAGNOSE_PRIVATE_H
#define LEAT_JUDGE_DIAGNOSE_PRIVATE_H

#include "base/number.h"
#include "judge/diagnose.h"

#define DIAGNOSE_TEXT 2048

/* A mill has no more causes a night: beyond the strongest so many nothing is looked at. */
#define CANDIDATES_MAX 64u

/* One identity of the findings. */
struct fact {
	struct leat_span asset, point, rule;
	const struct leat_finding *row;	/* the one that counts: open, else ended, else ok, else unknown */
	double grade;			/* of the evidence; 0: not there */
	struct leat_time last;		/* newest reading of it, or of its point in the mill; LEAT_TIME_NONE: not known */
	bool open;			/* alert or alarm now */
	bool judged;			/* there, or a row says that it is in order */
	bool own;			/* made by the comparison of sisters */
	bool taken;			/* explained by a candidate that was chosen */
	bool told;			/* ... and that is told */
	size_t mark;			/* of the choice that last asked whether it is shared */
};

enum standing {
	STANDING_MISSING,		/* not judged */
	STANDING_OLD,			/* judged and not there, by readings from before the trouble began */
	STANDING_MUTE,			/* judged and not there, which says nothing */
	STANDING_ABSENT,		/* judged and not there: counts */
	STANDING_TAKEN,			/* there, but a candidate that was chosen before explains it */
	STANDING_PRESENT		/* there: counts */
};

/* What is known of one symptom. */
struct evidence {
	enum standing standing;
	double value;			/* -1..1 */
	const struct fact *fact;	/* that says so; NULL: none */
};

struct candidate {
	const struct leat_mode *mode;
	struct leat_span item;
	struct evidence *evidence;	/* owned, as many as the mode has symptoms */
	double sum, weight;		/* of weight x evidence; of |weight| */
	double score, strength, coverage;
	bool strong;			/* a strong symptom is there */

	/* When it was chosen. */
	bool chosen, told;
	size_t rank;			/* 1: first of its mill; 0: not chosen */
	double confidence;		/* 0..1 */
	const struct leat_mode *rival;	/* the runner-up; NULL: none */
	double rival_confidence, rival_strength;
	double pull, rivals;		/* e^(k strength): its own, and the sum of its rivals' */
	const struct leat_symptom *decider;	/* not judged, and would tell the two apart; NULL: none */
	size_t *explains, explained, explains_cap;	/* facts; owned */
	bool plain;			/* explains one fact, which names the mode by itself */
};

/* Facts that one row of modes.csv matches in one mill, ascending. */
struct hits {
	size_t *fact, count, cap;
	size_t epoch;			/* of the best below */
	struct evidence best;		/* of the whole mill */
};

struct mill {
	struct leat_span name;
	size_t first, count;		/* facts */
	struct candidate *candidate;	/* owned; in the order in which they were chosen, then by strength */
	size_t candidates, cap;
};

/* The newest reading of a series. */
struct newest {
	uint32_t asset, point;		/* names */
	struct leat_time time;		/* LEAT_TIME_NONE: none up to now */
};

struct sister_value {
	uint32_t series;
	struct leat_time time;
	double value;
};

struct sister {
	struct leat_span asset, point;
	const struct leat_unit *unit;
	double middle, noise;		/* of its days; NaN: none */
	size_t days;
	uint32_t kind;
};

struct leat_diagnose {
	struct leat_diagnose_form form;
	struct leat_diagnose_count count;
	struct fact *fact;		/* by mill, asset, point, rule */
	size_t facts, fact_cap;
	struct mill *mill;
	size_t mills, mill_cap;

	struct leat_names rules;	/* of the facts -> which rows of modes.csv */
	size_t *rule_first, *rule_rows;	/* rule_rows[rule_first[r] .. rule_first[r + 1]) */
	struct hits *hits;		/* by row, of the mill that is being judged */
	size_t epoch, marks;

	struct leat_names names, kinds;	/* of readings */
	struct newest *newest;		/* by series of the readings */
	size_t series_seen, newest_cap;
	struct leat_pairs places;	/* (asset or mill, point) -> place ... */
	struct leat_time *place;	/* ... and the newest reading there */
	size_t place_cap;
	struct leat_pairs series;
	signed char *compared;		/* by point of the readings: 0 not asked, 1 yes, -1 no */
	size_t compared_cap;
	struct sister *sister;
	size_t sisters, sister_cap;
	struct sister_value *value;
	size_t values, value_cap;
	struct leat_names texts;	/* of what the comparison found: ... */
	struct leat_finding *odd;
	size_t odds, odd_cap;
};

/* Which facts of the mill each row matches.  0, or -1: memory. */
int diagnose_hits(struct leat_diagnose *d, const struct mill *mill) LEAT_MUST_USE;

/* Evidence and score of a candidate as things stand. */
void diagnose_score(struct leat_diagnose *d, struct candidate *c);

/* Do the fact and the row of the symptom show it to the item? */
bool diagnose_shows(const struct leat_mode_row *row, const struct fact *fact);

/* e^(k strength). */
double diagnose_pull(double strength);

/* Calls each for every hit of the row that concerns the item; it ends where each returns false. */
typedef bool diagnose_each(void *user, size_t fact);
void diagnose_walk(struct leat_diagnose *d, size_t row, struct leat_span item, diagnose_each *each, void *user);

/* Judges one mill whose hits are there.  0, or -1: memory. */
int diagnose_mill(struct leat_diagnose *d, struct mill *mill) LEAT_MUST_USE;

/* Keeps the time of a reading.  0, or -1: memory. */
int diagnose_newest(struct leat_diagnose *d, const struct leat_reading *r) LEAT_MUST_USE;
/* After the last reading.  0, or -1: memory. */
int diagnose_places(struct leat_diagnose *d) LEAT_MUST_USE;
/* Of the asset's point, else of that point anywhere in its mill. */
struct leat_time diagnose_last(const struct leat_diagnose *d, struct leat_span asset, struct leat_span point);

/* Compares sisters and adds their facts.  0, or -1: memory. */
int diagnose_sisters(struct leat_diagnose *d) LEAT_MUST_USE;

/* "pump wear" of pump-wear. */
const char *diagnose_name(char *dst, size_t size, const struct leat_mode *mode);

/* The lists of a candidate.  0, or -1: memory. */
int diagnose_list(struct leat_buf *buf, const struct candidate *c, enum standing standing, bool for_it) LEAT_MUST_USE;
int diagnose_explains(const struct leat_diagnose *d, struct leat_buf *buf, const struct candidate *c) LEAT_MUST_USE;

#endif
