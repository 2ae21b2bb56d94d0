/* The rounds of leat-card. */
#include "front_round.h"

#include <stdlib.h>

#include "judge/typed.h"
#include "tell/round_sheet.h"

static void
give_up(const struct leat_error *err)
{
	front_error(err);
	exit(front_end());
}

static void
read_findings(struct leat_round *round, const char *path)
{
	struct leat_findings all = { 0 };
	struct leat_error err = { 0 };

	if (leat_findings_read(&all, path, &err) != 0)
		give_up(&err);
	if (all.rejected > 0)
		front_error(&all.first_rejected);
	for (size_t i = 0; i < all.count; i++)
		if ((front_opt.now_data || leat_time_cmp(all.item[i].time, front_now()) <= 0) &&
		    leat_round_finding(round, &all.item[i], &err) != 0)
			give_up(&err);
	leat_findings_free(&all);
}

/* The readings of the days before, up to now. */
static void
read_history(struct leat_round *round, int argc, char *const argv[], struct leat_time *last)
{
	struct leat_readings *in = front_readings(argc, argv);
	struct leat_error err = { 0 };
	struct leat_reading r;
	struct leat_readings_count count;
	long long later = 0;

	*last = LEAT_TIME_NONE;
	while (front_reading(in, &r)) {
		if (!front_opt.now_data && leat_time_cmp(r.time, front_now()) > 0) {
			later++;
			continue;
		}
		*last = r.time;
		if (leat_round_take(round, &r, &err) == 0)
			continue;
		leat_error_at(&err, leat_readings_source(in, r.source), r.line);
		front_error(&err);
		break;
	}
	count = leat_readings_counted(in);
	front_rejects_end(count.rows + count.rejected);
	front_summary("%lld readings read, %lld rejected, %lld later than now left out", count.rows, count.rejected, later);
	leat_readings_close(in);
}

/* The day after that of now, by the works' day. */
static int64_t
tomorrow(const struct leat_calendar *cal)
{
	return leat_calendar_day(cal, cal->now) + 1;
}

static void
print_sheet(const struct front_round *f, const struct leat_round *round)
{
	struct leat_sheet s = { .html = f->html };
	struct leat_out *out = front_stdout();

	if (f->csv) {
		int formulas = leat_round_csv(out, round, f->cal, tomorrow(f->cal));

		if (formulas < 0)
			front_fail("out of memory");
		else if (formulas > 0)
			front_warn("tags that a spreadsheet takes for a formula: %d; open the sheet with its column tag as text", formulas);
		return;
	}
	leat_sheet_begin(&s, "Round sheet");
	leat_round_sheet(&s, round, f->cal, tomorrow(f->cal));
	leat_sheet_end(&s);
	if (s.text.failed)
		front_fail("out of memory");
	else
		leat_out_span(out, leat_buf_span(&s.text.page));
	leat_sheet_free(&s);
}

static void
sheet(const struct front_round *f, struct leat_round *round, const struct leat_limits *limits, int argc, char *const argv[])
{
	struct leat_error err = { 0 };
	struct leat_time last;
	size_t usual = 0;

	if (f->findings != NULL)
		read_findings(round, f->findings);
	round->from = front_opt.now_data ? LEAT_TIME_NONE : leat_time_add(front_now(), -LEAT_ROUND_DAYS * 86400);
	read_history(round, argc, argv, &last);
	if (front_opt.now_data && leat_time_is_none(last)) {
		front_fail("no readings: with '--now data' there is no now");
		return;
	}
	f->cal->now = front_opt.now_data ? last : front_now();
	/* A reading of this very second counts. */
	if (leat_round_end(round, leat_time_add(f->cal->now, 1), limits, &err) != 0)
		give_up(&err);
	for (size_t i = 0; i < round->count; i++)
		usual += round->line[i].usual.source == LEAT_ROUND_READINGS;
	if (round->count == 0)
		front_warn("nothing to be read: no point of points.csv lies at an asset that fits '%s' (see --assets)", f->assets);
	front_summary("%zu readings on the sheet, of %zu of them the usual range is known from readings", round->count, usual);
	print_sheet(f, round);
}

/* Findings, kept to be put in order; their texts are interned. */
struct checking {
	struct leat_finding *item;
	size_t count, cap;
	struct leat_names texts;
};

static struct leat_span
kept(struct checking *c, struct leat_span text)
{
	uint32_t number = leat_names_put(&c->texts, text);

	return number != LEAT_NAME_NONE ? c->texts.name[number] : leat_span_make("", 0);
}

static void
found(void *user, const struct leat_finding *finding)
{
	struct checking *c = user;
	struct leat_finding *f;

	if (leat_grow(&c->item, &c->cap, c->count + 1, sizeof(*c->item)) != 0) {
		front_fail("out of memory");
		return;
	}
	f = &c->item[c->count++];
	*f = *finding;
	f->asset = kept(c, f->asset);
	f->point = kept(c, f->point);
	f->rule = kept(c, f->rule);
	f->value = kept(c, f->value);
	f->unit = kept(c, f->unit);
	f->limit = kept(c, f->limit);
	f->message = kept(c, f->message);
}

static int
in_order(const void *a, const void *b)
{
	return leat_finding_cmp(a, b);
}

/* A sheet without readings is no sheet in order. */
static void
nothing_typed(const char *sheet, struct checking *c)
{
	struct leat_finding f = {
		.asset = LEAT_SPAN("-"), .point = LEAT_SPAN("-"), .rule = LEAT_SPAN("typed-unjudged"),
		.status = LEAT_STATUS_UNKNOWN, .since = LEAT_TIME_NONE, .until = LEAT_TIME_NONE, .due = LEAT_TIME_NONE,
		.shelved = LEAT_TIME_NONE, .message = LEAT_SPAN("The sheet has no readings: nothing was judged.")
	};

	front_warn("the sheet '%s' has no readings: nothing was judged", sheet);
	if (front_opt.now_data)
		return;
	f.time = front_now();
	found(c, &f);
}

/* The sheet as typed: its lines are those of the round. */
static void
read_sheet(struct leat_typed *typed, const char *path)
{
	char *file[] = { (char *)(uintptr_t)path };
	struct leat_error err = { 0 };
	struct leat_readings *in = leat_readings_open(file, 1, &err);
	struct leat_reading r;

	if (in == NULL)
		give_up(&err);
	while (front_reading(in, &r)) {
		if (!front_opt.now_data && leat_time_cmp(r.time, front_now()) > 0)
			continue;
		if (leat_time_is_none(typed->round->from))
			typed->round->from = leat_time_add(r.time, -LEAT_ROUND_DAYS * 86400);
		if (leat_typed_take(typed, &r, &err) == 0)
			continue;
		leat_error_at(&err, path, r.line);
		give_up(&err);
	}
	leat_readings_close(in);
}

static void
check(const struct front_round *f, struct leat_round *round, const struct leat_limits *limits, int argc, char *const argv[])
{
	struct leat_typed typed = { .round = round };
	struct checking c = { .count = 0 };
	struct leat_error err = { 0 };
	struct leat_time last;

	round->from = LEAT_TIME_NONE;
	read_sheet(&typed, f->sheet);
	if (front_failed())
		exit(front_end());
	if (typed.count == 0)
		nothing_typed(f->sheet, &c);
	read_history(round, argc, argv, &last);
	if (leat_typed_judge(&typed, limits, found, &c, &err) != 0)
		front_error(&err);
	if (c.count > 1)
		qsort(c.item, c.count, sizeof(*c.item), in_order);
	leat_findings_write_header(front_stdout(), NULL);
	for (size_t i = 0; i < c.count; i++)
		leat_finding_write(front_stdout(), &c.item[i], true);
	front_summary("%zu values of the sheet, %zu findings", typed.count, c.count);
	if (c.count > 0 && front_opt.exit_status)
		front_raise(FRONT_FOUND);
	leat_typed_free(&typed);
	leat_names_free(&c.texts);
	free(c.item);
}

void
front_round(const struct front_round *f, int argc, char *const argv[])
{
	struct leat_round round = { .count = 0 };
	struct leat_points points;
	struct leat_limits limits;
	struct leat_error err = { 0 };

	front_points(&points);
	front_limits(&limits);
	round.points = &points;
	if (f->sheet != NULL) {
		check(f, &round, &limits, argc, argv);
	} else {
		if (leat_round_regular(&round, &points, leat_span_of(f->assets), &err) != 0)
			give_up(&err);
		sheet(f, &round, &limits, argc, argv);
	}
	leat_round_free(&round);
	leat_limits_free(&limits);
	leat_points_free(&points);
}
