/*
 * Messages, the exit ledger, shared options, standard output.  Rejects and data findings are in front_data.c.
 */
#include <errno.h>
#include <limits.h>
#include <signal.h>
#include <stdarg.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include "front.h"
#include "front_private.h"

#ifndef LEAT_VERSION
#define LEAT_VERSION "unknown"
#endif

struct front_options front_opt;

static const char *program = "leat";
static const char *help_text = "";
static int ledger;
static bool quietened;
static struct leat_out *out;

void
front_start(const char *name, const char *help)
{
	const char *works = getenv("LEAT_WORKS");

	program = name;
	help_text = help;
	opterr = 0;
	front_opt.works = works != NULL && *works != '\0' ? works : NULL;
	front_opt.max_rejects = 0.05;
	front_opt.max_is_share = true;
	front_opt.since.days = 1;
	front_opt.since_time = LEAT_TIME_NONE;
}

/* One line on stderr, written in one call so that lines of a pipe's stages do not mix. */
static void
say(const char *fmt, va_list ap)
{
	char line[2048];
	int head = snprintf(line, sizeof(line) - 1, "%s: ", program);
	int len = vsnprintf(line + head, sizeof(line) - 1 - (size_t)head, fmt, ap);
	size_t end = (size_t)head + (len < 0 ? 0 : (size_t)len);

	if (end > sizeof(line) - 2)
		end = sizeof(line) - 2;
	line[end] = '\n';
	line[end + 1] = '\0';
	fputs(line, stderr);
}

#define SAY(fmt)			\
	do {				\
		va_list ap;		\
		va_start(ap, fmt);	\
		say(fmt, ap);		\
		va_end(ap);		\
	} while (0)

void
front_misuse(const char *fmt, ...)
{
	SAY(fmt);
	fprintf(stderr, "Try '%s --help' for all options.\n", program);
	exit(FRONT_FAILED);
}

void
front_note(const char *fmt, ...)
{
	if (!front_opt.quiet)
		SAY(fmt);
}

void
front_warn(const char *fmt, ...)
{
	if (!quietened)
		SAY(fmt);
}

void
front_warn_text(const char *text)
{
	front_warn("%s", text);
}

void
front_fail(const char *fmt, ...)
{
	SAY(fmt);
	front_raise(FRONT_FAILED);
}

void
front_error(const struct leat_error *err)
{
	char text[1024];

	front_fail("%s", leat_error_format(err, text, sizeof(text)));
}

void
front_summary(const char *fmt, ...)
{
	if (front_opt.summary)
		SAY(fmt);
}

void
front_raise(int status)
{
	if (status > ledger)
		ledger = status;
}

bool
front_failed(void)
{
	return ledger == FRONT_FAILED;
}

void
front_quieten(void)
{
	quietened = true;
	front_opt.quiet = true;
	front_opt.summary = false;
}

const char *
front_program(void)
{
	return program;
}

long
front_int(const char *option, const char *text, long min, long max)
{
	int64_t value;

	if (leat_int_parse(leat_span_of(text), min, max, &value) != 0)
		front_misuse("option '%s': not a whole number from %ld to %ld: '%s'", option, min, max, text);
	return (long)value;
}

/* Prints the help or the version and ends; a full disk must not look like success even here. */
static void
print_and_exit(const char *text)
{
	fputs(text, stdout);
	exit(front_end());
}

static void
set_now(const char *arg)
{
	front_opt.now_given = true;
	front_opt.now_data = strcmp(arg, "data") == 0;
	if (!front_opt.now_data && leat_time_parse(leat_span_of(arg), &front_opt.now) != 0)
		front_misuse("option '--now': not an RFC 3339 time such as 2025-12-20T05:30:00Z, nor 'data': '%s'", arg);
}

static void
set_since(const char *arg)
{
	struct leat_span text = leat_span_of(arg);

	if (leat_duration_parse(text, &front_opt.since) == 0)
		front_opt.since_time = LEAT_TIME_NONE;
	else if (leat_time_parse(text, &front_opt.since_time) != 0)
		front_misuse("option '--since': not a duration such as P1D, nor an RFC 3339 time: '%s'", arg);
}

static void
set_max_rejects(const char *arg)
{
	struct leat_span text = leat_span_of(arg);
	bool share = leat_span_ends(text, "%");

	text.len -= share;
	if (leat_double_parse(text, &front_opt.max_rejects) != 0 || front_opt.max_rejects < 0 ||
	    (share && front_opt.max_rejects > 100))
		front_misuse("option '--max-rejects': not a number of rows such as 20, nor a share such as 5%%: '%s'", arg);
	front_opt.max_is_share = share;
	if (share)
		front_opt.max_rejects /= 100;
}

/* The operand in argv that getopt_long stumbled over, for the message. */
static const char *
culprit(char *const argv[])
{
	static char letter[3] = "-?";

	if (optopt > 0 && optopt < 256) {
		letter[1] = (char)optopt;
		return letter;
	}
	return argv[optind - 1];
}

void
front_option(int code, char *const argv[])
{
	static char version[128];

	switch (code) {
	case 'a':
		front_opt.all = true;
		break;
	case 'e':
		front_opt.exit_status = true;
		break;
	case 'h':
		print_and_exit(help_text);
		break;
	case 'q':
		front_opt.quiet = true;
		break;
	case 'r':
		front_opt.rejects = optarg;
		break;
	case 'V':
		snprintf(version, sizeof(version), "%s (leat) %s\n", program, LEAT_VERSION);
		print_and_exit(version);
		break;
	case 'w':
		front_opt.works = optarg;
		break;
	case FRONT_CLOCK:
		set_now(optarg);
		break;
	case FRONT_SUMMARY:
		front_opt.summary = true;
		break;
	case FRONT_FINDINGS:
		front_opt.findings = optarg;
		break;
	case FRONT_MAX_REJECTS:
		set_max_rejects(optarg);
		break;
	case FRONT_SINCE:
		set_since(optarg);
		break;
	case FRONT_EXPLAIN:
		front_opt.explain = true;
		front_opt.explain_what = optarg;
		break;
	case FRONT_ONLY:
		front_opt.only = true;
		break;
	case ':':
		front_misuse("option '%s' needs a value", argv[optind - 1]);
	default:
		if (code >= FRONT_TABLE && code < FRONT_OWN) {
			front_opt.table[code - FRONT_TABLE] = optarg;
			break;
		}
		front_misuse("unknown or ambiguous option '%s'", culprit(argv));
	}
}

size_t
front_options_add(struct option *longs, size_t count, const struct option *more)
{
	for (; more != NULL && more->name != NULL && count + 1 < FRONT_OPTIONS_MAX; more++)
		longs[count++] = *more;
	return count;
}

struct leat_time
front_now(void)
{
	if (!front_opt.now_given) {
		struct timespec ts;

		clock_gettime(CLOCK_REALTIME, &ts);
		front_opt.now = (struct leat_time){ ts.tv_sec, 0 };
		front_opt.now_given = true;
	}
	return front_opt.now;
}

void
front_set_now(struct leat_time now)
{
	front_opt.now = now;
	front_opt.now_given = true;
}

struct leat_time
front_since(void)
{
	if (!leat_time_is_none(front_opt.since_time))
		return front_opt.since_time;
	return leat_time_shift(front_now(), &front_opt.since, -1);
}

void
front_works_check(void)
{
	struct stat st;

	if (front_opt.works == NULL)
		return;
	if (stat(front_opt.works, &st) != 0)
		front_misuse("cannot open the works folder: %s: '%s'", strerror(errno), front_opt.works);
	if (!S_ISDIR(st.st_mode))
		front_misuse("the works is not a folder: '%s'", front_opt.works);
}

const char *
front_table(enum front_code code)
{
	static const char *const name[FRONT_OWN - FRONT_TABLE] = {
		[FRONT_CONFIRM - FRONT_TABLE] = "confirm",
		[FRONT_LIMITS - FRONT_TABLE] = "limits",
		[FRONT_LOGBOOK - FRONT_TABLE] = "logbook",
		[FRONT_MODES - FRONT_TABLE] = "modes",
		[FRONT_NAMEPLATE - FRONT_TABLE] = "nameplate",
		[FRONT_OIL - FRONT_TABLE] = "oil",
		[FRONT_PARTS - FRONT_TABLE] = "parts",
		[FRONT_POINTS - FRONT_TABLE] = "points",
		[FRONT_PRECHARGES - FRONT_TABLE] = "precharge",
		[FRONT_SHELVED - FRONT_TABLE] = "shelved",
		[FRONT_SOURCES - FRONT_TABLE] = "sources",
		[FRONT_STOPS - FRONT_TABLE] = "stops",
		[FRONT_TASKS - FRONT_TABLE] = "tasks",
		[FRONT_TRENDS - FRONT_TABLE] = "trends"
	};
	static char *path[FRONT_OWN - FRONT_TABLE];
	size_t i = (size_t)code - FRONT_TABLE;

	if (front_opt.table[i] != NULL)
		return front_opt.table[i];
	if (front_opt.works == NULL)
		return NULL;
	if (path[i] == NULL) {
		size_t size = strlen(front_opt.works) + strlen(name[i]) + 6;

		path[i] = malloc(size);
		if (path[i] == NULL)
			front_misuse("out of memory");
		snprintf(path[i], size, "%s/%s.csv", front_opt.works, name[i]);
	}
	return path[i];
}

void
front_absent(const char *path)
{
	front_summary("no table '%s': taken as empty", path);
}

struct leat_out *
front_stdout(void)
{
	if (out == NULL) {
		out = malloc(sizeof(*out));
		if (out == NULL)
			front_misuse("out of memory");
		leat_out_init(out, stdout);
	}
	return out;
}

/* Flushes and closes stdout.  When the reader has left there is nobody to tell; anything else is a failure. */
static void
close_stdout(void)
{
	int errnum = 0;

	if (out != NULL && leat_out_flush(out) != 0)
		errnum = out->errnum;
	if (errnum == 0 && ferror(stdout))
		errnum = EIO;
	if (fclose(stdout) != 0 && errnum == 0)
		errnum = errno;
	free(out);
	out = NULL;
	if (errnum == 0)
		return;
	front_raise(FRONT_FAILED);
	if (errnum != EPIPE)
		front_fail("cannot write standard output: %s", strerror(errnum));
}

int
front_end_stdout(void)
{
	close_stdout();
	return ledger;
}

int
front_end(void)
{
	close_stdout();
	front_data_end();
	return ledger;
}
