/*
 * The round sheet: what is to be read by hand, what is usual, what the instrument can show, and blanks.
 */
#ifndef LEAT_TELL_ROUND_SHEET_H
#define LEAT_TELL_ROUND_SHEET_H

#include "tell/sheet.h"
#include "tell/words.h"
#include "upkeep/round.h"

/* Adds the sheet of the works' day (days since 1970-01-01) as a page: a table a mill of what is read on the round, then
 * what only a stop or the laboratory can tell.  A failure of memory shows in s->text.failed. */
void leat_round_sheet(struct leat_sheet *s, const struct leat_round *round, const struct leat_calendar *cal, int64_t day);

/* The same as an empty sheet for typing back, in the long form that leat-normalise(1) reads: time,tag,value,unit.  Its time
 * is the beginning of that day, to be typed over; a point without tag has its asset/point for one.  Tags are written as they
 * are, since they are read back: how many of them a spreadsheet would take for a formula, or -1 when memory is out. */
int leat_round_csv(struct leat_out *out, const struct leat_round *round, const struct leat_calendar *cal, int64_t day);

#endif
