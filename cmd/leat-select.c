/*
 * leat-select: rows of the archive, of files or of a stream, by time, asset, point and quality.
 */
#include <stdlib.h>

#include "front.h"
#include "front_also.h"
#include "front_archive.h"
#include "front_pins.h"
#include "front_tables.h"
#include "stream/sorter.h"
#include "stream/wide.h"

enum { ALSO = FRONT_ASKED_END, ARCHIVE, SORT, WIDE };

#define SORT_MEMORY (6u * 1024u * 1024u)

static const char help[] =
    "Usage: leat-select [-hqV] [--also FILE] [--archive DIR] [--asset GLOB]\n"
    "                   [--findings FILE] [--from TIME] [--last DURATION]\n"
    "                   [--max-rejects N|N%] [--now TIME] [--numeric] [--point GLOB]\n"
    "                   [--quality LIST] [-r FILE] [--sort] [--summary]\n"
    "                   [--thin PERIOD] [--to TIME] [-w DIR] [--wide] [FILE ...]\n"
    "Prints the readings that are asked for: of the FILEs, else of the archive of the\n"
    "works, else of standard input.\n"
    "\n"
    "     --also FILE              what the options behind it ask for goes to FILE\n"
    "     --archive DIR            read this archive\n"
    "     --asset GLOB             only assets such as 'NM/*'; may be given again\n"
    "     --findings FILE          write findings about the data itself to FILE\n"
    "     --from TIME              only from TIME on\n"
    " -h, --help                   print this text\n"
    "     --last DURATION          only from so long before now on, as P400D\n"
    "     --max-rejects N|N%       rejected rows allowed (5%)\n"
    "     --now TIME               leave out later rows (the clock), or data\n"
    "     --numeric                only values that are numbers\n"
    "     --point GLOB             only points such as 'oil-*'; may be given again\n"
    "     --quality LIST           only these, as good,uncertain\n"
    " -q, --quiet                  no notes on standard error\n"
    " -r, --rejects FILE           write rejected rows to FILE\n"
    "     --sort                   put rows that are not in order of time in order\n"
    "     --summary                account for what was read, on standard error\n"
    "     --thin PERIOD            of each series and period, such as P1D, only the first,\n"
    "                              last, lowest and highest reading\n"
    "     --to TIME                only before TIME\n"
    " -V, --version                print the version\n"
    "     --wide                   a row for each time, a column for each point\n"
    " -w, --works DIR              the works folder (LEAT_WORKS)\n";

struct options {
	struct front_selections of;
	const char *archive;
	struct leat_time end;		/* nothing later is asked for; LEAT_TIME_NONE: open */
	bool sort, wide;
};

/* What is done with a row that is taken. */
struct job {
	struct leat_select *select;
	struct leat_sorter *sorter;	/* NULL: rows are not sorted */
	struct leat_wide *wide;		/* NULL: rows are copied */
	struct leat_thin *thin;		/* NULL: all are */
	struct front_also *also;
	size_t alsos;
	unsigned times;			/* which selections left the last row that all did out for its time, as bits */
	uint32_t group;			/* grows where those change */
	long long passed;		/* rows of the stream that were passed over and are accounted for */
	struct leat_buf text;
	bool headed;			/* the header was written */
	bool any_order, rehearsal;
	struct leat_time end;		/* nothing later is taken; LEAT_TIME_NONE: open */
	struct leat_readings_count counted;
	int (*take)(struct job *job, const struct leat_readings *in, const struct leat_reading *r, struct leat_error *err);
};

static int
copy(struct job *job, const struct leat_readings *in, const struct leat_reading *r, struct leat_error *err)
{
	(void)job, (void)err;
	leat_readings_copy(front_stdout(), in, r);
	return 0;
}

static int
thin_copy(struct job *job, const struct leat_readings *in, const struct leat_reading *r, struct leat_error *err)
{
	return leat_thin_take(job->thin, in, r, front_stdout()) == 0 ? 0 : leat_error_memory(err);
}

static int
sort_copy(struct job *job, const struct leat_readings *in, const struct leat_reading *r, struct leat_error *err)
{
	leat_buf_reset(&job->text);
	if (leat_readings_copy_to(&job->text, in, r) != 0)
		return leat_error_memory(err);
	return leat_sorter_put(job->sorter, r->time, job->text.data, job->text.len, err);
}

static int
learn(struct job *job, const struct leat_readings *in, const struct leat_reading *r, struct leat_error *err)
{
	uint32_t column;

	(void)in;
	return leat_wide_learn(job->wide, r, &column, err);
}

/* A bad value is no information, and a blank cell says so. */
static struct leat_span
cell(const struct leat_reading *r)
{
	return r->quality == LEAT_BAD ? leat_span_of("") : r->value;
}

static int
spread(struct job *job, const struct leat_readings *in, const struct leat_reading *r, struct leat_error *err)
{
	size_t known = job->wide->columns;
	uint32_t column;

	(void)in;
	if (leat_wide_learn(job->wide, r, &column, err) != 0)
		return -1;
	if (column >= known)
		return leat_error_set(err, "the input changed while it was read");
	return leat_wide_put(job->wide, front_stdout(), column, r->time, cell(r)) == 0 ? 0 : leat_error_memory(err);
}

/* Keeps the number of the column and the value until all columns are known. */
static int
keep(struct job *job, const struct leat_readings *in, const struct leat_reading *r, struct leat_error *err)
{
	uint32_t column;

	(void)in;
	if (leat_wide_learn(job->wide, r, &column, err) != 0)
		return -1;
	leat_buf_reset(&job->text);
	if (leat_buf_add(&job->text, &column, sizeof(column)) != 0 || leat_buf_add_span(&job->text, cell(r)) != 0)
		return leat_error_memory(err);
	return leat_sorter_put(job->sorter, r->time, job->text.data, job->text.len, err);
}

/* The next row.  A rehearsal rejects nothing: the same rows come again. */
static bool
next_row(const struct job *job, struct leat_readings *in, struct leat_reading *r)
{
	enum leat_readings_status status;
	struct leat_error err;

	if (!job->rehearsal)
		return front_reading(in, r);
	do
		status = leat_readings_next(in, r, &err);
	while (status == LEAT_READINGS_BAD);
	if (status == LEAT_READINGS_FAILED)
		front_error(&err);
	return status == LEAT_READINGS_ROW;
}

static void
add_counts(struct job *job, struct leat_readings *in)
{
	struct leat_readings_count c = leat_readings_counted(in);

	job->counted.rows += c.rows;
	job->counted.rejected += c.rejected;
	job->counted.headers += c.headers;
}

/* Nobody asks for the row.  Nor will anybody for others of its series and instant: what names leave out stays so while the
 * same selections leave all out for their time. */
static int
leave(struct job *job, struct leat_readings *in, const struct leat_reading *r, struct leat_error *err)
{
	unsigned times = leat_select_by_time(job->select);

	for (size_t i = 0; i < job->alsos; i++)
		times |= (unsigned)leat_select_by_time(&job->also[i].asked.select) << (i + 1);
	job->group += times != job->times;
	job->times = times;
	return leat_readings_pass(in, r, job->group) == 0 ? 0 : leat_error_memory(err);
}

/* Hands the row to whoever asks for it.  0, or -1 with err. */
static int
hand_out(struct job *job, struct leat_readings *in, const struct leat_reading *r, struct leat_error *err)
{
	int taken = leat_select_takes(job->select, r), also;
	bool never = leat_select_never(job->select);

	if (taken < 0)
		return leat_error_memory(err);
	if (taken > 0 && job->take(job, in, r, err) != 0)
		return -1;
	for (size_t i = 0; i < job->alsos && !job->rehearsal; i++) {
		if ((also = front_also_take(&job->also[i], in, r, err)) < 0)
			return -1;
		never = never && also == 0;
	}
	return never ? leave(job, in, r, err) : 0;
}

/* The rows that were passed over are accounted for as that one was which said so. */
static void
add_passed(struct job *job, const struct leat_readings *in)
{
	long long passed = leat_readings_passed(in);

	if (passed > job->passed)
		leat_select_passed(job->select, passed - job->passed);
	job->passed = passed;
}

/* Before the rows of a stream. */
static void
renew(struct job *job, const struct leat_readings *in)
{
	leat_select_renew(job->select);
	if (job->wide != NULL)
		leat_wide_renew(job->wide);
	if (job->thin != NULL && !job->rehearsal)
		leat_thin_renew(job->thin);
	for (size_t i = 0; i < job->alsos && !job->rehearsal; i++)
		front_also_renew(&job->also[i], in);
	job->passed = 0;
}

/* Reads one stream through; false when that failed, and was said. */
static bool
run_stream(struct job *job, const struct front_stream *stream, bool archive)
{
	struct leat_error err;
	struct leat_readings *in = leat_readings_open(stream->file, stream->count, &err);
	struct leat_reading r;
	int taken = 0;

	if (in == NULL) {
		front_error(&err);
		return false;
	}
	if (job->any_order)
		leat_readings_any_order(in);
	if (!job->headed && !job->rehearsal && job->wide == NULL)
		leat_readings_write_header(front_stdout(), in);
	job->headed = true;
	renew(job, in);
	while (taken >= 0 && front_stdout()->errnum == 0 && next_row(job, in, &r)) {
		add_passed(job, in);
		taken = hand_out(job, in, &r, &err);
		if (archive && !leat_time_is_none(job->end) && leat_time_cmp(r.time, job->end) > 0)
			break;
	}
	if (taken < 0)
		front_error(&err);
	add_passed(job, in);
	add_counts(job, in);
	leat_readings_close(in);
	return !front_failed();
}

static bool
run(struct job *job, const struct front_streams *from)
{
	for (size_t i = 0; i < from->streams; i++) {
		if (!run_stream(job, &from->stream[i], from->archive))
			return false;
	}
	return true;
}

/* The rows in order, after all were put into the sorter. */
static bool
write_sorted(struct job *job)
{
	struct leat_error err;
	struct leat_time time;
	struct leat_span row;
	uint32_t column;
	int got;

	while ((got = leat_sorter_next(job->sorter, &time, &row, &err)) > 0 && front_stdout()->errnum == 0) {
		if (job->wide == NULL) {
			leat_out_span(front_stdout(), row);
			continue;
		}
		memcpy(&column, row.ptr, sizeof(column));
		row = leat_span_make(row.ptr + sizeof(column), row.len - sizeof(column));
		if (leat_wide_put(job->wide, front_stdout(), column, time, row) != 0) {
			leat_error_memory(&err);
			got = -1;
			break;
		}
	}
	if (got < 0)
		front_error(&err);
	return got >= 0;
}

static bool
header(struct job *job)
{
	if (leat_wide_header(job->wide, front_stdout()) == 0)
		return true;
	front_fail("out of memory");
	return false;
}

/* Learns the columns in a first reading of what can be read again. */
static bool
rehearse(struct job *job, const struct front_streams *from)
{
	struct leat_select counted = *job->select;
	bool good;

	job->rehearsal = true;
	job->take = learn;
	good = run(job, from);
	counted.kind = job->select->kind;
	counted.kinds = job->select->kinds;
	*job->select = counted;
	job->rehearsal = false;
	memset(&job->counted, 0, sizeof(job->counted));
	return good && header(job);
}

static void
account(const struct job *job)
{
	const struct leat_select *s = job->select;

	front_summary("%lld rows read, %lld rejected, %lld repeated headers", job->counted.rows, job->counted.rejected,
	    job->counted.headers);
	front_summary("rows: %lld taken; left out: %lld by time, %lld later than now, %lld by asset and point, %lld by "
	    "quality, %lld that are no number", s->taken, s->by_time, s->later, s->by_name, s->by_quality, s->by_value);
	if (job->sorter != NULL)
		front_summary("sorted, in %zu parts on disk", leat_sorter_spilled(job->sorter));
	if (job->wide != NULL)
		front_summary("%zu columns, %lld rows", job->wide->columns, job->wide->rows);
	if (job->thin != NULL)
		front_summary("thinned: %lld rows written, %lld periods divided", leat_thin_written(job->thin),
		    leat_thin_divided(job->thin));
	if (job->wide != NULL && job->wide->overwritten > 0)
		front_warn("values that gave way to another, later one of the same time and column: %lld", job->wide->overwritten);
	if (s->taken == 0 && s->by_name > 0 && s->by_name == job->counted.rows - s->by_time - s->later)
		front_warn("no asset and point is one of those that are asked for");
	front_rejects_end(job->counted.rows + front_rejected());
}

/* Copies, sorts or spreads what is taken. */
static void
select_rows(struct options *o, const struct front_streams *from)
{
	bool spool = o->sort || (o->wide && !from->again), good = true;
	struct leat_wide wide = { .columns = 0 };
	struct job job = { .select = &o->of.first.select, .also = o->of.also, .alsos = o->of.alsos, .any_order = o->sort,
		.end = o->end, .wide = o->wide ? &wide : NULL };
	struct leat_error err;

	if (spool && (job.sorter = leat_sorter_new(SORT_MEMORY, front_folder(), &err)) == NULL) {
		front_error(&err);
		return;
	}
	if (o->wide && !spool)
		good = rehearse(&job, from);
	if (o->of.first.thin != NULL && (job.thin = leat_thin_new(&o->of.first.grid)) == NULL)
		front_misuse("out of memory");
	job.take = o->of.first.thin != NULL ? thin_copy : o->wide ? (spool ? keep : spread) : (spool ? sort_copy : copy);
	good = good && run(&job, from);
	if (from->streams == 0 && !o->wide)
		leat_readings_write_header(front_stdout(), NULL);
	if (good && o->wide && spool)
		good = header(&job);
	if (good && spool)
		good = write_sorted(&job);
	if (good && job.thin != NULL && leat_thin_end(job.thin, front_stdout()) != 0)
		front_fail("out of memory");
	if (good && o->wide)
		leat_wide_end(&wide, front_stdout());
	if (good)
		account(&job);
	for (size_t i = 0; i < o->of.alsos; i++)
		front_also_end(&o->of.also[i]);
	leat_wide_free(&wide);
	leat_thin_free(job.thin);
	leat_sorter_free(job.sorter);
	leat_buf_free(&job.text);
}

/* Settles what --now and --last mean, which the end of the data may decide, and which months are needed. */
static bool
settle_times(struct options *o, struct front_streams *from)
{
	struct leat_time end = LEAT_TIME_NONE, start;
	bool back = false;

	for (size_t i = 0; i <= o->of.alsos; i++)
		back = back || front_asked(&o->of, i)->last != NULL;
	if (!front_opt.now_data)
		end = front_now();
	else if (back && !front_streams_last(from, o->sort, &end))
		return false;
	front_asked_times(&o->of, end, &start, &o->end);
	front_streams_months(from, start, o->end);
	return true;
}

static void
own_option(int c, char *argv[], int argc, struct options *o)
{
	if (front_asked_option(c, argc, front_asked(&o->of, o->of.alsos)))
		return;
	switch (c) {
	case ALSO:
		front_also_add(&o->of);
		break;
	case ARCHIVE:
		o->archive = optarg;
		break;
	case SORT:
		o->sort = true;
		break;
	case WIDE:
		o->wide = true;
		break;
	default:
		front_option(c, argv);
	}
}

static void
parse(int argc, char *argv[], struct options *o)
{
	static const struct option longs[] = {
		{ "also", required_argument, NULL, ALSO },
		{ "archive", required_argument, NULL, ARCHIVE },
		{ "asset", required_argument, NULL, FRONT_ASKED_ASSET },
		{ "findings", required_argument, NULL, FRONT_FINDINGS },
		{ "from", required_argument, NULL, FRONT_ASKED_FROM },
		{ "help", no_argument, NULL, 'h' },
		{ "last", required_argument, NULL, FRONT_ASKED_LAST },
		{ "max-rejects", required_argument, NULL, FRONT_MAX_REJECTS },
		{ "now", required_argument, NULL, FRONT_CLOCK },
		{ "numeric", no_argument, NULL, FRONT_ASKED_NUMERIC },
		{ "point", required_argument, NULL, FRONT_ASKED_POINT },
		{ "quality", required_argument, NULL, FRONT_ASKED_QUALITY },
		{ "quiet", no_argument, NULL, 'q' },
		{ "rejects", required_argument, NULL, 'r' },
		{ "sort", no_argument, NULL, SORT },
		{ "summary", no_argument, NULL, FRONT_SUMMARY },
		{ "thin", required_argument, NULL, FRONT_ASKED_THIN },
		{ "to", required_argument, NULL, FRONT_ASKED_TO },
		{ "version", no_argument, NULL, 'V' },
		{ "wide", no_argument, NULL, WIDE },
		{ "works", required_argument, NULL, 'w' },
		{ NULL, 0, NULL, 0 }
	};
	int c;

	while ((c = getopt_long(argc, argv, ":hqr:Vw:", longs, NULL)) != -1)
		own_option(c, argv, argc, o);
	for (size_t i = 0; i <= o->of.alsos; i++)
		if (front_asked(&o->of, i)->last != NULL && !leat_time_is_none(front_asked(&o->of, i)->select.from))
			front_misuse("give either '--from' or '--last'");
	if (o->of.first.thin != NULL && (o->sort || o->wide))
		front_misuse("option '--thin' goes with neither '--sort' nor '--wide': join two commands by a pipe");
	if (o->of.alsos > 0 && (o->sort || o->wide))
		front_misuse("option '--also' goes with neither '--sort' nor '--wide': join two commands by a pipe");
}

int
main(int argc, char *argv[])
{
	static struct options o = { .of.first = FRONT_ASKED_ALL };
	struct front_streams from = { .streams = 0 };
	struct leat_nameplate *np;

	front_start("leat-select", help);
	parse(argc, argv, &o);
	front_works_check();
	np = front_asked_days(&o.of);
	if (front_streams_open(&from, o.archive, argc - optind, argv + optind) && settle_times(&o, &from)) {
		for (size_t i = 0; i < o.of.alsos; i++)
			front_also_open(&o.of.also[i]);
		select_rows(&o, &from);
	}
	front_streams_free(&from);
	leat_nameplate_free(np);
	leat_select_free(&o.of.first.select);
	free(o.of.first.select.asset);
	free(o.of.first.select.point);
	return front_end();
}
