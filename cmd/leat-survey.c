/*
 * leat-survey: what a foreign export holds, tag by tag, and drafts of the tables that read it.
 */
#include <stdlib.h>
#include <string.h>

#include "front.h"
#include "front_pins.h"
#include "front_tables.h"
#include "stream/survey.h"

enum { DRAFT = FRONT_PIN_OWN };

enum draft { DRAFT_NONE, DRAFT_POINTS, DRAFT_SOURCES };

#define REJECTS_SAID 3	/* rejected lines of a file that are shown */

static const char help[] =
    "Usage: leat-survey [-hqV] [--dates ORDER] [--decimal MARK] [--draft TABLE]\n"
    "                   [--encoding NAME] [--nameplate FILE] [--now TIME]\n"
    "                   [--separator MARK] [--shape SHAPE] [--summary] [-w DIR]\n"
    "                   [--zone ZONE] [FILE ...]\n"
    "Says what each export holds: how it is written, and for every tag its span,\n"
    "step, gaps, frozen spells, range and likely kind.  No table is needed.\n"
    "\n"
    "     --dates ORDER     iso, dmy, mdy, named, epoch, epoch-ms or serial\n"
    "     --decimal MARK    point or comma\n"
    "     --draft TABLE     print instead a draft of points.csv or sources.csv\n"
    "     --encoding NAME   utf-8, utf-16le, utf-16be or windows-1252\n"
    " -h, --help            print this text\n"
    "     --nameplate FILE  take the nameplate from FILE, for its zone\n"
    "     --now TIME        reject stamps a day later than TIME (the clock)\n"
    " -q, --quiet           no notes on standard error\n"
    "     --separator MARK  comma, semicolon, tab or pipe\n"
    "     --shape SHAPE     wide, long or paired\n"
    "     --summary         account for what was read, on standard error\n"
    " -V, --version         print the version\n"
    " -w, --works DIR       the works folder (LEAT_WORKS)\n"
    "     --zone ZONE       zone of stamps without offset, as Europe/Berlin\n";

struct options {
	struct leat_export_form pinned;
	enum draft draft;
	bool several;			/* files: each row says of which it is */
	const struct leat_zone *works;	/* the zone of the nameplate, or NULL */
	struct leat_zone *utc;
	struct leat_names drafted;	/* tags that a draft has already */
};

static enum draft
draft_of(const char *word)
{
	if (strcmp(word, "points") == 0)
		return DRAFT_POINTS;
	return strcmp(word, "sources") == 0 ? DRAFT_SOURCES : DRAFT_NONE;
}

static void
parse(int argc, char *argv[], struct options *o)
{
	static const struct option longs[] = {
		{ "dates", required_argument, NULL, FRONT_DATES },
		{ "decimal", required_argument, NULL, FRONT_DECIMAL },
		{ "draft", required_argument, NULL, DRAFT },
		{ "encoding", required_argument, NULL, FRONT_ENCODING },
		{ "help", no_argument, NULL, 'h' },
		{ "nameplate", required_argument, NULL, FRONT_NAMEPLATE },
		{ "now", required_argument, NULL, FRONT_CLOCK },
		{ "quiet", no_argument, NULL, 'q' },
		{ "separator", required_argument, NULL, FRONT_SEPARATOR },
		{ "shape", required_argument, NULL, FRONT_SHAPE },
		{ "summary", no_argument, NULL, FRONT_SUMMARY },
		{ "version", no_argument, NULL, 'V' },
		{ "works", required_argument, NULL, 'w' },
		{ "zone", required_argument, NULL, FRONT_ZONE },
		{ NULL, 0, NULL, 0 }
	};
	int c;

	while ((c = getopt_long(argc, argv, ":hqVw:", longs, NULL)) != -1) {
		if (c == DRAFT)
			o->draft = (enum draft)front_word("draft", (int)draft_of(optarg), DRAFT_NONE,
			    "points, sources");
		else if (!front_pin(c, &o->pinned))
			front_option(c, argv);
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

/* A length in seconds, to the millisecond, without zeros at its end. */
static void
write_seconds(struct leat_out *out, double seconds)
{
	char text[LEAT_NUMBER_MAX];
	size_t len = leat_number_fixed(text, seconds, 3);

	while (text[len - 1] == '0')
		len--;
	if (text[len - 1] == '.')
		len--;
	leat_out_bytes(out, text, len);
}

static void
write_count(struct leat_out *out, long long count)
{
	char text[32];

	snprintf(text, sizeof(text), "%lld", count);
	leat_out_text(out, text);
}

/* What there is only when values came: first,last,step,gaps,longest_gap,frozen,min,max,decimals,distinct. */
static void
write_findings(struct leat_out *out, const struct leat_survey_tag *tag)
{
	bool exact;
	double step = leat_survey_step(tag, &exact);
	long long gaps = leat_survey_gaps(tag);

	leat_out_time(out, tag->first);
	leat_out_char(out, ',');
	leat_out_time(out, tag->last);
	leat_out_char(out, ',');
	if (step >= 0)
		write_seconds(out, step);
	leat_out_char(out, ',');
	write_count(out, gaps);
	leat_out_char(out, ',');
	write_seconds(out, gaps > 0 ? tag->longest_s : 0);
	leat_out_char(out, ',');
	write_seconds(out, tag->frozen_s);
	leat_out_char(out, ',');
	leat_out_text(out, tag->min_text);
	leat_out_char(out, ',');
	leat_out_text(out, tag->max_text);
	leat_out_char(out, ',');
	if (leat_survey_decimals(tag) >= 0)
		write_count(out, leat_survey_decimals(tag));
	leat_out_char(out, ',');
	write_count(out, (long long)tag->distincts);
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

static void
write_row(struct leat_out *out, const char *name, struct leat_span tag_name, const struct leat_survey_tag *tag,
    long long blank)
{
	leat_out_field(out, tag_name);
	leat_out_char(out, ',');
	write_count(out, tag->count);
	leat_out_char(out, ',');
	write_count(out, tag->numeric);
	leat_out_char(out, ',');
	write_count(out, tag->text);
	leat_out_char(out, ',');
	write_count(out, blank);
	leat_out_char(out, ',');
	if (tag->count > 0)
		write_findings(out, tag);
	else
		leat_out_text(out, ",,,,,,,,,");
	leat_out_char(out, ',');
	leat_out_text(out, leat_survey_kind_name(leat_survey_kind(tag)));
	leat_out_char(out, ',');
	leat_out_field(out, leat_span_of(tag->unit));
	leat_out_char(out, ',');
	leat_out_field(out, leat_span_of(name));
	leat_out_char(out, '\n');
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

	if (o->draft == DRAFT_SOURCES) {
		leat_survey_draft_source(front_stdout(), path, form,
		    o->pinned.zone != NULL && form->local_stamps ? leat_zone_name(form->zone) : "");
		return;
	}
	for (i = 0; i < tags->count; i++) {
		tag = i < survey->cap ? &survey->tag[i] : &nothing;
		name = clean_name(name_of(path), tags->name[i], masked, sizeof(masked));
		known = o->drafted.count;
		if (o->draft == DRAFT_NONE)
			write_row(front_stdout(), o->several ? name_of(path) : "", name, tag,
			    leat_export_blank(ex, (uint32_t)i));
		else if (leat_names_put(&o->drafted, name) == known)
			leat_survey_draft_point(front_stdout(), name, tag);
	}
}

/* Takes all samples in.  0, or -1 after a message. */
static int
take_all(const char *name, struct leat_export *ex, const struct leat_export_form *form, struct leat_survey *survey,
    struct leat_time *last)
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
		if (leat_survey_take(survey, form, &s) != 0) {
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
	say_evidence(name_of(path), &form);
	if (ex == NULL) {
		front_error(&err);
		return;
	}
	say_form(o, name_of(path), &form);
	if (take_all(name_of(path), ex, &form, &survey, last) == 0) {
		print(o, path, ex, &form, &survey);
		say_account(name_of(path), ex);
	}
	leat_survey_free(&survey);
	leat_export_close(ex);
}

static void
print_header(enum draft draft)
{
	static const char *const header[] = {
		("tag,count,numeric,text,blank,first,last,step,gaps,longest_gap,frozen,min,max,decimals,distinct,"
		"likely,unit,file\n"),
		"tag,asset,point,unit,source_unit,scale,offset,min,max,states,hold\n",
		"source,files,shape,separator,decimal,dates,zone,encoding,quality,prefer\n"
	};

	leat_out_text(front_stdout(), header[draft]);
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
	print_header(o.draft);
	if (optind == argc)
		survey_file(&o, "-", &last);
	for (i = optind; i < argc; i++)
		survey_file(&o, argv[i], &last);
	if (front_opt.now_data && !leat_time_is_none(last))
		front_set_now(last);
	leat_names_free(&o.drafted);
	leat_nameplate_free(np);
	leat_zone_free(o.utc);
	front_pins_free();
	return front_end();
}
