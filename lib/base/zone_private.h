/*
 * What the three zone files share: the table of changes that every zone becomes, POSIX rules and TZif bytes.
 *
 * A zone is one sorted table of changes of the offset.  A rule for ever is laid out over 400 years, after which the
 * Gregorian calendar repeats to the second (146097 days, whole weeks), and later times are looked up 400 years, or a
 * multiple, earlier.  So every question is a binary search, whatever the zone was made from.
 */
#ifndef LEAT_BASE_ZONE_PRIVATE_H
#define LEAT_BASE_ZONE_PRIVATE_H

#include "base/zone.h"

/* RFC 8536, 3.2: an offset should lie between -25 h and +26 h, both excluded.  Others are refused as damage. */
#define LEAT_ZONE_EAST_MIN (-89999)
#define LEAT_ZONE_EAST_MAX 93599

/* 0001-01-01T00:00:00Z and 9999-12-31T23:59:59Z. */
#define LEAT_ZONE_SEC_MIN (INT64_C(-719162) * 86400)
#define LEAT_ZONE_SEC_MAX (INT64_C(2932897) * 86400 - 1)

/* 400 Gregorian years in seconds. */
#define LEAT_ZONE_CYCLE (INT64_C(146097) * 86400)

/* Years over which a rule is laid out: 400, the two before them that say how they begin, as many behind them as the
 * next change may lie away (8: a rule can have one that only leap years show), and some to spare at the edges. */
#define LEAT_ZONE_RULE_YEARS 416

/* Room for the changes of one rule: two a year and two to spare. */
#define LEAT_ZONE_RULE_CHANGES (2 * LEAT_ZONE_RULE_YEARS + 2)

struct leat_zone_change {
	int64_t at;		/* from this instant on ... */
	int32_t east;		/* ... this offset holds, in seconds east of UTC */
};

struct leat_zone {
	char *name;			/* owned */
	int32_t before;			/* offset before the first change */
	struct leat_zone_change *change; /* owned; at rises strictly, and each changes the offset */
	size_t count, cap;
	bool cycles;			/* from cycle_start on the table repeats every LEAT_ZONE_CYCLE seconds ... */
	bool cycles_back;		/* ... and before it too */
	int64_t cycle_start;
};

/* A day of the year with a local time, as POSIX writes it. */
struct leat_zone_date {
	char kind;		/* 'J': 1..365, 29 February never counts; 'N': 0..365; 'M': month, week, weekday */
	int month, week, day;	/* week 5 is the last one; day 0 is Sunday */
	int32_t time;		/* seconds after local midnight, -167 h..167 h */
};

struct leat_zone_rule {
	int32_t standard_east;
	bool has_summer;		/* what follows is set */
	int32_t summer_east;		/* may be below standard_east */
	struct leat_zone_date start;	/* of summer time, by the clock of standard time */
	struct leat_zone_date end;	/* by the clock of summer time */
};

/* Reads a POSIX TZ rule with the extensions of RFC 8536, 3.3.1, the whole span.  A rule with a summer time and no
 * dates is refused.  0 or -1. */
int leat_zone_rule_parse(struct leat_span text, struct leat_zone_rule *out) LEAT_MUST_USE;

/* The date in that year as local seconds since 1970-01-01T00:00:00.  year is 1 or more. */
int64_t leat_zone_date_local(const struct leat_zone_date *date, int year);

/* Makes room for need changes in all.  0 or -1. */
int leat_zone_reserve(struct leat_zone *zone, size_t need) LEAT_MUST_USE;

/* Adds a change after all others, or in place of the last one when it is at the same instant; drops one that changes
 * nothing.  The room is the caller's care. */
void leat_zone_append(struct leat_zone *zone, int64_t at, int32_t east);

/* Lets the rule hold from the instant on, which is not before the table's last change; LEAT_ZONE_ALWAYS: at all
 * times, for an empty table.  Room for LEAT_ZONE_RULE_CHANGES more must have been reserved. */
#define LEAT_ZONE_ALWAYS INT64_MIN
void leat_zone_rule_apply(struct leat_zone *zone, const struct leat_zone_rule *rule, int64_t from);

/* Fills an empty zone from the bytes of a TZif file (RFC 8536, versions 1 to 4).  0 or -1; the zone must be freed
 * either way. */
int leat_zone_file_read(struct leat_zone *zone, struct leat_span bytes, struct leat_error *err) LEAT_MUST_USE;

#endif
