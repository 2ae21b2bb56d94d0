/*
 * What an export holds, tag by tag: span, step, gaps, frozen spells, range and likely kind.
 *
 * Memory is constant per tag, however long the export.  So the step is a median over classes of intervals, sixteen
 * to the decade: exact where all intervals of the middle class are equal, as with any regular export, and otherwise
 * within 8 %.  Nothing is taken from the names of tags.
 */
#ifndef LEAT_STREAM_SURVEY_H
#define LEAT_STREAM_SURVEY_H

#include "stream/export.h"
#include "stream/out.h"

#define LEAT_SURVEY_CLASSES 208		/* from 1 ms to 10^10 s */
#define LEAT_SURVEY_DISTINCT 100	/* values are told apart up to this many */
#define LEAT_SURVEY_WORDS 8		/* texts that are kept */
#define LEAT_SURVEY_WORD_MAX 40		/* bytes of each, with its NUL; longer ones are cut */
#define LEAT_SURVEY_GAP 5		/* an interval of more than so many steps is a gap */

enum leat_survey_kind {
	LEAT_SURVEY_NOTHING,		/* no value came */
	LEAT_SURVEY_ANALOGUE,
	LEAT_SURVEY_SWITCH,		/* two words, or 0 and 1 */
	LEAT_SURVEY_STEP,		/* few values, each for a long time: set points, constants */
	LEAT_SURVEY_COUNTER,		/* only ever grows, but for resets */
	LEAT_SURVEY_WORD		/* other texts */
};

/* Intervals of one class. */
struct leat_survey_class {
	uint32_t count;
	float least, most;		/* seconds */
};

/* One tag.  Zeroed, it has seen nothing. */
struct leat_survey_tag {
	long long count, numeric, text;
	long long changes;		/* values that differ from the one before */
	long long same, back;		/* stamps equal to the one before; earlier */
	struct leat_time first, last;	/* the earliest and the latest stamp */
	struct leat_time previous;	/* of the sample before */
	struct leat_time since;		/* the value before is unchanged since then */
	double frozen_s;		/* the longest spell without change */
	double longest_s;		/* the longest interval */
	struct leat_survey_class *interval;	/* owned: LEAT_SURVEY_CLASSES of them */
	long long intervals;
	double last_s;			/* the interval before, and its class, to save looking it up again */
	int last_class;
	double value, min, max;		/* of numbers that are no detection limits */
	int last_decimals;		/* of value, at most 9 */
	enum leat_cell last_kind;	/* of the sample before */
	bool last_number;		/* was it such a number? */
	char min_text[24], max_text[24];
	long long rises, falls;
	bool whole;			/* all are whole numbers */
	long long decimals[10];		/* numbers by their count of decimals, 9 and more together */
	uint32_t *distinct;		/* owned: hashes of values */
	size_t distincts;		/* up to LEAT_SURVEY_DISTINCT */
	char word[LEAT_SURVEY_WORDS][LEAT_SURVEY_WORD_MAX];
	size_t words;			/* LEAT_SURVEY_WORDS + 1: more */
	char cell[64];			/* the value before, cut */
	size_t cell_len;
	char unit[24];			/* as the export writes it; "" when it names none */
};

struct leat_survey {
	struct leat_survey_tag *tag;	/* by the tag's number in the export */
	size_t cap;
};

/* Takes one sample.  0, or -1 when memory is out. */
int leat_survey_take(struct leat_survey *survey, const struct leat_export_form *form,
    const struct leat_sample *sample) LEAT_MUST_USE;
void leat_survey_free(struct leat_survey *survey);

/* The median interval in seconds; -1 when there is none.  *exact: not only within 8 %. */
double leat_survey_step(const struct leat_survey_tag *tag, bool *exact);
/* Intervals of more than LEAT_SURVEY_GAP steps, with the precision of the classes. */
long long leat_survey_gaps(const struct leat_survey_tag *tag);
enum leat_survey_kind leat_survey_kind(const struct leat_survey_tag *tag);
/* "", "analogue", "switch", "step", "counter", "word". */
const char *leat_survey_kind_name(enum leat_survey_kind kind);
/* The most frequent count of decimals; -1 when there are no numbers. */
int leat_survey_decimals(const struct leat_survey_tag *tag);

#define LEAT_SURVEY_HEADER "tag,count,numeric,text,blank,first,last,step,gaps,longest_gap,frozen,min,max,decimals," \
    "distinct,likely,unit,file\n"

/* The row of a tag; blank: its blank cells; file: "" when there is one only. */
void leat_survey_write(struct leat_out *out, const char *file, struct leat_span name, const struct leat_survey_tag *tag,
    long long blank);

/* A map of states for points.csv: "Running=on|Stopped=off" when the words are clear, "Auf=|Zu=" to fill in when not;
 * "" when the tag is no switch.  Returns dst, of size bytes. */
char *leat_survey_states(const struct leat_survey_tag *tag, char *dst, size_t size);

/* A pattern for a file and its like: every date or number in its name becomes '*'.  *source (may be NULL): how much of it
 * stands before the first, as a name. */
void leat_survey_pattern(const char *path, char *glob, size_t size, size_t *source);

/* The row of points.csv to fill in for a tag, and that of sources.csv for a file. */
void leat_survey_draft_point(struct leat_out *out, struct leat_span name, const struct leat_survey_tag *tag);
void leat_survey_draft_source(struct leat_out *out, const char *path, const struct leat_export_form *form,
    const char *zone);

#endif
