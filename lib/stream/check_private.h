/*
 * Between the files of the check engine only.
 */
#ifndef LEAT_STREAM_CHECK_PRIVATE_H
#define LEAT_STREAM_CHECK_PRIVATE_H

#include <math.h>

#include "stream/check.h"
#include "stream/episode.h"

enum leat_check_kind { LEAT_CHECK_LEVEL, LEAT_CHECK_RATE, LEAT_CHECK_AGE, LEAT_CHECK_FLAT, LEAT_CHECK_KINDS };

/* One side of a level, a rate, ages or flatness, with what it gave. */
struct leat_check_signal {
	struct leat_episode_form form;		/* in the unit of the series */
	struct leat_episode episode;
	struct leat_episode_record *over;	/* episodes that are over, in order */
	size_t overs, cap;
	struct leat_time anchor;		/* rate: the reading from which it is taken, or LEAT_TIME_NONE */
	double anchor_value;
};

/* One row of limits.csv on one series. */
struct leat_check_rule {
	const struct leat_limit *limit;
	uint32_t series;
	enum leat_truth truth;			/* of the gate at the last valid reading */
	struct leat_check_signal *low, *high, *rate, *age, *flat; /* NULL where the row has none; age: or no gap yet */
	long long judged, idle, untold;		/* readings by truth of the gate */
	double judged_s, idle_s, gap_s, gate_s;	/* time judged, not to be judged, without readings, with unknown gate */
	struct leat_time first_judged, last_judged;
	struct leat_time untold_since;		/* first of the readings in a row with unknown gate, or LEAT_TIME_NONE */
};

/* What the next reading of a series has to keep to so that all its rules go on as they were: no gate turned, and nothing
 * within them begins or ends.  Such readings are only counted, and the rules learn of them when one comes that is not. */
struct leat_check_calm {
	bool on;
	bool moving, still;			/* its value is not that of the reading before, or is */
	double low, high;			/* bounds of its value */
	double rate;				/* bound of its change per minute */
	double shortest_s, longest_s;		/* bounds of the time since the reading before */
	int64_t until_sec;			/* it is before that second */
	size_t turns;				/* of check->current, when the gates were asked */
	struct leat_time since;			/* the reading that the rules have seen last */
	long long seen;				/* valid readings until then, with it */
};

/* What each reading needs stands together. */
struct leat_check_series {
	bool resolved, pending, unit_known;
	bool is_number;				/* of the last valid reading, with number, word and decimals */
	uint32_t word;
	double number;
	int decimals;
	int pending_decimals;
	struct leat_time last;			/* its last valid reading, LEAT_TIME_NONE: none */
	const struct leat_unit *unit;		/* of its first valid reading; later ones are converted into it */
	size_t rules;				/* check->rule[rule ... rule + rules - 1] */
	long long valid;
	long long changes;			/* of its value */
	struct leat_check_calm calm;
	size_t rule;
	uint32_t asset_id, point_id;
	double hold_s;
	bool until_changed;			/* a switch, word or set point: it may come seldom and still hold */
	bool named;				/* its point is in leat-points(7) */
	struct leat_time first;			/* its first reading of any quality */
	long long bad;
};

/* A tag of no known name may be a set point or a switch; after so many changes it is taken for a measurement, which does
 * not stand still.  Common practice. */
#define LEAT_CHECK_LIVES 100

static inline bool
leat_check_lives(const struct leat_check_series *s)
{
	return s->named || s->changes >= LEAT_CHECK_LIVES;
}

struct leat_check {
	struct leat_check_form form;
	struct leat_current current;
	struct leat_check_series *series;	/* by number of the series */
	size_t series_cap;
	struct leat_check_rule *rule;
	size_t rules, rule_cap;
	uint32_t *pending;			/* series with a valid reading at time */
	size_t pendings, pending_cap;
	struct leat_time time;			/* of the readings taken last, or LEAT_TIME_NONE */
	bool *matched;				/* by row of limits */
	struct leat_time now, since;		/* set by leat_check_end */
	struct leat_check_count count;
};

struct leat_span leat_check_asset(const struct leat_check *check, const struct leat_check_series *s);
struct leat_span leat_check_point(const struct leat_check *check, const struct leat_check_series *s);

/* check_rule.c: sets up the rules of a series, and steps one through a valid reading at check->time,
 * passed_s after the one before.  same: the value has not changed.  0, or -1 when memory is out. */
int leat_check_rule_begin(struct leat_check *check, struct leat_check_rule *rule, const struct leat_limit *limit,
    uint32_t series) LEAT_MUST_USE;
/* The numbers of the row, which are in from, become numbers in to; either may be NULL: then they stay. */
void leat_check_rule_unit(struct leat_check_rule *rule, const struct leat_unit *from, const struct leat_unit *to);
int leat_check_rule_step(struct leat_check *check, struct leat_check_rule *rule, const struct leat_check_series *s,
    double passed_s, bool same) LEAT_MUST_USE;
void leat_check_rule_free(struct leat_check_rule *rule);
bool leat_check_has_level(const struct leat_limit *limit);

/* check_calm.c: after a step of all rules at check->time, finds out what is calm from there on.  Where that is on, settle
 * must come before the rules are looked at. */
void leat_check_calm_begin(struct leat_check *check, struct leat_check_series *s);
void leat_check_calm_settle(struct leat_check *check, struct leat_check_series *s);

/* Is the number at check->time more of the same?  Time is added up later, so it is whole seconds.  A rate at its limit is
 * not beyond, whichever way it is rounded: see leat_episode_take. */
static inline bool
leat_check_calm_holds(const struct leat_check *check, const struct leat_check_series *s, double number)
{
	const struct leat_check_calm *calm = &s->calm;
	double step = number - s->number, passed_s = leat_time_diff(check->time, s->last);

	return calm->on && calm->turns == check->current.turns && number >= calm->low && number <= calm->high &&
	    !(step == 0 ? calm->moving : calm->still) && passed_s >= calm->shortest_s && passed_s <= calm->longest_s &&
	    fabs(step) * 60 <= calm->rate * passed_s && check->time.nsec == s->last.nsec &&
	    check->time.sec < calm->until_sec;
}

/* check_verdict.c: what one kind of one rule comes to at the end. */
enum leat_check_lack {
	LEAT_LACK_NONE,
	LEAT_LACK_READINGS,	/* no valid reading at all */
	LEAT_LACK_TAIL_GAP,	/* none since tail_since */
	LEAT_LACK_TAIL_GATE,	/* gate unknown since tail_since */
	LEAT_LACK_SHARE		/* more than half cannot be told */
};

struct leat_check_verdict {
	enum leat_check_kind kind;
	const struct leat_check_signal *signal[2]; /* those of the kind; NULL where there is none */
	bool open;				/* one of them has an open episode */
	bool stale;				/* age: the last valid reading is older than allowed at now */
	double age_s;				/* age of the last valid reading, or of the first row when none is valid */
	enum leat_check_lack lack;		/* cannot tell, and why; LEAT_LACK_NONE where something is open or stale */
	struct leat_time tail_since;
	bool ok;				/* judged, and none of the above */
	double judged_s, idle_s, gap_s, gate_s;	/* those of the rule with the time to the end of the data */
};

/* False when the rule has no such kind. */
bool leat_check_verdict(struct leat_check *check, const struct leat_check_rule *rule, enum leat_check_kind kind,
    struct leat_check_verdict *v);

/* The rule's slug for that kind, written into dst of LEAT_CHECK_SLUG bytes. */
#define LEAT_CHECK_SLUG 256
void leat_check_slug(char *dst, const struct leat_limit *limit, enum leat_check_kind kind);

/* check_words.c: texts.  dst has LEAT_CHECK_TEXT bytes unless said otherwise. */
#define LEAT_CHECK_TEXT 2048

/* The shortest decimal of a limit or a computed value, at most so many decimals.  dst has LEAT_NUMBER_MAX bytes. */
void leat_check_plain(char *dst, double value, int most);

/* The unit in which a kind of finding is given; empty where there is none.  dst has LEAT_CHECK_UNIT bytes. */
#define LEAT_CHECK_UNIT 64
void leat_check_unit(char *dst, const struct leat_check_series *s, enum leat_check_kind kind);

/* The worst value of an episode as its kind is written.  dst has LEAT_NUMBER_MAX bytes. */
void leat_check_worst(char *dst, const struct leat_episode_record *record, enum leat_check_kind kind);

/* What a status means in that kind as the limit that was passed, in that unit. */
double leat_check_passed(const struct leat_check_rule *rule, const struct leat_check_signal *signal,
    enum leat_check_kind kind, enum leat_status status);

/* Messages.  Those of episodes end with the row's advice. */
void leat_check_episode_words(char *dst, const struct leat_check *check, const struct leat_check_rule *rule,
    const struct leat_check_signal *signal, const struct leat_episode_record *record, enum leat_check_kind kind,
    bool is_open);
void leat_check_stale_words(char *dst, const struct leat_check *check, const struct leat_check_rule *rule,
    const struct leat_check_verdict *v);
void leat_check_lack_words(char *dst, const struct leat_check *check, const struct leat_check_rule *rule,
    const struct leat_check_verdict *v);
void leat_check_ok_words(char *dst, const struct leat_check *check, const struct leat_check_rule *rule,
    const struct leat_check_verdict *v);
/* Adds "; advice" to a message, or nothing where the row has none. */
void leat_check_add_advice(char *dst, const struct leat_limit *limit);

#endif
