/*
 * leat-archive: adds readings to the archive, and keeps it sound.
 */
#include <stdlib.h>

#include "front.h"
#include "front_archive.h"
#include "front_tables.h"
#include "stream/archive.h"

enum { ARCHIVE = FRONT_OWN, PREFER, REPAIR, SKIP_DERIVED, VERIFY };

static const char help[] =
    "Usage: leat-archive [-hqV] [--archive DIR] [--findings FILE] [--max-rejects N|N%]\n"
    "                    [--now TIME] [--points FILE] [--prefer last] [-r FILE]\n"
    "                    [--skip-derived] [--summary] [-w DIR] [FILE ...]\n"
    "       leat-archive [-q] [--archive DIR] [--summary] [-w DIR] --verify | --repair\n"
    "Adds readings to the archive, a file for each month: WORKS/archive/YYYY/MM.csv.gz.\n"
    "\n"
    "     --archive DIR            the archive, instead of that of the works folder\n"
    "     --findings FILE          write findings about the data itself to FILE\n"
    " -h, --help                   print this text\n"
    "     --max-rejects N|N%       rejected rows and conflicts allowed (5%)\n"
    "     --now TIME               leave out later rows (the clock), or data\n"
    "     --points FILE            take the points from FILE\n"
    "     --prefer last            of differing values take the last that came\n"
    " -q, --quiet                  no notes on standard error\n"
    " -r, --rejects FILE           write rejected rows to FILE\n"
    "     --repair                 verify, and restore months that were cut short\n"
    "     --skip-derived           leave out derived rows instead of stopping\n"
    "     --summary                account for what was done, on standard error\n"
    "     --verify                 read the archive through and name every fault\n"
    " -V, --version                print the version\n"
    " -w, --works DIR              the works folder (LEAT_WORKS)\n";

struct options {
	const char *archive;
	bool prefer_last, repair, skip_derived, verify;
};

/* What is left out before the archive sees it. */
struct left_out {
	long long derived, later;
	unsigned char *kind;	/* by series: 0 not yet known, 1 measured, 2 derived */
	size_t kinds;
};

/* A derived name is measured where points.csv says which tag carries it: a sensor or a laboratory may deliver it. */
static bool
is_derived(struct left_out *left, const struct leat_points *points, const struct leat_reading *r)
{
	if (leat_grow(&left->kind, &left->kinds, (size_t)r->series + 1, 1) != 0)
		front_misuse("out of memory");
	if (left->kind[r->series] == 0) {
		const struct leat_point *row = leat_points_series(points, r->asset, r->point);

		left->kind[r->series] = leat_point_derived(r->point) && (row == NULL || row->tag.len == 0) ? 2 : 1;
	}
	return left->kind[r->series] == 2;
}

static void
refuse_derived(const struct leat_readings *in, const struct leat_reading *r)
{
	struct leat_error err = { 0 };

	leat_error_set(&err, "a derived reading, which is computed anew each night: archive what leat-normalise prints, or "
	    "leave such rows out with --skip-derived");
	leat_error_at(&err, leat_readings_source(in, r->source), r->line);
	leat_error_column(&err, LEAT_SPAN("point"));
	leat_error_value(&err, r->point);
	front_error(&err);
}

/* Puts every row that is to be archived; false when that failed, and was said. */
static bool
put_all(struct leat_archiver *w, struct leat_readings *in, const struct leat_points *points, bool skip_derived,
    struct left_out *left)
{
	struct leat_time now = front_opt.now_data ? LEAT_TIME_NONE : front_now();
	struct leat_reading r;
	struct leat_error err;

	while (front_reading(in, &r)) {
		if (!leat_time_is_none(now) && leat_time_cmp(r.time, now) > 0) {
			left->later++;
		} else if (is_derived(left, points, &r)) {
			left->derived++;
			if (skip_derived)
				continue;
			refuse_derived(in, &r);
			return false;
		} else if (leat_archiver_put(w, &r, &err) != 0) {
			front_error(&err);
			return false;
		}
		if (front_opt.now_data)
			front_set_now(r.time);
	}
	if (front_failed())
		return false;
	if (leat_archiver_finish(w, &err) == 0)
		return true;
	front_error(&err);
	return false;
}

static void
account(const struct leat_readings *in, const struct leat_archive_sum *sum, const struct left_out *left)
{
	struct leat_readings_count count = leat_readings_counted(in);

	front_summary("%lld rows read, %lld rejected, %lld repeated headers", count.rows, count.rejected, count.headers);
	front_summary("rows: %lld added, %lld in place of archived ones, %lld known, %lld repeated, %lld in conflict, "
	    "%lld derived left out, %lld later than now left out", sum->added, sum->replaced, sum->known, sum->repeated,
	    sum->conflicts, left->derived, left->later);
	if (leat_readings_columns(in) > 6)
		front_summary("further columns, which the archive does not keep: %zu", leat_readings_columns(in) - 6);
	if (count.rows != sum->added + sum->replaced + sum->known + sum->repeated + sum->conflicts + left->derived +
	    left->later)
		front_fail("rows do not balance, a fault of this program: nothing was archived");
	front_rejects_end(count.rows + count.rejected);
	front_set_aside_end(sum->conflicts, sum->rows);
	if (count.rows == 0)
		front_warn("the input has not one reading");
}

static void
add(const struct leat_archive *archive, struct leat_readings *in, const struct leat_points *points,
    const struct options *o)
{
	struct leat_archiver w = {
		.archive = archive, .in = in, .prefer_last = o->prefer_last, .set_aside = front_set_aside
	};
	struct left_out left = { .kind = NULL };
	struct leat_error err;
	bool put = put_all(&w, in, points, o->skip_derived, &left);

	if (put) {
		account(in, &w.sum, &left);
		if (w.sum.conflicts > 0 || w.sum.replaced > 0)
			leat_archiver_findings(&w, front_now(), !front_failed(), front_data_finding);
		if (front_failed())
			front_warn("nothing was archived: every month is as it was");
		else if (leat_archiver_commit(&w, &err) != 0)
			front_error(&err);
		else
			front_summary("months: %zu touched, %zu written", w.sum.months, w.sum.changed);
	} else {
		front_warn("nothing was archived: every month is as it was");
		if (w.old_unsound)
			front_warn("the archive itself is damaged: leat-archive --verify names the faults, --repair restores what "
			    "was cut short");
	}
	leat_archiver_free(&w);
	free(left.kind);
}

static void
say_fault(const struct leat_error *err)
{
	front_error(err);
}

/* Restores one month where it can be; true when it then needs no more telling. */
static bool
repair(const struct leat_archive *archive, const struct leat_archive_file *file)
{
	char last[LEAT_TIME_MAX] = "none";
	struct leat_time time;
	struct leat_error err;
	long long kept;

	switch (leat_archive_repair(archive, file, &kept, &time, &err)) {
	case 0:
		return false;
	case 1:
		if (kept > 0)
			leat_time_write(last, time);
		front_warn("%s: was cut short: %lld rows kept, the last of %s; the file as it was is beside it, ending in "
		    ".damaged: archive the exports since then again", file->path, kept, last);
		return true;
	default:
		front_error(&err);
		return true;
	}
}

static void
verify(const struct leat_archive *archive, bool repairs)
{
	struct leat_archive_check check = { .fault = say_fault };
	struct leat_archive_list list = { 0 };
	struct leat_error err;
	size_t months = 0;

	if (leat_archive_list(archive, &list, &err) != 0)
		front_error(&err);
	for (size_t i = 0; i < list.count; i++) {
		const struct leat_archive_file *file = &list.file[i];

		if (file->kind == LEAT_ARCHIVE_LEFT)
			front_note("%s: of a run that was killed, or is still going; the next run removes it", file->path);
		else if (file->kind == LEAT_ARCHIVE_ASIDE)
			front_note("%s: put aside by a repair", file->path);
		else if (file->kind == LEAT_ARCHIVE_STRAY)
			front_fail("%s: does not belong in an archive", file->path);
		else if (!repairs || !repair(archive, file)) {
			months++;
			if (leat_archive_verify(file, &check) != 0)
				front_raise(FRONT_FAILED);
		} else {
			months++;
		}
	}
	front_summary("months: %zu, rows: %lld, faults: %lld", months, check.rows, check.faults);
	leat_archive_list_free(&list);
}

static void
parse(int argc, char *argv[], struct options *o)
{
	static const struct option longs[] = {
		{ "archive", required_argument, NULL, ARCHIVE },
		{ "findings", required_argument, NULL, FRONT_FINDINGS },
		{ "help", no_argument, NULL, 'h' },
		{ "max-rejects", required_argument, NULL, FRONT_MAX_REJECTS },
		{ "now", required_argument, NULL, FRONT_CLOCK },
		{ "points", required_argument, NULL, FRONT_POINTS },
		{ "prefer", required_argument, NULL, PREFER },
		{ "quiet", no_argument, NULL, 'q' },
		{ "rejects", required_argument, NULL, 'r' },
		{ "repair", no_argument, NULL, REPAIR },
		{ "skip-derived", no_argument, NULL, SKIP_DERIVED },
		{ "summary", no_argument, NULL, FRONT_SUMMARY },
		{ "verify", no_argument, NULL, VERIFY },
		{ "version", no_argument, NULL, 'V' },
		{ "works", required_argument, NULL, 'w' },
		{ NULL, 0, NULL, 0 }
	};
	int c;

	while ((c = getopt_long(argc, argv, ":hqr:Vw:", longs, NULL)) != -1) {
		if (c == ARCHIVE)
			o->archive = optarg;
		else if (c == PREFER && strcmp(optarg, "last") == 0)
			o->prefer_last = true;
		else if (c == PREFER)
			front_misuse("option '--prefer': not 'last': '%s'", optarg);
		else if (c == REPAIR)
			o->repair = true;
		else if (c == SKIP_DERIVED)
			o->skip_derived = true;
		else if (c == VERIFY)
			o->verify = true;
		else
			front_option(c, argv);
	}
}

int
main(int argc, char *argv[])
{
	struct options o = { .archive = NULL };
	struct leat_archive archive;
	struct leat_points points;
	struct leat_readings *in;
	struct leat_error err;
	const char *folder;
	bool check;

	front_start("leat-archive", help);
	parse(argc, argv, &o);
	check = o.verify || o.repair;
	if (check && optind < argc)
		front_misuse("options '--verify' and '--repair' take no FILE: '%s'", argv[optind]);
	front_works_check();
	folder = front_archive(o.archive);
	if (folder == NULL)
		front_misuse("give the works folder with -w, or the archive with --archive");
	if ((o.verify && !o.repair ? leat_archive_open : leat_archive_take)(&archive, folder, &err) != 0) {
		front_error(&err);
		return front_end();
	}
	if (check) {
		verify(&archive, o.repair);
	} else {
		front_points(&points);
		in = front_readings(argc, argv);
		add(&archive, in, &points, &o);
		leat_readings_close(in);
		leat_points_free(&points);
	}
	leat_archive_close(&archive);
	return front_end();
}
