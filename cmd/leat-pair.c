/*
 * leat-pair: difference and ratio of two points at equal times, or at times that are close, added to the readings.
 */
#include <stdlib.h>

#include "derive/pair.h"
#include "front_derive.h"
#include "front_tables.h"

enum { AS = FRONT_OWN, FIRST, ONLY, PAIRS, SECOND, WITHIN };

/* The pair that options describe, until the next --first. */
static struct {
	struct leat_couple couple;
	bool begun, second, named;
} given;

static const char *pairs_file;
static bool only;

static const char help[] =
    "Usage: leat-pair [-hqV] [--explain[=ASSET/POINT]] [--findings FILE]\n"
    "                 [--max-rejects N|N%] [--now TIME] [--only] [--pairs FILE]\n"
    "                 [--points FILE] [-r FILE] [--summary] [-w DIR]\n"
    "                 [--first ASSET/POINT --second ASSET/POINT [--as ASSET/POINT]\n"
    "                 [--within DURATION]] ... [FILE ...]\n"
    "Adds to readings the difference and the ratio of two points at equal times:\n"
    "POINT.difference and POINT.ratio.\n"
    "\n"
    "     --as ASSET/POINT         name of what is added (that of the first)\n"
    "     --explain[=ASSET/POINT]  print instead how each result came about\n"
    "     --findings FILE          write findings about the data itself to FILE\n"
    "     --first ASSET/POINT      begin a pair: the point from which is taken away\n"
    " -h, --help                   print this text\n"
    "     --max-rejects N|N%       rejected rows allowed (5%)\n"
    "     --now TIME               leave out later rows (the clock), or data\n"
    "     --only                   print the added rows alone\n"
    "     --pairs FILE             take pairs from a table: first,second,asset,point,\n"
    "                              within\n"
    "     --points FILE            take the points from FILE\n"
    " -q, --quiet                  no notes on standard error\n"
    " -r, --rejects FILE           write rejected rows to FILE\n"
    "     --second ASSET/POINT     the point that is taken away\n"
    "     --summary                account for what was read, on standard error\n"
    " -V, --version                print the version\n"
    "     --within DURATION        how far apart the readings of a pair may be\n"
    " -w, --works DIR              the works folder (LEAT_WORKS)\n";

/* The pair that the options so far describe is whole. */
static void
end_given(struct leat_couples *couples)
{
	struct leat_error err;
	struct leat_couple *c = &given.couple;

	if (!given.begun)
		return;
	if (!given.second)
		front_misuse("option '--first': no '--second' follows it");
	if (!given.named) {
		c->asset = c->asset_of[0];
		c->point = c->point_of[0];
	}
	if (leat_couples_add(couples, c, &err) != 0)
		front_misuse("%s", err.text);
	memset(&given, 0, sizeof(given));
}

static void
operand(const char *option, struct leat_span *asset, struct leat_span *point)
{
	if (!leat_couple_operand(leat_span_of(optarg), asset, point))
		front_misuse("option '%s': not ASSET/POINT such as NM/pressure: '%s'", option, optarg);
}

static void
set_within(void)
{
	struct leat_duration d;

	if (leat_duration_parse(leat_span_of(optarg), &d) != 0 || leat_duration_seconds(&d, &given.couple.within_s) != 0)
		front_misuse("option '--within': not a duration such as PT5M: '%s'", optarg);
}

static void
take_option(struct leat_couples *couples, int code, char *argv[])
{
	if ((code == AS || code == SECOND || code == WITHIN) && !given.begun)
		front_misuse("option '%s' comes before any '--first'", code == AS ? "--as" : code == SECOND ? "--second" : "--within");
	switch (code) {
	case AS:
		operand("--as", &given.couple.asset, &given.couple.point);
		given.named = true;
		break;
	case FIRST:
		end_given(couples);
		operand("--first", &given.couple.asset_of[0], &given.couple.point_of[0]);
		given.begun = true;
		break;
	case ONLY:
		only = true;
		break;
	case PAIRS:
		pairs_file = optarg;
		break;
	case SECOND:
		operand("--second", &given.couple.asset_of[1], &given.couple.point_of[1]);
		given.second = true;
		break;
	case WITHIN:
		set_within();
		break;
	default:
		front_option(code, argv);
	}
}

static void
parse(int argc, char *argv[], struct leat_couples *couples)
{
	static const struct option longs[] = {
		{ "as", required_argument, NULL, AS },
		{ "explain", optional_argument, NULL, FRONT_EXPLAIN },
		{ "findings", required_argument, NULL, FRONT_FINDINGS },
		{ "first", required_argument, NULL, FIRST },
		{ "help", no_argument, NULL, 'h' },
		{ "max-rejects", required_argument, NULL, FRONT_MAX_REJECTS },
		{ "now", required_argument, NULL, FRONT_CLOCK },
		{ "only", no_argument, NULL, ONLY },
		{ "pairs", required_argument, NULL, PAIRS },
		{ "points", required_argument, NULL, FRONT_POINTS },
		{ "quiet", no_argument, NULL, 'q' },
		{ "rejects", required_argument, NULL, 'r' },
		{ "second", required_argument, NULL, SECOND },
		{ "summary", no_argument, NULL, FRONT_SUMMARY },
		{ "version", no_argument, NULL, 'V' },
		{ "within", required_argument, NULL, WITHIN },
		{ "works", required_argument, NULL, 'w' },
		{ NULL, 0, NULL, 0 }
	};
	struct leat_error err = { 0 };
	int c;

	while ((c = getopt_long(argc, argv, ":hqr:Vw:", longs, NULL)) != -1)
		take_option(couples, c, argv);
	end_given(couples);
	front_works_check();
	if (pairs_file != NULL && leat_couples_read(couples, pairs_file, &err) != 0) {
		front_error(&err);
		exit(front_end());
	}
	if (couples->count == 0)
		front_misuse("no pair: give --first and --second, or --pairs FILE");
}

static void
account_pair(const struct leat_pair_state *state)
{
	const struct leat_couple *c = state->couple;

	for (size_t k = 0; k < 2; k++)
		if (!state->seen[k])
			front_warn("no readings of '%.*s/%.*s'", (int)c->asset_of[k].len, c->asset_of[k].ptr,
			    (int)c->point_of[k].len, c->point_of[k].ptr);
	front_summary("'%.*s/%.*s': %lld paired, %lld of the first without a second, %lld of the first unusable; "
	    "ratios left out: %lld", (int)c->asset.len, c->asset.ptr, (int)c->point.len, c->point.ptr, state->made,
	    state->unpaired, state->unusable, state->undefined);
}

static int
take(void *pairing, const struct leat_reading *r, struct leat_error *err)
{
	return leat_pairing_take(pairing, r, err);
}

static void
pair_up(struct leat_pairing *pairing)
{
	struct leat_time now = front_opt.now_data ? LEAT_TIME_NONE : front_now();
	struct leat_error err;

	if (!pairing->explain)
		leat_readings_write_header(pairing->out, pairing->in);
	if (front_derive(pairing->in, take, pairing, !only && !pairing->explain) == 0 &&
	    leat_pairing_end(pairing, now, &err) != 0)
		front_error(&err);
	front_derive_end(pairing->in);
	for (size_t i = 0; i < pairing->couples->count; i++)
		account_pair(&pairing->state[i]);
	front_summary("rows added: %lld; earlier rows replaced: %lld", pairing->added, pairing->replaced);
}

int
main(int argc, char *argv[])
{
	struct leat_pairing pairing = { .explain = false };
	struct leat_couples couples = { .table = NULL };
	struct leat_points points;
	struct leat_error err;

	front_start("leat-pair", help);
	parse(argc, argv, &couples);
	front_points(&points);
	pairing.in = front_readings(argc, argv);
	pairing.points = &points;
	pairing.couples = &couples;
	pairing.out = front_stdout();
	pairing.explain = front_opt.explain;
	pairing.what = leat_span_of(front_opt.explain_what);
	if (leat_pairing_init(&pairing, &err) != 0)
		front_error(&err);
	else
		pair_up(&pairing);
	leat_pairing_free(&pairing);
	leat_readings_close(pairing.in);
	leat_couples_free(&couples);
	leat_points_free(&points);
	return front_end();
}
