/*
 * The account of an intake: where every line and every cell went.
 */
#include "stream/intake.h"

static void
add_counts(struct leat_export_count *sum, const struct leat_export_count *c)
{
	sum->lines += c->lines;
	sum->header += c->header;
	sum->preamble += c->preamble;
	sum->unit += c->unit;
	sum->data += c->data;
	sum->footer += c->footer;
	sum->blank += c->blank;
	sum->rejected += c->rejected;
	sum->cells += c->cells;
	sum->samples += c->samples;
	sum->blank_cells += c->blank_cells;
	sum->rejected_cells += c->rejected_cells;
	sum->guessed += c->guessed;
	sum->gap += c->gap;
	sum->future += c->future;
}

struct leat_intake_sum
leat_intake_summed(const struct leat_intake *in, const struct leat_settle *group)
{
	struct leat_intake_sum sum = { .readings = group->readings, .unknown = in->unknown.total,
	    .duplicates = group->duplicates, .conflicts = group->conflicts };

	for (size_t i = 0; i < in->files; i++)
		add_counts(&sum.export, &in->file[i].counted);
	return sum;
}

static bool
lines_balance(const struct leat_export_count *c)
{
	return c->lines == c->data + c->header + c->preamble + c->unit + c->footer + c->blank + c->rejected;
}

bool
leat_intake_balances(const struct leat_intake *in, const struct leat_settle *group)
{
	struct leat_intake_sum s = leat_intake_summed(in, group);

	for (size_t i = 0; i < in->files; i++) {
		if (!in->file[i].finished || !lines_balance(&in->file[i].counted))
			return false;
	}
	/* The samples are counted by the export, by the intake and by the rule for duplicates: all must agree. */
	return s.export.cells == s.export.samples + s.export.blank_cells + s.export.rejected_cells &&
	    s.export.samples == in->readings + s.unknown && in->readings == s.readings + s.duplicates + s.conflicts;
}

static void
say_lines(const char *name, const struct leat_export_count *c, void (*say)(const char *fmt, ...))
{
	say("%s: %lld lines = %lld data + %lld header + %lld preamble + %lld unit + %lld footer + %lld blank + "
	    "%lld rejected", name, c->lines, c->data, c->header, c->preamble, c->unit, c->footer, c->blank,
	    c->rejected);
}

static void
say_file(const struct leat_intake *in, size_t i, void (*say)(const char *fmt, ...))
{
	const struct leat_intake_file *f = &in->file[i];
	const char *name = leat_intake_name(in, i);

	say("%s: %s", name, f->form.evidence);
	if (f->form.local_stamps && f->form.zone != NULL)
		say("%s: stamps are local to %s", name, leat_zone_name(f->form.zone));
	if (!f->form.in_order)
		say("%s: not in order of time: sorted", name);
	if (f->form.quality.words + f->form.quality.classic + f->form.quality.status + f->form.quality.zero > 0)
		say("%s: quality: %s", name, leat_quality_kind_name(f->quality));
	say_lines(name, &f->counted, say);
}

static void
say_tally(const struct leat_tally *tally, const char *what, void (*say)(const char *fmt, ...))
{
	char text[LEAT_TALLY_TEXT + 4];

	for (size_t i = 0; i < tally->names.count; i++) {
		leat_mask(text, sizeof(text), tally->names.name[i]);
		say("%s '%s': %lld", what, text, tally->count[i]);
	}
	if (tally->other > 0)
		say("%s, others: %lld", what, tally->other);
}

static void
say_missing(const struct leat_intake *in, void (*say)(const char *fmt, ...))
{
	const struct leat_points *points = in->plan.points;
	char tag[96], asset[96], point[96];

	for (size_t i = 0; i < points->count; i++) {
		const struct leat_point *row = &points->row[i];

		if (in->came[i] || row->tag.len == 0)
			continue;
		say("never came: '%s' (%s/%s)", leat_mask(tag, sizeof(tag), row->tag),
		    leat_mask(asset, sizeof(asset), row->asset), leat_mask(point, sizeof(point), row->point));
	}
}

static void
say_odd(const struct leat_intake *in, const struct leat_export_count *c, void (*say)(const char *fmt, ...))
{
	say_tally(&in->unknown, "unknown tag", say);
	say_missing(in, say);
	say_tally(&in->text, "text in place of a value", say);
	say_tally(&in->quality, "unknown quality, taken as uncertain", say);
	if (in->beyond_limit > 0)
		say("beyond a detection limit, taken as uncertain: %lld", in->beyond_limit);
	if (in->out_of_range > 0)
		say("outside the instrument's range, taken as bad: %lld", in->out_of_range);
	if (c->guessed > 0)
		say("stamps in the hour that comes twice, taken as uncertain: %lld", c->guessed);
	if (c->gap > 0)
		say("stamps in the hour that does not exist, rejected: %lld", c->gap);
	if (c->future > 0)
		say("stamps later than a day after now, rejected: %lld", c->future);
	if (in->spilled > 0)
		say("sorting took %zu runs in '%s'", in->spilled, in->plan.folder);
}

void
leat_intake_account(const struct leat_intake *in, const struct leat_settle *group, void (*say)(const char *fmt, ...))
{
	struct leat_intake_sum s = leat_intake_summed(in, group);

	for (size_t i = 0; i < in->files; i++)
		say_file(in, i, say);
	say_odd(in, &s.export, say);
	if (in->files > 1)
		say_lines("all files", &s.export, say);
	say("%lld cells = %lld readings + %lld blank + %lld unknown tag + %lld rejected + %lld duplicate + "
	    "%lld conflict", s.export.cells, s.readings, s.export.blank_cells, s.unknown, s.export.rejected_cells,
	    s.duplicates, s.conflicts);
	say(leat_intake_balances(in, group) ? "lines and cells balance" : "lines and cells do not balance");
}
