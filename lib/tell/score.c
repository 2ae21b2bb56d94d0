/*
 * The scoreboard of the nightly text.
 */
#include "tell/score.h"

#include "base/number.h"
#include "stream/points.h"

#define NAME_COLUMNS 14		/* longer names push their figure to the right */
#define SHARE_COLUMNS 6		/* 100.00 */

/* How a mill did, the worst first. */
enum grade {
	GRADE_ALARM,
	GRADE_ALERT,
	GRADE_UNKNOWN,
	GRADE_LOWERED,			/* held a set point that somebody lowered */
	GRADE_HELD,
	GRADES
};

struct score {
	const struct leat_item *item;
	const struct leat_finding *row;	/* the row whose share is told; NULL: an end without a row that says ok */
	enum grade grade;
	unsigned causes;		/* a bit each */
};

/* Is it the share of a mill?  A pattern of a limit that matched nothing is no mill. */
static bool
is_share(const struct leat_finding *f)
{
	return leat_span_is(f->rule, LEAT_SCORE_RULE) && leat_span_is(f->point, LEAT_SCORE_POINT) &&
	    f->asset.len > 0 && !leat_span_is(f->asset, "-") && leat_span_find(f->asset, '*') == f->asset.len;
}

/* Does its name begin as that of the mill does? */
static bool
begins(struct leat_span asset, struct leat_span mill)
{
	return asset.len >= mill.len && leat_span_eq(leat_span_make(asset.ptr, mill.len), mill);
}

/* Items of one asset are neighbours, and those whose names begin as its name does come right behind. */
static unsigned
causes_of(const struct leat_items *items, size_t at)
{
	struct leat_span mill = items->item[at].row->asset;
	unsigned causes = 0;
	size_t i = at;

	while (i > 0 && leat_span_eq(items->item[i - 1].row->asset, mill))
		i--;
	for (; i < items->count && begins(items->item[i].row->asset, mill); i++) {
		struct leat_span asset = items->item[i].row->asset;
		enum leat_cause cause = leat_cause_of(&items->item[i]);

		/* NM/pump-a is of NM, NM-2 is another mill. */
		if (asset.len > mill.len && asset.ptr[mill.len] != '/')
			continue;
		if (cause < LEAT_CAUSES)
			causes |= 1U << cause;
	}
	return causes;
}

static enum grade
grade_of(const struct leat_item *item, unsigned causes)
{
	if (!item->open)
		return causes & 1U << LEAT_CAUSE_SETPOINT ? GRADE_LOWERED : GRADE_HELD;
	if (item->row->status == LEAT_STATUS_UNKNOWN)
		return GRADE_UNKNOWN;
	return item->row->status == LEAT_STATUS_ALARM ? GRADE_ALARM : GRADE_ALERT;
}

static bool
score_make(struct score *score, const struct leat_items *items, size_t at)
{
	const struct leat_item *item = &items->item[at];

	if (!is_share(item->row))
		return false;
	score->item = item;
	score->row = item->open ? item->row : item->ok;
	score->causes = causes_of(items, at);
	score->grade = grade_of(item, score->causes);
	return true;
}

/* Digits and a point, no more than the column holds. */
static bool
is_short(struct leat_span text)
{
	for (size_t i = 0; i < text.len; i++) {
		if ((text.ptr[i] < '0' || text.ptr[i] > '9') && text.ptr[i] != '.')
			return false;
	}
	return text.len <= SHARE_COLUMNS;
}

/* The share that a row tells, as the row writes it or, where that is long, with two decimals.  False, and dst is
 * empty, when it tells none: it is missing, no number, in another unit, below 0 or over 100. */
static bool
share_text(char dst[LEAT_NUMBER_MAX], const struct leat_finding *f)
{
	double share;

	dst[0] = '\0';
	if (f == NULL || !leat_span_is(f->unit, "%") || leat_double_parse(f->value, &share) != 0)
		return false;
	if (share < 0 || share > 100)
		return false;
	if (is_short(f->value)) {
		memcpy(dst, f->value.ptr, f->value.len);
		dst[f->value.len] = '\0';
	} else
		leat_number_fixed(dst, share, 2);
	return true;
}

static void
add_blanks(struct leat_text *t, size_t count)
{
	while (count-- > 0)
		leat_text_add(t, LEAT_TEXT_GLUE);
}

/* Adds what the earlier night told where that was another share. */
static void
add_earlier(struct leat_text *t, const struct score *score, const char *share)
{
	const struct leat_item *earlier = score->item->earlier;
	char before[LEAT_NUMBER_MAX];

	if (earlier == NULL)
		return;
	if (share_text(before, earlier->open ? earlier->row : earlier->ok) && strcmp(before, share) != 0)
		leat_text_add(t, " (was" LEAT_TEXT_GLUE "%s)", before);
}

/* Adds the causes that belong to the grade behind a colon.  False when there are none. */
static bool
add_causes(struct leat_text *t, const struct score *score)
{
	bool any = false;

	for (enum leat_cause cause = 0; cause < LEAT_CAUSES; cause++) {
		bool fits = score->grade == GRADE_UNKNOWN ? leat_cause_of_unknown(cause) : leat_cause_of_low(cause);

		if (!fits || (score->causes & 1U << cause) == 0)
			continue;
		leat_text_add(t, "%s%s", any ? ", " : ": ", leat_cause_words(cause));
		any = true;
	}
	return any;
}

/* Adds why it cannot be told, as the message says it before what to do. */
static void
add_reason(struct leat_text *t, const struct leat_finding *f)
{
	static const char lead[] = "cannot tell: ";
	struct leat_span rest = f->message, what;

	if (!leat_span_next(&rest, ';', &what))
		return;
	if (leat_span_starts(what, lead))
		what = leat_span_make(what.ptr + sizeof(lead) - 1, what.len - (sizeof(lead) - 1));
	if (what.len == 0)
		return;
	leat_text_add(t, ": ");
	leat_text_add_plain(t, what);
}

static void
add_unknown(struct leat_text *t, const struct score *score)
{
	leat_text_add(t, "cannot" LEAT_TEXT_GLUE "tell");
	if (score->item->shelved)
		leat_text_add(t, ", shelved");
	if (!add_causes(t, score))
		add_reason(t, score->row);
}

static void
add_low(struct leat_text *t, const struct leat_calendar *cal, const struct score *score, const char *share)
{
	leat_text_add(t, "%s", share[0] != '\0' ? ", lowest" : "low");
	if (!leat_time_is_none(score->item->since)) {
		leat_text_add(t, " since ");
		leat_words_date(t, cal, leat_calendar_date(cal, score->item->since), false);
	}
	add_earlier(t, score, share);
	if (score->item->shelved)
		leat_text_add(t, ", shelved");
	if (!add_causes(t, score))
		leat_text_add(t, ": cause not known");
}

static void
add_held(struct leat_text *t, const struct leat_calendar *cal, const struct score *score, const char *share)
{
	const struct leat_item *item = score->item;
	const struct leat_item *earlier = item->earlier;
	bool again = earlier != NULL && earlier->open && earlier->row->status != LEAT_STATUS_UNKNOWN;

	if (again || score->row == NULL)
		leat_text_add(t, "%sheld again", share[0] != '\0' ? ", " : "");
	else if (share[0] == '\0')
		leat_text_add(t, "held");
	if (score->row == NULL && !leat_time_is_none(item->until)) {
		leat_text_add(t, " since ");
		leat_words_date(t, cal, leat_calendar_date(cal, item->until), false);
	}
	if (again)
		add_earlier(t, score, share);
	if (score->grade == GRADE_LOWERED)
		leat_text_add(t, ", at a lowered set point");
}

/* Adds what is to be said of a mill behind its share. */
static void
add_words(struct leat_text *t, const struct leat_calendar *cal, const struct score *score, const char *share)
{
	if (score->grade == GRADE_UNKNOWN)
		add_unknown(t, score);
	else if (score->grade < GRADE_UNKNOWN)
		add_low(t, cal, score, share);
	else
		add_held(t, cal, score, share);
}

/* One mill: its name and share in columns, then what is to be said of it. */
static void
put_mill(struct leat_text *t, const struct leat_calendar *cal, const struct score *score, size_t columns)
{
	struct leat_span asset = score->item->row->asset;
	size_t width = leat_text_columns(asset);
	char share[LEAT_NUMBER_MAX];

	leat_text_add_glued(t, asset);
	add_blanks(t, 2 + (width < columns ? columns - width : 0));
	if (share_text(share, score->grade == GRADE_UNKNOWN ? NULL : score->row)) {
		add_blanks(t, SHARE_COLUMNS - strlen(share));
		leat_text_add(t, "%s" LEAT_TEXT_GLUE "%%", share);
	}
	add_words(t, cal, score, share);
	leat_text_end(t, 2, 6);
}

static void
put_all_held(struct leat_text *t, const struct leat_items *tonight)
{
	struct score score;
	char share[LEAT_NUMBER_MAX];
	bool any = false;

	leat_text_add(t, "Pressure held: ");
	for (size_t i = 0; i < tonight->count; i++) {
		if (!score_make(&score, tonight, i) || !share_text(share, score.row))
			continue;
		leat_text_add(t, "%s", any ? ", " : "");
		leat_text_add_glued(t, score.item->row->asset);
		leat_text_add(t, LEAT_TEXT_GLUE "%s" LEAT_TEXT_GLUE "%%", share);
		any = true;
	}
	leat_text_add(t, " of grinding time.");
	leat_text_end(t, 0, 0);
}

static void
put_table(struct leat_text *t, const struct leat_calendar *cal, const struct leat_items *tonight, size_t columns)
{
	struct score score;

	leat_text_verbatim(t, "\nPRESSURE HELD, share of grinding time\n");
	for (enum grade grade = 0; grade < GRADES; grade++) {
		for (size_t i = 0; i < tonight->count; i++) {
			if (score_make(&score, tonight, i) && score.grade == grade)
				put_mill(t, cal, &score, columns);
		}
	}
}

void
leat_score_write(struct leat_text *t, const struct leat_calendar *cal, const struct leat_items *tonight)
{
	char share[LEAT_NUMBER_MAX];
	struct score score;
	size_t mills = 0, held = 0, columns = 0;

	for (size_t i = 0; i < tonight->count; i++) {
		size_t width;

		if (!score_make(&score, tonight, i))
			continue;
		mills++;
		held += score.grade == GRADE_HELD && share_text(share, score.row);
		width = leat_text_columns(score.item->row->asset);
		if (width > columns && width <= NAME_COLUMNS)
			columns = width;
	}
	if (mills == 0)
		return;
	if (held == mills)
		put_all_held(t, tonight);
	else
		put_table(t, cal, tonight, columns);
}

void
leat_score_each(struct leat_text *t, const struct leat_calendar *cal, const struct leat_items *tonight,
    void (*take)(void *context, struct leat_span mill, const char *share), void *context)
{
	char share[LEAT_NUMBER_MAX];
	struct score score;

	for (enum grade grade = 0; grade < GRADES; grade++) {
		for (size_t i = 0; i < tonight->count; i++) {
			if (!score_make(&score, tonight, i) || score.grade != grade)
				continue;
			if (!share_text(share, score.grade == GRADE_UNKNOWN ? NULL : score.row))
				share[0] = '\0';
			add_words(t, cal, &score, share);
			take(context, score.item->row->asset, share);
		}
	}
}
