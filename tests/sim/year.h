/*
 * The thirteen months as a whole.
 */
#ifndef YEAR_H
#define YEAR_H

#include "sim.h"

struct year_options {
	uint64_t seed;
	struct sim_span days;	/* what is written; 0 to 0: all */
	bool daily;		/* exports by day, not by month */
	bool inside;		/* writes inside.csv: what no instrument shows */
};

void year_write(const char *folder, const struct year_options *options);

#endif
