/*
 * Between the files of judge/verdict.h.
 */
#ifndef LEAT_JUDGE_VERDICT_PRIVATE_H
#define LEAT_JUDGE_VERDICT_PRIVATE_H

#include "judge/verdict.h"
#include "stream/current.h"

/* One result of one sampling point under one row. */
struct leat_verdict_result {
	struct leat_time time;
	double value;			/* in the unit of the watch; of a time to clean or dry: INFINITY is never */
	bool certain;			/* of good quality */
	bool idle;			/* the row's gate was not true: it says nothing */
	bool unlimited;			/* the row has no limits, and too few results came before it to make own ones: likewise */
	int bottle;
	enum leat_status status;	/* ok, alert or alarm */
	double limit;			/* that was passed, or NAN */
	double bound;			/* the alert limit on that side, else the alarm limit */
	bool low, own;			/* passed downwards; the limit is the sampling point's own */
	size_t own_n;			/* results before that make own limits, with ... */
	double median, spread;		/* ... this median and 1.48 median distances */
};

/* One row of oil.csv on one sampling point; or, without a row, what leat-oil says beside: its times to clean and dry, and
 * the share of another oil that would explain the viscosity. */
enum leat_verdict_kind { LEAT_VERDICT_RESULT, LEAT_VERDICT_CLEANING, LEAT_VERDICT_DRYING, LEAT_VERDICT_SHARE };

struct leat_verdict_watch {
	const struct leat_oil_rule *row;	/* NULL: what is said beside */
	enum leat_verdict_kind kind;
	uint32_t sample, tank, key;
	struct leat_span point;
	const struct leat_unit *unit;	/* in which values are kept; NULL: none */
	bool unit_known;
	int decimals;			/* most that were written */
	struct leat_verdict_result *result;	/* in order of time */
	size_t results, cap;
};

/* One rule and point of a tank, with all sampling points that have it. */
struct leat_verdict_key {
	const struct leat_oil_rule *row;	/* one of the rows that rule it */
	uint32_t tank;
	struct leat_span point;
};

/* What a key comes to at an instant. */
struct leat_verdict_evidence {
	const struct leat_verdict_key *key;
	const struct leat_verdict_watch *watch;		/* of the result; NULL: no result at all */
	const struct leat_verdict_result *result;	/* the worst of the last sampling */
	struct leat_time time;		/* of the last sampling that says something; LEAT_TIME_NONE: none */
	bool stale;			/* it is older than the row's max_age */
	enum leat_status status;	/* what counts: alert at least where unconfirmed */
	int times;			/* samplings one after the other that were beyond a limit for certain */
	bool beyond, confirmed;
};

/* A tank at an instant. */
struct leat_verdict_case {
	uint32_t tank;
	struct leat_time at;
	const struct leat_log_entry *changed;	/* the oil; NULL: not known */
	struct leat_verdict_evidence *evidence;
	size_t count;
	enum leat_status status;
	enum leat_oil_verdict verdict;
	bool confirmed;
	size_t missing;			/* needed and not there, or too old */
	struct leat_time sampled, valid_until;	/* LEAT_TIME_NONE: none */
	double clean_h, dry_h;		/* NAN: not known; INFINITY: never */
	double tank_l;			/* NAN: not known */
	double share;			/* of fresh oil that is needed, 0..1; above 1: no share is enough; NAN: not asked */
	double most;			/* share up to which a part is renewed */
	const struct leat_verdict_evidence *share_by;
};

#define LEAT_VERDICT_TEXT 1400

/* An episode: from the first sampling that was not in order to the first that was. */
struct leat_verdict_episode {
	struct leat_time since, until;
	struct leat_time reached;	/* its worst status, ... */
	struct leat_time turned;	/* ... and that of now */
	enum leat_status status, last;	/* its worst, and that of the last instant */
	enum leat_oil_verdict verdict;	/* what was said at its worst */
	bool confirmed;
	double value, limit;		/* of what is to be looked into */
	char message[LEAT_VERDICT_TEXT];
};

/* What a finding is about: the oil of a tank, or a rule of it that asks to look into something else. */
struct leat_verdict_subject {
	uint32_t tank;
	const struct leat_verdict_key *key;	/* NULL: the oil */
	struct leat_verdict_episode open;	/* since is LEAT_TIME_NONE: none */
	struct leat_verdict_episode *over;	/* that ended since the window opened */
	size_t overs, over_cap;
};

/* What a series of the stream is to the judge. */
struct leat_verdict_series {
	bool resolved;
	bool asked;			/* gates look at its point */
	int bottle;
	uint32_t sample;		/* LEAT_NAME_NONE: no sampling point */
	size_t watch, watches;		/* in verdict->of */
};

struct leat_verdict {
	struct leat_verdict_form form;
	struct leat_current current;
	struct leat_time time, now, since;
	struct leat_names samples, tanks;
	uint32_t *tank_of;		/* by sampling point */
	uint32_t *asset_of;		/* its own asset in the stream, or that of a bottle, for gates */
	size_t tank_of_cap, asset_of_cap;
	struct leat_verdict_series *series;
	size_t series_cap;
	size_t *of;			/* watches of the series */
	size_t ofs, of_cap;
	struct leat_verdict_watch *watch;
	size_t watches, watch_cap;
	struct leat_verdict_key *key;
	size_t keys, key_cap;
	struct leat_verdict_case *tank;	/* as they stand now */
	struct leat_verdict_subject *subject;
	size_t subjects;
	bool *matched;			/* by row */
	struct leat_pending {
		uint32_t series;
		bool bad;
	} *pending;			/* with a reading at time */
	size_t pendings, pending_cap;
	struct leat_verdict_count count;
};

struct leat_span leat_verdict_tank_name(const struct leat_verdict *v, uint32_t tank);

/* The latest oil change of the tank up to t; NULL where the logbook has none. */
const struct leat_log_entry *leat_verdict_changed(const struct leat_verdict *v, uint32_t tank, struct leat_time t);

/* verdict_own.c: judges the last result of the watch by its row and by the results before it, of those after changed. */
void leat_verdict_weigh(struct leat_verdict_watch *w, const struct leat_log_entry *changed);

/* verdict_case.c: the tank as it stood at an instant.  0, or -1 when memory is out; leat_verdict_case_free. */
int leat_verdict_case_make(const struct leat_verdict *v, uint32_t tank, struct leat_time at, struct leat_verdict_case *c)
    LEAT_MUST_USE;
void leat_verdict_case_free(struct leat_verdict_case *c);

/* verdict_episode.c: judges every tank at now, and at each sampling and oil change before it. */
int leat_verdict_episodes(struct leat_verdict *v) LEAT_MUST_USE;

/* What a subject comes to in a case: unknown where nothing that is fresh and judged says anything. */
struct leat_verdict_evidence *leat_verdict_evidence_of(const struct leat_verdict_subject *s,
    const struct leat_verdict_case *c);
enum leat_status leat_verdict_status_of(const struct leat_verdict_subject *s, const struct leat_verdict_case *c);

/* verdict_words.c; dst has LEAT_VERDICT_TEXT bytes. */
void leat_verdict_words(char *dst, const struct leat_verdict *v, const struct leat_verdict_case *c);
void leat_verdict_look_words(char *dst, const struct leat_verdict *v, const struct leat_verdict_evidence *e);
/* One result against its limit: "water-content 622 mg/kg, over 500", or in the trade's words "water in the oil ...". */
void leat_verdict_result_words(char *dst, size_t size, const struct leat_verdict_evidence *e, bool trade);
/* The local date, "2025-11-06". */
void leat_verdict_date(char *dst, size_t size, const struct leat_verdict *v, struct leat_time t);

#endif
