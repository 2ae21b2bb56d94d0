/*
 * leat-normalise: foreign exports to readings.
 */
#include "front.h"
#include "front_pins.h"
#include "front_tables.h"
#include "stream/intake.h"

enum { QUALITY = FRONT_PIN_OWN, TRACE };

#define TAGS_SAID 10	/* unknown tags that are named on stderr without --summary */

static const char help[] =
    "Usage: leat-normalise [-hqV] [--dates ORDER] [--decimal MARK] [--encoding NAME]\n"
    "                      [--findings FILE] [--max-rejects N|N%] [--nameplate FILE]\n"
    "                      [--now TIME] [--points FILE] [--quality KIND] [-r FILE]\n"
    "                      [--separator MARK] [--shape SHAPE] [--source NAME]\n"
    "                      [--sources FILE] [--summary] [--trace] [-w DIR]\n"
    "                      [--zone ZONE] [FILE ...]\n"
    "Turns exports of control systems, historians and laboratories into readings in\n"
    "order of time, in the units of points.csv.\n"
    "\n"
    "     --dates ORDER            iso, dmy, mdy, named, epoch, epoch-ms or serial\n"
    "     --decimal MARK           point or comma\n"
    "     --encoding NAME          utf-8, utf-16le, utf-16be or windows-1252\n"
    "     --findings FILE          write findings about the data itself to FILE\n"
    " -h, --help                   print this text\n"
    "     --max-rejects N|N%       rejected rows allowed (5%)\n"
    "     --nameplate FILE         take the nameplate from FILE, for its zone\n"
    "     --now TIME               reject stamps a day later than TIME (the clock)\n"
    "     --points FILE            take the points from FILE\n"
    "     --quality KIND           words, opc, ua, or uncertain for all readings\n"
    " -q, --quiet                  no notes on standard error\n"
    " -r, --rejects FILE           write rejected rows to FILE\n"
    "     --separator MARK         comma, semicolon, tab or pipe\n"
    "     --shape SHAPE            wide, long or paired\n"
    "     --source NAME            read all files as this source of sources.csv\n"
    "     --sources FILE           take the sources from FILE\n"
    "     --summary                account for what was read, on standard error\n"
    "     --trace                  add a column origin: file and line of each reading\n"
    " -V, --version                print the version\n"
    " -w, --works DIR              the works folder (LEAT_WORKS)\n"
    "     --zone ZONE              zone of stamps without offset, as Europe/Berlin\n";

struct options {
	struct leat_intake_plan plan;
	bool trace;
};

static void
set_quality(struct leat_intake_plan *plan)
{
	struct leat_span arg = leat_span_of(optarg);

	plan->uncertain = leat_span_is(arg, "uncertain");
	if (!plan->uncertain)
		plan->quality = (enum leat_quality_kind)front_word("quality", (int)leat_quality_kind_find(arg),
		    LEAT_QUALITY_UNDECIDED, "words, opc, ua, uncertain");
}

static void
parse(int argc, char *argv[], struct options *o)
{
	static const struct option longs[] = {
		{ "dates", required_argument, NULL, FRONT_DATES },
		{ "decimal", required_argument, NULL, FRONT_DECIMAL },
		{ "encoding", required_argument, NULL, FRONT_ENCODING },
		{ "findings", required_argument, NULL, FRONT_FINDINGS },
		{ "help", no_argument, NULL, 'h' },
		{ "max-rejects", required_argument, NULL, FRONT_MAX_REJECTS },
		{ "nameplate", required_argument, NULL, FRONT_NAMEPLATE },
		{ "now", required_argument, NULL, FRONT_CLOCK },
		{ "points", required_argument, NULL, FRONT_POINTS },
		{ "quality", required_argument, NULL, QUALITY },
		{ "quiet", no_argument, NULL, 'q' },
		{ "rejects", required_argument, NULL, 'r' },
		{ "separator", required_argument, NULL, FRONT_SEPARATOR },
		{ "shape", required_argument, NULL, FRONT_SHAPE },
		{ "source", required_argument, NULL, FRONT_SOURCE },
		{ "sources", required_argument, NULL, FRONT_SOURCES },
		{ "summary", no_argument, NULL, FRONT_SUMMARY },
		{ "trace", no_argument, NULL, TRACE },
		{ "version", no_argument, NULL, 'V' },
		{ "works", required_argument, NULL, 'w' },
		{ "zone", required_argument, NULL, FRONT_ZONE },
		{ NULL, 0, NULL, 0 }
	};
	int c;

	while ((c = getopt_long(argc, argv, ":hqr:Vw:", longs, NULL)) != -1) {
		if (c == QUALITY)
			set_quality(&o->plan);
		else if (c == TRACE)
			o->trace = true;
		else if (!front_pin(c, &o->plan.pinned))
			front_option(c, argv);
	}
}

/* Writes the group that is complete, and sets its conflicts aside. */
static bool
write_group(struct leat_intake *in, struct leat_settle *group, bool trace)
{
	struct leat_error err[2] = { { .line = 0 } };
	struct leat_span raw[2];
	size_t conflicts = leat_intake_write(in, group, trace, front_stdout());

	for (size_t i = 0; conflicts > 0 && i < group->count; i++) {
		if (!group->item[i].conflict)
			continue;
		if (leat_intake_conflict(in, group, &group->item[i], err, raw) != 0) {
			front_error(&err[0]);
			return false;
		}
		front_set_aside(&err[0], raw[0]);
		front_set_aside(&err[1], raw[1]);
	}
	leat_settle_clear(group);
	return front_stdout()->errnum == 0;
}

/* Reads everything; false when that failed, and was said. */
static bool
copy(struct leat_intake *in, struct leat_settle *group, bool trace)
{
	const struct leat_arrival *a;
	struct leat_error err;
	char text[1024];

	for (;;) {
		switch (leat_intake_next(in, &a, &err)) {
		case LEAT_INTAKE_READING:
			if (group->count > 0 && leat_time_cmp(a->time, group->time) != 0 &&
			    !write_group(in, group, trace))
				return false;
			if (leat_settle_put(group, a) == 0)
				break;
			leat_error_memory(&err);
			/* FALLTHROUGH */
		case LEAT_INTAKE_FAILED:
			front_error(&err);
			return false;
		case LEAT_INTAKE_BAD:
			front_reject(&err, leat_intake_rejected(in));
			break;
		case LEAT_INTAKE_NOTE:
			front_warn("%s", leat_error_format(&err, text, sizeof(text)));
			break;
		case LEAT_INTAKE_END:
			return write_group(in, group, trace);
		}
	}
}

static void
say_unknown_tags(const struct leat_tally *unknown)
{
	char tag[LEAT_TALLY_TEXT + 4];
	size_t count = unknown->names.count;

	/* The summary names all of them. */
	for (size_t i = 0; !front_opt.summary && i < count && i < TAGS_SAID; i++) {
		leat_mask(tag, sizeof(tag), unknown->names.name[i]);
		front_warn("points.csv does not have the tag '%s', values left out: %lld", tag, unknown->count[i]);
	}
	if (!front_opt.summary && count > TAGS_SAID)
		front_warn("%zu more tags are unknown; option '--summary' names them", count - TAGS_SAID);
}

/* What is to be said once the input has ended well. */
static void
conclude(struct leat_intake *in, const struct leat_settle *group)
{
	struct leat_intake_sum sum = leat_intake_summed(in, group);

	if (front_opt.now_data && !leat_time_is_none(in->last))
		front_set_now(in->last);
	else if (front_opt.now_data)
		front_opt.now_given = false;	/* no data: the clock */
	say_unknown_tags(&in->unknown);
	leat_intake_account(in, group, front_summary);
	leat_intake_findings(in, front_now(), front_data_finding);
	front_rejects_end(sum.export.data + front_rejected());
	front_set_aside_end(sum.conflicts, in->readings);
	if (in->readings == 0 && sum.unknown > 0)
		front_fail("not one tag of the input is in points.csv");
	else if (sum.export.data == 0)
		front_warn("the input has not one row of data");
	if (!leat_intake_balances(in, group))
		front_fail("lines and cells do not balance, a fault of this program: do not trust its output");
}

static void
normalise(const struct options *o, int count, char *const file[])
{
	struct leat_settle group = { .count = 0 };
	struct leat_error err = { .line = 0 };
	struct leat_intake *in = leat_intake_open(&o->plan, file, (size_t)count, &err);

	if (in == NULL) {
		front_error(&err);
		return;
	}
	leat_out_text(front_stdout(), "time,asset,point,value,unit,quality");
	leat_out_text(front_stdout(), o->trace ? ",origin" : "");
	leat_out_text(front_stdout(), in->supersedes ? ",supersedes\n" : "\n");
	if (copy(in, &group, o->trace))
		conclude(in, &group);
	leat_settle_free(&group);
	leat_intake_close(in);
}

int
main(int argc, char *argv[])
{
	struct options o = { .plan = { .pinned = { .encoding = LEAT_ENCODING_AUTO } } };
	struct leat_nameplate *np;
	struct leat_sources sources;
	struct leat_points points;

	front_start("leat-normalise", help);
	parse(argc, argv, &o);
	front_works_check();
	front_points(&points);
	np = front_nameplate();
	o.plan.points = &points;
	o.plan.sources = &sources;
	o.plan.source = front_sources(&sources);
	o.plan.zone = leat_nameplate_zone_given(np) ? leat_nameplate_zone(np) : NULL;
	o.plan.now = front_now_for_stamps();
	o.plan.folder = front_folder();
	normalise(&o, argc - optind, argv + optind);
	leat_nameplate_free(np);
	leat_sources_free(&sources);
	leat_points_free(&points);
	front_pins_free();
	return front_end();
}
