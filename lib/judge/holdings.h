/*
 * What a works' exports hold, taken together: every tag of every kind of file, through all files of that kind, and which
 * point of which asset it is.
 *
 * Files are of one kind whose names differ in dates and numbers only; so a switch that one kind of export has by the
 * minute and another by the second is two holdings.  Memory grows with tags and kinds of files, not with rows.
 */
#ifndef LEAT_JUDGE_HOLDINGS_H
#define LEAT_JUDGE_HOLDINGS_H

#include "stream/out.h"
#include "stream/points.h"
#include "stream/survey.h"
#include "stream/survey_trace.h"
#include "upkeep/logbook.h"

#define LEAT_HOLDINGS_PATTERN 256

struct leat_holding {
	struct leat_span tag, files;	/* files: their pattern; both live as long as the holdings */
	struct leat_trace *trace;	/* owned; NULL: nothing came */
	struct leat_trace_result found;	/* after leat_holdings_judge */
	/* After leat_holdings_map; empty when the tag is no known point. */
	struct leat_span mill, asset, point;
	const char *unit;		/* of its values; "" when it is not known */
	long long logged;		/* of the logbook: so many readings, on found.days days */
	int64_t last_day;		/* private */
};

/* A zeroed struct is a valid empty one. */
struct leat_holdings {
	struct leat_names keys;		/* pattern, line feed, tag */
	struct leat_survey survey;	/* by key; those of the logbook have none */
	struct leat_holding *row;	/* by key */
	size_t count, cap;
	uint32_t *of_tag;		/* tag of the file that is read -> key + 1 */
	size_t tags;
	char pattern[LEAT_HOLDINGS_PATTERN];
};

/* A file begins: its tags are numbered anew. */
void leat_holdings_file(struct leat_holdings *h, const char *path);
/* Takes a sample of it.  0, or -1 when memory is out. */
int leat_holdings_take(struct leat_holdings *h, const struct leat_export_form *form,
    const struct leat_sample *sample) LEAT_MUST_USE;

/* After the last sample: what each tag shows. */
void leat_holdings_judge(struct leat_holdings *h);

/* Which points the tags are: after points.csv; where it has no row, a tag that ends in the name of a measured point, after
 * nothing or one of "/.:" and an asset.  The spans of points are borrowed.  How many are known. */
size_t leat_holdings_map(struct leat_holdings *h, const struct leat_points *points);

/* Adds the measurements of the logbook, whose spans are borrowed.  0, or -1 when memory is out. */
int leat_holdings_logbook(struct leat_holdings *h, const struct leat_logbook *book) LEAT_MUST_USE;

/* The next mill after *at that a mapped tag is of (not only the logbook), or false.  A zeroed *at begins. */
bool leat_holdings_mill(const struct leat_holdings *h, size_t *at, struct leat_span *mill);

#define LEAT_HOLDINGS_HEADER "tag,files,count,sample,resolution,kept,deadband,repeated,straight,cycle,cycle_time," \
    "on_time,least_cycle,days,change_7d,change_30d,unit,remark\n"

/* A row for each tag that is not of the logbook, after leat_holdings_judge. */
void leat_holdings_write(struct leat_out *out, const struct leat_holdings *h);

/* What survey knows of a row; all zero for one of the logbook. */
const struct leat_survey_tag *leat_holdings_tag(const struct leat_holdings *h, size_t row);

void leat_holdings_free(struct leat_holdings *h);

#endif
