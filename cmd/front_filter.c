/*
 * What the commands of the derive filters do alike.
 */
#include "front_filter.h"

static const struct option shared[] = {
	{ "explain", optional_argument, NULL, FRONT_EXPLAIN },
	{ "findings", required_argument, NULL, FRONT_FINDINGS },
	{ "help", no_argument, NULL, 'h' },
	{ "max-rejects", required_argument, NULL, FRONT_MAX_REJECTS },
	{ "nameplate", required_argument, NULL, FRONT_NAMEPLATE },
	{ "now", required_argument, NULL, FRONT_CLOCK },
	{ "only", no_argument, NULL, FRONT_ONLY },
	{ "points", required_argument, NULL, FRONT_POINTS },
	{ "quiet", no_argument, NULL, 'q' },
	{ "rejects", required_argument, NULL, 'r' },
	{ "summary", no_argument, NULL, FRONT_SUMMARY },
	{ "version", no_argument, NULL, 'V' },
	{ "works", required_argument, NULL, 'w' },
	{ NULL, 0, NULL, 0 }
};

static const struct option logbook[] = {
	{ "logbook", required_argument, NULL, FRONT_LOGBOOK },
	{ NULL, 0, NULL, 0 }
};

void
front_filter_options(struct front_filter *f, int argc, char *argv[])
{
	struct option longs[FRONT_OPTIONS_MAX] = { { NULL, 0, NULL, 0 } };
	size_t count = front_options_add(longs, front_options_add(longs, 0, shared), f->own);
	int c;

	front_options_add(longs, count, f->with_logbook ? logbook : NULL);
	front_start(f->name, f->help);
	while ((c = getopt_long(argc, argv, ":hqr:Vw:", longs, NULL)) != -1) {
		if (c >= FRONT_OWN)
			f->option(c);
		else
			front_option(c, argv);
	}
}

void
front_filter_open(struct front_filter *f, int argc, char *const argv[])
{
	front_works_check();
	front_points(&f->points);
	f->np = front_nameplate();
	f->now = front_opt.now_data ? LEAT_TIME_NONE : front_now();
	if (f->with_logbook)
		front_logbook(&f->book, leat_nameplate_zone(f->np), f->now);
	f->in = front_readings(argc, argv);
	f->out = front_stdout();
	f->explain = front_opt.explain;
	f->what = leat_span_of(front_opt.explain_what);
	f->in_place = f->in_place || f->explain;
	f->no_copy = front_opt.only || f->in_place;
}

int
front_filter_run(struct front_filter *f, front_take *take, void *filter)
{
	if (!f->in_place)
		leat_readings_write_header(f->out, f->in);
	return front_derive(f->in, take, filter, !f->no_copy);
}

void
front_filter_account(const struct front_filter *f)
{
	if (f->what.len > 0 && !leat_out_any(f->out) && !front_failed())
		front_warn("nothing to explain: no result is of '%s'", front_opt.explain_what);
	front_derive_end(f->in);
}

int
front_filter_close(struct front_filter *f)
{
	leat_readings_close(f->in);
	if (f->with_logbook)
		leat_logbook_free(&f->book);
	leat_nameplate_free(f->np);
	leat_points_free(&f->points);
	return front_end();
}
