/*
 * Between the files of the front end only.
 */
#ifndef LEAT_CMD_FRONT_PRIVATE_H
#define LEAT_CMD_FRONT_PRIVATE_H

const char *front_program(void);

/* Writes and closes the rejects and the data findings, reporting failures. */
void front_data_end(void);

/* From here on only failures are said. */
void front_quieten(void);

/* Flushes and closes standard output alone; returns the exit status. */
int front_end_stdout(void);

#endif
