/*
 * A thread that inflates ahead.
 *
 * The blocks form a ring.  The thread fills the block after the last full one while there is an empty one, whoever reads
 * empties the first full one; the lock is held only to count, twice a block.  What a block got, the end and a fault too,
 * goes with it, so all come in the order in which they were met.
 */
#include "stream/ahead.h"

#include <fcntl.h>
#include <pthread.h>
#include <signal.h>
#include <stdatomic.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>

#define BLOCKS 4u
#define BLOCK_SIZE (128u * 1024u)

struct leat_ahead {
	struct leat_unzip *unzip;
	struct leat_raw *raw;
	pthread_t thread;
	pid_t process;			/* that the thread is in */
	int stopper;			/* where a byte ends a wait of the thread; -1: it never waits long */

	pthread_mutex_t lock;		/* of the three below */
	pthread_cond_t turn;		/* one of them has changed */
	size_t filled, emptied;		/* blocks so far */
	bool stop;

	ssize_t len[BLOCKS];		/* what leat_unzip_read gave for each block */
	struct leat_error error;	/* of a block with -1, the last one */
	bool holds;			/* the first full block was begun ... */
	size_t at;			/* ... up to here */
	unsigned char block[BLOCKS][BLOCK_SIZE];
};

static atomic_uint running;

/* Waits for an empty block.  False when it is to stop. */
static bool
has_room(struct leat_ahead *a)
{
	bool go;

	pthread_mutex_lock(&a->lock);
	while (!a->stop && a->filled - a->emptied == BLOCKS)
		pthread_cond_wait(&a->turn, &a->lock);
	go = !a->stop;
	pthread_mutex_unlock(&a->lock);
	return go;
}

static void *
run(void *user)
{
	struct leat_ahead *a = user;
	size_t number = 0;
	ssize_t n = 1;

	while (n > 0 && has_room(a)) {
		n = leat_unzip_read(a->unzip, a->block[number], BLOCK_SIZE, &a->error);
		a->len[number] = n;
		number = (number + 1) % BLOCKS;
		pthread_mutex_lock(&a->lock);
		a->filled++;
		pthread_cond_signal(&a->turn);
		pthread_mutex_unlock(&a->lock);
	}
	return NULL;
}

/* The thread takes no signals, whatever handlers there are. */
static int
start_thread(struct leat_ahead *a)
{
	sigset_t all, before;
	int result;

	sigfillset(&all);
	if (pthread_sigmask(SIG_SETMASK, &all, &before) != 0)
		return -1;
	result = pthread_create(&a->thread, NULL, run, a);
	pthread_sigmask(SIG_SETMASK, &before, NULL);
	return result;
}

/* A file comes at once.  Anything else may let one wait for ever, so a pipe of our own ends the wait. */
static int
make_stopper(struct leat_ahead *a)
{
	struct stat st;
	int ends[2];

	a->stopper = -1;
	if (a->raw->fd < 0 || (fstat(a->raw->fd, &st) == 0 && S_ISREG(st.st_mode)))
		return 0;
	if (pipe(ends) != 0)
		return -1;
	(void)fcntl(ends[0], F_SETFD, FD_CLOEXEC);
	(void)fcntl(ends[1], F_SETFD, FD_CLOEXEC);
	a->raw->wake = ends[0];
	a->stopper = ends[1];
	return 0;
}

static void
close_stopper(struct leat_ahead *a)
{
	if (a->stopper < 0)
		return;
	close(a->raw->wake);
	close(a->stopper);
	a->raw->wake = -1;
}

struct leat_ahead *
leat_ahead_start(struct leat_unzip *unzip, struct leat_raw *raw)
{
	struct leat_ahead *a;

	if (atomic_fetch_add(&running, 1) >= LEAT_AHEAD_MOST || (a = malloc(sizeof(*a))) == NULL) {
		atomic_fetch_sub(&running, 1);
		return NULL;
	}
	a->unzip = unzip;
	a->raw = raw;
	a->process = getpid();
	a->filled = a->emptied = a->at = 0;
	a->stop = a->holds = false;
	pthread_mutex_init(&a->lock, NULL);
	pthread_cond_init(&a->turn, NULL);
	if (make_stopper(a) == 0) {
		if (start_thread(a) == 0)
			return a;
		close_stopper(a);
	}
	pthread_cond_destroy(&a->turn);
	pthread_mutex_destroy(&a->lock);
	free(a);
	atomic_fetch_sub(&running, 1);
	return NULL;
}

/* Waits for a full block. */
static void
await(struct leat_ahead *a)
{
	pthread_mutex_lock(&a->lock);
	while (a->filled == a->emptied)
		pthread_cond_wait(&a->turn, &a->lock);
	pthread_mutex_unlock(&a->lock);
	a->holds = true;
	a->at = 0;
}

static void
give_back(struct leat_ahead *a)
{
	pthread_mutex_lock(&a->lock);
	a->emptied++;
	pthread_cond_signal(&a->turn);
	pthread_mutex_unlock(&a->lock);
	a->holds = false;
}

ssize_t
leat_ahead_read(struct leat_ahead *a, void *dst, size_t size, struct leat_error *err)
{
	size_t block = a->emptied % BLOCKS, left;

	if (!a->holds)
		await(a);
	/* The end and a fault stay. */
	if (a->len[block] <= 0) {
		if (a->len[block] < 0 && err != NULL)
			*err = a->error;
		return a->len[block];
	}
	left = (size_t)a->len[block] - a->at;
	if (size > left)
		size = left;
	memcpy(dst, a->block[block] + a->at, size);
	a->at += size;
	if (size == left)
		give_back(a);
	return (ssize_t)size;
}

void
leat_ahead_free(struct leat_ahead *a)
{
	if (a == NULL)
		return;
	if (a->process == getpid()) {
		pthread_mutex_lock(&a->lock);
		a->stop = true;
		pthread_cond_signal(&a->turn);
		pthread_mutex_unlock(&a->lock);
		if (a->stopper >= 0)
			(void)!write(a->stopper, "", 1);
		pthread_join(a->thread, NULL);
		pthread_cond_destroy(&a->turn);
		pthread_mutex_destroy(&a->lock);
	}
	close_stopper(a);
	atomic_fetch_sub(&running, 1);
	free(a);
}
