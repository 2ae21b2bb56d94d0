/*
 * leat-rollup: statistics of readings over hours, shifts, works' days and other periods, added to the readings.
 */
#include <stdlib.h>

#include "derive/rollup.h"
#include "front_derive.h"
#include "front_tables.h"

enum { EVERY = FRONT_OWN, GOOD_ONLY, LABEL, OF, ONLY, PARTIAL, QUANTILES, UTC, WHEN, WIDE };

static struct {
	const char *every, *when;
	bool only, partial, utc;
} opt = { .every = "PT1H" };

static const char help[] =
    "Usage: leat-rollup [-hqV] [--every PERIOD] [--explain[=ASSET/POINT]]\n"
    "                   [--findings FILE] [--good-only] [--label start|end]\n"
    "                   [--max-rejects N|N%] [--nameplate FILE] [--now TIME]\n"
    "                   [--of GLOB] [--only] [--partial] [--points FILE]\n"
    "                   [--quantiles LIST|none] [-r FILE] [--summary] [--utc]\n"
    "                   [--when EXPR] [--wide] [-w DIR] [FILE ...]\n"
    "Adds to readings their time-weighted statistics per period: mean, min, max,\n"
    "percentiles, share of time on, coverage and time in good quality.\n"
    "\n"
    "     --every PERIOD           hour, day, week, month, year, or an ISO 8601\n"
    "                              duration such as PT10M or PT8H (PT1H)\n"
    "     --explain[=ASSET/POINT]  print instead how each result came about\n"
    "     --findings FILE          write findings about the data itself to FILE\n"
    "     --good-only              count readings of quality uncertain as bad\n"
    " -h, --help                   print this text\n"
    "     --label start|end        stamp rows at this end of their period (end)\n"
    "     --max-rejects N|N%       rejected rows allowed (5%)\n"
    "     --nameplate FILE         take the nameplate from FILE\n"
    "     --now TIME               leave out later rows (the clock), or data\n"
    "     --of GLOB                roll up only what matches ASSET/POINT; repeatable\n"
    "     --only                   print the added rows alone\n"
    "     --partial                the period that is still running too\n"
    "     --points FILE            take the points from FILE\n"
    "     --quantiles LIST|none    shares of time for percentiles (0.05,0.5,0.95)\n"
    " -q, --quiet                  no notes on standard error\n"
    " -r, --rejects FILE           write rejected rows to FILE\n"
    "     --summary                account for what was read, on standard error\n"
    "     --utc                    days from midnight UTC, not the works' days\n"
    " -V, --version                print the version\n"
    "     --when EXPR              count only while EXPR holds\n"
    "     --wide                   print instead a row a period, side by side\n"
    " -w, --works DIR              the works folder (LEAT_WORKS)\n";

static void
account(const struct leat_rollup *rollup)
{
	size_t words, series = leat_rollup_series(rollup, &words);

	if (series == 0)
		front_warn("nothing rolled up: no series of numbers or switches%s", rollup->ofs > 0 ? " matches --of" : "");
	else if (rollup->results == 0)
		front_warn("nothing rolled up: no period was complete (--partial takes the one that is running)");
	front_derive_end(rollup->in);
	front_summary("series rolled up: %zu; of words, left out: %zu; periods: %lld; results: %lld", series, words,
	    rollup->periods, rollup->results);
	front_summary("rows added: %lld; earlier rows replaced: %lld", rollup->added, rollup->replaced);
}

static int
take(void *rollup, const struct leat_reading *r, struct leat_error *err)
{
	return leat_rollup_take(rollup, r, err);
}

static void
roll_up(struct leat_rollup *rollup)
{
	struct leat_time now = front_opt.now_data ? LEAT_TIME_NONE : front_now();
	struct leat_error err;

	leat_rollup_write_header(rollup);
	if (front_derive(rollup->in, take, rollup, !opt.only && rollup->output == LEAT_ROLLUP_ROWS) == 0 &&
	    leat_rollup_end(rollup, now, opt.partial, &err) != 0)
		front_error(&err);
	account(rollup);
}

/* "0.05,0.5,0.95" in ascending order, whole hundredths, as the names .p05 to .p99 can say. */
static void
set_quantiles(struct leat_rollup *rollup, const char *arg)
{
	struct leat_span rest = leat_span_of(arg), text;

	rollup->quantiles = 0;
	if (strcmp(arg, "none") == 0)
		return;
	while (leat_span_next(&rest, ',', &text)) {
		double q, hundred;

		if (leat_double_parse(text, &q) != 0 || q < 0.01 || q > 0.99)
			front_misuse("option '--quantiles': not shares from 0.01 to 0.99 such as 0.05,0.5,0.95: '%s'", arg);
		hundred = (double)(int)(q * 100 + 0.5);
		if (q * 100 - hundred > 1e-9 || hundred - q * 100 > 1e-9)
			front_misuse("option '--quantiles': two decimals at most, as in the name .p95: '%s'", arg);
		if (rollup->quantiles == LEAT_ROLLUP_QUANTILES)
			front_misuse("option '--quantiles': more than %u", LEAT_ROLLUP_QUANTILES);
		if (rollup->quantiles > 0 && q <= rollup->quantile[rollup->quantiles - 1])
			front_misuse("option '--quantiles': not in ascending order: '%s'", arg);
		rollup->quantile[rollup->quantiles++] = hundred / 100;
	}
}

static void
set_label(struct leat_rollup *rollup, const char *arg)
{
	rollup->label_start = strcmp(arg, "start") == 0;
	if (!rollup->label_start && strcmp(arg, "end") != 0)
		front_misuse("option '--label': neither start nor end: '%s'", arg);
}

static void
take_option(struct leat_rollup *rollup, int code, char *argv[])
{
	static char **of;
	static size_t ofs, cap;

	switch (code) {
	case EVERY: opt.every = optarg; break;
	case GOOD_ONLY: rollup->good_only = true; break;
	case LABEL: set_label(rollup, optarg); break;
	case OF:
		if (leat_grow(&of, &cap, ofs + 1, sizeof(*of)) != 0)
			front_misuse("out of memory");
		of[ofs++] = optarg;
		rollup->of = of;
		rollup->ofs = ofs;
		break;
	case ONLY: opt.only = true; break;
	case PARTIAL: opt.partial = true; break;
	case QUANTILES: set_quantiles(rollup, optarg); break;
	case UTC: opt.utc = true; break;
	case WHEN: opt.when = optarg; break;
	case WIDE: rollup->output = LEAT_ROLLUP_WIDE; break;
	default: front_option(code, argv);
	}
}

static void
parse(int argc, char *argv[], struct leat_rollup *rollup)
{
	static const struct option longs[] = {
		{ "every", required_argument, NULL, EVERY },
		{ "explain", optional_argument, NULL, FRONT_EXPLAIN },
		{ "findings", required_argument, NULL, FRONT_FINDINGS },
		{ "good-only", no_argument, NULL, GOOD_ONLY },
		{ "help", no_argument, NULL, 'h' },
		{ "label", required_argument, NULL, LABEL },
		{ "max-rejects", required_argument, NULL, FRONT_MAX_REJECTS },
		{ "nameplate", required_argument, NULL, FRONT_NAMEPLATE },
		{ "now", required_argument, NULL, FRONT_CLOCK },
		{ "of", required_argument, NULL, OF },
		{ "only", no_argument, NULL, ONLY },
		{ "partial", no_argument, NULL, PARTIAL },
		{ "points", required_argument, NULL, FRONT_POINTS },
		{ "quantiles", required_argument, NULL, QUANTILES },
		{ "quiet", no_argument, NULL, 'q' },
		{ "rejects", required_argument, NULL, 'r' },
		{ "summary", no_argument, NULL, FRONT_SUMMARY },
		{ "utc", no_argument, NULL, UTC },
		{ "version", no_argument, NULL, 'V' },
		{ "when", required_argument, NULL, WHEN },
		{ "wide", no_argument, NULL, WIDE },
		{ "works", required_argument, NULL, 'w' },
		{ NULL, 0, NULL, 0 }
	};
	int c;

	while ((c = getopt_long(argc, argv, ":hqr:Vw:", longs, NULL)) != -1)
		take_option(rollup, c, argv);
	if (leat_grid_length(&rollup->grid, leat_span_of(opt.every)) != 0)
		front_misuse("option '--every': neither hour, day, week, month nor year, nor an ISO 8601 duration that divides "
		    "an hour, a day or a year: '%s'", opt.every);
	if (rollup->label_start && !opt.only && rollup->output == LEAT_ROLLUP_ROWS && !front_opt.explain)
		front_misuse("option '--label start' would put rows out of time order: give --only or --wide too");
}

/* The works' zone and day, or UTC and midnight. */
static void
set_days(struct leat_rollup *rollup, const struct leat_nameplate *np, struct leat_zone **own)
{
	struct leat_error err;

	rollup->grid.zone = leat_nameplate_zone(np);
	rollup->fixed_start = opt.utc;
	if (!opt.utc)
		return;
	*own = leat_zone_open(LEAT_SPAN("UTC"), &err);
	if (*own == NULL)
		front_misuse("%s", err.text);
	rollup->grid.zone = *own;
}

int
main(int argc, char *argv[])
{
	struct leat_rollup rollup = { .quantile = { 0.05, 0.5, 0.95 }, .quantiles = 3 };
	struct leat_points points;
	struct leat_nameplate *np;
	struct leat_zone *utc = NULL;
	struct leat_error err;

	front_start("leat-rollup", help);
	parse(argc, argv, &rollup);
	if (opt.when != NULL && (rollup.gate = leat_gate_compile(leat_span_of(opt.when), &err)) == NULL)
		front_misuse("option '--when': %s: '%s'", err.text, err.value);
	front_works_check();
	front_points(&points);
	np = front_nameplate();
	set_days(&rollup, np, &utc);
	rollup.in = front_readings(argc, argv);
	rollup.np = np;
	rollup.points = &points;
	rollup.out = front_stdout();
	if (front_opt.explain)
		rollup.output = LEAT_ROLLUP_EXPLAIN;
	rollup.what = leat_span_of(front_opt.explain_what);
	leat_rollup_init(&rollup);
	roll_up(&rollup);
	leat_rollup_free(&rollup);
	leat_gate_free(rollup.gate);
	leat_readings_close(rollup.in);
	leat_nameplate_free(np);
	leat_points_free(&points);
	leat_zone_free(utc);
	free((void *)rollup.of);
	return front_end();
}
