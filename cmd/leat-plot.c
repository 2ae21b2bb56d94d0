/*
 * leat-plot: readings over time, with limits, forecasts and events, as a picture (SVG).
 */
#include <stdlib.h>

#include "front.h"
#include "front_archive.h"
#include "front_tables.h"
#include "stream/select.h"
#include "tell/picture.h"

enum { ASSET = FRONT_OWN, FROM, HEIGHT, LAST, PANELS, POINT, SPARKLINE, THINNED, TITLE, TO, WIDTH };

static const char help[] =
    "Usage: leat-plot [-hqV] [--asset GLOB] [-f FILE] [--from TIME] [--height PIXELS]\n"
    "                 [--last DURATION] [--limits FILE] [--logbook FILE]\n"
    "                 [--max-rejects N|N%] [--nameplate FILE] [--now TIME] [--panels N]\n"
    "                 [--point GLOB] [--points FILE] [-r FILE] [--sparkline] [--summary]\n"
    "                 [--thinned PERIOD] [--title TEXT] [--to TIME] [--trends FILE]\n"
    "                 [-w DIR] [--width PIXELS] [FILE ...]\n"
    "Draws readings over time, with limits, forecasts and events of the logbook: SVG.\n"
    "\n"
    "     --asset GLOB        only assets such as 'NM/*'; may be given again\n"
    " -f, --findings FILE     findings: limits, baselines and forecasts; may be given again\n"
    "     --from TIME         only from TIME on\n"
    "     --height PIXELS     of the picture (what suits)\n"
    " -h, --help              print this text\n"
    "     --last DURATION     only from so long before now on, as P400D\n"
    "     --limits FILE       take the limits from FILE\n"
    "     --logbook FILE      take the logbook from FILE\n"
    "     --max-rejects N|N%  rejected rows allowed (5%)\n"
    "     --nameplate FILE    take the nameplate from FILE\n"
    "     --now TIME          leave out later rows (the clock), or data\n"
    "     --panels N          draw N series at most (24)\n"
    "     --point GLOB        only points such as 'oil-*'; may be given again\n"
    "     --points FILE       take the points from FILE\n"
    " -q, --quiet             no notes on standard error\n"
    " -r, --rejects FILE      write rejected rows to FILE\n"
    "     --sparkline         small, without axes: the curve, the last value, the range\n"
    "     --summary           account for what was read, on standard error\n"
    "     --thinned PERIOD    the input is thinned so, by leat-select --thin\n"
    "     --title TEXT        print TEXT above\n"
    "     --to TIME           only up to TIME\n"
    "     --trends FILE       take the trends from FILE\n"
    " -V, --version           print the version\n"
    "     --width PIXELS      of the picture (860; 240 of a sparkline, 340 of several)\n"
    " -w, --works DIR         the works folder (LEAT_WORKS)\n";

/* A mill that reports nothing for so long is silent: what holds until changed is not known then. */
#define SILENT_S 900.0

#define NOT_YET UINT32_MAX
#define NOT_ASKED (UINT32_MAX - 2)

struct options {
	struct leat_select select;
	struct leat_picture_form form;
	const char *last;
	struct leat_duration back;
	struct leat_findings findings;
};

struct series {
	uint32_t panel;			/* NOT_YET, NOT_ASKED, LEAT_PICTURE_FULL */
	uint32_t mill;
	bool until_changed;
	bool is_state;
	long long texts, units;		/* that were not drawn */
};

struct mill {
	struct leat_time last;		/* of any reading that is not bad */
};

struct job {
	struct leat_picture *picture;
	struct leat_readings *in;
	struct leat_points points;
	struct leat_select *select;
	struct series *series;
	size_t count, cap;
	struct leat_names mills;
	struct mill *mill;
	size_t mill_cap;
	struct leat_time last;		/* of all rows up to now */
	size_t full, most;		/* series left out; panels at most */
	long long later;
};

static int
out_of_memory(void)
{
	front_fail("out of memory");
	return -1;
}

/* What is to be done with a series, at its first reading. */
static int
meet(struct job *job, const struct leat_reading *r)
{
	size_t old = job->cap;
	struct series *s;
	int taken;
	uint32_t mill = leat_names_put(&job->mills, leat_asset_mill(r->asset));

	if (mill == LEAT_NAME_NONE || leat_grow(&job->series, &job->cap, (size_t)r->series + 1, sizeof(*job->series)) != 0 ||
	    leat_grow(&job->mill, &job->mill_cap, (size_t)mill + 1, sizeof(*job->mill)) != 0)
		return out_of_memory();
	for (; old < job->cap; old++)
		job->series[old].panel = NOT_YET;
	s = &job->series[r->series];
	if (s->panel != NOT_YET)
		return 0;
	s->mill = mill;
	if (job->mill[mill].last.sec == 0)
		job->mill[mill].last = r->time;
	s->is_state = leat_span_is(r->point, "state");
	s->until_changed = leat_points_hold(&job->points, r->asset, r->point) == 0;
	s->panel = NOT_ASKED;
	/* By name alone: what is outside of the period makes a panel too, which says so. */
	taken = leat_select_takes(job->select, r);
	if (taken < 0)
		return out_of_memory();
	if (taken == 0)
		return 0;
	s->panel = leat_picture_panel_of(job->picture, r->asset, r->point, &job->points);
	if (s->panel == LEAT_PICTURE_FAILED)
		return out_of_memory();
	if (s->panel == LEAT_PICTURE_FULL && job->full++ < 8)
		front_note("left out, for there are panels enough: %.*s/%.*s", (int)r->asset.len, r->asset.ptr,
		    (int)r->point.len, r->point.ptr);
	if (job->count <= r->series)
		job->count = (size_t)r->series + 1;
	return 0;
}

/* A mill was silent until now: nothing is known of what holds until changed. */
static void
silence(struct job *job, uint32_t mill, struct leat_time now)
{
	struct leat_time *last = &job->mill[mill].last;

	if (leat_time_diff(now, *last) > SILENT_S) {
		for (size_t i = 0; i < job->count; i++) {
			struct series *s = &job->series[i];

			if (s->mill == mill && s->until_changed && s->panel < NOT_ASKED)
				leat_picture_break(job->picture, s->panel, leat_time_add(*last, SILENT_S));
		}
	}
	*last = now;
}

static int
take(struct job *job, const struct leat_reading *r)
{
	struct series *s;

	if ((r->series >= job->cap || job->series[r->series].panel == NOT_YET) && meet(job, r) != 0)
		return -1;
	s = &job->series[r->series];
	if (r->quality != LEAT_BAD)
		silence(job, s->mill, r->time);
	if (s->is_state && leat_picture_state(job->picture, r) != 0)
		return out_of_memory();
	if (s->panel >= NOT_ASKED)
		return 0;
	switch (leat_picture_put(job->picture, s->panel, r)) {
	case LEAT_PICTURE_OUT_OF_MEMORY:
		return out_of_memory();
	case LEAT_PICTURE_NO_NUMBER:
		s->texts++;
		break;
	case LEAT_PICTURE_UNIT:
		s->units++;
		break;
	default:
		break;
	}
	return 0;
}

/* Reads all; at the end, who is silent by then. */
static void
read_all(struct job *job)
{
	struct leat_reading r;
	struct leat_time now = front_opt.now_data ? LEAT_TIME_NONE : front_now();

	while (front_reading(job->in, &r)) {
		if (!leat_time_is_none(now) && leat_time_cmp(r.time, now) > 0) {
			job->later++;
			continue;
		}
		job->last = r.time;
		if (take(job, &r) != 0)
			return;
	}
	for (uint32_t i = 0; i < job->mills.count; i++)
		silence(job, i, leat_time_is_none(now) ? job->last : now);
}

/* Says of each series what of it was not drawn. */
static void
account(const struct job *job)
{
	const struct leat_pairs *pairs = leat_readings_series(job->in);
	struct leat_readings_count rows = leat_readings_counted(job->in);

	for (size_t i = 0; i < job->count; i++) {
		struct leat_span asset = leat_readings_assets(job->in)->name[pairs->pair[i] >> 32];
		struct leat_span point = leat_readings_points(job->in)->name[pairs->pair[i] & 0xffffffff];

		if (job->series[i].texts > 0)
			front_warn("%.*s/%.*s: not drawn, for they are no numbers: %lld", (int)asset.len, asset.ptr,
			    (int)point.len, point.ptr, job->series[i].texts);
		if (job->series[i].units > 0)
			front_warn("%.*s/%.*s: not drawn, for their unit is of another dimension: %lld", (int)asset.len, asset.ptr,
			    (int)point.len, point.ptr, job->series[i].units);
	}
	if (leat_picture_events_lost(job->picture) > 0)
		front_note("%zu events of the logbook are not drawn, the earliest, for a picture has so many at most",
		    leat_picture_events_lost(job->picture));
	if (job->full > 0)
		front_warn("%zu series left out, for a picture has %zu panels at most (--panels)", job->full, job->most);
	if (job->select->taken == 0 && rows.rows > job->later)
		front_warn("no asset and point is one of those that are asked for");
	front_summary("%lld rows read, %lld rejected, %lld repeated headers, %lld later than now left out", rows.rows,
	    rows.rejected, rows.headers, job->later);
	front_rejects_end(rows.rows + rows.rejected);
}

/* Limits, findings and events, once the panels are known. */
static int
annotate(struct job *job, const struct options *o, const struct leat_limits *limits, const struct leat_trends *trends,
    const struct leat_logbook *book)
{
	if (leat_picture_limits(job->picture, limits) != 0 || leat_picture_findings(job->picture, &o->findings, trends) != 0)
		return out_of_memory();
	for (size_t i = 0; i < book->count; i++)
		if (leat_picture_entry(job->picture, &book->entry[i]) != 0)
			return out_of_memory();
	return 0;
}

static void
draw(struct options *o, int argc, char *argv[])
{
	struct job job = { .select = &o->select, .most = o->form.most, .last = LEAT_TIME_NONE };
	struct leat_limits limits = { 0 };
	struct leat_trends trends = { 0 };
	struct leat_logbook book = { 0 };
	struct leat_nameplate *np;

	front_works_check();
	front_points(&job.points);
	front_limits(&limits);
	front_trends(&trends);
	np = front_nameplate();
	o->form.zone = leat_nameplate_zone(np);
	o->form.now = front_opt.now_data ? LEAT_TIME_NONE : front_now();
	front_logbook(&book, o->form.zone, o->form.now);
	job.in = front_readings(argc, argv);
	job.picture = leat_picture_new(&o->form);
	if (job.picture == NULL) {
		out_of_memory();
	} else {
		read_all(&job);
		if (!front_failed() && annotate(&job, o, &limits, &trends, &book) == 0 &&
		    leat_picture_write(job.picture, front_stdout()) != 0)
			out_of_memory();
		account(&job);
	}
	leat_picture_free(job.picture);
	leat_readings_close(job.in);
	leat_logbook_free(&book);
	leat_trends_free(&trends);
	leat_limits_free(&limits);
	leat_nameplate_free(np);
	leat_points_free(&job.points);
	leat_names_free(&job.mills);
	free(job.mill);
	free(job.series);
}

/* The length of the longest of those periods. */
static double
thinned(const char *text)
{
	struct leat_grid grid = { .zone = NULL };

	if (leat_grid_length(&grid, leat_span_of(text)) != 0)
		front_misuse("option '--thinned': not a period such as PT10M, PT1H, P1D, P7D or P1M: '%s'", text);
	return grid.months * 31 * 86400.0 + grid.days * 86400.0 + grid.seconds;
}

static void
own_option(int c, char *argv[], int argc, struct options *o)
{
	switch (c) {
	case ASSET:
		front_glob(&o->select.asset, &o->select.assets, argc);
		break;
	case 'f':
		front_findings(&o->findings, optarg);
		break;
	case FROM:
		o->form.from = front_time("--from", optarg);
		break;
	case HEIGHT:
		o->form.height = (unsigned)front_int("--height", optarg, LEAT_PICTURE_SIDE_LEAST, LEAT_PICTURE_SIDE_MOST);
		break;
	case LAST:
		o->last = optarg;
		if (leat_duration_parse(leat_span_of(optarg), &o->back) != 0)
			front_misuse("option '--last': not a duration such as P400D: '%s'", optarg);
		break;
	case PANELS:
		o->form.most = (size_t)front_int("--panels", optarg, 1, 1000);
		break;
	case POINT:
		front_glob(&o->select.point, &o->select.points, argc);
		break;
	case SPARKLINE:
		o->form.spark = true;
		break;
	case THINNED:
		o->form.thinned_s = thinned(optarg);
		break;
	case TITLE:
		o->form.title = leat_span_of(optarg);
		break;
	case TO:
		o->form.to = front_time("--to", optarg);
		break;
	case WIDTH:
		o->form.width = (unsigned)front_int("--width", optarg, LEAT_PICTURE_SIDE_LEAST, LEAT_PICTURE_SIDE_MOST);
		break;
	default:
		front_option(c, argv);
	}
}

static void
parse(int argc, char *argv[], struct options *o)
{
	static const struct option longs[] = {
		{ "asset", required_argument, NULL, ASSET },
		{ "findings", required_argument, NULL, 'f' },
		{ "from", required_argument, NULL, FROM },
		{ "height", required_argument, NULL, HEIGHT },
		{ "help", no_argument, NULL, 'h' },
		{ "last", required_argument, NULL, LAST },
		{ "limits", required_argument, NULL, FRONT_LIMITS },
		{ "logbook", required_argument, NULL, FRONT_LOGBOOK },
		{ "max-rejects", required_argument, NULL, FRONT_MAX_REJECTS },
		{ "nameplate", required_argument, NULL, FRONT_NAMEPLATE },
		{ "now", required_argument, NULL, FRONT_CLOCK },
		{ "panels", required_argument, NULL, PANELS },
		{ "point", required_argument, NULL, POINT },
		{ "points", required_argument, NULL, FRONT_POINTS },
		{ "quiet", no_argument, NULL, 'q' },
		{ "rejects", required_argument, NULL, 'r' },
		{ "sparkline", no_argument, NULL, SPARKLINE },
		{ "summary", no_argument, NULL, FRONT_SUMMARY },
		{ "thinned", required_argument, NULL, THINNED },
		{ "title", required_argument, NULL, TITLE },
		{ "to", required_argument, NULL, TO },
		{ "trends", required_argument, NULL, FRONT_TRENDS },
		{ "version", no_argument, NULL, 'V' },
		{ "width", required_argument, NULL, WIDTH },
		{ "works", required_argument, NULL, 'w' },
		{ NULL, 0, NULL, 0 }
	};
	int c;

	while ((c = getopt_long(argc, argv, ":f:hqr:Vw:", longs, NULL)) != -1)
		own_option(c, argv, argc, o);
	if (o->last != NULL && !leat_time_is_none(o->form.from))
		front_misuse("give either '--from' or '--last'");
	if (o->last != NULL && front_opt.now_data)
		front_misuse("option '--last' with '--now data': a stream comes once; give '--now TIME'");
	if (o->last != NULL)
		o->form.from = leat_time_shift(front_now(), &o->back, -1);
	if (!leat_time_is_none(o->form.from) && !leat_time_is_none(o->form.to) && leat_time_cmp(o->form.from, o->form.to) >= 0)
		front_misuse("option '--to': not after the beginning");
}

int
main(int argc, char *argv[])
{
	struct options o = { .select = { .from = LEAT_TIME_NONE, .to = LEAT_TIME_NONE, .now = LEAT_TIME_NONE, .quality = 7 },
		.form = { .from = LEAT_TIME_NONE, .to = LEAT_TIME_NONE, .now = LEAT_TIME_NONE, .sort = true,
		.most = LEAT_PICTURE_MOST } };

	front_start("leat-plot", help);
	parse(argc, argv, &o);
	draw(&o, argc, argv);
	leat_select_free(&o.select);
	free(o.select.asset);
	free(o.select.point);
	leat_findings_free(&o.findings);
	return front_end();
}
