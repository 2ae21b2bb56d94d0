/*
 * leat-log: the logbook: appends, imports, verifies, lists, prints measurements as readings; shelves findings.
 */
#include "front.h"
#include "front_tables.h"
#include "stream/nearest.h"
#include "upkeep/log_write.h"

enum {
	ASSET = FRONT_OWN, EVENT, FOUND, IMPORT, ITEM, LEFT, LIST, NOTE, POINT, READINGS, RULE, SHELVE, TASK, TIME, UNIT,
	UNTIL, VERIFY, WHO, WHY
};

static const char help[] =
    "Usage: leat-log [-qV] [-w DIR] --event NAME --asset NAME --who NAME [--task NAME]\n"
    "                [--point NAME] [--found VALUE] [--left VALUE] [--unit UNIT]\n"
    "                [--item SERIAL] [--note TEXT] [--time TIME]\n"
    "       leat-log --import FILE [--who NAME]\n"
    "       leat-log --shelve --asset GLOB --point GLOB --rule GLOB --until TIME\n"
    "                [-q] --who NAME --why TEXT\n"
    "       leat-log --list | --readings | --verify [--asset GLOB] [--event NAME]\n"
    "                [--point GLOB] [FILE]\n"
    "Appends an entry to the logbook, or imports, shelves, prints or verifies.\n"
    "\n"
    "     --asset NAME      the machine or part; - is the works\n"
    "     --event NAME      what was done: a name of leat-log(1)\n"
    "     --found VALUE     the value as found\n"
    " -h, --help            print this text\n"
    "     --import FILE     add the entries of a CSV sheet, all or none\n"
    "     --item SERIAL     serial number of what is there now\n"
    "     --left VALUE      the value as left\n"
    "     --list            print the entries in order of time\n"
    "     --logbook FILE    the logbook (logbook.csv of the works)\n"
    "     --nameplate FILE  take the works' zone and shelve-days from FILE\n"
    "     --note TEXT       words\n"
    "     --now TIME        the moment to go by (the clock)\n"
    "     --point NAME      the point that was measured (that of the event)\n"
    "     --points FILE     take the works' own points from FILE\n"
    " -q, --quiet           no notes on standard error\n"
    "     --readings        print the measurements as readings\n"
    "     --rule GLOB       the rule whose findings are shelved\n"
    "     --shelve          put findings aside until a time\n"
    "     --shelved FILE    the table of shelves (shelved.csv of the works)\n"
    "     --summary         account for what was read, on standard error\n"
    "     --task NAME       the task that was done\n"
    "     --time TIME       when it was done (now)\n"
    "     --unit UNIT       unit of the values (that of the point)\n"
    "     --until TIME      when the shelf ends: a time, or a duration such as P3D\n"
    "     --verify          name every line at fault\n"
    " -V, --version         print the version\n"
    "     --who NAME        who did it\n"
    "     --why TEXT        why it is shelved\n"
    " -w, --works DIR       the works folder (LEAT_WORKS)\n";

/* What is to be done: one of the modes' codes, 0 for an entry to be appended. */
static int mode;

/* Texts by code of their option; NULL where it was not given. */
static const char *given[WHY - ASSET + 1];

static const char *const option_name[WHY - ASSET + 1] = {
	"asset", "event", "found", "import", "item", "left", "list", "note", "point", "readings", "rule", "shelve", "task",
	"time", "unit", "until", "verify", "who", "why"
};

static struct leat_span
text_of(int code)
{
	return leat_span_trim(leat_span_of(given[code - ASSET]));
}

static bool
is_given(int code)
{
	return given[code - ASSET] != NULL;
}

/* Misuse when an option is given that the mode has no use for. */
static void
allow(const int *codes, size_t count)
{
	for (int code = ASSET; code <= WHY; code++) {
		bool known = false;

		for (size_t i = 0; i < count; i++)
			known = known || codes[i] == code;
		if (is_given(code) && code != mode && !known) {
			if (mode == 0)
				front_misuse("option '--%s' has no use for an entry", option_name[code - ASSET]);
			front_misuse("option '--%s' has no use with '--%s'", option_name[code - ASSET], option_name[mode - ASSET]);
		}
	}
}

static void
need(int code)
{
	if (text_of(code).len == 0)
		front_misuse("option '--%s' is missing", option_name[code - ASSET]);
}

static const char *
path_due(enum front_code code, const char *what)
{
	const char *path = front_table(code);

	if (path == NULL)
		front_misuse("no works folder: give -w DIR, or --%s FILE", what);
	return path;
}

static struct leat_time
time_of(int code, const struct leat_zone *zone)
{
	struct leat_time at = LEAT_TIME_NONE;
	const char *why = "";

	if (leat_table_parse_time(text_of(code), zone, &at, &why) != 0)
		front_misuse("option '--%s': %s: '%s'", option_name[code - ASSET], why, given[code - ASSET]);
	return at;
}

static const struct leat_event *
event_of(void)
{
	struct leat_nearest nearest = { .word = text_of(EVENT) };
	const struct leat_event *event = leat_event_find(nearest.word), *other;

	for (size_t i = 0; event == NULL && (other = leat_event_at(i)) != NULL; i++)
		leat_nearest_offer(&nearest, other->name);
	if (event == NULL && nearest.name != NULL)
		front_misuse("option '--event': unknown event, did you mean '%s'? (leat-log(1) lists all): '%s'", nearest.name,
		    given[EVENT - ASSET]);
	if (event == NULL)
		front_misuse("option '--event': unknown event (leat-log(1) lists all): '%s'", given[EVENT - ASSET]);
	return event;
}

/* A fault of an entry that options gave is a fault of the option of that name. */
static void
refuse(const struct leat_error *err)
{
	if (err->has_value)
		front_misuse("option '--%s': %s: '%s'", err->column, err->text, err->value);
	front_misuse("option '--%s': %s", err->column, err->text);
}

static void
append(const struct leat_points *points, const struct leat_zone *zone)
{
	static const int codes[] = { ASSET, EVENT, FOUND, ITEM, LEFT, NOTE, POINT, TASK, TIME, UNIT, WHO };
	struct leat_log_rules rules = { front_now(), points };
	struct leat_log_entry e = { 0 };
	struct leat_error err = { 0 };
	struct leat_buf line = { 0 };
	const char *path;
	bool cut = false;

	allow(codes, sizeof(codes) / sizeof(codes[0]));
	need(EVENT);
	e = (struct leat_log_entry){
		.time = is_given(TIME) ? time_of(TIME, zone) : front_now(), .event = event_of(), .asset = text_of(ASSET),
		.task = text_of(TASK), .point = text_of(POINT), .found = text_of(FOUND), .left = text_of(LEFT),
		.item = text_of(ITEM), .who = text_of(WHO), .note = text_of(NOTE), .unit = leat_unit_find(text_of(UNIT))
	};
	if (e.unit == NULL && text_of(UNIT).len > 0)
		front_misuse("option '--unit': unknown unit (leat-units(7) lists all): '%s'", given[UNIT - ASSET]);
	leat_log_entry_complete(&e, points);
	if (leat_log_entry_check(&e, &rules, &err) != 0)
		refuse(&err);
	path = path_due(FRONT_LOGBOOK, "logbook");
	if (leat_log_append(path, &e, &cut, &err) != 0) {
		front_error(&err);
		return;
	}
	if (cut)
		front_warn("'%s' ended within a line: the entry begins on a fresh one (see leat-log --verify)", path);
	if (leat_log_entry_line(&line, &e) == 0)
		front_note("logged: %.*s", (int)line.len - 1, line.data);
	leat_buf_free(&line);
}

static void
import(const struct leat_points *points, const struct leat_zone *zone)
{
	static const int codes[] = { WHO };
	const char *path = path_due(FRONT_LOGBOOK, "logbook"), *sheet_path = given[IMPORT - ASSET];
	struct leat_log_rules rules = { front_now(), points };
	struct leat_log_imported done;
	struct leat_error err = { 0 };
	struct leat_logbook sheet = { 0 };

	allow(codes, sizeof(codes) / sizeof(codes[0]));
	if (leat_logbook_sheet(&sheet, sheet_path, zone, &err) != 0) {
		front_error(&err);
		return;
	}
	for (size_t i = 0; i < sheet.count; i++) {
		struct leat_log_entry *e = &sheet.entry[i];

		if (e->who.len == 0)
			e->who = text_of(WHO);
		leat_log_entry_complete(e, points);
		if (leat_log_entry_check(e, &rules, &err) == 0)
			continue;
		leat_error_at(&err, sheet_path, e->line);
		front_error(&err);
	}
	if (!front_failed() && leat_log_import(path, &sheet, zone, &done, &err) != 0)
		front_error(&err);
	if (front_failed())
		front_fail("nothing was imported");
	else {
		if (done.cut && done.added > 0)
			front_warn("'%s' ended within a line: the entries begin on a fresh one (see leat-log --verify)", path);
		front_note("%zu entries imported, %zu were there already", done.added, done.known);
	}
	leat_logbook_free(&sheet);
}

/* A shelf's end: a time, or a duration from now. */
static struct leat_time
shelf_end(const struct leat_zone *zone)
{
	struct leat_duration d;

	if (leat_duration_parse(text_of(UNTIL), &d) == 0)
		return leat_time_shift(front_now(), &d, 1);
	return time_of(UNTIL, zone);
}

static void
shelve(const struct leat_nameplate *np)
{
	static const int codes[] = { ASSET, POINT, RULE, UNTIL, WHO, WHY };
	const struct leat_zone *zone = leat_nameplate_zone(np);
	struct leat_shelf shelf;
	struct leat_error err = { 0 };
	double days = 7;

	allow(codes, sizeof(codes) / sizeof(codes[0]));
	for (size_t i = 0; i < sizeof(codes) / sizeof(codes[0]); i++) {
		need(codes[i]);
		if (leat_field_fault(text_of(codes[i])) != NULL)
			front_misuse("option '--%s': not one line of text in UTF-8", option_name[codes[i] - ASSET]);
	}
	shelf = (struct leat_shelf){ text_of(ASSET), text_of(POINT), text_of(RULE), shelf_end(zone), text_of(WHO),
	    text_of(WHY) };
	if (leat_glob_weight(shelf.asset) + leat_glob_weight(shelf.point) + leat_glob_weight(shelf.rule) == 0)
		front_misuse("that would shelve every finding: name an asset, a point or a rule");
	if (leat_nameplate_number(np, leat_span_make("", 0), "shelve-days", front_now(), &days) != 0)
		front_misuse("nameplate: shelve-days is no number");
	if (leat_time_cmp(shelf.until, front_now()) <= 0)
		front_misuse("option '--until': not later than now: '%s'", given[UNTIL - ASSET]);
	if (leat_time_diff(shelf.until, front_now()) > days * 86400)
		front_misuse("option '--until': more than %g days from now (shelve-days in nameplate.csv): '%s'", days,
		    given[UNTIL - ASSET]);
	if (leat_log_shelve(path_due(FRONT_SHELVED, "shelved"), &shelf, zone, &err) != 0)
		front_error(&err);
}

static void
broken_line(void *user, const struct leat_error *err, bool cut)
{
	(void)user;
	(void)cut;
	front_error(err);
}

/* Reads the logbook to be printed: the operand, else that of the works, else standard input. */
static void
read_logbook(struct leat_logbook *book, int argc, char *const argv[], const struct leat_zone *zone)
{
	const struct leat_table_lines lines = { broken_line, NULL };
	const char *path = optind < argc ? argv[optind] : front_table(FRONT_LOGBOOK);
	struct leat_time now = front_opt.now_data || mode == VERIFY ? LEAT_TIME_NONE : front_now();
	struct leat_error err = { 0 };
	bool absent = false, works_own = optind >= argc && path != NULL && front_opt.table[FRONT_LOGBOOK - FRONT_TABLE] == NULL;

	if (path == NULL)
		path = "-";
	if (leat_logbook_read(book, path, zone, now, &lines, works_own ? &absent : NULL, &err) != 0)
		front_error(&err);
	else if (absent)
		front_absent(path);
	else if (book->unbegun && !works_own)
		front_fail("no logbook, not even its header: '%s'", path);
}

static bool
is_asked_for(const struct leat_log_entry *e)
{
	return (!is_given(ASSET) || leat_glob(text_of(ASSET), e->asset)) &&
	    (!is_given(POINT) || leat_glob(text_of(POINT), e->point)) &&
	    (!is_given(EVENT) || leat_span_is(text_of(EVENT), e->event->name));
}

static void
print_entry(struct leat_out *out, const struct leat_log_entry *e, struct leat_buf *line)
{
	if (mode == LIST) {
		leat_buf_reset(line);
		if (leat_log_entry_line(line, e) != 0)
			front_fail("out of memory");
		leat_out_span(out, leat_buf_span(line));
	} else if (e->point.len > 0 && leat_log_entry_value(e).len > 0)
		leat_readings_add(out, NULL, &(struct leat_reading){
			.time = e->time, .asset = e->asset, .point = e->point, .value = leat_log_entry_value(e),
			.unit = leat_span_of(e->unit != NULL ? e->unit->name : NULL), .quality = LEAT_GOOD
		});
}

/* The checks of --verify beyond those of reading. */
static void
verify(const struct leat_logbook *book, const char *file, const struct leat_points *points)
{
	struct leat_log_rules rules = { front_opt.now_data ? LEAT_TIME_NONE : front_now(), points };
	struct leat_error err = { 0 };

	for (size_t i = 0; i < book->count; i++) {
		if (leat_log_entry_check(&book->entry[i], &rules, &err) == 0)
			continue;
		leat_error_at(&err, file, book->entry[i].line);
		front_error(&err);
	}
}

static void
print(const struct leat_points *points, const struct leat_zone *zone, int argc, char *const argv[])
{
	static const int codes[] = { ASSET, EVENT, POINT };
	struct leat_out *out = front_stdout();
	struct leat_buf line = { 0 };
	struct leat_logbook book = { 0 };

	allow(codes, mode == VERIFY ? 0 : sizeof(codes) / sizeof(codes[0]));
	if (is_given(EVENT))
		event_of();
	read_logbook(&book, argc, argv, zone);
	if (mode == VERIFY) {
		verify(&book, book.table != NULL ? leat_table_file(book.table) : "", points);
		front_note("%zu entries, %lld lines cannot be read", book.count, book.broken);
	} else if (!front_failed() || book.table != NULL) {
		if (mode == LIST)
			leat_out_text(out, LEAT_LOGBOOK_HEADER "\n");
		else
			leat_readings_write_header(out, NULL);
		for (size_t i = 0; i < book.count; i++)
			if (is_asked_for(&book.entry[i]))
				print_entry(out, &book.entry[i], &line);
	}
	front_summary("%zu entries, %lld later than now left out, %lld lines cannot be read", book.count, book.later,
	    book.broken);
	leat_logbook_free(&book);
	leat_buf_free(&line);
}

static void
parse(int argc, char *argv[])
{
	static const struct option longs[] = {
		{ "asset", required_argument, NULL, ASSET },
		{ "event", required_argument, NULL, EVENT },
		{ "found", required_argument, NULL, FOUND },
		{ "help", no_argument, NULL, 'h' },
		{ "import", required_argument, NULL, IMPORT },
		{ "item", required_argument, NULL, ITEM },
		{ "left", required_argument, NULL, LEFT },
		{ "list", no_argument, NULL, LIST },
		{ "logbook", required_argument, NULL, FRONT_LOGBOOK },
		{ "nameplate", required_argument, NULL, FRONT_NAMEPLATE },
		{ "note", required_argument, NULL, NOTE },
		{ "now", required_argument, NULL, FRONT_CLOCK },
		{ "point", required_argument, NULL, POINT },
		{ "points", required_argument, NULL, FRONT_POINTS },
		{ "quiet", no_argument, NULL, 'q' },
		{ "readings", no_argument, NULL, READINGS },
		{ "rule", required_argument, NULL, RULE },
		{ "shelve", no_argument, NULL, SHELVE },
		{ "shelved", required_argument, NULL, FRONT_SHELVED },
		{ "summary", no_argument, NULL, FRONT_SUMMARY },
		{ "task", required_argument, NULL, TASK },
		{ "time", required_argument, NULL, TIME },
		{ "unit", required_argument, NULL, UNIT },
		{ "until", required_argument, NULL, UNTIL },
		{ "verify", no_argument, NULL, VERIFY },
		{ "version", no_argument, NULL, 'V' },
		{ "who", required_argument, NULL, WHO },
		{ "why", required_argument, NULL, WHY },
		{ "works", required_argument, NULL, 'w' },
		{ NULL, 0, NULL, 0 }
	};
	int c;

	while ((c = getopt_long(argc, argv, ":hqVw:", longs, NULL)) != -1) {
		if (c < ASSET || c > WHY) {
			front_option(c, argv);
			continue;
		}
		given[c - ASSET] = optarg != NULL ? optarg : "";
		if (c != IMPORT && c != LIST && c != READINGS && c != SHELVE && c != VERIFY)
			continue;
		if (mode != 0 && mode != c)
			front_misuse("options '--%s' and '--%s' exclude each other", option_name[mode - ASSET],
			    option_name[c - ASSET]);
		mode = c;
	}
}

int
main(int argc, char *argv[])
{
	struct leat_points points;
	struct leat_nameplate *np;
	bool prints;

	front_start("leat-log", help);
	parse(argc, argv);
	prints = mode == LIST || mode == READINGS || mode == VERIFY;
	if (!prints && front_opt.now_data)
		front_misuse("option '--now data' is for printing alone");
	if (optind < argc && (!prints || argc - optind > 1))
		front_misuse(prints ? "more than one logbook: '%s'" : "what is to be done with it? '%s'", argv[argc - 1]);
	front_works_check();
	np = front_nameplate();
	front_points(&points);
	if (prints)
		print(&points, leat_nameplate_zone(np), argc, argv);
	else if (mode == SHELVE)
		shelve(np);
	else if (mode == IMPORT)
		import(&points, leat_nameplate_zone(np));
	else
		append(&points, leat_nameplate_zone(np));
	leat_points_free(&points);
	leat_nameplate_free(np);
	return front_end();
}
