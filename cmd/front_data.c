/*
 * What the front end does about data: opening readings, rejected rows, findings about the data itself.
 */
#include <errno.h>
#include <stdlib.h>
#include <unistd.h>

#include "front.h"
#include "front_private.h"

/* How many rejected rows are said on stderr before falling silent; -r has them all. */
#define SAID 5

static long long rejected, said;
static struct leat_out *rejects;
static struct leat_out *data;
static char *data_path;

static FILE *
create(const char *path)
{
	FILE *file = fopen(path, "w");

	if (file == NULL) {
		front_fail("cannot write '%s': %s", path, strerror(errno));
		exit(FRONT_FAILED);
	}
	return file;
}

static struct leat_out *
open_out(const char *path)
{
	struct leat_out *o = malloc(sizeof(*o));

	if (o == NULL)
		front_misuse("out of memory");
	leat_out_init(o, create(path));
	return o;
}

static void
open_rejects(void)
{
	rejects = open_out(front_opt.rejects);
	leat_out_text(rejects, "file,line,column,reason,raw\n");
}

static void
number_field(struct leat_out *o, long number)
{
	char text[24];

	if (number > 0) {
		snprintf(text, sizeof(text), "%ld", number);
		leat_out_text(o, text);
	}
}

/* Says the first few, of rejected rows and of readings set aside together, and writes all to -r FILE. */
static void
record(const struct leat_error *err, struct leat_span raw)
{
	char text[1024];

	said++;
	if (said <= SAID && !front_opt.quiet)
		front_warn("%s", leat_error_format(err, text, sizeof(text)));
	if (said == SAID + 1 && !front_opt.quiet)
		front_warn("more rows are rejected; option '-r FILE' keeps them all");
	if (front_opt.rejects == NULL)
		return;
	if (rejects == NULL)
		open_rejects();
	leat_out_field(rejects, leat_span_of(err->file));
	leat_out_char(rejects, ',');
	number_field(rejects, err->line);
	leat_out_char(rejects, ',');
	leat_out_field(rejects, leat_span_of(err->column));
	leat_out_char(rejects, ',');
	snprintf(text, sizeof(text), err->has_value ? "%s: '%s'" : "%s", err->text, err->value);
	leat_out_field(rejects, leat_span_of(text));
	leat_out_char(rejects, ',');
	leat_out_field(rejects, raw);
	leat_out_char(rejects, '\n');
}

void
front_reject(const struct leat_error *err, struct leat_span raw)
{
	rejected++;
	record(err, raw);
}

void
front_set_aside(const struct leat_error *err, struct leat_span raw)
{
	record(err, raw);
}

long long
front_rejected(void)
{
	return rejected;
}

static void
compare_limit(long long count, long long total, const char *what)
{
	double allowed = front_opt.max_is_share ? front_opt.max_rejects * (double)total : front_opt.max_rejects;

	if (count > 0 && (double)count > allowed)
		front_fail("%lld of %lld %s, more than allowed (%g%s)", count, total, what,
		    front_opt.max_is_share ? front_opt.max_rejects * 100 : front_opt.max_rejects,
		    front_opt.max_is_share ? " %" : "");
}

void
front_rejects_end(long long total)
{
	compare_limit(rejected, total, "rows rejected");
}

void
front_set_aside_end(long long count, long long total)
{
	compare_limit(count, total, "readings in conflict");
}

/* What was rejected of readings, as a finding about the data: its time is that of the last good reading. */
static void
tell_rejected(struct leat_time last)
{
	char number[32], message[128];
	struct leat_finding f = {
		.time = last, .asset = LEAT_SPAN("-"), .point = LEAT_SPAN("-"), .rule = LEAT_SPAN("rejected-rows"),
		.status = LEAT_STATUS_UNKNOWN, .since = LEAT_TIME_NONE, .until = LEAT_TIME_NONE, .due = LEAT_TIME_NONE,
		.shelved = LEAT_TIME_NONE
	};

	if (rejected == 0)
		return;
	if (leat_time_is_none(last) && !front_opt.now_data)
		f.time = front_now();
	snprintf(number, sizeof(number), "%lld", rejected);
	snprintf(message, sizeof(message), "readings that cannot be read, rejected by %s (option -r keeps them): %lld",
	    front_program(), rejected);
	f.value = leat_span_of(number);
	f.message = leat_span_of(message);
	front_data_finding(&f);
}

bool
front_reading(struct leat_readings *in, struct leat_reading *r)
{
	static struct leat_time last = { INT64_MIN, 0 };
	static struct leat_error err;
	enum leat_readings_status status;

	for (;;) {
		status = leat_readings_next(in, r, &err);
		if (status == LEAT_READINGS_ROW) {
			last = r->time;
			return true;
		}
		switch (status) {
		case LEAT_READINGS_ROW:
		case LEAT_READINGS_BAD:
			front_reject(&err, leat_readings_rejected(in));
			break;
		case LEAT_READINGS_FAILED:
			front_error(&err);
			return false;
		case LEAT_READINGS_END:
			tell_rejected(last);
			return false;
		}
	}
}

struct leat_readings *
front_readings(int argc, char *const argv[])
{
	struct leat_error err;
	struct leat_readings *in = leat_readings_open(argv + optind, (size_t)(argc - optind), &err);

	if (in == NULL) {
		front_error(&err);
		exit(front_end());
	}
	return in;
}

/* The findings are written beside their target and renamed at the end, so that a failed run leaves the old file. */
static void
open_data(void)
{
	size_t size = strlen(front_opt.findings) + 32;

	data_path = malloc(size);
	if (data_path == NULL)
		front_misuse("out of memory");
	snprintf(data_path, size, "%s.%ld.tmp", front_opt.findings, (long)getpid());
	data = open_out(data_path);
	leat_findings_write_header(data, NULL);
}

void
front_data_finding(const struct leat_finding *f)
{
	if (front_opt.findings == NULL)
		return;
	if (data == NULL)
		open_data();
	leat_finding_write(data, f, true);
}

/* Closes one side file; true when every byte is safely with the system. */
static bool
close_out(struct leat_out *o, const char *path)
{
	int errnum = leat_out_flush(o) != 0 ? o->errnum : 0;

	if (fclose(o->file) != 0 && errnum == 0)
		errnum = errno;
	free(o);
	if (errnum != 0)
		front_fail("cannot write '%s': %s", path, strerror(errnum));
	return errnum == 0;
}

void
front_data_end(void)
{
	if (front_opt.rejects != NULL) {
		/* A run without rejects leaves a file that says so, not the file of an earlier run. */
		if (rejects == NULL)
			open_rejects();
		close_out(rejects, front_opt.rejects);
		rejects = NULL;
		front_opt.rejects = NULL;
	}
	if (front_opt.findings == NULL)
		return;
	if (data == NULL)
		open_data();
	if (!close_out(data, data_path))
		unlink(data_path);
	else if (rename(data_path, front_opt.findings) != 0) {
		front_fail("cannot write '%s': %s", front_opt.findings, strerror(errno));
		unlink(data_path);
	}
	free(data_path);
	data = NULL;
	front_opt.findings = NULL;
}
