/*
 * A library to preload: at the N-th call that could change something on the disk the program is killed, or the call fails.
 *
 *	INJECT_AT	N, from 1
 *	INJECT_HOW	kill (a write is cut in half first), short (a write does half and says so; other calls are left
 *			alone), or the number of an error
 *	INJECT_MARK	file that is made when it happens, with the call's name and how many renames had been done
 */
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <unistd.h>

static int calls, renames;

static void
mark(const char *name)
{
	const char *path = getenv("INJECT_MARK");
	char text[64];
	int len = snprintf(text, sizeof(text), "%s %d\n", name, renames);
	long fd = path != NULL ? syscall(SYS_openat, AT_FDCWD, path, O_WRONLY | O_CREAT | O_TRUNC, 0666) : -1;

	if (fd >= 0) {
		syscall(SYS_write, fd, text, (size_t)len);
		syscall(SYS_close, fd);
	}
}

/* True when this call is to fail, with errno set; does not return when it is to kill. */
static int
strikes(const char *name, int fd, const void *bytes, size_t len)
{
	const char *at = getenv("INJECT_AT"), *how = getenv("INJECT_HOW");

	if (at == NULL || how == NULL || ++calls != (int)strtol(at, NULL, 10))
		return 0;
	mark(name);
	if (strcmp(how, "short") == 0) {
		errno = 0;
		return bytes != NULL;
	}
	if (strcmp(how, "kill") != 0) {
		errno = (int)strtol(how, NULL, 10);
		return 1;
	}
	if (bytes != NULL)
		syscall(SYS_write, fd, bytes, len / 2);
	kill(getpid(), SIGKILL);
	for (;;)
		pause();
}

#define REAL(name, type) ((type)dlsym(RTLD_NEXT, name))

static int
open_any(const char *name, const char *path, int flags, mode_t mode)
{
	if (strikes(name, -1, NULL, 0))
		return -1;
	return (int)syscall(SYS_openat, AT_FDCWD, path, flags, mode);
}

int open(const char *path, int flags, ...);
int open64(const char *path, int flags, ...);
int __open_2(const char *path, int flags);

int
open(const char *path, int flags, ...)
{
	mode_t mode = 0;
	va_list ap;

	va_start(ap, flags);
	if (flags & O_CREAT)
		mode = va_arg(ap, mode_t);
	va_end(ap);
	return open_any("open", path, flags, mode);
}

int
open64(const char *path, int flags, ...)
{
	mode_t mode = 0;
	va_list ap;

	va_start(ap, flags);
	if (flags & O_CREAT)
		mode = va_arg(ap, mode_t);
	va_end(ap);
	return open_any("open", path, flags, mode);
}

int
__open_2(const char *path, int flags)
{
	return open_any("open", path, flags, 0);
}

ssize_t
write(int fd, const void *bytes, size_t len)
{
	if (fd > 2 && strikes("write", fd, bytes, len)) {
		if (errno != 0)
			return -1;
		len /= 2;
	}
	return syscall(SYS_write, fd, bytes, len);
}

int
fsync(int fd)
{
	return strikes("fsync", -1, NULL, 0) ? -1 : (int)syscall(SYS_fsync, fd);
}

/* A close that fails has closed all the same. */
int
close(int fd)
{
	int failed = fd > 2 && strikes("close", -1, NULL, 0), errnum = errno;

	if (!failed)
		return (int)syscall(SYS_close, fd);
	syscall(SYS_close, fd);
	errno = errnum;
	return -1;
}

int
rename(const char *from, const char *to)
{
	int result = strikes("rename", -1, NULL, 0) ? -1 : REAL("rename", int (*)(const char *, const char *))(from, to);

	renames += result == 0;
	return result;
}

int
ftruncate(int fd, off_t length)
{
	return strikes("ftruncate", -1, NULL, 0) ? -1 : (int)syscall(SYS_ftruncate, fd, length);
}

int
link(const char *from, const char *to)
{
	return strikes("link", -1, NULL, 0) ? -1 : REAL("link", int (*)(const char *, const char *))(from, to);
}

int
unlink(const char *path)
{
	return strikes("unlink", -1, NULL, 0) ? -1 : REAL("unlink", int (*)(const char *))(path);
}

int
mkdir(const char *path, mode_t mode)
{
	return strikes("mkdir", -1, NULL, 0) ? -1 : REAL("mkdir", int (*)(const char *, mode_t))(path, mode);
}
