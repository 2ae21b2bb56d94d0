/*
 * leat-survey: what a foreign export holds, tag by tag, and drafts of the tables that read it.
 */
#include <string.h>

#include "front.h"
#include "front_pins.h"
#include "front_tables.h"
#include "judge/blind.h"
#include "judge/draft.h"
#include "stream/survey.h"

enum { COMPRESSION = FRONT_PIN_OWN, DRAFT, JUDGEMENTS };

/* What is printed.  The first are of each file by itself, the others of all files together. */
enum task { SURVEY, DRAFT_POINTS, DRAFT_SOURCES, TOGETHER, TELL_COMPRESSION = TOGETHER, TELL_JUDGEMENTS, DRAFT_NAMEPLATE,
	DRAFT_TASKS };

#define REJECTS_SAID 3	/* rejected lines of a file that are shown */

static const char help[] =
    "Usage: leat-survey [-hqV] [--compression] [--dates ORDER] [--decimal MARK]\n"
    "                   [--draft TABLE] [--encoding NAME] [--judgements]\n"
    "                   [--logbook FILE] [--nameplate FILE] [--now TIME]\n"
    "                   [--points FILE] [--separator MARK] [--shape SHAPE]\n"
    "                   [--summary] [-w DIR] [--zone ZONE] [FILE ...]\n"
    "Says what each export holds: how it is written, and for every tag its span,\n"
    "step, gaps, frozen spells, range and likely kind.  No table is needed.\n"
    "\n"
    "     --compression     print instead what the historian has left: deadband,\n"
    "                       cycles, smallest change that daily values can show\n"
    "     --dates ORDER     iso, dmy, mdy, named, epoch, epoch-ms or serial\n"
    "     --decimal MARK    point or comma\n"
    "     --draft TABLE     print instead a draft of nameplate, points, sources or\n"
    "                       tasks\n"
    "     --encoding NAME   utf-8, utf-16le, utf-16be or windows-1252\n"
    " -h, --help            print this text\n"
    "     --judgements      print instead which judgements the data allows, mill by\n"
    "                       mill, which stay blind, and what would open them\n"
    "     --logbook FILE    take the logbook from FILE, for its measurements\n"
    "     --nameplate FILE  take the nameplate from FILE\n"
    "     --now TIME        reject stamps a day later than TIME (the clock)\n"
    "     --points FILE     take the points from FILE\n"
    " -q, --quiet           no notes on standard error\n"
    "     --separator MARK  comma, semicolon, tab or pipe\n"
    "     --shape SHAPE     wide, long or paired\n"
    "     --summary         account for what was read, on standard error\n"
    " -V, --version         print the version\n"
    " -w, --works DIR       the works folder (LEAT_WORKS)\n"
    "     --zone ZONE       zone of stamps without offset, as Europe/Berlin\n";

struct options {
	struct leat_export_form pinned;
	enum task task;
	bool several;			/* files: each row says of which it is */
	const struct leat_zone *works;	/* the zone of the nameplate, or NULL */
	struct leat_zone *utc;
	struct leat_names drafted;	/* tags that a draft has already */
	struct leat_holdings holdings;	/* of all files together */
	const char *zone;		/* --zone, or "" */
};

static enum task
draft_of(const char *word)
{
	static const struct {
		const char *word;
		enum task task;
	} drafts[] = {
		{ "nameplate", DRAFT_NAMEPLATE }, { "points", DRAFT_POINTS }, { "sources", DRAFT_SOURCES },
		{ "tasks", DRAFT_TASKS }
	};

	for (size_t i = 0; i < sizeof(drafts) / sizeof(drafts[0]); i++)
		if (strcmp(word, drafts[i].word) == 0)
			return drafts[i].task;
	return SURVEY;
}

static void
parse(int argc, char *argv[], struct options *o)
{
	static const struct option longs[] = {
		{ "compression", no_argument, NULL, COMPRESSION },
		{ "dates", required_argument, NULL, FRONT_DATES },
		{ "decimal", required_argument, NULL, FRONT_DECIMAL },
		{ "draft", required_argument, NULL, DRAFT },
		{ "encoding", required_argument, NULL, FRONT_ENCODING },
		{ "help", no_argument, NULL, 'h' },
		{ "judgements", no_argument, NULL, JUDGEMENTS },
		{ "logbook", required_argument, NULL, FRONT_LOGBOOK },
		{ "nameplate", required_argument, NULL, FRONT_NAMEPLATE },
		{ "now", required_argument, NULL, FRONT_CLOCK },
		{ "points", required_argument, NULL, FRONT_POINTS },
		{ "quiet", no_argument, NULL, 'q' },
		{ "separator", required_argument, NULL, FRONT_SEPARATOR },
		{ "shape", required_argument, NULL, FRONT_SHAPE },
		{ "summary", no_argument, NULL, FRONT_SUMMARY },
		{ "version", no_argument, NULL, 'V' },
		{ "works", required_argument, NULL, 'w' },
		{ "zone", required_argument, NULL, FRONT_ZONE },
		{ NULL, 0, NULL, 0 }
	};
	enum task task;
	int c;

	o->zone = "";
	while ((c = getopt_long(argc, argv, ":hqVw:", longs, NULL)) != -1) {
		task = SURVEY;
		if (c == DRAFT)
			task = (enum task)front_word("draft", (int)draft_of(optarg), SURVEY, "nameplate, points, sources, tasks");
		else if (c == COMPRESSION || c == JUDGEMENTS)
			task = c == COMPRESSION ? TELL_COMPRESSION : TELL_JUDGEMENTS;
		else if (!front_pin(c, &o->pinned))
			front_option(c, argv);
		if (c == FRONT_ZONE)
			o->zone = optarg;
		if (task != SURVEY && o->task != SURVEY && o->task != task)
			front_misuse("give one of '--compression', '--draft' and '--judgements'");
		o->task = task != SURVEY ? task : o->task;
	}
}

static const char *
name_of(const char *path)
{
	return strcmp(path, "-") == 0 ? "standard input" : path;
}

/* Says how the file is written, a line for each part of the evidence. */
static void
say_evidence(const char *name, const struct leat_export_form *form)
{
	struct leat_span rest = leat_span_of(form->evidence);
	const char *end;
	size_t len;

	while (rest.len > 0) {
		end = strstr(rest.ptr, "; ");
		len = end != NULL ? (size_t)(end - rest.ptr) : rest.len;
		front_note("%s: %.*s", name, (int)len, rest.ptr);
		len += end != NULL ? 2 : 0;
		rest = leat_span_make(rest.ptr + len, rest.len - len);
	}
}

/* Says what else was found once the form is known. */
static void
say_form(const struct options *o, const char *name, const struct leat_export_form *form)
{
	struct leat_quality_evidence quality = form->quality;

	if (quality.words + quality.classic + quality.status + quality.zero + quality.other > 0)
		front_note("%s: quality: %lld words, %lld numbers of 1 to 255, %lld status codes, %lld zeros, "
		    "%lld others", name, quality.words, quality.classic, quality.status, quality.zero, quality.other);
	if (!form->local_stamps)
		front_note("%s: zone: each time says its own", name);
	else if (o->pinned.zone != NULL)
		front_note("%s: zone %s: given", name, leat_zone_name(form->zone));
	else if (o->works != NULL)
		front_note("%s: zone %s: of the works", name, leat_zone_name(form->zone));
	else
		front_note("%s: zone UTC: assumed, the times have no offset: give --zone", name);
	front_note("%s: order: stamps %s", name, form->in_order ? "never go back" : "go back");
}

static void
say_account(const char *name, const struct leat_export *ex)
{
	struct leat_export_count c = leat_export_counted(ex);

	if (c.rejected > 0)
		front_warn("%s: lines rejected: %lld of %lld", name, c.rejected, c.lines);
	if (c.rejected_cells > 0)
		front_warn("%s: pairs of cells rejected: %lld of %lld", name, c.rejected_cells, c.cells);
	front_summary("%s: %lld lines: %lld header, %lld preamble, %lld units, %lld data, %lld footer, %lld blank, "
	    "%lld rejected", name, c.lines, c.header, c.preamble, c.unit, c.data, c.footer, c.blank, c.rejected);
	front_summary("%s: %lld cells: %lld values, %lld blank, %lld rejected", name, c.cells, c.samples,
	    c.blank_cells, c.rejected_cells);
	front_summary("%s: stamps: %lld guessed in the hour that comes twice, %lld that never were, %lld in the "
	    "future", name, c.guessed, c.gap, c.future);
}

/* A name in the wrong encoding must not spoil the output. */
static struct leat_span
clean_name(const char *file, struct leat_span name, char *dst, size_t size)
{
	if (leat_utf8_valid(name))
		return name;
	leat_mask(dst, size, name);
	front_warn("%s: a tag that is not well-formed UTF-8: give --encoding: '%s'", file, dst);
	return leat_span_of(dst);
}

/* Prints what was asked for of one file. */
static void
print(struct options *o, const char *path, const struct leat_export *ex, const struct leat_export_form *form,
    const struct leat_survey *survey)
{
	static const struct leat_survey_tag nothing;
	const struct leat_names *tags = leat_export_tags(ex);
	const struct leat_survey_tag *tag;
	struct leat_span name;
	char masked[256];
	size_t i, known;

	if (o->task == DRAFT_SOURCES) {
		leat_survey_draft_source(front_stdout(), path, form,
		    o->pinned.zone != NULL && form->local_stamps ? leat_zone_name(form->zone) : "");
		return;
	}
	for (i = 0; i < tags->count; i++) {
		tag = i < survey->cap ? &survey->tag[i] : &nothing;
		name = clean_name(name_of(path), tags->name[i], masked, sizeof(masked));
		known = o->drafted.count;
		if (o->task == SURVEY)
			leat_survey_write(front_stdout(), o->several ? name_of(path) : "", name, tag,
			    leat_export_blank(ex, (uint32_t)i));
		else if (leat_names_put(&o->drafted, name) == known)
			leat_survey_draft_point(front_stdout(), name, tag);
	}
}

/* Takes all samples in: into survey, or into the holdings.  0, or -1 after a message. */
static int
take_all(struct options *o, const char *name, struct leat_export *ex, const struct leat_export_form *form,
    struct leat_survey *survey, struct leat_time *last)
{
	enum leat_export_status status;
	struct leat_error err = { .line = 0 };
	struct leat_sample s;
	char text[1024];
	int said = 0;

	while ((status = leat_export_next(ex, &s, &err)) > LEAT_EXPORT_END) {
		if (status == LEAT_EXPORT_BAD) {
			if (said++ < REJECTS_SAID)
				front_note("rejected: %s", leat_error_format(&err, text, sizeof(text)));
			continue;
		}
		if (o->task < TOGETHER ? leat_survey_take(survey, form, &s) != 0 :
		    leat_holdings_take(&o->holdings, form, &s) != 0) {
			leat_error_memory(&err);
			leat_error_at(&err, name, s.line);
			status = LEAT_EXPORT_FAILED;
			break;
		}
		if (leat_time_is_none(*last) || leat_time_cmp(*last, s.time) < 0)
			*last = s.time;
	}
	if (status == LEAT_EXPORT_FAILED)
		front_error(&err);
	return status == LEAT_EXPORT_FAILED ? -1 : 0;
}

static void
survey_file(struct options *o, const char *path, struct leat_time *last)
{
	struct leat_export_form form = o->pinned;
	struct leat_survey survey = { NULL, 0 };
	struct leat_error err = { .line = 0 };
	struct leat_export *ex;

	if (form.zone == NULL)
		form.zone = o->works != NULL ? o->works : o->utc;
	ex = leat_export_open(path, &form, front_now_for_stamps(), front_folder(), &err);
	/* What is told of all files together is not the place to say how each is written. */
	if (o->task < TOGETHER || ex == NULL)
		say_evidence(name_of(path), &form);
	if (ex == NULL) {
		front_error(&err);
		return;
	}
	if (o->task < TOGETHER || (form.local_stamps && o->pinned.zone == NULL && o->works == NULL))
		say_form(o, name_of(path), &form);
	leat_holdings_file(&o->holdings, strcmp(path, "-") == 0 ? "standard input" : path);
	if (take_all(o, name_of(path), ex, &form, &survey, last) == 0) {
		if (o->task < TOGETHER)
			print(o, path, ex, &form, &survey);
		say_account(name_of(path), ex);
	}
	leat_survey_free(&survey);
	leat_export_close(ex);
}

static void
print_header(enum task task)
{
	static const char *const header[] = {
		LEAT_SURVEY_HEADER,
		"tag,asset,point,unit,source_unit,scale,offset,min,max,states,hold\n",
		"source,files,shape,separator,decimal,dates,zone,encoding,quality,prefer\n",
		LEAT_HOLDINGS_HEADER,
		LEAT_BLIND_HEADER,
		"asset,property,value,unit,from,source,note\n",
		("task,asset,title,every,hours,starts,condition,waive,tolerance,needs,crew,duration,parts,cautions,"
		"procedure,source\n")
	};

	leat_out_text(front_stdout(), header[task]);
}

static int
tell_mill(const struct leat_holdings *h, const struct leat_nameplate *np, struct leat_span mill)
{
	enum leat_blind seen[LEAT_JUDGEMENTS_MAX] = { LEAT_BLIND };
	struct leat_blind_row row = { .state = LEAT_BLIND };
	struct leat_buf modes = { .data = NULL };
	const struct leat_judgement *q;
	int counts[3] = { 0, 0, 0 }, failed = 0;

	for (size_t i = 0; (q = leat_judgement_at(i)) != NULL; i++) {
		failed |= leat_blind_judge(q, h, np, mill, &row);
		seen[i] = row.state;
		counts[row.state]++;
		leat_blind_write(front_stdout(), mill, q, &row);
	}
	failed |= leat_blind_modes(seen, &modes);
	front_note("%.*s: %d judgements possible, %d coarse, %d blind", (int)mill.len, mill.ptr,
	    counts[LEAT_BLIND_POSSIBLE], counts[LEAT_BLIND_COARSE], counts[LEAT_BLIND]);
	if (modes.len > 0)
		front_note("%.*s: failure modes that nothing sees: %.*s", (int)mill.len, mill.ptr, (int)modes.len, modes.data);
	leat_buf_free(&modes);
	leat_blind_row_free(&row);
	return failed;
}

static void
tell_judgements(const struct leat_holdings *h, const struct leat_nameplate *np)
{
	struct leat_error err = { .line = 0 };
	struct leat_span mill;
	bool any = false;
	size_t at = 0;
	int failed = 0;

	while (leat_holdings_mill(h, &at, &mill)) {
		failed |= tell_mill(h, np, mill);
		any = true;
	}
	if (!any && h->count > 0)
		failed |= tell_mill(h, np, LEAT_SPAN("-"));
	if (failed != 0) {
		leat_error_memory(&err);
		front_error(&err);
	}
}

/* Which points the tags are, and what the logbook has. */
static void
map(struct options *o, const struct leat_nameplate *np, struct leat_points *points, struct leat_logbook *book)
{
	struct leat_error err = { .line = 0 };
	size_t tags = o->holdings.count, known;

	front_points(points);
	front_logbook(book, leat_nameplate_zone(np), front_now());
	known = leat_holdings_map(&o->holdings, points);
	if (known == 0 && tags > 0)
		front_warn("no tag is known as a point: map the tags first (--draft points), and give the table with --points or -w");
	else if (known < tags)
		front_note("tags that points.csv does not map: %lld of %lld", (long long)(tags - known), (long long)tags);
	if (leat_holdings_logbook(&o->holdings, book) != 0) {
		leat_error_memory(&err);
		front_error(&err);
	}
}

/* What is told of all files together. */
static void
tell_together(struct options *o, const struct leat_nameplate *np)
{
	struct leat_points points = { .table = NULL };
	struct leat_logbook book = { .entry = NULL };
	struct leat_draft_rows rows = { 0, 0 };

	leat_holdings_judge(&o->holdings);
	if (o->task == TELL_COMPRESSION) {
		leat_holdings_write(front_stdout(), &o->holdings);
		return;
	}
	map(o, np, &points, &book);
	if (o->task == TELL_JUDGEMENTS)
		tell_judgements(&o->holdings, np);
	else if (o->task == DRAFT_NAMEPLATE)
		rows = leat_draft_nameplate(front_stdout(), &o->holdings, np, o->zone);
	else
		rows = leat_draft_tasks(front_stdout(), &o->holdings);
	if (o->task == DRAFT_NAMEPLATE && rows.empty > 0)
		front_note("%lld of %lld rows have no value: fill them in or delete them, commands refuse a table with such a row",
		    rows.empty, rows.rows);
	else if (o->task == DRAFT_TASKS && rows.empty > 0)
		front_note("%lld of %lld tasks have no interval: fill it in", rows.empty, rows.rows);
	leat_logbook_free(&book);
	leat_points_free(&points);
}

int
main(int argc, char *argv[])
{
	struct options o = { .pinned = { .encoding = LEAT_ENCODING_AUTO } };
	struct leat_time last = LEAT_TIME_NONE;
	struct leat_nameplate *np;
	int i;

	front_start("leat-survey", help);
	parse(argc, argv, &o);
	front_works_check();
	np = front_nameplate();
	o.works = leat_nameplate_zone_given(np) ? leat_nameplate_zone(np) : NULL;
	o.utc = leat_zone_open(LEAT_SPAN("UTC"), NULL);
	o.several = argc - optind > 1;
	print_header(o.task);
	if (optind == argc)
		survey_file(&o, "-", &last);
	for (i = optind; i < argc; i++)
		survey_file(&o, argv[i], &last);
	if (front_opt.now_data && !leat_time_is_none(last))
		front_set_now(last);
	if (o.task >= TOGETHER)
		tell_together(&o, np);
	leat_holdings_free(&o.holdings);
	leat_names_free(&o.drafted);
	leat_nameplate_free(np);
	leat_zone_free(o.utc);
	front_pins_free();
	return front_end();
}
