/*
 * Between element.c (the stream and the flow of time), element_minute.c (one minute of a filter), element_plate.c (what is
 * known of a filter beside readings), element_change.c (the lives of elements), element_write.c (results) and
 * element_explain.c.
 */
#ifndef LEAT_DERIVE_ELEMENT_PRIVATE_H
#define LEAT_DERIVE_ELEMENT_PRIVATE_H

#include "derive/element.h"

/* Looks up which series serve which filter; done again when a new series has come, or the nameplate changes. */
void leat_elements_resolve(struct leat_elements *elements);

/* Reads the nameplate for a filter. */
void leat_elements_read_plate(struct leat_elements *elements, struct leat_elements_filter *filter, struct leat_time at);

/* Looks at a filter at a whole minute.  *known becomes true when it is known whether its loop runs.  0, or -1 with err. */
int leat_elements_look(struct leat_elements *elements, struct leat_elements_filter *filter, struct leat_time minute,
    bool *known, struct leat_error *err);

/* Takes the filter's entries of the logbook up to a time. */
void leat_elements_take_entries(struct leat_elements *elements, struct leat_elements_filter *filter, struct leat_time t);

/* Counts a minute of which it is known whether the loop runs, and the gap before it. */
void leat_elements_count(struct leat_elements_filter *filter, struct leat_time minute, bool on, double flow_lpm);

/* How long the element in service has run at a time, in hours; *litres NaN where a flow was not known.  LEAT_GOOD where
 * enough of the time is known. */
double leat_elements_hours(const struct leat_elements_filter *filter, const struct leat_elements_life *life,
    struct leat_time until, double *litres, enum leat_quality *quality);

/* What a day comes to, from the minutes so far. */
struct leat_elements_value {
	const struct leat_elements_minute *minute;	/* the median; NULL: none */
	size_t admitted, bypassed;
	bool at_least;			/* the bypass stood open most of the time: the element may be any worse */
	double percent;			/* admitted, of the time in which the loop ran */
	enum leat_quality quality;	/* LEAT_BAD: too little for a value */
};
void leat_elements_median(const struct leat_elements_filter *filter, struct leat_elements_day *day,
    struct leat_elements_value *value);

/* Is there something to write at the end of the day? */
bool leat_elements_has_rows(const struct leat_elements_filter *filter);

/* Writes the rows, or the explanation, of a filter's day, and empties it. */
void leat_elements_write_day(struct leat_elements *elements, struct leat_elements_filter *filter);
void leat_elements_empty_day(struct leat_elements_day *day);

/* Does the user want to know of the filter? */
bool leat_elements_asked_for(const struct leat_elements *elements, const struct leat_elements_filter *filter);

/* Explanations: of a day, of a finished element, and of a change whose effect has shown. */
void leat_elements_explain_day(struct leat_elements *elements, const struct leat_elements_filter *filter,
    const struct leat_elements_value *value);
void leat_elements_explain_life(struct leat_elements *elements, const struct leat_elements_filter *filter);
void leat_elements_explain_change(struct leat_elements *elements, const struct leat_elements_filter *filter,
    double after_bar);

/* The part of the clean element at the reference: by the nameplate's clean-dp, else the median of what the last elements
 * showed on their first day; NaN: neither is known. */
double leat_elements_clean_bar(const struct leat_elements_filter *filter);

/* Tells the user. */
void leat_elements_tell(const struct leat_elements *elements, const char *text);

/* The points that are made here, ended by NULL. */
extern const char *const leat_elements_made[];

#endif
