/*
 * Files of the simulator, and numbers written fast.
 */
#ifndef FILES_H
#define FILES_H

#include <stdio.h>

/* Make and close a file of a folder; what fails ends the program with status 2. */
FILE *file_create(const char *folder, const char *name);
void file_finish(FILE *file);

/* Put a number at to, with 0 to 3 decimals and the decimal mark; returns behind it. */
char *put_number(char *to, double value, int decimals, char mark);
/* Put a whole number from 0 with at least so many digits. */
char *put_whole(char *to, long value, int digits);
char *put_text(char *to, const char *text);

#endif
