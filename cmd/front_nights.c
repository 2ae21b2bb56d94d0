/* Past nights of a judge, each by a child process. */
#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "front_nights.h"
#include "front_private.h"

/* Children at a time: one a processor, and no more than so many on a large machine. */
#define MOST_CHILDREN 64

const char *const front_judges[] = { "check", "trend", "verdict", "confirm", NULL };

static struct leat_time
take_time(const char *option, const char *value)
{
	struct leat_time t;

	if (leat_time_parse(leat_span_of(value), &t) != 0)
		front_misuse("option '%s': not an RFC 3339 time such as 2025-12-20T05:30:00Z: '%s'", option, value);
	return t;
}

bool
front_nights_option(struct front_nights *n, int code, const char *value)
{
	switch (code) {
	case FRONT_FROM:
		n->from = take_time("--from", value);
		break;
	case FRONT_UNTIL:
		n->until = take_time("--until", value);
		break;
	case FRONT_NIGHTS:
		n->folder = value;
		break;
	case FRONT_NIGHT_TIME:
		if (leat_calendar_day_start(leat_span_of(value), &n->time_s) != 0)
			front_misuse("option '--night-time': not a time of day such as 05:30: '%s'", value);
		break;
	default:
		return false;
	}
	return true;
}

static size_t
processors(void)
{
#ifdef _SC_NPROCESSORS_ONLN
	long count = sysconf(_SC_NPROCESSORS_ONLN);

	if (count > 1)
		return count < MOST_CHILDREN ? (size_t)count : MOST_CHILDREN;
#endif
	return 1;
}

void
front_nights_begin(struct front_nights *n, const struct leat_nameplate *np)
{
	const char *program = front_program();

	if (n->folder == NULL) {
		if (!leat_time_is_none(n->from) || !leat_time_is_none(n->until) || n->time_s != FRONT_NIGHT_TIME_S)
			front_misuse("options '--from', '--night-time' and '--until' need '--nights'");
		return;
	}
	if (front_opt.now_given)
		front_misuse("options '--nights' and '--now' exclude each other: each night is its own now");
	if (front_opt.explain)
		front_misuse("options '--nights' and '--explain' exclude each other");
	if (mkdir(n->folder, 0777) != 0 && errno != EEXIST)
		front_misuse("cannot make the folder '%s': %s", n->folder, strerror(errno));
	n->np = np;
	n->cal.zone = leat_nameplate_zone(np);
	n->judge = strncmp(program, "leat-", 5) == 0 ? program + 5 : program;
	n->most = processors();
	n->next = n->last = LEAT_TIME_NONE;
}

struct leat_time
front_night_instant(const struct leat_calendar *cal, int64_t date, int time_s)
{
	struct leat_time midnight = leat_calendar_midnight(cal, date);
	struct leat_civil c = leat_zone_civil(cal->zone, midnight);
	struct leat_time at[2];

	c.hour = time_s / 3600;
	c.minute = time_s / 60 % 60;
	c.second = time_s % 60;
	if (leat_zone_instants(cal->zone, &c, at) > 0)
		return at[0];
	return leat_time_add(midnight, time_s);
}

static struct leat_time
instant(const struct front_nights *n, int64_t date)
{
	return front_night_instant(&n->cal, date, n->time_s);
}

static void
find_first(struct front_nights *n, struct leat_time t)
{
	struct leat_time from = leat_time_is_none(n->from) ? t : n->from;

	n->date = leat_calendar_date(&n->cal, from);
	n->next = instant(n, n->date);
	if (leat_time_cmp(n->next, from) < 0)
		n->next = instant(n, ++n->date);
}

static bool
later_than(struct leat_time a, struct leat_time b)
{
	return !leat_time_is_none(b) && leat_time_cmp(a, b) > 0;
}

/* Takes the end of one child: a night that failed fails the run. */
static bool
reap(struct front_nights *n)
{
	int status;

	while (waitpid(-1, &status, 0) < 0) {
		if (errno == EINTR)
			continue;
		front_fail("cannot wait for a night: %s", strerror(errno));
		n->children = 0;
		return false;
	}
	n->children--;
	if (WIFEXITED(status) && WEXITSTATUS(status) < FRONT_FAILED) {
		front_raise(WEXITSTATUS(status));
		n->written++;
		return true;
	}
	front_fail("a night could not be judged%s", WIFSIGNALED(status) ? ": it was killed" : "");
	return false;
}

/* The file of a judge of the next night; the caller frees it. */
static char *
night_path(const struct front_nights *n, const char *judge)
{
	struct leat_calendar cal = n->cal;
	size_t size = strlen(n->folder) + strlen(judge) + 40;
	char *path = malloc(size);
	int year, month, day;

	if (path == NULL)
		front_misuse("out of memory");
	/* The nameplate has it as a time of day, or is refused. */
	if (leat_calendar_day_start(leat_nameplate_word(n->np, leat_span_make("", 0), "day-start", n->next),
	    &cal.day_start_s) != 0)
		cal.day_start_s = 0;
	leat_civil_from_days(leat_calendar_day(&cal, n->next), &year, &month, &day);
	snprintf(path, size, "%s/%04d-%02d-%02d.%s.csv", n->folder, year, month, day, judge);
	return path;
}

/* Is there anything by which the next night can be judged? */
static bool
has_findings(const struct front_nights *n)
{
	bool found = n->after == NULL || n->alone;

	for (size_t i = 0; !found && n->after[i] != NULL; i++) {
		char *path = night_path(n, n->after[i]);

		found = access(path, F_OK) == 0;
		free(path);
	}
	return found;
}

size_t
front_nights_findings(const struct front_nights *n, struct leat_findings *findings)
{
	size_t files = 0;

	for (size_t i = 0; n->after[i] != NULL; i++) {
		char *path = night_path(n, n->after[i]);
		struct leat_error err;

		if (access(path, F_OK) == 0) {
			files++;
			if (leat_findings_read(findings, path, &err) != 0)
				front_error(&err);
		}
		free(path);
	}
	if (findings->rejected > 0)
		front_error(&findings->first_rejected);
	return files;
}

/* From here on this process is the night: it talks only of failures, and its standard output is the file. */
static enum front_night
become_child(struct front_nights *n)
{
	size_t size;

	n->in_child = true;
	n->cal.now = n->next;
	front_set_now(n->next);
	front_quieten();
	n->path = night_path(n, n->judge);
	size = strlen(n->path) + 8;
	n->beside = malloc(size);
	if (n->beside == NULL)
		front_misuse("out of memory");
	snprintf(n->beside, size, "%s.new", n->path);
	if (freopen(n->beside, "w", stdout) == NULL) {
		front_fail("cannot write '%s': %s", n->beside, strerror(errno));
		_exit(FRONT_FAILED);
	}
	return FRONT_NIGHT_CHILD;
}

/* Begins the next night. */
static enum front_night
begin_night(struct front_nights *n)
{
	pid_t pid;

	if (!has_findings(n)) {
		n->without++;
		n->next = instant(n, ++n->date);
		return FRONT_NIGHT_NEXT;
	}
	while (n->children >= n->most)
		if (!reap(n))
			return FRONT_NIGHT_FAILED;
	/* What a child inherits in a buffer it would write again. */
	fflush(stdout);
	fflush(stderr);
	pid = fork();
	if (pid < 0) {
		front_fail("cannot begin a night: %s", strerror(errno));
		return FRONT_NIGHT_FAILED;
	}
	if (pid == 0)
		return become_child(n);
	n->children++;
	n->next = instant(n, ++n->date);
	return FRONT_NIGHT_NEXT;
}

enum front_night
front_nights_before(struct front_nights *n, struct leat_time t)
{
	if (leat_time_is_none(n->next)) {
		find_first(n, t);
		n->last = t;
		return FRONT_NIGHT_NEXT;
	}
	if (leat_time_cmp(t, n->next) > 0 && !later_than(n->next, n->until))
		return begin_night(n);
	n->last = t;
	return FRONT_NIGHT_NONE;
}

enum front_night
front_nights_rest(struct front_nights *n)
{
	if (leat_time_is_none(n->next)) {
		if (leat_time_is_none(n->from) || leat_time_is_none(n->until)) {
			front_fail("option '--nights': no reading in the input");
			return FRONT_NIGHT_FAILED;
		}
		find_first(n, n->from);
		return FRONT_NIGHT_NEXT;
	}
	if (later_than(n->next, leat_time_is_none(n->until) ? n->last : n->until))
		return FRONT_NIGHT_NONE;
	return begin_night(n);
}

void
front_nights_wait(struct front_nights *n)
{
	while (n->children > 0)
		reap(n);
	front_note("%zu night%s written to '%s'", n->written, n->written == 1 ? "" : "s", n->folder);
	if (n->without > 0 && n->written == 0 && !front_failed())
		front_fail("no night of '%s' has findings of a judge: run the judges with --nights and --all first", n->folder);
	else if (n->without > 0)
		front_warn("%zu night%s of which no judge has findings left out", n->without, n->without == 1 ? "" : "s");
}

void
front_nights_leave(struct front_nights *n)
{
	int status = front_end_stdout();

	if (status < FRONT_FAILED && rename(n->beside, n->path) != 0) {
		front_fail("cannot write '%s': %s", n->path, strerror(errno));
		status = FRONT_FAILED;
	}
	if (status == FRONT_FAILED)
		unlink(n->beside);
	/* Nothing that the parent has open is to be flushed or moved. */
	_exit(status);
}
