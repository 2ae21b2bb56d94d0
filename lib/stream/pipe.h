/*
 * Pipes between commands.
 */
#ifndef LEAT_STREAM_PIPE_H
#define LEAT_STREAM_PIPE_H

/* Makes the pipe, if it is one, hold more, where the system can: each side then runs longer before it waits for the other.
 * That it cannot is no fault. */
void leat_pipe_widen(int fd);

#endif
