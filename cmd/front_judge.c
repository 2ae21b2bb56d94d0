/*
 * What the commands of the judges do alike.
 */
#include "front_judge.h"

static const struct option shared[] = {
	{ "all", no_argument, NULL, 'a' },
	{ "exit-status", no_argument, NULL, 'e' },
	{ "explain", optional_argument, NULL, FRONT_EXPLAIN },
	{ "findings", required_argument, NULL, FRONT_FINDINGS },
	{ "help", no_argument, NULL, 'h' },
	{ "max-rejects", required_argument, NULL, FRONT_MAX_REJECTS },
	{ "nameplate", required_argument, NULL, FRONT_NAMEPLATE },
	{ "now", required_argument, NULL, FRONT_CLOCK },
	{ "points", required_argument, NULL, FRONT_POINTS },
	{ "print-defaults", no_argument, NULL, FRONT_PRINT_DEFAULTS },
	{ "quiet", no_argument, NULL, 'q' },
	{ "rejects", required_argument, NULL, 'r' },
	{ "shelved", required_argument, NULL, FRONT_SHELVED },
	{ "summary", no_argument, NULL, FRONT_SUMMARY },
	{ "version", no_argument, NULL, 'V' },
	{ "works", required_argument, NULL, 'w' },
	{ NULL, 0, NULL, 0 }
};

static const struct option logbook[] = {
	{ "logbook", required_argument, NULL, FRONT_LOGBOOK },
	{ NULL, 0, NULL, 0 }
};

static const struct option nights[] = {
	{ "from", required_argument, NULL, FRONT_FROM },
	{ "night-time", required_argument, NULL, FRONT_NIGHT_TIME },
	{ "nights", required_argument, NULL, FRONT_NIGHTS },
	{ "until", required_argument, NULL, FRONT_UNTIL },
	{ NULL, 0, NULL, 0 }
};

void
front_judge_options(struct front_judge *f, int argc, char *argv[])
{
	struct option longs[FRONT_OPTIONS_MAX] = { { NULL, 0, NULL, 0 } };
	size_t count = front_options_add(longs, front_options_add(longs, 0, shared), f->own);
	int c;

	count = front_options_add(longs, count, f->with_logbook ? logbook : NULL);
	front_options_add(longs, count, f->as_of != NULL ? nights : NULL);
	f->nights = (struct front_nights)FRONT_NIGHTS_NONE;
	front_start(f->name, f->help);
	while ((c = getopt_long(argc, argv, ":aehqr:Vw:", longs, NULL)) != -1) {
		if (c == FRONT_PRINT_DEFAULTS)
			f->print_defaults = true;
		else if (!front_nights_option(&f->nights, c, optarg) && (f->option == NULL || !f->option(c)))
			front_option(c, argv);
	}
}

void
front_judge_open(struct front_judge *f, int argc, char *const argv[])
{
	front_points(&f->points);
	f->np = front_nameplate();
	front_shelves(&f->shelves, leat_nameplate_zone(f->np));
	if (f->as_of != NULL)
		front_nights_begin(&f->nights, f->np);
	f->now = front_opt.now_data || f->nights.folder != NULL ? LEAT_TIME_NONE : front_now();
	if (f->with_logbook)
		front_logbook(&f->book, leat_nameplate_zone(f->np), f->now);
	f->in = front_readings(argc, argv);
}

void
front_judge_close(struct front_judge *f)
{
	if (f->nights.in_child)
		front_nights_leave(&f->nights);
	leat_readings_close(f->in);
	if (f->with_logbook)
		leat_logbook_free(&f->book);
	leat_shelves_free(&f->shelves);
	leat_nameplate_free(f->np);
	leat_points_free(&f->points);
}

int
front_judge_read(struct leat_readings *in, front_judge_take *take, void *judge)
{
	struct leat_reading r;
	struct leat_error err;

	while (front_reading(in, &r)) {
		if (take(judge, &r, &err) != 0) {
			front_error(&err);
			return -1;
		}
	}
	return 0;
}

/* Begins the nights that are due.  True in the process of one, and when one failed (*result is -1 then). */
static bool
begin_nights(struct front_judge *f, struct leat_time *t, void *judge, int *result)
{
	enum front_night night;

	while ((night = t != NULL ? front_nights_before(&f->nights, *t) : front_nights_rest(&f->nights)) == FRONT_NIGHT_NEXT)
		f->as_of(judge, f->nights.next);
	if (night == FRONT_NIGHT_NONE)
		return false;
	*result = night == FRONT_NIGHT_CHILD ? 0 : -1;
	/* The judge has been told of this night; the logbook is that of it as well. */
	if (night == FRONT_NIGHT_CHILD && f->with_logbook)
		f->book = leat_logbook_as_of(&f->book, f->nights.cal.now);
	return true;
}

int
front_judge_read_nights(struct front_judge *f, front_judge_take *take, void *judge)
{
	struct leat_reading r;
	struct leat_error err;
	int result;

	if (f->nights.folder == NULL)
		return front_judge_read(f->in, take, judge);
	while (front_reading(f->in, &r)) {
		if (begin_nights(f, &r.time, judge, &result))
			goto done;
		/* What is later than the last night is left out by the judge. */
		if (take(judge, &r, &err) != 0) {
			front_error(&err);
			result = -1;
			goto done;
		}
	}
	result = -1;
	if (!front_failed())
		begin_nights(f, NULL, judge, &result);
done:
	if (!f->nights.in_child)
		front_nights_wait(&f->nights);
	return result;
}

bool
front_judge_dated(struct leat_time now)
{
	if (leat_time_is_none(now))
		front_fail("option '--now data': no reading in the input");
	return !leat_time_is_none(now);
}

void
front_judge_explained(size_t count)
{
	if (count == 0)
		front_warn("nothing to explain: no judgement is of '%s'", front_opt.explain_what != NULL ? front_opt.explain_what : "*");
}

void
front_judge_end(const struct leat_readings *in, long long later, size_t found)
{
	struct leat_readings_count rows = leat_readings_counted(in);

	front_summary("%lld rows read, %lld rejected, %lld repeated headers, %lld later than now left out", rows.rows,
	    rows.rejected, rows.headers, later);
	if (front_opt.exit_status && found > 0)
		front_raise(FRONT_FOUND);
	front_rejects_end(rows.rows + rows.rejected);
}
