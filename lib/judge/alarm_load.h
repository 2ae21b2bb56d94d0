/*
 * How much a person is asked by alarms: the performance figures of ISA-18.2 and IEC 62682, over the episodes of a stretch
 * of time.
 *
 * An annunciation is the instant at which an episode reached its status.  Figures from memory of both standards: about 150
 * annunciations a day are acceptable and 300 the most that can be managed; a flood begins with more than 10 in 10 minutes and
 * ends below 5 in 10 minutes, and takes less than 1 % of the time; an alarm that comes and goes 3 times in a minute
 * chatters (of readings a minute apart: 3 times in 30 minutes); one that is gone before anybody could act is fleeting; one
 * that stands for more than 24 h is stale; the ten most frequent make 1 % to 5 % of all.
 */
#ifndef LEAT_JUDGE_ALARM_LOAD_H
#define LEAT_JUDGE_ALARM_LOAD_H

#include "stream/finding.h"
#include "tell/tabular.h"

#define LEAT_LOAD_CHATTER 3
#define LEAT_LOAD_CHATTER_S (30 * 60.0)
#define LEAT_LOAD_FLEETING_S (10 * 60.0)	/* common practice: nobody has looked by then */
#define LEAT_LOAD_STALE_S (24 * 3600.0)
#define LEAT_LOAD_FLOOD 10			/* more in LEAT_LOAD_FLOOD_S begin a flood */
#define LEAT_LOAD_FLOOD_ENDS 5			/* fewer end it */
#define LEAT_LOAD_FLOOD_S (10 * 60.0)
#define LEAT_LOAD_TOP 10

#define LEAT_LOAD_COLUMNS "measure,asset,point,rule,value,unit,guide"

/* Adds the figures of the alerts and alarms among the findings that were reached within from..until; LEAT_TIME_NONE is the
 * first or the last of them.  0, or -1 when memory is out. */
int leat_alarm_load(const struct leat_findings *findings, struct leat_time from, struct leat_time until,
    struct leat_tabular *t) LEAT_MUST_USE;

#endif
