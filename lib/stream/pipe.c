/* Pipes between commands. */
#define _GNU_SOURCE	/* F_SETPIPE_SZ of Linux */

#include "stream/pipe.h"

#include <fcntl.h>

/* As much as is read and written at once. */
#define PIPE_SIZE (128 * 1024)

void
leat_pipe_widen(int fd)
{
#ifdef F_SETPIPE_SZ
	(void)fcntl(fd, F_SETPIPE_SZ, PIPE_SIZE);
#else
	(void)fd;
#endif
}
