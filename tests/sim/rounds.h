/*
 * The round sheets: three times a day a person walks to the mill, reads gauges and writes on a sheet.
 */
#ifndef ROUNDS_H
#define ROUNDS_H

#include "works.h"

struct rounds {
	const struct works *works;
	const char *folder;
	int number;
	struct sim_random random;
	FILE *file;
	int month;		/* of the open sheet */
	int64_t next;		/* minute of the next round */
	int copied;		/* rounds for which a value is written again unread */
	double copied_bar;
	long rows;
};

void rounds_start(struct rounds *r, const struct works *w, int mill, const char *folder);
void rounds_minute(struct rounds *r, const struct machine *m, int64_t sec, bool write);
void rounds_finish(struct rounds *r);

#endif
