/*
 * The historian of one mill: what of the readings it keeps, and its exports in the form that the mill's plant gives out.
 */
#ifndef HISTORY_H
#define HISTORY_H

#include "works.h"

struct history {
	const struct works *works;
	const struct mill *mill;
	const char *folder;
	int number;			/* NM, MM or SM, which is also the form */
	bool daily;			/* files by day, not by month */
	struct sim_random random;
	FILE *file, *events;
	FILE *again;			/* the day that is exported twice */
	int file_is;			/* the local month or day of the open files */
	bool due[W_SIGNALS];
	double held[W_SIGNALS];
	int64_t held_sec[W_SIGNALS];
	long readings, bad;		/* written */
};

void history_start(struct history *h, const struct works *w, int mill, const char *folder, bool daily);
/* Keeps one minute's readings.  write: the minute belongs to the exports. */
void history_minute(struct history *h, int64_t sec, const double value[W_SIGNALS], bool write);
/* A switch of the charging valve, which the control itself lists by the second. */
void history_event(struct history *h, int64_t sec, bool open);
void history_finish(struct history *h);

#endif
