/*
 * The calculator of leat-trend: the Theil-Sen line through two columns of numbers.
 */
#ifndef LEAT_CMD_FRONT_LINE_H
#define LEAT_CMD_FRONT_LINE_H

/* Reads the files (none: standard input), which have a header with the columns x and y, and prints the line as CSV. */
void front_line(const char *x, const char *y, int count, char *const file[]);

#endif
