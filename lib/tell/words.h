/*
 * The trade's words for what the streams write short: points, rules, states of findings; days and times as the works'
 * clocks show them.
 *
 * Texts written here have glued blanks (tell/text.h), for they are read as one.
 */
#ifndef LEAT_TELL_WORDS_H
#define LEAT_TELL_WORDS_H

#include "base/zone.h"
#include "stream/finding.h"
#include "tell/text.h"

/* How the works counts days, and the moment from which it looks. */
struct leat_calendar {
	const struct leat_zone *zone;	/* borrowed */
	int day_start_s;		/* seconds after local midnight at which the works' day begins, 0..86399 */
	struct leat_time now;
};

/* Reads a `day-start` property such as "06:00".  0, or -1 when it is no time of day. */
int leat_calendar_day_start(struct leat_span text, int *seconds) LEAT_MUST_USE;

/* The works' day to which an instant belongs, as days since 1970-01-01: the local date, or the day before when the
 * works' day has not begun yet. */
int64_t leat_calendar_day(const struct leat_calendar *cal, struct leat_time t);

/* The local date of an instant, as days since 1970-01-01. */
int64_t leat_calendar_date(const struct leat_calendar *cal, struct leat_time t);

/* The instant at which a local date begins. */
struct leat_time leat_calendar_midnight(const struct leat_calendar *cal, int64_t days);

/* 0 Monday .. 6 Sunday of a number of days since 1970-01-01. */
int leat_weekday(int64_t days);
/* "mon", "Mon", "Monday" and so on to 0..6; -1 when it is no weekday. */
int leat_weekday_find(struct leat_span word);
/* "Monday". */
const char *leat_weekday_name(int weekday);

/* Adds to the line: "Mon 3 Feb 2025"; the year is left out when it is that of cal->now and not asked for. */
void leat_words_date(struct leat_text *t, const struct leat_calendar *cal, int64_t days, bool year);
/* Adds "today 04:10" or "Mon 3 Feb 22:10". */
void leat_words_time(struct leat_text *t, const struct leat_calendar *cal, struct leat_time when);
/* Adds "22:10"; the offset follows in the hour that comes twice. */
void leat_words_clock(struct leat_text *t, const struct leat_calendar *cal, struct leat_time when);
/* Adds "3 h 10 min". */
void leat_words_length(struct leat_text *t, double seconds);

/* Adds a message of somebody else's, with its dates as a report has them: "21 Aug 2025" for 2025-08-21 where that stands as a
 * word, and not in a file's name. */
void leat_words_message(struct leat_text *t, struct leat_span message);

/* Adds advice as sentences, of which semicolons part it.  False when there is none. */
bool leat_words_sentences(struct leat_text *t, struct leat_span advice);

/* Adds what a point is called: "case drain flow" for drain-flow, "highest grinding pressure" for pressure.max, a name of
 * the works' own as it stands.  Nothing for "-". */
void leat_words_point(struct leat_text *t, struct leat_span point);

/* Is it a rule about the data rather than the machine?  Those are the slugs of leat-normalise and of the nightly script,
 * and every rule whose name begins with frozen, impossible or stale, as the shipped limits name theirs. */
bool leat_rule_is_data(struct leat_span rule);
/* Is it one of the latter, which judge a single signal? */
bool leat_rule_is_signal(struct leat_span rule);

#endif
