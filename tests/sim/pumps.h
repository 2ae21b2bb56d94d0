/*
 * Many pumps, each in a mill of its own, some of which wear out: for the score of forecasts.
 */
#ifndef PUMPS_H
#define PUMPS_H

#include <stdint.h>

/* Writes pumps.csv (readings), nameplate.csv and truth.csv to the folder. */
void pumps_write(const char *folder, int count, uint64_t seed);

#endif
