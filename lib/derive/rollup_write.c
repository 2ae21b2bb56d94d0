/* Rolling up: what came out of a period, as readings, side by side, or explained. */
#include <math.h>
#include <stdio.h>

#include "derive/rollup_private.h"

/* Columns that every readings stream has. */
#define ROW_COLUMNS 6
/* Longest row, without its value and the name of its statistic, that is put together at once. */
#define PLAIN_LIMIT 1024u

/* What came out of a series in a period. */
struct result {
	struct leat_time end, stamp;
	struct leat_span asset, point, unit;
	const struct leat_rollup_series *s;
	double length_s, mean, quantile[LEAT_ROLLUP_QUANTILES];
	enum leat_quality quality;
	bool plain;		/* rows are put together from rollup->head and its tails */
};

bool
leat_rollup_statistic(struct leat_span name, struct leat_span *base, struct leat_span *suffix)
{
	static const char *const words[] = { "mean", "min", "max", "on", "coverage", "good" };
	size_t dot = name.len;

	while (dot > 0 && name.ptr[dot - 1] != '.')
		dot--;
	if (dot < 2)
		return false;
	*base = leat_span_make(name.ptr, dot - 1);
	*suffix = leat_span_make(name.ptr + dot, name.len - dot);
	for (size_t i = 0; i < sizeof(words) / sizeof(words[0]); i++)
		if (leat_span_is(*suffix, words[i]))
			return true;
	if (suffix->len < 2 || suffix->len > 3 || suffix->ptr[0] != 'p')
		return false;
	for (size_t i = 1; i < suffix->len; i++)
		if (suffix->ptr[i] < '0' || suffix->ptr[i] > '9')
			return false;
	return true;
}

static int
hundredths(double q)
{
	return (int)(q * 100 + 0.5);
}

/* A value that was computed: two digits more than its readings. */
static size_t
computed(char *dst, const struct result *result, double value)
{
	return leat_number_fixed(dst, value, result->s->most_decimals + 2);
}

/* A smallest or largest value: that of a reading as it was written, one on a line between two as a computed one. */
static size_t
extreme(char *dst, const struct result *result, double value)
{
	size_t len = computed(dst, result, value);

	if (dst[len - 1] != '0' || dst[len - 2] != '0')
		return len;
	len -= result->s->most_decimals == 0 ? 3 : 2;
	dst[len] = '\0';
	return len;
}

static size_t
share(char *dst, const struct result *result, double seconds)
{
	double percent = 100 * seconds / result->length_s;

	/* Times are summed; the last bits are not to make 100.00 of anything above. */
	return leat_number_fixed(dst, percent > 100 ? 100 : percent, 2);
}

/* The unit of what is no share of time. */
static struct leat_span
own_unit(const struct result *result)
{
	return result->s->form == LEAT_ROLLUP_SWITCH ? LEAT_SPAN("%") : result->unit;
}

/* Behind a value: its unit, its quality, and the further columns, empty. */
static int
tail_of(struct leat_buf *tail, const struct leat_rollup *rollup, struct leat_span unit, enum leat_quality quality)
{
	leat_buf_reset(tail);
	if (leat_buf_add(tail, ",", 1) != 0 || leat_out_field_to(tail, unit) != 0 || leat_buf_add(tail, ",", 1) != 0 ||
	    leat_buf_add_span(tail, leat_span_of(leat_quality_name(quality))) != 0)
		return -1;
	for (size_t i = leat_readings_columns(rollup->in); i > ROW_COLUMNS; i--)
		if (leat_buf_add(tail, ",", 1) != 0)
			return -1;
	return leat_buf_add(tail, "\n", 1);
}

/* What the rows of a result have in common is put together once: before the name of the statistic, and behind its value.
 * Not when a name must be quoted, which would hold the statistic too, or is long. */
static int
begin_rows(struct leat_rollup *rollup, struct result *result)
{
	struct leat_buf *head = &rollup->head;
	char time[LEAT_TIME_MAX];
	size_t asset, point;

	leat_buf_reset(head);
	if (leat_buf_add(head, time, leat_time_write(time, result->stamp)) != 0 || leat_buf_add(head, ",", 1) != 0)
		return -1;
	asset = head->len;
	if (leat_out_field_to(head, result->asset) != 0 || leat_buf_add(head, ",", 1) != 0)
		return -1;
	point = head->len;
	if (leat_out_field_to(head, result->point) != 0 || leat_buf_add(head, ".", 1) != 0 ||
	    tail_of(&rollup->tail, rollup, own_unit(result), result->quality) != 0 ||
	    tail_of(&rollup->share_tail, rollup, LEAT_SPAN("%"), LEAT_GOOD) != 0)
		return -1;
	result->plain = head->data[asset] != '"' && head->data[point] != '"' && head->len + rollup->tail.len < PLAIN_LIMIT;
	return 0;
}

static char *
put(char *to, const char *bytes, size_t len)
{
	memcpy(to, bytes, len);
	return to + len;
}

/* One row whose name needs care. */
static int
add_slowly(struct leat_rollup *rollup, const struct result *result, const char *suffix, struct leat_span value, bool share)
{
	leat_buf_reset(&rollup->name);
	if (leat_buf_add_span(&rollup->name, result->point) != 0 || leat_buf_add(&rollup->name, ".", 1) != 0 ||
	    leat_buf_add(&rollup->name, suffix, strlen(suffix)) != 0)
		return -1;
	leat_readings_add(rollup->out, rollup->in, &(struct leat_reading){
		.time = result->stamp, .asset = result->asset, .point = leat_buf_span(&rollup->name), .value = value,
		.unit = share ? LEAT_SPAN("%") : own_unit(result), .quality = share ? LEAT_GOOD : result->quality
	});
	return 0;
}

/* Adds a row; share: of time in the period, which is known well whatever the readings. */
static int
add(struct leat_rollup *rollup, const struct result *result, const char *suffix, struct leat_span value, bool share)
{
	const struct leat_buf *tail = share ? &rollup->share_tail : &rollup->tail;
	size_t len = strlen(suffix);
	char *to;

	rollup->added++;
	if (!result->plain)
		return add_slowly(rollup, result, suffix, value, share);
	to = leat_out_room(rollup->out, rollup->head.len + len + 1 + value.len + tail->len);
	to = put(to, rollup->head.data, rollup->head.len);
	to = put(to, suffix, len);
	*to++ = ',';
	to = put(to, value.ptr, value.len);
	put(to, tail->data, tail->len);
	return 0;
}

static int
rows_of_numbers(struct leat_rollup *rollup, const struct result *result)
{
	char text[LEAT_NUMBER_MAX], suffix[] = "p00";
	const struct leat_weighted *w = &result->s->weighted;
	size_t len = computed(text, result, result->mean);

	if (add(rollup, result, "mean", leat_span_make(text, len), false) != 0)
		return -1;
	len = extreme(text, result, w->min);
	if (add(rollup, result, "min", leat_span_make(text, len), false) != 0)
		return -1;
	len = extreme(text, result, w->max);
	if (add(rollup, result, "max", leat_span_make(text, len), false) != 0)
		return -1;
	for (size_t i = 0; i < rollup->quantiles; i++) {
		suffix[1] = (char)('0' + hundredths(rollup->quantile[i]) / 10 % 10);
		suffix[2] = (char)('0' + hundredths(rollup->quantile[i]) % 10);
		len = computed(text, result, result->quantile[i]);
		if (add(rollup, result, suffix, leat_span_make(text, len), false) != 0)
			return -1;
	}
	return 0;
}

static int
rows(struct leat_rollup *rollup, struct result *result)
{
	char text[LEAT_NUMBER_MAX];
	const struct leat_weighted *w = &result->s->weighted;
	size_t len;

	if (begin_rows(rollup, result) != 0)
		return -1;
	if (w->seconds > 0 && result->s->form != LEAT_ROLLUP_SWITCH && rows_of_numbers(rollup, result) != 0)
		return -1;
	if (w->seconds > 0 && result->s->form == LEAT_ROLLUP_SWITCH) {
		len = leat_number_fixed(text, 100 * result->mean, 2);
		if (add(rollup, result, "on", leat_span_make(text, len), false) != 0)
			return -1;
	}
	len = share(text, result, w->seconds);
	if (add(rollup, result, "coverage", leat_span_make(text, len), true) != 0)
		return -1;
	len = share(text, result, result->s->good_s);
	return add(rollup, result, "good", leat_span_make(text, len), true);
}

void
leat_rollup_write_header(struct leat_rollup *rollup)
{
	char text[16];

	if (rollup->output == LEAT_ROLLUP_ROWS)
		leat_readings_write_header(rollup->out, rollup->in);
	if (rollup->output != LEAT_ROLLUP_WIDE)
		return;
	leat_out_text(rollup->out, "time,asset,point,unit,mean,min,max");
	for (size_t i = 0; i < rollup->quantiles; i++) {
		snprintf(text, sizeof(text), ",p%02d", hundredths(rollup->quantile[i]) % 100);
		leat_out_text(rollup->out, text);
	}
	leat_out_text(rollup->out, ",on,coverage,good,quality\n");
}

static void
cell(struct leat_rollup *rollup, const char *text, size_t len)
{
	leat_out_char(rollup->out, ',');
	leat_out_bytes(rollup->out, text, len);
}

static void
wide(struct leat_rollup *rollup, const struct result *result)
{
	char text[LEAT_NUMBER_MAX];
	const struct leat_weighted *w = &result->s->weighted;
	bool counted = w->seconds > 0, numbers = counted && result->s->form != LEAT_ROLLUP_SWITCH;

	leat_out_time(rollup->out, result->stamp);
	leat_out_char(rollup->out, ',');
	leat_out_field(rollup->out, result->asset);
	leat_out_char(rollup->out, ',');
	leat_out_field(rollup->out, result->point);
	leat_out_char(rollup->out, ',');
	leat_out_field(rollup->out, result->unit);
	cell(rollup, text, numbers ? computed(text, result, result->mean) : 0);
	cell(rollup, text, numbers ? extreme(text, result, w->min) : 0);
	cell(rollup, text, numbers ? extreme(text, result, w->max) : 0);
	for (size_t i = 0; i < rollup->quantiles; i++)
		cell(rollup, text, numbers ? computed(text, result, result->quantile[i]) : 0);
	cell(rollup, text, counted && !numbers ? leat_number_fixed(text, 100 * result->mean, 2) : 0);
	cell(rollup, text, share(text, result, w->seconds));
	cell(rollup, text, share(text, result, result->s->good_s));
	leat_out_char(rollup->out, ',');
	leat_out_text(rollup->out, counted ? leat_quality_name(result->quality) : "bad");
	leat_out_char(rollup->out, '\n');
}

static bool
asked_for(const struct leat_rollup *rollup, const struct result *result)
{
	struct leat_span what = rollup->what;

	if (what.len == 0 || leat_span_eq(what, result->asset))
		return true;
	return what.len == result->asset.len + 1 + result->point.len && what.ptr[result->asset.len] == '/' &&
	    memcmp(what.ptr, result->asset.ptr, result->asset.len) == 0 &&
	    memcmp(what.ptr + result->asset.len + 1, result->point.ptr, result->point.len) == 0;
}

static void
say(struct leat_rollup *rollup, const char *label, const char *text)
{
	leat_out_text(rollup->out, label);
	leat_out_text(rollup->out, text);
}

static void
words(struct leat_rollup *rollup, const char *label, double seconds)
{
	char text[40];

	leat_duration_words(text, seconds);
	say(rollup, label, text);
}

/* The numbers of one result, so that a person can redo it. */
static void
explain_numbers(struct leat_rollup *rollup, const struct result *result)
{
	char text[LEAT_NUMBER_MAX];
	const struct leat_weighted *w = &result->s->weighted;
	bool on = result->s->form == LEAT_ROLLUP_SWITCH;

	if (on) {
		words(rollup, "\n  on          ", result->mean * w->seconds);
		words(rollup, " of ", w->seconds);
		leat_number_fixed(text, 100 * result->mean, 2);
		say(rollup, " = ", text);
		leat_out_text(rollup->out, " %");
		return;
	}
	computed(text, result, result->mean * w->seconds);
	say(rollup, "\n  mean        ", text);
	leat_number_fixed(text, w->seconds, 3);
	say(rollup, " / ", text);
	computed(text, result, result->mean);
	say(rollup, " s = ", text);
	extreme(text, result, w->min);
	say(rollup, ", smallest ", text);
	extreme(text, result, w->max);
	say(rollup, ", largest ", text);
	for (size_t i = 0; i < rollup->quantiles; i++) {
		snprintf(text, sizeof(text), ", p%02d ", hundredths(rollup->quantile[i]) % 100);
		leat_out_text(rollup->out, text);
		computed(text, result, result->quantile[i]);
		leat_out_text(rollup->out, text);
	}
	if (rollup->quantiles > 0 && leat_weighted_classed(w))
		leat_out_text(rollup->out, " (percentiles from classes)");
}

static void
explain(struct leat_rollup *rollup, const struct result *result)
{
	const struct leat_rollup_series *s = result->s;
	char text[LEAT_NUMBER_MAX];

	leat_out_span(rollup->out, result->asset);
	leat_out_char(rollup->out, '/');
	leat_out_span(rollup->out, result->point);
	leat_out_char(rollup->out, ' ');
	leat_out_time(rollup->out, rollup->start);
	leat_out_char(rollup->out, ' ');
	leat_out_time(rollup->out, result->end);
	snprintf(text, sizeof(text), "\n  readings    %ld, of them bad or no number %ld; ", s->readings, s->bad);
	leat_out_text(rollup->out, text);
	leat_out_text(rollup->out, s->form == LEAT_ROLLUP_SLOPED ? "straight lines between them" : "each holds until changed");
	words(rollup, s->until_changed ? ", at most for this long after the mill's last reading: " :
	    ", each for at most ", s->hold_s);
	words(rollup, "\n  counted     ", s->weighted.seconds);
	words(rollup, " of ", result->length_s);
	words(rollup, ", in good quality ", s->good_s);
	if (rollup->gate != NULL) {
		words(rollup, "\n  gate        open for ", rollup->asset[s->asset].open_s);
		leat_out_text(rollup->out, ": ");
		leat_out_span(rollup->out, leat_gate_text(rollup->gate));
	}
	if (s->weighted.seconds > 0)
		explain_numbers(rollup, result);
	leat_out_char(rollup->out, '\n');
}

int
leat_rollup_write(struct leat_rollup *rollup, uint32_t series, struct leat_time end)
{
	struct leat_rollup_series *s = &rollup->series[series];
	uint64_t pair = leat_readings_series(rollup->in)->pair[series];
	struct result result = {
		.end = end, .stamp = rollup->label_start ? rollup->start : end,
		.asset = leat_readings_assets(rollup->in)->name[pair >> 32],
		.point = leat_readings_points(rollup->in)->name[(uint32_t)pair],
		.unit = s->unit_text, .s = s, .length_s = leat_time_diff(end, rollup->start),
		.mean = leat_weighted_mean(&s->weighted),
		/* Times are sums; what differs in the last bits is all of it. */
		.quality = s->weighted.seconds - s->good_s <= 1e-9 * s->weighted.seconds ? LEAT_GOOD : LEAT_UNCERTAIN
	};

	if (s->readings == 0 && !(s->weighted.seconds > 0))
		return 0;
	rollup->results++;
	if (rollup->output == LEAT_ROLLUP_EXPLAIN && !asked_for(rollup, &result))
		return 0;
	if (leat_weighted_quantiles(&s->weighted, rollup->quantile, rollup->quantiles, result.quantile) != 0)
		return -1;
	if (rollup->output == LEAT_ROLLUP_ROWS)
		return rows(rollup, &result);
	if (rollup->output == LEAT_ROLLUP_WIDE)
		wide(rollup, &result);
	else
		explain(rollup, &result);
	return 0;
}
