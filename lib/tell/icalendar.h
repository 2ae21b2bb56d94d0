/*
 * iCalendar out (RFC 5545): content lines ended by CRLF, folded so that none is longer than 75 octets, and never within a
 * UTF-8 sequence (3.1); text escaped (3.3.11); dates and times in UTC (3.3.4, 3.3.5).
 */
#ifndef LEAT_TELL_ICALENDAR_H
#define LEAT_TELL_ICALENDAR_H

#include "stream/out.h"

/* "BEGIN:VCALENDAR" with its version and product, and its end. */
void leat_ical_begin(struct leat_out *out, const char *product);
void leat_ical_end(struct leat_out *out);

/* A line of our own, name and value as they are: "BEGIN", "VEVENT". */
void leat_ical_line(struct leat_out *out, const char *name, const char *value);

/* A line of text, escaped; control bytes but line feeds and tabs, and malformed UTF-8, become '?'.  0, or -1 when memory is
 * out. */
int leat_ical_text(struct leat_out *out, const char *name, struct leat_span text) LEAT_MUST_USE;

/* "NAME;VALUE=DATE:20251110" of days since 1970-01-01; "NAME:20251110T053000Z" of an instant, fractions of a second left
 * out. */
void leat_ical_date(struct leat_out *out, const char *name, int64_t day);
void leat_ical_time(struct leat_out *out, const char *name, struct leat_time t);

#endif
